package worksheet

import (
	"math"
	"math/rand/v2"

	"collinear.example/align"
	"collinear.example/tolerance"
)

// spacerLimits is the set whose limit the sheet holds the deviation against.
const spacerLimits = "api-rp-686"

func spacerKind() kind {
	return kind{
		name:  "spacer-coupling",
		title: "A coupling with a spacer, at its two flex planes",
		asks: "From the readings of two rim dials find the offsets at the flex planes and the angle that each plane takes up, and hold the larger one against the limit. " +
			"The angle at one plane is the offset at the other over the distance between the planes.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return spacerRecord(newInventor(r), d) },
		build:    spacerSheet,
		mistakes: spacerMistakes(),
	}
}

// spacerRecord invents dials at the hubs, a little outside of the flex planes.
func spacerRecord(v inventor, d Difficulty) *Record {
	r := spacerTry(v, d)
	for range 50 {
		s, err := spacerSheet(r)
		if err != nil {
			break
		}
		// Neither a limit that is just met nor angles that cannot be told apart.
		w := s.Work()
		if math.Abs(w["share"]-1) > 0.05 && math.Abs(w["angle.near"]-w["angle.far"]) > 0.05*w["angle.near"] && w["share"] > 0.2 {
			break
		}
		r = spacerTry(v, d)
	}
	return r
}

func spacerTry(v inventor, d Difficulty) *Record {
	r := v.record("A spacer coupling, as left")
	near := v.length(20, 60)
	far := near + v.length(140, 600)
	last := far + v.length(20, 60)
	r.Train.Couplings[0].FlexPlanes = []float64{near, far}
	sagFar, sagNear := -v.reading(20, 120), -v.reading(20, 120)
	if d == Plain {
		sagNear = sagFar
	}
	r.Sag = []SagTest{{Bracket: "on the first hub", Kind: "roll-over", Reading: sagFar}, {Bracket: "on the second hub", Kind: "roll-over", Reading: sagNear}}
	um := func(share float64) float64 { return share * 0.5 * v.micrometres(far-near) / 1e3 } // share of 0.5 mm/m
	dial := func(sign, sag float64) []Reading {
		offset := func() float64 { return um(0.25+0.9*v.Float64()) * float64(1-2*v.IntN(2)) }
		up, right := offset(), offset()
		bottom := cleaned(v.division(-2*sign*up) + sag)
		if d == Plain {
			return []Reading{{0, 0}, {180, bottom}}
		}
		side := v.division((v.micrometresRead(bottom) + 2*sign*right) / 2)
		return []Reading{{0, 0}, {90, side}, {180, bottom}, {270, cleaned(bottom - side)}}
	}
	r.Sets = []Set{{Stage: AsLeft, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
		{Touches: "rim", On: "far", Station: last, Bracket: "on the first hub", Readings: dial(1, sagFar)},
		{Touches: "rim", On: "near", Station: 0, Bracket: "on the second hub", Readings: dial(-1, sagNear)},
	}}}
	r.Limits = []Limits{{Coupling: "coupling", Set: spacerLimits}}
	return r
}

// micrometres turns a length in the unit of lengths into micrometres.
func (v inventor) micrometres(length float64) float64 {
	if v.inch {
		return length * 25400
	}
	return length * 1000
}

// micrometresRead turns a reading in the unit of readings into micrometres.
func (v inventor) micrometresRead(reading float64) float64 {
	if v.inch {
		return reading * 25.4
	}
	return reading * 1000
}

// spacerSheet asks offsets at the flex planes N and F, a distance L apart, and the
// angles e(F)/L at N and e(N)/L at F (package align, FlexAngles).
func spacerSheet(r *Record) (*Sheet, error) {
	c, err := r.coupled()
	if err != nil {
		return nil, err
	}
	if len(c.FlexPlanes) != 2 {
		return nil, fault("train.couplings[0].flexPlanes", "", align.ErrMissing)
	}
	if c.FlexPlanes[0] == c.FlexPlanes[1] {
		return nil, fault("train.couplings[0].flexPlanes[1]", "", align.ErrCoincident)
	}
	far, near, err := r.reverseDials(0)
	if err != nil {
		return nil, err
	}
	if far.Station == near.Station {
		return nil, fault("sets[0].dials[1].station", "", align.ErrCoincident)
	}
	planes, err := planesRead("sets[0].dials", far, near)
	if err != nil {
		return nil, err
	}
	limit, source, err := spacerLimit(r)
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "spacer-coupling"}}
	if err := givenRim(m, r, "far", "dial on the "+c.Far+" hub", far); err != nil {
		return nil, err
	}
	if err := givenRim(m, r, "near", "dial on the "+c.Near+" hub", near); err != nil {
		return nil, err
	}
	m.given("station.near", "station of the dial on the "+c.Near+" hub", u.length(near.Station), u.Length, 2)
	m.given("station.far", "station of the dial on the "+c.Far+" hub", u.length(far.Station), u.Length, 2)
	m.given("plane.near", "station of the flex plane at the "+c.Near, u.length(c.FlexPlanes[0]), u.Length, 2)
	m.given("plane.far", "station of the flex plane at the "+c.Far, u.length(c.FlexPlanes[1]), u.Length, 2)
	m.given("limit", "largest angle allowed at either flex plane ("+source+")", limit, u.slopeUnit(), 3)
	tails := []string{".vertical", ".horizontal"}[:planes]
	spacerDials(m, u, tails)
	for _, t := range tails {
		spacerOffsets(m, u, t, c)
	}
	spacerAngles(m, u, planes)
	return &m.Sheet, nil
}

// spacerLimit looks the limit up where a deviation is limited over the distance
// between the flex planes.
func spacerLimit(r *Record) (limit float64, source string, err error) {
	if len(r.Limits) == 0 {
		return 0, "", fault("limits", "", align.ErrMissing)
	}
	set, err := tolerance.FindSet(r.Limits[0].Set)
	if err != nil {
		return 0, "", align.In(err, "limits[0].set")
	}
	for i := range set.Tables {
		t := &set.Tables[i]
		if t.Quantity != tolerance.FlexDeviation || t.Rule != tolerance.AnySpeed {
			continue
		}
		allowed, err := t.LimitAt(tolerance.Geometry{})
		if err != nil {
			return 0, "", align.In(err, "limits[0].set")
		}
		return allowed.SI, sourceWords(t), nil
	}
	return 0, "", fault("limits[0].set", r.Limits[0].Set, align.ErrUnknownKind)
}

// sourceWords cites a table and says so when it was not read in the source itself.
func sourceWords(t *tolerance.Table) string {
	switch t.Known {
	case align.ReadSecondhand:
		return t.Source + ", as quoted by others"
	case align.FromMemory:
		return t.Source + ", from memory"
	}
	return t.Source
}

// spacerDials works the offsets at the dials; they are asked only where one plane
// alone was read, so that the sheet stays short.
func spacerDials(m *sheetMaker, u Units, tails []string) {
	hub := map[string]string{"far": "second", "near": "first"}
	for _, id := range []string{"far", "near"} {
		m.through(Step{ID: "corrected." + id, Says: "reading at 6 of the dial on the " + hub[id] + " hub, corrected", Formula: "reading at 6 less reading at 12, less sag", Unit: u.Reading},
			func(v Values) float64 { return v[id+".6"] - v[id+".12"] - v[id+".sag"] })
		k, words := -0.5, "minus half of the corrected reading"
		if id == "near" {
			k, words = 0.5, "plus half of the corrected reading: this dial touches the other shaft"
		}
		s := Step{ID: "dial." + id + ".vertical", Says: "how high or low the second shaft stands against the first at the dial on the " + hub[id] + " hub",
			Formula: words, Unit: u.Reading, Decimals: u.growthDecimals(), Sense: HighLow}
		work := func(v Values) float64 { return k * v["corrected."+id] }
		if len(tails) == 1 {
			m.ask(s, work)
			continue
		}
		m.through(s, work)
		m.through(Step{ID: "dial." + id + ".horizontal", Says: "how far right or left it stands there",
			Formula: map[string]string{"far": "half of reading at 3 less reading at 9", "near": "minus half of reading at 3 less reading at 9"}[id], Unit: u.Reading, Sense: RightLeft},
			func(v Values) float64 { return -k * (v[id+".3"] - v[id+".9"]) })
	}
}

// spacerOffsets asks the offsets at both flex planes: the line through the offsets
// at the dials.
func spacerOffsets(m *sheetMaker, u Units, tail string, c *Coupling) {
	sense, words := HighLow, "how high or low"
	if tail == ".horizontal" {
		sense, words = RightLeft, "how far right or left"
	}
	m.through(Step{ID: "slope" + tail, Says: "slope of one shaft against the other" + planeWords(tail), Formula: "offset at the far dial less offset at the near one, over the distance between the dials", Unit: u.slopeUnit()},
		func(v Values) float64 {
			return (v["dial.far"+tail] - v["dial.near"+tail]) / (v["station.far"] - v["station.near"])
		})
	for _, p := range []struct{ id, name string }{{"near", c.Near}, {"far", c.Far}} {
		m.ask(Step{ID: "offset." + p.id + tail, Says: words + " the " + c.Far + " shaft stands against the " + c.Near + " shaft at the flex plane at the " + p.name,
			Formula: "offset at the near dial plus slope times the distance from there to the flex plane", Unit: u.Reading, Decimals: u.growthDecimals(), Sense: sense},
			func(v Values) float64 {
				return v["dial.near"+tail] + v["slope"+tail]*(v["plane."+p.id]-v["station.near"])
			})
	}
}

// spacerAngles asks the size of both angles, the larger one, its share of the limit
// and the verdict.
func spacerAngles(m *sheetMaker, u Units, planes int) {
	m.through(Step{ID: "length", Says: "distance between the flex planes", Formula: "station less station", Unit: u.Length}, func(v Values) float64 { return math.Abs(v["plane.far"] - v["plane.near"]) })
	formula := "size of the offset at the OTHER flex plane over the distance between the planes"
	if planes == 2 {
		formula = "root of the sum of squares of both offsets at the OTHER flex plane, over the distance between the planes"
	}
	other, hub := map[string]string{"near": "far", "far": "near"}, map[string]string{"near": "first", "far": "second"}
	for _, id := range []string{"near", "far"} {
		m.through(Step{ID: "size." + id, Says: "size of the offset at the flex plane of the " + hub[id] + " machine", Formula: "root of the sum of squares of both directions", Unit: u.Reading},
			func(v Values) float64 { return math.Hypot(v["offset."+id+".vertical"], v["offset."+id+".horizontal"]) })
	}
	for _, id := range []string{"near", "far"} {
		m.ask(Step{ID: "angle." + id, Says: "size of the angle at the flex plane of the " + hub[id] + " machine", Formula: formula, Unit: u.slopeUnit(), Decimals: 3},
			func(v Values) float64 { return v["size."+other[id]] / v["length"] })
	}
	m.ask(Step{ID: "largest", Says: "the angle that counts", Formula: "the larger of the two", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return max(v["angle.near"], v["angle.far"]) })
	m.ask(Step{ID: "share", Says: "share of the limit that is used, 1 is all of it", Formula: "angle over limit", Unit: align.UnitOne, Decimals: 2},
		func(v Values) float64 { return v["largest"] / v["limit"] })
	askVerdict(m, "share")
}

// passFail are the words of a verdict.
var passFail = []string{"pass", "fail"}

// askVerdict asks whether a share is within its limit; all of it is within.
func askVerdict(m *sheetMaker, share string) {
	m.ask(Step{ID: "verdict", Says: "is it within the limit", Formula: "pass when no more than all of the limit is used", Choices: passFail},
		func(v Values) float64 {
			if v[share] <= 1 {
				return 0
			}
			return 1
		})
}
