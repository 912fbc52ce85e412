package main

import (
	"errors"

	"collinear.example/align"
	"collinear.example/thermal"
	"collinear.example/tolerance"
	"collinear.example/uncertainty"
	"gonum.org/v1/gonum/unit"
)

// set is the job: an ordinary struct. Whatever may be turned is a field.
type set struct {
	ambient unit.Temperature // when it was aligned, and of the motor before a start
	process unit.Temperature // of the oil that is pumped
	warmth  float64          // share of the oil's warmth, above ambient, that the inboard pedestals take
	motor   unit.Temperature // of the motor's frame at full load

	motorHeight    unit.Length // from sole to shaft
	pedestalHeight unit.Length // from base to the brackets at the height of the shaft
	iron, steel    thermal.Material

	readings align.ReverseIndicator // cold, after the last move
}

// The places of the set, from the middle of the coupling.
const (
	motorOutboard = -1050 * align.Millimetre
	motorInboard  = -350 * align.Millimetre
	motorFlex     = -90 * align.Millimetre
	pumpFlex      = 90 * align.Millimetre
	pumpInboard   = 400 * align.Millimetre
	pumpOutboard  = 1000 * align.Millimetre
)

// outboardWarmth is how warm the outboard pedestals are as a share of the inboard
// ones: they stand farther from the casing.
const outboardWarmth = 0.8

const place = "hot-oil pump 2 of Saltmarsh Tile Works (invented; so are all its figures)"

// theSet returns the set as it stands today.
func theSet() (set, error) {
	iron, err := constant("grey cast iron")
	if err != nil {
		return set{}, err
	}
	steel, err := constant("carbon steel")
	if err != nil {
		return set{}, err
	}
	return set{
		ambient: align.Celsius(20), process: align.Celsius(180), warmth: 0.25, motor: align.Celsius(55),
		motorHeight: 315 * align.Millimetre, pedestalHeight: 450 * align.Millimetre, iron: iron, steel: steel,
		readings: align.ReverseIndicator{
			OnFar: align.Dial{Name: "dial on the pump hub", Station: 130 * align.Millimetre, Sag: align.RollOver(-0.10 * align.Millimetre),
				Sweep: align.FourPoint(0, 0.11*align.Millimetre, 0.20*align.Millimetre, 0.09*align.Millimetre)},
			OnNear: align.Dial{Name: "dial on the motor hub", Station: -130 * align.Millimetre, Sag: align.RollOver(-0.10 * align.Millimetre),
				Sweep: align.FourPoint(0, -0.22*align.Millimetre, -0.40*align.Millimetre, -0.18*align.Millimetre)},
		},
	}, nil
}

// constant returns the first material of that name with one coefficient.
func constant(name string) (thermal.Material, error) {
	for _, m := range thermal.Find(name) {
		if m.Kind == thermal.Constant {
			return m, nil
		}
	}
	return thermal.Material{}, errors.New(name + " has no variant with one coefficient")
}

// copySet gives every trial and every row readings of its own.
func copySet(dst, src *set) {
	readings := dst.readings
	*dst = *src
	dst.readings = readings
	uncertainty.CopyReverse(&dst.readings, &src.readings)
}

// outcome is what is wanted of the set.
type outcome struct {
	standing thermal.Target // as it stands cold, held against the limits in every state
	best     thermal.Target // the cold position that serves all states best
	moves    align.FootMoves
}

// The states of the set.
var stateNames = []string{"start, pump warm", "full load"}

// work works the set out. It is an ordinary function: readings to position,
// temperatures to movement, both to the worst state, and the moves to the best
// cold position.
func (s *set) work() (outcome, error) {
	cold, err := s.readings.Axis()
	if err != nil {
		return outcome{}, err
	}
	cases, criterion, err := s.cases()
	if err != nil {
		return outcome{}, err
	}
	var o outcome
	if o.standing, err = thermal.JudgeColdTarget(cold, cases, criterion); err != nil {
		return o, err
	}
	if o.best, err = thermal.BestColdTarget(cases, criterion); err != nil {
		return o, err
	}
	o.moves = cold.Sub(o.best.Axis).MoveFarFeet(align.Feet{Inboard: pumpInboard, Outboard: pumpOutboard})
	return o, nil
}

// cases returns the states and the limit they are held against.
func (s *set) cases() ([]thermal.Case, thermal.Criterion, error) {
	rise := unit.Temperature(s.warmth) * (s.process - s.ambient)
	pump, err := s.pump(s.ambient+rise, s.ambient+outboardWarmth*rise)
	if err != nil {
		return nil, thermal.Criterion{}, err
	}
	warmMotor, err := s.motorAt(s.motor)
	if err != nil {
		return nil, thermal.Criterion{}, err
	}
	most, err := allowed()
	return []thermal.Case{
			{State: thermal.State{Name: stateNames[0], Far: pump}},
			{State: thermal.State{Name: stateNames[1], Near: warmMotor, Far: pump}},
		}, thermal.Criterion{
			Near: thermal.LimitAt{Station: motorFlex, Limit: most}, Far: thermal.LimitAt{Station: pumpFlex, Limit: most}, Mode: thermal.Resultant,
		}, err
}

// pump is the movement of the pump's shaft with its pedestals at these
// temperatures.
func (s *set) pump(inboard, outboard unit.Temperature) (align.Axis, error) {
	pedestal := func(hot unit.Temperature) thermal.Support {
		return thermal.CentrelineMounted(thermal.Height{Name: "pedestals", Length: s.pedestalHeight, Material: s.steel, Cold: s.ambient, Hot: hot})
	}
	m := thermal.Machine{Name: "pump", Supports: []thermal.SupportAt{
		{Station: pumpInboard, Support: pedestal(inboard)}, {Station: pumpOutboard, Support: pedestal(outboard)}}}
	return m.Axis()
}

func (s *set) motorAt(hot unit.Temperature) (align.Axis, error) {
	f := thermal.FootMounted(thermal.Height{Name: "frame", Length: s.motorHeight, Material: s.iron, Cold: s.ambient, Hot: hot})
	m := thermal.Machine{Name: "motor", Supports: []thermal.SupportAt{{Station: motorOutboard, Support: f}, {Station: motorInboard, Support: f}}}
	return m.Axis()
}

// limit returns the deviation allowed over the distance between the flex planes.
func limit() (align.Limit, error) {
	t, err := tolerance.FindSet("api-rp-686")
	if err != nil {
		return align.Limit{}, err
	}
	table, err := t.Table("api-rp-686-flex-deviation")
	if err != nil {
		return align.Limit{}, err
	}
	l, _, err := table.Limit(tolerance.Geometry{NearFlex: motorFlex, FarFlex: pumpFlex})
	return l, err
}

// allowed is the offset allowed at either flex plane.
func allowed() (unit.Length, error) {
	l, err := limit()
	return unit.Length(l.SI()) * (pumpFlex - motorFlex), err
}
