package corpus

import (
	"encoding/json"
	"sort"

	"collinear.example/align"
)

// ErrUnknownComputation says that no computation has that name.
const ErrUnknownComputation align.Fault = "unknown-computation"

// groups returns the computations package by package.
func groups() []map[string]Computation {
	return []map[string]Computation{
		alignComputations(), runoutStationComputations(), runoutPlumbComputations(), runoutBowComputations(),
		runoutLimitComputations(), runoutFitComputations(),
		softfootWedgeComputations(), softfootBaseComputations(), softfootSeatComputations(), softfootFeetComputations(),
		thermalGrowthComputations(), thermalMachineComputations(), thermalStateComputations(), thermalHotCheckComputations(),
		toleranceTableComputations(), toleranceGradeComputations(),
		pipingStrainComputations(), pipingLoadComputations(), pipingNozzleComputations(),
		pipingFlangeComputations(), pipingGoalComputations(),
		movesPlanComputations(), movesAfterComputations(),
		uncertaintyDistributionComputations(), uncertaintyTableComputations(), uncertaintyModelComputations(), uncertaintyRiskComputations(),
	}
}

// Computations returns every computation of the corpus by name. A result too
// large to be written is ErrOutOfRange.
func Computations() map[string]Computation {
	out := map[string]Computation{}
	for name, raw := range rawComputations() {
		out[name] = func(input json.RawMessage) (Result, error) {
			r, err := raw(input)
			if err != nil {
				return Result{}, err
			}
			if err := r.finite(); err != nil {
				return Result{}, err
			}
			return r, nil
		}
	}
	return out
}

// rawComputations are the computations without the check of their results.
func rawComputations() map[string]Computation {
	out := map[string]Computation{}
	for _, g := range groups() {
		for name, c := range g {
			out[name] = c
		}
	}
	return out
}

// Names returns the names of all computations, sorted.
func Names() []string {
	var out []string
	for name := range rawComputations() {
		out = append(out, name)
	}
	sort.Strings(out)
	return out
}

// computation makes a Computation from a function on a decoded input.
func computation[In any](f func(in In) (Result, error)) Computation {
	return func(input json.RawMessage) (Result, error) {
		var in In
		if err := Decode(input, &in); err != nil {
			return Result{}, err
		}
		return f(in)
	}
}
