package corpus

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"sync"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

const testdata = "../../testdata"

// stored is the corpus, read once for all tests; none of them changes it.
var stored = sync.OnceValues(func() (*Corpus, error) { return Load(os.DirFS(testdata)) })

func load(t testing.TB) *Corpus {
	t.Helper()
	c, err := stored()
	require.NoError(t, err)
	return c
}

// vectors returns the vectors of the corpus. With -short those of long random
// series are left out, but for a few: the race detector is slow and they are all
// alike to it.
func vectors(t testing.TB) []*Vector {
	t.Helper()
	all := load(t).Vectors()
	if !testing.Short() {
		return all
	}
	var out []*Vector
	for _, v := range all {
		if !alike(v) {
			out = append(out, v)
		}
	}
	return out
}

// TestMain prints how many vectors there are of each kind, so that nobody has
// to take the number from a page.
func TestMain(m *testing.M) {
	if c, err := stored(); err == nil {
		fmt.Println(Count(c))
	}
	os.Exit(m.Run())
}

func TestLint(t *testing.T) {
	for _, fault := range Lint(load(t)) {
		t.Error(fault)
	}
}

func TestVectors(t *testing.T) {
	computations := Computations()
	for _, v := range vectors(t) {
		t.Run(v.ID, func(t *testing.T) {
			if o := Run(v, computations); !o.Passed() {
				t.Errorf("%s\n%s", v.Title, o.Failures())
			}
		})
	}
}

// Package align computes in closed form, so its answers must agree with the
// exact values to the last digits, however coarse the printed figures are. The
// one formula that is approximate by intent is named.
func TestExactDigits(t *testing.T) {
	approximate := map[string]bool{"align.expected-sum-rule": true}
	computations := Computations()
	for _, v := range vectors(t) {
		if v.MustFail() || approximate[v.Computation] || !strings.HasPrefix(v.Computation, "align.") {
			continue
		}
		for _, c := range Run(v, computations).Checks {
			if math.Abs(c.Difference) > 1e-8 {
				t.Errorf("%s %s: off by %g", v.ID, c.Name, c.Difference)
			}
		}
	}
}

// Every computation is exercised by a vector that succeeds.
func TestEveryComputationHasVectors(t *testing.T) {
	used := map[string]bool{}
	for _, v := range vectors(t) {
		if !v.MustFail() {
			used[v.Computation] = true
		}
	}
	for _, name := range Names() {
		if !used[name] {
			t.Errorf("%s has no vector", name)
		}
	}
}

// The page for strangers names every code and kind that the vectors use.
func TestReadmeNamesEveryCode(t *testing.T) {
	page, err := os.ReadFile(testdata + "/README.md")
	require.NoError(t, err)
	has := func(what, word string) {
		if !strings.Contains(string(page), "`"+word+"`") {
			t.Errorf("README.md does not name the %s %s", what, word)
		}
	}
	for _, v := range vectors(t) {
		if v.MustFail() {
			has("error", v.Error)
		}
		for _, w := range v.Warnings {
			has("warning", w)
		}
		has("computation", v.Computation)
	}
	for _, k := range Kinds() {
		has("kind", k)
	}
	for _, k := range KnownWays() {
		has("way of knowing", k)
	}
}

// A vector whose answer is changed must fail, so that the harness itself is
// known to bite.
func TestWrongAnswersAreCaught(t *testing.T) {
	computations := Computations()
	for _, v := range vectors(t) {
		w := *v
		switch {
		case v.MustFail():
			w.Error = "some-other-code"
		case v.Expect[0].Exact == nil:
			continue
		default:
			w.Expect = append([]Expectation(nil), v.Expect...)
			allowed, ok := w.Expect[0].Allowed()
			require.True(t, ok, v.ID)
			moved := *w.Expect[0].Exact + 3*allowed + 1e-6
			w.Expect[0].Exact = &moved
		}
		if Run(&w, computations).Passed() {
			t.Errorf("%s passes with a wrong answer", v.ID)
		}
	}
}

func TestRunSpeaksOfWhatIsWrong(t *testing.T) {
	one, half := 1.0, 0.5
	v := Vector{
		Computation: "align.line-at",
		Input:       json.RawMessage(`{"line":{"offset":[1,"mm"],"slope":[0,"1"]},"at":[0,"in"]}`),
		Expect: []Expectation{
			{Name: "offset", Exact: &one, Unit: "mm", Tolerance: &half, Reason: "test"},
			{Name: "offset", Exact: &one, Unit: "mil", Tolerance: &half, Reason: "test"},
			{Name: "offset", Exact: &one, Unit: "deg", Tolerance: &half, Reason: "test"},
			{Name: "verdict", Text: "pass"},
			{Name: "offset", Text: "pass"},
		},
		Warnings: []string{"closure"},
	}
	o := Run(&v, Computations())
	require.False(t, o.Passed())
	require.Len(t, o.Checks, 6)
	require.True(t, o.Checks[0].Passed)
	for _, c := range o.Checks[1:] {
		require.False(t, c.Passed, c.Name)
		require.NotEmpty(t, c.Message)
	}
	v.Expect, v.Error, v.Warnings = nil, "not-finite", nil
	require.Contains(t, Run(&v, Computations()).Failures(), "want error not-finite")
	v.Computation = "align.nothing"
	require.Contains(t, Run(&v, Computations()).Failures(), "no computation")
	v.Computation, v.Error = "align.line-at", ""
	v.Input = json.RawMessage(`{}`)
	require.Contains(t, Run(&v, Computations()).Failures(), "missing")
}

func TestSIName(t *testing.T) {
	for _, d := range []align.Dimension{
		align.LengthDim, align.RatioDim, align.AngleDim, align.TemperatureDim, align.RiseDim, align.FrequencyDim,
		align.ExpansionDim, align.MassDim, align.PressureDim, align.ForceDim, align.MomentDim, align.UnbalanceDim,
		align.VelocityDim, align.TimeDim,
	} {
		u, err := align.ParseUnit(SIName(d))
		require.NoError(t, err)
		require.Equal(t, d, u.Dimension())
		require.Equal(t, 1.0, u.SI(1)-u.SI(0))
	}
	require.Empty(t, SIName(align.NoDimension))
}
