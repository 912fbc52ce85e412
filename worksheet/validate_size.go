package worksheet

import (
	"strconv"

	"collinear.example/align"
)

// Bounds of what is believed, in SI units (own choice, wide).
const (
	maxPlace       = 200.0  // m, a station or a lateral
	maxDiameter    = 20.0   // m, of what a dial or a feeler goes around
	maxPart        = 20.0   // m, length or width of a foot, height of a support
	maxReading     = 0.1    // m, a reading, a gap, a rise, a move
	maxShims       = 0.5    // m
	maxHeight      = 10.0   // m, a pad's height over any datum
	maxSigma       = 0.01   // m
	maxTemperature = 2000.0 // K
	maxSpeed       = 5000.0 // Hz
	maxCoefficient = 1e-3   // 1/K, what package thermal takes
)

// size wants a number of a unit whose SI value is at most most, up or down.
func (c *checker) size(field string, v float64, u align.Unit, most float64) {
	if si := u.SI(v); si < -most || si > most {
		c.fail(field, showSize(v, u)+", want at most "+showSize(most, siOf(u)), align.ErrOutOfRange)
	}
}

func showSize(v float64, u align.Unit) string {
	return strconv.FormatFloat(v, 'g', -1, 64) + " " + string(u)
}

// siOf returns the name of the SI unit of the quantities of a record.
func siOf(u align.Unit) align.Unit {
	switch u.Dimension() {
	case align.TemperatureDim:
		return align.UnitKelvin
	case align.FrequencyDim:
		return align.UnitHertz
	}
	return align.UnitMetre
}

// place wants a believable station or lateral.
func (c *checker) place(field string, v float64) { c.size(field, v, c.Units.Length, maxPlace) }

// reading wants a believable reading, rise or move.
func (c *checker) reading(field string, v float64) { c.size(field, v, c.Units.Reading, maxReading) }

// gap wants a gap, which is never negative.
func (c *checker) gap(field string, v, most float64) { c.notNegative(field, v, c.Units.Reading, most) }

func (c *checker) notNegative(field string, v float64, u align.Unit, most float64) {
	c.need(v >= 0, field, showSize(v, u), align.ErrNegative)
	c.size(field, v, u, most)
}

// positive wants a number above zero.
func (c *checker) positive(field string, v float64, u align.Unit, most float64) {
	c.need(v > 0, field, showSize(v, u)+", want more than zero", align.ErrOutOfRange)
	c.size(field, v, u, most)
}

func (c *checker) diameter(field string, v float64) {
	c.need(v > 0, field, showSize(v, c.Units.Length), align.ErrZeroDiameter)
	c.size(field, v, c.Units.Length, maxDiameter)
}

// optionalDiameter takes zero as not given.
func (c *checker) optionalDiameter(field string, v float64) {
	if v != 0 {
		c.diameter(field, v)
	}
}

// readings wants readings at clock positions that determine a plane or two.
func (c *checker) readings(field string, rs []Reading) {
	for i, r := range rs {
		here := at(field, i)
		c.clock(here+".at", r.At)
		c.reading(here+".value", r.Value)
	}
	c.positions(field, rs, 2)
}

func (c *checker) clock(field string, v float64) {
	if v < 0 || v > 360 {
		c.fail(field, showSize(v, align.UnitDegree)+", want 0 to 360", align.ErrOutOfRange)
	}
}

// nearlyOpposite is how far two positions may be from a half turn, in degrees
// (own choice).
const nearlyOpposite = 5

// positions wants at least so many different clock positions, and two only if
// they are opposite. A full turn counts as zero: it is the closing reading.
func (c *checker) positions(field string, rs []Reading, least int) {
	seen := map[float64]bool{}
	var first, last float64
	for i, r := range rs {
		p := r.At
		if p == 360 {
			p = 0
		}
		if i == 0 {
			first = p
		}
		if !seen[p] {
			seen[p], last = true, p
		}
	}
	got := strconv.Itoa(len(seen)) + " different"
	c.need(len(seen) >= least, field, got, align.ErrTooFewPositions)
	apart := max(first, last) - min(first, last)
	opposite := apart >= 180-nearlyOpposite && apart <= 180+nearlyOpposite
	c.need(len(seen) > 2 || opposite, field, got+", not opposite", align.ErrTooFewPositions)
}
