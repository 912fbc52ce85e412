package main

import (
	"context"
	"fmt"

	"collinear.example/align"
	"collinear.example/moves"
)

// answer is everything the report prints.
type answer struct {
	*job
	plan     *moves.Plan
	ways     []moves.Way
	points   []moves.Point
	readings []align.Sweep
}

func (j *job) answer() (*answer, error) {
	a, ctx := &answer{job: j}, context.Background()
	var err error
	if a.plan, err = j.train.Plan(ctx, moves.Options{Criteria: j.criteria}); err != nil {
		return nil, err
	}
	if j.compare {
		if a.ways, err = j.train.Alternatives(ctx, moves.Options{Criteria: j.criteria}); err != nil {
			return nil, err
		}
	}
	if j.tradeOff > 0 {
		if a.points, err = j.train.TradeOff(ctx, j.tradeOff, moves.Options{}); err != nil {
			return nil, err
		}
	}
	return a, a.predict()
}

// predict works out what the dials should read after the moves. A dial read by a
// person who looks along -x gets its clock mirrored at this edge.
func (a *answer) predict() error {
	for i := range a.dials {
		d := &a.dials[i]
		cold := a.plan.Couplings[d.coupling].Cold
		s, err := d.Predict(cold, align.Spool{}, align.Twelve, align.Twelve, align.Three, align.Six, align.Nine)
		if err != nil {
			return align.In(err, fmt.Sprintf("dials[%d]", i))
		}
		if d.against {
			s[1].Value, s[3].Value = s[3].Value, s[1].Value
		}
		a.readings = append(a.readings, s)
	}
	return nil
}
