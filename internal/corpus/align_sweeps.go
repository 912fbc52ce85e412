package corpus

import (
	"fmt"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// alignSweeps are the computations on sweeps alone.
func alignSweeps() map[string]Computation {
	return map[string]Computation{
		"align.sweep-fit":         computation(sweepFit),
		"align.second-harmonic":   computation(secondHarmonic),
		"align.re-zero":           computation(reZero),
		"align.closure":           computation(closure),
		"align.total-reading":     computation(totalReading),
		"align.mean-of-sweeps":    computation(meanOfSweeps),
		"align.cancel-float":      computation(cancelFloat),
		"align.half-turn":         computation(halfTurn),
		"align.expected-sum-rule": computation(expectedSumRule),
	}
}

func indexed(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

type sweepInput struct {
	Sweep Sweep `json:"sweep"`
}

func sweepFit(in sweepInput) (r Result, err error) {
	f, err := align.Sweep(in.Sweep).Fit()
	if err != nil {
		return r, err
	}
	r.Length("constant", f.Constant)
	p := planes{f.VerticalKnown, f.HorizontalKnown}
	p.offset(&r, "harmonic", f.Offset())
	p.slope(&r, "arc-factor", align.Slope{Vertical: f.ArcVertical, Horizontal: f.ArcHorizontal})
	p.slope(&r, "variance", align.Slope{Vertical: f.Cov[0][0], Horizontal: f.Cov[1][1]})
	r.Ratio("covariance", f.Cov[0][1])
	r.Length("rms", f.RMS)
	r.Length("worst", f.Worst)
	r.Ratio("degrees-of-freedom", float64(f.DoF))
	return r, nil
}

func secondHarmonic(in sweepInput) (r Result, err error) {
	f, err := align.Sweep(in.Sweep).FitSecond()
	if err != nil {
		return r, err
	}
	r.Length("constant", f.Constant)
	r.Offset("harmonic", align.Offset{Vertical: f.Vertical, Horizontal: f.Horizontal})
	r.Length("second.cosine", f.Cos2)
	r.Length("second.sine", f.Sin2)
	r.Length("rms", f.RMS)
	r.Ratio("degrees-of-freedom", float64(f.DoF))
	return r, nil
}

type reZeroInput struct {
	Sweep Sweep   `json:"sweep"`
	At    float64 `json:"at"` // clock position in degrees
}

func reZero(in reZeroInput) (r Result, err error) {
	s := align.Sweep(in.Sweep)
	if err := s.Check(); err != nil {
		return r, err
	}
	if !align.IsFinite(in.At) {
		return r, fault("input.at", "", align.ErrNotFinite)
	}
	s, err = s.RezeroedAt(align.Clock(in.At))
	r.Sweep("reading", s)
	return r, err
}

// closure gives the closing difference and the sum rule, whichever the
// positions allow.
func closure(in sweepInput) (r Result, err error) {
	s := align.Sweep(in.Sweep)
	if err := s.Check(); err != nil {
		return r, err
	}
	c, closes := s.Closure()
	if closes {
		r.Length("closure", c)
	}
	sum, quarters := s.SumRule()
	if quarters {
		r.Length("sum-rule", sum)
	}
	if !closes && !quarters {
		return r, fault("input.sweep", "", align.ErrTooFewPositions)
	}
	return r, nil
}

func totalReading(in sweepInput) (r Result, err error) {
	s := align.Sweep(in.Sweep)
	if len(s) == 0 {
		return r, fault("input.sweep", "", align.ErrTooFewPositions)
	}
	if err := s.Check(); err != nil {
		return r, err
	}
	r.Length("total", unit.Length(s.TIR()))
	r.Length("offset", s.TIR().Offset())
	return r, nil
}

type meanInput struct {
	Sweeps []Sweep `json:"sweeps"`
	Limit  *Length `json:"limit"` // of the repeatability; no check when absent
}

func meanOfSweeps(in meanInput) (r Result, err error) {
	sweeps := make([]align.Sweep, len(in.Sweeps))
	for i, s := range in.Sweeps {
		sweeps[i] = align.Sweep(s)
	}
	mean, repeat, err := align.Mean(sweeps...)
	if err != nil {
		return r, err
	}
	r.Sweep("reading", mean)
	r.Length("repeatability", repeat)
	if in.Limit != nil {
		r.Warn(align.CheckRepeatability(repeat, in.Limit.Of())...)
	}
	return r, nil
}

type cancelFloatInput struct {
	A Sweep `json:"a"`
	B Sweep `json:"b"` // read while dial a stands at the positions of a
}

func cancelFloat(in cancelFloatInput) (r Result, err error) {
	face, axial, err := align.CancelFloat(align.Sweep(in.A), align.Sweep(in.B))
	if err != nil {
		return r, err
	}
	r.Sweep("face", face)
	for i, v := range axial {
		r.Length(fmt.Sprintf("axial.%d", i), v)
	}
	return r, nil
}

type halfTurnInput struct {
	Before offsetInput `json:"before"`
	After  offsetInput `json:"after"`
}

func halfTurn(in halfTurnInput) (r Result, err error) {
	h := align.HalfTurn{Before: in.Before.offset(), After: in.After.offset()}
	for _, v := range []unit.Length{h.Before.Vertical, h.Before.Horizontal, h.After.Vertical, h.After.Horizontal} {
		if err := align.CheckLength("input", v); err != nil {
			return r, err
		}
	}
	r.Offset("misalignment", h.Misalignment())
	r.Offset("hub-error", h.HubError())
	return r, nil
}

type expectedSumRuleInput struct {
	Dial dialInput `json:"dial"`
	Axis axisInput `json:"axis"`
}

func expectedSumRule(in expectedSumRuleInput) (r Result, err error) {
	d, err := in.Dial.dial("input.dial", align.Rim, true)
	if err != nil {
		return r, err
	}
	if err := d.Check(); err != nil {
		return r, err
	}
	a, err := in.Axis.axis("input.axis")
	if err != nil {
		return r, err
	}
	r.Length("expected", d.ExpectedSumRule(a))
	return r, nil
}
