package whatif

import (
	"math"
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// Knob is one input of a job of type J with the values it is to take. Make one
// with List, Range, Deviation or a variant of these. The values of a List or a
// Range are those the field is given, not changes to it.
type Knob[J any] struct {
	Name string
	Unit align.Unit // in which the values are printed

	kind     knobKind
	values   []float64 // of a list
	from, to float64   // of a range
	n        int
	source   uncertainty.Source[J]

	size  float64 // SI value of one unit of the field's type
	typed any     // the zero of the field's type, nil when it is not known
	set   func(*J, float64)
}

type knobKind uint8

const (
	noKnob knobKind = iota
	listed
	ranged
	drawn
)

// List is a field with a list of values:
//
//	List("sag", align.UnitMil, func(j *Job) *unit.Length { return &j.Sag }, 0, -2*align.Mil, -4*align.Mil)
//
// A unit of another kind than the field's type is refused with ErrWrongUnit,
// where the type says what it measures.
func List[J any, Q ~float64](name string, u align.Unit, field func(*J) *Q, values ...Q) Knob[J] {
	return ListWith(name, u, setter(field), values...)
}

// ListWith is List for an input that is not a plain field: set puts a value into
// the job.
func ListWith[J any, Q ~float64](name string, u align.Unit, set func(*J, Q), values ...Q) Knob[J] {
	k := newKnob(name, u, set)
	k.kind = listed
	for _, v := range values {
		k.values = append(k.values, float64(v))
	}
	return k
}

// Range is a field with n values evenly spaced from one end to the other, both
// included. In a Latin hypercube the number n is not used: the hypercube says how
// many values are drawn.
func Range[J any, Q ~float64](name string, u align.Unit, field func(*J) *Q, from, to Q, n int) Knob[J] {
	return RangeWith(name, u, setter(field), from, to, n)
}

// RangeWith is Range for an input that is not a plain field: set puts a value
// into the job.
func RangeWith[J any, Q ~float64](name string, u align.Unit, set func(*J, Q), from, to Q, n int) Knob[J] {
	k := newKnob(name, u, set)
	k.kind, k.from, k.to, k.n = ranged, float64(from), float64(to), n
	return k
}

// Deviation is a source of uncertainty as a knob of a Latin hypercube, and of
// nothing else. Its values are deviations from the job as given, in SI units, and
// are printed in u.
func Deviation[J any](u align.Unit, s uncertainty.Source[J]) Knob[J] {
	return Knob[J]{Name: deviationName(s.Name), Unit: u, kind: drawn, source: s, size: 1, set: s.Apply}
}

// ClockDeviation is Deviation for a source that varies an align.Clock, which
// counts degrees where other quantities are in SI units.
func ClockDeviation[J any](s uncertainty.Source[J]) Knob[J] {
	k := Deviation(align.UnitDegree, s)
	k.size = math.Pi / 180
	return k
}

func deviationName(name string) string {
	if name == "" {
		return ""
	}
	return "deviation of " + name
}

func newKnob[J any, Q ~float64](name string, u align.Unit, set func(*J, Q)) Knob[J] {
	var zero Q
	k := Knob[J]{Name: name, Unit: u, size: sizeOf[Q](), typed: zero}
	if set != nil {
		k.set = func(j *J, v float64) { set(j, Q(v)) }
	}
	return k
}

// setter is the function that sets a field.
func setter[J any, Q ~float64](field func(*J) *Q) func(*J, Q) {
	if field == nil {
		return nil
	}
	return func(j *J, v Q) { *field(j) = v }
}

// check wants a knob that can be turned.
func (k *Knob[J]) check(field string) error {
	switch {
	case k.kind == noKnob:
		return fault(field, "", align.ErrMissing)
	case k.Name == "":
		return fault(field+".name", "", align.ErrMissing)
	case k.set == nil:
		return fault(field+".field", "", align.ErrMissing)
	}
	if err := checkUnit(field, k.Unit, k.typed); err != nil {
		return err
	}
	switch k.kind {
	case listed:
		return k.checkList(field)
	case ranged:
		return k.checkRange(field)
	}
	return align.In(k.source.Check(), field)
}

func (k *Knob[J]) checkList(field string) error {
	switch {
	case len(k.values) == 0:
		return fault(field+".values", "", align.ErrMissing)
	case len(k.values) > MaxRows:
		return fault(field+".values", strconv.Itoa(len(k.values)), ErrTooManyRows)
	}
	for i, v := range k.values {
		if !printable(k.Unit, v*k.size) {
			return fault(field+"."+index("values", i), plain(v), align.ErrNotFinite)
		}
	}
	return nil
}

func (k *Knob[J]) checkRange(field string) error {
	switch {
	case !printable(k.Unit, k.from*k.size) || !printable(k.Unit, k.to*k.size) || !align.IsFinite(k.to-k.from):
		return fault(field+".range", plain(k.from)+" to "+plain(k.to), align.ErrNotFinite)
	case k.n < 2:
		return fault(field+".n", strconv.Itoa(k.n), align.ErrOutOfRange)
	case k.n > MaxRows:
		return fault(field+".n", strconv.Itoa(k.n), ErrTooManyRows)
	}
	return nil
}

// count is how many values the knob lists.
func (k *Knob[J]) count() int {
	if k.kind == ranged {
		return k.n
	}
	return len(k.values)
}

// at is value i, in the unit of the field's type.
func (k *Knob[J]) at(i int) float64 {
	switch {
	case k.kind == listed:
		return k.values[i]
	case i == k.n-1:
		return k.to
	}
	return k.share(float64(i) / float64(k.n-1))
}

// share is the value a share p of the way along a range.
func (k *Knob[J]) share(p float64) float64 { return k.from + float64((k.to-k.from)*p) }

// quantile is the value that a share p of all draws does not exceed.
func (k *Knob[J]) quantile(p float64) float64 {
	if k.kind == ranged {
		return k.share(p)
	}
	return k.source.Quantile(p)
}
