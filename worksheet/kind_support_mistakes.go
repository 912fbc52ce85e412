package worksheet

import (
	"strings"

	"collinear.example/align"
)

// supportMistakes are those of the growth of single supports.
func supportMistakes() []Mistake {
	return append(heatMistakes(), []Mistake{
		{Code: "supports-exchanged", Says: "gave the growth of the inboard support to the outboard one and the other way round", Rank: 2, alter: func(s *Sheet) bool {
			return swapWork(s, "growth.inboard", "growth.outboard")
		}},
		{Code: "inboard-growth-for-outboard", Says: "took the growth of the inboard support for the outboard one as well", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("growth.outboard", func(v Values, _ float64) float64 { return v["growth.inboard"] })
		}},
	}...)
}

// heatMistakes go wrong with a rise, a height or a coefficient, in the same way at
// every support.
func heatMistakes() []Mistake {
	return []Mistake{
		{Code: "ambient-not-subtracted", Says: "took the temperature itself for the rise: the cold temperature has to come off first", Rank: 1, alter: func(s *Sheet) bool {
			return eachHeated(s, func(id string) bool {
				u := s.unitOf("hot." + id)
				return s.replace("rise."+id, func(v Values, _ float64) float64 { return v["hot."+id] - u.SI(0) })
			})
		}},
		{Code: "fluid-temperature", Says: "took the temperature of what is pumped for that of the support's metal", Rank: 1, alter: func(s *Sheet) bool {
			return eachHeated(s, func(id string) bool {
				return s.has("fluid."+id) && s.replace("rise."+id, func(v Values, _ float64) float64 { return v["fluid."+id] - v["cold."+id] })
			})
		}},
		{Code: "rise-not-turned", Says: "used a rise in one scale with a coefficient for the other: 1 degC is 1.8 degF", Rank: 1, alter: func(s *Sheet) bool {
			return turnings(s, func(n, _ float64) float64 { return n })
		}},
		{Code: "rise-turned-wrong-way", Says: "turned the rise into the other scale with 5/9 in the place of 9/5, or the other way round", Rank: 2, alter: func(s *Sheet) bool {
			return turnings(s, func(n, k float64) float64 { return n / k })
		}},
		{Code: "thirty-two-on-difference", Says: "used the 32 of the Fahrenheit scale on a difference of temperatures, which has no zero to shift", Rank: 1, alter: func(s *Sheet) bool {
			return turnings(s, func(n, k float64) float64 {
				if k > 1 {
					return n*k + 32
				}
				return (n - 32) * k
			})
		}},
		{Code: "rise-turned-needlessly", Says: "turned the rise into the other scale although the coefficient is for the scale in which it was read", Rank: 2, alter: func(s *Sheet) bool {
			return eachHeated(s, func(id string) bool {
				if s.has("turned." + id) {
					return false
				}
				k := 1.8
				if s.unitOf("rise."+id) == align.UnitFahrenheitRise {
					k = 1 / k
				}
				return s.scale(k, "growth."+id)
			})
		}},
		{Code: "height-from-floor", Says: "took the height from the floor: only what stands above the cold base grows", Rank: 1, alter: func(s *Sheet) bool {
			return eachHeated(s, func(id string) bool {
				return s.has("floor."+id) && s.replace("growth."+id, func(v Values, right float64) float64 {
					return right * (v["height."+id] + v["floor."+id]) / v["height."+id]
				})
			})
		}},
		{Code: "height-in-feet", Says: "took the height in feet where the coefficient wants inches", Rank: 2, alter: func(s *Sheet) bool {
			return eachHeated(s, func(id string) bool {
				return s.unitOf("height."+id) == align.UnitInch && s.scale(1.0/12, "growth."+id)
			})
		}},
		{Code: "coefficient-ten-times", Says: "slipped the decimal point of the coefficient: ten times too large", Rank: 2, alter: growths(10)},
		{Code: "coefficient-a-tenth", Says: "slipped the decimal point of the coefficient: ten times too small", Rank: 2, alter: growths(0.1)},
		{Code: "half-the-rise", Says: "took half of the rise, as a rule of thumb for motors does; the temperatures here are those of the supports", Rank: 3, alter: growths(0.5)},
		{Code: "rise-wrong-way", Says: "took running from cold: what warms grows", Rank: 3, alter: func(s *Sheet) bool {
			return eachHeated(s, func(id string) bool { return s.scale(-1, "rise."+id) })
		}},
	}
}

// unitOf returns the unit of a given or of a step.
func (s *Sheet) unitOf(id string) align.Unit {
	if st := s.step(id); st != nil {
		return st.Unit
	}
	for _, g := range s.Givens {
		if g.ID == id {
			return g.Unit
		}
	}
	return ""
}

// eachHeated does f for every support whose growth is on the sheet, and reports
// whether it did for one at least.
func eachHeated(s *Sheet, f func(id string) bool) bool {
	some := false
	for i := range s.Steps {
		if id, ok := strings.CutPrefix(s.Steps[i].ID, "growth."); ok {
			some = f(id) || some
		}
	}
	return some
}

// growths multiplies every growth.
func growths(k float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachHeated(s, func(id string) bool { return s.scale(k, "growth."+id) })
	}
}

// turnings replaces how rises are turned into the other scale: n is the rise as a
// number in the scale read, k the right factor.
func turnings(s *Sheet, wrong func(n, k float64) float64) bool {
	return eachHeated(s, func(id string) bool {
		from, to := s.unitOf("rise."+id), s.unitOf("turned."+id)
		if to == "" {
			return false
		}
		return s.replace("turned."+id, func(v Values, _ float64) float64 {
			return to.SI(wrong(from.FromSI(v["rise."+id]), to.FromSI(from.SI(1))))
		})
	})
}
