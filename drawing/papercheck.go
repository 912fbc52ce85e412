package drawing

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

func (g GraphPaper) check() error {
	if err := checkUnit(g.Unit); err != nil {
		return err
	}
	if err := g.Paper.check(); err != nil {
		return err
	}
	for _, v := range [...]struct {
		name string
		v    unit.Length
		most unit.Length
	}{{"from", g.From, maxStation}, {"to", g.To, maxStation}, {"middle", g.Middle, paperReach}} {
		if err := checkBetween(v.name, v.v, v.most); err != nil {
			return err
		}
	}
	if g.To-g.From < align.Millimetre {
		return sheetFault("to", align.UnitMillimetre.Format(float64(g.To), 3), align.ErrOutOfRange)
	}
	for _, v := range [...]struct {
		name string
		v    float64
	}{{"reduction", g.Reduction}, {"magnification", g.Magnification}} {
		if err := checkScale(v.name, v.v); err != nil {
			return err
		}
	}
	if err := g.checkStations(); err != nil {
		return err
	}
	if g.Solution == nil {
		return nil
	}
	return g.checkSolution()
}

// checkScale wants zero, or a scale between 1 : 100000 and 100000 : 1.
func checkScale(field string, v float64) error {
	switch {
	case v == 0, v >= 1/paperScale && v <= paperScale:
		return nil
	case !align.IsFinite(v):
		return sheetFault(field, strconv.FormatFloat(v, 'g', -1, 64), align.ErrNotFinite)
	case v < 0:
		return sheetFault(field, significant(v, 6), align.ErrNegative)
	}
	return sheetFault(field, significant(v, 6), align.ErrOutOfRange)
}

func (g GraphPaper) checkStations() error {
	if len(g.Stations) == 0 {
		return sheetFault("stations", "", align.ErrMissing)
	}
	if err := checkCount("stations", len(g.Stations), paperStations); err != nil {
		return err
	}
	for i, t := range g.Stations {
		if err := g.checkOn(item("stations", i)+".at", t.At); err != nil {
			return err
		}
	}
	return nil
}

// checkOn wants a station on the squares.
func (g GraphPaper) checkOn(field string, x unit.Length) error {
	if err := checkBetween(field, x, maxStation); err != nil {
		return err
	}
	if x < g.From || x > g.To {
		return sheetFault(field, align.UnitMillimetre.Format(float64(x), 3), align.ErrOutOfRange)
	}
	return nil
}

func (g GraphPaper) checkSolution() error {
	p := g.Solution
	if len(p.Shafts) == 0 {
		return sheetFault("solution.shafts", "", align.ErrMissing)
	}
	if err := checkCount("solution.shafts", len(p.Shafts), paperShafts); err != nil {
		return err
	}
	if err := checkCount("solution.points", len(p.Points), paperPoints); err != nil {
		return err
	}
	for i, q := range p.Points {
		if err := g.checkOn(item("solution.points", i)+".station", q.Station); err != nil {
			return err
		}
		if err := checkBetween(item("solution.points", i)+".offset", q.Offset, maxOffset); err != nil {
			return err
		}
	}
	for i, l := range p.Shafts {
		if err := g.checkShaft(item("solution.shafts", i), l); err != nil {
			return err
		}
	}
	if err := checkLine("solution.wanted", p.Wanted); err != nil {
		return err
	}
	return g.checkFeet()
}

func (g GraphPaper) checkShaft(field string, l PaperShaft) error {
	if err := checkLine(field+".line", l.Line); err != nil {
		return err
	}
	from, to := g.ends(l)
	if err := g.checkOn(field+".from", from); err != nil {
		return err
	}
	if err := g.checkOn(field+".to", to); err != nil {
		return err
	}
	if from > to {
		return sheetFault(field+".to", align.UnitMillimetre.Format(float64(to), 3), align.ErrOutOfRange)
	}
	return nil
}

func (g GraphPaper) checkFeet() error {
	seen := make([]bool, len(g.Stations))
	for i, f := range g.Solution.Feet {
		field := item("solution.feet", i)
		if f.Station < 0 || f.Station >= len(g.Stations) {
			return sheetFault(field+".station", strconv.Itoa(f.Station), align.ErrOutOfRange)
		}
		if f.Shaft < 0 || f.Shaft >= len(g.Solution.Shafts) {
			return sheetFault(field+".shaft", strconv.Itoa(f.Shaft), align.ErrOutOfRange)
		}
		if seen[f.Station] {
			return sheetFault(field+".station", strconv.Itoa(f.Station), align.ErrMismatch)
		}
		seen[f.Station] = true
	}
	return nil
}
