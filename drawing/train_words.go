package drawing

import (
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// describe says in words all that the drawing shows, with its figures.
func (s *trainSheet) describe() string {
	w := &trainWriter{trainSheet: s}
	w.say("Side view and top view of a train of ", counted(len(s.t.Machines), "machine"), " at one scale along the train, ", scaleWords(s.along),
		", and one across it, ", scaleWords(s.across), ".")
	if plant := named(s.t.Plant, ""); plant != "" {
		w.say("Plant: ", plant, ".")
	}
	for i := range s.t.Machines {
		m := &s.t.Machines[i]
		w.say(capital(m.called(i)), " stands from station ", s.figures.where(m.Start), " to ", s.figures.where(m.End), ".")
	}
	for i := range s.t.Couplings {
		w.coupling(i)
	}
	for i := range s.feet {
		w.foot(&s.feet[i])
	}
	for i := range s.t.Flanges {
		w.flange(i)
	}
	w.say(trainCaution)
	return strings.TrimSuffix(w.String(), " ")
}

// trainWriter writes sentences.
type trainWriter struct {
	*trainSheet
	strings.Builder
}

func (w *trainWriter) say(parts ...string) {
	for _, p := range parts {
		w.WriteString(p)
	}
	w.WriteString(" ")
}

// capital makes the first letter a capital, where it has one and the text is a plain
// one; a name keeps the rest as it was written.
func capital(s string) string {
	if s != "" && s[0] >= 'a' && s[0] <= 'z' {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}

func (w *trainWriter) coupling(i int) {
	c := &w.t.Couplings[i]
	name := c.called(i)
	if c.single() {
		w.say(capital(name), ": flex plane at station ", w.figures.where(c.NearFlex), ".")
	} else {
		w.say(capital(name), ": flex planes at stations ", w.figures.where(c.NearFlex), " and ", w.figures.where(c.FarFlex), ".")
	}
	for k := range w.t.States {
		s := &w.t.States[k]
		e := s.misalignment(i)
		parts := []string{capital(w.t.stateWords(k)), ", the far shaft stands ", w.offset(e.At(c.NearFlex))}
		if c.single() {
			parts = append(parts, ".")
		} else {
			parts = append(parts, " of the near one at the near flex plane and ", w.offset(e.At(c.FarFlex)), " at the far one.")
		}
		w.say(parts...)
	}
	near, far := c.limits()
	if near == 0 && far == 0 {
		return
	}
	words := "in each plane"
	if c.Resultant {
		words = "for both planes together"
	}
	w.say("Limit ", words, ": ", w.limit(near), " at the near flex plane, ", w.limit(far), " at the far one.")
}

func (w *trainWriter) offset(o align.Offset) string {
	return o.In(w.figures.offset.unit, w.figures.offset.decimals)
}

func (w *trainWriter) limit(v unit.Length) string {
	if v == 0 {
		return "none"
	}
	return w.figures.offset.with(v)
}

func (w *trainWriter) foot(f *footMark) {
	if f.move == nil {
		return
	}
	name := w.t.Machines[f.machine].called(f.machine)
	if foot := f.called(); foot != "" {
		name += ", " + foot
	}
	p := w.figures.move
	up, upSize := sidePlane.moveWords().say(p, f.move.Vertical)
	over, overSize := topPlane.moveWords().say(p, f.move.Horizontal)
	switch {
	case upSize == "" && overSize == "":
		w.say(capital(name), " at station ", w.figures.where(f.station), ": leave.")
	case overSize == "":
		w.say(capital(name), " at station ", w.figures.where(f.station), ": ", up, " ", upSize, ".")
	case upSize == "":
		w.say(capital(name), " at station ", w.figures.where(f.station), ": move ", overSize, " ", over, ".")
	default:
		w.say(capital(name), " at station ", w.figures.where(f.station), ": ", up, " ", upSize, ", move ", overSize, " ", over, ".")
	}
}

func (w *trainWriter) flange(i int) {
	f := &w.t.Flanges[i]
	p := w.figures.move
	w.say(capital(f.called(i)), " on a diameter of ", w.figures.where(f.Diameter), ": gap ", p.with(f.Gaps[0].Gap), " at ", f.where(0), " and ",
		p.with(f.Gaps[1].Gap), " at ", f.where(1), ".")
	if f.Offset != nil {
		w.say("The pipe's flange is off the machine's by ", p.size(*f.Offset), " toward ", f.toward(), ".")
	}
}

// toward names the spot toward which the pipe's flange is off.
func (f *Flange) toward() string {
	if *f.Offset < 0 {
		return f.where(1)
	}
	return f.where(0)
}
