package uncertainty

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
)

// explicit is the standard uncertainty of both first harmonics for one reading of
// unit uncertainty: the inverse of the 3x3 normal matrix with columns 1, cos, sin.
func explicit(t *testing.T, at []align.Clock) (vertical, horizontal float64) {
	x := mat.NewDense(len(at), 3, nil)
	for i, c := range at {
		sin, cos := math.Sincos(float64(c) * math.Pi / 180)
		x.SetRow(i, []float64{1, cos, sin})
	}
	var n, inverse mat.Dense
	n.Mul(x.T(), x)
	require.NoError(t, inverse.Inverse(&n))
	return math.Sqrt(inverse.At(1, 1)), math.Sqrt(inverse.At(2, 2))
}

func TestPositions(t *testing.T) {
	at, err := Positions(4, align.Twelve, FullTurn)
	require.NoError(t, err)
	assert.Equal(t, []align.Clock{-135, -45, 45, 135}, at)
	at, err = Positions(3, align.Three, 180)
	require.NoError(t, err)
	assert.Equal(t, []align.Clock{0, 90, 180}, at)
	at, err = Positions(5, align.Twelve, 300) // over 288: five equal steps
	require.NoError(t, err)
	assert.Equal(t, []align.Clock{-144, -72, 0, 72, 144}, at)
}

// Reverse indicator, D = 1, foot 2 beyond the far dial: g = sqrt(9 + 4). Full turn:
// n = 2 g^2 (sigma/u)^2 rounded up.
func TestNeededReadingsFullTurn(t *testing.T) {
	g := Geometry{Reverse: &Rims{0, 1}, Sigma: 1e-5}
	for _, c := range []struct {
		ratio float64 // u/sigma
		n     int
	}{{math.Sqrt(26.0 / 12), 12}, {math.Sqrt(26.0/12) * 0.999, 13}, {3, 3}, {100, 3}, {0.5, 104}, {0.21, 590}} {
		d, err := g.NeededReadings(ReverseIndicator, Target{[]unit.Length{3, 1}, unit.Length(c.ratio * 1e-5)}, align.Twelve, FullTurn, MaxPositions)
		require.NoError(t, err)
		assert.Equal(t, c.n, d.Count, c.ratio)
		assert.Len(t, d.Geometry.At, c.n)
		assert.InEpsilon(t, 1e-5*math.Sqrt(26/float64(c.n)), float64(d.Sigma), 1e-9)
	}
	_, err := g.NeededReadings(ReverseIndicator, Target{[]unit.Length{3}, 1e-6}, align.Twelve, FullTurn, 26)
	require.ErrorIs(t, err, ErrNothingSatisfies)
	assert.Contains(t, err.Error(), "the best attainable is 0.01 mm") // sqrt(26/26) sigma
}

// Short arcs: the first n whose explicit normal matrix is good enough.
func TestNeededReadingsShortArc(t *testing.T) {
	g := Geometry{Double: &Rims{0, 0.5}, Sigma: 1e-5, Checks: align.Checks{ArcRefused: 1e6}}
	gain := math.Hypot(1.5, 1) / 0.5
	for _, centre := range []align.Clock{align.Twelve, align.OClock(1), align.OClock(4.5)} {
		for _, arc := range []Arc{60, 100, 180, 240} {
			want, wantSigma := 0, 0.0
			at3, err := Positions(3, centre, arc)
			require.NoError(t, err)
			v3, h3 := explicit(t, at3)
			target := 0.5 * gain * 1e-5 * max(v3, h3)
			for n := 3; want == 0; n++ {
				at, err := Positions(n, centre, arc)
				require.NoError(t, err)
				v, h := explicit(t, at)
				if s := gain * 1e-5 * max(v, h); s <= target {
					want, wantSigma = n, s
				}
			}
			d, err := g.NeededReadings(DoubleRadial, Target{[]unit.Length{1.5}, unit.Length(target)}, centre, arc, MaxPositions)
			require.NoError(t, err)
			assert.Equal(t, want, d.Count, "%v %v", centre, arc)
			assert.Greater(t, want, 3)
			assert.InEpsilon(t, wantSigma, float64(d.Sigma), 1e-8)
		}
	}
}

// Symmetric about 12 the vertical plane is the worse: Sxx of cos by hand for three
// positions is (2/3)(1 - cos(arc/2))^2, so u/sigma = sqrt(3/2)/(1 - cos(arc/2)).
func TestSmallestArcByHand(t *testing.T) {
	g := Geometry{Face: &Faced{0, 0.2}, Sigma: 1e-5}
	for _, want := range []float64{90, 150, 200, 239} {
		ratio := math.Sqrt(1.5) / (1 - math.Cos(want/2*math.Pi/180))
		d, err := g.SmallestArc(RimAndFace, Target{[]unit.Length{0}, unit.Length(ratio * 1e-5)}, 3, align.Twelve)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(d.Arc), 2e-6)
		assert.Equal(t, 3, d.Count)
	}
	// The whole turn of three gives sqrt(2/3) sigma = 8.165 um: less cannot be had.
	_, err := g.SmallestArc(RimAndFace, Target{[]unit.Length{0}, 8.16e-6}, 3, align.Twelve)
	require.ErrorIs(t, err, ErrNothingSatisfies)
	assert.Contains(t, err.Error(), "0.00816497 mm")
	d, err := g.SmallestArc(RimAndFace, Target{[]unit.Length{0}, 8.17e-6}, 3, align.Twelve)
	require.NoError(t, err)
	assert.InDelta(t, 240, float64(d.Arc), 0.2)
	// However loose the target, an arc that is refused is no design: three positions
	// are magnified ten times at sqrt(3/2)/(1 - cos(a/2)) = 10 sqrt(2/3).
	d, err = g.SmallestArc(RimAndFace, Target{[]unit.Length{0}, 1}, 3, align.Twelve)
	require.NoError(t, err)
	assert.InDelta(t, 2*180/math.Pi*math.Acos(1-0.15), float64(d.Arc), 2e-6)
}

func TestSmallestArcAgainstNormalMatrix(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 30 {
		n, centre := 4+r.IntN(12), align.Clock(360*r.Float64())
		g := Geometry{Reverse: &Rims{0, 0.3}, Sigma: 1e-5}
		gain := math.Hypot(1, 0.7) / 0.3 // foot at 1
		u := gain * math.Sqrt(2/float64(n)) * (1.05 + 4*r.Float64()) * 1e-5
		d, err := g.SmallestArc(ReverseIndicator, Target{[]unit.Length{1}, unit.Length(u)}, n, centre)
		require.NoError(t, err)
		sigma := func(arc Arc) float64 {
			at, err := Positions(n, centre, arc)
			require.NoError(t, err)
			v, h := explicit(t, at)
			return gain * 1e-5 * max(v, h)
		}
		assert.InEpsilon(t, u, sigma(d.Arc), 1e-6)
		for arc := Arc(20); arc < d.Arc-0.01; arc++ {
			assert.Greater(t, sigma(arc), u)
		}
	}
}

// By hand, s = sigma sqrt(2/4) = 1: foot l beyond the far dial asks 2 (l/D)^2 + 2
// l/D + 1 = u^2. u = sqrt(5): l/D = 1; u = sqrt(13): l/D = 2.
func TestSmallestDistanceByHand(t *testing.T) {
	bounds := Range[unit.Length]{0.01, 100}
	s := 1e-5 * math.Sqrt(0.5)
	g := Geometry{Reverse: &Rims{Second: 2}, Double: &Rims{First: 2}, Sigma: 1e-5, At: quarters}
	target := func(ratio float64, at ...unit.Length) Target { return Target{at, unit.Length(ratio * s)} }
	d, err := g.SmallestDistance(ReverseIndicator, target(math.Sqrt(5), 5), bounds)
	require.NoError(t, err)
	assert.InDelta(t, -1, float64(d.Geometry.Reverse.First), 1e-9) // D = l = 3
	assert.InEpsilon(t, s*math.Sqrt(5), float64(d.Sigma), 1e-9)
	d, err = g.SmallestDistance(ReverseIndicator, target(math.Sqrt(13), 5, 3), bounds)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, float64(d.Geometry.Reverse.First), 1e-9) // D = l/2 = 1.5
	// Double radial, foot 1 beyond the first, between the dials: 1 - 2/D + 2/D^2 =
	// 1/2 + 1/18 at 1/D = 1/2 + 1/6.
	d, err = g.SmallestDistance(DoubleRadial, target(math.Sqrt(5.0/9), 3), bounds)
	require.NoError(t, err)
	assert.InDelta(t, 3.5, float64(d.Geometry.Double.Second), 1e-9) // D = 3/2
	// Loose: as near as the bounds allow. Never better than one dial beyond it.
	d, err = g.SmallestDistance(ReverseIndicator, target(1e6, 5), bounds)
	require.NoError(t, err)
	assert.InDelta(t, 1.99, float64(d.Geometry.Reverse.First), 1e-9)
	_, err = g.SmallestDistance(ReverseIndicator, target(0.99, 5), bounds)
	require.ErrorIs(t, err, ErrNothingSatisfies)
	// At the upper bound: s sqrt(1.03^2 + 0.03^2) = 0.0072863 mm.
	assert.Contains(t, err.Error(), "0.00728629 mm")
	// Two feet that no one distance serves: both at the middle asks for 1/2.
	_, err = g.SmallestDistance(DoubleRadial, target(math.Sqrt(0.51), 3, 12), bounds)
	require.ErrorIs(t, err, ErrNothingSatisfies)
}

// The distance found is the smallest: drawn cases against a fine walk.
func TestSmallestDistanceAgainstWalk(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	bounds := Range[unit.Length]{0.05, 3}
	found := 0
	for range 40 {
		m := ReverseIndicator + Method(2*r.IntN(2))
		g := Geometry{Reverse: &Rims{Second: 0.1}, Double: &Rims{First: 0.1}, Sigma: 1e-5, At: quarters}
		want := Target{[]unit.Length{unit.Length(r.NormFloat64()), unit.Length(r.NormFloat64())}, unit.Length(1e-5 * (0.5 + 2*r.Float64()))}
		d, err := g.SmallestDistance(m, want, bounds)
		apart := bounds.Upper
		if err == nil {
			found++
			apart = map[Method]unit.Length{ReverseIndicator: 0.1 - first(d.Geometry.Reverse), DoubleRadial: second(d.Geometry.Double) - 0.1}[m]
			assert.LessOrEqual(t, float64(d.Sigma), float64(want.Sigma)*(1+1e-9))
		} else {
			require.ErrorIs(t, err, ErrNothingSatisfies)
		}
		for x := bounds.Lower; x < apart*0.9999; x += 0.01 {
			at := g
			at.Reverse, at.Double = &Rims{0.1 - x, 0.1}, &Rims{0.1, 0.1 + x}
			s, err := at.MethodSigma(m)
			require.NoError(t, err)
			assert.Greater(t, s.Worst(want.Stations...), want.Sigma, "%s %v", m, x)
		}
	}
	assert.Greater(t, found, 5)
}

func first(r *Rims) unit.Length  { return r.First }
func second(r *Rims) unit.Length { return r.Second }

// s = 1 (see above): rim and face, a = 3, u^2 = 5: A = 2 x 3/sqrt(4) = 3. Face to
// face, flex planes 3 and 4 away, u = 2: A = 2 x 5/2 = 5.
func TestSmallestSweptByHand(t *testing.T) {
	s := 1e-5 * math.Sqrt(0.5)
	g := Geometry{Face: &Faced{Rim: 1}, FaceFace: &Spooled{Spool: align.Spool{NearFlex: 0, FarFlex: 1}}, Sigma: 1e-5, At: quarters}
	bounds := Range[unit.Length]{0.1, 10}
	d, err := g.SmallestSwept(RimAndFace, Target{[]unit.Length{4, 2}, unit.Length(s * math.Sqrt(5))}, bounds)
	require.NoError(t, err)
	assert.InDelta(t, 3, float64(d.Geometry.Face.Swept), 1e-9)
	d, err = g.SmallestSwept(FaceFace, Target{[]unit.Length{4}, unit.Length(2 * s)}, bounds)
	require.NoError(t, err)
	assert.InDelta(t, 5, float64(d.Geometry.FaceFace.Near), 1e-9)
	assert.InEpsilon(t, 2*s, float64(d.Sigma), 1e-9)
	_, err = g.SmallestSwept(RimAndFace, Target{[]unit.Length{4}, unit.Length(s)}, bounds)
	require.ErrorIs(t, err, ErrNothingSatisfies)
	assert.Contains(t, err.Error(), "0.00824621 mm") // s sqrt(1 + 0.36)
	d, err = g.SmallestSwept(RimAndFace, Target{[]unit.Length{1}, unit.Length(s)}, bounds)
	require.NoError(t, err)
	assert.Equal(t, bounds.Lower, d.Geometry.Face.Swept) // the face says nothing of the rim's own station
}

func TestLargestReadingSigma(t *testing.T) {
	g := pitfall() // 1.3376 mil at 34 in for 0.5/sqrt(2) mil: wanted 1 mil
	u, err := g.LargestReadingSigma(ReverseIndicator, Target{[]unit.Length{34 * align.Inch}, align.Mil})
	require.NoError(t, err)
	assert.InEpsilon(t, 0.5/math.Sqrt2/(0.25*math.Sqrt(28.625)), float64(u/align.Mil), 1e-12)
}

func TestStandardFor(t *testing.T) {
	u, err := StandardFor(1.959963984540054*align.Mil, 0.95)
	require.NoError(t, err)
	assert.InEpsilon(t, 1, float64(u/align.Mil), 1e-12)
}

func TestDesignRefuses(t *testing.T) {
	nan := math.NaN()
	_, err := Positions(2, 0, 180)
	wantFault(t, err, align.ErrTooFewPositions, "positions", "two")
	_, err = Positions(MaxPositions+1, 0, 180)
	wantFault(t, err, align.ErrOutOfRange, "positions", "many")
	for _, arc := range []Arc{0, -10, 360.1} {
		_, err = Positions(4, 0, arc)
		wantFault(t, err, align.ErrOutOfRange, "arc", "arc")
	}
	_, err = Positions(4, align.Clock(nan), 90)
	wantFault(t, err, align.ErrNotFinite, "centre", "centre")
	_, err = Positions(4, 0, Arc(nan))
	wantFault(t, err, align.ErrNotFinite, "arc", "NaN")

	g, good := pitfall(), Target{[]unit.Length{1}, 1e-5}
	bounds := Range[unit.Length]{0.1, 1}
	_, err = g.NeededReadings(ReverseIndicator, Target{Sigma: 1e-5}, 0, FullTurn, 10)
	wantFault(t, err, align.ErrMissing, "stations", "stations")
	_, err = g.NeededReadings(ReverseIndicator, Target{[]unit.Length{1}, -1}, 0, FullTurn, 10)
	wantFault(t, err, align.ErrNegative, "target.sigma", "target")
	_, err = g.NeededReadings(ReverseIndicator, good, 0, FullTurn, 2)
	wantFault(t, err, align.ErrOutOfRange, "most positions", "most")
	_, err = g.NeededReadings(ReverseIndicator, good, 0, 5, 10)
	require.ErrorIs(t, err, align.ErrArcTooNarrow)
	_, err = g.SmallestArc(FaceFace, good, 4, 0)
	wantFault(t, err, align.ErrMissing, "geometry.face to face over the spool", "no spool")
	_, err = g.SmallestDistance(RimAndFace, good, bounds)
	wantFault(t, err, align.ErrUnknownKind, "method", "method")
	_, err = g.SmallestDistance(DoubleRadial, good, bounds)
	wantFault(t, err, align.ErrMissing, "geometry.double radial", "no place")
	_, err = g.SmallestDistance(ReverseIndicator, good, Range[unit.Length]{0, 1})
	wantFault(t, err, align.ErrOutOfRange, "bounds.lower", "zero distance")
	_, err = g.SmallestDistance(ReverseIndicator, good, Range[unit.Length]{1, unit.Length(inf)})
	wantFault(t, err, align.ErrNotFinite, "bounds.upper", "endless")
	_, err = g.SmallestSwept(RimAndFace, good, Range[unit.Length]{2, 1})
	wantFault(t, err, align.ErrMismatch, "bounds.lower", "turned")
	_, err = g.SmallestSwept(ReverseIndicator, good, bounds)
	wantFault(t, err, align.ErrUnknownKind, "method", "method")
	_, err = StandardFor(1e-5, 1)
	wantFault(t, err, align.ErrOutOfRange, "probability", "p")
	_, err = StandardFor(0, 0.95)
	wantFault(t, err, align.ErrMissing, "expanded", "U")
}

func FuzzDesign(f *testing.F) {
	f.Add(0.2, 0.1, 1.0, 2.0, 1e-5, 1e-5, 0.01, 10.0)
	f.Fuzz(func(t *testing.T, stays, swept, a, b, sigma, wanted, lower, upper float64) {
		l := func(v float64) unit.Length { return unit.Length(v) }
		g := Geometry{
			Reverse: &Rims{Second: l(stays)}, Double: &Rims{First: l(stays)}, Face: &Faced{l(stays), l(swept)},
			At: quarters, Sigma: l(sigma),
		}
		want, bounds := Target{[]unit.Length{l(a), l(b)}, l(wanted)}, Range[unit.Length]{l(lower), l(upper)}
		check := func(d Design, err error) {
			if err == nil && !(d.Sigma >= 0 && float64(d.Sigma) <= float64(want.Sigma)*1.001) {
				t.Fatalf("%s for %g", d, wanted)
			}
		}
		for _, m := range []Method{ReverseIndicator, DoubleRadial} {
			check(g.SmallestDistance(m, want, bounds))
		}
		check(g.SmallestSwept(RimAndFace, want, bounds))
		check(g.NeededReadings(RimAndFace, want, 0, 300, 12))
	})
}

func BenchmarkNeededReadings(b *testing.B) {
	g := Geometry{Reverse: &Rims{0, 1}, Sigma: 1e-5}
	want := Target{[]unit.Length{3}, 1e-5} // 26 readings
	b.ReportAllocs()
	for b.Loop() {
		if _, err := g.NeededReadings(ReverseIndicator, want, 0, FullTurn, 100); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSmallestDistance(b *testing.B) {
	g := Geometry{Reverse: &Rims{Second: 2}, Sigma: 1e-5, At: quarters}
	want, bounds := Target{[]unit.Length{5}, 2e-5}, Range[unit.Length]{0.01, 100}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := g.SmallestDistance(ReverseIndicator, want, bounds); err != nil {
			b.Fatal(err)
		}
	}
}
