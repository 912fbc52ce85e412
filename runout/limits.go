package runout

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Standard names a document that limits the runout of the shaft extension or of
// the mounting flange of an electrical machine.
type Standard string

// The standards that ShaftLimit and FlangeLimit know.
const (
	NEMAMG1         Standard = "nema-mg-1"         // the shaft at the end of the extension; flanges of type P
	IEC60072        Standard = "iec-60072-1"       // the shaft midway along the extension
	DIN42955Normal  Standard = "din-42955-normal"  // class N
	DIN42955Reduced Standard = "din-42955-reduced" // class R
)

// Place is where on a shaft extension the dial stands. A bent or skewed shaft
// reads more at the end than in the middle, so a limit holds only at its place.
type Place string

// The places that the standards name.
const (
	EndOfExtension    Place = "end of the shaft extension"
	MiddleOfExtension Place = "middle of the shaft extension"
)

// anyPlace is what a limit says whose table does not say where it is measured.
const anyPlace = "shaft extension, place not given in the table read"

// ShaftLimit returns the largest total indicator reading of the shaft extension
// of a motor or generator with that diameter, with the place at which it is to
// be measured. A diameter on the border of two rows belongs to the smaller one:
// rows run over one diameter and up to the next.
//
//	nema-mg-1          0.1875 to 6.5 in, both included; extensions of standard length only
//	iec-60072-1        over 6 up to 630 mm
//	din-42955-*        over 0 up to 250 mm
//
// Sources: NEMA MG 1 condensed (2011), 4.9.7; IEC 60072-1 as EASA AR100-2015
// prints it, Table 2-4; DIN 42955 as a drive maker prints it.
//
// Errors: align.ErrUnknownKind for another standard, align.ErrZeroDiameter,
// align.ErrNotFinite, and align.ErrOutOfRange, with the range, for a diameter
// outside the table.
func ShaftLimit(s Standard, diameter unit.Length) (align.Limit, error) {
	t, ok := shaftTable(s)
	if !ok {
		return align.Limit{}, fault("standard", strconv.Quote(string(s)), align.ErrUnknownKind)
	}
	return t.limit("diameter", diameter)
}

// FlangeLimit returns the largest total indicator reading of the rabbet (spigot)
// of a mounting flange, and of its face, by the diameter of the rabbet. The NEMA
// table is that of flanges of type P. Borders belong to the smaller row, but 12 in
// belongs to the NEMA row 12 to 24 in.
//
//	nema-mg-1          over 0 up to 60 in
//	iec-60072-1        over 40 up to 2240 mm
//	din-42955-*        over 0 up to 1400 mm
//
// Sources: NEMA MG 1, 4.13, and IEC 60072-1, C.7, as the 2020 draft of EASA AR100
// prints them, Tables 2-9 and 2-11; DIN 42955 as a drive maker prints it. That the
// figures are total indicator readings is from memory.
//
// Errors: as ShaftLimit.
func FlangeLimit(s Standard, rabbet unit.Length) (align.Limit, error) {
	t, ok := flangeTable(s)
	if !ok {
		return align.Limit{}, fault("standard", strconv.Quote(string(s)), align.ErrUnknownKind)
	}
	return t.limit("rabbet", rabbet)
}

// ShaftReading is the runout of a shaft extension with the place of the dial.
type ShaftReading struct {
	Diameter unit.Length // of the extension; above zero
	Runout   align.TIR   // total indicator reading; not negative
	Place    Place       // where the dial stood; required
}

// Judge holds the reading against a standard. A reading taken at another place
// than the standard's is refused with align.ErrMismatch, since no rule carries a
// reading from one place to the other.
//
// Errors besides those of ShaftLimit: align.ErrMissing without a place,
// align.ErrUnknownKind for a place unknown, align.ErrNegative.
func (r ShaftReading) Judge(s Standard) (align.Verdict, error) {
	if err := checkSize("runout", float64(r.Runout), align.UnitMillimetre); err != nil {
		return align.Verdict{}, err
	}
	switch r.Place {
	case EndOfExtension, MiddleOfExtension:
	case "":
		return align.Verdict{}, fault("place", "", align.ErrMissing)
	default:
		return align.Verdict{}, fault("place", strconv.Quote(string(r.Place)), align.ErrUnknownKind)
	}
	l, err := ShaftLimit(s, r.Diameter)
	if err != nil {
		return align.Verdict{}, err
	}
	if l.Place != anyPlace && l.Place != string(r.Place) {
		return align.Verdict{}, fault("place", string(r.Place)+", limit at the "+l.Place, align.ErrMismatch)
	}
	return l.Judge(float64(r.Runout))
}

// sizeRow holds up to and with size to; below leaves to itself to the next row.
type sizeRow struct {
	to, limit float64
	below     bool
}

// maxSizeRows is the length of the longest table.
const maxSizeRows = 12

// sizeTable limits something by size. Sizes and limits are in unit, as printed.
// It is a value without pointers, so that looking up allocates nothing.
type sizeTable struct {
	name, place, source string
	known               align.Known
	unit                align.Unit
	from                float64 // lowest size
	fromIncluded        bool
	rows                [maxSizeRows]sizeRow // a row with to = 0 ends the table
}

// edge is how far, as a share, a size may pass a border through the rounding of
// unit conversion.
const edge = 1e-12

// limit finds the row of a size.
func (t sizeTable) limit(field string, size unit.Length) (align.Limit, error) {
	if err := checkDiameter(field, size); err != nil {
		return align.Limit{}, err
	}
	v := t.unit.FromSI(float64(size))
	if v <= float64(t.from*(1-edge)) || (!t.fromIncluded && v <= float64(t.from*(1+edge))) {
		return align.Limit{}, t.outside(field, size)
	}
	for _, r := range t.rows {
		if r.holds(v) {
			return align.Limit{Name: t.name, Place: t.place, Value: r.limit, Unit: t.unit, Source: t.source, Known: t.known}, nil
		}
	}
	return align.Limit{}, t.outside(field, size)
}

func (r sizeRow) holds(v float64) bool {
	if r.below {
		return v < float64(r.to*(1-edge))
	}
	return v <= float64(r.to*(1+edge))
}

// outside says which sizes the table holds.
func (t sizeTable) outside(field string, size unit.Length) error {
	last := 0.0
	for _, r := range t.rows {
		last = max(last, r.to)
	}
	first := "over "
	if t.fromIncluded {
		first = "from "
	}
	return fault(field, t.unit.Format(float64(size), 4)+", the table runs "+first+plain(t.from)+" up to "+plain(last)+" "+string(t.unit), align.ErrOutOfRange)
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// checkDiameter wants a finite length above zero.
func checkDiameter(field string, d unit.Length) error {
	if !align.IsFinite(d) {
		return fault(field, align.UnitMillimetre.Format(float64(d), 3), align.ErrNotFinite)
	}
	if d <= 0 {
		return fault(field, align.UnitMillimetre.Format(float64(d), 3), align.ErrZeroDiameter)
	}
	return nil
}
