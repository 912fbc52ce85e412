package moves

import (
	"math/bits"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// allFrom is the most feet to choose for of which all combinations are looked at.
const allFrom = 8

// choice is one rounding of one machine.
type choice struct {
	up     uint // bit k: foot k takes the farther of its two heights
	motion align.Motion
	twist  unit.Length // of the worst foot
	off    float64     // sum of squares of what the feet are off the plan, square metres
}

// choices are the roundings of one machine within the limit on twist.
type choices struct {
	feet    []footChoice
	all     []choice // the nearest rounding first, if it keeps the limit
	nearest choice
	limit   unit.Length
	short   bool // none keeps the limit
	partial bool // not all combinations were looked at
}

func (r *Rounding) choices(t *Train, machine int, wanted align.Motion) (c choices, err error) {
	m := &t.Machines[machine]
	still := wanted.Shift == (align.Displacement{}) && wanted.Turn == (align.Turn{})
	if r.skips(machine) || len(m.Feet) == 0 || still {
		c.all = []choice{{motion: wanted}}
		c.nearest = c.all[0]
		return c, nil
	}
	c.limit = r.Step / 2
	for i := range m.Feet {
		f, err := r.foot(machine, i, &m.Feet[i], wanted.At(m.Feet[i].At).Y)
		if err != nil {
			return c, align.In(err, index("feet", i))
		}
		if f.n == 2 && r.Step == 0 {
			c.limit = max(c.limit, (f.heights[0]-f.heights[1])/2, (f.heights[1]-f.heights[0])/2)
		}
		c.feet = append(c.feet, f)
	}
	if r.Twist != nil {
		c.limit = *r.Twist
	}
	fit := planeOf(m.Feet)
	for _, up := range c.combinations() {
		c.all = append(c.all, c.choice(up, wanted, &fit))
	}
	c.nearest = c.all[0]
	c.keep()
	return c, nil
}

// combinations returns which feet take the farther height, none first.
func (c *choices) combinations() []uint {
	var free []int
	for i := range c.feet {
		if c.feet[i].n == 2 {
			free = append(free, i)
		}
	}
	c.partial = len(free) > allFrom
	var out []uint
	for k := range uint(1) << len(free) {
		if c.partial && bits.OnesCount(k) > 2 {
			continue
		}
		var up uint
		for j, i := range free {
			up |= k >> j & 1 << i
		}
		out = append(out, up)
	}
	return out
}

// shim returns the height that a foot takes.
func (c *choices) shim(up uint, i int) unit.Length { return c.feet[i].heights[up>>i&1] }

func (c *choices) choice(up uint, wanted align.Motion, fit *planeFit) choice {
	out := choice{up: up}
	var off [maxFeet]unit.Length
	for i := range c.feet {
		off[i] = c.shim(up, i) - c.feet[i].wanted
		out.off += float64(off[i] * off[i])
	}
	tilt := fit.fit(off[:len(c.feet)])
	out.motion = wanted.Add(tilt)
	for i := range c.feet {
		left := off[i] - tilt.At(fit.at[i]).Y
		out.twist = max(out.twist, left, -left)
	}
	return out
}

// keep drops what is beyond the limit on twist, or all but the least twist where
// nothing keeps it.
func (c *choices) keep() {
	least := c.all[0].twist
	for i := range c.all {
		least = min(least, c.all[i].twist)
	}
	limit := c.limit
	if c.short = least > limit+sameHeight; c.short {
		limit = least
	}
	c.all = slices.DeleteFunc(c.all, func(k choice) bool { return k.twist > limit+sameHeight })
}

// planeFit fits height, pitch and roll to heights at feet by least squares.
type planeFit struct {
	at     []align.Place
	middle align.Place
	scale  unit.Length
	use    [2]bool // pitch, roll
	line   [2]float64
}

// planeOf finds what the feet determine: with feet in one line the tilt is that
// along the line alone, with feet in one place only the height.
func planeOf(feet []Foot) (p planeFit) {
	n := unit.Length(len(feet))
	for i := range feet {
		p.at = append(p.at, feet[i].At)
		p.middle = p.middle.Add(align.Displacement{X: feet[i].At.X / n, Y: feet[i].At.Y / n, Z: feet[i].At.Z / n})
	}
	for i := range p.at {
		d := p.at[i].From(p.middle)
		p.scale = max(p.scale, d.X, -d.X, d.Z, -d.Z)
	}
	const least = 1e-6
	if p.scale < least {
		return p
	}
	var xx, xz, zz float64
	for i := range p.at {
		x, z := p.plan(i)
		xx, xz, zz = xx+float64(x*x), xz+float64(x*z), zz+float64(z*z)
	}
	if xx*zz-xz*xz > 1e-10*(xx+zz)*(xx+zz) {
		p.use = [2]bool{true, true}
		return p
	}
	// One line: its direction is that of the farthest foot.
	far := 0.0
	for i := range p.at {
		x, z := p.plan(i)
		if s := x*x + z*z; s > far {
			far, p.line = s, [2]float64{x, z}
		}
	}
	p.use[0] = true
	return p
}

// plan returns where a foot stands in plan, from the middle, in units of scale.
func (p *planeFit) plan(i int) (x, z float64) {
	d := p.at[i].From(p.middle)
	return float64(d.X / p.scale), float64(d.Z / p.scale)
}

// fit returns the motion about the middle of the feet that brings them nearest to
// the given heights. Turning about the middle at the height of the feet moves no
// foot sideways when all stand at one height.
func (p *planeFit) fit(up []unit.Length) align.Motion {
	m := align.Motion{About: p.middle}
	n := 1
	for _, is := range p.use {
		if is {
			n++
		}
	}
	s := lsq.New(n)
	for i, v := range up {
		row := lsq.Row{1}
		if n > 1 {
			row[1], row[2] = p.plan(i)
		}
		if n == 2 {
			row[1], row[2] = (row[1]*p.line[0]+row[2]*p.line[1])/(p.line[0]*p.line[0]+p.line[1]*p.line[1]), 0
		}
		s.Add(row, float64(v))
	}
	c := s.Solve()
	m.Shift.Y = unit.Length(c[0])
	switch n {
	case 3:
		m.Turn.Z, m.Turn.X = c[1]/float64(p.scale), -c[2]/float64(p.scale)
	case 2:
		// The least turn: about the level line across the line of feet.
		k := c[1] / (float64(p.scale) * (p.line[0]*p.line[0] + p.line[1]*p.line[1]))
		m.Turn.Z, m.Turn.X = k*p.line[0], -k*p.line[1]
	}
	return m
}
