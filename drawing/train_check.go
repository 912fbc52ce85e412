package drawing

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// What one drawing holds (own choice: more could not be told apart on a sheet).
const (
	maxMachines = 8
	maxFeet     = 8 // of one machine
	maxStates   = 4
	maxFlanges  = 8
)

// leastMachine is the shortest machine that is drawn (own choice).
const leastMachine = align.Millimetre

// Check returns what is wrong with the train, nil when it can be drawn.
//
// Errors: missing (no machines, no states); not-finite, negative, out-of-range for
// figures and for too many machines, feet, states or flanges; mismatch for a wrong
// number of couplings, shafts or uncertainties, for stations out of order, and for
// more states of one kind than there are lines for; coincident-stations for two feet
// of a machine at one place; zero-diameter for a flange; unknown-kind;
// unknown-unit, wrong-unit.
func (t *Train) Check() error {
	if err := checkUnit(t.Unit); err != nil {
		return err
	}
	if err := trainCount("machines", len(t.Machines), maxMachines); err != nil {
		return err
	}
	for i := range t.Machines {
		if err := t.Machines[i].check(); err != nil {
			return align.In(err, item("machines", i))
		}
	}
	if err := t.checkCouplings(); err != nil {
		return err
	}
	if err := t.checkStates(); err != nil {
		return err
	}
	if err := checkCount("flanges", len(t.Flanges), maxFlanges); err != nil {
		return err
	}
	for i := range t.Flanges {
		if err := t.Flanges[i].check(); err != nil {
			return align.In(err, item("flanges", i))
		}
	}
	return nil
}

// trainCount wants one thing or more, and no more than the sheet holds.
func trainCount(field string, n, most int) error {
	if n == 0 {
		return sheetFault(field, "", align.ErrMissing)
	}
	return checkCount(field, n, most)
}

// trainMismatch is an error with words that say what does not fit what.
func trainMismatch(field, got, words string) error {
	return &align.InputError{Package: "drawing", Field: field, Got: got, Err: align.ErrMismatch, Meaning: words}
}

func trainMM(v unit.Length) string { return align.UnitMillimetre.Format(float64(v), 3) }

func (m *Machine) check() error {
	if err := checkBetween("start", m.Start, maxStation); err != nil {
		return err
	}
	if err := checkBetween("end", m.End, maxStation); err != nil {
		return err
	}
	if m.End < m.Start {
		return trainMismatch("end", trainMM(m.End), "stands before the start: stations rise from the first machine to the last")
	}
	if m.End-m.Start < leastMachine*(1-1e-9) {
		return sheetFault("end", trainMM(m.End), align.ErrCoincident)
	}
	if err := checkCount("feet", len(m.Feet), maxFeet); err != nil {
		return err
	}
	for i := range m.Feet {
		if err := m.checkFoot(i); err != nil {
			return align.In(err, item("feet", i))
		}
	}
	return nil
}

func (m *Machine) checkFoot(i int) error {
	f := &m.Feet[i]
	if err := checkBetween("station", f.Station, maxStation); err != nil {
		return err
	}
	switch {
	case f.Station < m.Start || f.Station > m.End:
		return trainMismatch("station", trainMM(f.Station), "does not lie between the start and the end of its machine")
	case i > 0 && f.Station < m.Feet[i-1].Station:
		return trainMismatch("station", trainMM(f.Station), "stands before that of the foot before it")
	case f.Side > LeftSide:
		return sheetFault("side", strconv.Itoa(int(f.Side)), align.ErrUnknownKind)
	}
	for k := i - 1; k >= 0 && m.Feet[k].Station == f.Station; k-- {
		if o := m.Feet[k].Side; o == f.Side || o == BothSides || f.Side == BothSides {
			return sheetFault("station", trainMM(f.Station), align.ErrCoincident)
		}
	}
	if f.Move == nil {
		return nil
	}
	if err := checkBetween("move.vertical", f.Move.Vertical, maxOffset); err != nil {
		return err
	}
	return checkBetween("move.horizontal", f.Move.Horizontal, maxOffset)
}

func (t *Train) checkCouplings() error {
	if n := len(t.Couplings); n != len(t.Machines)-1 {
		return trainMismatch("couplings", strconv.Itoa(n), "there must be one coupling between each machine and the next")
	}
	for i := range t.Couplings {
		if err := t.Couplings[i].check(t.Machines[i].End, t.Machines[i+1].Start); err != nil {
			return align.In(err, item("couplings", i))
		}
	}
	return nil
}

// check wants the flex planes between the casings.
func (c *Coupling) check(from, to unit.Length) error {
	if err := checkBetween("nearFlex", c.NearFlex, maxStation); err != nil {
		return err
	}
	if err := checkBetween("farFlex", c.FarFlex, maxStation); err != nil {
		return err
	}
	switch {
	case c.NearFlex < from:
		return trainMismatch("nearFlex", trainMM(c.NearFlex), "stands before the end of the machine before it")
	case c.FarFlex < c.NearFlex:
		return trainMismatch("farFlex", trainMM(c.FarFlex), "stands before the near flex plane")
	case c.FarFlex > to:
		return trainMismatch("farFlex", trainMM(c.FarFlex), "stands behind the start of the machine after it")
	}
	if err := checkFromZero("nearLimit", c.NearLimit, maxOffset); err != nil {
		return err
	}
	return checkFromZero("farLimit", c.FarLimit, maxOffset)
}

func (t *Train) checkStates() error {
	if err := trainCount("states", len(t.States), maxStates); err != nil {
		return err
	}
	kinds := [...]int{AsFound: 1, AfterMove: 1, Running: 2}
	for i := range t.States {
		s := &t.States[i]
		if s.Kind > Running {
			return sheetFault(item("states", i)+".kind", strconv.Itoa(int(s.Kind)), align.ErrUnknownKind)
		}
		if kinds[s.Kind]--; kinds[s.Kind] < 0 {
			return trainMismatch(item("states", i)+".kind", s.Kind.String(), "there are more states of this kind than lines to draw them with")
		}
		if err := t.checkState(s); err != nil {
			return align.In(err, item("states", i))
		}
	}
	return nil
}

func (t *Train) checkState(s *State) error {
	if n := len(s.Shafts); n != len(t.Machines) {
		return trainMismatch("shafts", strconv.Itoa(n), "there must be one shaft for each machine")
	}
	if n := len(s.Uncertain); n != 0 && n != len(t.Machines) {
		return trainMismatch("uncertain", strconv.Itoa(n), "there must be one uncertainty for each machine, or none at all")
	}
	for i := range s.Shafts {
		from, to := t.reach(i)
		for _, p := range [...]struct {
			plane string
			line  align.Line
		}{{".vertical", s.Shafts[i].Vertical}, {".horizontal", s.Shafts[i].Horizontal}} {
			if err := checkShaft(item("shafts", i)+p.plane, p.line, from, to); err != nil {
				return err
			}
		}
	}
	for i := range s.Uncertain {
		from, to := t.reach(i)
		for _, p := range [...]struct {
			plane string
			band  Band
		}{{".vertical", s.Uncertain[i].Vertical}, {".horizontal", s.Uncertain[i].Horizontal}} {
			if err := p.band.check(item("uncertain", i)+p.plane, from, to); err != nil {
				return err
			}
		}
	}
	return nil
}

// reach returns between which stations the centreline of a machine is drawn: through
// the couplings to the flex planes of its neighbours, and at the ends of the train to
// the end of the casing.
func (t *Train) reach(i int) (from, to unit.Length) {
	from, to = t.Machines[i].Start, t.Machines[i].End
	if i > 0 {
		from = t.Couplings[i-1].NearFlex
	}
	if i < len(t.Couplings) {
		to = t.Couplings[i].FarFlex
	}
	return from, to
}

// checkShaft wants a line that is no further than maxOffset from zero where it is
// drawn.
func checkShaft(field string, l align.Line, from, to unit.Length) error {
	if err := checkLine(field, l); err != nil {
		return err
	}
	if err := checkBetween(field, l.At(from), maxOffset); err != nil {
		return err
	}
	return checkBetween(field, l.At(to), maxOffset)
}

func (b *Band) check(field string, from, to unit.Length) error {
	if err := checkBetween(field+".about", b.About, maxStation); err != nil {
		return err
	}
	if err := checkFromZero(field+".offset", b.Offset, maxOffset); err != nil {
		return err
	}
	switch {
	case !align.IsFinite(b.Slope):
		return sheetFault(field+".slope", strconv.FormatFloat(b.Slope, 'g', -1, 64), align.ErrNotFinite)
	case b.Slope < 0:
		return sheetFault(field+".slope", align.UnitMillimetrePerMetre.Format(b.Slope, 3), align.ErrNegative)
	case b.Slope > 1:
		return sheetFault(field+".slope", align.UnitMillimetrePerMetre.Format(b.Slope, 1), align.ErrOutOfRange)
	}
	return checkBetween(field, max(b.At(from), b.At(to)), maxOffset)
}

func (f *Flange) check() error {
	if err := checkFromZero("diameter", f.Diameter, maxStation); err != nil {
		return err
	}
	if f.Diameter < align.Micrometre {
		return sheetFault("diameter", trainMM(f.Diameter), align.ErrZeroDiameter)
	}
	for i := range f.Gaps {
		if err := checkFromZero(item("gaps", i)+".gap", f.Gaps[i].Gap, maxOffset); err != nil {
			return err
		}
	}
	if f.Offset == nil {
		return nil
	}
	return checkBetween("offset", *f.Offset, maxOffset)
}
