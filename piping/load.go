package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The faults of screening loads.
const (
	// ErrWallTooThick is a pipe wall of half the outside diameter or more: no
	// bore is left.
	ErrWallTooThick align.Fault = "wall-too-thick"
	// ErrNotInTable is a size that a table of limits, sections or moduli does
	// not have. Between sizes nothing is interpolated.
	ErrNotInTable align.Fault = "not-in-table"
)

// ScreenCaution goes with every result of this package that is a load. It is
// part of the String of a MisfitScreen.
const ScreenCaution = "A screen with one straight pipe, not a pipe stress analysis: weight, heat, pressure and the other " +
	"connections come on top. Isolate, lock out, tag, relieve pressure and drain before a flange is opened; a strained " +
	"pipe stores energy and springs when it is let go; support what is loosened and never pull pipe to a machine with " +
	"hoists. The figures are arithmetic, not permission: site rules, local codes, the makers' instructions and qualified " +
	"people decide."

func loadMeaning(err error) string {
	switch err {
	case ErrWallTooThick:
		return "is half the outside diameter or more, no bore is left"
	case ErrNotInTable:
		return "is not in the table, and nothing is interpolated"
	}
	return ""
}

func loadFault(field, got string, err error) error {
	return &align.InputError{Package: "piping", Field: field, Got: got, Err: err, Meaning: loadMeaning(err)}
}

func loadNumber(v float64, name string) string {
	s := strconv.FormatFloat(v, 'g', 6, 64)
	if name == "" {
		return s
	}
	return s + " " + name
}

// Bounds of what is taken for an input at all (own choice): no pipe, load or
// steel comes near them, and products of inputs within them stay finite.
const (
	loadMostLength   = 1e6  // m
	loadLeastLength  = 1e-9 // m, of an extent
	loadMostForce    = 1e15 // N, or N.m
	loadMostPressure = 1e15 // Pa
)

// loadBounded wants a finite number within a bound, of any sign.
func loadBounded(field string, v, most float64, name string) error {
	switch {
	case !align.IsFinite(v):
		return loadFault(field, loadNumber(v, name), align.ErrNotFinite)
	case math.Abs(v) > most:
		return loadFault(field, loadNumber(v, name), align.ErrOutOfRange)
	}
	return nil
}

// loadPositive wants a finite number above zero; zero is one that was not given.
func loadPositive(field string, v, least, most float64, name string) error {
	if err := loadBounded(field, v, most, name); err != nil {
		return err
	}
	switch {
	case v == 0:
		return loadFault(field, loadNumber(v, name), align.ErrMissing)
	case v < 0:
		return loadFault(field, loadNumber(v, name), align.ErrNegative)
	case v < least:
		return loadFault(field, loadNumber(v, name), align.ErrOutOfRange)
	}
	return nil
}

func loadExtent(field string, v unit.Length) error {
	return loadPositive(field, float64(v), loadLeastLength, loadMostLength, "m")
}

func loadWay(field string, d align.Displacement) error {
	for _, c := range [...]struct {
		axis string
		v    unit.Length
	}{{"x", d.X}, {"y", d.Y}, {"z", d.Z}} {
		if err := loadBounded(c.axis, float64(c.v), loadMostLength, "m"); err != nil {
			return align.In(err, field)
		}
	}
	return nil
}

// Forces is a force in newtons in the frame of the train: along +x, up and to
// the right of a person who looks along +x positive.
type Forces struct{ X, Y, Z unit.Force }

// Size returns the resultant, sqrt(x^2 + y^2 + z^2).
func (f Forces) Size() unit.Force {
	return unit.Force(resultantOf(float64(f.X), float64(f.Y), float64(f.Z)))
}

// Moments is a moment in newton metres about the three directions of the frame
// of the train, right-handed as in align.Turn.
type Moments struct{ X, Y, Z unit.Torque }

// Size returns the resultant, sqrt(x^2 + y^2 + z^2).
func (m Moments) Size() unit.Torque {
	return unit.Torque(resultantOf(float64(m.X), float64(m.Y), float64(m.Z)))
}

// resultantOf rounds alike on every processor: it goes into comparisons.
func resultantOf(x, y, z float64) float64 {
	return math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
}

// Load is what a pipe does to a nozzle: the force on the nozzle and the moment
// about a point that the use of it names, most often the centre of the flange
// face. The load of the nozzle on the pipe is its opposite.
type Load struct {
	Force  Forces
	Moment Moments
}

// Add returns the sum of two loads about the same point.
func (l Load) Add(k Load) Load {
	return Load{
		Forces{l.Force.X + k.Force.X, l.Force.Y + k.Force.Y, l.Force.Z + k.Force.Z},
		Moments{l.Moment.X + k.Moment.X, l.Moment.Y + k.Moment.Y, l.Moment.Z + k.Moment.Z},
	}
}

// Scale returns the load multiplied by k.
func (l Load) Scale(k float64) Load {
	f, t := unit.Force(k), unit.Torque(k)
	return Load{
		Forces{f * l.Force.X, f * l.Force.Y, f * l.Force.Z},
		Moments{t * l.Moment.X, t * l.Moment.Y, t * l.Moment.Z},
	}
}

// Moved returns the same load with its moment taken about another point, from
// which arm leads to the point the moment was taken about:
//
//	M' = M + arm x F
//
// (statics, right-hand rule).
func (l Load) Moved(arm align.Displacement) Load {
	x, y, z := float64(arm.X), float64(arm.Y), float64(arm.Z)
	fx, fy, fz := float64(l.Force.X), float64(l.Force.Y), float64(l.Force.Z)
	l.Moment.X += unit.Torque(float64(y*fz) - float64(z*fy))
	l.Moment.Y += unit.Torque(float64(z*fx) - float64(x*fz))
	l.Moment.Z += unit.Torque(float64(x*fy) - float64(y*fx))
	return l
}

func (l *Load) check() error {
	for _, c := range [...]struct {
		field string
		v     float64
		name  string
	}{
		{"load.force.x", float64(l.Force.X), "N"}, {"load.force.y", float64(l.Force.Y), "N"},
		{"load.force.z", float64(l.Force.Z), "N"}, {"load.moment.x", float64(l.Moment.X), "N.m"},
		{"load.moment.y", float64(l.Moment.Y), "N.m"}, {"load.moment.z", float64(l.Moment.Z), "N.m"},
	} {
		if err := loadBounded(c.field, c.v, loadMostForce, c.name); err != nil {
			return err
		}
	}
	return nil
}

// NozzleLimits is a rule that says how much load a nozzle may carry: an
// API610Nozzle, or what ConnectionRule.Nozzle returns.
type NozzleLimits interface {
	// JudgeNozzle holds a load about the centre of the flange face against every
	// limit of the rule.
	JudgeNozzle(l Load) ([]align.Verdict, error)
}

// AllWithin reports whether every verdict is within its limit. Of no verdicts
// it says false: nothing was judged.
func AllWithin(vs []align.Verdict) bool {
	for _, v := range vs {
		if !v.Within {
			return false
		}
	}
	return len(vs) > 0
}

// LargestShare returns the verdict that uses the largest share of its limit,
// and false when there are none.
func LargestShare(vs []align.Verdict) (align.Verdict, bool) {
	if len(vs) == 0 {
		return align.Verdict{}, false
	}
	most := vs[0]
	for _, v := range vs[1:] {
		if v.Share() > most.Share() {
			most = v
		}
	}
	return most, true
}
