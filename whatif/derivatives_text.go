package whatif

import (
	"math"
	"slices"
	"strings"

	"collinear.example/align"
)

// Unit names the unit of a derivative, that of the column over that of the
// input: "mm/degC-rise", "(mm/m)/mm".
func (d *Derivatives) Unit(input, column int) string {
	return rateUnit(d.Columns[column].Unit, d.Inputs[input].Unit)
}

// InUnits returns a derivative in the unit that Unit names.
func (d *Derivatives) InUnits(input, column int) float64 {
	of := differenceUnit(d.Columns[column].Unit).SI(1)
	by := differenceUnit(d.Inputs[input].Unit).SI(1)
	return d.Effects[input][column].Derivative * by / of
}

// Order returns the inputs in the order of how much a column changes between one
// step down and one step up, the largest first. Inputs that change it alike keep
// their order.
func (d *Derivatives) Order(column int) []int {
	order := make([]int, len(d.Inputs))
	for i := range order {
		order[i] = i
	}
	swing := func(i int) float64 { e := d.Effects[i][column]; return math.Abs(e.High/2 - e.Low/2) }
	slices.SortStableFunc(order, func(a, b int) int {
		switch x, y := swing(a), swing(b); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return order
}

// String returns, for each column, a line of text for each input in the order
// given: the step, the figure one step down, as it stands and one step up, the
// derivative with its unit, and the curvature.
func (d *Derivatives) String() string {
	var b strings.Builder
	for k := range d.Columns {
		if k > 0 {
			b.WriteString("\n")
		}
		b.WriteString(d.column(k))
	}
	return b.String()
}

func (d *Derivatives) column(k int) string {
	c := d.Columns[k]
	s := sheet{left: []bool{true, false, false, false, false, false, false, false}}
	apart := string(differenceUnit(c.Unit))
	s.lines = append(s.lines,
		[]string{oneLine(c.Name), "step", "", "low", "base", "high", "derivative", "curvature"},
		[]string{"", "", "", string(c.Unit), string(c.Unit), string(c.Unit), "", apart})
	s.left[2] = true
	for i, in := range d.Inputs {
		e := d.Effects[i][k]
		by := differenceUnit(in.Unit)
		s.lines = append(s.lines, []string{oneLine(in.Name), figure(by, d.Steps[i], in.Decimals), unitWord(by),
			figure(c.Unit, e.Low, c.Decimals), figure(c.Unit, d.Base[k], c.Decimals), figure(c.Unit, e.High, c.Decimals),
			significant(d.InUnits(i, k), 4) + " " + d.Unit(i, k), figure(differenceUnit(c.Unit), e.Curvature, c.Decimals)})
	}
	return s.text()
}

// unitWord is the unit as printed after a number: a plain ratio has none.
func unitWord(u align.Unit) string {
	if u == align.UnitOne {
		return ""
	}
	return string(u)
}
