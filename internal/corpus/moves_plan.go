package corpus

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/moves"
)

// movesPlanComputations are about which machine to move how far.
func movesPlanComputations() map[string]Computation {
	return map[string]Computation{
		"moves.plan":         computation(planMoves),
		"moves.evaluate":     computation(evaluateMoves),
		"moves.explain":      computation(explainMoves),
		"moves.trade-off":    computation(tradeOff),
		"moves.alternatives": computation(alternativeMoves),
	}
}

type planInput struct {
	Train    trainInput `json:"train"`
	Criteria []string   `json:"criteria,omitempty"` // best alignment, then least total move when absent
	Sides    *int       `json:"sides"`
}

var criterionWords = map[string]moves.Criterion{
	"best-alignment": moves.BestAlignment, "best-flange-fit": moves.BestFlangeFit, "best-together": moves.BestTogether,
	"smallest-largest-move": moves.SmallestLargestMove, "least-total-move": moves.LeastTotalMove,
	"least-shim-change": moves.LeastShimChange, "fewest-feet": moves.FewestFeet,
}

func (in *planInput) options() (o moves.Options, err error) {
	for i, word := range in.Criteria {
		c, ok := criterionWords[word]
		if !ok {
			return o, fault(fmt.Sprintf("input.criteria[%d]", i), strconv.Quote(word), align.ErrUnknownKind)
		}
		o.Criteria = append(o.Criteria, c)
	}
	if in.Sides != nil {
		o.Sides = *in.Sides
	}
	return o, nil
}

func (in *planInput) read() (t *moves.Train, o moves.Options, err error) {
	if o, err = in.options(); err != nil {
		return nil, o, err
	}
	t, err = in.Train.train()
	return t, o, err
}

func planMoves(in planInput) (r Result, err error) {
	t, o, err := in.read()
	if err != nil {
		return r, err
	}
	p, err := t.Plan(context.Background(), o)
	if err != nil {
		return r, err
	}
	r.Text("feasible", strconv.FormatBool(p.Feasible))
	if p.Feasible {
		r.Text("proved", strconv.FormatBool(p.Proved))
		r.planValues(o, p.Values)
		if len(p.Binding) > 0 {
			r.Ratio("gain.0", p.Binding[0].Gain)
			r.Text("binding.0", t.Words(p.Binding[0].Ref))
		}
	}
	r.evaluation(&p.Evaluation)
	return r, nil
}

// planValues adds what was reached: shares, lengths, or a number of feet.
func (r *Result) planValues(o moves.Options, values []float64) {
	criteria := o.Criteria
	if len(criteria) == 0 {
		criteria = []moves.Criterion{moves.BestAlignment, moves.LeastTotalMove}
	}
	for i, v := range values {
		dim := align.RatioDim
		switch criteria[i] {
		case moves.SmallestLargestMove, moves.LeastTotalMove, moves.LeastShimChange:
			dim = align.LengthDim
		}
		r.Number(fmt.Sprintf("value.%d", i), v, dim)
	}
}

func (r *Result) evaluation(e *moves.Evaluation) {
	r.Ratio("worst.coupling", e.WorstCoupling)
	r.Ratio("worst.foot", e.WorstFoot)
	r.Ratio("worst.flange", e.WorstFlange)
	r.Ratio("worst.hard", e.WorstHard)
	r.Text("within", strconv.FormatBool(e.Within()))
	r.Length("largest", e.Largest)
	r.Length("total", e.Total)
	r.Length("shims", e.Shims)
	r.Ratio("touched", float64(e.Touched))
	for i, feet := range e.Feet {
		for k := range feet {
			name := fmt.Sprintf("foot.%d.%d", i, k)
			r.Length(name+".up", feet[k].Move.Vertical)
			r.Length(name+".right", feet[k].Move.Horizontal)
			r.Length(name+".along", feet[k].Along)
			r.Ratio(name+".share", feet[k].Share)
		}
	}
	for i := range e.Couplings {
		c, name := &e.Couplings[i], fmt.Sprintf("coupling.%d", i)
		r.Offset(name+".cold", c.Cold.At(0))
		r.Slope(name+".cold.slope", c.Cold.Slope())
		r.Ratio(name+".worst", c.Worst)
		r.Length(name+".gap", c.Gap)
		for s := range c.States {
			r.Offset(fmt.Sprintf("%s.state.%d", name, s), c.States[s].Axis.At(0))
			r.Ratio(fmt.Sprintf("%s.state.%d.share", name, s), c.States[s].Worst.Share)
		}
	}
	for i := range e.Flanges {
		r.Ratio(fmt.Sprintf("flange.%d.worst", i), e.Flanges[i].Worst)
	}
}

type evaluateInput struct {
	Train   trainInput          `json:"train"`
	Motions []casingMotionInput `json:"motions"`
}

func evaluateMoves(in evaluateInput) (r Result, err error) {
	t, err := in.Train.train()
	if err != nil {
		return r, err
	}
	var motions []align.Motion
	for _, m := range in.Motions {
		motions = append(motions, align.Motion{
			About: m.About.of(), Shift: align.Displacement(m.Shift.of()),
			Turn: align.Turn{X: float64(m.Turn.X), Y: float64(m.Turn.Y), Z: float64(m.Turn.Z)},
		})
	}
	e, err := t.Evaluate(motions)
	if err != nil {
		return r, err
	}
	r.evaluation(&e)
	return r, nil
}

var limitWords = map[moves.Kind]string{
	moves.FootVertical: "shims", moves.FootLateral: "bolt-holes", moves.CouplingLimit: "coupling",
	moves.GapLimit: "axial-gap", moves.FlangeGoal: "flange",
}

func explainMoves(in planInput) (r Result, err error) {
	t, o, err := in.read()
	if err != nil {
		return r, err
	}
	p, err := t.Plan(context.Background(), o)
	if err != nil {
		return r, err
	}
	r.Text("feasible", strconv.FormatBool(p.Feasible))
	if p.Why == nil {
		return r, nil
	}
	r.Ratio("conflict.size", float64(len(p.Why.Conflict)))
	var kinds []string
	for _, ref := range p.Why.Conflict {
		if word := limitWords[ref.Kind]; !slices.Contains(kinds, word) {
			kinds = append(kinds, word)
		}
	}
	slices.Sort(kinds)
	r.Text("conflict.kinds", strings.Join(kinds, " "))
	for _, x := range p.Why.Relaxations {
		r.Number("relax."+limitWords[x.Kind], x.Sum, align.LengthDim)
	}
	r.Number("relax.together", p.Why.Together.Sum, align.LengthDim)
	var kept []string
	for _, k := range p.Why.Kept {
		kept = append(kept, limitWords[k])
	}
	r.Text("compromise.keeps", strings.Join(kept, " "))
	r.Ratio("compromise.coupling", p.WorstCoupling)
	r.Ratio("compromise.flange", p.WorstFlange)
	return r, nil
}

type tradeOffInput struct {
	Train  trainInput `json:"train"`
	Points int        `json:"points"`
	Sides  *int       `json:"sides"`
}

func tradeOff(in tradeOffInput) (r Result, err error) {
	plan := planInput{Train: in.Train, Sides: in.Sides}
	t, o, err := plan.read()
	if err != nil {
		return r, err
	}
	points, err := t.TradeOff(context.Background(), in.Points, o)
	if err != nil {
		return r, err
	}
	r.Ratio("points", float64(len(points)))
	for i := range points {
		r.Ratio(fmt.Sprintf("point.%d.alignment", i), points[i].Alignment)
		r.Ratio(fmt.Sprintf("point.%d.flange", i), points[i].Flange)
	}
	return r, nil
}

func alternativeMoves(in planInput) (r Result, err error) {
	t, o, err := in.read()
	if err != nil {
		return r, err
	}
	ways, err := t.Alternatives(context.Background(), o)
	if err != nil {
		return r, err
	}
	for i, w := range ways {
		name := fmt.Sprintf("way.%d", i)
		r.Text(name+".name", w.Name)
		r.Text(name+".feasible", strconv.FormatBool(w.Feasible))
		r.Ratio(name+".coupling", w.WorstCoupling)
		r.Ratio(name+".flange", w.WorstFlange)
		r.Length(name+".largest", w.Largest)
	}
	return r, nil
}
