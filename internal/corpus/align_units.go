package corpus

import "collinear.example/align"

// alignUnits are the conversions.
func alignUnits() map[string]Computation {
	return map[string]Computation{
		"align.convert": computation(convert),
		"align.clock":   computation(clock),
	}
}

type convertInput struct {
	Value Quantity `json:"value"`
	To    UnitName `json:"to"`
}

// convert gives the value with its dimension, and number, the bare number in
// the unit asked for.
func convert(in convertInput) (r Result, err error) {
	to, from := align.Unit(in.To), in.Value.Unit
	if to.Dimension() != from.Dimension() {
		return r, fault("input.to", string(to), align.ErrWrongUnit)
	}
	if !align.IsFinite(in.Value.Number) {
		return r, fault("input.value", "", align.ErrNotFinite)
	}
	r.Number("value", in.Value.SI, from.Dimension())
	r.Ratio("number", to.FromSI(in.Value.SI))
	return r, nil
}

type clockInput struct {
	Hour float64 `json:"hour"`
}

// clock gives the direction of an hour on the clock face.
func clock(in clockInput) (r Result, err error) {
	if !align.IsFinite(in.Hour) {
		return r, fault("input.hour", "", align.ErrNotFinite)
	}
	c := align.OClock(in.Hour)
	if !align.IsFinite(c) {
		return r, fault("input.hour", "", align.ErrOutOfRange)
	}
	up, right := c.Unit()
	r.Ratio("degrees", float64(c.Normal()))
	r.Ratio("up", up)
	r.Ratio("right", right)
	return r, nil
}
