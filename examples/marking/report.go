package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"collinear.example/internal/page"
	"collinear.example/worksheet"
)

// tally counts the answers of the class to one question.
type tally struct{ right, wrong, carried, none int }

func (t *tally) add(v worksheet.Verdict) {
	switch v {
	case worksheet.Right:
		t.right++
	case worksheet.FollowOn:
		t.carried++
	case worksheet.Wrong, worksheet.WrongWay:
		t.wrong++
	default:
		t.none++
	}
}

// report marks every learner and sums the class up.
func report(o options, e *worksheet.Exercise, learners []learner) (string, error) {
	p := &page.Page{Units: page.Millimetre}
	p.Text(fmt.Sprintf("Marks for: %s (kind %s, exercise %d, %s)", e.Title, e.Kind, o.seed, o.difficulty))
	p.Text(fmt.Sprintf("%s. Right is within half the last place asked, and what rounding on the way makes of it. Half a mark for the right size the wrong way; a full mark for what follows rightly from an own earlier answer.", e.Record.Plant+" (invented)"))
	certain := map[string]int{}
	hard := make([]tally, len(e.Questions()))
	var totals [][]string
	for _, l := range learners {
		m, err := e.Mark(l.answers, worksheet.UsualCredits())
		if err != nil {
			return "", fmt.Errorf("%s: %w", l.name, err)
		}
		oneLearner(p, l, m)
		count(certain, m)
		for i, k := range m.Marks {
			hard[i].add(k.Verdict)
		}
		totals = append(totals, []string{l.name, fmt.Sprintf("%g of %g", m.Credit, m.Of), reason(m)})
	}
	summary(p, e, totals, certain, hard)
	return p.String(), nil
}

func oneLearner(p *page.Page, l learner, m worksheet.Marked) {
	p.Heading(fmt.Sprintf("%s: %g of %g", l.name, m.Credit, m.Of))
	rows := [][]string{{"no.", "answer", "key", "", "this answer alone comes from"}}
	for i, k := range m.Marks {
		given := k.Given
		if given == "" {
			given = "-"
		}
		rows = append(rows, []string{fmt.Sprint(i + 1), given, k.Key, k.Verdict.String(), alone(k)})
	}
	p.Table(rows...)
	switch d := m.Diagnosis; {
	case m.Full():
		p.Text("All right.")
	case len(d.Singles) == 1:
		p.Hang("-> ", "All answers fit one mistake: "+d.Singles[0].Says+".")
	case len(d.Singles) > 1:
		p.Hang("-> ", "All answers fit one mistake, but they do not tell which of these it was:")
		for _, s := range d.Singles {
			p.Hang("   * ", s.Says+".")
		}
	case len(d.Pairs) == 1:
		p.Hang("-> ", "All answers fit two mistakes together: "+d.Pairs[0][0].Says+"; and "+d.Pairs[0][1].Says+".")
	case len(d.Pairs) > 1:
		p.Hang("-> ", "All answers fit two mistakes together, but they do not tell which of these pairs:")
		for _, q := range d.Pairs {
			p.Hang("   * ", q[0].Says+"; and "+q[1].Says+".")
		}
	case d.Unknown:
		p.Hang("-> ", "No known mistake, and no two of them, give all these answers. Look at the reasons beside the single answers, and at the working.")
	default:
		p.Text("What was answered and can be read is right.")
	}
}

// alone is what would give one wrong answer by itself.
func alone(k worksheet.Mark) string {
	if (k.Verdict == worksheet.Wrong || k.Verdict == worksheet.WrongWay) && len(k.Reasons) == 0 {
		return "no known mistake"
	}
	return strings.Join(k.Reasons, " or ")
}

// reason is the one line of a learner in the class summary.
func reason(m worksheet.Marked) string {
	d := m.Diagnosis
	codes := func(ms []worksheet.Mistake) string {
		var out []string
		for _, s := range ms {
			out = append(out, s.Code)
		}
		return strings.Join(out, " or ")
	}
	switch {
	case len(d.Singles) > 0:
		return codes(d.Singles)
	case len(d.Pairs) == 1:
		return d.Pairs[0][0].Code + " and " + d.Pairs[0][1].Code
	case len(d.Pairs) > 1:
		return "two mistakes, not told apart"
	case d.Unknown:
		return "no known mistake"
	}
	return ""
}

// count adds what is certain to the tally of the class: a mistake that alone
// explains a learner's answers, or both of a pair that alone does.
func count(certain map[string]int, m worksheet.Marked) {
	d := m.Diagnosis
	switch {
	case len(d.Singles) == 1:
		certain[d.Singles[0].Code]++
	case len(d.Singles) == 0 && len(d.Pairs) == 1:
		certain[d.Pairs[0][0].Code]++
		certain[d.Pairs[0][1].Code]++
	}
}

func summary(p *page.Page, e *worksheet.Exercise, totals [][]string, certain map[string]int, hard []tally) {
	p.Heading("The class")
	p.Table(append([][]string{{"learner", "marks", "probable reason"}}, totals...)...)
	p.WriteString("\n")
	rows := [][]string{{"no.", "right", "wrong", "carried on", "no answer", "asked"}}
	for i, q := range e.Questions() {
		rows = append(rows, []string{fmt.Sprint(i + 1), fmt.Sprint(hard[i].right), fmt.Sprint(hard[i].wrong), fmt.Sprint(hard[i].carried), fmt.Sprint(hard[i].none), q.Says})
	}
	p.Table(rows...)
	p.WriteString("\n")
	codes := make([]string, 0, len(certain))
	for c := range certain {
		codes = append(codes, c)
	}
	slices.SortFunc(codes, func(a, b string) int { return cmp.Or(cmp.Compare(certain[b], certain[a]), cmp.Compare(a, b)) })
	for _, m := range worksheet.Mistakes() {
		if i := slices.Index(codes, m.Code); i >= 0 {
			codes[i] = fmt.Sprintf("%d x %s: %s.", certain[m.Code], m.Code, m.Says)
		}
	}
	p.Text("Mistakes that are certain, the commonest first:")
	for _, c := range codes {
		p.Hang("  ", c)
	}
	p.WriteString("\n")
	p.Text("A reason is what would give these answers; the learner knows what was done. Figures on paper move nothing: lock out, tag and prove before anyone touches a machine.")
}
