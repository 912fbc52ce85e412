package moves_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// What a measurement after a move tells, at the ends of its uncertainty.

// With a standard uncertainty s of an offset, two of them differ by 2 root 2 s
// at most by chance: a planned change up to that tells nothing, and a position
// that far from the plan has reached it.
func TestResponseAtItsUncertainty(t *testing.T) {
	const s = 1e-6
	chance := 2 * math.Sqrt2 * s
	compare := func(planned, missed float64) moves.ResponseResult {
		up := func(v float64) align.Axis { return align.Axis{Vertical: align.Line{Offset: unit.Length(v)}} }
		r, err := moves.Response{
			Before: up(1e-3), Planned: up(planned), After: up(1e-3 + planned + missed), Stations: []unit.Length{0, 1}, Sigma: s,
		}.Compare()
		require.NoError(t, err)
		return r
	}
	for k, usable := range map[float64]bool{0.999: false, 1.001: true, -1.001: true, -0.999: false} {
		r := compare(k*chance, 0)
		assert.Equal(t, usable, r.Vertical.Stations[0].Usable, k)
		assert.Equal(t, usable, r.Vertical.Finding != moves.CannotTell, k)
		if usable {
			assert.InDelta(t, math.Sqrt2*s/math.Abs(k*chance), r.Vertical.Stations[0].Uncertainty, 1e-12)
		}
	}
	for k, reached := range map[float64]bool{0.999: true, 1.001: false, -0.999: true, -1.001: false} {
		r := compare(1e-3, k*chance)
		assert.Equal(t, reached, r.Vertical.Reached, k)
		off := false
		for _, w := range r.Warnings {
			if w.Code == moves.WarnOffPlan {
				off = true
				assert.InDelta(t, chance, w.Limit, 1e-15)
				assert.InDelta(t, math.Abs(k)*chance, w.Value, 1e-12)
				assert.Equal(t, "vertical", w.Field)
			}
		}
		assert.Equal(t, !reached, off, k)
	}
	// A ratio fits where it is within two of its own uncertainties.
	for k, fits := range map[float64][]moves.Mistake{0.999: {moves.MovedRight}, 1.001: nil} {
		r := compare(1e-3, k*chance)
		assert.Equal(t, fits, r.Vertical.Stations[0].Fits, k)
	}
	r := compare(-1e-3, 0)
	assert.InDelta(t, 1e-3, float64(r.Vertical.Stations[0].Old), 1e-18)
	assert.InDelta(t, 0, float64(r.Vertical.Stations[0].Predicted), 1e-18)
}

// One foot of four that stands h too high is h/4 out of the plane, like the
// others, with uncertainty of half the sigma (a plane takes three quarters).
func TestOneFootTooHigh(t *testing.T) {
	const s = 1e-6
	compare := func(h float64) moves.FeetResult {
		r := moves.FeetResponse{Sigma: s}
		for i, f := range fourFeet(0, 1, 0.3) {
			reading := moves.FootReading{Name: f.Name, At: f.At, Planned: 1e-4, Measured: 1e-4}
			if i == 2 {
				reading.Measured += unit.Length(h)
			}
			r.Feet = append(r.Feet, reading)
		}
		out, err := r.Compare()
		require.NoError(t, err)
		return out
	}
	for h, rigid := range map[float64]bool{0: true, 3.9 * s: true, 4.1 * s: false, -4.1 * s: false} {
		out := compare(h)
		assert.Equal(t, rigid, out.Rigid, h)
		assert.Equal(t, rigid, len(out.Warnings) == 0, h)
		for i, f := range out.Feet {
			assert.InDelta(t, math.Abs(h)/4, math.Abs(float64(f.Left)), 1e-12, i)
			assert.InDelta(t, s/2, float64(f.Uncertainty), 1e-12)
			assert.Equal(t, !rigid, f.Off)
			assert.True(t, f.Usable)
			want := 1.0
			if i == 2 {
				want = (1e-4 + h) / 1e-4
			}
			assert.InDelta(t, want, f.Ratio, 1e-9)
		}
		if !rigid {
			assert.InDelta(t, math.Abs(h)/4, out.Warnings[0].Value, 1e-12)
		}
	}
	small := moves.FeetResponse{Sigma: s, Cover: 3}
	for i, f := range fourFeet(0, 1, 0.3) {
		small.Feet = append(small.Feet, moves.FootReading{Name: f.Name, At: f.At, Planned: unit.Length([]float64{2.9, 3.1, -2.9, -3.1}[i] * s)})
	}
	out, err := small.Compare()
	require.NoError(t, err)
	for i, f := range out.Feet {
		assert.Equal(t, i%2 == 1, f.Usable, "three standard uncertainties")
	}
}

// Six feet, one of them low: it is left below the plane by more than any other
// is left above it, and the warning tells that.
func TestWorstFootMayBeLow(t *testing.T) {
	for i := range 6 {
		for _, h := range []unit.Length{-1e-4, 1e-4} {
			r := moves.FeetResponse{Sigma: 1e-6}
			for k, f := range append(fourFeet(0, 1, 0.3), fourFeet(0.5, 2, 0.3)[:2]...) {
				reading := moves.FootReading{Name: f.Name, At: f.At}
				if k == i {
					reading.Measured = h
				}
				r.Feet = append(r.Feet, reading)
			}
			out, err := r.Compare()
			require.NoError(t, err)
			require.Len(t, out.Warnings, 1)
			assert.InDelta(t, math.Abs(float64(out.Feet[i].Left)), out.Warnings[0].Value, 1e-15)
			assert.Equal(t, h < 0, out.Feet[i].Left < 0)
		}
	}
}

// Difference is measured less planned, foot by foot.
func TestFeetDifferFromThePlan(t *testing.T) {
	r := moves.FeetResponse{Sigma: 1e-5}
	for i, f := range fourFeet(0, 1, 0.3) {
		r.Feet = append(r.Feet, moves.FootReading{Name: f.Name, At: f.At, Planned: unit.Length(i) * 1e-4, Measured: 3e-4})
	}
	out, err := r.Compare()
	require.NoError(t, err)
	for i, f := range out.Feet {
		assert.InDelta(t, 3e-4-float64(i)*1e-4, float64(f.Difference), 1e-15)
	}
}

// 64 stations are looked at, and no more.
func TestMostStationsOfAResponse(t *testing.T) {
	for n, want := range map[int]error{64: nil, 65: align.ErrOutOfRange} {
		r := moves.Response{Sigma: 1e-5}
		for i := range n {
			r.Stations = append(r.Stations, unit.Length(i))
		}
		_, err := r.Compare()
		require.ErrorIs(t, err, want)
	}
}

// A move too small to tell anything is told with the largest that was planned, of
// either sign.
func TestSmallMoveTellsTheLargest(t *testing.T) {
	for _, slope := range []float64{1e-6, -1e-6, 3e-6} {
		planned := align.Axis{Vertical: align.Line{Offset: 2e-6, Slope: slope}}
		r, err := moves.Response{Planned: planned, After: planned, Stations: []unit.Length{0, 1}, Sigma: 1e-5}.Compare()
		require.NoError(t, err)
		told := false
		for _, w := range r.Warnings {
			if w.Code == moves.WarnSmallMove && w.Field == "vertical" {
				told = true
				assert.InDelta(t, max(2e-6, 2e-6+slope), w.Value, 1e-15)
				assert.InDelta(t, 2*math.Sqrt2*1e-5, w.Limit, 1e-15)
			}
		}
		assert.True(t, told)
	}
}
