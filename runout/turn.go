package runout

import (
	"errors"
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// Warnings of a single sweep, besides those of package align.
const (
	// WarnSecondHidden says that an oval or a saddle-shaped warp cannot be
	// seen: with three marks it reads as eccentricity or tilt, and two face
	// dials that cancel float cancel it too.
	WarnSecondHidden align.WarningCode = "second-harmonic-hidden"
	// WarnNotRound says that the total indicator reading of a rim is not that
	// of an eccentric circle.
	WarnNotRound align.WarningCode = "not-round"
	// WarnWarped says that the total indicator reading of a face is not that
	// of a flat tilted face.
	WarnWarped align.WarningCode = "warped-face"
)

// SweepChecks holds the limits past which a sweep is suspect. Zero takes the
// default (common practice, no source).
type SweepChecks struct {
	Closure    unit.Length // largest closing difference; default 0.01 mm
	Shape      unit.Length // largest difference of the total indicator reading from that of the first harmonic; default 0.02 mm
	Residual   unit.Length // largest departure of one reading from the first harmonic; default 0.05 mm
	Size       unit.Length // largest believable first harmonic; default 5 mm
	Tilt       float64     // largest believable tilt of a face, rise over run; default 0.02
	Arc        float64     // magnification of errors by a short arc; default 2
	ArcRefused float64     // magnification over which the arc is refused; default 10
}

// filled returns c with everything that is not above zero replaced by the
// defaults.
func (c SweepChecks) filled() SweepChecks {
	d := align.DefaultChecks()
	return SweepChecks{
		Closure: orDefault(c.Closure, d.Closure), Shape: orDefault(c.Shape, 0.02*align.Millimetre),
		Residual: orDefault(c.Residual, d.Residual), Size: orDefault(c.Size, d.Size),
		Tilt: orDefault(c.Tilt, d.Slope),
		Arc:  orDefault(c.Arc, d.Arc), ArcRefused: orDefault(c.ArcRefused, d.ArcRefused),
	}
}

func orDefault[T ~float64](v, d T) T {
	if v > 0 {
		return v
	}
	return d
}

// Visibility says how much of a second harmonic the marks can show.
type Visibility uint8

// How much of a second harmonic can be seen.
const (
	Hidden       Visibility = iota // nothing
	OneDirection                   // with four quarter marks: lobes on the marks, but not lobes halfway between
	Full                           // size and direction
)

// String returns the visibility in lower case.
func (v Visibility) String() string {
	switch v {
	case Hidden:
		return "hidden"
	case OneDirection:
		return "one direction"
	case Full:
		return "full"
	}
	return "unknown"
}

// Second is a second harmonic, two lobes to a turn:
// Cosine cos 2t + Sine sin 2t. It is the mark of an oval rim or of a face warped
// like a saddle.
type Second struct {
	Seen Visibility
	// Cosine and Sine are zero when hidden. When seen in one direction they
	// are the part with lobes on the marks, and the true size is that or more.
	Cosine, Sine unit.Length
}

// Size returns the amplitude sqrt(Cosine^2 + Sine^2): half the range it reads.
func (s Second) Size() unit.Length {
	return unit.Length(math.Hypot(float64(s.Cosine), float64(s.Sine)))
}

// HighSpot returns the clock position of the first of the two lobes, from 0 up
// to 180 degrees; the other is opposite. Without lobes it is 12 o'clock.
func (s Second) HighSpot() align.Clock {
	twice := align.Clock(math.Atan2(float64(s.Sine), float64(s.Cosine)) * (180 / math.Pi))
	return twice.Normal() / 2
}

// Residual is what a fitted shape leaves of the readings.
type Residual struct {
	RMS   unit.Length // root mean square over DoF; 0 when DoF is 0
	Worst unit.Length // largest, in size
	DoF   int         // readings beyond the number of unknowns
}

// Turn is what a dial on a fixed base shows of a surface turned under it for
// one turn:
//
//	r(t) = Constant + First.Vertical cos t + First.Horizontal sin t + second harmonic + rest
//
// t is the mark under the stem, an angle on the shaft. Marks count clockwise as
// seen looking along +x, so that t is a clock position when mark 0 stands at 12
// o'clock. Lengths are positive where the surface stands out toward the dial.
type Turn struct {
	Positions int // readings used, the closing one left out
	Constant  unit.Length
	First     align.Offset // points to the high spot
	Second    Second

	TIR        align.TIR // largest less smallest reading, the closing one left out
	FirstTIR   align.TIR // what the first harmonic alone would give over a full turn, twice its size
	FirstMarks align.TIR // what the first harmonic alone would give at these marks

	Off  Residual // of the first harmonic: how far the surface is from an eccentric circle or a tilted plane
	Rest Residual // of first and second harmonic together

	Closure unit.Length // closing less first reading
	Closes  bool        // whether there was a closing reading

	// Missed is the largest share of a first harmonic by which the highest
	// mark may stand below the high spot: 1 - cos(gap/2) for the widest gap
	// between neighbouring marks, 1 - cos(pi/n) for n even steps.
	Missed float64

	Warnings []align.Warning
}

// HighSpot returns the mark at which the first harmonic is highest.
func (t Turn) HighSpot() align.Clock { return t.First.Clock() }

// MissedTIR returns the most that the marks can have missed of the total
// indicator reading of the first harmonic: FirstTIR times Missed.
func (t Turn) MissedTIR() unit.Length { return unit.Length(float64(t.FirstTIR) * t.Missed) }

// maxCondition is the condition number of the five columns over which the
// marks are taken to hide the second harmonic: readings' errors would be
// magnified about so many times.
const maxCondition = 10

// newTurn resolves a sweep. Both harmonics are fitted together where the marks
// show them, so that an oval does not leak into the first on uneven marks.
// Equal steps give the Fourier sums (2/n) sum r cos t and (2/n) sum r sin t
// (NIST/SEMATECH e-Handbook, section mpc344). With oddOnly the readings are
// known to hold no even harmonics, and none is fitted.
func newTurn(s align.Sweep, c SweepChecks, oddOnly bool) (Turn, error) {
	f, err := s.Fit()
	if err != nil {
		return Turn{}, ours(err)
	}
	if !f.VerticalKnown || !f.HorizontalKnown {
		return Turn{}, fault("sweep", "", align.ErrTooFewPositions)
	}
	arc := max(f.ArcVertical, f.ArcHorizontal)
	if arc > c.ArcRefused {
		return Turn{}, fault("sweep", "errors magnified "+align.UnitOne.Format(arc, 1)+" times", align.ErrArcTooNarrow)
	}
	t := Turn{Positions: f.Positions, Constant: f.Constant, First: f.Offset()}
	core := s
	if t.Closure, t.Closes = s.Closure(); t.Closes {
		core = s[:len(s)-1]
	}
	if !oddOnly {
		t.resolveSecond(s, core)
	}
	t.measure(core)
	if !t.finite() {
		return Turn{}, fault("sweep", "", align.ErrOutOfRange)
	}
	if arc > c.Arc {
		t.warn(align.Warning{Code: align.WarnNarrowArc, Severity: align.Suspect, Field: "sweep", Value: arc, Limit: c.Arc, Unit: align.UnitOne})
	}
	return t, nil
}

// resolveSecond finds as much of the second harmonic as the marks show.
func (t *Turn) resolveSecond(s, core align.Sweep) {
	if len(core) >= 5 {
		f, err := s.FitSecond()
		if err == nil && f.Condition <= maxCondition {
			t.Constant, t.First = f.Constant, align.Offset{Vertical: f.Vertical, Horizontal: f.Horizontal}
			t.Second = Second{Full, f.Cos2, f.Sin2}
			return
		}
	}
	if !quarterMarks(core) {
		return
	}
	t.Constant, t.First, t.Second = fitQuarters(core)
}

// quarterMarks reports whether all marks stand a whole number of quarter turns
// from the first one, and all four are there.
func quarterMarks(s align.Sweep) bool {
	const near = 1e-9 // degrees, for marks that were computed
	var have [4]bool
	for _, r := range s {
		quarters := float64((r.At - s[0].At).Normal()) / 90
		n := math.Round(quarters)
		if math.Abs(quarters-n) > near/90 {
			return false
		}
		have[int(n)%4] = true
	}
	return have == [4]bool{true, true, true, true}
}

// fitQuarters fits constant, first harmonic and the second harmonic with its
// lobes on the marks. For one reading at each quarter mark the last is a quarter
// of top plus bottom less left and right:
//
//	A2 = (r0 + r180 - r90 - r270)/4
func fitQuarters(s align.Sweep) (constant unit.Length, first align.Offset, second Second) {
	u0, v0 := s[0].At.Unit()
	c0, s0 := float64(u0*u0)-float64(v0*v0), 2*u0*v0 // cos and sin of twice the first mark
	sys := lsq.New(4)
	for _, r := range s {
		u, v := r.At.Unit()
		c2, s2 := float64(u*u)-float64(v*v), 2*u*v
		sys.Add(lsq.Row{1, u, v, c0*c2 + s0*s2}, float64(r.Value))
	}
	x := sys.Solve()
	second = Second{OneDirection, unit.Length(x[3] * c0), unit.Length(x[3] * s0)}
	return unit.Length(x[0]), align.Offset{Vertical: unit.Length(x[1]), Horizontal: unit.Length(x[2])}, second
}

// measure takes range and residuals at the marks.
func (t *Turn) measure(s align.Sweep) {
	var off, rest float64
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range s {
		u, v := r.At.Unit()
		first := float64(t.First.Vertical)*u + float64(t.First.Horizontal)*v
		lo, hi = min(lo, first), max(hi, first)
		d := float64(r.Value-t.Constant) - first
		off += d * d
		t.Off.Worst = max(t.Off.Worst, unit.Length(math.Abs(d)))
		d -= float64(t.Second.Cosine)*(u*u-v*v) + float64(t.Second.Sine)*2*u*v
		rest += d * d
		t.Rest.Worst = max(t.Rest.Worst, unit.Length(math.Abs(d)))
	}
	t.TIR, t.FirstMarks = s.TIR(), align.TIR(hi-lo)
	t.FirstTIR = 2 * align.TIR(t.First.Resultant())
	t.Off.set(off, len(s)-3)
	t.Rest.set(rest, len(s)-3-int(t.Second.Seen))
	t.Missed = missedShare(s)
}

func (r *Residual) set(sumSquares float64, dof int) {
	r.DoF = dof
	if dof > 0 {
		r.RMS = unit.Length(math.Sqrt(sumSquares / float64(dof)))
		return
	}
	// As many unknowns as readings: what is left is rounding.
	r.Worst = 0
}

// missedShare is 1 - cos(gap/2) of the widest gap between neighbouring marks,
// 1 over half a turn, where nothing of the high spot need be seen.
func missedShare(s align.Sweep) float64 {
	var buf [32]float64
	at := buf[:0]
	for _, r := range s {
		at = append(at, float64(r.At.Normal()))
	}
	slices.Sort(at)
	gap := at[0] + 360 - at[len(at)-1]
	for i := 1; i < len(at); i++ {
		gap = max(gap, at[i]-at[i-1])
	}
	return shortfall(gap)
}

// shortfall is 1 - cos(gap/2), written 2 sin^2(gap/4) to keep its digits when
// the gap, in degrees, is small.
func shortfall(gap float64) float64 {
	if gap >= 180 {
		return 1
	}
	h := math.Sin(gap / 4 * (math.Pi / 180))
	return 2 * h * h
}

func (t *Turn) finite() bool {
	for _, v := range [...]unit.Length{
		t.Constant, t.First.Vertical, t.First.Horizontal, t.Second.Cosine, t.Second.Sine,
		unit.Length(t.TIR), unit.Length(t.FirstTIR), unit.Length(t.FirstMarks),
		t.Off.RMS, t.Off.Worst, t.Rest.RMS, t.Rest.Worst, t.Closure, t.Second.Size(),
	} {
		if !align.IsFinite(v) {
			return false
		}
	}
	return true
}

// check adds the warnings that rim and face share; shape is the code for a
// total indicator reading that the first harmonic does not explain.
func (t *Turn) check(c SweepChecks, shape align.WarningCode) {
	if math.Abs(float64(t.Closure)) > float64(c.Closure)*(1+edge) {
		t.warnLength(align.WarnClosure, align.Suspect, t.Closure, c.Closure)
	}
	if t.Second.Seen == Hidden {
		t.warn(align.Warning{Code: WarnSecondHidden, Meaning: warningMeaning(WarnSecondHidden), Severity: align.Notice, Field: "sweep"})
	}
	if d := unit.Length(t.TIR - t.FirstMarks); math.Abs(float64(d)) > float64(c.Shape)*(1+edge) {
		t.warnLength(shape, align.Suspect, d, c.Shape)
	}
	if float64(t.Off.Worst) > float64(c.Residual)*(1+edge) {
		t.warnLength(align.WarnResidual, align.Suspect, t.Off.Worst, c.Residual)
	}
	if size := t.First.Resultant(); size > c.Size {
		t.warnLength(align.WarnSize, align.Serious, size, c.Size)
	}
}

func (t *Turn) warnLength(code align.WarningCode, s align.Severity, v, limit unit.Length) {
	t.warn(align.Warning{Code: code, Meaning: warningMeaning(code), Severity: s, Field: "sweep", Value: float64(v), Limit: float64(limit), Unit: align.UnitMillimetre})
}

func (t *Turn) warn(w align.Warning) { t.Warnings = append(t.Warnings, w) }

// fault is an input error of this package.
func fault(field, got string, err align.Fault) error {
	return &align.InputError{Package: "runout", Field: field, Got: got, Err: err}
}

// ours returns an input error of package align as one of this package.
func ours(err error) error {
	var e *align.InputError
	if !errors.As(err, &e) {
		return err
	}
	c := *e
	c.Package = "runout"
	return &c
}
