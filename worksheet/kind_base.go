package worksheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

func baseKind() kind {
	return kind{
		name:  "base-level",
		title: "Level and flatness of a base",
		asks:  "From the heights of four pads find how the base rises along and across and whether it is flat, and hold it against the limits chosen.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			v := newInventor(r)
			return lively(func() *Record { return baseRecord(v, d) }, baseSheet)
		},
		build:    baseSheet,
		mistakes: baseMistakes(),
	}
}

// baseRecord invents heights of four pads, of the size of the limits: for Plain a
// base that rises along alone.
func baseRecord(v inventor, d Difficulty) *Record {
	r := v.record("Heights of four pads")
	length, half := v.length(900, 2200), v.length(200, 500)
	names := []string{"api-686", "pumping-handbook", "api-618", "as-supplied"}
	if v.inch {
		names = []string{"api-686-inch", "pumping-handbook", "api-618-inch", "as-supplied"}
	}
	most := len(names)
	if d == Plain {
		most = 2 // the limits that go by level
	}
	b := &BaseSurvey{Limits: names[v.IntN(most)]}
	mm := r.Units.length(length) * 1000
	step := 0.167 // mm/m, the limit of the handbook
	if b.Limits == names[0] {
		step = 0.042
	}
	along := v.sign() * mm * step * (0.6 + 0.8*v.Float64())
	across, twist := 0.0, 0.0
	if d > Plain {
		across = v.sign() * r.Units.length(2*half) * 1000 * step * (0.6 + 0.8*v.Float64())
		twist = v.sign() * (60 + 160*v.Float64())
		if over := map[string]float64{names[2]: 0.15, names[3]: 0.417}[b.Limits]; over > 0 { // flatness in mm/m
			twist = v.sign() * 2 * over * math.Hypot(mm, r.Units.length(2*half)*1000) * (0.5 + v.Float64())
		}
	}
	for i, name := range [4]string{"near left", "near right", "far left", "far right"} {
		h := 100 + twist/4*[4]float64{1, -1, -1, 1}[i]
		p := BasePoint{Pad: name, Lateral: half}
		if i >= 2 {
			p.Station = length
			h += along
		}
		if i%2 == 0 {
			p.Lateral = -half
			h -= across
		}
		p.Height = v.fine(h)
		b.Points = append(b.Points, p)
	}
	r.Base = b
	return r
}

// fine rounds micrometres to the division of a fine dial or of an optical level, in
// the unit of readings: a tenth of a mil or two micrometres.
func (v inventor) fine(um float64) float64 {
	if v.inch {
		return math.Round(um/2.54) / 10
	}
	return math.Round(um/2) / 500
}

// Ids of the four pads: near and far along the train, left and right.
var basePads = [4]string{"near.left", "near.right", "far.left", "far.right"}

// fourPads returns the points in the order of basePads with length and width of
// their rectangle, in SI units.
func (r *Record) fourPads() (pts [4]BasePoint, length, width float64, err error) {
	if r.Base == nil {
		return pts, 0, 0, fault("base", "", align.ErrMissing)
	}
	p := slices.Clone(r.Base.Points)
	if len(p) != 4 {
		return pts, 0, 0, fault("base.points", fmt.Sprintf("%d points, want four", len(p)), align.ErrMismatch)
	}
	slices.SortStableFunc(p, func(a, b BasePoint) int { return order(a.Station, b.Station) })
	for _, pair := range [][]BasePoint{p[:2], p[2:]} {
		slices.SortStableFunc(pair, func(a, b BasePoint) int { return order(a.Lateral, b.Lateral) })
	}
	pts = [4]BasePoint{p[0], p[1], p[2], p[3]}
	length, width = r.Units.length(p[2].Station-p[0].Station), r.Units.length(p[1].Lateral-p[0].Lateral)
	if !(length > 0 && width > 0) || !align.IsFinite(length*width) ||
		p[0].Station != p[1].Station || p[2].Station != p[3].Station || p[0].Lateral != p[2].Lateral || p[1].Lateral != p[3].Lateral {
		return pts, 0, 0, notRectangle("base.points", "")
	}
	return pts, length, width, nil
}

func order(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// survey is the base as package softfoot sees it.
func (r *Record) survey() (softfoot.BaseSurvey, error) {
	var b softfoot.Base
	for _, p := range r.Base.Points {
		b.Points = append(b.Points, softfoot.BasePoint{
			Pad: p.Pad, Station: unit.Length(r.Units.length(p.Station)), Lateral: unit.Length(r.Units.length(p.Lateral)), Height: unit.Length(r.Units.reading(p.Height)),
		})
	}
	s, err := b.Survey()
	return s, align.In(err, "base")
}

func baseSheet(r *Record) (*Sheet, error) {
	pts, length, width, err := r.fourPads()
	if err != nil {
		return nil, err
	}
	if _, err := r.survey(); err != nil {
		return nil, err
	}
	l, err := softfoot.BaseProfile(r.Base.Limits)
	if err != nil {
		return nil, align.In(err, "base.limits")
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "base-level"}}
	for i, p := range pts {
		m.given(basePads[i], "height of the pad "+[4]string{"toward the first machine, left", "toward the first machine, right", "toward the last machine, left", "toward the last machine, right"}[i],
			u.reading(p.Height), u.Reading, u.readingDecimals())
	}
	m.given("length", "distance between the pads along the train", length, u.Length, 2)
	m.given("width", "distance between the pads across", width, u.Length, 2)
	for _, g := range []struct {
		id string
		l  *align.Limit
	}{{"limit.level", l.Level}, {"limit.elevation", l.Elevation}, {"limit.flatness", l.Flatness}, {"limit.coplanar", l.Coplanar}} {
		if g.l != nil {
			m.given(g.id, "limit: "+g.l.Name+" ("+g.l.Source+")", g.l.SI(), g.l.Unit, 6)
		}
	}
	two := pts[0].Height != pts[1].Height || pts[2].Height != pts[3].Height
	baseLevel(m, u, l, "along", "toward the last machine", [2]string{"far.left", "far.right"}, [2]string{"near.left", "near.right"}, "length")
	if two {
		baseLevel(m, u, l, "across", "on the right", [2]string{"near.right", "far.right"}, [2]string{"near.left", "far.left"}, "width")
		baseFlat(m, u, l)
	}
	baseElevation(m, u, l)
	return &m.Sheet, nil
}

// limitDecimals are those asked of a figure in the unit of a limit.
func limitDecimals(u align.Unit) int {
	switch u {
	case align.UnitMicrometrePerMetre:
		return 1
	case align.UnitInchPerFoot:
		return 6
	}
	return 4
}

// baseLevel asks rise and slope one way, the slope in the unit of the limit.
func baseLevel(m *sheetMaker, u Units, l softfoot.BaseLimits, way, where string, high, low [2]string, over string) {
	m.ask(Step{ID: "rise." + way, Says: "how high or low the base stands " + where + ", against the other side", Formula: "mean of the two heights there less mean of the other two",
		Unit: u.Reading, Decimals: u.meanDecimals(), Sense: HighLow},
		func(v Values) float64 { return (v[high[0]] + v[high[1]] - v[low[0]] - v[low[1]]) / 2 })
	slope := u.slopeUnit()
	if l.Level != nil {
		slope = l.Level.Unit
	}
	m.ask(Step{ID: "slope." + way, Says: "slope of the base " + way + ", plus where it rises that way", Formula: "rise over the distance between the pads, in the unit of the limit", Unit: slope, Decimals: limitDecimals(slope)},
		func(v Values) float64 { return v["rise."+way] / v[over] })
	if l.Level != nil {
		m.ask(Step{ID: "level." + way, Says: "level " + way + " against its limit", Formula: "size of the slope; what is equal to the limit is within", Choices: withinOrOver},
			func(v Values) float64 { return overLimit(v["slope."+way], v["limit.level"]) })
	}
}

// baseFlat asks twist, flatness and coplanarity. Four pads at the corners of a
// rectangle leave the best plane a quarter of the twist each, by turns above and
// below, so that two parallel planes half of it apart hold them.
func baseFlat(m *sheetMaker, u Units, l softfoot.BaseLimits) {
	if l.Flatness == nil && l.Coplanar == nil {
		return
	}
	m.ask(Step{ID: "twist", Says: "how high or low the diagonal near left to far right stands against the other one", Formula: "sum of its two heights less sum of the other two",
		Unit: u.Reading, Decimals: u.meanDecimals(), Sense: HighLow},
		func(v Values) float64 {
			return v["near.left"] + v["far.right"] - v["near.right"] - v["far.left"]
		})
	m.ask(Step{ID: "flat", Says: "how far apart two parallel planes are that just hold the four pads between them, level or not", Formula: "half of the twist, as a size",
		Unit: u.Reading, Decimals: u.meanDecimals()},
		func(v Values) float64 { return math.Abs(v["twist"]) / 2 })
	if l.Coplanar != nil {
		m.ask(Step{ID: "coplanar", Says: "pads out of one plane against the limit", Formula: "the distance of those planes", Choices: withinOrOver},
			func(v Values) float64 { return overLimit(v["flat"], v["limit.coplanar"]) })
	}
	if l.Flatness != nil {
		m.ask(Step{ID: "flat.over", Says: "flatness for its length", Formula: "the distance of those planes over the diagonal of the pads", Unit: l.Flatness.Unit, Decimals: limitDecimals(l.Flatness.Unit)},
			func(v Values) float64 { return v["flat"] / math.Hypot(v["length"], v["width"]) })
		m.ask(Step{ID: "flatness", Says: "flatness against its limit", Formula: "flatness for its length", Choices: withinOrOver},
			func(v Values) float64 { return overLimit(v["flat.over"], v["limit.flatness"]) })
	}
}

// baseElevation asks the highest pad less the lowest where a limit goes by it.
func baseElevation(m *sheetMaker, u Units, l softfoot.BaseLimits) {
	if l.Elevation == nil {
		return
	}
	m.ask(Step{ID: "elevation", Says: "difference in elevation of the pads", Formula: "highest less lowest", Unit: u.Reading, Decimals: u.meanDecimals()},
		func(v Values) float64 { return v.spreadOf(basePads[:]...) })
	m.ask(Step{ID: "elevation.verdict", Says: "difference in elevation against its limit", Formula: "what is equal to the limit is within", Choices: withinOrOver},
		func(v Values) float64 { return overLimit(v["elevation"], v["limit.elevation"]) })
}

func baseMistakes() []Mistake {
	return []Mistake{
		slipOneEdge(func(s *Sheet) bool {
			// One edge of a base that rises along alone is as good as both.
			return s.has("rise.across") && s.replace("rise.along", func(v Values, _ float64) float64 { return v["far.left"] - v["near.left"] }) &&
				s.replace("rise.across", func(v Values, _ float64) float64 { return v["near.right"] - v["near.left"] })
		}),
		slipCornersAdded(func(s *Sheet) bool { return s.scaleAny(2, "rise.along", "rise.across") }),
		slipStaticHalved(func(s *Sheet) bool {
			return s.scaleAny(0.5, "rise.along", "rise.across", "twist", "elevation")
		}),
		slipEnds(func(s *Sheet) bool { return s.scale(-1, "rise.along") }),
		slip("sides-exchanged", func(s *Sheet) bool { return s.scale(-1, "rise.across") }),
		slipHalfLength(func(s *Sheet) bool { return s.scaleAny(2, "slope.along", "slope.across") }),
		slipLengthWidth(exchangeLengths),
		slipNotDivided(func(s *Sheet) bool {
			return undivided(s, "rise.along", "slope.along") && (!s.has("slope.across") || undivided(s, "rise.across", "slope.across"))
		}),
		{Code: "slope-in-other-unit", Says: "divided and took the number for the unit of the limit: mils per inch are no inches per foot, millimetres per metre no micrometres per metre", Rank: 1,
			alter: func(s *Sheet) bool {
				some := false
				for _, id := range []string{"slope.along", "slope.across", "flat.over"} {
					some = otherSlopeUnit(s, id) || some
				}
				return some
			}},
		{Code: "highest-less-lowest", Says: "took the highest pad less the lowest for the rise along", Rank: 2, alter: func(s *Sheet) bool {
			return s.has("rise.across") && s.replace("rise.along", func(v Values, right float64) float64 { return math.Copysign(v.spreadOf(basePads[:]...), right) })
		}},
		{Code: "level-in-flatness", Says: "took the highest pad less the lowest for flatness: a base may be flat and not level", Rank: 1, alter: func(s *Sheet) bool {
			return s.replace("flat", func(v Values, _ float64) float64 { return v.spreadOf(basePads[:]...) })
		}},
		{Code: "twist-for-flatness", Says: "took the twist for flatness: the planes that hold the pads are half of it apart", Rank: 2, alter: func(s *Sheet) bool { return s.scale(2, "flat") }},
		{Code: "one-pad-off-plane", Says: "took how far one pad is off the best plane: those above and those below count together", Rank: 3, alter: func(s *Sheet) bool { return s.scale(0.5, "flat") }},
		{Code: "length-for-diagonal", Says: "divided flatness by the length: the longest distance surveyed is the diagonal", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("flat.over", func(v Values, _ float64) float64 { return v["flat"] / v["length"] })
		}},
		slipSidesNotDiagonals(func(s *Sheet) bool {
			return s.replace("twist", func(v Values, _ float64) float64 {
				return v["near.left"] + v["far.left"] - v["near.right"] - v["far.right"]
			})
		}),
		{Code: "elevation-from-mean", Says: "took the farthest pad from the mean height for the difference in elevation: it is the highest less the lowest", Rank: 3, alter: func(s *Sheet) bool {
			return s.replace("elevation", func(v Values, _ float64) float64 {
				var mean, most float64
				for _, id := range basePads {
					mean += v[id] / 4
				}
				for _, id := range basePads {
					most = max(most, math.Abs(v[id]-mean))
				}
				return most
			})
		}},
	}
}

// otherSlopeUnit takes the number of a slope in the unit of the readings over that
// of the lengths for the unit asked.
func otherSlopeUnit(s *Sheet, id string) bool {
	st := s.step(id)
	if st == nil {
		return false
	}
	switch st.Unit {
	case align.UnitInchPerFoot: // inches over inches
		return s.scale(1./12, id)
	case align.UnitMicrometrePerMetre: // millimetres over metres
		return s.scale(1e-3, id)
	}
	return false
}
