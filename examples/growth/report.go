package main

import (
	"fmt"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

type sheet struct {
	page.Page
	a *answer
}

// report prints the whole answer.
func (a *answer) report(units string) (string, error) {
	s := &sheet{page.Page{Units: units}, a}
	s.Text("WHERE THE SHAFTS WILL RUN: " + a.title)
	if a.plant != "" {
		s.Text("Plant: " + a.plant)
	}
	if a.note != "" {
		s.Hang("Note:  ", a.note)
	}
	s.supports()
	s.movements()
	s.targets()
	s.bestTarget()
	s.readings()
	s.suspect()
	s.cautions()
	return s.String(), nil
}

func (s *sheet) supports() {
	s.Heading("How the supports grow from cold")
	rows := [][]string{{"support", "station", "height", "state", "mean temperature", "growth"}}
	for side, m := range []machine{s.a.near, s.a.far} {
		for i, one := range m.supports {
			name, station, height := m.name+", "+one.name, s.Station(one.station), s.Distance(one.height)
			for k, st := range s.a.states {
				g := s.a.growth[k][side]
				if g == nil {
					rows = append(rows, []string{name, station, height, st.name, "not needed", "measured, see below"})
				} else {
					v := st.near
					if side == 1 {
						v = st.far
					}
					rows = append(rows, []string{name, station, height, st.name, s.mean(v.layers[i], one.height), s.Signed(g[i])})
				}
				name, station, height = "", "", ""
			}
		}
	}
	s.Table(rows...)
	s.Text("Cold is " + s.temperature(s.a.near.supports[0].cold) + " throughout. Materials:")
	seen := map[string]bool{}
	for _, m := range []machine{s.a.near, s.a.far} {
		for _, one := range m.supports {
			if t := one.material.Name + ", " + one.material.Variant + ": " + one.material.Source + known(one.material.Known); !seen[t] {
				seen[t] = true
				s.Hang("* ", t+".")
			}
		}
	}
}

func known(k align.Known) string {
	switch k {
	case align.ReadSecondhand:
		return " (second-hand)"
	case align.FromMemory:
		return " (from memory)"
	}
	return ""
}

// mean is the mean temperature over the height, by trapezoids.
func (s *sheet) mean(layers []thermal.Layer, height unit.Length) string {
	if len(layers) == 1 {
		return s.temperature(layers[0].Temperature)
	}
	sum, below, last := 0.0, unit.Length(0), layers[0].Temperature
	for _, l := range layers {
		sum += float64(l.Temperature+last) / 2 * float64(l.Height-below)
		below, last = l.Height, l.Temperature
	}
	sum += float64(last) * float64(height-below)
	return s.temperature(unit.Temperature(sum/float64(height))) + ", " + strconv.Itoa(len(layers)) + " heights"
}

func (s *sheet) temperature(t unit.Temperature) string {
	return s.In(page.Format(align.UnitCelsius, float64(t), 0), page.Format(align.UnitFahrenheit, float64(t), 0))
}

func (s *sheet) movements() {
	s.Heading("Where the shafts move")
	s.Text("Off-line to running, at the flex planes: growth and everything else the job names; plus is up, and toward 3 o'clock. " +
		"What counts is " + s.a.far.name + " less " + s.a.near.name + ": that both rise alike changes nothing.")
	rows := [][]string{{"state", "flex plane", s.a.near.name + " up", "aside", s.a.far.name + " up", "aside", "difference up", "aside"}}
	for _, c := range s.a.cases {
		name := c.Name
		for _, p := range s.planes() {
			n, f, d := c.Near.At(p.at), c.Far.At(p.at), c.Relative().At(p.at)
			rows = append(rows, []string{name, p.name, s.Signed(n.Vertical), s.Signed(n.Horizontal),
				s.Signed(f.Vertical), s.Signed(f.Horizontal), s.Signed(d.Vertical), s.Signed(d.Horizontal)})
			name = ""
		}
	}
	s.Table(rows...)
	for i, st := range s.a.states {
		for side, v := range []motion{st.near, st.far} {
			m := []machine{s.a.near, s.a.far}[side]
			for k, list := range v.moves {
				for _, c := range list {
					what := c.Cause.String()
					if c.Name != "" {
						what += ", " + c.Name
					}
					s.Hang("* ", fmt.Sprintf("%s, %s at the %s: %s.", s.a.states[i].name, what, m.supports[k].name, s.words(c.Offset)))
				}
			}
			if v.measured != nil {
				s.Hang("* ", fmt.Sprintf("%s, %s: measured off line to running at two stations, not worked out.", st.name, m.name))
			}
		}
	}
}

func (s *sheet) words(o align.Offset) string {
	v, h := "up", "toward 3 o'clock"
	if o.Vertical < 0 {
		v = "down"
	}
	if o.Horizontal < 0 {
		h = "toward 9 o'clock"
	}
	return s.Size(o.Vertical) + " " + v + ", " + s.Size(o.Horizontal) + " " + h
}

type plane struct {
	name string
	at   unit.Length
}

func (s *sheet) planes() []plane {
	return []plane{{"next to " + s.a.near.name, s.a.spool.NearFlex}, {"next to " + s.a.far.name, s.a.spool.FarFlex}}
}

func (s *sheet) targets() {
	s.Heading("Which cold setting serves which state")
	s.Text(fmt.Sprintf("Limit: %s. Over %s between the flex planes that is %s at either of them, %s; a state that is short may be given wider limits.",
		s.a.limit, s.Distance(s.a.spool.Length()), s.Size(s.a.allowed), modeWords(s.a.mode)))
	head := []string{"set cold"}
	for _, c := range s.a.cases {
		head = append(head, c.Name)
	}
	rows := [][]string{append(head, "worst")}
	for _, m := range s.a.aims {
		row := []string{m.name}
		for i := range s.a.cases {
			row = append(row, page.Percent(m.worstOf(i)))
		}
		word := "within"
		if !m.Within() {
			word = "over"
		}
		rows = append(rows, append(row, page.Percent(m.Worst)+", "+word))
	}
	s.Table(rows...)
	s.Text("The figures are shares of the limit at the worse flex plane: 100 % is all there is.")
}

func modeWords(m thermal.Mode) string {
	if m == thermal.Resultant {
		return "both planes together"
	}
	return "each plane by itself"
}

// worstOf returns the largest share in one state.
func (m aim) worstOf(state int) (worst float64) {
	for _, c := range m.Checks {
		if c.State == state {
			worst = max(worst, c.Share)
		}
	}
	return worst
}

func (s *sheet) bestTarget() {
	s.Heading("The cold target")
	best := s.a.best()
	rows := [][]string{{"flex plane", "station", s.a.far.name + " against " + s.a.near.name + ", cold"}}
	for _, p := range s.planes() {
		rows = append(rows, []string{p.name, s.Station(p.at), s.Standing(best.Axis.At(p.at))})
	}
	s.Table(rows...)
	rows = [][]string{{"state", "flex plane", "direction", "offset running", "limit", "margin", "share", ""}}
	for _, c := range best.Checks {
		p := s.planes()[0]
		if c.Shaft == align.Far {
			p = s.planes()[1]
		}
		mark := ""
		for _, g := range best.Governing {
			if g == c {
				mark = "governs"
			}
		}
		rows = append(rows, []string{s.a.cases[c.State].Name, p.name, c.Direction.String(), s.Size(c.Size), s.Size(c.Limit),
			s.Signed(c.Margin()), page.Percent(c.Share), mark})
	}
	s.Table(rows...)
	var who []string
	for _, g := range best.Governing {
		if n := s.a.cases[g.State].Name; len(who) == 0 || who[len(who)-1] != n {
			who = append(who, n)
		}
	}
	verb := "governs"
	if len(who) > 1 {
		verb = "govern"
	}
	if best.Within() {
		s.Text(fmt.Sprintf("Every state is within its limit. %s %s: no cold setting makes the worst of them better.", strings.Join(who, " and "), verb))
		return
	}
	s.Text(fmt.Sprintf("No cold setting keeps every state within its limit: this one comes nearest. %s %s. Reduce the movement, take a coupling that bears more, or accept a wider limit for a state that is short, with its maker's word.",
		strings.Join(who, " and "), verb))
}

func (s *sheet) readings() {
	if len(s.a.dials) == 0 {
		return
	}
	s.Heading("What the dials should read at the cold target")
	s.Text("Zero set at 12 o'clock; bracket sag is in the figures; clock positions as the person at that dial sees them.")
	rows := [][]string{{"dial", "station", "looking", "12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock"}}
	for i, d := range s.a.dials {
		from, to := s.a.near.name, s.a.far.name
		if d.against {
			from, to = to, from
		}
		row := []string{d.Name, s.Station(d.Station), "from " + from + " to " + to}
		for _, r := range s.a.readings[i] {
			row = append(row, s.Signed(r.Value))
		}
		rows = append(rows, row)
	}
	s.Table(rows...)
}

func (s *sheet) suspect() {
	if len(s.a.warnings) == 0 {
		return
	}
	s.Heading("Look again")
	u := align.UnitMillimetre
	if s.Units == page.Inch {
		u = align.UnitMil
	}
	for _, w := range s.a.warnings {
		s.Hang("* ", w.In(u)+".")
	}
}

func (s *sheet) cautions() {
	s.Heading("Before anyone relies on this")
	for _, c := range []string{
		"A calculated movement is an estimate: temperatures are read on surfaces, and what pipes and foundations do is left out unless the job names it. Sideways movement can seldom be calculated at all. Measure off line to running where it matters.",
		"Hot surfaces burn and running couplings catch clothes: read temperatures with guards on, and measure movement with fixtures that stay clear of what turns.",
		"Isolate, lock out and tag before a guard or a coupling is opened, and let hot parts cool.",
		"This report is arithmetic, not permission. Site rules, local codes, the makers' instructions and qualified people decide.",
	} {
		s.Hang("* ", c)
	}
}
