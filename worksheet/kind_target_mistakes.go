package worksheet

import "slices"

// targetPart changes the readings: off is the part that the wanted offset makes of
// a reading and sag what the bracket adds.
func targetPart(dials []string, wrong func(at string, off, sag float64) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(dials, func(d string) bool {
			return eachOf(dialHours[1:], func(at string) bool {
				share := sagShares[slices.Index(dialHours[:], at)]
				return s.replace("reading."+d+"."+at, func(v Values, right float64) float64 {
					sag := share * v[d+".sag"]
					return wrong(at, right-sag, sag)
				})
			})
		})
	}
}

// eachMovement changes the movement of one machine at the dials.
func eachMovement(id string, wrong func(v Values, right float64, dial, plane string) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(bothPlanes, func(p string) bool {
			return eachOf(reverseIDs, func(d string) bool {
				return s.replace(id+"."+d+"."+p, func(v Values, right float64) float64 { return wrong(v, right, d, p) })
			})
		})
	}
}

// asMeasured takes the movements of both machines as they were measured; place says
// at which of the two places, counted from the coupling, for a dial.
func asMeasured(place func(nearest bool) bool) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachMovement("second", func(v Values, _ float64, dial, plane string) float64 {
			if place(dial == "far") {
				return v["second."+plane+".1"]
			}
			return v["second."+plane+".2"]
		})(s) && eachMovement("first", func(v Values, _ float64, dial, plane string) float64 {
			if place(dial == "near") {
				return v["first."+plane+".2"]
			}
			return v["first."+plane+".1"]
		})(s)
	}
}

func targetMistakes() []Mistake {
	both := reverseIDs
	at6 := func(wrong func(off, sag float64) float64) func(s *Sheet) bool {
		return targetPart(both, func(at string, off, sag float64) float64 {
			if at == "6" {
				return wrong(off, sag)
			}
			return off + sag
		})
	}
	atSides := func(k float64) func(s *Sheet) bool {
		return targetPart(both, func(at string, off, sag float64) float64 {
			if at == "6" {
				return off + sag
			}
			return off + k*sag
		})
	}
	turned := func(_ string, off, sag float64) float64 { return -off + sag }
	exchange := func(dial, at, otherDial, otherAt string) func(s *Sheet) bool {
		return func(s *Sheet) bool { return s.exchange("reading."+dial+"."+at, "reading."+otherDial+"."+otherAt) }
	}
	return []Mistake{
		slip("target-not-doubled", at6(func(off, sag float64) float64 { return off/2 + sag })),
		slip("target-doubled-twice", at6(func(off, sag float64) float64 { return 2*off + sag })),
		slip("target-hot", scaled(-1, "wanted.far.vertical", "wanted.near.vertical", "wanted.far.horizontal", "wanted.near.horizontal")),
		slip("sag-left-off-target", targetPart(both, func(_ string, off, _ float64) float64 { return off })),
		slip("sag-taken-from-target", targetPart(both, func(_ string, off, sag float64) float64 { return off - sag })),
		slip("sag-half-in-target", at6(func(off, sag float64) float64 { return off + sag/2 })),
		slip("target-as-twice-droop", at6(func(off, sag float64) float64 { return off + 2*sag })),
		slip("sag-full-at-sides", atSides(2)),
		slip("sag-none-at-sides", atSides(0)),
		slip("sag-of-other-bracket", func(s *Sheet) bool { return s.exchangeGivens("far.sag", "near.sag") }),
		slip("near-sign-kept", targetPart([]string{"near"}, turned)),
		slip("far-sign-turned", targetPart([]string{"far"}, turned)),
		slip("target-as-offset-sign", targetPart(both, turned)),
		slip("dials-exchanged", func(s *Sheet) bool {
			return eachOf(dialHours[1:], func(at string) bool { return exchange("far", at, "near", at)(s) })
		}),
		slip("sides-exchanged", func(s *Sheet) bool {
			return eachOf(both, func(d string) bool { return exchange(d, "3", d, "9")(s) })
		}),
		slip("target-sides-from-9", func(s *Sheet) bool {
			return eachOf(both, func(d string) bool {
				three, nine := s.step("reading."+d+".3"), s.step("reading."+d+".9")
				if three == nil || nine == nil {
					return false
				}
				right, left := three.work, nine.work
				three.work = func(v Values) float64 { return right(v) - left(v) }
				nine.work = func(Values) float64 { return 0 }
				return true
			})
		}),
		slip("other-machine-forgotten", eachMovement("first", func(Values, float64, string, string) float64 { return 0 })),
		slip("other-machine-added", eachMovement("first", func(_ Values, right float64, _, _ string) float64 { return -right })),
		slip("movement-not-projected", asMeasured(func(nearest bool) bool { return nearest })),
		slip("movement-at-one-place", asMeasured(func(bool) bool { return true })),
	}
}
