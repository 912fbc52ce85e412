package worksheet

import "strings"

// movementMistakes are those with movements that were measured.
func movementMistakes() []Mistake {
	tails := []string{".vertical", ".horizontal"}
	var out []Mistake
	for _, m := range lineMistakes(tails) {
		switch m.Code {
		// These replace steps that this sheet does not have; its own follow.
		case "first-machine-forgotten", "second-machine-forgotten", "movements-added", "movement-not-drawn-on", "mean-movement", "outboard-distance":
			continue
		}
		out = append(out, m)
	}
	foot := func(wrong func(far, near float64) float64) func(s *Sheet) bool {
		return eachTarget(tails, func(v Values, _ float64, end, t string) float64 {
			return wrong(v["at.far."+end+t], v["at.near."+end+t])
		})
	}
	both := func(shaft, at func(v Values, right float64, side, end, t string) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return anyOf(tails, func(t string) bool {
				return anyOf([]string{"near", "far"}, func(side string) bool {
					some := s.replace("shaft."+side+t, func(v Values, right float64) float64 { return shaft(v, right, side, "inboard", t) })
					return eachEnd(s, "at."+side+".", t, func(v Values, right float64, end string) float64 { return at(v, right, side, end, t) }) && some
				})
			})
		}
	}
	known := func(v Values, _ float64, side, end, t string) float64 { return v["growth."+side+"."+end+t] }
	mean := func(v Values, _ float64, side, _, t string) float64 {
		return (v["growth."+side+".inboard"+t] + v["growth."+side+".outboard"+t]) / 2
	}
	outboard := func(v Values, right float64, side, _, t string) float64 {
		return right + v["slope."+side+t]*(v["station."+side+".inboard"]-v["station."+side+".outboard"])
	}
	same := lineMistakes(tails)
	as := func(code string, alter func(s *Sheet) bool) Mistake {
		for _, m := range same {
			if m.Code == code {
				m.alter = alter
				return m
			}
		}
		return Mistake{Code: code, Rank: 3, alter: alter}
	}
	return append(out,
		as("first-machine-forgotten", foot(func(far, _ float64) float64 { return -far })),
		as("second-machine-forgotten", foot(func(_, near float64) float64 { return near })),
		as("movements-added", foot(func(far, near float64) float64 { return -(far + near) })),
		as("movement-not-drawn-on", both(known, known)),
		as("mean-movement", both(mean, mean)),
		as("outboard-distance", both(outboard, outboard)),
		Mistake{Code: "movement-halved", Says: "halved the movement: it is read directly, not twice as a dial sweep is", Rank: 1, alter: retakeMoved("", 0.5)},
		Mistake{Code: "movement-doubled", Says: "doubled the movement: it is read directly", Rank: 3, alter: retakeMoved("", 2)},
		Mistake{Code: "movement-sign", Says: "took the movement from running to off-line: the sign turned at every station", Rank: 2, alter: retakeMoved("", -1)},
		slip("sides-exchanged", retakeMoved(".horizontal", -1)),
		Mistake{Code: "coupling-movement-at-feet", Says: "used the movement at the coupling for the feet", Rank: 2, alter: both(
			func(_ Values, right float64, _, _, _ string) float64 { return right },
			func(v Values, _ float64, side, _, t string) float64 { return v["shaft."+side+t] })},
		Mistake{Code: "ends-exchanged", Says: "took the movement of the inboard end for that of the outboard end and the other way round", Rank: 2, alter: func(s *Sheet) bool {
			return anyOf(tails, func(t string) bool {
				return swapGivens(s, "growth.near.inboard"+t, "growth.near.outboard"+t) && swapGivens(s, "growth.far.inboard"+t, "growth.far.outboard"+t)
			})
		}},
	)
}

// eachTarget replaces the targets at the feet in every plane.
func eachTarget(tails []string, wrong func(v Values, right float64, end, tail string) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return anyOf(tails, func(t string) bool {
			return eachEnd(s, "target.", t, func(v Values, right float64, end string) float64 { return wrong(v, right, end, t) })
		})
	}
}

// retakeMoved takes every measured movement of a plane, or of both, k times.
func retakeMoved(tail string, k float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		some := false
		for _, g := range s.Givens {
			if strings.HasPrefix(g.ID, "growth.") && strings.HasSuffix(g.ID, tail) && (tail == "" || s.step("shaft.near"+tail) != nil) {
				some = s.retake(g.ID, func(_ Values, right float64) float64 { return k * right }) || some
			}
		}
		return some
	}
}
