package worksheet

import (
	"math"
	"math/rand/v2"

	"collinear.example/align"
)

func sweepCheckKind() kind {
	return kind{
		name:  "sweep-check",
		title: "Can this sweep be believed?",
		asks:  "Hold the closing reading and the sums of opposite readings of the dial on the second hub against their limits, and find the total indicator reading and the offset. The limits are common practice and no standard's.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			return sweepCheckRecord(newInventor(r), d)
		},
		build:    sweepCheckSheet,
		mistakes: sweepCheckMistakes(),
	}
}

// keepOrRepeat are the words of the verdict, in the order of their indexes.
var keepOrRepeat = []string{"keep", "repeat"}

// sweepCheckRecord invents a sweep that closes or does not, whose sums agree or do
// not. It may be written by a person who looks the other way; when it is severe a
// turn of the needle was missed at the bottom.
func sweepCheckRecord(v inventor, d Difficulty) *Record {
	r := reverseRecord(v, Usual)
	r.Title = "Check of a sweep"
	dial := &r.Sets[0].Dials[0]
	top, closes, sums := 0.0, 0.0, v.signed(15, 40)
	if d != Plain {
		top = v.signed(60, 200)
		dial.Against = v.IntN(2) == 0
		r.Sets[0].Dials[1].Against = dial.Against
	}
	switch v.IntN(4) {
	case 0:
		closes = v.signed(25, 80)
	case 1:
		sums = v.signed(80, 200)
	}
	for i := range dial.Readings {
		dial.Readings[i].Value = tidy(dial.Readings[i].Value + top)
	}
	dial.Readings[3].Value = tidy(dial.Readings[3].Value - sums)
	dial.Readings = append(dial.Readings, Reading{360, tidy(top + closes)})
	if d == Severe {
		turn := 1.0
		if v.inch {
			turn = 100
		}
		dial.Turn = &turn
		dial.Readings[2].Value = tidy(dial.Readings[2].Value - math.Copysign(turn, dial.Readings[2].Value))
	}
	return r
}

// sweepCheckSheet works with the dial on the far hub of the first set.
func sweepCheckSheet(r *Record) (*Sheet, error) {
	t, err := r.twoDials(0)
	if err != nil {
		return nil, err
	}
	d, u := t.far, r.Units
	q := dialQuartersOf(d)
	if err := q.need(dialPath(0, 0), 0, 1, 2, 3); err != nil {
		return nil, err
	}
	if q.closing == nil || zeroPlace(d) != 0 {
		return nil, fault(dialPath(0, 0)+".readings", "no closing reading at 12 o'clock", align.ErrMissing)
	}
	m := &sheetMaker{Sheet{Kind: "sweep-check"}}
	says := "dial on the " + t.names[1] + " hub"
	givenDial(m, u, "far", says, d)
	m.given("far.again", says+", at 12 o'clock again after the whole turn", u.reading(*q.closing), u.Reading, u.readingDecimals())
	if err := givenSag(m, r, "far", says, dialPath(0, 0), d); err != nil {
		return nil, err
	}
	checks := align.DefaultChecks()
	m.given("limit.closing", "most that the closing reading may differ from the first", float64(checks.Closure), u.Reading, u.readingDecimals()+1)
	m.given("limit.sum", "most that the sums of opposite readings may differ", float64(checks.SumRule), u.Reading, u.readingDecimals()+1)
	bottom := "far.6"
	if d.Turn != nil {
		if !(*d.Turn > 0) {
			return nil, fault(dialPath(0, 0)+".turn", "", align.ErrOutOfRange)
		}
		bottom = "restored"
		m.given("turn", "one turn of the needle; the turns were not counted at 6 o'clock", u.reading(*d.Turn), u.Reading, u.readingDecimals())
		m.ask(Step{ID: bottom, Says: "reading at 6 o'clock with the missed turn put back", Formula: "reading at 6 with the turn added or taken off that makes top plus bottom agree with the sides",
			Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) float64 { return v["far.6"] + turnsMissed(v)*v["turn"] })
	}
	sweepCheckJudged(m, u, bottom)
	sweepCheckOffsets(m, u, t, bottom)
	return &m.Sheet, nil
}

// turnsMissed is how many turns of the needle make the sums agree.
func turnsMissed(v Values) float64 {
	return -math.Round((v["far.12"] + v["far.6"] - v["far.3"] - v["far.9"]) / v["turn"])
}

// overSweepLimit holds a difference against its limit; what is equal to it is within.
func overSweepLimit(difference, limit float64) bool {
	return float64(math.Abs(difference)*(1-1e-9)) > limit
}

// sweepCheckJudged asks the two checks and the verdict.
func sweepCheckJudged(m *sheetMaker, u Units, bottom string) {
	m.ask(Step{ID: "closing", Says: "closing difference", Formula: "last reading less the first", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return v["far.again"] - v["far.12"] })
	m.ask(Step{ID: "sum", Says: "top plus bottom, less left and right", Formula: "12 plus 6, less 3, less 9; sag does not change it", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return v["far.12"] + v[bottom] - v["far.3"] - v["far.9"] })
	m.ask(Step{ID: "verdict", Says: "keep the sweep or repeat it", Formula: "keep when both differences are within their limits", Choices: keepOrRepeat},
		func(v Values) float64 {
			return verdictOf(overSweepLimit(v["closing"], v["limit.closing"]) || overSweepLimit(v["sum"], v["limit.sum"]))
		})
}

// verdictOf is the index of the verdict.
func verdictOf(repeat bool) float64 {
	if repeat {
		return 1
	}
	return 0
}

// sweepCheckOffsets asks the total indicator reading and the offsets, so far as
// the readings go.
func sweepCheckOffsets(m *sheetMaker, u Units, t *twoDials, bottom string) {
	readings := func(v Values) []float64 {
		return []float64{v["far.12"], v["far.3"], v[bottom], v["far.9"], v["far.again"]}
	}
	m.ask(Step{ID: "tir", Says: "total indicator reading", Formula: "largest reading less the smallest, by sign", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return largest(readings(v)) - smallest(readings(v)) })
	m.ask(Step{ID: "size", Says: "offset that would give this total indicator reading on a true round rim", Formula: "half of the total indicator reading", Unit: u.Reading, Decimals: u.readingDecimals() + 1},
		func(v Values) float64 { return v["tir"] / 2 })
	m.ask(Step{ID: "offset.vertical", Says: "how high or low the " + t.names[1] + " shaft stands at the dial, as the sweep has it", Formula: "minus half of (reading at 6 less reading at 12, less sag)",
		Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow},
		func(v Values) float64 { return -(v[bottom] - v["far.12"] - v["far.sag"]) / 2 })
	side, how := sideSign(t.far), "half of reading at 3 less reading at 9"
	if t.far.Against {
		how = "half of reading at 9 less reading at 3: their 3 o'clock is 9 o'clock seen from the first machine"
	}
	m.ask(Step{ID: "offset.horizontal", Says: "how far right or left the " + t.names[1] + " shaft stands at the dial, seen from the first machine", Formula: how,
		Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: RightLeft},
		func(v Values) float64 { return side * (v["far.3"] - v["far.9"]) / 2 })
}
