package piping

import (
	"collinear.example/align"
	"collinear.example/internal/rigid"
)

// Component is a movement in one direction. A component that the readings do not
// determine has Known false and says nothing, not zero.
type Component struct {
	Value align.Movement
	Sigma align.Movement // standard uncertainty
	Known bool
}

// Inclination is how far something turned, as a slope or in radians, with its
// standard uncertainty.
type Inclination struct {
	Value float64
	Sigma float64
	Known bool
}

// PointMovement is how far a point moved: along +x, up and to the right
// positive.
type PointMovement struct{ Along, Up, Right Component }

// Body is the rigid motion that explains a set of indicators best.
type Body struct {
	s       *solver
	b       *bodyFit // nil when none of its indicators was read
	x       rigid.Vector
	scale   float64 // standard uncertainty, in those of a single movement
	touched bool
}

// Used returns how many indicators that watch this body were read.
func (b *Body) Used() int {
	if b.b == nil {
		return 0
	}
	return len(b.b.used)
}

// Rank returns how many independent ways to move the indicators determine.
func (b *Body) Rank() int {
	if b.b == nil {
		return 0
	}
	return b.b.fit.Rank()
}

// Known returns the ways that follow from the readings, ways that are held
// included.
func (b *Body) Known() Ways {
	var l [rigid.Unknowns]bool
	for i := range l {
		l[i] = !b.free()[i] || b.b.known(i)
	}
	return waysOf(l)
}

func (b *Body) free() *[rigid.Unknowns]bool {
	if b.touched {
		return &b.s.freeTouched
	}
	return &b.s.freeCasing
}

// Undetermined returns the ways about which the readings are silent.
func (b *Body) Undetermined() Ways {
	l := b.Known().list()
	for i := range l {
		l[i] = !l[i]
	}
	return waysOf(l)
}

// Motion returns the motion; what is not known is none in it.
func (b *Body) Motion() align.Motion {
	x := b.x
	for i, known := range b.Known().list() {
		if !known {
			x[i] = 0
		}
	}
	return x.Motion(b.s.about)
}

// Sigma returns the standard uncertainties of the six ways: shifts along x, y
// and z in metres, turns about them in radians; zero where not known.
func (b *Body) Sigma() (u [6]float64) {
	for i := range u {
		if b.b.known(i) {
			u[i] = b.b.sigma[i] * b.scale
		}
	}
	return u
}

// Covariance returns the covariance of the six ways, in the order and units of
// Sigma, and whether all six are known; it is zero where they are not.
func (b *Body) Covariance() (c [6][6]float64, ok bool) {
	if b.b == nil || b.Undetermined() != (Ways{}) {
		return c, false
	}
	for i := range c {
		for j := range c {
			var g, h rigid.Vector
			g[i], h[j] = 1, 1
			c[i][j] = b.scale * b.scale * b.b.fit.Covariance(g, h)
		}
	}
	return c, true
}

// component returns the k-th of what is wanted of a motion.
func (b *Body) component(k int) Component {
	if !b.b.known(k) {
		return Component{}
	}
	return Component{align.Movement(b.s.wanted[k].Dot(b.x)), align.Movement(b.b.sigma[k] * b.scale), true}
}

func (b *Body) point(k int) PointMovement {
	return PointMovement{b.component(k), b.component(k + 1), b.component(k + 2)}
}

// Source says from which indicators a movement of the shaft was found.
type Source uint8

// The sources of a movement of the shaft.
const (
	FromNothing Source = iota
	FromShaft          // indicators that touch the shaft
	FromCasing         // indicators on casing and feet; the shaft taken as carried along
)

// String returns the source in words.
func (s Source) String() string {
	switch s {
	case FromShaft:
		return "from the shaft"
	case FromCasing:
		return "from the casing"
	}
	return "not determined"
}

// ShaftMovement is how the centreline of the shaft moved. Indicators that touch
// the shaft come first; what they leave open is taken from those on the casing.
type ShaftMovement struct {
	// At are the movements at the coupling stations, in the order given. The two
	// parts of one point may come from different indicators.
	At []PointMovement
	// VerticalSlope and HorizontalSlope are the changes of slope.
	VerticalSlope   Inclination
	HorizontalSlope Inclination
	// Axis is the movement as a line in each plane, for package align: add it to
	// the far shaft, or take it from the near one. A plane holds only when its
	// source is not FromNothing; offset and slope are then of one source.
	Axis       align.Axis
	Vertical   Source
	Horizontal Source
}

// Movements are how everything moved, in one step or since the start.
type Movements struct {
	Indicators []Reading // the movement each indicator shows, in its own direction
	// Casing is the motion by the indicators on casing and feet.
	Casing Body
	// Touched is the motion by the indicators on the shaft. A shaft does not turn
	// in its bearings during a strain test, so its roll is held.
	Touched Body
	s       *solver
}

// Residuals returns what the rigid motion leaves of the movements of casing and
// foot indicators, and of shaft indicators what the shaft's own motion leaves.
func (m *Movements) Residuals() []align.Movement {
	out := make([]align.Movement, len(m.Indicators))
	for i := range out {
		out[i] = m.residual(i)
	}
	return out
}

func (m *Movements) residual(i int) align.Movement {
	if !m.Indicators[i].Given || i >= len(m.solver().rows) {
		return 0
	}
	x := &m.Casing.x
	if m.s.onShaft>>i&1 == 1 {
		x = &m.Touched.x
	}
	return m.Indicators[i].Value - align.Movement(m.s.rows[i].Dot(*x))
}

// solver is what the movements were worked out with; nothing for movements that no
// test has made.
func (m *Movements) solver() *solver {
	if m.s == nil {
		return &solver{}
	}
	return m.s
}

// Predicted returns what the casing's motion makes of the movement at each
// indicator on the shaft; it is not known for the others.
func (m *Movements) Predicted() []Component {
	out := make([]Component, len(m.Indicators))
	for i := range out {
		out[i] = m.predicted(i)
	}
	return out
}

func (m *Movements) predicted(i int) Component {
	if m.solver().onShaft>>i&1 == 0 {
		return Component{}
	}
	return m.Casing.component(m.s.atPredicted() + i)
}

// Feet returns how the feet moved, by the casing's motion.
func (m *Movements) Feet() []PointMovement { return m.points(m.solver().atFeet(), m.solver().feet) }

// Nozzles returns how the nozzles moved, by the casing's motion.
func (m *Movements) Nozzles() []PointMovement {
	return m.points(m.solver().atNozzles(), m.solver().nozzles)
}

func (m *Movements) points(from, n int) []PointMovement {
	out := make([]PointMovement, n)
	for i := range out {
		out[i] = m.Casing.point(from + 3*i)
	}
	return out
}

// Shaft returns how the centreline of the shaft moved.
func (m *Movements) Shaft() ShaftMovement {
	s := m.solver()
	out := ShaftMovement{At: make([]PointMovement, s.stations)}
	for i := range out.At {
		out.At[i] = m.coupling(i)
	}
	v, h := m.first(s.atSlopes()), m.first(s.atSlopes()+1)
	out.VerticalSlope = Inclination{float64(v.Value), float64(v.Sigma), v.Known}
	out.HorizontalSlope = Inclination{float64(h.Value), float64(h.Sigma), h.Known}
	for _, of := range [...]struct {
		source Source
		body   *Body
	}{{FromShaft, &m.Touched}, {FromCasing, &m.Casing}} {
		if of.body.b == nil {
			continue
		}
		a, known := of.body.x.Motion(s.about).Axis(s.about), of.body.b.known
		if out.Vertical == FromNothing && known(1) && known(5) {
			out.Axis.Vertical, out.Vertical = a.Vertical, of.source
		}
		if out.Horizontal == FromNothing && known(2) && known(4) {
			out.Axis.Horizontal, out.Horizontal = a.Horizontal, of.source
		}
	}
	return out
}

// first returns what is wanted of the shaft from the first body that knows.
func (m *Movements) first(k int) Component {
	if c := m.Touched.component(k); c.Known {
		return c
	}
	return m.Casing.component(k)
}

// coupling returns the movement of the shaft at a coupling station.
func (m *Movements) coupling(i int) PointMovement {
	k := atCoupling + 3*i
	return PointMovement{m.first(k), m.first(k + 1), m.first(k + 2)}
}

// StepResult is what one step did.
type StepResult struct {
	Name    string
	Step    Movements // by this step alone
	Running Movements // since the start
}

// Extreme is the largest movement in one direction at one coupling station.
type Extreme struct {
	Component     // with its sign; Known when any running movement is known
	Step      int // the step after which it stood there, -1 when none is known
	// Complete says that the movement is known after every step, so that nothing
	// larger can have been missed.
	Complete bool
}

// CouplingExtremes are the largest and the last movements at one coupling
// station, counted from the start.
type CouplingExtremes struct {
	Up, Right           Extreme
	FinalUp, FinalRight Component
}

// StrainResult is what a strain test tells.
type StrainResult struct {
	// Reference is the point of the shaft about which motions are described.
	Reference align.Place
	Steps     []StepResult
	Coupling  []CouplingExtremes // in the order of the stations
	Closures  []Closure
	Causes    []Cause // one for each step
	Warnings  []align.Warning
	oblique   []obliqueSeen
}

// Final returns the movements from the start to the last step; none for a result that
// no test has made.
func (r *StrainResult) Final() *Movements {
	if len(r.Steps) == 0 {
		return &Movements{}
	}
	return &r.Steps[len(r.Steps)-1].Running
}
