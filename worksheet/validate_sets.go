package worksheet

import (
	"fmt"
	"strconv"

	"collinear.example/align"
)

// What a dial of a set can touch.
const (
	rimDial          = "rim"
	faceToward       = "face-toward"
	faceAway         = "face-away"
	onNear           = "near"
	onFar            = "far"
	dialsOfASet      = 2
	rollOver         = "roll-over"
	singleDeflection = "single-deflection"
)

// sets checks the sag tests and the sets of readings that refer to them.
func (c *checker) sets() {
	brackets := map[[2]string]bool{{}: true} // no bracket at all is one, too
	for i, s := range c.Sag {
		here := at("sag", i)
		c.once(brackets, here+".bracket", "", s.Bracket)
		c.word(here+".kind", s.Kind, rollOver, singleDeflection)
		c.reading(here+".reading", s.Reading)
	}
	for i := range c.Sets {
		c.set(at("sets", i), &c.Sets[i], brackets)
	}
}

func (c *checker) set(path string, s *Set, brackets map[[2]string]bool) {
	c.word(path+".stage", s.Stage, AsFound, AfterMove, AsLeft, HotCheck)
	c.coupling(path+".coupling", s.Coupling)
	c.word(path+".method", s.Method, ReverseIndicator, RimAndFace)
	if s.Sigma != nil {
		c.positive(path+".sigma", *s.Sigma, c.Units.Reading, maxSigma)
	}
	for i := range s.Dials {
		d, here := &s.Dials[i], at(path+".dials", i)
		c.dial(here, d)
		c.need(brackets[[2]string{"", d.Bracket}], here+".bracket", show(d.Bracket), ErrUnknownName)
	}
	c.need(len(s.Dials) == dialsOfASet, path+".dials", fmt.Sprintf("%d dials, want two", len(s.Dials)), align.ErrMismatch)
	if c.err != nil {
		return
	}
	if s.Method == ReverseIndicator {
		c.reverseIndicator(path+".dials", s.Dials)
		return
	}
	c.rimAndFace(path+".dials", s.Dials)
}

func (c *checker) dial(path string, d *Dial) {
	c.word(path+".touches", d.Touches, rimDial, faceToward, faceAway)
	c.word(path+".on", d.On, onNear, onFar)
	c.place(path+".station", d.Station)
	c.optionalDiameter(path+".diameter", d.Diameter)
	if d.Touches != rimDial { // the slope is the reading over the swept diameter
		c.need(d.Diameter != 0, path+".diameter", "", align.ErrMissing)
	}
	c.readings(path+".readings", d.Readings)
	if d.Turn != nil {
		c.positive(path+".turn", *d.Turn, c.Units.Reading, maxReading)
	}
}

// reverseIndicator wants a rim dial on each shaft, at two stations.
func (c *checker) reverseIndicator(path string, dials []Dial) {
	for i, d := range dials {
		c.need(d.Touches == rimDial, at(path, i)+".touches", show(d.Touches)+", want rim", align.ErrMismatch)
	}
	c.need(dials[0].On != dials[1].On, path+"[1].on", show(dials[1].On)+", want the other shaft", align.ErrMismatch)
	c.need(dials[0].Station != dials[1].Station, path+"[1].station", showSize(dials[1].Station, c.Units.Length), align.ErrCoincident)
}

// rimAndFace wants a rim and a face dial on one shaft.
func (c *checker) rimAndFace(path string, dials []Dial) {
	a, b := dials[0].Touches == rimDial, dials[1].Touches == rimDial
	c.need(a != b, path+"[1].touches", show(dials[1].Touches)+", want one rim and one face", align.ErrMismatch)
	c.need(dials[0].On == dials[1].On, path+"[1].on", show(dials[1].On)+", want the same shaft", align.ErrMismatch)
}

// moves checks the moves that were made, in time order.
func (c *checker) moves() {
	last := 0
	for i, m := range c.Moves {
		here := at("moves", i)
		known := m.After >= 0 && m.After < len(c.Sets)
		c.need(known, here+".after", strconv.Itoa(m.After)+", want the index of a set", align.ErrOutOfRange)
		c.need(m.After >= last, here+".after", fmt.Sprintf("%d behind %d", m.After, last), ErrOrder)
		last = max(last, m.After)
		c.footOf(here, m.Machine, m.Foot)
		c.reading(here+".up", m.Up)
		c.reading(here+".right", m.Right)
	}
}
