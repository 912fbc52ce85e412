package drawing

// Stroke is a kind of line as engineering drawings use them. The kinds are those of
// ISO 128-2 (names and numbers of the types from memory); a narrow line is 0.25 mm
// and a wide one 0.5 mm.
type Stroke uint8

// The strokes.
const (
	NoStroke     Stroke = iota
	Narrow              // continuous narrow: dimension lines, leaders, grid (01.1)
	Wide                // continuous wide: outlines (01.2)
	Dashed              // dashed narrow: what lies behind (02.1)
	Centre              // long-dashed dotted narrow: a centreline as found (04.1)
	CentreWide          // long-dashed dotted wide: a centreline after the move (04.2)
	DoubleDotted        // long-dashed double-dotted narrow: where a part runs (05.1)
	Faint               // continuous, half as narrow: graph paper
	TripleDotted        // long-dashed triple-dotted narrow: where it runs in another state (06.1)
)

// stroke widths in millimetres.
const (
	narrow = 0.25
	wide   = 0.5
	faint  = 0.12
)

// width returns the width of the line in millimetres.
func (s Stroke) width() float64 {
	switch s {
	case Wide, CentreWide:
		return wide
	case Faint:
		return faint
	}
	return narrow
}

// dashes returns lengths of dash and gap in millimetres, nil for a continuous line.
// With d the width of a narrow line: long dash 24 d, short dash 12 d, gap 3 d (ISO
// 128-2, from memory). A dot is 2 d long here, more than the standard's half, so that
// dots can be counted on a screen. A wide centreline keeps the same lengths, so that
// both kinds can be told apart by width alone at the same rhythm.
func (s Stroke) dashes() []float64 {
	const d = narrow
	switch s {
	case Dashed:
		return []float64{12 * d, 3 * d}
	case Centre, CentreWide:
		return []float64{24 * d, 3 * d, 2 * d, 3 * d}
	case DoubleDotted:
		return []float64{24 * d, 3 * d, 2 * d, 3 * d, 2 * d, 3 * d}
	case TripleDotted:
		return []float64{24 * d, 3 * d, 2 * d, 3 * d, 2 * d, 3 * d, 2 * d, 3 * d}
	}
	return nil
}
