package piping_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
)

// A result that no test has made holds nothing, and nothing panics on it.
func TestEmptyResult(t *testing.T) {
	for _, r := range []*piping.StrainResult{{}, {Steps: make([]piping.StepResult, 1)}} {
		m := r.Final()
		assert.Empty(t, m.Residuals())
		assert.Empty(t, m.Predicted())
		assert.Empty(t, m.Feet())
		assert.Empty(t, m.Nozzles())
		assert.Empty(t, m.Shaft().At)
		_, err := r.JudgeAll()
		assert.ErrorIs(t, err, align.ErrMissing)
	}
	m := piping.Movements{Indicators: []piping.Reading{{Given: true, Value: 1}}}
	assert.Equal(t, []align.Movement{0}, m.Residuals())
	assert.Len(t, m.Predicted(), 1)
}
