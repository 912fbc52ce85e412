package worksheet

import "slices"

// coldMistakes are those of growth, of drawing its lines on, and of the target.
func coldMistakes() []Mistake {
	heat := slices.DeleteFunc(heatMistakes(), func(m Mistake) bool {
		switch m.Code {
		case "fluid-temperature", "height-from-floor": // not on this sheet
			return true
		case "coefficient-ten-times", "coefficient-a-tenth": // all answers follow: the same as a decimal point slipped
			return true
		}
		return false
	})
	return slices.Concat(heat, lineMistakes([]string{""}), []Mistake{
		{Code: "inboard-growth-at-both", Says: "took the growth of the inboard feet for the outboard ones as well, so that the shafts rise without a slope", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("growth.near.outboard", func(v Values, _ float64) float64 { return v["growth.near.inboard"] }) &&
				s.replace("growth.far.outboard", func(v Values, _ float64) float64 { return v["growth.far.inboard"] })
		}},
		{Code: "coupling-target-at-feet", Says: "gave the target at the coupling for the feet", Rank: 2, alter: func(s *Sheet) bool {
			return eachEnd(s, "target.", "", func(v Values, _ float64, _ string) float64 { return v["target.coupling"] })
		}},
		{Code: "reading-not-doubled", Says: "gave the target itself as the reading: a dial shows twice the offset", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("reading", func(v Values, _ float64) float64 { return v["sag"] - v["target.coupling"] })
		}},
		{Code: "reading-doubled-twice", Says: "doubled the target twice for the reading", Rank: 3, alter: func(s *Sheet) bool {
			return s.replace("reading", func(v Values, _ float64) float64 { return v["sag"] - 4*v["target.coupling"] })
		}},
		{Code: "reading-without-sag", Says: "left the sag out of the reading wanted: the bracket will droop then too", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("reading", func(v Values, right float64) float64 { return right - v["sag"] })
		}},
		{Code: "reading-sag-taken-off", Says: "took the sag off the reading wanted where it has to be added: it is what the dial will show", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("reading", func(v Values, right float64) float64 { return right - 2*v["sag"] })
		}},
		{Code: "reading-sign", Says: "gave the reading wanted with the sign turned: a shaft that stands high pushes no stem in at 6 o'clock", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("reading", func(v Values, _ float64) float64 { return 2*v["target.coupling"] + v["sag"] })
		}},
	})
}

// lineMistakes are those between the movement at the stations and the target, in
// the planes whose tails are given.
func lineMistakes(tails []string) []Mistake {
	each := func(f func(s *Sheet, tail string) bool) func(s *Sheet) bool {
		return func(s *Sheet) bool { return anyOf(tails, func(t string) bool { return f(s, t) }) }
	}
	// targets replaces the target at the feet, and at the coupling where it is asked.
	targets := func(wrong func(right, far, near float64) float64) func(s *Sheet) bool {
		return each(func(s *Sheet, t string) bool {
			s.replace("target.coupling"+t, func(v Values, right float64) float64 { return wrong(right, v["shaft.far"+t], v["shaft.near"+t]) })
			return eachEnd(s, "target.", t, func(v Values, right float64, end string) float64 {
				return wrong(right, v["growth.far."+end+t], v["reach."+end+t])
			})
		})
	}
	drawn := func(near func(v Values, t, end string) float64, shaft func(v Values, side, t string) float64) func(s *Sheet) bool {
		return each(func(s *Sheet, t string) bool {
			for _, side := range []string{"near", "far"} {
				if !s.replace("shaft."+side+t, func(v Values, _ float64) float64 { return shaft(v, side, t) }) {
					return false
				}
			}
			return eachEnd(s, "reach.", t, func(v Values, _ float64, end string) float64 { return near(v, t, end) })
		})
	}
	mean := func(v Values, side, t string) float64 {
		return (v["growth."+side+".inboard"+t] + v["growth."+side+".outboard"+t]) / 2
	}
	return []Mistake{
		{Code: "first-machine-forgotten", Says: "left the movement of the first machine out of the target", Rank: 1, alter: targets(func(_, far, _ float64) float64 { return -far })},
		{Code: "second-machine-forgotten", Says: "left the movement of the second machine out of the target", Rank: 2, alter: targets(func(_, _, near float64) float64 { return near })},
		{Code: "movements-added", Says: "added the movements of the two machines where their difference counts", Rank: 2, alter: targets(func(_, far, near float64) float64 { return -(far + near) })},
		{Code: "target-sign", Says: "turned the sign of the target: what rises more has to stand low when cold", Rank: 1, alter: targets(func(right, _, _ float64) float64 { return -right })},
		{Code: "target-halved", Says: "halved the target: a movement is no dial sweep", Rank: 2, alter: targets(func(right, _, _ float64) float64 { return right / 2 })},
		{Code: "target-doubled", Says: "doubled the target: an offset is no dial reading", Rank: 2, alter: targets(func(right, _, _ float64) float64 { return 2 * right })},
		{Code: "target-inboard-only", Says: "set the inboard feet by the target and left the outboard ones at nothing", Rank: 3, alter: each(func(s *Sheet, t string) bool { return s.scale(0, "target.outboard"+t) })},
		{Code: "target-outboard-only", Says: "set the outboard feet by the target and left the inboard ones at nothing", Rank: 3, alter: each(func(s *Sheet, t string) bool { return s.scale(0, "target.inboard"+t) })},
		{Code: "targets-exchanged", Says: "gave the target of the inboard feet to the outboard ones and the other way round", Rank: 2, alter: each(func(s *Sheet, t string) bool {
			return swapWork(s, "target.inboard"+t, "target.outboard"+t)
		})},
		{Code: "movement-not-drawn-on", Says: "took the movement where it is known for that at the coupling and at the other machine's feet, without drawing the line on", Rank: 1,
			alter: drawn(func(v Values, t, end string) float64 { return v["growth.near."+end+t] },
				func(v Values, side, t string) float64 { return v["growth."+side+".inboard"+t] })},
		{Code: "mean-movement", Says: "took the mean of both ends for the whole shaft, as if it moved without a slope", Rank: 2,
			alter: drawn(func(v Values, t, _ string) float64 { return mean(v, "near", t) }, mean)},
		{Code: "line-drawn-wrong-way", Says: "drew the line of the movement on the wrong way, rising where it falls", Rank: 2, alter: each(func(s *Sheet, t string) bool {
			return s.scale(-1, "slope.near"+t, "slope.far"+t)
		})},
		{Code: "outboard-distance", Says: "started from the movement inboard with the distance from the outboard end", Rank: 2, alter: each(func(s *Sheet, t string) bool {
			step := func(v Values, side string) float64 {
				return v["slope."+side+t] * (v["station."+side+".inboard"] - v["station."+side+".outboard"])
			}
			for _, side := range []string{"near", "far"} {
				if !s.replace("shaft."+side+t, func(v Values, right float64) float64 { return right + step(v, side) }) {
					return false
				}
			}
			return eachEnd(s, "reach.", t, func(v Values, right float64, _ string) float64 { return right + step(v, "near") })
		})},
	}
}

// eachEnd replaces a step at the inboard and at the outboard feet.
func eachEnd(s *Sheet, prefix, tail string, wrong func(v Values, right float64, end string) float64) bool {
	return anyOf([]string{"inboard", "outboard"}, func(end string) bool {
		return s.replace(prefix+end+tail, func(v Values, right float64) float64 { return wrong(v, right, end) })
	})
}
