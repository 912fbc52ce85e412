package worksheet

import (
	"fmt"
	"math"

	"math/rand/v2"

	"collinear.example/align"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

func toleranceKind() kind {
	return kind{
		name:  "tolerance-verdict",
		title: "A coupling held against a table of limits",
		asks: "Turn the readings into what the table speaks of, find the row that holds at the running speed, and say how much of each limit is used and whether that passes. " +
			"Between two listed speeds the stricter row holds. Both directions count together. Where several limits are given each counts alone unless it says that their shares add up.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return toleranceRecord(newInventor(r), d) },
		build:    toleranceSheet,
		mistakes: toleranceMistakes(),
	}
}

// tableHeld is one table of the set as the sheet needs it.
type tableHeld struct {
	id, words string
	table     tolerance.Table
	row       int // that holds
}

// The quantities a sheet can hold against a table, with their ids and words.
var heldQuantities = map[tolerance.Quantity][2]string{
	tolerance.TrueOffset:    {"offset", "offset between the shafts"},
	tolerance.RimReading:    {"rim", "total indicator reading of the rim"},
	tolerance.Angle:         {"angle", "angle"},
	tolerance.GapDifference: {"gap", "largest less smallest gap between the hub faces"},
}

// toleranceSheet builds the sheet of a rim and a face dial on the far hub, the rim
// dial in the one flex plane of the coupling.
func toleranceSheet(r *Record) (*Sheet, error) {
	c, err := r.coupled()
	if err != nil {
		return nil, err
	}
	rim, face, planes, err := r.verdictDials()
	if err != nil {
		return nil, err
	}
	switch {
	case len(c.FlexPlanes) == 0:
		return nil, fault("train.couplings[0].flexPlanes", "", align.ErrMissing)
	case len(c.FlexPlanes) > 1 || c.FlexPlanes[0] != rim.Station:
		return nil, fault("train.couplings[0].flexPlanes", "want the plane of the rim dial alone", align.ErrMismatch)
	}
	set, tables, err := r.heldTables(rim, face)
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "tolerance-verdict"}}
	if err := givenRim(m, r, "rim", "dial on the rim of the "+c.Far+" hub", rim); err != nil {
		return nil, err
	}
	givenReadings(m, u, "face", "dial on the face of that hub toward the bracket", face)
	m.given("swept", "diameter that the face dial swept", u.length(face.Diameter), u.Length, 2)
	if rim.Diameter > 0 {
		m.given("hub", "diameter of the hub, on which the table counts gaps", u.length(rim.Diameter), u.Length, 2)
	}
	if r.Train.Speed != nil {
		m.given("speed", "running speed", u.Speed.SI(*r.Train.Speed), u.Speed, 1)
	}
	for i := range tables {
		givenRows(m, &tables[i])
	}
	askFound(m, u, planes, tables)
	askShares(m, u, set.Combine, tables)
	return &m.Sheet, nil
}

// heldTables picks the tables of the first set of limits that a rim and a face dial
// can answer, and the row of each that holds.
func (r *Record) heldTables(rim, face *Dial) (tolerance.Set, []tableHeld, error) {
	if len(r.Limits) == 0 {
		return tolerance.Set{}, nil, fault("limits", "", align.ErrMissing)
	}
	set, err := tolerance.FindSet(r.Limits[0].Set)
	if err != nil {
		return set, nil, align.In(err, "limits[0].set")
	}
	g := r.geometry(rim, face)
	var tables []tableHeld
	for _, t := range set.Tables {
		names, ok := heldQuantities[t.Quantity]
		if !ok || t.Unusable || t.Times != tolerance.NoMeasure || t.Over != tolerance.NoMeasure {
			continue
		}
		if t.Rule != tolerance.AnySpeed && t.Rule != tolerance.ByBand && t.Rule != tolerance.ByPoint {
			continue
		}
		if t, err = t.For(g.Size); err != nil {
			return set, nil, align.In(err, "limits[0].size")
		}
		if t.Rule != tolerance.AnySpeed && r.Train.Speed == nil {
			return set, nil, fault("train.speed", "", align.ErrMissing)
		}
		allowed, err := t.LimitAt(g)
		if err != nil {
			return set, nil, align.In(err, "limits[0]")
		}
		row := -1
		for i := range t.Rows {
			if t.Rows[i].Value == allowed.Printed {
				row = i
			}
		}
		if row < 0 {
			continue
		}
		tables = append(tables, tableHeld{names[0], names[1], t, row})
	}
	if len(tables) == 0 {
		return set, nil, fault("limits[0].set", r.Limits[0].Set, tolerance.ErrNothingGraded)
	}
	return set, tables, nil
}

// geometry is what the tables must know of the coupling. A hub diameter that is not
// given is that of the face sweep.
func (r *Record) geometry(rim, face *Dial) tolerance.Geometry {
	station := unit.Length(r.Units.length(rim.Station))
	g := tolerance.Geometry{NearFlex: station, FarFlex: station, FaceDiameter: unit.Length(r.Units.length(face.Diameter)), Size: r.Limits[0].Size}
	if rim.Diameter > 0 {
		g.FaceDiameter = unit.Length(r.Units.length(rim.Diameter))
	}
	if s := r.Train.Speed; s != nil && r.Units.Speed.Dimension() == align.FrequencyDim {
		g.Speed = unit.Frequency(r.Units.Speed.SI(*s))
	}
	return g
}

// givenRows puts the rows of a table on the sheet.
func givenRows(m *sheetMaker, h *tableHeld) {
	t := &h.table
	size := ""
	if t.Rows[h.row].Size != "" {
		size = ", size " + t.Rows[h.row].Size
	}
	for i := range t.Rows {
		w := &t.Rows[i]
		m.given(fmt.Sprintf("row.%s.%d", h.id, i), "limit of the "+h.words+size+rowSpeed(t.Rule, w), t.Unit.SI(w.Value), t.Unit, 4)
	}
}

func rowSpeed(rule tolerance.Rule, w *tolerance.Row) string {
	rpm := func(f unit.Frequency) string { return fmt.Sprintf("%.0f rpm", align.UnitRPM.FromSI(float64(f))) }
	switch {
	case rule == tolerance.ByPoint:
		return ", at " + rpm(w.Speed)
	case rule == tolerance.ByBand && w.From == 0:
		return ", up to " + rpm(w.To)
	case rule == tolerance.ByBand && w.To == 0:
		return ", above " + rpm(w.From)
	case rule == tolerance.ByBand:
		return ", from " + rpm(w.From) + " to " + rpm(w.To)
	}
	return ", at any speed"
}

// askFound asks what was found: a rim dial on the far hub reads -2e + S at 6 and 2e
// from 9 to 3, a face dial toward the bracket D times the slope (package align).
func askFound(m *sheetMaker, u Units, planes int, tables []tableHeld) {
	m.through(Step{ID: "corrected.rim", Says: "reading of the rim at 6, corrected", Formula: "reading at 6 less reading at 12, less sag", Unit: u.Reading},
		func(v Values) float64 { return v["rim.6"] - v["rim.12"] - v["rim.sag"] })
	m.ask(Step{ID: "vertical", Says: "how high or low the second shaft stands in the plane of the rim dial", Formula: "minus half of the reading at 6 less that at 12, corrected for sag",
		Unit: u.Reading, Decimals: u.growthDecimals(), Sense: HighLow}, func(v Values) float64 { return -v["corrected.rim"] / 2 })
	if planes == 2 {
		m.ask(Step{ID: "horizontal", Says: "how far right or left it stands there", Formula: "half of reading at 3 less reading at 9",
			Unit: u.Reading, Decimals: u.growthDecimals(), Sense: RightLeft}, func(v Values) float64 { return (v["rim.3"] - v["rim.9"]) / 2 })
	}
	if needsSlope(tables) {
		m.ask(Step{ID: "slope.vertical", Says: "slope of the second shaft, plus when it rises away from the first", Formula: "reading of the face at 12 less that at 6, over the swept diameter",
			Unit: u.slopeUnit(), Decimals: 3}, func(v Values) float64 { return (v["face.12"] - v["face.6"]) / v["swept"] })
		if planes == 2 {
			m.ask(Step{ID: "slope.horizontal", Says: "the same sideways, plus when it goes right away from the first", Formula: "reading of the face at 3 less that at 9, over the swept diameter",
				Unit: u.slopeUnit(), Decimals: 3}, func(v Values) float64 { return (v["face.3"] - v["face.9"]) / v["swept"] })
		}
	}
	m.through(Step{ID: "resultant", Says: "both offsets together", Formula: "root of the sum of squares of both offsets", Unit: u.Reading}, func(v Values) float64 { return math.Hypot(v["vertical"], v["horizontal"]) })
	m.through(Step{ID: "resultant.slope", Says: "both slopes together", Formula: "root of the sum of squares of both slopes", Unit: u.slopeUnit()},
		func(v Values) float64 { return math.Hypot(v["slope.vertical"], v["slope.horizontal"]) })
	for _, h := range tables {
		askQuantity(m, u, h)
	}
}

func needsSlope(tables []tableHeld) bool {
	for _, h := range tables {
		if h.id == "gap" || h.id == "angle" {
			return true
		}
	}
	return false
}

// askQuantity asks the size of one quantity as its table means it.
func askQuantity(m *sheetMaker, u Units, h tableHeld) {
	s := Step{ID: "found." + h.id, Says: "what the table speaks of, as found: " + h.words, Unit: u.Reading, Decimals: u.growthDecimals()}
	switch h.id {
	case "offset":
		s.Formula = "root of the sum of squares of both offsets"
		m.ask(s, func(v Values) float64 { return v["resultant"] })
	case "rim":
		s.Formula = "twice the root of the sum of squares of both offsets"
		m.ask(s, func(v Values) float64 { return 2 * v["resultant"] })
	case "angle":
		s.Formula, s.Unit = "root of the sum of squares of both slopes", u.slopeUnit()
		m.ask(s, func(v Values) float64 { return v["resultant.slope"] })
	case "gap":
		s.Formula = "root of the sum of squares of both slopes, times the diameter on which the table counts gaps"
		m.ask(s, func(v Values) float64 {
			if d, ok := v["hub"]; ok {
				return v["resultant.slope"] * d
			}
			return v["resultant.slope"] * v["swept"]
		})
	}
}

// askShares asks the limits, the shares and the verdict.
func askShares(m *sheetMaker, u Units, combine tolerance.Combine, tables []tableHeld) {
	for _, h := range tables {
		s := Step{ID: "limit." + h.id, Says: "limit of the " + h.words + " at the running speed (" + sourceWords(&h.table) + ")", Formula: "the row of the running speed, the stricter one between two", Unit: u.Reading, Decimals: u.growthDecimals()}
		row := fmt.Sprintf("row.%s.%d", h.id, h.row)
		if h.table.Unit.Dimension() == align.AngleDim {
			s.Formula, s.Unit, s.Decimals = s.Formula+"; its tangent", u.slopeUnit(), 2
			m.ask(s, func(v Values) float64 { return math.Tan(v[row]) })
			continue
		}
		if h.id == "angle" {
			s.Unit = u.slopeUnit()
		}
		m.ask(s, func(v Values) float64 { return v[row] })
	}
	for _, h := range tables {
		m.ask(Step{ID: "share." + h.id, Says: "share of the limit of the " + h.words + " that is used, 1 is all of it", Formula: "found over limit", Unit: align.UnitOne, Decimals: 2},
			func(v Values) float64 { return v["found."+h.id] / v["limit."+h.id] })
	}
	total, last := "share."+tables[0].id, Step{ID: "total", Says: "share that counts: each limit stands alone", Formula: "the larger share", Unit: align.UnitOne, Decimals: 2}
	if len(tables) > 1 {
		total = "total"
		if combine == tolerance.SharesAdd {
			last.Says, last.Formula = "share that counts: the shares of this source add up", "the sum of the shares"
		}
		m.ask(last, func(v Values) float64 {
			most, sum := 0.0, 0.0
			for _, h := range tables {
				most, sum = max(most, v["share."+h.id]), sum+v["share."+h.id]
			}
			if combine == tolerance.SharesAdd {
				return sum
			}
			return most
		})
	}
	askVerdict(m, total)
}
