package moves

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// WarnNotRigid says that the feet did not move as those of a rigid body.
const WarnNotRigid align.WarningCode = "not-rigid"

// FootReading is how far a foot moved, by a dial that stood on the base beside
// it. A movement is read directly, never halved.
type FootReading struct {
	Name     string
	At       align.Place
	Planned  unit.Length // up is positive
	Measured unit.Length
}

// FeetResponse is the feet of one machine before and after a move up or down.
type FeetResponse struct {
	Feet  []FootReading // four or more, not all in one line
	Sigma unit.Length   // standard uncertainty of a measured movement, above zero
	Cover float64       // standard uncertainties that count as agreeing; zero is 2
}

// FootFinding is one foot.
type FootFinding struct {
	Name       string
	Difference unit.Length // measured less planned
	// Left is measured less the plane through all of them: what a rigid body cannot
	// do. Uncertainty is that of Left.
	Left        unit.Length
	Uncertainty unit.Length
	Off         bool // Left is more than the uncertainty lets expect
	// Ratio is measured over planned, where Usable says that enough was planned.
	Ratio  float64
	Usable bool
}

// FeetResult is what the feet tell.
type FeetResult struct {
	Feet []FootFinding
	// Motion is that of the machine by its feet: height, pitch and roll about the
	// middle of them.
	Motion   align.Motion
	Rigid    bool
	Warnings []align.Warning
}

// Compare fits a plane to the measured movements of the feet by least squares and
// looks at what is left. A rigid machine leaves nothing but the uncertainty of the
// dials:
//
//	u(left) = sigma sqrt(1 - h), h the leverage of the foot
//
// (linear least squares). More than Cover times that says that a foot is bent, a
// shim is not in contact, or something, such as the pipe, holds the machine. Four
// feet leave one number, the same at all corners of a rectangle, so they tell
// that something is wrong but not at which foot.
//
// Errors: missing for fewer than four feet; undetermined when they stand in one
// line; not-finite, negative, out-of-range. Warning: not-rigid.
func (r FeetResponse) Compare() (out FeetResult, err error) {
	if err := r.check(); err != nil {
		return out, err
	}
	feet := make([]Foot, len(r.Feet))
	up := make([]unit.Length, len(r.Feet))
	for i, f := range r.Feet {
		feet[i].At, up[i] = f.At, f.Measured
	}
	fit := planeOf(feet)
	if !fit.use[1] {
		return out, fault("feet", "", align.ErrUndetermined)
	}
	out.Motion = fit.fit(up)
	out.Rigid = true
	cover := coverOf(r.Cover)
	var worst, limit unit.Length
	for i, f := range r.Feet {
		o := FootFinding{Name: f.Name, Difference: f.Measured - f.Planned, Left: f.Measured - out.Motion.At(f.At).Y}
		o.Uncertainty = r.Sigma * unit.Length(math.Sqrt(max(0, 1-fit.leverage(i))))
		// A foot that alone holds the plane has nothing left but rounding.
		allowed := unit.Length(cover)*o.Uncertainty + sameHeight
		o.Off = max(o.Left, -o.Left) > allowed
		if o.Off && max(o.Left, -o.Left) > worst {
			worst, limit = max(o.Left, -o.Left), allowed
		}
		if o.Usable = max(f.Planned, -f.Planned) > unit.Length(cover)*r.Sigma; o.Usable {
			o.Ratio = float64(f.Measured / f.Planned)
		}
		out.Feet = append(out.Feet, o)
	}
	if out.Rigid = worst == 0; !out.Rigid {
		out.Warnings = append(out.Warnings, afterWarning(WarnNotRigid, align.Suspect, "feet", float64(worst), float64(limit), align.UnitMillimetre))
	}
	return out, nil
}

func (r *FeetResponse) check() error {
	if len(r.Feet) < 4 {
		return fault("feet", strconv.Itoa(len(r.Feet)), align.ErrMissing)
	}
	if len(r.Feet) > maxFeet {
		return fault("feet", strconv.Itoa(len(r.Feet)), align.ErrOutOfRange)
	}
	for i, f := range r.Feet {
		if err := checkPlace(index("feet", i)+".at", f.At); err != nil {
			return err
		}
		if err := bounded(index("feet", i)+".planned", f.Planned, maxLength); err != nil {
			return err
		}
		if err := bounded(index("feet", i)+".measured", f.Measured, maxLength); err != nil {
			return err
		}
	}
	if err := checkSigma(r.Sigma); err != nil {
		return err
	}
	return checkCover(r.Cover)
}

// leverage returns how much of its own reading the fitted plane takes up at foot
// i: the diagonal of A (A'A)^-1 A', from the height that the plane has there when
// that foot alone is raised by one.
func (p *planeFit) leverage(i int) float64 {
	up := make([]unit.Length, len(p.at))
	up[i] = 1
	return float64(p.fit(up).At(p.at[i]).Y)
}
