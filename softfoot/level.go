package softfoot

import (
	"fmt"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// LevelReversal is a level instrument read twice at one place: as it is first
// put down, and turned end for end on the same spot. Readings are slopes,
// positive when the end of the INSTRUMENT that pointed toward +x (or +z) at
// first is the high one, both times: the sign goes with the instrument.
type LevelReversal struct {
	First, Turned float64 // rise over run, within -1 and 1
}

// LevelReading is what a reversal gives.
type LevelReading struct {
	Slope     float64 // of the surface, positive when it rises toward +x (or +z)
	ZeroError float64 // what the instrument shows on a level surface
}

// Solve parts the slope of the surface from the zero error of the instrument:
//
//	first  =  slope + zero,  turned = -slope + zero
//	slope  = (first - turned)/2,  zero = (first + turned)/2
//
// (standard result). Readings must be finite and within -1 and 1.
func (r LevelReversal) Solve() (LevelReading, error) {
	for _, v := range []struct {
		name  string
		value float64
	}{{"first", r.First}, {"turned", r.Turned}} {
		if !align.IsFinite(v.value) {
			return LevelReading{}, fault(v.name, fmt.Sprint(v.value), align.ErrNotFinite)
		}
		if v.value < -1 || v.value > 1 {
			return LevelReading{}, fault(v.name, fmt.Sprint(v.value), align.ErrOutOfRange)
		}
	}
	return LevelReading{Slope: (r.First - r.Turned) / 2, ZeroError: (r.First + r.Turned) / 2}, nil
}

// LevelLeg is one step of a level traverse.
type LevelLeg struct {
	To     string
	Length unit.Length // above zero
	Rise   unit.Length // height of its end over its start
}

// RiseOf returns the rise of a leg from the slope that a level shows on it.
func RiseOf(slope float64, length unit.Length) unit.Length { return unit.Length(slope) * length }

// Spread says how a closing error is shared out.
type Spread uint8

// Ways of sharing a closing error.
const (
	ByLength Spread = iota // in proportion to length, as for random errors per distance
	ByLeg                  // the same to every leg, as for one error per set-up
)

// LevelTraverse is a run of levels from a point of known height to another, or
// back to the first (End equal to Start).
type LevelTraverse struct {
	Start, End unit.Length
	Legs       []LevelLeg // one or more
	Spread     Spread
	Limit      *unit.Length // of the closing error, zero or more; not checked when nil
}

// TraverseHeights are the heights at the ends of the legs.
type TraverseHeights struct {
	Closure  unit.Length   // start plus all rises less End: what the levels gained too much
	AsRead   []unit.Length // start plus the rises
	Adjusted []unit.Length // with the closing error shared out; the last one is End
}

// Close works the traverse out:
//
//	closure = start + sum(rises) - end
//	adjusted(i) = asRead(i) - closure * share of the run up to i
//
// (standard result: for independent errors whose variance grows with length, or
// with the number of set-ups, this is the least-squares adjustment). A closure
// beyond Limit gives the warning closure; look for a blunder before sharing it
// out.
func (t LevelTraverse) Close() (TraverseHeights, []align.Warning, error) {
	if err := t.check(); err != nil {
		return TraverseHeights{}, nil, err
	}
	h := TraverseHeights{}
	at, run := t.Start, unit.Length(0)
	for _, l := range t.Legs {
		at += l.Rise
		run += t.weight(l)
		h.AsRead = append(h.AsRead, at)
	}
	h.Closure = at - t.End
	var done unit.Length
	for i, l := range t.Legs {
		done += t.weight(l)
		h.Adjusted = append(h.Adjusted, h.AsRead[i]-h.Closure*(done/run))
	}
	return h, t.warn(h.Closure), nil
}

func (t LevelTraverse) weight(l LevelLeg) unit.Length {
	if t.Spread == ByLeg {
		return 1
	}
	return l.Length
}

func (t LevelTraverse) warn(closure unit.Length) []align.Warning {
	if t.Limit == nil {
		return nil
	}
	size := max(closure, -closure)
	if size <= *t.Limit*(1+1e-9) {
		return nil
	}
	return []align.Warning{{
		Code: align.WarnClosure, Severity: align.Suspect, Field: "traverse",
		Value: float64(size), Limit: float64(*t.Limit), Unit: align.UnitMillimetre,
	}}
}

func (t LevelTraverse) check() error {
	if err := boundedLength("start", t.Start); err != nil {
		return err
	}
	if err := boundedLength("end", t.End); err != nil {
		return err
	}
	if t.Spread > ByLeg {
		return fault("spread", fmt.Sprint(t.Spread), align.ErrUnknownKind)
	}
	if len(t.Legs) == 0 {
		return fault("legs", "", align.ErrMissing)
	}
	if t.Limit != nil {
		if err := lengthFromZero("limit", *t.Limit); err != nil {
			return err
		}
	}
	for i, l := range t.Legs {
		if err := l.check(); err != nil {
			return align.In(err, fmt.Sprintf("legs[%d]", i))
		}
	}
	return nil
}

func (l LevelLeg) check() error {
	if err := positiveLength("length", l.Length); err != nil {
		return err
	}
	return boundedLength("rise", l.Rise)
}
