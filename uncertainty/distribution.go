package uncertainty

import (
	"math"
	"math/rand/v2"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/stat/distuv"
)

// Shape is the form of a distribution.
type Shape uint8

// The shapes. The first is the zero value and is refused, because an
// uncertainty that was not given is not zero.
const (
	NotGiven Shape = iota
	NormalShape
	RectangularShape
	TriangularShape
	TrapezoidalShape
	ArcSineShape
	StudentShape
)

// String returns the name JCGM 101 uses for the shape.
func (s Shape) String() string {
	switch s {
	case NotGiven:
		return "not given"
	case NormalShape:
		return "normal"
	case RectangularShape:
		return "rectangular"
	case TriangularShape:
		return "triangular"
	case TrapezoidalShape:
		return "trapezoidal"
	case ArcSineShape:
		return "arc sine"
	case StudentShape:
		return "t"
	}
	return "shape(" + strconv.Itoa(int(s)) + ")"
}

// Distribution is what is known of how far an input may be from its value: a
// distribution about zero of a quantity of type Q (unit.Length, align.Clock,
// unit.Temperature, float64 ...), in the unit of Q itself. Make one with Normal,
// Rectangular, Triangular, Trapezoidal, ArcSine, Resolution, Repeats or Student.
//
// (JCGM 101:2008, 6.4 and Table 1, from memory.)
type Distribution[Q ~float64] struct{ d spread }

// spread is a Distribution without its type.
type spread struct {
	shape Shape
	size  float64 // standard deviation (normal), scale (t), else half-width
	top   float64 // half-width of the flat top as a share of size (trapezoidal)
	dof   float64 // degrees of freedom; 0 stands for infinitely many
}

// Normal is a normal distribution with standard deviation sigma.
func Normal[Q ~float64](sigma Q) Distribution[Q] {
	return Distribution[Q]{spread{shape: NormalShape, size: float64(sigma)}}
}

// NormalWith is a normal distribution whose standard deviation is itself only
// known with so many degrees of freedom: it enters the Welch-Satterthwaite
// formula, and is drawn as normal. For an estimate of a doubtful uncertainty
// dof = (u/delta u)^2/2 (JCGM 100:2008, G.4.2).
func NormalWith[Q ~float64](sigma Q, dof float64) Distribution[Q] {
	return Distribution[Q]{spread{shape: NormalShape, size: float64(sigma), dof: dof}}
}

// Rectangular gives every deviation up to half in size the same weight: u =
// half/sqrt(3) (JCGM 100:2008, 4.3.7).
func Rectangular[Q ~float64](half Q) Distribution[Q] {
	return Distribution[Q]{spread{shape: RectangularShape, size: float64(half)}}
}

// RectangularWith is Rectangular with degrees of freedom for a half-width that
// is itself doubtful (JCGM 100:2008, G.4.2); it is drawn as rectangular.
func RectangularWith[Q ~float64](half Q, dof float64) Distribution[Q] {
	return Distribution[Q]{spread{shape: RectangularShape, size: float64(half), dof: dof}}
}

// Triangular is highest at zero and falls to nothing at half in size: u =
// half/sqrt(6) (JCGM 100:2008, 4.3.9).
func Triangular[Q ~float64](half Q) Distribution[Q] {
	return Distribution[Q]{spread{shape: TriangularShape, size: float64(half)}}
}

// Trapezoidal is flat out to flat and falls from there to nothing at half: u^2 =
// half^2 (1 + b^2)/6 with b = flat/half (JCGM 100:2008, 4.3.9).
func Trapezoidal[Q ~float64](flat, half Q) Distribution[Q] {
	top := 0.0
	if half != 0 {
		top = float64(flat / half)
	}
	return Distribution[Q]{spread{shape: TrapezoidalShape, size: float64(half), top: top}}
}

// ArcSine is the distribution of a value that swings as a sine with amplitude
// half: u = half/sqrt(2) (JCGM 101:2008, 6.4.6).
func ArcSine[Q ~float64](half Q) Distribution[Q] {
	return Distribution[Q]{spread{shape: ArcSineShape, size: float64(half)}}
}

// Resolution is what one division of a dial or one leaf of a feeler leaves open:
// a rectangular distribution of half a division each way, u = division/sqrt(12)
// (JCGM 100:2008, F.2.2.1). A reading estimated between the divisions has a finer
// resolution than they have.
func Resolution[Q ~float64](division Q) Distribution[Q] {
	return Rectangular(division / 2)
}

// Student is a t distribution scaled by s, with dof degrees of freedom: what is
// known of a mean of repeats, s being the experimental standard deviation of the
// mean. Its standard uncertainty in the linear law is s itself (JCGM 100:2008,
// 4.2.3), with dof degrees of freedom; drawn, it spreads by s
// sqrt(dof/(dof-2)) (JCGM 101:2008, 6.4.9), and needs more than two of them.
func Student[Q ~float64](s Q, dof float64) Distribution[Q] {
	return Distribution[Q]{spread{shape: StudentShape, size: float64(s), dof: dof}}
}

// Repeats returns the mean of repeated observations and the distribution of its
// error: t with n-1 degrees of freedom, scaled by s/sqrt(n) (JCGM 100:2008, 4.2).
// It needs four or more observations, so that the t distribution has a variance.
func Repeats[Q ~float64](values ...Q) (mean Q, d Distribution[Q], err error) {
	n := float64(len(values))
	if len(values) < 4 {
		return 0, d, fault("repeats", strconv.Itoa(len(values)), ErrTooFewRepeats)
	}
	sum := 0.0
	for _, v := range values {
		sum += float64(v)
	}
	m := sum / n
	ss := 0.0
	for _, v := range values {
		ss += float64((float64(v) - m) * (float64(v) - m))
	}
	s := math.Sqrt(ss / (n - 1) / n)
	if !align.IsFinite(s) || !align.IsFinite(m) {
		return 0, d, fault("repeats", "", align.ErrNotFinite)
	}
	return Q(m), Student(Q(s), n-1), nil
}

// Shape returns the form of the distribution.
func (d Distribution[Q]) Shape() Shape { return d.d.shape }

// Sigma returns the standard uncertainty as the linear law takes it.
func (d Distribution[Q]) Sigma() Q { return Q(d.d.sigma()) }

// DoF returns the degrees of freedom of the standard uncertainty, and whether
// there is such a number: false when the uncertainty itself is taken as certain.
func (d Distribution[Q]) DoF() (dof float64, ok bool) { return d.d.dof, d.d.dof != 0 }

// Check returns an error when the distribution was not given, or is not finite,
// has a negative size or impossible degrees of freedom.
func (d Distribution[Q]) Check() error { return d.d.check("distribution") }

// Quantile returns the deviation that is not exceeded with probability p, 0 < p <
// 1. It fails with ErrOutOfRange, and with what Check fails with.
func (d Distribution[Q]) Quantile(p float64) (Q, error) {
	if err := d.Check(); err != nil {
		return 0, err
	}
	if !(p > 0 && p < 1) {
		return 0, fault("probability", strconv.FormatFloat(p, 'g', -1, 64), align.ErrOutOfRange)
	}
	return Q(d.d.quantile(p)), nil
}

func (d spread) check(field string) error {
	switch {
	case d.shape == NotGiven || d.shape > StudentShape:
		return fault(field, "", align.ErrMissing)
	case !align.IsFinite(d.size) || !align.IsFinite(d.top) || !align.IsFinite(d.dof):
		return fault(field, "", align.ErrNotFinite)
	case d.size < 0:
		return fault(field, strconv.FormatFloat(d.size, 'g', -1, 64), align.ErrNegative)
	case d.top < 0 || d.top > 1:
		return fault(field+".flat", strconv.FormatFloat(d.top, 'g', -1, 64), align.ErrOutOfRange)
	case d.dof < 0:
		return fault(field+".degrees of freedom", strconv.FormatFloat(d.dof, 'g', -1, 64), align.ErrNegative)
	case d.shape == StudentShape && !(d.dof > 2):
		return fault(field+".degrees of freedom", strconv.FormatFloat(d.dof, 'g', -1, 64), align.ErrOutOfRange)
	}
	return nil
}

// sigma is the standard uncertainty in the linear law (JCGM 101:2008, Table 1;
// JCGM 100:2008, 4.2.3 for t).
func (d spread) sigma() float64 {
	switch d.shape {
	case RectangularShape:
		return d.size / math.Sqrt(3)
	case TriangularShape:
		return d.size / math.Sqrt(6)
	case TrapezoidalShape:
		return d.size * math.Sqrt((1+d.top*d.top)/6)
	case ArcSineShape:
		return d.size / math.Sqrt2
	}
	return d.size
}

// draw returns one deviation.
func (d *spread) draw(r *rand.Rand) float64 {
	switch d.shape {
	case NormalShape:
		return d.size * r.NormFloat64()
	case RectangularShape:
		return d.size * (2*r.Float64() - 1)
	case TriangularShape:
		return d.size * (r.Float64() - r.Float64())
	case TrapezoidalShape:
		// The sum of two rectangular deviations (JCGM 101:2008, 6.4.4).
		return d.size / 2 * ((1+d.top)*(2*r.Float64()-1) + (1-d.top)*(2*r.Float64()-1))
	case ArcSineShape:
		return d.size * math.Sin(2*math.Pi*r.Float64())
	case StudentShape:
		return d.size * drawT(r, d.dof)
	}
	return 0
}

// drawT returns a draw from t with dof degrees of freedom, by the polar method:
// with (v, w) uniform in the unit disc and s = v^2 + w^2, v sqrt(dof
// (s^(-2/dof) - 1)/s) (R. W. Bailey, Mathematics of Computation 62, 1994, from
// memory; the tests hold its moments and quantiles against gonum).
func drawT(r *rand.Rand, dof float64) float64 {
	for {
		v, w := 2*r.Float64()-1, 2*r.Float64()-1
		s := v*v + w*w
		if s > 1 || s == 0 {
			continue
		}
		return v * math.Sqrt(dof*(math.Pow(s, -2/dof)-1)/s)
	}
}

func (d spread) quantile(p float64) float64 {
	switch d.shape {
	case NormalShape:
		return d.size * distuv.UnitNormal.Quantile(p)
	case RectangularShape:
		return d.size * (2*p - 1)
	case TriangularShape:
		return d.size * trapezoidQuantile(0, p)
	case TrapezoidalShape:
		return d.size * trapezoidQuantile(d.top, p)
	case ArcSineShape:
		return -d.size * math.Cos(math.Pi*p)
	case StudentShape:
		return d.size * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: d.dof}.Quantile(p)
	}
	return 0
}

// trapezoidQuantile inverts the distribution function of the symmetric trapezoid
// on [-1, 1] that is flat on [-b, b]. Its height is 1/(1+b); below -b the
// function is (1+x)^2/(2(1-b^2)) (integral of the density, derived here).
func trapezoidQuantile(b, p float64) float64 {
	if p > 0.5 {
		return -trapezoidQuantile(b, 1-p)
	}
	if side := (1 - b) / (1 + b) / 2; p < side {
		return math.Sqrt(2*p*(1-b*b)) - 1
	}
	return (p - 0.5) * (1 + b)
}
