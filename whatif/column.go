package whatif

import (
	"strconv"

	"collinear.example/align"
)

// Column is one thing that is wanted of a result of type R. Make one with Number
// or Text.
type Column[R any] struct {
	Name     string
	Unit     align.Unit // in which a number is printed; "" for a text
	Decimals int        // of a number in plain text, 0 to MaxDecimals

	number func(R) float64
	text   func(R) string
	size   float64 // SI value of one unit of the number's type
	typed  any     // the zero of the number's type
}

// Number is a column of numbers. The function takes the figure from the result,
// in SI units as the quantities of the library are (an align.Clock in its
// degrees); it is printed in u with that many decimals:
//
//	Number("outboard foot", align.UnitMillimetre, 3, func(r Result) unit.Length { return r.Outboard })
//
// A unit of another kind than the type of the figure is refused with
// ErrWrongUnit, where the type says what it measures.
func Number[R any, Q ~float64](name string, u align.Unit, decimals int, f func(R) Q) Column[R] {
	var zero Q
	c := Column[R]{Name: name, Unit: u, Decimals: decimals, size: sizeOf[Q](), typed: zero}
	if f != nil {
		c.number = func(r R) float64 { return float64(f(r)) }
	}
	return c
}

// Text is a column of words: a verdict, or the state that governs.
func Text[R any](name string, f func(R) string) Column[R] {
	return Column[R]{Name: name, text: f}
}

// isNumber reports whether the column holds numbers.
func (c *Column[R]) isNumber() bool { return c.typed != nil }

// value is the figure of a result in SI units.
func (c *Column[R]) value(r R) float64 { return c.number(r) * c.size }

func (c *Column[R]) check(field string) error {
	switch {
	case c.Name == "":
		return fault(field+".name", "", align.ErrMissing)
	case c.number == nil && c.text == nil:
		return fault(field+".function", "", align.ErrMissing)
	case !c.isNumber():
		return nil
	case c.Decimals < 0 || c.Decimals > MaxDecimals:
		return fault(field+".decimals", strconv.Itoa(c.Decimals), align.ErrOutOfRange)
	}
	return checkUnit(field, c.Unit, c.typed)
}
