package worksheet

import (
	"math"
	"slices"
)

func largest(v []float64) float64  { return slices.Max(v) }
func smallest(v []float64) float64 { return slices.Min(v) }

// sweepValues are the readings of a sweep as a learner has them, the missed turn
// put back.
func sweepValues(v Values) []float64 {
	bottom, restored := v["restored"]
	if !restored {
		bottom = v["far.6"]
	}
	return []float64{v["far.12"], v["far.3"], bottom, v["far.9"], v["far.again"]}
}

// sweepCheckMistakes are those of the checks of a sweep.
func sweepCheckMistakes() []Mistake {
	const v, h = "offset.vertical", "offset.horizontal"
	figure := func(step string, wrong func(r []float64) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return s.replace(step, func(v Values, _ float64) float64 { return wrong(sweepValues(v)) })
		}
	}
	return []Mistake{
		slip("closure-not-judged", func(s *Sheet) bool {
			return s.replace("verdict", func(v Values, _ float64) float64 { return verdictOf(overSweepLimit(v["sum"], v["limit.sum"])) })
		}),
		slip("sum-not-judged", func(s *Sheet) bool {
			return s.replace("verdict", func(v Values, _ float64) float64 {
				return verdictOf(overSweepLimit(v["closing"], v["limit.closing"]))
			})
		}),
		slip("sum-forced", func(s *Sheet) bool {
			// The reading at 9 takes up the whole difference.
			return s.replace(h, func(v Values, right float64) float64 {
				r := sweepValues(v)
				if r[1] == r[3] {
					return right
				}
				return right / (r[1] - r[3]) * (2*r[1] - r[0] - r[2])
			}) && s.replace("sum", func(Values, float64) float64 { return 0 })
		}),
		slip("sum-wrong-pairs", figure("sum", func(r []float64) float64 { return r[0] + r[1] - r[2] - r[3] })),
		slip("sum-signs-lost", figure("sum", func(r []float64) float64 {
			return math.Abs(r[0]) + math.Abs(r[2]) - math.Abs(r[1]) - math.Abs(r[3])
		})),
		slip("sum-sign", scaled(-1, "sum")),
		slip("closing-taken-whole", figure("closing", func(r []float64) float64 { return r[4] })),
		slip("closing-from-9", figure("closing", func(r []float64) float64 { return r[4] - r[3] })),
		slip("tir-largest", figure("tir", largest)),
		slip("tir-vertical-only", figure("tir", func(r []float64) float64 { return math.Abs(r[2] - r[0]) })),
		slip("tir-with-sign-lost", figure("tir", func(r []float64) float64 { return math.Max(math.Abs(largest(r)), math.Abs(smallest(r))) })),
		slip("tir-not-halved", scaled(2, "size")),
		slip("offset-from-tir", func(s *Sheet) bool {
			return s.replace(v, func(w Values, right float64) float64 { return math.Copysign(w["tir"]/2, right) })
		}),
		slip("turn-missed", func(s *Sheet) bool {
			return s.replace("restored", func(v Values, _ float64) float64 { return v["far.6"] })
		}),
		slip("turn-put-back-wrong", func(s *Sheet) bool {
			return s.replace("restored", func(v Values, right float64) float64 { return 2*v["far.6"] - right })
		}),
		slip("turn-at-other-place", func(s *Sheet) bool {
			return s.has("turn") && s.retake("far.3", func(v Values, right float64) float64 { return right - turnsMissed(v)*v["turn"] })
		}),
		slip("sag-forgotten", func(s *Sheet) bool { return addTo(s, v, "far.sag", -0.5) }),
		slip("sag-added", func(s *Sheet) bool { return addTo(s, v, "far.sag", -1) }),
		slip("sag-half", func(s *Sheet) bool { return addTo(s, v, "far.sag", -0.25) }),
		slip("top-not-subtracted", func(s *Sheet) bool { return addTo(s, v, "far.12", -0.5) }),
		slip("dial-sign", func(s *Sheet) bool {
			return turnReadings("far")(s) && s.retake("far.again", func(_ Values, right float64) float64 { return -right })
		}),
		slip("not-halved", scaled(2, v, h)),
		slip("halved-twice", scaled(0.5, v, h)),
		slip("offsets-turned", scaled(-1, v, h)),
		slip("sides-exchanged", scaled(-1, h)),
		slip("sides-not-halved", scaled(2, h)),
		slip("sides-not-subtracted", func(s *Sheet) bool { return sideAlone(s, "far", h, "3", 1) }),
		slip("nine-alone", func(s *Sheet) bool { return sideAlone(s, "far", h, "9", -1) }),
	}
}
