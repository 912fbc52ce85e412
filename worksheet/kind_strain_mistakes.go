package worksheet

import (
	"fmt"
	"math"
)

// strainHalved is the habit of a sweep brought to a shaft that stands still.
func strainHalved(prefix string) Mistake {
	return Mistake{Code: "strain-halved", Says: "halved the readings: a dial on what stands still shows the movement itself, only a sweep is halved", Rank: 1,
		alter: func(s *Sheet) bool { return s.retakeAll(prefix, 0.5) }}
}

// strainSteps counts the steps of the test on a sheet.
func strainSteps(s *Sheet) (n int) {
	for s.has(fmt.Sprintf("read.%d.vertical", n+1)) {
		n++
	}
	return n
}

// eachLargest replaces the largest movements.
func eachLargest(s *Sheet, wrong func(v Values, n int, plane string) float64) bool {
	n := strainSteps(s)
	return n > 1 && eachOf(bothPlanes, func(p string) bool {
		return s.replace("largest."+p, func(v Values, _ float64) float64 { return wrong(v, n, p) })
	})
}

// readingsAsSteps takes the readings, which count from the start, for what each
// step did.
func readingsAsSteps(s *Sheet) bool {
	return s.replaceAll("step.", func(v Values, _ float64, rest string) float64 { return v["read."+rest] })
}

func strainMistakes() []Mistake {
	return []Mistake{
		strainHalved("read."),
		slip("dial-sign", func(s *Sheet) bool { return s.retakeAll("read.", -1) }),
		{Code: "strain-running-for-step", Says: "gave the readings for what each step did: they count from the start", Rank: 1, alter: readingsAsSteps},
		{Code: "strain-readings-summed", Says: "took every reading for a step of its own and added them up: they count from the start", Rank: 2, alter: func(s *Sheet) bool {
			return readingsAsSteps(s) && eachLargest(s, func(v Values, n int, p string) float64 {
				sum := 0.0
				return largestOf(n, func(k int) float64 {
					sum += v[fmt.Sprintf("read.%d.%s", k, p)]
					return sum
				})
			})
		}},
		{Code: "strain-step-for-running", Says: "held single steps against the limit: it counts from the start, so that steps add up", Rank: 2, alter: func(s *Sheet) bool {
			return eachLargest(s, func(v Values, n int, p string) float64 {
				return largestOf(n, func(k int) float64 { return v[fmt.Sprintf("step.%d.%s", k, p)] })
			})
		}},
		{Code: "strain-last-reading", Says: "held the last reading against the limit: an earlier one was larger", Rank: 2, alter: func(s *Sheet) bool {
			return eachLargest(s, func(v Values, n int, p string) float64 { return v[fmt.Sprintf("read.%d.%s", n, p)] })
		}},
		{Code: "strain-release-sign", Says: "took the way the shaft went for the way the pipe pulls: a flange let go lets the machine spring back", Rank: 1, alter: func(s *Sheet) bool {
			return s.replaceAll("pull.", func(_ Values, right float64, _ string) float64 {
				if right == 2 {
					return right
				}
				return 1 - right
			})
		}},
		{Code: "strain-added", Says: "added both directions: they stand square to each other, so their squares add", Rank: 2, alter: strainSize(func(a, b float64) float64 { return a + b })},
		{Code: "strain-larger-only", Says: "took the larger direction for the whole movement", Rank: 2, alter: strainSize(math.Max)},
		{Code: "strain-not-combined", Says: "took the vertical movement for the whole one", Rank: 2, alter: strainSize(func(a, _ float64) float64 { return a })},
		{Code: "strain-resultant-judged", Says: "held both directions together against a limit that holds for each by itself", Rank: 2, alter: func(s *Sheet) bool {
			return s.has("largest.horizontal") && s.replace("verdict", func(v Values, _ float64) float64 {
				return overLimit(math.Hypot(v["largest.vertical"], v["largest.horizontal"]), v["limit"])
			})
		}},
		{Code: "strain-dials-exchanged", Says: "took the vertical dial for the horizontal one", Rank: 3, alter: func(s *Sheet) bool {
			some := false
			for k := 1; k <= strainSteps(s); k++ {
				some = s.exchangeGivens(fmt.Sprintf("read.%d.vertical", k), fmt.Sprintf("read.%d.horizontal", k)) || some
			}
			return some
		}},
	}
}

// strainSize combines both directions in a wrong way.
func strainSize(combine func(vertical, horizontal float64) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return s.has("step.1.horizontal") && s.replace("most.size", func(v Values, _ float64) float64 {
			k := int(v["most.step"]) + 1
			return combine(math.Abs(v[fmt.Sprintf("step.%d.vertical", k)]), math.Abs(v[fmt.Sprintf("step.%d.horizontal", k)]))
		})
	}
}
