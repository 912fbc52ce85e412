package thermal

import (
	"fmt"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Sense is the sense in which a shaft turns, for a person who looks along +x.
type Sense uint8

// Senses of turning.
const (
	SenseUnknown     Sense = iota // not given
	Clockwise                     // 12, 3, 6, 9
	Counterclockwise              // 12, 9, 6, 3
)

// Journal is a shaft in a plain bearing, at rest on its bottom when it is cold
// and carried by oil when it runs.
type Journal struct {
	Clearance    unit.Length // DIAMETRAL: bore less journal, above zero
	Load         align.Clock // toward which the running load pushes; 6 o'clock for weight alone
	Eccentricity float64     // of the journal in the bore over the radial clearance, 0 to 1
	Attitude     float64     // degrees from the load line to the journal centre, with the turning, 0 to 90
	Turning      Sense       // needed when Attitude is not zero
}

// JournalShift is where a journal goes in its bearing.
type JournalShift struct {
	FromCentre align.Offset // running position against the centre of the bore
	FromRest   align.Offset // running position against rest on the bottom of the bore
}

// Shift returns where the journal runs. With C the diametral clearance, k the
// eccentricity ratio, n(t) the unit vector at clock angle t, b the load's clock
// angle and f the attitude angle, positive clockwise,
//
//	from centre = (k C/2) n(b + f)
//	from rest   = from centre + (C/2) up
//
// (geometry of the bore: at rest the journal lies C/2 below its centre; the
// journal of a plain bearing leaves the load line in the sense of turning, a
// standard result of lubrication theory, from memory). FromRest belongs into a
// movement off-line to running when the cold readings were taken with the shaft
// lying in its bearings; FromCentre when the bearing bores themselves were
// aligned.
func (j Journal) Shift() (JournalShift, error) {
	if err := j.check(); err != nil {
		return JournalShift{}, err
	}
	toward := j.Load
	switch j.Turning {
	case Clockwise:
		toward += align.Clock(j.Attitude)
	case Counterclockwise:
		toward -= align.Clock(j.Attitude)
	}
	half := j.Clearance / 2
	up, right := toward.Unit()
	r := unit.Length(j.Eccentricity) * half
	c := align.Offset{Vertical: r * unit.Length(up), Horizontal: r * unit.Length(right)}
	return JournalShift{FromCentre: c, FromRest: c.Add(align.Offset{Vertical: half})}, nil
}

func (j Journal) check() error {
	if err := aboveZero("clearance", j.Clearance, maxOffset); err != nil {
		return err
	}
	if !align.IsFinite(j.Load) {
		return fault("load", fmt.Sprint(float64(j.Load))+" deg", align.ErrNotFinite)
	}
	if !align.IsFinite(j.Eccentricity) {
		return fault("eccentricity", fmt.Sprint(j.Eccentricity), align.ErrNotFinite)
	}
	if j.Eccentricity < 0 || j.Eccentricity > 1 {
		return fault("eccentricity", fmt.Sprint(j.Eccentricity), align.ErrOutOfRange)
	}
	if !align.IsFinite(j.Attitude) {
		return fault("attitude", fmt.Sprint(j.Attitude)+" deg", align.ErrNotFinite)
	}
	if j.Attitude < 0 || j.Attitude > 90 {
		return fault("attitude", fmt.Sprint(j.Attitude)+" deg", align.ErrOutOfRange)
	}
	if j.Turning > Counterclockwise {
		return fault("turning", fmt.Sprint(uint8(j.Turning)), align.ErrUnknownKind)
	}
	if j.Attitude != 0 && j.Turning == SenseUnknown {
		return fault("turning", "", align.ErrMissing)
	}
	return nil
}

// OilFilmLift returns how a journal that carries weight alone moves from rest to
// running, as a contribution of the oil film. The journal's Load is taken as
// 6 o'clock, whatever it says. A shaft in rolling bearings has no such lift.
func OilFilmLift(name string, j Journal) (Contribution, error) {
	j.Load = align.Six
	s, err := j.Shift()
	if err != nil {
		return Contribution{}, err
	}
	return Contribution{Cause: CauseOilFilm, Name: name, Offset: s.FromRest}, nil
}

// GearShift returns how a gear shaft moves from rest on the bottom of its
// bearing to the side toward which tooth load and weight together push it, at
// clock position load. The clearance is diametral; the film is taken as thin
// against it:
//
//	shift = (C/2) n(load) + (C/2) up
//
// A load straight down moves nothing; straight up it lifts by the whole
// diametral clearance; to a side it moves half of it aside and half of it up.
// (Bloch and Geitner, Major Process Equipment Maintenance and Repair,
// pp. 247-250, 258: running centre is cold centre, plus housing growth, plus the
// shift inside the bearing clearance along the load.)
func GearShift(name string, clearance unit.Length, load align.Clock) (Contribution, error) {
	s, err := Journal{Clearance: clearance, Load: load, Eccentricity: 1}.Shift()
	if err != nil {
		return Contribution{}, err
	}
	return Contribution{Cause: CauseGearLoad, Name: name, Offset: s.FromRest}, nil
}
