package tolerance

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The format, field by field. Speeds are in revolutions a minute, values in the
// unit of their table.
type (
	setJSON struct {
		Format  string      `json:"format"`
		ID      string      `json:"id"`
		Title   string      `json:"title"`
		Combine Combine     `json:"combine"`
		Tables  []tableJSON `json:"tables"`
	}
	tableJSON struct {
		ID       string       `json:"id"`
		Title    string       `json:"title"`
		Quantity Quantity     `json:"quantity"`
		Place    Place        `json:"place,omitempty"`
		Planes   Planes       `json:"planes,omitempty"`
		Coupling string       `json:"coupling,omitempty"`
		Turned   Turned       `json:"turned,omitempty"`
		Unit     align.Unit   `json:"unit"`
		Rule     Rule         `json:"rule"`
		Rows     []rowJSON    `json:"rows,omitempty"`
		Formula  *formulaJSON `json:"formula,omitempty"`
		Factors  []pointJSON  `json:"factors,omitempty"`
		Between  Between      `json:"between,omitempty"`
		Below    Outside      `json:"below,omitempty"`
		Above    Outside      `json:"above,omitempty"`
		Times    Measure      `json:"times,omitempty"`
		Over     Measure      `json:"over,omitempty"`
		Source   string       `json:"source"`
		Edition  string       `json:"edition,omitempty"`
		Known    align.Known  `json:"known"`
		Note     string       `json:"note,omitempty"`
		Suspect  string       `json:"suspect,omitempty"`
		Unusable bool         `json:"unusable,omitempty"`
	}
	rowJSON struct {
		Size     string   `json:"size,omitempty"`
		RPM      *float64 `json:"rpm,omitempty"`
		FromRPM  *float64 `json:"fromRpm,omitempty"`
		ToRPM    *float64 `json:"toRpm,omitempty"`
		OwnsFrom bool     `json:"ownsFrom,omitempty"`
		OwnsTo   bool     `json:"ownsTo,omitempty"`
		Value    float64  `json:"value"`
	}
	formulaJSON struct {
		Base        float64 `json:"base"`
		PerDiameter float64 `json:"perDiameter"`
		Numerator   float64 `json:"numerator"`
		Power       float64 `json:"power"`
		LowestRPM   float64 `json:"lowestRpm,omitempty"`
	}
	pointJSON struct {
		RPM    float64 `json:"rpm"`
		Factor float64 `json:"factor"`
	}
)

// ParseSet reads a set of limits in the JSON format of this package, strictly,
// and checks it. The text names its format (the constant Format), then id, title,
// how its limits combine, and its tables; every word is that of the constants of
// this package, values are in the unit that the table names, and speeds in
// revolutions a minute. A field nobody knows, a field given twice, a text of more
// than a mebibyte and one that nests too deep are refused. What is missing is
// never taken for zero.
//
// The errors name the field by its path, such as tables[0].rows[2].value; those
// of Set.Check come too, and so do its warnings.
func ParseSet(data []byte) (Set, []align.Warning, error) {
	tree, err := parseTree(data)
	if err != nil {
		return Set{}, nil, err
	}
	if err := checkFormat(tree); err != nil {
		return Set{}, nil, err
	}
	var in setJSON
	if err := decode("", tree, reflect.ValueOf(&in).Elem()); err != nil {
		return Set{}, nil, err
	}
	s := Set{ID: in.ID, Title: in.Title, Combine: in.Combine}
	for i := range in.Tables {
		t, err := in.Tables[i].table()
		if err != nil {
			return Set{}, nil, align.In(err, fmt.Sprintf("tables[%d]", i))
		}
		s.Tables = append(s.Tables, t)
	}
	warnings, err := s.Check()
	if err != nil {
		return Set{}, nil, err
	}
	return s, warnings, nil
}

// checkFormat looks at the format first, so that a text of another kind is not
// told about its fields.
func checkFormat(tree any) error {
	fields, ok := tree.(map[string]any)
	if !ok {
		return wrongType(false, "text", tree, "an object")
	}
	format, ok := fields["format"]
	if !ok {
		return inputError("format", "", align.ErrMissing)
	}
	if format != Format {
		return inputError("format", show(format)+", want "+strconv.Quote(Format), ErrUnknownFormat)
	}
	return nil
}

// table returns the table that the JSON describes.
func (in *tableJSON) table() (Table, error) {
	t := Table{
		ID: in.ID, Title: in.Title, Quantity: in.Quantity, Place: in.Place, Planes: in.Planes,
		Coupling: in.Coupling, Turned: in.Turned, Unit: in.Unit, Rule: in.Rule,
		Between: in.Between, Below: in.Below, Above: in.Above, Times: in.Times, Over: in.Over,
		Source: in.Source, Edition: in.Edition, Known: in.Known, Note: in.Note, Suspect: in.Suspect,
		Unusable: in.Unusable,
	}
	if (in.Formula != nil) != (in.Rule == ByFormula) {
		if in.Formula == nil {
			return t, inputError("formula", "", align.ErrMissing)
		}
		return t, inputError("formula", "rule "+string(in.Rule), align.ErrMismatch)
	}
	if f := in.Formula; f != nil {
		t.Formula = Formula{f.Base, f.PerDiameter, f.Numerator, f.Power, frequency(f.LowestRPM)}
	}
	for i := range in.Rows {
		row, err := in.Rows[i].row(in.Rule)
		if err != nil {
			return t, align.In(err, fmt.Sprintf("rows[%d]", i))
		}
		t.Rows = append(t.Rows, row)
	}
	for _, p := range in.Factors {
		t.Factors = append(t.Factors, Point{frequency(p.RPM), p.Factor})
	}
	return t, nil
}

// row returns the row, which must give the speeds its rule asks for and no
// others.
func (in *rowJSON) row(rule Rule) (Row, error) {
	byBand := rule == ByBand
	for _, f := range []struct {
		name  string
		given bool
		fits  bool
	}{
		{"rpm", in.RPM != nil, rule == ByPoint},
		{"fromRpm", in.FromRPM != nil, byBand},
		{"toRpm", in.ToRPM != nil, byBand},
		{"ownsFrom", in.OwnsFrom, byBand},
		{"ownsTo", in.OwnsTo, byBand},
	} {
		if f.given && !f.fits {
			return Row{}, inputError(f.name, "rule "+string(rule), align.ErrMismatch)
		}
	}
	if rule == ByPoint && in.RPM == nil {
		return Row{}, inputError("rpm", "", align.ErrMissing)
	}
	if byBand && in.FromRPM == nil {
		return Row{}, inputError("fromRpm", "", align.ErrMissing)
	}
	if in.ToRPM != nil && *in.ToRPM == 0 {
		return Row{}, inputError("toRpm", align.UnitRPM.Format(0, 0), align.ErrOutOfRange)
	}
	return Row{
		Size: in.Size, Value: in.Value, Speed: given(in.RPM), From: given(in.FromRPM), To: given(in.ToRPM),
		OwnsFrom: in.OwnsFrom, OwnsTo: in.OwnsTo,
	}, nil
}

func given(rpm *float64) unit.Frequency {
	if rpm == nil {
		return 0
	}
	return frequency(*rpm)
}

func frequency(rpm float64) unit.Frequency { return unit.Frequency(rpm) * align.RPM }

// rpmOf returns the speed in revolutions a minute that reads back as f. Where
// rounding leaves no such number it returns the nearest.
func rpmOf(f unit.Frequency) float64 {
	rpm := float64(f / align.RPM)
	for _, v := range []float64{math.Round(rpm), rpm, math.Nextafter(rpm, 0), math.Nextafter(rpm, math.MaxFloat64)} {
		if frequency(v) == f {
			return v
		}
	}
	return rpm
}

// MarshalJSON returns the set in the format that ParseSet reads, on one line. A
// set that Check refuses is an error.
func (s Set) MarshalJSON() ([]byte, error) {
	if _, err := s.Check(); err != nil {
		return nil, err
	}
	out := setJSON{Format: Format, ID: s.ID, Title: s.Title, Combine: s.Combine}
	for i := range s.Tables {
		out.Tables = append(out.Tables, s.Tables[i].json())
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads a set as ParseSet does. Its warnings are those of Check.
func (s *Set) UnmarshalJSON(data []byte) error {
	got, _, err := ParseSet(data)
	if err != nil {
		return err
	}
	*s = got
	return nil
}

// FormatSet returns the set as readable JSON that ParseSet reads back as the same
// set. A set that Check refuses is an error.
func FormatSet(s Set) ([]byte, error) {
	line, err := s.MarshalJSON()
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, line, "", "  "); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

func (t *Table) json() tableJSON {
	out := tableJSON{
		ID: t.ID, Title: t.Title, Quantity: t.Quantity, Place: t.Place, Planes: t.Planes,
		Coupling: t.Coupling, Turned: t.Turned, Unit: t.Unit, Rule: t.Rule,
		Between: t.Between, Below: t.Below, Above: t.Above, Times: t.Times, Over: t.Over,
		Source: t.Source, Edition: t.Edition, Known: t.Known, Note: t.Note, Suspect: t.Suspect,
		Unusable: t.Unusable,
	}
	if f := t.Formula; t.Rule == ByFormula {
		out.Formula = &formulaJSON{f.Base, f.PerDiameter, f.Numerator, f.Power, rpmOf(f.Lowest)}
	}
	for i := range t.Rows {
		out.Rows = append(out.Rows, t.Rows[i].json(t.Rule))
	}
	for _, p := range t.Factors {
		out.Factors = append(out.Factors, pointJSON{rpmOf(p.Speed), p.Factor})
	}
	return out
}

func (r *Row) json(rule Rule) rowJSON {
	out := rowJSON{Size: r.Size, Value: r.Value, OwnsFrom: r.OwnsFrom, OwnsTo: r.OwnsTo}
	speed := func(f unit.Frequency) *float64 {
		v := rpmOf(f)
		return &v
	}
	switch {
	case rule == ByPoint:
		out.RPM = speed(r.Speed)
	case rule == ByBand:
		out.FromRPM = speed(r.From)
		if r.To != 0 {
			out.ToRPM = speed(r.To)
		}
	}
	return out
}
