package worksheet

import (
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
)

// Style is the form of a report.
type Style string

// The styles.
const (
	StyleText     Style = "text"     // plain text, lines that fit a page; tables may be wider
	StyleMarkdown Style = "markdown" // headings, lists and tables of Markdown
)

// ReportUnits is the choice of units of a report.
type ReportUnits string

// The choices.
const (
	InMillimetres ReportUnits = page.Millimetre
	InInches      ReportUnits = page.Inch // lengths in mil
	InBoth        ReportUnits = page.Both // metric first, inch in brackets
)

// Report writes the evaluation for people: how each coupling was left, what stands
// in the way, then part by part what was found, the checks, the verdicts and the
// moves, and at the end the signs, the sources of the limits and the cautions. The
// same evaluation gives the same bytes. Every number has its unit, shares and
// ratios are in percent, and every number with a sign says what the sign means.
// Figures inside the words of the evaluation, such as the leaves on the shelf,
// stand in the units of the record.
//
// It fails with ErrUnknownKind for another style or another choice of units, and
// for an evaluation that no Record gave with ErrMissing for none at all, with
// ErrNotFinite or with ErrUnknownUnit.
func (v *Evaluation) Report(style Style, units ReportUnits) (string, error) {
	if v == nil {
		return "", fault("evaluation", "", align.ErrMissing)
	}
	if page.CheckUnits(string(units)) != nil {
		return "", fault("units", show(string(units)), align.ErrUnknownKind)
	}
	form := map[Style]func(document) string{StyleText: textOf, StyleMarkdown: markdownOf}[style]
	if form == nil {
		return "", fault("style", show(string(style)), align.ErrUnknownKind)
	}
	if err := v.printable(); err != nil {
		return "", err
	}
	w := &reportWriter{Evaluation: v, page: page.Page{Units: string(units)}, marks: map[LimitsSource]int{}}
	return form(w.document()), nil
}

// printable refuses numbers that cannot be printed. Evaluate gives none, but an
// evaluation can be made by hand or read from JSON.
func (v *Evaluation) printable() error {
	for i := range v.Findings {
		f := &v.Findings[i]
		numbers := []*float64{f.Value, f.Sigma}
		if f.Limit != nil {
			numbers = append(numbers, &f.Limit.Value)
		}
		if err := canPrint(at("findings", i), f.Unit, f.Value != nil, numbers...); err != nil {
			return err
		}
		for j, one := range f.Warnings {
			if err := canPrint(at(at("findings", i)+".warnings", j), one.Unit, one.Value != nil, one.Value, one.Limit); err != nil {
				return err
			}
		}
	}
	return nil
}

func canPrint(path string, u align.Unit, hasValue bool, numbers ...*float64) error {
	if hasValue && u.Dimension() == align.NoDimension {
		return fault(path+".unit", show(string(u)), align.ErrUnknownUnit)
	}
	for _, x := range numbers {
		if x != nil && !align.IsFinite(*x) {
			return fault(path, strconv.FormatFloat(*x, 'g', -1, 64), align.ErrNotFinite)
		}
	}
	return nil
}

// reportWriter makes the document of a report.
type reportWriter struct {
	*Evaluation
	page    page.Page
	marks   map[LimitsSource]int // number of a source in the list at the end
	sources []LimitsSource
}

// partTitles are the sections, in order.
var partTitles = []struct {
	part  Part
	title string
}{
	{PartBase, "Base and foundation"},
	{PartFeet, "Feet"},
	{PartRunout, "Runout of shafts and hubs"},
	{PartPipe, "Pipe"},
	{PartSag, "Brackets"},
	{PartSets, "Where the shafts stand"},
	{PartStates, "From standing cold to running"},
	{PartLimits, "Against the limits"},
	{PartMoves, "Moves"},
}

func (w *reportWriter) document() (d document) {
	d.title(w.Title)
	if w.Plant != "" {
		d.para(w.Plant)
	}
	w.summary(&d)
	w.ready(&d)
	for _, p := range partTitles {
		w.part(&d, p.part, p.title)
	}
	w.notes(&d)
	w.signs(&d)
	w.listSources(&d)
	d.section("Before anyone touches the machines")
	for _, c := range Cautions() {
		d.item("", c)
	}
	d.para("Record " + w.Record + ", worked out by collinear " + w.Library + ".")
	return d
}

// summary says how each coupling was left.
func (w *reportWriter) summary(d *document) {
	d.section("As left")
	none := true
	for i := range w.Findings {
		f := &w.Findings[i]
		if f.Part != PartAsLeft {
			continue
		}
		none = false
		verdict, what := strings.ToUpper(verdictWords(f.Verdict)), f.Words
		if f.Error != nil {
			what = "cannot be said: " + w.fault(f.Error)
		}
		d.item("", joinedBy(": ", f.Of, verdict, what)+".")
	}
	if none {
		d.item("", "there is no coupling in the record.")
	}
}

// ready lists what stands in the way.
func (w *reportWriter) ready(d *document) {
	if len(w.Readiness) == 0 {
		return
	}
	d.section("What stands in the way, in the order of putting it right")
	for _, r := range w.Readiness {
		d.item(strings.ToUpper(string(r.Status)), joinedBy(", ", r.Topic, r.About)+": "+r.Says+".")
	}
}

// part writes the findings of one part, group by group.
func (w *reportWriter) part(d *document, p Part, title string) {
	groups := map[string][]*Finding{}
	var order []string
	for i := range w.Findings {
		f := &w.Findings[i]
		if f.Part != p || w.leftOut(f) {
			continue
		}
		if _, ok := groups[f.Of]; !ok {
			order = append(order, f.Of)
		}
		groups[f.Of] = append(groups[f.Of], f)
	}
	if len(order) == 0 {
		return
	}
	d.section(title)
	for _, of := range order {
		w.group(d, of, groups[of])
	}
}

// leftOut reports whether a finding is in the evaluation alone: moves by readings
// as left that are within the limits, which nobody is going to make.
func (w *reportWriter) leftOut(f *Finding) bool {
	set, _, ok := strings.Cut(f.ID, ".")
	if f.Part != PartMoves || !ok {
		return false
	}
	return slices.ContainsFunc(w.Findings, func(left Finding) bool {
		return left.Part == PartAsLeft && left.Verdict == Within && slices.Contains(left.Inputs, set)
	})
}

// group writes the findings about one thing: values in a table, then words, what
// could not be computed, and warnings.
func (w *reportWriter) group(d *document, of string, fs []*Finding) {
	if of != "" {
		d.heading(of)
	}
	w.tables(d, fs)
	for _, f := range fs {
		switch {
		case f.Error != nil:
			d.item("NOT COMPUTED", joinedBy(": ", f.Says, w.fault(f.Error))+".")
		case f.Words != "" && !onlyWarns(f):
			d.item("", joinedBy(": ", f.Says, f.Words)+".")
		}
	}
	w.warnings(d, fs)
}

// onlyWarns reports whether a finding says nothing but its warnings.
func onlyWarns(f *Finding) bool {
	return f.Value == nil && len(f.Warnings) > 0 && f.Words == lookAgain
}

func (w *reportWriter) notes(d *document) {
	if len(w.Notes) == 0 {
		return
	}
	d.section("Notes")
	for _, n := range w.Notes {
		d.item("", n)
	}
}

func (w *reportWriter) signs(d *document) {
	d.section("Signs")
	for _, s := range []string{
		"Stations grow along the train, from the first machine (near) to the last (far). Clock positions are those of a person who looks that way: 12 is up, 3 is to the right.",
		"Misalignment is the far shaft against the near one: plus is up, and toward 3 o'clock. A move is plus upward and toward 3 o'clock.",
		"A dial reads plus when its stem is pushed in. A sag reading is minus for a bracket that droops. Movements and gaps are read directly, never halved.",
		"A size without a sign has none. The standard uncertainty of a figure stands beside it where it is known.",
	} {
		d.item("", s)
	}
}

func (w *reportWriter) listSources(d *document) {
	if len(w.sources) == 0 {
		return
	}
	d.section("Sources of the limits")
	for i, s := range w.sources {
		text := s.Source
		if s.Edition != "" {
			text += ", " + s.Edition
		}
		switch align.Known(s.Known) {
		case align.ReadSecondhand:
			text += " (second-hand)"
		case align.FromMemory:
			text += " (from memory)"
		}
		if s.Table != "" {
			text += ", table " + s.Table
		}
		d.item("("+strconv.Itoa(i+1)+")", text+".")
	}
}
