package worksheet

import (
	"slices"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// source is what findings of one computation have in common.
type source struct {
	part    Part
	of      string
	topic   topic
	about   string
	formula string
	doc     string
	inputs  []string
}

// option completes a finding.
type option func(*Finding)

// evaluator works a record out, part by part.
type evaluator struct {
	*Record
	findings []Finding
	placed   []placed
	running  []runningState
	grades   []graded
}

// number adds a value in SI units, to be printed in u. A value that is not finite
// becomes an error, so that none ever leaves.
func (e *evaluator) number(s source, id, says string, si float64, u align.Unit, more ...option) {
	if !align.IsFinite(si) {
		e.failed(s, id, says, fault(id, "", align.ErrNotFinite))
		return
	}
	f := s.finding(id, says)
	f.Value, f.SI, f.Unit = rounded(si), siName(u), u
	e.add(f, more)
}

// length adds a length in the unit of readings.
func (e *evaluator) length(s source, id, says string, v unit.Length, more ...option) {
	e.number(s, id, says, float64(v), e.Units.Reading, more...)
}

// slope adds a slope in the unit that goes with the readings.
func (e *evaluator) slope(s source, id, says string, v float64, more ...option) {
	e.number(s, id, says, v, e.Units.slopeUnit(), more...)
}

// words adds an answer in words.
func (e *evaluator) words(s source, id, says, words string, more ...option) {
	f := s.finding(id, says)
	f.Words = words
	e.add(f, more)
}

// failed adds what could not be computed.
func (e *evaluator) failed(s source, id, says string, err error, more ...option) {
	f := s.finding(id, says)
	f.Error, f.weight = errorOf(err), suspect
	e.add(f, more)
}

func (e *evaluator) add(f Finding, more []option) {
	for _, o := range more {
		o(&f)
	}
	e.findings = append(e.findings, f)
}

func (s source) finding(id, says string) Finding {
	return Finding{ID: id, Part: s.part, Of: s.of, Says: says, Formula: s.formula, Doc: s.doc, Inputs: s.inputs, topic: s.topic, about: s.about}
}

// from returns the source with other inputs.
func (s source) from(inputs ...string) source {
	s.inputs = inputs
	return s
}

// and returns the source with further inputs, each named once.
func (s source) and(inputs ...string) source {
	s.inputs = unique(slices.Concat(s.inputs, inputs))
	return s
}

// by returns the source with another formula and the place where it is
// documented.
func (s source) by(formula, doc string) source {
	s.formula, s.doc = formula, doc
	return s
}

// on returns the source about another topic.
func (s source) on(t topic, about string) source {
	s.topic, s.about = t, about
	return s
}

// signed says what the signs mean.
func signed(plus, minus string) option {
	return func(f *Finding) { f.Plus, f.Minus = plus, minus }
}

// upRight says what the signs of something in one plane mean.
func upRight(vertical bool, what string) option {
	high, low := "up", "down"
	if strings.HasSuffix(what, "stands") { // a place, not a movement
		high, low = "high", "low"
	}
	if what != "" {
		what += " "
	}
	if vertical {
		return signed(what+high, what+low)
	}
	return signed(what+"toward 3 o'clock", what+"toward 9 o'clock")
}

// uncertain gives the standard uncertainty; zero is none known. What is left by
// the rounding of readings that fit to the last digit is none, too.
func uncertain[T ~float64](sigma T) option {
	return func(f *Finding) {
		if align.IsFinite(sigma) && round(float64(sigma)) > 0 {
			f.Sigma = rounded(float64(sigma))
		}
	}
}

// judged gives the limit and the verdict. Within weighs as sound, over as given.
func judged(v align.Verdict, over weight) option {
	return func(f *Finding) {
		f.Limit, f.Verdict, f.weight = limitOf(v.Limit), Within, sound
		if !v.Within {
			f.Verdict, f.weight = Over, over
		}
	}
}

// also gives further inputs.
func also(inputs ...string) option {
	return func(f *Finding) { f.Inputs = unique(slices.Concat(f.Inputs, inputs)) }
}

// weighs says what the finding means for the readiness.
func weighs(w weight) option { return func(f *Finding) { f.weight = w } }

// advice says what to do, or more about the answer.
func advice(words string) option { return func(f *Finding) { f.Words = words } }

// warned gives warnings, their fields put below a path. A warning that is more
// than a notice weighs as suspect at least, where something is judged.
func warned(path string, ws []align.Warning) option {
	return func(f *Finding) {
		for _, w := range ws {
			f.Warnings = append(f.Warnings, warningOf(path, w))
			if w.Severity != align.Notice && f.weight < suspect {
				f.weight = suspect
			}
		}
	}
}

// plane is one of the two planes, with its part of an offset and the like.
type plane struct {
	name     string
	vertical bool
}

var bothOfThem = [2]plane{{"vertical", true}, {"horizontal", false}}

func (p plane) of(o align.Offset) unit.Length {
	if p.vertical {
		return o.Vertical
	}
	return o.Horizontal
}

func (p plane) slopeOf(s align.Slope) float64 {
	if p.vertical {
		return s.Vertical
	}
	return s.Horizontal
}

func (p plane) sigmaOf(s align.Spread) unit.Length {
	if p.vertical {
		return s.Vertical
	}
	return s.Horizontal
}

func (p plane) moveOf(m align.Move) unit.Length {
	if p.vertical {
		return m.Vertical
	}
	return m.Horizontal
}
