package uncertainty

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
)

var quarters = []align.Clock{align.Twelve, align.Three, align.Six, align.Nine}

// pitfall is the set-up of the hand example: dials at 0 and 8 in, rim dial at 0,
// swept diameter 5 in, 0.5 mil standard uncertainty of a TOTAL indicator reading.
func pitfall() Geometry {
	return Geometry{
		Reverse: &Rims{0, 8 * align.Inch},
		Face:    &Faced{Rim: 0, Swept: 5 * align.Inch},
		At:      quarters,
		Sigma:   ReadingSigma(align.TIR(0.5 * align.Mil)),
	}
}

// By hand, in mil and inches: an offset has 0.25. Foot at 34: reverse 0.25
// sqrt(4.25^2 + 3.25^2) = 0.25 sqrt(28.625); rim and face sqrt(0.25^2 + (0.5/5
// 34)^2) = sqrt(11.6225). Slopes 0.5/(8 sqrt 2) and 0.5/5 mil/in.
func TestCompareMethodsByHand(t *testing.T) {
	foot := 34 * align.Inch
	all, err := pitfall().CompareMethods(foot)
	require.NoError(t, err)
	require.Len(t, all, 2)
	assert.Equal(t, ReverseIndicator, all[0].Method)
	assert.Equal(t, RimAndFace, all[1].Method)
	assert.InEpsilon(t, 0.25*math.Sqrt(28.625), float64(all[0].Worst(foot)/align.Mil), 1e-12) // 1.34
	assert.InEpsilon(t, math.Sqrt(11.6225), float64(all[1].Worst(foot)/align.Mil), 1e-12)     // 3.41
	assert.InEpsilon(t, 0.5/(8*math.Sqrt2)*align.MilPerInch, all[0].Slope().Vertical, 1e-12)
	assert.InEpsilon(t, 0.1*align.MilPerInch, all[1].Slope().Horizontal, 1e-12)
	// At the rim dial itself the one dial does as well as two.
	all, err = pitfall().CompareMethods(0)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.25, float64(all[0].Worst(0)/align.Mil), 1e-12)
	assert.InEpsilon(t, 0.25, float64(all[1].Worst(0)/align.Mil), 1e-12)
}

// The closed forms of the doc comment of MethodSigma at drawn places.
func TestMethodSigmaClosedForms(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		n := 3 + r.IntN(10)
		at, err := Positions(n, align.Clock(360*r.Float64()), FullTurn)
		require.NoError(t, err)
		u := func() float64 { return 0.05 + r.Float64() }
		g := Geometry{At: at, Sigma: unit.Length(1e-5 * u()), FaceSigma: unit.Length(1e-5 * u())}
		d, a, x1, l := u(), u(), r.NormFloat64(), u()
		m := func(v float64) unit.Length { return unit.Length(v) }
		g.Reverse = &Rims{m(x1), m(x1 + d)}
		g.Double = &Rims{m(x1), m(x1 + d)}
		g.Face = &Faced{Rim: m(x1), Swept: m(a)}
		g.FaceFace = &Spooled{align.Spool{NearFlex: m(x1), FarFlex: m(x1 + l)}, m(a), m(a)}
		s, sf := float64(g.Sigma)*math.Sqrt(2/float64(n)), float64(g.FaceSigma)*math.Sqrt(2/float64(n))
		x := x1 + 3*r.NormFloat64()
		p, q := x-x1, x-x1-d
		check := func(m Method, offset, slope float64) {
			got, err := g.MethodSigma(m)
			require.NoError(t, err)
			o := got.Offset(unit.Length(x))
			assert.InEpsilon(t, offset, float64(o.Vertical), 1e-9, m)
			assert.InEpsilon(t, offset, float64(o.Horizontal), 1e-9, m)
			assert.InEpsilon(t, slope, got.Slope().Vertical, 1e-9, m)
			assert.InEpsilon(t, slope, got.Slope().Horizontal, 1e-9, m)
		}
		check(ReverseIndicator, s*math.Hypot(p, q)/d, math.Sqrt2*s/d)
		check(DoubleRadial, s*math.Hypot(p, q)/d, math.Sqrt2*s/d)
		check(RimAndFace, math.Hypot(s, 2*sf*p/a), 2*sf/a)
		check(FaceFace, 2*sf*math.Hypot(p, x-x1-l)/a, 2*math.Sqrt2*sf/a)
	}
}

// Reverse indicator, dials at 0 and 1, feet at 2 and 4 (in units of D): the lines
// through the two errors give feet (-1, 2) and (-3, 4): correlation 11/sqrt(5 25).
func TestFeetCorrelation(t *testing.T) {
	g := Geometry{Reverse: &Rims{0, 1}, At: quarters, Sigma: 1e-5}
	s, err := g.MethodSigma(ReverseIndicator)
	require.NoError(t, err)
	f := s.Feet(align.Feet{Inboard: 2, Outboard: 4})
	assert.InEpsilon(t, 1e-5*math.Sqrt(0.5)*math.Sqrt(5), float64(f.Inboard.Vertical), 1e-12)
	assert.InEpsilon(t, 1e-5*math.Sqrt(0.5)*5, float64(f.Outboard.Horizontal), 1e-12)
	assert.InDelta(t, 11/math.Sqrt(125), f.CorrelationVertical, 1e-12)
	assert.InDelta(t, 11/math.Sqrt(125), f.CorrelationHorizontal, 1e-12)
}

func TestSlopeCrossover(t *testing.T) {
	d, err := pitfall().SlopeCrossover()
	require.NoError(t, err)
	assert.InEpsilon(t, 5/math.Sqrt2, float64(d/align.Inch), 1e-14) // A/sqrt 2
	g := pitfall()
	g.FaceSigma = 2 * g.Sigma
	d, err = g.SlopeCrossover()
	require.NoError(t, err)
	assert.InEpsilon(t, 2.5/math.Sqrt2, float64(d/align.Inch), 1e-14)
}

// At the crossover the two solved uncertainties are equal; farther apart reverse
// indicator is better, closer together rim and face is.
func TestOffsetCrossoverAgainstSolve(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		g := Geometry{
			Reverse: &Rims{Second: unit.Length(r.NormFloat64())},
			Face:    &Faced{Rim: unit.Length(r.NormFloat64()), Swept: unit.Length(0.05 + r.Float64())},
			Sigma:   1e-5, FaceSigma: unit.Length(1e-5 * (0.5 + r.Float64())), At: quarters,
		}
		x := unit.Length(3 * r.NormFloat64())
		d, err := g.OffsetCrossover(x)
		require.NoError(t, err)
		lead := func(k unit.Length) float64 { // of reverse indicator, in relative terms
			at := g
			at.Reverse = &Rims{g.Reverse.Second - k*d, g.Reverse.Second}
			a, err := at.MethodSigma(ReverseIndicator)
			require.NoError(t, err)
			b, err := at.MethodSigma(RimAndFace)
			require.NoError(t, err)
			return float64(b.Worst(x)/a.Worst(x)) - 1
		}
		assert.InDelta(t, 0, lead(1), 1e-6)
		assert.Negative(t, lead(0.9))
		if x > g.Reverse.Second {
			assert.Positive(t, lead(1.1))
		}
	}
	// Far away it is the crossover of the slope.
	d, err := pitfall().OffsetCrossover(1e6 * align.Inch)
	require.NoError(t, err)
	assert.InEpsilon(t, 5/math.Sqrt2, float64(d/align.Inch), 1e-5)
}

func TestOffsetCrossoverNone(t *testing.T) {
	g := pitfall() // far dial at 8 in, rim at 0
	_, err := g.OffsetCrossover(8 * align.Inch)
	require.ErrorIs(t, err, ErrNothingSatisfies)
	g.Face.Rim = 20 * align.Inch
	_, err = g.OffsetCrossover(20 * align.Inch)
	require.ErrorIs(t, err, ErrNothingSatisfies)
	assert.Contains(t, err.Error(), "508 mm")
}

func TestMethodRefuses(t *testing.T) {
	nan := unit.Length(math.NaN())
	spool := align.Spool{NearFlex: 0, FarFlex: 1}
	for _, c := range []struct {
		name, field string
		code        align.Fault
		method      Method
		spoil       func(g *Geometry)
	}{
		{"no place", "geometry.double radial", align.ErrMissing, DoubleRadial, func(*Geometry) {}},
		{"no method", "method", align.ErrUnknownKind, NoMethod, func(*Geometry) {}},
		{"unknown", "method", align.ErrUnknownKind, 99, func(*Geometry) {}},
		{"no clock positions", "geometry.at", align.ErrMissing, ReverseIndicator, func(g *Geometry) { g.At = nil }},
		{"one plane", "geometry.at", align.ErrTooFewPositions, ReverseIndicator, func(g *Geometry) { g.At = []align.Clock{0, 180} }},
		{"no sigma", "geometry.sigma", align.ErrMissing, ReverseIndicator, func(g *Geometry) { g.Sigma = 0 }},
		{"negative sigma", "geometry.sigma", align.ErrNegative, ReverseIndicator, func(g *Geometry) { g.Sigma = -1 }},
		{"sigma", "geometry.sigma", align.ErrNotFinite, ReverseIndicator, func(g *Geometry) { g.Sigma = nan }},
		{"face sigma", "geometry.face sigma", align.ErrNegative, RimAndFace, func(g *Geometry) { g.FaceSigma = -1 }},
		{"coincident", "geometry.reverse.second", align.ErrCoincident, ReverseIndicator, func(g *Geometry) { g.Reverse = &Rims{1, 1} }},
		{"first", "geometry.reverse.first", align.ErrNotFinite, ReverseIndicator, func(g *Geometry) { g.Reverse = &Rims{nan, 1} }},
		{"rim", "geometry.face.rim", align.ErrNotFinite, RimAndFace, func(g *Geometry) { g.Face = &Faced{nan, 1} }},
		{"diameter", "geometry.face.swept", align.ErrZeroDiameter, RimAndFace, func(g *Geometry) { g.Face = &Faced{0, 0} }},
		{"far face", "geometry.face to face.far", align.ErrZeroDiameter, FaceFace, func(g *Geometry) { g.FaceFace = &Spooled{spool, 1, -1} }},
		{"spool", "geometry.face to face.spool.farFlex", align.ErrCoincident, FaceFace, func(g *Geometry) { g.FaceFace = &Spooled{Near: 1, Far: 1} }},
	} {
		g := pitfall()
		c.spoil(&g)
		_, err := g.MethodSigma(c.method)
		wantFault(t, err, c.code, c.field, c.name)
	}
	_, err := pitfall().CompareMethods()
	wantFault(t, err, align.ErrMissing, "stations", "no station")
	_, err = pitfall().CompareMethods(0, nan)
	wantFault(t, err, align.ErrNotFinite, "stations[1]", "station")
	_, err = Geometry{Sigma: 1, At: quarters}.CompareMethods(0)
	wantFault(t, err, align.ErrMissing, "geometry", "no method")
	_, err = Prospect(align.ReverseIndicator{OnFar: align.Dial{Station: 1}}.Measurement(), quarters...)
	wantFault(t, err, align.ErrMissing, "measurement.sigma", "unknown sigma")
	g := pitfall()
	g.Face.Swept = 0
	_, err = g.SlopeCrossover()
	wantFault(t, err, align.ErrZeroDiameter, "geometry.face.swept", "crossover")
	assert.Contains(t, err.Error(), "0 mm")
}

// jobs is how many jobs are drawn for each method below.
const jobs = 2000

// The scatter of drawn jobs is the predicted one. With normal errors the sum of
// squares over sigma^2 has the chi-squared distribution with jobs degrees of
// freedom, and the number within 1.96 sigma the binomial one with p = 0.95. Six
// quantities are looked at for each of four methods: the points at 1e-5 on either
// side leave one false alarm in a thousand for all together.
func TestPredictedSigmaMatchesScatter(t *testing.T) {
	at, err := Positions(7, align.OClock(1), 250)
	require.NoError(t, err)
	g := Geometry{
		Reverse: &Rims{-0.1, 0.25}, Double: &Rims{0.05, 0.3}, Face: &Faced{0.1, 0.15},
		FaceFace: &Spooled{align.Spool{NearFlex: 0, FarFlex: 0.9}, 0.2, 0.25},
		At:       at, Sigma: 10 * align.Micrometre, FaceSigma: 6 * align.Micrometre,
	}
	const one = 1e-5
	chi := distuv.ChiSquared{K: jobs}
	low, high := chi.Quantile(one), chi.Quantile(1-one)
	// Normal approximation of the binomial points, with half a count for continuity.
	within := distuv.UnitNormal.Quantile(1-one)*math.Sqrt(jobs*0.95*0.05) + 0.5
	draw := rand.New(rand.NewPCG(2026, 11))
	inboard, outboard := unit.Length(0.6), unit.Length(1.4)
	for m := ReverseIndicator; m <= FaceFace; m++ {
		want, err := g.MethodSigma(m)
		require.NoError(t, err)
		job, err := g.Measurement(m)
		require.NoError(t, err)
		a, b, slope := want.Offset(inboard), want.Offset(outboard), want.Slope()
		var squares [6]float64
		var inside [6]int
		for range jobs {
			for i := range job.Dials {
				sigma := job.Dials[i].Sigma
				if sigma == 0 {
					sigma = job.Sigma
				}
				for k := range job.Dials[i].Sweep {
					job.Dials[i].Sweep[k].Value = sigma * unit.Length(draw.NormFloat64())
				}
			}
			p, err := job.Solve()
			require.NoError(t, err)
			in, out, s := p.At(inboard), p.At(outboard), p.Axis.Slope()
			for k, z := range [6]float64{
				float64(in.Vertical / a.Vertical), float64(in.Horizontal / a.Horizontal),
				float64(out.Vertical / b.Vertical), float64(out.Horizontal / b.Horizontal),
				s.Vertical / slope.Vertical, s.Horizontal / slope.Horizontal,
			} {
				squares[k] += z * z
				if math.Abs(z) <= 1.959963984540054 {
					inside[k]++
				}
			}
		}
		for k := range squares {
			assert.True(t, low <= squares[k] && squares[k] <= high, "%s %d: %g not in %g to %g", m, k, squares[k], low, high)
			assert.InDelta(t, 0.95*jobs, inside[k], within, "%s %d", m, k)
		}
	}
}

func FuzzMethodSigma(f *testing.F) {
	f.Add(0.0, 0.2, 0.1, 1e-5, 0.0, 1.0, 250.0)
	f.Fuzz(func(t *testing.T, first, second, swept, sigma, faceSigma, station, arc float64) {
		at, err := Positions(5, 0, Arc(arc))
		if err != nil {
			return
		}
		l := func(v float64) unit.Length { return unit.Length(v) }
		g := Geometry{
			Reverse: &Rims{l(first), l(second)}, Face: &Faced{l(first), l(swept)}, Double: &Rims{l(second), l(first)},
			At: at, Sigma: l(sigma), FaceSigma: l(faceSigma),
		}
		all, err := g.CompareMethods(l(station))
		if err == nil {
			for _, s := range all {
				if w := s.Worst(l(station)); !(w >= 0) {
					t.Fatalf("%s: %g", s.Method, w)
				}
			}
		}
		if d, err := g.OffsetCrossover(l(station)); err == nil && !(d > 0 && align.IsFinite(d)) {
			t.Fatalf("crossover %g", d)
		}
	})
}

func BenchmarkMethodSigma(b *testing.B) {
	g := pitfall()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := g.MethodSigma(ReverseIndicator); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompareMethods(b *testing.B) {
	g := pitfall()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := g.CompareMethods(34 * align.Inch); err != nil {
			b.Fatal(err)
		}
	}
}
