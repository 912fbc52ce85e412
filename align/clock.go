package align

import (
	"math"
	"strconv"
)

// Clock is a position on the clock face seen by a person who looks along +x
// (from the first machine of the train to the last), in degrees clockwise from
// 12 o'clock. Degrees keep the quarter positions exact. 12 o'clock is up (+y),
// 3 o'clock is to the right (+z).
//
// A record taken by someone who looks the other way is turned at the edge with
// Sweep.Mirrored.
type Clock float64

// The quarter positions.
const (
	Twelve Clock = 0
	Three  Clock = 90
	Six    Clock = 180
	Nine   Clock = 270
)

// OClock returns the position of an hour on the clock face: OClock(4.5) is
// halfway between 4 and 5.
func OClock(hour float64) Clock { return Clock(30 * hour) }

// Unit returns the unit vector from the shaft centre toward the clock position:
// n = (cos t, sin t), up and to the right. Quarter positions are exact.
func (c Clock) Unit() (up, right float64) {
	if !(c >= 0 && c < 360) {
		c = c.Normal()
	}
	switch c {
	case 0:
		return 1, 0
	case 90:
		return 0, 1
	case 180:
		return -1, 0
	case 270:
		return 0, -1
	}
	right, up = math.Sincos(float64(c) * (math.Pi / 180))
	return up, right
}

// Normal returns the same position between 0 (included) and 360 degrees.
func (c Clock) Normal() Clock {
	if c >= 0 && c < 360 {
		return c
	}
	d := math.Mod(float64(c), 360)
	if d < 0 {
		d += 360
	}
	if d >= 360 { // a tiny negative angle rounds up to a full turn
		d = 0
	}
	return Clock(d)
}

// Mirrored returns the position as seen from the other end of the train.
func (c Clock) Mirrored() Clock { return (-c).Normal() }

// Hour returns the hour on the clock face, 12 for the top, to the given
// fraction of an hour.
func (c Clock) Hour() float64 {
	h := float64(c.Normal()) / 30
	if h == 0 {
		return 12
	}
	return h
}

// String returns the position as an hour, such as "4.5 o'clock".
func (c Clock) String() string {
	h := math.Round(c.Hour()*10) / 10
	if h == 0 {
		h = 12
	}
	return strconv.FormatFloat(h, 'f', -1, 64) + " o'clock"
}

// clockOf returns the position toward which (up, right) points.
func clockOf(up, right float64) Clock {
	return Clock(math.Atan2(right, up) * (180 / math.Pi)).Normal()
}
