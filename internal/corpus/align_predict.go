package corpus

import "collinear.example/align"

// alignPredictions are the readings a dial would show.
func alignPredictions() map[string]Computation {
	return map[string]Computation{"align.predict": computation(predict)}
}

type predictInput struct {
	Dial  dialInput   `json:"dial"`
	Axis  axisInput   `json:"axis"`
	Spool *spoolInput `json:"spool"`
	Zero  float64     `json:"zero"`            // clock position in degrees
	At    []float64   `json:"at"`              // clock positions in degrees
	Exact bool        `json:"exact,omitempty"` // the stem rides on the round rim
}

func predict(in predictInput) (r Result, err error) {
	d, err := in.Dial.dial("input.dial", align.Rim, false)
	if err != nil {
		return r, err
	}
	a, err := in.Axis.axis("input.axis")
	if err != nil {
		return r, err
	}
	at := make([]align.Clock, len(in.At))
	for i, c := range in.At {
		at[i] = align.Clock(c)
	}
	f := d.Predict
	if in.Exact {
		f = d.PredictExact
	}
	s, err := f(a, in.Spool.spool(), align.Clock(in.Zero), at...)
	if err != nil {
		return r, err
	}
	r.Sweep("reading", s)
	return r, nil
}
