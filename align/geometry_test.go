package align_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// everyDial returns a dial for every combination of surface, bracket, reach,
// place of the bracket and way of turning.
func everyDial(r *rand.Rand, spool align.Spool) (out []align.Dial) {
	for surface := align.Rim; surface <= align.FaceAway; surface++ {
		for bracket := align.Near; bracket <= align.Far; bracket++ {
			for reach := align.ShaftToShaft; reach <= align.FarToSpool; reach++ {
				for _, on := range []bool{false, true} {
					for turning := align.BothShafts; turning <= align.BracketShaft; turning++ {
						d := align.Dial{
							Surface: surface, Bracket: bracket, Reach: reach, OnSpool: on, Turning: turning,
							Station:  unit.Length(between(r, float64(spool.NearFlex), float64(spool.FarFlex))),
							Diameter: unit.Length(between(r, 0.08, 0.3)),
							Sag:      align.RollOver(unit.Length(between(r, -2e-4, 0))),
						}
						if turning == align.BracketShaft {
							d.Runout = &align.Offset{
								Vertical: unit.Length(2e-5 * r.NormFloat64()), Horizontal: unit.Length(2e-5 * r.NormFloat64()),
							}
						}
						d.Name = fmt.Sprintf("%v, bracket %v, %v, on spool %v, turning %v", surface, bracket, reach, on, turning)
						out = append(out, d)
					}
				}
			}
		}
	}
	return out
}

var testSpool = align.Spool{NearFlex: 0.12, FarFlex: 0.62}

// Every kind of dial reads what the three bodies, written as points and slopes,
// say it must.
func TestPredictAgainstBodies(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 1))
	dials := everyDial(r, testSpool)
	require.Len(t, dials, 3*2*3*2*2)
	for _, d := range dials {
		a := randomAxis(r)
		at := clocks(r, 6, 360)
		got, err := d.Predict(a, testSpool, at[2], at...)
		require.NoError(t, err, d.Name)
		v := answer(d, testSpool, float64(a.Vertical.Offset), a.Vertical.Slope)
		h := answer(d, testSpool, float64(a.Horizontal.Offset), a.Horizontal.Slope)
		roll, _ := d.Sag.RollOver()
		reading := func(c align.Clock) float64 {
			u, w := direction(c)
			sum := v*u + h*w + float64(roll)*(1-u)/2
			if d.Turning == align.BracketShaft {
				sum += float64(d.Runout.Vertical)*u + float64(d.Runout.Horizontal)*w
			}
			return sum
		}
		for i, c := range at {
			require.Equal(t, c, got[i].At)
			require.InDelta(t, reading(c)-reading(at[2]), float64(got[i].Value), 1e-15, d.Name)
		}
	}
}

// The exact rim reading against points in space: walk out along the stem until
// the cylinder is reached. Spool dials and runout included.
func TestPredictExactAgainstBodies(t *testing.T) {
	r := rand.New(rand.NewPCG(42, 1))
	for _, d := range everyDial(r, testSpool) {
		a := randomAxis(r)
		at := clocks(r, 5, 360)
		got, err := d.PredictExact(a, testSpool, at[0], at...)
		require.NoError(t, err, d.Name)
		if d.Surface != align.Rim {
			flat, err := d.Predict(a, testSpool, at[0], at...)
			require.NoError(t, err)
			require.Equal(t, flat, got, "faces are linear already")
			continue
		}
		zero := builtReading(d, a, testSpool, at[0])
		for i, c := range at {
			require.InDelta(t, builtReading(d, a, testSpool, c)-zero, float64(got[i].Value), 1e-14, d.Name)
		}
	}
}

// What PredictExact adds to Predict falls with the square of the misalignment.
func TestExactDiffersFromFlatBySecondOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(43, 1))
	for range 50 {
		a := randomAxis(r)
		d := align.Dial{Bracket: align.Shaft(r.IntN(2)), Station: 0.2, Diameter: 0.08}
		at := clocks(r, 5, 360)
		gap := func(k float64) (out []float64) {
			b := align.Axis{
				Vertical:   align.Line{Offset: unit.Length(k) * a.Vertical.Offset, Slope: k * a.Vertical.Slope},
				Horizontal: align.Line{Offset: unit.Length(k) * a.Horizontal.Offset, Slope: k * a.Horizontal.Slope},
			}
			exact, err := d.PredictExact(b, align.Spool{}, at[0], at...)
			require.NoError(t, err)
			flat, err := d.Predict(b, align.Spool{}, at[0], at...)
			require.NoError(t, err)
			for i := range at {
				out = append(out, float64(exact[i].Value-flat[i].Value))
			}
			return out
		}
		whole, half := gap(1), gap(0.5)
		for i := range at {
			require.InDelta(t, whole[i]/4, half[i], 0.02*math.Abs(whole[i])+2e-8)
		}
	}
}

// The expected sum, with sag, runout and either bracket, against exact readings:
// what is left must be of fourth order.
func TestExpectedSumRuleWithRunout(t *testing.T) {
	r := rand.New(rand.NewPCG(44, 1))
	for range 100 {
		a := randomAxis(r)
		d := align.Dial{
			Bracket: align.Shaft(r.IntN(2)), Station: 0.15, Diameter: 0.05, Sag: align.RollOver(-2e-4),
			Turning: align.BracketShaft, Runout: &align.Offset{Vertical: 1e-4, Horizontal: -2e-4},
		}
		s, err := d.PredictExact(a, align.Spool{}, 0, 0, 90, 180, 270)
		require.NoError(t, err)
		sum, ok := s.SumRule()
		require.True(t, ok)
		e := float64(a.At(d.Station).Resultant()) + 4e-4
		k, slope := e/0.025, a.Slope().Resultant()
		fourth := 0.025 * math.Pow(k+slope, 4)
		require.InDelta(t, float64(sum), float64(d.ExpectedSumRule(a)), fourth+1e-15)
	}
}

// Every combination of two different dials that fix the position brings it
// back; QR with the zeros written out is the judge of which do.
func TestEveryPairOfDialsBringsThePositionBack(t *testing.T) {
	r := rand.New(rand.NewPCG(45, 1))
	dials := everyDial(r, testSpool)
	solved := 0
	for i := range dials {
		for range 6 {
			m := align.Measurement{Spool: testSpool, Dials: []align.Dial{dials[i], dials[r.IntN(len(dials))]}}
			a := randomAxis(r)
			read(t, r, &m, a, 5, 300)
			full := newFullSystem(m)
			cov := full.conditionNumber()
			p, err := m.Solve()
			if cov > 1e7 { // two dials that see the same thing, such as two faces
				if err != nil {
					require.ErrorIs(t, err, align.ErrUndetermined)
				}
				continue
			}
			require.NoError(t, err, "%s and %s", m.Dials[0].Name, m.Dials[1].Name)
			requireAxis(t, a, p.Axis, 1e-16*cov*10+1e-13)
			solved++
		}
	}
	assert.Greater(t, solved, 150)
}

// The unit does not matter: the same job written in inches and in millimetres,
// or read as if every inch were a foot, scales throughout.
func TestChangeOfUnit(t *testing.T) {
	r := rand.New(rand.NewPCG(46, 1))
	for name, m := range setups(r) {
		read(t, r, &m, randomAxis(r), 5, 300)
		p := mustSolve(t, m)
		const k = unit.Length(25.4)
		big := m
		big.Spool = align.Spool{NearFlex: k * m.Spool.NearFlex, FarFlex: k * m.Spool.FarFlex}
		big.Dials = nil
		for _, d := range m.Dials {
			roll, _ := d.Sag.RollOver()
			d.Station, d.Diameter, d.Sag = k*d.Station, k*d.Diameter, align.RollOver(k*roll)
			if d.Runout != nil {
				o := d.Runout.Scale(float64(k))
				d.Runout = &o
			}
			var s align.Sweep
			for _, x := range d.Sweep {
				s = append(s, align.Reading{At: x.At, Value: k * x.Value})
			}
			d.Sweep = s
			big.Dials = append(big.Dials, d)
		}
		q := mustSolve(t, big)
		assert.InDelta(t, float64(k*p.Vertical.Offset), float64(q.Vertical.Offset), 1e-10, name)
		assert.InDelta(t, float64(k*p.Horizontal.Offset), float64(q.Horizontal.Offset), 1e-10, name)
		assert.InDelta(t, p.Vertical.Slope, q.Vertical.Slope, 1e-11, name)
		assert.InDelta(t, p.Horizontal.Slope, q.Horizontal.Slope, 1e-11, name)
		assert.InEpsilon(t, p.Condition, q.Condition, 1e-9, name)
	}
}

// Random readings, partial arcs, unequal uncertainties, known offsets and slopes
// among them: least squares against QR of the rows written out in full.
func TestMixedMeasurementsAgainstQRInFull(t *testing.T) {
	r := rand.New(rand.NewPCG(47, 1))
	dials := everyDial(r, testSpool)
	sigma := func() unit.Length { return unit.Length(math.Pow(10, between(r, -6.5, -4.5))) }
	for range 300 {
		m := align.Measurement{Spool: testSpool}
		for range 1 + r.IntN(4) {
			d := dials[r.IntN(len(dials))]
			d.Sigma = sigma()
			for _, c := range clocks(r, 4+r.IntN(20), between(r, 150, 360)) {
				d.Sweep = append(d.Sweep, align.Reading{At: c, Value: unit.Length(2e-4 * r.NormFloat64())})
			}
			m.Dials = append(m.Dials, d)
		}
		m.Offsets = []align.KnownOffset{{
			Station: unit.Length(r.Float64()), Sigma: sigma(),
			Offset: align.Offset{Vertical: unit.Length(1e-4 * r.NormFloat64()), Horizontal: unit.Length(1e-4 * r.NormFloat64())},
		}}
		m.Slopes = []align.KnownSlope{{
			Slope: align.Slope{Vertical: 1e-3 * r.NormFloat64(), Horizontal: 1e-3 * r.NormFloat64()},
			Over:  unit.Length(between(r, 0.1, 0.4)), Sigma: sigma(),
		}}
		full := newFullSystem(m)
		x := full.solve()
		p := mustSolve(t, m)
		requireAxis(t, align.Axis{
			Vertical:   align.Line{Offset: unit.Length(x[0]), Slope: x[1]},
			Horizontal: align.Line{Offset: unit.Length(x[2]), Slope: x[3]},
		}, p.Axis, 1e-10)
		require.InEpsilon(t, full.leftOver(x), p.ChiSquare, 1e-6)
		rows, cols := full.a.Dims()
		require.Equal(t, rows-cols, p.DoF)
		cov, got := full.covariance(), p.Covariance(0)
		for i := range 4 {
			for j := range 4 {
				scale := math.Sqrt(cov.At(i, i) * cov.At(j, j))
				require.InDelta(t, cov.At(i, j)/scale, got[i][j]/scale, 1e-5)
			}
		}
	}
}

// Without given uncertainties the scatter about the fit stands in.
func TestScatterStandsInForSigma(t *testing.T) {
	r := rand.New(rand.NewPCG(48, 1))
	m := setups(r)["reverse indicator"]
	read(t, r, &m, randomAxis(r), 9, 360)
	for i := range m.Dials {
		for k := range m.Dials[i].Sweep {
			m.Dials[i].Sweep[k].Value += unit.Length(5e-6 * r.NormFloat64())
		}
	}
	full := newFullSystem(m)
	left := full.leftOver(full.solve())
	p := mustSolve(t, m)
	assert.Equal(t, align.SigmaResiduals, p.SigmaFrom)
	assert.InEpsilon(t, math.Sqrt(left/float64(p.DoF)), float64(p.Sigma), 1e-9)
	assert.Zero(t, p.ChiSquare)
	m.Sigma = p.Sigma // the same given outright
	q := mustSolve(t, m)
	assert.Equal(t, align.SigmaGiven, q.SigmaFrom)
	assert.InEpsilon(t, float64(q.OffsetSigma(1).Vertical), float64(p.OffsetSigma(1).Vertical), 1e-12)

	for i := range m.Dials { // three positions each: nothing to spare
		m.Dials[i].Sweep = m.Dials[i].Sweep[:7:7]
		m.Dials[i].Sweep = align.Sweep{m.Dials[i].Sweep[0], m.Dials[i].Sweep[3], m.Dials[i].Sweep[6]}
	}
	m.Sigma = 0
	p = mustSolve(t, m)
	assert.Equal(t, align.SigmaUnknown, p.SigmaFrom)
	assert.Zero(t, p.OffsetSigma(1))
	assert.Equal(t, [4][4]float64{}, p.Covariance(1))
	for _, c := range []struct {
		s    align.SigmaSource
		text string
	}{
		{align.SigmaUnknown, "unknown"}, {align.SigmaGiven, "given"}, {align.SigmaResiduals, "from residuals"},
		{9, "sigma source(9)"},
	} {
		assert.Equal(t, c.text, c.s.String())
	}
}

// One plane read at both dials gives that plane, and the other one stays zero.
func TestOnePlaneSweeps(t *testing.T) {
	m := goodReverse()
	both := mustSolve(t, m)
	for i := range m.Dials {
		s := m.Dials[i].Sweep
		m.Dials[i].Sweep = align.TopBottom(s[0].Value, s[2].Value)
	}
	p := mustSolve(t, m)
	assert.True(t, p.VerticalKnown)
	assert.False(t, p.HorizontalKnown)
	assert.InDelta(t, float64(both.Vertical.Offset), float64(p.Vertical.Offset), 1e-15)
	assert.InDelta(t, both.Vertical.Slope, p.Vertical.Slope, 1e-14)
	assert.Zero(t, p.Horizontal)
	assert.Zero(t, p.OffsetSigma(1).Horizontal)
	assert.InEpsilon(t, float64(both.OffsetSigma(1).Vertical), float64(p.OffsetSigma(1).Vertical), 1e-12)
	assert.Zero(t, p.DoF)

	m = goodReverse()
	for i := range m.Dials {
		s := m.Dials[i].Sweep
		m.Dials[i].Sweep = align.Sides(s[1].Value, s[3].Value)
	}
	p = mustSolve(t, m)
	assert.False(t, p.VerticalKnown)
	assert.True(t, p.HorizontalKnown)
	assert.InDelta(t, float64(both.Horizontal.Offset), float64(p.Horizontal.Offset), 1e-15)
	assert.InDelta(t, both.Horizontal.Slope, p.Horizontal.Slope, 1e-14)
	assert.Zero(t, p.Vertical)
}

// FlexAngles against the three bodies.
func TestFlexAnglesAgainstBodies(t *testing.T) {
	r := rand.New(rand.NewPCG(49, 1))
	for range 50 {
		a := randomAxis(r)
		f, err := a.FlexAngles(testSpool)
		require.NoError(t, err)
		for plane, l := range []align.Line{a.Vertical, a.Horizontal} {
			_, spool := lineOf(spoolBody, float64(l.Offset), l.Slope, testSpool)
			near, far := f.Near.Vertical, f.Far.Vertical
			if plane == 1 {
				near, far = f.Near.Horizontal, f.Far.Horizontal
			}
			require.InDelta(t, spool, near, 1e-15)
			require.InDelta(t, l.Slope-spool, far, 1e-15)
		}
		require.InDelta(t, math.Max(f.Near.Resultant(), f.Far.Resultant()), f.Largest(), 0)
	}
}
