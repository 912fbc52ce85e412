package piping

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// RestrainedPipe is a straight pipe, or any straight bar, between two anchors
// that do not give way, while its temperature changes.
type RestrainedPipe struct {
	Area    unit.Area     // of the metal; see SectionProperties
	Modulus unit.Pressure // modulus of elasticity
	Length  unit.Length
	// Strain is the free thermal strain of the change of temperature, positive
	// when the pipe grows: the coefficient times the rise, or what package
	// thermal finds. Zero is no change.
	Strain float64
	// Gap is how far the pipe can grow before a stop holds it. Zero: the pipe is
	// held at both ends both ways. With a gap it is free to shrink.
	Gap unit.Length
}

// Restrained is what becomes of a pipe that cannot grow as it wants.
type Restrained struct {
	Free    unit.Length   // growth if nothing held it
	Blocked unit.Length   // the part of it that is held back, same sign
	Stress  unit.Pressure // negative is compression
	Force   unit.Force    // in the pipe, negative is compression; each anchor is pushed by its size
}

// maxStrain is more than any metal grows below its melting point; a larger one
// was entered in millionths or in per cent.
const maxStrain = 0.1

// Load returns free growth, what is held back, and the stress and the force in
// the pipe:
//
//	free = strain L     blocked = free, less the gap if there is one
//	stress = -E blocked/L     force = stress A
//
// (F = -E A alpha dT for a bar held at both ends, Brown University, ENGN0310
// lecture notes, thermal stresses, problem 3). It is the upper bound for a
// straight pipe between rigid anchors: bends, anchors that give way and buckling
// make it less.
//
// Errors: missing, negative, not-finite or out-of-range area, modulus or length;
// not-finite or out-of-range strain (beyond 0.1); negative gap.
func (p RestrainedPipe) Load() (Restrained, error) {
	if err := p.check(); err != nil {
		return Restrained{}, err
	}
	free := unit.Length(p.Strain) * p.Length
	blocked := free
	if p.Gap > 0 {
		blocked = max(free-p.Gap, 0)
	}
	stress := -p.Modulus * unit.Pressure(blocked/p.Length)
	return Restrained{Free: free, Blocked: blocked, Stress: stress, Force: unit.Force(float64(stress) * float64(p.Area))}, nil
}

func (p *RestrainedPipe) check() error {
	if err := loadPositive("area", float64(p.Area), 1e-18, 1e6, "m2"); err != nil {
		return err
	}
	if err := checkModulus("modulus", p.Modulus); err != nil {
		return err
	}
	if err := loadExtent("length", p.Length); err != nil {
		return err
	}
	if err := loadBounded("strain", p.Strain, maxStrain, ""); err != nil {
		return err
	}
	if err := loadBounded("gap", float64(p.Gap), loadMostLength, "m"); err != nil {
		return err
	}
	if p.Gap < 0 {
		return loadFault("gap", align.UnitMillimetre.Format(float64(p.Gap), 3), align.ErrNegative)
	}
	return nil
}
