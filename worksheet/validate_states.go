package worksheet

import (
	"fmt"
	"slices"

	"collinear.example/align"
	"collinear.example/thermal"
	"collinear.example/tolerance"
)

// states checks how the machines move from standing cold to running.
func (c *checker) states() {
	names := map[[2]string]bool{}
	for i, s := range c.States {
		here := at("states", i)
		c.once(names, here+".name", "", s.Name)
		machines := map[[2]string]bool{}
		for j := range s.Machines {
			m, path := &s.Machines[j], at(here+".machines", j)
			c.machineAt(path+".machine", m.Machine)
			c.once(machines, path+".machine", "", m.Machine)
			c.movement(path, m)
		}
	}
}

// movement wants one of the two descriptions, and a slope from it.
func (c *checker) movement(path string, m *Movement) {
	supports, measured := len(m.Supports) > 0, len(m.Measured) > 0
	switch {
	case supports && measured:
		c.fail(path+".measured", "beside supports, want one of the two", align.ErrMismatch)
	case supports:
		c.supports(path+".supports", m.Supports)
	case measured:
		c.measured(path+".measured", m.Measured)
	default:
		c.fail(path+".supports", "", align.ErrMissing)
	}
}

func (c *checker) measured(path string, ms []Moved) {
	c.need(len(ms) == 2, path, fmt.Sprintf("%d stations, want two", len(ms)), align.ErrMismatch)
	for i, m := range ms {
		here := at(path, i)
		c.place(here+".station", m.Station)
		c.reading(here+".up", m.Up)
		c.reading(here+".right", m.Right)
		c.need(i == 0 || m.Station != ms[0].Station, here+".station", showSize(m.Station, c.Units.Length), align.ErrCoincident)
	}
}

func (c *checker) supports(path string, ss []Support) {
	c.need(c.Units.Temperature != "", "units.temperature", "", align.ErrMissing)
	if c.err != nil {
		return
	}
	apart := false
	for i := range ss {
		s, here := &ss[i], at(path, i)
		apart = apart || s.Station != ss[0].Station
		c.place(here+".station", s.Station)
		c.positive(here+".height", s.Height, c.Units.Length, maxPart)
		c.temperature(here+".cold", s.Cold)
		c.temperature(here+".hot", s.Hot)
		c.material(here, s)
		if s.AboveFloor != nil {
			c.notNegative(here+".aboveFloor", *s.AboveFloor, c.Units.Length, maxPart)
		}
		if s.Fluid != nil {
			c.temperature(here+".fluid", *s.Fluid)
		}
	}
	c.need(apart, path, "all at "+showSize(ss[0].Station, c.Units.Length), align.ErrCoincident)
}

func (c *checker) temperature(field string, v float64) {
	u := c.Units.Temperature
	c.need(u.SI(v) > 0, field, showSize(v, u)+", want above absolute zero", align.ErrOutOfRange)
	c.size(field, v, u, maxTemperature)
}

// material wants either a coefficient or a material, and the variant where the
// material has several values: they differ, so that one has to be picked.
func (c *checker) material(path string, s *Support) {
	switch {
	case s.Coefficient != 0 && s.Material != "":
		c.fail(path+".coefficient", "beside a material, want one of the two", align.ErrMismatch)
	case s.Coefficient != 0 && s.Variant != "":
		c.fail(path+".variant", "without a material", align.ErrMismatch)
	case s.Coefficient != 0:
		c.coefficient(path+".coefficient", s.Coefficient)
	case s.Material == "":
		c.fail(path+".material", "", align.ErrMissing)
	default:
		c.variant(path, s)
	}
}

func (c *checker) coefficient(field string, v float64) {
	u := align.UnitPerKelvin
	if c.Units.Temperature == align.UnitFahrenheit {
		u = align.UnitPerFahrenheit
	}
	if si := u.SI(v); si < -maxCoefficient || si > maxCoefficient {
		c.fail(field, showSize(v, u)+", want at most "+showSize(maxCoefficient, align.UnitPerKelvin), align.ErrOutOfRange)
	}
}

func (c *checker) variant(path string, s *Support) {
	found, known := c.materials[s.Material]
	if !known {
		found = thermal.Find(s.Material)
		c.materials[s.Material] = found
	}
	c.need(len(found) > 0, path+".material", show(s.Material), align.ErrUnknownKind)
	if s.Variant == "" {
		c.need(len(found) <= 1, path+".variant", fmt.Sprintf("none of %d values", len(found)), align.ErrMissing)
		return
	}
	known = slices.ContainsFunc(found, func(m thermal.Material) bool { return m.Variant == s.Variant })
	c.need(known, path+".variant", show(s.Variant), align.ErrUnknownKind)
}

// table wants a built-in set, and a size only of those that its tables name.
func (c *checker) table(path string, l Limits) {
	set, err := tolerance.FindSet(l.Set)
	if err != nil {
		c.fail(path+".set", show(l.Set), tolerance.ErrUnknownTable)
		return
	}
	known := l.Size == "" || slices.ContainsFunc(set.Tables, func(t tolerance.Table) bool { return slices.Contains(t.Sizes(), l.Size) })
	c.need(known, path+".size", show(l.Size), align.ErrUnknownKind)
}

// limits checks the tables that were chosen.
func (c *checker) limits() {
	seen := map[[2]string]bool{}
	for i, l := range c.Limits {
		here := at("limits", i)
		c.coupling(here+".coupling", l.Coupling)
		c.table(here, l)
		c.once(seen, here+".set", l.Coupling, l.Set)
	}
}
