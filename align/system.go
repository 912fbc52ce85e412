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
	given                bool    // uncertainties are given
	readings             int     // equations before the zeros are taken out
	arc                  float64 // worst magnification of errors by a narrow arc
	arcDial              int     // the dial that has it

	lo, hi float64 // stations spanned
	reach  float64 // largest lever
	open   int     // readings without an uncertainty
	closed int     // readings with one
}

// solveSamples is how many readings a measurement may hold before Solve
// allocates room for them.
const solveSamples = 64

// gather finds centre, scale, planes and weights, and appends every dial's
// readings, sag and runout taken out, to buf.
func (m *Measurement) gather(buf []sample) (g gathered, all []sample, err error) {
	g.lo, g.hi = math.Inf(1), math.Inf(-1)
	all = buf
	for i := range m.Dials {
		from := len(all)
		all = m.Dials[i].explained(all)
		if err := g.takeDial(m, i, all[from:]); err != nil {
			return g, nil, err
		}
	}
	for i := range m.Offsets {
		g.span(m.Offsets[i].Station)
		g.takeKnown(m, m.Offsets[i].Sigma)
	}
	for i := range m.Slopes {
		g.reach = math.Max(g.reach, float64(m.Slopes[i].Over))
		g.takeKnown(m, m.Slopes[i].Sigma)
	}
	if g.closed > 0 && g.open > 0 {
		return g, nil, &InputError{Field: "sigma", Err: ErrMixedUncertainty}
	}
	g.given = g.closed > 0
	if g.hi >= g.lo {
		g.centre = unit.Length((g.lo + g.hi) / 2)
		g.reach = math.Max(g.reach, g.hi-g.lo)
	}
	g.scale = unit.Length(g.reach)
	if !(g.reach > 0) {
		return g, nil, &InputError{Field: "stations", Err: ErrCoincident}
	}
	return g, all, nil
}

func (g *gathered) takeDial(m *Measurement, i int, c []sample) error {
	d := &m.Dials[i]
	if d.Surface == Rim {
		g.span(d.Station)
	} else {
		g.reach = math.Max(g.reach, float64(d.Diameter))
	}
	if d.Reach != ShaftToShaft {
		g.span(m.Spool.NearFlex)
		g.span(m.Spool.FarFlex)
	}
	g.readings += len(c)
	mo := momentsOf(c)
	v, h := mo.planes()
	if !v && !h {
		return &InputError{Field: fieldName("dials", i, d.Name) + ".sweep", Err: ErrTooFewPositions}
	}
	g.vertical, g.horizontal = g.vertical || v, g.horizontal || h
	g.count(m, d.Sigma)
	if v && h {
		return m.noteArc(g, i, mo)
	}
	return nil
}

func (g *gathered) takeKnown(m *Measurement, sigma unit.Length) {
	g.vertical, g.horizontal = true, true
	g.readings += 2
	g.count(m, sigma)
}

func (g *gathered) span(x unit.Length) {
	g.lo, g.hi = math.Min(g.lo, float64(x)), math.Max(g.hi, float64(x))
}

func (g *gathered) count(m *Measurement, sigma unit.Length) {
	if sigma > 0 || m.Sigma > 0 {
		g.closed++
		return
	}
	g.open++
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
func (g *gathered) solve(m *Measurement, all []sample) (Position, error) {
	sys := lsq.New(g.unknowns())
	rest := all
	for i := range m.Dials {
		n := len(m.Dials[i].Sweep.core())
		m.addDial(&sys, g, &m.Dials[i], rest[:n])
		rest = rest[n:]
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

// addDial adds a dial's readings as two equations, one for each direction: with
// the columns centred, the readings of one dial say no more than their first
// harmonic, whose two-by-two normal equations are factored by Cholesky
// (centring keeps the accuracy of QR; see Sweep.Fit). Their residual does not
// depend on the position and is left out here.
func (m *Measurement) addDial(sys *lsq.System, g *gathered, d *Dial, c []sample) {
	gain := d.Gain(m.Spool)
	w := m.weight(d.Sigma)
	mo := momentsOf(c)
	vertical, horizontal := mo.planes()
	if !horizontal {
		r := math.Sqrt(mo.cc)
		sys.Add(g.columns(gain, w*r, 0), w*(mo.cr/r))
		return
	}
	if !vertical {
		r := math.Sqrt(mo.ss)
		sys.Add(g.columns(gain, 0, w*r), w*(mo.sr/r))
		return
	}
	r11 := math.Sqrt(mo.cc)
	r12 := mo.cs / r11
	r22 := math.Sqrt(mo.ss - r12*r12)
	z1 := mo.cr / r11
	z2 := (mo.sr - r12*z1) / r22
	sys.Add(g.columns(gain, w*r11, w*r12), w*z1)
	sys.Add(g.columns(gain, 0, w*r22), w*z2)
}

// explained appends the readings to buf with sag and known runout taken out and
// the closing reading left off.
func (d *Dial) explained(buf []sample) []sample {
	first := Offset{Vertical: -d.Sag.rollOver / 2} // S(1 - cos t)/2 less its constant
	if d.Turning == BracketShaft && d.Runout != nil {
		first = first.Add(*d.Runout)
	}
	from := len(buf)
	buf = d.Sweep.core().samples(buf)
	for i := range buf[from:] {
		s := &buf[from+i]
		s.value -= float64(first.Vertical)*s.up + float64(first.Horizontal)*s.right
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
	c := sys.Covariance(&w)
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
