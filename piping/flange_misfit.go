package piping

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Misfit is how a pipe flange stands to the machine flange. What was not
// measured is nil: it is not zero.
type Misfit struct {
	Pair     FlangePair
	Mean     unit.Length  // gap at the centre
	Gasket   *unit.Length // thickness the gap is to have
	Tilt     Tilt         // how the gap widens
	Offset   *Across      // centre of the pipe flange from that of the machine flange
	Rotation *float64     // of the pipe flange's bolt holes, radians, clockwise positive
}

// GapError returns the mean gap less the thickness of the gasket, positive when
// the gap is too wide; ok is false when no gasket is given. A gap held against a
// limit as it was read, gasket and all, would be wrong by the gasket.
func (m Misfit) GapError() (e unit.Length, ok bool) {
	if m.Gasket == nil {
		return 0, false
	}
	return m.Mean - *m.Gasket, true
}

// HoleOffset returns the most that any bolt hole on a bolt circle can be off,
//
//	|offset| + (bolt circle/2) |rotation|
//
// (geometry: reached where the two point the same way), and whether both parts
// were measured.
func (m Misfit) HoleOffset(boltCircle unit.Length) (most unit.Length, ok bool) {
	if m.Offset == nil || m.Rotation == nil {
		return 0, false
	}
	return m.Offset.Size() + boltCircle/2*unit.Length(math.Abs(*m.Rotation)), true
}

// PipeCentre returns where the centre of the pipe's face would be if the two
// were in line: a mean gap along the axis from the centre of the nozzle. It is
// the point of the machine whose movement across shifts the offset.
func (m Misfit) PipeCentre() align.Place {
	g := float64(m.Mean)
	return m.Pair.Centre.Add(align.Displacement{
		X: unit.Length(g * m.Pair.Axis.X), Y: unit.Length(g * m.Pair.Axis.Y), Z: unit.Length(g * m.Pair.Axis.Z),
	})
}

// maxFlangeTurn is the largest turn that counts as small: its second-order part
// is half a percent of itself.
const maxFlangeTurn = 0.1

// After returns the misfit when the machine has made a motion and the pipe has
// stayed where it is. With d the movement of the machine at PipeCentre, w its
// turn and a, u, r the directions of the flange:
//
//	gap       less d.a
//	offset    less d.u and d.r
//	tilt      up plus w.r, right less w.u
//	rotation  less w.a
//
// (rigid bodies, small motions). The pair in the answer has moved with the
// machine.
//
// Errors: those of Frame, align.ErrNotFinite, and align.ErrOutOfRange for a turn
// over 0.1 rad.
func (m Misfit) After(move align.Motion) (Misfit, error) {
	if err := checkFlangeMotion(move); err != nil {
		return Misfit{}, err
	}
	if err := m.check(); err != nil {
		return Misfit{}, err
	}
	f, err := m.Pair.Frame()
	if err != nil {
		return Misfit{}, err
	}
	out, d := m, move.At(m.PipeCentre())
	out.Mean -= d.Along(f.Axis)
	out.Tilt.Up += turnAbout(move.Turn, f.Right)
	out.Tilt.Right -= turnAbout(move.Turn, f.Up)
	if m.Offset != nil {
		e := f.Across(d)
		out.Offset = &Across{m.Offset.Up - e.Up, m.Offset.Right - e.Right}
	}
	if m.Rotation != nil {
		rotation := *m.Rotation - turnAbout(move.Turn, f.Axis)
		out.Rotation = &rotation
	}
	out.Pair.Centre = m.Pair.Centre.Add(move.At(m.Pair.Centre))
	out.Pair.Axis, out.Pair.Up = turned(f.Axis, move.Turn), turned(f.Up, move.Turn)
	return out, nil
}

// turnAbout returns the part of a turn about a direction.
func turnAbout(w align.Turn, d align.Direction) float64 {
	return float64(w.X*d.X) + float64(w.Y*d.Y) + float64(w.Z*d.Z)
}

// turned returns a direction after a small turn, of unit length again.
func turned(d align.Direction, w align.Turn) align.Direction {
	c := crossed(align.Direction(w), d)
	x, y, z := d.X+c.X, d.Y+c.Y, d.Z+c.Z
	n := math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
	return align.Direction{X: x / n, Y: y / n, Z: z / n}
}

func (m *Misfit) check() error {
	if err := checkFlangeLength("mean", m.Mean, maxFlangeLength); err != nil {
		return err
	}
	if m.Gasket != nil {
		if err := checkFlangeFromZero("gasket", *m.Gasket); err != nil {
			return err
		}
	}
	if err := checkFlangeAngle("tilt.up", m.Tilt.Up, maxTilt); err != nil {
		return err
	}
	if err := checkFlangeAngle("tilt.right", m.Tilt.Right, maxTilt); err != nil {
		return err
	}
	if m.Offset != nil {
		if err := checkAcross("offset", *m.Offset); err != nil {
			return err
		}
	}
	if m.Rotation == nil {
		return nil
	}
	return checkFlangeAngle("rotation", *m.Rotation, math.Pi)
}

// maxTilt is the steepest slope that is taken for a tilt of faces: beyond it the
// flanges do not face each other (own choice).
const maxTilt = 1.0

func checkFlangeAngle(field string, v, most float64) error {
	switch {
	case !align.IsFinite(v):
		return flangeFault(field, plainNumber(v)+" rad", align.ErrNotFinite)
	case v < -most || v > most:
		return flangeFault(field, plainNumber(v)+" rad", align.ErrOutOfRange)
	}
	return nil
}

func checkFlangeMotion(m align.Motion) error {
	if err := checkFlangePlace("motion.about", m.About); err != nil {
		return err
	}
	if err := checkFlangePlace("motion.shift", align.Place(m.Shift)); err != nil {
		return err
	}
	for _, v := range [...]struct {
		name string
		v    float64
	}{{"motion.turn.x", m.Turn.X}, {"motion.turn.y", m.Turn.Y}, {"motion.turn.z", m.Turn.Z}} {
		if err := checkFlangeAngle(v.name, v.v, maxFlangeTurn); err != nil {
			return err
		}
	}
	return nil
}

// FlangeJoint is everything measured on one joint.
type FlangeJoint struct {
	Pair  FlangePair
	Faces FlangeSurvey
	Rim   *RimSurvey  // nil: offset of the centres not measured
	Holes *HoleSurvey // nil: rotation not measured
}

// JointFit is what the surveys of a joint say.
type JointFit struct {
	Misfit
	Faces    FaceFit
	Centre   *CentreFit
	Holes    *RotationFit
	Warnings []align.Warning
}

// Solve works out the surveys of a joint and puts them together. An offset known
// in one direction alone stays in Centre and does not enter the misfit.
//
// Errors: those of FlangePair.Frame, FlangeSurvey.Solve, RimSurvey.Solve and
// HoleSurvey.Solve, with the survey named; align.ErrOutOfRange for faces that
// stand at more than 45 degrees.
func (j FlangeJoint) Solve() (JointFit, error) {
	if _, err := j.Pair.Frame(); err != nil {
		return JointFit{}, align.In(err, "pair")
	}
	faces, err := j.Faces.Solve()
	if err != nil {
		return JointFit{}, align.In(err, "faces")
	}
	f := JointFit{Faces: faces, Misfit: Misfit{Pair: j.Pair, Mean: faces.Mean, Gasket: j.Faces.Gasket, Tilt: faces.Tilt}}
	f.Warnings = append(f.Warnings, faces.Warnings...)
	if j.Rim != nil {
		c, err := j.Rim.Solve()
		if err != nil {
			return JointFit{}, align.In(err, "rim")
		}
		f.Centre, f.Warnings = &c, append(f.Warnings, c.Warnings...)
		if c.BothKnown {
			f.Offset = &c.Offset
		}
	}
	if j.Holes != nil {
		h, err := j.Holes.Solve(f.Offset)
		if err != nil {
			return JointFit{}, align.In(err, "holes")
		}
		f.Holes, f.Warnings = &h, append(f.Warnings, h.Warnings...)
		f.Rotation = &h.Rotation
	}
	if err := f.Misfit.check(); err != nil {
		return JointFit{}, err
	}
	return f, nil
}
