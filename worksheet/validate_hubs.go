package worksheet

// hubs checks the gaps between hubs, by feelers and under a straightedge.
func (c *checker) hubs() {
	for i := range c.Hubs {
		h, here := &c.Hubs[i], at("hubs", i)
		c.coupling(here+".coupling", h.Coupling)
		c.diameter(here+".diameter", h.Diameter)
		c.clock(here+".turned", h.Turned)
		c.openings(here+".gaps", h.Gaps)
		c.positions(here+".gaps", h.Gaps, 2)
		if s := h.Straightedge; s != nil {
			c.place(here+".straightedge.station", s.Station)
			c.readings(here+".straightedge.gaps", s.Gaps)
		}
	}
}

// openings wants gaps at clock positions.
func (c *checker) openings(path string, gaps []Reading) {
	for i, g := range gaps {
		here := at(path, i)
		c.clock(here+".at", g.At)
		c.gap(here+".value", g.Value, maxReading)
	}
}
