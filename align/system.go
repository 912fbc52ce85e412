package align

import (
	"math"

	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// gathered is the measurement ready to be solved: how the system is scaled and
// which planes can be found.
type gathered struct {
	centre               unit.Length // stations are counted from here
	scale                unit.Length // slopes are multiplied by this
	vertical, horizontal bool
	given                bool // uncertainties are given
	readings             int
	arc                  float64 // worst magnification of errors by a narrow arc
	arcDial              int     // the dial that has it
}

// gather finds centre, scale, planes and weights.
func (m *Measurement) gather() (g gathered, err error) {
	lo, hi := math.Inf(1), math.Inf(-1)
	station := func(x unit.Length) { lo, hi = math.Min(lo, float64(x)), math.Max(hi, float64(x)) }
	reach := 0.0
	given, open := 0, 0
	count := func(sigma unit.Length) {
		if sigma > 0 || m.Sigma > 0 {
			given++
		} else {
			open++
		}
	}
	for i := range m.Dials {
		d := &m.Dials[i]
		if d.Surface == Rim {
			station(d.Station)
		}
		if d.Reach != ShaftToShaft {
			station(m.Spool.NearFlex)
			station(m.Spool.FarFlex)
		}
		if d.Surface != Rim {
			reach = math.Max(reach, float64(d.Diameter))
		}
		var buf [stackSamples]sample
		c := d.Sweep.core().samples(buf[:0])
		g.readings += len(c)
		mo := momentsOf(c)
		v, h := mo.planes()
		if !v && !h {
			return g, &InputError{Field: fieldName("dials", i, d.Name) + ".sweep", Err: ErrTooFewPositions}
		}
		if v && h {
			if err := m.noteArc(&g, i, mo); err != nil {
				return g, err
			}
		}
		g.vertical, g.horizontal = g.vertical || v, g.horizontal || h
		count(d.Sigma)
	}
	for i := range m.Offsets {
		station(m.Offsets[i].Station)
		g.vertical, g.horizontal = true, true
		g.readings += 2
		count(m.Offsets[i].Sigma)
	}
	for i := range m.Slopes {
		reach = math.Max(reach, float64(m.Slopes[i].Over))
		g.vertical, g.horizontal = true, true
		g.readings += 2
		count(m.Slopes[i].Sigma)
	}
	if given > 0 && open > 0 {
		return g, &InputError{Field: "sigma", Err: ErrMixedUncertainty}
	}
	g.given = given > 0
	if hi >= lo {
		g.centre = unit.Length((lo + hi) / 2)
		reach = math.Max(reach, hi-lo)
	}
	g.scale = unit.Length(reach)
	if !(reach > 0) {
		return g, &InputError{Field: "stations", Err: ErrCoincident}
	}
	return g, nil
}

// weight returns one over the standard uncertainty, 1 when none is given.
func (m *Measurement) weight(sigma unit.Length) float64 {
	if sigma > 0 {
		return 1 / float64(sigma)
	}
	if m.Sigma > 0 {
		return 1 / float64(m.Sigma)
	}
	return 1
}

// columns returns the coefficients of the four scaled unknowns (vertical
// offset at the centre, vertical slope times scale, and the same for the
// horizontal plane) for a gain and a clock direction.
func (g *gathered) columns(k Gain, up, right float64) (a lsq.Row) {
	lever := float64((k.BySlope - unit.Length(k.ByOffset)*g.centre) / g.scale)
	v := 0
	if g.vertical {
		a[0], a[1] = k.ByOffset*up, lever*up
		v = 2
	}
	if g.horizontal {
		a[v], a[v+1] = k.ByOffset*right, lever*right
	}
	return a
}

func (g *gathered) unknowns() int {
	if g.vertical && g.horizontal {
		return 4
	}
	return 2
}

// solve builds the system, with every dial's zero taken out by centring, and
// reads the position from it.
func (g *gathered) solve(m *Measurement) (Position, error) {
	sys := lsq.New(g.unknowns())
	for i := range m.Dials {
		m.addDial(&sys, g, &m.Dials[i])
	}
	for i := range m.Offsets {
		k := &m.Offsets[i]
		w := m.weight(k.Sigma)
		addKnown(&sys, g, Gain{1, k.Station}, w, float64(k.Offset.Vertical), float64(k.Offset.Horizontal))
	}
	for i := range m.Slopes {
		k := &m.Slopes[i]
		w := m.weight(k.Sigma)
		over := float64(k.Over)
		addKnown(&sys, g, Gain{0, k.Over}, w, k.Slope.Vertical*over, k.Slope.Horizontal*over)
	}
	if k, share := sys.Weakest(); share < lsq.Rank1Tolerance {
		return Position{}, g.undetermined(k)
	}
	return g.read(&sys), nil
}

func (g *gathered) undetermined(k int) error {
	plane := "vertical"
	if k >= 2 || !g.vertical {
		plane = "horizontal"
	}
	what := " offset"
	if k%2 == 1 {
		what = " slope"
	}
	return &InputError{Field: plane + what, Err: ErrUndetermined}
}

func (m *Measurement) addDial(sys *lsq.System, g *gathered, d *Dial) {
	gain := d.Gain(m.Spool)
	w := m.weight(d.Sigma)
	var buf [stackSamples]sample
	c := d.explained(buf[:0])
	var up, right, mean float64
	for _, r := range c {
		up, right, mean = up+r.up, right+r.right, mean+r.value
	}
	n := float64(len(c))
	up, right, mean = up/n, right/n, mean/n
	for _, r := range c {
		sys.Add(g.columns(gain, w*(r.up-up), w*(r.right-right)), w*(r.value-mean))
	}
}

// explained appends the readings to buf with sag and known runout taken out and
// the closing reading left off.
func (d *Dial) explained(buf []sample) []sample {
	first := Offset{Vertical: -d.Sag.rollOver / 2} // S(1 - cos t)/2 less its constant
	if d.Turning == BracketShaft && d.Runout != nil {
		first = first.Add(*d.Runout)
	}
	buf = d.Sweep.core().samples(buf)
	for i := range buf {
		buf[i].value -= float64(first.Vertical)*buf[i].up + float64(first.Horizontal)*buf[i].right
	}
	return buf
}

func addKnown(sys *lsq.System, g *gathered, k Gain, w, vertical, horizontal float64) {
	if g.vertical {
		sys.Add(g.columns(k, w, 0), w*vertical)
	}
	if g.horizontal {
		sys.Add(g.columns(k, 0, w), w*horizontal)
	}
}

// read turns the scaled solution into the position and its covariance for unit
// weight.
func (g *gathered) read(sys *lsq.System) (p Position) {
	x := sys.Solve()
	w := sys.InverseFactor()
	p.Condition = sys.Condition(&w)
	p.centre = g.centre
	p.VerticalKnown, p.HorizontalKnown = g.vertical, g.horizontal
	p.DoF = sys.Rows() // less zeros and unknowns; see finish
	scale := float64(g.scale)
	lines := [2]*Line{&p.Vertical, &p.Horizontal}
	planes := [2]bool{g.vertical, g.horizontal}
	var at [4]int // where each unknown of p.cov stands in x; -1 when it does not
	k := 0
	for i, known := range planes {
		at[2*i], at[2*i+1] = -1, -1
		if !known {
			continue
		}
		slope := x[k+1] / scale
		*lines[i] = Line{unit.Length(x[k]) - unit.Length(slope)*g.centre, slope}
		at[2*i], at[2*i+1] = k, k+1
		k += 2
	}
	c := sys.Covariance()
	for i := range at {
		for j := range at {
			if at[i] < 0 || at[j] < 0 {
				continue
			}
			v := c[at[i]][at[j]]
			if i%2 == 1 {
				v /= scale
			}
			if j%2 == 1 {
				v /= scale
			}
			p.cov[i][j] = v
		}
	}
	return p
}
