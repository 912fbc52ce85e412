package worksheet

import (
	"fmt"
	"math"

	"collinear.example/align"
)

// dialHours are the four usual clock positions in the order of a sweep.
var dialHours = [4]string{"12", "3", "6", "9"}

// dialQuarters are the readings of a dial at 12, 3, 6 and 9 o'clock as they were
// written down, and the closing reading where there is one. Readings at other
// positions have no place on a worksheet.
type dialQuarters struct {
	value   [4]float64
	read    [4]bool
	closing *float64
}

// dialQuartersOf sorts the readings of a dial. Of a position that was read twice the
// first counts; the last one closes the sweep when it stands where the sweep began.
func dialQuartersOf(d *Dial) (q dialQuarters) {
	for i := range d.Readings {
		at, value := d.Readings[i].At, d.Readings[i].Value
		k := math.Mod(at, 360) / 90
		if k < 0 {
			k += 4
		}
		n := int(math.Mod(k, 4))
		if !align.IsFinite(at) || k != math.Trunc(k) {
			continue
		}
		if i > 0 && i == len(d.Readings)-1 && math.Mod(at-d.Readings[0].At, 360) == 0 {
			q.closing = &value
		}
		if !q.read[n] {
			q.value[n], q.read[n] = value, true
		}
	}
	return q
}

// sides counts the readings at 3 and 9 o'clock.
func (q *dialQuarters) sides() (n int) {
	for _, i := range [2]int{1, 3} {
		if q.read[i] {
			n++
		}
	}
	return n
}

// need fails unless the dial was read at every one of the positions, counted in
// quarters from 12.
func (q *dialQuarters) need(path string, positions ...int) error {
	for _, i := range positions {
		if !q.read[i] {
			return fault(path+".readings", "no reading at "+dialHours[i]+" o'clock", align.ErrMissing)
		}
	}
	return nil
}

// sideSign is -1 for a record of a person who looks from the far machine to the
// near one, whose 3 o'clock is 9 o'clock of the train.
func sideSign(d *Dial) float64 {
	if d.Against {
		return -1
	}
	return 1
}

// seenFrom says who wrote the record when it was not the usual person.
func seenFrom(d *Dial) string {
	if d.Against {
		return " (clock of a person who looks the other way, from the last machine to the first)"
	}
	return ""
}

// dialPath names a dial of a set in a message.
func dialPath(set, dial int) string { return fmt.Sprintf("sets[%d].dials[%d]", set, dial) }

// givenDial puts the readings of a dial at the quarter positions on the sheet.
func givenDial(m *sheetMaker, u Units, id, says string, d *Dial) {
	q := dialQuartersOf(d)
	for i, name := range dialHours {
		if q.read[i] {
			m.given(id+"."+name, says+", reading at "+name+" o'clock"+seenFrom(d), u.reading(q.value[i]), u.Reading, u.readingDecimals())
		}
	}
}

// givenSag puts the sag of a dial's bracket on the sheet, as a roll-over reading.
func givenSag(m *sheetMaker, r *Record, id, says, path string, d *Dial) error {
	s, ok := r.sagOf(d.Bracket)
	if !ok {
		return fault(path+".bracket", d.Bracket, align.ErrMissing)
	}
	m.given(id+".sag", says+", sag of its bracket (roll-over, zero at 12, read at 6)", s, r.Units.Reading, r.Units.readingDecimals())
	return nil
}

// trueLine is an invented position of the second shaft against the first, in
// micrometres at station 0 and micrometres per millimetre.
type trueLine struct{ up, right, upSlope, rightSlope float64 }

// line invents a position that a coarse alignment leaves.
func (v inventor) line() trueLine {
	size := func(lo, hi float64) float64 {
		x := lo + (hi-lo)*v.Float64()
		if v.IntN(2) == 0 {
			return -x
		}
		return x
	}
	return trueLine{size(60, 300), size(60, 300), size(0.25, 0.9), size(0.25, 0.9)}
}

// at returns the offset in micrometres at a station in millimetres.
func (l trueLine) at(mm float64) (up, right float64) {
	return l.up + l.upSlope*mm, l.right + l.rightSlope*mm
}

// mm turns a length in the unit of lengths into millimetres.
func (v inventor) mm(length float64) float64 {
	if v.inch {
		return length * 25.4
	}
	return length
}

// um turns a reading in the unit of readings into micrometres.
func (v inventor) um(reading float64) float64 {
	if v.inch {
		return reading * 25.4
	}
	return reading * 1000
}

// tidy takes the noise of binary fractions out of a sum of readings.
func tidy(reading float64) float64 { return math.Round(reading*1000) / 1000 }

// sweep returns what a dial would show whose first harmonic is (up, right)
// micrometres, on a bracket whose roll-over sag is given in the unit of readings,
// with the dial set to top at 12. Top plus bottom equals left plus right.
func (v inventor) sweep(up, right, sag, top float64, planes int) []Reading {
	bottom := v.division(-2*up + v.um(sag))
	side := v.division(right - up + v.um(sag)/2)
	if planes == 1 {
		return []Reading{{0, top}, {180, tidy(top + bottom)}}
	}
	return []Reading{{0, top}, {90, tidy(top + side)}, {180, tidy(top + bottom)}, {270, tidy(top + bottom - side)}}
}
