package worksheet

import (
	"math"
	"slices"
)

// reverseMistakes are those of a two-dial job, in both planes where there are two.
func reverseMistakes() []Mistake {
	return slices.Concat(reverseReadingSlips(), sagSlips(reverseIDs...), reverseSagSlips(),
		reverseOffsetSlips(), reverseSideSlips(), reverseSlopeSlips(), reverseStart.mistakes())
}

func reverseReadingSlips() []Mistake {
	minus := func(id string) func(s *Sheet) bool {
		return func(s *Sheet) bool { return s.retake(id, func(_ Values, right float64) float64 { return -right }) }
	}
	return []Mistake{
		slip("dial-sign", turnReadings(reverseIDs...)),
		slip("zeroed-at-6", func(s *Sheet) bool {
			// In one plane this is the same as the sign of the dials.
			return s.has("offset.far.horizontal") && s.exchangeGivens("far.12", "far.6") && s.exchangeGivens("near.12", "near.6")
		}),
		slip("top-not-subtracted", func(s *Sheet) bool {
			return addTo(s, "corrected.far", "far.12", 1) && addTo(s, "corrected.near", "near.12", 1)
		}),
		slip("tir-as-vertical", func(s *Sheet) bool {
			return eachOf(reverseIDs, func(id string) bool {
				return s.has(id+".3") && s.replace("corrected."+id, func(v Values, _ float64) float64 { return rangeOf(v, id) - v[id+".sag"] })
			})
		}),
		slip("division-doubled", func(s *Sheet) bool {
			return eachOf(reverseIDs, func(id string) bool {
				return eachOf(dialHours[:], func(at string) bool {
					return s.retake(id+"."+at, func(_ Values, right float64) float64 { return 2 * right })
				})
			})
		}),
		slip("far-digits-exchanged", digitsExchanged("far.6")),
		slip("near-digits-exchanged", digitsExchanged("near.6")),
		slip("far-reading-sign", minus("far.6")),
		slip("near-reading-sign", minus("near.6")),
		slip("fourth-without-top", fourth(func(v Values, id, across string) float64 { return v[id+".6"] - v[id+"."+across] })),
		slip("fourth-opposite", fourth(func(v Values, id, across string) float64 { return -v[id+"."+across] })),
		slip("fourth-across-and-side", fourth(func(v Values, id, across string) float64 { return v[id+"."+across] + v[id+".6"] - v[id+".12"] })),
	}
}

// rangeOf is the largest reading of a dial less the smallest.
func rangeOf(v Values, id string) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, at := range dialHours {
		if x, ok := v[id+"."+at]; ok {
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
	}
	return hi - lo
}

// fourth finds a reading that was not taken in a wrong way.
func fourth(wrong func(v Values, id, across string) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(reverseIDs, func(id string) bool {
			three := s.replace(id+".3", func(v Values, _ float64) float64 { return wrong(v, id, "9") })
			nine := s.replace(id+".9", func(v Values, _ float64) float64 { return wrong(v, id, "3") })
			return three || nine
		})
	}
}

func reverseSagSlips() []Mistake {
	return []Mistake{
		slip("sag-far-only", func(s *Sheet) bool { return addTo(s, "corrected.near", "near.sag", 1) }),
		slip("sag-near-only", func(s *Sheet) bool { return addTo(s, "corrected.far", "far.sag", 1) }),
		slip("sag-of-other-bracket", func(s *Sheet) bool { return s.exchangeGivens("far.sag", "near.sag") }),
		slip("sag-at-3", func(s *Sheet) bool {
			return addTo(s, "offset.far.horizontal", "far.sag", -0.5) && addTo(s, "offset.near.horizontal", "near.sag", 0.5)
		}),
	}
}

func reverseOffsetSlips() []Mistake {
	return []Mistake{
		slip("not-halved", offsets(2, 2)),
		slip("halved-twice", offsets(0.5, 0.5)),
		slip("far-not-halved", offsets(2, 1)),
		slip("near-not-halved", offsets(1, 2)),
		slip("near-sign-kept", offsets(1, -1)),
		slip("far-sign-turned", offsets(-1, 1)),
		slip("offsets-turned", offsets(-1, -1)),
		slip("dials-exchanged", func(s *Sheet) bool {
			return eachOf(bothPlanes, func(p string) bool {
				far, near := s.step("offset.far."+p), s.step("offset.near."+p)
				if far == nil || near == nil {
					return false
				}
				f, n := far.work, near.work
				// The other dial's figure, with the sign that belongs to this place.
				far.work = func(v Values) float64 { return -n(v) }
				near.work = func(v Values) float64 { return -f(v) }
				return true
			})
		}),
	}
}

// offsets multiplies the offsets at the far and at the near dial in every plane.
func offsets(far, near float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(bothPlanes, func(p string) bool { return s.scale(far, "offset.far."+p) && s.scale(near, "offset.near."+p) })
	}
}

func reverseSideSlips() []Mistake {
	const far, near = "offset.far.horizontal", "offset.near.horizontal"
	alone := func(at string, sign float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return eachOf(reverseIDs, func(id string) bool { return sideAlone(s, id, "offset."+id+".horizontal", at, sign) })
		}
	}
	return []Mistake{
		slip("sides-exchanged", func(s *Sheet) bool { return s.scale(-1, far, near) }),
		slip("far-sides-exchanged", scaled(-1, far)),
		slip("near-sides-exchanged", scaled(-1, near)),
		slip("sides-not-subtracted", alone("3", 1)),
		slip("nine-alone", alone("9", -1)),
		slip("sides-not-halved", scaled(2, far, near)),
	}
}

func reverseSlopeSlips() []Mistake {
	// over divides by another length than the distance between the dials.
	over := func(from, to string) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return s.has(from) && s.has(to) && eachPlane(bothPlanes, "slope.", func(v Values, right float64) float64 {
				return right * (v["station.far"] - v["station.near"]) / (v[to] - v[from])
			})(s)
		}
	}
	return []Mistake{
		slip("slope-sign", scaleSlopes(-1)),
		slip("slope-added", func(s *Sheet) bool {
			return eachOf(bothPlanes, func(p string) bool {
				return s.replace("slope."+p, func(v Values, right float64) float64 {
					return right + 2*v["offset.near."+p]/(v["station.far"]-v["station.near"])
				})
			})
		}),
		slip("span-half", scaleSlopes(2)),
		slip("span-to-feet", over("station.near", "foot.inboard")),
		slip("span-of-flex-planes", over("flex.near", "flex.far")),
		slip("feet-from-far-dial", eachFoot(bothPlanes, func(v Values, right float64, plane, _ string) float64 {
			return right + v["slope."+plane]*(v["station.far"]-v["station.near"])
		})),
		slip("offset-of-far-dial", eachFoot(bothPlanes, func(v Values, right float64, plane, _ string) float64 {
			return right - v["offset.far."+plane] + v["offset.near."+plane]
		})),
		slip("inboard-at-coupling", func(s *Sheet) bool {
			return eachOf(bothPlanes, func(p string) bool {
				return s.replace("move.inboard."+p, func(v Values, _ float64) float64 { return -v["offset.far."+p] })
			})
		}),
	}
}
