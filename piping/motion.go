package piping

import (
	"math"

	"collinear.example/align"
	"collinear.example/internal/rigid"
)

// solver holds what is the same for all steps of a test. A result keeps it, to
// answer from it; once the test is worked out nothing in it changes.
type solver struct {
	about                   align.Place
	stations, feet, nozzles int
	rows                    []rigid.Vector // what each indicator reads of a motion
	u                       []float64      // standard uncertainty of a movement
	onShaft                 uint64         // indicators that touch the shaft
	wanted                  []rigid.Vector // what is asked of a motion; see the places below
	freeCasing              [rigid.Unknowns]bool
	freeTouched             [rigid.Unknowns]bool
	lever                   float64
	fits                    []*bodyFit
	y                       []float64      // room for the readings of a fit
	weighted                []rigid.Vector // and for its rows
}

// Where things stand in solver.wanted: the six ways, then three for each
// coupling station, the two slopes, three for each foot and each nozzle, and
// what each indicator reads. An indicator's place is counted from the end.
const atCoupling = rigid.Unknowns

func (s *solver) atSlopes() int    { return atCoupling + 3*s.stations }
func (s *solver) atFeet() int      { return s.atSlopes() + 2 }
func (s *solver) atNozzles() int   { return s.atFeet() + 3*s.feet }
func (s *solver) atPredicted() int { return s.atNozzles() + 3*s.nozzles }

// bodyFit is what one set of indicators tells of one body. The decomposition
// serves every step at which just these indicators were read.
type bodyFit struct {
	set   uint64
	used  []uint8 // indicators, at most maxIndicators of them
	fit   rigid.Fit
	sigma []float64 // of solver.wanted, less than zero where not known
}

func (b *bodyFit) known(k int) bool { return b != nil && k < len(b.sigma) && b.sigma[k] >= 0 }

func newSolver(t *StrainTest) *solver {
	n := len(t.Indicators)
	s := &solver{
		about: t.reference(), stations: len(t.Coupling), feet: len(t.Feet), nozzles: len(t.Nozzles),
		lever:      t.lever(),
		freeCasing: t.Held.list(), freeTouched: t.Held.list(),
	}
	vectors, numbers := make([]rigid.Vector, 3*n+s.atPredicted()), make([]float64, 2*n)
	s.rows, s.weighted, s.wanted = vectors[:n:n], vectors[n:n:2*n], vectors[2*n:2*n]
	s.u, s.y = numbers[:n:n], numbers[n:]
	for i := range rigid.Unknowns {
		s.freeCasing[i] = !s.freeCasing[i]
	}
	s.freeTouched = s.freeCasing
	s.freeTouched[3] = false // a shaft does not roll in its bearings here
	for i := range t.Indicators {
		s.rows[i] = rigid.Reading(t.Indicators[i].At, s.about, t.Indicators[i].sense())
		s.u[i] = t.uncertainty(i)
		if t.Indicators[i].Touches == Shaft {
			s.onShaft |= 1 << i
		}
	}
	s.want(t)
	return s
}

func (s *solver) want(t *StrainTest) {
	about := s.about
	s.wanted = s.wanted[:rigid.Unknowns]
	for i := range rigid.Unknowns {
		s.wanted[i][i] = 1
	}
	point := func(p align.Place) {
		s.wanted = append(s.wanted, rigid.Reading(p, about, align.AlongTrain()),
			rigid.Reading(p, about, align.Upward()), rigid.Reading(p, about, align.Rightward()))
	}
	for _, x := range t.Coupling {
		point(t.onShaft(x))
	}
	// A pitch lifts the far end, a swing turns it to the left (see align.Turn).
	s.wanted = append(s.wanted, rigid.Vector{5: 1}, rigid.Vector{4: -1})
	for i := range t.Feet {
		point(t.Feet[i].At)
	}
	for i := range t.Nozzles {
		point(t.Nozzles[i].At)
	}
	s.wanted = append(s.wanted, s.rows...)
}

// fitOf returns the fit of a set of indicators that all watch one body, nil for
// none.
func (s *solver) fitOf(set uint64, shaft bool) *bodyFit {
	if set == 0 {
		return nil
	}
	for _, b := range s.fits {
		if b.set == set {
			return b
		}
	}
	b := &bodyFit{set: set, used: make([]uint8, 0, len(s.rows))}
	free, asked := s.freeCasing, len(s.wanted)
	if shaft { // nobody asks a shaft where the feet went
		free, asked = s.freeTouched, s.atFeet()
	}
	rows := s.weighted[:0]
	for i := range s.rows {
		if set>>i&1 == 0 {
			continue
		}
		row := s.rows[i]
		for j := range row {
			row[j] /= s.u[i]
		}
		rows = append(rows, row)
		b.used = append(b.used, uint8(i))
	}
	b.fit = rigid.New(rows, free, s.lever)
	b.sigma = make([]float64, asked)
	for k := range b.sigma {
		b.sigma[k] = -1
		if k >= s.atPredicted() && s.onShaft>>(k-s.atPredicted())&1 == 0 {
			continue // it has its reading
		}
		if b.fit.Determined(s.wanted[k], free) {
			b.sigma[k] = math.Sqrt(b.fit.Variance(s.wanted[k]))
		}
	}
	s.fits = append(s.fits, b)
	return b
}

// solve returns the motion of least squares.
func (s *solver) solve(b *bodyFit, moved []Reading) rigid.Vector {
	if b == nil {
		return rigid.Vector{}
	}
	y := s.y[:len(b.used)]
	for k, i := range b.used {
		y[k] = float64(moved[i].Value) / s.u[i]
	}
	return b.fit.Solve(y)
}

// work finds the motions of m from the movements of the indicators. Before is
// what the motions were before this step, when m is a running sum.
func (s *solver) work(m *Movements, scale float64) {
	casing, touched := s.fitsOf(m)
	m.s = s
	m.Casing = Body{s: s, b: casing, x: s.solve(casing, m.Indicators), scale: scale}
	m.Touched = Body{s: s, b: touched, x: s.solve(touched, m.Indicators), scale: scale, touched: true}
}

// add finds the motions of the running sum m from those before a step and those
// of the step, where the same indicators were read; motions add as movements do.
func (s *solver) add(m, before, step *Movements, scale float64) {
	casing, touched := s.fitsOf(m)
	if before.Casing.b != casing || before.Touched.b != touched || step.Casing.b != casing || step.Touched.b != touched {
		s.work(m, scale)
		return
	}
	m.s = s
	m.Casing = Body{s: s, b: casing, x: sum(&before.Casing.x, &step.Casing.x), scale: scale}
	m.Touched = Body{s: s, b: touched, x: sum(&before.Touched.x, &step.Touched.x), scale: scale, touched: true}
}

func sum(a, b *rigid.Vector) (c rigid.Vector) {
	for i := range c {
		c[i] = a[i] + b[i]
	}
	return c
}

func (s *solver) fitsOf(m *Movements) (casing, touched *bodyFit) {
	var read uint64
	for i, r := range m.Indicators {
		if r.Given {
			read |= 1 << i
		}
	}
	return s.fitOf(read&^s.onShaft, false), s.fitOf(read&s.onShaft, true)
}
