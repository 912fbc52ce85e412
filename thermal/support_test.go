package thermal_test

import (
	"math"
	"slices"
	"testing"

	"collinear.example/align"
	"collinear.example/thermal"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func growth(t testing.TB, s ...thermal.Segment) unit.Length {
	t.Helper()
	g, err := thermal.Support{Segments: s}.Growth()
	require.NoError(t, err)
	return g
}

func leg(m thermal.Material, length unit.Length, cold, hot unit.Temperature) thermal.Segment {
	return thermal.Segment{Length: length, Material: m, Cold: cold, Hot: hot}
}

// McMillan, example 8-3: 17 in from 78 to 106 degF and 22 in to 138 degF grow 3
// and 8 mil, to the whole mil; with cold residuals of -2 and -7 mil the machine
// runs 1 mil high at both ends.
func TestHandbookGrowthAndNet(t *testing.T) {
	m := variant(t, "steel or cast iron", "general")
	inboard := growth(t, leg(m, 17*align.Inch, align.Fahrenheit(78), align.Fahrenheit(106)))
	outboard := growth(t, leg(m, 22*align.Inch, align.Fahrenheit(78), align.Fahrenheit(138)))
	require.InDelta(t, 2.9988, float64(inboard/align.Mil), 1e-9)
	require.InDelta(t, 8.316, float64(outboard/align.Mil), 1e-9)
	require.Equal(t, 1.0, -2+math.Round(float64(inboard/align.Mil)))
	require.Equal(t, 1.0, -7+math.Round(float64(outboard/align.Mil)))
}

func TestOrderOfTheStackDoesNotMatter(t *testing.T) {
	s := []thermal.Segment{
		leg(variant(t, "carbon steel", "mean from 20"), 0.3, align.Celsius(15), align.Celsius(60)),
		leg(variant(t, "grey cast iron", ""), 0.2, align.Celsius(15), align.Celsius(90)),
		leg(variant(t, "brass", "21"), 0.05, align.Celsius(15), align.Celsius(-5)),
	}
	want := growth(t, s[0]) + growth(t, s[1]) + growth(t, s[2])
	require.InDelta(t, float64(want), float64(growth(t, s...)), 1e-18)
	slices.Reverse(s)
	require.InDelta(t, float64(want), float64(growth(t, s...)), 1e-18)
}

// A leg cut in two grows the same, with a profile too.
func TestCutSegmentGrowsTheSame(t *testing.T) {
	m := variant(t, "carbon steel", "instantaneous, per degC")
	layers := []thermal.Layer{{0, 310}, {0.1, 330}, {0.25, 345}, {0.6, 380}}
	whole := thermal.Segment{Length: 0.6, Material: m, Cold: 295, Profile: layers}
	lower := thermal.Segment{Length: 0.25, Material: m, Cold: 295, Profile: layers[:3]}
	upper := thermal.Segment{Length: 0.35, Material: m, Cold: 295, Profile: []thermal.Layer{{0, 345}, {0.35, 380}}}
	require.InDelta(t, float64(growth(t, whole)), float64(growth(t, lower, upper)), 1e-16)
}

func TestGrowthInInchesAndFahrenheit(t *testing.T) {
	m := variant(t, "316 stainless steel", "")
	inch := growth(t, leg(m, 10*align.Inch, align.Fahrenheit(70), align.Fahrenheit(250)))
	metric := growth(t, leg(m, 254*align.Millimetre, align.Celsius(190.0/9), align.Celsius(1090.0/9)))
	require.InDelta(t, float64(inch), float64(metric), 1e-15)
	// A rise of 100 degC is 180 degF; adding 32 would give 212.
	require.InDelta(t, 9.7e-6*10*180, float64(inch/align.Inch), 1e-12)
}

func TestUniformProfileIsUniform(t *testing.T) {
	m := variant(t, "carbon steel", "mean from 70")
	want := growth(t, leg(m, 0.5, 300, 360))
	for _, p := range [][]thermal.Layer{
		{{0, 360}, {0.5, 360}}, {{0.2, 360}}, {{0.1, 360}, {0.17, 360}, {0.4, 360}},
	} {
		got := growth(t, thermal.Segment{Length: 0.5, Material: m, Cold: 300, Profile: p})
		require.InDelta(t, float64(want), float64(got), 1e-17)
	}
}

// A straight rise of temperature in a constant material grows like its mean,
// and held ends add by hand: 0.1 m at 320 K, 0.4 m from 320 to 360 K, 0.1 m at 360 K.
func TestProfileByHand(t *testing.T) {
	m := variant(t, "steel", "physics")
	got := growth(t, thermal.Segment{Length: 0.6, Material: m, Cold: 300, Profile: []thermal.Layer{{0.1, 320}, {0.5, 360}}})
	require.InDelta(t, 12e-6*(0.1*20+0.4*40+0.1*60), float64(got), 1e-17)
}

// The slow way: the strain at very many heights.
func TestProfileAgainstManySlices(t *testing.T) {
	m := variant(t, "carbon steel", "mean from 70")
	p := []thermal.Layer{{0.02, 300}, {0.09, 333}, {0.3, 371}, {0.44, 352}}
	s := thermal.Segment{Length: 0.5, Material: m, Cold: 291, Profile: p}
	const n = 50000
	sum := 0.0
	for i := range n {
		h := unit.Length((float64(i) + 0.5) * 0.5 / n)
		j := 0
		for j < len(p)-1 && p[j+1].Height < h {
			j++
		}
		e := strain(t, m, 291, p[j].Temperature)
		if h > p[j].Height && j < len(p)-1 {
			share := float64((h - p[j].Height) / (p[j+1].Height - p[j].Height))
			e = e*(1-share) + share*strain(t, m, 291, p[j+1].Temperature)
		}
		sum += e * 0.5 / n
	}
	require.InDelta(t, sum, float64(growth(t, s)), 1e-10)
}

func codes(ws []align.Warning) (out []align.WarningCode) {
	for _, w := range ws {
		out = append(out, w.Code)
	}
	return out
}

func TestSupportWarnings(t *testing.T) {
	table := variant(t, "carbon steel", "mean from 20")
	for _, c := range []struct {
		name string
		s    thermal.Segment
		want []align.WarningCode
	}{
		{"good", leg(table, 0.5, 300, 400), nil},
		{"good in inches", leg(table, 20*align.Inch, align.Fahrenheit(68), align.Fahrenheit(1112)), nil},
		{"cold winter", leg(table, 0.5, 270, 400), []align.WarningCode{thermal.WarnTemperature}},
		{"too hot", leg(table, 0.5, 300, 900), []align.WarningCode{thermal.WarnTemperature}},
		{"millimetres as metres", leg(table, 500, 300, 400), []align.WarningCode{align.WarnSize}},
		{"strain", leg(variant(t, "aluminium", ""), 0.5, 300, 1000), []align.WarningCode{align.WarnSize}},
		{"refused", leg(table, 0.5, 0, 900), nil},
		{"whole profile", thermal.Segment{Length: 0.5, Material: table, Cold: 300, Profile: []thermal.Layer{{0, 310}, {0.5, 320}}}, nil},
		{"hot not used", thermal.Segment{Length: 0.5, Material: table, Cold: 300, Hot: 5000, Profile: []thermal.Layer{{0, 310}, {0.5, 320}}}, nil},
		{"short below", thermal.Segment{Length: 0.5, Material: table, Cold: 300, Profile: []thermal.Layer{{0.1, 310}, {0.5, 320}}}, []align.WarningCode{thermal.WarnProfile}},
		{"short above", thermal.Segment{Length: 0.5, Material: table, Cold: 300, Profile: []thermal.Layer{{0, 310}, {0.4, 320}}}, []align.WarningCode{thermal.WarnProfile}},
		{"hot layer", thermal.Segment{Length: 0.5, Material: table, Cold: 300, Profile: []thermal.Layer{{0, 310}, {0.5, 1000}}}, []align.WarningCode{thermal.WarnTemperature}},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, c.want, codes(thermal.Support{Segments: []thermal.Segment{c.s}}.Warnings()))
		})
	}
	w := thermal.Support{Segments: []thermal.Segment{leg(table, 0.5, 300, 400), leg(table, 0.5, 300, 900)}}.Warnings()[0]
	require.Equal(t, "segments[1].hot", w.Field)
	require.InDelta(t, 600, align.UnitCelsius.FromSI(w.Limit), 1e-9)
}

func TestBadSupports(t *testing.T) {
	nan, inf := unit.Length(math.NaN()), unit.Length(math.Inf(1))
	m := variant(t, "brass", "21")
	profile := func(p ...thermal.Layer) thermal.Segment {
		return thermal.Segment{Length: 0.5, Material: m, Cold: 300, Profile: p}
	}
	for _, c := range []struct {
		name, field string
		s           thermal.Segment
		fault       align.Fault
	}{
		{"no length", "length", leg(m, 0, 300, 310), align.ErrMissing},
		{"negative", "length", leg(m, -1, 300, 310), align.ErrNegative},
		{"nan", "length", leg(m, nan, 300, 310), align.ErrNotFinite},
		{"inf", "length", leg(m, inf, 300, 310), align.ErrNotFinite},
		{"huge", "length", leg(m, 1e9, 300, 310), align.ErrOutOfRange},
		{"no cold", "cold", leg(m, 1, 0, 310), align.ErrMissing},
		{"no hot", "hot", leg(m, 1, 300, 0), align.ErrMissing},
		{"below absolute zero", "hot", leg(m, 1, 300, -1), align.ErrOutOfRange},
		{"no material", "material.kind", leg(thermal.Material{}, 1, 300, 310), align.ErrMissing},
		{"steep cubic", "terms", leg(thermal.Material{Kind: thermal.Polynomial, Terms: []float64{0, 1e304}, From: 1, To: 500}, 1e6, 300, 310), align.ErrOutOfRange},
		{"layer below", "profile[0].height", profile(thermal.Layer{-0.1, 310}), align.ErrOutOfRange},
		{"layer above", "profile[1].height", profile(thermal.Layer{0, 310}, thermal.Layer{0.6, 310}), align.ErrOutOfRange},
		{"layer twice", "profile[1].height", profile(thermal.Layer{0.1, 310}, thermal.Layer{0.1, 310}), thermal.ErrNotAscending},
		{"layer falls", "profile[1].height", profile(thermal.Layer{0.3, 310}, thermal.Layer{0.1, 310}), thermal.ErrNotAscending},
		{"layer nan", "profile[0].height", profile(thermal.Layer{nan, 310}), align.ErrNotFinite},
		{"layer without", "profile[0].temperature", profile(thermal.Layer{0.1, 0}), align.ErrMissing},
		{"layer inf", "profile[0].temperature", profile(thermal.Layer{0.1, unit.Temperature(inf)}), align.ErrNotFinite},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := thermal.Support{Segments: []thermal.Segment{c.s}}.Growth()
			require.ErrorIs(t, err, c.fault)
			var e *align.InputError
			require.ErrorAs(t, err, &e)
			require.Equal(t, "segments[0]."+c.field, e.Field)
			_, alone := c.s.Growth()
			require.ErrorIs(t, alone, c.fault)
			require.Empty(t, thermal.Support{Segments: []thermal.Segment{c.s}}.Warnings())
		})
	}
	_, err := thermal.Support{}.Growth()
	require.ErrorIs(t, err, align.ErrMissing)
}

func TestGrowthDoesNotAllocate(t *testing.T) {
	s := machine(t)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		for i := range s {
			g, err := s[i].Growth()
			if err != nil {
				panic(err)
			}
			keepLength += g
		}
	}))
}
