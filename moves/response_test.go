package moves_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

func scaled(a align.Axis, k float64) align.Axis {
	line := func(l align.Line) align.Line {
		return align.Line{Offset: l.Offset * unit.Length(k), Slope: l.Slope * k}
	}
	return align.Axis{Vertical: line(a.Vertical), Horizontal: line(a.Horizontal)}
}

// moved is a move of k times the planned one that ends at target when k is one.
func moved(before, target align.Axis, k float64) moves.Response {
	planned := target.Sub(before)
	return moves.Response{Before: before, Planned: planned, After: before.Add(scaled(planned, k)), Target: target,
		Stations: []unit.Length{0, 0.4}, Sigma: 2e-6}
}

var badlyOff = align.Axis{
	Vertical:   align.Line{Offset: 0.4e-3, Slope: 0.3e-3},
	Horizontal: align.Line{Offset: -0.2e-3, Slope: -0.5e-3},
}

func TestResponseNamesTheMistake(t *testing.T) {
	hot := align.Axis{Vertical: align.Line{Offset: -1e-4, Slope: 5e-5}, Horizontal: align.Line{Offset: 1e-4}}
	for _, c := range []struct {
		k     float64 // share of the planned move that was made
		is    moves.Mistake
		ratio float64 // of the table of signatures
	}{{1, moves.MovedRight, 0}, {2, moves.NotHalved, -1}, {0.5, moves.HalvedTwice, 0.5}, {-1, moves.WrongWay, 2}, {0, moves.NotMoved, 1}} {
		for _, target := range []align.Axis{{}, hot} {
			r, err := moved(badlyOff, target, c.k).Compare()
			require.NoError(t, err)
			require.Equal(t, c.ratio, c.is.Ratio())
			for _, p := range []moves.PlaneResponse{r.Vertical, r.Horizontal} {
				require.Equal(t, moves.Named, p.Finding, c.is)
				require.Equal(t, []moves.Mistake{c.is}, p.Fits)
				require.Equal(t, c.is == moves.MovedRight, p.Reached)
				for _, s := range p.Stations {
					require.InDelta(t, c.ratio, s.Ratio, 1e-9)
				}
			}
			require.NotEmpty(t, c.is.Meaning())
			require.NotEmpty(t, c.is.String())
		}
	}
}

// With readings as uncertain as told, the true explanation is among those that fit
// about as often as two standard uncertainties at four places let expect.
func TestResponseKeepsTheTruth(t *testing.T) {
	rnd := rand.New(rand.NewPCG(21, 22))
	const tries = 4000
	kept, wrong := 0, 0
	for range tries {
		m := moves.Mistakes()[rnd.IntN(5)]
		in := moved(badlyOff, align.Axis{}, 1-m.Ratio())
		in.Sigma = 2e-5
		noise := func() align.Axis {
			a, b := rnd.NormFloat64()*2e-5, rnd.NormFloat64()*2e-5
			return align.Axis{Vertical: align.Line{Offset: unit.Length(a), Slope: (b - a) / 0.4}}
		}
		before := noise()
		in.After = in.After.Add(noise()).Add(before) // a change of both readings
		r, err := in.Compare()
		require.NoError(t, err)
		if r.Vertical.Finding == moves.Named && r.Vertical.Fits[0] != m {
			wrong++
		}
		for _, f := range r.Vertical.Fits {
			if f == m {
				kept++
			}
		}
	}
	// 0.954 squared is 0.911; the noise has sqrt(2) sigma at both stations.
	require.InDelta(t, 0.911, float64(kept)/tries, 0.02)
	require.Less(t, wrong, tries/100)
}

func TestResponseAmbiguousAndNone(t *testing.T) {
	in := moved(badlyOff, align.Axis{}, 0.75)
	in.Sigma = 4e-5 // ratio 1/4 with more uncertainty than a quarter
	r, err := in.Compare()
	require.NoError(t, err)
	require.Equal(t, moves.Ambiguous, r.Horizontal.Finding)
	require.Equal(t, []moves.Mistake{moves.MovedRight, moves.HalvedTwice}, r.Horizontal.Fits)

	in = moved(badlyOff, align.Axis{}, 1)
	in.After.Vertical.Slope += 1e-3 // right at one end only
	r, err = in.Compare()
	require.NoError(t, err)
	require.Equal(t, moves.NoneFits, r.Vertical.Finding)
	require.Equal(t, moves.WarnOffPlan, r.Warnings[0].Code)

	in = moved(align.Axis{}, align.Axis{}, 1)
	r, err = in.Compare()
	require.NoError(t, err)
	require.Equal(t, moves.CannotTell, r.Vertical.Finding)
	require.Equal(t, moves.WarnSmallMove, r.Warnings[0].Code)
}

func TestResponseNextMoveEndsAtTheTarget(t *testing.T) {
	target := align.Axis{Vertical: align.Line{Offset: 1e-4}, Horizontal: align.Line{Slope: 1e-4}}
	in := moved(badlyOff, target, 0.7)
	r, err := in.Compare()
	require.NoError(t, err)
	feet := align.Feet{Inboard: 0.3, Outboard: 1}
	after, err := in.After.AfterFar(feet, align.FootMoves{Inboard: r.NextFar(feet.Inboard), Outboard: r.NextFar(feet.Outboard)})
	require.NoError(t, err)
	require.InDelta(t, 1e-4, float64(after.At(0).Vertical), 1e-15)
	require.InDelta(t, 1e-4, after.Horizontal.Slope, 1e-15)
	near := r.NextNear(0.3)
	require.Equal(t, -r.NextFar(0.3).Vertical, near.Vertical)
}

func TestTrainResponse(t *testing.T) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(1, 5)), 2, false)
	r, err := train.Response(0, wanted)
	require.NoError(t, err)
	e, err := train.Evaluate(wanted)
	require.NoError(t, err)
	r.After, r.Stations, r.Sigma = e.Couplings[0].Cold, []unit.Length{1.4, 1.6}, 1e-6
	out, err := r.Compare()
	require.NoError(t, err)
	require.True(t, out.Vertical.Reached && out.Horizontal.Reached)
	_, err = train.Response(1, wanted)
	require.Equal(t, "out-of-range", align.CodeOf(err))
}

func TestResponseRefuses(t *testing.T) {
	nan := unit.Length(math.NaN())
	for code, spoil := range map[string][]func(*moves.Response){
		"not-finite": {
			func(r *moves.Response) { r.Sigma = nan },
			func(r *moves.Response) { r.Cover = math.Inf(1) },
			func(r *moves.Response) { r.Stations[1] = nan },
			func(r *moves.Response) { r.After.Vertical.Slope = math.NaN() },
			func(r *moves.Response) { r.Before.Horizontal.Offset = nan },
		},
		"missing":             {func(r *moves.Response) { r.Stations = r.Stations[:1] }},
		"coincident-stations": {func(r *moves.Response) { r.Stations[1] = r.Stations[0] }},
		"negative":            {func(r *moves.Response) { r.Sigma = -1e-6 }, func(r *moves.Response) { r.Cover = -1 }},
		"out-of-range": {
			func(r *moves.Response) { r.Sigma = 0 },
			func(r *moves.Response) { r.Cover = 11 },
			func(r *moves.Response) { r.Planned.Vertical.Offset = 11 },
			func(r *moves.Response) { r.Stations = make([]unit.Length, 65) },
		},
	} {
		for i, f := range spoil {
			in := moved(badlyOff, align.Axis{}, 1)
			f(&in)
			_, err := in.Compare()
			require.Equal(t, code, align.CodeOf(err), "%s %d", code, i)
		}
	}
}

// turned moves the feet of a machine as an exact rotation does and reads dials
// straight up.
func turned(rnd *rand.Rand, size float64) []moves.FootReading {
	rot := r3.NewRotation(size*rnd.NormFloat64(), r3.Vec{X: rnd.NormFloat64(), Y: rnd.NormFloat64(), Z: rnd.NormFloat64()})
	var out []moves.FootReading
	for i, f := range fourFeet(0.2, 1.1, 0.3) {
		p := r3.Vec{X: float64(f.At.X), Z: float64(f.At.Z)}
		out = append(out, moves.FootReading{Name: fmt.Sprint(i), At: f.At, Planned: 1e-3, Measured: unit.Length(rot.Rotate(p).Y + 1e-3)})
	}
	return out
}

func TestFeetOfARigidBody(t *testing.T) {
	rnd := rand.New(rand.NewPCG(31, 32))
	for range 200 {
		r, err := moves.FeetResponse{Feet: turned(rnd, 1e-3), Sigma: 1e-6}.Compare()
		require.NoError(t, err)
		require.True(t, r.Rigid, "an exact turn of 1 mm/m leaves the plane of the feet a plane")
		require.Empty(t, r.Warnings)
	}
}

func TestFeetAgainstQR(t *testing.T) {
	rnd := rand.New(rand.NewPCG(33, 34))
	for range 200 {
		in := moves.FeetResponse{Sigma: 5e-6}
		n := 4 + rnd.IntN(5)
		a, y := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
		for i := range n {
			f := moves.FootReading{Planned: 2e-4, Measured: unit.Length(2e-4 + rnd.NormFloat64()*1e-5)}
			f.At = align.Place{X: unit.Length(rnd.Float64() * 3), Z: unit.Length(rnd.Float64())}
			in.Feet = append(in.Feet, f)
			a.SetRow(i, []float64{1, float64(f.At.X), float64(f.At.Z)})
			y.SetVec(i, float64(f.Measured))
		}
		r, err := in.Compare()
		require.NoError(t, err)
		var c, fitted mat.VecDense
		require.NoError(t, c.SolveVec(a, y))
		fitted.MulVec(a, &c)
		var ata, hat mat.Dense
		ata.Mul(a.T(), a)
		require.NoError(t, ata.Inverse(&ata))
		hat.Product(a, &ata, a.T())
		for i, f := range r.Feet {
			left := y.AtVec(i) - fitted.AtVec(i)
			require.InDelta(t, left, float64(f.Left), 1e-12)
			u := 5e-6 * math.Sqrt(max(0, 1-hat.At(i, i)))
			require.InDelta(t, u, float64(f.Uncertainty), 1e-9)
			require.Equal(t, math.Abs(left) > 2*u+1e-9, f.Off)
		}
	}
}

func TestFeetOfASoftFoot(t *testing.T) {
	feet := turned(rand.New(rand.NewPCG(35, 36)), 1e-4)
	feet[2].Measured -= 2e-4
	r, err := moves.FeetResponse{Feet: feet, Sigma: 1e-5}.Compare()
	require.NoError(t, err)
	require.False(t, r.Rigid)
	require.Equal(t, moves.WarnNotRigid, r.Warnings[0].Code)
	for _, f := range r.Feet {
		require.InDelta(t, 5e-5, math.Abs(float64(f.Left)), 1e-8, "a quarter at every corner of a rectangle")
	}
}

func TestFeetRefuse(t *testing.T) {
	good := func() moves.FeetResponse {
		return moves.FeetResponse{Feet: turned(rand.New(rand.NewPCG(1, 1)), 1e-4), Sigma: 1e-5}
	}
	for code, spoil := range map[string]func(*moves.FeetResponse){
		"missing":      func(r *moves.FeetResponse) { r.Feet = r.Feet[:3] },
		"not-finite":   func(r *moves.FeetResponse) { r.Feet[1].Measured = unit.Length(math.NaN()) },
		"negative":     func(r *moves.FeetResponse) { r.Cover = -2 },
		"out-of-range": func(r *moves.FeetResponse) { r.Feet[0].At.X = 1e5 },
		"undetermined": func(r *moves.FeetResponse) {
			for i := range r.Feet {
				r.Feet[i].At = align.Place{X: unit.Length(i), Z: 0.5 * unit.Length(i)}
			}
		},
	} {
		in := good()
		spoil(&in)
		_, err := in.Compare()
		require.Equal(t, code, align.CodeOf(err))
	}
}

func BenchmarkResponse(b *testing.B) {
	in := moved(badlyOff, align.Axis{}, 2)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := in.Compare(); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleResponse_Compare() {
	// The shaft stood 0.40 mm high, was to come down by as much, and stands 0.39 mm
	// low.
	in := moves.Response{
		Before:   align.Axis{Vertical: align.Line{Offset: 0.4e-3}},
		Planned:  align.Axis{Vertical: align.Line{Offset: -0.4e-3}},
		After:    align.Axis{Vertical: align.Line{Offset: -0.39e-3}},
		Stations: []unit.Length{0, 0.2}, Sigma: 0.01e-3,
	}
	r, err := in.Compare()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Vertical.Fits[0].Meaning())
	fmt.Println(r.NextFar(0.5).VerticalWords(align.UnitMillimetre, 2))
	// Output:
	// moved twice as far as planned: a total indicator reading was probably not halved
	// add 0.39 mm
}
