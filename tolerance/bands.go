package tolerance

import (
	"math"
	"sort"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// SpeedGrade is what one misalignment earns at one speed.
type SpeedGrade struct {
	Speed unit.Frequency
	Grade Grade
	Err   error // the table knows no limit there; Grade is empty then
}

// GradeSpeeds grades the misalignment e at each of the given speeds.
func (t *Table) GradeSpeeds(e align.Axis, g Geometry, speeds []unit.Frequency) []SpeedGrade {
	out := make([]SpeedGrade, len(speeds))
	for i, n := range speeds {
		g.Speed = n
		out[i].Speed = n
		out[i].Grade, out[i].Err = t.Grade(e, g)
	}
	return out
}

// Speeds returns the speeds the table is printed for, lowest first: the bounds
// of its bands, its points, the least speed of its formula. A table for any
// speed has none.
func (t *Table) Speeds() []unit.Frequency {
	var out []unit.Frequency
	switch t.Rule {
	case ByBand:
		for _, r := range t.Rows {
			out = append(out, r.From, r.To)
		}
	case ByPoint:
		for _, r := range t.Rows {
			out = append(out, r.Speed)
		}
	case ByFactor:
		for _, p := range t.Factors {
			out = append(out, p.Speed)
		}
	case ByFormula:
		out = append(out, t.Formula.Lowest)
	}
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	kept := out[:0]
	for i, n := range out {
		if n > 0 && (i == 0 || n != out[i-1]) {
			kept = append(kept, n)
		}
	}
	return kept
}

// TopSpeed is the highest speed at which a misalignment is within a table.
type TopSpeed struct {
	// None says that it is within at no speed the table speaks of.
	None bool
	// Unlimited says that it is within however fast the table's last rule goes.
	Unlimited bool
	Speed     unit.Frequency // when neither
	// Below says that Speed itself is already too fast: the bound belongs to the
	// stricter band, or to none.
	Below bool
	// EndOfTable says that the table, not the misalignment, sets Speed: it knows
	// no limit beyond it.
	EndOfTable bool
}

// HighestSpeed returns the highest speed at which the misalignment e is within
// the table. It needs a table whose limit never grows with speed, which Check
// proves. The answer is exact for bands and good to a part in 10^12 for the
// others.
func (t *Table) HighestSpeed(e align.Axis, g Geometry) (TopSpeed, error) {
	if t.Unusable {
		return TopSpeed{}, inputError(t.ID, "", ErrUnusable)
	}
	m, err := t.Quantity.Of(e, g, t.Place, t.Planes)
	if err != nil {
		return TopSpeed{}, err
	}
	return t.highest(m.Value, &g)
}

// passes reports whether a size is within the limit at speed n, and whether the
// table knows a limit there.
type passes func(n unit.Frequency) (within, known bool, err error)

func (t *Table) highest(size float64, g *Geometry) (TopSpeed, error) {
	at := func(n unit.Frequency) (within, known bool, err error) {
		g.Speed = n
		a, err := t.limitAt(g)
		switch {
		case align.CodeOf(err) == align.ErrOutOfRange.Code():
			return false, false, nil
		case err != nil:
			return false, false, err
		}
		return size <= a.SI || float64(size*(1-1e-12)) <= a.SI, true, nil
	}
	lo, err := t.slowest(at)
	if err != nil {
		return TopSpeed{}, err
	}
	if lo == 0 {
		return TopSpeed{None: true}, nil
	}
	hi, end, err := t.fastest(at)
	if err != nil || end {
		return TopSpeed{Unlimited: hi == 0, Speed: hi, EndOfTable: hi != 0}, err
	}
	for math.Nextafter(float64(lo), math.Inf(1)) < float64(hi) {
		mid := lo + (hi-lo)/2
		ok, _, err := at(mid)
		if err != nil {
			return TopSpeed{}, err
		}
		if ok {
			lo = mid
		} else {
			hi = mid
		}
	}
	return t.tidy(TopSpeed{Speed: lo}), nil
}

// beyond is far faster than any shaft.
const beyond = unit.Frequency(1e6) // hertz

// fastest returns a speed that is too fast. At the end of the table, or beyond
// any shaft's speed, the size may still be within: then end is set, with the
// last speed of the table, or zero when nothing ends it.
func (t *Table) fastest(at passes) (n unit.Frequency, end bool, err error) {
	ok, known, err := at(beyond)
	if err != nil || ok {
		return 0, ok, err
	}
	listed := t.Speeds()
	if known || len(listed) == 0 {
		return beyond, false, nil
	}
	n = listed[len(listed)-1]
	ok, _, err = at(n)
	return n, ok, err
}

// slowest returns a speed at which the measured size is within, about the
// slowest the table speaks of, or zero when it is within at none. A listed speed
// may belong to no band, so the next number above it is tried as well.
func (t *Table) slowest(at passes) (unit.Frequency, error) {
	tries := []unit.Frequency{align.RPM}
	for _, n := range t.Speeds() {
		tries = append(tries, n, unit.Frequency(math.Nextafter(float64(n), math.Inf(1))))
	}
	for _, n := range tries {
		if ok, _, err := at(n); ok || err != nil {
			return n, err
		}
	}
	return 0, nil
}

// tidy takes the last number below a listed speed for that speed. Speeds closer
// than one part in 10^12 count as one, see same.
func (t *Table) tidy(s TopSpeed) TopSpeed {
	for _, n := range t.Speeds() {
		if n > s.Speed && float64(n-s.Speed) < 4e-12*float64(n) {
			s.Speed, s.Below = n, true
		}
		if same(s.Speed, n) && s.Speed > n {
			s.Speed = n
		}
	}
	return s
}
