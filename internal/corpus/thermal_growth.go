package corpus

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// thermalGrowthComputations are about materials, supports and pipes that warm up.
func thermalGrowthComputations() map[string]Computation {
	return map[string]Computation{
		"thermal.strain":           computation(thermalStrain),
		"thermal.mean-coefficient": computation(meanCoefficient),
		"thermal.expansion":        computation(expansionTable),
		"thermal.support":          computation(supportGrowth),
		"thermal.pipe":             computation(pipeExpansion),
		"thermal.rules-of-thumb":   computation(rulesOfThumb),
	}
}

type fromToInput struct {
	Material materialInput `json:"material"`
	From     Temperature   `json:"from"`
	To       Temperature   `json:"to"`
}

func (in fromToInput) use(r *Result) (m thermal.Material, from, to unit.Temperature, err error) {
	if m, err = in.Material.material(); err != nil {
		return m, 0, 0, err
	}
	from, to = unit.Temperature(in.From), unit.Temperature(in.To)
	r.Warn(m.AppendRangeWarning(m.AppendRangeWarning(nil, "from", from), "to", to)...)
	return m, from, to, nil
}

func thermalStrain(in fromToInput) (r Result, err error) {
	m, from, to, err := in.use(&r)
	if err != nil {
		return r, err
	}
	e, err := m.Strain(from, to)
	r.Ratio("strain", e)
	return r, err
}

func meanCoefficient(in fromToInput) (r Result, err error) {
	m, from, to, err := in.use(&r)
	if err != nil {
		return r, err
	}
	a, err := m.MeanCoefficient(from, to)
	r.Number("mean", a, align.ExpansionDim)
	return r, err
}

type expansionInput struct {
	Material materialInput `json:"material"`
	Length   Length        `json:"length"`
	From     Temperature   `json:"from"`
	To       []Temperature `json:"to"`
}

func expansionTable(in expansionInput) (r Result, err error) {
	m, err := in.Material.material()
	if err != nil {
		return r, err
	}
	if len(in.To) == 0 {
		return r, fault("to", "", align.ErrMissing)
	}
	for i, to := range in.To {
		s := thermal.Segment{
			Length: in.Length.Of(), Material: m, Cold: unit.Temperature(in.From), Hot: unit.Temperature(to),
		}
		g, err := s.Growth()
		if err != nil {
			return r, err
		}
		r.Length(fmt.Sprintf("growth.%d", i), g)
	}
	return r, nil
}

type layerInput struct {
	Height      Length      `json:"height"`
	Temperature Temperature `json:"temperature"`
}

type segmentInput struct {
	Name     *string       `json:"name"`
	Length   Length        `json:"length"`
	Material materialInput `json:"material"`
	Cold     Temperature   `json:"cold"`
	Hot      *Temperature  `json:"hot"`
	Profile  []layerInput  `json:"profile,omitempty"` // in the place of hot
}

func (in segmentInput) segment() (s thermal.Segment, err error) {
	m, err := in.Material.material()
	if err != nil {
		return s, err
	}
	s = thermal.Segment{Length: in.Length.Of(), Material: m, Cold: unit.Temperature(in.Cold), Hot: in.Hot.of()}
	if in.Name != nil {
		s.Name = *in.Name
	}
	for _, l := range in.Profile {
		s.Profile = append(s.Profile, thermal.Layer{Height: l.Height.Of(), Temperature: unit.Temperature(l.Temperature)})
	}
	return s, nil
}

// supportOf reads a stack of segments.
func supportOf(in []segmentInput) (s thermal.Support, err error) {
	for i := range in {
		seg, err := in[i].segment()
		if err != nil {
			return s, align.In(err, fmt.Sprintf("segments[%d]", i))
		}
		s.Segments = append(s.Segments, seg)
	}
	return s, nil
}

type supportInput struct {
	Segments []segmentInput `json:"segments"`
}

func supportGrowth(in supportInput) (r Result, err error) {
	s, err := supportOf(in.Segments)
	if err != nil {
		return r, err
	}
	g, err := s.Growth()
	if err != nil {
		return r, err
	}
	r.Length("growth", g)
	for i := range s.Segments {
		part, err := s.Segments[i].Growth()
		if err != nil {
			return r, err
		}
		r.Length(fmt.Sprintf("segment.%d", i), part)
	}
	r.Warn(s.Warnings()...)
	return r, nil
}

type legInput struct {
	Name     *string       `json:"name"`
	X        Length        `json:"x"`
	Y        Length        `json:"y"`
	Z        Length        `json:"z"`
	Material materialInput `json:"material"`
	Cold     Temperature   `json:"cold"`
	Hot      Temperature   `json:"hot"`
}

type pipeInput struct {
	Legs []legInput `json:"legs"`
}

func pipeExpansion(in pipeInput) (r Result, err error) {
	var p thermal.PipeRun
	for i, l := range in.Legs {
		m, err := l.Material.material()
		if err != nil {
			return r, align.In(err, fmt.Sprintf("legs[%d]", i))
		}
		p.Legs = append(p.Legs, thermal.Leg{
			Way:      align.Displacement{X: l.X.Of(), Y: l.Y.Of(), Z: l.Z.Of()},
			Material: m, Cold: unit.Temperature(l.Cold), Hot: unit.Temperature(l.Hot),
		})
	}
	d, err := p.FreeExpansion()
	r.Length("x", d.X)
	r.Length("y", d.Y)
	r.Length("z", d.Z)
	r.Length("size", d.Size())
	r.Warn(p.Warnings()...)
	return r, err
}

type rulesInput struct {
	Height Length `json:"height"`
	Rise   Rise   `json:"rise"`
}

// rulesOfThumb gives rule.0 to rule.3 in the order of package thermal.
func rulesOfThumb(in rulesInput) (r Result, err error) {
	rules, ws, err := thermal.RulesOfThumb(in.Height.Of(), align.TempRise(in.Rise))
	for i, g := range rules {
		r.Length(fmt.Sprintf("rule.%d", i), g.Growth)
	}
	r.Warn(ws...)
	return r, err
}
