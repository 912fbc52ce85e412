package worksheet

import (
	"fmt"
	"slices"
	"strconv"

	"collinear.example/align"
	"collinear.example/softfoot"
)

func (c *checker) train() {
	if s := c.Train.Speed; s != nil {
		c.need(c.Units.Speed != "", "units.speed", "", align.ErrMissing)
		if c.err == nil {
			c.positive("train.speed", *s, c.Units.Speed, maxSpeed)
		}
	}
	c.need(len(c.Train.Machines) > 0, "train.machines", "", align.ErrMissing)
	names := map[[2]string]bool{}
	for i := range c.Train.Machines {
		here := at("train.machines", i)
		c.once(names, here+".name", "", c.Train.Machines[i].Name)
		c.machine(here, &c.Train.Machines[i])
	}
	c.row()
	c.couplings()
}

// machine wants feet that can be told apart and that fix a slope.
func (c *checker) machine(path string, m *Machine) {
	if len(m.Feet) == 0 {
		return
	}
	path += ".feet"
	c.need(len(m.Feet) <= softfoot.MaxFeet, path, fmt.Sprintf("%d feet, want at most %d", len(m.Feet), softfoot.MaxFeet), softfoot.ErrTooManyFeet)
	if c.err != nil {
		return
	}
	names := map[[2]string]bool{}
	for i, f := range m.Feet {
		here := at(path, i)
		c.once(names, here+".name", "", f.Name)
		c.place(here+".station", f.Station)
		if f.Lateral != nil {
			c.place(here+".lateral", *f.Lateral)
		}
		if f.Shims != nil {
			c.gap(here+".shims", *f.Shims, maxShims)
		}
		twin := slices.ContainsFunc(m.Feet[:i], func(o Foot) bool { return onePlace(f, o) })
		c.need(!twin, here, show(f.Name)+", where another foot stands", align.ErrCoincident)
	}
	first, last := ends(m)
	c.need(first < last, path, "all at "+showSize(first, c.Units.Length), align.ErrCoincident)
}

// onePlace reports whether two feet are known to stand on one spot.
func onePlace(a, b Foot) bool {
	return a.Station == b.Station && a.Lateral != nil && b.Lateral != nil && *a.Lateral == *b.Lateral
}

// ends returns the smallest and the largest station of the feet.
func ends(m *Machine) (first, last float64) {
	for i, f := range m.Feet {
		if i == 0 || f.Station < first {
			first = f.Station
		}
		if i == 0 || f.Station > last {
			last = f.Station
		}
	}
	return first, last
}

// row wants the machines one behind the other along x, as far as feet tell.
func (c *checker) row() {
	var before *Machine
	for i := range c.Train.Machines {
		m := &c.Train.Machines[i]
		if len(m.Feet) == 0 {
			continue
		}
		if before != nil {
			_, end := ends(before)
			start, _ := ends(m)
			got := fmt.Sprintf("%s from %s, but %s ends at %s", show(m.Name), showSize(start, c.Units.Length), show(before.Name), showSize(end, c.Units.Length))
			c.need(start > end, at("train.machines", i), got, ErrOrder)
		}
		before = m
	}
}

func (c *checker) couplings() {
	names, pairs := map[[2]string]bool{}, map[[2]string]bool{}
	for i, k := range c.Train.Couplings {
		here := at("train.couplings", i)
		c.once(names, here+".name", "", k.Name)
		near := c.machineAt(here+".near", k.Near)
		far := c.machineAt(here+".far", k.Far)
		c.need(far == near+1, here+".far", show(k.Far)+", want the machine after "+show(k.Near), align.ErrMismatch)
		c.once(pairs, here+".near", "", k.Near)
		c.flexPlanes(here+".flexPlanes", k.FlexPlanes)
	}
}

func (c *checker) flexPlanes(path string, x []float64) {
	c.need(len(x) <= 2, path, strconv.Itoa(len(x))+" planes, want one or two", align.ErrOutOfRange)
	for i, v := range x {
		here := at(path, i)
		c.place(here, v)
		if i > 0 {
			c.need(v != x[i-1], here, showSize(v, c.Units.Length), align.ErrCoincident)
			c.need(v > x[i-1], here, showSize(v, c.Units.Length), ErrOrder)
		}
	}
}

// machineAt returns the place of a machine in the train, or fails.
func (c *checker) machineAt(field, name string) int {
	i := slices.IndexFunc(c.Train.Machines, func(m Machine) bool { return m.Name == name })
	c.need(i >= 0, field, show(name), ErrUnknownName)
	return i
}

// footOf wants the foot of a machine.
func (c *checker) footOf(path, machine, foot string) {
	i := c.machineAt(path+".machine", machine)
	known := i >= 0 && slices.ContainsFunc(c.Train.Machines[i].Feet, func(f Foot) bool { return f.Name == foot })
	c.need(known, path+".foot", show(foot), ErrUnknownName)
}

// coupling wants the name of a coupling.
func (c *checker) coupling(field, name string) {
	known := slices.ContainsFunc(c.Train.Couplings, func(k Coupling) bool { return k.Name == name })
	c.need(known, field, show(name), ErrUnknownName)
}
