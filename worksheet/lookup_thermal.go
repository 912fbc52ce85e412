package worksheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// heated is one support that warms, in SI units.
type heated struct {
	id, says                                string
	station, height, cold, hot, coefficient float64
	per                                     align.Unit // in which the coefficient is printed
	material                                string
	floor, fluid                            *float64
}

// riseUnit is the unit of rises that goes with the scale of temperature.
func (u Units) riseUnit() (align.Unit, error) {
	switch u.Temperature {
	case align.UnitCelsius, align.UnitKelvin:
		return align.UnitCelsiusRise, nil
	case align.UnitFahrenheit:
		return align.UnitFahrenheitRise, nil
	case "":
		return "", fault("units.temperature", "", align.ErrMissing)
	}
	return "", fault("units.temperature", string(u.Temperature), align.ErrWrongUnit)
}

// perDegree is the unit of coefficients that goes with a unit of rises.
func perDegree(rise align.Unit) align.Unit {
	if rise == align.UnitFahrenheitRise {
		return align.UnitPerFahrenheit
	}
	return align.UnitPerKelvin
}

// growthDecimals are those asked of growth and of what follows from it.
func (u Units) growthDecimals() int {
	if u.Reading == align.UnitMil {
		return 2
	}
	return 3
}

// heat turns a support of the record into figures, and lets package thermal judge
// whether it can grow at all.
func (r *Record) heat(s *Support, field string) (heated, error) {
	rise, err := r.Units.riseUnit()
	if err != nil {
		return heated{}, err
	}
	t := r.Units.Temperature
	h := heated{station: r.Units.length(s.Station), height: r.Units.length(s.Height), cold: t.SI(s.Cold), hot: t.SI(s.Hot),
		per: perDegree(rise), material: "the support", floor: s.AboveFloor, fluid: s.Fluid}
	m := thermal.Material{Kind: thermal.Constant, Coefficient: h.per.SI(s.Coefficient)}
	switch {
	case s.Material != "":
		if m, err = materialOf(s, field); err != nil {
			return heated{}, err
		}
		h.material = m.Name + " (" + m.Source + ")"
	case s.Coefficient == 0:
		return heated{}, fault(field+".coefficient", "", align.ErrMissing)
	}
	height := thermal.Height{Length: unit.Length(h.height), Material: m, Cold: unit.Temperature(h.cold), Hot: unit.Temperature(h.hot)}
	if _, err := thermal.FootMounted(height).Growth(); err != nil {
		return heated{}, align.In(err, field)
	}
	if h.coefficient, err = m.MeanCoefficient(height.Cold, height.Hot); err != nil {
		return heated{}, align.In(err, field)
	}
	if s.Material != "" {
		h.per = printedPer(h.coefficient, h.per)
	}
	return h, nil
}

// materialOf finds the material a support names; a variant is needed only where
// the name alone fits several.
func materialOf(s *Support, field string) (thermal.Material, error) {
	all := thermal.Find(s.Material)
	if s.Variant != "" {
		all = slices.DeleteFunc(all, func(m thermal.Material) bool { return m.Variant != s.Variant })
	}
	switch len(all) {
	case 0:
		return thermal.Material{}, fault(field+".material", s.Material, align.ErrUnknownKind)
	case 1:
		return all[0], nil
	}
	return thermal.Material{}, fault(field+".variant", "", align.ErrMissing)
}

// printedPer is the unit in which a coefficient is a round number, as its source
// prints it: a whole number of hundredths of a millionth.
func printedPer(coefficient float64, usual align.Unit) align.Unit {
	for _, u := range []align.Unit{align.UnitPerFahrenheit, align.UnitPerKelvin} {
		n := u.FromSI(coefficient) * 1e8
		if math.Abs(n-math.Round(n)) < 1e-6 {
			return u
		}
	}
	return usual
}

// coupled returns the first coupling.
func (r *Record) coupled() (*Coupling, error) {
	if len(r.Train.Couplings) == 0 {
		return nil, fault("train.couplings", "", align.ErrMissing)
	}
	return &r.Train.Couplings[0], nil
}

// couplingStation returns the only flex plane of a coupling, or the middle of two,
// in SI units.
func (r *Record) couplingStation(c *Coupling) (float64, error) {
	switch p := c.FlexPlanes; len(p) {
	case 0:
		return 0, fault("train.couplings[0].flexPlanes", "", align.ErrMissing)
	case 1:
		return r.Units.length(p[0]), nil
	case 2:
		return r.Units.length((p[0] + p[1]) / 2), nil
	}
	return 0, fault("train.couplings[0].flexPlanes", fmt.Sprint(len(c.FlexPlanes)), align.ErrOutOfRange)
}

// movementOf returns how a machine moves in the first state.
func (r *Record) movementOf(machine string) (*Movement, string, error) {
	if len(r.States) == 0 {
		return nil, "", fault("states", "", align.ErrMissing)
	}
	for i := range r.States[0].Machines {
		if m := &r.States[0].Machines[i]; m.Machine == machine {
			return m, fmt.Sprintf("states[0].machines[%d]", i), nil
		}
	}
	return nil, "", fault("states[0].machines", machine, align.ErrMissing)
}

// twoSupports returns the supports of a machine that stands on two of them, the one
// closer to the coupling first.
func (r *Record) twoSupports(machine string, coupling float64) (out [2]heated, err error) {
	m, field, err := r.movementOf(machine)
	if err != nil {
		return out, err
	}
	if len(m.Supports) != 2 {
		return out, fault(field+".supports", fmt.Sprint(len(m.Supports)), align.ErrMismatch)
	}
	for i := range m.Supports {
		if out[i], err = r.heat(&m.Supports[i], fmt.Sprintf("%s.supports[%d]", field, i)); err != nil {
			return out, err
		}
	}
	if out[0].station == out[1].station {
		return out, fault(field+".supports[1].station", "", align.ErrCoincident)
	}
	slices.SortStableFunc(out[:], func(a, b heated) int {
		return cmp.Compare(math.Abs(a.station-coupling), math.Abs(b.station-coupling))
	})
	return out, nil
}

// verdictDials returns the rim dial on the far hub and the face dial that looks
// toward the bracket, of the first set, read at 12 and 6 at least; face is nil when
// there is none. Planes is 2 when both were read at the sides as well.
func (r *Record) verdictDials() (rim, face *Dial, planes int, err error) {
	if len(r.Sets) == 0 {
		return nil, nil, 0, fault("sets", "", align.ErrMissing)
	}
	for i := range r.Sets[0].Dials {
		d := &r.Sets[0].Dials[i]
		switch {
		case d.Touches == "rim" && d.On == "far":
			rim = d
		case d.Touches == "face-toward":
			face = d
		}
	}
	if rim == nil {
		return nil, nil, 0, fault("sets[0].dials", "no rim dial on the far hub", align.ErrMissing)
	}
	if face == nil {
		return nil, nil, 0, fault("sets[0].dials", "no dial on the face toward the bracket", align.ErrMissing)
	}
	if face.Diameter <= 0 {
		return nil, nil, 0, fault("sets[0].dials", "diameter of the face dial", align.ErrZeroDiameter)
	}
	planes, err = planesRead("sets[0].dials", rim, face)
	return rim, face, planes, err
}

// planesRead is 2 when all dials were read at 3 and 9 as well as at 12 and 6. It
// fails when one was not read at 12 and 6.
func planesRead(path string, dials ...*Dial) (int, error) {
	planes := 2
	for _, d := range dials {
		for _, at := range []float64{0, 180} {
			if _, ok := d.readingAt(at); !ok {
				return 0, fault(path+".readings", fmt.Sprintf("none at %g deg", at), align.ErrMissing)
			}
		}
		_, right := d.readingAt(90)
		_, left := d.readingAt(270)
		if !right || !left {
			planes = 1
		}
	}
	return planes, nil
}

// readingAt returns the first reading taken at a clock position.
func (d *Dial) readingAt(degrees float64) (float64, bool) {
	for _, r := range d.Readings {
		if r.At == degrees {
			return r.Value, true
		}
	}
	return 0, false
}

// givenReadings puts the readings of a dial at 12, 3, 6 and 9 o'clock on the sheet,
// right and left as a person sees them who looks along x.
func givenReadings(m *sheetMaker, u Units, id, says string, d *Dial) {
	right, left := 90.0, 270.0
	if d.Against {
		right, left = left, right
	}
	for _, p := range []struct {
		name string
		at   float64
	}{{"12", 0}, {"3", right}, {"6", 180}, {"9", left}} {
		if x, ok := d.readingAt(p.at); ok {
			m.given(id+"."+p.name, says+", reading at "+p.name+" o'clock", u.reading(x), u.Reading, u.readingDecimals())
		}
	}
}

// givenRim puts the readings of a rim dial on the sheet with the sag of its bracket,
// without which they cannot be corrected.
func givenRim(m *sheetMaker, r *Record, id, says string, d *Dial) error {
	givenReadings(m, r.Units, id, says, d)
	s, ok := r.sagOf(d.Bracket)
	if !ok {
		return fault("sag", "none of bracket "+d.Bracket, align.ErrMissing)
	}
	m.given(id+".sag", says+", sag of its bracket (roll-over, zero at 12, read at 6)", s, r.Units.Reading, r.Units.readingDecimals())
	return nil
}
