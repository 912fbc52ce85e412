package tolerance

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// suspicions returns warnings about figures that look wrong.
func (t *Table) suspicions() []align.Warning {
	return slices.Concat(t.tooSteep(), t.tenfold(), t.offTrend())
}

// steep is the largest slope that a limit is believed to be, 4 mil/in (common
// practice, no source): limits of the trade lie at or below 1. A coupling maker's
// limit in degrees says what the coupling endures and is not held against it.
const steep = 4e-3

func (t *Table) tooSteep() (out []align.Warning) {
	most := steep
	if t.Quantity == FaceReadingPerRadius {
		most *= 2 // twice the slope
	}
	if t.Quantity.Dimension() != align.RatioDim || t.Unit.Dimension() != align.RatioDim || !t.Quantity.ofMisalignment() {
		return nil
	}
	for i, r := range t.Rows {
		si := t.Unit.SI(r.Value)
		if si <= float64(most*(1+1e-12)) {
			continue
		}
		out = append(out, align.Warning{
			Code: align.WarnSize, Severity: align.Suspect, Field: fmt.Sprintf("rows[%d].value", i),
			Value: si, Limit: most, Unit: align.UnitMilPerInch,
		})
	}
	return out
}

// slip is the ratio of two neighbours from which a slipped decimal point is
// likelier than a true step (common practice, no source).
const slip = 8

// tenfold warns of a value that is about ten times or a tenth of the row before,
// or further from it: a decimal point may have slipped.
func (t *Table) tenfold() (out []align.Warning) {
	for i := 1; i < len(t.Rows); i++ {
		this, before := t.Rows[i], t.Rows[i-1]
		if this.Size != before.Size { // the next size at the same speed
			j := slices.IndexFunc(t.Rows[:i], func(r Row) bool { return r.Size == before.Size && r.Speed == this.Speed && r.From == this.From })
			if j < 0 {
				continue
			}
			before = t.Rows[j]
		}
		ratio := this.Value / before.Value
		if ratio < 1 {
			ratio = 1 / ratio
		}
		if ratio < slip {
			continue
		}
		out = append(out, align.Warning{
			Code: align.WarnSize, Severity: align.Suspect, Field: fmt.Sprintf("rows[%d].value", i),
			Value: ratio, Limit: slip, Unit: align.UnitOne,
		})
	}
	return out
}

const (
	trendSizes = 4    // as many sizes make a trend
	trendShare = 0.08 // a sound table strays so far from it, besides rounding
)

// offTrend warns of rows whose ratio to the row before, the same size at a lower
// speed, differs from what the other sizes have. Rounding of the figures is
// allowed for.
func (t *Table) offTrend() (out []align.Warning) {
	if t.Rule != ByPoint {
		return nil
	}
	half := t.halfPlace()
	type step struct{ from, to unit.Frequency }
	ratios := map[step][]float64{}
	for i := 1; i < len(t.Rows); i++ {
		if r, b := &t.Rows[i], &t.Rows[i-1]; r.Size == b.Size {
			ratios[step{b.Speed, r.Speed}] = append(ratios[step{b.Speed, r.Speed}], r.Value/b.Value)
		}
	}
	for i := 1; i < len(t.Rows); i++ {
		r, b := &t.Rows[i], &t.Rows[i-1]
		all := ratios[step{b.Speed, r.Speed}]
		if r.Size != b.Size || len(all) < trendSizes {
			continue
		}
		slices.Sort(all)
		typical := all[len(all)/2]
		off := math.Abs(r.Value/b.Value/typical - 1)
		allowed := trendShare + half/r.Value + half/b.Value
		if off <= allowed {
			continue
		}
		out = append(out, align.Warning{
			Code: WarnOffTrend, Meaning: warningMeaning(WarnOffTrend), Severity: align.Suspect, Field: fmt.Sprintf("rows[%d].value", i),
			Value: r.Value / b.Value, Limit: typical, Unit: align.UnitOne,
		})
	}
	return out
}

// halfPlace returns half the last decimal place that the rows use.
func (t *Table) halfPlace() float64 {
	places := 0
	for _, r := range t.Rows {
		_, decimals, _ := strings.Cut(strconv.FormatFloat(r.Value, 'f', -1, 64), ".")
		places = max(places, len(decimals))
	}
	return 0.5 * math.Pow(10, -float64(places))
}
