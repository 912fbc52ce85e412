package tolerance

import (
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// For returns the same table with the rows of one size only. The rows are
// shared with t, not copied. A table that knows no sizes is returned as it is.
// It fails with ErrUnknownSize, and names the sizes there are, when the table
// has no such size.
func (t Table) For(size string) (Table, error) {
	if len(t.Rows) == 0 || !t.hasSizes() {
		return t, nil
	}
	rows, err := t.rowsOf(size)
	if err != nil {
		return Table{}, err
	}
	t.Rows = rows
	return t, nil
}

// Sizes returns the sizes of the table in their order, nil when it has none.
func (t Table) Sizes() []string {
	var out []string
	for i, r := range t.Rows {
		if r.Size != "" && (i == 0 || r.Size != t.Rows[i-1].Size) {
			out = append(out, r.Size)
		}
	}
	return out
}

func (t *Table) hasSizes() bool { return t.Rows[0].Size != "" || t.Rows[len(t.Rows)-1].Size != "" }

// rowsOf returns the rows of a size, which stand together. Where there is but
// one size it need not be named.
func (t *Table) rowsOf(size string) ([]Row, error) {
	if len(t.Rows) == 0 {
		return nil, inputError("rows", "", align.ErrMissing)
	}
	if !t.hasSizes() {
		return t.Rows, nil
	}
	only := t.Rows[0].Size == t.Rows[len(t.Rows)-1].Size
	if only && (size == "" || size == t.Rows[0].Size) {
		return t.Rows, nil
	}
	if size == "" {
		return nil, inputError("size", "", align.ErrMissing)
	}
	from := 0
	for from < len(t.Rows) && t.Rows[from].Size != size {
		from++
	}
	to := from
	for to < len(t.Rows) && t.Rows[to].Size == size {
		to++
	}
	if from == to {
		got := strconv.Quote(size) + ", the table has " + strings.Join(t.Sizes(), ", ")
		return nil, inputError("size", got, ErrUnknownSize)
	}
	return t.Rows[from:to:to], nil
}

// LimitAt returns the limit for a machine: the value for its size and speed by
// the table's rule, an angle turned into a slope by its tangent, times and over
// the dimensions that the table names. Table.Check says whether a table is
// sound; LimitAt takes that for granted, but never returns what is no positive
// number.
//
// A speed or a dimension of zero is one that was not given: ErrMissing when the
// table asks for it. A speed where the source knows no limit is ErrOutOfRange, a
// size that it does not have ErrUnknownSize. A table that is kept as a warning
// only is ErrUnusable.
func (t *Table) LimitAt(g Geometry) (Allowed, error) { return t.limitAt(&g) }

func (t *Table) limitAt(g *Geometry) (Allowed, error) {
	if t.Unusable {
		return Allowed{}, inputError("table", strconv.Quote(t.ID), ErrUnusable)
	}
	n := float64(g.Speed)
	if !align.IsFinite(n) {
		return Allowed{}, speedError(n, align.ErrNotFinite)
	}
	if n < 0 {
		return Allowed{}, speedError(n, align.ErrNegative)
	}
	if n == 0 && t.needsSpeed() {
		return Allowed{}, inputError("speed", "", align.ErrMissing)
	}
	printed, flags, err := t.printedAt(n, g)
	if err != nil {
		return Allowed{}, err
	}
	si, err := t.scaled(printed, g)
	if err != nil {
		return Allowed{}, err
	}
	if !align.IsFinite(si) || !align.IsFinite(printed) {
		return Allowed{}, inputError("limit", strconv.FormatFloat(si, 'g', 6, 64), align.ErrNotFinite)
	}
	if si <= 0 || si > largest {
		return Allowed{}, inputError("limit", strconv.FormatFloat(si, 'g', 6, 64), align.ErrOutOfRange)
	}
	if t.Suspect != "" {
		flags |= SuspectFigures
	}
	return Allowed{SI: si, Printed: printed, Flags: flags}, nil
}

// largest limit in SI units, so that no conversion of one overflows.
const largest = 1e100

func speedError(n float64, fault align.Fault) error {
	return inputError("speed", align.UnitRPM.Format(n, 1), fault)
}

func (t *Table) needsSpeed() bool {
	return t.Rule != AnySpeed && (t.Rule != ByFormula || t.Formula.Power != 0)
}

// printedAt applies the rule of size and speed.
func (t *Table) printedAt(n float64, g *Geometry) (float64, Flags, error) {
	if t.Rule == ByFormula {
		v, err := t.byFormula(n, g)
		return v, 0, err
	}
	rows, err := t.rowsOf(g.Size)
	if err != nil {
		return 0, 0, err
	}
	switch t.Rule {
	case AnySpeed:
		return rows[0].Value, 0, nil
	case ByBand:
		return t.byBand(n, rows)
	case ByPoint:
		return t.byPoint(n, rows)
	case ByFactor:
		f, flags, err := t.factorAt(n)
		return float64(rows[0].Value * f), flags, err
	}
	return 0, 0, inputError("rule", strconv.Quote(string(t.Rule)), align.ErrUnknownKind)
}

// same says whether two speeds are one although conversion rounds both: one part
// in 10^12 is no difference.
func same(a, b unit.Frequency) bool {
	return math.Abs(float64(a-b)) <= float64(1e-12*float64(b))
}

// byBand returns the value of the band that holds n. At a bound that the source
// gives to nobody the stricter neighbour holds.
func (t *Table) byBand(n float64, rows []Row) (float64, Flags, error) {
	speed := unit.Frequency(n)
	first, last := &rows[0], &rows[len(rows)-1]
	if first.From > 0 && speed < first.From && !same(speed, first.From) {
		return t.outside(n, t.Below, first.Value)
	}
	for i := range rows {
		r := &rows[i]
		if i > 0 && same(speed, r.From) {
			return atBound(&rows[i-1], r)
		}
		if r.From > 0 && same(speed, r.From) {
			return r.Value, flagUnless(r.OwnsFrom), nil
		}
		if r.To == 0 || speed < r.To && !same(speed, r.To) {
			return r.Value, 0, nil
		}
	}
	if same(speed, last.To) {
		return last.Value, flagUnless(last.OwnsTo), nil
	}
	return t.outside(n, t.Above, last.Value)
}

// atBound returns the value where two bands meet.
func atBound(below, above *Row) (float64, Flags, error) {
	switch {
	case below.OwnsTo:
		return below.Value, 0, nil
	case above.OwnsFrom:
		return above.Value, 0, nil
	}
	return min(below.Value, above.Value), AtBoundary, nil
}

func flagUnless(owned bool) Flags {
	if owned {
		return 0
	}
	return AtBoundary
}

// byPoint returns the value at speed n of rows that stand in order of rising
// speed.
func (t *Table) byPoint(n float64, rows []Row) (float64, Flags, error) {
	speed := unit.Frequency(n)
	var before Point
	for i := range rows {
		r := &rows[i]
		if r.Speed < speed && !same(speed, r.Speed) {
			before = Point{r.Speed, r.Value}
			continue
		}
		return t.between(speed, before, Point{r.Speed, r.Value})
	}
	return t.outside(n, t.Above, before.Factor)
}

// factorAt returns the factor at speed n of factors in order of rising speed.
func (t *Table) factorAt(n float64) (float64, Flags, error) {
	if len(t.Factors) == 0 {
		return 0, 0, inputError("factors", "", align.ErrMissing)
	}
	speed := unit.Frequency(n)
	var before Point
	for _, p := range t.Factors {
		if p.Speed < speed && !same(speed, p.Speed) {
			before = p
			continue
		}
		return t.between(speed, before, p)
	}
	return t.outside(n, t.Above, before.Factor)
}

// between returns what holds at a speed above that of lo, which is zero when
// nothing is listed below, and not above that of hi.
func (t *Table) between(speed unit.Frequency, lo, hi Point) (float64, Flags, error) {
	if same(speed, hi.Speed) {
		return hi.Factor, 0, nil
	}
	if lo.Speed == 0 {
		return t.outside(float64(speed), t.Below, hi.Factor)
	}
	switch t.Between {
	case Linear:
		share := float64(speed-lo.Speed) / float64(hi.Speed-lo.Speed)
		return lo.Factor + float64((hi.Factor-lo.Factor)*share), 0, nil
	case Stricter:
		return min(lo.Factor, hi.Factor), BetweenSpeeds, nil
	}
	return 0, 0, inputError("between", strconv.Quote(string(t.Between)), align.ErrUnknownKind)
}

// outside returns what holds beyond the listed speeds.
func (t *Table) outside(n float64, rule Outside, nearest float64) (float64, Flags, error) {
	if rule == Hold || rule == HoldUnstated {
		return nearest, EndHeld, nil
	}
	return 0, 0, speedError(n, align.ErrOutOfRange)
}

// byFormula returns (Base + PerDiameter*D) * Numerator / n^Power, with D in the
// table's unit and n in revolutions a minute.
func (t *Table) byFormula(n float64, g *Geometry) (float64, error) {
	f := &t.Formula
	v := f.Base
	if f.PerDiameter != 0 {
		d, err := g.measure(FaceDiameter)
		if err != nil {
			return 0, err
		}
		v += float64(f.PerDiameter * t.Unit.FromSI(float64(d)))
	}
	v *= f.Numerator
	rpm := float64(max(unit.Frequency(n), f.Lowest) / align.RPM)
	switch f.Power {
	case 0:
		return v, nil
	case 0.5: // the usual one, and quicker
		return v / math.Sqrt(rpm), nil
	}
	return v / math.Pow(rpm, f.Power), nil
}

// scaled turns a printed value into SI and multiplies and divides it by the
// dimensions of the machine that the table names.
func (t *Table) scaled(printed float64, g *Geometry) (float64, error) {
	si := t.Unit.SI(printed)
	if t.inAngles() {
		si = math.Tan(si)
	}
	if t.Times != NoMeasure {
		m, err := g.measure(t.Times)
		if err != nil {
			return 0, err
		}
		si *= float64(m)
	}
	if t.Over != NoMeasure {
		m, err := g.measure(t.Over)
		if err != nil {
			return 0, err
		}
		si /= float64(m)
	}
	return si, nil
}

// Limit returns the limit for a machine with its name, place and source, and
// what is uncertain about it. A value that no dimension of the machine scales
// keeps the printed unit. A scaled length is given in the table's unit where that
// is one of length and in millimetres otherwise, a slope from degrees or from a
// length in millimetres per metre. The errors are those of LimitAt.
func (t Table) Limit(g Geometry) (align.Limit, []align.Warning, error) {
	a, err := t.LimitAt(g)
	if err != nil {
		return align.Limit{}, nil, err
	}
	var l align.Limit
	t.limit(&l, a)
	return l, a.Flags.Warnings(t.ID), nil
}

// limit fills in a looked-up value with its name, place and source.
func (t *Table) limit(l *align.Limit, a Allowed) {
	l.Name, l.Place, l.Source, l.Known = t.Title, t.Place.words(), t.Source, t.Known
	if t.Times == NoMeasure && t.Over == NoMeasure && !t.inAngles() {
		l.Unit, l.Value = t.Unit, a.Printed
		return
	}
	l.Unit = t.resultUnit()
	l.Value = l.Unit.FromSI(a.SI)
}

// inAngles says that the values are angles, not slopes.
func (t *Table) inAngles() bool { return t.Unit == align.UnitDegree || t.Unit == align.UnitRadian }

func (t *Table) resultUnit() align.Unit {
	dim := t.Quantity.Dimension()
	switch {
	case t.Unit.Dimension() == dim:
		return t.Unit
	case dim == align.LengthDim:
		return align.UnitMillimetre
	}
	return align.UnitMillimetrePerMetre
}

// words says the place in words, "" where the source does not say.
func (p Place) words() string {
	switch p {
	case AtCentre:
		return "coupling centre"
	case AtFlexPlanes:
		return "flex planes"
	case AtHubFaces:
		return "hub faces"
	}
	return ""
}
