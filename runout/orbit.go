package runout

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// OrbitPoint is where a point of a vertical shaft stands with the shaft turned
// by an angle.
type OrbitPoint struct {
	Turned float64 // degrees, clockwise seen from above, from the first position
	At     Lean
}

// OrbitPair is two positions half a turn apart: the line between them is a
// diameter of the orbit whatever else is wrong with the angles.
type OrbitPair struct {
	From, To float64 // degrees turned
	Diameter unit.Length
	Middle   Lean
}

// Orbit is the circle that a point of the shaft describes in one turn. Its
// diameter is the static runout.
type Orbit struct {
	Centre   Lean        // centre of runout
	Throw    Lean        // from the centre to the point at turn 0
	Diameter unit.Length // twice the size of the throw
	Pairs    []OrbitPair // in the order of the positions; empty when none are opposite

	RMS   unit.Length // root mean square distance from the fit, over 2n - 4
	Worst unit.Length // largest distance of a point from the fit
	// Arc is how much the positions magnify errors of the throw, against the
	// same number spread over a full turn: 1 is ideal, over 2 is poor.
	Arc float64

	Warnings []align.Warning
}

// WarnTurningSense says that the points fit a turn the other way much better:
// the positions were probably counted counterclockwise.
const WarnTurningSense align.WarningCode = "turning-sense"

const (
	leastSpread  = 1e-9 // least mean square spread of the directions
	poorArc      = 2    // magnification that earns a warning
	senseFactor  = 4    // ratio of sums of squares that tells the sense
	roundingPart = 1e-9 // part of the size that rounding may leave as residual
)

// FitOrbit returns the first-harmonic fit by least squares. With the position
// written as a complex number z = north + i east and the turn as u = exp(i t),
// a rigid shaft gives z = c + a u, and least squares gives
//
//	a = sum conj(u - mean u) (z - mean z) / sum |u - mean u|^2, c = mean z - a mean u
//
// (the ordinary regression line in complex numbers, derived). Equally spaced
// positions give the Fourier sums.
//
// Errors: align.ErrTooFewPositions for fewer than three different angles,
// align.ErrArcTooNarrow when they lie together, align.ErrNotFinite,
// align.ErrOutOfRange when the numbers overflow. Warnings: align.WarnNarrowArc
// and WarnTurningSense.
func FitOrbit(points []OrbitPoint) (Orbit, error) {
	if err := checkOrbit(points); err != nil {
		return Orbit{}, err
	}
	f := fitTurn(points, 1)
	if f.spread < leastSpread {
		return Orbit{}, plumbFault("points", "", align.ErrArcTooNarrow)
	}
	o := Orbit{Centre: f.centre, Throw: f.throw, Diameter: 2 * f.throw.Size(), Arc: 1 / math.Sqrt(f.spread)}
	o.RMS = unit.Length(math.Sqrt(f.sumSquares / float64(2*len(points)-4)))
	o.Worst = f.worst
	o.Pairs = orbitPairs(points)
	if !o.finite() {
		return Orbit{}, plumbFault("points", "", align.ErrOutOfRange)
	}
	o.Warnings = orbitWarnings(o, f, fitTurn(points, -1))
	return o, nil
}

func (o Orbit) finite() bool {
	return align.IsFinite(o.Diameter) && align.IsFinite(o.Centre.Size()) && align.IsFinite(o.RMS) && align.IsFinite(o.Worst)
}

func checkOrbit(points []OrbitPoint) error {
	for i, p := range points {
		field := "points[" + strconv.Itoa(i) + "]"
		if !align.IsFinite(p.Turned) {
			return plumbFault(field+".turned", strconv.FormatFloat(p.Turned, 'g', -1, 64)+" deg", align.ErrNotFinite)
		}
		if err := plumbCheckFinite(field+".north", p.At.North); err != nil {
			return err
		}
		if err := plumbCheckFinite(field+".east", p.At.East); err != nil {
			return err
		}
	}
	if !threeAngles(points) {
		return plumbFault("points", "", align.ErrTooFewPositions)
	}
	return nil
}

// threeAngles reports whether three or more positions of the turn differ.
func threeAngles(points []OrbitPoint) bool {
	different := 0
	for i, p := range points {
		fresh := true
		for _, q := range points[:i] {
			fresh = fresh && align.Clock(p.Turned).Normal() != align.Clock(q.Turned).Normal()
		}
		if fresh {
			different++
		}
		if different == 3 {
			return true
		}
	}
	return false
}

// turnFit is the fit of a turn in one sense.
type turnFit struct {
	centre, throw Lean
	spread        float64 // mean |u - mean u|^2
	sumSquares    float64
	worst         unit.Length
}

// fitTurn fits z = c + a u with u = exp(i sense t).
func fitTurn(points []OrbitPoint, sense float64) (f turnFit) {
	n := float64(len(points))
	var uMean, zMean complex128
	for _, p := range points {
		uMean += turn(p, sense) / complex(n, 0)
		zMean += p.At.complex() / complex(n, 0)
	}
	var top complex128
	bottom := 0.0
	for _, p := range points {
		d, z := turn(p, sense)-uMean, p.At.complex()-zMean
		top += complex(real(d), -imag(d)) * z
		bottom += real(d)*real(d) + imag(d)*imag(d)
	}
	if f.spread = bottom / n; f.spread < leastSpread {
		return f
	}
	a := top / complex(bottom, 0) // complex regression, see FitOrbit
	c := zMean - a*uMean
	f.centre, f.throw = leanOf(c), leanOf(a)
	for _, p := range points {
		d := leanOf(p.At.complex() - c - a*turn(p, sense)).Size()
		f.sumSquares += float64(d * d)
		f.worst = max(f.worst, d)
	}
	return f
}

func turn(p OrbitPoint, sense float64) complex128 {
	cos, sin := align.Clock(p.Turned).Unit()
	return complex(cos, sense*sin)
}

func (l Lean) complex() complex128 { return complex(float64(l.North), float64(l.East)) }

func leanOf(z complex128) Lean { return Lean{unit.Length(real(z)), unit.Length(imag(z))} }

func orbitPairs(points []OrbitPoint) (pairs []OrbitPair) {
	for i, p := range points {
		for _, q := range points[i+1:] {
			if align.Clock(p.Turned+180).Normal() != align.Clock(q.Turned).Normal() {
				continue
			}
			pairs = append(pairs, OrbitPair{
				From: p.Turned, To: q.Turned, Diameter: q.At.Sub(p.At).Size(),
				Middle: Lean{(p.At.North + q.At.North) / 2, (p.At.East + q.At.East) / 2},
			})
		}
	}
	return pairs
}

func orbitWarnings(o Orbit, forward, backward turnFit) (ws []align.Warning) {
	if o.Arc > poorArc {
		ws = append(ws, align.Warning{
			Code: align.WarnNarrowArc, Severity: align.Suspect, Field: "points",
			Value: o.Arc, Limit: poorArc, Unit: align.UnitOne,
		})
	}
	rounding := roundingPart * float64(backward.throw.Size())
	if float64(forward.worst) > rounding && forward.sumSquares > float64(senseFactor*backward.sumSquares) && backward.throw.Size() > forward.throw.Size() {
		ws = append(ws, align.Warning{
			Code: WarnTurningSense, Meaning: warningMeaning(WarnTurningSense), Severity: align.Serious, Field: "points",
			Value: float64(forward.worst), Limit: float64(backward.worst), Unit: align.UnitMillimetre,
		})
	}
	return ws
}
