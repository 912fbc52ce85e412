package worksheet

import "math"

func wedgeMistakes() []Mistake {
	return []Mistake{
		{Code: "widest-corner-alone", Says: "took the widest corner for the whole foot: four corners are needed to see a wedge", Rank: 1, alter: oneCorner(math.Max)},
		{Code: "tightest-corner-alone", Says: "took the tightest corner for the whole foot: four corners are needed to see a wedge", Rank: 2, alter: oneCorner(math.Min)},
		slipOneEdge(func(s *Sheet) bool {
			return s.replace("along", func(v Values, _ float64) float64 { return v["far.left"] - v["near.left"] }) &&
				s.replace("across", func(v Values, _ float64) float64 { return v["near.right"] - v["near.left"] })
		}),
		slipCornersAdded(func(s *Sheet) bool { return s.scaleAny(2, "along", "across") }),
		slipStaticHalved(func(s *Sheet) bool { return s.scaleAny(0.5, "mean", "along", "across", "bend") }),
		{Code: "taper-halved", Says: "halved the taper", Rank: 2, alter: func(s *Sheet) bool { return s.scaleAny(0.5, "along", "across") }},
		slipEnds(func(s *Sheet) bool { return s.scale(-1, "along") }),
		slip("sides-exchanged", func(s *Sheet) bool { return s.scale(-1, "across") }),
		slipHalfLength(func(s *Sheet) bool { return s.scaleAny(2, "slope.along", "slope.across") }),
		slipLengthWidth(exchangeLengths),
		slipNotDivided(func(s *Sheet) bool {
			return undivided(s, "along", "slope.along") && (!s.has("across") || undivided(s, "across", "slope.across"))
		}),
		{Code: "across-forgotten", Says: "left the taper across out of the corners", Rank: 2, alter: func(s *Sheet) bool {
			return s.has("across") && s.replace("tight", func(v Values, _ float64) float64 { return v["mean"] - math.Abs(v["along"])/2 }) &&
				s.replace("open", func(v Values, _ float64) float64 { return v["mean"] + math.Abs(v["along"])/2 })
		}},
		{Code: "whole-taper", Says: "put the whole taper to the mean gap: from the middle to the edge it is half", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("tight", func(v Values, right float64) float64 { return 2*right - v["mean"] }) &&
				s.replace("open", func(v Values, right float64) float64 { return 2*right - v["mean"] })
		}},
		{Code: "flat-fills", Says: "thought that a flat shim fills a wedge: the tightest, the mean and the widest gap all leave the whole difference open somewhere", Rank: 1,
			alter: func(s *Sheet) bool { return s.putZero("left.flat", "lift.mean") }},
		{Code: "flat-leaves-half", Says: "thought that a flat shim leaves half of the wedge open: that is so only when the foot is bent down to it", Rank: 2,
			alter: func(s *Sheet) bool { return s.scale(0.5, "left.flat") }},
		{Code: "bend-not-quartered", Says: "gave the difference of the diagonals for what each corner is off: it is shared by four", Rank: 3,
			alter: func(s *Sheet) bool { return s.scale(4, "bend") }},
	}
}

// oneCorner takes one corner, found by pick, for the whole foot.
func oneCorner(pick func(a, b float64) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return s.replace("mean", func(v Values, _ float64) float64 {
			return pick(pick(v["near.left"], v["near.right"]), pick(v["far.left"], v["far.right"]))
		}) && s.putZero("along", "across", "bend")
	}
}

// exchangeLengths divides each slope by the other length.
func exchangeLengths(s *Sheet) bool {
	ok := s.replace("slope.along", func(v Values, right float64) float64 { return right * v["length"] / v["width"] })
	s.replace("slope.across", func(v Values, right float64) float64 { return right * v["width"] / v["length"] })
	return ok
}

// undivided gives the number of a difference for the slope made of it.
func undivided(s *Sheet, difference, slope string) bool {
	from, to := s.step(difference), s.step(slope)
	if from == nil || to == nil {
		return false
	}
	was, is := from.Unit, to.Unit
	return s.replace(slope, func(v Values, _ float64) float64 { return numberAs(v[difference], was, is) })
}
