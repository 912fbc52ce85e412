package worksheet

import (
	"fmt"
	"math/rand/v2"

	"collinear.example/align"
)

func supportKind() kind {
	return kind{
		name:  "support-growth",
		title: "How far a machine rises when it warms",
		asks: "From the temperatures of the supports find by how much each of them grows, up to the height of the shaft. " +
			"Growth is coefficient times height times rise. The base stays cold.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return supportRecord(newInventor(r), d) },
		build:    supportSheet,
		mistakes: supportMistakes(),
	}
}

func supportRecord(v inventor, d Difficulty) *Record {
	r := v.record("A machine from cold to running")
	v.scale(r)
	cold := v.ambient(d)
	inboard := v.length(200, 500)
	a := v.warm(d, inboard, cold, 45, 75)
	b := v.warm(d, inboard+v.length(400, 1200), cold, 80, 110)
	floor, fluid := v.length(150, 600), v.temperature(130, 190)
	for _, s := range []*Support{&a, &b} {
		if d != Plain {
			s.AboveFloor = &floor
		}
		if d == Severe {
			s.Fluid = &fluid
		}
	}
	r.States = []State{{Name: "running", Machines: []Movement{{Machine: r.Train.Machines[1].Name, Supports: []Support{a, b}}}}}
	return r
}

// supportSheet asks the growth of every support of the first machine that has any.
func supportSheet(r *Record) (*Sheet, error) {
	if len(r.States) == 0 {
		return nil, fault("states", "", align.ErrMissing)
	}
	var (
		supports []Support
		machine  string
		field    string
	)
	for i, mv := range r.States[0].Machines {
		if len(mv.Supports) > 0 {
			supports, machine, field = mv.Supports, mv.Machine, fmt.Sprintf("states[0].machines[%d]", i)
			break
		}
	}
	if len(supports) == 0 {
		return nil, fault("states[0].machines", "", align.ErrMissing)
	}
	m := &sheetMaker{Sheet{Kind: "support-growth"}}
	all := make([]heated, len(supports))
	for i := range supports {
		h, err := r.heat(&supports[i], fmt.Sprintf("%s.supports[%d]", field, i))
		if err != nil {
			return nil, err
		}
		h.id = supportName(i, len(supports))
		h.says = h.id + " support of the " + machine
		givenHeat(m, r.Units, h)
		all[i] = h
	}
	for _, h := range all {
		askGrowth(m, r.Units, h, true)
	}
	if len(all) != 2 || all[0].station == all[1].station {
		return &m.Sheet, nil
	}
	for _, h := range all {
		m.given("station."+h.id, "station of the "+h.says, h.station, r.Units.Length, 2)
	}
	m.ask(Step{ID: "tilt", Says: "slope that the shaft gains, plus when the outboard end rises more",
		Formula: "growth outboard less growth inboard, over the distance between the supports", Unit: r.Units.slopeUnit(), Decimals: 3},
		func(v Values) float64 {
			return (v["growth.outboard"] - v["growth.inboard"]) / (v["station.outboard"] - v["station.inboard"])
		})
	return &m.Sheet, nil
}

func supportName(i, n int) string {
	if n == 2 {
		return [2]string{"inboard", "outboard"}[i]
	}
	return fmt.Sprintf("no. %d", i+1)
}

// givenHeat puts what a support is and how it warms on the sheet.
func givenHeat(m *sheetMaker, u Units, h heated) {
	m.given("height."+h.id, h.says+", height from its foot to the shaft", h.height, u.Length, 2)
	if h.floor != nil {
		m.given("floor."+h.id, h.says+", height of the base under it above the floor", u.length(*h.floor), u.Length, 2)
	}
	m.given("cold."+h.id, h.says+", temperature when the machines were aligned", h.cold, u.Temperature, 1)
	m.given("hot."+h.id, h.says+", temperature of its metal running", h.hot, u.Temperature, 1)
	if h.fluid != nil {
		m.given("fluid."+h.id, h.says+", temperature of what is pumped", u.Temperature.SI(*h.fluid), u.Temperature, 1)
	}
	m.given("coefficient."+h.id, h.says+", coefficient of expansion of "+h.material, h.coefficient, h.per, 9)
}

// askGrowth asks the growth of one support: coefficient times height times rise
// (linear expansion). The rise is turned into the scale of the coefficient where
// the two differ.
func askGrowth(m *sheetMaker, u Units, h heated, askRise bool) {
	scale, _ := u.riseUnit() // heat has held it
	rise := func(v Values) float64 { return v["hot."+h.id] - v["cold."+h.id] }
	used := "rise." + h.id
	step := Step{ID: used, Says: h.says + ", rise of temperature", Formula: "running less cold", Unit: scale, Decimals: 1}
	ask := func(s Step, work func(v Values) float64) {
		if askRise {
			m.ask(s, work)
			return
		}
		m.through(s, work)
	}
	ask(step, rise)
	if h.per != perDegree(scale) {
		used = "turned." + h.id
		other := otherScale(scale)
		formula := "times 9/5: a difference has no 32 to add"
		if other == align.UnitCelsiusRise {
			formula = "times 5/9: a difference has no 32 to take off"
		}
		ask(Step{ID: used, Says: h.says + ", the same rise in the scale of the coefficient", Formula: formula, Unit: other, Decimals: 1},
			func(v Values) float64 { return v["rise."+h.id] })
	}
	m.ask(Step{ID: "growth." + h.id, Says: h.says + ", growth up to the shaft", Formula: "coefficient times height times rise",
		Unit: u.Reading, Decimals: u.growthDecimals()},
		func(v Values) float64 { return v["coefficient."+h.id] * v["height."+h.id] * v[used] })
}

func otherScale(rise align.Unit) align.Unit {
	if rise == align.UnitFahrenheitRise {
		return align.UnitCelsiusRise
	}
	return align.UnitFahrenheitRise
}
