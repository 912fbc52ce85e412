package worksheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

func rockingKind() kind {
	return kind{
		name:  "rocking-machine",
		title: "A machine that rocks on four feet",
		asks:  "From the gaps under the four feet, all bolts loose, find the twist and which diagonal is low, shim it, and see what the usual wrong shims would leave.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			v := newInventor(r)
			return lively(func() *Record { return rockingRecord(v, d) }, rockingSheet)
		},
		build:    rockingSheet,
		mistakes: rockingMistakes(),
	}
}

// rockingRecord invents a machine whose one diagonal is low. For Severe every foot
// has a gap at each corner.
func rockingRecord(v inventor, d Difficulty) *Record {
	r := v.record("Gaps under four feet")
	m := &r.Train.Machines[1]
	near, half := v.length(300, 700), v.length(150, 350)
	far := near + v.length(350, 1100)
	left, right := -half, half
	shims := v.division(1000 + 2000*v.Float64())
	m.Feet = []Foot{
		{Name: "inboard left", Station: near, Lateral: &left, Shims: &shims}, {Name: "inboard right", Station: near, Lateral: &right, Shims: &shims},
		{Name: "outboard right", Station: far, Lateral: &right, Shims: &shims}, {Name: "outboard left", Station: far, Lateral: &left, Shims: &shims},
	}
	// The low diagonal has the large gaps; a machine propped between its two ways
	// to stand has some under the other one too.
	gaps := [4]float64{10 + 30*v.Float64(), 150 + 250*v.Float64(), 0, 60 + 70*v.Float64()}
	turn := v.IntN(4)
	for i, f := range m.Feet {
		g := FootGaps{Machine: m.Name, Foot: f.Name, Length: v.length(80, 160), Width: v.length(60, 120)}
		um := gaps[(i+turn)%4]
		at := func() float64 { return v.division(um) }
		if d == Severe {
			at = func() float64 { return v.division(um + 60*v.Float64()) }
		}
		even := at()
		g.NearLeft, g.NearRight, g.FarLeft, g.FarRight = even, even, even, even
		if d == Severe {
			g.NearRight, g.FarLeft, g.FarRight = at(), at(), at()
		}
		r.Gaps = append(r.Gaps, g)
	}
	return r
}

// rocking finds the first machine with gaps under four feet: its feet in order
// round the rectangle, from the first one given, with the gaps of each.
func (r *Record) rocking() (feet []Foot, gaps []FootGaps, err error) {
	if len(r.Gaps) == 0 {
		return nil, nil, fault("gaps", "", align.ErrMissing)
	}
	i := slices.IndexFunc(r.Train.Machines, func(m Machine) bool { return m.Name == r.Gaps[0].Machine })
	if i < 0 {
		return nil, nil, fault("gaps[0].machine", r.Gaps[0].Machine, align.ErrMismatch)
	}
	field := fmt.Sprintf("train.machines[%d].feet", i)
	machine := &r.Train.Machines[i]
	if len(machine.Feet) != 4 {
		return nil, nil, notRectangle(field, fmt.Sprintf("%d feet", len(machine.Feet)))
	}
	for k, f := range machine.Feet {
		if f.Lateral == nil {
			return nil, nil, fault(fmt.Sprintf("%s[%d].lateral", field, k), "", align.ErrMissing)
		}
	}
	feet = roundFrom(machine.Feet)
	for _, f := range feet {
		k := slices.IndexFunc(r.Gaps, func(g FootGaps) bool { return g.Machine == machine.Name && g.Foot == f.Name })
		if k < 0 {
			return nil, nil, fault("gaps", "none under the foot "+f.Name, align.ErrMissing)
		}
		gaps = append(gaps, r.Gaps[k])
	}
	return feet, gaps, nil
}

// roundFrom returns four feet in order round their middle, the first one first.
func roundFrom(feet []Foot) []Foot {
	var x, z float64
	for _, f := range feet {
		x += f.Station / 4
		z += *f.Lateral / 4
	}
	angle := func(f Foot) float64 {
		a := math.Atan2(*f.Lateral-z, f.Station-x) - math.Atan2(*feet[0].Lateral-z, feet[0].Station-x)
		return math.Mod(a+4*math.Pi, 2*math.Pi)
	}
	out := slices.Clone(feet)
	slices.SortStableFunc(out[1:], func(a, b Foot) int {
		if angle(a) < angle(b) {
			return -1
		}
		return 1
	})
	return out
}

// stands is the machine as package softfoot sees it, with pads at heights of minus
// the gaps plus what is put under the feet.
func (u Units) stands(feet []Foot, gaps, change [4]float64) softfoot.Machine {
	var m softfoot.Machine
	for i, f := range feet {
		m.Feet = append(m.Feet, softfoot.Foot{Name: f.Name, Station: unit.Length(u.length(f.Station)), Lateral: unit.Length(u.length(*f.Lateral))})
		m.Heights = append(m.Heights, unit.Length(change[i]-gaps[i]))
	}
	return m
}

func (g *FootGaps) corners() [4]float64 {
	return [4]float64{g.NearLeft, g.NearRight, g.FarLeft, g.FarRight}
}

func rockingSheet(r *Record) (*Sheet, error) {
	feet, gaps, err := r.rocking()
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "rocking-machine"}}
	for i := range gaps {
		if err := rockingGap(m, u, i, &gaps[i]); err != nil {
			return nil, err
		}
	}
	w := m.Work()
	at := [4]float64{w["gap.1"], w["gap.2"], w["gap.3"], w["gap.4"]}
	stands := u.stands(feet, at, [4]float64{})
	if _, err := stands.Twist(); err != nil {
		return nil, err
	}
	diagonals := [2]string{feet[0].Name + " and " + feet[2].Name, feet[1].Name + " and " + feet[3].Name}
	rockingTwist(m, u, diagonals)
	rockingShims(m, u, diagonals)
	rockingPlan(m, u, feet)
	return &m.Sheet, nil
}

// rockingGap gives the gap under a foot, or its four corners and asks their mean.
func rockingGap(m *sheetMaker, u Units, i int, g *FootGaps) error {
	id := fmt.Sprintf("gap.%d", i+1)
	c := g.corners()
	for k, v := range c {
		if !(v >= 0) {
			return fault("gaps", fmt.Sprintf("%s at corner %d of the foot %s", u.Reading.Format(u.reading(v), 3), k+1, g.Foot), align.ErrNegative)
		}
	}
	if c == [4]float64{c[0], c[0], c[0], c[0]} {
		m.given(id, "gap under the "+g.Foot+" foot", u.reading(c[0]), u.Reading, u.readingDecimals())
		return nil
	}
	for k, v := range c {
		m.given(id+"."+wedgeCorners[k], "gap under the "+g.Foot+" foot, "+[4]string{"near left", "near right", "far left", "far right"}[k]+" corner", u.reading(v), u.Reading, u.readingDecimals())
	}
	m.ask(Step{ID: id, Says: "mean gap under the " + g.Foot + " foot", Formula: "sum of the four corners over four", Unit: u.Reading, Decimals: u.meanDecimals()},
		func(v Values) (sum float64) {
			for _, k := range wedgeCorners {
				sum += v[id+"."+k] / 4
			}
			return sum
		})
	return nil
}

// rockingTwist asks the sums over the diagonals, the twist and the low diagonal. A
// gap is a low pad, so the diagonal with the smaller sum stands high.
func rockingTwist(m *sheetMaker, u Units, diagonals [2]string) {
	for i, id := range []string{"sum.1", "sum.2"} {
		a, b := fmt.Sprintf("gap.%d", i+1), fmt.Sprintf("gap.%d", i+3)
		m.ask(Step{ID: id, Says: "gaps of the " + diagonals[i] + " feet together", Formula: "the one plus the other", Unit: u.Reading, Decimals: u.meanDecimals()},
			func(v Values) float64 { return v[a] + v[b] })
	}
	m.ask(Step{ID: "twist", Says: "twist: how high or low the diagonal " + diagonals[0] + " stands against the other one", Formula: "sum of the gaps of the other diagonal less sum of its own: a gap is a low pad",
		Unit: u.Reading, Decimals: u.meanDecimals(), Sense: HighLow},
		func(v Values) float64 { return v["sum.2"] - v["sum.1"] })
	m.ask(Step{ID: "low", Says: "which diagonal is low", Formula: "the one with the larger sum of gaps", Choices: diagonals[:]},
		func(v Values) float64 {
			if v["twist"] < 0 {
				return 0
			}
			return 1
		})
}

// rockingShims asks the shims that take the twist out, and what wrong ones leave.
// A shim s under a foot of the first diagonal changes the twist by +s, of the
// second by -s.
func rockingShims(m *sheetMaker, u Units, diagonals [2]string) {
	low := func(v Values) float64 { return 2*v["low"] - 1 } // +1: the second diagonal is low
	m.ask(Step{ID: "single", Says: "shim that takes the twist out, put under one foot of the low diagonal alone", Formula: "size of the twist", Unit: u.Reading, Decimals: u.meanDecimals()},
		func(v Values) float64 { return math.Abs(v["twist"]) })
	m.ask(Step{ID: "shared", Says: "shim under each, when both feet of the low diagonal are shimmed alike", Formula: "half of the twist under each", Unit: u.Reading, Decimals: u.meanDecimals()},
		func(v Values) float64 { return math.Abs(v["twist"]) / 2 })
	against := ": how high or low the diagonal " + diagonals[0] + " stands then"
	m.ask(Step{ID: "after.both", Says: "twist that is left if the full shim goes under both feet of the low diagonal" + against, Formula: "twist less twice the shim: the other diagonal hangs by as much",
		Unit: u.Reading, Decimals: u.meanDecimals(), Sense: HighLow},
		func(v Values) float64 { return v["twist"] - 2*low(v)*v["single"] })
	m.ask(Step{ID: "after.wrong", Says: "twist that is left if the full shim goes under one foot of the high diagonal" + against, Formula: "twist plus the shim: twice the twist",
		Unit: u.Reading, Decimals: u.meanDecimals(), Sense: HighLow},
		func(v Values) float64 { return v["twist"] + low(v)*v["single"] })
}

// seatedWithin is the twist at which a machine counts as seated: one division of a
// feeler or dial (common practice, no source).
func (u Units) seatedWithin() float64 {
	if u.Reading == align.UnitMil {
		return u.reading(0.5)
	}
	return align.UnitMillimetre.SI(0.01)
}

// rockingPlan asks shims at all four feet; package softfoot judges the twist they
// leave.
func rockingPlan(m *sheetMaker, u Units, feet []Foot) {
	var names []string
	for i, f := range feet {
		names = append(names, f.Name)
		if f.Shims != nil {
			m.given(fmt.Sprintf("shims.%d", i+1), "shims under the "+f.Name+" foot now", u.reading(*f.Shims), u.Reading, u.readingDecimals())
		}
	}
	within := u.seatedWithin()
	m.Steps = append(m.Steps, Step{ID: "plan", Asked: true, Unit: u.Reading, Decimals: u.meanDecimals(), Sense: RaiseLower, Plan: names,
		Says:    "shims to add or take out at each foot, 0 where nothing is done, so that no more twist is left than " + u.Reading.Format(within, u.readingDecimals()),
		Formula: "what is added under the low diagonal, less what is added under the high one, is the twist",
		Accept: func(v Values, plan map[string]float64) error {
			var gaps, change [4]float64
			for i, n := range names {
				gaps[i], change[i] = v[fmt.Sprintf("gap.%d", i+1)], plan[n]
				if feet[i].Shims != nil && -change[i] > u.reading(*feet[i].Shims)+leafTouch {
					return fmt.Errorf("there is not so much shim under the %s foot", n)
				}
			}
			stands := u.stands(feet, gaps, change)
			left, err := stands.Twist()
			if err == nil && math.Abs(float64(left)) > within+leafTouch {
				err = fmt.Errorf("leaves a twist of %s", u.Reading.Format(math.Abs(float64(left)), u.meanDecimals()))
			}
			return err
		}})
}

func rockingMistakes() []Mistake {
	twist := func(wrong func(v Values, right float64) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool { return s.replace("twist", wrong) }
	}
	return []Mistake{
		{Code: "gap-for-height", Says: "took the diagonal with the gaps for the high one: a gap is a pad that is low", Rank: 1, alter: twist(func(_ Values, right float64) float64 { return -right })},
		{Code: "twist-halved", Says: "halved the twist: took the means of the diagonals for their sums, or gaps for readings of a turning dial", Rank: 1, alter: twist(func(_ Values, right float64) float64 { return right / 2 })},
		{Code: "all-gaps-summed", Says: "added the gaps of all feet up: what counts is one diagonal against the other", Rank: 2, alter: twist(func(v Values, _ float64) float64 { return v["sum.1"] + v["sum.2"] })},
		{Code: "largest-gap", Says: "took the largest gap for the twist: the gap of the foot across the diagonal is part of it", Rank: 1, alter: twist(func(v Values, right float64) float64 {
			return math.Copysign(v.largestOf("gap.1", "gap.2", "gap.3", "gap.4"), right)
		})},
		slipSidesNotDiagonals(rockingPairs("gap.1", "gap.4", "gap.2", "gap.3")),
		{Code: "ends-not-diagonals", Says: "held one end against the other: twist is one diagonal against the other", Rank: 2, alter: rockingPairs("gap.1", "gap.2", "gap.3", "gap.4")},
		{Code: "both-fully", Says: "put the full shim under both feet of the low diagonal: that turns the twist round; half under each is enough", Rank: 1, alter: func(s *Sheet) bool {
			return s.scale(2, "shared") && s.putZero("after.both")
		}},
		{Code: "wrong-diagonal", Says: "thought that a shim under the high diagonal takes the twist out as well: it doubles it", Rank: 1,
			alter: func(s *Sheet) bool { return s.putZero("after.wrong") }},
		{Code: "shim-halved", Says: "halved the shim: it lifts a foot by its whole thickness", Rank: 2, alter: func(s *Sheet) bool { return s.scale(0.5, "single", "shared") }},
		{Code: "quarter-at-one", Says: "put a quarter of the twist under one foot: a quarter is what least squares leaves at each of the four", Rank: 3,
			alter: func(s *Sheet) bool { return s.scale(0.25, "single") }},
		{Code: "one-corner-for-foot", Says: "took one corner for the whole foot: four corners are needed", Rank: 2, alter: func(s *Sheet) bool {
			some := false
			for _, id := range []string{"gap.1", "gap.2", "gap.3", "gap.4"} {
				some = s.replace(id, func(v Values, _ float64) float64 { return v[id+"."+wedgeCorners[0]] }) || some
			}
			return some
		}},
	}
}

// rockingPairs takes other pairs of feet for the diagonals.
func rockingPairs(a, b, c, d string) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return s.replace("sum.1", func(v Values, _ float64) float64 { return v[a] + v[b] }) &&
			s.replace("sum.2", func(v Values, _ float64) float64 { return v[c] + v[d] })
	}
}
