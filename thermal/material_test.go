package thermal_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/thermal"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// variant returns the material of that name whose variant holds the words.
func variant(t testing.TB, name, words string) thermal.Material {
	t.Helper()
	for _, m := range thermal.Find(name) {
		if strings.Contains(m.Variant, words) {
			return m
		}
	}
	t.Fatalf("no %s with %q", name, words)
	return thermal.Material{}
}

func strain(t testing.TB, m thermal.Material, from, to unit.Temperature) float64 {
	t.Helper()
	e, err := m.Strain(from, to)
	require.NoError(t, err)
	return e
}

// codeRow is row A of a pressure-piping table as quoted with TH-20: means from
// 70 degF.
func codeRow() thermal.Material {
	m := thermal.Material{Name: "carbon steel", Kind: thermal.MeanTable, Reference: align.Fahrenheit(70)}
	for _, p := range [][2]float64{{-50, 6.2}, {70, 6.4}, {300, 6.9}, {400, 7.1}} {
		m.Points = append(m.Points, thermal.CoefficientPoint{
			At: align.Fahrenheit(p[0]), Value: align.UnitPerFahrenheit.SI(p[1] * 1e-6),
		})
	}
	return m
}

// A piping forum post works this from ASME B31.3, table C-1: 2087.33 millionths
// from 50 to 350 degF. The mean at 350 times 300 degrees would be 2100.
func TestMeanTableIsTiedToItsReference(t *testing.T) {
	got := strain(t, codeRow(), align.Fahrenheit(50), align.Fahrenheit(350)) * 1e6
	require.InDelta(t, 2087.33, got, 0.005)
	require.Greater(t, math.Abs(got-2100), 12.0)
}

// Column C of TE-1 group 1 (inches in 100 ft from 70 degF) from column B: every
// row agrees within the rounding of both columns, 0.05 in and 0.05e-6 per degF.
func TestBoilerCodeColumnsAgree(t *testing.T) {
	mean := variant(t, "carbon steel", "mean from 70")
	slope := variant(t, "carbon steel", "instantaneous, per degF")
	c := []float64{
		0, 0.2, 0.6, 1.0, 1.5, 1.9, 2.4, 2.8, 3.3, 3.7, 4.2, 4.7, 5.2, 5.7, 6.3, 6.8, 7.3, 7.9, 8.4, 9.0,
	}
	require.Len(t, mean.Points, len(c))
	for i, p := range mean.Points {
		rise := float64(p.At-mean.Reference) * 9 / 5
		allowed := 0.05 + 0.05e-6*rise*1200
		require.InDelta(t, c[i], 1200*strain(t, mean, mean.Reference, p.At), allowed+1e-9, "row %d from B", i)
		if i == 0 {
			continue
		}
		// B is the mean of A; two rounded columns differ by at most 0.05 each.
		b, err := slope.MeanCoefficient(mean.Reference, p.At)
		require.NoError(t, err)
		require.InDelta(t, align.UnitPerFahrenheit.FromSI(p.Value)*1e6, align.UnitPerFahrenheit.FromSI(b)*1e6, 0.1)
	}
}

// In metric the trapezoids over A give every B to its last place.
func TestMetricMeansFollowFromInstantaneous(t *testing.T) {
	mean, slope := variant(t, "carbon steel", "mean from 20"), variant(t, "carbon steel", "instantaneous, per degC")
	for _, p := range mean.Points[1:] {
		b, err := slope.MeanCoefficient(mean.Reference, p.At)
		require.NoError(t, err)
		require.InDelta(t, p.Value*1e6, b*1e6, 0.05+1e-9)
	}
}

func TestEurocodeSteel(t *testing.T) {
	m := variant(t, "carbon steel", "EN 1993")
	twenty := align.Celsius(20)
	for _, x := range []float64{50, 100, 150, 200, 300, 400, 500, 749} {
		a, err := m.MeanCoefficient(twenty, align.Celsius(x))
		require.NoError(t, err)
		require.InDelta(t, 12.08+0.004*x, a*1e6, 1e-8) // the quadratic over T - 20, by hand
	}
	for x, want := range map[float64]float64{
		20: 0, 749.999: 0.0110084, 750: 0.011, 800: 0.011, 860: 0.011, 900: 0.0118, 1200: 0.0178,
		10: -1.216e-4, 1300: 0.0198, // held slopes
	} {
		require.InDelta(t, want, strain(t, m, twenty, align.Celsius(x)), 1e-7, "%v degC", x)
	}
	require.InDelta(t, 0.011, strain(t, m, twenty, align.Fahrenheit(1382)), 1e-15) // 750 degC on the other scale
}

// The printed cubic is -0.0066 percent at 293 K, so only differences count.
func TestPolynomialUsesDifferences(t *testing.T) {
	m := variant(t, "12Cr-1Mo steel", "HT9")
	require.Zero(t, strain(t, m, 293, 293))
	percent := func(k float64) float64 {
		return -0.16256 + 1.62307e-4*k + 1.42357e-6*math.Pow(k, 2) - 5.50344e-10*math.Pow(k, 3)
	}
	require.InDelta(t, -0.0066, percent(293), 5e-5)
	for k, want := range map[float64]float64{373: 9.26, 473: 10.06, 573: 10.75, 673: 11.32, 773: 11.79} {
		a, err := m.MeanCoefficient(293, unit.Temperature(k))
		require.NoError(t, err)
		require.InDelta(t, want, a*1e6, 0.005)
		require.InDelta(t, (percent(k)-percent(293))/100, strain(t, m, 293, unit.Temperature(k)), 1e-15)
	}
	// Beyond the range the tangent at the end goes on.
	end := strain(t, m, 1049.999, 1050) / 0.001
	require.InDelta(t, end*100, strain(t, m, 1050, 1150), 1e-7)
}

// DOE-HDBK-1017/2-93: a bar held fast from 60 to 540 degF at 30e6 psi bears
// 84000 psi, printed to two figures.
func TestRestrainedBar(t *testing.T) {
	e := strain(t, variant(t, "carbon steel", "DOE"), align.Fahrenheit(60), align.Fahrenheit(540))
	require.InDelta(t, 84000, 30e6*e, 500)
	require.InDelta(t, 0.002784, e, 1e-12)
}

// A published table that says it is TE-1 and is not: it must not pass for ours.
func TestForeignTableDiffers(t *testing.T) {
	ours := variant(t, "carbon steel", "mean from 20")
	for c, theirs := range map[float64]float64{100: 12.0, 200: 12.5, 300: 13.0, 400: 13.5} {
		a, err := ours.MeanCoefficient(align.Celsius(20), align.Celsius(c))
		require.NoError(t, err)
		require.Greater(t, math.Abs(a*1e6-theirs), 0.05)
	}
}

func TestFindShowsAllRightValues(t *testing.T) {
	require.Len(t, thermal.Find(" Carbon STEEL"), 7)
	require.Len(t, thermal.Find("brass"), 2)
	require.Nil(t, thermal.Find("unobtainium"))
	seen := map[string]bool{}
	for _, m := range thermal.Materials() {
		require.NoError(t, m.Check(), m.Name)
		require.NotEmpty(t, m.Source)
		require.NotEmpty(t, m.Known)
		require.False(t, seen[m.Name+m.Variant], "%s %s twice", m.Name, m.Variant)
		seen[m.Name+m.Variant] = true
		a, err := m.MeanCoefficient(align.Celsius(25), align.Celsius(100))
		require.NoError(t, err)
		require.Greater(t, a, 8e-6, "%s", m.Name)
		require.Less(t, a, 25e-6, "%s", m.Name)
	}
}

func TestMaterialsAreFresh(t *testing.T) {
	m := thermal.Materials()
	m[0].Points[0].Value = 1
	require.NotEqual(t, 1.0, thermal.Materials()[0].Points[0].Value)
}

// temperatures from deep cold to far above every table.
func temperatures() []unit.Temperature {
	out := []unit.Temperature{100, 293.15, align.Fahrenheit(70), 1023.15, 1133.15, 2000}
	for c := -60.0; c < 1300; c += 37 {
		out = append(out, align.Celsius(c))
	}
	return out
}

func TestStrainAddsThroughAnyTemperatureBetween(t *testing.T) {
	for _, m := range thermal.Materials() {
		for _, a := range temperatures() {
			require.Zero(t, strain(t, m, a, a))
			for _, b := range temperatures() {
				via := strain(t, m, a, 400) + strain(t, m, 400, b)
				require.InDelta(t, strain(t, m, a, b), via, 1e-15+1e-13*math.Abs(via), m.Variant)
				require.InDelta(t, -strain(t, m, a, b), strain(t, m, b, a), 1e-16)
			}
		}
	}
}

// One more point on the line between two changes nothing.
func TestPointsOnTheLineChangeNothing(t *testing.T) {
	for _, name := range []string{"mean from 70", "instantaneous, per degC"} {
		m := variant(t, "carbon steel", name)
		fine := m
		fine.Points = nil
		for i, p := range m.Points {
			if i > 0 {
				q := m.Points[i-1]
				fine.Points = append(fine.Points, thermal.CoefficientPoint{At: (p.At + q.At) / 2, Value: (p.Value + q.Value) / 2})
			}
			fine.Points = append(fine.Points, p)
		}
		for _, x := range temperatures() {
			require.InDelta(t, strain(t, m, 300, x), strain(t, fine, 300, x), 1e-14)
		}
	}
}

// The slow way: the slope of strain, summed over very many small steps.
func TestInstantaneousAgainstManySteps(t *testing.T) {
	m := variant(t, "carbon steel", "instantaneous, per degF")
	slope := func(x float64) float64 {
		p := m.Points
		for i := 1; i < len(p); i++ {
			if x <= float64(p[i].At) || i == len(p)-1 {
				share := (x - float64(p[i-1].At)) / float64(p[i].At-p[i-1].At)
				share = math.Min(1, math.Max(0, share))
				return p[i-1].Value*(1-share) + p[i].Value*share
			}
		}
		return math.NaN()
	}
	for _, to := range []float64{250, 320, 511.3, 790, 900} {
		const n = 200000
		sum, h := 0.0, (to-280)/n
		for i := range n {
			sum += slope(280+(float64(i)+0.5)*h) * h
		}
		require.InDelta(t, sum, strain(t, m, 280, unit.Temperature(to)), 1e-9)
	}
}

func TestRangeWarning(t *testing.T) {
	m := variant(t, "carbon steel", "mean from 20")
	for _, c := range []struct{ at, limit float64 }{{19.9, 20}, {601, 600}} {
		ws := m.AppendRangeWarning(nil, "hot", align.Celsius(c.at))
		require.Len(t, ws, 1)
		require.Equal(t, thermal.WarnTemperature, ws[0].Code)
		require.InDelta(t, c.limit, align.UnitCelsius.FromSI(ws[0].Limit), 1e-9)
		require.Contains(t, ws[0].String(), "degC")
	}
	require.Empty(t, m.AppendRangeWarning(nil, "hot", align.Fahrenheit(68)))   // 20 degC
	require.Empty(t, m.AppendRangeWarning(nil, "hot", align.Fahrenheit(1112))) // 600 degC
	require.Empty(t, m.AppendRangeWarning(nil, "hot", unit.Temperature(math.NaN())))
	_, _, stated := variant(t, "brass", "21").Range()
	require.False(t, stated)
	from, to, stated := variant(t, "carbon steel", "EN 1993").Range()
	require.True(t, stated)
	require.Equal(t, []unit.Temperature{align.Celsius(20), align.Celsius(1200)}, []unit.Temperature{from, to})
}

func TestBadMaterials(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := variant(t, "carbon steel", "mean from 20")
	cubic := variant(t, "12Cr-1Mo steel", "HT9")
	points := func(p ...thermal.CoefficientPoint) func(*thermal.Material) {
		return func(m *thermal.Material) { m.Points = p }
	}
	point := func(at, v float64) thermal.CoefficientPoint {
		return thermal.CoefficientPoint{At: unit.Temperature(at), Value: v}
	}
	for _, c := range []struct {
		name  string
		base  thermal.Material
		field string
		fault align.Fault
		set   func(*thermal.Material)
	}{
		{"no kind", good, "kind", align.ErrMissing, func(m *thermal.Material) { m.Kind = 0 }},
		{"kind", good, "kind", align.ErrUnknownKind, func(m *thermal.Material) { m.Kind = 99 }},
		{"no reference", good, "reference", align.ErrMissing, func(m *thermal.Material) { m.Reference = 0 }},
		{"reference", good, "reference", align.ErrOutOfRange, func(m *thermal.Material) { m.Reference = -3 }},
		{"coefficient of a table", good, "coefficient", align.ErrMismatch, func(m *thermal.Material) { m.Coefficient = 1e-5 }},
		{"terms of a table", good, "terms", align.ErrMismatch, func(m *thermal.Material) { m.Terms = []float64{1} }},
		{"one point", good, "points", thermal.ErrTooFewPoints, points(point(300, 1e-5))},
		{"falling", good, "points[1].at", thermal.ErrNotAscending, points(point(300, 1e-5), point(299, 1e-5))},
		{"twice", good, "points[1].at", thermal.ErrNotAscending, points(point(300, 1e-5), point(300, 1e-5))},
		{"cold point", good, "points[0].at", align.ErrOutOfRange, points(point(-1, 1e-5), point(300, 1e-5))},
		{"nan point", good, "points[0].at", align.ErrNotFinite, points(point(nan, 1e-5), point(300, 1e-5))},
		{"inf point", good, "points[0].at", align.ErrNotFinite, points(point(inf, 1e-5), point(300, 1e-5))},
		{"hot point", good, "points[1].at", align.ErrOutOfRange, points(point(300, 1e-5), point(20000, 1e-5))},
		{"inf value", good, "points[1].value", align.ErrNotFinite, points(point(290, 1e-5), point(300, inf))},
		{"in millionths", good, "points[0].value", align.ErrOutOfRange, points(point(290, 11.5), point(300, 12))},
		{"reference of a cubic", cubic, "reference", align.ErrMismatch, func(m *thermal.Material) { m.Reference = 293 }},
		{"points of a cubic", cubic, "points", align.ErrMismatch, points(point(290, 1e-5), point(300, 1e-5))},
		{"no terms", cubic, "terms", thermal.ErrTooFewPoints, func(m *thermal.Material) { m.Terms = nil }},
		{"nan term", cubic, "terms[1]", align.ErrNotFinite, func(m *thermal.Material) { m.Terms = []float64{0, nan} }},
		{"huge terms", cubic, "terms", align.ErrOutOfRange, func(m *thermal.Material) { m.Terms = []float64{0, 0, 1e308} }},
		{"no range", cubic, "from", align.ErrMissing, func(m *thermal.Material) { m.From, m.To = 0, 0 }},
		{"half a range", cubic, "to", align.ErrMissing, func(m *thermal.Material) { m.To = 0 }},
		{"range upside down", cubic, "to", thermal.ErrNotAscending, func(m *thermal.Material) { m.From, m.To = m.To, m.From }},
		{"range", good, "from", align.ErrNotFinite, func(m *thermal.Material) { m.From = unit.Temperature(nan) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := c.base
			c.set(&m)
			_, err := m.Strain(300, 400)
			require.ErrorIs(t, err, c.fault)
			var e *align.InputError
			require.ErrorAs(t, err, &e)
			require.Equal(t, c.field, e.Field)
			require.True(t, strings.HasPrefix(err.Error(), "thermal: "), err)
			if c.name != "huge terms" {
				require.Equal(t, err, m.Check())
			}
		})
	}
}

func TestBadTemperatures(t *testing.T) {
	m := variant(t, "brass", "21")
	for _, c := range []struct {
		at    float64
		fault align.Fault
	}{
		{0, align.ErrMissing}, {-1, align.ErrOutOfRange}, {1e5, align.ErrOutOfRange},
		{math.NaN(), align.ErrNotFinite}, {math.Inf(1), align.ErrNotFinite}, {math.Inf(-1), align.ErrNotFinite},
	} {
		_, err := m.Strain(unit.Temperature(c.at), 300)
		require.ErrorIs(t, err, c.fault)
		require.Contains(t, err.Error(), "from")
		_, err = m.Strain(300, unit.Temperature(c.at))
		require.ErrorIs(t, err, c.fault)
		require.Contains(t, err.Error(), "to")
	}
	_, err := m.MeanCoefficient(300, 300)
	require.ErrorIs(t, err, thermal.ErrSameTemperature)
}

// Zero and negative coefficients are allowed: some alloys hardly expand, or shrink.
func TestShrinkingMaterial(t *testing.T) {
	m := thermal.Material{Name: "made up", Kind: thermal.Constant}
	require.Zero(t, strain(t, m, 300, 400))
	m.Coefficient = -1e-6
	require.InDelta(t, -1e-4, strain(t, m, 300, 400), 1e-18)
}

func TestKindNames(t *testing.T) {
	for k, want := range map[thermal.Kind]string{
		thermal.Constant: "constant", thermal.MeanTable: "mean table", thermal.InstantaneousTable: "instantaneous table",
		thermal.Polynomial: "polynomial", thermal.Eurocode3Steel: "EN 1993-1-2 carbon steel", 77: "kind(77)",
	} {
		require.Equal(t, want, fmt.Sprint(k))
	}
}
