package worksheet

import "math/rand/v2"

func coldKind() kind {
	return kind{
		name:  "cold-target",
		title: "Where to set the second machine cold",
		asks: "Find how far each support grows and where the shafts go from there. The growth of a shaft is a straight line through that of its two supports. " +
			"Say how the second machine is to stand cold against the line of the first shaft, so that both shafts run in line.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return coldRecord(newInventor(r), d) },
		build:    coldSheet,
		mistakes: coldMistakes(),
	}
}

// coldRecord invents two machines with the coupling at station 0 between them; one
// of them warms much more than the other.
func coldRecord(v inventor, d Difficulty) *Record {
	r := v.record("Two machines from cold to running")
	v.scale(r)
	r.Train.Couplings[0].FlexPlanes = []float64{0}
	cold := v.ambient(d)
	hotter := v.IntN(2)
	movements := make([]Movement, 2)
	for i := range movements {
		side := float64(2*i - 1)
		inboard := side * v.length(200, 450)
		outboard := inboard + side*v.length(400, 1100)
		low := [2]float64{35, 55}
		if i == hotter {
			low = [2]float64{65, 95}
		}
		a := v.warm(d, inboard, cold, low[0], low[0]+15)
		b := v.warm(d, outboard, cold, low[1], low[1]+15)
		m := &r.Train.Machines[i]
		m.Fixed = i == 0
		m.Feet = []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: outboard}}
		movements[i] = Movement{Machine: m.Name, Supports: []Support{a, b}}
	}
	r.States = []State{{Name: "running", Machines: movements}}
	if d == Severe {
		r.Sag = []SagTest{{Bracket: "on the first hub", Kind: "roll-over", Reading: -v.reading(50, 150)}}
	}
	return r
}

// coldSheet asks growth, the lines of growth and the target. With m the movement of
// a shaft the target is -(far m - near m), at the coupling and at the feet.
func coldSheet(r *Record) (*Sheet, error) {
	c, err := r.coupled()
	if err != nil {
		return nil, err
	}
	coupling, err := r.couplingStation(c)
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "cold-target"}}
	var all []heated
	for _, side := range []struct{ id, name string }{{"near", c.Near}, {"far", c.Far}} {
		supports, err := r.twoSupports(side.name, coupling)
		if err != nil {
			return nil, err
		}
		for i, end := range []string{"inboard", "outboard"} {
			h := supports[i]
			h.id, h.says = side.id+"."+end, end+" feet of the "+side.name
			m.given("station."+h.id, h.says+", station", h.station, u.Length, 2)
			givenHeat(m, u, h)
			all = append(all, h)
		}
	}
	m.given("coupling", "station of the middle of the coupling", coupling, u.Length, 2)
	for _, h := range all {
		askGrowth(m, u, h, false)
	}
	askShafts(m, u, "", c)
	m.ask(Step{ID: "target.coupling", Says: "how high or low the " + c.Far + " shaft is to stand at the coupling, cold",
		Formula: "minus (movement of the " + c.Far + " shaft less that of the " + c.Near + " shaft)", Unit: u.Reading, Decimals: u.growthDecimals(), Sense: HighLow},
		func(v Values) float64 { return -(v["shaft.far"] - v["shaft.near"]) })
	askReach(m, u, "", c)
	askTargets(m, u, "", c, HighLow)
	if len(r.Sag) > 0 {
		askTargetReading(m, r, c)
	}
	return &m.Sheet, nil
}

// askShafts asks how far both shafts move at the coupling: the line through the
// movement at two stations, drawn on. The ids of the steps end in tail.
func askShafts(m *sheetMaker, u Units, tail string, c *Coupling) {
	for _, side := range []struct{ id, name string }{{"near", c.Near}, {"far", c.Far}} {
		in, out := "growth."+side.id+".inboard"+tail, "growth."+side.id+".outboard"+tail
		xIn, xOut := "station."+side.id+".inboard", "station."+side.id+".outboard"
		m.through(Step{ID: "slope." + side.id + tail, Says: "slope of the movement of the " + side.name + " shaft" + planeWords(tail),
			Formula: "movement outboard less movement inboard, over the distance between them", Unit: u.slopeUnit()},
			func(v Values) float64 { return (v[out] - v[in]) / (v[xOut] - v[xIn]) })
		m.ask(Step{ID: "shaft." + side.id + tail, Says: "movement of the " + side.name + " shaft at the coupling" + planeWords(tail) + ", plus " + plusWay(tail),
			Formula: "movement inboard plus its slope times the distance from there to the coupling", Unit: u.Reading, Decimals: u.growthDecimals()},
			func(v Values) float64 { return v[in] + v["slope."+side.id+tail]*(v["coupling"]-v[xIn]) })
	}
}

// askReach asks where the line of the first shaft goes at the feet of the second.
func askReach(m *sheetMaker, u Units, tail string, c *Coupling) {
	in := "growth.near.inboard" + tail
	for _, end := range []string{"inboard", "outboard"} {
		at := "station.far." + end
		m.ask(Step{ID: "reach." + end + tail, Says: "movement of the line of the " + c.Near + " shaft, drawn on to the " + end + " feet of the " + c.Far + planeWords(tail) + ", plus " + plusWay(tail),
			Formula: "movement inboard plus its slope times the distance from there to those feet", Unit: u.Reading, Decimals: u.growthDecimals()},
			func(v Values) float64 { return v[in] + v["slope.near"+tail]*(v[at]-v["station.near.inboard"]) })
	}
}

// askTargets asks the target at the feet of the second machine.
func askTargets(m *sheetMaker, u Units, tail string, c *Coupling, sense Sense) {
	words := "how high or low"
	if sense == RightLeft {
		words = "how far right or left"
	}
	for _, end := range []string{"inboard", "outboard"} {
		m.ask(Step{ID: "target." + end + tail, Says: words + " the " + end + " feet of the " + c.Far + " are to be set cold, against the line of the " + c.Near + " shaft",
			Formula: "minus (movement of those feet less that of the line of the " + c.Near + " shaft there)", Unit: u.Reading, Decimals: u.growthDecimals(), Sense: sense},
			func(v Values) float64 { return -(v["growth.far."+end+tail] - v["reach."+end+tail]) })
	}
}

func planeWords(tail string) string {
	switch tail {
	case ".vertical":
		return ", vertical plane"
	case ".horizontal":
		return ", horizontal plane"
	}
	return ""
}

func plusWay(tail string) string {
	if tail == ".horizontal" {
		return "right"
	}
	return "up"
}

// askTargetReading asks what a rim dial on the far hub is to show: minus twice the
// target, and the sag.
func askTargetReading(m *sheetMaker, r *Record, c *Coupling) {
	u := r.Units
	sag, _ := r.sagOf(r.Sag[0].Bracket)
	m.given("sag", "sag of the bracket that will be used (roll-over, zero at 12, read at 6)", sag, u.Reading, u.readingDecimals())
	m.ask(Step{ID: "reading", Says: "what a dial on the rim of the " + c.Far + " hub at the coupling, its bracket on the " + c.Near + " shaft, zeroed at 12, is to show at 6 when the target is met",
		Formula: "minus twice the target at the coupling, plus the sag", Unit: u.Reading, Decimals: u.growthDecimals()},
		func(v Values) float64 { return -2*v["target.coupling"] + v["sag"] })
}
