package worksheet

import (
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var milMove = &Step{ID: "move", Unit: align.UnitMil, Decimals: 1, Sense: RaiseLower, Asked: true}

func TestParseAnswer(t *testing.T) {
	pass := &Step{ID: "verdict", Choices: []string{"pass", "fail"}}
	side := &Step{ID: "side", Unit: align.UnitMillimetre, Decimals: 2, Sense: RightLeft}
	warm := &Step{ID: "rise", Unit: align.UnitFahrenheitRise, Decimals: 0}
	for _, c := range []struct {
		st   *Step
		text string
		want float64 // SI
	}{
		{milMove, "4.5", 4.5 * 25.4e-6},
		{milMove, " -4.5 ", -4.5 * 25.4e-6},
		{milMove, "+4.5 mil", 4.5 * 25.4e-6},
		{milMove, "0.1 mm", 0.1e-3},
		{milMove, "Raise 4.5", 4.5 * 25.4e-6},
		{milMove, "4.5 mil add", 4.5 * 25.4e-6},
		{milMove, "take out 4.5 mil", -4.5 * 25.4e-6},
		{milMove, "0", 0},
		{side, "0.05 toward 9 o'clock", -0.05e-3},
		{side, "left 0.05 mm", -0.05e-3},
		{side, "2 mil right", 2 * 25.4e-6},
		{warm, "180", 100},
		{warm, "100 degc-rise", 100},
		{pass, "PASS", 0},
		{pass, " fail ", 1},
	} {
		a, err := ParseAnswer(c.st, c.text)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.want, a.Value, 1e-15+1e-12*math.Abs(c.want), c.text)
	}
	for _, c := range []struct {
		st   *Step
		text string
	}{
		{milMove, ""}, {milMove, "four"}, {milMove, "4,5"}, {milMove, "4.5 furlongs"}, {milMove, "4.5 degC"}, {milMove, "NaN"}, {milMove, "1e999"},
		{milMove, "raise -4.5"}, {milMove, "raise"}, {milMove, "0x1p-2"}, {milMove, "1_000"}, {milMove, strings.Repeat("9", 600)},
		{pass, "maybe"}, {pass, "0"},
	} {
		_, err := ParseAnswer(c.st, c.text)
		require.ErrorIs(t, err, ErrUnreadable, c.text)
		var in *align.InputError
		require.ErrorAs(t, err, &in)
		assert.Equal(t, c.st.ID, in.Field)
	}
}

func TestParsePlan(t *testing.T) {
	st := &Step{ID: "plan", Unit: align.UnitMillimetre, Decimals: 2, Plan: []string{"inboard", "outboard"}}
	a, err := ParseAnswer(st, "Inboard = 0.10; outboard=-2 mil;")
	require.NoError(t, err)
	assert.InDelta(t, 0.1e-3, a.Plan["inboard"], 1e-15)
	assert.InDelta(t, -50.8e-6, a.Plan["outboard"], 1e-15)
	for text, want := range map[string]error{
		"inboard=0.1":                          align.ErrMissing,
		"inboard=0.1; inboard=0.2; outboard=0": ErrUnreadable,
		"inboard=0.1; middle=0.2":              ErrUnreadable,
		"0.1; 0.2":                             ErrUnreadable,
		"inboard=a lot; outboard=0":            ErrUnreadable,
	} {
		_, err := ParseAnswer(st, text)
		assert.ErrorIs(t, err, want, text)
	}
}

// TestTextIsReadBack: what Text writes, ParseAnswer reads to the last place.
func TestTextIsReadBack(t *testing.T) {
	for _, v := range []float64{0, 1e-9, -1e-9, 12.34e-6, -12.34e-6, 1e-3, -3.21e-3} {
		for _, sense := range []Sense{NoSense, HighLow, RaiseLower, RightLeft, WiderCloser} {
			st := &Step{ID: "x", Unit: align.UnitMil, Decimals: 2, Sense: sense}
			a, err := ParseAnswer(st, st.Text(v))
			require.NoError(t, err, st.Text(v))
			assert.InDelta(t, v, a.Value, st.place()/2*(1+1e-9), st.Text(v))
		}
	}
}

// FuzzParseAnswer: any text is read or refused with the step named; what is read
// is finite.
func FuzzParseAnswer(f *testing.F) {
	for _, s := range []string{"4.5", "raise 4.5 mil", "pass", "inboard=1;outboard=2", "-1e-300", "take out 1e300 ft", "\x00", "toward 3"} {
		f.Add(s, uint8(0))
		f.Add(s, uint8(2))
	}
	f.Fuzz(func(t *testing.T, text string, sense uint8) {
		steps := []*Step{
			{ID: "n", Unit: align.UnitMil, Sense: Sense(sense % 5)},
			{ID: "c", Choices: []string{"pass", "fail"}},
			{ID: "p", Unit: align.UnitMillimetre, Plan: []string{"inboard", "outboard"}},
		}
		for _, st := range steps {
			a, err := ParseAnswer(st, text)
			if err != nil {
				var in *align.InputError
				require.ErrorAs(t, err, &in)
				continue
			}
			require.True(t, align.IsFinite(a.Value))
			for _, v := range a.Plan {
				require.True(t, align.IsFinite(v))
			}
		}
	})
}
