package corpus

import "maps"

// alignComputations are the computations of package align.
func alignComputations() map[string]Computation {
	out := map[string]Computation{}
	for _, group := range []map[string]Computation{
		alignMethods(), alignSweeps(), alignGaps(), alignLines(), alignMoves(), alignPredictions(), alignSag(), alignUnits(),
	} {
		maps.Copy(out, group)
	}
	return out
}
