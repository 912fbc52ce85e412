package worksheet

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func TestFindingSIName(t *testing.T) {
	for u, want := range map[align.Unit]align.Unit{
		align.UnitMil: align.UnitMetre, align.UnitFoot: align.UnitMetre, align.UnitMilPerInch: align.UnitOne, align.UnitInchPerFoot: align.UnitOne,
		align.UnitDegree: align.UnitRadian, align.UnitFahrenheit: align.UnitKelvin, align.UnitCelsiusRise: align.UnitKelvin, align.UnitRPM: align.UnitHertz, align.UnitOne: align.UnitOne,
	} {
		assert.Equal(t, want, siName(u), string(u))
	}
}

// A picometre is kept, less is not; zero has no sign; what is too large to round
// stays as it is.
func TestFindingRound(t *testing.T) {
	for in, want := range map[float64]float64{
		1.23456789012345e-4: 1.23456789e-4, 4.9e-13: 0, 5.1e-13: 1e-12, -3e-5: -3e-5, 1e300: 1e300, 0.1 + 0.2: 0.3, -1.0000000000004: -1,
	} {
		assert.Equal(t, want, round(in))
		assert.Equal(t, want, *rounded(in))
	}
	for _, v := range []float64{math.Copysign(0, -1), -1e-13} {
		assert.False(t, math.Signbit(round(v)), "%g", v)
	}
}

func TestFindingPaths(t *testing.T) {
	assert.Equal(t, "a.b", joined("a", "b"))
	assert.Equal(t, "b", joined("", "b"))
	assert.Equal(t, "a", joined("a", ""))
	s := source{}.from("a", "b").and("b", "c")
	assert.Equal(t, []string{"a", "b", "c"}, s.inputs)
	one, other := s.and("d"), s.and("e")
	assert.Equal(t, []string{"a", "b", "c", "d"}, one.inputs, "one does not write into the other")
	assert.Equal(t, []string{"a", "b", "c", "e"}, other.inputs)
	assert.Len(t, s.inputs, 3)
}

func TestFindingWarning(t *testing.T) {
	w := warningOf("sets[2]", align.Warning{Code: align.WarnClosure, Severity: align.Suspect, Field: "dials[1]", Value: 2e-5, Limit: 1e-5, Unit: align.UnitMillimetre})
	assert.Equal(t, "closure", w.Code)
	assert.Equal(t, "suspect", w.Severity)
	assert.Equal(t, "sets[2].dials[1]", w.Field)
	assert.InDelta(t, 2e-5, *w.Value, digits)
	assert.InDelta(t, 1e-5, *w.Limit, digits)
	assert.Contains(t, w.Says, "sets[2].dials[1]: closure: ")
	assert.Contains(t, w.Says, "(0.020 mm, limit 0.010 mm)")
	for _, bare := range []align.Warning{
		{Code: align.WarnOnePlane}, {Code: align.WarnSize, Value: math.NaN(), Limit: 1, Unit: align.UnitMillimetre}, {Code: align.WarnSize, Value: 1, Limit: math.Inf(1), Unit: align.UnitMillimetre},
	} {
		w := warningOf("", bare)
		assert.Nil(t, w.Value, "never a number that is none")
		assert.Nil(t, w.Limit)
		assert.Empty(t, w.Unit)
	}
}

func TestFindingError(t *testing.T) {
	e := errorOf(fmt.Errorf("outside: %w", fault("sets[0].dials", "1 dial", align.ErrMissing)))
	assert.Equal(t, FindingError{Code: "missing", Field: "sets[0].dials", Got: "1 dial", Says: "outside: worksheet: sets[0].dials = 1 dial: is missing"}, *e)
	e = errorOf(errors.New("plain"))
	assert.Equal(t, FindingError{Says: "plain"}, *e)
}

// A value that is not finite becomes an error: none ever leaves.
func TestFindingNotFinite(t *testing.T) {
	e := &evaluator{Record: soundJob()}
	s := source{part: PartSets, formula: "f", doc: "d"}.from("title")
	for i, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		e.number(s, at("x", i), "says", v, align.UnitMil)
		f := e.findings[i]
		require.NotNil(t, f.Error)
		assert.Equal(t, "not-finite", f.Error.Code)
		assert.Nil(t, f.Value)
	}
	e.length(s, "y", "says", 1, uncertain(math.NaN()), uncertain(-1.0), uncertain(1e-14))
	assert.Nil(t, e.findings[3].Sigma)
	e.length(s, "z", "says", 1, uncertain(unit.Length(2e-6)))
	assert.InDelta(t, 2e-6, *e.findings[4].Sigma, digits)
	e.heldTo(s, "w", "says", 1, align.Limit{Name: "none", Value: math.NaN(), Unit: align.UnitMillimetre})
	require.NotNil(t, e.findings[5].Error)
	assert.Equal(t, "not-finite", e.findings[5].Error.Code)
}

// A suspicion weighs more than a clean verdict and never less than a block.
func TestFindingWeights(t *testing.T) {
	limit := align.Limit{Name: "l", Value: 1, Unit: align.UnitMillimetre, Source: "s", Known: align.Read}
	verdict := func(v float64) align.Verdict {
		out, err := limit.Judge(v)
		require.NoError(t, err)
		return out
	}
	ws := func(s align.Severity) option { return warned("", []align.Warning{{Code: align.WarnSize, Severity: s}}) }
	for want, options := range map[weight][]option{
		sound:   {judged(verdict(1e-3), stops), ws(align.Notice)},
		suspect: {judged(verdict(-1e-3), stops), ws(align.Suspect)},
		stops:   {judged(verdict(1.1e-3), stops), ws(align.Serious)},
		plain:   {judged(verdict(1.1e-3), plain)},
		unseen:  {weighs(unseen), ws(align.Suspect)},
	} {
		f := Finding{}
		for _, o := range options {
			o(&f)
		}
		assert.Equal(t, want, f.weight)
	}
	f := Finding{}
	judged(verdict(-1.1e-3), stops)(&f)
	assert.Equal(t, Over, f.Verdict)
	assert.Equal(t, FindingLimit{Name: "l", Value: 1e-3, Printed: 1, Unit: align.UnitMillimetre, Source: "s", Known: align.Read}, *f.Limit)
}

func TestFindingWords(t *testing.T) {
	for v, want := range map[float64]string{0: "0", -0.00001: "0", 1.5: "1.5", 10: "10", 100: "100", 0.12345: "0.1235", -2: "-2", 3.10: "3.1"} {
		assert.Equal(t, want, trimmed(v))
	}
	assert.Equal(t, "100", cut("100"), "zeros before the point stay")
	assert.Equal(t, "a; c", joinedBy("; ", "a", "", "c"))
	assert.Equal(t, []string{"a", "b"}, unique([]string{"a", "b", "a"}))
	for u, want := range map[align.Unit]string{
		align.UnitMillimetre: "0.05 mm", align.UnitMicrometre: "50 um", align.UnitMil: "1.97 mil", align.UnitInch: "0.00197 in", align.UnitFoot: "0.000164 ft", align.UnitMetre: "0.00005 m",
	} {
		e := &evaluator{Record: &Record{Units: Units{Reading: u}}}
		assert.Equal(t, want, e.thickness(0.05*align.Millimetre))
	}
	e := &evaluator{Record: &Record{Units: Units{Reading: align.UnitMillimetre}}}
	assert.Equal(t, "none", e.leaves(nil))
	assert.Equal(t, "1 mm + 0.025 mm", e.leaves([]unit.Length{align.Millimetre, 0.025 * align.Millimetre}))
}

// Every answer in words has words of its own for what the packages can say.
func TestFindingWordsOfPackages(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range []string{"up", "down", "right", "left", "along", "back"} {
		assert.Equal(t, w, opposite[opposite[w]])
		assert.Equal(t, towards(w), towards(opposite[w]).Neg())
		assert.False(t, seen[wayWords(w)], w)
		seen[wayWords(w)] = true
	}
	assert.Equal(t, align.Rightward(), towards("right"))
	assert.Equal(t, align.Upward(), towards("up"))
	assert.Equal(t, align.AlongTrain(), towards("along"))
}
