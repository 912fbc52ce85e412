package drawing

import (
	"fmt"

	"collinear.example/align"
)

// PaperSize is a size of paper, laid on its long side.
type PaperSize uint8

// The sizes (ISO 216).
const (
	A4 PaperSize = iota // 297 mm x 210 mm
	A3                  // 420 mm x 297 mm
	A2                  // 594 mm x 420 mm
	A1                  // 841 mm x 594 mm
	A0                  // 1189 mm x 841 mm
)

// String returns the name of the size.
func (p PaperSize) String() string {
	if p > A0 {
		return fmt.Sprintf("paper size(%d)", uint8(p))
	}
	return "A" + string('4'-rune(p))
}

// size returns width and height in millimetres, and how much larger than on A4 the
// lettering is, so that it can be read from farther away.
func (p PaperSize) size() (width, height, lettering float64) {
	switch p {
	case A3:
		return 420, 297, 1.2
	case A2:
		return 594, 420, 1.5
	case A1:
		return 841, 594, 2
	case A0:
		return 1189, 841, 2.5
	}
	return a4Long, a4Short, 1
}

func (p PaperSize) check() error {
	if p > A0 {
		return sheetFault("paper", p.String(), align.ErrUnknownKind)
	}
	return nil
}
