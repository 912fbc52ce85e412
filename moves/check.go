package moves

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Bounds of a train (own choice).
const (
	maxMachines  = 12
	maxFeet      = 16 // of one machine
	maxCouplings = 16
	maxStates    = 32
	maxGoals     = 16 // of one machine
	maxOffsets   = 8  // of one coupling
)

// Check returns what is wrong with the train, nil when it can be planned.
//
// Errors: missing (no machines, no couplings and no goals); not-finite,
// out-of-range, negative; mismatch for a coupling of machines that are not there
// or are one, and for a state without a movement for each coupling;
// nothing-may-move; those of a nozzle goal.
func (t *Train) Check() error {
	if err := count("machines", len(t.Machines), 1, maxMachines); err != nil {
		return err
	}
	if err := count("couplings", len(t.Couplings), 0, maxCouplings); err != nil {
		return err
	}
	if err := count("states", len(t.States), 0, maxStates); err != nil {
		return err
	}
	moves, asks := false, len(t.Couplings) > 0
	for i := range t.Machines {
		m := &t.Machines[i]
		if err := m.check(); err != nil {
			return align.In(err, index("machines", i))
		}
		moves = moves || len(m.ways()) > 0
		asks = asks || len(m.Goals) > 0
	}
	for i := range t.Couplings {
		if err := t.Couplings[i].check(len(t.Machines)); err != nil {
			return align.In(err, index("couplings", i))
		}
	}
	for i := range t.States {
		if err := t.States[i].check(len(t.Couplings)); err != nil {
			return align.In(err, index("states", i))
		}
	}
	switch {
	case !asks:
		return fault("couplings", "", align.ErrMissing)
	case !moves:
		return fault("machines", "", ErrNothingMoves)
	}
	return nil
}

func count(field string, n, least, most int) error {
	if n < least {
		return fault(field, "", align.ErrMissing)
	}
	if n > most {
		return fault(field, strconv.Itoa(n), align.ErrOutOfRange)
	}
	return nil
}

func (m *Machine) check() error {
	if err := checkPlace("about", m.About); err != nil {
		return err
	}
	if err := count("feet", len(m.Feet), 0, maxFeet); err != nil {
		return err
	}
	if err := count("goals", len(m.Goals), 0, maxGoals); err != nil {
		return err
	}
	switch w := m.Weight; {
	case !align.IsFinite(w):
		return fault("weight", "", align.ErrNotFinite)
	case w < 0:
		return fault("weight", align.UnitOne.Format(w, 3), align.ErrNegative)
	case w != 0 && (w < 1e-3 || w > 1e3):
		return fault("weight", align.UnitOne.Format(w, 3), align.ErrOutOfRange)
	}
	for i := range m.Feet {
		if err := m.Feet[i].check(); err != nil {
			return align.In(err, index("feet", i))
		}
	}
	for i := range m.Goals {
		if err := m.Goals[i].Check(); err != nil {
			return align.In(err, index("goals", i))
		}
	}
	return nil
}

func (f *Foot) check() error {
	if err := checkPlace("at", f.At); err != nil {
		return err
	}
	for _, v := range [...]struct {
		name string
		v    *unit.Length
	}{{"range.down", f.Range.Down}, {"range.up", f.Range.Up}, {"range.left", f.Range.Left}, {"range.right", f.Range.Right}} {
		if v.v == nil {
			continue
		}
		if err := fromZero(v.name, *v.v); err != nil {
			return err
		}
	}
	return nil
}

// leastLimit is the smallest limit that shares are worked out of.
const leastLimit unit.Length = 1e-9

func (c *Coupling) check(machines int) error {
	for _, s := range [...]struct {
		name string
		of   *ShaftOf
	}{{"near", &c.Near}, {"far", &c.Far}} {
		if s.of.Machine < 0 || s.of.Machine >= machines {
			return fault(s.name+".machine", strconv.Itoa(s.of.Machine), align.ErrMismatch)
		}
		if err := bounded(s.name+".height", s.of.Height, maxPlace); err != nil {
			return err
		}
		if err := bounded(s.name+".lateral", s.of.Lateral, maxPlace); err != nil {
			return err
		}
	}
	if c.Near.Machine == c.Far.Machine {
		return fault("far.machine", strconv.Itoa(c.Far.Machine), align.ErrMismatch)
	}
	if err := checkAxis("found", c.Found); err != nil {
		return err
	}
	return c.checkLimits()
}

func (c *Coupling) checkLimits() error {
	if err := count("offsets", len(c.Offsets), 0, maxOffsets); err != nil {
		return err
	}
	if len(c.Offsets) == 0 && c.Slope == nil && c.Gap == nil {
		return fault("offsets", "", align.ErrMissing)
	}
	for i := range c.Offsets {
		o := &c.Offsets[i]
		if err := bounded(index("offsets", i)+".station", o.Station, maxPlace); err != nil {
			return err
		}
		if err := fromZero(index("offsets", i)+".limit", o.Limit); err != nil {
			return err
		}
		if o.Limit < leastLimit {
			return fault(index("offsets", i)+".limit", mm(o.Limit), align.ErrOutOfRange)
		}
	}
	if s := c.Slope; s != nil && !(s.Limit >= 1e-9 && s.Limit <= 1) {
		if !align.IsFinite(s.Limit) {
			return fault("slope.limit", "", align.ErrNotFinite)
		}
		return fault("slope.limit", align.UnitMillimetrePerMetre.Format(s.Limit, 6), align.ErrOutOfRange)
	}
	if g := c.Gap; g != nil {
		if err := bounded("gap.error", g.Error, maxLength); err != nil {
			return err
		}
		return fromZero("gap.tolerance", g.Tolerance)
	}
	return nil
}

func (s *State) check(couplings int) error {
	if len(s.Relative) != couplings {
		return fault("relative", strconv.Itoa(len(s.Relative)), align.ErrMismatch)
	}
	for i, a := range s.Relative {
		if err := checkAxis(index("relative", i), a); err != nil {
			return err
		}
	}
	switch w := s.Widen; {
	case !align.IsFinite(w):
		return fault("widen", "", align.ErrNotFinite)
	case w < 0:
		return fault("widen", align.UnitOne.Format(w, 3), align.ErrNegative)
	case w != 0 && (w < 0.01 || w > 100):
		return fault("widen", align.UnitOne.Format(w, 3), align.ErrOutOfRange)
	}
	return nil
}
