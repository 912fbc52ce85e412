package worksheet

import (
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
)

func sagTestKind() kind {
	return kind{
		name:  "sag-test",
		title: "Sag of a bracket, and a sweep corrected for it",
		asks:  "Find the roll-over sag from the test of the bracket, correct the whole sweep of the dial on the second hub, and find the offset.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			return sagTestRecord(newInventor(r), d)
		},
		build:    sagTestSheet,
		mistakes: sagTestMistakes(),
	}
}

// sagTestRecord invents a job. When it is severe the dial was zeroed at 6 o'clock.
func sagTestRecord(v inventor, d Difficulty) *Record {
	r := reverseRecord(v, Usual)
	r.Title = "Sag test of a bracket, and a sweep"
	if d > Plain && v.IntN(2) == 0 {
		r.Sag[0].Kind = singleDeflection
		r.Sag[0].Reading = v.division(v.um(r.Sag[0].Reading) / 2)
	}
	dial := &r.Sets[0].Dials[0]
	if d == Severe {
		dial.Readings = zeroedAtBottom(dial.Readings)
	}
	return r
}

// zeroedAtBottom returns the readings of a dial that was set to zero at 6 o'clock,
// from there on clockwise.
func zeroedAtBottom(rs []Reading) (out []Reading) {
	for _, i := range [4]int{2, 3, 0, 1} {
		out = append(out, Reading{rs[i].At, tidy(rs[i].Value - rs[2].Value)})
	}
	return out
}

// sagTestSheet works with the dial on the far hub of the first set.
func sagTestSheet(r *Record) (*Sheet, error) {
	t, err := r.twoDials(0)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(r.Sag, func(s SagTest) bool { return s.Bracket == t.far.Bracket })
	if i < 0 {
		return nil, fault("sag", t.far.Bracket, align.ErrMissing)
	}
	q := dialQuartersOf(t.far)
	if err := q.need(dialPath(0, 0), 0, 1, 2, 3); err != nil {
		return nil, err
	}
	u, test := r.Units, &r.Sag[i]
	m := &sheetMaker{Sheet{Kind: "sag-test"}}
	says, times, how := "test of the bracket on a stiff mandrel, rolled over: zero at 12, reading at 6", 1.0, "the reading of the test"
	if test.Kind == singleDeflection {
		says, times, how = "test of the bracket, weight lifted off in one place, minus for a bracket that droops", 2, "twice the reading of the test: it shows the droop once"
		m.given("single", "times that this test shows the droop", 1, align.UnitOne, 0)
	}
	m.given("test", says, u.reading(test.Reading), u.Reading, u.readingDecimals())
	givenDial(m, u, "far", "dial on the "+t.names[1]+" hub, bracket on the "+t.names[0]+zeroWords(t.far), t.far)
	m.ask(Step{ID: "sag", Says: "roll-over sag of the bracket (zero at 12, read at 6)", Formula: how, Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return times * v["test"] })
	m.ask(Step{ID: "droop", Says: "how far the bracket droops, as a size", Formula: "half of the roll-over sag, without its sign", Unit: u.Reading, Decimals: u.readingDecimals() + 1},
		func(v Values) float64 { return math.Abs(v["sag"]) / 2 })
	sagTestSteps(m, u, t, zeroPlace(t.far))
	return &m.Sheet, nil
}

// zeroPlace is the quarter at which the dial was zeroed: that of its first
// reading, 12 o'clock when that is none.
func zeroPlace(d *Dial) int {
	first := dialQuartersOf(&Dial{Readings: d.Readings[:min(1, len(d.Readings))]})
	return max(0, slices.Index(first.read[:], true))
}

// zeroWords says where the dial was zeroed when that is not 12 o'clock.
func zeroWords(d *Dial) string {
	if z := zeroPlace(d); z != 0 {
		return ", zeroed at " + dialHours[z]
	}
	return ""
}

// sagShares are the parts of the roll-over sag that a sweep zeroed at 12 holds:
// (1 - cos t)/2 at 12, 3, 6 and 9 o'clock.
var sagShares = [4]float64{0, 0.5, 1, 0.5}

// sagTestSteps asks the corrected readings and the offsets.
func sagTestSteps(m *sheetMaker, u Units, t *twoDials, zero int) {
	for k := range 3 {
		i := (zero + 1 + k) % 4
		at, share := dialHours[i], sagShares[i]-sagShares[zero]
		how := map[float64]string{0: "as read", 0.5: "reading less half of the roll-over sag", 1: "reading less the roll-over sag",
			-0.5: "reading plus half of the roll-over sag", -1: "reading plus the roll-over sag"}[share]
		m.ask(Step{ID: "corrected." + at, Says: "reading at " + at + " o'clock, corrected; the one at " + dialHours[zero] + " stays",
			Formula: how, Unit: u.Reading, Decimals: u.readingDecimals() + 1},
			func(v Values) float64 { return v["far."+at] - share*v["sag"] })
	}
	m.between("corrected."+dialHours[zero], "as read", u.Reading, func(v Values) float64 { return v["far."+dialHours[zero]] })
	side := sideSign(t.far)
	m.ask(Step{ID: "offset.vertical", Says: "how high or low the " + t.names[1] + " shaft stands at the dial",
		Formula: "minus half of corrected 6 less corrected 12", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow},
		func(v Values) float64 { return -(v["corrected.6"] - v["corrected.12"]) / 2 })
	m.ask(Step{ID: "offset.horizontal", Says: "how far right or left the " + t.names[1] + " shaft stands at the dial",
		Formula: "half of corrected 3 less corrected 9", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: RightLeft},
		func(v Values) float64 { return side * (v["corrected.3"] - v["corrected.9"]) / 2 })
}

// sagTestMistakes are those of the correction of a sweep. A wrong share of the sag
// is one that multiplies the sag in each corrected reading.
func sagTestMistakes() []Mistake {
	// shares takes the sag off in other shares than the right ones; the answers of
	// the key are reading less share times sag.
	shares := func(wrong func(at string, right float64) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return eachOf(dialHours[:], func(at string) bool {
				return s.replace("corrected."+at, func(v Values, right float64) float64 {
					share := 0.0
					if v["sag"] != 0 {
						share = math.Round((v["far."+at]-right)/v["sag"]*2) / 2
					}
					return v["far."+at] - wrong(at, share)*v["sag"]
				})
			})
		}
	}
	times := func(k float64) func(string, float64) float64 {
		return func(_ string, right float64) float64 { return k * right }
	}
	const v, h = "offset.vertical", "offset.horizontal"
	return []Mistake{
		slip("single-test-as-double", func(s *Sheet) bool { return s.has("single") && s.scale(0.5, "sag") }),
		slip("double-test-as-single", func(s *Sheet) bool { return !s.has("single") && s.scale(2, "sag") }),
		slip("sag-sign-lost", scaled(-1, "sag")),
		slip("droop-not-halved", scaled(2, "droop")),
		slip("sag-forgotten", shares(times(0))),
		slip("sag-added", shares(times(-1))),
		slip("sag-half", shares(times(0.5))),
		slip("sag-doubled", shares(times(2))),
		slip("sag-half-at-bottom", shares(func(at string, right float64) float64 {
			if right == 1 || right == -1 {
				return right / 2
			}
			return right
		})),
		slip("sag-full-at-sides", shares(func(at string, right float64) float64 {
			if at == "3" || at == "9" {
				return 2 * right
			}
			return right
		})),
		slip("sag-none-at-sides", shares(func(at string, right float64) float64 {
			if at == "3" || at == "9" {
				return 0
			}
			return right
		})),
		slip("sag-at-3", shares(func(at string, right float64) float64 {
			if at == "9" {
				return 0
			}
			return right
		})),
		slip("sag-zero-ignored", shares(func(at string, _ float64) float64 {
			return sagShares[slices.Index(dialHours[:], at)]
		})),
		slip("dial-sign", turnReadings("far")),
		slip("not-halved", scaled(2, v, h)),
		slip("halved-twice", scaled(0.5, v, h)),
		slip("offsets-turned", scaled(-1, v, h)),
		slip("sides-exchanged", scaled(-1, h)),
		slip("sides-not-halved", scaled(2, h)),
		slip("far-digits-exchanged", digitsExchanged("far.6")),
		slip("far-reading-sign", func(s *Sheet) bool { return s.retake("far.6", func(_ Values, right float64) float64 { return -right }) }),
	}
}
