package worksheet

import (
	"math"
	"math/rand/v2"

	"collinear.example/align"
)

func unitsKind() kind {
	return kind{
		name:  "units",
		title: "Units of the trade",
		asks: "Turn the figures of this job into the other system of units. 1 in is 25.4 mm, a mil is a thousandth of an inch. " +
			"A temperature on a scale and a rise of temperature are turned in different ways.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return unitsRecord(newInventor(r), d) },
		build:    unitsSheet,
		mistakes: unitsMistakes(),
	}
}

// unitsRecord invents a shaft that moved at two stations and a support that warms.
func unitsRecord(v inventor, d Difficulty) *Record {
	r := v.record("Figures in two systems of units")
	v.scale(r)
	inboard := v.length(150, 400)
	s := v.warm(Plain, inboard, v.temperature(8, 34), 45, 95)
	if d != Plain {
		s.Hot = v.temperature(45, 95)
		s.Coefficient = float64(105+v.IntN(25)) * 1e-7
		if v.inch {
			s.Coefficient = float64(56+v.IntN(14)) * 1e-7
		}
	}
	up := v.reading(120, 450)
	a, b := Moved{Station: inboard, Up: up}, Moved{Station: inboard + v.length(400, 1200), Up: cleaned(up + v.reading(80, 500))}
	if d == Severe && v.IntN(2) == 0 {
		a.Up, b.Up = b.Up, a.Up
	}
	far := s
	far.Station = b.Station
	r.States = []State{{Name: "running", Machines: []Movement{
		{Machine: r.Train.Machines[0].Name, Measured: []Moved{a, b}},
		{Machine: r.Train.Machines[1].Name, Supports: []Support{s, far}},
	}}}
	return r
}

// conversion is the system of units to turn into.
type conversion struct {
	length, reading, slope, scale, rise align.Unit
	lengthDecimals, readingDecimals     int
}

// otherSystem returns the units of the other system.
func (u Units) otherSystem() (conversion, error) {
	rise, err := u.riseUnit()
	if err != nil {
		return conversion{}, err
	}
	c := conversion{scale: align.UnitCelsius, rise: otherScale(rise)}
	if c.rise == align.UnitFahrenheitRise {
		c.scale = align.UnitFahrenheit
	}
	switch u.Length {
	case align.UnitInch:
		c.length, c.lengthDecimals = align.UnitMillimetre, 1
	case align.UnitMillimetre:
		c.length, c.lengthDecimals = align.UnitInch, 2
	default:
		return conversion{}, fault("units.length", string(u.Length), align.ErrWrongUnit)
	}
	switch u.Reading {
	case align.UnitMil:
		c.reading, c.readingDecimals, c.slope = align.UnitMicrometre, 0, align.UnitMillimetrePerMetre
	case align.UnitMillimetre:
		c.reading, c.readingDecimals, c.slope = align.UnitMil, 2, align.UnitMilPerInch
	default:
		return conversion{}, fault("units.reading", string(u.Reading), align.ErrWrongUnit)
	}
	return c, nil
}

// unitsSheet takes the first movement that was measured and the first support of
// the record.
func unitsSheet(r *Record) (*Sheet, error) {
	u := r.Units
	to, err := u.otherSystem()
	if err != nil {
		return nil, err
	}
	moved, h, err := r.unitsFigures()
	if err != nil {
		return nil, err
	}
	m := &sheetMaker{Sheet{Kind: "units"}}
	m.given("moved.first", "how far a shaft rises at its first end", u.reading(moved[0].Up), u.Reading, u.readingDecimals())
	m.given("moved.second", "how far it rises at its second end", u.reading(moved[1].Up), u.Reading, u.readingDecimals())
	m.given("span", "distance between the two ends", u.length(moved[1].Station-moved[0].Station), u.Length, 2)
	m.given("cold", "temperature of a support, cold", h.cold, u.Temperature, 1)
	m.given("hot", "temperature of the same support, running", h.hot, u.Temperature, 1)
	m.given("coefficient", "its coefficient of expansion", h.coefficient, h.per, 9)
	unitsLengths(m, u, to)
	unitsTemperatures(m, to)
	return &m.Sheet, nil
}

// unitsFigures picks the figures of the record that are turned.
func (r *Record) unitsFigures() (moved []Moved, h heated, err error) {
	if len(r.States) == 0 {
		return nil, h, fault("states", "", align.ErrMissing)
	}
	var support *Support
	for i := range r.States[0].Machines {
		m := &r.States[0].Machines[i]
		if len(m.Measured) == 2 && moved == nil {
			moved = m.Measured
		}
		if len(m.Supports) > 0 && support == nil {
			support = &m.Supports[0]
		}
	}
	switch {
	case moved == nil:
		return nil, h, fault("states[0].machines", "no measured movement", align.ErrMissing)
	case support == nil:
		return nil, h, fault("states[0].machines", "no support", align.ErrMissing)
	case moved[0].Station == moved[1].Station:
		return nil, h, fault("states[0].machines", "", align.ErrCoincident)
	}
	h, err = r.heat(support, "states[0].machines.supports[0]")
	return moved, h, err
}

// unitsLengths asks movement, distance and slope.
func unitsLengths(m *sheetMaker, u Units, to conversion) {
	m.ask(Step{ID: "movement", Says: "the rise at the first end", Formula: "1 mil is 25.4 um", Unit: to.reading, Decimals: to.readingDecimals},
		func(v Values) float64 { return v["moved.first"] })
	m.ask(Step{ID: "distance", Says: "the distance between the ends", Formula: "1 in is 25.4 mm", Unit: to.length, Decimals: to.lengthDecimals},
		func(v Values) float64 { return v["span"] })
	m.ask(Step{ID: "slope", Says: "the slope the shaft gains, second end less first", Formula: "difference of the rises over the distance", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return (v["moved.second"] - v["moved.first"]) / v["span"] })
	m.ask(Step{ID: "slope.other", Says: "the same slope in the other system", Formula: "mil/in and mm/m are the same number: both are thousandths", Unit: to.slope, Decimals: 3},
		func(v Values) float64 { return v["slope"] })
	m.ask(Step{ID: "slope.ten", Says: "what the shaft gains over 10 in of length", Formula: "slope in mil/in times 10", Unit: align.UnitMil, Decimals: 2},
		func(v Values) float64 { return v["slope"] * 10 * float64(align.Inch) })
	m.ask(Step{ID: "slope.hundred", Says: "what it gains over 100 mm of length", Formula: "slope in mm/m over 10", Unit: align.UnitMillimetre, Decimals: 4},
		func(v Values) float64 { return v["slope"] / 10 })
	m.ask(Step{ID: "slope.angle", Says: "the same slope as an angle", Formula: "the angle whose tangent it is: a radian is 57.3 deg", Unit: align.UnitDegree, Decimals: 4},
		func(v Values) float64 { return math.Atan(v["slope"]) })
}

// unitsTemperatures asks a temperature, a rise and a coefficient.
func unitsTemperatures(m *sheetMaker, to conversion) {
	scale, rise := "(degF - 32) times 5/9", "rise in degF times 5/9: a difference has no 32"
	metre, per := "coefficient per degF times 9/5", "degC"
	if to.rise == align.UnitFahrenheitRise {
		scale, rise = "degC times 9/5, plus 32", "rise in degC times 9/5: a difference has no 32"
		metre, per = "coefficient per degC times 5/9", "degF"
	}
	m.ask(Step{ID: "temperature", Says: "the cold temperature on the other scale", Formula: scale, Unit: to.scale, Decimals: 1},
		func(v Values) float64 { return v["cold"] })
	m.ask(Step{ID: "rise", Says: "the rise from cold to running, in degrees of the other scale", Formula: rise, Unit: to.rise, Decimals: 1},
		func(v Values) float64 { return v["hot"] - v["cold"] })
	degree := to.rise.SI(1)
	m.ask(Step{ID: "expansion", Says: "by how much a metre of the support grows for each " + per, Formula: metre + ", times a million micrometres", Unit: align.UnitMicrometre, Decimals: 3},
		func(v Values) float64 { return v["coefficient"] * degree })
}
