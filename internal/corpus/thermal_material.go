package corpus

import (
	"strings"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// Expansion is a coefficient of linear expansion, written [6.3e-6, "1/degF"].
type Expansion float64

func (e *Expansion) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.ExpansionDim)
	*e = Expansion(si)
	return err
}

type coefficientInput struct {
	At    Temperature `json:"at"`
	Value Expansion   `json:"value"`
}

// materialInput is a material of package thermal by name and, where several
// have it, variant; or one described in full by kind.
type materialInput struct {
	Name        *string            `json:"name"`
	Variant     *string            `json:"variant"`
	Kind        *Kind              `json:"kind"`
	Coefficient *Expansion         `json:"coefficient"`
	Reference   *Temperature       `json:"reference"`
	Points      []coefficientInput `json:"points,omitempty"`
	Terms       []float64          `json:"terms,omitempty"` // powers of the temperature in kelvins, from the zeroth
	From        *Temperature       `json:"from"`
	To          *Temperature       `json:"to"`
}

func (in materialInput) material() (thermal.Material, error) {
	if in.Kind == nil {
		return in.named()
	}
	var m thermal.Material
	k, err := kindFrom("kind", in.Kind, 0, map[Kind]thermal.Kind{
		"constant": thermal.Constant, "mean-table": thermal.MeanTable,
		"instantaneous-table": thermal.InstantaneousTable, "polynomial": thermal.Polynomial,
		"eurocode-3-steel": thermal.Eurocode3Steel,
	})
	if err != nil {
		return m, err
	}
	m.Kind, m.Terms = k, in.Terms
	if k == thermal.Constant && in.Coefficient == nil {
		return m, fault("coefficient", "", align.ErrMissing) // zero would be a value
	}
	if in.Coefficient != nil {
		m.Coefficient = float64(*in.Coefficient)
	}
	m.Reference, m.From, m.To = in.Reference.of(), in.From.of(), in.To.of()
	for _, p := range in.Points {
		m.Points = append(m.Points, thermal.CoefficientPoint{At: unit.Temperature(p.At), Value: float64(p.Value)})
	}
	return m, nil
}

func (in materialInput) named() (m thermal.Material, err error) {
	if in.Name == nil {
		return m, fault("kind", "", align.ErrMissing)
	}
	found := thermal.Find(*in.Name)
	if len(found) == 0 {
		return m, fault("name", *in.Name, align.ErrUnknownKind)
	}
	if in.Variant == nil {
		if len(found) > 1 {
			return m, fault("variant", "", align.ErrMissing) // several values, none the default
		}
		return found[0], nil
	}
	for _, f := range found {
		if strings.EqualFold(f.Variant, *in.Variant) {
			return f, nil
		}
	}
	return m, fault("variant", *in.Variant, align.ErrUnknownKind)
}
