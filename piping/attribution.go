package piping

import (
	"math"
	"strings"

	"collinear.example/align"
)

// Reason says why the movement of a step cannot be laid to one thing.
type Reason string

// The reasons.
const (
	// SeveralThings is a step that worked on more than one flange, foot or
	// support before the indicators were read: only their sum is known.
	SeveralThings Reason = "several-things"
	// FeetBetween is a step on something on which an earlier step had worked
	// already, with a step on the feet since: what was made with the machine
	// standing one way was let go with it standing another way.
	FeetBetween Reason = "feet-between"
	// SoftFootOpen is a step on the feet of a machine whose soft feet were not
	// cleared with the pipe free: a foot that springs and a pipe that pulls look
	// alike.
	SoftFootOpen Reason = "soft-foot-not-cleared"
	// NotDetermined is a step of which the movement up or to the right at the
	// coupling does not follow from the readings.
	NotDetermined Reason = "not-determined"
)

// Cause is what a step did to the shaft at the coupling, and what that says of
// the pipe. It is the effect of the thing with everything else as it stood then:
// the same flange let go first or last may move the machine differently.
type Cause struct {
	Step     int
	Group    Group
	Station  int           // coupling station that moved most, counted from 0
	Movement PointMovement // there
	Size     Component     // up and right combined, there
	// Pull is the movement into which the thing forces the machine while it is
	// made: which way the pipe pulls. A flange that is made up moves the machine
	// the way it pulls; one that is let go shows the opposite, because the
	// machine springs back. Freed feet let the machine go the way the pipe pulls.
	// Not known for feet-between and soft-foot-not-cleared.
	Pull PointMovement
	// Reasons are why the movement cannot be laid to one thing; none when it can.
	Reasons []Reason
	frees   bool // loosens or removes feet
}

// Separable reports whether the movement can be laid to one thing.
func (c *Cause) Separable() bool { return len(c.Reasons) == 0 }

// Has reports whether a reason is among those of the cause.
func (c *Cause) Has(r Reason) bool {
	for _, have := range c.Reasons {
		if have == r {
			return true
		}
	}
	return false
}

// causes describes every step.
func (t *StrainTest) causes(steps []StepResult) []Cause {
	out := make([]Cause, len(steps))
	for k := range steps {
		c := &out[k]
		c.Step, c.Group = k, t.Steps[k].Group
		c.frees = c.Group == Feet && t.Steps[k].Action.releases()
		c.most(&steps[k].Step)
		c.Reasons = t.reasons(k, c.Size.Known)
		if !c.Has(FeetBetween) && !c.Has(SoftFootOpen) {
			c.Pull = pull(&t.Steps[k], c.Movement)
		}
	}
	return out
}

// most takes the station that moved most; one that is not known in both planes
// comes after every one that is.
func (c *Cause) most(m *Movements) {
	for i := range m.s.stations {
		k := atCoupling + 3*i
		at := PointMovement{Up: m.first(k + 1), Right: m.first(k + 2)}
		size := across(&at)
		if size.Known && (!c.Size.Known || size.Value > c.Size.Value) {
			c.Station, c.Size = i, size
		}
	}
	c.Movement = m.coupling(c.Station)
}

// across returns the size of a movement across the shaft. The uncertainty is
// the larger of both planes.
func across(p *PointMovement) Component {
	if !p.Up.Known || !p.Right.Known {
		return Component{}
	}
	size := math.Hypot(float64(p.Up.Value), float64(p.Right.Value))
	return Component{align.Movement(size), max(p.Up.Sigma, p.Right.Sigma), true}
}

func (t *StrainTest) reasons(k int, known bool) (out []Reason) {
	s := &t.Steps[k]
	if len(s.Of) > 1 {
		out = append(out, SeveralThings)
	}
	if s.Group != Feet && t.feetSince(k) {
		out = append(out, FeetBetween)
	}
	if s.Group == Feet && !t.SoftFootCleared {
		out = append(out, SoftFootOpen)
	}
	if !known {
		out = append(out, NotDetermined)
	}
	return out
}

// feetSince reports whether the feet were touched between step k and the last
// one before it that worked on any of the same things.
func (t *StrainTest) feetSince(k int) bool {
	feet := false
	for j := k - 1; j >= 0; j-- {
		e := &t.Steps[j]
		if e.Group == Feet {
			feet = true
			continue
		}
		if e.Group == t.Steps[k].Group && overlap(e.Of, t.Steps[k].Of) {
			return feet
		}
	}
	return false // made before the test began
}

func overlap(a, b []string) bool {
	for _, name := range a {
		if contains(b, name) {
			return true
		}
	}
	return false
}

// pull turns the movement of a step into that which the pipe forces on the
// machine.
func pull(s *Step, m PointMovement) PointMovement {
	if s.Action.releases() == (s.Group == Feet) {
		return m
	}
	m.Along.Value, m.Up.Value, m.Right.Value = 0-m.Along.Value, 0-m.Up.Value, 0-m.Right.Value // 0- so that nothing stays +0
	return m
}

// Most returns the step of a group that moved the shaft at the coupling most,
// across the train. It is false when no step of the group is known in both
// planes. All is false when some step of the group is not known, so that it may
// have moved it more.
func (r *StrainResult) Most(g Group) (c Cause, all, ok bool) {
	all = true
	for i := range r.Causes {
		one := &r.Causes[i]
		switch {
		case one.Group != g:
		case !one.Size.Known:
			all = false
		case !ok || one.Size.Value > c.Size.Value:
			c, ok = *one, true
		}
	}
	return c, all && ok, ok
}

// Words says a movement in words, in u with the given decimals: "0.080 mm up,
// 0.030 mm toward 9 o'clock". A part that is not known is said not to be, except
// along the train, where it is left out.
func (p PointMovement) Words(u align.Unit, decimals int) string {
	parts := []string{
		p.Up.words(u, decimals, "up", "down"),
		p.Right.words(u, decimals, "toward 3 o'clock", "toward 9 o'clock"),
	}
	if p.Along.Known {
		parts = append(parts, p.Along.words(u, decimals, "toward the last machine", "toward the first machine"))
	}
	return strings.Join(parts, ", ")
}

func (c Component) words(u align.Unit, decimals int, plus, minus string) string {
	if !c.Known {
		return plus + " not determined"
	}
	word := plus
	if c.Value < 0 {
		word = minus
	}
	return u.Format(math.Abs(float64(c.Value)), decimals) + " " + word
}
