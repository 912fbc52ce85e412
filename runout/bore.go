package runout

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// InchBore is a row of ANSI/AGMA 9002 for hubs bored in inches with a square key.
// Lengths are nominal, as printed.
type InchBore struct {
	Bore        unit.Length
	KeyWidth    unit.Length
	KeywayDepth unit.Length // at the side of the keyway
	Across      unit.Length // from the bottom of the keyway to the far side of the bore, called T in tables
}

// boreRow holds a row in inches.
type boreRow struct{ bore, width, depth, across float64 }

// agmaRows is the number of rows that have been read.
const agmaRows = 19

func agma9002() [agmaRows]boreRow {
	return [agmaRows]boreRow{
		{0.375, 0.0938, 0.0469, 0.421}, {0.4375, 0.0938, 0.0469, 0.484}, {0.5, 0.125, 0.0625, 0.56},
		{0.5625, 0.125, 0.0625, 0.623}, {0.625, 0.1875, 0.0938, 0.709}, {0.6875, 0.1875, 0.0938, 0.773},
		{0.75, 0.1875, 0.0938, 0.837}, {0.8125, 0.1875, 0.0938, 0.9}, {0.875, 0.1875, 0.0938, 0.964},
		{0.9375, 0.25, 0.125, 1.051}, {1, 0.25, 0.125, 1.114}, {1.0625, 0.25, 0.125, 1.178},
		{1.125, 0.25, 0.125, 1.241}, {1.1875, 0.25, 0.125, 1.304}, {1.25, 0.25, 0.125, 1.367},
		{1.3125, 0.3125, 0.1562, 1.455}, {1.375, 0.3125, 0.1562, 1.518}, {1.4375, 0.375, 0.1875, 1.605},
		{1.5, 0.375, 0.1875, 1.669},
	}
}

const agmaSource = "ANSI/AGMA 9002-B04 as printed in a table of bores and keyways"

// AGMABore returns the row of a nominal bore of 3/8 to 1 1/2 in, in steps of
// 1/16 in (ANSI/AGMA 9002-B04, second-hand; rows over 1 1/2 in were not seen).
// A bore that is no row, within a millionth of an inch, is align.ErrOutOfRange.
// Other errors: align.ErrZeroDiameter, align.ErrNotFinite.
func AGMABore(nominal unit.Length) (InchBore, error) {
	if err := checkDiameter("bore", nominal); err != nil {
		return InchBore{}, err
	}
	in := align.UnitInch.FromSI(float64(nominal))
	for _, r := range agma9002() {
		if math.Abs(in-r.bore) <= 1e-6 {
			return r.inches(), nil
		}
	}
	return InchBore{}, fault("bore", align.UnitInch.Format(float64(nominal), 4)+", the table has 0.375 to 1.5 in by sixteenths", align.ErrOutOfRange)
}

func (r boreRow) inches() InchBore {
	in := func(v float64) unit.Length { return unit.Length(v) * align.Inch }
	return InchBore{Bore: in(r.bore), KeyWidth: in(r.width), KeywayDepth: in(r.depth), Across: in(r.across)}
}

// ClearanceBore returns the deviations of a bore that slides on: 0 to +0.001 in.
func (b InchBore) ClearanceBore() Deviations { return agmaDeviations(0, 0.001) }

// InterferenceBore returns the deviations of a bore to be pressed or shrunk on:
// -0.0010 to -0.0005 in.
func (b InchBore) InterferenceBore() Deviations { return agmaDeviations(-0.001, -0.0005) }

// KeyWidthDeviations returns those of the keyway's width: 0 to +0.002 in up to a
// bore of 1 3/8 in, 0 to +0.0025 in over it.
func (b InchBore) KeyWidthDeviations() Deviations {
	if b.Bore > 1.375*align.Inch*(1+edge) {
		return agmaDeviations(0, 0.0025)
	}
	return agmaDeviations(0, 0.002)
}

// AcrossDeviations returns those of Across: 0 to +0.015 in.
func (b InchBore) AcrossDeviations() Deviations { return agmaDeviations(0, 0.015) }

func agmaDeviations(lower, upper float64) Deviations {
	return Deviations{
		Lower: unit.Length(lower) * align.Inch, Upper: unit.Length(upper) * align.Inch,
		Source: agmaSource, Known: align.ReadSecondhand,
	}
}

// keyAllowance is what the across dimension allows for clearance over the key.
const keyAllowance = 0.005 * align.Inch

// Keyway is a keyway in a bore.
type Keyway struct {
	Bore  unit.Length // D; above zero
	Width unit.Length // W; above zero, under the bore
	Depth unit.Length // H, at the side of the keyway; above zero
}

// Across returns the size from the bottom of the keyway to the far side of the
// bore that the table uses:
//
//	T = D - (D - sqrt(D^2 - W^2))/2 + H + 0.005 in
//
// (Geometry with the allowance of ANSI B17.1, from memory; it gives every row of
// the AGMA table within half a thousandth of an inch.) Errors:
// align.ErrZeroDiameter, align.ErrNotFinite, align.ErrNegative,
// align.ErrOutOfRange, align.ErrMismatch for a keyway as wide as the bore.
func (k Keyway) Across() (unit.Length, error) {
	if err := checkDiameter("bore", k.Bore); err != nil {
		return 0, err
	}
	if err := checkAbove("width", float64(k.Width), align.UnitMillimetre); err != nil {
		return 0, err
	}
	if err := checkAbove("depth", float64(k.Depth), align.UnitMillimetre); err != nil {
		return 0, err
	}
	if k.Width >= k.Bore {
		return 0, fault("width", align.UnitMillimetre.Format(float64(k.Width), 3)+", bore "+align.UnitMillimetre.Format(float64(k.Bore), 3), align.ErrMismatch)
	}
	w := float64(k.Width / k.Bore)
	chord := k.Bore * unit.Length(math.Sqrt(float64(1-w)*float64(1+w))) // sqrt(D^2 - W^2)
	t := k.Bore/2 + chord/2 + k.Depth + keyAllowance
	if !align.IsFinite(t) {
		return 0, fault("bore", "", align.ErrOutOfRange)
	}
	return t, nil
}
