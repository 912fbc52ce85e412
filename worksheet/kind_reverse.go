package worksheet

import (
	"math/rand/v2"

	"collinear.example/align"
)

func reverseKind() kind {
	return kind{
		name:  "reverse-indicator",
		title: "Two dials, one on each hub",
		asks:  "Correct the readings for the sag of the brackets, find the offset at either dial and the slope, and say what to do at the feet of the second machine.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			return reverseRecord(newInventor(r), d)
		},
		build:    reverseSheet,
		mistakes: reverseMistakes(),
	}
}

// reverseRecord invents a job: dials at the hubs, feet of the second machine
// behind them. When it is severe the stations are counted from a place before the
// first hub, the dials were not set to zero, and one side was out of reach.
func reverseRecord(v inventor, d Difficulty) *Record {
	r := v.record("Reverse-indicator readings, as found")
	start := 0.0
	if d == Severe {
		start = v.length(40, 120)
	}
	span := v.length(150, 450)
	far := start + span
	inboard := far + v.length(120, 400)
	outboard := inboard + v.length(300, 1100)
	r.Train.Machines[1].Feet = []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: outboard}}
	sagFar, sagNear := -v.reading(50, 150), -v.reading(50, 150)
	planes, topFar, topNear := 2, 0.0, 0.0
	switch d {
	case Plain:
		sagNear, planes = sagFar, 1
	case Severe:
		topFar, topNear = v.signed(60, 200), v.signed(60, 200)
		r.Train.Couplings[0].FlexPlanes = []float64{start + v.length(15, 35), far - v.length(15, 35)}
	}
	l := v.line()
	upFar, rightFar := l.at(v.mm(span))
	upNear, rightNear := l.at(0)
	r.Sag = []SagTest{{Bracket: "on the first hub", Kind: rollOver, Reading: sagFar}, {Bracket: "on the second hub", Kind: rollOver, Reading: sagNear}}
	near := v.sweep(-upNear, -rightNear, sagNear, topNear, planes)
	if d == Severe {
		near = near[:3]
	}
	r.Sets = []Set{{Stage: AsFound, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
		{Touches: rimDial, On: onFar, Station: far, Bracket: "on the first hub", Readings: v.sweep(upFar, rightFar, sagFar, topFar, planes)},
		{Touches: rimDial, On: onNear, Station: start, Bracket: "on the second hub", Readings: near},
	}}}
	return r
}

// twoDials are the dials of a reverse-indicator set with their words.
type twoDials struct {
	far, near *Dial
	names     [2]string // of the machines, near and far
}

// on is the machine on whose hub a dial stands.
func (t *twoDials) on(id string) string {
	if id == "far" {
		return t.names[1]
	}
	return t.names[0]
}

func (t *twoDials) dial(id string) *Dial {
	if id == "far" {
		return t.far
	}
	return t.near
}

// twoDials returns the dials of a reverse-indicator set, ready for a sheet in the
// vertical plane.
func (r *Record) twoDials(set int) (*twoDials, error) {
	far, near, err := r.reverseDials(set)
	if err != nil {
		return nil, err
	}
	if len(r.Train.Machines) < 2 {
		return nil, fault("train.machines", "", align.ErrMissing)
	}
	if far.Station == near.Station {
		return nil, fault("sets[0].dials.station", "", align.ErrCoincident)
	}
	return &twoDials{far, near, [2]string{r.Train.Machines[0].Name, r.Train.Machines[1].Name}}, nil
}

// reverseIDs are the dials of the sheet in the order in which they are worked.
var reverseIDs = []string{"far", "near"}

// reverseStart is the place from which the line is drawn to the feet.
var reverseStart = lineStart{offset: "offset.near.", station: "station.near", words: "the near dial"}

// The ids of a sheet are PLACE.PLANE; both planes are worked alike.
func reverseSheet(r *Record) (*Sheet, error) {
	t, err := r.twoDials(0)
	if err != nil {
		return nil, err
	}
	feet, err := r.feetOf(1)
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "reverse-indicator"}}
	planes := 2
	for i, id := range reverseIDs {
		d := t.dial(id)
		q := dialQuartersOf(d)
		if err := q.need(dialPath(0, i), 0, 2); err != nil {
			return nil, err
		}
		if q.sides() == 0 {
			planes = 1
		}
		givenDial(m, u, id, "dial on the "+t.on(id)+" hub", d)
		if err := givenSag(m, r, id, "dial on the "+t.on(id)+" hub", dialPath(0, i), d); err != nil {
			return nil, err
		}
	}
	reverseStations(m, r, t)
	givenFeet(m, u, t.names[1], feet)
	reverseOffsets(m, u, t)
	if planes == 2 {
		reverseSides(m, u, t)
	}
	for _, plane := range bothPlanes[:planes] {
		m.ask(slopeStep(u, plane, t.names[1], "offset at the far dial less offset at the near one, over the distance between the dials"),
			func(v Values) float64 {
				return (v["offset.far."+plane] - v["offset.near."+plane]) / (v["station.far"] - v["station.near"])
			})
		askFeet(m, u, reverseStart, plane, t.names[1], feet)
	}
	return &m.Sheet, nil
}

// reverseStations puts the places of the dials on the sheet, and of the flex
// planes where they are known.
func reverseStations(m *sheetMaker, r *Record, t *twoDials) {
	u := r.Units
	m.given("station.near", "station of the dial on the "+t.names[0]+" hub", u.length(t.near.Station), u.Length, 2)
	m.given("station.far", "station of the dial on the "+t.names[1]+" hub", u.length(t.far.Station), u.Length, 2)
	for _, c := range r.Train.Couplings {
		if c.Name != r.Sets[0].Coupling || len(c.FlexPlanes) != 2 || c.FlexPlanes[0] == c.FlexPlanes[1] {
			continue
		}
		m.given("flex.near", "station of the flex plane at the "+t.names[0], u.length(c.FlexPlanes[0]), u.Length, 2)
		m.given("flex.far", "station of the flex plane at the "+t.names[1], u.length(c.FlexPlanes[1]), u.Length, 2)
		return
	}
}

// reverseOffsets asks the vertical plane at the dials. With S the roll-over sag, a
// dial on the far hub reads -2e + S at 6, one on the near hub +2e + S.
func reverseOffsets(m *sheetMaker, u Units, t *twoDials) {
	for _, id := range reverseIDs {
		m.ask(Step{ID: "corrected." + id, Says: "reading at 6 o'clock of the dial on the " + t.on(id) + " hub, less that at 12, corrected for sag",
			Formula: "reading at 6 less reading at 12, less sag", Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) float64 { return v[id+".6"] - v[id+".12"] - v[id+".sag"] })
	}
	m.ask(Step{ID: "offset.far.vertical", Says: "how high or low the " + t.names[1] + " shaft stands at the dial on its own hub",
		Formula: "minus half of the corrected reading", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow},
		func(v Values) float64 { return -v["corrected.far"] / 2 })
	m.ask(Step{ID: "offset.near.vertical", Says: "how high or low the " + t.names[1] + " shaft stands at the dial on the " + t.names[0] + " hub",
		Formula: "plus half of the corrected reading: this dial touches the other shaft", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow},
		func(v Values) float64 { return v["corrected.near"] / 2 })
}

// reverseSides asks the horizontal plane at the dials: 3 less 9 is twice the
// offset. A side that could not be read follows from the other three.
func reverseSides(m *sheetMaker, u Units, t *twoDials) {
	for _, id := range reverseIDs {
		q := dialQuartersOf(t.dial(id))
		for i, at := range dialHours {
			if q.read[i] {
				continue
			}
			across := map[string]string{"3": "9", "9": "3"}[at]
			m.ask(Step{ID: id + "." + at, Says: "reading that the dial on the " + t.on(id) + " hub would have shown at " + at + " o'clock",
				Formula: "reading at 12 plus reading at 6, less reading at " + across, Unit: u.Reading, Decimals: u.readingDecimals()},
				func(v Values) float64 { return v[id+".12"] + v[id+".6"] - v[id+"."+across] })
		}
	}
	far, near := sideSign(t.far), -sideSign(t.near)
	m.ask(Step{ID: "offset.far.horizontal", Says: "how far right or left the " + t.names[1] + " shaft stands at the dial on its own hub",
		Formula: "half of reading at 3 less reading at 9", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: RightLeft},
		func(v Values) float64 { return far * (v["far.3"] - v["far.9"]) / 2 })
	m.ask(Step{ID: "offset.near.horizontal", Says: "how far right or left the " + t.names[1] + " shaft stands at the dial on the " + t.names[0] + " hub",
		Formula: "minus half of reading at 3 less reading at 9", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: RightLeft},
		func(v Values) float64 { return near * (v["near.3"] - v["near.9"]) / 2 })
}
