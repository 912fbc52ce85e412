package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"collinear.example/internal/rigid"
)

// Ways says which of the six ways a casing may move, in the frame of the train
// and about the point of a Compromise.
type Ways struct {
	ShiftX, ShiftY, ShiftZ bool
	TurnX, TurnY, TurnZ    bool
}

// AllWays returns the ways of a casing that is free to move.
func AllWays() Ways { return Ways{true, true, true, true, true, true} }

func (w Ways) list() [rigid.Unknowns]bool {
	return [rigid.Unknowns]bool{w.ShiftX, w.ShiftY, w.ShiftZ, w.TurnX, w.TurnY, w.TurnZ}
}

// Compromise asks for the one motion of a casing that suits several nozzles best.
// It knows nothing of feet, bolts or the coupling: it says where the casing would
// have to go, not that it may.
type Compromise struct {
	Goals []NozzleGoal // one or more
	Free  Ways
	About align.Place // the point about which a turn counts; matters when not every way is free
}

// NozzleLeft is what a compromise leaves at one nozzle.
type NozzleLeft struct {
	Name   string
	Left   [GoalParts]float64 // what is asked less what is done, metres or radians; 0 for a part not asked
	Share  [GoalParts]float64 // its size as a share of the tolerance: 1 is at it
	Within bool               // every asked part is within its tolerance
	Misfit Misfit             // as the joint will stand; judge it by a rule
}

// CompromiseFit is the best motion and what it leaves.
type CompromiseFit struct {
	Motion  align.Motion // about Compromise.About
	Nozzles []NozzleLeft // in the order of the goals
	Within  bool         // every nozzle is
	Rank    int          // how many independent ways the goals decide
	// Undetermined names the free ways that the goals do not decide, such as
	// "turn about x"; the motion is the smallest of those that are equally good.
	Undetermined []string
	SumSquares   float64 // what was made least: weights times shares, squared
}

// maxGoals bounds a compromise (own choice).
const maxGoals = 64

// Solve finds the motion of least squares
//
//	sum over nozzles and parts of weight * (left / tolerance)^2
//
// (linear least squares of a small rigid motion: each shift is n.t + w.(s x n),
// each turn w.n, as in package internal/rigid). One nozzle alone, with all six
// parts asked and all ways free, is closed exactly; two on one casing seldom are.
//
// Errors: align.ErrMissing without a goal or a tolerance; align.ErrOutOfRange
// for more than 64 goals, and for a turn over 0.1 rad in the answer;
// align.ErrUndetermined when no way is free or nothing is asked;
// align.ErrNotFinite, align.ErrNegative.
func (c Compromise) Solve() (CompromiseFit, error) {
	if err := c.check(); err != nil {
		return CompromiseFit{}, err
	}
	var rows []rigid.Vector
	var want []float64
	for i := range c.Goals {
		rows, want = c.equations(&c.Goals[i], rows, want)
	}
	free := c.Free.list()
	fit := rigid.New(rows, free, c.lever())
	if fit.Rank() == 0 {
		return CompromiseFit{}, flangeSays("free", "", align.ErrUndetermined, "no free way of the casing changes what is asked")
	}
	x := fit.Solve(want)
	out := CompromiseFit{Motion: x.Motion(c.About), Rank: fit.Rank(), Within: true}
	if err := checkFlangeMotion(out.Motion); err != nil {
		return CompromiseFit{}, err
	}
	for i, row := range rows {
		rest := want[i] - row.Dot(x)
		out.SumSquares += float64(rest * rest)
	}
	for j, name := range [...]string{"shift along x", "shift up", "shift to the right", "turn about x", "turn about y", "turn about z"} {
		g := rigid.Vector{}
		g[j] = 1
		if free[j] && !fit.Determined(g, free) {
			out.Undetermined = append(out.Undetermined, name)
		}
	}
	for i := range c.Goals {
		left, err := c.Goals[i].left(out.Motion)
		if err != nil {
			return CompromiseFit{}, align.In(err, numbered("goals", i))
		}
		out.Nozzles, out.Within = append(out.Nozzles, left), out.Within && left.Within
	}
	return out, nil
}

func (c *Compromise) check() error {
	switch n := len(c.Goals); {
	case n == 0:
		return flangeFault("goals", "", align.ErrMissing)
	case n > maxGoals:
		return flangeFault("goals", countOf(n, "nozzles"), align.ErrOutOfRange)
	}
	if err := checkFlangePlace("about", c.About); err != nil {
		return err
	}
	for i := range c.Goals {
		if err := c.Goals[i].check(); err != nil {
			return align.In(err, numbered("goals", i))
		}
	}
	return nil
}

// lever is the largest distance of a nozzle from the point, and no less than a
// decimetre.
func (c *Compromise) lever() float64 {
	most := 0.1
	for _, g := range c.Goals {
		most = max(most, float64(g.At.From(c.About).Size()))
	}
	return most
}

// equations appends one row for each asked part of a goal, divided by its
// tolerance.
func (c *Compromise) equations(g *NozzleGoal, rows []rigid.Vector, want []float64) ([]rigid.Vector, []float64) {
	weight := g.Weight
	if weight == 0 {
		weight = 1
	}
	for _, p := range g.Parts {
		if !p.Asked {
			continue
		}
		row := rigid.Vector{0, 0, 0, p.Direction.X, p.Direction.Y, p.Direction.Z}
		if !p.Turn {
			row = rigid.Reading(g.At, c.About, p.Direction)
		}
		k := math.Sqrt(weight) / p.Tolerance
		for j := range row {
			row[j] *= k
		}
		rows, want = append(rows, row), append(want, k*p.Value)
	}
	return rows, want
}

// left says what a motion leaves of a goal.
func (g *NozzleGoal) left(m align.Motion) (NozzleLeft, error) {
	l := NozzleLeft{Name: g.Misfit.Pair.Name, Within: true}
	for i, p := range g.Parts {
		if !p.Asked {
			continue
		}
		l.Left[i] = p.Off(m, g.At)
		l.Share[i] = math.Abs(l.Left[i]) / p.Tolerance
		l.Within = l.Within && l.Share[i] <= 1+1e-12
	}
	var err error
	l.Misfit, err = g.Misfit.After(m)
	return l, err
}

// String says where the worst part stands.
func (l NozzleLeft) String() string {
	worst := 0
	for i, s := range l.Share {
		if s > l.Share[worst] {
			worst = i
		}
	}
	return l.Name + ": " + PartName(worst) + " is left at " + strconv.FormatFloat(l.Share[worst], 'f', 2, 64) + " of its tolerance"
}
