package tolerance

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"unicode"
	"unicode/utf8"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Check returns an error when the set or one of its tables cannot be used, and
// warnings about figures that look wrong. The errors and warnings of a table name
// their field by its path, such as tables[0].rows[2].value.
func (s Set) Check() ([]align.Warning, error) {
	if err := checkName("id", s.ID); err != nil {
		return nil, err
	}
	if err := checkText("title", s.Title, true); err != nil {
		return nil, err
	}
	if err := oneOf("combine", s.Combine, EachAlone, SharesAdd); err != nil {
		return nil, err
	}
	if len(s.Tables) == 0 {
		return nil, inputError("tables", "", align.ErrMissing)
	}
	var warnings []align.Warning
	seen := map[string]bool{}
	for i := range s.Tables {
		path := fmt.Sprintf("tables[%d]", i)
		t := &s.Tables[i]
		if seen[t.ID] {
			return nil, inputError(path+".id", strconv.Quote(t.ID), ErrTwice)
		}
		seen[t.ID] = true
		more, err := t.Check()
		if err != nil {
			return nil, align.In(err, path)
		}
		for _, w := range more {
			w.Field = join(path, w.Field)
			warnings = append(warnings, w)
		}
	}
	return warnings, nil
}

// Check returns an error when the table cannot be used: a word that is none of
// the constants, a unit that does not fit the quantity, a value that is not
// above zero, bands of speed with a gap or an overlap, speeds out of order, a
// limit that grows with speed, the rows of a size apart, no source. It returns
// warnings for bounds of speed that the source gives to nobody and for figures
// that look wrong: a row that does not go with its neighbours, a slope too large
// to be one, a value ten times or a tenth of the next.
func (t Table) Check() ([]align.Warning, error) {
	for _, check := range []func() error{t.checkTexts, t.checkWords, t.checkUnit, t.checkShape} {
		if err := check(); err != nil {
			return nil, err
		}
	}
	w, err := t.checkValues()
	if err != nil {
		return nil, err
	}
	w = append(w, t.suspicions()...)
	if t.Suspect != "" {
		w = append(w, SuspectFigures.Warnings("suspect")...)
	}
	return w, nil
}

var namePattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// checkName accepts words of small letters and digits joined by hyphens.
func checkName(field, name string) error {
	switch {
	case name == "":
		return inputError(field, "", align.ErrMissing)
	case len(name) > 80 || !namePattern.MatchString(name):
		return inputError(field, show(name), align.ErrOutOfRange)
	}
	return nil
}

const maxText = 1000 // bytes of one text

// checkText accepts printable text without blanks alone.
func checkText(field, s string, needed bool) error {
	if s == "" && !needed {
		return nil
	}
	blank := true
	for _, c := range s {
		if !unicode.IsPrint(c) {
			return inputError(field, show(s), align.ErrOutOfRange)
		}
		blank = blank && unicode.IsSpace(c)
	}
	switch {
	case blank:
		return inputError(field, "", align.ErrMissing)
	case len(s) > maxText || !utf8.ValidString(s):
		return inputError(field, show(s), align.ErrOutOfRange)
	}
	return nil
}

func (t *Table) checkTexts() error {
	if err := checkName("id", t.ID); err != nil {
		return err
	}
	for _, f := range []struct {
		name, text string
		needed     bool
	}{
		{"title", t.Title, true}, {"source", t.Source, true}, {"coupling", t.Coupling, false},
		{"edition", t.Edition, false}, {"note", t.Note, false}, {"suspect", t.Suspect, false},
	} {
		if err := checkText(f.name, f.text, f.needed); err != nil {
			return err
		}
	}
	for i := range t.Rows {
		if err := checkText(fmt.Sprintf("rows[%d].size", i), t.Rows[i].Size, false); err != nil {
			return err
		}
	}
	return nil
}

// oneOf accepts the words of a list.
func oneOf[T ~string](field string, word T, words ...T) error {
	if word == "" && !slices.Contains(words, "") {
		return inputError(field, "", align.ErrMissing)
	}
	if !slices.Contains(words, word) {
		return inputError(field, show(string(word)), align.ErrUnknownKind)
	}
	return nil
}

// optional accepts no word besides those of a list.
func optional[T ~string](field string, word T, words ...T) error {
	if word == "" {
		return nil
	}
	return oneOf(field, word, words...)
}

func (t *Table) checkWords() error {
	if t.Quantity == "" {
		return inputError("quantity", "", align.ErrMissing)
	}
	if t.Quantity.Dimension() == align.NoDimension {
		return inputError("quantity", show(string(t.Quantity)), align.ErrUnknownKind)
	}
	places := []Place{AtCentre, AtFlexPlanes, AtHubFaces, NotStated}
	if t.Quantity != TrueOffset && t.Quantity != RimReading {
		places = append(places, "") // the quantity is the same everywhere
	}
	planes := []Planes{EachPlane, Resultant}
	if !t.Quantity.ofMisalignment() {
		planes = append(planes, "")
	}
	measures := []Measure{FaceDiameter, FlexSeparation, RunoutLength, RunnerDiameter, Clearance}
	for _, err := range []error{
		oneOf("place", t.Place, places...),
		oneOf("planes", t.Planes, planes...),
		optional("turned", t.Turned, BothTurned, OneTurned, NoneTurned, TurnedNotStated),
		oneOf("rule", t.Rule, AnySpeed, ByBand, ByPoint, ByFormula, ByFactor),
		oneOf("known", t.Known, align.Read, align.ReadSecondhand, align.FromMemory, align.CommonPractice),
		optional("between", t.Between, Linear, Stricter),
		optional("below", t.Below, Refuse, Hold, HoldUnstated),
		optional("above", t.Above, Refuse, Hold),
		optional("times", t.Times, measures...),
		optional("over", t.Over, measures...),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// checkUnit holds the unit, times and over the dimensions of the machine, against
// the quantity.
func (t *Table) checkUnit() error {
	power := 0 // of length
	switch t.Unit.Dimension() {
	case align.LengthDim:
		power = 1
	case align.RatioDim, align.AngleDim:
	case align.NoDimension:
		if t.Unit == "" {
			return inputError("unit", "", align.ErrMissing)
		}
		return inputError("unit", show(string(t.Unit)), align.ErrUnknownUnit)
	default:
		return inputError("unit", show(string(t.Unit)), align.ErrWrongUnit)
	}
	if t.Times != NoMeasure {
		power++
	}
	if t.Over != NoMeasure {
		power--
	}
	want := 0
	if t.Quantity.Dimension() == align.LengthDim {
		want = 1
	}
	if power != want {
		return inputError("unit", show(string(t.Unit)), align.ErrWrongUnit)
	}
	return nil
}

// checkShape says whether the fields that the rule needs are there and no others.
func (t *Table) checkShape() error {
	formula, points := t.Rule == ByFormula, t.Rule == ByPoint || t.Rule == ByFactor
	for _, f := range []struct {
		name         string
		given, wants bool
		only         bool // never given when not wanted
	}{
		{"rows", len(t.Rows) > 0, !formula, true},
		{"formula", t.Formula != Formula{}, formula, true},
		{"factors", len(t.Factors) > 0, t.Rule == ByFactor, true},
		{"between", t.Between != "", points, true},
		{"below", t.Below != "", points || t.opensBelow(), !points && t.Rule != ByBand},
		{"above", t.Above != "", points || t.endsAbove(), !points && t.Rule != ByBand},
	} {
		if f.wants && !f.given {
			return inputError(f.name, "", align.ErrMissing)
		}
		if f.given && !f.wants && f.only {
			return inputError(f.name, "rule "+string(t.Rule), align.ErrMismatch)
		}
	}
	return nil
}

func (t *Table) opensBelow() bool {
	return t.Rule == ByBand && slices.ContainsFunc(sizesOf(t.Rows), func(rows []Row) bool { return rows[0].From != 0 })
}

func (t *Table) endsAbove() bool {
	return t.Rule == ByBand && slices.ContainsFunc(sizesOf(t.Rows), func(rows []Row) bool { return rows[len(rows)-1].To != 0 })
}

// sizesOf cuts rows where the size changes.
func sizesOf(rows []Row) [][]Row {
	var out [][]Row
	for from := 0; from < len(rows); {
		to := from + 1
		for to < len(rows) && rows[to].Size == rows[from].Size {
			to++
		}
		out = append(out, rows[from:to])
		from = to
	}
	return out
}

// checkValues checks formula, factors and rows.
func (t *Table) checkValues() ([]align.Warning, error) {
	if t.Rule == ByFormula {
		return nil, t.Formula.check(t.Unit)
	}
	if err := checkPoints("factors", "factor", t.Factors); err != nil {
		return nil, err
	}
	var warnings []align.Warning
	seen := map[string]bool{}
	at := 0
	for _, rows := range sizesOf(t.Rows) {
		if seen[rows[0].Size] {
			return nil, inputError(fmt.Sprintf("rows[%d].size", at), show(rows[0].Size), ErrOrder)
		}
		if len(seen) > 0 && (rows[0].Size == "" || seen[""]) {
			return nil, inputError(fmt.Sprintf("rows[%d].size", at), "", align.ErrMissing)
		}
		seen[rows[0].Size] = true
		w, err := t.checkSize(at, rows)
		if err != nil {
			return nil, err
		}
		warnings = append(warnings, w...)
		at += len(rows)
	}
	return warnings, nil
}

// checkSize checks the rows of one size, the first of which is row number at.
func (t *Table) checkSize(at int, rows []Row) ([]align.Warning, error) {
	for i := range rows {
		if err := t.checkRow(&rows[i]); err != nil {
			return nil, align.In(err, fmt.Sprintf("rows[%d]", at+i))
		}
	}
	switch t.Rule {
	case ByBand:
		w, err := checkBands(at, rows)
		if err != nil {
			return nil, err
		}
		return w, checkFalling(at, rows)
	case ByPoint:
		if err := checkRising(at, rows); err != nil {
			return nil, err
		}
		return nil, checkFalling(at, rows)
	}
	if len(rows) > 1 { // one row a size
		return nil, inputError(fmt.Sprintf("rows[%d].size", at+1), show(rows[1].Size), ErrTwice)
	}
	return nil, nil
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// positive accepts finite values above zero.
func positive(field string, v float64) error {
	switch {
	case !align.IsFinite(v):
		return inputError(field, number(v), align.ErrNotFinite)
	case v < 0:
		return inputError(field, number(v), align.ErrNegative)
	case v == 0:
		return inputError(field, number(v), align.ErrOutOfRange)
	}
	return nil
}

// checkSpeed accepts finite speeds of zero or more.
func checkSpeed(field string, f unit.Frequency) error {
	if f == 0 {
		return nil
	}
	rpm := float64(f / align.RPM)
	switch {
	case !align.IsFinite(float64(f)):
		return inputError(field, number(rpm)+" rpm", align.ErrNotFinite)
	case rpm < 0:
		return inputError(field, number(rpm)+" rpm", align.ErrNegative)
	case f < 1e-9 || rpm > 1e9:
		return inputError(field, number(rpm)+" rpm", align.ErrOutOfRange)
	}
	return nil
}

func (t *Table) checkRow(r *Row) error {
	if err := positive("value", r.Value); err != nil {
		return err
	}
	if si := t.Unit.SI(r.Value); t.Unit.Dimension() == align.AngleDim && si > maxAngle {
		return inputError("value", t.Unit.Format(si, 3), align.ErrOutOfRange)
	}
	for _, f := range []struct {
		name  string
		speed unit.Frequency
		fits  bool
	}{{"rpm", r.Speed, t.Rule == ByPoint}, {"fromRpm", r.From, t.Rule == ByBand}, {"toRpm", r.To, t.Rule == ByBand}} {
		if err := checkSpeed(f.name, f.speed); err != nil {
			return err
		}
		if f.speed != 0 && !f.fits {
			return inputError(f.name, "rule "+string(t.Rule), align.ErrMismatch)
		}
	}
	if (r.OwnsFrom || r.OwnsTo) && t.Rule != ByBand {
		return inputError("ownsFrom", "rule "+string(t.Rule), align.ErrMismatch)
	}
	return nil
}

// maxAngle is 45 degrees: no coupling takes so much.
const maxAngle = 0.7853981633974483
