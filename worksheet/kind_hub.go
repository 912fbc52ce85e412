package worksheet

import (
	"fmt"
	"math"
	"math/rand/v2"

	"collinear.example/align"
	"collinear.example/runout"
	"gonum.org/v1/gonum/unit"
)

func hubKind() kind {
	return kind{
		name:  "hub-runout",
		title: "Runout of a shaft and of the hub on it",
		asks:  "From sweeps of the bare shaft and of the rim of its hub, both over the same marks, find how far and which way the hub is bored off centre, and decide by the rule what is to be put right.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			v := newInventor(r)
			return lively(func() *Record { return hubRecord(v, d) }, hubSheet)
		},
		build:    hubSheet,
		mistakes: hubMistakes(),
	}
}

// hubRecord invents sweeps at quarter marks: for Plain both high spots on the line
// from 12 to 6, for the rest anywhere, and for Severe an oval hub.
func hubRecord(v inventor, d Difficulty) *Record {
	r := v.record("Runout of shaft and hub")
	machine := r.Train.Machines[v.IntN(2)].Name
	rule := []string{"pump-handbook", "chiller-maker"}[v.IntN(2)]
	diameter := v.length(40, 110)
	// The shaft lies about its limit of 0.001 in, the hub about its own.
	shaft := align.Offset{Vertical: v.um1(5, 16)}
	bore := align.Offset{Vertical: -shaft.Vertical / unit.Length(math.Abs(float64(shaft.Vertical))) * v.um1(20, 40)}
	oval := 0.0
	if d > Plain {
		shaft = v.vector(6, 18)
		bore = v.vector(12, 36)
		oval = v.sign() * (2 + 4*v.Float64())
	}
	if d == Severe {
		oval = v.sign() * (8 + 8*v.Float64())
	}
	hub := shaft.Add(bore)
	r.Runout = []RunoutSweep{
		{Machine: machine, Part: shaftPart, Diameter: diameter, Readings: v.sweepOf(shaft, 0)},
		{Machine: machine, Part: hubRimPart, Diameter: diameter + v.length(50, 120), Limit: rule, Readings: v.sweepOf(hub, oval)},
	}
	return r
}

// um1 is a size between lo and hi micrometres.
func (v inventor) um1(lo, hi float64) unit.Length {
	return unit.Length(lo+(hi-lo)*v.Float64()) * align.Micrometre
}

// vector is one of a size between lo and hi micrometres, away from the four marks by 15 degrees or more.
func (v inventor) vector(lo, hi float64) align.Offset {
	size, at := v.um1(lo, hi), align.Clock(90*float64(v.IntN(4))+15+60*v.Float64())
	up, right := at.Unit()
	return align.Offset{Vertical: size * unit.Length(up), Horizontal: size * unit.Length(right)}
}

// between picks one of the marks that are neither the highest nor the lowest, so
// that readings go to both sides of zero.
func (v inventor) between(um [4]float64) int {
	high, low := 0, 0
	for i, h := range um {
		if h > um[high] {
			high = i
		}
		if h < um[low] {
			low = i
		}
	}
	for {
		if i := v.IntN(4); i != high && i != low {
			return i
		}
	}
}

// sweepOf is what a dial zeroed at such a mark shows of an eccentricity, and of an
// oval in micrometres with lobes at 12 and 6.
func (v inventor) sweepOf(e align.Offset, oval float64) (out []Reading) {
	var um [4]float64
	for i := range um {
		up, right := align.Clock(90 * i).Unit()
		um[i] = (float64(e.Vertical)*up+float64(e.Horizontal)*right)*1e6 + oval*float64(1-2*(i%2))
	}
	zero := um[v.between(um)]
	for i, h := range um {
		out = append(out, Reading{At: float64(90 * i), Value: v.fine(h - zero)})
	}
	return out
}

// sweptPart returns the first sweep of a part and its place.
func (r *Record) sweptPart(part string) (*RunoutSweep, string, error) {
	for i := range r.Runout {
		if r.Runout[i].Part == part {
			return &r.Runout[i], fmt.Sprintf("runout[%d]", i), nil
		}
	}
	return nil, "", fault("runout", part, align.ErrMissing)
}

// givenSweep puts the readings at the quarter marks on the sheet.
func (m *sheetMaker) givenSweep(r *Record, id, says, part string) (at [4]float64, err error) {
	s, field, err := r.sweptPart(part)
	if err != nil {
		return at, err
	}
	at, err = quarters(field+".readings", s.Readings)
	if err != nil {
		return at, err
	}
	for i, q := range quarterNames {
		m.given(id+"."+q, says+", reading at the mark "+q, r.Units.reading(at[i]), r.Units.Reading, r.Units.readingDecimals())
	}
	return at, nil
}

func hubSheet(r *Record) (*Sheet, error) {
	m := &sheetMaker{Sheet{Kind: "hub-runout"}}
	shaft, err := m.givenSweep(r, "shaft", "shaft beside the hub", shaftPart)
	if err != nil {
		return nil, err
	}
	hub, err := m.givenSweep(r, "hub", "rim of the hub", hubRimPart)
	if err != nil {
		return nil, err
	}
	s, field, _ := r.sweptPart(hubRimPart)
	if shaftSweep, _, _ := r.sweptPart(shaftPart); shaftSweep.Machine != s.Machine {
		return nil, fault(field+".machine", s.Machine, align.ErrMismatch)
	}
	var rule *runout.HandbookRule
	if s.Limit != "" {
		named, err := runout.NamedRule(s.Limit)
		if err != nil {
			return nil, align.In(err, field+".limit")
		}
		rule = &named
		m.given("limit.hub", "limit of the total reading of the hub ("+named.Hub.Source+")", named.Hub.SI(), r.Units.Reading, 4)
		m.given("limit.shaft", "limit of the total reading of the shaft beside it", named.Shaft.SI(), r.Units.Reading, 4)
	}
	u := r.Units
	two := shaft[1] != shaft[3] || hub[1] != hub[3]
	hubEccentricities(m, u, two)
	hubBore(m, u, two)
	if hub[0]+hub[2] != hub[1]+hub[3] {
		m.ask(Step{ID: "oval", Says: "how oval the rim is: height of the lobes that lie on the marks", Formula: "readings at 12 and 6 less those at 3 and 9, over four, as a size", Unit: u.Reading, Decimals: u.halfDecimals()},
			func(v Values) float64 { return math.Abs(v["hub.12"]+v["hub.6"]-v["hub.3"]-v["hub.9"]) / 4 })
	}
	hubVerdict(m, u, rule)
	return &m.Sheet, nil
}

// halfDecimals are one more than those of readings.
func (u Units) halfDecimals() int { return u.readingDecimals() + 1 }

// hubEccentricities asks the vectors of hub and shaft, half the difference of
// opposite marks.
func hubEccentricities(m *sheetMaker, u Units, two bool) {
	for _, p := range []struct{ id, says string }{{"hub", "the centre of the hub's rim"}, {"shaft", "the centre of the shaft"}} {
		m.ask(Step{ID: p.id + ".vertical", Says: "how far " + p.says + " is off the axis of turning toward the mark 12, minus toward 6", Formula: "half of reading at 12 less reading at 6",
			Unit: u.Reading, Decimals: u.halfDecimals()},
			func(v Values) float64 { return (v[p.id+".12"] - v[p.id+".6"]) / 2 })
		if two {
			m.ask(Step{ID: p.id + ".horizontal", Says: "the same toward the mark 3, minus toward 9", Formula: "half of reading at 3 less reading at 9",
				Unit: u.Reading, Decimals: u.halfDecimals()},
				func(v Values) float64 { return (v[p.id+".3"] - v[p.id+".9"]) / 2 })
		}
	}
}

// hubBore asks hub less shaft, as vectors.
func hubBore(m *sheetMaker, u Units, two bool) {
	up := func(v Values) float64 { return v["hub.vertical"] - v["shaft.vertical"] }
	right := func(v Values) float64 { return v["hub.horizontal"] - v["shaft.horizontal"] }
	if !two {
		m.ask(Step{ID: "bore.vertical", Says: "how far the rim is off its own bore toward the mark 12, minus toward 6", Formula: "hub less shaft, with their signs", Unit: u.Reading, Decimals: u.halfDecimals()}, up)
		return
	}
	m.between("bore.up", "hub less shaft, toward the mark 12", u.Reading, up)
	m.between("bore.right", "hub less shaft, toward the mark 3", u.Reading, right)
	m.ask(Step{ID: "bore.size", Says: "how far the rim is off its own bore", Formula: "root of the sum of the squares of both differences, hub less shaft", Unit: u.Reading, Decimals: u.halfDecimals()},
		func(v Values) float64 { return math.Hypot(v["bore.up"], v["bore.right"]) })
	m.ask(Step{ID: "bore.toward", Says: "toward which mark it is off, in degrees clockwise from 12", Formula: "the clock angle of hub less shaft", Unit: align.UnitDegree},
		func(v Values) float64 { return angleOf(v["bore.up"], v["bore.right"]) })
}

// hubFindings are the conclusions of the rule in the order of their indexes.
var hubFindings = []string{"hub within its limit", "hub bored off centre", "straighten or replace the shaft"}

// hubVerdict asks the total readings and what the rule makes of them.
func hubVerdict(m *sheetMaker, u Units, rule *runout.HandbookRule) {
	for _, p := range []struct{ id, says string }{{"hub", "rim of the hub"}, {"shaft", "shaft beside it"}} {
		m.ask(Step{ID: p.id + ".tir", Says: "total indicator reading of the " + p.says, Formula: "highest less lowest of the four, with their signs", Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) float64 { return v.spreadOf(p.id+".12", p.id+".3", p.id+".6", p.id+".9") })
	}
	if rule == nil {
		return
	}
	m.ask(Step{ID: "share", Says: "what share of its limit the hub's total reading takes up", Formula: "total reading over limit: the limit is one of total readings", Unit: align.UnitOne, Decimals: 2},
		func(v Values) float64 { return v["hub.tir"] / v["limit.hub"] })
	m.ask(Step{ID: "finding", Says: "what the rule says", Formula: "hub within: go on; hub over and shaft within: the bore; both over: the shaft", Choices: hubFindings},
		func(v Values) float64 { return hubFinding(v, 1) })
}

// hubFinding applies the rule to k times the total readings.
func hubFinding(v Values, k float64) float64 {
	if overLimit(k*v["hub.tir"], v["limit.hub"]) == 0 {
		return 0
	}
	return 1 + overLimit(k*v["shaft.tir"], v["limit.shaft"])
}
