package uncertainty

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Readings returns one source for each reading of a dial: what the scatter of a
// reading, or the division of the dial, leaves open each time it is read. A
// division is Resolution, scatter is Normal or Student; the axial float of a shaft
// under a face dial, free at every reading, is one more such source. The reading at the zero
// position is one of them: setting a dial to zero is a reading too. Scatter is
// Random; what a division leaves open is not, because the pointer stands at the
// same place when it is read again.
func Readings[J any](name string, d Distribution[unit.Length], job *J, dial func(*J) *align.Dial) []Source[J] {
	sweep := dial(job).Sweep
	out := make([]Source[J], len(sweep))
	for i := range sweep {
		out[i] = VaryWith(name+" at "+readingName(sweep, i), d, func(j *J, deviation unit.Length) {
			dial(j).Sweep[i].Value += deviation
		}).In(name)
		out[i].Random = d.Shape() != RectangularShape
	}
	return out
}

// readingName names a reading by its clock position, and by its number where one
// position was read more than once.
func readingName(s align.Sweep, i int) string {
	count := 1
	for k := range i {
		if s[k].At == s[i].At {
			count++
		}
	}
	if count > 1 {
		return s[i].At.String() + ", reading " + strconv.Itoa(count)
	}
	return s[i].At.String()
}

// ClockAngles returns one source for each clock position of a dial: how well the
// angle at which it was read is known. A closing reading stands where the first
// one did and moves with it.
func ClockAngles[J any](name string, d Distribution[align.Clock], job *J, dial func(*J) *align.Dial) []Source[J] {
	sweep := dial(job).Sweep
	n := len(sweep)
	closing := n > 1 && sweep[n-1].At == sweep[0].At
	if closing {
		n--
	}
	out := make([]Source[J], n)
	for i := range out {
		out[i] = VaryWith(name+" at "+readingName(sweep, i), d, func(j *J, deviation align.Clock) {
			s := dial(j).Sweep
			s[i].At += deviation
			if i == 0 && closing {
				s[len(s)-1].At += deviation
			}
		}).In(name).AsRandom()
	}
	return out
}

// SagTest returns the source of a sag test, as a roll-over reading. One bracket
// that carries several dials was tested once: give all of them, and their sag is
// wrong together. A dial whose sag was not measured is left alone.
func SagTest[J any](name string, d Distribution[unit.Length], dials ...func(*J) *align.Dial) Source[J] {
	return VaryWith(name, d, func(j *J, deviation unit.Length) {
		for _, dial := range dials {
			p := dial(j)
			if s, ok := p.Sag.RollOver(); ok {
				p.Sag = align.RollOver(s + deviation)
			}
		}
	}).AsRandom()
}

// Tape returns the source of a tape, or of any scale, that is wrong in
// proportion: every field is multiplied by one plus the deviation, all by the
// same.
func Tape[J any, Q ~float64](name string, relative Distribution[float64], fields ...func(*J) *Q) Source[J] {
	return VaryWith(name, relative, func(j *J, deviation float64) {
		for _, f := range fields {
			*f(j) *= Q(1 + deviation)
		}
	})
}

// Together returns the source that adds one and the same deviation to several
// fields: a common end of a tape, a thermometer that is off, one coefficient of
// expansion used for many supports.
func Together[J any, Q ~float64](name string, d Distribution[Q], fields ...func(*J) *Q) Source[J] {
	return VaryWith(name, d, func(j *J, deviation Q) {
		for _, f := range fields {
			*f(j) += deviation
		}
	})
}
