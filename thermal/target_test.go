package thermal

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func randomAxis(r *rand.Rand) align.Axis {
	line := func() align.Line {
		return align.Line{Offset: unit.Length(2e-4 * r.NormFloat64()), Slope: 3e-4 * r.NormFloat64()}
	}
	return align.Axis{Vertical: line(), Horizontal: line()}
}

func randomCases(r *rand.Rand, n int) []Case {
	out := make([]Case, n)
	for i := range out {
		out[i].State = State{Near: randomAxis(r), Far: randomAxis(r)}
		if r.IntN(3) == 0 {
			l := unit.Length(5e-5 * (1 + r.Float64()))
			out[i].NearLimit = &l
		}
		if r.IntN(3) == 0 {
			l := unit.Length(5e-5 * (1 + r.Float64()))
			out[i].FarLimit = &l
		}
	}
	return out
}

func criterion(mode Mode) Criterion {
	return Criterion{Near: LimitAt{0.9, 5e-5}, Far: LimitAt{1.4, 4e-5}, Mode: mode}
}

func TestBestTargetOfOneStateIsItsColdTarget(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, mode := range []Mode{PerPlane, Resultant} {
		cs := randomCases(r, 1)
		got, err := BestColdTarget(cs, criterion(mode))
		require.NoError(t, err)
		want, err := cs[0].ColdTarget()
		require.NoError(t, err)
		for _, x := range []unit.Length{0, 0.9, 1.4, 3} {
			require.InDelta(t, 0, float64(got.Axis.At(x).Sub(want.At(x)).Resultant()), 1e-15)
		}
		require.Less(t, got.Worst, 1e-9)
		require.True(t, got.Within())
	}
}

// Properties: no other target does better, a further state never helps, a datum
// shift and a common movement change nothing, scale goes through, and what
// governs cannot be improved in a single step.
func TestBestTargetProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for k := range 300 {
		mode := Mode(k % 2)
		c := criterion(mode)
		cs := randomCases(r, 2+r.IntN(6))
		best, err := BestColdTarget(cs, c)
		require.NoError(t, err)
		require.NotEmpty(t, best.Governing)

		for i := range cs { // any single state's own target, and any near by
			own, err := cs[i].ColdTarget()
			require.NoError(t, err)
			other, err := JudgeColdTarget(own, cs, c)
			require.NoError(t, err)
			require.LessOrEqual(t, best.Worst, other.Worst*(1+1e-12))
			near := best.Axis.Add(scaled(randomAxis(r), 0.01))
			other, err = JudgeColdTarget(near, cs, c)
			require.NoError(t, err)
			require.LessOrEqual(t, best.Worst, other.Worst*(1+1e-12))
		}

		fewer, err := BestColdTarget(cs[:len(cs)-1], c)
		require.NoError(t, err)
		require.LessOrEqual(t, fewer.Worst, best.Worst*(1+1e-12))

		common := randomAxis(r)
		moved, shifted, twice := clone(cs), clone(cs), clone(cs)
		d := c
		d.Near.Station, d.Far.Station = c.Near.Station-2, c.Far.Station-2
		for i := range cs {
			moved[i].Near, moved[i].Far = cs[i].Near.Add(common), cs[i].Far.Add(common)
			shifted[i].Near, shifted[i].Far = cs[i].Near.Shifted(2), cs[i].Far.Shifted(2)
			twice[i].Near, twice[i].Far = scaled(cs[i].Near, 2), scaled(cs[i].Far, 2)
		}
		for i, q := range []struct {
			cases []Case
			c     Criterion
			want  float64
		}{{moved, c, best.Worst}, {shifted, d, best.Worst}, {twice, c, 2 * best.Worst}} {
			got, err := BestColdTarget(q.cases, q.c)
			require.NoError(t, err)
			require.InEpsilon(t, q.want, got.Worst, 1e-9, "%d", i)
		}
	}
}

func clone(cs []Case) []Case { return append([]Case(nil), cs...) }

// The two states of one ambient range: the middle of the two targets is best,
// and every ambient temperature between is as good or better.
func TestBestTargetOfARange(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	low, high := State{Near: randomAxis(r), Far: randomAxis(r)}, State{Near: randomAxis(r), Far: randomAxis(r)}
	for _, mode := range []Mode{PerPlane, Resultant} {
		c := criterion(mode)
		best, err := BestColdTarget([]Case{{State: low}, {State: high}}, c)
		require.NoError(t, err)
		mid := scaled(low.Relative().Add(high.Relative()), -0.5)
		require.InDelta(t, 0, float64(best.Axis.At(0.9).Sub(mid.At(0.9)).Resultant()), 1e-15)
		require.Len(t, best.Governing, 2) // both ends alike
		for f := 0.0; f <= 1; f += 0.125 {
			s, err := Between("", low, high, f)
			require.NoError(t, err)
			j, err := JudgeColdTarget(best.Axis, []Case{{State: s}}, c)
			require.NoError(t, err)
			require.LessOrEqual(t, j.Worst, best.Worst*(1+1e-12))
		}
	}
}

// By hand, in mils at the near station: relative movements 0, 6 and 10. With one
// limit of 2 for all the middle is -5 and the worst share 5/2. When the last has
// a limit of 6 it may lie three times as far off as the first: first at -c = 2.5
// of 2 is 1.25, last at 7.5 of 6 is 1.25; the middle one is then 3.5 of 2 off,
// 1.75, so it governs with the first, both 3 off: 1.5.
func TestBestTargetByHand(t *testing.T) {
	move := func(v float64) State { return State{Far: up(0, v, 10, 0)} }
	c := Criterion{Near: LimitAt{0, 2 * mil}, Far: LimitAt{10 * align.Inch, 2 * mil}}
	cs := []Case{{State: move(0)}, {State: move(6)}, {State: move(10)}}
	got, err := BestColdTarget(cs, c)
	require.NoError(t, err)
	require.InDelta(t, -5, float64(got.Axis.At(0).Vertical/mil), 1e-12)
	require.InDelta(t, 2.5, got.Worst, 1e-12)
	require.False(t, got.Within())
	require.Len(t, got.Governing, 2)
	require.Equal(t, 0, got.Governing[0].State)
	require.Equal(t, 2, got.Governing[1].State)
	require.Equal(t, align.Near, got.Governing[0].Shaft)
	require.Equal(t, Vertical, got.Governing[0].Direction)
	require.InDelta(t, -3, float64(got.Governing[0].Margin()/mil), 1e-12)

	wide := 6 * mil
	cs[2].NearLimit = &wide
	got, err = BestColdTarget(cs, c)
	require.NoError(t, err)
	require.InDelta(t, -3, float64(got.Axis.At(0).Vertical/mil), 1e-12)
	require.InDelta(t, 1.5, got.Worst, 1e-12)
	require.Len(t, got.Governing, 2)
	require.Equal(t, 1, got.Governing[1].State)
}

func TestTargetErrors(t *testing.T) {
	nan := unit.Length(math.NaN())
	one := []Case{{}}
	negative, tiny := -mil, unit.Length(1e-12)
	with := func(f func(c *Criterion)) Criterion { c := criterion(PerPlane); f(&c); return c }
	for name, q := range map[string]struct {
		cases []Case
		c     Criterion
		want  error
	}{
		"no states":     {nil, criterion(PerPlane), align.ErrMissing},
		"many":          {make([]Case, MaxCases+1), criterion(PerPlane), align.ErrOutOfRange},
		"mode":          {one, criterion(9), align.ErrUnknownKind},
		"zero limit":    {one, with(func(c *Criterion) { c.Near.Limit = 0 }), align.ErrOutOfRange},
		"limit":         {one, with(func(c *Criterion) { c.Far.Limit = -1 }), align.ErrNegative},
		"nan limit":     {one, with(func(c *Criterion) { c.Far.Limit = nan }), align.ErrNotFinite},
		"station":       {one, with(func(c *Criterion) { c.Far.Station = nan }), align.ErrNotFinite},
		"same station":  {one, with(func(c *Criterion) { c.Far.Station = c.Near.Station }), align.ErrCoincident},
		"state limit":   {[]Case{{NearLimit: &negative}}, criterion(PerPlane), align.ErrNegative},
		"tiny limit":    {[]Case{{FarLimit: &tiny}}, criterion(PerPlane), align.ErrOutOfRange},
		"nan movement":  {[]Case{{State: State{Near: align.Axis{Vertical: align.Line{Offset: nan}}}}}, criterion(Resultant), align.ErrNotFinite},
		"huge movement": {[]Case{{State: State{Near: align.Axis{Vertical: align.Line{Offset: 1e9}}}}}, criterion(Resultant), align.ErrOutOfRange},
	} {
		_, err := BestColdTarget(q.cases, q.c)
		require.ErrorIs(t, err, q.want, name)
		_, err = JudgeColdTarget(align.Axis{}, q.cases, q.c)
		require.ErrorIs(t, err, q.want, name)
	}
	_, err := JudgeColdTarget(align.Axis{Vertical: align.Line{Offset: nan}}, one, criterion(PerPlane))
	require.ErrorIs(t, err, align.ErrNotFinite)
}

// McMillan, Rotating Machinery, Fig. 9-10: target offsets of 5 and 2 mil at the
// two indicator planes; total readings of 10 at the stationary machine's and -4
// at the adjustable machine's, zero at the top and read at the bottom.
func TestTargetReadingsOfAReversePair(t *testing.T) {
	target := up(0, 5, 10, 2)
	dials := []align.Dial{
		{Surface: align.Rim, Bracket: align.Far, Station: 0, Sag: align.NoSag()},
		{Surface: align.Rim, Bracket: align.Near, Station: 10 * align.Inch, Sag: align.NoSag()},
	}
	got, err := TargetReadings(target, dials, align.Spool{}, align.Twelve, align.Six)
	require.NoError(t, err)
	require.InDelta(t, 10, float64(got[0][0].Value/mil), 1e-12)
	require.InDelta(t, -4, float64(got[1][0].Value/mil), 1e-12)

	_, err = TargetReadings(target, nil, align.Spool{}, align.Twelve)
	require.ErrorIs(t, err, align.ErrMissing)
	dials[1].Surface = align.FaceToward
	_, err = TargetReadings(target, dials, align.Spool{}, align.Twelve)
	require.ErrorIs(t, err, align.ErrZeroDiameter)
	require.ErrorContains(t, err, "dials[1].diameter")
}

func TestDirectionWords(t *testing.T) {
	require.Equal(t, []string{"vertical", "horizontal", "resultant", "direction(7)"},
		[]string{Vertical.String(), Horizontal.String(), Both.String(), Direction(7).String()})
}

func BenchmarkBestColdTarget(b *testing.B) {
	cs := randomCases(rand.New(rand.NewPCG(5, 5)), 6)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := BestColdTarget(cs, criterion(Resultant)); err != nil {
			b.Fatal(err)
		}
	}
}
