package softfoot_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/require"
)

func allSound() []softfoot.Observation {
	var out []softfoot.Observation
	for _, i := range softfoot.Items() {
		out = append(out, softfoot.Observation{Item: i, Finding: softfoot.Sound})
	}
	return out
}

func TestChecklist(t *testing.T) {
	c := softfoot.Checklist{Observations: allSound()}
	r, err := c.Judge()
	require.NoError(t, err)
	require.True(t, r.Complete)
	require.Equal(t, softfoot.Proceed, r.Outcome)
	require.Nil(t, r.Mass)

	c.Observations = append(c.Observations, softfoot.Observation{Item: softfoot.GroutVoids, Finding: softfoot.Slight, Place: "pad 2"})
	r, err = c.Judge()
	require.NoError(t, err)
	require.Equal(t, softfoot.Watch, r.Outcome)
	require.Len(t, r.Watch, 1)

	c.Observations = append(c.Observations, softfoot.Observation{Item: softfoot.Rust, Finding: softfoot.Slight})
	r, err = c.Judge()
	require.NoError(t, err)
	require.Equal(t, softfoot.Repair, r.Outcome)
	require.Equal(t, softfoot.Rust, r.Repair[0].Item)
}

// What nobody looked at is never sound.
func TestNotLookedAtIsMissing(t *testing.T) {
	obs := allSound()
	obs[3].Finding = softfoot.NotLookedAt
	r, err := softfoot.Checklist{Observations: obs}.Judge()
	require.NoError(t, err)
	require.False(t, r.Complete)
	require.Equal(t, []softfoot.Item{obs[3].Item}, r.Missing)
	_, err = obs[3].Outcome()
	require.Equal(t, "missing", align.CodeOf(err))
	r, err = softfoot.Checklist{}.Judge()
	require.NoError(t, err)
	require.Equal(t, softfoot.Items(), r.Missing)
}

func TestFoundation(t *testing.T) {
	f := softfoot.Foundation{Block: 3000, Machines: 1000}
	v, err := f.Judge()
	require.NoError(t, err)
	require.Equal(t, softfoot.Proceed, v.Outcome)
	f.Kind = softfoot.Reciprocating
	v, err = f.Judge()
	require.NoError(t, err)
	require.Equal(t, softfoot.Watch, v.Outcome)
	require.Equal(t, 5.0, v.Least)
	r, err := softfoot.Checklist{Observations: allSound(), Foundation: &f}.Judge()
	require.NoError(t, err)
	require.Equal(t, softfoot.Watch, r.Outcome)
	require.Equal(t, 3.0, r.Mass.Ratio)
}

func TestChecklistFaults(t *testing.T) {
	for _, c := range []struct {
		code string
		c    softfoot.Checklist
	}{
		{"unknown-kind", softfoot.Checklist{Observations: []softfoot.Observation{{Item: "paint"}}}},
		{"unknown-kind", softfoot.Checklist{Observations: []softfoot.Observation{{Item: softfoot.Rust, Finding: 9}}}},
		{"out-of-range", softfoot.Checklist{Foundation: &softfoot.Foundation{Block: 1}}},
		{"not-finite", softfoot.Checklist{Foundation: &softfoot.Foundation{Block: math.Inf(1), Machines: 1}}},
		{"unknown-kind", softfoot.Checklist{Foundation: &softfoot.Foundation{Kind: 4, Block: 1, Machines: 1}}},
	} {
		_, err := c.c.Judge()
		require.Equal(t, c.code, align.CodeOf(err))
	}
	require.Equal(t, "repair", softfoot.Repair.String())
	require.Equal(t, "outcome(9)", softfoot.Outcome(9).String())
}
