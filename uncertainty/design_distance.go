package uncertainty

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
)

// SmallestDistance returns the job with the smallest distance between the two rim
// dials, within bounds, that reaches the target with the reverse indicator or the
// double radial method, at the clock positions of the geometry. For reverse
// indicator the dial on the far shaft stays and the other stands farther before
// it; for double radial the first stays and the second stands farther beyond it.
// The stations in the geometry that move are not used. With s the standard
// uncertainty of one first harmonic, l how far a foot stands beyond the dial that
// stays, away from the other, and w = 1/D, every foot asks
//
//	2 l^2 w^2 + 2 l w + 1 <= (u/s)^2
//
// which holds between two values of w; the largest w that all the feet allow gives
// the smallest D (derived here). Both bounds are finite and above zero.
//
// It fails with ErrNothingSatisfies, naming the best uncertainty attainable within
// the bounds; with ErrUnknownKind for another method; with ErrOutOfRange,
// ErrNotFinite or ErrMismatch for the bounds; and with what Geometry.MethodSigma
// fails with.
func (g Geometry) SmallestDistance(m Method, t Target, bounds Range[unit.Length]) (Design, error) {
	if err := t.check(); err != nil {
		return Design{}, err
	}
	if err := checkBounds(bounds); err != nil {
		return Design{}, err
	}
	if m != ReverseIndicator && m != DoubleRadial {
		return Design{}, fault("method", m.String(), align.ErrUnknownKind)
	}
	if !g.has(m) {
		return Design{}, fault("geometry."+m.String(), "", align.ErrMissing)
	}
	levers := g.levers(m, t)
	s, err := g.harmonicSigma(m, bounds)
	if err != nil {
		return Design{}, err
	}
	lo, hi := 1/float64(bounds.Upper), 1/float64(bounds.Lower)
	w, ok := largestInverse(levers, float64(t.Sigma/s), lo, hi)
	if !ok {
		best, err := g.apart(m, 1/unit.Length(bestInverse(levers, lo, hi)), t)
		if err != nil {
			return Design{}, err
		}
		return Design{}, nothing("target.sigma", show(t.Sigma), show(best.Sigma))
	}
	return g.apart(m, 1/unit.Length(w), t)
}

// levers are the distances of the stations beyond the dial that stays, away from
// the other dial.
func (g Geometry) levers(m Method, t Target) []float64 {
	out := make([]float64, len(t.Stations))
	for i, x := range t.Stations {
		if m == ReverseIndicator {
			out[i] = float64(x - g.Reverse.Second)
		} else {
			out[i] = float64(g.Double.First - x)
		}
	}
	return out
}

// apart is the job with the two rim dials d apart.
func (g Geometry) apart(m Method, d unit.Length, t Target) (Design, error) {
	if m == ReverseIndicator {
		g.Reverse = &Rims{First: g.Reverse.Second - d, Second: g.Reverse.Second}
	} else {
		g.Double = &Rims{First: g.Double.First, Second: g.Double.First + d}
	}
	return g.reached(m, t)
}

func (g Geometry) reached(m Method, t Target) (Design, error) {
	found, err := g.MethodSigma(m)
	if err != nil {
		return Design{}, err
	}
	return Design{Method: m, Geometry: g, Sigma: found.Worst(t.Stations...), Count: len(g.At)}, nil
}

// harmonicSigma is the standard uncertainty, in the worse plane, of the first
// harmonic of one rim dial: that of the offset at the dial.
func (g Geometry) harmonicSigma(m Method, bounds Range[unit.Length]) (unit.Length, error) {
	var stays unit.Length
	if m == ReverseIndicator {
		stays = g.Reverse.Second
	} else {
		stays = g.Double.First
	}
	d, err := g.apart(m, bounds.Upper, Target{Stations: []unit.Length{stays}})
	return d.Sigma, err
}

// square is the variance of a foot at lever l over that of one harmonic, with the
// dials 1/w apart: (1 + l w)^2 + (l w)^2.
func square(l, w float64) float64 { return float64((1+l*w)*(1+l*w)) + float64(l*w*l*w) }

// largestInverse is the largest w between lo and hi at which no lever asks for
// more than ratio times the uncertainty of one harmonic.
func largestInverse(levers []float64, ratio, lo, hi float64) (float64, bool) {
	v := ratio * ratio * (1 + 1e-12) // equal but for rounding counts as equal
	for _, l := range levers {
		root := 2*v - 1
		if root < 0 || l == 0 && v < 1 {
			return 0, false
		}
		if l == 0 {
			continue
		}
		// The roots of 2 l^2 w^2 + 2 l w + 1 - v are (-1 +- sqrt(2v - 1))/(2 l).
		a, b := (-1-math.Sqrt(root))/(2*l), (-1+math.Sqrt(root))/(2*l)
		lo, hi = max(lo, min(a, b)), min(hi, max(a, b))
	}
	return hi, lo <= hi
}

// bestInverse is the w between lo and hi at which the worst lever is best. The
// worst of several upward parabolas is convex, so thirds of the interval close in
// on it.
func bestInverse(levers []float64, lo, hi float64) float64 {
	worst := func(w float64) float64 {
		v := 0.0
		for _, l := range levers {
			v = max(v, square(l, w))
		}
		return v
	}
	for range 200 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if worst(a) <= worst(b) {
			hi = b
		} else {
			lo = a
		}
	}
	return lo
}

func checkBounds(b Range[unit.Length]) error {
	if err := b.check("bounds"); err != nil {
		return err
	}
	if !align.IsFinite(b.Upper) {
		return fault("bounds.upper", show(b.Upper), align.ErrNotFinite)
	}
	if !(b.Lower > 0) || !align.IsFinite(1/b.Lower) {
		return fault("bounds.lower", show(b.Lower), align.ErrOutOfRange)
	}
	return nil
}

// SmallestSwept returns the job with the smallest swept diameter, within bounds,
// that reaches the target with rim and face or with face to face, at the clock
// positions of the geometry. Face to face sweeps the same diameter at both ends.
// With s, s_f the standard uncertainties of one first harmonic of a rim and of a
// face dial, and a, b the distances of a foot from the rim dial or from the two
// flex planes:
//
//	rim and face:  A = 2 s_f |a|/sqrt(u^2 - s^2)      face to face:  A = 2 s_f sqrt(a^2 + b^2)/u
//
// (derived here), the largest over the feet. The diameters in the geometry are not
// used. It fails with ErrNothingSatisfies, naming the best uncertainty attainable
// within the bounds; with ErrUnknownKind for another method; and with what
// Geometry.MethodSigma fails with.
func (g Geometry) SmallestSwept(m Method, t Target, bounds Range[unit.Length]) (Design, error) {
	if err := t.check(); err != nil {
		return Design{}, err
	}
	if err := checkBounds(bounds); err != nil {
		return Design{}, err
	}
	if m != RimAndFace && m != FaceFace {
		return Design{}, fault("method", m.String(), align.ErrUnknownKind)
	}
	if !g.has(m) {
		return Design{}, fault("geometry."+m.String(), "", align.ErrMissing)
	}
	best, err := g.swept(m, bounds.Upper, t)
	if err != nil {
		return Design{}, err
	}
	if !best.reaches(t) {
		return Design{}, nothing("target.sigma", show(t.Sigma), show(best.Sigma))
	}
	need, err := g.neededSwept(m, t, best)
	if err != nil {
		return Design{}, err
	}
	return g.swept(m, min(max(need, bounds.Lower), bounds.Upper), t)
}

// neededSwept scales from the job with the largest diameter: the part of the
// variance that the faces make goes with 1/A^2.
func (g Geometry) neededSwept(m Method, t Target, best Design) (unit.Length, error) {
	if m == FaceFace {
		return best.Geometry.FaceFace.Near * (best.Sigma / t.Sigma), nil
	}
	rim, err := best.Geometry.reached(m, Target{Stations: []unit.Length{g.Face.Rim}})
	if err != nil {
		return 0, err
	}
	s := float64(rim.Sigma)
	faces := math.Sqrt(max(0, float64((float64(best.Sigma)-s)*(float64(best.Sigma)+s))))
	left := math.Sqrt(max(0, float64((float64(t.Sigma)-s)*(float64(t.Sigma)+s))))
	if faces == 0 { // every foot stands at the rim dial
		return 0, nil
	}
	if left == 0 {
		return best.Geometry.Face.Swept, nil
	}
	return best.Geometry.Face.Swept * unit.Length(faces/left), nil
}

// swept is the job with swept diameter d.
func (g Geometry) swept(m Method, d unit.Length, t Target) (Design, error) {
	if m == RimAndFace {
		g.Face = &Faced{Rim: g.Face.Rim, Swept: d}
	} else {
		g.FaceFace = &Spooled{Spool: g.FaceFace.Spool, Near: d, Far: d}
	}
	return g.reached(m, t)
}

// String says method, clock positions and what is reached.
func (d Design) String() string {
	s := fmt.Sprintf("%s, %d clock positions", d.Method, d.Count)
	if d.Arc > 0 {
		s += fmt.Sprintf(" over %.1f deg", min(float64(d.Arc), 360))
	}
	return s + ": standard uncertainty " + align.UnitMillimetre.Format(float64(d.Sigma), 4)
}
