package worksheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

const topicStrain topic = "strain of the pipe"

// strainTests works out the dials that were read while flanges or feet were let
// go. Movements are static: read directly, never halved.
func (e *evaluator) strainTests() {
	for i := range e.Strain {
		e.strainTest(at("strain", i), &e.Strain[i])
	}
	for i := range e.Oblique {
		e.obliqueDial(at("oblique", i), &e.Oblique[i])
	}
}

func (e *evaluator) strainTest(path string, l *StrainLog) {
	s := source{part: PartPipe, of: l.Machine + ", strain test", topic: topicStrain, about: l.Machine}.
		by("reading after a step less reading before it; read directly, never halved", "piping.StrainTest.Result").from(path)
	t := e.strainLog(l)
	res, err := t.Result()
	if err != nil {
		e.failed(s, path, "strain test", align.In(err, path))
		return
	}
	e.strainDials(s, path, l, &res)
	e.strainCauses(s, path, l, &res)
	for i, c := range res.Closures {
		e.strainClosure(s, fmt.Sprintf("%s.closures[%d]", path, i), l, c)
	}
	if len(res.Warnings) > 0 {
		e.words(s, path+".warnings", "the strain test as a whole", lookAgain, warned(path, res.Warnings), weighs(plain))
	}
}

// strainLog is the test as package piping has it. The record gives no heights and
// no laterals, so every dial is taken as one at the shaft line: what a dial shows
// is not changed by that.
func (e *evaluator) strainLog(l *StrainLog) piping.StrainTest {
	t := piping.StrainTest{}
	for _, d := range l.Dials {
		x := unit.Length(e.Units.length(d.Station))
		t.Indicators = append(t.Indicators, piping.Indicator{Name: d.Name, At: align.Place{X: x}, Toward: towards(d.Toward), Touches: touchedPart[d.Touches]})
		if d.Touches == "shaft" && !slices.Contains(t.Coupling, x) {
			t.Coupling = append(t.Coupling, x)
		}
	}
	if len(t.Coupling) == 0 { // no dial on the shaft: look where the first dial stands
		t.Coupling = []unit.Length{unit.Length(e.Units.length(l.Dials[0].Station))}
	}
	made := map[string]int{}
	for i, st := range l.Steps {
		step := piping.Step{Name: stepName(i, st), Group: groupOf(st.What), Of: []string{st.What}}
		if st.Action == "loosen" {
			step.Action = piping.Loosen
		}
		if k, ok := made[st.What]; ok && l.Steps[k].Action != st.Action {
			step.Undoes = stepName(k, l.Steps[k])
			delete(made, st.What)
		} else {
			made[st.What] = i
		}
		for _, v := range st.Readings {
			step.Readings = append(step.Readings, piping.Shows(align.Movement(e.Units.reading(v))))
		}
		t.Steps = append(t.Steps, step)
	}
	return t
}

func stepName(i int, st StrainStep) string {
	return fmt.Sprintf("step %d, %s %s", i+1, st.Action, st.What)
}

var touchedPart = map[string]piping.Touched{"shaft": piping.Shaft, "casing": piping.Casing, "foot": piping.Foot}

func towards(word string) align.Direction {
	switch word {
	case "down":
		return align.Upward().Neg()
	case "right":
		return align.Rightward()
	case "left":
		return align.Rightward().Neg()
	case "along":
		return align.AlongTrain()
	case "back":
		return align.AlongTrain().Neg()
	}
	return align.Upward()
}

var opposite = map[string]string{"up": "down", "down": "up", "right": "left", "left": "right", "along": "back", "back": "along"}

// wayWords says a direction without doubt about whose right it is.
func wayWords(toward string) string {
	switch toward {
	case "right":
		return "toward 3 o'clock"
	case "left":
		return "toward 9 o'clock"
	case "along":
		return "toward the last machine"
	case "back":
		return "toward the first machine"
	}
	return toward
}

// groupOf says what a step worked on, by the words of the record.
func groupOf(what string) piping.Group {
	w := strings.ToLower(what)
	switch {
	case strings.Contains(w, "foot"), strings.Contains(w, "feet"):
		return piping.Feet
	case strings.Contains(w, "support"), strings.Contains(w, "hanger"):
		return piping.Support
	}
	return piping.Flange
}

// strainDials adds what every dial shows, step by step, and holds the largest
// movement of each dial at the shaft against the limit.
func (e *evaluator) strainDials(s source, path string, l *StrainLog, res *piping.StrainResult) {
	limit := align.Limit{Name: "movement of a dial at the shaft", Value: l.Limit, Unit: e.Units.Reading, Source: l.Source}
	for d, dial := range l.Dials {
		here := s.from(fmt.Sprintf("%s.dials[%d]", path, d), path+".steps")
		way := signed(dial.Touches+" moves "+wayWords(dial.Toward), dial.Touches+" moves "+wayWords(opposite[dial.Toward]))
		var most align.Movement
		for k := range l.Steps {
			from := []string{fmt.Sprintf("%s.steps[%d].readings[%d]", path, k, d)}
			if k > 0 {
				from = append(from, fmt.Sprintf("%s.steps[%d].readings[%d]", path, k-1, d))
			}
			one, run := res.Steps[k].Step.Indicators[d], res.Steps[k].Running.Indicators[d]
			e.length(here.from(from...), fmt.Sprintf("%s.steps[%d].dials[%d]", path, k, d),
				fmt.Sprintf("%s, by %s alone", dial.Name, stepName(k, l.Steps[k])), unit.Length(one.Value), way)
			if math.Abs(float64(run.Value)) > math.Abs(float64(most)) {
				most = run.Value
			}
		}
		id := fmt.Sprintf("%s.dials[%d].largest", path, d)
		if dial.Touches != "shaft" {
			e.length(here, id, dial.Name+", largest movement since the start", unit.Length(most), way)
			continue
		}
		here = here.and(path + ".limit")
		v, err := limit.Judge(float64(most))
		if err != nil {
			e.failed(here, id, dial.Name+", largest movement since the start", align.In(err, path+".limit"))
			continue
		}
		e.length(here, id, dial.Name+", largest movement since the start", unit.Length(most), way, judged(v, stops))
	}
	if !slices.ContainsFunc(l.Dials, func(d StrainDial) bool { return d.Touches == "shaft" }) {
		e.words(s, path+".no-shaft-dial", "movement of the shaft", "no dial touches the shaft: the limit cannot be applied", weighs(suspect))
	}
}

// strainCauses says which way the pipe pulls, step by step.
func (e *evaluator) strainCauses(s source, path string, l *StrainLog, res *piping.StrainResult) {
	s = s.by("a flange that is let go shows the opposite of its pull, one that is made up the pull itself", "piping.Cause")
	for k := range res.Causes {
		c := &res.Causes[k]
		words := "not determined by these dials"
		if c.Pull.Up.Known || c.Pull.Right.Known {
			words = c.Pull.Words(e.Units.Reading, e.Units.wordDecimals())
		}
		if !c.Separable() {
			var why []string
			for _, r := range c.Reasons {
				why = append(why, string(r))
			}
			words += " (cannot be laid to one thing: " + strings.Join(why, ", ") + ")"
		}
		e.words(s.from(fmt.Sprintf("%s.steps[%d]", path, k)), fmt.Sprintf("%s.steps[%d].pull", path, k),
			"which way the pipe pulls, by "+stepName(k, l.Steps[k]), words)
	}
}

func (e *evaluator) strainClosure(s source, id string, l *StrainLog, c piping.Closure) {
	what := "everything undone"
	if c.By >= 0 {
		what = stepName(c.By, l.Steps[c.By]) + " against " + stepName(c.Undone, l.Steps[c.Undone])
	}
	w, verdict := sound, Within
	if !c.Within {
		w, verdict = suspect, Over
	}
	s = s.by("sum of the movements that should undo each other; limit of twice its standard uncertainty", "piping.Closure")
	e.length(s, id, "does it come back: "+what+", dial "+l.Dials[c.Indicator].Name, unit.Length(c.Worst), weighs(w), signed("reads more", "reads less"), func(f *Finding) {
		f.Verdict = verdict
		f.Limit = limitOf(align.Limit{Name: "closure of a strain test", Value: e.Units.Reading.FromSI(round(float64(c.Limit))), Unit: e.Units.Reading,
			Source: "own choice: twice the standard uncertainty of the sum", Known: align.CommonPractice})
	})
}

// obliqueDial says what one dial between the vertical and the horizontal proves.
func (e *evaluator) obliqueDial(path string, o *ObliqueDial) {
	s := source{part: PartPipe, of: o.Machine + ", dial at an angle, " + o.What, topic: topicStrain, about: o.Machine}.
		by("a dial sees the part of a movement along its own line", "piping.Oblique").from(path)
	d := piping.Oblique{At: align.Clock(o.At), Reading: align.Movement(e.Units.reading(o.Reading))}
	least, err := d.Least()
	if err != nil {
		e.failed(s, path, "dial at an angle", align.In(err, path))
		return
	}
	e.length(s, path+".least", "the shaft moved by this at least", unit.Length(least))
	limit := unit.Length(e.Units.reading(o.Limit))
	out, err := d.Judge(limit)
	if err != nil {
		e.failed(s, path+".verdict", "limit of the movement", align.In(err, path))
		return
	}
	w := unseen
	if out == piping.Over {
		w = stops
	}
	e.words(s, path+".verdict", "limit of "+e.thickness(limit)+" each way ("+o.Source+")", obliqueWords(out), weighs(w))
	if o.Up != nil && o.Right != nil {
		off, err := d.Redundancy(align.Movement(e.Units.reading(*o.Up)), align.Movement(e.Units.reading(*o.Right)))
		if err != nil {
			e.failed(s, path+".redundancy", "dial at an angle against the other two", align.In(err, path))
			return
		}
		e.length(s, path+".redundancy", "dial at an angle less what the other two make of it", unit.Length(off), signed("reads more", "reads less"))
	}
}

func obliqueWords(o piping.Outcome) string {
	if o == piping.Over {
		return "broken for certain"
	}
	return "cannot be told by one dial: it never shows that the limit is kept"
}
