package piping

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// FarEnd says how the end of a pipe away from the nozzle is held. The zero value
// is not one: say which.
type FarEnd uint8

// The ways to hold the far end. At the nozzle the bolted flange holds the pipe
// square.
const (
	// Anchored holds the far end in place and square: the guided cantilever, and
	// the stiffer of the two.
	Anchored FarEnd = iota + 1
	// Hinged holds the far end in place but lets it turn about any axis across
	// the pipe: a cantilever from the nozzle.
	Hinged
)

// String returns the kind in words.
func (e FarEnd) String() string {
	switch e {
	case Anchored:
		return "anchored"
	case Hinged:
		return "hinged"
	}
	return fmt.Sprintf("far end(%d)", uint8(e))
}

// StraightPipe is a straight run of pipe of one section from the flange to the
// next place that holds it. A real run with bends between the same two supports
// is softer across, so its load is smaller; a support that was overlooked makes
// the free length shorter and the load larger, as the cube of the length.
type StraightPipe struct {
	Section PipeSection
	Modulus unit.Pressure // modulus of elasticity, from ElasticModulus.At or given
	Length  unit.Length   // free length, from the flange to the far end
	Far     FarEnd
	// Poisson is Poisson's ratio, at least 0 and below 0.5, needed only to twist
	// the pipe about its own axis; 0.3 is usual for steel (common practice, no
	// source). Nil: not given.
	Poisson *float64
}

// beam is a checked straight pipe: what one metre or one radian at its nozzle
// end costs.
type beam struct {
	shear, mixed, bending float64 // N/m; N/rad and N.m/m; N.m/rad
	axial                 float64 // N/m
	carry                 float64 // far moment from a lateral misfit, N.m/m
	carryTilt             float64 // far moment from a tilt, N.m/rad
	modulus               float64 // section modulus, m^3
}

// beam finds the end stiffness of a uniform beam without shear flexibility from
// the nozzle, s = 0, to the far end, s = L (standard beam results):
//
//	anchored  F = 12 EI/L^3 v + 6 EI/L^2 tilt   M = 6 EI/L^2 v + 4 EI/L tilt
//	hinged    F =  3 EI/L^3 v + 3 EI/L^2 tilt   M = 3 EI/L^2 v + 3 EI/L tilt
//	along     F = EA/L u
func (p *StraightPipe) beam() (beam, error) {
	s, err := p.Section.Properties()
	if err != nil {
		return beam{}, align.In(err, "section")
	}
	if err := checkModulus("modulus", p.Modulus); err != nil {
		return beam{}, err
	}
	if err := loadExtent("length", p.Length); err != nil {
		return beam{}, err
	}
	l := float64(p.Length)
	ei := float64(p.Modulus) * s.Inertia
	b := beam{axial: float64(p.Modulus) * float64(s.Area) / l, modulus: s.Modulus}
	switch p.Far {
	case 0:
		return beam{}, loadFault("far", "", align.ErrMissing)
	case Anchored:
		b.shear, b.mixed, b.bending = 12*ei/(l*l*l), 6*ei/(l*l), 4*ei/l
		b.carry, b.carryTilt = 6*ei/(l*l), 2*ei/l
	case Hinged:
		b.shear, b.mixed, b.bending = 3*ei/(l*l*l), 3*ei/(l*l), 3*ei/l
	default:
		return beam{}, loadFault("far", p.Far.String(), align.ErrUnknownKind)
	}
	return b, nil
}

// twist is the stiffness about the pipe's own axis, GJ/L with G = E/(2(1+nu))
// and J = 2 I (standard result for a round bar).
func (p *StraightPipe) twist() (float64, error) {
	if p.Poisson == nil {
		return 0, loadFault("poisson", "", align.ErrMissing)
	}
	nu := *p.Poisson
	if err := loadBounded("poisson", nu, 0.5, ""); err != nil {
		return 0, err
	}
	switch {
	case nu < 0:
		return 0, loadFault("poisson", loadNumber(nu, ""), align.ErrNegative)
	case nu == 0.5:
		return 0, loadFault("poisson", loadNumber(nu, ""), align.ErrOutOfRange)
	}
	s, err := p.Section.Properties()
	if err != nil {
		return 0, err
	}
	return float64(p.Modulus) / (2 * (1 + nu)) * 2 * s.Inertia / float64(p.Length), nil
}

// Closing is what it takes to bring the end of a straight pipe to the nozzle in
// one plane. All are positive for a positive misfit; the pipe, once bolted, does
// the same to the nozzle the other way round.
type Closing struct {
	Force     unit.Force    // across the pipe
	Moment    unit.Torque   // at the nozzle
	FarMoment unit.Torque   // at the far end; zero where it is hinged
	Stress    unit.Pressure // largest bending stress, of the larger moment
}

func (b *beam) closing(force, moment, far float64) Closing {
	return Closing{
		Force: unit.Force(force), Moment: unit.Torque(moment), FarMoment: unit.Torque(far),
		Stress: unit.Pressure(math.Max(math.Abs(moment), math.Abs(far)) / b.modulus), // S = M/Z
	}
}

// CloseOffset returns what it takes to move the end of the pipe sideways by d
// and hold it square:
//
//	anchored  F = 12 EI d/L^3   M = 6 EI d/L^2 at both ends
//	hinged    F =  3 EI d/L^3   M = 3 EI d/L^2 at the nozzle
//
// (guided cantilever and cantilever, standard beam results). S = M/Z.
//
// Errors: those of PipeSection.Properties; missing, negative, not-finite or
// out-of-range modulus, length or misfit; missing or unknown-kind far end.
func (p StraightPipe) CloseOffset(d unit.Length) (Closing, error) {
	b, err := p.beam()
	if err != nil {
		return Closing{}, err
	}
	if err := loadBounded("offset", float64(d), loadMostLength, "m"); err != nil {
		return Closing{}, err
	}
	v := float64(d)
	return b.closing(b.shear*v, b.mixed*v, b.carry*v), nil
}

// maxTurn is the largest rotation that small-angle results are used for, in
// radians (own choice; its sine is off by 0.2 %).
const maxTurn = 0.1

// CloseTilt returns what it takes to turn the end of the pipe across its axis by
// a small angle in radians (rise over run of the face) and hold it in place:
//
//	anchored  M = 4 EI a/L at the nozzle   2 EI a/L at the far end   F = 6 EI a/L^2
//	hinged    M = 3 EI a/L at the nozzle   0                         F = 3 EI a/L^2
//
// (standard beam results). An opening g over a face of diameter D is the tilt
// g/D.
//
// Errors: as CloseOffset; a tilt beyond 0.1 rad is out-of-range.
func (p StraightPipe) CloseTilt(tilt float64) (Closing, error) {
	b, err := p.beam()
	if err != nil {
		return Closing{}, err
	}
	if err := loadBounded("tilt", tilt, maxTurn, "rad"); err != nil {
		return Closing{}, err
	}
	return b.closing(b.mixed*tilt, b.bending*tilt, b.carryTilt*tilt), nil
}

// CloseGap returns the force that stretches the pipe by u along its axis,
// negative when u is negative and the pipe is pressed together:
//
//	F = EA u/L
//
// (standard result for a bar). It is very large for a straight pipe: a gap is
// taken up by bends, not by stretching.
//
// Errors: as CloseOffset.
func (p StraightPipe) CloseGap(u unit.Length) (unit.Force, error) {
	b, err := p.beam()
	if err != nil {
		return 0, err
	}
	if err := loadBounded("gap", float64(u), loadMostLength, "m"); err != nil {
		return 0, err
	}
	return unit.Force(b.axial * float64(u)), nil
}

// PipeMisfit says where the free end of the pipe stands against the nozzle, in
// the frame of the train.
type PipeMisfit struct {
	// Shift is how far the pipe end must be moved to meet the nozzle.
	Shift align.Displacement
	// Turn is how far the pipe end must be turned to meet it, each part at most
	// 0.1 rad.
	Turn align.Turn
}

// NozzleLoad returns what the pipe does to the nozzle once the misfit is closed,
// about the centre of the flange face. Away leads from the nozzle along the pipe
// to its far end. With a the direction away, v and w the parts of shift and turn
// across it, and the stiffness of CloseOffset, CloseTilt and CloseGap:
//
//	force on the pipe   k1 v + k2 (w x a) + EA/L (shift along a)
//	moment on the pipe  k2 (a x v) + k3 w + GJ/L (turn about a)
//
// (superposition of the standard beam results in two planes), and the nozzle
// gets the opposite: pipe that has to come up pulls the nozzle down. A turn of
// more than a millionth of a radian about the pipe's own axis needs Poisson's
// ratio; without one a smaller turn about it is left out.
//
// Errors: as CloseOffset; missing, negative or out-of-range Poisson's ratio;
// a direction that has not length one is out-of-range.
func (p StraightPipe) NozzleLoad(away align.Direction, m PipeMisfit) (Load, error) {
	b, err := p.beam()
	if err != nil {
		return Load{}, err
	}
	if err := checkAway(away); err != nil {
		return Load{}, err
	}
	if err := m.check(); err != nil {
		return Load{}, err
	}
	a := triple{away.X, away.Y, away.Z}
	shift := triple{float64(m.Shift.X), float64(m.Shift.Y), float64(m.Shift.Z)}
	turn := triple{m.Turn.X, m.Turn.Y, m.Turn.Z}
	along, about := shift.dot(a), turn.dot(a)
	v, w := shift.plus(-along, a), turn.plus(-about, a)

	force := triple{}.plus(b.shear, v).plus(b.mixed, w.cross(a)).plus(b.axial*along, a)
	moment := triple{}.plus(b.mixed, a.cross(v)).plus(b.bending, w)
	if p.Poisson != nil || math.Abs(about) > 1e-6 {
		k, err := p.twist()
		if err != nil {
			return Load{}, err
		}
		moment = moment.plus(k*about, a)
	}
	return Load{
		Forces{unit.Force(-force.x), unit.Force(-force.y), unit.Force(-force.z)},
		Moments{unit.Torque(-moment.x), unit.Torque(-moment.y), unit.Torque(-moment.z)},
	}, nil
}

func checkAway(n align.Direction) error {
	for _, v := range [...]float64{n.X, n.Y, n.Z} {
		if err := loadBounded("away", v, 2, ""); err != nil {
			return err
		}
	}
	if n == (align.Direction{}) {
		return loadFault("away", "", align.ErrMissing)
	}
	if math.Abs(n.Dot(n)-1) > 1e-6 {
		return loadFault("away", loadNumber(math.Sqrt(n.Dot(n)), "long"), align.ErrOutOfRange)
	}
	return nil
}

func (m *PipeMisfit) check() error {
	if err := loadWay("shift", m.Shift); err != nil {
		return err
	}
	for _, c := range [...]struct {
		field string
		v     float64
	}{{"turn.x", m.Turn.X}, {"turn.y", m.Turn.Y}, {"turn.z", m.Turn.Z}} {
		if err := loadBounded(c.field, c.v, maxTurn, "rad"); err != nil {
			return err
		}
	}
	return nil
}

// triple is three numbers; forces and moments have different units. Its sums
// round alike on every processor: loads go into comparisons.
type triple struct{ x, y, z float64 }

func (a triple) dot(b triple) float64 { return float64(a.x*b.x) + float64(a.y*b.y) + float64(a.z*b.z) }

func (a triple) plus(k float64, b triple) triple {
	return triple{a.x + float64(k*b.x), a.y + float64(k*b.y), a.z + float64(k*b.z)}
}

func (a triple) cross(b triple) triple {
	return triple{
		float64(a.y*b.z) - float64(a.z*b.y), float64(a.z*b.x) - float64(a.x*b.z), float64(a.x*b.y) - float64(a.y*b.x),
	}
}
