package piping

import (
	"strings"

	"collinear.example/align"
)

// MisfitScreen is what a flange misfit that is pulled together does to the
// nozzle, by one straight pipe, held against a table.
type MisfitScreen struct {
	Load     Load            // on the nozzle, about the centre of the flange face
	Verdicts []align.Verdict // in the order of the rule
	Within   bool            // every verdict is within its limit
	Governs  align.Verdict   // the one with the largest share
	// Portion is how much of the misfit would just meet the governing limit, 1
	// when all of it does and more when there is something left. It counts the
	// misfit alone; zero when the misfit makes no load at all, and Boundless is
	// true then.
	Portion   float64
	Boundless bool
}

// ScreenMisfit closes a misfit with a straight pipe that leads away from the
// nozzle in a direction, and holds the load against limits: NozzleLoad, then
// JudgeNozzle. Load and misfit go together in proportion, so Portion is one over
// the largest share.
//
// It is a screen. A misfit over the limits may still be harmless where bends make
// the pipe soft; one within them says nothing about weight, heat, pressure and
// whatever else loads the nozzle, and a support nearer than the stated length
// makes the load larger. It does not say that the joint may be made up: flange
// limits and the strain test do not become void.
//
// Errors: those of StraightPipe.NozzleLoad and of the limits; missing limits.
func ScreenMisfit(p StraightPipe, away align.Direction, m PipeMisfit, limits NozzleLimits) (MisfitScreen, error) {
	if limits == nil {
		return MisfitScreen{}, loadFault("limits", "", align.ErrMissing)
	}
	load, err := p.NozzleLoad(away, m)
	if err != nil {
		return MisfitScreen{}, err
	}
	vs, err := limits.JudgeNozzle(load)
	if err != nil {
		return MisfitScreen{}, err
	}
	most, ok := LargestShare(vs)
	if !ok {
		return MisfitScreen{}, loadFault("limits", "", align.ErrMissing)
	}
	out := MisfitScreen{Load: load, Verdicts: vs, Within: AllWithin(vs), Governs: most}
	if share := most.Share(); share > 1e-300 {
		out.Portion = 1 / share
	} else {
		out.Boundless = true
	}
	return out, nil
}

// String returns the outcome in lines: whether the load is within the limits,
// the governing one, and the caution that goes with it.
func (s MisfitScreen) String() string {
	var b strings.Builder
	b.WriteString("load of the misfit alone: ")
	if s.Within {
		b.WriteString("within every limit of the screen\n")
	} else {
		b.WriteString("over a limit of the screen\n")
	}
	b.WriteString("governing: " + s.Governs.String() + "\n")
	b.WriteString(ScreenCaution + "\n")
	return b.String()
}
