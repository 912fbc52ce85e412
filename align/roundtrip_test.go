package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

// randomAxis is a believable misalignment: tenths of a millimetre, mm/m.
func randomAxis(r *rand.Rand) align.Axis {
	line := func() align.Line {
		return align.Line{Offset: unit.Length(r.NormFloat64() * 3e-4), Slope: r.NormFloat64() * 1e-3}
	}
	return align.Axis{Vertical: line(), Horizontal: line()}
}

func requireAxis(t *testing.T, want, got align.Axis, tol float64) {
	t.Helper()
	require.InDelta(t, float64(want.Vertical.Offset), float64(got.Vertical.Offset), tol)
	require.InDelta(t, float64(want.Horizontal.Offset), float64(got.Horizontal.Offset), tol)
	require.InDelta(t, want.Vertical.Slope, got.Vertical.Slope, tol*10)
	require.InDelta(t, want.Horizontal.Slope, got.Horizontal.Slope, tol*10)
}

// clocks returns n positions, irregular, over the given arc, in random order of
// start.
func clocks(r *rand.Rand, n int, arc float64) []align.Clock {
	start := r.Float64() * 360
	out := make([]align.Clock, n)
	for i := range out {
		out[i] = align.Clock(start + arc*(float64(i)+0.3*r.Float64())/float64(n))
	}
	return out
}

// setups are measurements of every kind, without readings.
func setups(r *rand.Rand) map[string]align.Measurement {
	st := func() unit.Length { return unit.Length(r.Float64()*0.2 - 0.1) }
	rim := func(b align.Shaft, x unit.Length) align.Dial {
		return align.Dial{Surface: align.Rim, Bracket: b, Station: x, Diameter: 0.2, Sag: align.RollOver(unit.Length(-1e-4 * r.Float64()))}
	}
	face := func(s align.Surface, b align.Shaft) align.Dial {
		return align.Dial{Surface: s, Bracket: b, Diameter: unit.Length(0.1 + 0.2*r.Float64()), Sag: align.RollOver(unit.Length(2e-5 * r.Float64()))}
	}
	spool := align.Spool{NearFlex: st(), FarFlex: 0.3 + st()}
	reach := func(d align.Dial, k align.Reach, on bool) align.Dial { d.Reach, d.OnSpool = k, on; return d }
	alone := rim(align.Near, st())
	alone.Turning, alone.Runout = align.BracketShaft, &align.Offset{Vertical: 3e-5, Horizontal: -2e-5}
	m := func(d ...align.Dial) align.Measurement { return align.Measurement{Dials: d, Spool: spool} }
	return map[string]align.Measurement{
		"reverse indicator":         m(rim(align.Near, 0.2+st()), rim(align.Far, st())),
		"both brackets near":        m(rim(align.Near, 0.4), rim(align.Near, 0.1+st())),
		"both brackets far":         m(rim(align.Far, 0.4), rim(align.Far, 0.1+st())),
		"rim and face toward, near": m(rim(align.Near, st()), face(align.FaceToward, align.Near)),
		"rim and face away, near":   m(rim(align.Near, st()), face(align.FaceAway, align.Near)),
		"rim and face toward, far":  m(rim(align.Far, st()), face(align.FaceToward, align.Far)),
		"rim and face away, far":    m(rim(align.Far, st()), face(align.FaceAway, align.Far)),
		"bracket's shaft only":      m(alone, face(align.FaceToward, align.Near)),
		"face-face over a spool":    m(reach(face(align.FaceToward, align.Near), align.NearToSpool, false), reach(face(align.FaceToward, align.Far), align.FarToSpool, false)),
		"face away over a spool":    m(reach(face(align.FaceAway, align.Near), align.NearToSpool, true), reach(face(align.FaceAway, align.Far), align.FarToSpool, true)),
		"shaft to spool":            m(reach(rim(align.Near, spool.FarFlex-0.05), align.NearToSpool, false), reach(rim(align.Far, spool.NearFlex+0.05), align.FarToSpool, false)),
		"spool to shaft":            m(reach(rim(align.Near, spool.NearFlex-0.15), align.NearToSpool, true), reach(rim(align.Far, spool.FarFlex+0.15), align.FarToSpool, true)),
		"four dials, all at once":   m(rim(align.Near, 0.2+st()), rim(align.Far, st()), face(align.FaceToward, align.Near), face(align.FaceAway, align.Far)),
		"rim, and angle to a spool": m(rim(align.Near, 0.2+st()), reach(face(align.FaceToward, align.Near), align.NearToSpool, false), reach(rim(align.Far, spool.NearFlex+0.03), align.FarToSpool, false)),
	}
}

// read fills every dial with the readings it would show, each with a zero of
// its own.
func read(t *testing.T, r *rand.Rand, m *align.Measurement, a align.Axis, n int, arc float64) {
	t.Helper()
	for i := range m.Dials {
		at := clocks(r, n, arc)
		s, err := m.Dials[i].Predict(a, m.Spool, at[0], at...)
		require.NoError(t, err)
		zero := unit.Length(r.NormFloat64() * 1e-3)
		for k := range s {
			s[k].Value += zero
		}
		m.Dials[i].Sweep = s
	}
}

func TestPositionComesBackFromItsReadings(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 30 {
		for name, m := range setups(r) {
			t.Run(name, func(t *testing.T) {
				a := randomAxis(r)
				read(t, r, &m, a, 3+r.IntN(6), 180+180*r.Float64())
				p, err := m.Solve()
				require.NoError(t, err)
				requireAxis(t, a, p.Axis, 1e-11)
				for _, res := range p.Residuals {
					require.InDelta(t, 0, float64(res), 1e-12)
				}
			})
		}
	}
}

// slowSolve is the same least-squares problem with every dial's constant as an
// unknown of its own and gonum's QR: slow, and obviously right. It returns the
// four unknowns at station 0 and their covariance.
func slowSolve(t *testing.T, m align.Measurement) (x [4]float64, cov [4][4]float64) {
	t.Helper()
	rows := 0
	for _, d := range m.Dials {
		rows += len(d.Sweep)
	}
	cols := 4 + len(m.Dials)
	a, b := mat.NewDense(rows, cols, nil), mat.NewVecDense(rows, nil)
	k := 0
	for i := range m.Dials {
		d := &m.Dials[i]
		g := d.Gain(m.Spool)
		w := 1 / float64(d.Sigma)
		for _, s := range d.Sweep {
			ang := float64(s.At) * math.Pi / 180
			c, sn := math.Cos(ang), math.Sin(ang)
			sag, _ := d.Sag.RollOver()
			v := float64(s.Value) - float64(sag)*(1-c)/2
			if d.Turning == align.BracketShaft {
				v -= float64(d.Runout.Vertical)*c + float64(d.Runout.Horizontal)*sn
			}
			a.Set(k, 0, w*g.ByOffset*c)
			a.Set(k, 1, w*float64(g.BySlope)*c)
			a.Set(k, 2, w*g.ByOffset*sn)
			a.Set(k, 3, w*float64(g.BySlope)*sn)
			a.Set(k, 4+i, w)
			b.SetVec(k, w*v)
			k++
		}
	}
	var qr mat.QR
	qr.Factorize(a)
	var sol mat.VecDense
	require.NoError(t, qr.SolveVecTo(&sol, false, b))
	var ata, inv mat.Dense
	ata.Mul(a.T(), a)
	require.NoError(t, inv.Inverse(&ata))
	for i := range 4 {
		x[i] = sol.AtVec(i)
		for j := range 4 {
			cov[i][j] = inv.At(i, j)
		}
	}
	return x, cov
}

func TestSolveAgainstQR(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20 {
		for name, m := range setups(r) {
			t.Run(name, func(t *testing.T) {
				read(t, r, &m, randomAxis(r), 4+r.IntN(5), 200+160*r.Float64())
				for i := range m.Dials {
					m.Dials[i].Sigma = unit.Length(1e-6 * (1 + 9*r.Float64()))
					for k := range m.Dials[i].Sweep {
						m.Dials[i].Sweep[k].Value += m.Dials[i].Sigma * unit.Length(r.NormFloat64())
					}
				}
				p, err := m.Solve()
				require.NoError(t, err)
				x, cov := slowSolve(t, m)
				requireAxis(t, align.Axis{
					Vertical:   align.Line{Offset: unit.Length(x[0]), Slope: x[1]},
					Horizontal: align.Line{Offset: unit.Length(x[2]), Slope: x[3]},
				}, p.Axis, 1e-10)
				got := p.Covariance(0)
				for i := range 4 {
					for j := range 4 {
						scale := math.Sqrt(cov[i][i] * cov[j][j])
						require.InDelta(t, cov[i][j]/scale, got[i][j]/scale, 1e-6, "%d,%d", i, j)
					}
				}
				at := unit.Length(0.7)
				want := math.Sqrt(cov[0][0] + 2*0.7*cov[0][1] + 0.49*cov[1][1])
				require.InEpsilon(t, want, float64(p.OffsetSigma(at).Vertical), 1e-6)
				require.InEpsilon(t, math.Sqrt(cov[3][3]), p.SlopeSigma().Horizontal, 1e-6)
				require.Equal(t, align.SigmaGiven, p.SigmaFrom)
			})
		}
	}
}

func TestClosedFormsAgainstTheGeneralSolution(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for i := range 300 {
		a := randomAxis(r)
		all := setups(r)
		n, arc := 4, 360.0
		if i%2 == 1 {
			n, arc = 3+r.IntN(8), 150+210*r.Float64()
		}
		m := all["reverse indicator"]
		read(t, r, &m, a, n, arc)
		rev := align.ReverseIndicator{OnFar: m.Dials[0], OnNear: m.Dials[1]}
		got, err := rev.Axis()
		require.NoError(t, err)
		p, err := rev.Solve()
		require.NoError(t, err)
		requireAxis(t, p.Axis, got, 1e-11)
		requireAxis(t, a, got, 1e-11)

		for _, name := range []string{"rim and face toward, near", "rim and face away, far", "bracket's shaft only"} {
			m := all[name]
			read(t, r, &m, a, n, arc)
			rf := align.RimAndFace{Bracket: m.Dials[0].Bracket, Rim: m.Dials[0], Face: m.Dials[1]}
			got, err := rf.Axis()
			require.NoError(t, err)
			requireAxis(t, a, got, 1e-11)
			p, err := rf.Solve()
			require.NoError(t, err)
			requireAxis(t, p.Axis, got, 1e-11)
		}
	}
}

func TestNamedMethodsAreTheGeneralMeasurement(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	a := randomAxis(r)
	all := setups(r)
	filled := func(name string) align.Measurement {
		m := all[name]
		read(t, r, &m, a, 5, 360)
		return m
	}
	same := func(p align.Position, err error) {
		t.Helper()
		require.NoError(t, err)
		requireAxis(t, a, p.Axis, 1e-11)
	}
	m := filled("both brackets far")
	same(align.DoubleRadial{Bracket: align.Far, First: m.Dials[0], Second: m.Dials[1]}.Solve())
	m = filled("face-face over a spool")
	same(align.FaceFace{Spool: m.Spool, NearFace: m.Dials[0], FarFace: m.Dials[1]}.Solve())
	m = filled("shaft to spool")
	same(align.ShaftToSpool{Spool: m.Spool, OnNear: m.Dials[0], OnFar: m.Dials[1]}.Solve())
	m = filled("spool to shaft")
	same(align.ShaftToSpool{Spool: m.Spool, OnNear: m.Dials[0], OnFar: m.Dials[1]}.Solve())
	same(align.TwoPoint{
		A: align.KnownOffset{Station: -0.1, Offset: a.At(-0.1)},
		B: align.KnownOffset{Station: 0.4, Offset: a.At(0.4)},
	}.Solve())
	d := 0.2
	same(align.OffsetAndGaps{
		Offset: align.KnownOffset{Station: 0.05, Offset: a.At(0.05)},
		Gaps: align.FaceGaps{Diameter: unit.Length(d),
			Top: unit.Length(3e-3 - a.Vertical.Slope*d/2), Bottom: unit.Length(3e-3 + a.Vertical.Slope*d/2),
			Right: unit.Length(3e-3 - a.Horizontal.Slope*d/2), Left: unit.Length(3e-3 + a.Horizontal.Slope*d/2)},
	}.Solve())
}

func TestReadingsDoNotCareWhereTheDialWasZeroedOrTurnedFrom(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	m := setups(r)["reverse indicator"]
	read(t, r, &m, randomAxis(r), 8, 360)
	p, err := m.Solve()
	require.NoError(t, err)
	for i := range m.Dials {
		s, err := m.Dials[i].Sweep.Rezeroed(r.IntN(8))
		require.NoError(t, err)
		k := r.IntN(8)
		m.Dials[i].Sweep = append(append(align.Sweep{}, s[k:]...), s[:k]...)
	}
	q, err := m.Solve()
	require.NoError(t, err)
	requireAxis(t, p.Axis, q.Axis, 1e-12)
}

func TestDatumShiftMovesStationsOnly(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for name, m := range setups(r) {
		a := randomAxis(r)
		read(t, r, &m, a, 6, 300)
		p, err := m.Solve()
		require.NoError(t, err)
		const shift = unit.Length(12.5)
		for i := range m.Dials {
			m.Dials[i].Station += shift
		}
		m.Spool.NearFlex += shift
		m.Spool.FarFlex += shift
		q, err := m.Solve()
		require.NoError(t, err, name)
		for _, x := range []unit.Length{-1, 0, 0.3} {
			assert.InDelta(t, float64(p.At(x).Vertical), float64(q.At(x+shift).Vertical), 1e-11, name)
			assert.InDelta(t, float64(p.At(x).Horizontal), float64(q.At(x+shift).Horizontal), 1e-11, name)
		}
	}
}

func TestSuperposition(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	m := setups(r)["four dials, all at once"]
	for i := range m.Dials {
		m.Dials[i].Sag = align.NoSag()
	}
	solve := func(f func(v []align.Sweep) align.Sweep, sets ...[]align.Sweep) align.Axis {
		for i := range m.Dials {
			var v []align.Sweep
			for _, s := range sets {
				v = append(v, s[i])
			}
			m.Dials[i].Sweep = f(v)
		}
		p, err := m.Solve()
		require.NoError(t, err)
		return p.Axis
	}
	noisy := func() (out []align.Sweep) {
		for range m.Dials {
			v := make([]unit.Length, 6)
			for k := range v {
				v[k] = unit.Length(r.NormFloat64() * 1e-4)
			}
			out = append(out, align.EvenSweep(20, v...))
		}
		return out
	}
	one := func(v []align.Sweep) align.Sweep { return v[0] }
	sum := func(v []align.Sweep) align.Sweep {
		s := append(align.Sweep{}, v[0]...)
		for k := range s {
			s[k].Value += 2 * v[1][k].Value
		}
		return s
	}
	a, b := noisy(), noisy()
	pa, pb, pc := solve(one, a), solve(one, b), solve(sum, a, b)
	requireAxis(t, pa.Add(pb).Add(pb), pc, 1e-12)
}

func TestSeenFromTheOtherEnd(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for range 50 {
		m := setups(r)["four dials, all at once"]
		a := randomAxis(r)
		read(t, r, &m, a, 5, 360)
		p, err := m.Solve()
		require.NoError(t, err)
		turned := align.Measurement{}
		for _, d := range m.Dials { // the reader walks the train the other way
			d.Bracket, d.Station, d.Sweep = d.Bracket.Other(), -d.Station, d.Sweep.Mirrored()
			turned.Dials = append(turned.Dials, d)
		}
		q, err := turned.Solve()
		require.NoError(t, err)
		requireAxis(t, p.Axis.Mirrored(), q.Axis, 1e-11)
		requireAxis(t, p.Axis, q.Axis.Mirrored(), 1e-11)
		foot := unit.Length(0.8) // the same foot of the same machine moves the same way
		far, near := p.MoveFar(foot), q.MoveNear(-foot)
		assert.InDelta(t, float64(far.Vertical), float64(near.Vertical), 1e-11)
		assert.InDelta(t, float64(far.Horizontal), -float64(near.Horizontal), 1e-11)
	}
}

func TestCovarianceAgainstSimulatedNoise(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 20))
	m := setups(r)["reverse indicator"]
	a := randomAxis(r)
	read(t, r, &m, a, 4, 360)
	const sigma, trials, foot = 5e-6, 4000, 0.9
	m.Sigma = sigma
	clean := []align.Sweep{append(align.Sweep{}, m.Dials[0].Sweep...), append(align.Sweep{}, m.Dials[1].Sweep...)}
	p, err := m.Solve()
	require.NoError(t, err)
	want := float64(p.OffsetSigma(foot).Vertical)
	sum, ss, chi := 0.0, 0.0, 0.0
	for range trials {
		for i := range m.Dials {
			for k := range clean[i] {
				m.Dials[i].Sweep[k].Value = clean[i][k].Value + unit.Length(sigma*r.NormFloat64())
			}
		}
		q, err := m.Solve()
		require.NoError(t, err)
		d := float64(q.At(foot).Vertical - a.At(foot).Vertical)
		sum, ss, chi = sum+d, ss+d*d, chi+q.ChiSquare
	}
	mean := sum / trials
	assert.InDelta(t, 0, mean, 4*want/math.Sqrt(trials))
	assert.InEpsilon(t, want, math.Sqrt(ss/trials), 4/math.Sqrt(2*trials))
	// The weighted residuals follow chi-square with 8 readings - 2 zeros - 4 unknowns.
	assert.InDelta(t, 2, chi/trials, 4*2/math.Sqrt(trials))
}
