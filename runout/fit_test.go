package runout_test

import (
	"errors"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

var shaftZones = []runout.Zone{runout.K6, runout.M6, runout.N6, runout.P6}

// The rules behind ISO 286 (from memory) against the table: with the geometric
// mean D of the range in mm, i = 0.45 D^(1/3) + 0.001 D, IT6 = 10 i, IT7 = 16 i,
// k = 0.6 D^(1/3), m = IT7 - IT6, n = 5 D^0.34, p = IT7 and up to 5 more. The
// standard rounds by hand, so a micrometre is allowed: it holds everywhere.
func TestZonesFollowTheRulesOfISO286(t *testing.T) {
	for _, r := range [][2]float64{{18, 30}, {30, 50}, {50, 80}, {80, 120}, {120, 180}, {180, 250}} {
		d := math.Sqrt(r[0] * r[1])
		i := 0.45*math.Cbrt(d) + 0.001*d
		at := func(z runout.Zone) (lower, upper float64) {
			v, err := runout.ZoneOf(z, unit.Length(r[1])*mm)
			require.NoError(t, err)
			return float64(v.Lower) * 1e6, float64(v.Upper) * 1e6
		}
		h7Low, it7 := at(runout.H7)
		assert.Zero(t, h7Low)
		assert.InDelta(t, 16*i, it7, 1, "IT7 up to %g", r[1])
		for _, z := range shaftZones {
			lower, upper := at(z)
			assert.InDelta(t, 10*i, upper-lower, 1, "IT6 of %s up to %g", z, r[1])
		}
		k, _ := at(runout.K6)
		assert.InDelta(t, 0.6*math.Cbrt(d), k, 1, "k up to %g", r[1])
		m, mUpper := at(runout.M6)
		assert.InDelta(t, it7-(mUpper-m), m, 1e-9, "m up to %g", r[1])
		n, _ := at(runout.N6)
		assert.InDelta(t, 5*math.Pow(d, 0.34), n, 1, "n up to %g", r[1])
		p, _ := at(runout.P6)
		assert.GreaterOrEqual(t, p, it7, "p up to %g", r[1])
		assert.LessOrEqual(t, p, it7+5, "p up to %g", r[1])
	}
}

// Every pairing against all four corners of the two zones.
func TestHubFitAgainstCorners(t *testing.T) {
	for d := 18.5; d <= 250; d += 0.5 {
		h, err := runout.ZoneOf(runout.H7, unit.Length(d)*mm)
		require.NoError(t, err)
		last := runout.Fit{Least: -1, Most: -1}
		for _, z := range shaftZones {
			s, err := runout.ZoneOf(z, unit.Length(d)*mm)
			require.NoError(t, err)
			f, err := runout.HubFit(z, unit.Length(d)*mm)
			require.NoError(t, err)
			low, high := math.Inf(1), math.Inf(-1)
			for _, bore := range []unit.Length{h.Lower, h.Upper} {
				for _, shaft := range []unit.Length{s.Lower, s.Upper} {
					low, high = math.Min(low, float64(shaft-bore)), math.Max(high, float64(shaft-bore))
				}
			}
			require.Equal(t, low, float64(f.Least))
			require.Equal(t, high, float64(f.Most))
			require.InDelta(t, float64(h.Width()+s.Width()), high-low, 1e-15)
			require.Greater(t, f.Least, last.Least, "k, m, n, p grow tighter")
			require.Greater(t, f.Most, last.Most)
			last = f
			want := runout.TransitionFit
			if z == runout.P6 {
				want = runout.InterferenceFit
			}
			require.Equal(t, want, f.Kind(), "%s %g", z, d)
		}
	}
}

func TestFitSaysWhatIsFromMemory(t *testing.T) {
	for _, c := range []struct {
		d    float64
		want align.Known
	}{{25, align.FromMemory}, {40, align.ReadSecondhand}, {80, align.ReadSecondhand}, {80.1, align.FromMemory}, {250, align.FromMemory}} {
		f, err := runout.HubFit(runout.M6, unit.Length(c.d)*mm)
		require.NoError(t, err)
		assert.Equal(t, c.want, f.Known, "%g mm", c.d)
	}
	f, err := runout.HubFit(runout.P6, 100*mm)
	require.NoError(t, err)
	assert.Equal(t, "interference fit, interference 2.0 um to 59.0 um (from memory)", f.String())
	d, err := runout.ZoneOf(runout.K6, 40*mm)
	require.NoError(t, err)
	assert.Equal(t, "2.0 um to 18.0 um (ISO 286 as printed in a table of JIS B 0401)", d.String())
}

func TestPairRefuses(t *testing.T) {
	good := runout.Deviations{Lower: -1e-6, Upper: 1e-6, Known: align.CommonPractice}
	f, err := runout.Pair(good, good)
	require.NoError(t, err)
	assert.Equal(t, align.CommonPractice, f.Known)
	f, err = runout.Pair(good, runout.Deviations{Lower: -3e-6, Upper: -2e-6, Known: align.Read})
	require.NoError(t, err)
	assert.Equal(t, runout.ClearanceFit, f.Kind())
	_, err = runout.Pair(runout.Deviations{Lower: 1, Upper: 0}, good)
	require.ErrorIs(t, err, align.ErrMismatch)
	_, err = runout.Pair(good, runout.Deviations{Upper: unit.Length(math.NaN())})
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, err = runout.Pair(runout.Deviations{Lower: -1.7e308, Upper: 0}, runout.Deviations{Lower: 0, Upper: 1.7e308})
	require.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = runout.HubFit(runout.H7, 40*mm)
	require.ErrorIs(t, err, align.ErrUnknownKind)
}

func TestMeasuredFit(t *testing.T) {
	share, err := runout.MeasuredFit{Shaft: 4.006 * inch, Bore: 4 * inch}.PerDiameter()
	require.NoError(t, err)
	assert.InDelta(t, 1.5e-3, share, 1e-12)
	metric, err := runout.MeasuredFit{Shaft: 4.006 * 25.4 * mm, Bore: 101.6 * mm}.PerDiameter()
	require.NoError(t, err)
	assert.InDelta(t, share, metric, 1e-12)
	loose, err := runout.MeasuredFit{Shaft: 4 * inch, Bore: 4.001 * inch}.Interference()
	require.NoError(t, err)
	assert.InDelta(t, -25.4e-6, float64(loose), 1e-12)
	_, err = runout.MeasuredFit{Shaft: 1, Bore: 0}.PerDiameter()
	require.ErrorIs(t, err, align.ErrZeroDiameter)
}

func TestPracticeJudges(t *testing.T) {
	p, err := runout.PracticeOf(runout.StraightKeyed)
	require.NoError(t, err)
	for _, c := range []struct {
		mils float64
		want runout.Against
	}{{0.4999, runout.UnderRange}, {0.5, runout.WithinRange}, {0.75, runout.WithinRange}, {0.7501, runout.OverRange}, {-1, runout.UnderRange}} {
		got, err := p.Judge(c.mils * align.MilPerInch)
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%g", c.mils)
	}
	p, err = runout.PracticeOf(runout.KeylessOfAPI671)
	require.NoError(t, err)
	got, err := p.Judge(9)
	require.NoError(t, err)
	assert.Equal(t, runout.WithinRange, got, "no upper end")
	_, err = p.Judge(math.Inf(1))
	require.ErrorIs(t, err, align.ErrNotFinite)
}

// Heating in Celsius and Fahrenheit is the same: a rise converts by 9/5 alone.
func TestHeatingInBothScales(t *testing.T) {
	for _, perF := range []float64{6.3e-6, 7e-6, 1.28e-5} {
		inF := runout.HubHeating{Bore: 4 * inch, Interference: 6 * mil, Clearance: 2 * mil, Expansion: align.UnitPerFahrenheit.SI(perF), Shaft: align.Fahrenheit(70)}
		inC := runout.HubHeating{Bore: 101.6 * mm, Interference: 0.1524 * mm, Clearance: 0.0508 * mm, Expansion: perF * 1.8, Shaft: align.Celsius((70 - 32) / 1.8)}
		f, err := inF.Solve()
		require.NoError(t, err)
		c, err := inC.Solve()
		require.NoError(t, err)
		assert.InDelta(t, float64(f.Rise), float64(c.Rise), 1e-9)
		assert.InDelta(t, float64(f.Temperature), float64(c.Temperature), 1e-9)
		degF := 0.008 / (perF * 4)
		assert.InDelta(t, degF, float64(f.Rise/align.FahrenheitRise), 1e-9)
		assert.InDelta(t, 70+degF, align.UnitFahrenheit.FromSI(float64(f.Temperature)), 1e-9)
	}
}

// Heated by the rise, the bore has grown to shaft plus clearance.
func TestHeatedBoreClearsTheShaft(t *testing.T) {
	h := runout.HubHeating{Bore: 80 * mm, Interference: 0.06 * mm, Clearance: 0.04 * mm, Expansion: 11.5e-6}
	rise, err := h.Rise()
	require.NoError(t, err)
	grown := float64(h.Bore) * (1 + h.Expansion*float64(rise))
	assert.InDelta(t, float64(h.Bore+h.Interference+h.Clearance), grown, 1e-15)
	heat, err := h.Solve()
	require.NoError(t, err)
	assert.Zero(t, heat.Temperature)
}

func TestHeatingWarns(t *testing.T) {
	codes := func(h runout.HubHeating) (out []align.WarningCode) {
		r, err := h.Solve()
		require.NoError(t, err)
		for _, w := range r.Warnings {
			require.NotEmpty(t, w.String())
			out = append(out, w.Code)
		}
		return out
	}
	h := runout.HubHeating{Bore: 100 * mm, Interference: 0.1 * mm, Clearance: 0.1 * mm, Expansion: 1e-5, Shaft: 300, Highest: 500}
	assert.Empty(t, codes(h), "exactly at the limit")
	h.Highest = 499.999
	assert.Equal(t, []align.WarningCode{runout.WarnHubTooHot}, codes(h))
	h.Highest, h.Clearance = 0, 0
	assert.Equal(t, []align.WarningCode{runout.WarnNoHeatLimit, runout.WarnNoMountingClearance}, codes(h))
	h.Interference = 0.501 * mm
	assert.Contains(t, codes(h), runout.WarnFitSize)
	h.Shaft, h.Highest = 0, 400
	_, err := h.Solve()
	require.ErrorIs(t, err, align.ErrMissing)
}

// Lame's thick cylinder from the other end: the shaft shrinks and the bore grows
// by radii that together make up half the interference, for any Poisson ratio.
func TestPressureClosesTheGap(t *testing.T) {
	for _, c := range []float64{0.3, 0.5, 0.68, 0.9, 0.999} {
		f := runout.PressFit{Shaft: 100 * mm, Outside: unit.Length(100/c) * mm, Modulus: 206e9}
		p, err := f.Pressure(0.1 * mm)
		require.NoError(t, err)
		hoop, err := f.BoreStress(p)
		require.NoError(t, err)
		for _, nu := range []float64{0, 0.29, 0.5} {
			r, e := float64(f.Shaft)/2, float64(f.Modulus)
			shaft := float64(p) * (1 - nu) / e * r
			bore := (float64(hoop) + nu*float64(p)) / e * r
			assert.InDelta(t, 0.05e-3, shaft+bore, 1e-15, "c %g nu %g", c, nu)
		}
		back, err := f.Interference(p)
		require.NoError(t, err)
		assert.InDelta(t, 0.1e-3, float64(back), 1e-15)
	}
}

// The tension that BoreStress gives holds the bursting force of the pressure: the
// mean over the wall of Lame's tension a + b/r^2 times the wall is p d/2.
func TestBoreStressHoldsTheBurstingForce(t *testing.T) {
	f := runout.PressFit{Shaft: 0.1, Outside: 0.18, Modulus: 206e9}
	const p = 80e6
	s, err := f.BoreStress(p)
	require.NoError(t, err)
	ri, ro := 0.05, 0.09
	a := p * ri * ri / (ro*ro - ri*ri)
	b := a * ro * ro
	assert.InDelta(t, a+b/(ri*ri), float64(s), 1)
	sum, n := 0.0, 100000
	for i := range n {
		r := ri + (float64(i)+0.5)*(ro-ri)/float64(n)
		sum += (a + (float64(s)-a)*ri*ri/(r*r)) * (ro - ri) / float64(n)
	}
	assert.InDelta(t, p*ri, sum, 1e-2)
}

// Torque by adding up friction over the seat, ring by ring and strip by strip.
func TestTorqueAddsUpFriction(t *testing.T) {
	g := runout.Grip{Diameter: 0.1, Length: 0.08, Friction: 0.12}
	got, err := g.Torque(80e6)
	require.NoError(t, err)
	sum := 0.0
	const strips, rings = 360, 40
	for range strips * rings {
		area := 2 * math.Pi * 0.05 / strips * 0.08 / rings
		sum += 0.12 * 80e6 * area * 0.05
	}
	assert.InEpsilon(t, sum, float64(got), 1e-9)
	for _, way := range []unit.Torque{got, -got} {
		p, err := g.Pressure(way)
		require.NoError(t, err)
		assert.InEpsilon(t, 80e6, float64(p), 1e-12)
	}
}

// At the advance the taper has grown by the interference.
func TestTaperAdvanceInBothUnits(t *testing.T) {
	a, err := runout.TaperSeat{Taper: runout.TaperAPI671, Interference: 6 * mil}.Advance()
	require.NoError(t, err)
	assert.InDelta(t, 0.144, float64(a/inch), 1e-12)
	b, err := runout.TaperSeat{Taper: 1.0 / 24, Interference: 0.1524 * mm}.Advance()
	require.NoError(t, err)
	assert.InDelta(t, 3.6576, float64(b/mm), 1e-12)
}

func TestAGMABores(t *testing.T) {
	rows := 0
	for sixteenth := 1; sixteenth <= 32; sixteenth++ {
		nominal := unit.Length(sixteenth) / 16 * inch
		b, err := runout.AGMABore(nominal)
		if sixteenth < 6 || sixteenth > 24 {
			require.ErrorIs(t, err, align.ErrOutOfRange)
			continue
		}
		require.NoError(t, err, "%d/16", sixteenth)
		rows++
		across, err := runout.Keyway{Bore: b.Bore, Width: b.KeyWidth, Depth: b.KeywayDepth}.Across()
		require.NoError(t, err)
		assert.InDelta(t, float64(b.Across/inch), float64(across/inch), 0.0005, "%d/16", sixteenth)
		assert.InDelta(t, float64(b.KeyWidth/inch)/2, float64(b.KeywayDepth/inch), 0.0001, "a square key lies half in the hub")
		wide := 0.002
		if sixteenth > 22 {
			wide = 0.0025
		}
		assert.InDelta(t, wide, float64(b.KeyWidthDeviations().Upper/inch), 1e-12, "%d/16", sixteenth)
		assert.InDelta(t, 0.001, float64(b.ClearanceBore().Width()/inch), 1e-12)
		assert.InDelta(t, -0.0005, float64(b.InterferenceBore().Upper/inch), 1e-12)
		assert.InDelta(t, 0.015, float64(b.AcrossDeviations().Upper/inch), 1e-12)
	}
	assert.Equal(t, 19, rows)
}

// The corners of a keyway cut by hand: bore of 5, width of 3, so that half the
// chord is 2 from the centre.
func TestKeywayAcrossByPythagoras(t *testing.T) {
	got, err := runout.Keyway{Bore: 5 * inch, Width: 3 * inch, Depth: 1 * inch}.Across()
	require.NoError(t, err)
	assert.InDelta(t, 2.5+2+1+0.005, float64(got/inch), 1e-12)
	_, err = runout.Keyway{Bore: 5 * inch, Width: 5 * inch, Depth: 1 * inch}.Across()
	require.ErrorIs(t, err, align.ErrMismatch)
}

// Whatever numbers come in, no NaN and no infinity go out, and an error is of
// this package and has a code.
func FuzzFits(f *testing.F) {
	f.Add(0.1, 0.15, 1e-4, 2e11, 1e-5)
	f.Add(math.NaN(), 0.0, -1.0, math.Inf(1), 1e-320)
	f.Add(1e-320, 1e308, 1e308, 1e308, 1e-320)
	f.Fuzz(func(t *testing.T, a, b, c, d, e float64) {
		sound := func(err error, numbers ...float64) {
			t.Helper()
			if err != nil {
				var in *align.InputError
				require.True(t, errors.As(err, &in))
				require.Equal(t, "runout", in.Package)
				require.NotEmpty(t, align.CodeOf(err))
				return
			}
			for _, n := range numbers {
				require.True(t, align.IsFinite(n))
			}
		}
		la, lb, lc := unit.Length(a), unit.Length(b), unit.Length(c)
		for _, z := range []runout.Zone{runout.H7, runout.P6, "none"} {
			v, err := runout.ZoneOf(z, la)
			sound(err, float64(v.Lower), float64(v.Upper))
		}
		fit, err := runout.Pair(runout.Deviations{Lower: la, Upper: lb}, runout.Deviations{Lower: lc, Upper: unit.Length(d)})
		sound(err, float64(fit.Least), float64(fit.Most))
		share, err := runout.MeasuredFit{Shaft: la, Bore: lb}.PerDiameter()
		sound(err, share)
		heat, err := runout.HubHeating{Bore: la, Interference: lb, Clearance: lc, Expansion: e, Shaft: unit.Temperature(d)}.Solve()
		sound(err, float64(heat.Rise), float64(heat.Temperature))
		for _, w := range heat.Warnings {
			sound(nil, w.Value, w.Limit)
		}
		advance, err := runout.TaperSeat{Taper: e, Interference: la}.Advance()
		sound(err, float64(advance))
		press := runout.PressFit{Shaft: la, Outside: lb, Modulus: unit.Pressure(d)}
		p, err := press.Pressure(lc)
		sound(err, float64(p))
		i, err := press.Interference(unit.Pressure(c))
		sound(err, float64(i))
		s, err := press.BoreStress(unit.Pressure(c))
		sound(err, float64(s))
		grip := runout.Grip{Diameter: la, Length: lb, Friction: e}
		torque, err := grip.Torque(unit.Pressure(d))
		sound(err, float64(torque))
		p, err = grip.Pressure(unit.Torque(d))
		sound(err, float64(p))
		across, err := runout.Keyway{Bore: la, Width: lb, Depth: lc}.Across()
		sound(err, float64(across))
		bore, err := runout.AGMABore(la)
		sound(err, float64(bore.Across))
	})
}
