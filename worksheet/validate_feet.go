package worksheet

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/softfoot"
)

// feet checks what was seen and measured of the base and of the feet.
func (c *checker) feet() {
	c.looked()
	if c.Base != nil {
		c.base(c.Base)
	}
	seen := map[[2]string]bool{}
	for i, g := range c.Gaps {
		here := at("gaps", i)
		c.footOf(here, g.Machine, g.Foot)
		c.once(seen, here+".foot", g.Machine, g.Foot)
		c.positive(here+".length", g.Length, c.Units.Length, maxPart)
		c.positive(here+".width", g.Width, c.Units.Length, maxPart)
		c.gap(here+".nearLeft", g.NearLeft, maxReading)
		c.gap(here+".nearRight", g.NearRight, maxReading)
		c.gap(here+".farLeft", g.FarLeft, maxReading)
		c.gap(here+".farRight", g.FarRight, maxReading)
	}
	seen = map[[2]string]bool{}
	for i, r := range c.Rises {
		here := at("rises", i)
		c.footOf(here, r.Machine, r.Foot)
		c.once(seen, here+".foot", r.Machine, r.Foot)
		c.reading(here+".rise", r.Rise)
	}
}

func (c *checker) looked() {
	items := make([]string, 0, 8)
	for _, i := range softfoot.Items() {
		items = append(items, string(i))
	}
	for i, o := range c.Looked {
		c.word(at("looked", i)+".item", o.Item, items...)
		c.word(at("looked", i)+".finding", o.Finding, "sound", "slight", "severe")
	}
}

func (c *checker) base(b *BaseSurvey) {
	if _, err := softfoot.BaseProfile(b.Limits); err != nil {
		c.fail("base.limits", show(b.Limits), align.ErrUnknownKind)
	}
	c.need(len(b.Points) >= 3, "base.points", fmt.Sprintf("%d points", len(b.Points)), softfoot.ErrTooFewPoints)
	for i, p := range b.Points {
		here := at("base.points", i)
		c.place(here+".station", p.Station)
		c.place(here+".lateral", p.Lateral)
		c.size(here+".height", p.Height, c.Units.Reading, maxHeight)
	}
}
