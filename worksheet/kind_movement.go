package worksheet

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
)

func movementKind() kind {
	return kind{
		name:  "measured-movement",
		title: "Movement measured from off-line to running",
		asks: "Both shafts were watched at two stations from standing cold to running. Draw each line of movement on to the coupling and to the feet of the second machine, " +
			"and say where those feet are to be set cold, so that both shafts run in line. A movement is read directly.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return movementRecord(newInventor(r), d) },
		build:    movementSheet,
		mistakes: movementMistakes(),
	}
}

// movementRecord invents movements at two stations of each machine. In a plain job
// nothing moves sideways.
func movementRecord(v inventor, d Difficulty) *Record {
	r := v.record("Movement from off-line to running")
	r.Train.Couplings[0].FlexPlanes = []float64{0}
	movements := make([]Movement, 2)
	for i := range movements {
		side := float64(2*i - 1)
		inboard := side * v.length(150, 350)
		outboard := inboard + side*v.length(400, 1100)
		a := Moved{Station: inboard, Up: v.reading(80, 450)}
		b := Moved{Station: outboard, Up: v.reading(80, 450)}
		if a.Up == b.Up {
			b.Up = cleaned(b.Up + v.reading(40, 90))
		}
		if d != Plain {
			a.Right, b.Right = v.signed(40, 250), v.signed(40, 250)
		}
		m := &r.Train.Machines[i]
		m.Fixed = i == 0
		m.Feet = []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: outboard}}
		movements[i] = Movement{Machine: m.Name, Measured: []Moved{a, b}}
	}
	r.States = []State{{Name: "running", Machines: movements}}
	if d == Severe { // measured at the bearings, not at the feet
		m := &r.Train.Machines[1]
		m.Feet[0].Station += v.length(40, 140)
		m.Feet[1].Station += v.length(40, 140)
	}
	return r
}

func movementSheet(r *Record) (*Sheet, error) {
	c, err := r.coupled()
	if err != nil {
		return nil, err
	}
	coupling, err := r.couplingStation(c)
	if err != nil {
		return nil, err
	}
	u := r.Units
	feet, err := r.endFeet(c.Far, coupling)
	if err != nil {
		return nil, err
	}
	m := &sheetMaker{Sheet{Kind: "measured-movement"}}
	tails := []string{".vertical"}
	for _, side := range []struct{ id, name string }{{"near", c.Near}, {"far", c.Far}} {
		moved, err := r.twoMoved(side.name, coupling)
		if err != nil {
			return nil, err
		}
		for i, end := range []string{"inboard", "outboard"} {
			id, says := side.id+"."+end, "movement of the "+side.name+" shaft measured at its "+end+" end"
			m.given("station."+id, says+", station", u.length(moved[i].Station), u.Length, 2)
			m.given("growth."+id+".vertical", says+", plus up", u.reading(moved[i].Up), u.Reading, u.readingDecimals())
			m.given("growth."+id+".horizontal", says+", plus right", u.reading(moved[i].Right), u.Reading, u.readingDecimals())
			if moved[i].Right != 0 {
				tails = []string{".vertical", ".horizontal"}
			}
		}
	}
	m.given("coupling", "station of the middle of the coupling", coupling, u.Length, 2)
	for i, end := range []string{"inboard", "outboard"} {
		m.given("foot."+end, "station of the "+end+" feet of the "+c.Far, feet[i], u.Length, 2)
	}
	for _, t := range tails {
		askShafts(m, u, t, c)
		askFootTargets(m, u, t, c)
	}
	return &m.Sheet, nil
}

// askFootTargets asks the target at the feet: minus the difference of both lines of
// movement there.
func askFootTargets(m *sheetMaker, u Units, tail string, c *Coupling) {
	sense, words := HighLow, "how high or low"
	if tail == ".horizontal" {
		sense, words = RightLeft, "how far right or left"
	}
	for _, end := range []string{"inboard", "outboard"} {
		for _, side := range []string{"near", "far"} {
			m.through(Step{ID: "at." + side + "." + end + tail, Says: "movement of the line of the " + map[string]string{"near": c.Near, "far": c.Far}[side] + " shaft at the " + end + " feet" + planeWords(tail),
				Formula: "movement inboard plus its slope times the distance from there to the feet", Unit: u.Reading},
				func(v Values) float64 {
					return v["growth."+side+".inboard"+tail] + v["slope."+side+tail]*(v["foot."+end]-v["station."+side+".inboard"])
				})
		}
		m.ask(Step{ID: "target." + end + tail, Says: words + " the " + end + " feet of the " + c.Far + " are to be set cold, against the line of the " + c.Near + " shaft",
			Formula: "minus (movement of the " + c.Far + " shaft at those feet less that of the line of the " + c.Near + " shaft drawn on to there)",
			Unit:    u.Reading, Decimals: u.growthDecimals(), Sense: sense},
			func(v Values) float64 { return -(v["at.far."+end+tail] - v["at.near."+end+tail]) })
	}
}

// twoMoved returns the movement measured at two stations of a machine, the one
// closer to the coupling first.
func (r *Record) twoMoved(machine string, coupling float64) (out [2]Moved, err error) {
	m, field, err := r.movementOf(machine)
	if err != nil {
		return out, err
	}
	if len(m.Measured) != 2 {
		return out, fault(field+".measured", fmt.Sprint(len(m.Measured)), align.ErrMismatch)
	}
	copy(out[:], m.Measured)
	if out[0].Station == out[1].Station {
		return out, fault(field+".measured[1].station", "", align.ErrCoincident)
	}
	slices.SortStableFunc(out[:], func(a, b Moved) int {
		return cmp.Compare(math.Abs(r.Units.length(a.Station)-coupling), math.Abs(r.Units.length(b.Station)-coupling))
	})
	return out, nil
}

// endFeet returns the stations of the feet closest to the coupling and farthest
// from it, in SI units.
func (r *Record) endFeet(machine string, coupling float64) (out [2]float64, err error) {
	i := slices.IndexFunc(r.Train.Machines, func(m Machine) bool { return m.Name == machine })
	if i < 0 {
		return out, fault("train.machines", machine, align.ErrMissing)
	}
	feet, err := r.feetOf(i)
	if err != nil {
		return out, err
	}
	for k, f := range feet {
		x := r.Units.length(f.Station)
		if k == 0 || math.Abs(x-coupling) < math.Abs(out[0]-coupling) {
			out[0] = x
		}
		if k == 0 || math.Abs(x-coupling) > math.Abs(out[1]-coupling) {
			out[1] = x
		}
	}
	if out[0] == out[1] {
		return out, fault(fmt.Sprintf("train.machines[%d].feet", i), "", align.ErrCoincident)
	}
	return out, nil
}
