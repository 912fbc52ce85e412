package align_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

var (
	nan = unit.Length(math.NaN())
	inf = unit.Length(math.Inf(1))
)

// goodReverse is a two-indicator job that nothing is wrong with.
func goodReverse() align.Measurement {
	return align.ReverseIndicator{
		OnFar: align.Dial{
			Station: 0.2, Sag: align.RollOver(-0.05e-3),
			Sweep: align.FourPoint(0, 0.1e-3, -0.15e-3, -0.25e-3),
		},
		OnNear: align.Dial{
			Station: 0, Sag: align.RollOver(-0.05e-3),
			Sweep: align.FourPoint(0, -0.05e-3, 0.05e-3, 0.1e-3),
		},
		Sigma: 0.005e-3,
	}.Measurement()
}

// spoil is one way to make a good measurement unusable.
type spoil struct {
	name  string
	fault align.Fault
	field string // must be named by the error
	got   string // must be shown, with its unit
	edit  func(m *align.Measurement)
}

func spoils() []spoil {
	return []spoil{
		{"no dials", align.ErrMissing, "dials", "", func(m *align.Measurement) { *m = align.Measurement{} }},
		{"sigma not finite", align.ErrNotFinite, "sigma", "NaN m", func(m *align.Measurement) { m.Sigma = nan }},
		{"sigma negative", align.ErrNegative, "sigma", "-1.000 mm", func(m *align.Measurement) { m.Sigma = -1e-3 }},
		{"dial sigma negative", align.ErrNegative, "dials[1] (on near shaft).sigma", "-1.000 mm", func(m *align.Measurement) { m.Dials[1].Sigma = -1e-3 }},
		{"station", align.ErrNotFinite, "dials[0] (on far shaft).station", "+Inf m", func(m *align.Measurement) { m.Dials[0].Station = inf }},
		{"sag", align.ErrNotFinite, "dials[1] (on near shaft).sag", "NaN m", func(m *align.Measurement) { m.Dials[1].Sag = align.RollOver(nan) }},
		{"no name", align.ErrNotFinite, "dials[0].sag", "NaN m", func(m *align.Measurement) { m.Dials[0].Name, m.Dials[0].Sag = "", align.RollOver(nan) }},
		{"reading", align.ErrNotFinite, "dials[0] (on far shaft).sweep[2].value", "NaN m", func(m *align.Measurement) { m.Dials[0].Sweep[2].Value = nan }},
		{"clock", align.ErrNotFinite, "dials[0] (on far shaft).sweep[1].at", "+Inf deg", func(m *align.Measurement) { m.Dials[0].Sweep[1].At = align.Clock(inf) }},
		{"rim diameter negative", align.ErrNegative, "dials[0] (on far shaft).diameter", "-100.000 mm", func(m *align.Measurement) { m.Dials[0].Diameter = -0.1 }},
		{"swept diameter zero", align.ErrZeroDiameter, "dials[0] (on far shaft).diameter", "0.000 mm", func(m *align.Measurement) { m.Dials[0].Surface = align.FaceToward }},
		{"swept diameter not finite", align.ErrNotFinite, "dials[0] (on far shaft).diameter", "NaN m", func(m *align.Measurement) { m.Dials[0].Surface, m.Dials[0].Diameter = align.FaceAway, nan }},
		{"no sweep", align.ErrTooFewPositions, "dials[0] (on far shaft).sweep", "", func(m *align.Measurement) { m.Dials[0].Sweep = nil }},
		{"one position", align.ErrTooFewPositions, "dials[0] (on far shaft).sweep", "", func(m *align.Measurement) { m.Dials[0].Sweep = m.Dials[0].Sweep[:1] }},
		{"12 and 3 only", align.ErrTooFewPositions, "dials[0] (on far shaft).sweep", "", func(m *align.Measurement) { m.Dials[0].Sweep = m.Dials[0].Sweep[:2] }},
		{"one position three times", align.ErrTooFewPositions, "dials[0] (on far shaft).sweep", "", func(m *align.Measurement) {
			m.Dials[0].Sweep = align.Sweep{{At: 30}, {At: 390, Value: 1e-5}, {At: -330}}
		}},
		{"narrow arc", align.ErrArcTooNarrow, "dials[0] (on far shaft).sweep", "limit 10", func(m *align.Measurement) {
			m.Dials[0].Sweep = align.Sweep{{At: 0}, {At: 10}, {At: 20}, {At: 30}}
		}},
		{"touched shaft", align.ErrTouchedShaftOnly, "dials[0] (on far shaft).turning", "touched shaft only", func(m *align.Measurement) { m.Dials[0].Turning = align.TouchedShaft }},
		{"runout unknown", align.ErrRunoutUnknown, "dials[0] (on far shaft).turning", "bracket's shaft only", func(m *align.Measurement) { m.Dials[0].Turning = align.BracketShaft }},
		{"runout vertical", align.ErrNotFinite, "dials[0] (on far shaft).runout.vertical", "NaN m", func(m *align.Measurement) {
			m.Dials[0].Turning, m.Dials[0].Runout = align.BracketShaft, &align.Offset{Vertical: nan}
		}},
		{"runout horizontal", align.ErrNotFinite, "dials[0] (on far shaft).runout.horizontal", "+Inf m", func(m *align.Measurement) {
			m.Dials[0].Turning, m.Dials[0].Runout = align.BracketShaft, &align.Offset{Horizontal: inf}
		}},
		{"turning", align.ErrUnknownKind, "dials[0] (on far shaft).turning", "turning(9)", func(m *align.Measurement) { m.Dials[0].Turning = 9 }},
		{"surface", align.ErrUnknownKind, "dials[0] (on far shaft).surface", "surface(9)", func(m *align.Measurement) { m.Dials[0].Surface = 9 }},
		{"bracket", align.ErrUnknownKind, "dials[0] (on far shaft).bracket", "shaft(9)", func(m *align.Measurement) { m.Dials[0].Bracket = 9 }},
		{"reach", align.ErrUnknownKind, "dials[0] (on far shaft).reach", "reach(9)", func(m *align.Measurement) { m.Dials[0].Reach = 9 }},
		{"spool missing", align.ErrSpool, "dials[0] (on far shaft)", "", func(m *align.Measurement) { m.Dials[0].Reach = align.NearToSpool }},
		{"spool without length", align.ErrCoincident, "spool.farFlex", "100.000 mm", func(m *align.Measurement) {
			m.Dials[0].Reach, m.Spool = align.FarToSpool, align.Spool{NearFlex: 0.1, FarFlex: 0.1}
		}},
		{"spool not finite", align.ErrNotFinite, "spool.nearFlex", "NaN m", func(m *align.Measurement) {
			m.Dials[0].Reach, m.Spool = align.FarToSpool, align.Spool{NearFlex: nan, FarFlex: 0.1}
		}},
		{"spool end not finite", align.ErrNotFinite, "spool.farFlex", "+Inf m", func(m *align.Measurement) {
			m.Dials[0].Reach, m.Spool = align.FarToSpool, align.Spool{NearFlex: 0.1, FarFlex: inf}
		}},
		{"stations coincide", align.ErrCoincident, "stations", "", func(m *align.Measurement) { m.Dials[1].Station = m.Dials[0].Station }},
		{"faces alone", align.ErrUndetermined, "vertical offset", "", func(m *align.Measurement) {
			for i := range m.Dials {
				m.Dials[i].Surface, m.Dials[i].Diameter = align.FaceToward, 0.2
			}
		}},
		{"one plane at one dial", align.ErrUndetermined, "horizontal", "", func(m *align.Measurement) { m.Dials[1].Sweep = align.TopBottom(0, 0.05e-3) }},
		{"mixed uncertainty", align.ErrMixedUncertainty, "sigma", "", func(m *align.Measurement) { m.Sigma, m.Dials[0].Sigma = 0, 1e-6 }},
		{"overflow", align.ErrOutOfRange, "readings", "", func(m *align.Measurement) { m.Dials[0].Sweep[0].Value = 1e300 }},
		{"offset station", align.ErrNotFinite, "offsets[0].station", "NaN m", func(m *align.Measurement) {
			m.Offsets = []align.KnownOffset{{Station: nan}}
		}},
		{"offset vertical", align.ErrNotFinite, "offsets[0].offset.vertical", "NaN m", func(m *align.Measurement) {
			m.Offsets = []align.KnownOffset{{Offset: align.Offset{Vertical: nan}}}
		}},
		{"offset horizontal", align.ErrNotFinite, "offsets[1].offset.horizontal", "+Inf m", func(m *align.Measurement) {
			m.Offsets = []align.KnownOffset{{}, {Offset: align.Offset{Horizontal: inf}}}
		}},
		{"offset sigma", align.ErrNegative, "offsets[0].sigma", "-1.000 mm", func(m *align.Measurement) {
			m.Offsets = []align.KnownOffset{{Sigma: -1e-3}}
		}},
		{"slope vertical", align.ErrNotFinite, "slopes[0].slope.vertical", "NaN", func(m *align.Measurement) {
			m.Slopes = []align.KnownSlope{{Slope: align.Slope{Vertical: math.NaN()}, Over: 1}}
		}},
		{"slope horizontal", align.ErrNotFinite, "slopes[0].slope.horizontal", "+Inf", func(m *align.Measurement) {
			m.Slopes = []align.KnownSlope{{Slope: align.Slope{Horizontal: math.Inf(1)}, Over: 1}}
		}},
		{"slope over nothing", align.ErrZeroDiameter, "slopes[0].over", "0.000 mm", func(m *align.Measurement) { m.Slopes = []align.KnownSlope{{}} }},
		{"slope sigma", align.ErrNegative, "slopes[0].sigma", "-1.000 mm", func(m *align.Measurement) {
			m.Slopes = []align.KnownSlope{{Over: 0.1, Sigma: -1e-3}}
		}},
	}
}

// checkFault asserts that err is the fault, names the field and shows the value
// with its unit, in one line with the package's prefix.
func checkFault(t *testing.T, err error, fault align.Fault, field, got string) {
	t.Helper()
	require.ErrorIs(t, err, fault)
	var in *align.InputError
	require.ErrorAs(t, err, &in)
	assert.Contains(t, in.Field, field)
	assert.Contains(t, in.Got, got)
	assert.Equal(t, fault.Code(), align.CodeOf(err))
	msg := err.Error()
	assert.Regexp(t, `^align: [^\n]+$`, msg)
	assert.Contains(t, msg, fault.Error())
	assert.Contains(t, msg, got)
	assert.NotEqual(t, string(fault), fault.Error(), "the fault says what it means")
}

func TestSolveRefuses(t *testing.T) {
	clean := goodReverse()
	_, err := clean.Solve()
	require.NoError(t, err)
	for _, s := range spoils() {
		t.Run(s.name, func(t *testing.T) {
			m := goodReverse()
			s.edit(&m)
			p, err := m.Solve()
			checkFault(t, err, s.fault, s.field, s.got)
			assert.Equal(t, align.Position{}, p, "nothing comes back with an error")
			p, err = m.SolveExact()
			checkFault(t, err, s.fault, s.field, s.got)
			assert.Equal(t, align.Position{}, p)
		})
	}
}

// The closed forms must refuse what they cannot compute too.
func TestAxisRefuses(t *testing.T) {
	dial := func() align.Dial {
		return align.Dial{Diameter: 0.2, Sag: align.NoSag(), Sweep: align.FourPoint(0, 1e-5, 2e-5, 1e-5)}
	}
	for _, c := range []struct {
		name  string
		fault align.Fault
		edit  func(d *align.Dial)
	}{
		{"reading", align.ErrNotFinite, func(d *align.Dial) { d.Sweep[1].Value = nan }},
		{"clock", align.ErrNotFinite, func(d *align.Dial) { d.Sweep[1].At = align.Clock(nan) }},
		{"sag", align.ErrNotFinite, func(d *align.Dial) { d.Sag = align.RollOver(inf) }},
		{"no sweep", align.ErrTooFewPositions, func(d *align.Dial) { d.Sweep = nil }},
		{"one plane", align.ErrTooFewPositions, func(d *align.Dial) { d.Sweep = align.TopBottom(0, 1e-5) }},
		{"narrow arc", align.ErrArcTooNarrow, func(d *align.Dial) { d.Sweep = align.Sweep{{At: 0}, {At: 10}, {At: 20}, {At: 30}} }},
		{"touched shaft", align.ErrTouchedShaftOnly, func(d *align.Dial) { d.Turning = align.TouchedShaft }},
		{"runout unknown", align.ErrRunoutUnknown, func(d *align.Dial) { d.Turning = align.BracketShaft }},
		{"overflow", align.ErrOutOfRange, func(d *align.Dial) {
			d.Sweep[0].Value, d.Sweep[2].Value = math.MaxFloat64, -math.MaxFloat64
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for which := range 2 {
				dials := [2]align.Dial{dial(), dial()}
				dials[0].Station = 0.3
				c.edit(&dials[which])
				rev := align.ReverseIndicator{OnFar: dials[0], OnNear: dials[1]}
				_, err := rev.Axis()
				checkFault(t, err, c.fault, [2]string{"on far shaft.", "on near shaft."}[which], "")
				rf := align.RimAndFace{Rim: dials[0], Face: dials[1]}
				_, err = rf.Axis()
				checkFault(t, err, c.fault, [2]string{"rim.", "face."}[which], "")
			}
		})
	}

	rev := align.ReverseIndicator{OnFar: dial(), OnNear: dial()}
	_, err := rev.Axis()
	checkFault(t, err, align.ErrCoincident, "station", "0.000 mm")
	rev.OnFar.Station = nan
	_, err = rev.Axis()
	checkFault(t, err, align.ErrNotFinite, "station", "NaN m")

	rf := align.RimAndFace{Rim: dial(), Face: dial()}
	rf.Face.Diameter = 0
	_, err = rf.Axis()
	checkFault(t, err, align.ErrZeroDiameter, "face.diameter", "0.000 mm")
	rf.Face.Diameter = 1e-300
	rf.Face.Sweep[0].Value = 1e100
	_, err = rf.Axis()
	checkFault(t, err, align.ErrOutOfRange, "readings", "")
}

func TestSmallPiecesRefuse(t *testing.T) {
	fit := func(s align.Sweep) error { _, err := s.Fit(); return err }
	second := func(s align.Sweep) error { _, err := s.FitSecond(); return err }
	mean := func(s ...align.Sweep) error { _, _, err := align.Mean(s...); return err }
	float := func(a, b align.Sweep) error { _, _, err := align.CancelFloat(a, b); return err }
	gaps := func(g align.FaceGaps) error { _, err := g.Slope(); return err }
	rezero := func(i int) error { _, err := align.TopBottom(0, 1e-5).Rezeroed(i); return err }
	through := func(p, q align.Point) error { _, err := align.Through(p, q); return err }
	axis := func(o1, o2 align.Offset) error { _, err := align.AxisThrough(0, o1, 1, o2); return err }
	parse := func(s string, d align.Dimension) error { _, err := align.ParseUnitOf(s, d); return err }
	four := align.FourPoint(0, 1e-5, 2e-5, 3e-5)
	huge := align.FourPoint(math.MaxFloat64, 0, -math.MaxFloat64, 0)
	bad := align.FourPoint(0, nan, 0, 0)
	_, atErr := four.RezeroedAt(45)
	_, flexErr := align.Axis{}.FlexAngles(align.Spool{})
	_, gapErr := align.OffsetAndGaps{}.Solve()
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{fit(nil), align.ErrTooFewPositions, "sweep", ""},
		{fit(bad), align.ErrNotFinite, "sweep[1].value", "NaN m"},
		{fit(huge), align.ErrOutOfRange, "sweep", ""},
		{fit(align.Sweep{{At: 45}, {At: 225}}), align.ErrTooFewPositions, "sweep", ""},
		{fit(align.Sweep{{At: 0}, {At: 0.001}}), align.ErrTooFewPositions, "sweep", ""},
		{second(four), align.ErrTooFewPositions, "sweep", ""},
		{second(bad), align.ErrNotFinite, "sweep[1].value", "NaN m"},
		{second(align.EvenSweep(0, math.MaxFloat64, -math.MaxFloat64, math.MaxFloat64, 0, 0, 0)), align.ErrOutOfRange, "sweep", ""},
		{second(align.Sweep{{At: 0}, {At: 90}, {At: 180}, {At: 270}, {At: 450}}), align.ErrTooFewPositions, "sweep", ""},
		{mean(), align.ErrMissing, "sweeps", ""},
		{mean(nil), align.ErrTooFewPositions, "sweeps[0]", ""},
		{mean(four, bad), align.ErrNotFinite, "sweeps[1].sweep[1].value", "NaN m"},
		{mean(four, four[:3]), align.ErrMismatch, "sweeps[1]", "3 readings"},
		{mean(four, four.Mirrored()), align.ErrMismatch, "sweeps[1][1].at", "9 o'clock"},
		{float(bad, four), align.ErrNotFinite, "a.sweep[1].value", "NaN m"},
		{float(four, bad), align.ErrNotFinite, "b.sweep[1].value", "NaN m"},
		{float(four, four[:2]), align.ErrMismatch, "b", "2 readings"},
		{float(four[:1], four[1:2]), align.ErrMismatch, "b[0].at", "3 o'clock"},
		{gaps(align.FaceGaps{Diameter: 0.1, Top: nan}), align.ErrNotFinite, "top", "NaN m"},
		{gaps(align.FaceGaps{Diameter: 0.1, Right: nan}), align.ErrNotFinite, "right", "NaN m"},
		{gaps(align.FaceGaps{Diameter: 0.1, Bottom: nan}), align.ErrNotFinite, "bottom", "NaN m"},
		{gaps(align.FaceGaps{Diameter: 0.1, Left: inf}), align.ErrNotFinite, "left", "+Inf m"},
		{gaps(align.FaceGaps{Diameter: 0.1, Sigma: -1e-3}), align.ErrNegative, "sigma", "-1.000 mm"},
		{gaps(align.FaceGaps{}), align.ErrZeroDiameter, "diameter", "0.000 mm"},
		{gapErr, align.ErrZeroDiameter, "gaps.diameter", "0.000 mm"},
		{rezero(-1), align.ErrOutOfRange, "reading", "-1"},
		{rezero(2), align.ErrOutOfRange, "reading", "2"},
		{atErr, align.ErrMissing, "clock position", "1.5 o'clock"},
		{through(align.Point{Station: nan}, align.Point{}), align.ErrNotFinite, "p.station", "NaN m"},
		{through(align.Point{Offset: nan}, align.Point{}), align.ErrNotFinite, "p.offset", "NaN m"},
		{through(align.Point{}, align.Point{Station: inf}), align.ErrNotFinite, "q.station", "+Inf m"},
		{through(align.Point{}, align.Point{Offset: inf}), align.ErrNotFinite, "q.offset", "+Inf m"},
		{through(align.Point{Station: 0.1}, align.Point{Station: 0.1}), align.ErrCoincident, "q.station", "100.000 mm"},
		{through(align.Point{Offset: -1e300}, align.Point{Station: 1e-300, Offset: 1e300}), align.ErrCoincident, "q.station", "mm"},
		{axis(align.Offset{Vertical: nan}, align.Offset{}), align.ErrNotFinite, "vertical.p.offset", "NaN m"},
		{axis(align.Offset{}, align.Offset{Horizontal: nan}), align.ErrNotFinite, "horizontal.q.offset", "NaN m"},
		{flexErr, align.ErrCoincident, "spool.farFlex", "0.000 mm"},
		{parse("furlong", align.LengthDim), align.ErrUnknownUnit, "unit", `"furlong"`},
		{parse("mm", align.RatioDim), align.ErrWrongUnit, "unit", `"mm"`},
		{align.CheckLength("gap", nan), align.ErrNotFinite, "gap", "NaN m"},
	} {
		t.Run(fmt.Sprint(i, " ", c.field), func(t *testing.T) { checkFault(t, c.err, c.fault, c.field, c.got) })
	}
}

func TestEveryFaultIsReached(t *testing.T) {
	reached := map[align.Fault]bool{ // by TestSmallPiecesRefuse
		align.ErrUnknownUnit: true, align.ErrWrongUnit: true, align.ErrMismatch: true,
	}
	for _, s := range spoils() {
		reached[s.fault] = true
	}
	for _, f := range []align.Fault{
		align.ErrNotFinite, align.ErrMissing, align.ErrTooFewPositions, align.ErrCoincident, align.ErrZeroDiameter,
		align.ErrNegative, align.ErrOutOfRange, align.ErrUnknownUnit, align.ErrWrongUnit, align.ErrTouchedShaftOnly,
		align.ErrRunoutUnknown, align.ErrUndetermined, align.ErrUnknownKind, align.ErrMismatch, align.ErrSpool,
		align.ErrMixedUncertainty, align.ErrArcTooNarrow,
	} {
		assert.True(t, reached[f], f.Code())
		assert.Regexp(t, `^[a-z]+(-[a-z]+)*$`, f.Code())
	}
}

func TestErrorsOfOthersPassThrough(t *testing.T) {
	other := errors.New("something else")
	assert.Equal(t, other, align.In(other, "dials[0]"))
	assert.Empty(t, align.CodeOf(other))
	assert.Empty(t, align.CodeOf(nil))
	assert.Equal(t, "own-word", align.Fault("own-word").Error(), "a fault of another package speaks for itself")

	bare := align.In(&align.InputError{Package: "thermal", Err: align.ErrMissing}, "height")
	assert.Equal(t, "thermal: height: is missing", bare.Error())
	assert.Equal(t, "align: is missing", (&align.InputError{Err: align.ErrMissing}).Error())
	inner := &align.InputError{Field: "station", Got: "NaN m", Err: align.ErrNotFinite}
	assert.Equal(t, "align: dials[2].station = NaN m: is not a finite number", align.In(inner, "dials[2]").Error())
	assert.Equal(t, "station", inner.Field, "the error passed in is left as it was")
}
