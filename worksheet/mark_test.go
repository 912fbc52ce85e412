package worksheet

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// eachExercise runs f on n exercises of every kind, all difficulties in turn.
func eachExercise(t *testing.T, n int, f func(t *testing.T, e *Exercise)) {
	for _, k := range Kinds() {
		t.Run(k, func(t *testing.T) {
			for seed := range uint64(n) {
				e, err := Generate(k, seed, Difficulty(1+seed%3))
				require.NoError(t, err)
				f(t, e)
			}
		})
	}
}

// TestPlantedMistakes plants each mistake of the catalogue in random exercises:
// the planted one is always among those reported, alone in at least 95 % of the
// exercises in which mistakes can be told apart, and never anything on the right
// answers.
func TestPlantedMistakes(t *testing.T) {
	n := 200
	if testing.Short() {
		n = 12
	}
	for _, k := range Kinds() {
		t.Run(k, func(t *testing.T) {
			t.Parallel()
			planted := map[string]int{}
			clear, alone, apart := 0, 0, 0
			for seed := range uint64(n) {
				e, err := Generate(k, seed, Difficulty(1+seed%3))
				require.NoError(t, err)
				if e.Distinguishable {
					clear++
				}
				key, err := e.AnswersWith("")
				require.NoError(t, err)
				m, err := e.Mark(key, UsualCredits())
				require.NoError(t, err)
				assert.Empty(t, m.Diagnosis, "seed %d", seed)
				for _, o := range e.Occasions() {
					planted[o.Code]++
					answers, err := e.AnswersWith(o.Code)
					require.NoError(t, err)
					m, err := e.Mark(answers, UsualCredits())
					require.NoError(t, err)
					codes := codesOf(m.Diagnosis.Singles)
					require.Contains(t, codes, o.Code, "seed %d", seed)
					if e.Distinguishable {
						apart++
						if len(codes) == 1 {
							alone++
						}
					}
				}
			}
			t.Logf("%d of %d exercises distinguishable; %d of %d planted mistakes named alone", clear, n, alone, apart)
			assert.GreaterOrEqual(t, float64(alone), 0.95*float64(apart))
			assert.GreaterOrEqual(t, clear, n/2, "a kind whose mistakes can hardly be told apart teaches little")
			k, err := kindNamed(k)
			require.NoError(t, err)
			for _, m := range k.mistakes {
				assert.Positive(t, planted[m.Code], "%s is never given an occasion", m.Code)
			}
		})
	}
}

func codesOf(ms []Mistake) (out []string) {
	for _, m := range ms {
		out = append(out, m.Code)
	}
	return out
}

// TestCatalogue: sixty mistakes or more, fifteen kinds or more; a code always says
// the same.
func TestCatalogue(t *testing.T) {
	assert.GreaterOrEqual(t, len(Mistakes()), 60)
	assert.GreaterOrEqual(t, len(Kinds()), 15)
	says := map[string]string{}
	for _, k := range kinds() {
		codes := codesOf(k.mistakes)
		assert.Len(t, slices.Compact(slices.Sorted(slices.Values(codes))), len(codes), k.name)
		for _, m := range k.mistakes {
			assert.Regexp(t, `^[a-z][a-z0-9-]*$`, m.Code)
			assert.Contains(t, []int{1, 2, 3}, m.Rank, m.Code)
			if before, ok := says[m.Code]; ok {
				assert.Equal(t, before, fmt.Sprint(m.Says, m.Rank), m.Code)
			}
			says[m.Code] = fmt.Sprint(m.Says, m.Rank)
		}
	}
}

// numbers returns the asked steps that are neither words nor plans.
func numbers(e *Exercise) (out []*Step) {
	for _, st := range e.Sheet.asked() {
		if st.Choices == nil && st.Plan == nil {
			out = append(out, st)
		}
	}
	return out
}

// carriedOn answers an exercise the way learners do: every answer is worked out from
// earlier ones, each of them taken exact or as written down, and is rounded.
func carriedOn(t *testing.T, e *Exercise, rounded func() bool) map[string]string {
	t.Helper()
	answers, own := map[string]string{}, map[string]float64{}
	for _, st := range numbers(e) {
		taken := map[string]float64{}
		for id, v := range own {
			if rounded() {
				taken[id] = v
			}
		}
		answers[st.ID] = st.Text(e.Sheet.workWith(taken)[st.ID])
		a, err := ParseAnswer(st, answers[st.ID])
		require.NoError(t, err)
		own[st.ID] = a.Value
	}
	return answers
}

// TestLegalRounding: whoever rounds as asked is right, whether rounded figures or
// exact ones are carried on, or now one and now the other; and nothing is diagnosed.
func TestLegalRounding(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	ways := map[string]func() bool{
		"rounded": func() bool { return true }, "exact": func() bool { return false }, "now and then": func() bool { return r.IntN(2) == 0 },
	}
	n := 60
	if testing.Short() {
		n = 9
	}
	eachExercise(t, n, func(t *testing.T, e *Exercise) {
		for name, way := range ways {
			answers := carriedOn(t, e, way)
			m, err := e.Mark(answers, UsualCredits())
			require.NoError(t, err)
			for _, k := range m.Marks {
				if k.Given != "" {
					assert.Equal(t, Right, k.Verdict, "%s: %s, %s for %s", name, k.Step, k.Given, k.Key)
				}
			}
			assert.Empty(t, m.Diagnosis)
		}
	})
}

// TestFollowOn: one answer is spoiled and the rest worked out from it: nothing after
// it is called wrong.
func TestFollowOn(t *testing.T) {
	eachExercise(t, 12, func(t *testing.T, e *Exercise) {
		steps := numbers(e)
		spoiled := steps[0]
		own := map[string]float64{spoiled.ID: 1.37*e.Sheet.Work()[spoiled.ID] + 1000*spoiled.place()}
		answers := map[string]string{spoiled.ID: spoiled.Text(own[spoiled.ID])}
		for _, st := range steps[1:] {
			own[st.ID] = e.Sheet.workWith(own)[st.ID]
			answers[st.ID] = st.Text(own[st.ID])
		}
		m, err := e.Mark(answers, UsualCredits())
		require.NoError(t, err)
		for _, k := range m.Marks {
			if k.Given == "" || k.Step == spoiled.ID {
				continue
			}
			assert.Contains(t, []Verdict{Right, FollowOn}, k.Verdict, "%s: %s for %s", k.Step, k.Given, k.Key)
			assert.InDelta(t, 1, k.Credit, 0)
		}
	})
}

// TestWrongWay: the right size with the other word is half a mark.
func TestWrongWay(t *testing.T) {
	e, err := Generate("reverse-indicator", 1, Plain)
	require.NoError(t, err)
	key, err := e.AnswersWith("")
	require.NoError(t, err)
	id := "move.outboard.vertical"
	turned := strings.NewReplacer("raise", "lower", "lower", "raise").Replace(key[id])
	require.NotEqual(t, key[id], turned)
	key[id] = turned
	m, err := e.Mark(key, UsualCredits())
	require.NoError(t, err)
	i := slices.IndexFunc(m.Marks, func(k Mark) bool { return k.Step == id })
	assert.Equal(t, WrongWay, m.Marks[i].Verdict)
	assert.InDelta(t, 0.5, m.Marks[i].Credit, 0)
	assert.False(t, m.Full())
	assert.InDelta(t, m.Of-0.5, m.Credit, 1e-12)
}

// TestPairs: two mistakes made together are found when no single one explains the
// answers; the pair made is among those reported.
func TestPairs(t *testing.T) {
	found, tried := 0, 0
	for seed := range uint64(25) {
		e, err := Generate("reverse-indicator", seed, Plain)
		require.NoError(t, err)
		var one, other *way
		for i := range e.ways {
			switch e.ways[i].Code {
			case "sag-forgotten":
				one = &e.ways[i]
			case "inboard-for-outboard":
				other = &e.ways[i]
			}
		}
		require.NotNil(t, one)
		require.NotNil(t, other)
		s := e.Sheet.altered()
		require.True(t, one.alter(s) && other.alter(s))
		m, err := e.Mark(s.written(), UsualCredits())
		require.NoError(t, err)
		tried++
		assert.Empty(t, m.Diagnosis.Singles)
		if slices.ContainsFunc(m.Diagnosis.Pairs, func(p [2]Mistake) bool {
			return slices.Contains(codesOf(p[:]), one.Code) && slices.Contains(codesOf(p[:]), other.Code)
		}) {
			found++
		}
	}
	assert.Equal(t, tried, found)
}

// TestNoKnownMistake: figures out of the blue are not explained.
func TestNoKnownMistake(t *testing.T) {
	e, err := Generate("reverse-indicator", 4, Usual)
	require.NoError(t, err)
	answers := map[string]string{}
	for i, st := range numbers(e) {
		answers[st.ID] = st.Text(float64(7+3*i*i) * 0.0137 * 0.0254)
	}
	m, err := e.Mark(answers, UsualCredits())
	require.NoError(t, err)
	assert.True(t, m.Diagnosis.Unknown)
	assert.Empty(t, m.Diagnosis.Singles)
	assert.Empty(t, m.Diagnosis.Pairs)
}

func TestMarkRefuses(t *testing.T) {
	e, err := Generate("reverse-indicator", 1, Plain)
	require.NoError(t, err)
	_, err = e.Mark(map[string]string{"colour": "red"}, UsualCredits())
	require.ErrorIs(t, err, align.ErrMismatch)
	_, err = e.Mark(nil, Credits{WrongWay: 2})
	require.ErrorIs(t, err, align.ErrOutOfRange)
	m, err := e.Mark(map[string]string{"move.inboard.vertical": "lots"}, UsualCredits())
	require.NoError(t, err)
	assert.Zero(t, m.Credit)
	i := slices.IndexFunc(m.Marks, func(k Mark) bool { return k.Given != "" })
	assert.Equal(t, Unreadable, m.Marks[i].Verdict)
	_, err = Generate("knitting", 1, Plain)
	require.ErrorIs(t, err, align.ErrUnknownKind)
	_, err = Generate("reverse-indicator", 1, 0)
	require.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = NewExercise("reverse-indicator", nil)
	require.ErrorIs(t, err, align.ErrMissing)
	_, err = e.AnswersWith("no-such-mistake")
	require.ErrorIs(t, err, align.ErrMismatch)
}

// TestSameSeedSameExercise, and the printed sheets hold no stray markup.
func TestSameSeedSameExercise(t *testing.T) {
	eachExercise(t, 6, func(t *testing.T, e *Exercise) {
		again, err := NewExercise(e.Kind, e.Record)
		require.NoError(t, err)
		assert.Equal(t, e.Key(), again.Key())
		assert.Equal(t, e.Blank(), again.Blank())
		assert.NotContains(t, e.Blank(), "%!")
		assert.NotContains(t, e.Key(), "NaN")
		assert.NotContains(t, e.Key(), "%!")
		assert.Contains(t, e.Blank(), "lock out and tag")
		assert.Contains(t, e.BlankHTML(), "lock out and tag")
		assert.NotContains(t, e.BlankHTML(), "<script")
		assert.NotContains(t, e.BlankHTML(), "http")
		require.NoError(t, e.Record.Check())
	})
	a, err := Generate("rim-and-face", 5, Usual)
	require.NoError(t, err)
	b, err := Generate("rim-and-face", 5, Usual)
	require.NoError(t, err)
	assert.Equal(t, a.Key(), b.Key())
	c, err := Generate("rim-and-face", 6, Usual)
	require.NoError(t, err)
	assert.NotEqual(t, a.Key(), c.Key())
}

// FuzzMark: whatever is written in the answers, marking neither fails nor credits
// more than there is.
func FuzzMark(f *testing.F) {
	f.Add(uint64(1), "raise 4.5", "-3", "pass")
	f.Add(uint64(2), "1e300 ft", "0", "\xff")
	f.Fuzz(func(t *testing.T, seed uint64, a, b, c string) {
		names := Kinds()
		e, err := Generate(names[seed%uint64(len(names))], seed%50, Difficulty(1+seed%3))
		require.NoError(t, err)
		answers := map[string]string{}
		for i, st := range e.Sheet.asked() {
			answers[st.ID] = []string{a, b, c}[i%3]
		}
		m, err := e.Mark(answers, UsualCredits())
		require.NoError(t, err)
		require.GreaterOrEqual(t, m.Credit, 0.0)
		require.LessOrEqual(t, m.Credit, m.Of)
	})
}

func BenchmarkMarkReverseIndicator(b *testing.B) {
	e, err := Generate("reverse-indicator", 3, Usual)
	require.NoError(b, err)
	answers, err := e.AnswersWith("sag-forgotten")
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := e.Mark(answers, UsualCredits()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGenerate(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Generate("reverse-indicator", 3, Usual); err != nil {
			b.Fatal(err)
		}
	}
}
