package worksheet

import "collinear.example/align"

// fit checks where nozzles stand, what room feet have, and dials at an angle.
func (c *checker) fit() {
	for i := range c.Joints {
		if n := c.Joints[i].Nozzle; n != nil {
			here := at("joints", i) + ".nozzle"
			c.word(here+".faces", n.Faces, "up")
			c.place(here+".station", n.Station)
			c.positive(here+".height", n.Height, c.Units.Length, maxPart)
		}
	}
	for i := range c.Train.Machines {
		m, here := &c.Train.Machines[i], at("train.machines", i)
		if m.ShaftHeight != nil {
			c.positive(here+".shaftHeight", *m.ShaftHeight, c.Units.Length, maxPart)
		}
		for j := range m.Feet {
			c.room(at(here+".feet", j), &m.Feet[j])
		}
	}
	for i := range c.Oblique {
		c.oblique(at("oblique", i), &c.Oblique[i])
	}
}

func (c *checker) room(path string, f *Foot) {
	for _, r := range []struct {
		name string
		v    *float64
		most float64
	}{{".least", f.Least, maxShims}, {".left", f.Left, maxReading}, {".right", f.Right, maxReading}} {
		if r.v != nil {
			c.gap(path+r.name, *r.v, r.most)
		}
	}
}

func (c *checker) oblique(path string, o *ObliqueDial) {
	c.machineAt(path+".machine", o.Machine)
	c.place(path+".station", o.Station)
	c.clock(path+".at", o.At)
	up, right := align.Clock(o.At).Unit()
	c.need(up != 0 && right != 0, path+".at", showSize(o.At, align.UnitDegree)+", want between the vertical and the horizontal", align.ErrOutOfRange)
	c.reading(path+".reading", o.Reading)
	c.positive(path+".limit", o.Limit, c.Units.Reading, maxReading)
	if o.Up != nil {
		c.reading(path+".up", *o.Up)
	}
	if o.Right != nil {
		c.reading(path+".right", *o.Right)
	}
}
