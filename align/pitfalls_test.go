package align_test

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// A demonstration job (source: own, derived by hand): dial stations 0 and 8 in,
// feet at 14 and 34 in, brackets that roll over to -4 and -6 mil, and a line of
// 4 - 0.35 x mil. The readings at 6 o'clock are then -6.4 mil on the far shaft
// and +2.0 mil on the near one, the heights at the feet -0.90 and -7.90 mil.
const (
	demoFarReading, demoNearReading = -6.4, 2.0
	demoFarSag, demoNearSag         = -4.0, -6.0
	demoStation                     = 8.0
	demoInboard, demoOutboard       = 14.0, 34.0
)

// demo solves the demonstration job with the given numbers, in mils and inches,
// and returns the heights at stations 14 and 34.
func demo(t *testing.T, farBottom, nearBottom, farSag, nearSag, station float64) (at14, at34 float64) {
	t.Helper()
	mil := func(v float64) unit.Length { return unit.Length(v) * align.Mil }
	p, err := align.ReverseIndicator{
		OnFar:  align.Dial{Station: unit.Length(station) * align.Inch, Sag: align.RollOver(mil(farSag)), Sweep: align.TopBottom(0, mil(farBottom))},
		OnNear: align.Dial{Station: 0, Sag: align.RollOver(mil(nearSag)), Sweep: align.TopBottom(0, mil(nearBottom))},
	}.Solve()
	require.NoError(t, err)
	height := func(x float64) float64 { return float64(p.At(unit.Length(x)*align.Inch).Vertical / align.Mil) }
	return height(demoInboard), height(demoOutboard)
}

// Every mistake of the catalogue has a figure of its own. Made on purpose with
// the library's own input, each must give exactly that figure.
func TestMistakesOfTheDemonstrationJob(t *testing.T) {
	const b, s = demoFarReading, demoFarSag // far
	const c, u = demoNearReading, demoNearSag
	for _, m := range []struct {
		name            string
		far, near       float64 // readings
		farSag, nearSag float64
		station         float64
		at14, at34      float64
		times           float64 // what the answer was multiplied with by mistake
		swap, same      bool
	}{
		{"right", b, c, s, u, demoStation, -0.90, -7.90, 1, false, false},
		{"not halved", b, c, s, u, demoStation, -1.80, -15.80, 2, false, false},
		{"halved twice", b, c, s, u, demoStation, -0.45, -3.95, 0.5, false, false},
		{"sag forgotten", b, c, 0, 0, demoStation, 4.85, 10.35, 1, false, false},
		{"sag reversed", b, c, -s, -u, demoStation, 10.60, 28.60, 1, false, false},
		{"half the sag", b, c, s / 2, u / 2, demoStation, 1.975, 1.225, 1, false, false},
		{"sag on the far dial only", b, c, s, 0, demoStation, 1.35, 1.85, 1, false, false},
		{"sag on the near dial only", b, c, 0, u, demoStation, 2.60, 0.60, 1, false, false},
		{"near sign not turned", b, -c, s, -u, demoStation, 5.10, 18.10, 1, false, false},
		// Less their own sag the readings are -2.4 and 8; here each is booked for the other dial.
		{"dials exchanged", 8, -2.4, 0, 0, demoStation, -6.10, -13.10, 1, false, false},
		{"distance halved", b, c, s, u, demoStation / 2, -5.80, -19.80, 1, false, false},
		{"feet exchanged", b, c, s, u, demoStation, -7.90, -0.90, 1, true, false},
		{"inboard distance for both", b, c, s, u, demoStation, -0.90, -0.90, 1, false, true},
	} {
		t.Run(m.name, func(t *testing.T) {
			in, out := demo(t, m.far, m.near, m.farSag, m.nearSag, m.station)
			in, out = in*m.times, out*m.times
			if m.swap {
				in, out = out, in
			}
			if m.same {
				out = in
			}
			assert.InDelta(t, m.at14, in, 1e-9)
			assert.InDelta(t, m.at34, out, 1e-9)
		})
	}
}

// The same line by rim and face: swept diameter 5 in, rim sag -6 mil, readings
// -14 on the rim and +1.75 on the face (source: own).
func TestMistakesOfTheDemonstrationJobRimAndFace(t *testing.T) {
	for _, m := range []struct {
		name       string
		rim, face  float64
		diameter   float64
		surface    align.Surface
		at14, at34 float64
	}{
		{"right", -14, 1.75, 5, align.FaceToward, -0.90, -7.90},
		{"face halved", -14, 1.75 / 2, 5, align.FaceToward, 1.55, -1.95},
		{"radius for diameter", -14, 1.75, 2.5, align.FaceToward, -5.80, -19.80},
		{"face sign turned", -14, 1.75, 5, align.FaceAway, 8.9, 15.9},
		{"outside diameter for swept", -14, 1.75, 6, align.FaceToward, -0.0833333333, -5.9166666667},
		{"rim not halved", -22, 1.75, 5, align.FaceToward, 3.1, -3.9},
	} {
		t.Run(m.name, func(t *testing.T) {
			mil := func(v float64) unit.Length { return unit.Length(v) * align.Mil }
			p, err := align.RimAndFace{
				Rim:  align.Dial{Station: 0, Sag: align.RollOver(-6 * align.Mil), Sweep: align.TopBottom(0, mil(m.rim))},
				Face: align.Dial{Surface: m.surface, Diameter: unit.Length(m.diameter) * align.Inch, Sag: align.NoSag(), Sweep: align.TopBottom(0, mil(m.face))},
			}.Solve()
			require.NoError(t, err)
			for x, want := range map[unit.Length]float64{demoInboard: m.at14, demoOutboard: m.at34} {
				assert.InDelta(t, want, float64(p.At(x*align.Inch).Vertical/align.Mil), 1e-9)
			}
		})
	}
}

// How an error of half a mil in each total reading grows out to the far foot at
// 34 in (source: own): to 1.34 mil by rims 8 in apart, to 3.41 mil by a face of
// 5 in.
func TestChoiceOfMethodByUncertainty(t *testing.T) {
	const sigma = 0.5 * align.Mil // of the total reading at 6, zero at 12
	one := sigma / 1.4142135623730951
	rev := align.ReverseIndicator{
		OnFar:  align.Dial{Station: 8 * align.Inch, Sag: align.NoSag(), Sweep: align.TopBottom(0, 0)},
		OnNear: align.Dial{Sag: align.NoSag(), Sweep: align.TopBottom(0, 0)},
		Sigma:  one,
	}
	rf := align.RimAndFace{
		Rim:   align.Dial{Sag: align.NoSag(), Sweep: align.TopBottom(0, 0)},
		Face:  align.Dial{Diameter: 5 * align.Inch, Sag: align.NoSag(), Sweep: align.TopBottom(0, 0)},
		Sigma: one,
	}
	p := mustSolve(t, rev.Measurement())
	q := mustSolve(t, rf.Measurement())
	foot := 34 * align.Inch
	assert.InDelta(t, 1.34, float64(p.OffsetSigma(foot).Vertical/align.Mil), 0.005)
	assert.InDelta(t, 3.41, float64(q.OffsetSigma(foot).Vertical/align.Mil), 0.005)
	// slope: sigma/(root 2 D) for the pair of rims, sigma/A for the face
	assert.InEpsilon(t, float64(sigma/(8*align.Inch))/1.4142135623730951, p.SlopeSigma().Vertical, 1e-12)
	assert.InEpsilon(t, float64(sigma/(5*align.Inch)), q.SlopeSigma().Vertical, 1e-12)
}

// What the second set shows when the moves were made by a wrong rule: the ratio
// of new to old names the mistake.
func TestSecondSetNamesTheMistake(t *testing.T) {
	p := mustSolve(t, goodReverse())
	feet := align.Feet{Inboard: 0.4, Outboard: 0.9}
	for _, c := range []struct{ moved, left float64 }{
		{1, 0}, {2, -1}, {0.5, 0.5}, {-1, 2},
	} {
		m := p.MoveFarFeet(feet)
		scaled := align.FootMoves{
			Inboard:  align.Move(align.Offset(m.Inboard).Scale(c.moved)),
			Outboard: align.Move(align.Offset(m.Outboard).Scale(c.moved)),
		}
		left, err := p.AfterFar(feet, scaled)
		require.NoError(t, err)
		want := align.Axis{
			Vertical:   align.Line{Offset: unit.Length(c.left) * p.Vertical.Offset, Slope: c.left * p.Vertical.Slope},
			Horizontal: align.Line{Offset: unit.Length(c.left) * p.Horizontal.Offset, Slope: c.left * p.Horizontal.Slope},
		}
		requireAxis(t, want, left, 1e-15)
	}
}
