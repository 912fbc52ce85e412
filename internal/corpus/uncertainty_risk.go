package corpus

import (
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"gonum.org/v1/gonum/unit"
)

// uncertaintyRiskComputations are about decisions, and the choice of a method.
func uncertaintyRiskComputations() map[string]Computation {
	return map[string]Computation{
		"uncertainty.global-risk":     computation(globalRisk),
		"uncertainty.specific-risk":   computation(specificRisk),
		"uncertainty.specific-guard":  computation(specificGuard),
		"uncertainty.compare-methods": computation(compareMethods),
	}
}

// rangeInput is a range; an end without a limit is "-Inf" or "+Inf".
type rangeInput struct {
	Lower Quantity `json:"lower"`
	Upper Quantity `json:"upper"`
}

func (in *rangeInput) of(path string, dim align.Dimension) (uncertainty.Range[float64], error) {
	if err := in.Lower.of(path+".lower", dim); err != nil {
		return uncertainty.Range[float64]{}, err
	}
	err := in.Upper.of(path+".upper", dim)
	return uncertainty.Range[float64]{Lower: in.Lower.SI, Upper: in.Upper.SI}, err
}

// decision is what all decisions have: a prior, a tolerance and an acceptance
// interval.
type decision struct {
	prior                 *uncertainty.Prior[float64]
	tolerance, acceptance uncertainty.Range[float64]
}

// decide reads a decision whose figures are all of one kind, that of sigma.
func decide(mean, spread, sigma *Quantity, tolerance, acceptance *rangeInput) (d decision, err error) {
	dim := sigma.Unit.Dimension()
	if dim == align.TemperatureDim { // its standard uncertainty is a difference
		return d, fault("input", "a temperature on a scale", align.ErrWrongUnit)
	}
	if d.tolerance, err = tolerance.of("input.tolerance", dim); err != nil {
		return d, err
	}
	if d.acceptance, err = acceptance.of("input.acceptance", dim); err != nil {
		return d, err
	}
	if (mean == nil) != (spread == nil) {
		return d, fault("input.prior", "", align.ErrMissing)
	}
	if mean == nil {
		return d, nil
	}
	if err := mean.of("input.mean", dim); err != nil {
		return d, err
	}
	d.prior = &uncertainty.Prior[float64]{Mean: mean.SI, Sigma: spread.SI}
	return d, spread.of("input.sigma", dim)
}

type globalRiskInput struct {
	Mean       Quantity   `json:"mean"`      // of the prior
	Sigma      Quantity   `json:"sigma"`     // of the prior
	Measuring  Quantity   `json:"measuring"` // standard uncertainty of a measurement
	Tolerance  rangeInput `json:"tolerance"`
	Acceptance rangeInput `json:"acceptance"`
}

func globalRisk(in globalRiskInput) (r Result, err error) {
	d, err := decide(&in.Mean, &in.Sigma, &in.Measuring, &in.Tolerance, &in.Acceptance)
	if err != nil {
		return r, err
	}
	g, err := uncertainty.Inspection[float64]{
		Prior: *d.prior, Measuring: in.Measuring.SI, Tolerance: d.tolerance, Acceptance: d.acceptance,
	}.Risk()
	if err != nil {
		return r, err
	}
	r.Ratio("consumer", g.Consumer)
	r.Ratio("producer", g.Producer)
	r.Ratio("conforming", g.Conforming)
	r.Ratio("accepted", g.Accepted)
	return r, nil
}

type priorInput struct {
	Mean  Quantity `json:"mean"`
	Sigma Quantity `json:"sigma"`
}

type specificRiskInput struct {
	Measured   Quantity    `json:"measured"`
	Sigma      Quantity    `json:"sigma"`
	Tolerance  rangeInput  `json:"tolerance"`
	Acceptance rangeInput  `json:"acceptance"`
	Prior      *priorInput `json:"prior"`
}

func specificRisk(in specificRiskInput) (r Result, err error) {
	var mean, spread *Quantity
	if in.Prior != nil {
		mean, spread = &in.Prior.Mean, &in.Prior.Sigma
	}
	d, err := decide(mean, spread, &in.Sigma, &in.Tolerance, &in.Acceptance)
	if err != nil {
		return r, err
	}
	if err := in.Measured.of("input.measured", in.Sigma.Unit.Dimension()); err != nil {
		return r, err
	}
	s, err := uncertainty.Item[float64]{
		Measured: in.Measured.SI, Sigma: in.Sigma.SI, Tolerance: d.tolerance, Acceptance: d.acceptance, Prior: d.prior,
	}.Risk()
	if err != nil {
		return r, err
	}
	r.Text("accepted", strconv.FormatBool(s.Accepted))
	r.Ratio("conforms", s.Conforms)
	r.Ratio("consumer", s.Consumer)
	r.Ratio("producer", s.Producer)
	return r, nil
}

type specificGuardInput struct {
	Tolerance rangeInput `json:"tolerance"`
	Sigma     Quantity   `json:"sigma"`
	Risk      Ratio      `json:"risk"`
}

func specificGuard(in specificGuardInput) (r Result, err error) {
	d, err := decide(nil, nil, &in.Sigma, &in.Tolerance, &in.Tolerance)
	if err != nil {
		return r, err
	}
	w, err := uncertainty.SpecificGuard(d.tolerance, in.Sigma.SI, float64(in.Risk))
	if err != nil {
		return r, err
	}
	r.Number("width", w, in.Sigma.Unit.Dimension())
	return r, nil
}

type rimsInput struct {
	First  Length `json:"first"`
	Second Length `json:"second"`
}

func (in *rimsInput) rims() *uncertainty.Rims {
	if in == nil {
		return nil
	}
	return &uncertainty.Rims{First: in.First.Of(), Second: in.Second.Of()}
}

type facedInput struct {
	Rim   Length `json:"rim"`
	Swept Length `json:"swept"`
}

type spooledInput struct {
	NearFlex Length `json:"nearFlex"`
	FarFlex  Length `json:"farFlex"`
	Near     Length `json:"near"` // swept diameters
	Far      Length `json:"far"`
}

type compareInput struct {
	Reverse   *rimsInput    `json:"reverse"`
	RimFace   *facedInput   `json:"rimFace"`
	Double    *rimsInput    `json:"double"`
	FaceFace  *spooledInput `json:"faceFace"`
	At        []float64     `json:"at"` // clock degrees
	Sigma     Length        `json:"sigma"`
	FaceSigma *Length       `json:"faceSigma"`
	Stations  []Length      `json:"stations"`
}

func (in *compareInput) geometry() uncertainty.Geometry {
	g := uncertainty.Geometry{Reverse: in.Reverse.rims(), Double: in.Double.rims(), Sigma: in.Sigma.Of(), FaceSigma: in.FaceSigma.Of()}
	if f := in.RimFace; f != nil {
		g.Face = &uncertainty.Faced{Rim: f.Rim.Of(), Swept: f.Swept.Of()}
	}
	if f := in.FaceFace; f != nil {
		g.FaceFace = &uncertainty.Spooled{Spool: align.Spool{NearFlex: f.NearFlex.Of(), FarFlex: f.FarFlex.Of()}, Near: f.Near.Of(), Far: f.Far.Of()}
	}
	for _, t := range in.At {
		g.At = append(g.At, align.Clock(t))
	}
	return g
}

// methodWords are the corpus words of the methods.
var methodWords = map[uncertainty.Method]string{
	uncertainty.ReverseIndicator: "reverse-indicator", uncertainty.RimAndFace: "rim-and-face",
	uncertainty.DoubleRadial: "double-radial", uncertainty.FaceFace: "face-face",
}

func compareMethods(in compareInput) (r Result, err error) {
	var stations []unit.Length
	for _, x := range in.Stations {
		stations = append(stations, x.Of())
	}
	list, err := in.geometry().CompareMethods(stations...)
	if err != nil {
		return r, err
	}
	for i, s := range list {
		word := methodWords[s.Method]
		r.Text("rank."+strconv.Itoa(i), word)
		r.Slope(word+".slope", s.Slope())
		r.Length(word+".worst", s.Worst(stations...))
		for k, x := range stations {
			r.Offset(word+".offset."+strconv.Itoa(k), align.Offset(s.Offset(x)))
		}
	}
	return r, nil
}
