package softfoot_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The tests of this file were added because small mistakes made on purpose in the
// code (see internal/mutate) were not noticed by the others. Their expectations
// are worked out by hand beside them.

// first keeps the error of a function of two results.
func first[T any](_ T, err error) error { return err }

// Each refusal names its field and shows the value with its unit.
func TestRefusalsShowTheValue(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	seat := func(edit func(*softfoot.Machine)) error {
		m := oblong(0, 0, 0, 0)
		edit(&m)
		return first(m.Seat())
	}
	rises := func(edit func(*softfoot.Rises)) error {
		r := softfoot.Rises{Feet: append([]string(nil), four...), Rise: inches(0, 0, 0, 0)}
		edit(&r)
		return first(r.Excess())
	}
	matrix := func(edit func(*softfoot.RiseMatrix)) error {
		m := softfoot.RiseMatrix{Feet: append([]string(nil), four...), OthersTight: true}
		for range four {
			m.Rise = append(m.Rise, inches(0, 0, 0, 0))
		}
		edit(&m)
		_, _, err := m.Own()
		return err
	}
	stack := func(wanted float64, edit func(*softfoot.ShimStock)) error {
		k := softfoot.ShimStock{Leaves: []unit.Length{1e-3, 2e-3}, MaxLeaves: 3}
		edit(&k)
		_, _, err := k.Stack(unit.Length(wanted))
		return err
	}
	same := func(*softfoot.ShimStock) {}
	face := func(edit func(*softfoot.FootFace)) error {
		f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{})
		edit(&f)
		return first(f.Wedge())
	}
	wedge, err := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{}).Wedge()
	require.NoError(t, err)
	level := func(first, turned float64) error {
		_, err := softfoot.LevelReversal{First: first, Turned: turned}.Solve()
		return err
	}
	traverse := func(edit func(*softfoot.LevelTraverse)) error {
		limit := 1 * align.Millimetre
		tr := softfoot.LevelTraverse{Legs: []softfoot.LevelLeg{{Length: 1}}, Limit: &limit}
		edit(&tr)
		_, _, err := tr.Close()
		return err
	}
	base := func(edit func(*softfoot.Base)) error {
		b := softfoot.Base{Points: []softfoot.BasePoint{{Pad: "a"}, {Pad: "b", Station: 1}, {Pad: "c", Lateral: 1}}}
		edit(&b)
		return first(b.Survey())
	}
	evidence := func(least float64, rise, free *align.Movement) error {
		return first(softfoot.FootEvidence{Least: unit.Length(least), Rise: rise, Free: free}.Diagnose())
	}
	far := align.Movement(2e6)
	mass := func(kind softfoot.MachineKind, block, machines float64) error {
		return first(softfoot.Foundation{Kind: kind, Block: block, Machines: machines}.Judge())
	}
	out := func(available ...unit.Length) error { return first(oblong(0, 0, 0, 0).TakeOutPlans(available)) }
	minus := unit.Length(-2e-3)
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{seat(func(m *softfoot.Machine) { m.Feet = m.Feet[:2] }), softfoot.ErrTooFewFeet, "feet", "2 feet"},
		{seat(func(m *softfoot.Machine) { m.Feet = make([]softfoot.Foot, 33) }), softfoot.ErrTooManyFeet, "feet", "33 feet"},
		{seat(func(m *softfoot.Machine) { m.Feet[2].Name = "" }), align.ErrMissing, "feet[2].name", ""},
		{seat(func(m *softfoot.Machine) { m.Feet[2].Name = m.Feet[0].Name }), softfoot.ErrSameName, "feet[2].name", `"outboard left"`},
		{seat(func(m *softfoot.Machine) { m.Feet[2].Station, m.Feet[2].Lateral = 0, -0.2 }), softfoot.ErrSamePlace, "feet[2]", "inboard right and outboard left"},
		{seat(func(m *softfoot.Machine) { m.Feet[1].Station = unit.Length(nan) }), align.ErrNotFinite, "feet[1].station", "NaN m"},
		{seat(func(m *softfoot.Machine) { m.Feet[1].Lateral = -1001 }), align.ErrOutOfRange, "feet[1].lateral", "-1001000.000 mm"},
		{seat(func(m *softfoot.Machine) { m.Feet[1].Station = 1001 }), align.ErrOutOfRange, "feet[1].station", "1001000.000 mm"},
		{seat(func(m *softfoot.Machine) {
			for i := range m.Feet {
				m.Feet[i].Station, m.Feet[i].Lateral = unit.Length(i), unit.Length(2*i)
			}
		}), softfoot.ErrInLine, "feet", ""},
		{seat(func(m *softfoot.Machine) { m.Heights = nil }), align.ErrMissing, "gaps", ""},
		{seat(func(m *softfoot.Machine) { m.Gaps = make([]unit.Length, 4) }), softfoot.ErrGapsAndHeights, "heights", ""},
		{seat(func(m *softfoot.Machine) { m.Heights = m.Heights[:3] }), align.ErrMismatch, "heights", "3 for 4 feet"},
		{seat(func(m *softfoot.Machine) { m.Heights[3] = unit.Length(inf) }), align.ErrNotFinite, "heights[3]", "+Inf m"},
		{seat(func(m *softfoot.Machine) { m.Gaps, m.Heights = []unit.Length{0, -2e-3, 0, 0}, nil }), align.ErrNegative, "gaps[1]", "-2.000 mm"},
		{seat(func(m *softfoot.Machine) { m.Heights[3] = 0.05 }), softfoot.ErrTiltTooLarge, "heights", "spread 50.000 mm"},
		{seat(func(m *softfoot.Machine) { m.Centre = &softfoot.Point{Station: unit.Length(nan)} }), align.ErrNotFinite, "centre.station", "NaN m"},
		{seat(func(m *softfoot.Machine) { m.Centre = &softfoot.Point{Station: 0.7, Lateral: -0.1} }), softfoot.ErrCentreOutside, "centre", "700.000 mm, -100.000 mm"},
		{seat(func(m *softfoot.Machine) { m.CentreWithin = -0.1 }), align.ErrNegative, "centreWithin", "-100.000 mm"},
		{seat(func(m *softfoot.Machine) { m.CentreWithin = unit.Length(nan) }), align.ErrNotFinite, "centreWithin", "NaN m"},
		{rises(func(r *softfoot.Rises) { r.Feet = r.Feet[:2] }), softfoot.ErrTooFewFeet, "feet", "2"},
		{rises(func(r *softfoot.Rises) { r.Feet = make([]string, 33) }), softfoot.ErrTooManyFeet, "feet", "33"},
		{rises(func(r *softfoot.Rises) { r.Rise = r.Rise[:3] }), align.ErrMismatch, "rise", "3 values"},
		{rises(func(r *softfoot.Rises) { r.Feet[1] = "" }), align.ErrMissing, "feet[1]", ""},
		{rises(func(r *softfoot.Rises) { r.Feet[3] = r.Feet[0] }), softfoot.ErrSameName, "feet[3]", `"` + four[0] + `"`},
		{rises(func(r *softfoot.Rises) { r.Rise[2] = align.Movement(nan) }), align.ErrNotFinite, "rise[2]", "NaN m"},
		{rises(func(r *softfoot.Rises) { r.Rise[2] = far }), align.ErrOutOfRange, "rise[2]", "2e+06 m"},
		{matrix(func(m *softfoot.RiseMatrix) { m.OthersTight = false }), softfoot.ErrOthersLoose, "othersTight", "false"},
		{matrix(func(m *softfoot.RiseMatrix) { m.Rise = m.Rise[:3] }), align.ErrMismatch, "rise", "3 rows"},
		{matrix(func(m *softfoot.RiseMatrix) { m.Rise[1] = m.Rise[1][:2] }), align.ErrMismatch, "rise[1]", "2 values"},
		{matrix(func(m *softfoot.RiseMatrix) { m.Rise[1][2] = align.Movement(nan) }), align.ErrNotFinite, "rise[1][2]", "NaN m"},
		{stack(11, same), align.ErrOutOfRange, "wanted", "11000.000 mm"},
		{stack(-1e-3, same), align.ErrNegative, "wanted", "-1.0000 mm"},
		{stack(1e-3, func(k *softfoot.ShimStock) { k.Within = -1e-3 }), align.ErrNegative, "within", "-1.0000 mm"},
		{stack(1e-3, func(k *softfoot.ShimStock) { k.Leaves = make([]unit.Length, 25) }), align.ErrOutOfRange, "leaves", "25 thicknesses"},
		{stack(1e-3, func(k *softfoot.ShimStock) { k.MaxLeaves = 0 }), align.ErrOutOfRange, "maxLeaves", "0"},
		{stack(1e-3, func(k *softfoot.ShimStock) { k.MaxLeaves = 9 }), align.ErrOutOfRange, "maxLeaves", "9"},
		{stack(1e-3, func(k *softfoot.ShimStock) { k.Leaves[1] = 0 }), align.ErrOutOfRange, "leaves[1]", "0.0000 mm"},
		{stack(1e-3, func(k *softfoot.ShimStock) { k.Leaves[1] = 1.5 }), align.ErrOutOfRange, "leaves[1]", "1500.000000 mm"},
		{stack(1e-3, func(k *softfoot.ShimStock) { k.Leaves[0] = 1e-13 }), align.ErrOutOfRange, "leaves[0]", "0.000000 mm"},
		{face(func(f *softfoot.FootFace) { f.Length = 0 }), align.ErrOutOfRange, "length", "0.0000 mm"},
		{face(func(f *softfoot.FootFace) { f.Width = -0.1 }), align.ErrOutOfRange, "width", "-100.0000 mm"},
		{face(func(f *softfoot.FootFace) { f.Gaps = f.Gaps[:2] }), softfoot.ErrTooFewPoints, "gaps", "2 points"},
		{face(func(f *softfoot.FootFace) { f.Gaps = make([]softfoot.GapPoint, 2049) }), softfoot.ErrTooManyPoints, "gaps", "2049 points"},
		{face(func(f *softfoot.FootFace) { f.Gaps = make([]softfoot.GapPoint, 4) }), align.ErrUndetermined, "gaps", "all in one place"},
		{face(func(f *softfoot.FootFace) { f.Gaps = []softfoot.GapPoint{{}, {Along: 0.1}, {Along: -0.1}} }), align.ErrUndetermined, "gaps", "all in one line"},
		{face(func(f *softfoot.FootFace) { f.Gaps[2].Across = 0.06 }), align.ErrOutOfRange, "gaps[2].across", "60.000 mm"},
		{face(func(f *softfoot.FootFace) { f.Gaps[2].Gap = -1e-6 }), align.ErrNegative, "gaps[2].gap", "-0.0010 mm"},
		{first(wedge.CheckFlat(-1e-3)), align.ErrNegative, "limit", "-1.0000 mm"},
		{first(wedge.FlatShim(-1e-3)), align.ErrNegative, "shim", "-1.0000 mm"},
		{first(wedge.Taper(0)), align.ErrOutOfRange, "thinnest", "0.0000 mm"},
		{level(nan, 0), align.ErrNotFinite, "first", "NaN"},
		{level(0, -1.25), align.ErrOutOfRange, "turned", "-1.25"},
		{level(1.25, 0), align.ErrOutOfRange, "first", "1.25"},
		{traverse(func(t *softfoot.LevelTraverse) { t.Legs = nil }), align.ErrMissing, "legs", ""},
		{traverse(func(t *softfoot.LevelTraverse) { t.Spread = 2 }), align.ErrUnknownKind, "spread", "2"},
		{traverse(func(t *softfoot.LevelTraverse) { t.Start = unit.Length(nan) }), align.ErrNotFinite, "start", "NaN m"},
		{traverse(func(t *softfoot.LevelTraverse) { t.End = 2e6 }), align.ErrOutOfRange, "end", "2e+06 m"},
		{traverse(func(t *softfoot.LevelTraverse) { t.Limit = &minus }), align.ErrNegative, "limit", "-2.0000 mm"},
		{traverse(func(t *softfoot.LevelTraverse) { t.Legs[0].Length = 0 }), align.ErrOutOfRange, "legs[0].length", "0.0000 mm"},
		{traverse(func(t *softfoot.LevelTraverse) { t.Legs[0].Rise = unit.Length(inf) }), align.ErrNotFinite, "legs[0].rise", "+Inf m"},
		{base(func(b *softfoot.Base) { b.Points[1].Pad = "" }), align.ErrMissing, "points[1].pad", ""},
		{base(func(b *softfoot.Base) { b.Points[1].Station = unit.Length(nan) }), align.ErrNotFinite, "points[1].station", "NaN m"},
		{base(func(b *softfoot.Base) { b.Points[1].Lateral = -1000000.5 }), align.ErrOutOfRange, "points[1].lateral", "-1.0000005e+06 m"},
		{base(func(b *softfoot.Base) { b.Points[2].Height = unit.Length(nan) }), align.ErrNotFinite, "points[2].height", "NaN m"},
		{base(func(b *softfoot.Base) { b.Points = b.Points[:2] }), softfoot.ErrTooFewPoints, "points", "2 points"},
		{first(softfoot.Base{}.Twist()), softfoot.ErrTooFewPoints, "points", "0, want four"},
		{first(softfoot.Base{Points: make([]softfoot.BasePoint, 5)}.Twist()), softfoot.ErrTooManyPoints, "points", "5, want four"},
		{evidence(-1e-3, nil, nil), align.ErrNegative, "least", "-1.0000 mm"},
		{evidence(0, &far, nil), align.ErrOutOfRange, "rise", "2e+06 m"},
		{evidence(0, nil, &far), align.ErrOutOfRange, "free", "2e+06 m"},
		{mass(7, 1, 1), align.ErrUnknownKind, "kind", "7"},
		{mass(softfoot.Rotating, nan, 1), align.ErrNotFinite, "block", "NaN kg"},
		{mass(softfoot.Rotating, 1, 0), align.ErrOutOfRange, "machines", "0 kg"},
		{mass(softfoot.Rotating, 2e12, 1), align.ErrOutOfRange, "block", "2e+12 kg"},
		{out(1, 2), align.ErrMismatch, "available", "2 values"},
		{out(1, 2, -0.001, 3), align.ErrNegative, "available[2]", "-1.0000 mm"},
		{first(softfoot.Observation{Item: "roof"}.Outcome()), align.ErrUnknownKind, "item", "roof"},
		{first(softfoot.Observation{Item: softfoot.Rust, Finding: 9}.Outcome()), align.ErrUnknownKind, "finding", "9"},
		{first(softfoot.Observation{Item: softfoot.Rust}.Outcome()), align.ErrMissing, "finding of rust", ""},
		{first(softfoot.Checklist{Observations: []softfoot.Observation{{Item: softfoot.Rust, Finding: softfoot.Sound}, {Item: "roof"}}}.Judge()), align.ErrUnknownKind, "observations[1].item", "roof"},
		{first(softfoot.Checklist{Foundation: &softfoot.Foundation{}}.Judge()), align.ErrOutOfRange, "foundation.block", "0 kg"},
		{first(softfoot.BaseProfile("house")), align.ErrUnknownKind, "profile", "house"},
		{first(softfoot.FootProfile("house")), align.ErrUnknownKind, "profile", `"house"`},
	} {
		require.ErrorIs(t, c.err, c.fault, "%d %s", i, c.field)
		var in *align.InputError
		require.ErrorAs(t, c.err, &in)
		assert.Equal(t, c.field, in.Field, i)
		assert.Equal(t, c.got, in.Got, "%d %s", i, c.field)
		assert.Equal(t, "softfoot", in.Package, i)
	}
}

// The bounds themselves are let pass.
func TestBoundsAreLetPass(t *testing.T) {
	m := oblong(0, 0, 0, 0)
	for i := range m.Feet {
		m.Feet[i].Station += 999.4 // up to a kilometre
	}
	_, err := m.Seat()
	require.NoError(t, err)
	for i := range m.Feet {
		m.Feet[i].Station -= 2 * 999.4
		m.Feet[i].Lateral -= 0
	}
	m.Feet[0].Station, m.Feet[1].Station = -1000, -1000
	_, err = m.Seat()
	require.NoError(t, err)

	many := softfoot.Machine{}
	names := make([]string, 32)
	for i := range names {
		names[i] = strings.Repeat("f", i+1)
		sin, cos := math.Sincos(float64(i) * math.Pi / 16)
		many.Feet = append(many.Feet, softfoot.Foot{Name: names[i], Station: unit.Length(cos), Lateral: unit.Length(sin)})
	}
	many.Heights = make([]unit.Length, 32)
	s, err := many.Seat()
	require.NoError(t, err)
	assert.True(t, s.Flat())
	_, err = softfoot.Rises{Feet: names, Rise: make([]align.Movement, 32)}.Excess()
	require.NoError(t, err)

	_, err = softfoot.LevelReversal{First: 1, Turned: -1}.Solve()
	require.NoError(t, err)
	_, _, err = softfoot.LevelTraverse{Start: 1e6, End: -1e6, Legs: []softfoot.LevelLeg{{Length: 1e6, Rise: -1e6}}}.Close()
	require.NoError(t, err)
	stock := softfoot.ShimStock{Leaves: []unit.Length{1, 1e-12}, MaxLeaves: 8}
	st, ws, err := stock.Stack(8)
	require.NoError(t, err)
	assert.Empty(t, ws)
	assert.Len(t, st.Leaves, 8)
	_, _, err = stock.Stack(10)
	require.NoError(t, err)
	_, err = softfoot.Foundation{Block: 1e12, Machines: 1e-3}.Judge()
	require.NoError(t, err)
	tilted := oblong(0, 0, 0, 0.0072) // one hundredth of the span of 0.72 m
	_, err = tilted.Seat()
	require.NoError(t, err)
	tilted.Heights[3] = 0.0073
	_, err = tilted.Seat()
	require.ErrorIs(t, err, softfoot.ErrTiltTooLarge)
}

// A foot that misses what counts by nothing is no soft foot, one that exceeds it
// is: gaps, tapers and movements, each by itself.
func TestDiagnosisAtWhatCounts(t *testing.T) {
	const least = 0.0625e-3
	move := func(v float64) *align.Movement { m := align.Movement(v); return &m }
	face := func(fl, fr, ll, lr float64) *softfoot.FootFace {
		f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{
			FirstLeft: unit.Length(fl), FirstRight: unit.Length(fr), LastLeft: unit.Length(ll), LastRight: unit.Length(lr)})
		return &f
	}
	for name, c := range map[string]struct {
		e       softfoot.FootEvidence
		kinds   []softfoot.SoftKind
		cannot  bool
		missing int
	}{
		"nothing read":                {softfoot.FootEvidence{}, nil, true, 2},
		"no gap":                      {softfoot.FootEvidence{Face: face(0, 0, 0, 0)}, nil, false, 1},
		"gap within":                  {softfoot.FootEvidence{Face: face(0.9*least, 0.9*least, 0.9*least, 0.9*least)}, nil, false, 1},
		"gap":                         {softfoot.FootEvidence{Face: face(1.1*least, 1.1*least, 1.1*least, 1.1*least)}, []softfoot.SoftKind{softfoot.Parallel}, false, 1},
		"taper":                       {softfoot.FootEvidence{Face: face(0, 0, 1.1*least, 1.1*least)}, []softfoot.SoftKind{softfoot.Angular}, false, 1},
		"taper within":                {softfoot.FootEvidence{Face: face(0, 0, 0.9*least, 0.9*least)}, nil, false, 1},
		"gap and taper":               {softfoot.FootEvidence{Face: face(2*least, 2*least, 4*least, 4*least)}, []softfoot.SoftKind{softfoot.Parallel, softfoot.Angular}, false, 1},
		"one corner":                  {softfoot.FootEvidence{Face: face(0, 1.5*least, 1.5*least, 0)}, []softfoot.SoftKind{softfoot.Parallel}, false, 1},
		"rise within":                 {softfoot.FootEvidence{Rise: move(0.9 * least)}, nil, false, 2},
		"rise alone":                  {softfoot.FootEvidence{Rise: move(1.1 * least)}, nil, true, 2},
		"fall alone":                  {softfoot.FootEvidence{Rise: move(-1.1 * least)}, nil, true, 2},
		"no rise":                     {softfoot.FootEvidence{Rise: move(0)}, nil, false, 1},
		"rise that goes away":         {softfoot.FootEvidence{Rise: move(2 * least), Free: move(0.5 * least)}, []softfoot.SoftKind{softfoot.Induced}, false, 1},
		"rise that stays":             {softfoot.FootEvidence{Rise: move(2 * least), Free: move(1.5 * least)}, nil, true, 1},
		"rise without a gap":          {softfoot.FootEvidence{Face: face(0, 0, 0, 0), Rise: move(1.1 * least)}, []softfoot.SoftKind{softfoot.Springy}, false, 1},
		"rise within without a gap":   {softfoot.FootEvidence{Face: face(0, 0, 0, 0), Rise: move(0.9 * least)}, nil, false, 1},
		"free rise without a gap":     {softfoot.FootEvidence{Face: face(0, 0, 0, 0), Rise: move(1.5 * least), Free: move(1.2 * least)}, []softfoot.SoftKind{softfoot.Springy}, false, 0},
		"rise with a gap":             {softfoot.FootEvidence{Face: face(2*least, 2*least, 2*least, 2*least), Rise: move(2 * least)}, []softfoot.SoftKind{softfoot.Parallel}, false, 1},
		"free reading alone":          {softfoot.FootEvidence{Free: move(2 * least)}, nil, true, 2},
		"turns round when it is free": {softfoot.FootEvidence{Rise: move(0.9 * least), Free: move(-0.9 * least)}, []softfoot.SoftKind{softfoot.Induced}, false, 1},
	} {
		c.e.Least = least
		d, err := c.e.Diagnose()
		require.NoError(t, err, name)
		assert.Equal(t, c.kinds, d.Kinds, name)
		assert.Len(t, d.Reasons, len(c.kinds), name)
		assert.Equal(t, c.cannot, d.CannotTell, name)
		assert.Len(t, d.Missing, c.missing, name)
	}
	// Exactly what counts does not: the values are whole multiples of a power of two.
	const exact = 0x1p-14
	d, err := softfoot.FootEvidence{Least: exact, Face: face(0, 0, 0, 0), Rise: move(exact)}.Diagnose()
	require.NoError(t, err)
	assert.Empty(t, d.Kinds)
	d, err = softfoot.FootEvidence{Least: exact, Rise: move(exact)}.Diagnose()
	require.NoError(t, err)
	assert.False(t, d.CannotTell)
	d, err = softfoot.FootEvidence{Least: exact, Rise: move(exact), Free: move(0)}.Diagnose()
	require.NoError(t, err)
	assert.Empty(t, d.Kinds)
	// Nothing given is 0.05 mm.
	for rise, want := range map[float64]bool{0.049e-3: false, 0.051e-3: true} {
		d, err := softfoot.FootEvidence{Rise: move(rise)}.Diagnose()
		require.NoError(t, err)
		assert.Equal(t, want, d.CannotTell, rise)
	}
}

func TestDiagnosisInWords(t *testing.T) {
	rise, free := align.Movement(0.3e-3), align.Movement(0.1e-3)
	f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: 0.2e-3, FirstRight: 0.2e-3, LastLeft: 0.45e-3, LastRight: 0.45e-3})
	d, err := softfoot.FootEvidence{Foot: "3", Face: &f, Rise: &rise, Free: &free}.Diagnose()
	require.NoError(t, err)
	assert.Equal(t, []string{
		"gap of 0.200 mm even at the tight corner",
		"gap tapers by 0.250 mm, tight at the end toward the first machine",
		"moves 0.300 mm connected and 0.100 mm free",
	}, d.Reasons)
	f = softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{})
	d, err = softfoot.FootEvidence{Face: &f, Rise: &rise, Free: &rise}.Diagnose()
	require.NoError(t, err)
	assert.Equal(t, []string{"moves 0.300 mm with no gap over 0.050 mm"}, d.Reasons)
	f = softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstRight: 0.1e-3, LastLeft: 0.1e-3})
	d, err = softfoot.FootEvidence{Face: &f}.Diagnose()
	require.NoError(t, err)
	assert.Equal(t, []string{"gap of up to 0.100 mm, with no taper that counts"}, d.Reasons)
}

// The feet named by their direction, and left out where the other direction
// changes five times as much.
func TestTightSideInWords(t *testing.T) {
	for _, c := range []struct {
		along, across float64 // gap gained over the foot, mil
		want          string
	}{
		{10, 0, "end toward the first machine"}, {-10, 0, "end toward the last machine"},
		{0, 10, "left side"}, {0, -10, "right side"},
		{10, 1.9, "end toward the first machine"}, {1.9, -10, "right side"},
		{10, 2.1, "corner toward the first machine, left side"}, {-2.1, -10, "corner toward the last machine, right side"},
		{0, 0, ""}, {1e-6, 0, ""},
	} {
		at := func(x, z float64) unit.Length { return mils(50 + c.along*x/2 + c.across*z/2) }
		w, err := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{
			FirstLeft: at(-1, -1), FirstRight: at(-1, 1), LastLeft: at(1, -1), LastRight: at(1, 1)}).Wedge()
		require.NoError(t, err)
		assert.Equal(t, c.want, w.TightSide(), "%v", c)
		assert.InDelta(t, math.Abs(c.along)+math.Abs(c.across), float64(w.Range()/align.Mil), 1e-6)
		assert.InDelta(t, float64(w.Open-w.Tight), float64(w.Range()), 1e-15)
	}
}

// The foundation passes at three times the machines, five for reciprocating
// ones, whatever rounding does.
func TestFoundationAtTheRatio(t *testing.T) {
	for kind, ratio := range map[softfoot.MachineKind]float64{softfoot.Rotating: 3, softfoot.Reciprocating: 5} {
		for k, want := range map[float64]softfoot.Outcome{1: softfoot.Proceed, 1 - 1e-13: softfoot.Proceed, 1 - 1e-9: softfoot.Watch, 2: softfoot.Proceed, 0.5: softfoot.Watch} {
			v, err := softfoot.Foundation{Kind: kind, Block: 700 * ratio * k, Machines: 700}.Judge()
			require.NoError(t, err)
			assert.Equal(t, want, v.Outcome, "%v %.14g", kind, k)
			assert.Equal(t, ratio, v.Least)
			assert.InEpsilon(t, ratio*k, v.Ratio, 1e-12)
		}
	}
}

// What a limit is held against may be as large as the limit.
func TestAtTheLimitThereIsNoWarning(t *testing.T) {
	limit := 20 * align.Micrometre
	for k, want := range map[float64]int{1: 0, 1 + 1e-10: 0, 1 + 1e-8: 1, 0.5: 0, 2: 1} {
		for _, sign := range []float64{1, -1} {
			tr := softfoot.LevelTraverse{Limit: &limit, Legs: []softfoot.LevelLeg{{Length: 1, Rise: unit.Length(sign*k) * limit}}}
			_, ws, err := tr.Close()
			require.NoError(t, err)
			assert.Len(t, ws, want, k)
		}
	}
	// Four corners leave a quarter of the twist: 16 mil makes 4.
	w, err := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: mils(9), FirstRight: mils(1), LastLeft: mils(1), LastRight: mils(9)}).Wedge()
	require.NoError(t, err)
	for k, want := range map[float64]int{1: 0, 1 - 1e-10: 0, 1 - 1e-8: 1} {
		ws, err := w.CheckFlat(unit.Length(k) * mils(4))
		require.NoError(t, err)
		assert.Len(t, ws, want, k)
	}
	for leaves, want := range map[int]int{4: 0, 5: 0, 6: 1} {
		p, err := softfoot.FootProfile("api-686")
		require.NoError(t, err)
		ws := p.CheckStack(softfoot.ShimStack{Leaves: make([]unit.Length, leaves)})
		assert.Len(t, ws, want)
		if want == 1 {
			assert.Equal(t, 6.0, ws[0].Value)
			assert.Equal(t, 5.0, ws[0].Limit)
		}
	}
	// A gap of one leaf under a foot that should carry is let pass; more is not.
	for k, want := range map[float64]bool{1: false, 1.01: true} {
		m := oblong()
		m.Gaps = []unit.Length{unit.Length(k) * align.Mil, unit.Length(k) * align.Mil, unit.Length(k) * align.Mil, 30 * align.Mil}
		m.Centre = &softfoot.Point{Station: 0.2, Lateral: 0}
		s, err := m.Seat()
		require.NoError(t, err)
		warned := false
		for _, w := range s.Warnings {
			warned = warned || w.Code == softfoot.WarnNotResting
		}
		assert.Equal(t, want, warned, k)
	}
}

// Another foot that outdoes the loosened one by a leaf is let pass.
func TestOtherFootByMoreThanALeaf(t *testing.T) {
	own := func(other float64) int {
		m := softfoot.RiseMatrix{Feet: four, OthersTight: true}
		for i := range four {
			row := make([]align.Movement, 4)
			row[i] = align.Movement(0.125e-3)
			row[(i+1)%4] = align.Movement(other)
			m.Rise = append(m.Rise, row)
		}
		r, ws, err := m.Own()
		require.NoError(t, err)
		for _, v := range r.Rise {
			assert.Equal(t, align.Movement(0.125e-3), v)
		}
		return len(ws)
	}
	assert.Zero(t, own(0.125e-3+0.99*float64(align.Mil)))
	assert.Equal(t, 4, own(0.125e-3+1.01*float64(align.Mil)))
	assert.Equal(t, 4, own(-0.125e-3-1.01*float64(align.Mil)), "a foot that falls moves too")
	assert.Zero(t, own(-0.1e-3))
}

// The common rise of an even number of feet is the lower of the middle two.
func TestCommonRiseIsTheLowerMedian(t *testing.T) {
	for want, rises := range map[float64][]float64{2: {1, 2, 3, 4}, 3: {5, 4, 3, 2, 1}, 0: {0, 0, 7, 9}, -1: {-1, -2, 8}} {
		var feet []string
		for i := range rises {
			feet = append(feet, strings.Repeat("x", i+1))
		}
		e, err := softfoot.Rises{Feet: feet, Rise: inches(rises...)}.Excess()
		require.NoError(t, err)
		assert.InDelta(t, want*0.0254, float64(e.Common), 1e-15)
		for i, r := range rises {
			assert.InDelta(t, math.Max(0, r-want)*0.0254, float64(e.Shim[i]), 1e-15)
		}
		falling := 0
		for _, w := range e.Warnings {
			if w.Code == softfoot.WarnFallingFoot {
				falling++
			}
		}
		assert.Equal(t, map[float64]int{-1: 2}[want], falling)
	}
}

// The least and the largest gap may be read at any point, the first one too.
func TestReadingsOfEveryPoint(t *testing.T) {
	for turn := range 4 {
		var g [4]unit.Length
		for i := range g {
			g[(i+turn)%4] = mils(float64(i + 1))
		}
		w, err := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: g[0], FirstRight: g[1], LastLeft: g[2], LastRight: g[3]}).Wedge()
		require.NoError(t, err)
		least, largest := w.Readings()
		assert.Equal(t, mils(1), least)
		assert.Equal(t, mils(4), largest)
		// Without a shim the readings are what is left.
		s, _, err := softfoot.ShimStock{Leaves: []unit.Length{0.5}, MaxLeaves: 1}.SteppedShim(w)
		require.NoError(t, err)
		assert.InDelta(t, float64(least), float64(s.LeastRead), 1e-15)
		assert.InDelta(t, float64(largest), float64(s.MostRead), 1e-15)
	}
}

// Excess on both feet of one diagonal is warned about with the larger of the two,
// whichever foot has it.
func TestDiagonalPairNamesTheLargest(t *testing.T) {
	for big := range 4 {
		rise := inches(0.001, 0.001, 0.001, 0.001)
		rise[big], rise[(big+2)%4] = inches(0.009)[0], inches(0.005)[0]
		e, err := softfoot.Rises{Feet: four, Rise: rise}.Excess()
		require.NoError(t, err)
		require.Len(t, e.Warnings, 1)
		assert.Equal(t, softfoot.WarnDiagonalPair, e.Warnings[0].Code)
		assert.InDelta(t, 0.008*0.0254, e.Warnings[0].Value, 1e-12)
		assert.InDelta(t, 0.001*0.0254, e.Warnings[0].Limit, 1e-15)
		rise[(big+2)%4] = inches(0.0019)[0] // no more than a leaf over the others
		e, err = softfoot.Rises{Feet: four, Rise: rise}.Excess()
		require.NoError(t, err)
		assert.Empty(t, e.Warnings)
	}
}

// Every plan leaves two feet or more as they are, seats the machine, and is
// counted right; the best ones come first.
func TestPlansLeaveTwoFeet(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for n := 4; n <= 7; n++ {
		for range 10 {
			m := ring(r, n)
			plans, err := m.AddPlans()
			require.NoError(t, err)
			for k, p := range plans {
				changed := m
				changed.Heights = append([]unit.Length(nil), m.Heights...)
				shimmed, total, largest := 0, 0.0, 0.0
				for i, c := range p.Change {
					require.GreaterOrEqual(t, float64(c), 0.0)
					changed.Heights[i] += c
					total += float64(c)
					largest = math.Max(largest, float64(c))
					if c > 0 {
						shimmed++
					}
				}
				require.LessOrEqual(t, shimmed, n-2)
				require.Equal(t, shimmed, p.Shimmed)
				require.InDelta(t, total, float64(p.Total), 1e-15)
				require.InDelta(t, largest, float64(p.Largest), 1e-18)
				seat, err := changed.Seat()
				require.NoError(t, err)
				require.True(t, seat.Flat())
				if k > 0 {
					require.LessOrEqual(t, plans[k-1].Shimmed, p.Shimmed)
					if plans[k-1].Shimmed == p.Shimmed {
						require.LessOrEqual(t, float64(plans[k-1].Total), float64(p.Total)+2e-9)
					}
				}
			}
		}
	}
}

// The loads of three feet by moments: a centre a quarter of the way along and
// three eighths across a right angle of 4 by 2.
func TestLoadsByMoments(t *testing.T) {
	m := softfoot.Machine{
		Feet:    []softfoot.Foot{{Name: "a"}, {Name: "b", Station: 4}, {Name: "c", Lateral: 2}},
		Heights: []unit.Length{0, 0, 0}, Centre: &softfoot.Point{Station: 1, Lateral: 0.75},
	}
	s, err := m.Seat()
	require.NoError(t, err)
	require.Len(t, s.Rests, 1)
	assert.InDelta(t, 0.375, s.Rests[0].Load[0], 1e-15)
	assert.InDelta(t, 0.25, s.Rests[0].Load[1], 1e-15)
	assert.InDelta(t, 0.375, s.Rests[0].Load[2], 1e-15)
	assert.True(t, s.Rests[0].LoadKnown())
	// A centre just outside, within what it is known to: the edge carries all.
	m.Centre, m.CentreWithin = &softfoot.Point{Station: 1, Lateral: -0.1}, 0.2
	m.Feet = append(m.Feet, softfoot.Foot{Name: "d", Station: 2, Lateral: -3})
	m.Heights = append(m.Heights, -1e-3)
	s, err = m.Seat()
	require.NoError(t, err)
	for _, r := range s.Rests {
		if r.Three == [3]int{0, 1, 2} {
			assert.InDelta(t, 0.1, float64(r.Off), 1e-12)
			assert.InDelta(t, 0.75, r.Load[0], 1e-12)
			assert.InDelta(t, 0.25, r.Load[1], 1e-12)
			assert.InDelta(t, 0, r.Load[2], 1e-12)
		}
	}
}

// Reach is range over slope: along the steepest way from corner to corner.
func TestReachByHand(t *testing.T) {
	// 3 mil gained over 30 mm and 4 mil over 40 mm: 0.1 mil/mm each way, a slope of
	// 0.1 root 2, and 7 mil over it are 70/root 2 mm.
	at := func(x, z float64) unit.Length { return mils(10 + 1.5*x + 2*z) }
	w, err := softfoot.FourCorners(0.03, 0.04, softfoot.CornerGaps{
		FirstLeft: at(-1, -1), FirstRight: at(-1, 1), LastLeft: at(1, -1), LastRight: at(1, 1)}).Wedge()
	require.NoError(t, err)
	assert.InDelta(t, 0.07/math.Sqrt2, float64(w.Reach()), 1e-12)
	flat, err := softfoot.FourCorners(0.03, 0.04, softfoot.CornerGaps{}).Wedge()
	require.NoError(t, err)
	assert.Zero(t, flat.Reach())
}

// A face read at three of its corners, one of them twice, shows no twist.
func TestTwistNeedsFourCorners(t *testing.T) {
	f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: mils(9), FirstRight: mils(1), LastLeft: mils(2), LastRight: mils(5)})
	w, err := f.Wedge()
	require.NoError(t, err)
	assert.InDelta(t, float64(mils(11)), float64(w.Twist), 1e-15) // 9 - 1 - 2 + 5
	f.Gaps[3].Along, f.Gaps[3].Across = f.Gaps[0].Along, f.Gaps[0].Across
	w, err = f.Wedge()
	require.NoError(t, err)
	assert.Zero(t, w.Twist)
	f.Gaps[3].Along, f.Gaps[3].Across = 0.09, 0.05
	w, err = f.Wedge()
	require.NoError(t, err)
	assert.Zero(t, w.Twist, "beside the corner")
}

// Of two ways to rest that disagree with the gaps, the better one counts: with
// gaps of 0, 0.2, 0 and 0.1 mm the machine rocks on the first diagonal, and comes
// down on a foot that shows 0.1 mm or on one that shows 0.2 mm.
func TestDisagreementOfTheBetterRest(t *testing.T) {
	for _, gaps := range [][]unit.Length{{0, 0.2e-3, 0, 0.1e-3}, {0, 0.1e-3, 0, 0.2e-3}} {
		m := oblong()
		m.Gaps = gaps
		s, err := m.Seat()
		require.NoError(t, err)
		require.Len(t, s.Rests, 2)
		for _, w := range s.Warnings {
			if w.Code == softfoot.WarnNotResting {
				assert.InDelta(t, 0.1e-3, w.Value, 1e-15)
			}
		}
		assert.Equal(t, softfoot.WarnNotResting, s.Warnings[len(s.Warnings)-1].Code)
		assert.Zero(t, s.Gap(2, 1))
		assert.Zero(t, s.Gap(-1, 1))
		assert.Zero(t, s.Gap(0, 4))
		assert.Zero(t, s.Gap(0, -1))
		assert.Nil(t, s.Carrying(2))
	}
}

// Four corners of an uneven shape: a corner moves the twist by four times its
// triangle (of the three others) over the sum of all four triangles. Here, in
// doubled areas, 1, 1, 2 and 2 of 6.
func TestTwistOfAnUnevenShape(t *testing.T) {
	corners := []softfoot.BasePoint{{Pad: "a"}, {Pad: "b", Station: 2}, {Pad: "c", Station: 1, Lateral: 1}, {Pad: "d", Lateral: 1}}
	weight := []float64{1, 1, 2, 2}
	for _, order := range [][]int{{0, 1, 2, 3}, {0, 2, 1, 3}, {2, 1, 0, 3}, {3, 1, 2, 0}, {1, 3, 0, 2}} {
		for raised := range order {
			var b softfoot.Base
			for _, i := range order {
				p := corners[i]
				if i == raised {
					p.Height = 1e-3
				}
				b.Points = append(b.Points, p)
			}
			v, err := b.Twist()
			require.NoError(t, err)
			assert.InDelta(t, 4e-3*weight[raised]/6, math.Abs(float64(v)), 1e-15, "%v %d", order, raised)
		}
	}
}

// A trapezium has equal diagonals whose middles are apart by e, what its shorter
// side is set in at either end. Two hundredths of the diagonal are let pass.
func TestTrapezium(t *testing.T) {
	for e, want := range map[unit.Length]error{0.013: nil, 0.016: softfoot.ErrNotRectangle, 0.025: softfoot.ErrNotRectangle} {
		along, across := oblong(0, 0, 0, 0), oblong(0, 0, 0, 0)
		along.Feet[1].Station, along.Feet[2].Station = e, 0.6-e
		across.Feet[2].Lateral, across.Feet[3].Lateral = 0.2-e, e-0.2
		for _, m := range []softfoot.Machine{along, across} {
			_, err := m.Twist()
			require.ErrorIs(t, err, want, "%g", float64(e))
		}
	}
}

// Three corners show no twist, and a gap must lie on its face at a place that is
// a number.
func TestGapsOffTheFace(t *testing.T) {
	f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: mils(9), FirstRight: mils(1), LastLeft: mils(2), LastRight: mils(5)})
	w, err := softfoot.FootFace{Length: 0.2, Width: 0.1, Gaps: f.Gaps[:3]}.Wedge()
	require.NoError(t, err)
	assert.Zero(t, w.Twist)
	for at, want := range map[unit.Length]error{
		unit.Length(math.NaN()): align.ErrNotFinite, unit.Length(math.Inf(1)): align.ErrNotFinite, unit.Length(math.Inf(-1)): align.ErrNotFinite,
		0.101: align.ErrOutOfRange, -0.101: align.ErrOutOfRange,
	} {
		gaps := append([]softfoot.GapPoint(nil), f.Gaps...)
		gaps[2].Along = at
		_, err = softfoot.FootFace{Length: 0.2, Width: 0.1, Gaps: gaps}.Wedge()
		require.ErrorIs(t, err, want, "%g", float64(at))
		assert.Contains(t, err.Error(), "gaps[2].along")
	}
}

// Two feet closer than a millionth of the whole are one.
func TestFeetAtAlmostOnePlace(t *testing.T) {
	for apart, want := range map[unit.Length]error{1e-7: softfoot.ErrSamePlace, 1e-5: nil} {
		m := oblong(0, 0, 0, 0, 0)
		m.Feet = append(m.Feet, softfoot.Foot{Name: "fifth", Station: 0.6 + apart, Lateral: -0.2})
		_, err := m.Seat()
		require.ErrorIs(t, err, want)
	}
}

// A foot that gains 0.1 mm to its middle and as much again, on leaves of 0.1 mm:
// the second leaf ends under the middle, and at its very end a leaf counts. The
// middle reads 0.02 mm less than the plane and presses by that.
func TestLeafCountsAtItsEnd(t *testing.T) {
	f := softfoot.FootFace{Length: 0.2, Width: 0.1}
	for i, gap := range []unit.Length{0.11e-3, 0.18e-3, 0.31e-3} {
		for _, across := range []unit.Length{-0.05, 0.05} {
			f.Gaps = append(f.Gaps, softfoot.GapPoint{Along: unit.Length(i-1) * 0.1, Across: across, Gap: gap})
		}
	}
	w, err := f.Wedge()
	require.NoError(t, err)
	s, _, err := softfoot.ShimStock{Leaves: []unit.Length{0.1e-3}, MaxLeaves: 3}.SteppedShim(w)
	require.NoError(t, err)
	require.Len(t, s.Leaves, 2)
	for i, end := range []float64{1, 0.5} {
		assert.InDelta(t, end, s.Leaves[i].End, 1e-9)
		assert.InDelta(t, 0.2*end, float64(s.Leaves[i].EndAt), 1e-9)
	}
	assert.InDelta(t, -0.02e-3, float64(s.LeastRead), 1e-12)
	assert.InDelta(t, 0.11e-3, float64(s.MostRead), 1e-12)
}

// Each pad tells how many points were read on it.
func TestPadsCountTheirPoints(t *testing.T) {
	b := softfoot.Base{Points: []softfoot.BasePoint{{Pad: "a"}, {Pad: "a", Station: 1}, {Pad: "a", Lateral: 1}, {Pad: "b", Station: 2, Lateral: 2}}}
	s, err := b.Survey()
	require.NoError(t, err)
	require.Len(t, s.Pads, 2)
	assert.Equal(t, []int{3, 1}, []int{s.Pads[0].Points, s.Pads[1].Points})
}

// A wedge filled in by hand with what is no number has no verdicts.
func TestFlatShimsOfNoNumber(t *testing.T) {
	nan := unit.Length(math.NaN())
	for _, w := range []softfoot.Wedge{{Tight: nan}, {Mean: nan}, {Open: nan}} {
		_, _, _, err := w.FlatShims()
		require.ErrorIs(t, err, align.ErrNotFinite)
	}
}

// A limit that cannot be judged by is refused, whichever it is.
func TestLimitsThatCannotBe(t *testing.T) {
	bad := &align.Limit{Name: "bad", Value: -1, Unit: align.UnitMillimetre}
	rises := softfoot.Rises{Feet: four, Rise: inches(0, 0.001, 0, 0.001)}
	for _, l := range []softfoot.FootLimits{{Each: bad}, {Spread: bad}} {
		_, err := rises.Judge(l)
		require.Error(t, err)
	}
	for _, l := range []softfoot.BaseLimits{{Level: bad}, {Elevation: bad}, {Flatness: bad}, {Coplanar: bad}} {
		_, err := softfoot.BaseSurvey{}.Judge(l)
		require.Error(t, err)
	}
}

// The spread of 1, 2 and 3 is 2 in any order, and one foot has none.
func TestSpreadInAnyOrder(t *testing.T) {
	for _, r := range [][]float64{{0.001, 0.002, 0.003}, {0.001, 0.003, 0.002}, {0.002, 0.001, 0.003}, {0.002, 0.003, 0.001}, {0.003, 0.001, 0.002}, {0.003, 0.002, 0.001}} {
		assert.InDelta(t, 0.002*0.0254, float64(softfoot.Rises{Rise: inches(r...)}.Spread()), 1e-15)
	}
	assert.Zero(t, softfoot.Rises{Rise: inches(0.001)}.Spread())
}

// Heights and gaps that spread too far over the feet are refused, whichever foot
// is the highest or the lowest:
// 7.2 mm are a hundredth of the diagonal.
func TestUnevenWhicheverFootItIs(t *testing.T) {
	for i := range 4 {
		for h, want := range map[unit.Length]error{0.0072: nil, 0.0073: softfoot.ErrTiltTooLarge} {
			up, down, gaps := oblong(0, 0, 0, 0), oblong(0, 0, 0, 0), oblong()
			up.Heights[i], down.Heights[i] = h, -h
			gaps.Gaps = make([]unit.Length, 4)
			gaps.Gaps[i] = h
			for _, m := range []softfoot.Machine{up, down, gaps} {
				_, err := m.Seat()
				require.ErrorIs(t, err, want)
			}
		}
	}
}
