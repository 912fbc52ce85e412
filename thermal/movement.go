package thermal

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Cause says why a shaft stands elsewhere when it runs than when it was read.
type Cause uint8

// Causes of movement.
const (
	OtherCause    Cause = iota // none of those below
	CauseGrowth                // thermal growth of supports and casing
	CauseOilFilm               // the journal lifts on its oil film
	CauseGearLoad              // tooth load pushes the shaft through its bearing clearance
	CausePipe                  // hot or pressurised pipe pushes the machine
	CausePressure              // pressure or vacuum inside the casing, weight of its contents
)

// String returns the cause in lower case.
func (c Cause) String() string {
	switch c {
	case OtherCause:
		return "other"
	case CauseGrowth:
		return "growth"
	case CauseOilFilm:
		return "oil film"
	case CauseGearLoad:
		return "gear load"
	case CausePipe:
		return "pipe"
	case CausePressure:
		return "pressure"
	}
	return fmt.Sprintf("cause(%d)", uint8(c))
}

// Contribution is one part of the movement of a shaft at one station, off-line
// to running: up and to the right positive.
type Contribution struct {
	Cause  Cause
	Name   string // in the words of the record, may be empty
	Offset align.Offset
}

// StationMovement is how far a shaft moves at one station from off-line to
// running, cause by cause. Small movements add:
//
//	movement = sum of contributions, in each plane
//
// (superposition; for gears see Bloch and Geitner, Major Process Equipment
// Maintenance and Repair, pp. 247-250: running centre is cold centre plus
// housing growth plus shift inside the bearing clearance).
type StationMovement struct {
	Station       unit.Length
	Contributions []Contribution // none: the station stays where it is
}

// Total returns the sum of all contributions. Each must be finite and less than
// ten metres, or it is an error.
func (m StationMovement) Total() (align.Offset, error) {
	if err := boundedStation("station", m.Station); err != nil {
		return align.Offset{}, err
	}
	var sum align.Offset
	for i := range m.Contributions {
		c := &m.Contributions[i]
		if err := c.check(); err != nil {
			return align.Offset{}, align.In(err, fmt.Sprintf("contributions[%d]", i))
		}
		sum = sum.Add(c.Offset)
	}
	return sum, nil
}

// Of returns the sum of the contributions of one cause.
func (m StationMovement) Of(cause Cause) (align.Offset, error) {
	var only StationMovement
	only.Station = m.Station
	for _, c := range m.Contributions {
		if c.Cause == cause {
			only.Contributions = append(only.Contributions, c)
		}
	}
	return only.Total()
}

func (c *Contribution) check() error {
	if c.Cause > CausePressure {
		return fault("cause", fmt.Sprint(uint8(c.Cause)), align.ErrUnknownKind)
	}
	return boundedOffset("offset", c.Offset)
}

// MovementAxis returns the movement of a whole shaft, a straight line in each
// plane, from the movements of two of its stations. The stations must lie at
// least a micrometre apart.
func MovementAxis(a, b StationMovement) (align.Axis, error) {
	p, err := a.Total()
	if err != nil {
		return align.Axis{}, align.In(err, "first")
	}
	q, err := b.Total()
	if err != nil {
		return align.Axis{}, align.In(err, "second")
	}
	return MeasuredMovement{MovedPoint{a.Station, p}, MovedPoint{b.Station, q}}.Axis()
}

// MovedPoint is the movement of a shaft at one station from off-line to running.
type MovedPoint struct {
	Station unit.Length
	Offset  align.Offset // running less off-line: up and to the right positive
}

// MeasuredMovement is a movement that was measured and not calculated: two
// stations of one shaft, two planes, four values. A movement is read directly
// and never halved.
type MeasuredMovement struct{ First, Second MovedPoint }

// Axis returns the movement as a line in each plane,
//
//	m(x) = m1 + (m2 - m1) (x - x1)/(x2 - x1)
//
// (a rigid shaft; standard result). Stations must lie at least a micrometre apart.
func (m MeasuredMovement) Axis() (align.Axis, error) {
	if err := boundedStation("first.station", m.First.Station); err != nil {
		return align.Axis{}, err
	}
	if err := boundedStation("second.station", m.Second.Station); err != nil {
		return align.Axis{}, err
	}
	if err := boundedOffset("first.offset", m.First.Offset); err != nil {
		return align.Axis{}, err
	}
	if err := boundedOffset("second.offset", m.Second.Offset); err != nil {
		return align.Axis{}, err
	}
	if err := apart("second.station", m.First.Station, m.Second.Station); err != nil {
		return align.Axis{}, err
	}
	return align.AxisThrough(m.First.Station, m.First.Offset, m.Second.Station, m.Second.Offset)
}

// The largest sizes taken as meant: beyond them a unit is wrong.
const (
	maxStation unit.Length = 1e4  // metres from the zero of the train
	maxOffset  unit.Length = 10   // metres of movement
	minApart   unit.Length = 1e-6 // metres between two stations
)

func boundedStation(field string, v unit.Length) error { return bounded(field, v, maxStation) }

func boundedOffset(field string, o align.Offset) error {
	if err := bounded("vertical", o.Vertical, maxOffset); err != nil {
		return align.In(err, field)
	}
	if err := bounded("horizontal", o.Horizontal, maxOffset); err != nil {
		return align.In(err, field)
	}
	return nil
}

// bounded wants a finite length of size most or less.
func bounded(field string, v, most unit.Length) error {
	if v >= -most && v <= most {
		return nil
	}
	if !align.IsFinite(v) {
		return fault(field, fmt.Sprint(float64(v))+" m", align.ErrNotFinite)
	}
	return fault(field, inMillimetres(v), align.ErrOutOfRange)
}

// fromZero wants a finite length from zero up to most.
func fromZero(field string, v, most unit.Length) error {
	if v >= 0 && v <= most {
		return nil
	}
	if err := bounded(field, v, most); err != nil {
		return err
	}
	return fault(field, inMillimetres(v), align.ErrNegative)
}

// aboveZero wants a finite length above zero and up to most.
func aboveZero(field string, v, most unit.Length) error {
	if err := fromZero(field, v, most); err != nil {
		return err
	}
	if v == 0 {
		return fault(field, inMillimetres(v), align.ErrOutOfRange)
	}
	return nil
}

// apart wants two stations that are not one.
func apart(field string, a, b unit.Length) error {
	if d := math.Abs(float64(b - a)); d >= float64(minApart) {
		return nil
	}
	return fault(field, inMillimetres(b), align.ErrCoincident)
}

func inMillimetres(v unit.Length) string { return align.UnitMillimetre.Format(float64(v), 3) }
