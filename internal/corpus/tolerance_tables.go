package corpus

import (
	"encoding/json"

	"collinear.example/align"
	"collinear.example/tolerance"
)

// toleranceTableComputations are about tables of limits.
func toleranceTableComputations() map[string]Computation {
	return map[string]Computation{
		"tolerance.limit-at":     computation(tableLimitAt),
		"tolerance.check-table":  computation(checkTable),
		"tolerance.parse-limits": computation(parseLimits),
	}
}

// inlineTable is one table in the format of limits, as schema/limits.schema.json
// describes it.
type inlineTable struct{ tolerance.Table }

func (t *inlineTable) fromTree(path string, tree any) error {
	set := map[string]any{
		"format": tolerance.Format, "id": "inline", "title": "inline", "combine": string(tolerance.EachAlone),
		"tables": []any{tree},
	}
	text, err := json.Marshal(set)
	if err != nil {
		return fault(path, "", ErrBadJSON)
	}
	s, _, err := tolerance.ParseSet(text)
	if err != nil {
		return align.In(err, path)
	}
	t.Table = s.Tables[0]
	return nil
}

type limitLookup struct {
	Set      *string            `json:"set"` // a built-in set and one of its tables,
	Of       *string            `json:"of"`
	Table    *inlineTable       `json:"table"` // or a table
	Geometry limitGeometryInput `json:"geometry"`
}

func (in *limitLookup) table() (*tolerance.Table, error) {
	switch {
	case in.Table != nil && (in.Set != nil || in.Of != nil):
		return nil, fault("input.table", "", align.ErrMismatch)
	case in.Table != nil:
		return &in.Table.Table, nil
	case in.Set == nil:
		return nil, fault("input.set", "", align.ErrMissing)
	case in.Of == nil:
		return nil, fault("input.of", "", align.ErrMissing)
	}
	s, err := tolerance.FindSet(*in.Set)
	if err != nil {
		return nil, err
	}
	return s.Table(*in.Of)
}

func tableLimitAt(in limitLookup) (r Result, err error) {
	t, err := in.table()
	if err != nil {
		return r, err
	}
	g := in.Geometry.geometry()
	a, err := t.LimitAt(g)
	if err != nil {
		return r, err
	}
	l, warnings, err := t.Limit(g)
	if err != nil {
		return r, err
	}
	r.Number("limit", a.SI, t.Quantity.Dimension())
	r.Number("printed", t.Unit.SI(a.Printed), t.Unit.Dimension())
	r.Text("quantity", string(t.Quantity))
	r.Text("unit", string(l.Unit))
	r.Text("known", string(l.Known))
	r.Warn(warnings...)
	return r, nil
}

type checkTableInput struct {
	Table inlineTable `json:"table"`
}

func checkTable(in checkTableInput) (r Result, err error) {
	warnings, err := in.Table.Check()
	if err != nil {
		return r, err
	}
	r.Ratio("rows", float64(len(in.Table.Rows)))
	r.Text("quantity", string(in.Table.Quantity))
	r.Warn(warnings...)
	return r, nil
}

type parseLimitsInput struct {
	Text string `json:"text"` // a whole text in the format of limits
}

func parseLimits(in parseLimitsInput) (r Result, err error) {
	s, warnings, err := tolerance.ParseSet([]byte(in.Text))
	if err != nil {
		return r, err
	}
	again, err := tolerance.FormatSet(s)
	if err != nil {
		return r, err
	}
	if _, _, err := tolerance.ParseSet(again); err != nil {
		return r, err
	}
	r.Ratio("tables", float64(len(s.Tables)))
	r.Text("combine", string(s.Combine))
	r.Warn(warnings...)
	return r, nil
}
