package main

import (
	"errors"
	"fmt"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/runout"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// state says what a finding means for the alignment.
type state int

const (
	fine state = iota
	watch
	blocks
)

// finding is one check: what was found, and what follows.
type finding struct {
	state state
	about string // such as "foot inboard left"
	words string // what was found, with numbers and source
	todo  string // what puts it right, "" when nothing is to be done
}

// findings are the checks in the order in which they are best put right: from
// the foundation up, then what turns.
type findings struct {
	base, feet, turning []finding
}

// work runs every check of the survey.
func (s *survey) work() (findings, error) {
	var f findings
	if err := s.looked(&f); err != nil {
		return f, record.FromLibrary(err)
	}
	if err := s.surveyed(&f); err != nil {
		return f, record.FromLibrary(align.In(err, "base"))
	}
	for i := range s.feet {
		if err := s.foot(&f, &s.feet[i]); err != nil {
			return f, record.FromLibrary(align.In(err, fmt.Sprintf("feet[%d]", i)))
		}
	}
	if err := s.seats(&f); err != nil {
		return f, record.FromLibrary(align.In(err, "feet"))
	}
	for i := range s.shafts {
		if err := s.shaft(&f, &s.shafts[i]); err != nil {
			return f, record.FromLibrary(align.In(err, fmt.Sprintf("shafts[%d]", i)))
		}
	}
	for i := range s.hubs {
		if err := s.hub(&f, &s.hubs[i]); err != nil {
			return f, record.FromLibrary(align.In(err, fmt.Sprintf("hubs[%d]", i)))
		}
	}
	return f, nil
}

func (s *survey) size(v unit.Length) string { return s.reading.Format(float64(v), decimals(s.reading)) }

func decimals(u align.Unit) int {
	switch u {
	case align.UnitMil, align.UnitMicrometre:
		return 1
	case align.UnitInch:
		return 4
	}
	return 3
}

// looked adds what was looked at and not measured.
func (s *survey) looked(f *findings) error {
	if len(s.observations) == 0 && s.foundation == nil {
		return nil
	}
	c, err := softfoot.Checklist{Observations: s.observations, Foundation: s.foundation}.Judge()
	if err != nil {
		return err
	}
	add := func(st state, list []softfoot.Observation, todo string) {
		for _, o := range list {
			words := "found in " + o.Place
			if o.Note != "" {
				words += ": " + o.Note
			}
			f.base = append(f.base, finding{st, string(o.Item), words, todo})
		}
	}
	add(blocks, c.Repair, "put right before anything is aligned")
	add(watch, c.Watch, "note it, look again after the job")
	for _, item := range c.Missing {
		f.base = append(f.base, finding{watch, string(item), "nobody looked", "look"})
	}
	if m := c.Mass; m != nil {
		st, todo := fine, ""
		if m.Outcome != softfoot.Proceed {
			st, todo = watch, "a rule of thumb: watch vibration and settling"
		}
		f.base = append(f.base, finding{st, "foundation mass", fmt.Sprintf("%.1f times the machines; handbook: %.0f or more (Bloch and Geitner, Machinery Component Maintenance and Repair, p. 173)", m.Ratio, m.Least), todo})
	}
	return nil
}

// surveyed adds the level and flatness of the base.
func (s *survey) surveyed(f *findings) error {
	if len(s.base.Points) == 0 {
		return nil
	}
	b, err := s.base.Survey()
	if err != nil {
		return err
	}
	verdicts, err := b.Judge(s.baseLimits)
	if err != nil {
		return err
	}
	for _, v := range verdicts {
		st, todo := fine, ""
		if !v.Within {
			st, todo = blocks, "re-level or machine the pads"
		}
		f.base = append(f.base, finding{st, "base " + v.Quantity, v.String(), todo})
	}
	return nil
}

// foot adds the gap under one foot and what fills it.
func (s *survey) foot(f *findings, ft *foot) error {
	w, err := ft.face.Wedge()
	if err != nil {
		return err
	}
	ft.wedge = w
	d, err := softfoot.FootEvidence{Foot: ft.Name, Face: &ft.face, Least: s.near()}.Diagnose()
	if err != nil {
		return err
	}
	least, most := w.Readings()
	about := "foot " + ft.Name
	words := fmt.Sprintf("gap %s to %s, mean %s", s.size(least), s.size(most), s.size(w.Mean))
	var todo string
	switch {
	case len(d.Kinds) == 0:
		f.feet = append(f.feet, finding{fine, about, "sits: largest corner gap " + s.size(most), ""})
		return nil
	case slices.Contains(d.Kinds, softfoot.Angular):
		words += fmt.Sprintf("; tapers by %s, tight at the %s: a flat shim would leave %s open", s.size(w.Range()), w.TightSide(), s.size(w.Range()))
		todo, err = s.stepped(w)
	default:
		words += "; parallel"
		todo, err = s.flat(w.Mean)
	}
	if err != nil {
		return err
	}
	bent, err := w.CheckFlat(thinnest)
	if len(bent) > 0 {
		words += "; the corners do not lie in one plane: the foot or its pad is bent, dished or burred"
	}
	f.feet = append(f.feet, finding{blocks, about, words, todo})
	return err
}

// thinnest is what feelers can tell apart: a departure from the plane that is
// less says nothing (common practice, no source).
const thinnest = 0.025 * align.Millimetre

// near is the gap that counts as none: what the shim stock calls near enough;
// without a stock zero, which takes the limit of the library.
func (s *survey) near() unit.Length {
	if s.stock != nil {
		return s.stock.Within
	}
	return 0
}

func (s *survey) flat(gap unit.Length) (string, error) {
	if s.stock == nil {
		return "shim " + s.size(gap), nil
	}
	stack, _, err := s.stock.Stack(gap)
	if err != nil {
		return "", err
	}
	return "shim " + s.size(stack.Total) + " flat: " + s.leaves(stack.Pack()), nil
}

func (s *survey) leaves(list []unit.Length) string {
	out := ""
	for i, l := range list {
		if i > 0 {
			out += " + "
		}
		out += s.size(l)
	}
	return out
}

func (s *survey) stepped(w softfoot.Wedge) (string, error) {
	if s.stock == nil {
		return "step the shims or machine the taper", nil
	}
	st, _, err := s.stock.SteppedShim(w)
	if err != nil {
		return "", err
	}
	out := "step from the open side, leaves and how far each reaches toward the tight side:"
	for i, l := range st.Leaves {
		if i > 0 {
			out += ","
		}
		reach := "all the way"
		if l.End < 1 {
			reach = s.length.Format(float64(l.EndAt), 0)
		}
		out += " " + s.size(l.Thickness) + " " + reach
	}
	return out + "; leaves " + s.size(st.Residual) + " open at most", nil
}

// seats adds which feet carry, from the mean gaps.
func (s *survey) seats(f *findings) error {
	if len(s.feet) < 3 {
		return nil
	}
	m := softfoot.Machine{}
	for _, ft := range s.feet {
		m.Feet = append(m.Feet, ft.Foot)
		m.Gaps = append(m.Gaps, max(ft.wedge.Mean, 0))
	}
	seat, err := m.Seat()
	if err != nil {
		return err
	}
	words := ""
	for i := range seat.Rests {
		if i > 0 {
			words += "; or "
		}
		words += "rests on"
		for k, name := range seat.Carrying(i) {
			if k > 0 {
				words += ","
			}
			words += " " + name
		}
	}
	if seat.Assumed {
		words += " (centre of gravity taken in the middle of the feet)"
	}
	st, todo := fine, ""
	if seat.Rocks() {
		st, todo = watch, "rocks: hold it down on the same three feet while gaps are read"
	}
	f.feet = append(f.feet, finding{st, "the machine", words, todo})
	return nil
}

// shaft adds the runout of a shaft extension.
func (s *survey) shaft(f *findings, sh *shaft) error {
	sec, err := runout.NewSection(sh.sweep, runout.SweepChecks{})
	if err != nil {
		return align.In(err, "marks")
	}
	v, err := runout.ShaftReading{Diameter: sh.diameter, Runout: sec.TIR, Place: sh.place}.Judge(sh.standard)
	if err != nil {
		return err
	}
	st, todo := fine, ""
	if !v.Within {
		st, todo = blocks, "find out whether the shaft is bent or its bearings are loose"
	}
	f.turning = append(f.turning, finding{st, sh.name, s.turned(sec) + "; " + v.String(), todo})
	return nil
}

func (s *survey) turned(sec runout.Section) string {
	return fmt.Sprintf("total indicator reading %s, eccentricity %s with the high spot at mark %.0f deg",
		s.size(unit.Length(sec.TIR)), s.size(sec.Eccentricity()), float64(sec.First.Clock()))
}

// hub adds the runout of a hub, and of the shaft beside it when it was read.
func (s *survey) hub(f *findings, h *hub) error {
	sec, err := runout.NewSection(h.sweep, runout.SweepChecks{})
	if err != nil {
		return align.In(err, "marks")
	}
	words := s.turned(sec)
	var beside *align.TIR
	if len(h.beside) > 0 {
		b, err := runout.NewSection(h.beside, runout.SweepChecks{})
		if err != nil {
			return align.In(err, "shaftBeside")
		}
		beside = &b.TIR
		words += fmt.Sprintf("; shaft beside it %s; hub less shaft, as vectors, eccentric by %s",
			s.size(unit.Length(b.TIR)), s.size(sec.First.Sub(b.First).Resultant()))
	}
	result, err := h.rule.Decide(sec.TIR, beside)
	if err != nil {
		return err
	}
	words += fmt.Sprintf("; %s, which is %s here", h.rule.Hub, s.size(unit.Length(h.rule.Hub.SI())))
	st, todo, err := meaning(result)
	f.turning = append(f.turning, finding{st, h.name, words, todo})
	return err
}

func meaning(r runout.Finding) (state, string, error) {
	switch r {
	case runout.HubWithin:
		return fine, "", nil
	case runout.ReadShaft:
		return blocks, "read the shaft beside the hub", nil
	case runout.HubEccentric:
		return blocks, "the hub is bored off centre: replace or re-bore it", nil
	case runout.StraightenShaft:
		return blocks, "straighten or replace the shaft", nil
	}
	return fine, "", errors.New("hub: unknown result of the rule: " + string(r))
}
