package main

import (
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
	"collinear.example/uncertainty"
	"collinear.example/whatif"
	"gonum.org/v1/gonum/unit"
)

// report is the whole study in words and tables.
func report(s set, table *whatif.Table) (string, error) {
	p := &page.Page{Units: page.Millimetre}
	u, err := howSure(s)
	if err != nil {
		return "", err
	}
	for _, section := range []func() error{
		func() error { return introduction(p) },
		func() error { return sweepSection(p, table) },
		func() error { return stands(p, s) },
		func() error { return derivatives(p, s) },
		func() error { return budgets(p, u) },
		func() error { return simulated(p, u) },
		func() error { return improve(p, u) },
		func() error { return whichMethod(p) },
		func() error { return cautions(p) },
	} {
		if err := section(); err != nil {
			return "", err
		}
	}
	return p.String(), nil
}

func introduction(p *page.Page) error {
	l, err := limit()
	if err != nil {
		return err
	}
	most, err := allowed()
	if err != nil {
		return err
	}
	p.Text("What if: " + place)
	p.Text(fmt.Sprintf("The pump hangs on pedestals: the inboard ones take a quarter of the oil's warmth, the outboard ones four fifths of that. The motor stands on feet. "+
		"Limit: %s. Over %s between the flex planes that is %s at either of them, both planes together. States: %s.",
		l, p.Distance(pumpFlex-motorFlex), p.Size(most), strings.Join(stateNames, "; ")))
	return nil
}

func sweepSection(p *page.Page, table *whatif.Table) error {
	p.Heading("What if the oil were hotter")
	p.WriteString(table.String())
	p.Text("A share of 1 is all of the limit. \"Best\" is where the pump's shaft should stand against the motor's when both are cold, at either flex plane, and the share then. The last two columns are what takes the set from where it stands to its best cold position at that temperature; up is plus. \"-csv\" prints this table for a spreadsheet.")
	return nil
}

// stands says where along the knob the set stays within its limits.
func stands(p *page.Page, s set) error {
	h, err := holds(s)
	if err != nil {
		return err
	}
	p.Heading("How far it holds as it stands")
	p.Text(fmt.Sprintf("With the readings of today and no further move the set is within its limits with oil %s. (Looked at every degree from %s to %s, the ends closed in to a tenth.)",
		spans(h), degrees(h.From), degrees(h.To)))
	return nil
}

// spans says from where to where something passes.
func spans(h whatif.Passing[unit.Temperature]) string {
	switch {
	case h.Everywhere:
		return "at every temperature looked at"
	case h.Nowhere:
		return "at none of the temperatures looked at"
	}
	var parts []string
	from := degrees(h.From)
	for _, c := range h.Changes {
		if c.PassesAbove() {
			from = degrees(c.Passes)
			continue
		}
		parts = append(parts, "from "+from+" to "+degrees(c.Passes))
	}
	if h.AtTo {
		parts = append(parts, "from "+from+" to "+degrees(h.To))
	}
	return strings.Join(parts, ", and ")
}

func degrees(t unit.Temperature) string { return page.Format(align.UnitCelsius, float64(t), 1) }

func derivatives(p *page.Page, s set) error {
	d, err := slopes(s)
	if err != nil {
		return err
	}
	p.Heading("What one step of each input does")
	last := len(d.Columns) - 1
	rows := [][]string{{"input", "step", "move at the outboard pedestals", "", "", "bend", "share as it stands", ""}}
	rows = append(rows, []string{"", "", "one step down", "one step up", "per unit", "", "one step down", "one step up"})
	for i, in := range d.Inputs {
		e, share := d.Effects[i][last], d.Effects[i][0]
		rows = append(rows, []string{
			in.Name, stepText(in.Unit, d.Steps[i]), p.Signed(unit.Length(e.Low)), p.Signed(unit.Length(e.High)),
			fmt.Sprintf("%.4f %s", d.InUnits(i, last), d.Unit(i, last)), p.Signed(unit.Length(e.Curvature)),
			page.Percent(share.Low), page.Percent(share.High),
		})
	}
	p.Table(rows...)
	p.Text("The bend is what the middle lies off the straight line between both steps, twice. Where it is not small a straight line misleads.")
	return nil
}

func stepText(u align.Unit, si float64) string {
	if u == align.UnitCelsius {
		u = align.UnitCelsiusRise
	}
	if u == align.UnitOne {
		return fmt.Sprintf("%.2f", si)
	}
	return strings.TrimSuffix(page.Format(u, si, 2), "-rise")
}

func budgets(p *page.Page, u sureness) error {
	p.Heading("How sure the moves are")
	for i := outInboard; i <= outOutboard; i++ {
		e := u.linear.Estimates[i]
		p.Text(fmt.Sprintf("%s: %s up, standard uncertainty %s, expanded uncertainty %s (coverage factor %.2f, 95 %%).",
			e.Name, p.Signed(unit.Length(e.Value)), p.Size(unit.Length(e.Sigma)), p.Size(unit.Length(u.expanded[i].Half)), u.expanded[i].Factor))
	}
	p.Text("Budget of the move at the outboard pedestals:")
	rows := [][]string{{"source", "inputs", "standard uncertainty", "share of the variance"}}
	for _, l := range u.linear.Estimates[outOutboard].Budget() {
		rows = append(rows, []string{l.Group, fmt.Sprint(l.Sources), page.Format(align.UnitMillimetre, l.Sigma, 4), percent1(l.Share)})
	}
	p.Table(rows...)
	p.Text("The dials are read to a hundredth; the answer at the feet is not known to a hundredth.")
	return nil
}

func percent1(share float64) string { return fmt.Sprintf("%5.1f %%", 100*share+1e-12) }

func simulated(p *page.Page, u sureness) error {
	p.Heading("How likely it is within its limits")
	p.Text(fmt.Sprintf("%d simulated sets, seed 2: as it stands the set is within its limits in both planes and all states with probability %s.",
		u.sample.Trials(), proportion(u.within)))
	p.Text(fmt.Sprintf("The share of the limit is %s as worked out, and between %s and %s with 95 %% probability (shortest interval).",
		page.Percent(u.linear.Estimates[outShare].Value), page.Percent(u.shares.Low), page.Percent(u.shares.High)))
	words := "agree"
	if !u.checked.Valid {
		words = "do not agree"
	}
	p.Text(fmt.Sprintf("For the move at the outboard pedestals linear law and simulation %s: %s to %s and %s to %s, tolerance %s.", words,
		p.Signed(unit.Length(u.checked.Linear.Low)), p.Signed(unit.Length(u.checked.Linear.High)),
		p.Signed(unit.Length(u.checked.Simulated.Low)), p.Signed(unit.Length(u.checked.Simulated.High)), p.Size(unit.Length(u.checked.Tolerance))))
	for _, w := range u.linear.Warnings {
		p.Hang("* ", w.Field+" "+w.Meaning+", as is done here.")
	}
	return nil
}

func proportion(q uncertainty.Proportion) string {
	low, high, err := q.Interval(0.95)
	if err != nil {
		return "unknown"
	}
	return fmt.Sprintf("%.1f %% (%.1f to %.1f %%, 95 %% confidence)", 100*q.Share(), 100*low, 100*high)
}

func improve(p *page.Page, u sureness) error {
	p.Heading("What is worth improving")
	e := u.linear.Estimates[outOutboard]
	rows := [][]string{{"read four times, take the mean", "standard uncertainty of the move then", "less by"}}
	for _, r := range u.repeat {
		rows = append(rows, []string{r.Group, page.Format(align.UnitMillimetre, r.Sigma, 4), percent1(r.Saved)})
	}
	p.Table(rows...)
	goal := p.Size(u.wanted)
	if u.attainErr != nil {
		p.Text(fmt.Sprintf("A standard uncertainty of %s cannot be had by knowing the sag of the brackets better: without it there would still be %s.", goal, p.Size(unit.Length(u.needed.Rest))))
		return nil
	}
	p.Text(fmt.Sprintf("For a standard uncertainty of %s in the place of %s the sag test must be good to a standard uncertainty of %s in the place of %s.",
		goal, p.Size(unit.Length(e.Sigma)), page.Format(align.UnitMillimetre, u.needed.Sigma, 4), page.Format(align.UnitMillimetre, u.needed.Sigma/u.needed.Factor, 4)))
	return nil
}

func whichMethod(p *page.Page) error {
	ms, cross, err := methods()
	if err != nil {
		return err
	}
	p.Heading("Which method suits this set")
	rows := [][]string{{"method", "slope, standard uncertainty", "offset at the outboard pedestals"}}
	for _, m := range ms {
		rows = append(rows, []string{m.Method.String(), page.Format(align.UnitMillimetrePerMetre, m.Slope().Vertical, 3), p.Size(m.Worst(pumpOutboard))})
	}
	p.Table(rows...)
	p.Text(fmt.Sprintf("With every reading equally sure, two rim dials find the slope better than a face dial sweeping %s once they stand more than %s apart; here they stand %s apart.",
		p.Distance(140*align.Millimetre), p.Distance(cross), p.Distance(260*align.Millimetre)))
	return nil
}

func cautions(p *page.Page) error {
	p.Heading("Before anything is moved")
	p.Text("Isolate, lock out and tag both machines. Hot oil: let the pump cool, relieve pressure and drain before a flange or a foot is let go, and support what is loosened. " +
		"These figures are arithmetic, not permission: site rules, local codes, the makers' instructions and qualified people decide.")
	return nil
}
