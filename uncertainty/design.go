package uncertainty

import (
	"errors"
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
)

// Arc is how much of a turn the clock positions cover, in degrees from the first
// to the last.
type Arc float64

// FullTurn spreads the positions over the whole turn in equal steps.
const FullTurn Arc = 360

// Bounds on what is searched.
const (
	MinPositions = 3   // fewer do not show both planes
	MaxPositions = 720 // a reading every half degree
)

// Positions returns n clock positions in equal steps, symmetric about centre, that
// cover arc: n - 1 steps of arc/(n - 1) degrees. An arc over 360 (n - 1)/n degrees
// would bring the last position close to the first; it is cut down to that, which
// is n equal steps over the whole turn. It fails with ErrTooFewPositions below
// three, with ErrOutOfRange above MaxPositions or for an arc outside 0 to
// 360 degrees, and with ErrNotFinite.
func Positions(n int, centre align.Clock, arc Arc) ([]align.Clock, error) {
	switch {
	case n < MinPositions:
		return nil, fault("positions", strconv.Itoa(n), align.ErrTooFewPositions)
	case n > MaxPositions:
		return nil, fault("positions", strconv.Itoa(n), align.ErrOutOfRange)
	case !align.IsFinite(centre):
		return nil, fault("centre", show(centre), align.ErrNotFinite)
	case !align.IsFinite(arc):
		return nil, fault("arc", show(arc), align.ErrNotFinite)
	case arc <= 0 || arc > FullTurn:
		return nil, fault("arc", show(arc), align.ErrOutOfRange)
	}
	// Steps of step degrees at -(n-1)/2 ... (n-1)/2 about the centre.
	step := min(float64(arc)/float64(n-1), 360/float64(n))
	at := make([]align.Clock, n)
	for i := range at {
		at[i] = centre + align.Clock(step*(float64(i)-float64(n-1)/2))
	}
	return at, nil
}

// StandardFor returns the standard uncertainty that gives the expanded uncertainty
// wanted with coverage probability p: expanded/k, k = F^-1((1 + p)/2) with F the
// standard normal distribution (JCGM 100:2008, 6.2 and G.1.3): the uncertainty of
// a reading is given here, not found from a few repeats. It fails with
// ErrOutOfRange unless 0 < p < 1, and with ErrMissing, ErrNegative or
// ErrNotFinite.
func StandardFor(expanded unit.Length, p float64) (unit.Length, error) {
	if err := checkPositive("expanded", expanded); err != nil {
		return 0, err
	}
	if err := checkShare("probability", p); err != nil {
		return 0, err
	}
	k := distuv.UnitNormal.Quantile((1 + p) / 2)
	u := expanded / unit.Length(k)
	if !align.IsFinite(k) || !align.IsFinite(u) || u == 0 {
		return 0, fault("probability", plain(p), align.ErrOutOfRange)
	}
	return u, nil
}

// Target is what a job is designed for: the standard uncertainty of the offset, in
// the worse of the two planes, at the worst of the stations (those of the feet, or
// of the flex planes). See StandardFor for a wanted expanded uncertainty.
type Target struct {
	Stations []unit.Length
	Sigma    unit.Length
}

func (t Target) check() error {
	if err := checkStations(t.Stations); err != nil {
		return err
	}
	return checkPositive("target.sigma", t.Sigma)
}

// Design is a job that reaches its target.
type Design struct {
	Method   Method
	Geometry Geometry    // with the clock positions and places found
	Sigma    unit.Length // standard uncertainty reached at the worst station
	Count    int         // clock positions
	Arc      Arc         // that they cover; zero when the search left them as given
}

// NeededReadings returns the job with the smallest number of equally spaced clock
// positions, from three to most, that reaches the target with method m. All cover
// arc, symmetric about centre. On a full turn of n positions each first harmonic
// has the variance 2 sigma^2/n (the Fourier sums of NIST/SEMATECH e-Handbook,
// section mpc344), so n = 2 (sigma g/u)^2, rounded up, for an uncertainty of g
// times that of one harmonic. The At of the geometry is not used.
//
// It fails with ErrNothingSatisfies, naming the best uncertainty attainable, when
// most positions are too few; and with what Positions and Geometry.MethodSigma
// fail with. Averaging lessens only what is different at every reading; a
// bracket that sags more than was taken stays wrong however many are read.
func (g Geometry) NeededReadings(m Method, t Target, centre align.Clock, arc Arc, most int) (Design, error) {
	if err := t.check(); err != nil {
		return Design{}, err
	}
	if most < MinPositions || most > MaxPositions {
		return Design{}, fault("most positions", strconv.Itoa(most), align.ErrOutOfRange)
	}
	s := search{want: t}
	for n := MinPositions; n <= most; n++ {
		d, err := s.try(g, m, n, centre, arc)
		if err != nil {
			return Design{}, err
		}
		if d.reaches(t) {
			return d, nil
		}
	}
	return Design{}, s.failed()
}

// arcGrid is the step, in degrees, at which arcs are tried before the smallest is
// narrowed down: the uncertainty need not fall everywhere as the arc grows.
const arcGrid = 1

// SmallestArc returns the job with the smallest arc, symmetric about centre, over
// which n equally spaced clock positions reach the target with method m. Arcs are
// tried degree by degree, and the first that does is narrowed down to a millionth
// of a degree. Arcs that package align refuses are passed over. The At of the
// geometry is not used.
//
// It fails with ErrNothingSatisfies, naming the best uncertainty attainable, when
// the whole turn is not enough; with ErrArcTooNarrow when every arc is refused;
// and with what Positions and Geometry.MethodSigma fail with.
func (g Geometry) SmallestArc(m Method, t Target, n int, centre align.Clock) (Design, error) {
	if err := t.check(); err != nil {
		return Design{}, err
	}
	whole, err := Positions(n, centre, FullTurn)
	if err != nil {
		return Design{}, err
	}
	widest := Arc(whole[n-1] - whole[0])
	s := search{want: t}
	before := Arc(0)
	for before < widest {
		arc := min(before+arcGrid, widest)
		d, err := s.try(g, m, n, centre, arc)
		if err != nil {
			return Design{}, err
		}
		if d.reaches(t) {
			return s.narrow(g, m, n, centre, before, d)
		}
		before = arc
	}
	return Design{}, s.failed()
}

// narrow halves the step between an arc that does not reach the target and the
// design that does.
func (s *search) narrow(g Geometry, m Method, n int, centre align.Clock, below Arc, good Design) (Design, error) {
	for good.Arc-below > 1e-6 {
		d, err := s.try(g, m, n, centre, (below+good.Arc)/2)
		if err != nil {
			return Design{}, err
		}
		if d.reaches(s.want) {
			good = d
		} else {
			below = d.Arc
		}
	}
	return good, nil
}

// LargestReadingSigma returns how well the dials must be read: the largest
// standard uncertainty of one reading with which method m reaches the target at
// the clock positions of the geometry. FaceSigma keeps its ratio to Sigma. The
// uncertainty of the position is proportional to it: Sigma wanted/found. It
// fails with what Geometry.MethodSigma fails with.
func (g Geometry) LargestReadingSigma(m Method, t Target) (unit.Length, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	found, err := g.MethodSigma(m)
	if err != nil {
		return 0, err
	}
	u := g.Sigma * (t.Sigma / found.Worst(t.Stations...))
	if !align.IsFinite(u) {
		return 0, fault("target.sigma", show(t.Sigma), align.ErrOutOfRange)
	}
	return u, nil
}

// search remembers the best job that was tried.
type search struct {
	want    Target
	best    unit.Length
	found   bool
	refused error // why the last arc was refused
}

// try returns the job with n positions over arc. Its Sigma is infinite when the
// arc is refused.
func (s *search) try(g Geometry, m Method, n int, centre align.Clock, arc Arc) (Design, error) {
	at, err := Positions(n, centre, arc)
	if err != nil {
		return Design{}, err
	}
	g.At = at
	d := Design{Method: m, Geometry: g, Sigma: unit.Length(math.Inf(1)), Count: n, Arc: arc}
	found, err := g.MethodSigma(m)
	if errors.Is(err, align.ErrArcTooNarrow) || errors.Is(err, align.ErrTooFewPositions) {
		s.refused = err
		return d, nil
	}
	if err != nil {
		return Design{}, err
	}
	d.Sigma = found.Worst(s.want.Stations...)
	if !s.found || d.Sigma < s.best {
		s.best, s.found = d.Sigma, true
	}
	return d, nil
}

// reaches reports whether the design is good enough; equal but for rounding counts
// as equal.
func (d Design) reaches(t Target) bool { return float64(d.Sigma*(1-1e-12)) <= float64(t.Sigma) }

func (s *search) failed() error {
	if !s.found {
		return s.refused
	}
	return nothing("target.sigma", show(s.want.Sigma), show(s.best))
}
