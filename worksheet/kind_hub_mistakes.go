package worksheet

import "math"

var hubVectors = []string{"hub.vertical", "hub.horizontal", "shaft.vertical", "shaft.horizontal"}

func hubMistakes() []Mistake {
	return []Mistake{
		slip("not-halved", func(s *Sheet) bool { return s.scaleAny(2, hubVectors...) }),
		slip("halved-twice", func(s *Sheet) bool { return s.scaleAny(0.5, hubVectors...) }),
		slip("dial-sign", func(s *Sheet) bool { return s.scaleAny(-1, hubVectors...) }),
		slip("sides-exchanged", func(s *Sheet) bool { return s.scale(-1, "hub.horizontal", "shaft.horizontal") }),
		slip("tir-largest", func(s *Sheet) bool {
			ok := s.has("hub.tir") && s.has("shaft.tir")
			for _, p := range []string{"hub", "shaft"} {
				s.replace(p+".tir", func(v Values, _ float64) float64 {
					return v.largestOf(p+".12", p+".3", p+".6", p+".9")
				})
			}
			return ok
		}),
		{Code: "sizes-subtracted", Says: "took the size of the shaft's runout from that of the hub's: they are vectors, and that holds only when both high spots agree", Rank: 1, alter: hubSizes(-1)},
		{Code: "sizes-added", Says: "added the sizes of both runouts: they are vectors, and that holds only when the high spots are opposite", Rank: 2, alter: func(s *Sheet) bool {
			return s.has("bore.size") && hubSizes(1)(s)
		}},
		{Code: "runouts-added", Says: "added the shaft's runout to the hub's: what the shaft does is to be taken off", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("bore.up", func(v Values, _ float64) float64 { return v["hub.vertical"] + v["shaft.vertical"] }) &&
				s.replace("bore.right", func(v Values, _ float64) float64 { return v["hub.horizontal"] + v["shaft.horizontal"] })
		}},
		{Code: "shaft-forgotten", Says: "took the hub's runout for that of its bore: the shaft under it runs out too", Rank: 1, alter: func(s *Sheet) bool {
			if s.replace("bore.vertical", func(v Values, _ float64) float64 { return v["hub.vertical"] }) {
				return true
			}
			return s.replace("bore.up", func(v Values, _ float64) float64 { return v["hub.vertical"] }) &&
				s.replace("bore.right", func(v Values, _ float64) float64 { return v["hub.horizontal"] })
		}},
		{Code: "shaft-less-hub", Says: "took the hub from the shaft: it is the hub less the shaft", Rank: 2, alter: func(s *Sheet) bool {
			return s.scale(-1, "bore.vertical") || s.scale(-1, "bore.up", "bore.right")
		}},
		slipAngleFrom3(func(s *Sheet) bool {
			return s.replace("bore.toward", func(v Values, _ float64) float64 { return angleOf(v["bore.right"], v["bore.up"]) })
		}),
		{Code: "highest-mark", Says: "took half of the total reading, toward the highest mark, for the eccentricity: the high spot lies between marks, and an oval hub reads so too", Rank: 2, alter: func(s *Sheet) bool {
			return s.has("hub.horizontal") && highestMark(s, "hub") && highestMark(s, "shaft")
		}},
		{Code: "oval-not-quartered", Says: "gave the sum of one pair of readings less the other for the lobes: they stand in it four times", Rank: 3, alter: func(s *Sheet) bool { return s.scale(4, "oval") }},
		{Code: "oval-from-one-pair", Says: "looked for the oval in the difference of opposite marks: there it drops out, and what is left is eccentricity", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("oval", func(v Values, _ float64) float64 {
				return math.Max(math.Abs(v["hub.12"]-v["hub.6"]), math.Abs(v["hub.3"]-v["hub.9"])) / 2
			})
		}},
		{Code: "half-against-limit", Says: "held half of the total reading against the limit: the limit is one of total readings", Rank: 1, alter: func(s *Sheet) bool {
			return s.scale(0.5, "share") && s.replace("finding", func(v Values, _ float64) float64 { return hubFinding(v, 0.5) })
		}},
		{Code: "twice-against-limit", Says: "doubled the total reading before holding it against the limit: it is the total already", Rank: 3, alter: func(s *Sheet) bool {
			return s.scale(2, "share") && s.replace("finding", func(v Values, _ float64) float64 { return hubFinding(v, 2) })
		}},
	}
}

// hubSizes takes the size of the hub's runout, plus or minus that of the shaft's,
// in the direction of the hub's.
func hubSizes(sign float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		sizes := func(v Values) float64 {
			return math.Hypot(v["hub.vertical"], v["hub.horizontal"]) + sign*math.Hypot(v["shaft.vertical"], v["shaft.horizontal"])
		}
		if s.replace("bore.vertical", func(v Values, _ float64) float64 { return math.Copysign(sizes(v), v["hub.vertical"]) }) {
			return true
		}
		return s.replace("bore.size", func(v Values, _ float64) float64 { return math.Abs(sizes(v)) }) &&
			s.replace("bore.toward", func(v Values, _ float64) float64 { return angleOf(v["hub.vertical"], v["hub.horizontal"]) })
	}
}

// highestMark takes half of the total reading toward the mark with the highest
// reading for the eccentricity of a part.
func highestMark(s *Sheet, part string) bool {
	vector := func(v Values) (up, right float64) {
		best := 0
		for i, q := range quarterNames {
			if v[part+"."+q] > v[part+"."+quarterNames[best]] {
				best = i
			}
		}
		half := v.spreadOf(part+".12", part+".3", part+".6", part+".9") / 2
		return half * float64([4]int{1, 0, -1, 0}[best]), half * float64([4]int{0, 1, 0, -1}[best])
	}
	return s.replace(part+".vertical", func(v Values, _ float64) float64 { up, _ := vector(v); return up }) &&
		s.replace(part+".horizontal", func(v Values, _ float64) float64 { _, right := vector(v); return right })
}
