package align

import "gonum.org/v1/gonum/unit"

// DoubleRadial is the method with two rim dials from one bracket, touching the
// other shaft at two stations. It suits a long exposed shaft where the bracket
// cannot be carried by both. Give station, sweep and sag of each dial.
type DoubleRadial struct {
	Bracket Shaft // which shaft carries the bracket
	First   Dial
	Second  Dial

	Sigma  unit.Length // standard uncertainty of one reading; zero: not known
	Checks Checks      // limits of the validity checks; zero: defaults
}

// Measurement returns the same measurement in general form.
func (r DoubleRadial) Measurement() Measurement {
	a, b := r.First, r.Second
	a.Surface, a.Bracket, a.Reach = Rim, r.Bracket, ShaftToShaft
	b.Surface, b.Bracket, b.Reach = Rim, r.Bracket, ShaftToShaft
	return Measurement{Dials: []Dial{a, b}, Sigma: r.Sigma, Checks: r.Checks}
}

// Solve returns the position with uncertainty, residuals and warnings.
func (r DoubleRadial) Solve() (Position, error) {
	m := r.Measurement()
	return m.Solve()
}
