package align

import "gonum.org/v1/gonum/unit"

// FaceFace is the method with two face dials over a spool: one reads the angle
// between near shaft and spool, the other that between spool and far shaft.
// Give swept diameter, sweep and sag of each dial, and Surface when the face
// looks away from the bracket. It finds the offset from the angles and the
// length of the spool, so it suits long spools.
type FaceFace struct {
	Spool    Spool
	NearFace Dial // between near shaft and spool
	FarFace  Dial // between spool and far shaft

	Sigma  unit.Length // standard uncertainty of one reading; zero: not known
	Checks Checks      // limits of the validity checks; zero: defaults
}

// Measurement returns the same measurement in general form.
func (r FaceFace) Measurement() Measurement {
	n, f := r.NearFace, r.FarFace
	n.Reach, f.Reach = NearToSpool, FarToSpool
	if n.Surface == Rim {
		n.Surface = FaceToward
	}
	if f.Surface == Rim {
		f.Surface = FaceToward
	}
	return Measurement{Dials: []Dial{n, f}, Spool: r.Spool, Sigma: r.Sigma, Checks: r.Checks}
}

// Solve returns the position with uncertainty, residuals and warnings.
func (r FaceFace) Solve() (Position, error) {
	m := r.Measurement()
	return m.Solve()
}

// ShaftToSpool is the method with a bracket on each hub and a rim dial out on
// the spool. Each dial shows how far the spool has wandered from the hub's own
// centreline at the dial's station. Give station, sweep and sag of each dial,
// and OnSpool when the bracket is on the spool and the stem on the hub's shaft.
type ShaftToSpool struct {
	Spool  Spool
	OnNear Dial // bracket on the near hub
	OnFar  Dial // bracket on the far hub

	Sigma  unit.Length // standard uncertainty of one reading; zero: not known
	Checks Checks      // limits of the validity checks; zero: defaults
}

// Measurement returns the same measurement in general form.
func (r ShaftToSpool) Measurement() Measurement {
	n, f := r.OnNear, r.OnFar
	n.Surface, n.Reach, n.Bracket = Rim, NearToSpool, Near
	f.Surface, f.Reach, f.Bracket = Rim, FarToSpool, Far
	return Measurement{Dials: []Dial{n, f}, Spool: r.Spool, Sigma: r.Sigma, Checks: r.Checks}
}

// Solve returns the position with uncertainty, residuals and warnings.
func (r ShaftToSpool) Solve() (Position, error) {
	m := r.Measurement()
	return m.Solve()
}
