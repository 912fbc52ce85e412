package worksheet

import (
	"fmt"
	"math/rand/v2"

	"collinear.example/align"
)

func feelerKind() kind {
	return kind{
		name:  "feeler-gauge",
		title: "Straightedge and feelers at the hubs",
		asks:  "The shafts stand still. Find the offset from the gaps under the straightedge and the slope from the gaps between the faces, and say what to do at the feet of the second machine.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			return feelerRecord(newInventor(r), d)
		},
		build:    feelerSheet,
		mistakes: feelerMistakes(),
	}
}

// feelerRecord invents a job. When it is severe the hubs differ in size, so that a
// gap on one side alone misleads.
func feelerRecord(v inventor, d Difficulty) *Record {
	r := v.record("Straightedge and feelers, first setting")
	hub := v.length(110, 280)
	station := v.length(30, 90)
	inboard := station + v.length(120, 400)
	outboard := inboard + v.length(300, 900)
	r.Train.Machines[1].Feet = []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: outboard}}
	l := v.line()
	up, right := l.at(v.mm(station))
	step := v.um(v.reading(20, 60)) // half the difference of the hubs' sizes
	if d == Severe {
		step = v.um(v.signed(80, 200))
	}
	mean := v.um(v.reading(2600, 3400))
	halfD := v.mm(hub) / 2
	edge := four(v, step, -up, -right)
	gaps := four(v, mean, -halfD*l.upSlope, -halfD*l.rightSlope)
	if d == Plain {
		edge, gaps = []Reading{edge[0], edge[2]}, []Reading{gaps[0], gaps[2]}
	}
	r.Hubs = []HubGaps{{Coupling: "coupling", Diameter: hub, Gaps: gaps, Straightedge: &StraightedgeGaps{Station: station, Gaps: edge}}}
	return r
}

// four returns gaps at 12, 3, 6 and 9 with that mean and first harmonic in
// micrometres.
func four(v inventor, mean, up, right float64) []Reading {
	return []Reading{{0, v.division(mean + up)}, {90, v.division(mean + right)}, {180, v.division(mean - up)}, {270, v.division(mean - right)}}
}

// feelerStart is the place from which the line is drawn to the feet.
var feelerStart = lineStart{offset: "offset.hub.", station: "station.hub", words: "the second hub"}

func feelerSheet(r *Record) (*Sheet, error) {
	if len(r.Hubs) == 0 || r.Hubs[0].Straightedge == nil {
		return nil, fault("hubs[0].straightedge", "", align.ErrMissing)
	}
	hubs := &r.Hubs[0]
	feet, err := r.feetOf(1)
	if err != nil {
		return nil, err
	}
	if !(hubs.Diameter > 0) {
		return nil, fault("hubs[0].diameter", "", align.ErrZeroDiameter)
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "feeler-gauge"}}
	moving := r.Train.Machines[1].Name
	planes := 2
	for _, g := range []struct {
		id, says, path string
		gaps           []Reading
	}{
		{"edge", "gap over the " + moving + " hub, under a straightedge held on the other hub (minus: the " + moving + " hub stands proud)", "hubs[0].straightedge.gaps", hubs.Straightedge.Gaps},
		{"gap", "gap between the faces of the hubs", "hubs[0].gaps", hubs.Gaps},
	} {
		q := dialQuartersOf(&Dial{Readings: g.gaps})
		if !q.read[0] || !q.read[2] {
			return nil, fault(g.path, "", align.ErrMissing)
		}
		if q.sides() < 2 {
			planes = 1
		}
		for i, at := range dialHours {
			if q.read[i] {
				m.given(g.id+"."+at, fmt.Sprintf("%s, at %s o'clock", g.says, at), u.reading(q.value[i]), u.Reading, u.readingDecimals())
			}
		}
	}
	m.given("diameter", "diameter at which the gaps between the faces were taken", u.length(hubs.Diameter), u.Length, 2)
	m.given("station.hub", "station of the rim of the "+moving+" hub", u.length(hubs.Straightedge.Station), u.Length, 2)
	givenFeet(m, u, moving, feet)
	for _, plane := range bothPlanes[:planes] {
		feelerSteps(m, u, plane, moving)
		askFeet(m, u, feelerStart, plane, moving, feet)
	}
	return &m.Sheet, nil
}

// feelerSteps asks offset and slope of one plane: (bottom - top)/2 under the
// straightedge and (bottom - top)/D between the faces; left and right likewise
// (align.StraightedgeGaps and align.FaceGaps).
func feelerSteps(m *sheetMaker, u Units, plane, moving string) {
	from, less, sense, way := "6", "12", HighLow, "how high or low"
	if plane == "horizontal" {
		from, less, sense, way = "9", "3", RightLeft, "how far right or left"
	}
	m.ask(Step{ID: "offset.hub." + plane, Says: way + " the " + moving + " shaft stands at its hub",
		Formula: "half of the gap under the straightedge at " + from + " less that at " + less,
		Unit:    u.Reading, Decimals: u.readingDecimals() + 1, Sense: sense},
		func(v Values) float64 { return (v["edge."+from] - v["edge."+less]) / 2 })
	m.ask(slopeStep(u, plane, moving, "gap between the faces at "+from+" less that at "+less+", over the diameter; nothing is halved"),
		func(v Values) float64 { return (v["gap."+from] - v["gap."+less]) / v["diameter"] })
}

// feelerMistakes are those of a job with straightedge and feelers.
func feelerMistakes() []Mistake {
	const v, h = "offset.hub.vertical", "offset.hub.horizontal"
	edge := func(wrong func(from, less float64) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return eachOf([]string{v, h}, func(id string) bool {
				from, less := "edge.6", "edge.12"
				if id == h {
					from, less = "edge.9", "edge.3"
				}
				return s.replace(id, func(w Values, _ float64) float64 { return wrong(w[from], w[less]) })
			})
		}
	}
	return append([]Mistake{
		slip("straightedge-whole", scaled(2, v, h)),
		slip("halved-twice", scaled(0.5, v, h)),
		slip("straightedge-sign", scaled(-1, v, h)),
		slip("rim-side-alone", edge(func(_, less float64) float64 { return -less })),
		slip("straightedge-mean", edge(func(from, less float64) float64 { return (from + less) / 2 })),
		slip("offsets-turned", scaled(-1, v, h, "slope.vertical", "slope.horizontal")),
		slip("gaps-halved", scaleSlopes(0.5)),
		slip("radius-for-diameter", scaleSlopes(2)),
		slip("face-not-divided", notDivided("diameter")),
		slip("face-sign", scaleSlopes(-1)),
		slip("face-as-offset", eachFoot(bothPlanes, func(w Values, _ float64, plane, _ string) float64 {
			return -(w["offset.hub."+plane] + w["slope."+plane]*w["diameter"])
		})),
		slip("sides-exchanged", scaled(-1, h, "slope.horizontal")),
	}, feelerStart.mistakes()...)
}
