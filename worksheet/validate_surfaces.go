package worksheet

import (
	"collinear.example/align"
	"collinear.example/runout"
)

// The parts that a runout sweep can touch.
const (
	shaftPart   = "shaft"
	hubRimPart  = "hub-rim"
	hubFacePart = "hub-face"
)

// surfaces checks the sweeps of shafts and hubs.
func (c *checker) surfaces() {
	for i, s := range c.Runout {
		here := at("runout", i)
		c.machineAt(here+".machine", s.Machine)
		c.word(here+".part", s.Part, shaftPart, hubRimPart, hubFacePart)
		c.optionalDiameter(here+".diameter", s.Diameter)
		if s.Part == hubFacePart {
			c.need(s.Diameter != 0, here+".diameter", "", align.ErrMissing)
		}
		if s.Limit != "" {
			c.runoutLimit(here, s)
		}
		c.readings(here+".readings", s.Readings)
	}
}

// runoutLimit wants a limit that goes with the part: a standard or a handbook's
// rule for the shaft, a handbook's rule for the rim of a hub. For the face none is
// known.
func (c *checker) runoutLimit(path string, s RunoutSweep) {
	_, err := runout.NamedRule(s.Limit)
	rule := err == nil && s.Part != hubFacePart
	standard := false
	switch runout.Standard(s.Limit) {
	case runout.NEMAMG1, runout.IEC60072, runout.DIN42955Normal, runout.DIN42955Reduced:
		standard = s.Part == shaftPart
	}
	c.need(rule || standard, path+".limit", show(s.Limit)+" for "+s.Part, align.ErrUnknownKind)
	if standard { // it goes by the diameter
		c.need(s.Diameter != 0, path+".diameter", "", align.ErrMissing)
	}
}
