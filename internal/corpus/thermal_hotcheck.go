package corpus

import (
	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// thermalHotCheckComputations are about readings taken while a machine cools.
func thermalHotCheckComputations() map[string]Computation {
	return map[string]Computation{"thermal.hot-check": computation(hotCheck)}
}

// Time is a time in an input, written [20, "min"].
type Time unit.Time

func (t *Time) fromTree(path string, v any) error {
	_, si, err := quantityOf(path, v, align.TimeDim)
	*t = Time(si)
	return err
}

func (t Time) of() unit.Time { return unit.Time(t) }

type coolReadingInput struct {
	After Time   `json:"after"`
	Value Length `json:"value"`
}

type hotCheckInput struct {
	Readings []coolReadingInput `json:"readings"`
	Sigma    *Length            `json:"sigma"` // of one reading; from the scatter when absent
	At       *Time              `json:"at"`    // a time at which the curve is wanted too
}

func hotCheck(in hotCheckInput) (r Result, err error) {
	h := thermal.HotCheck{Sigma: in.Sigma.Of()}
	for _, v := range in.Readings {
		h.Readings = append(h.Readings, thermal.CoolReading{After: v.After.of(), Value: v.Value.Of()})
	}
	c, err := h.Solve()
	if err != nil {
		return r, err
	}
	r.Length("at-stop", c.AtStop)
	r.Length("final", c.Final)
	r.Number("constant", float64(c.Constant), align.TimeDim)
	r.Ratio("degrees-of-freedom", float64(c.DegreesOfFreedom))
	r.Length("rms", c.RMS)
	if s := c.Sigma; s != nil {
		r.Length("sigma.at-stop", s.AtStop)
		r.Length("sigma.final", s.Final)
		r.Number("sigma.constant", float64(s.Constant), align.TimeDim)
	}
	if in.At != nil {
		r.Length("value", c.At(in.At.of()))
	}
	r.Warn(c.Warnings...)
	return r, nil
}
