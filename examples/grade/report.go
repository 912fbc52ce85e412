package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
	"collinear.example/tolerance"
)

type sheet struct {
	page.Page
	j *job
}

// report prints the whole answer.
func (j *job) report(all []graded, units string) string {
	s := &sheet{page.Page{Units: units}, j}
	s.Text("ONE MISALIGNMENT AGAINST THE LIMITS: " + j.title)
	if j.plant != "" {
		s.Text("Plant: " + j.plant)
	}
	if j.note != "" {
		s.Hang("Note:  ", j.note)
	}
	s.found()
	s.sum(all)
	s.sets(all)
	s.leftOut(all)
	s.cautions()
	return s.String()
}

func (s *sheet) found() {
	s.Heading("What was found")
	g := s.j.geometry
	rows := [][]string{{"place", "station", s.j.far + " against " + s.j.near}}
	for _, p := range []struct {
		name string
		at   float64
	}{{"flex plane next to " + s.j.near, float64(g.NearFlex)}, {"flex plane next to " + s.j.far, float64(g.FarFlex)}} {
		x := g.NearFlex
		if p.at == float64(g.FarFlex) {
			x = g.FarFlex
		}
		rows = append(rows, []string{p.name, s.Station(x), s.Standing(s.j.misalignment.At(x))})
	}
	s.Table(rows...)
	slope := s.j.misalignment.Slope()
	line := fmt.Sprintf("Slope %s vertical, %s horizontal; running speed %s.", s.Slope(slope.Vertical), s.Slope(slope.Horizontal),
		page.Format(align.UnitRPM, float64(g.Speed), 0))
	if s.j.sigma > 0 {
		line += fmt.Sprintf(" Standard uncertainty of each offset %s; within and over are said where the odds of being wrong are below 5 %%, else unclear.", s.Size(s.j.sigma))
	}
	s.Text(strings.Join(strings.Fields(line), " "))
}

func (s *sheet) sum(all []graded) {
	within, over, unclear, tables := counts(all)
	s.Heading("In short")
	s.Text(fmt.Sprintf("Tables that can be applied: %d. It is within %d of them, over %d, and by %d it is unclear. The sources speak of different couplings, quantities and places, and do not agree: the maker's word for this coupling and the standard of the site decide, not the kindest table.",
		tables, within, over, unclear))
}

func (s *sheet) sets(all []graded) {
	s.Heading("Table by table")
	first := true
	for _, g := range all {
		if g.err != nil {
			continue
		}
		if !first {
			s.WriteString("\n")
		}
		first = false
		title := g.set.Title
		if size := s.j.sizes[g.set.ID]; size != "" {
			title += ", size " + size
		}
		if coupling := g.rows[0].table.Coupling; coupling != "" {
			title += " (" + coupling + ")"
		}
		s.Text(title)
		rows := [][]string{{"what", "found", "where", "limit", "share", "", "within up to"}}
		for _, r := range g.rows {
			rows = append(rows, s.row(r))
		}
		s.Table(rows...)
		if g.set.Combine == tolerance.SharesAdd && len(g.rows) > 1 {
			word := "within"
			if !g.grade.Within {
				word = "over"
			}
			s.Text(fmt.Sprintf("  Shares add: %s of the whole, %s.", page.Percent(g.grade.Share), word))
		}
		for _, u := range g.faults() {
			s.Hang("  left out: ", u.Table+": "+why(u)+".")
		}
		s.sources(g)
	}
}

func (r row) words() string {
	return map[tolerance.Outcome]string{tolerance.Pass: "within", tolerance.Fail: "over", tolerance.Indeterminate: "unclear"}[r.outcome()]
}

func (s *sheet) row(r row) []string {
	m := r.grade.Measured
	word := r.words()
	if r.decision != nil && r.decision.Outcome == tolerance.Indeterminate {
		word += fmt.Sprintf(", %s likely within", page.Percent(r.decision.Conforms))
	}
	return []string{
		r.table.Title, s.quantity(m.Quantity, m.Value), s.where(m), s.quantity(m.Quantity, r.grade.Limit.SI()), page.Percent(r.grade.Share()), word, speed(r.top),
	}
}

func (s *sheet) quantity(q tolerance.Quantity, v float64) string {
	if q.Dimension() == align.RatioDim {
		return s.SlopeSize(v)
	}
	return s.In(page.Format(align.UnitMillimetre, v, 3), page.Format(align.UnitMil, v, 1))
}

func (s *sheet) where(m tolerance.Measured) string {
	if m.Plane == tolerance.NoPlane {
		return m.Plane.String()
	}
	if !m.AtStation {
		return m.Plane.String()
	}
	return m.Plane.String() + " at " + strings.TrimSpace(s.Station(m.Station))
}

func speed(t *tolerance.TopSpeed) string {
	switch {
	case t == nil:
		return ""
	case t.None:
		return "no speed"
	case t.Unlimited:
		return "any speed"
	}
	rpm := page.Format(align.UnitRPM, math.Floor(float64(t.Speed)*60*(1+1e-9))/60, 0)
	switch {
	case t.Below:
		return "below " + rpm
	case t.EndOfTable:
		return rpm + ", the table's end"
	}
	return rpm
}

// sources prints each citation of the set once, and what speaks against it.
func (s *sheet) sources(g graded) {
	seen := map[string]bool{}
	for _, r := range g.rows {
		text := r.table.Source
		switch r.table.Known {
		case align.ReadSecondhand:
			text += " (second-hand)"
		case align.FromMemory:
			text += " (from memory)"
		case align.CommonPractice:
			text += " (common practice, no source)"
		}
		if !seen[text] {
			seen[text] = true
			s.Hang("  source: ", text+".")
		}
		for _, flag := range []struct {
			is   tolerance.Flags
			text string
		}{
			{tolerance.AtBoundary, "the source does not say to which band this speed belongs; the stricter one was taken"},
			{tolerance.BetweenSpeeds, "the source does not say what holds between its speeds; the stricter was taken"},
			{tolerance.EndHeld, "the speed lies outside those listed; the nearest value was taken"},
			{tolerance.SuspectFigures, r.table.Suspect},
		} {
			if r.grade.Flags&flag.is != 0 && !seen[flag.text] {
				seen[flag.text] = true
				s.Hang("  beware: ", strings.TrimSuffix(flag.text, ".")+".")
			}
		}
	}
}

// leftOut lists the sets of which no table could be applied.
func (s *sheet) leftOut(all []graded) {
	first := true
	for _, g := range all {
		if g.err == nil {
			continue
		}
		if first {
			s.Heading("Not applied")
			first = false
		}
		var reasons []string
		for _, u := range g.faults() {
			reasons = append(reasons, why(u))
		}
		s.Hang("* ", g.set.Title+": "+strings.Join(reasons, "; ")+".")
	}
}

// why says in words why a table could not be applied.
func why(u tolerance.Ungraded) string {
	var in *align.InputError
	switch {
	case !errors.As(u.Err, &in):
		return u.Err.Error()
	case in.Field == u.Table:
		return in.Why()
	case in.Got == "":
		return strings.ReplaceAll(in.Field, "-", " ") + " " + in.Why()
	}
	return strings.ReplaceAll(in.Field, "-", " ") + " " + in.Got + ": " + in.Why()
}

func (s *sheet) cautions() {
	s.Heading("Before anyone relies on this")
	for _, c := range []string{
		"Within a limit while standing still says nothing of where the shafts run: take the cold target out first.",
		"A coupling's largest values are for the coupling. Bearings, seals and the other machine mostly ask for less.",
		"Isolate, lock out and tag before a guard or a coupling is opened.",
		"This report is arithmetic, not permission. Site rules, local codes, the makers' instructions and qualified people decide.",
	} {
		s.Hang("* ", c)
	}
}
