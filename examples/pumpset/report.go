package main

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
	"gonum.org/v1/gonum/unit"
)

// report is the page of one job.
type report struct {
	page.Page
	j *job
	w *result
}

// write returns the whole report. Units "" takes those of the job.
func write(j *job, w *result, units string) string {
	if units == "" {
		units = page.Millimetre
		if j.length == align.UnitInch || j.length == align.UnitFoot {
			units = page.Inch
		}
	}
	r := &report{page.Page{Units: units}, j, w}
	r.head()
	r.train()
	r.measured()
	r.readings()
	r.checks()
	r.position()
	r.corrections()
	r.forecast()
	r.compared()
	r.cautions()
	r.legend()
	return r.String()
}

func (r *report) head() {
	r.Text("ALIGNMENT JOB: " + r.j.title)
	if r.j.plant != "" {
		r.Hang("Plant:     ", r.j.plant)
	}
	if r.j.citation != "" {
		r.Hang("Source:    ", r.j.citation)
	}
	if r.j.speed != "" {
		r.Hang("Speed:     ", r.j.speed)
	}
	r.Hang("To move:   ", r.name(r.j.moving)+"; "+r.name(r.j.moving.Other())+" stays")
	r.Hang("Units:     ", r.In("mm; slopes in mm/m", "inches (in) along the train, mil (0.001 in) for everything else; slopes in mil/in"))
	if r.j.note != "" {
		r.Hang("Note:      ", r.j.note)
	}
}

func (r *report) name(s align.Shaft) string { return r.j.machine(s).name }

// mark is one thing that stands at a station.
type mark struct {
	x    unit.Length
	sign byte // on the sketch: ^ foot, v dial, | flex plane
	what string
}

func (r *report) marks() []mark {
	var out []mark
	for _, s := range []align.Shaft{align.Near, align.Far} {
		for _, f := range r.j.machine(s).feet {
			out = append(out, mark{f.station, '^', r.name(s) + ", " + f.name + " feet"})
		}
	}
	for i := range r.j.dials {
		d := &r.j.dials[i]
		out = append(out, mark{d.Station, 'v', d.Name + ": stem touches the " + r.touched(d)})
	}
	for i, x := range r.j.flexPlanes {
		what := "flex plane of the coupling"
		if len(r.j.flexPlanes) == 2 {
			what = "flex plane next to " + r.name([]align.Shaft{align.Near, align.Far}[i])
		}
		out = append(out, mark{x, '|', what})
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].x < out[b].x })
	return out
}

// touched says what the stem rests on.
func (r *report) touched(d *dial) string {
	hub := r.name(d.Bracket.Other()) + "'s "
	switch d.Surface {
	case align.FaceToward:
		return hub + "hub face, the side that looks toward " + r.name(d.Bracket)
	case align.FaceAway:
		return hub + "hub face, the side that looks away from " + r.name(d.Bracket)
	}
	return hub + "rim"
}

const sketchWidth = 80

// train draws the side view to scale and lists the stations.
func (r *report) train() {
	r.Heading("Train")
	marks := r.marks()
	lo, hi := marks[0].x, marks[len(marks)-1].x
	column := func(x unit.Length) int {
		if !(hi > lo) {
			return 0
		}
		return int(float64((x-lo)/(hi-lo))*(sketchWidth-1) + 0.5)
	}
	shaft := []byte(strings.Repeat("-", sketchWidth))
	above := []byte(strings.Repeat(" ", sketchWidth))
	below := []byte(strings.Repeat(" ", sketchWidth))
	for _, m := range marks {
		c := column(m.x)
		switch m.sign {
		case 'v':
			above[c] = 'v'
		case '^':
			below[c] = '^'
		default:
			shaft[c] = '|'
		}
	}
	title := r.name(align.Near) + " (near)"
	other := r.name(align.Far) + " (far)"
	gap := max(1, sketchWidth-len([]rune(title))-len([]rune(other)))
	for _, line := range []string{title + strings.Repeat(" ", gap) + other, string(above), string(shaft) + "> x", string(below)} {
		r.WriteString("  " + strings.TrimRight(line, " ") + "\n")
	}
	r.Text("Side view to scale along the shafts; v dial, | flex plane, ^ feet.")
	rows := [][]string{{"station", "what stands there"}}
	for _, m := range marks {
		rows = append(rows, []string{r.Station(m.x), string(m.sign) + "  " + m.what})
	}
	r.Table(rows...)
}

func (r *report) measured() {
	r.Heading("What was measured")
	r.Hang("Method:      ", map[string]string{
		methodReverse: "reverse indicator: a rim dial on each shaft, each carried by a bracket on the other",
		methodRimFace: "rim and face: one dial on the rim and one on the face, from one bracket",
		methodDials:   "a set of dials solved together",
	}[r.j.method])
	sigma := "not given"
	if r.j.sigma > 0 {
		sigma = r.Size(r.j.sigma) + " standard uncertainty"
	}
	r.Hang("One reading: ", sigma)
	for i := range r.j.dials {
		r.dial(&r.j.dials[i])
	}
}

func (r *report) dial(d *dial) {
	r.Hang("* ", fmt.Sprintf("%s: bracket on the %s shaft, stem on the %s at station %s%s. %s turned. %s %s.",
		d.Name, r.name(d.Bracket), r.touched(d), strings.TrimSpace(r.Station(d.Station)), r.diameter(d),
		r.turned(d), r.recorded(d), r.sag(d)))
}

func (r *report) diameter(d *dial) string {
	switch {
	case d.Surface != align.Rim:
		return ", swept diameter " + r.Distance(d.Diameter)
	case d.Diameter > 0:
		return ", touched diameter " + r.Distance(d.Diameter)
	}
	return ""
}

func (r *report) turned(d *dial) string {
	if d.Turning == align.BothShafts {
		return "Both shafts"
	}
	return fmt.Sprintf("Only the %s shaft (runout of the touched surface taken out: %s at 12 o'clock, %s at 3 o'clock)",
		r.name(d.Bracket), strings.TrimSpace(r.Signed(d.Runout.Vertical)), strings.TrimSpace(r.Signed(d.Runout.Horizontal)))
}

func (r *report) recorded(d *dial) string {
	if !d.against {
		return fmt.Sprintf("Written down looking from %s to %s.", r.name(align.Near), r.name(align.Far))
	}
	return fmt.Sprintf("Written down looking from %s to %s; 3 and 9 o'clock are exchanged for this report.",
		r.name(align.Far), r.name(align.Near))
}

func (r *report) sag(d *dial) string {
	whole, _ := d.Sag.RollOver()
	switch d.sagTest {
	case sagNone:
		return "Bracket sag: none, or taken out of the readings already"
	case sagUnknown:
		return "Bracket sag: not measured, taken as zero"
	case sagSingle:
		return fmt.Sprintf("Bracket sag: single-deflection test %s, which is half of the roll-over value %s",
			strings.TrimSpace(r.Signed(d.sagReading)), strings.TrimSpace(r.Signed(whole)))
	}
	return fmt.Sprintf("Bracket sag: roll-over test %s (zero at 12, read at 6 o'clock)", strings.TrimSpace(r.Signed(whole)))
}

func (r *report) readings() {
	r.Heading("Readings")
	r.Text("A reading is positive when the stem is pushed in.")
	for i := range r.j.dials {
		r.WriteString("\n")
		r.raw(&r.j.dials[i])
		r.reduced(&r.j.dials[i], &r.w.dials[i])
	}
}

// written is the clock position as the recorder wrote it.
func written(d *dial, c align.Clock) string {
	if d.against {
		c = c.Mirrored()
	}
	return c.String()
}

// raw prints the sets exactly as they were written, in the unit of the record.
func (r *report) raw(d *dial) {
	r.Text(d.Name + ", as written down:")
	head := []string{"position"}
	for k := range d.sets {
		head = append(head, "set "+strconv.Itoa(k+1))
	}
	decimals := r.decimals(d)
	rows := [][]string{head}
	for i, reading := range d.sets[0] {
		row := []string{written(d, reading.At)}
		for _, s := range d.sets {
			row = append(row, r.asWritten(s[i].Value, decimals))
		}
		rows = append(rows, row)
	}
	r.Table(rows...)
}

// asWritten prints a reading of the record back in the record's own unit, with
// the decimals of the finest reading of the dial.
func (r *report) asWritten(v unit.Length, decimals int) string {
	return page.Signed(r.j.reading, float64(v), decimals)
}

// decimals is the largest number of decimals that a reading of the dial has.
func (r *report) decimals(d *dial) int {
	most := 0
	for _, s := range d.sets {
		for _, x := range s {
			text := strconv.FormatFloat(r.j.reading.FromSI(float64(x.Value)), 'f', 9, 64)
			_, after, _ := strings.Cut(strings.TrimRight(text, "0"), ".")
			most = max(most, len(after))
		}
	}
	return most
}

// reduced prints the mean with sag taken out and what the position leaves over.
func (r *report) reduced(d *dial, res *dialResult) {
	from, to := r.name(align.Near), r.name(align.Far)
	r.Text(fmt.Sprintf("%s, seen looking from %s to %s:", d.Name, from, to))
	rows := [][]string{{"position", "mean, zero at first", "part due to sag", "sag taken out", "left over by the fit"}}
	for i, m := range d.Sweep {
		left := "closing reading, not used"
		if i < len(res.residuals) {
			left = r.Signed(res.residuals[i])
		}
		rows = append(rows, []string{
			m.At.String(), r.Signed(m.Value), r.Signed(m.Value - res.corrected[i].Value), r.Signed(res.corrected[i].Value), left,
		})
	}
	r.Table(rows...)
}
