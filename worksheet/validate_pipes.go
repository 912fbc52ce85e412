package worksheet

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/piping"
)

// pipes checks the surveys of flanges and the strain tests.
func (c *checker) pipes() {
	seen := map[[2]string]bool{}
	for i := range c.Joints {
		here := at("joints", i)
		c.joint(here, &c.Joints[i])
		c.once(seen, here+".name", c.Joints[i].Machine, c.Joints[i].Name)
	}
	for i := range c.Strain {
		c.strain(at("strain", i), &c.Strain[i])
	}
}

func (c *checker) joint(path string, f *FlangeSurvey) {
	c.machineAt(path+".machine", f.Machine)
	c.word(path+".rule", f.Rule, string(piping.RP686Flange), string(piping.B313FlangeSI), string(piping.B313FlangeUS),
		string(piping.PCC1FlangeSI), string(piping.PCC1FlangeUS), string(piping.HandbookFlange),
		string(piping.OwnerMachinery), string(piping.OwnerPipeToPipe))
	c.diameter(path+".diameter", f.Diameter)
	c.flangeSize(path, f)
	c.gap(path+".gasket", f.Gasket, maxReading)
	c.openings(path+".gaps", f.Gaps)
	c.positions(path+".gaps", f.Gaps, 3)
	if f.OffsetUp != nil {
		c.reading(path+".offsetUp", *f.OffsetUp)
	}
	if f.OffsetSide != nil {
		c.reading(path+".offsetSide", *f.OffsetSide)
	}
}

func (c *checker) flangeSize(path string, f *FlangeSurvey) {
	c.optionalDiameter(path+".flangeOD", f.FlangeOD)
	c.optionalDiameter(path+".raisedFaceOD", f.RaisedFaceOD)
	if f.FlangeOD != 0 && f.RaisedFaceOD > f.FlangeOD {
		c.fail(path+".raisedFaceOD", showSize(f.RaisedFaceOD, c.Units.Length)+", larger than the flange", align.ErrMismatch)
	}
	if f.Reference == "" {
		return
	}
	c.word(path+".reference", f.Reference, "flange", "raised-face")
	c.need(f.Rule == string(piping.RP686Flange), path+".reference", show(f.Reference)+" for "+f.Rule, align.ErrMismatch)
}

func (c *checker) strain(path string, s *StrainLog) {
	c.machineAt(path+".machine", s.Machine)
	c.positive(path+".limit", s.Limit, c.Units.Reading, maxReading)
	names := map[[2]string]bool{}
	for i, d := range s.Dials {
		here := at(path+".dials", i)
		c.once(names, here+".name", "", d.Name)
		c.place(here+".station", d.Station)
		c.word(here+".toward", d.Toward, "up", "down", "right", "left", "along", "back")
		c.word(here+".touches", d.Touches, "shaft", "casing", "foot")
	}
	for i, step := range s.Steps {
		here := at(path+".steps", i)
		c.word(here+".action", step.Action, "loosen", "tighten")
		got := fmt.Sprintf("%d for %d dials", len(step.Readings), len(s.Dials))
		c.need(len(step.Readings) == len(s.Dials), here+".readings", got, align.ErrMismatch)
		for j, v := range step.Readings {
			c.reading(at(here+".readings", j), v)
		}
	}
}
