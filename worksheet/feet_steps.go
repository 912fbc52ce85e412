package worksheet

import (
	"math"
	"slices"

	"collinear.example/align"
)

// bothPlanes are the planes in the order in which they are worked.
var bothPlanes = []string{"vertical", "horizontal"}

// lineStart says from where the line is drawn out to the feet: the id of the
// offset there, less its plane, and that of the station.
type lineStart struct{ offset, station, words string }

// givenFeet puts the stations of the feet on the sheet.
func givenFeet(m *sheetMaker, u Units, moving string, feet []Foot) {
	for _, f := range feet {
		m.given("foot."+f.Name, "station of the "+f.Name+" feet of the "+moving, u.length(f.Station), u.Length, 2)
	}
}

// askFeet asks the moves of one plane: the line through the offset at its start,
// drawn out to the feet, with the sign turned.
func askFeet(m *sheetMaker, u Units, from lineStart, plane, moving string, feet []Foot) {
	sense := RaiseLower
	if plane == "horizontal" {
		sense = RightLeft
	}
	for _, f := range feet {
		foot := "foot." + f.Name
		m.ask(Step{ID: "move." + f.Name + "." + plane, Says: "what to do at the " + f.Name + " feet of the " + moving + ", " + plane + " plane",
			Formula: "minus (offset at " + from.words + " plus slope times the distance from there to the feet)",
			Unit:    u.Reading, Decimals: u.readingDecimals(), Sense: sense},
			func(v Values) float64 {
				return -(v[from.offset+plane] + v["slope."+plane]*(v[foot]-v[from.station]))
			})
	}
}

// slopeStep is the question for the slope of one plane.
func slopeStep(u Units, plane, moving, formula string) Step {
	way := "rising"
	if plane == "horizontal" {
		way = "going right"
	}
	return Step{ID: "slope." + plane, Says: "slope of the " + moving + " shaft, " + plane + " plane, plus " + way + " away from the first machine",
		Formula: formula, Unit: u.slopeUnit(), Decimals: 3}
}

// mistakes are those made between the slope and the feet.
func (from lineStart) mistakes() []Mistake {
	distance := func(v Values, foot string) float64 { return v["foot."+foot] - v[from.station] }
	outboard := func(wrong func(v Values, right float64, plane string) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return eachOf(bothPlanes, func(p string) bool {
				return s.has("foot.inboard") && s.replace("move.outboard."+p, func(v Values, right float64) float64 { return wrong(v, right, p) })
			})
		}
	}
	return []Mistake{
		slip("slope-in-degrees", scaleSlopes(180/math.Pi)),
		slip("slope-from-degrees", scaleSlopes(math.Pi/180)),
		slip("slope-rounded", roundSlopes),
		slip("station-for-distance", eachFoot(bothPlanes, func(v Values, right float64, plane, _ string) float64 {
			return right - v["slope."+plane]*v[from.station]
		})),
		slip("distance-sign", eachFoot(bothPlanes, func(v Values, right float64, plane, foot string) float64 {
			return right + 2*v["slope."+plane]*distance(v, foot)
		})),
		slip("inboard-for-outboard", outboard(func(v Values, right float64, p string) float64 {
			return right + v["slope."+p]*(v["foot.outboard"]-v["foot.inboard"])
		})),
		slip("foot-spacing", outboard(func(v Values, right float64, p string) float64 {
			return right + v["slope."+p]*distance(v, "inboard")
		})),
		slip("inboard-added-twice", outboard(func(v Values, right float64, p string) float64 {
			return right - v["slope."+p]*distance(v, "inboard")
		})),
		slip("feet-exchanged", func(s *Sheet) bool {
			return eachOf(bothPlanes, func(p string) bool { return s.exchange("move.inboard."+p, "move.outboard."+p) })
		}),
		slip("position-for-move", eachFoot(bothPlanes, func(_ Values, right float64, _, _ string) float64 { return -right })),
		slip("offset-for-foot", eachFoot(bothPlanes, func(v Values, _ float64, plane, _ string) float64 { return -v[from.offset+plane] })),
		slip("planes-exchanged", func(s *Sheet) bool {
			return eachOf([]string{"inboard", "outboard"}, func(f string) bool {
				return s.exchange("move."+f+".vertical", "move."+f+".horizontal")
			})
		}),
	}
}

// scaleSlopes multiplies the slope of every plane.
func scaleSlopes(k float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(bothPlanes, func(p string) bool { return s.scale(k, "slope."+p) })
	}
}

// roundSlopes rounds the slopes to a tenth of their unit before they are used.
func roundSlopes(s *Sheet) bool {
	return eachOf(bothPlanes, func(p string) bool {
		st := s.step("slope." + p)
		if st == nil {
			return false
		}
		u := st.Unit
		return s.replace(st.ID, func(_ Values, right float64) float64 { return u.SI(math.Round(u.FromSI(right)*10) / 10) })
	})
}

// exchange exchanges the work of two steps; it reports whether both are there.
func (s *Sheet) exchange(a, b string) bool {
	one, other := s.step(a), s.step(b)
	if one == nil || other == nil {
		return false
	}
	one.work, other.work = other.work, one.work
	return true
}

// exchangeGivens takes each of two givens for the other.
func (s *Sheet) exchangeGivens(a, b string) bool {
	one := slices.IndexFunc(s.Givens, func(g Given) bool { return g.ID == a })
	other := slices.IndexFunc(s.Givens, func(g Given) bool { return g.ID == b })
	if one < 0 || other < 0 {
		return false
	}
	s.Givens[one].Value, s.Givens[other].Value = s.Givens[other].Value, s.Givens[one].Value
	return true
}

// addTo adds k times a given to a step.
func addTo(s *Sheet, step, given string, k float64) bool {
	if !s.has(given) {
		return false
	}
	return s.replace(step, func(v Values, right float64) float64 { return right + k*v[given] })
}

// eachOf does f for every plane, or whatever is named, and reports whether it did
// for one at least.
func eachOf(names []string, f func(name string) bool) bool {
	some := false
	for _, n := range names {
		some = f(n) || some
	}
	return some
}

// eachPlane replaces a step in every plane.
func eachPlane(planes []string, prefix string, wrong func(v Values, right float64) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(planes, func(p string) bool { return s.replace(prefix+p, wrong) })
	}
}

// eachFoot replaces the moves at both feet in every plane.
func eachFoot(planes []string, wrong func(v Values, right float64, plane, foot string) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(planes, func(p string) bool {
			return eachOf([]string{"inboard", "outboard"}, func(f string) bool {
				return s.replace("move."+f+"."+p, func(v Values, right float64) float64 { return wrong(v, right, p, f) })
			})
		})
	}
}

// scaled multiplies those of the steps that are there.
func scaled(k float64, ids ...string) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(ids, func(id string) bool { return s.scale(k, id) })
	}
}

// turnReadings takes every reading of the dials with its sign turned.
func turnReadings(dials ...string) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return eachOf(dials, func(d string) bool {
			return eachOf(dialHours[:], func(at string) bool {
				return s.retake(d+"."+at, func(_ Values, right float64) float64 { return -right })
			})
		})
	}
}

// sagSlips are the mistakes with the sag of the brackets that are made at all
// dials alike.
func sagSlips(dials ...string) []Mistake {
	add := func(k float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return eachOf(dials, func(d string) bool { return addTo(s, "corrected."+d, d+".sag", k) })
		}
	}
	return []Mistake{slip("sag-forgotten", add(1)), slip("sag-added", add(2)), slip("sag-half", add(0.5)), slip("sag-doubled", add(-1))}
}

// digitsExchanged takes a given with two neighbouring digits exchanged, 17 for 71
// or 0.45 for 0.54; it reports whether the given has two that differ.
func digitsExchanged(id string) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		i := slices.IndexFunc(s.Givens, func(g Given) bool { return g.ID == id })
		if i < 0 {
			return false
		}
		g := &s.Givens[i]
		last := map[align.Unit]float64{align.UnitMil: 1, align.UnitMicrometre: 1, align.UnitMillimetre: 0.01, align.UnitInch: 0.001}[g.Unit]
		if last == 0 {
			return false
		}
		n := math.Abs(math.Round(g.Unit.FromSI(g.Value)/last*2) / 2) // mils have halves
		tens, ones := math.Mod(math.Floor(n/10), 10), math.Mod(math.Floor(n), 10)
		if n < 10 || n > 1e6 || tens == ones {
			return false
		}
		wrong := n + 9*(ones-tens)
		g.Value = math.Copysign(g.Unit.SI(wrong*last), g.Value)
		return true
	}
}

// sideAlone takes the reading of a dial on one side for the difference of the two
// sides, 3 less 9: sign is plus for 3 and minus for 9.
func sideAlone(s *Sheet, dial, step, at string, sign float64) bool {
	return s.replace(step, func(v Values, right float64) float64 {
		both := v[dial+".3"] - v[dial+".9"]
		if both == 0 {
			return right
		}
		return right / both * sign * v[dial+"."+at]
	})
}

// givenNotZero reports whether a given is there and is not zero.
func (s *Sheet) givenNotZero(id string) bool {
	return slices.ContainsFunc(s.Givens, func(g Given) bool { return g.ID == id && g.Value != 0 })
}

// notDivided leaves the division by a diameter out: the number of the reading is
// written down for the slope, as so much to the inch or to the metre.
func notDivided(diameter string) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		return s.has(diameter) && eachOf(bothPlanes, func(p string) bool {
			st := s.step("slope." + p)
			if st == nil {
				return false
			}
			run := align.UnitMetre.SI(1)
			if st.Unit == align.UnitMilPerInch {
				run = align.UnitInch.SI(1)
			}
			return s.replace(st.ID, func(v Values, right float64) float64 { return right * v[diameter] / run })
		})
	}
}
