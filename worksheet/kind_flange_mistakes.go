package worksheet

import "math"

// mistakes of gaps that more than one kind knows.
func flangeRadius() Mistake {
	return Mistake{Code: "flange-radius", Says: "divided the difference of the gaps by the radius: they stand a whole diameter apart", Rank: 2,
		alter: func(s *Sheet) bool { return s.scaleTilts(2) }}
}

func flangeTiltSign() Mistake {
	return Mistake{Code: "flange-tilt-sign", Says: "took the narrow side for the wide one", Rank: 2, alter: func(s *Sheet) bool { return s.scaleTilts(-1) }}
}

func gasketKept() Mistake {
	return Mistake{Code: "flange-gasket-kept", Says: "held the gap as it is, without taking off the gasket that goes in", Rank: 1, alter: func(s *Sheet) bool {
		return s.replace("gap.excess", func(v Values, _ float64) float64 { return v["gap.mean"] })
	}}
}

// scaleTilts multiplies the tilts of both planes.
func (s *Sheet) scaleTilts(k float64) bool {
	return eachOf([]string{"vertical", "horizontal"}, func(p string) bool { return s.scale(k, "tilt."+p) })
}

// widest and narrowest of the four gaps.
func extremeGaps(v Values) (most, least float64) {
	return max(v["gap.12"], v["gap.3"], v["gap.6"], v["gap.9"]), min(v["gap.12"], v["gap.3"], v["gap.6"], v["gap.9"])
}

func flangeMistakes() []Mistake {
	return []Mistake{
		flangeRadius(), flangeTiltSign(), gasketKept(),
		{Code: "flange-wrong-circle", Says: "divided by another diameter than that of the circle on which the gaps were taken", Rank: 1, alter: func(s *Sheet) bool {
			return eachOf([]string{"vertical", "horizontal"}, func(p string) bool {
				return s.replace("tilt."+p, func(v Values, right float64) float64 {
					other := v["od"]
					if other == v["circle"] {
						other = v["face"]
					}
					return right * v["circle"] / other
				})
			})
		}},
		{Code: "flange-two-stations", Says: "took the gaps at 12 and 6 alone: the faces are open to the side as well", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("tilt.steepest", func(v Values, _ float64) float64 { return math.Abs(v["tilt.vertical"]) })
		}},
		{Code: "flange-tilts-added", Says: "added both directions: they stand square to each other, so their squares add", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("tilt.steepest", func(v Values, _ float64) float64 {
				return math.Abs(v["tilt.vertical"]) + math.Abs(v["tilt.horizontal"])
			})
		}},
		{Code: "flange-sides-exchanged", Says: "took 3 o'clock for 9: the gaps were written down from the other side of the flange", Rank: 3, alter: func(s *Sheet) bool {
			return s.scale(-1, "tilt.horizontal")
		}},
		{Code: "flange-not-brought-to-face", Says: "took the opening where the gaps were read: the rule counts it over the sealing face", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("opening", func(v Values, right float64) float64 { return right * v["circle"] / v["face"] })
		}},
		{Code: "flange-widest-less-gasket", Says: "took the widest gap less the gasket for the opening: the gasket has no part in it", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("opening", func(v Values, _ float64) float64 {
				most, _ := extremeGaps(v)
				return math.Abs(most - v["gasket"])
			})
		}},
		{Code: "flange-widest-less-narrowest", Says: "took the widest less the narrowest of the four gaps read: the widest place lies between them", Rank: 2, alter: func(s *Sheet) bool {
			if s.step("tilt.steepest") == nil {
				return false
			}
			return s.replace("opening", func(v Values, _ float64) float64 {
				most, least := extremeGaps(v)
				return (most - least) * v["face"] / v["circle"]
			})
		}},
		{Code: "flange-no-bounds", Says: "took the limit by the diameter alone, without the bounds of the rule", Rank: 2, alter: func(s *Sheet) bool {
			return s.has("rule.slope") && s.replace("limit.opening", func(v Values, _ float64) float64 { return v["rule.slope"] * v["od"] })
		}},
		{Code: "flange-limit-of-face", Says: "took the limit from the sealing face: the diameter of the flange was to be used", Rank: 3, alter: func(s *Sheet) bool {
			return s.has("rule.slope") && s.replace("limit.opening", func(v Values, _ float64) float64 {
				return min(max(v["rule.slope"]*v["face"], v["rule.least"]), v["rule.most"])
			})
		}},
		{Code: "flange-widest-for-mean", Says: "took the widest gap for the one at the centre", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("gap.mean", func(v Values, _ float64) float64 { most, _ := extremeGaps(v); return most })
		}},
		{Code: "offsets-added", Says: "added the two offsets: they stand square to each other, so their squares add", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("offset", func(v Values, _ float64) float64 { return math.Abs(v["offset.up"]) + math.Abs(v["offset.side"]) })
		}},
		{Code: "offset-larger-only", Says: "took the larger of the two offsets for the distance", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("offset", func(v Values, _ float64) float64 { return max(math.Abs(v["offset.up"]), math.Abs(v["offset.side"])) })
		}},
	}
}
