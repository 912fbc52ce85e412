package worksheet

import (
	"fmt"
	"slices"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// placed is one set of readings with where it says the shafts stand.
type placed struct {
	set      int
	coupling *Coupling
	dials    []align.Dial
	pos      align.Position
	err      error
}

// hair is room for the rounding of unit conversion, so that a value equal to its
// limit is within it.
const hair = 1e-6 * align.Micrometre

// setChecks are the limits of the validity checks: the defaults of package align,
// common practice without a source.
func setChecks() align.Checks {
	c := align.DefaultChecks()
	c.Closure, c.SumRule, c.Residual = c.Closure+hair, c.SumRule+hair, c.Residual+hair
	return c
}

// solveSets finds where the shafts stand by every set.
func (e *evaluator) solveSets() {
	for i := range e.Sets {
		s := &e.Sets[i]
		k := slices.IndexFunc(e.Train.Couplings, func(c Coupling) bool { return c.Name == s.Coupling })
		p := placed{set: i, coupling: &e.Train.Couplings[k]}
		m := align.Measurement{Checks: setChecks()}
		if s.Sigma != nil {
			m.Sigma = unit.Length(e.Units.reading(*s.Sigma))
		}
		for d := range s.Dials {
			m.Dials = append(m.Dials, e.dialOf(&s.Dials[d]))
		}
		p.dials = m.Dials
		p.pos, p.err = m.Solve()
		p.err = align.In(p.err, at("sets", i))
		e.placed = append(e.placed, p)
	}
}

// dialOf is a dial as package align has it. A record taken by a person who looks
// along -x is turned here, at the edge.
func (e *evaluator) dialOf(d *Dial) align.Dial {
	out := align.Dial{Station: unit.Length(e.Units.length(d.Station)), Diameter: unit.Length(e.Units.length(d.Diameter)),
		Bracket: align.Near, Sag: e.sagFor(d.Bracket), Sweep: e.sweepOf(d.Readings)}
	if d.On == onNear { // the bracket is carried by the other shaft
		out.Bracket = align.Far
	}
	switch d.Touches {
	case faceToward:
		out.Surface = align.FaceToward
	case faceAway:
		out.Surface = align.FaceAway
	}
	if d.Against {
		out.Sweep = out.Sweep.Mirrored()
	}
	return out
}

// known reports whether a set shows a plane.
func (p *placed) known(pl plane) bool {
	if pl.vertical {
		return p.pos.VerticalKnown
	}
	return p.pos.HorizontalKnown
}

// warningsOf are the warnings about one dial of the set.
func (p *placed) warningsOf(dial int) (out []align.Warning) {
	for _, w := range p.pos.Warnings {
		if strings.HasPrefix(w.Field, at("dials", dial)) {
			out = append(out, w)
		}
	}
	return out
}

// otherWarnings are those about no one dial.
func (p *placed) otherWarnings() (out []align.Warning) {
	for _, w := range p.pos.Warnings {
		if !strings.HasPrefix(w.Field, "dials[") {
			out = append(out, w)
		}
	}
	return out
}

// place is a named station of a coupling.
type place struct {
	id, says string
	x        unit.Length
}

// flexPlaces are the flex planes of a coupling.
func (e *evaluator) flexPlaces(c *Coupling) (out []place) {
	switch len(c.FlexPlanes) {
	case 1:
		out = []place{{id: "flex", says: "the flex plane"}}
	case 2:
		out = []place{{id: "flex-near", says: "the near flex plane"}, {id: "flex-far", says: "the far flex plane"}}
	}
	for i := range out {
		out[i].x = unit.Length(e.Units.length(c.FlexPlanes[i]))
	}
	return out
}

// flexInputs is the path of a coupling's flex planes, where it has any.
func (e *evaluator) flexInputs(c *Coupling) []string {
	if len(c.FlexPlanes) == 0 {
		return nil
	}
	return []string{e.couplingPath(c) + ".flexPlanes"}
}

// couplingPath is the path of a coupling.
func (e *evaluator) couplingPath(c *Coupling) string {
	return at("train.couplings", slices.IndexFunc(e.Train.Couplings, func(k Coupling) bool { return k.Name == c.Name }))
}

// setWords names a set for people.
func (e *evaluator) setWords(i int) string {
	s := &e.Sets[i]
	out := fmt.Sprintf("readings %d, %s, coupling %s", i+1, strings.ReplaceAll(s.Stage, "-", " "), s.Coupling)
	if s.When != "" {
		out += ", " + s.When
	}
	if s.By != "" {
		out += ", by " + s.By
	}
	return out
}

func methodWords(method string) (formula, doc string) {
	if method == RimAndFace {
		return "rim and face: e(x) = e(rim) + slope (x - rim), slope = face sweep over the swept diameter", "align.RimAndFace"
	}
	return "reverse indicator, two rim dials: e(x) = e(near) + (e(far) - e(near)) (x - near)/(far - near)", "align.ReverseIndicator"
}
