package drawing_test

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// uglyNames are names that are long, that cannot be printed, or that would mean something
// in XML.
var uglyNames = []string{
	"", " ", "…", "W", strings.Repeat("W", 200), strings.Repeat("long name ", 5000), "<script>&\"'", "]]>", "\x00\xff\xfe", "a\nb\tc",
	strings.Repeat("泵", 80), strings.Repeat("e\u0301", 100), strings.Repeat("\u0301", 300), "\u202etrain", "𝔸𝔹ℂ", "\u200b\u200b", "12", "A",
}

// sheetOf makes one of the sheets of a seed with a name wherever one can stand.
func sheetOf(kind uint8, seed uint64, name string) drawer {
	r := rand.New(rand.NewPCG(seed, 100))
	switch kind % 7 {
	case 0:
		return randClock(r, name)
	case 1:
		d := randStrain(r, name)
		for i := range d.Test.Steps {
			d.Test.Steps[i].Of = []string{"a"}
		}
		return d
	case 2:
		return randWedge(r, name)
	case 3:
		return randCurve(r, name)
	case 4:
		return randBars(r, name)
	case 5:
		return randStates(r, name)
	}
	return randPaper(r, name)
}

func TestSheetsWithUglyNames(t *testing.T) {
	for kind := range uint8(7) {
		for i, name := range uglyNames {
			drawnSheet(t, sheetOf(kind, uint64(i), name))
		}
	}
}

func FuzzSheetNames(f *testing.F) {
	for i, name := range uglyNames {
		f.Add(uint8(i), uint64(i), name)
	}
	f.Fuzz(func(t *testing.T, kind uint8, seed uint64, name string) {
		drawnSheet(t, sheetOf(kind, seed, name))
	})
}
