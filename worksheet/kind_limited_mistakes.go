package worksheet

import (
	"math"
	"strings"
)

func limitedMistakes() []Mistake {
	// feet replaces the moves of one machine in every plane.
	feet := func(machine string, wrong func(v Values, right float64, foot, plane string) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return s.replaceAll("move."+machine+".", func(v Values, right float64, rest string) float64 {
				dot := strings.LastIndex(rest, ".")
				return wrong(v, right, rest[:dot], rest[dot+1:])
			})
		}
	}
	targets := func(wrong func(v Values, right float64, dial string) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool { return s.replaceAll("target.", wrong) }
	}
	line := func(v Values, x float64, p string) float64 {
		return v["error.near."+p] + v["slope."+p]*(x-v["station.near"])
	}
	return []Mistake{
		slip("position-for-move", feet("1", func(_ Values, right float64, _, _ string) float64 { return -right })),
		slip("feet-from-far-dial", feet("1", func(v Values, right float64, _, p string) float64 {
			return right + v["slope."+p]*(v["station.far"]-v["station.near"])
		})),
		slip("offset-for-foot", feet("1", func(v Values, _ float64, _, p string) float64 { return -v["error.near."+p] })),
		slip("feet-exchanged", func(s *Sheet) bool {
			return eachOf(bothPlanes, func(p string) bool { return s.exchange("move.1.inboard."+p, "move.1.outboard."+p) })
		}),
		slip("inboard-for-outboard", feet("1", func(v Values, right float64, foot, p string) float64 {
			if foot != "outboard" {
				return right
			}
			return -line(v, v["foot.1.inboard"], p)
		})),
		slip("slope-sign", func(s *Sheet) bool {
			return eachOf(bothPlanes, func(p string) bool { return s.scale(-1, "slope."+p) })
		}),
		{Code: "limited-target-forgotten", Says: "brought the shafts in line cold: they are to be in line running", Rank: 1, alter: targets(func(Values, float64, string) float64 { return 0 })},
		slip("target-hot", targets(func(_ Values, right float64, _ string) float64 { return -right })),
		{Code: "limited-target-halved", Says: "halved the target: a growth is no reading of a dial", Rank: 2, alter: targets(func(_ Values, right float64, _ string) float64 { return right / 2 })},
		slip("other-machine-forgotten", targets(func(v Values, _ float64, dial string) float64 { return -v["grows.1."+dial] })),
		slip("other-machine-added", targets(func(v Values, _ float64, dial string) float64 { return -v["grows.1."+dial] - v["grows.0."+dial] })),
		{Code: "limited-least-forgotten", Says: "counted all shims as shims to take out: some must stay", Rank: 1, alter: func(s *Sheet) bool { return s.retakeAll("least.1.", 0) }},
		{Code: "limited-least-for-room", Says: "took what must stay for what there is to take out", Rank: 3, alter: func(s *Sheet) bool {
			some := false
			for _, g := range s.Givens {
				if rest, ok := strings.CutPrefix(g.ID, "shims.1."); ok {
					some = s.retake("least.1."+rest, func(v Values, right float64) float64 { return v["shims.1."+rest] - right }) || some
				}
			}
			return some
		}},
		{Code: "limited-whole-move", Says: "gave the whole move for what lacks: the shims that are there come off", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("short", func(v Values, right float64) float64 {
				most := 0.0
				for _, g := range s.Givens {
					rest, ok := strings.CutPrefix(g.ID, "foot.1.")
					if move := v["move.1."+rest+".vertical"]; ok && lacks(v, "1."+rest, "vertical", move) > 0 {
						most = math.Max(most, -move)
					}
				}
				return most
			})
		}},
		{Code: "limited-room-other-side", Says: "took the room on the other side of the bolts", Rank: 2, alter: func(s *Sheet) bool {
			some := false
			for _, g := range s.Givens {
				if rest, ok := strings.CutPrefix(g.ID, "left.1."); ok {
					some = s.exchangeGivens(g.ID, "right.1."+rest) || some
				}
			}
			return some
		}},
		{Code: "limited-other-machine-same-numbers", Says: "gave the first machine the numbers of the second: it needs the line at its own feet, and goes the other way", Rank: 1,
			alter: feet("0", func(v Values, _ float64, foot, p string) float64 { return v["move.1."+foot+"."+p] })},
		{Code: "limited-other-machine-turned-numbers", Says: "turned the second machine's numbers for the first: it needs the line at its own feet", Rank: 1,
			alter: feet("0", func(v Values, _ float64, foot, p string) float64 { return -v["move.1."+foot+"."+p] })},
		{Code: "limited-other-machine-sign", Says: "moved the first machine the way the second would go: it goes to the other's line", Rank: 1,
			alter: feet("0", func(_ Values, right float64, _, _ string) float64 { return -right })},
		{Code: "limited-other-distance-sign", Says: "went to the wrong side: the feet of the first machine lie on the other side of its dial", Rank: 2,
			alter: feet("0", func(v Values, _ float64, foot, p string) float64 {
				return line(v, 2*v["station.near"]-v["foot.0."+foot], p)
			})},
	}
}
