package runout

import "collinear.example/align"

const (
	shaftRunout  = "shaft runout"
	flangeRunout = "runout of flange rabbet and face"
	din42955     = "DIN 42955 as tabulated by a drive maker"
)

// shaftTable returns the table of a standard for shaft extensions.
func shaftTable(s Standard) (t sizeTable, ok bool) {
	switch s {
	case NEMAMG1:
		return nemaShaft(), true
	case IEC60072:
		return iecShaft(), true
	case DIN42955Normal:
		return dinShaft(), true
	case DIN42955Reduced:
		return dinShaftReduced(), true
	}
	return t, false
}

// flangeTable returns the table of a standard for mounting flanges.
func flangeTable(s Standard) (t sizeTable, ok bool) {
	switch s {
	case NEMAMG1:
		return nemaFlangeP(), true
	case IEC60072:
		return iecFlange(), true
	case DIN42955Normal:
		return dinFlange(), true
	case DIN42955Reduced:
		return dinFlangeReduced(), true
	}
	return t, false
}

func nemaShaft() sizeTable {
	return sizeTable{
		name: shaftRunout, place: string(EndOfExtension),
		source: "NEMA MG 1 condensed (2011), 4.9.7, p. 10", known: align.Read,
		unit: align.UnitInch, from: 0.1875, fromIncluded: true,
		rows: [maxSizeRows]sizeRow{{to: 1.625, limit: 0.002}, {to: 6.5, limit: 0.003}},
	}
}

func iecShaft() sizeTable {
	return sizeTable{
		name: shaftRunout, place: string(MiddleOfExtension),
		source: "IEC 60072-1 as printed in EASA AR100-2015, Table 2-4, section 2 p. 4", known: align.ReadSecondhand,
		unit: align.UnitMillimetre, from: 6,
		rows: [maxSizeRows]sizeRow{
			{to: 10, limit: 0.03}, {to: 18, limit: 0.035}, {to: 30, limit: 0.04}, {to: 50, limit: 0.05},
			{to: 80, limit: 0.06}, {to: 120, limit: 0.07}, {to: 180, limit: 0.08}, {to: 250, limit: 0.09},
			{to: 315, limit: 0.1}, {to: 400, limit: 0.11}, {to: 500, limit: 0.125}, {to: 630, limit: 0.14},
		},
	}
}

func dinShaft() sizeTable {
	return sizeTable{
		name: shaftRunout, place: anyPlace, source: din42955 + ", class N", known: align.ReadSecondhand,
		unit: align.UnitMillimetre,
		rows: [maxSizeRows]sizeRow{
			{to: 10, limit: 0.03}, {to: 18, limit: 0.035}, {to: 30, limit: 0.04}, {to: 50, limit: 0.05},
			{to: 80, limit: 0.06}, {to: 120, limit: 0.07}, {to: 180, limit: 0.08}, {to: 250, limit: 0.09},
		},
	}
}

func dinShaftReduced() sizeTable {
	return sizeTable{
		name: shaftRunout, place: anyPlace, source: din42955 + ", class R", known: align.ReadSecondhand,
		unit: align.UnitMillimetre,
		rows: [maxSizeRows]sizeRow{
			{to: 10, limit: 0.015}, {to: 18, limit: 0.018}, {to: 30, limit: 0.021}, {to: 50, limit: 0.025},
			{to: 80, limit: 0.03}, {to: 120, limit: 0.035}, {to: 180, limit: 0.04}, {to: 250, limit: 0.045},
		},
	}
}

func nemaFlangeP() sizeTable {
	return sizeTable{
		name: flangeRunout, place: "flange of type P",
		source: "NEMA MG 1, 4.13, Table 4-6, as printed in the 2020 draft of EASA AR100, Table 2-9, section 2 p. 6", known: align.ReadSecondhand,
		unit: align.UnitInch,
		rows: [maxSizeRows]sizeRow{
			{to: 12, limit: 0.004, below: true}, {to: 24, limit: 0.007}, {to: 40, limit: 0.009}, {to: 60, limit: 0.012},
		},
	}
}

func iecFlange() sizeTable {
	return sizeTable{
		name: flangeRunout, place: "mounting flange",
		source: "IEC 60072-1, C.7, as printed in the 2020 draft of EASA AR100, Table 2-11, section 2 p. 7", known: align.ReadSecondhand,
		unit: align.UnitMillimetre, from: 40,
		rows: [maxSizeRows]sizeRow{
			{to: 100, limit: 0.08}, {to: 230, limit: 0.1}, {to: 450, limit: 0.125}, {to: 800, limit: 0.16},
			{to: 1250, limit: 0.2}, {to: 2000, limit: 0.25}, {to: 2240, limit: 0.315},
		},
	}
}

func dinFlange() sizeTable {
	return sizeTable{
		name: flangeRunout, place: "mounting flange", source: din42955 + ", class N", known: align.ReadSecondhand,
		unit: align.UnitMillimetre,
		rows: [maxSizeRows]sizeRow{
			{to: 22, limit: 0.05}, {to: 40, limit: 0.06}, {to: 100, limit: 0.08}, {to: 230, limit: 0.1},
			{to: 450, limit: 0.125}, {to: 800, limit: 0.16}, {to: 1400, limit: 0.2},
		},
	}
}

func dinFlangeReduced() sizeTable {
	return sizeTable{
		name: flangeRunout, place: "mounting flange", source: din42955 + ", class R", known: align.ReadSecondhand,
		unit: align.UnitMillimetre,
		rows: [maxSizeRows]sizeRow{
			{to: 22, limit: 0.025}, {to: 40, limit: 0.03}, {to: 100, limit: 0.04}, {to: 230, limit: 0.05},
			{to: 450, limit: 0.063}, {to: 800, limit: 0.08}, {to: 1400, limit: 0.1},
		},
	}
}
