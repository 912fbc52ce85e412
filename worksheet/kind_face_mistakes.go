package worksheet

import "math"

var facePlanes = []string{"vertical", "horizontal"}

func faceMistakes() []Mistake {
	plane := func(f func(s *Sheet, p string) bool) func(s *Sheet) bool {
		return func(s *Sheet) bool { return eachOf(facePlanes, func(p string) bool { return f(s, p) }) }
	}
	return []Mistake{
		{Code: "half-turn-subtracted", Says: "subtracted the two sets where they are to be added with their signs: that gives the error of the hubs for the misalignment (the wide side stays: add; it changes: subtract the sizes)", Rank: 1,
			alter: plane(func(s *Sheet, p string) bool { return exchangeSteps(s, "net."+p, "error."+p) })},
		{Code: "half-turn-not-halved", Says: "added the two sets and did not halve the sum", Rank: 1,
			alter: plane(func(s *Sheet, p string) bool { return s.scale(2, "net."+p, "error."+p) })},
		{Code: "first-set-alone", Says: "took the first set alone: the error of the hubs is still in it", Rank: 1,
			alter: plane(func(s *Sheet, p string) bool {
				return s.replace("net."+p, func(v Values, _ float64) float64 { return v["before."+p] })
			})},
		{Code: "second-set-alone", Says: "took the second set alone: the error of the hubs is in it the other way round", Rank: 2,
			alter: plane(func(s *Sheet, p string) bool {
				return s.replace("net."+p, func(v Values, _ float64) float64 { return v["after."+p] })
			})},
		{Code: "hub-error-sign", Says: "took the second set less the first for the error of the hubs in the first", Rank: 3,
			alter: plane(func(s *Sheet, p string) bool { return s.scale(-1, "error."+p) })},
		{Code: "opening-sign", Says: "took the narrow side for the wide one", Rank: 2,
			alter: plane(func(s *Sheet, p string) bool { return s.scale(-1, "before."+p, "after."+p) })},
		{Code: "open-for-rising", Says: "took a gap that is wider at the top for a shaft that rises: open at the top is the far end low", Rank: 1,
			alter: plane(func(s *Sheet, p string) bool { return s.scale(-1, "slope."+p) })},
		slip("gaps-halved", plane(func(s *Sheet, p string) bool { return s.scale(0.5, "before."+p, "after."+p) })),
		slip("sides-exchanged", func(s *Sheet) bool {
			some := s.scale(-1, "face.horizontal")
			return s.has("before.horizontal") && s.scale(-1, "before.horizontal", "after.horizontal") || some
		}),
		slip("position-for-move", plane(func(s *Sheet, p string) bool { return s.scale(-1, "move."+p) })),
		slipHalfLength(plane(func(s *Sheet, p string) bool { return s.scale(2, "slope."+p) })),
		slipNotDivided(plane(func(s *Sheet, p string) bool {
			from, to := s.step("net."+p), s.step("slope."+p)
			if from == nil || to == nil {
				return false
			}
			was, is := from.Unit, to.Unit
			return s.replace("slope."+p, func(v Values, _ float64) float64 { return -numberAs(v["net."+p], was, is) })
		})),
		{Code: "swept-for-gap-circle", Says: "divided the gaps by the diameter that the dial swept: they were taken on another circle", Rank: 2,
			alter: func(s *Sheet) bool {
				return s.has("swept") && plane(func(s *Sheet, p string) bool {
					return s.replace("slope."+p, func(v Values, right float64) float64 { return right * v["diameter"] / v["swept"] })
				})(s)
			}},
		slip("hub-for-swept-diameter", func(s *Sheet) bool {
			return s.replace("face.tilt", func(v Values, right float64) float64 { return right * v["swept"] / v["diameter"] })
		}),
		slip("radius-for-diameter", func(s *Sheet) bool { return s.scale(2, "face.tilt") }),
		slip("face-halved", func(s *Sheet) bool { return s.scale(0.5, "face.tilt") }),
		slip("face-not-divided", func(s *Sheet) bool {
			from, to := s.step("face.vertical"), s.step("face.tilt")
			if from == nil || to == nil {
				return false
			}
			was, is := from.Unit, to.Unit
			return s.replace("face.tilt", func(v Values, _ float64) float64 {
				return numberAs(math.Hypot(v["face.vertical"], v["face.horizontal"]), was, is)
			})
		}),
		{Code: "tir-for-tilt", Says: "divided the total reading for the tilt: a warped face reads more or less than its tilt, and the marks may miss the high spot", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("face.tilt", func(v Values, _ float64) float64 { return v["face.tir"] / v["swept"] })
		}},
		{Code: "face-components-added", Says: "added both components: they stand square to each other, so their squares add", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("face.tilt", func(v Values, _ float64) float64 {
				return (math.Abs(v["face.vertical"]) + math.Abs(v["face.horizontal"])) / v["swept"]
			})
		}},
		slip("tir-largest", func(s *Sheet) bool {
			return s.replace("face.tir", func(v Values, _ float64) float64 { return v.largestOf("face.12", "face.3", "face.6", "face.9") })
		}),
		slip("dial-sign", func(s *Sheet) bool { return s.scaleAny(-1, "face.vertical", "face.horizontal") }),
		slipAngleFrom3(func(s *Sheet) bool {
			return s.replace("face.high", func(v Values, _ float64) float64 { return angleOf(v["face.horizontal"], v["face.vertical"]) })
		}),
	}
}

// exchangeSteps gives each of two steps the figure of the other.
func exchangeSteps(s *Sheet, a, b string) bool {
	one, other := s.step(a), s.step(b)
	if one == nil || other == nil || one.work == nil || other.work == nil {
		return false
	}
	one.work, other.work = other.work, one.work
	return true
}
