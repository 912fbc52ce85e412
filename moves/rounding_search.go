package moves

import (
	"context"
	"math"

	"collinear.example/align"
)

// roundWork bounds how many couplings the search of roundings looks at.
const roundWork = 1 << 21

// roundSearch looks for the roundings of all machines together.
type roundSearch struct {
	ctx      context.Context
	t        *Train
	states   []State
	machines []choices
	picked   []int // the choice of each machine that is being looked at
	best     []int
	score    roundScore
	work     int
	spent    bool
}

// roundScore orders roundings; shares count to one part in 10^9 of a limit, so
// that every processor finds the same.
type roundScore struct {
	worst float64
	off   float64
}

func (a roundScore) less(b roundScore) bool {
	if a.worst != b.worst {
		return a.worst < b.worst
	}
	return a.off < b.off
}

func grain(share float64) float64 { return math.Round(share * 1e9) }

// share returns the worst share at coupling i for two motions. It is the same as
// that of Coupling.result, without the list of states.
func (s *roundSearch) share(i int, near, far *align.Motion) float64 {
	c := &s.t.Couplings[i]
	cold := c.Found.Add(far.Axis(c.Far.onShaft(0)).Sub(near.Axis(c.Near.onShaft(0))))
	worst := 0.0
	for k := range s.states {
		w := c.worst(cold.Add(s.states[k].Relative[i]), s.states[k].widen())
		worst = max(worst, w.Share)
	}
	if c.Gap != nil {
		at := c.middle()
		gap := c.Gap.Error + far.At(c.Far.onShaft(at)).X - near.At(c.Near.onShaft(at)).X
		worst = max(worst, shareOf(math.Abs(float64(gap)), float64(c.Gap.Tolerance)))
	}
	s.work++
	return worst
}

// joined returns the worst share of the couplings whose later machine is m, when
// all machines up to m are picked.
func (s *roundSearch) joined(m int) float64 {
	worst := 0.0
	for i := range s.t.Couplings {
		c := &s.t.Couplings[i]
		if max(c.Near.Machine, c.Far.Machine) == m {
			worst = max(worst, s.share(i, s.motion(c.Near.Machine), s.motion(c.Far.Machine)))
		}
	}
	return worst
}

func (s *roundSearch) motion(m int) *align.Motion { return &s.machines[m].all[s.picked[m]].motion }

func (s *roundSearch) off(m int) float64 {
	const square = 1e18 // square nanometres
	return math.Round(s.machines[m].all[s.picked[m]].off * square)
}

// total scores what is picked for all machines.
func (s *roundSearch) total() (t roundScore) {
	for m := range s.machines {
		t.worst = max(t.worst, grain(s.joined(m)))
		t.off += s.off(m)
	}
	return t
}

func (s *roundSearch) run() error {
	s.picked = make([]int, len(s.machines))
	s.best = make([]int, len(s.machines))
	s.score = s.total()
	if err := s.descend(); err != nil {
		return err
	}
	s.work = 0
	return s.branch(0, roundScore{})
}

// descend changes one machine at a time as long as that helps, so that the branch
// and bound starts from something good.
func (s *roundSearch) descend() error {
	const rounds = 20
	for range rounds {
		better := false
		for m := range s.machines {
			for k := range s.machines[m].all {
				if err := s.stopped(); err != nil {
					return err
				}
				s.picked[m] = k
				if t := s.total(); t.less(s.score) {
					s.score, better = t, true
					copy(s.best, s.picked)
				}
			}
			copy(s.picked, s.best)
		}
		if !better {
			return nil
		}
	}
	return nil
}

func (s *roundSearch) stopped() error {
	if s.ctx.Err() != nil {
		return fault("rounding", "", ErrStopped)
	}
	return nil
}

// branch picks machine m in all ways that may still beat the best.
func (s *roundSearch) branch(m int, sofar roundScore) error {
	if m == len(s.machines) {
		if sofar.less(s.score) {
			s.score = sofar
			copy(s.best, s.picked)
		}
		return nil
	}
	if err := s.stopped(); err != nil {
		return err
	}
	for k := range s.machines[m].all {
		if s.work > roundWork {
			s.spent = true
			return nil
		}
		s.picked[m] = k
		t := roundScore{max(sofar.worst, grain(s.joined(m))), sofar.off + s.off(m)}
		if !t.less(s.score) {
			continue
		}
		if err := s.branch(m+1, t); err != nil {
			return err
		}
	}
	return nil
}

// finish works the best roundings out.
func (s *roundSearch) finish(out Rounded, before Evaluation) (Rounded, error) {
	out.Proved = !s.spent
	nearest := make([]align.Motion, len(s.machines))
	for i := range s.machines {
		c := &s.machines[i]
		pick := &c.all[s.best[i]]
		out.Motions = append(out.Motions, pick.motion)
		out.Twist = append(out.Twist, pick.twist)
		out.Proved = out.Proved && !c.partial
		nearest[i] = c.nearest.motion
		out.Feet = append(out.Feet, c.rounded(s.t.Machines[i].Feet, pick))
	}
	if !out.Proved {
		out.Warnings = append(out.Warnings, afterWarning(WarnNotProved, align.Notice, "rounding", float64(s.work), roundWork, align.UnitOne))
	}
	var err error
	if out.Evaluation, err = s.t.Evaluate(out.Motions); err != nil {
		return Rounded{}, err
	}
	byFoot, err := s.t.Evaluate(nearest)
	if err != nil {
		return Rounded{}, err
	}
	out.Nearest = byFoot.WorstCoupling
	if lost := out.Evaluation.WorstHard; lost > 1+1e-9 && before.WorstHard <= 1+1e-9 {
		out.Warnings = append(out.Warnings, afterWarning(WarnFlangeLost, align.Serious, "goals", lost, 1, align.UnitOne))
	}
	return out, nil
}

func (c *choices) rounded(feet []Foot, pick *choice) []RoundedFoot {
	out := make([]RoundedFoot, len(c.feet))
	for i := range c.feet {
		shim := c.shim(pick.up, i)
		out[i] = RoundedFoot{Foot: feet[i].Name, Wanted: c.feet[i].wanted, Shim: shim, Left: shim - pick.motion.At(feet[i].At).Y}
	}
	return out
}
