package worksheet

import (
	"math"
	"math/rand/v2"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

func flangeKind() kind {
	return kind{
		name:  "flange-survey",
		title: "Gaps between a nozzle and its pipe",
		asks: "The bolts are out and nothing pulls the pipe. Find how the faces stand to each other from the gaps, what the gap is too wide or too narrow " +
			"for its gasket, and hold both against the rule. Clock positions of the flange are those of a person who looks at the machine's flange.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return flangeRecord(newInventor(r), d) },
		build:    flangeSheet,
		mistakes: flangeMistakes(),
	}
}

// flangeRecord invents a survey whose opening is clearly within or over the rule.
func flangeRecord(v inventor, d Difficulty) *Record {
	r := v.record("Flange survey, bolts out")
	var j FlangeSurvey
	for range 50 {
		j = v.flange(d)
		j.Machine = r.Train.Machines[1].Name
		r.Joints = []FlangeSurvey{j}
		l, err := flangeLimits(r.Units, &j)
		if err != nil || l.Parallel == nil {
			continue
		}
		if s := flangeOpening(r.Units, &j) / parallelLimit(l); s < 0.9 || s > 1.12 {
			break
		}
	}
	return r
}

// flange invents one survey.
func (v inventor) flange(d Difficulty) FlangeSurvey {
	j := FlangeSurvey{Name: []string{"discharge", "suction"}[v.IntN(2)], Rule: string(piping.RP686Flange), Reference: "flange"}
	if d == Severe && v.IntN(2) == 0 {
		j.Rule, j.Reference = string(piping.PCC1FlangeSI), ""
		if v.inch {
			j.Rule = string(piping.PCC1FlangeUS)
		}
	}
	j.FlangeOD = v.length(180, 480)
	j.RaisedFaceOD = v.length(0.66*v.mm(j.FlangeOD), 0.78*v.mm(j.FlangeOD))
	j.Diameter = []float64{j.FlangeOD, j.RaisedFaceOD}[v.IntN(2)]
	j.Gasket = v.division([]float64{1588, 3175, 4500}[v.IntN(3)])
	limit := 0.3 * 1000.0
	if j.Reference == "" {
		limit = 800
	}
	opening := limit * (0.4 + 1.6*v.Float64()) * j.Diameter / j.RaisedFaceOD
	turn := (20 + 50*v.Float64()) * math.Pi / 180
	mean := v.um(j.Gasket) + v.excess(j.Gasket)
	up, side := v.sign()*opening*math.Cos(turn), v.sign()*opening*math.Sin(turn)
	warp := 0.0
	if d == Plain {
		up, side = v.sign()*opening, 0
	}
	if d == Severe {
		warp = v.either(0, 40)
	}
	for i, g := range []float64{mean + up/2 + warp, mean + side/2, mean - up/2 + warp, mean - side/2} {
		j.Gaps = append(j.Gaps, Reading{At: 90 * float64(i), Value: v.division(g)})
	}
	if d != Plain {
		a, b := v.signed(300, 1500), v.signed(300, 1500)
		j.OffsetUp, j.OffsetSide = &a, &b
	}
	return j
}

// excess is how much wider or closer than a gasket two faces stand, micrometres:
// closer only where a thick gasket leaves a gap on every side.
func (v inventor) excess(gasket float64) float64 {
	if v.um(gasket) > 3000 && v.IntN(2) == 0 {
		return -(300 + 1200*v.Float64())
	}
	return 300 + 1700*v.Float64()
}

// sign is plus or minus one.
func (v inventor) sign() float64 { return float64(2*v.IntN(2) - 1) }

// either is a number of a size between lo and hi, of either sign.
func (v inventor) either(lo, hi float64) float64 { return v.sign() * (lo + (hi-lo)*v.Float64()) }

// joint returns a flange survey that has its four gaps and its diameter.
func (r *Record) joint(i int) (*FlangeSurvey, error) {
	if i >= len(r.Joints) {
		return nil, fault("joints", "", align.ErrMissing)
	}
	j := &r.Joints[i]
	for _, p := range []float64{0, 90, 180, 270} {
		if _, ok := readingAt(j.Gaps, p); !ok {
			return nil, fault(at("joints", i)+".gaps", "", align.ErrMissing)
		}
	}
	if !(j.Diameter > 0) {
		return nil, fault(at("joints", i)+".diameter", "", align.ErrZeroDiameter)
	}
	return j, nil
}

// flangeLimits returns what the rule of a survey allows.
func flangeLimits(u Units, j *FlangeSurvey) (piping.FlangeLimits, error) {
	gasket := unit.Length(u.reading(j.Gasket))
	size := piping.FlangeSize{FlangeOD: unit.Length(u.length(j.FlangeOD)), RaisedFaceOD: unit.Length(u.length(j.RaisedFaceOD)), Gasket: &gasket}
	switch j.Reference {
	case "flange":
		size.Reference = piping.ByFlangeOD
	case "raised-face":
		size.Reference = piping.ByRaisedFaceOD
	case "":
	default:
		return piping.FlangeLimits{}, fault("joints.reference", j.Reference, align.ErrUnknownKind)
	}
	return piping.FlangeLimitsOf(piping.FlangeRule(j.Rule), size)
}

// parallelLimit is the largest opening over the face that the rule allows.
func parallelLimit(l piping.FlangeLimits) float64 {
	v := l.Parallel.Limit.SI() * max(1, float64(l.Parallel.Faces))
	if l.Parallel.Over == 0 {
		return v * float64(faceOf(l.Size))
	}
	return v
}

// faceOf is the diameter over which an opening counts.
func faceOf(s piping.FlangeSize) unit.Length {
	if s.RaisedFaceOD > 0 {
		return s.RaisedFaceOD
	}
	return s.FlangeOD
}

// flangeOpening is the opening over the face, in SI units.
func flangeOpening(u Units, j *FlangeSurvey) float64 {
	face := j.RaisedFaceOD
	if face == 0 {
		face = j.FlangeOD
	}
	g := func(p float64) float64 { v, _ := readingAt(j.Gaps, p); return u.reading(v) }
	return math.Hypot(g(0)-g(180), g(90)-g(270)) * face / j.Diameter
}

func flangeSheet(r *Record) (*Sheet, error) {
	j, err := r.joint(0)
	if err != nil {
		return nil, err
	}
	l, err := flangeLimits(r.Units, j)
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "flange-survey"}}
	givenGaps(m, u, j, []string{"12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock"})
	m.given("od", "outside diameter of the flange", u.length(j.FlangeOD), u.Length, 2)
	m.given("face", "outside diameter of the sealing face, over which the rule counts", float64(faceOf(l.Size)), u.Length, 2)
	sides := flangeTilts(m, u)
	if l.Parallel != nil {
		flangeParallel(m, u, j, l, sides)
	}
	flangeGap(m, u, l)
	if j.OffsetUp != nil && j.OffsetSide != nil {
		m.given("offset.up", "centre of the pipe's flange off toward 12 o'clock (minus: toward 6)", u.reading(*j.OffsetUp), u.Reading, u.readingDecimals())
		m.given("offset.side", "centre of the pipe's flange off toward 3 o'clock (minus: toward 9)", u.reading(*j.OffsetSide), u.Reading, u.readingDecimals())
		flangeOffset(m, u, l)
	}
	return &m.Sheet, nil
}

// givenGaps puts the four gaps, their circle and the gasket on the sheet.
func givenGaps(m *sheetMaker, u Units, j *FlangeSurvey, places []string) {
	for i, id := range []string{"12", "3", "6", "9"} {
		g, _ := readingAt(j.Gaps, 90*float64(i))
		m.given("gap."+id, "gap at "+places[i], u.reading(g), u.Reading, u.readingDecimals())
	}
	m.given("circle", "diameter of the circle on which the gaps were taken", u.length(j.Diameter), u.Length, 2)
	m.given("gasket", "thickness of the gasket when seated", u.reading(j.Gasket), u.Reading, u.readingDecimals())
}

// flangeTilts asks how the gap widens; it reports whether it does so to the sides.
func flangeTilts(m *sheetMaker, u Units) (sides bool) {
	v := m.Work()
	m.ask(Step{ID: "tilt.vertical", Says: "how the gap widens toward 12 o'clock, for the length (minus: it is wider at 6)",
		Formula: "gap at 12 less gap at 6, over the diameter of the circle of the gaps", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return (v["gap.12"] - v["gap.6"]) / v["circle"] })
	if v["gap.3"] == v["gap.9"] {
		return false
	}
	m.ask(Step{ID: "tilt.horizontal", Says: "how the gap widens toward 3 o'clock (minus: it is wider at 9)",
		Formula: "gap at 3 less gap at 9, over the diameter of the circle of the gaps", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return (v["gap.3"] - v["gap.9"]) / v["circle"] })
	m.ask(Step{ID: "tilt.steepest", Says: "how the gap widens in the direction in which it does so most",
		Formula: "root of the sum of the squares of both", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return math.Hypot(v["tilt.vertical"], v["tilt.horizontal"]) })
	return true
}

// flangeParallel asks the opening over the face and holds it against the rule.
func flangeParallel(m *sheetMaker, u Units, j *FlangeSurvey, l piping.FlangeLimits, sides bool) {
	steepest := func(v Values) float64 { return math.Abs(v["tilt.vertical"]) }
	if sides {
		steepest = func(v Values) float64 { return v["tilt.steepest"] }
	}
	m.ask(Step{ID: "opening", Says: "widest less narrowest gap over the sealing face", Formula: "steepest widening times the diameter of the sealing face",
		Unit: u.Reading, Decimals: u.readingDecimals()}, func(v Values) float64 { return steepest(v) * v["face"] })
	if l.Rule == piping.RP686Flange {
		rp686Step(m, u, j.Reference)
	} else {
		m.given("limit.opening", "largest opening the rule ("+l.Parallel.Limit.Source+") allows", parallelLimit(l), u.Reading, 3)
	}
	m.ask(Step{ID: "verdict.parallel", Says: "the faces against the limit on the opening", Formula: "opening against the largest allowed", Choices: withinOrOver},
		func(v Values) float64 { return overLimit(v["opening"], v["limit.opening"]) })
}

// rp686Step asks the limit of RP 686, which grows with the diameter between two
// bounds (API RP 686, ch. 6, 4.6, as transcribed; see package piping).
func rp686Step(m *sheetMaker, u Units, reference string) {
	id, name := "od", "outside diameter of the flange"
	if reference == "raised-face" {
		id, name = "face", "diameter of the sealing face"
	}
	least, most := 0.25e-3, 0.75e-3
	m.given("rule.slope", "API RP 686, ch. 6, 4.6, as transcribed: largest opening for the length of the "+name, 0.001, align.UnitOne, 4)
	m.given("rule.least", "but no less is asked than", least, u.Reading, u.readingDecimals())
	m.given("rule.most", "and no more is allowed than", most, u.Reading, u.readingDecimals())
	m.ask(Step{ID: "limit.opening", Says: "largest opening the rule allows", Formula: "0.001 of the " + name + ", at least and at most the bounds of the rule",
		Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return min(max(v["rule.slope"]*v[id], v["rule.least"]), v["rule.most"]) })
}

// flangeGap asks the mean gap against the gasket.
func flangeGap(m *sheetMaker, u Units, l piping.FlangeLimits) {
	m.ask(Step{ID: "gap.mean", Says: "gap at the centre", Formula: "mean of the four gaps", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return (v["gap.12"] + v["gap.3"] + v["gap.6"] + v["gap.9"]) / 4 })
	m.ask(Step{ID: "gap.excess", Says: "how much wider or closer than the gasket the faces stand", Formula: "gap at the centre less the gasket",
		Unit: u.Reading, Decimals: u.readingDecimals(), Sense: WiderCloser}, func(v Values) float64 { return v["gap.mean"] - v["gasket"] })
	if l.Gap == nil {
		return
	}
	says := "most the gap may differ from the gasket"
	if l.Gap.OnlyWide {
		says = "most the gap may be wider than the gasket"
	}
	m.given("limit.gap", says+" ("+l.Gap.Limit.Source+")", l.Gap.Limit.SI(), u.Reading, u.readingDecimals())
	wide := l.Gap.OnlyWide
	m.ask(Step{ID: "verdict.gap", Says: "the gap against the limit", Formula: "gap less gasket against the largest allowed", Choices: withinOrOver},
		func(v Values) float64 {
			if wide {
				return overLimit(max(0, v["gap.excess"]), v["limit.gap"])
			}
			return overLimit(v["gap.excess"], v["limit.gap"])
		})
}

// flangeOffset asks the offset of the centres.
func flangeOffset(m *sheetMaker, u Units, l piping.FlangeLimits) {
	m.ask(Step{ID: "offset", Says: "straight distance of the two centres", Formula: "root of the sum of the squares of both offsets",
		Unit: u.Reading, Decimals: u.readingDecimals()}, func(v Values) float64 { return math.Hypot(v["offset.up"], v["offset.side"]) })
	if l.Centre == nil {
		return
	}
	m.given("limit.offset", "largest offset of the centres the rule ("+l.Centre.Limit.Source+") allows", l.Centre.Limit.SI(), u.Reading, 3)
	each := l.Centre.EachWay
	m.ask(Step{ID: "verdict.offset", Says: "the centres against the limit", Formula: "distance against the largest allowed", Choices: withinOrOver},
		func(v Values) float64 {
			if each {
				return overLimit(max(math.Abs(v["offset.up"]), math.Abs(v["offset.side"])), v["limit.offset"])
			}
			return overLimit(v["offset"], v["limit.offset"])
		})
}
