package record

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Length reads a field as a length in the given unit.
func (o Object) Length(name string, u align.Unit) unit.Length {
	v := o.Number(name)
	if o.r.err != nil {
		return 0
	}
	return unit.Length(u.SI(v))
}

// Place reads the fields station, height and lateral as a point of the frame.
func (o Object) Place(u align.Unit) align.Place {
	return align.Place{X: o.Length("station", u), Y: o.Length("height", u), Z: o.Length("lateral", u)}
}

// Direction reads a field as a word of the frame (up, down, right, left, along,
// back) or a clock position in hours: 1.5 is half way between 12 and 3 o'clock.
func (o Object) Direction(name string) align.Direction {
	v, ok := o.Need(name)
	if !ok {
		return align.Direction{}
	}
	word, isText := v.(string)
	if !isText {
		return align.ClockDirection(o.r.Hour(Join(o.path, name), v))
	}
	switch word {
	case "up":
		return align.Upward()
	case "down":
		return align.Upward().Neg()
	case "right":
		return align.Rightward()
	case "left":
		return align.Rightward().Neg()
	case "along":
		return align.AlongTrain()
	case "back":
		return align.AlongTrain().Neg()
	}
	o.r.Fail(Join(o.path, name), Show(v), "want up, down, right, left, along, back, or a clock position in hours")
	return align.Direction{}
}

// Hour reads v as a clock position in hours, 0 to 12.
func (r *Reader) Hour(field string, v any) align.Clock {
	h := r.Number(field, v)
	if r.err == nil && (h < 0 || h > 12) {
		r.Fail(field, Show(v)+" o'clock", "is not on the clock")
	}
	return align.Clock(30 * h)
}
