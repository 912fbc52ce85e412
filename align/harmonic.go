package align

import (
	"math"

	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// Fit is the circle through a sweep: r(t) = Constant + Vertical cos t +
// Horizontal sin t, fitted by least squares.
type Fit struct {
	Constant   unit.Length
	Vertical   unit.Length // first harmonic toward 12 o'clock
	Horizontal unit.Length // first harmonic toward 3 o'clock

	VerticalKnown   bool // false when the positions say nothing of that plane
	HorizontalKnown bool

	Positions int         // readings used, the closing one left out
	DoF       int         // readings beyond the number of unknowns
	RMS       unit.Length // root mean square residual over DoF; 0 when DoF is 0
	Worst     unit.Length // largest residual, in size

	// Cov is the covariance of (Vertical, Horizontal) for unit variance of a
	// reading, a pure number. Multiply by the variance of one reading.
	Cov [2][2]float64
	// ArcVertical and ArcHorizontal say how much the arc magnifies errors: the
	// standard uncertainty of the component against that of the same number of
	// readings spread over a full turn. 1 is ideal; over 2 is poor.
	ArcVertical   float64
	ArcHorizontal float64
}

// Offset returns the first harmonic as an offset.
func (f Fit) Offset() Offset { return Offset{f.Vertical, f.Horizontal} }

// minSpread is the least determinant of the centred position matrix, for unit
// number of readings, that still counts as an arc.
const minSpread = 1e-14

// Fit returns the least-squares circle through the readings. It fails with
// ErrTooFewPositions when they determine neither plane.
//
// With positions n_k = (cos t_k, sin t_k), both columns and the readings are
// centred on their means first, which keeps the digits on short arcs; then the
// two-by-two normal equations are solved. Equally spaced positions give the
// Fourier sums (2/n) sum r cos t and (2/n) sum r sin t (NIST/SEMATECH
// e-Handbook, section mpc344).
func (s Sweep) Fit() (Fit, error) {
	if err := s.Check(); err != nil {
		return Fit{}, err
	}
	var buf [stackSamples]sample
	c := s.core().samples(buf[:0])
	m := momentsOf(c)
	f := Fit{Positions: len(c)}
	f.VerticalKnown, f.HorizontalKnown = m.planes()
	if !f.VerticalKnown && !f.HorizontalKnown {
		return Fit{}, &InputError{Field: "sweep", Err: ErrTooFewPositions}
	}
	f.solve(m)
	if !IsFinite(f.Vertical) || !IsFinite(f.Horizontal) {
		return Fit{}, &InputError{Field: "sweep", Err: ErrOutOfRange}
	}
	f.residuals(c)
	if !IsFinite(f.Constant) || !IsFinite(f.RMS) || !IsFinite(f.Worst) {
		return Fit{}, &InputError{Field: "sweep", Err: ErrOutOfRange}
	}
	return f, nil
}

// moments are the centred sums of a sweep.
type moments struct {
	n          float64
	up, right  float64 // mean cosine and sine
	mean       float64 // mean reading
	cc, ss, cs float64 // centred sums of squares and products
	cr, sr     float64 // centred sums with the readings
}

// sample is a reading with its clock position resolved into n = (up, right).
type sample struct{ up, right, value float64 }

// stackSamples is how many samples are kept without allocating; longer sweeps
// go to the heap.
const stackSamples = 16

// samples appends the readings to buf with their directions worked out once.
func (s Sweep) samples(buf []sample) []sample {
	for _, r := range s {
		u, v := r.At.Unit()
		buf = append(buf, sample{u, v, float64(r.Value)})
	}
	return buf
}

// momentsOf works with plain variables, which stay in registers.
func momentsOf(s []sample) moments {
	n := float64(len(s))
	if len(s) == 0 {
		return moments{}
	}
	var up, right, mean float64
	for i := range s {
		r := &s[i]
		up, right, mean = up+r.up, right+r.right, mean+r.value
	}
	up, right, mean = up/n, right/n, mean/n
	var cc, ss, cs, cr, sr float64
	for i := range s {
		r := &s[i]
		u, v, d := r.up-up, r.right-right, r.value-mean
		cc += u * u
		ss += v * v
		cs += u * v
		cr += u * d
		sr += v * d
	}
	return moments{n, up, right, mean, cc, ss, cs, cr, sr}
}

// planes says which planes the positions determine: both, or the one along
// which all positions lie.
func (m moments) planes() (vertical, horizontal bool) {
	n2 := m.n * m.n
	if float64(m.cc*m.ss)-float64(m.cs*m.cs) > minSpread*n2 {
		return true, true
	}
	return m.cc > 1e-7*m.n && m.ss < minSpread*m.n, m.ss > 1e-7*m.n && m.cc < minSpread*m.n
}

func (f *Fit) solve(m moments) {
	unknowns := 2
	switch {
	case f.VerticalKnown && f.HorizontalKnown:
		unknowns = 3
		det := m.cc*m.ss - m.cs*m.cs
		f.Vertical = unit.Length((m.cr*m.ss - m.sr*m.cs) / det)
		f.Horizontal = unit.Length((m.sr*m.cc - m.cr*m.cs) / det)
		f.Cov = [2][2]float64{{m.ss / det, -m.cs / det}, {-m.cs / det, m.cc / det}}
	case f.VerticalKnown:
		f.Vertical = unit.Length(m.cr / m.cc)
		f.Cov[0][0] = 1 / m.cc
	default:
		f.Horizontal = unit.Length(m.sr / m.ss)
		f.Cov[1][1] = 1 / m.ss
	}
	f.Constant = unit.Length(m.mean) - f.Vertical*unit.Length(m.up) - f.Horizontal*unit.Length(m.right)
	f.DoF = int(m.n) - unknowns
	f.ArcVertical, f.ArcHorizontal = m.arcs(f.Cov)
}

// arcs compares the uncertainty of the components with that of a full turn,
// 2/n; a set of opposite readings alone has 1/n.
func (m moments) arcs(cov [2][2]float64) (vertical, horizontal float64) {
	return math.Sqrt(cov[0][0] * m.n / 2), math.Sqrt(cov[1][1] * m.n / 2)
}

func (f *Fit) residuals(s []sample) {
	constant, vertical, horizontal := float64(f.Constant), float64(f.Vertical), float64(f.Horizontal)
	sum, worst := 0.0, 0.0
	for i := range s {
		r := &s[i]
		d := r.value - constant - vertical*r.up - horizontal*r.right
		sum += d * d
		if d = math.Abs(d); d > worst {
			worst = d
		}
	}
	f.Worst = unit.Length(worst)
	if f.DoF > 0 {
		f.RMS = unit.Length(math.Sqrt(sum / float64(f.DoF)))
	}
}

// FitSecond is a sweep resolved into a circle and a second harmonic:
// r(t) = Constant + Vertical cos t + Horizontal sin t + Cos2 cos 2t + Sin2 sin 2t.
// The second harmonic is the mark of an oval surface.
type FitSecond struct {
	Constant   unit.Length
	Vertical   unit.Length
	Horizontal unit.Length
	Cos2, Sin2 unit.Length
	DoF        int
	RMS        unit.Length // root mean square residual over DoF; 0 when DoF is 0
	Condition  float64     // condition number of the columns; large on short arcs
}

// FitSecond resolves the sweep into first and second harmonic. It needs five
// or more clock positions spread over the turn; with fewer it fails with
// ErrTooFewPositions. (Four quarter readings show only Cos2, as a quarter of
// SumRule, and then leave no check.)
func (s Sweep) FitSecond() (FitSecond, error) {
	if err := s.Check(); err != nil {
		return FitSecond{}, err
	}
	c := s.core()
	sys := lsq.New(5)
	for _, r := range c {
		u, v := r.At.Unit()
		sys.Add(lsq.Row{1, u, v, u*u - v*v, 2 * u * v}, float64(r.Value))
	}
	if _, share := sys.Weakest(); len(c) < 5 || share < 1e-9 {
		return FitSecond{}, &InputError{Field: "sweep", Err: ErrTooFewPositions}
	}
	x := sys.Solve()
	w := sys.InverseFactor()
	f := FitSecond{
		Constant: unit.Length(x[0]), Vertical: unit.Length(x[1]), Horizontal: unit.Length(x[2]),
		Cos2: unit.Length(x[3]), Sin2: unit.Length(x[4]),
		DoF: len(c) - 5, Condition: sys.Condition(&w),
	}
	if f.DoF > 0 {
		f.RMS = unit.Length(math.Sqrt(sys.SumSquares() / float64(f.DoF)))
	}
	for _, v := range [...]unit.Length{f.Constant, f.Vertical, f.Horizontal, f.Cos2, f.Sin2, f.RMS} {
		if !IsFinite(v) {
			return FitSecond{}, &InputError{Field: "sweep", Err: ErrOutOfRange}
		}
	}
	return f, nil
}

// harmonic is the first harmonic of a sweep, the fast way: quarter readings by
// halves, everything else by the centred sums. It allocates nothing.
// The last result is how much the arc magnifies errors; see Fit.ArcVertical.
func (s Sweep) harmonic() (o Offset, vertical, horizontal bool, arc float64) {
	c := s.core()
	if len(c) == 4 && c[0].At == Twelve && c[1].At == Three && c[2].At == Six && c[3].At == Nine {
		return Offset{(c[0].Value - c[2].Value) / 2, (c[1].Value - c[3].Value) / 2}, true, true, 1
	}
	var f Fit
	var buf [stackSamples]sample
	m := momentsOf(c.samples(buf[:0]))
	f.VerticalKnown, f.HorizontalKnown = m.planes()
	if !f.VerticalKnown && !f.HorizontalKnown {
		return Offset{}, false, false, 0
	}
	f.solve(m)
	return f.Offset(), f.VerticalKnown, f.HorizontalKnown, max(f.ArcVertical, f.ArcHorizontal)
}
