package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Length is a length in an input, written [18, "in"].
type Length unit.Length

func (l *Length) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.LengthDim)
	*l = Length(si)
	return err
}

// Of returns the length, zero when none is given.
func (l *Length) Of() unit.Length {
	if l == nil {
		return 0
	}
	return unit.Length(*l)
}

// Ratio is a plain ratio or a slope in an input, written [0.2, "mil/in"].
type Ratio float64

func (r *Ratio) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.RatioDim)
	*r = Ratio(si)
	return err
}

// Angle is an angle in an input in radians, written [45, "deg"].
type Angle float64

func (a *Angle) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.AngleDim)
	*a = Angle(si)
	return err
}

// Temperature is a temperature on a scale, written [120, "degF"].
type Temperature unit.Temperature

func (k *Temperature) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.TemperatureDim)
	*k = Temperature(si)
	return err
}

// Rise is a difference of temperatures, written [40, "degF-rise"].
type Rise align.TempRise

func (r *Rise) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.RiseDim)
	*r = Rise(si)
	return err
}

// Frequency is a frequency or a speed, written [1780, "rpm"].
type Frequency unit.Frequency

func (f *Frequency) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.FrequencyDim)
	*f = Frequency(si)
	return err
}

// Quantity is a number with a unit of any kind.
type Quantity struct {
	Number float64
	Unit   align.Unit
	SI     float64
}

func (q *Quantity) fromTree(path string, t any) error {
	u, si, err := quantityOf(path, t, align.NoDimension)
	if err != nil {
		return err
	}
	n, err := numberOf(path, t.([]any)[0])
	*q = Quantity{n, u, si}
	return err
}

// UnitName is the name of a unit of any kind.
type UnitName align.Unit

func (u *UnitName) fromTree(path string, t any) error {
	v, err := unitOf(path, t, align.NoDimension)
	*u = UnitName(v)
	return err
}

// quantityOf reads [number, "unit"] of the given dimension, or of any when dim
// is NoDimension.
func quantityOf(path string, t any, dim align.Dimension) (align.Unit, float64, error) {
	pair, ok := t.([]any)
	if !ok || len(pair) != 2 {
		return "", 0, typed(false, path, t, `a quantity such as [18, "in"]`)
	}
	n, err := numberOf(path, pair[0])
	if err != nil {
		return "", 0, err
	}
	u, err := unitOf(path, pair[1], dim)
	if err != nil {
		return "", 0, err
	}
	return u, u.SI(n), nil
}

func unitOf(path string, t any, dim align.Dimension) (u align.Unit, err error) {
	name, ok := t.(string)
	if !ok {
		return "", typed(false, path, t, "the name of a unit")
	}
	if dim == align.NoDimension {
		u, err = align.ParseUnit(name)
	} else {
		u, err = align.ParseUnitOf(name, dim)
	}
	return u, align.In(err, path)
}

// Sweep is a dial sweep: {"unit": "mil", "readings": [[0, 0], [90, 5]]}, each
// reading a clock position in degrees and a value.
type Sweep align.Sweep

func (s *Sweep) fromTree(path string, t any) error {
	var in struct {
		Unit     string    `json:"unit"`
		Readings []reading `json:"readings"`
	}
	if err := decodeTree(path, t, reflectOf(&in)); err != nil {
		return err
	}
	u, err := align.ParseUnitOf(in.Unit, align.LengthDim)
	if err != nil {
		return align.In(err, path)
	}
	*s = make(Sweep, len(in.Readings))
	for i, r := range in.Readings {
		(*s)[i] = align.Reading{At: align.Clock(r.at), Value: unit.Length(u.SI(r.value))}
	}
	return nil
}

// reading is [clock degrees, value].
type reading struct{ at, value float64 }

func (r *reading) fromTree(path string, t any) (err error) {
	pair, ok := t.([]any)
	if !ok || len(pair) != 2 {
		return typed(false, path, t, "a reading such as [180, -4]")
	}
	if r.at, err = numberOf(path, pair[0]); err != nil {
		return err
	}
	r.value, err = numberOf(path, pair[1])
	return err
}

// Kind is one word out of a fixed list; see kindFrom.
type Kind string

// kindFrom returns the value that word stands for, def when no word is given.
// The list pairs words and values.
func kindFrom[T any](path string, word *Kind, def T, list map[Kind]T) (T, error) {
	if word == nil {
		return def, nil
	}
	v, ok := list[*word]
	if !ok {
		return def, fault(path, string(*word), align.ErrUnknownKind)
	}
	return v, nil
}
