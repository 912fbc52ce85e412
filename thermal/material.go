package thermal

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Kind says in which form the expansion of a material is known. The zero value
// is not a kind: a material without one is an error.
type Kind uint8

// The forms in which expansion is published.
const (
	// Constant is one coefficient for all temperatures: strain = a*(T2 - T1).
	Constant Kind = iota + 1
	// MeanTable is a table of mean coefficients from a fixed reference
	// temperature up to the temperature of the entry.
	MeanTable
	// InstantaneousTable is a table of the slope of strain at each temperature.
	InstantaneousTable
	// Polynomial is strain in powers of the absolute temperature in kelvins,
	// with any constant: only differences are used.
	Polynomial
	// Eurocode3Steel is the closed form for carbon steel of EN 1993-1-2,
	// clause 3.4.1.1, from 20 to 1200 degC.
	Eurocode3Steel
)

// String returns the kind in words.
func (k Kind) String() string {
	switch k {
	case Constant:
		return "constant"
	case MeanTable:
		return "mean table"
	case InstantaneousTable:
		return "instantaneous table"
	case Polynomial:
		return "polynomial"
	case Eurocode3Steel:
		return "EN 1993-1-2 carbon steel"
	}
	return fmt.Sprintf("kind(%d)", uint8(k))
}

// CoefficientPoint is one entry of a table.
type CoefficientPoint struct {
	At    unit.Temperature
	Value float64 // coefficient of linear expansion, 1/K
}

// Material says how much a material expands, and who says so. One material
// has several right values: sources differ by alloy, by the range they average
// over and by rounding, so pick a variant on purpose (Find shows them all).
//
// A coefficient may be zero or negative (some alloys hardly expand or shrink
// over a range), but not beyond a thousandth a kelvin. The fields are exported
// so that anyone can bring a material; do not change one that is in use.
type Material struct {
	Name    string // such as "carbon steel"
	Variant string // which of the values for that name
	Kind    Kind

	Coefficient float64            // 1/K; of Constant only
	Reference   unit.Temperature   // where strain is zero; of MeanTable only
	Points      []CoefficientPoint // by rising temperature; of the tables only
	Terms       []float64          // strain = sum of Terms[i]*T^i, T in kelvins; of Polynomial only

	// From and To are the range for which the source vouches. Both zero: the
	// whole table, the range of the closed form, or not stated.
	From, To unit.Temperature
	Source   string // citation with page or table
	Known    align.Known
}

// Check returns what is wrong with the material, nil when it can be used.
//
// Errors: missing kind, reference or range of a polynomial; unknown-kind;
// not-finite; out-of-range coefficient or temperature; too-few-points;
// not-ascending points or range; mismatch for fields of another kind.
func (m Material) Check() error { return m.check() }

func (m *Material) check() error {
	if err := m.checkKind(); err != nil {
		return err
	}
	if m.From == 0 && m.To == 0 {
		if m.Kind == Polynomial {
			return fault("from", "0 K", align.ErrMissing) // a polynomial runs away outside its range
		}
		return nil
	}
	if err := checkTemperature("from", m.From); err != nil {
		return err
	}
	if err := checkTemperature("to", m.To); err != nil {
		return err
	}
	if m.To <= m.From {
		return fault("to", align.UnitCelsius.Format(float64(m.To), 2), ErrNotAscending)
	}
	return nil
}

// checkKind checks the fields that belong to the kind, and that no others are set.
func (m *Material) checkKind() error {
	switch {
	case m.Kind == 0:
		return fault("kind", "", align.ErrMissing)
	case m.Kind > Eurocode3Steel:
		return fault("kind", m.Kind.String(), align.ErrUnknownKind)
	case m.Coefficient != 0 && m.Kind != Constant:
		return fault("coefficient", plain(m.Coefficient, "1/K"), align.ErrMismatch)
	case m.Reference != 0 && m.Kind != MeanTable:
		return fault("reference", plain(float64(m.Reference), "K"), align.ErrMismatch)
	case len(m.Terms) != 0 && m.Kind != Polynomial:
		return fault("terms", "", align.ErrMismatch)
	case len(m.Points) != 0 && m.Kind != MeanTable && m.Kind != InstantaneousTable:
		return fault("points", "", align.ErrMismatch)
	}
	switch m.Kind {
	case Constant:
		return checkCoefficient("coefficient", m.Coefficient)
	case MeanTable:
		if err := checkTemperature("reference", m.Reference); err != nil {
			return err
		}
		return checkPoints(m.Points)
	case InstantaneousTable:
		return checkPoints(m.Points)
	case Polynomial:
		return checkTerms(m.Terms)
	}
	return nil
}

func checkPoints(points []CoefficientPoint) error {
	if len(points) < 2 {
		return fault("points", fmt.Sprint(len(points)), ErrTooFewPoints)
	}
	// Two comparisons an entry let a good table through: the last temperature
	// bounds them all.
	last := unit.Temperature(0)
	for i := range points {
		p := &points[i]
		if !(p.At > last && math.Abs(p.Value) <= maxCoefficient) {
			return badPoint(points)
		}
		last = p.At
	}
	if last > maxTemperature {
		return badPoint(points)
	}
	return nil
}

// badPoint returns the first fault of a table that has one.
func badPoint(points []CoefficientPoint) error {
	last := unit.Temperature(0)
	for i, p := range points {
		field := at("points", i)
		if err := checkTemperature(field+".at", p.At); err != nil {
			return err
		}
		if err := checkCoefficient(field+".value", p.Value); err != nil {
			return err
		}
		if p.At <= last {
			return fault(field+".at", align.UnitCelsius.Format(float64(p.At), 2), ErrNotAscending)
		}
		last = p.At
	}
	return nil
}

func checkTerms(terms []float64) error {
	if len(terms) == 0 {
		return fault("terms", "0", ErrTooFewPoints)
	}
	for i, c := range terms {
		if !align.IsFinite(c) {
			return fault(at("terms", i), plain(c, "1/K^n"), align.ErrNotFinite)
		}
	}
	return nil
}

// Range returns the lowest and the highest temperature for which the
// coefficient is known. stated is false when the source states no range.
func (m Material) Range() (from, to unit.Temperature, stated bool) { return m.span() }

func (m *Material) span() (from, to unit.Temperature, stated bool) {
	switch {
	case m.From != 0 || m.To != 0:
		return m.From, m.To, true
	case m.Kind == Eurocode3Steel:
		return eurocodeFrom, eurocodeTo, true
	case len(m.Points) > 0:
		return m.Points[0].At, m.Points[len(m.Points)-1].At, true
	}
	return 0, 0, false
}

// sameTemperature lets a temperature at the printed end of a range pass
// although conversion of units rounds both.
const sameTemperature unit.Temperature = 1e-9

// InRange reports whether the coefficient is known at t. It is true everywhere
// when the source states no range.
func (m Material) InRange(t unit.Temperature) bool {
	from, to, stated := m.span()
	return !stated || t >= from-sameTemperature && t <= to+sameTemperature
}

// AppendRangeWarning appends temperature-out-of-range to ws when t, the value
// of the named field, lies outside the range of the material. Limit is the
// nearest end of the range.
func (m Material) AppendRangeWarning(ws []align.Warning, field string, t unit.Temperature) []align.Warning {
	if m.InRange(t) || !align.IsFinite(t) {
		return ws
	}
	limit, to, _ := m.span()
	if t > to {
		limit = to
	}
	if !align.IsFinite(limit) {
		return ws // Check refuses such a range
	}
	return append(ws, align.Warning{
		Code: WarnTemperature, Meaning: warningMeaning(WarnTemperature), Severity: align.Suspect, Field: field,
		Value: float64(t), Limit: float64(limit), Unit: align.UnitCelsius,
	})
}

// MeanCoefficient returns the mean coefficient of linear expansion between two
// temperatures, strain over their difference, in 1/K.
//
// Errors: those of Strain; same-temperature.
func (m Material) MeanCoefficient(from, to unit.Temperature) (float64, error) {
	e, err := m.strain(from, to)
	if err != nil {
		return 0, err
	}
	mean := e / float64(to-from)
	if from == to || !align.IsFinite(mean) {
		return 0, fault("to", align.UnitCelsius.Format(float64(to), 2), ErrSameTemperature)
	}
	return mean, nil
}
