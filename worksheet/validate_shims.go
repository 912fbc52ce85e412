package worksheet

import (
	"strconv"

	"collinear.example/align"
)

const maxLeaves = 100 // of one stack, more than anybody stacks (own choice)

// shims checks the leaves under the feet and on the shelf, and the moves wanted.
func (c *checker) shims() {
	for i := range c.Train.Machines {
		feet := at("train.machines", i) + ".feet"
		for j, f := range c.Train.Machines[i].Feet {
			c.leaves(at(feet, j)+".leaves", f.Leaves)
		}
	}
	if s := c.Stock; s != nil {
		c.leaves("stock.leaves", s.Leaves)
		c.need(s.MaxLeaves >= 1 && s.MaxLeaves <= maxLeaves, "stock.maxLeaves", strconv.Itoa(s.MaxLeaves)+", want 1 to 100", align.ErrOutOfRange)
		c.gap("stock.within", s.Within, maxReading)
	}
	seen := map[[2]string]bool{}
	for i, w := range c.Wanted {
		here := at("wanted", i)
		c.footOf(here, w.Machine, w.Foot)
		c.once(seen, here+".foot", w.Machine, w.Foot)
		c.reading(here+".up", w.Up)
	}
}

func (c *checker) leaves(path string, leaves []float64) {
	for i, v := range leaves {
		c.positive(at(path, i), v, c.Units.Reading, maxShims)
	}
}
