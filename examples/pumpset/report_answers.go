package main

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
	"gonum.org/v1/gonum/unit"
)

// checks prints the validity checks with their limits, then every warning.
func (r *report) checks() {
	r.Heading("Can the readings be believed")
	limits := align.DefaultChecks()
	for i := range r.j.dials {
		d, res := &r.j.dials[i], &r.w.dials[i]
		r.Text(d.Name + ":")
		rows := [][]string{{"check", "found", "expected", "off by", "limit"}}
		if res.hasClosure {
			rows = append(rows, r.check("closing less first reading, worst set", res.worstClosure, 0, limits.Closure))
		} else {
			rows = append(rows, []string{"closing less first reading", "no closing reading was taken", "", "", ""})
		}
		if res.hasSum {
			rows = append(rows, r.check("12 plus 6 less 3 and 9 o'clock", res.sum, res.expected, limits.SumRule))
		} else {
			rows = append(rows, []string{"12 plus 6 less 3 and 9 o'clock", "needs all four quarter positions", "", "", ""})
		}
		if len(d.sets) > 1 {
			rows = append(rows, r.check("largest difference between sets", d.repeatability, 0, repeatLimit))
		} else {
			rows = append(rows, []string{"largest difference between sets", "one set only", "", "", ""})
		}
		rows = append(rows, r.check("largest reading left over by the fit", res.worstResidual, 0, limits.Residual))
		r.Table(rows...)
	}
	r.Text("The limits are common practice, without a published source.")
	r.warnings()
}

func (r *report) check(what string, found, expected, limit unit.Length) []string {
	return []string{what, r.Signed(found), r.Signed(expected), r.Signed(found - expected), r.Size(limit)}
}

func (r *report) warnings() {
	r.WriteString("\n")
	if len(r.w.warnings) == 0 {
		r.Text("Nothing suspect was found in the readings.")
		return
	}
	for _, w := range r.w.warnings {
		lead := map[align.Severity]string{
			align.Notice:  "Worth knowing:  ",
			align.Suspect: "Look again:     ",
			align.Serious: "Probably wrong: ",
		}[w.Severity]
		r.Hang(lead, r.warning(w))
	}
}

// warning says a warning in words, with its numbers in the report's units.
func (r *report) warning(w align.Warning) string {
	bare := w
	bare.Unit = "" // words only
	s := strings.Replace(bare.String(), string(w.Code)+": ", "", 1)
	if w.Code == align.WarnExtrapolation {
		return fmt.Sprintf("%s (%.1f times the span away, limit %.1f times)", s, w.Value, w.Limit)
	}
	switch w.Unit.Dimension() {
	case align.LengthDim:
		return fmt.Sprintf("%s (%s, limit %s)", s, strings.TrimSpace(r.Signed(unit.Length(w.Value))), r.Size(unit.Length(w.Limit)))
	case align.RatioDim:
		if w.Unit != align.UnitOne {
			return fmt.Sprintf("%s (%s, limit %s)", s, r.SlopeSize(w.Value), r.SlopeSize(w.Limit))
		}
		return fmt.Sprintf("%s (%.1f times, limit %.1f times)", s, w.Value, w.Limit)
	}
	return s
}

// places are where the position is reported: the flex planes, or else the ends
// of the measured stretch.
func (r *report) places() (names []string, x []unit.Length) {
	switch f := r.j.flexPlanes; len(f) {
	case 1:
		return []string{"flex plane"}, f
	case 2:
		return []string{"flex plane next to " + r.name(align.Near), "flex plane next to " + r.name(align.Far)}, f
	}
	for i := range r.j.dials {
		d := &r.j.dials[i]
		if d.Surface == align.Rim {
			names, x = append(names, d.Name), append(x, d.Station)
		}
	}
	if len(x) == 0 {
		names, x = []string{"station zero"}, []unit.Length{0}
	}
	return names, x
}

func (r *report) position() {
	r.Heading("Where the shafts stand, as found")
	p := &r.w.position
	near, far := r.name(align.Near), r.name(align.Far)
	r.Text(fmt.Sprintf("Offset is the %s shaft less the %s shaft, both taken as straight lines; plus is high, or toward 3 o'clock.", far, near))
	names, x := r.places()
	rows := [][]string{{"plane", "station", "offset found", "std uncertainty", "offset wanted", "to be taken away"}}
	for _, at := range x {
		found, want, sigma := p.At(at), r.w.target.At(at), r.sigma(at)
		if p.VerticalKnown {
			rows = append(rows, []string{"vertical", r.Station(at), r.Signed(found.Vertical), r.uncertain(sigma.Vertical),
				r.Signed(want.Vertical), r.Signed(found.Vertical - want.Vertical)})
		}
		if p.HorizontalKnown {
			rows = append(rows, []string{"horizontal", r.Station(at), r.Signed(found.Horizontal), r.uncertain(sigma.Horizontal),
				r.Signed(want.Horizontal), r.Signed(found.Horizontal - want.Horizontal)})
		}
	}
	r.Table(rows...)
	r.Text("In words:")
	for i, at := range x {
		r.Hang("* ", fmt.Sprintf("%s, station %s: found, %s; wanted, %s.", names[i], strings.TrimSpace(r.Station(at)),
			r.stands(p.At(at)), r.stands(r.w.target.At(at))))
	}
	r.slopes()
	r.flexAngles()
	r.how()
}

func (r *report) sigma(x unit.Length) align.Spread {
	if r.w.position.SigmaFrom == align.SigmaUnknown {
		return align.Spread{}
	}
	return r.w.position.OffsetSigma(x)
}

// uncertain prints a standard uncertainty, or that none is known.
func (r *report) uncertain(v unit.Length) string {
	if r.w.position.SigmaFrom == align.SigmaUnknown {
		return "not known"
	}
	return r.Size(v)
}

// stands says in words how the far shaft stands against the near one.
func (r *report) stands(o align.Offset) string {
	var parts []string
	if r.w.position.VerticalKnown {
		parts = append(parts, r.side(o.Vertical, "level", "high", "low"))
	}
	if r.w.position.HorizontalKnown {
		parts = append(parts, r.side(o.Horizontal, "in line sideways", "toward 3 o'clock", "toward 9 o'clock"))
	}
	return r.name(align.Far) + " " + strings.Join(parts, " and ")
}

// side says one component in words.
func (r *report) side(v unit.Length, none, plus, minus string) string {
	switch {
	case !r.Shows(v):
		return none
	case v > 0:
		return r.Size(v) + " " + plus
	}
	return r.Size(v) + " " + minus
}

func (r *report) slopes() {
	p := &r.w.position
	near, far := r.name(align.Near), r.name(align.Far)
	r.Text(fmt.Sprintf("Slope is that of the %s shaft against the %s shaft, going from %s to %s:", far, near, near, far))
	s, want := p.Slope(), r.w.target.Slope()
	sigma := func(v float64) string {
		if p.SigmaFrom == align.SigmaUnknown {
			return "not known"
		}
		return r.SlopeSize(v)
	}
	u := align.Slope{}
	if p.SigmaFrom != align.SigmaUnknown {
		u = p.SlopeSigma()
	}
	rows := [][]string{{"plane", "slope", "std uncertainty", "meaning", "wanted"}}
	if p.VerticalKnown {
		rows = append(rows, []string{"vertical", r.Slope(s.Vertical), sigma(u.Vertical),
			r.leans(s.Vertical, "climbs", "falls", "6", "12"), r.Slope(want.Vertical)})
	}
	if p.HorizontalKnown {
		rows = append(rows, []string{"horizontal", r.Slope(s.Horizontal), sigma(u.Horizontal),
			r.leans(s.Horizontal, "swings toward 3 o'clock", "swings toward 9 o'clock", "9", "3"), r.Slope(want.Horizontal)})
	}
	r.Table(rows...)
}

// leans says a slope in words, and where the gap between the hub faces is wide:
// at the bottom when the far shaft climbs.
func (r *report) leans(s float64, plus, minus, widePlus, wideMinus string) string {
	if r.SlopeSize(s) == r.SlopeSize(0) {
		return "parallel"
	}
	if s > 0 {
		return r.name(align.Far) + " " + plus + "; hub faces gape at " + widePlus + " o'clock"
	}
	return r.name(align.Far) + " " + minus + "; hub faces gape at " + wideMinus + " o'clock"
}

func (r *report) flexAngles() {
	p := &r.w.position
	if len(r.j.flexPlanes) != 2 || !p.VerticalKnown || !p.HorizontalKnown {
		return
	}
	spool := align.Spool{NearFlex: r.j.flexPlanes[0], FarFlex: r.j.flexPlanes[1]}
	found, err := p.FlexAngles(spool)
	if err != nil {
		return // the planes were checked on the way in
	}
	wanted, err := r.w.target.FlexAngles(spool)
	if err != nil {
		return
	}
	r.Text("Angle the coupling has to bend at each flex plane, both planes together:")
	r.Table(
		[]string{"place", "as found", "as wanted"},
		[]string{"flex plane next to " + r.name(align.Near), r.SlopeSize(found.Near.Resultant()), r.SlopeSize(wanted.Near.Resultant())},
		[]string{"flex plane next to " + r.name(align.Far), r.SlopeSize(found.Far.Resultant()), r.SlopeSize(wanted.Far.Resultant())},
	)
	r.verdicts()
}

// how says where the uncertainty and the wanted position come from.
func (r *report) how() {
	p := &r.w.position
	switch p.SigmaFrom {
	case align.SigmaGiven:
		r.Text("Uncertainties follow from the uncertainty given for one reading; about twice the figure covers 95 in 100 cases. Errors of the sag test, of the stations and of the wanted position are not in them.")
	case align.SigmaResiduals:
		r.Text("Uncertainties follow from the scatter of the readings about the fit, " + strconv.Itoa(p.DoF) + " to spare. Errors of the sag test, of the stations and of the wanted position are not in them.")
	default:
		r.Text("Uncertainties are not known: none was given for a reading, and there are no readings to spare.")
	}
	if !p.VerticalKnown || !p.HorizontalKnown {
		missing := "horizontal"
		if !p.VerticalKnown {
			missing = "vertical"
		}
		r.Text("The " + missing + " plane was not measured; nothing is said about it below.")
	}
	if r.j.target == nil {
		r.Text("Wanted: the two shafts in one line.")
		return
	}
	r.Text("Wanted while the machines stand still: " + strings.TrimSpace(r.j.target.why))
}

func (r *report) corrections() {
	r.Heading("What to do at the feet")
	mover, other := r.j.moving, r.j.moving.Other()
	r.Text(fmt.Sprintf("Move %s, leave %s where it is. 3 and 9 o'clock as seen looking from %s to %s:",
		r.name(mover), r.name(other), r.name(align.Near), r.name(align.Far)))
	r.moves(mover)
	if len(r.j.machine(other).feet) == 0 {
		r.Text(fmt.Sprintf("Or move %s instead: its feet are not given, so no moves can be worked out.", r.name(other)))
	} else {
		r.Text(fmt.Sprintf("Or move %s instead, and leave %s where it is; one or the other, never both:", r.name(other), r.name(mover)))
		r.moves(other)
	}
	r.Text("Shims cannot be taken out that are not there (base-bound), and feet cannot move farther than their bolts allow (bolt-bound): then share the move between both machines.")
}

func (r *report) moves(s align.Shaft) {
	list := r.w.near
	if s == align.Far {
		list = r.w.far
	}
	p := &r.w.position
	head := []string{"feet", "station"}
	if p.VerticalKnown {
		head = append(head, "shims under the feet", "std uncertainty")
	}
	if p.HorizontalKnown {
		head = append(head, "sideways", "std uncertainty")
	}
	rows := [][]string{head}
	for _, f := range list {
		row := []string{r.name(s) + ", " + f.name, r.Station(f.station)}
		if p.VerticalKnown {
			row = append(row, r.vertical(f.move), r.uncertain(f.sigma.Vertical))
		}
		if p.HorizontalKnown {
			row = append(row, r.sideways(f.move), r.uncertain(f.sigma.Horizontal))
		}
		rows = append(rows, row)
	}
	r.Table(rows...)
}

func (r *report) vertical(m align.Move) string {
	switch {
	case !r.Shows(m.Vertical):
		return "leave the shims"
	case m.Vertical > 0:
		return "add " + r.Size(m.Vertical)
	}
	return "take out " + r.Size(m.Vertical)
}

func (r *report) sideways(m align.Move) string {
	switch {
	case !r.Shows(m.Horizontal):
		return "leave sideways"
	case m.Horizontal > 0:
		return "move " + r.Size(m.Horizontal) + " toward 3 o'clock"
	}
	return "move " + r.Size(m.Horizontal) + " toward 9 o'clock"
}

// forecast prints what the dials should read after the moves.
func (r *report) forecast() {
	r.Heading("What the dials should read after the moves")
	r.Text("With the same brackets at the same places, zero set at the first position. Bracket sag is in these figures, so they compare with the dials directly. Clock positions as the person at that dial writes them.")
	for i := range r.j.dials {
		d := &r.j.dials[i]
		side := fmt.Sprintf("looking from %s to %s", r.name(align.Near), r.name(align.Far))
		if d.against {
			side = fmt.Sprintf("looking from %s to %s", r.name(align.Far), r.name(align.Near))
		}
		r.Text(d.Name + ", " + side + ":")
		rows := [][]string{{"position", "should read", "reads now"}}
		for k, f := range r.w.dials[i].forecast {
			rows = append(rows, []string{written(d, f.At), r.Signed(f.Value), r.Signed(d.Sweep[k].Value)})
		}
		r.Table(rows...)
	}
}

// compared prints the published answers beside ours, in the unit of the print.
func (r *report) compared() {
	if len(r.w.answers) == 0 {
		return
	}
	r.Heading("Published answer beside ours")
	rows := [][]string{{"what", "published", "ours", "difference", "allowed", "outcome"}}
	reasons := map[string]bool{}
	for _, a := range r.w.answers {
		rows = append(rows, r.answer(a))
		reasons[a.reason] = true
	}
	r.Table(rows...)
	why := make([]string, 0, len(reasons))
	for reason := range reasons {
		why = append(why, reason)
	}
	sort.Strings(why)
	r.Hang("Allowed: ", strings.Join(why, "; ")+".")
	r.Text("A move is plus upward or toward 3 o'clock. A height is that of the shaft at the feet against the wanted line: plus above it, or toward 3 o'clock.")
	r.Hang("Source:  ", r.j.citation)
}

// answer is one row of the comparison, with two decimals more than the print.
func (r *report) answer(a answer) []string {
	u := r.j.reading
	_, decimals, _ := strings.Cut(a.printed, ".")
	n := min(len(decimals)+2, 9)
	plane, quantity, outcome := "horizontal", "move", "agrees"
	if a.vertical {
		plane = "vertical"
	}
	if a.height {
		quantity = "height"
	}
	if !a.agrees {
		outcome = "DOES NOT AGREE"
	}
	return []string{
		r.name(a.shaft) + ", " + a.foot + " feet, " + plane + " " + quantity, a.printed + " " + string(u),
		page.Signed(u, float64(a.ours), n), page.Format(u, math.Abs(float64(a.ours-a.value)), n), page.Format(u, float64(a.tolerance), n), outcome,
	}
}
