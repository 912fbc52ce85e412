package worksheet

import (
	"math"
	"math/rand/v2"

	"collinear.example/align"
)

func faceKind() kind {
	return kind{
		name:  "face-runout",
		title: "Runout of a hub face, and half a turn of both shafts",
		asks:  "Find the tilt of the hub's face from its sweep; then, from the gaps between the hubs before and after half a turn of both shafts, part the error of the hubs from the misalignment, and find what to do about its slope.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			v := newInventor(r)
			return lively(func() *Record { return faceRecord(v, d) }, faceSheet)
		},
		build:    faceSheet,
		mistakes: faceMistakes(),
	}
}

// faceRecord invents gaps at top and bottom before and after half a turn, for
// Severe at the sides as well, and but for Plain a sweep of the face.
func faceRecord(v inventor, d Difficulty) *Record {
	r := v.record("Gaps between the hubs before and after half a turn")
	diameter := v.length(100, 320)
	inboard := v.length(150, 400)
	m := &r.Train.Machines[1]
	m.Feet = []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: inboard + v.length(300, 1100)}}
	if d > Plain {
		e := v.vector(40, 110)
		r.Runout = []RunoutSweep{{Machine: m.Name, Part: hubFacePart, Diameter: diameter - v.length(10, 40), Readings: v.sweepOf(e, v.sign()*(8+10*v.Float64()))}}
	}
	base := 3000 + 2000*v.Float64()
	net, own := [2]float64{v.sign() * (90 + 200*v.Float64()), 0}, [2]float64{v.sign() * (30 + 120*v.Float64()), 0}
	if d == Severe {
		net[1], own[1] = v.sign()*(60+200*v.Float64()), v.sign()*(30+120*v.Float64())
	}
	for i, turned := range []float64{0, 180} {
		sign := float64(1 - 2*i)
		g := HubGaps{Coupling: r.Train.Couplings[0].Name, Diameter: diameter, Turned: turned}
		up, right := net[0]+sign*own[0], net[1]+sign*own[1]
		for k, um := range [4]float64{up / 2, right / 2, -up / 2, -right / 2} {
			if d == Severe || k%2 == 0 {
				g.Gaps = append(g.Gaps, Reading{At: float64(90 * k), Value: v.division(base + um)})
			}
		}
		r.Hubs = append(r.Hubs, g)
	}
	return r
}

// halfTurn returns the gaps before and after half a turn of both shafts. The sides
// are there when all readings are.
func (r *Record) halfTurn() (before, after [4]float64, sides bool, err error) {
	if len(r.Hubs) < 2 {
		return before, after, false, fault("hubs", "", align.ErrMissing)
	}
	a, b := &r.Hubs[0], &r.Hubs[1]
	switch {
	case math.Abs(b.Turned-a.Turned) != 180:
		return before, after, false, fault("hubs[1].turned", align.UnitDegree.Format(align.UnitDegree.SI(b.Turned), 1), align.ErrMismatch)
	case a.Coupling != b.Coupling:
		return before, after, false, fault("hubs[1].coupling", b.Coupling, align.ErrMismatch)
	case a.Diameter != b.Diameter:
		return before, after, false, fault("hubs[1].diameter", align.UnitMillimetre.Format(r.Units.length(b.Diameter), 3), align.ErrMismatch)
	}
	sides = len(a.Gaps) >= 4 && len(b.Gaps) >= 4
	for i, g := range []*HubGaps{a, b} {
		at := &before
		field := "hubs[0].gaps"
		if i == 1 {
			at, field = &after, "hubs[1].gaps"
		}
		if sides {
			*at, err = quarters(field, g.Gaps)
		} else {
			*at, err = topAndBottom(field, g.Gaps)
		}
		if err != nil {
			return before, after, false, err
		}
	}
	return before, after, sides, nil
}

// topAndBottom returns the readings at 12 and 6 o'clock in the places of quarters.
func topAndBottom(field string, rs []Reading) (at [4]float64, err error) {
	var have [2]bool
	for _, p := range rs {
		if p.At == 0 || p.At == 180 {
			k := int(p.At / 90)
			at[k], have[k/2] = p.Value, true
		}
	}
	if !have[0] || !have[1] {
		return at, fault(field, "", align.ErrTooFewPositions)
	}
	return at, nil
}

func faceSheet(r *Record) (*Sheet, error) {
	before, after, sides, err := r.halfTurn()
	if err != nil {
		return nil, err
	}
	u := r.Units
	diameter, err := u.size("hubs[0].diameter", r.Hubs[0].Diameter)
	if err != nil {
		return nil, err
	}
	m := &sheetMaker{Sheet{Kind: "face-runout"}}
	if err := faceSweep(m, r); err != nil {
		return nil, err
	}
	for i, q := range quarterNames {
		if i%2 == 1 && !sides {
			continue
		}
		m.given("before."+q, "gap between the hubs at "+q+" o'clock, first set", u.reading(before[i]), u.Reading, u.readingDecimals())
		m.given("after."+q, "gap between the hubs at "+q+" o'clock, after half a turn of both shafts", u.reading(after[i]), u.Reading, u.readingDecimals())
	}
	m.given("diameter", "diameter of the circle on which the gaps were taken", diameter, u.Length, 2)
	far, span, err := r.farFeet(r.Hubs[0].Coupling)
	if err != nil {
		return nil, err
	}
	if span > 0 {
		m.given("span", "distance between inboard and outboard feet of the "+far, span, u.Length, 2)
	}
	halfTurnSteps(m, u, far, span, "vertical", "12", "6", "at the top than at the bottom", "rising", RaiseLower)
	if sides {
		halfTurnSteps(m, u, far, span, "horizontal", "3", "9", "at 3 o'clock than at 9", "going right", RightLeft)
	}
	return &m.Sheet, nil
}

// farFeet returns the far machine of a coupling and the distance between its first
// and last feet, 0 when it has no two.
func (r *Record) farFeet(coupling string) (far string, span float64, err error) {
	for _, c := range r.Train.Couplings {
		if c.Name == coupling {
			far = c.Far
		}
	}
	if far == "" {
		return "", 0, fault("hubs[0].coupling", coupling, align.ErrMismatch)
	}
	for _, m := range r.Train.Machines {
		if m.Name != far || len(m.Feet) == 0 {
			continue
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, f := range m.Feet {
			lo, hi = min(lo, f.Station), max(hi, f.Station)
		}
		span = r.Units.length(hi - lo)
	}
	return far, span, nil
}

// faceSweep asks the tilt of the first face that was swept, if any.
func faceSweep(m *sheetMaker, r *Record) error {
	s, field, err := r.sweptPart(hubFacePart)
	if err != nil {
		return nil // none was swept
	}
	u := r.Units
	diameter, err := u.size(field+".diameter", s.Diameter)
	if err != nil {
		return err
	}
	if _, err := m.givenSweep(r, "face", "face of the hub of the "+s.Machine+", turned alone under a dial on the base", hubFacePart); err != nil {
		return err
	}
	m.given("swept", "diameter swept on the face", diameter, u.Length, 2)
	m.ask(Step{ID: "face.tir", Says: "total indicator reading of the face", Formula: "highest less lowest of the four, with their signs", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return v.spreadOf("face.12", "face.3", "face.6", "face.9") })
	m.ask(Step{ID: "face.vertical", Says: "reading of the face at the mark 12 less that at 6", Formula: "with their signs", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return v["face.12"] - v["face.6"] })
	m.ask(Step{ID: "face.horizontal", Says: "reading of the face at the mark 3 less that at 9", Formula: "with their signs", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return v["face.3"] - v["face.9"] })
	m.ask(Step{ID: "face.tilt", Says: "tilt of the face to a plane square to the axis", Formula: "root of the sum of the squares of both differences, over the swept diameter", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return math.Hypot(v["face.vertical"], v["face.horizontal"]) / v["swept"] })
	m.ask(Step{ID: "face.high", Says: "toward which mark the face stands out, in degrees clockwise from 12", Formula: "the clock angle of both differences", Unit: align.UnitDegree},
		func(v Values) float64 { return angleOf(v["face.vertical"], v["face.horizontal"]) })
	return nil
}

// halfTurnSteps asks one plane. What turns with the hubs changes its sign in half a
// turn, what belongs to the shafts stays (align.HalfTurn). A gap wider at the top
// is a far shaft that falls away.
func halfTurnSteps(m *sheetMaker, u Units, far string, span float64, plane, at, opposite, where, way string, sense Sense) {
	d := u.meanDecimals()
	for _, set := range []struct{ id, says string }{{"before", "first set"}, {"after", "after half a turn"}} {
		m.ask(Step{ID: set.id + "." + plane, Says: "how much wider the gap is " + where + ", " + set.says, Formula: "gap at " + at + " less gap at " + opposite, Unit: u.Reading, Decimals: d, Sense: WiderCloser},
			func(v Values) float64 { return v[set.id+"."+at] - v[set.id+"."+opposite] })
	}
	m.ask(Step{ID: "net." + plane, Says: "how much wider the misalignment alone makes it " + where, Formula: "half of the sum of both, with their signs", Unit: u.Reading, Decimals: d, Sense: WiderCloser},
		func(v Values) float64 { return (v["before."+plane] + v["after."+plane]) / 2 })
	m.ask(Step{ID: "error." + plane, Says: "what the hubs' own error makes of it in the first set, " + plane + " plane", Formula: "half of the first less the second, with their signs", Unit: u.Reading, Decimals: d, Sense: WiderCloser},
		func(v Values) float64 { return (v["before."+plane] - v["after."+plane]) / 2 })
	m.ask(Step{ID: "slope." + plane, Says: "slope of the " + far + " shaft, " + plane + " plane, plus " + way + " away from the first machine", Formula: "minus what the misalignment makes, over the diameter of the circle of the gaps", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return -v["net."+plane] / v["diameter"] })
	if span > 0 {
		m.ask(Step{ID: "move." + plane, Says: "what to do at the outboard feet of the " + far + ", the inboard ones left as they are, to take that slope out", Formula: "minus slope times the distance between the feet", Unit: u.Reading, Decimals: u.readingDecimals(), Sense: sense},
			func(v Values) float64 { return -v["slope."+plane] * v["span"] })
	}
}
