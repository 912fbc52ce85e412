package runout

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Section is a shaft or hub at one station, from a radial dial on a fixed base
// and the shaft turned under it.
//
// The first harmonic is the distance from the axis of turning to the centre of
// the section: for a small eccentricity e on a round section
//
//	r(t) = c + e cos(t - high spot)
//
// up to e^2/(2 radius). The second harmonic is ovality: a section with
// radius R + a cos 2(t - lobe). (NIST/SEMATECH e-Handbook, section mpc344, for
// the least-squares circle.)
type Section struct {
	Turn
}

// NewSection resolves a sweep of a rim: at least three marks, not on one line
// through the centre. It fails with ErrTooFewPositions, ErrArcTooNarrow,
// ErrNotFinite or, where results overflow, ErrOutOfRange of package align.
func NewSection(s align.Sweep, c SweepChecks) (Section, error) {
	c = c.filled()
	t, err := newTurn(s, c, false)
	if err != nil {
		return Section{}, err
	}
	t.check(c, WarnNotRound)
	return Section{t}, nil
}

// Eccentricity returns the distance of the centre of the section from the axis
// of turning, not negative. It is half of FirstTIR. HighSpot is its direction.
func (s Section) Eccentricity() unit.Length { return s.First.Resultant() }

// Ovality returns the amplitude of the second harmonic, as far as the marks
// show it; Second.Seen says how far. The largest diameter less the smallest is
// four times as much, because radii at both ends of a diameter count.
func (s Section) Ovality() unit.Length { return s.Second.Size() }

// String returns eccentricity, high spot and total indicator reading with
// their units.
func (s Section) String() string {
	mm := align.UnitMillimetre
	return "eccentricity " + mm.Format(float64(s.Eccentricity()), 4) + ", high spot at " + degrees(s.HighSpot()) + ", " + s.TIR.String()
}

// degrees writes a mark as an angle.
func degrees(c align.Clock) string {
	return align.UnitDegree.Format(align.UnitDegree.SI(float64(c)), 1)
}
