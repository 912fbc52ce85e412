package worksheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"collinear.example/align"
	"collinear.example/piping"
)

func strainKind() kind {
	return kind{
		name:  "strain-test",
		title: "Dials on a shaft while flanges are let go",
		asks: "Dials stand on the base and touch the shaft at the coupling; nothing turns, and all dials were at zero before the first step. Find what every step did, " +
			"which one moved the shaft most and which way the pipe pulls there, and hold the largest movement since the start against the limit.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return strainRecord(newInventor(r), d) },
		build:    strainSheet,
		mistakes: strainMistakes(),
	}
}

// strainRecord invents a test: two flanges let go, for Severe made up again.
func strainRecord(v inventor, d Difficulty) *Record {
	r := v.record("Strain test, flanges let go")
	machine := r.Train.Machines[1].Name
	limit := piping.MovementLimits()[0] // 0.05 mm
	if v.inch {
		limit = piping.MovementLimits()[1] // 0.003 in
	}
	log := StrainLog{Machine: machine, Limit: math.Round(r.Units.Reading.FromSI(limit.SI())*100) / 100, Source: limit.Source}
	station := v.length(50, 300)
	log.Dials = []StrainDial{{Name: "vertical", Station: station, Toward: "up", Touches: "shaft"}, {Name: "horizontal", Station: station, Toward: "right", Touches: "shaft"}}
	steps := []string{"suction flange", "discharge flange"}
	actions := []string{"loosen", "loosen", "tighten"}
	if d == Severe {
		steps = append(steps, "suction flange")
	}
	if v.IntN(2) == 0 {
		slices.Reverse(steps)
	}
	now := []float64{0, 0}
	for k, what := range steps {
		for i := range now {
			now[i] = tidy(now[i] + v.signed(15, 70))
		}
		log.Steps = append(log.Steps, StrainStep{Action: actions[k], What: what, Readings: slices.Clone(now)})
	}
	if d == Plain {
		log.Dials = log.Dials[:1]
		for k := range log.Steps {
			log.Steps[k].Readings = log.Steps[k].Readings[:1]
		}
	}
	r.Strain = []StrainLog{log}
	return r
}

// strainDials returns the places of the dials on the shaft that look up and to the
// right, -1 for one that is not there.
func strainDials(log *StrainLog) (up, right int) {
	find := func(toward string) int {
		return slices.IndexFunc(log.Dials, func(d StrainDial) bool { return d.Toward == toward && d.Touches == "shaft" })
	}
	return find("up"), find("right")
}

// pulls is 1 for a step that moves the machine the way the pipe pulls, -1 for one
// that lets it spring back: a flange that is let go (package piping, Cause.Pull).
func pulls(s StrainStep) float64 {
	if s.Action == "loosen" {
		return -1
	}
	return 1
}

func isFlange(s StrainStep) bool { return strings.Contains(s.What, "flange") }

func strainSheet(r *Record) (*Sheet, error) {
	if len(r.Strain) == 0 {
		return nil, fault("strain", "", align.ErrMissing)
	}
	log := &r.Strain[0]
	up, right := strainDials(log)
	if up < 0 {
		return nil, fault("strain[0].dials", "no dial on the shaft that looks up", align.ErrMissing)
	}
	flanges := []int{}
	for k, s := range log.Steps {
		if max(up, right) >= len(s.Readings) {
			return nil, fault(at("strain[0].steps", k)+".readings", "", align.ErrMismatch)
		}
		if isFlange(s) {
			flanges = append(flanges, k+1)
		}
	}
	if len(flanges) == 0 {
		return nil, fault("strain[0].steps", "no step on a flange", align.ErrMissing)
	}
	planes := []strainPlane{{"vertical", up, HighLow}}
	if right >= 0 {
		planes = append(planes, strainPlane{"horizontal", right, RightLeft})
	}
	m := &sheetMaker{Sheet{Kind: "strain-test"}}
	for k, s := range log.Steps {
		for _, p := range planes {
			m.given(fmt.Sprintf("read.%d.%s", k+1, p.name), fmt.Sprintf("after step %d (%s %s), %s dial", k+1, s.Action, s.What, p.words()),
				r.Units.reading(s.Readings[p.dial]), r.Units.Reading, r.Units.readingDecimals())
		}
	}
	m.given("limit", "most movement allowed since the start, in each direction by itself ("+log.Source+")", r.Units.reading(log.Limit), r.Units.Reading, r.Units.readingDecimals())
	for _, p := range planes {
		p.steps(m, r.Units, len(log.Steps))
	}
	strainMost(m, r.Units, log, flanges, planes)
	for _, p := range planes {
		p.largest(m, r.Units, len(log.Steps))
	}
	m.ask(Step{ID: "verdict", Says: "the largest movements since the start against the limit", Formula: "each direction by itself", Choices: withinOrOver},
		func(v Values) float64 {
			return max(overLimit(v["largest.vertical"], v["limit"]), overLimit(v["largest.horizontal"], v["limit"]))
		})
	return &m.Sheet, nil
}

// strainPlane is one of the two dials.
type strainPlane struct {
	name  string
	dial  int
	sense Sense
}

func (p strainPlane) words() string {
	if p.name == "vertical" {
		return "vertical (plus: the shaft came up)"
	}
	return "horizontal (plus: the shaft came to the right)"
}

// steps asks what every step did: the reading after it less the one before it.
// Static movements are read directly.
func (p strainPlane) steps(m *sheetMaker, u Units, n int) {
	for k := 1; k <= n; k++ {
		now, before := fmt.Sprintf("read.%d.%s", k, p.name), fmt.Sprintf("read.%d.%s", k-1, p.name)
		m.ask(Step{ID: fmt.Sprintf("step.%d.%s", k, p.name), Says: fmt.Sprintf("how the shaft moved in step %d, %s", k, p.name),
			Formula: "reading after the step less reading before it", Unit: u.Reading, Decimals: u.readingDecimals(), Sense: p.sense},
			func(v Values) float64 { return v[now] - v[before] })
	}
}

// stepSize is the size of the movement of a step across the shaft.
func stepSize(v Values, k int) float64 {
	return math.Hypot(v[fmt.Sprintf("step.%d.vertical", k)], v[fmt.Sprintf("step.%d.horizontal", k)])
}

// strainMost asks the flange that moved the shaft most, how far, and which way its
// pipe pulls.
func strainMost(m *sheetMaker, u Units, log *StrainLog, flanges []int, planes []strainPlane) {
	names := make([]string, len(log.Steps))
	for k := range names {
		names[k] = fmt.Sprintf("step %d", k+1)
	}
	m.ask(Step{ID: "most.step", Says: "the step on a flange that moved the shaft most", Formula: "largest root of the sum of the squares of both directions", Choices: names},
		func(v Values) float64 {
			best := flanges[0]
			for _, k := range flanges {
				if float64(stepSize(v, k)*(1-1e-9)) > stepSize(v, best) {
					best = k
				}
			}
			return float64(best - 1)
		})
	most := func(v Values) int { return min(max(int(v["most.step"]), 0), len(names)-1) + 1 }
	m.ask(Step{ID: "most.size", Says: "how far it moved the shaft, both directions together", Formula: "root of the sum of the squares of both directions",
		Unit: u.Reading, Decimals: u.readingDecimals()}, func(v Values) float64 { return stepSize(v, most(v)) })
	for _, p := range planes {
		ways := []string{"up", "down", "neither"}
		if p.name == "horizontal" {
			ways = []string{"right", "left", "neither"}
		}
		m.ask(Step{ID: "pull." + p.name, Says: "which way the pipe pulls the shaft there, " + p.name,
			Formula: "a flange let go: the other way from the movement, because the machine springs back; a flange made up: the way of the movement", Choices: ways},
			func(v Values) float64 {
				k := most(v)
				switch x := pulls(log.Steps[k-1]) * v[fmt.Sprintf("step.%d.%s", k, p.name)]; {
				case math.Abs(x) < 1e-9:
					return 2
				case x < 0:
					return 1
				}
				return 0
			})
	}
}

// largest asks the largest movement since the start.
func (p strainPlane) largest(m *sheetMaker, u Units, n int) {
	m.ask(Step{ID: "largest." + p.name, Says: "largest movement since the start, " + p.name, Formula: "the largest reading: the dials were not set to zero again",
		Unit: u.Reading, Decimals: u.readingDecimals(), Sense: p.sense}, func(v Values) float64 {
		return largestOf(n, func(k int) float64 { return v[fmt.Sprintf("read.%d.%s", k, p.name)] })
	})
}

// largestOf returns the figure of the largest size, the first of equals.
func largestOf(n int, f func(k int) float64) float64 {
	most := 0.0
	for k := 1; k <= n; k++ {
		if x := f(k); float64(math.Abs(x)*(1-1e-9)) > math.Abs(most) {
			most = x
		}
	}
	return most
}
