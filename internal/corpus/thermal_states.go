package corpus

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/thermal"
)

// thermalStateComputations are about operating states and cold targets.
func thermalStateComputations() map[string]Computation {
	return map[string]Computation{
		"thermal.position":         computation(statePosition),
		"thermal.cold-target":      computation(coldTarget),
		"thermal.between":          computation(betweenStates),
		"thermal.warm-up":          computation(warmUp),
		"thermal.ambient":          computation(ambientStates),
		"thermal.best-cold-target": computation(bestColdTarget),
		"thermal.target-readings":  computation(targetReadings),
		"thermal.enclosing-circle": computation(enclosingCircle),
	}
}

// stateInput is the movement of each shaft from cold; absent: it does not move.
type stateInput struct {
	Name *string    `json:"name"`
	Near *axisInput `json:"near"`
	Far  *axisInput `json:"far"`
}

func (in stateInput) state(path string) (s thermal.State, err error) {
	if in.Name != nil {
		s.Name = *in.Name
	}
	if in.Near != nil {
		if s.Near, err = in.Near.axis(path + ".near"); err != nil {
			return s, err
		}
	}
	if in.Far != nil {
		s.Far, err = in.Far.axis(path + ".far")
	}
	return s, err
}

type positionInput struct {
	State    stateInput `json:"state"`
	Cold     axisInput  `json:"cold"`
	Stations []Length   `json:"stations"`
}

func statePosition(in positionInput) (r Result, err error) {
	s, err := in.State.state("state")
	if err != nil {
		return r, err
	}
	cold, err := in.Cold.axis("cold")
	if err != nil {
		return r, err
	}
	p, err := s.Position(cold)
	r.offsetsAt(p, in.Stations)
	return r, err
}

type coldTargetInput struct {
	State    stateInput `json:"state"`
	Stations []Length   `json:"stations"`
}

func coldTarget(in coldTargetInput) (r Result, err error) {
	s, err := in.State.state("state")
	if err != nil {
		return r, err
	}
	return targetOf(s, in.Stations)
}

func targetOf(s thermal.State, stations []Length) (r Result, err error) {
	t, err := s.ColdTarget()
	r.offsetsAt(t, stations)
	return r, err
}

type betweenInput struct {
	From     stateInput `json:"from"`
	To       stateInput `json:"to"`
	Fraction Ratio      `json:"fraction"`
	Stations []Length   `json:"stations"`
}

// betweenStates gives the cold target of a state between two.
func betweenStates(in betweenInput) (r Result, err error) {
	from, err := in.From.state("from")
	if err != nil {
		return r, err
	}
	to, err := in.To.state("to")
	if err != nil {
		return r, err
	}
	s, err := thermal.Between("", from, to, float64(in.Fraction))
	if err != nil {
		return r, err
	}
	return targetOf(s, in.Stations)
}

type warmUpInput struct {
	From     stateInput `json:"from"`
	To       stateInput `json:"to"`
	Constant Time       `json:"constant"`
	After    Time       `json:"after"`
	Stations []Length   `json:"stations"`
}

// warmUp gives the cold target of a state some time after the start.
func warmUp(in warmUpInput) (r Result, err error) {
	w := thermal.WarmUp{Constant: in.Constant.of()}
	if w.From, err = in.From.state("from"); err != nil {
		return r, err
	}
	if w.To, err = in.To.state("to"); err != nil {
		return r, err
	}
	s, err := w.At("", in.After.of())
	if err != nil {
		return r, err
	}
	return targetOf(s, in.Stations)
}

type ambientInput struct {
	Base     stateInput `json:"base"`
	PerRise  stateInput `json:"perKelvin"`
	Low      Rise       `json:"low"`
	High     Rise       `json:"high"`
	Stations []Length   `json:"stations"`
}

// ambientStates gives the relative movement at both ends of a range, by plane.
func ambientStates(in ambientInput) (r Result, err error) {
	a := thermal.Ambient{Low: align.TempRise(in.Low), High: align.TempRise(in.High)}
	if a.Base, err = in.Base.state("base"); err != nil {
		return r, err
	}
	if a.PerRise, err = in.PerRise.state("perKelvin"); err != nil {
		return r, err
	}
	low, high, err := a.States()
	if err != nil {
		return r, err
	}
	for i, x := range in.Stations {
		r.Offset(fmt.Sprintf("low.%d", i), low.Relative().At(x.Of()))
		r.Offset(fmt.Sprintf("high.%d", i), high.Relative().At(x.Of()))
	}
	return r, nil
}

type limitAtInput struct {
	Station Length `json:"station"`
	Limit   Length `json:"limit"`
}

func (in limitAtInput) limitAt() thermal.LimitAt {
	return thermal.LimitAt{Station: in.Station.Of(), Limit: in.Limit.Of()}
}

type caseInput struct {
	Name      *string    `json:"name"`
	Near      *axisInput `json:"near"`
	Far       *axisInput `json:"far"`
	NearLimit *Length    `json:"nearLimit"`
	FarLimit  *Length    `json:"farLimit"`
}

func (in caseInput) state(path string) (c thermal.Case, err error) {
	c.State, err = stateInput{in.Name, in.Near, in.Far}.state(path)
	if in.NearLimit != nil {
		l := in.NearLimit.Of()
		c.NearLimit = &l
	}
	if in.FarLimit != nil {
		l := in.FarLimit.Of()
		c.FarLimit = &l
	}
	return c, err
}

type bestTargetInput struct {
	States []caseInput  `json:"states"`
	Near   limitAtInput `json:"near"`
	Far    limitAtInput `json:"far"`
	Mode   Kind         `json:"mode"` // per-plane, resultant
	Cold   *axisInput   `json:"cold"` // a target to judge; the best one when absent
}

func bestColdTarget(in bestTargetInput) (r Result, err error) {
	cases := make([]thermal.Case, len(in.States))
	for i, s := range in.States {
		if cases[i], err = s.state(fmt.Sprintf("states[%d]", i)); err != nil {
			return r, err
		}
	}
	c := thermal.Criterion{Near: in.Near.limitAt(), Far: in.Far.limitAt()}
	c.Mode, err = kindFrom("mode", &in.Mode, thermal.PerPlane, map[Kind]thermal.Mode{
		"per-plane": thermal.PerPlane, "resultant": thermal.Resultant,
	})
	if err != nil {
		return r, err
	}
	t, err := in.target(cases, c)
	if err != nil {
		return r, err
	}
	r.Offset("near", t.Axis.At(c.Near.Station))
	r.Offset("far", t.Axis.At(c.Far.Station))
	r.Ratio("worst", t.Worst)
	r.Text("verdict", yesNo(t.Within(), "within", "over"))
	r.Ratio("governing", float64(len(t.Governing)))
	for i, k := range t.Governing {
		r.Text(fmt.Sprintf("governing.%d", i), fmt.Sprintf("%d %s %s", k.State, k.Shaft, k.Direction))
	}
	for _, k := range t.Checks {
		r.Length(fmt.Sprintf("margin.%d.%s.%s", k.State, k.Shaft, k.Direction), k.Margin())
	}
	return r, nil
}

func (in bestTargetInput) target(cases []thermal.Case, c thermal.Criterion) (thermal.Target, error) {
	if in.Cold == nil {
		return thermal.BestColdTarget(cases, c)
	}
	cold, err := in.Cold.axis("cold")
	if err != nil {
		return thermal.Target{}, err
	}
	return thermal.JudgeColdTarget(cold, cases, c)
}

type targetReadingsInput struct {
	Target axisInput   `json:"target"`
	Dials  []dialInput `json:"dials"`
	Spool  *spoolInput `json:"spool"`
	Zero   float64     `json:"zero"`
	At     []float64   `json:"at"`
}

func targetReadings(in targetReadingsInput) (r Result, err error) {
	target, err := in.Target.axis("target")
	if err != nil {
		return r, err
	}
	dials := make([]align.Dial, len(in.Dials))
	for i := range in.Dials {
		if dials[i], err = in.Dials[i].dial(fmt.Sprintf("dials[%d]", i), align.Rim, false); err != nil {
			return r, err
		}
	}
	at := make([]align.Clock, len(in.At))
	for i, c := range in.At {
		at[i] = align.Clock(c)
	}
	sweeps, err := thermal.TargetReadings(target, dials, in.Spool.spool(), align.Clock(in.Zero), at...)
	for i, s := range sweeps {
		r.Sweep(fmt.Sprintf("dial.%d", i), s)
	}
	return r, err
}

type enclosingInput struct {
	Offsets []offsetInput `json:"offsets"`
}

func enclosingCircle(in enclosingInput) (r Result, err error) {
	os := make([]align.Offset, len(in.Offsets))
	for i, o := range in.Offsets {
		os[i] = o.offset()
	}
	c, radius, err := thermal.Enclosing(os)
	r.Offset("centre", c)
	r.Length("radius", radius)
	return r, err
}
