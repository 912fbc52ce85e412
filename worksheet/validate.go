package worksheet

import (
	"slices"
	"strconv"

	"collinear.example/align"
	"collinear.example/thermal"
)

// Check says whether the record is whole and holds together: the format and the
// units are known, every name leads somewhere, the dials are those of the method,
// every table named is one of this module, and every number is finite and of a
// size that can be believed. It does not work anything out. The bounds of what is
// believed are our own choice and wide; they find a wrong unit, not a wrong
// reading.
//
// The error is one *align.InputError with the path of what cannot be used. Its
// codes, besides those of package align: given-twice, unknown-format, too-large,
// bad-text, unknown-name, not-in-order, too-many-feet, too-few-points and
// unknown-table.
func (r *Record) Check() error {
	if r == nil {
		return fault("record", "", align.ErrMissing)
	}
	if r.Format != Format {
		return fault("format", show(r.Format), formatFault(r.Format))
	}
	c := &checker{Record: r, materials: map[string][]thermal.Material{}}
	c.plain()
	c.units()
	if c.err != nil { // numbers and units are what everything else rests on
		return c.err
	}
	c.train()
	c.feet()
	c.shims()
	c.surfaces()
	c.hubs()
	c.pipes()
	c.fit()
	c.sets()
	c.moves()
	c.states()
	c.limits()
	return c.err
}

func formatFault(given string) align.Fault {
	if given == "" {
		return align.ErrMissing
	}
	return ErrUnknownFormat
}

// checker keeps the first fault, so that a check is one straight run.
type checker struct {
	*Record
	err       error
	materials map[string][]thermal.Material // those looked up already
}

func (c *checker) fail(field, got string, f align.Fault) {
	if c.err == nil {
		c.err = fault(field, got, f)
	}
}

// need fails with f unless ok.
func (c *checker) need(ok bool, field, got string, f align.Fault) {
	if !ok {
		c.fail(field, got, f)
	}
}

// word wants one of a few words.
func (c *checker) word(field, given string, words ...string) {
	c.need(slices.Contains(words, given), field, show(given), align.ErrUnknownKind)
}

// once wants a name that was not seen before, under the same other name if there
// is one.
func (c *checker) once(seen map[[2]string]bool, field, under, name string) {
	key := [2]string{under, name}
	c.need(!seen[key], field, show(name), ErrGivenTwice)
	seen[key] = true
}

// show quotes a text and cuts it to a readable length.
func show(s string) string {
	if len(s) > 60 {
		s = s[:60] + "..."
	}
	return strconv.QuoteToASCII(s)
}

func (c *checker) units() {
	for _, u := range []struct {
		field    string
		unit     align.Unit
		dim      align.Dimension
		optional bool
	}{
		{"units.length", c.Units.Length, align.LengthDim, false},
		{"units.reading", c.Units.Reading, align.LengthDim, false},
		{"units.temperature", c.Units.Temperature, align.TemperatureDim, true},
		{"units.speed", c.Units.Speed, align.FrequencyDim, true},
	} {
		switch {
		case u.unit == "" && u.optional:
		case u.unit.Dimension() == align.NoDimension:
			c.fail(u.field, show(string(u.unit)), align.ErrUnknownUnit)
		case u.unit.Dimension() != u.dim:
			c.fail(u.field, show(string(u.unit)), align.ErrWrongUnit)
		}
	}
}
