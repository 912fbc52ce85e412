package uncertainty

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
)

// Method is a way to set up the dials.
type Method uint8

// The methods that Geometry knows. Any other arrangement of dials goes through
// Prospect. The zero value is no method.
const (
	NoMethod         Method = iota
	ReverseIndicator        // align.ReverseIndicator
	RimAndFace              // align.RimAndFace, bracket on the near shaft
	DoubleRadial            // align.DoubleRadial, bracket on the near shaft
	FaceFace                // align.FaceFace
)

// String returns the trade's name of the method.
func (m Method) String() string {
	switch m {
	case NoMethod:
		return "no method"
	case ReverseIndicator:
		return "reverse indicator"
	case RimAndFace:
		return "rim and face"
	case DoubleRadial:
		return "double radial"
	case FaceFace:
		return "face to face over the spool"
	}
	return fmt.Sprintf("method(%d)", uint8(m))
}

// Rims are the stations that two rim dials touch.
type Rims struct{ First, Second unit.Length }

// Faced is a rim dial and a face dial on the same hub.
type Faced struct {
	Rim   unit.Length // station the rim dial touches
	Swept unit.Length // diameter the face dial sweeps
}

// Spooled is a spool with a face dial at either end of it.
type Spooled struct {
	Spool align.Spool // its flex planes
	Near  unit.Length // diameter swept between near shaft and spool
	Far   unit.Length // diameter swept between spool and far shaft
}

// Geometry is where dials could be put on a pair of shafts, before anyone mounts
// a bracket. A set-up that is nil cannot be had.
type Geometry struct {
	Reverse  *Rims    // reverse indicator: First on the near shaft, Second on the far one; D = Second - First
	Face     *Faced   // rim and face on the far hub
	Double   *Rims    // double radial: both on the far shaft
	FaceFace *Spooled // face to face over a spool

	// At are the clock positions at which every dial is read: Positions makes
	// evenly spaced ones. No zero is special: every reading, that at the position
	// where the dial was zeroed as well, counts as one with an error of its own.
	At []align.Clock
	// Sigma is the standard uncertainty of ONE reading, not that of a total
	// indicator reading: see ReadingSigma.
	Sigma unit.Length
	// FaceSigma is the standard uncertainty of one reading of a face dial; zero
	// takes Sigma. Axial float of the shafts may make it larger.
	FaceSigma unit.Length
	// Checks holds the limits of package align: arcs that magnify errors more than
	// Checks.ArcRefused are refused here too.
	Checks align.Checks
}

// ReadingSigma returns the standard uncertainty of one reading for that of a
// total indicator reading, the difference of two opposite readings that err
// independently: sigma = sigma_TIR/sqrt(2) (JCGM 100:2008, 5.1.2). The offset,
// half of the difference, has sigma_TIR/2.
func ReadingSigma(tir align.TIR) unit.Length { return unit.Length(tir) / math.Sqrt2 }

// Measurement returns the dials of method m with readings of zero at every clock
// position, sag known to be none. It fails with ErrMissing when the geometry has
// no place for the method or no clock positions, and with ErrUnknownKind.
func (g Geometry) Measurement(m Method) (align.Measurement, error) {
	if err := g.check(m); err != nil {
		return align.Measurement{}, err
	}
	switch m {
	case ReverseIndicator:
		return align.ReverseIndicator{OnNear: g.rim(g.Reverse.First), OnFar: g.rim(g.Reverse.Second), Sigma: g.Sigma, Checks: g.Checks}.Measurement(), nil
	case RimAndFace:
		return align.RimAndFace{Rim: g.rim(g.Face.Rim), Face: g.face(g.Face.Swept), Sigma: g.Sigma, Checks: g.Checks}.Measurement(), nil
	case DoubleRadial:
		return align.DoubleRadial{First: g.rim(g.Double.First), Second: g.rim(g.Double.Second), Sigma: g.Sigma, Checks: g.Checks}.Measurement(), nil
	}
	f := g.FaceFace
	return align.FaceFace{Spool: f.Spool, NearFace: g.face(f.Near), FarFace: g.face(f.Far), Sigma: g.Sigma, Checks: g.Checks}.Measurement(), nil
}

func (g Geometry) rim(x unit.Length) align.Dial {
	return align.Dial{Station: x, Sag: align.NoSag(), Sweep: zeroSweep(g.At)}
}

func (g Geometry) face(swept unit.Length) align.Dial {
	return align.Dial{Surface: align.FaceToward, Diameter: swept, Sag: align.NoSag(), Sweep: zeroSweep(g.At), Sigma: g.FaceSigma}
}

func zeroSweep(at []align.Clock) align.Sweep {
	s := make(align.Sweep, len(at))
	for i, c := range at {
		s[i].At = c
	}
	return s
}

// has reports whether the geometry has a place for the method.
func (g Geometry) has(m Method) bool {
	switch m {
	case ReverseIndicator:
		return g.Reverse != nil
	case RimAndFace:
		return g.Face != nil
	case DoubleRadial:
		return g.Double != nil
	case FaceFace:
		return g.FaceFace != nil
	}
	return false
}

func (g Geometry) check(m Method) error {
	switch {
	case m == NoMethod || m > FaceFace:
		return fault("method", m.String(), align.ErrUnknownKind)
	case !g.has(m):
		return fault("geometry."+m.String(), "", align.ErrMissing)
	case len(g.At) == 0:
		return fault("geometry.at", "", align.ErrMissing)
	}
	if err := checkPositive("geometry.sigma", g.Sigma); err != nil {
		return err
	}
	if err := checkSpread("geometry.face sigma", g.FaceSigma); err != nil {
		return err
	}
	return g.checkPlaces(m)
}

func (g Geometry) checkPlaces(m Method) error {
	switch m {
	case ReverseIndicator:
		return g.Reverse.check("geometry.reverse")
	case DoubleRadial:
		return g.Double.check("geometry.double")
	case RimAndFace:
		if !align.IsFinite(g.Face.Rim) {
			return fault("geometry.face.rim", show(g.Face.Rim), align.ErrNotFinite)
		}
		return checkSwept("geometry.face.swept", g.Face.Swept)
	}
	if err := g.FaceFace.Spool.Check(); err != nil {
		return align.In(err, "geometry.face to face.spool")
	}
	if err := checkSwept("geometry.face to face.near", g.FaceFace.Near); err != nil {
		return err
	}
	return checkSwept("geometry.face to face.far", g.FaceFace.Far)
}

func (r *Rims) check(field string) error {
	if !align.IsFinite(r.First) {
		return fault(field+".first", show(r.First), align.ErrNotFinite)
	}
	if !align.IsFinite(r.Second) {
		return fault(field+".second", show(r.Second), align.ErrNotFinite)
	}
	if r.First == r.Second {
		return fault(field+".second", show(r.Second), align.ErrCoincident)
	}
	return nil
}

func checkSwept(field string, d unit.Length) error {
	if !align.IsFinite(d) {
		return fault(field, show(d), align.ErrNotFinite)
	}
	if d <= 0 {
		return fault(field, show(d), align.ErrZeroDiameter)
	}
	return nil
}

// checkPositive refuses what is not finite, negative, or zero: an uncertainty
// that was not given is not zero.
func checkPositive(field string, v unit.Length) error {
	if v == 0 {
		return fault(field, "", align.ErrMissing)
	}
	return checkSpread(field, v)
}

// Prospect returns how well a measurement would find the position, for any
// arrangement of dials: every dial is taken to read zero at the clock positions
// at, with the uncertainties that m gives. The axis of the answer is zero; its
// OffsetSigma, SlopeSigma, Covariance and Condition are what is asked. It fails
// as align.Measurement.Solve does, and with ErrMissing when m gives no
// uncertainty.
func Prospect(m align.Measurement, at ...align.Clock) (align.Position, error) {
	m.Dials = slices.Clone(m.Dials)
	for i := range m.Dials {
		m.Dials[i].Sweep = zeroSweep(at)
	}
	p, err := m.Solve()
	if err != nil {
		return align.Position{}, err
	}
	if p.SigmaFrom != align.SigmaGiven {
		return align.Position{}, fault("measurement.sigma", "", align.ErrMissing)
	}
	return p, nil
}

// MethodSigma is how well one method would find the position.
type MethodSigma struct {
	Method   Method
	Position align.Position // with an axis of zero; only its uncertainty counts
}

// MethodSigma returns how well method m would do. With s = sigma sqrt(2/n) the
// standard uncertainty of one first harmonic from n equal steps over a full turn
// (s_f for the face dial), D the distance between the rim dials and A the swept
// diameter:
//
//	reverse, double radial:  u(slope) = sqrt(2) s/D      u(x) = s sqrt(a^2 + b^2)/D
//	rim and face:            u(slope) = 2 s_f/A          u(x) = sqrt(s^2 + (2 s_f a/A)^2)
//	face to face:            u(slope) = 2 sqrt(2) s_f/A  u(x) = 2 s_f sqrt(a^2 + b^2)/A
//
// where a and b are the distances of station x from the two rim dials, from the
// one, and from the two flex planes
// (derived here.) It fails with ErrMissing, ErrUnknownKind, ErrNotFinite,
// ErrNegative, ErrZeroDiameter, ErrCoincident, and as align.Measurement.Solve
// does for clock positions that do not show both planes.
func (g Geometry) MethodSigma(m Method) (MethodSigma, error) {
	job, err := g.Measurement(m)
	if err != nil {
		return MethodSigma{}, err
	}
	p, err := Prospect(job, g.At...)
	if err != nil {
		return MethodSigma{}, err
	}
	if !p.VerticalKnown || !p.HorizontalKnown {
		return MethodSigma{}, fault("geometry.at", fmt.Sprint(len(g.At), " positions"), align.ErrTooFewPositions)
	}
	return MethodSigma{m, p}, nil
}

// Offset returns the standard uncertainty of the offset at station x, which is
// also that of the move at a foot there.
func (s MethodSigma) Offset(x unit.Length) align.Spread { return s.Position.OffsetSigma(x) }

// Slope returns the standard uncertainty of the slope, rise over run.
func (s MethodSigma) Slope() align.Slope { return s.Position.SlopeSigma() }

// Worst returns the larger of the two planes' standard uncertainties of the
// offset, at the worst of the stations.
func (s MethodSigma) Worst(stations ...unit.Length) unit.Length {
	worst := unit.Length(0)
	for _, x := range stations {
		u := s.Offset(x)
		worst = max(worst, u.Vertical, u.Horizontal)
	}
	return worst
}

// FeetSigma is the standard uncertainty of the moves at both pairs of feet.
type FeetSigma struct {
	Inboard, Outboard align.Spread
	// CorrelationVertical and CorrelationHorizontal say how the errors of the two
	// go together, -1 to 1: one slope moves both.
	CorrelationVertical, CorrelationHorizontal float64
}

// Feet returns the standard uncertainty of the moves at a machine's feet. With C
// the covariance of offset and slope at the inboard feet and l the distance to
// the outboard ones, u(in)^2 = C00, cov(in, out) = C00 + l C01 (JCGM 100:2008,
// H.2.3, from memory); the target moved to adds nothing.
func (s MethodSigma) Feet(f align.Feet) FeetSigma {
	out := FeetSigma{Inboard: s.Offset(f.Inboard), Outboard: s.Offset(f.Outboard)}
	c := s.Position.Covariance(f.Inboard)
	l := float64(f.Outboard - f.Inboard)
	correlation := func(i int, a, b unit.Length) float64 {
		if a == 0 || b == 0 {
			return 0
		}
		return max(-1, min(1, (c[i][i]+l*c[i][i+1])/float64(a)/float64(b)))
	}
	out.CorrelationVertical = correlation(0, out.Inboard.Vertical, out.Outboard.Vertical)
	out.CorrelationHorizontal = correlation(2, out.Inboard.Horizontal, out.Outboard.Horizontal)
	return out
}

// CompareMethods returns every method the geometry has a place for, the one with
// the smallest standard uncertainty of the offset at the worst of the stations
// (and of the two planes) first; equal ones stay in the order of the constants.
// It fails with ErrMissing when no method or no station is given, and with what
// MethodSigma fails with.
func (g Geometry) CompareMethods(stations ...unit.Length) ([]MethodSigma, error) {
	if err := checkStations(stations); err != nil {
		return nil, err
	}
	var out []MethodSigma
	for m := ReverseIndicator; m <= FaceFace; m++ {
		if !g.has(m) {
			continue
		}
		s, err := g.MethodSigma(m)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return nil, fault("geometry", "", align.ErrMissing)
	}
	slices.SortStableFunc(out, func(a, b MethodSigma) int { return cmp.Compare(a.Worst(stations...), b.Worst(stations...)) })
	return out, nil
}

func checkStations(stations []unit.Length) error {
	if len(stations) == 0 {
		return fault("stations", "", align.ErrMissing)
	}
	for i, x := range stations {
		if !align.IsFinite(x) {
			return fault(fmt.Sprintf("stations[%d]", i), show(x), align.ErrNotFinite)
		}
	}
	return nil
}
