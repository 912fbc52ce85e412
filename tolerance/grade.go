package tolerance

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Grade is a misalignment held against one table.
type Grade struct {
	align.Verdict // limit with its source, measured size, within or not
	Table         string
	Measured      Measured
	Flags         Flags // what is suspect about the limit
}

// Grade holds the misalignment e, far minus near and less any target, against
// the table. With a target that is not zero, pass e less the target.
//
// It refuses a table that is marked unusable, a quantity that does not follow
// from the position of two shafts (see GradeValue) and a geometry that lacks
// what the table asks for.
func (t *Table) Grade(e align.Axis, g Geometry) (out Grade, err error) {
	if t.Unusable {
		return out, inputError(t.ID, "", ErrUnusable)
	}
	out.Table, out.Measured.Quantity = t.ID, t.Quantity
	if err = out.Measured.take(&e, &g, t.Place, t.Planes); err == nil {
		err = t.judge(&out, &g)
	}
	if err != nil {
		out = Grade{} // nothing half-filled leaves
	}
	return out, err
}

// GradeValue holds a quantity that was read as such, in SI units, against the
// table: a total indicator reading, a gap difference, a runout. Its sign does
// not matter.
func (t *Table) GradeValue(value float64, g Geometry) (Grade, error) {
	if t.Unusable {
		return Grade{}, inputError(t.ID, "", ErrUnusable)
	}
	if !align.IsFinite(value) {
		return Grade{}, inputError("value", "", align.ErrNotFinite)
	}
	out := Grade{Table: t.ID, Measured: Measured{Quantity: t.Quantity, Value: max(value, -value)}}
	if err := t.judge(&out, &g); err != nil {
		return Grade{}, err
	}
	return out, nil
}

// judge holds the measured size in out against the limit.
func (t *Table) judge(out *Grade, g *Geometry) error {
	a, err := t.limitAt(g)
	if err != nil {
		return err
	}
	v := out.Measured.Value
	out.Flags = a.Flags
	t.limit(&out.Limit, a)
	out.Verdict.Measured = v
	out.Within = v <= a.SI || float64(v*(1-1e-12)) <= a.SI // equal but for rounding is within
	return nil
}

// Readings is what a set of tables is held against.
type Readings struct {
	Misalignment align.Axis   // far minus near, less any target
	AxialGap     *unit.Length // less the gap wanted; nil when it was not read
	Runout       *unit.Length // total indicator reading; nil when it was not read

	// RunoutPerLength is a runout over the length from the bearing to the place it
	// is read at; nil when it was not read.
	RunoutPerLength *float64
}

// SetGrade is a misalignment held against every table of one source.
type SetGrade struct {
	Set    string
	Grades []Grade // of the tables that could be graded
	// Ungraded holds for each table that could not be graded why not. An open
	// table leaves Share and Within speaking of the others alone.
	Ungraded []Ungraded
	Share    float64 // of the limits used, by the set's rule; 1 is all
	Within   bool
}

// Ungraded is a table that could not be graded.
type Ungraded struct {
	Table string
	Err   error
}

// ErrNothingGraded says that no table of a set could be graded.
const ErrNothingGraded align.Fault = "nothing-graded"

// Grade holds r against every table of the set and combines the shares by the
// set's rule. Tables that cannot be graded, for want of a size, a diameter or a
// reading, are listed with the reason. When none can be graded the error is
// ErrNothingGraded.
func (s *Set) Grade(r Readings, g Geometry) (SetGrade, error) {
	out := SetGrade{Set: s.ID}
	var shares []float64
	for i := range s.Tables {
		one, err := s.Tables[i].gradeReadings(r, g)
		if err != nil {
			out.Ungraded = append(out.Ungraded, Ungraded{s.Tables[i].ID, err})
			continue
		}
		out.Grades = append(out.Grades, one)
		shares = append(shares, one.Share())
	}
	if len(shares) == 0 {
		return out, inputError(s.ID, "", ErrNothingGraded)
	}
	var err error
	out.Share, err = s.Combine.Share(shares...)
	if err != nil {
		return out, err
	}
	out.Within = within(out.Share)
	return out, nil
}

func (t *Table) gradeReadings(r Readings, g Geometry) (Grade, error) {
	sized, err := t.For(g.Size)
	if err != nil {
		return Grade{}, err
	}
	if t.Quantity.ofMisalignment() {
		return sized.Grade(r.Misalignment, g)
	}
	v := r.direct(t.Quantity)
	if v == nil {
		return Grade{}, inputError(string(t.Quantity), "", align.ErrMissing)
	}
	return sized.GradeValue(*v, g)
}

// direct returns a quantity that was read as such, nil when it was not.
func (r *Readings) direct(q Quantity) *float64 {
	switch q {
	case AxialGap:
		return (*float64)(r.AxialGap)
	case Runout:
		return (*float64)(r.Runout)
	case RunoutPerLength:
		return r.RunoutPerLength
	}
	return nil
}

// Governing returns the grade with the largest share.
func (s SetGrade) Governing() (Grade, error) {
	if len(s.Grades) == 0 {
		return Grade{}, inputError(s.Set, "", ErrNothingGraded)
	}
	best := s.Grades[0]
	for _, g := range s.Grades[1:] {
		if g.Share() > best.Share() {
			best = g
		}
	}
	return best, nil
}

// Table returns the table of the set with that id.
func (s *Set) Table(id string) (*Table, error) {
	for i := range s.Tables {
		if s.Tables[i].ID == id {
			return &s.Tables[i], nil
		}
	}
	return nil, inputError("table", id, ErrUnknownTable)
}
