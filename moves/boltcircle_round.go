package moves

import (
	"math"
	"slices"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// WarnShimsUneven says that rounded shims at the bolts do not lie in one plane as
// nearly as half a step.
const WarnShimsUneven align.WarningCode = "bolt-shims-uneven"

// RoundedFlange is a flange on shims that the stock can make.
type RoundedFlange struct {
	Bolts  []BoltShim  // rounded, the lowest zero; FromZero is that of the exact shims
	Slope  align.Slope // change of slope of the plane through them by least squares
	Missed align.Slope // less what was wanted
	Along  unit.Length // of the shaft at the middle of the flange
	Uneven unit.Length // of the worst bolt, out of that plane
	// Off is how far the flange's edge on the bolt circle is from where it was to be,
	// because the slope was missed.
	Off      unit.Length
	Warnings []align.Warning
}

// Round returns shims of whole steps. All shims may be a little thicker together,
// because that tilts nothing: of all such lifts the one is taken whose rounding
// misses the slope least, and on a tie leaves the bolts most nearly in one plane,
// and then the thinnest. The nearest rounding of each shim is among them, so the
// answer is never worse.
//
// Errors: those of BoltCircle.Check; negative, out-of-range for the step and for
// shims that are not those of this bolt circle. Warning: bolt-shims-uneven.
func (b BoltCircle) Round(s FlangeShims, step unit.Length) (RoundedFlange, error) {
	if err := b.Check(); err != nil {
		return RoundedFlange{}, err
	}
	if err := fromZero("step", step); err != nil {
		return RoundedFlange{}, err
	}
	if step < 1e-6 || step > 1 {
		return RoundedFlange{}, fault("step", mm(step), align.ErrOutOfRange)
	}
	if len(s.Bolts) != b.Bolts {
		return RoundedFlange{}, fault("shims", "", align.ErrMismatch)
	}
	for i := range s.Bolts {
		if err := fromZero(index("shims", i), s.Bolts[i].Shim); err != nil {
			return RoundedFlange{}, err
		}
	}
	var best RoundedFlange
	for k, lift := range lifts(s.Bolts, step) {
		c := b.rounded(s, lift, step)
		if k == 0 || c.better(&best) {
			best = c
		}
	}
	if best.Uneven > step/2+sameHeight {
		best.Warnings = append(best.Warnings, afterWarning(WarnShimsUneven, align.Suspect, "shims",
			float64(best.Uneven), float64(step/2), align.UnitMillimetre))
	}
	return best, nil
}

// lifts returns one lift of every kind: the rounding changes only where a shim
// passes the middle between two steps.
func lifts(bolts []BoltShim, step unit.Length) []unit.Length {
	edges := []unit.Length{0, step}
	for i := range bolts {
		_, part := math.Modf(float64(bolts[i].Shim / step))
		edges = append(edges, unit.Length(math.Mod(1.5-part, 1))*step)
	}
	slices.Sort(edges)
	out := []unit.Length{0}
	for i := 1; i < len(edges); i++ {
		if edges[i]-edges[i-1] > sameHeight/1000 {
			out = append(out, (edges[i]+edges[i-1])/2)
		}
	}
	return out
}

func (b BoltCircle) rounded(s FlangeShims, lift, step unit.Length) (c RoundedFlange) {
	least := math.Inf(1)
	for i := range s.Bolts {
		n := math.Round(float64((s.Bolts[i].Shim+lift)/step) + 1e-9)
		least = min(least, n)
		c.Bolts = append(c.Bolts, BoltShim{Clock: s.Bolts[i].Clock, FromZero: s.Bolts[i].FromZero, Shim: unit.Length(n)})
	}
	var mean, up, right unit.Length
	count := unit.Length(b.Bolts)
	for i := range c.Bolts {
		c.Bolts[i].Shim = (c.Bolts[i].Shim - unit.Length(least)) * step
		n := align.ClockDirection(b.Clock(i))
		mean += c.Bolts[i].Shim / count
		up += 2 * unit.Length(n.Y) * c.Bolts[i].Shim / count
		right += 2 * unit.Length(n.Z) * c.Bolts[i].Shim / count
	}
	// Equally spaced bolts: the least-squares plane is the first harmonic.
	r := b.Diameter / 2
	c.Slope = align.Slope{Vertical: -float64(b.away() * up / r), Horizontal: -float64(b.away() * right / r)}
	c.Missed = align.Slope{Vertical: c.Slope.Vertical - s.Slope.Vertical, Horizontal: c.Slope.Horizontal - s.Slope.Horizontal}
	c.Off = unit.Length(c.Missed.Resultant()) * r
	c.Along = mean * b.away()
	for i := range c.Bolts {
		n := align.ClockDirection(b.Clock(i))
		left := c.Bolts[i].Shim - mean - unit.Length(n.Y)*up - unit.Length(n.Z)*right
		c.Uneven = max(c.Uneven, left, -left)
	}
	return c
}

// better compares to the nanometre, so that every processor finds the same.
func (c *RoundedFlange) better(d *RoundedFlange) bool {
	n := func(v unit.Length) float64 { return math.Round(float64(v) * 1e9) }
	along := func(v unit.Length) float64 { return math.Abs(n(v)) }
	switch {
	case n(c.Off) != n(d.Off):
		return n(c.Off) < n(d.Off)
	case n(c.Uneven) != n(d.Uneven):
		return n(c.Uneven) < n(d.Uneven)
	}
	return along(c.Along) < along(d.Along)
}
