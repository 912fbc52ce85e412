package worksheet

import (
	"math"

	"collinear.example/moves"
)

func afterMistakes() []Mistake {
	when := []string{"before.", "after."}
	dials := func(far, near float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return eachOf(when, func(w string) bool { return s.scale(far, w+"far") && s.scale(near, w+"near") })
		}
	}
	// sag adds k times the sag to the corrected readings.
	sag := func(k float64, sets ...string) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return eachOf(sets, func(w string) bool { return addTo(s, w+"far", "far.sag", -k/2) && addTo(s, w+"near", "near.sag", k/2) })
		}
	}
	ratios := func(wrong func(v Values, right float64, dial string) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool { return s.replaceAll("ratio.", wrong) }
	}
	named := func(from, to moves.Mistake) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return s.replace("meaning", func(_ Values, right float64) float64 {
				switch right {
				case float64(from):
					return float64(to)
				case float64(to):
					return float64(from)
				}
				return right
			})
		}
	}
	feet := func(wrong func(v Values, right float64, foot string) float64) func(s *Sheet) bool {
		return eachFoot([]string{"vertical"}, func(v Values, right float64, _, foot string) float64 { return wrong(v, right, foot) })
	}
	return []Mistake{
		slip("not-halved", dials(2, 2)), slip("halved-twice", dials(0.5, 0.5)),
		slip("near-sign-kept", dials(1, -1)), slip("offsets-turned", dials(-1, -1)),
		slip("sag-forgotten", sag(1, when...)), slip("sag-added", sag(2, when...)), slip("sag-half", sag(0.5, when...)), slip("sag-doubled", sag(-1, when...)),
		{Code: "after-sag-first-set-only", Says: "took the sag off the readings before the move only: the brackets hang the same after it", Rank: 2, alter: sag(1, "after.")},
		{Code: "after-ratio-inverted", Says: "divided what was there by what is left: it is what is left over what was there", Rank: 1, alter: ratios(func(v Values, right float64, d string) float64 {
			if v["after."+d] == 0 {
				return right
			}
			return v["before."+d] / v["after."+d]
		})},
		{Code: "after-ratio-sign-lost", Says: "lost the sign of the share: an offset that went to the other side is minus", Rank: 1, alter: ratios(func(_ Values, right float64, _ string) float64 { return math.Abs(right) })},
		{Code: "after-share-moved", Says: "gave the share that went in the place of the share that is left", Rank: 2, alter: ratios(func(_ Values, right float64, _ string) float64 { return 1 - right })},
		{Code: "after-one-place", Says: "took the share at one dial for both: the machine may have tilted", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("ratio.far", func(v Values, _ float64) float64 { return v["ratio.near"] })
		}},
		{Code: "after-minus-as-wrong-way", Says: "exchanged minus one and two: the mirror image is a move twice as far, twice the offset a move the wrong way", Rank: 1, alter: named(moves.NotHalved, moves.WrongWay)},
		{Code: "after-half-as-not-halved", Says: "took half of the offset left for a reading that was not halved: it was halved once too often", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("meaning", func(_ Values, right float64) float64 {
				if right == float64(moves.HalvedTwice) {
					return float64(moves.NotHalved)
				}
				return right
			})
		}},
		{Code: "after-move-from-first", Says: "worked the next move from the readings before the last one", Rank: 2, alter: feet(func(v Values, _ float64, foot string) float64 {
			slope := (v["before.far"] - v["before.near"]) / (v["station.far"] - v["station.near"])
			return -(v["before.near"] + slope*(v["foot."+foot]-v["station.near"]))
		})},
		slip("position-for-move", feet(func(_ Values, right float64, _ string) float64 { return -right })),
		slip("feet-exchanged", func(s *Sheet) bool { return s.exchange("move.inboard.vertical", "move.outboard.vertical") }),
		slip("slope-sign", func(s *Sheet) bool { return s.scale(-1, "slope.vertical") }),
		slip("feet-from-far-dial", feet(func(v Values, right float64, _ string) float64 {
			return right + v["slope.vertical"]*(v["station.far"]-v["station.near"])
		})),
	}
}
