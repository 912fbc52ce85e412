package softfoot_test

import (
	"fmt"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func inches(v ...float64) (out []align.Movement) {
	for _, x := range v {
		out = append(out, align.Movement(x)*align.Movement(align.Inch))
	}
	return out
}

var (
	four = []string{"outboard left", "outboard right", "inboard right", "inboard left"}
	six  = []string{"leg 1", "leg 2", "leg 3", "leg 4", "leg 5", "leg 6"}
)

// US Bureau of Reclamation, FIST 2-1, p. 18, sec. 5.1: five legs of a bridge
// rise 0.015 in and one 0.025 in; shim 0.010 in.
func TestExcessOfABridgeLeg(t *testing.T) {
	e, err := softfoot.Rises{Feet: six, Rise: inches(0.015, 0.015, 0.025, 0.015, 0.015, 0.015)}.Excess()
	require.NoError(t, err)
	assert.InDelta(t, 0.015, float64(e.Common)/0.0254, 1e-12)
	for i, s := range e.Shim {
		want := 0.0
		if i == 2 {
			want = 0.010
		}
		assert.InDelta(t, want, float64(s)/0.0254, 1e-12)
	}
	assert.Empty(t, e.Warnings)
}

// US Bureau of Reclamation, Maintenance Scheduling for Mechanical Equipment,
// p. 17: three feet rise 0.002 in and one 0.005 in; shim 0.003 in.
func ExampleRises_Excess() {
	e, err := softfoot.Rises{
		Feet: []string{"outboard left", "outboard right", "inboard left", "inboard right"},
		Rise: []align.Movement{
			align.Movement(0.002 * align.Inch), align.Movement(0.005 * align.Inch),
			align.Movement(0.002 * align.Inch), align.Movement(0.002 * align.Inch),
		},
	}.Excess()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(align.UnitInch.Format(float64(e.Shim[1]), 3))
	// Output: 0.003 in
}

func TestExcessWarns(t *testing.T) {
	e, err := softfoot.Rises{Feet: four, Rise: inches(0.006, 0.001, 0.006, 0.001)}.Excess()
	require.NoError(t, err)
	require.Len(t, e.Warnings, 1)
	assert.Equal(t, softfoot.WarnDiagonalPair, e.Warnings[0].Code)
	e, err = softfoot.Rises{Feet: four, Rise: inches(0.001, -0.002, 0.001, 0.001)}.Excess()
	require.NoError(t, err)
	require.Len(t, e.Warnings, 1)
	assert.Equal(t, softfoot.WarnFallingFoot, e.Warnings[0].Code)
	assert.Equal(t, "outboard right", e.Warnings[0].Field)
}

// The two published criteria disagree about the same feet: all alike and all
// over 2 mil passes a limit on the spread and fails one on each foot.
func TestCriteriaDiffer(t *testing.T) {
	r := softfoot.Rises{Feet: four, Rise: inches(0.003, 0.003, 0.003, 0.003)}
	each, err := softfoot.FootProfile("api-686")
	require.NoError(t, err)
	v, err := r.Judge(each)
	require.NoError(t, err)
	require.Len(t, v, 4)
	for i := range v {
		assert.False(t, v[i].Within)
		assert.Equal(t, four[i], v[i].Foot)
	}
	spread, err := softfoot.FootProfile("rotating-machinery")
	require.NoError(t, err)
	v, err = r.Judge(spread)
	require.NoError(t, err)
	require.Len(t, v, 1)
	assert.True(t, v[0].Within)
	assert.Contains(t, v[0].String(), "McMillan")
	handbook, err := softfoot.FootProfile("pumping-handbook")
	require.NoError(t, err)
	v, err = r.Judge(handbook)
	require.NoError(t, err)
	assert.Empty(t, v, "its limit is a feeler, not a movement")
	_, err = softfoot.FootProfile("my-own")
	require.ErrorIs(t, err, align.ErrUnknownKind)
}

// Published numbers of shims in a stack: 3 (McMillan), 4 (Mackay), 5 (RP 686).
func TestShimsInAStack(t *testing.T) {
	stack := softfoot.ShimStack{Leaves: make([]unit.Length, 4)}
	for name, warned := range map[string]bool{"rotating-machinery": true, "pumping-handbook": false, "api-686": false, "bloch": false} {
		l, err := softfoot.FootProfile(name)
		require.NoError(t, err)
		w := l.CheckStack(stack)
		assert.Equal(t, warned, len(w) == 1, name)
		if warned {
			assert.Equal(t, softfoot.WarnManyShims, w[0].Code)
		}
	}
}

func TestRiseMatrix(t *testing.T) {
	m := softfoot.RiseMatrix{Feet: four, OthersTight: true, Rise: [][]align.Movement{
		inches(0.004, 0.001, 0, 0.001), inches(0, 0.001, 0.005, 0), inches(0, 0, 0.002, 0), inches(0, 0, 0, 0.001),
	}}
	r, w, err := m.Own()
	require.NoError(t, err)
	assert.Equal(t, inches(0.004, 0.001, 0.002, 0.001), r.Rise)
	require.Len(t, w, 1)
	assert.Equal(t, softfoot.WarnOtherFoot, w[0].Code)
	assert.Equal(t, "inboard right", w[0].Field)

	m.OthersTight = false
	_, _, err = m.Own()
	require.ErrorIs(t, err, softfoot.ErrOthersLoose)
	m.OthersTight = true
	m.Rise[1] = m.Rise[1][:3]
	_, _, err = m.Own()
	require.ErrorIs(t, err, align.ErrMismatch)
	assert.Contains(t, err.Error(), "rise[1]")
	m.Rise = m.Rise[:2]
	_, _, err = m.Own()
	require.ErrorIs(t, err, align.ErrMismatch)
	m = softfoot.RiseMatrix{Feet: four[:3], OthersTight: true, Rise: [][]align.Movement{inches(0, 0, 0), inches(0, math.Inf(1), 0), inches(0, 0, 0)}}
	_, _, err = m.Own()
	require.ErrorIs(t, err, align.ErrNotFinite)
	assert.Contains(t, err.Error(), "rise[1][1]")
}

func TestRisesRefuse(t *testing.T) {
	for name, c := range map[string]struct {
		r    softfoot.Rises
		want error
	}{
		"two feet": {softfoot.Rises{Feet: four[:2], Rise: inches(0, 0)}, softfoot.ErrTooFewFeet},
		"33 feet":  {softfoot.Rises{Feet: make([]string, 33), Rise: make([]align.Movement, 33)}, softfoot.ErrTooManyFeet},
		"mismatch": {softfoot.Rises{Feet: four, Rise: inches(0)}, align.ErrMismatch},
		"no name":  {softfoot.Rises{Feet: []string{"a", "", "c"}, Rise: inches(0, 0, 0)}, align.ErrMissing},
		"one name": {softfoot.Rises{Feet: []string{"a", "b", "a"}, Rise: inches(0, 0, 0)}, softfoot.ErrSameName},
		"nan":      {softfoot.Rises{Feet: four, Rise: inches(0, 0, math.NaN(), 0)}, align.ErrNotFinite},
		"huge":     {softfoot.Rises{Feet: four, Rise: inches(0, 0, 1e300, 0)}, align.ErrOutOfRange},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := c.r.Excess()
			require.ErrorIs(t, err, c.want)
			_, err = c.r.Judge(softfoot.FootLimits{})
			require.ErrorIs(t, err, c.want)
		})
	}
	assert.Zero(t, softfoot.Rises{}.Spread())
}

func TestDiagnose(t *testing.T) {
	mm := func(v float64) *align.Movement { m := align.Movement(v * 1e-3); return &m }
	face := func(a, b, c, d float64) *softfoot.FootFace {
		l := func(v float64) unit.Length { return unit.Length(v * 1e-3) }
		f := softfoot.FourCorners(0.12, 0.08, softfoot.CornerGaps{FirstLeft: l(a), FirstRight: l(b), LastLeft: l(c), LastRight: l(d)})
		return &f
	}
	for name, c := range map[string]struct {
		e      softfoot.FootEvidence
		want   []softfoot.SoftKind
		cannot bool
	}{
		"sits":             {softfoot.FootEvidence{Face: face(0, 0, 0.02, 0.02), Rise: mm(0.01)}, nil, false},
		"parallel":         {softfoot.FootEvidence{Face: face(0.2, 0.2, 0.2, 0.2)}, []softfoot.SoftKind{softfoot.Parallel}, false},
		"neither counts":   {softfoot.FootEvidence{Face: face(0.04, 0.04, 0.08, 0.08)}, []softfoot.SoftKind{softfoot.Parallel}, false}, // 0.08 over 0.05
		"twisted":          {softfoot.FootEvidence{Face: face(0, 0.08, 0.08, 0)}, []softfoot.SoftKind{softfoot.Parallel}, false},       // no taper, and a gap all the same
		"falls":            {softfoot.FootEvidence{Face: face(0, 0, 0, 0), Rise: mm(-0.30)}, []softfoot.SoftKind{softfoot.Springy}, false},
		"falls, no gaps":   {softfoot.FootEvidence{Rise: mm(-0.30)}, nil, true},
		"angular":          {softfoot.FootEvidence{Face: face(0, 0, 0.2, 0.2)}, []softfoot.SoftKind{softfoot.Angular}, false},
		"both":             {softfoot.FootEvidence{Face: face(0.1, 0.1, 0.3, 0.3)}, []softfoot.SoftKind{softfoot.Parallel, softfoot.Angular}, false},
		"springy":          {softfoot.FootEvidence{Face: face(0, 0, 0.02, 0.02), Rise: mm(0.12)}, []softfoot.SoftKind{softfoot.Springy}, false},
		"induced":          {softfoot.FootEvidence{Face: face(0, 0, 0.02, 0.02), Rise: mm(0.12), Free: mm(0.01)}, []softfoot.SoftKind{softfoot.Induced}, false},
		"induced, springy": {softfoot.FootEvidence{Face: face(0, 0, 0, 0), Rise: mm(0.30), Free: mm(0.10)}, []softfoot.SoftKind{softfoot.Springy, softfoot.Induced}, false},
		"rise alone":       {softfoot.FootEvidence{Rise: mm(0.30)}, nil, true},
		"small rise alone": {softfoot.FootEvidence{Rise: mm(0.03)}, nil, false},
		"induced, no gaps": {softfoot.FootEvidence{Rise: mm(0.30), Free: mm(0.01)}, []softfoot.SoftKind{softfoot.Induced}, false},
		"part, no gaps":    {softfoot.FootEvidence{Rise: mm(0.30), Free: mm(0.10)}, []softfoot.SoftKind{softfoot.Induced}, true},
		"nothing":          {softfoot.FootEvidence{}, nil, true},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := c.e.Diagnose()
			require.NoError(t, err)
			assert.Equal(t, c.want, d.Kinds)
			assert.Len(t, d.Reasons, len(c.want))
			assert.Equal(t, c.cannot, d.CannotTell)
		})
	}
	d, err := softfoot.FootEvidence{Rise: mm(0.30)}.Diagnose()
	require.NoError(t, err)
	assert.Len(t, d.Missing, 2, "gaps, and the rise with everything free")
	_, err = softfoot.FootEvidence{Rise: mm(math.NaN())}.Diagnose()
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, err = softfoot.FootEvidence{Least: -1}.Diagnose()
	require.ErrorIs(t, err, align.ErrNegative)
	_, err = softfoot.FootEvidence{Face: &softfoot.FootFace{}}.Diagnose()
	require.Error(t, err)
	assert.NotEmpty(t, softfoot.Recheck())
	assert.Contains(t, softfoot.Cautions()[0], "lock it out")
}
