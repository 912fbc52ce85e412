package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
)

// faceRatio is k, the uncertainty of a face reading over that of a rim reading.
func (g Geometry) faceRatio() float64 {
	if g.FaceSigma == 0 {
		return 1
	}
	return float64(g.FaceSigma / g.Sigma)
}

// SlopeCrossover returns the distance D between the dials of the reverse
// indicator method from which on it finds the slope better than rim and face
// does. With A the swept diameter and k the ratio of the uncertainty of a face
// reading to that of a rim reading:
//
//	sqrt(2) s/D = 2 k s/A    ->    D = A/(k sqrt(2))
//
// (derived here.) Only Face, Sigma and FaceSigma of the geometry are used. It
// fails with ErrMissing, ErrNotFinite, ErrNegative or ErrZeroDiameter.
func (g Geometry) SlopeCrossover() (unit.Length, error) {
	if err := g.checkCrossover(); err != nil {
		return 0, err
	}
	d := g.Face.Swept / unit.Length(g.faceRatio()*math.Sqrt2)
	return d, checkFound("geometry.face.swept", g.Face.Swept, d)
}

// OffsetCrossover returns the distance D between the dials of the reverse
// indicator method from which on it finds the offset at station x better than
// rim and face does. Its dial on the far shaft stays at Reverse.Second and the
// one on the near shaft stands D before it; Reverse.First is not used. With l = x -
// Reverse.Second, m = x - Face.Rim and V = 1 + (2 k m/A)^2 the variance of rim and
// face in units of s^2, the two are equal where
//
//	(1 + l/D)^2 + (l/D)^2 = V
//	l > 0:  D = l (1 + sqrt(2V - 1))/(V - 1)
//	l < 0:  D = 2 |l|/(1 + sqrt(2V - 1))
//
// (derived here). Far from the dials it tends to A/(k sqrt(2)), the crossover of
// the slope. It fails with ErrNothingSatisfies when no distance is a crossover: at
// l = 0 the reverse indicator method is as good at every distance, and at m = 0
// with l > 0 rim and face is better at every distance; and with what
// SlopeCrossover fails with.
func (g Geometry) OffsetCrossover(x unit.Length) (unit.Length, error) {
	if err := g.checkCrossover(); err != nil {
		return 0, err
	}
	if g.Reverse == nil {
		return 0, fault("geometry."+ReverseIndicator.String(), "", align.ErrMissing)
	}
	for _, v := range [...]struct {
		name string
		x    unit.Length
	}{{"station", x}, {"geometry.reverse.second", g.Reverse.Second}, {"geometry.face.rim", g.Face.Rim}} {
		if !align.IsFinite(v.x) {
			return 0, fault(v.name, show(v.x), align.ErrNotFinite)
		}
	}
	l := float64(x - g.Reverse.Second)
	face := 2 * g.faceRatio() * float64((x-g.Face.Rim)/g.Face.Swept)
	more := face * face // V - 1
	root := 1 + math.Sqrt(1+2*more)
	switch {
	case l == 0:
		return 0, noCrossover(x, "reverse indicator is as good or better at every distance")
	case l > 0 && more == 0:
		return 0, noCrossover(x, "rim and face is better at every distance")
	case l > 0:
		d := unit.Length(l / more * root)
		return d, checkFound("station", x, d)
	}
	d := unit.Length(-2 * l / root)
	return d, checkFound("station", x, d)
}

func noCrossover(x unit.Length, why string) error {
	return &align.InputError{Package: "uncertainty", Field: "station", Got: show(x), Err: ErrNothingSatisfies,
		Meaning: "has no crossover: " + why}
}

// checkFound refuses a distance that overflowed or vanished.
func checkFound(field string, given, d unit.Length) error {
	if align.IsFinite(d) && d > 0 {
		return nil
	}
	return fault(field, show(given), align.ErrOutOfRange)
}

func (g Geometry) checkCrossover() error {
	if g.Face == nil {
		return fault("geometry."+RimAndFace.String(), "", align.ErrMissing)
	}
	if err := checkPositive("geometry.sigma", g.Sigma); err != nil {
		return err
	}
	if err := checkSpread("geometry.face sigma", g.FaceSigma); err != nil {
		return err
	}
	return checkSwept("geometry.face.swept", g.Face.Swept)
}
