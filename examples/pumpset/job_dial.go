package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/internal/record"
)

// The words a dial's record may use.
const (
	touchesRim  = "rim"
	touchesFace = "face-toward-bracket"
	touchesBack = "face-away-from-bracket"

	nearToFar = "near-to-far" // the recorder looked from the near machine to the far one
	farToNear = "far-to-near"

	turnedBoth    = "both"
	turnedBracket = "bracket-shaft"
	turnedTouched = "touched-shaft"

	sagRollOver = "roll-over"
	sagSingle   = "single-deflection"
	sagNone     = "none"         // known to be zero, or taken out of the readings already
	sagUnknown  = "not-measured" // taken as zero, with a warning
)

func (r *jobReader) dial(path string, i int, v any) (d dial) {
	o := r.Object(path, v, "name", "touches", "bracket", "station", "diameter", "turned", "runout", "recorded", "sag", "sets")
	d.Name = o.TextOr("name", fmt.Sprintf("dial %d", i+1))
	switch o.Word("touches", touchesRim, touchesFace, touchesBack) {
	case touchesFace:
		d.Surface = align.FaceToward
	case touchesBack:
		d.Surface = align.FaceAway
	}
	d.Bracket = r.shaft(o, "bracket")
	r.place(o, &d)
	r.turning(o, &d)
	d.against = o.Word("recorded", nearToFar, farToNear) == farToNear
	r.sag(o, &d)
	r.sets(o, &d)
	if d.against && d.Runout != nil {
		d.Runout.Horizontal = -d.Runout.Horizontal
	}
	return d
}

// place reads where the stem touches. A face dial needs the swept diameter; a
// rim dial may give that of the rim.
func (r *jobReader) place(o record.Object, d *dial) {
	d.Station = r.distance(o, "station")
	if d.Surface == align.Rim && !o.Has("diameter") {
		return
	}
	d.Diameter = r.distance(o, "diameter")
	if r.Err() == nil && d.Diameter < leastSpan {
		r.Fail(o.Path("diameter"), record.Show(o.Field("diameter"))+" "+string(r.job.length), "must be 1 mm or more")
	}
}

func (r *jobReader) turning(o record.Object, d *dial) {
	switch o.Word("turned", turnedBoth, turnedBracket, turnedTouched) {
	case turnedBracket:
		d.Turning = align.BracketShaft
	case turnedTouched:
		r.Fail(o.Path("turned"), record.Show(turnedTouched), align.ErrTouchedShaftOnly.Error())
	}
	if d.Turning == align.BracketShaft || o.Has("runout") {
		ro := o.Object("runout", "vertical", "horizontal")
		d.Runout = &align.Offset{Vertical: r.measured(ro, "vertical", maxReading), Horizontal: r.measured(ro, "horizontal", maxReading)}
	}
}

func (r *jobReader) sag(o record.Object, d *dial) {
	s := o.Object("sag", "test", "reading")
	d.sagTest = s.Word("test", sagRollOver, sagSingle, sagNone, sagUnknown)
	if r.Err() != nil {
		return
	}
	if d.sagTest == sagNone || d.sagTest == sagUnknown {
		if s.Has("reading") {
			r.Fail(s.Path("reading"), record.Show(s.Field("reading")), "stands beside a test that has no reading")
		}
		if d.sagTest == sagNone {
			d.Sag = align.NoSag()
		}
		return
	}
	d.sagReading = r.measured(s, "reading", maxReading)
	if d.sagTest == sagSingle {
		d.Sag = align.SingleDeflection(d.sagReading)
		return
	}
	d.Sag = align.RollOver(d.sagReading)
}

// sets reads the repeated sweeps. A record taken from the far end is mirrored
// here, at the edge, and nowhere else.
func (r *jobReader) sets(o record.Object, d *dial) {
	for i, v := range o.List("sets", 1) {
		field := fmt.Sprintf("%s[%d]", o.Path("sets"), i)
		rows, ok := v.([]any)
		if !ok {
			r.Fail(field, record.Show(v), "want a list of readings such as [6, -0.12]")
			return
		}
		s := make(align.Sweep, 0, len(rows))
		for k, row := range rows {
			s = append(s, r.pair(fmt.Sprintf("%s[%d]", field, k), row))
		}
		if r.Err() != nil {
			return
		}
		if len(s) == 0 {
			r.Fail(field, "", "has no readings")
			return
		}
		d.sets = append(d.sets, s)
	}
	if r.Err() != nil {
		return
	}
	if d.against {
		for i := range d.sets {
			d.sets[i] = mirrored(d.sets[i])
		}
	}
	r.mean(o.Where(), d)
}

// mean takes the mean of the sets. The zero of a dial may stand anywhere; the
// report counts from the first reading.
func (r *jobReader) mean(path string, d *dial) {
	for i, s := range d.sets[1:] {
		field := fmt.Sprintf("%s.sets[%d]", path, i+1)
		if len(s) != len(d.sets[0]) {
			r.Fail(field, fmt.Sprintf("a list of %d", len(s)), "must hold the clock positions of the first set, in the same order")
			return
		}
		for k := range s {
			if s[k].At != d.sets[0][k].At {
				r.Fail(fmt.Sprintf("%s[%d][0]", field, k), "", "must be the clock position of the first set")
				return
			}
		}
	}
	mean, repeatability, err := align.Mean(d.sets...)
	if err != nil {
		r.Set(record.FromLibrary(align.In(err, path)))
		return
	}
	d.repeatability = repeatability
	if d.Sweep, err = mean.Rezeroed(0); err != nil {
		r.Set(record.FromLibrary(align.In(err, path)))
	}
}

// mirrored is Sweep.Mirrored with every position between 0 and 360 degrees.
func mirrored(s align.Sweep) align.Sweep {
	out := s.Mirrored()
	for i := range out {
		out[i].At = out[i].At.Normal()
	}
	return out
}

// pair reads [hour, reading].
func (r *jobReader) pair(field string, v any) align.Reading {
	p, ok := v.([]any)
	if !ok || len(p) != 2 {
		r.Fail(field, record.Show(v), "want a pair of hour and reading such as [6, -0.12]")
		return align.Reading{}
	}
	hour := r.Number(field+"[0]", p[0])
	if r.Err() == nil && !(hour >= 0 && hour <= 12) {
		r.Fail(field+"[0]", record.Show(p[0])+" o'clock", "must be an hour from 0 to 12")
	}
	value := r.Number(field+"[1]", p[1])
	return align.Reading{
		At:    align.OClock(hour).Normal(),
		Value: r.lengthOf(field+"[1]", value, r.job.reading, maxReading),
	}
}
