package uncertainty

import (
	"math"

	"collinear.example/align"
)

// WarnNotLinear says that an output bends within the uncertainty of its inputs,
// so that the linear law leaves out more than a tenth of the standard
// uncertainty. Hold it against MonteCarlo.
const WarnNotLinear align.WarningCode = "not-linear"

// notLinear is the share of the standard uncertainty that the second-order part
// may have before a warning (our choice; a tenth changes u by half a percent).
const notLinear = 0.1

// mostDoF is the number of degrees of freedom from which on the t distribution is
// taken as normal: its 95 % factor is then 1.2e-6 larger.
const mostDoF = 1e6

// Linear is what the law of propagation of uncertainty says of every output.
type Linear struct {
	Estimates []Estimate // in the order of the outputs
	// Covariance of the outputs, SI units: outputs of one job share their sources.
	Covariance [][]float64
	Warnings   []align.Warning
}

// Estimate is one output with its combined standard uncertainty, in SI units.
type Estimate struct {
	Output
	Value float64
	Sigma float64 // combined standard uncertainty u_c
	Parts []Part  // what each source contributes, in the order given

	// DoF are the effective degrees of freedom; DoFKnown is false when every
	// uncertainty that matters is taken as certain, so that there would be more
	// than a million, and when correlated sources have degrees of freedom, for
	// which the formula does not hold (JCGM 100:2008, G.4.1).
	DoF      float64
	DoFKnown bool

	correlated bool // some parts share what they contribute
	cross      [][]float64
}

// Part is what one source contributes to one output, in SI units.
type Part struct {
	Source, Group string
	Random        bool
	Sigma         float64 // standard uncertainty u_i of the source
	Sensitivity   float64 // c_i: change of the output over change of the source
	Effect        float64 // c_i u_i, with the sign of c_i
	Share         float64 // of the variance u_c^2; the shares of all sources add up to 1
	// Bend is the mean second-order change, half of f(+u) + f(-u) - 2 f(0): what a
	// straight line leaves out.
	Bend float64
}

// Linear propagates the uncertainties:
//
//	u_c^2 = sum_i sum_j c_i u_i r_ij c_j u_j      JCGM 100:2008, (13) to (16)
//	c_i u_i = (f(x_i + u_i) - f(x_i - u_i))/2     5.1.3, note 2
//	dof = u_c^4/sum_i((c_i u_i)^4/dof_i)          (G.2b), Welch-Satterthwaite
//
// It fails with ErrTrialFailed when the job cannot be computed one standard
// uncertainty away from its value, naming the source.
func (m *Model[J]) Linear() (Linear, error) {
	if err := m.Check(); err != nil {
		return Linear{}, err
	}
	r, err := m.correlations()
	if err != nil {
		return Linear{}, err
	}
	l, err := m.differences()
	if err != nil {
		return Linear{}, err
	}
	for i := range l.Estimates {
		combine(&l.Estimates[i], m.Sources, r)
	}
	l.Covariance = covariance(l.Estimates, r)
	l.Warnings = bends(l.Estimates)
	return l, nil
}

// differences works the job out as it is, and one standard uncertainty to either
// side of it for each source.
func (m *Model[J]) differences() (Linear, error) {
	n := len(m.Outputs)
	var j J
	base, up, down := make([]float64, n), make([]float64, n), make([]float64, n)
	at := func(s *Source[J], deviation float64, out []float64) error {
		m.fresh(&j)
		if s != nil {
			s.apply(&j, deviation)
		}
		return m.compute(&j, out)
	}
	if err := at(nil, 0, base); err != nil {
		return Linear{}, failed("job", err)
	}
	l := Linear{Estimates: make([]Estimate, n)}
	for i, v := range base {
		l.Estimates[i] = Estimate{Output: m.Outputs[i], Value: v, Parts: make([]Part, len(m.Sources))}
	}
	for k := range m.Sources {
		s := &m.Sources[k]
		u := s.Sigma()
		if err := at(s, u, up); err != nil {
			return Linear{}, failed("source "+s.Name, err)
		}
		if err := at(s, -u, down); err != nil {
			return Linear{}, failed("source "+s.Name, err)
		}
		for i := range l.Estimates {
			p := Part{Source: s.Name, Group: s.groupName(), Random: s.Random, Sigma: u}
			p.Effect = (up[i] - down[i]) / 2
			p.Bend = ((up[i] - base[i]) + (down[i] - base[i])) / 2
			if u > 0 {
				p.Sensitivity = p.Effect / u
			}
			l.Estimates[i].Parts[k] = p
		}
	}
	return l, nil
}

// cross returns c_i u_i r_ij c_j u_j summed over j, for output parts p against q.
func cross(p, q []Part, r [][]float64, i int) float64 {
	if r == nil {
		return p[i].Effect * q[i].Effect
	}
	v := 0.0
	for j := range q {
		v += r[i][j] * q[j].Effect
	}
	return p[i].Effect * v
}

func covariance(es []Estimate, r [][]float64) [][]float64 {
	c := make([][]float64, len(es))
	for a := range es {
		c[a] = make([]float64, len(es))
		for b := range es {
			for i := range es[a].Parts {
				c[a][b] += cross(es[a].Parts, es[b].Parts, r, i)
			}
		}
	}
	return c
}

// combine fills the combined uncertainty, the shares and the degrees of freedom.
func combine[J any](e *Estimate, sources []Source[J], r [][]float64) {
	variance := 0.0
	for i := range e.Parts {
		e.Parts[i].Share = cross(e.Parts, e.Parts, r, i)
		variance += e.Parts[i].Share
	}
	variance = max(variance, 0)
	e.Sigma = math.Sqrt(variance)
	e.cross = r
	below := 0.0 // sum of (c_i u_i)^4/dof_i over u_c^4
	for i := range e.Parts {
		if variance == 0 {
			e.Parts[i].Share = 0
			continue
		}
		e.Parts[i].Share /= variance
		dof, finite := sources[i].DoF()
		if !finite || e.Parts[i].Effect == 0 {
			continue
		}
		if r != nil && isCorrelated(r[i], i) {
			e.correlated = true
			continue
		}
		share := e.Parts[i].Effect / e.Sigma * (e.Parts[i].Effect / e.Sigma)
		below += share * share / dof
	}
	if below*mostDoF > 1 && !e.correlated {
		e.DoF, e.DoFKnown = 1/below, true
	}
}

func isCorrelated(row []float64, i int) bool {
	for j, v := range row {
		if j != i && v != 0 {
			return true
		}
	}
	return false
}

func bends(es []Estimate) (ws []align.Warning) {
	for _, e := range es {
		sum := 0.0
		for _, p := range e.Parts {
			sum += math.Abs(p.Bend)
		}
		if !(sum > float64(notLinear*e.Sigma)) || sum <= rounding(e.Value) {
			continue
		}
		ws = append(ws, align.Warning{
			Code: WarnNotLinear, Severity: align.Suspect, Field: e.Name, Value: sum, Limit: notLinear * e.Sigma, Unit: differenceUnit(e.Unit),
			Meaning: "bends within the uncertainty of its inputs; hold the linear law against a simulation",
		})
	}
	return ws
}

// rounding is a size below which a difference of computed values means nothing.
func rounding(v float64) float64 { return 1e-12 * math.Abs(v) }

// differenceUnit is the unit for a difference of two values in u.
func differenceUnit(u align.Unit) align.Unit {
	switch u {
	case align.UnitCelsius, align.UnitKelvin:
		return align.UnitCelsiusRise
	case align.UnitFahrenheit:
		return align.UnitFahrenheitRise
	}
	return u
}
