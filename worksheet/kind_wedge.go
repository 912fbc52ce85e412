package worksheet

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

func wedgeKind() kind {
	return kind{
		name:  "foot-wedge",
		title: "A wedge under a foot",
		asks:  "From the gaps at the four corners of a foot, all bolts loose, find the mean gap and its taper, see what a flat shim leaves open, and lay out a stepped shim.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			return wedgeRecord(newInventor(r), d)
		},
		build:    wedgeSheet,
		mistakes: wedgeMistakes(),
	}
}

// wedgeRecord invents a foot for which the stock makes a stepped shim.
func wedgeRecord(v inventor, d Difficulty) *Record {
	return lively(func() *Record {
		r := v.record("Gaps under a foot")
		m := &r.Train.Machines[1]
		inboard := v.length(300, 900)
		m.Feet = []Foot{{Name: "inboard left", Station: inboard}, {Name: "outboard left", Station: inboard + v.length(300, 900)}}
		r.Gaps = []FootGaps{v.wedge(m.Name, d)}
		r.Stock = v.stock()
		return r
	}, func(r *Record) (*Sheet, error) {
		s, err := wedgeSheet(r)
		if err == nil && !s.has("plan") {
			err = fault("stock", "", align.ErrUndetermined)
		}
		return s, err
	})
}

// wedge invents the gaps at the corners: a tight one, a taper along, but for Plain
// one across, and a foot a little bent.
func (v inventor) wedge(machine string, d Difficulty) FootGaps {
	g := FootGaps{Machine: machine, Foot: "inboard left", Length: v.length(100, 260), Width: v.length(60, 160)}
	tight, along := 20+100*v.Float64(), 80+170*v.Float64()
	near, far := tight, tight+along
	if v.IntN(2) == 0 {
		near, far = far, near
	}
	across, bend := 0.0, 0.0
	if d > Plain {
		across, bend = 40+130*v.Float64(), 50+40*v.Float64()
	}
	left, right := 0.0, across
	if v.IntN(2) == 0 {
		left, right = right, left
	}
	if v.IntN(2) == 0 {
		g.NearLeft = v.division(near + left + bend)
		g.FarLeft = v.division(far + left)
	} else {
		g.NearLeft = v.division(near + left)
		g.FarLeft = v.division(far + left + bend)
	}
	g.NearRight, g.FarRight = v.division(near+right), v.division(far+right)
	return g
}

// stock invents a shelf of shims.
func (v inventor) stock() *Stock {
	if v.inch {
		return &Stock{Leaves: []float64{1, 2, 3, 5, 10, 20}, MaxLeaves: 5, Within: 3}
	}
	return &Stock{Leaves: []float64{0.025, 0.05, 0.1, 0.2, 0.5}, MaxLeaves: 5, Within: 0.1}
}

// wedge is the first foot with gaps as package softfoot sees it.
func (r *Record) wedge() (softfoot.Wedge, error) {
	if len(r.Gaps) == 0 {
		return softfoot.Wedge{}, fault("gaps", "", align.ErrMissing)
	}
	g, u := &r.Gaps[0], r.Units
	l := func(v float64) unit.Length { return unit.Length(u.reading(v)) }
	w, err := softfoot.FourCorners(unit.Length(u.length(g.Length)), unit.Length(u.length(g.Width)),
		softfoot.CornerGaps{FirstLeft: l(g.NearLeft), FirstRight: l(g.NearRight), LastLeft: l(g.FarLeft), LastRight: l(g.FarRight)}).Wedge()
	return w, align.In(err, "gaps[0]")
}

// The corners of a foot in the order of their ids.
var wedgeCorners = [4]string{"near.left", "near.right", "far.left", "far.right"}

func wedgeSheet(r *Record) (*Sheet, error) {
	w, err := r.wedge()
	if err != nil {
		return nil, err
	}
	g, u := &r.Gaps[0], r.Units
	m := &sheetMaker{Sheet{Kind: "foot-wedge"}}
	says := [4]string{"end toward the first machine, left", "end toward the first machine, right", "end toward the last machine, left", "end toward the last machine, right"}
	for i, gap := range [4]float64{g.NearLeft, g.NearRight, g.FarLeft, g.FarRight} {
		m.given(wedgeCorners[i], "gap under the "+g.Foot+" foot of the "+g.Machine+", "+says[i], u.reading(gap), u.Reading, u.readingDecimals())
	}
	m.given("length", "length of the foot along the train", u.length(g.Length), u.Length, 2)
	m.given("width", "width of the foot", u.length(g.Width), u.Length, 2)
	two := g.NearLeft != g.NearRight || g.FarLeft != g.FarRight
	wedgeTaper(m, u, two, g.NearLeft-g.NearRight-g.FarLeft+g.FarRight != 0)
	wedgeFlat(m, u, two)
	return &m.Sheet, wedgePlan(m, r, w)
}

// wedgeTaper asks mean, tapers, slopes and, of a foot that is bent, how far the
// corners are off the plane. The taper across is asked where there is one.
func wedgeTaper(m *sheetMaker, u Units, two, bent bool) {
	m.ask(Step{ID: "mean", Says: "mean gap under the foot", Formula: "sum of the four corners over four", Unit: u.Reading, Decimals: u.meanDecimals()},
		func(v Values) float64 {
			return (v["near.left"] + v["near.right"] + v["far.left"] + v["far.right"]) / 4
		})
	m.ask(Step{ID: "along", Says: "taper along the train: how much wider the gap is at the end toward the last machine",
		Formula: "mean of the corners toward the last machine less mean of those toward the first", Unit: u.Reading, Decimals: u.meanDecimals(), Sense: WiderCloser},
		func(v Values) float64 {
			return (v["far.left"] + v["far.right"] - v["near.left"] - v["near.right"]) / 2
		})
	m.ask(Step{ID: "slope.along", Says: "slope of the gap along the train, plus when it opens toward the last machine", Formula: "taper along over the length of the foot",
		Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return v["along"] / v["length"] })
	if !two {
		return
	}
	m.ask(Step{ID: "across", Says: "taper across: how much wider the gap is on the right", Formula: "mean of the right corners less mean of the left ones",
		Unit: u.Reading, Decimals: u.meanDecimals(), Sense: WiderCloser},
		func(v Values) float64 {
			return (v["near.right"] + v["far.right"] - v["near.left"] - v["far.left"]) / 2
		})
	m.ask(Step{ID: "slope.across", Says: "slope of the gap across, plus when it opens to the right", Formula: "taper across over the width of the foot",
		Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return v["across"] / v["width"] })
	if bent {
		m.ask(Step{ID: "bend", Says: "how far each corner is off the plane of the gap, because foot or pad is bent", Formula: "one diagonal of corners less the other, over four, as a size",
			Unit: u.Reading, Decimals: u.meanDecimals()},
			func(v Values) float64 {
				return math.Abs(v["near.left"]-v["near.right"]-v["far.left"]+v["far.right"]) / 4
			})
	}
}

// wedgeFlat asks the corners of the plane and what flat shims leave.
func wedgeFlat(m *sheetMaker, u Units, two bool) {
	half := func(v Values) float64 { return (math.Abs(v["along"]) + math.Abs(v["across"])) / 2 }
	d := u.meanDecimals()
	m.ask(Step{ID: "tight", Says: "gap of the plane at its tightest corner", Formula: "mean less half of the sizes of both tapers", Unit: u.Reading, Decimals: d},
		func(v Values) float64 { return v["mean"] - half(v) })
	m.ask(Step{ID: "open", Says: "gap of the plane at its widest corner", Formula: "mean plus half of the sizes of both tapers", Unit: u.Reading, Decimals: d},
		func(v Values) float64 { return v["mean"] + half(v) })
	m.ask(Step{ID: "left.flat", Says: "a flat shim as thick as the tightest gap: the largest gap left over it", Formula: "widest gap less tightest: no flat shim leaves less", Unit: u.Reading, Decimals: d},
		func(v Values) float64 { return v["open"] - v["tight"] })
	m.ask(Step{ID: "lift.mean", Says: "a flat shim as thick as the mean gap: how far it holds the foot up at the tightest corner", Formula: "mean gap less tightest", Unit: u.Reading, Decimals: d},
		func(v Values) float64 { return v["mean"] - v["tight"] })
	choices := []string{"toward the first machine", "toward the last machine"}
	if two {
		choices = []string{"first machine, left", "first machine, right", "last machine, left", "last machine, right"}
	}
	m.ask(Step{ID: "corner", Says: "where the foot is tightest", Formula: "away from the side to which the gap opens", Choices: choices},
		func(v Values) float64 {
			i := 0.0
			if v["along"] < 0 {
				i = 1
			}
			if two {
				i *= 2
				if v["across"] < 0 {
					i++
				}
			}
			return i
		})
}

// The faults of a plan of leaves.
var (
	errLeaves   = errors.New("a count of leaves is a whole number, zero or more")
	errTooMany  = errors.New("more leaves than may lie in one stack")
	errTooThick = errors.New("thicker than the widest gap: it would lift the foot")
)

// wedgePlan asks a stepped shim, where the stock can make one.
func wedgePlan(m *sheetMaker, r *Record, w softfoot.Wedge) error {
	k := r.shelf()
	if k == nil {
		return nil
	}
	if err := smallStock(k); err != nil {
		return err
	}
	_, warnings, err := k.SteppedShim(w)
	if err != nil {
		return align.In(err, "stock")
	}
	if len(warnings) > 0 {
		return nil
	}
	u := r.Units
	var entries []string
	for _, t := range r.Stock.Leaves {
		entries = append(entries, leavesOf(u.Reading, t))
	}
	m.Steps = append(m.Steps, Step{ID: "plan", Asked: true, Unit: align.UnitOne, Plan: entries,
		Says:    fmt.Sprintf("a stepped shim of at most %d leaves that leaves no gap over %s and is nowhere thicker than the gap: how many of each", k.MaxLeaves, u.Reading.Format(float64(k.Within), u.readingDecimals())),
		Formula: "thickest at the bottom; a leaf ends where the gap is as high as its upper face, and leaves its own thickness open just past its end",
		Accept: func(v Values, plan map[string]float64) error {
			leaves, err := countedLeaves(plan, entries, k.Leaves)
			if err != nil {
				return err
			}
			if len(leaves) > k.MaxLeaves {
				return errTooMany
			}
			left, err := steppedLeaves(leaves, v["tight"], v["open"])
			if err == nil && left > float64(k.Within)+leafTouch {
				err = fmt.Errorf("leaves a gap of %s", u.Reading.Format(left, u.meanDecimals()))
			}
			return err
		}})
	return nil
}

// maxCount bounds a count of leaves in an answer.
const maxCount = 20

// countedLeaves turns counts into leaves, thickest first.
func countedLeaves(plan map[string]float64, entries []string, thickness []unit.Length) (leaves []float64, err error) {
	for i, e := range entries {
		n := plan[e]
		if n != math.Trunc(n) || n < 0 || n > maxCount {
			return nil, errLeaves
		}
		for range int(n) {
			leaves = append(leaves, float64(thickness[i]))
		}
	}
	slices.Sort(leaves)
	slices.Reverse(leaves)
	return leaves, nil
}

// leafTouch is the difference of heights that still counts as none: a nanometre, as in package softfoot.
const leafTouch = 1e-9

// steppedLeaves returns the largest gap left by leaves laid thickest first: the
// thickest leaf that does not reach the tight corner, or widest gap less total
// (softfoot.ShimStock.SteppedShim).
func steppedLeaves(leaves []float64, tight, open float64) (left float64, err error) {
	var sum float64
	for _, t := range leaves {
		if sum += t; sum > tight+leafTouch {
			left = max(left, t)
		}
	}
	if sum > open+leafTouch {
		return 0, errTooThick
	}
	if open-tight < leafTouch {
		left = 0 // an even gap: every leaf reaches all over
	}
	return max(left, open-sum), nil
}
