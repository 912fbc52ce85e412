package worksheet

import (
	"math"
	"math/rand/v2"

	"collinear.example/align"
	"collinear.example/piping"
)

func obliqueKind() kind {
	return kind{
		name:  "oblique-dial",
		title: "One dial at an angle",
		asks: "A single dial stands between the vertical and the horizontal, its stem pointing at the centre of the shaft, while a flange is let go; nothing turns. " +
			"Find what its reading proves against a limit that holds for up or down and for right or left, each by itself, and what it leaves open.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return obliqueRecord(newInventor(r), d) },
		build:    obliqueSheet,
		mistakes: obliqueMistakes(),
	}
}

// obliqueRecord invents a reading clearly below or above what the limit allows;
// with a vertical dial beside it for Usual and another horizontal one for Severe.
func obliqueRecord(v inventor, d Difficulty) *Record {
	r := v.record("A dial at an angle while a flange is let go")
	limit := piping.MovementLimits()[0]
	if v.inch {
		limit = piping.MovementLimits()[1]
	}
	o := ObliqueDial{Machine: r.Train.Machines[1].Name, What: []string{"discharge flange", "suction flange"}[v.IntN(2)], Station: v.length(50, 300),
		At: []float64{45, 315}[v.IntN(2)], Limit: math.Round(r.Units.Reading.FromSI(limit.SI())*100) / 100, Source: limit.Source}
	if d == Severe {
		o.At = []float64{30, 60, 300, 330}[v.IntN(4)]
	}
	up, right := align.Clock(o.At).Unit()
	whole := v.um(o.Limit) * (math.Abs(up) + math.Abs(right))
	o.Reading = v.sign() * v.division(whole*[]float64{0.35 + 0.5*v.Float64(), 1.2 + 0.5*v.Float64()}[v.IntN(2)])
	vertical, horizontal := v.signed(20, 90), 0.0
	horizontal = v.division((v.um(o.Reading)-v.um(vertical)*up)/right + v.either(10, 25))
	switch d {
	case Usual:
		o.Up = &vertical
	case Severe:
		o.Up, o.Right = &vertical, &horizontal
	}
	r.Oblique = []ObliqueDial{o}
	return r
}

func obliqueSheet(r *Record) (*Sheet, error) {
	if len(r.Oblique) == 0 {
		return nil, fault("oblique", "", align.ErrMissing)
	}
	o := &r.Oblique[0]
	up, right := align.Clock(o.At).Unit()
	if !align.IsFinite(o.At) || math.Abs(up) < 0.01 || math.Abs(right) < 0.01 {
		return nil, fault("oblique[0].at", "", align.ErrOutOfRange)
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "oblique-dial"}}
	m.given("at", "clock position of the dial, from 12 o'clock", o.At*math.Pi/180, align.UnitDegree, 1)
	m.given("reading", "its reading after the "+o.What+" was let go (plus: the shaft came toward the dial)", u.reading(o.Reading), u.Reading, u.readingDecimals())
	m.given("limit", "most movement allowed, up or down and to either side, each by itself ("+o.Source+")", u.reading(o.Limit), u.Reading, u.readingDecimals())
	// The shares of the two directions, exact at the quarter positions.
	m.between("share.up", "cosine of the clock position", align.UnitOne, func(Values) float64 { return up })
	m.between("share.right", "sine of the clock position", align.UnitOne, func(Values) float64 { return right })
	obliqueProof(m, u)
	obliqueAlone(m, u, o)
	obliqueWith(m, u, o)
	return &m.Sheet, nil
}

// obliqueProof asks what the reading proves (package piping, Oblique).
func obliqueProof(m *sheetMaker, u Units) {
	m.ask(Step{ID: "least", Says: "the least the shaft can have moved", Formula: "size of the reading: the dial shows the part along its own line",
		Unit: u.Reading, Decimals: u.readingDecimals() + 1}, func(v Values) float64 { return math.Abs(v["reading"]) })
	m.ask(Step{ID: "most-within", Says: "the largest reading that a movement within the limits can give", Formula: "limit times (size of the cosine plus size of the sine of the clock position)",
		Unit: u.Reading, Decimals: u.readingDecimals() + 1},
		func(v Values) float64 { return v["limit"] * (math.Abs(v["share.up"]) + math.Abs(v["share.right"])) })
	m.ask(Step{ID: "verdict", Says: "the reading by itself against the limits",
		Formula: "over when it is larger than any movement within the limits can give, else not determined; it never proves that the limits are kept",
		Choices: []string{"within", "over", "not determined"}},
		func(v Values) float64 {
			if overLimit(v["least"], v["most-within"]) == 1 {
				return 1
			}
			return 2
		})
}

// obliqueAlone asks what the reading would mean for a movement in one direction.
func obliqueAlone(m *sheetMaker, u Units, o *ObliqueDial) {
	if o.Up == nil {
		m.ask(Step{ID: "only-up", Says: "how far the shaft moved if it moved up or down alone", Formula: "reading over the cosine of the clock position",
			Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow}, func(v Values) float64 { return v["reading"] / v["share.up"] })
	}
	if o.Right == nil && o.Up == nil {
		m.ask(Step{ID: "only-right", Says: "how far the shaft moved if it moved to a side alone", Formula: "reading over the sine of the clock position",
			Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: RightLeft}, func(v Values) float64 { return v["reading"] / v["share.right"] })
	}
	if k := float64(align.Clock(o.At).Normal()); math.Mod(k, 90) == 45 {
		blind := 1.0
		if math.Mod(k, 180) == 135 {
			blind = 0
		}
		m.ask(Step{ID: "blind", Says: "toward which clock positions the shaft can move without the dial showing anything", Formula: "a quarter before and after the dial",
			Choices: []string{"1:30 and 7:30", "4:30 and 10:30", "12 and 6", "3 and 9"}}, func(Values) float64 { return blind })
	}
}

// obliqueWith asks what a second and a third dial make of it.
func obliqueWith(m *sheetMaker, u Units, o *ObliqueDial) {
	if o.Up == nil {
		return
	}
	m.given("up", "reading of a dial straight above at the same station (plus: the shaft came up)", u.reading(*o.Up), u.Reading, u.readingDecimals())
	m.ask(Step{ID: "right", Says: "how far the shaft moved to the side, from the dial at the angle and the one above",
		Formula: "(reading less the vertical movement times the cosine) over the sine of the clock position", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: RightLeft},
		func(v Values) float64 { return (v["reading"] - v["up"]*v["share.up"]) / v["share.right"] })
	m.ask(Step{ID: "whole", Says: "how far it moved, both directions together", Formula: "root of the sum of the squares of both directions", Unit: u.Reading, Decimals: u.readingDecimals() + 1},
		func(v Values) float64 { return math.Hypot(v["up"], v["right"]) })
	if o.Right == nil {
		m.ask(Step{ID: "verdict-both", Says: "both directions against the limit", Formula: "each by itself", Choices: withinOrOver},
			func(v Values) float64 {
				return max(overLimit(v["up"], v["limit"]), overLimit(v["right"], v["limit"]))
			})
		return
	}
	m.given("beside", "reading of a dial beside the shaft at the same station (plus: the shaft came to the right)", u.reading(*o.Right), u.Reading, u.readingDecimals())
	m.ask(Step{ID: "expected", Says: "what the dial at the angle should have read, by the dials above and beside",
		Formula: "vertical movement times the cosine plus horizontal movement times the sine of the clock position", Unit: u.Reading, Decimals: u.readingDecimals() + 1},
		func(v Values) float64 { return v["up"]*v["share.up"] + v["beside"]*v["share.right"] })
	m.ask(Step{ID: "left-over", Says: "what is left of its reading", Formula: "reading less what it should have been", Unit: u.Reading, Decimals: u.readingDecimals() + 1},
		func(v Values) float64 { return v["reading"] - v["expected"] })
}

func obliqueMistakes() []Mistake {
	alone := func(wrong func(reading, share float64) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			one := s.replace("only-up", func(v Values, _ float64) float64 { return wrong(v["reading"], v["share.up"]) })
			other := s.replace("only-right", func(v Values, _ float64) float64 { return wrong(v["reading"], v["share.right"]) })
			return one || other
		}
	}
	most := func(wrong func(v Values) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return s.replace("most-within", func(v Values, _ float64) float64 { return wrong(v) })
		}
	}
	return []Mistake{
		{Code: "strain-halved", Says: strainHalved("").Says, Rank: strainHalved("").Rank, alter: func(s *Sheet) bool {
			return eachOf([]string{"reading", "up", "beside"}, func(id string) bool {
				return s.retake(id, func(_ Values, right float64) float64 { return right / 2 })
			})
		}},
		slip("dial-sign", func(s *Sheet) bool {
			return eachOf([]string{"reading", "up", "beside"}, func(id string) bool {
				return s.retake(id, func(_ Values, right float64) float64 { return -right })
			})
		}),
		{Code: "oblique-reading-as-component", Says: "took the reading for the movement up or to the side: the dial shows a part of it only", Rank: 1, alter: alone(func(r, _ float64) float64 { return r })},
		{Code: "oblique-multiplied", Says: "multiplied by the cosine where it divides: the dial shows less than the shaft moved", Rank: 1, alter: alone(func(r, share float64) float64 { return r * share })},
		{Code: "oblique-sign-of-side", Says: "lost the sign of the side the dial stands on", Rank: 2, alter: func(s *Sheet) bool {
			if s.has("up") && !s.has("beside") {
				return false // the sign of the dials turned gives the same
			}
			return s.replace("share.right", func(_ Values, right float64) float64 { return -right })
		}},
		{Code: "oblique-limit-as-bound", Says: "held the reading against the limit itself: up and to the side together can give more within the limits", Rank: 1, alter: most(func(v Values) float64 { return v["limit"] })},
		{Code: "oblique-limits-added", Says: "added both limits whole: the dial shows the part of each along its line", Rank: 2, alter: most(func(v Values) float64 { return 2 * v["limit"] })},
		{Code: "oblique-one-limit", Says: "took the part of one limit alone along the dial, or divided by the root of 2: a corner of the limits lies farther out, not nearer", Rank: 2, alter: most(func(v Values) float64 { return v["limit"] * math.Abs(v["share.up"]) })},
		{Code: "oblique-least-part", Says: "took the part of the reading in one direction for the least movement: no movement can be smaller than the reading", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("least", func(v Values, right float64) float64 { return right * math.Abs(v["share.up"]) })
		}},
		{Code: "oblique-least-as-if-up", Says: "took the least movement as if it had gone straight up or down: along the dial a smaller one gives the same reading", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("least", func(v Values, right float64) float64 { return right / math.Abs(v["share.up"]) })
		}},
		{Code: "oblique-small-is-within", Says: "took a small reading as proof that the limits are kept: across its line the dial sees nothing", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("verdict", func(_ Values, right float64) float64 {
				if right == 2 {
					return 0
				}
				return right
			})
		}},
		{Code: "oblique-blind-across", Says: "took the line of the dial for the one across it: along its line it sees all", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("blind", func(_ Values, right float64) float64 { return 1 - right })
		}},
		{Code: "oblique-vertical-forgotten", Says: "left the vertical movement in the reading", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("right", func(v Values, _ float64) float64 { return v["reading"] / v["share.right"] })
		}},
		{Code: "oblique-vertical-whole", Says: "took the whole vertical movement off the reading: the dial shows its part along the stem", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("right", func(v Values, _ float64) float64 { return (v["reading"] - v["up"]) / v["share.right"] })
		}},
		{Code: "oblique-not-divided", Says: "did not divide what is left by the sine of the clock position", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("right", func(v Values, right float64) float64 { return right * v["share.right"] })
		}},
		{Code: "oblique-added", Says: "added both directions: they stand square to each other, so their squares add", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("whole", func(v Values, _ float64) float64 { return math.Abs(v["up"]) + math.Abs(v["right"]) })
		}},
		{Code: "oblique-not-projected", Says: "added the readings above and beside whole, without their parts along the dial", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("expected", func(v Values, _ float64) float64 {
				return math.Copysign(v["up"], v["up"]*v["share.up"]) + math.Copysign(v["beside"], v["beside"]*v["share.right"])
			})
		}},
	}
}
