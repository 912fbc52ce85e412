package align

import (
	"fmt"

	"gonum.org/v1/gonum/unit"
)

// Surface says what the stem of a dial touches.
type Surface uint8

// The surfaces a dial can touch.
const (
	Rim        Surface = iota // the rim, stem pointing at the shaft centre
	FaceToward                // the hub face that looks toward the bracket's machine, stem along the shaft
	FaceAway                  // the hub face that looks away from the bracket's machine
)

// String names the surface.
func (s Surface) String() string {
	switch s {
	case Rim:
		return "rim"
	case FaceToward:
		return "face toward the bracket"
	case FaceAway:
		return "face away from the bracket"
	}
	return fmt.Sprintf("surface(%d)", uint8(s))
}

// Shaft is one of two coupled shafts. Near is the one with the smaller
// stations.
type Shaft uint8

// The two shafts.
const (
	Near Shaft = iota
	Far
)

// String names the shaft.
func (s Shaft) String() string {
	switch s {
	case Near:
		return "near"
	case Far:
		return "far"
	}
	return fmt.Sprintf("shaft(%d)", uint8(s))
}

// Other returns the other shaft of the pair.
func (s Shaft) Other() Shaft {
	if s == Near {
		return Far
	}
	return Near
}

// Turning says which shafts are turned while the sweep is taken.
type Turning uint8

// The ways of turning.
const (
	BothShafts   Turning = iota // both together: surface errors cancel
	BracketShaft                // only the shaft that carries the bracket: the touched surface's runout adds
	TouchedShaft                // only the touched shaft: shows runout, not alignment, and is an error
)

// String names the way of turning.
func (t Turning) String() string {
	switch t {
	case BothShafts:
		return "both shafts"
	case BracketShaft:
		return "bracket's shaft only"
	case TouchedShaft:
		return "touched shaft only"
	}
	return fmt.Sprintf("turning(%d)", uint8(t))
}

// Reach says which two bodies a dial joins.
type Reach uint8

// The bodies a dial can join.
const (
	ShaftToShaft Reach = iota // bracket on one shaft, stem on the other
	NearToSpool               // bracket on the near shaft, stem on the spool, or the other way round
	FarToSpool                // bracket on the far shaft, stem on the spool, or the other way round
)

// String names the bodies.
func (r Reach) String() string {
	switch r {
	case ShaftToShaft:
		return "shaft to shaft"
	case NearToSpool:
		return "near shaft to spool"
	case FarToSpool:
		return "far shaft to spool"
	}
	return fmt.Sprintf("reach(%d)", uint8(r))
}

// Dial is one indicator with its place and its readings.
//
// With e(x) the misalignment (far minus near), n = (cos t, sin t), D the swept
// diameter and c the dial's own zero, a perfect dial reads
//
//	rim,  bracket on near:  r = c + e(x).n
//	rim,  bracket on far:   r = c - e(x).n
//	face toward bracket:    r = c + (D/2) slope(e).n
//	face away:              r = c - (D/2) slope(e).n
//
// whichever shaft carries the bracket, for the faces. To the sweep the sag of
// the bracket adds S(1 - cos t)/2.
type Dial struct {
	Name    string  // used in messages; optional
	Surface Surface // what the stem touches
	Bracket Shaft   // which shaft carries the bracket
	Reach   Reach   // shaft to shaft, or to the spool
	OnSpool bool    // for a spool reach: the bracket is on the spool and the stem touches the shaft

	Station  unit.Length // where the stem touches, for a rim dial
	Diameter unit.Length // swept by a face dial; of the touched rim (optional, allows the curvature check)

	Sag     Sag     // of this bracket with this dial
	Turning Turning // which shafts turned
	// Runout is the first harmonic of the touched surface as it stands (what a
	// sweep of the surface alone would show toward 12 and toward 3 o'clock). It
	// is taken out when only the bracket's shaft turned.
	Runout *Offset

	Sweep Sweep
	// Sigma is the standard uncertainty of one reading. Zero takes that of the
	// Measurement.
	Sigma unit.Length
}

// Check returns an error when the dial cannot be used.
func (d *Dial) Check() error {
	if d.Surface > FaceAway {
		return &InputError{Field: "surface", Got: d.Surface.String(), Err: ErrUnknownKind}
	}
	if d.Bracket > Far {
		return &InputError{Field: "bracket", Got: d.Bracket.String(), Err: ErrUnknownKind}
	}
	if d.Reach > FarToSpool {
		return &InputError{Field: "reach", Got: d.Reach.String(), Err: ErrUnknownKind}
	}
	if err := d.checkTurning(); err != nil {
		return err
	}
	if err := CheckLength("station", d.Station); err != nil {
		return err
	}
	if err := CheckLength("sag", d.Sag.rollOver); err != nil {
		return err
	}
	if err := checkNotNegative("sigma", d.Sigma); err != nil {
		return err
	}
	if d.Surface != Rim {
		if err := checkPositive("diameter", d.Diameter, ErrZeroDiameter); err != nil {
			return err
		}
	} else if err := checkNotNegative("diameter", d.Diameter); err != nil {
		return err
	}
	if len(d.Sweep) == 0 {
		return &InputError{Field: "sweep", Err: ErrTooFewPositions}
	}
	return d.Sweep.Check()
}

func (d *Dial) checkTurning() error {
	switch d.Turning {
	case BothShafts:
	case BracketShaft:
		if d.Runout == nil {
			return &InputError{Field: "turning", Got: d.Turning.String(), Err: ErrRunoutUnknown}
		}
		if err := CheckLength("runout.vertical", d.Runout.Vertical); err != nil {
			return err
		}
		return CheckLength("runout.horizontal", d.Runout.Horizontal)
	case TouchedShaft:
		return &InputError{Field: "turning", Got: d.Turning.String(), Err: ErrTouchedShaftOnly}
	default:
		return &InputError{Field: "turning", Got: d.Turning.String(), Err: ErrUnknownKind}
	}
	return nil
}

// Gain says how a dial's first harmonic answers the misalignment: the reading
// is c + (ByOffset*e(0) + BySlope*slope).n for either plane, BySlope in metres.
type Gain struct {
	ByOffset float64
	BySlope  unit.Length
}

// Gain returns the dial's answer to the misalignment. The spool is needed only
// for a dial that reaches to one.
//
// The spool is the straight line from the near shaft's centre at its near flex
// plane xN to the far shaft's centre at xF. Its slope against the near shaft is
// e(xF)/L, L = xF - xN; the far shaft's slope against it is slope - e(xF)/L.
// (Derived here; it agrees with the flex-plane deviations of the handbooks.)
func (d *Dial) Gain(spool Spool) Gain {
	var off float64
	var slope unit.Length
	switch {
	case d.Reach == ShaftToShaft && d.Surface == Rim:
		off, slope = 1, d.Station
	case d.Reach == ShaftToShaft:
		off, slope = 0, d.Diameter/2
	case d.Surface == Rim:
		off, slope = spool.rimGain(d.Reach, d.Station)
	default:
		off, slope = spool.faceGain(d.Reach, d.Diameter)
	}
	if d.sign() < 0 {
		off, slope = -off, -slope
	}
	return Gain{off, slope}
}

// sign is that of the dial's answer to "touched minus carrying" in the order
// near, spool, far: plus when the bracket stands on the earlier body. The sign
// of a face depends on which way it looks only.
func (d *Dial) sign() float64 {
	switch d.Surface {
	case FaceToward:
		return 1
	case FaceAway:
		return -1
	}
	later := d.Bracket == Far
	switch d.Reach {
	case NearToSpool:
		later = d.OnSpool
	case FarToSpool:
		later = !d.OnSpool
	}
	if later {
		return -1
	}
	return 1
}

// Spool is the floating piece of a spacer coupling, given by the stations of
// its two flex planes.
type Spool struct {
	NearFlex unit.Length
	FarFlex  unit.Length
}

// Length returns the distance between the flex planes.
func (s Spool) Length() unit.Length { return s.FarFlex - s.NearFlex }

// Check returns an error unless both stations are finite and the far flex
// plane stands beyond the near one.
func (s Spool) Check() error {
	if err := CheckLength("nearFlex", s.NearFlex); err != nil {
		return err
	}
	if err := CheckLength("farFlex", s.FarFlex); err != nil {
		return err
	}
	if s.FarFlex > s.NearFlex {
		return nil
	}
	return &InputError{Field: "farFlex", Got: UnitMillimetre.Format(float64(s.FarFlex), 3), Err: ErrCoincident}
}

// rimGain is the answer of a rim dial between a shaft and the spool at station
// x, the later body minus the earlier one.
func (s Spool) rimGain(r Reach, x unit.Length) (off float64, slope unit.Length) {
	// spool minus near at x: e(xF) (x - xN)/L
	k := float64((x - s.NearFlex) / s.Length())
	if r == NearToSpool {
		return k, unit.Length(k) * s.FarFlex
	}
	// far minus spool at x: e(x) - e(xF) (x - xN)/L
	return 1 - k, x - unit.Length(k)*s.FarFlex
}

// faceGain is the answer of a face dial between a shaft and the spool, the
// later body minus the earlier one, over the swept diameter d.
func (s Spool) faceGain(r Reach, d unit.Length) (off float64, slope unit.Length) {
	h := d / 2
	k := float64(h / s.Length())
	if r == NearToSpool { // spool slope minus near slope: e(xF)/L
		return k, unit.Length(k) * s.FarFlex
	}
	return -k, h - unit.Length(k)*s.FarFlex // far slope minus spool slope
}
