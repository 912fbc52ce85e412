package lp

// Status says what was proved.
type Status uint8

// The four outcomes.
const (
	Stopped    Status = iota // nothing was proved
	Optimal                  // X is feasible and no feasible point has a smaller C·x
	Infeasible               // no point meets all limits
	Unbounded                // C·x falls without end along Ray
)

// String returns the status in words.
func (s Status) String() string {
	switch s {
	case Optimal:
		return "optimal"
	case Infeasible:
		return "infeasible"
	case Unbounded:
		return "unbounded"
	}
	return "stopped"
}

// Solution is what Solve proved.
//
// Optimal: X, Objective = C·X, and the multipliers. RowDual[i] is the derivative
// of the optimum with respect to the limit of row i that binds: at least zero
// when Lo binds, at most zero when Hi binds, zero when neither does, either sign
// for an equation. VarDual[j] is the same for the bounds of variable j, and
//
//	C = sum RowDual[i]*Rows[i] + VarDual
//
// Infeasible: the multipliers are those of Farkas' lemma, with the same signs:
//
//	0 = sum RowDual[i]*Rows[i] + VarDual
//	0 < sum RowDual[i]*b[i] + sum VarDual[j]*v[j]
//
// where b[i] is Lo[i] for a positive multiplier and Hi[i] for a negative one, and
// v[j] likewise: for any x within the limits the first line times x would be at
// least the second, which is more than zero. X is nil.
//
// Unbounded: X is feasible, X + t*Ray is feasible for every t >= 0, C·Ray < 0,
// and Objective = C·X, which means nothing more.
//
// Stopped: Reason says why, and nothing else is set but Pivots.
type Solution struct {
	Status    Status
	X         []float64
	Objective float64
	RowDual   []float64
	VarDual   []float64
	Ray       []float64
	Pivots    int
	Reason    string
}
