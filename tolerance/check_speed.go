package tolerance

import (
	"fmt"

	"collinear.example/align"
)

// checkBands accepts bands that follow each other without gap or overlap, and
// warns where a bound belongs to neither side.
func checkBands(at int, rows []Row) ([]align.Warning, error) {
	var warnings []align.Warning
	for i := range rows {
		r, last := &rows[i], i == len(rows)-1
		path := fmt.Sprintf("rows[%d]", at+i)
		switch {
		case r.To == 0 && !last:
			return nil, inputError(path+".toRpm", "", align.ErrMissing)
		case r.To != 0 && (r.To <= r.From || same(r.From, r.To)):
			return nil, inputError(path+".toRpm", align.UnitRPM.Format(float64(r.To), 1), ErrOrder)
		case r.To == 0 && r.OwnsTo:
			return nil, inputError(path+".ownsTo", "no upper bound", align.ErrMismatch)
		case last:
			continue
		}
		next := &rows[i+1]
		if !same(next.From, r.To) {
			got := align.UnitRPM.Format(float64(next.From), 1) + " after " + align.UnitRPM.Format(float64(r.To), 1)
			return nil, inputError(fmt.Sprintf("rows[%d].fromRpm", at+i+1), got, ErrGap)
		}
		if r.OwnsTo && next.OwnsFrom {
			return nil, inputError(path+".toRpm", "owned by both bands", ErrGap)
		}
		if !r.OwnsTo && !next.OwnsFrom {
			warnings = append(warnings, align.Warning{
				Code: WarnBoundary, Meaning: warningMeaning(WarnBoundary), Severity: align.Notice, Field: path + ".toRpm",
				Value: float64(r.To), Limit: float64(r.To), Unit: align.UnitRPM,
			})
		}
	}
	return warnings, nil
}

// checkRising accepts rows at rising speeds.
func checkRising(at int, rows []Row) error {
	for i := range rows {
		path := fmt.Sprintf("rows[%d].rpm", at+i)
		if rows[i].Speed == 0 {
			return inputError(path, "0 rpm", align.ErrOutOfRange)
		}
		if i > 0 && (rows[i].Speed < rows[i-1].Speed || same(rows[i].Speed, rows[i-1].Speed)) {
			return inputError(path, align.UnitRPM.Format(float64(rows[i].Speed), 1), ErrOrder)
		}
	}
	return nil
}

// checkFalling accepts values that never grow with speed.
func checkFalling(at int, rows []Row) error {
	for i := 1; i < len(rows); i++ {
		if v, before := rows[i].Value, rows[i-1].Value; v > before {
			return inputError(fmt.Sprintf("rows[%d].value", at+i), number(v)+" after "+number(before), ErrNotMonotone)
		}
	}
	return nil
}

// checkPoints accepts factors above zero that never grow with speed.
func checkPoints(list, value string, points []Point) error {
	for i, p := range points {
		path := fmt.Sprintf("%s[%d]", list, i)
		if err := positive(path+"."+value, p.Factor); err != nil {
			return err
		}
		if err := checkSpeed(path+".rpm", p.Speed); err != nil {
			return err
		}
		if p.Speed == 0 {
			return inputError(path+".rpm", "0 rpm", align.ErrOutOfRange)
		}
		if i == 0 {
			continue
		}
		before := points[i-1]
		if p.Speed < before.Speed || same(p.Speed, before.Speed) {
			return inputError(path+".rpm", align.UnitRPM.Format(float64(p.Speed), 1), ErrOrder)
		}
		if p.Factor > before.Factor {
			return inputError(path+"."+value, number(p.Factor)+" after "+number(before.Factor), ErrNotMonotone)
		}
	}
	return nil
}

// check accepts a formula that gives a limit above zero at every speed, none that
// grows with it.
func (f *Formula) check(u align.Unit) error {
	for _, v := range []struct {
		name  string
		value float64
	}{{"base", f.Base}, {"perDiameter", f.PerDiameter}, {"power", f.Power}} {
		if v.value == 0 {
			continue
		}
		err := positive("formula."+v.name, v.value)
		if err != nil && v.name == "power" && v.value < 0 {
			return inputError("formula.power", number(f.Power), ErrNotMonotone)
		}
		if err != nil {
			return err
		}
	}
	if f.Base == 0 && f.PerDiameter == 0 {
		return inputError("formula.base", "0", align.ErrOutOfRange)
	}
	if f.PerDiameter != 0 && u.Dimension() != align.LengthDim {
		return inputError("unit", show(string(u)), align.ErrWrongUnit) // the diameter is taken in it
	}
	if err := positive("formula.numerator", f.Numerator); err != nil {
		return err
	}
	return checkSpeed("formula.lowestRpm", f.Lowest)
}
