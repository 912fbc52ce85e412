package worksheet

import "math"

// spacerMistakes are those with dials, flex planes and the limit.
func spacerMistakes() []Mistake {
	tails := []string{".vertical", ".horizontal"}
	dials := func(far, near float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return anyOf(tails, func(t string) bool { return s.scale(far, "dial.far"+t) && s.scale(near, "dial.near"+t) })
		}
	}
	sags := func(k float64) func(s *Sheet) bool {
		return func(s *Sheet) bool { return sagTaken(s, "far", k) && sagTaken(s, "near", k) }
	}
	sizes := func(wrong func(v, h float64) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return s.step("offset.near.horizontal") != nil && anyOf([]string{"near", "far"}, func(id string) bool {
				return s.replace("size."+id, func(v Values, _ float64) float64 {
					return wrong(v["offset."+id+".vertical"], v["offset."+id+".horizontal"])
				})
			})
		}
	}
	angles := func(wrong func(v Values, right float64, own, other string) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return s.replace("angle.near", func(v Values, right float64) float64 { return wrong(v, right, "near", "far") }) &&
				s.replace("angle.far", func(v Values, right float64) float64 { return wrong(v, right, "far", "near") })
		}
	}
	return append([]Mistake{
		slip("sag-forgotten", sags(1)),
		slip("sag-added", sags(2)),
		slip("not-halved", dials(2, 2)),
		slip("halved-twice", dials(0.5, 0.5)),
		slip("near-sign-kept", dials(1, -1)),
		{Code: "dial-planes-for-flex-planes", Says: "took the offsets at the dials for those at the flex planes", Rank: 1, alter: func(s *Sheet) bool {
			return anyOf(tails, func(t string) bool {
				return anyOf([]string{"near", "far"}, func(id string) bool {
					return s.replace("offset."+id+t, func(v Values, _ float64) float64 { return v["dial."+id+t] })
				})
			})
		}},
		{Code: "flex-planes-exchanged", Says: "put the offset of a flex plane over the distance for that plane's own angle: the angle at one plane comes from the offset at the other", Rank: 1,
			alter: angles(func(v Values, _ float64, own, _ string) float64 { return v["size."+own] / v["length"] })},
		{Code: "hub-length", Says: "divided by the distance between the dials at the hubs where that between the flex planes belongs", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("length", func(v Values, _ float64) float64 { return math.Abs(v["station.far"] - v["station.near"]) })
		}},
		{Code: "offset-halved-at-plane", Says: "divided half of the offset by the distance: half of the spacer bends at neither plane", Rank: 2,
			alter: angles(func(_ Values, right float64, _, _ string) float64 { return right / 2 })},
		{Code: "half-plane-distance", Says: "divided by half of the distance between the flex planes", Rank: 2, alter: func(s *Sheet) bool { return s.scale(0.5, "length") }},
		{Code: "mid-span-offset", Says: "took the offset in the middle of the spacer, which says little about either flex plane", Rank: 1, alter: func(s *Sheet) bool {
			mid := func(v Values) float64 {
				m := func(t string) float64 { return (v["offset.near"+t] + v["offset.far"+t]) / 2 }
				return math.Hypot(m(".vertical"), m(".horizontal"))
			}
			return s.replace("size.near", func(v Values, _ float64) float64 { return mid(v) }) &&
				s.replace("size.far", func(v Values, _ float64) float64 { return mid(v) })
		}},
		{Code: "shaft-slope-for-angle", Says: "took the slope of one shaft against the other for the angle at both flex planes: the spacer has a slope of its own", Rank: 2,
			alter: angles(func(v Values, _ float64, _, _ string) float64 {
				return math.Hypot(v["slope.vertical"], v["slope.horizontal"])
			})},
		{Code: "larger-component", Says: "took the larger of both directions alone where the two count together", Rank: 1,
			alter: sizes(func(v, h float64) float64 { return max(math.Abs(v), math.Abs(h)) })},
		{Code: "components-added", Says: "added both directions where the root of the sum of squares belongs", Rank: 2,
			alter: sizes(func(v, h float64) float64 { return math.Abs(v) + math.Abs(h) })},
		{Code: "smaller-angle", Says: "took the smaller of the two angles", Rank: 3, alter: func(s *Sheet) bool {
			return s.replace("largest", func(v Values, _ float64) float64 { return min(v["angle.near"], v["angle.far"]) })
		}},
		{Code: "angles-added", Says: "added the angles of both flex planes: each plane has a limit of its own", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("largest", func(v Values, _ float64) float64 { return v["angle.near"] + v["angle.far"] })
		}},
	}, shareMistakes("share")...)
}

// shareMistakes are those between a size, its limit and the verdict.
func shareMistakes(shares ...string) []Mistake {
	return []Mistake{
		{Code: "share-upside-down", Says: "put the limit over what was found", Rank: 2, alter: func(s *Sheet) bool {
			return anyOf(shares, func(id string) bool { return s.replace(id, func(_ Values, right float64) float64 { return 1 / right }) })
		}},
		{Code: "verdict-turned", Says: "said the opposite of what the figures say", Rank: 3, alter: func(s *Sheet) bool {
			return s.replace("verdict", func(_ Values, right float64) float64 { return 1 - right })
		}},
	}
}
