package align

// FlexAngles are the angles at the two flex planes of a spacer coupling, each
// the later body's slope less the earlier one's.
type FlexAngles struct {
	Near Slope // spool against near shaft
	Far  Slope // far shaft against spool
}

// Largest returns the larger of the two resultant angles, as a slope (rise over
// run).
func (f FlexAngles) Largest() float64 { return max(f.Near.Resultant(), f.Far.Resultant()) }

// FlexAngles returns the angles at the flex planes of spool s. With L the
// distance between the planes, the spool's slope against the near shaft is
// e(xF)/L and the far shaft's against the spool is -e(xN)/L: the angle at one
// end is the offset at the other plane over L. (Derived here; the handbooks'
// deviation over the distance between flex planes is the same figure.)
//
// A coupling with a single flex plane at station x has the angle Slope() and
// must take up the offset At(x).
func (a Axis) FlexAngles(s Spool) (FlexAngles, error) {
	if err := s.Check(); err != nil {
		return FlexAngles{}, In(err, "spool")
	}
	l := s.Length()
	atNear, atFar := a.At(s.NearFlex), a.At(s.FarFlex)
	return FlexAngles{
		Near: Slope{float64(atFar.Vertical / l), float64(atFar.Horizontal / l)},
		Far:  Slope{float64(-atNear.Vertical / l), float64(-atNear.Horizontal / l)},
	}, nil
}
