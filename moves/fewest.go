package moves

import (
	"context"
	"math"

	"collinear.example/internal/lp"
)

// moved is the least size of a move, in steps, that counts: a micrometre.
const moved = 0.01

// fewest finds the least number of feet that must move for every limit to be
// kept, by branching on the feet: one that does not move at all, or one that
// may. It leaves the program with the others held. It is -1 when no motion keeps
// the limits. Proved is false when the budget of nodes ran out first.
func (p *program) fewest(ctx context.Context, nodes int) (n int, proved bool, err error) {
	s := &footSearch{program: p, nodes: nodes, best: len(p.sizes)/2 + 1, state: make([]footState, len(p.sizes)/2)}
	p.aim(LeastTotalMove)
	if err := s.visit(ctx, 0); err != nil {
		return 0, false, err
	}
	if s.held == nil {
		return -1, true, nil
	}
	for f, held := range s.held {
		if held {
			p.hold(f, moved) // no more than counts
		}
	}
	return s.best, s.nodes > 0, nil
}

type footState uint8

const (
	undecided footState = iota
	still
	moving
)

type footSearch struct {
	*program
	nodes int
	best  int
	held  []bool
	state []footState
}

// hold bounds both moves of a foot.
func (p *program) hold(foot int, most float64) {
	p.p.Upper[p.sizes[2*foot]], p.p.Upper[p.sizes[2*foot+1]] = most, most
}

// visit solves with the feet decided so far. Of the feet that are undecided the
// one that moves least is tried as one that stays, first.
func (s *footSearch) visit(ctx context.Context, decided int) error {
	if decided >= s.best || s.nodes <= 0 {
		return nil
	}
	s.nodes--
	sol, err := s.solve(ctx)
	if err != nil || sol.Status == lp.Infeasible {
		return err
	}
	move := func(f int) float64 { return max(sol.X[s.sizes[2*f]], sol.X[s.sizes[2*f+1]]) }
	count, least := 0, -1
	for f := range s.state {
		if move(f) <= moved {
			continue
		}
		count++
		if s.state[f] == undecided && (least < 0 || move(f) < move(least)) {
			least = f
		}
	}
	if count < s.best {
		s.best, s.held = count, make([]bool, len(s.state))
		for f := range s.state {
			s.held[f] = move(f) <= moved
		}
	}
	if least < 0 {
		return nil
	}
	s.state[least] = still
	s.hold(least, 0)
	if err := s.visit(ctx, decided); err != nil {
		return err
	}
	s.hold(least, math.Inf(1))
	s.state[least] = moving
	err = s.visit(ctx, decided+1)
	s.state[least] = undecided
	return err
}
