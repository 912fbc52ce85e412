package moves

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// BoltCircle is the flange on which a machine stands or hangs, such as that of a
// vertical motor: x runs along the shaft as always, so for a vertical set from the
// machine named first to the one named last, and 12 o'clock is a side that the
// job has named.
type BoltCircle struct {
	Station  unit.Length // of the mounting face
	Diameter unit.Length // above zero
	Bolts    int         // 3 to 64, equally spaced
	First    align.Clock // of the first bolt; the others follow clockwise for a person who looks along +x
	// Before says that the machine is on the side of smaller x, so that a shim under
	// its flange moves it toward -x. Else a shim moves it toward +x.
	Before bool
}

// maxBolts bounds a bolt circle.
const maxBolts = 64

// Check returns what is wrong with the bolt circle, nil when nothing is.
//
// Errors: not-finite, zero-diameter, out-of-range.
func (b BoltCircle) Check() error {
	if err := bounded("station", b.Station, maxPlace); err != nil {
		return err
	}
	if err := bounded("diameter", b.Diameter, 100); err != nil {
		return err
	}
	if b.Diameter < 1e-3 {
		return fault("diameter", mm(b.Diameter), align.ErrZeroDiameter)
	}
	if b.Bolts < 3 || b.Bolts > maxBolts {
		return fault("bolts", strconv.Itoa(b.Bolts), align.ErrOutOfRange)
	}
	if !align.IsFinite(float64(b.First)) {
		return fault("first", "", align.ErrNotFinite)
	}
	if math.Abs(float64(b.First)) > 1e6 {
		return fault("first", "", align.ErrOutOfRange)
	}
	return nil
}

// Clock returns where bolt i stands, counted from 0.
func (b BoltCircle) Clock(i int) align.Clock {
	return b.First + align.Clock(360*float64(i)/float64(b.Bolts))
}

// Place returns where bolt i stands in the frame of the train, with the shaft
// line through y = z = 0.
func (b BoltCircle) Place(i int) align.Place {
	n := align.ClockDirection(b.Clock(i))
	r := b.Diameter / 2
	return align.Place{X: b.Station, Y: r * unit.Length(n.Y), Z: r * unit.Length(n.Z)}
}

// Machine returns the machine for a train: its feet are at the bolts, it may be
// shifted sideways in both directions, as far as the register or the bolt holes
// leave room either way, and tilted. The tilt is not limited there, because shims
// under a flange are only added; see Shims. Put a train's machine number into
// Rounding.Skip for it.
//
// The room is that in each of the two directions by itself.
//
// Errors: those of Check; negative, not-finite for the room; out-of-range for more
// than 16 bolts, which are more feet than a machine of a train may have.
func (b BoltCircle) Machine(name string, room unit.Length) (Machine, error) {
	if err := b.Check(); err != nil {
		return Machine{}, err
	}
	if err := fromZero("room", room); err != nil {
		return Machine{}, err
	}
	if b.Bolts > maxFeet {
		return Machine{}, fault("bolts", strconv.Itoa(b.Bolts), align.ErrOutOfRange)
	}
	m := Machine{Name: name, About: align.Place{X: b.Station}, Free: TwoPlanes()}
	for i := range b.Bolts {
		m.Feet = append(m.Feet, Foot{Name: "bolt " + strconv.Itoa(i+1), At: b.Place(i), Range: Within(room, room, room, room)})
	}
	return m, nil
}

// BoltShim is the shim at one bolt.
type BoltShim struct {
	Clock align.Clock
	Shim  unit.Length // zero or more
	// FromZero is how far the bolt is from the bolt without a shim, across the axis
	// of the tilt: the distance of the rule by hand.
	FromZero unit.Length
}

// FlangeShims is what to do at a flange.
type FlangeShims struct {
	Bolts []BoltShim
	// Sideways moves the flange: up is toward 12 o'clock.
	Sideways align.Move
	// Along is how far the shaft goes along x because of the shims, at the middle of
	// the flange: the gap of the coupling changes by it.
	Along unit.Length
	Slope align.Slope // change of slope that the shims make
}

// Shims returns the shims that change the slope of the machine's shaft by the
// given amounts, the lowest of them zero. The bolts lie in one plane, so
//
//	shim = r (tilt . n) - the least of that, tilt = -slope, n toward the bolt
//
// with the sign turned where the machine is before its face (rigid body, small
// angles: the shaft leans away from the shim).
//
// Errors: those of Check; not-finite, out-of-range for the slope.
func (b BoltCircle) Shims(slope align.Slope) (FlangeShims, error) {
	if err := b.Check(); err != nil {
		return FlangeShims{}, err
	}
	for _, s := range [...]struct {
		name string
		v    float64
	}{{"slope.vertical", slope.Vertical}, {"slope.horizontal", slope.Horizontal}} {
		if !align.IsFinite(s.v) {
			return FlangeShims{}, fault(s.name, "", align.ErrNotFinite)
		}
		if math.Abs(s.v) > 0.1 {
			return FlangeShims{}, fault(s.name, align.UnitMillimetrePerMetre.Format(s.v, 1), align.ErrOutOfRange)
		}
	}
	return b.shims(align.Motion{About: align.Place{X: b.Station}, Turn: align.Turn{Y: -slope.Horizontal, Z: slope.Vertical}}), nil
}

// ShimsFor returns the shims and the sideways move of a motion, such as that of a
// plan. What the motion asks along x is not looked at: the shims decide that.
//
// Errors: those of Check and of Shims.
func (b BoltCircle) ShimsFor(m align.Motion) (FlangeShims, error) {
	out, err := b.Shims(align.Slope{Vertical: m.Turn.Z, Horizontal: -m.Turn.Y})
	if err != nil {
		return out, err
	}
	d := m.At(align.Place{X: b.Station})
	for _, v := range [...]unit.Length{d.Y, d.Z} {
		if err := bounded("shift", v, maxLength); err != nil {
			return FlangeShims{}, err
		}
	}
	out.Sideways = align.Move{Vertical: d.Y, Horizontal: d.Z}
	return out, nil
}

// away is the direction along x in which a shim moves the machine.
func (b BoltCircle) away() unit.Length {
	if b.Before {
		return -1
	}
	return 1
}

func (b BoltCircle) shims(tilt align.Motion) FlangeShims {
	out := FlangeShims{Slope: align.Slope{Vertical: tilt.Turn.Z, Horizontal: -tilt.Turn.Y}}
	least := unit.Length(math.Inf(1))
	for i := range b.Bolts {
		s := BoltShim{Clock: b.Clock(i), Shim: b.away() * tilt.At(b.Place(i)).X}
		least = min(least, s.Shim)
		out.Bolts = append(out.Bolts, s)
	}
	size := unit.Length(out.Slope.Resultant())
	for i := range out.Bolts {
		s := &out.Bolts[i]
		s.Shim -= least
		if size > 0 {
			s.FromZero = s.Shim / size
		}
	}
	out.Along = -least * b.away()
	return out
}

// FaceShim is the rule by hand: what a face dial showed over its swept diameter,
// and how far a bolt is from the bolt without a shim, across the axis of the tilt.
type FaceShim struct {
	Reading  unit.Length // total indicator reading of the face, its size
	Diameter unit.Length // swept, above zero
	Distance unit.Length // zero or more
}

// Shim returns the shim at that bolt:
//
//	shim = reading / diameter * distance
//
// (Harlon, A Millwright's Guide to Motor/Pump Alignment, 2nd ed., Industrial
// Press, 2008, random bolt patterns.)
//
// Errors: negative, not-finite, out-of-range, zero-diameter.
func (f FaceShim) Shim() (unit.Length, error) {
	if err := fromZero("reading", f.Reading); err != nil {
		return 0, err
	}
	if err := fromZero("diameter", f.Diameter); err != nil {
		return 0, err
	}
	if f.Diameter < 1e-3 {
		return 0, fault("diameter", mm(f.Diameter), align.ErrZeroDiameter)
	}
	if err := fromZero("distance", f.Distance); err != nil {
		return 0, err
	}
	return f.Reading * f.Distance / f.Diameter, nil
}
