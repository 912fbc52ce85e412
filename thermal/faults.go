package thermal

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The faults of growth that package align does not have.
const (
	// ErrTooFewPoints is a table of coefficients of fewer than two points, or
	// a polynomial without terms.
	ErrTooFewPoints align.Fault = "too-few-points"
	// ErrNotAscending is a table, a profile or a range whose entries do not
	// rise: the temperature or the height must be larger than the one before.
	ErrNotAscending align.Fault = "not-ascending"
	// ErrSameTemperature is a mean coefficient asked for between a temperature
	// and itself.
	ErrSameTemperature align.Fault = "same-temperature"
)

// The warnings of growth.
const (
	// WarnTemperature is a temperature outside the range for which the
	// coefficient is known; the coefficient at the end of the range was held.
	// Value is the temperature, Limit the nearest end.
	WarnTemperature align.WarningCode = "temperature-out-of-range"
	// WarnProfile is a temperature profile that does not reach both ends of its
	// segment; the end readings were held. Value is the length without readings.
	WarnProfile align.WarningCode = "profile-short"
	// WarnRules says that rules of thumb contradict each other. Value is the
	// largest growth, Limit the smallest.
	WarnRules align.WarningCode = "rules-disagree"
)

// Bounds of what is taken for an input at all (own choice). No solid reaches
// 10000 K and no solid expands by a thousandth a kelvin: a coefficient beyond
// that was entered in millionths, or in mils per inch.
const (
	maxTemperature unit.Temperature = 10000
	maxCoefficient                  = 1e-3 // 1/K
	maxLength      unit.Length      = 1e6
)

func fault(field, got string, err error) error {
	return &align.InputError{Package: "thermal", Field: field, Got: got, Err: err, Meaning: meaning(err)}
}

func plain(v float64, name string) string {
	return strconv.FormatFloat(v, 'g', 6, 64) + " " + name
}

func at(field string, i int) string { return field + "[" + strconv.Itoa(i) + "]" }

// checkTemperature wants a finite temperature above absolute zero. Zero itself
// is a temperature that was not given.
func checkTemperature(field string, t unit.Temperature) error {
	switch {
	case !align.IsFinite(t):
		return fault(field, plain(float64(t), "K"), align.ErrNotFinite)
	case t == 0:
		return fault(field, "0 K", align.ErrMissing)
	case t < 0 || t > maxTemperature:
		return fault(field, plain(float64(t), "K"), align.ErrOutOfRange)
	}
	return nil
}

// checkCoefficient wants a finite coefficient of believable size, of any sign.
func checkCoefficient(field string, a float64) error {
	switch {
	case !align.IsFinite(a):
		return fault(field, plain(a, "1/K"), align.ErrNotFinite)
	case a < -maxCoefficient || a > maxCoefficient:
		return fault(field, plain(a, "1/K"), align.ErrOutOfRange)
	}
	return nil
}

// checkBounded wants a finite length that is not absurd, of any sign.
func checkBounded(field string, v unit.Length) error {
	switch {
	case !align.IsFinite(v):
		return fault(field, plain(float64(v), "m"), align.ErrNotFinite)
	case v < -maxLength || v > maxLength:
		return fault(field, plain(float64(v), "m"), align.ErrOutOfRange)
	}
	return nil
}

// checkExtent wants a finite length above zero. Zero is a length not given.
func checkExtent(field string, v unit.Length) error {
	if err := checkBounded(field, v); err != nil {
		return err
	}
	switch {
	case v == 0:
		return fault(field, "0 m", align.ErrMissing)
	case v < 0:
		return fault(field, align.UnitMillimetre.Format(float64(v), 3), align.ErrNegative)
	}
	return nil
}
