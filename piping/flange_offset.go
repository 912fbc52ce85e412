package piping

import (
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// RimStep is one reading of a straightedge or rule laid along the axis across
// both rims: how far the rim of the pipe flange stands outside that of the
// machine flange there, negative inside.
type RimStep struct {
	At   align.Clock
	Step unit.Length
}

// RimSurvey is a set of such readings round a joint.
type RimSurvey struct {
	Steps     []RimStep   // at two positions or more, not only opposite ones
	MachineOD unit.Length // outside diameters; both zero: taken as equal
	PipeOD    unit.Length
	FitODs    bool        // find half the difference of the diameters as well: three positions or more
	Sigma     unit.Length // standard uncertainty of one reading; zero: taken from the scatter
}

// Mirrored returns a survey written down by a person who looked from the pipe
// toward the machine, as one seen from the machine.
func (s RimSurvey) Mirrored() RimSurvey {
	steps := make([]RimStep, len(s.Steps))
	for i, r := range s.Steps {
		steps[i] = RimStep{r.At.Mirrored(), r.Step}
	}
	s.Steps = steps
	return s
}

// CentreFit is where the centre of the pipe flange stands, seen from that of the
// machine flange.
type CentreFit struct {
	Offset         Across      // of the pipe flange from the machine flange
	BothKnown      bool        // false: all positions on one diameter, Offset is its part along them
	HalfDifference unit.Length // half the pipe flange's OD less half the machine flange's, as given or found

	Worst            unit.Length // residual of the largest size: reading less fit
	WorstAt          align.Clock
	RMS              unit.Length // over the degrees of freedom; 0 when there are none
	DegreesOfFreedom int

	Sigma      unit.Length // of one reading, zero when unknown
	SigmaFrom  align.SigmaSource
	Covariance [2][2]float64 // of Offset up and right, m2; zero when Sigma is unknown or one direction is

	Warnings []align.Warning
}

// Positions this close to one diameter say nothing square to it; up to
// leastCrossing they say too little (own choice).
const (
	inLine        = 0.5 // degrees
	leastCrossing = 10.0
)

// Solve finds the offset of the two centres by least squares:
//
//	step(t) = up cos t + right sin t + (pipe OD - machine OD)/2
//
// (first order in the offset over the radius). A rim that is not round, or a
// straightedge that rocks, shows as residual.
//
// Errors: align.ErrTooFewPositions, align.ErrArcTooNarrow for positions within 10
// degrees of one diameter but not on it, or, with FitODs, in less than 30
// degrees of arc; align.ErrMissing for one outside diameter without the other;
// align.ErrMismatch for diameters given and to be found; align.ErrNotFinite,
// align.ErrNegative, align.ErrOutOfRange. Warning: align.WarnOnePlane,
// align.WarnResidual.
func (s RimSurvey) Solve() (CentreFit, error) {
	if err := s.check(); err != nil {
		return CentreFit{}, err
	}
	both, err := s.directions()
	if err != nil {
		return CentreFit{}, err
	}
	f := CentreFit{BothKnown: both, HalfDifference: (s.PipeOD - s.MachineOD) / 2}
	unknowns := 2
	switch {
	case s.FitODs:
		unknowns = 3
	case !both:
		unknowns = 1
	}
	f.fit(s, unknowns)
	f.warn()
	return f, nil
}

func (s *RimSurvey) check() error {
	if n := len(s.Steps); n > maxPositions {
		return flangeFault("steps", countOf(n, "positions"), align.ErrOutOfRange)
	}
	for _, v := range [...]struct {
		name string
		v    unit.Length
	}{{"machineOD", s.MachineOD}, {"pipeOD", s.PipeOD}, {"sigma", s.Sigma}} {
		if err := checkFlangeFromZero(v.name, v.v); err != nil {
			return err
		}
	}
	switch {
	case s.FitODs && (s.MachineOD > 0 || s.PipeOD > 0):
		return flangeSays("fitODs", "", align.ErrMismatch, "the diameters are given and are to be found as well")
	case (s.MachineOD > 0) != (s.PipeOD > 0):
		return flangeSays("pipeOD", "", align.ErrMissing, "give both outside diameters or none")
	}
	for i, r := range s.Steps {
		if err := checkFlangeClock("at", r.At); err != nil {
			return align.In(err, numbered("steps", i))
		}
		if err := checkFlangeLength("step", r.Step, maxFlangeLength); err != nil {
			return align.In(err, numbered("steps", i))
		}
	}
	return nil
}

// directions reports whether the positions show both directions across.
func (s *RimSurvey) directions() (both bool, err error) {
	var buf [16]spot
	spots := buf[:0]
	for _, r := range s.Steps {
		up, right := r.At.Unit()
		spots = append(spots, spot{float64(r.At.Normal()), up, right, float64(r.Step)})
	}
	slices.SortFunc(spots, spot.compare)
	need := 2
	if s.FitODs {
		need = 3
	}
	if n := distinctSpots(spots); n < need {
		return false, flangeSays("steps", countOf(n, "different positions"), align.ErrTooFewPositions,
			"too few clock positions: give two or more that are not opposite, three to find the diameters as well")
	}
	if arc := 360 - widestStep(spots); s.FitODs {
		if arc < leastArc {
			return false, flangeFault("steps", align.UnitDegree.Format(arc*math.Pi/180, 1)+" of arc", align.ErrArcTooNarrow)
		}
		return true, nil
	}
	crossing := widestCrossing(spots)
	switch {
	case crossing < inLine:
		return false, nil
	case crossing < leastCrossing:
		return false, flangeFault("steps", align.UnitDegree.Format(crossing*math.Pi/180, 1)+" from one diameter", align.ErrArcTooNarrow)
	}
	return true, nil
}

// widestCrossing returns how far, in degrees, the positions go away from the
// diameter through the first one.
func widestCrossing(s []spot) float64 {
	most := 0.0
	for _, p := range s {
		most = max(most, math.Abs(float64(s[0].up*p.right)-float64(s[0].right*p.up)))
	}
	return math.Asin(min(most, 1)) * (180 / math.Pi)
}

func (f *CentreFit) fit(s RimSurvey, unknowns int) {
	u0, r0 := s.Steps[0].At.Unit()
	sys := lsq.New(unknowns)
	for _, r := range s.Steps {
		up, right := r.At.Unit()
		row := lsq.Row{up, right, 1}
		if unknowns == 1 {
			row = lsq.Row{float64(u0*up) + float64(r0*right)}
		}
		sys.Add(row, float64(r.Step-f.HalfDifference))
	}
	x := sys.Solve()
	f.Offset = Across{unit.Length(x[0]), unit.Length(x[1])}
	switch unknowns {
	case 1:
		f.Offset = Across{unit.Length(x[0] * u0), unit.Length(x[0] * r0)}
	case 3:
		f.HalfDifference = unit.Length(x[2])
	}
	f.DegreesOfFreedom = len(s.Steps) - unknowns
	f.rest(s)
	switch {
	case s.Sigma > 0:
		f.Sigma, f.SigmaFrom = s.Sigma, align.SigmaGiven
	case f.DegreesOfFreedom > 0:
		f.Sigma, f.SigmaFrom = f.RMS, align.SigmaResiduals
	}
	if f.SigmaFrom == align.SigmaUnknown || unknowns == 1 {
		return
	}
	w := sys.InverseFactor()
	c := sys.Covariance(&w)
	v := float64(f.Sigma) * float64(f.Sigma)
	f.Covariance = [2][2]float64{{v * c[0][0], v * c[0][1]}, {v * c[1][0], v * c[1][1]}}
}

func (f *CentreFit) rest(s RimSurvey) {
	sum := 0.0
	for _, r := range s.Steps {
		rest := float64(f.Residual(r))
		sum += float64(rest * rest)
		if math.Abs(rest) > math.Abs(float64(f.Worst)) {
			f.Worst, f.WorstAt = unit.Length(rest), r.At.Normal()
		}
	}
	if f.DegreesOfFreedom > 0 {
		f.RMS = unit.Length(math.Sqrt(sum / float64(f.DegreesOfFreedom)))
	}
}

// Residual returns a reading less what the offset and the diameters give there.
func (f CentreFit) Residual(r RimStep) unit.Length {
	up, right := r.At.Unit()
	return r.Step - f.HalfDifference - unit.Length(float64(up*float64(f.Offset.Up))+float64(right*float64(f.Offset.Right)))
}

// worstStep is a residual of a straightedge reading that deserves a second look
// (own choice: what a steel rule resolves).
const worstStep unit.Length = 0.5e-3

func (f *CentreFit) warn() {
	if !f.BothKnown {
		f.Warnings = append(f.Warnings, align.Warning{Code: align.WarnOnePlane, Severity: align.Notice, Field: "steps"})
	}
	if w := f.Worst; w > worstStep || w < -worstStep {
		f.Warnings = append(f.Warnings, align.Warning{
			Code: align.WarnResidual, Severity: align.Suspect, Field: "steps at " + f.WorstAt.String(),
			Value: float64(w), Limit: float64(worstStep), Unit: align.UnitMillimetre,
		})
	}
}
