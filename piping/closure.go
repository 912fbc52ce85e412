package piping

import (
	"math"

	"collinear.example/align"
)

// Closure is how nearly the indicators came back after something was undone.
type Closure struct {
	// Undone is the step that was undone and By the one that undid it. For the
	// whole test, when every step was undone, both are -1.
	Undone, By int
	Sum        []Reading // of each indicator, in the order of the indicators
	// Worst is the Sum that is largest against its limit, and Limit that limit:
	// twice the standard uncertainty of a movement, times the root of the number
	// of movements summed.
	Worst, Limit align.Movement
	Indicator    int  // the one of Worst
	Complete     bool // every indicator has its Sum
	Within       bool // every Sum is known and within its limit
}

// closures compares steps with those that undo them.
func (t *StrainTest) closures(s *solver, steps []StepResult) []Closure {
	var out []Closure
	undone := 0
	for k := range t.Steps {
		if t.Steps[k].Undoes == "" {
			continue
		}
		undone += 2
		j := t.stepNamed(t.Steps[k].Undoes, k)
		c := Closure{Undone: j, By: k, Sum: make([]Reading, len(t.Indicators))}
		for i := range c.Sum {
			a, b := steps[j].Step.Indicators[i], steps[k].Step.Indicators[i]
			c.Sum[i] = only(Reading{a.Value + b.Value, a.Given && b.Given})
		}
		c.judge(s, 2)
		out = append(out, c)
	}
	if undone == len(t.Steps) && undone > 2 {
		last := steps[len(steps)-1].Running.Indicators
		c := Closure{Undone: -1, By: -1, Sum: append([]Reading(nil), last...)}
		c.judge(s, len(steps))
		out = append(out, c)
	}
	return out
}

// judge holds the sums against their limits, 2 u sqrt(n).
func (c *Closure) judge(s *solver, movements int) {
	c.Complete, c.Within = true, true
	worst := -1.0
	for i, sum := range c.Sum {
		if !sum.Given {
			c.Complete, c.Within = false, false
			continue
		}
		limit := 2 * s.u[i] * math.Sqrt(float64(movements))
		if math.Abs(float64(sum.Value)) > limit {
			c.Within = false
		}
		if share := math.Abs(float64(sum.Value)) / limit; share > worst {
			worst, c.Worst, c.Limit, c.Indicator = share, sum.Value, align.Movement(limit), i
		}
	}
}

// field names the step or the test whose closure it is.
func (c *Closure) field(t *StrainTest) string {
	if c.By < 0 {
		return "test"
	}
	return index("steps", c.By) + "." + t.Indicators[c.Indicator].Name
}
