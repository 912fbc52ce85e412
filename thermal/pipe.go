package thermal

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Leg is a straight or bent part of a pipe run of one material and temperature.
// Only the way from its start to its end counts, not its shape.
type Leg struct {
	Name     string
	Way      align.Displacement // from the end nearer the anchor to the other, not zero
	Material Material
	Cold     unit.Temperature
	Hot      unit.Temperature
}

// PipeRun is a pipe from an anchor, which does not move, to a nozzle.
type PipeRun struct {
	Name string
	Legs []Leg // from the anchor to the nozzle
}

// FreeExpansion returns how far the nozzle end of the pipe would move from cold
// to hot if nothing held it:
//
//	movement = sum over legs of strain(cold, hot) * way of the leg
//
// (superposition; for one temperature and material it is strain times the way
// from anchor to nozzle, whatever the route). It is a movement, not a load: what
// a flange that holds the pipe must bear takes the stiffness of the pipe, and is
// not found here. A pipe that cannot move as it wants pushes the machine.
//
// Errors: missing legs, way or temperatures; not-finite; out-of-range; those of
// Material.Check.
func (p PipeRun) FreeExpansion() (align.Displacement, error) {
	if len(p.Legs) == 0 {
		return align.Displacement{}, fault("legs", "", align.ErrMissing)
	}
	var sum align.Displacement
	for i := range p.Legs {
		d, err := p.Legs[i].expansion()
		if err != nil {
			return align.Displacement{}, align.In(err, at("legs", i))
		}
		sum = sum.Add(d)
	}
	return sum, nil
}

func (l *Leg) expansion() (align.Displacement, error) {
	if err := checkWay(l.Way); err != nil {
		return align.Displacement{}, align.In(err, "way")
	}
	if err := l.Material.check(); err != nil {
		return align.Displacement{}, align.In(err, "material")
	}
	if err := checkTemperature("cold", l.Cold); err != nil {
		return align.Displacement{}, err
	}
	e, err := l.Material.strainTo("hot", l.Cold, l.Hot)
	if err != nil {
		return align.Displacement{}, err
	}
	return l.Way.Scale(e), nil
}

func checkWay(d align.Displacement) error {
	if err := checkBounded("x", d.X); err != nil {
		return err
	}
	if err := checkBounded("y", d.Y); err != nil {
		return err
	}
	if err := checkBounded("z", d.Z); err != nil {
		return err
	}
	if d == (align.Displacement{}) {
		return fault("", "0 m", align.ErrMissing)
	}
	return nil
}

// Warnings returns temperature-out-of-range for each temperature outside what
// its material is known for. A leg that FreeExpansion refuses has none.
func (p PipeRun) Warnings() []align.Warning {
	var ws []align.Warning
	for i := range p.Legs {
		l := &p.Legs[i]
		if _, err := l.expansion(); err != nil {
			continue
		}
		ws = l.Material.AppendRangeWarning(ws, at("legs", i)+".cold", l.Cold)
		ws = l.Material.AppendRangeWarning(ws, at("legs", i)+".hot", l.Hot)
	}
	return ws
}
