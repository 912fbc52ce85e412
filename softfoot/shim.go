package softfoot

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// WarnShimResidual says that no stack of the stock within the allowed number
// of leaves comes as near as asked; the nearest one is given.
const WarnShimResidual align.WarningCode = "shim-residual"

// Bounds of the exact search: with both at their largest it looks at fewer
// than eleven million stacks.
const (
	maxStock  = 24
	maxLeaves = 8
)

// ShimStock says what shims there are and how they may be stacked.
type ShimStock struct {
	Leaves    []unit.Length // thicknesses on the shelf, each above zero and at most 1 m; as many of each as needed; at most 24
	MaxLeaves int           // most leaves in one stack, 1 to 8; published habits differ: 3, 4 and 5
	Within    unit.Length   // the difference that is near enough, zero or more
}

// ShimStack is a stack of flat shims.
type ShimStack struct {
	Leaves []unit.Length // thickest first
	Total  unit.Length
	Error  unit.Length // total less what was wanted
}

// Pack returns the leaves from bottom to top with the thick ones outside and
// the thin ones inside, where they are not bent or lost (common practice, no
// source).
func (s ShimStack) Pack() []unit.Length {
	out := make([]unit.Length, len(s.Leaves))
	low, high := 0, len(out)-1
	for i, t := range s.Leaves {
		if i%2 == 0 {
			out[low], low = t, low+1
		} else {
			out[high], high = t, high-1
		}
	}
	return out
}

// Stack returns the stack with the fewest leaves whose total is within
// stock.Within of the wanted thickness (zero or more), and among those with as
// few leaves the nearest, on a tie the thinner. When there is none, the nearest
// of all is returned with the warning shim-residual.
//
// The search is exact: it looks at every stack. Thicknesses are taken to the
// picometre and summed as whole numbers. Errors: not-finite, negative,
// out-of-range, missing when there is no stock.
func (k ShimStock) Stack(wanted unit.Length) (ShimStack, []align.Warning, error) {
	s, err := k.search("wanted", wanted)
	if err != nil {
		return ShimStack{}, nil, err
	}
	s.score = func(_ []int64, sum int64) int64 { return magnitude(sum - s.target) }
	s.reach = func(sum int64, left int, top int64) bool { return s.target-sum-int64(left)*top <= s.best.score }
	best := s.run(true)
	out := ShimStack{Leaves: lengths(best.leaves), Total: length(best.sum), Error: length(best.sum) - wanted}
	return out, k.warn(best.score), nil
}

// SteppedLeaf is one leaf of a stepped shim: it lies under the foot from the
// open corner to End.
type SteppedLeaf struct {
	Thickness unit.Length
	// End is where the leaf ends, as a share of the way from the open corner (0)
	// to the tight corner (1) in the direction of the steepest slope.
	End float64
	// EndAt is the same as a distance: End times the wedge's Reach.
	EndAt unit.Length
}

// SteppedShim is a stack whose leaves end one after the other under the foot.
// It is nowhere thicker than the plane of the gap.
type SteppedShim struct {
	Leaves   []SteppedLeaf // longest first; full leaves have End 1
	Full     unit.Length   // thickness of the leaves that reach the tight corner
	Total    unit.Length   // thickness at the open corner
	Residual unit.Length   // largest gap left anywhere between the plane and the steps
	// LeastRead and MostRead are the least and largest of reading less steps
	// over the points that were read: a negative one presses, because the foot is
	// bent there.
	LeastRead, MostRead unit.Length
}

// SteppedShim returns the stepped shim with the fewest leaves that leaves no
// gap larger than stock.Within, among those the one with the smallest gap, and on
// a tie the thickest; when the stock cannot do that, the one that leaves the
// smallest gap, with the warning shim-residual.
//
// A leaf whose upper face stands at height c may lie wherever the gap is at
// least c, so it ends at
//
//	End = (open - c) / (open - tight)
//
// from the open corner, and just past its end its own thickness is left open.
// The largest gap left is therefore the thickest leaf that does not reach the
// tight corner, or open gap less total where that is more. For a given set of
// leaves it is smallest with the thickest leaves as full ones, as many as the
// tight gap takes; the search over sets is exact, as in Stack.
func (k ShimStock) SteppedShim(w Wedge) (SteppedShim, []align.Warning, error) {
	s, err := k.search("wedge.open", w.Open)
	if err != nil {
		return SteppedShim{}, nil, err
	}
	tight := ticks(w.Tight)
	if w.Range() < touch {
		tight = s.target // no wedge: every leaf is a full one
	}
	s.score = func(leaves []int64, sum int64) int64 {
		if sum > s.target {
			return math.MaxInt64
		}
		return max(s.target-sum, thickestStep(leaves, tight))
	}
	s.reach = func(sum int64, left int, top int64) bool {
		return sum <= s.target && s.target-sum-int64(left)*top <= s.best.score
	}
	best := s.run(false)
	out := w.step(best.leaves, tight, s.target)
	out.Residual = length(best.score)
	return out, k.warn(best.score), nil
}

// thickestStep returns the thickest leaf that does not reach the tight corner,
// with leaves thickest first.
func thickestStep(leaves []int64, tight int64) int64 {
	var sum int64
	for _, t := range leaves {
		if sum += t; sum > tight {
			return t
		}
	}
	return 0
}

// step lays the leaves out and holds the steps against the readings.
func (w Wedge) step(leaves []int64, tight, open int64) SteppedShim {
	var s SteppedShim
	var sum int64
	for _, t := range leaves {
		sum += t
		l := SteppedLeaf{Thickness: length(t), End: 1}
		if sum > tight {
			l.End = float64(open-sum) / float64(open-tight)
		} else {
			s.Full += l.Thickness
		}
		l.EndAt = unit.Length(l.End) * w.Reach()
		s.Leaves = append(s.Leaves, l)
	}
	s.Total = length(sum)
	for i, g := range w.Face.Gaps {
		left := g.Gap - s.under(w, g)
		if i == 0 || left < s.LeastRead {
			s.LeastRead = left
		}
		if i == 0 || left > s.MostRead {
			s.MostRead = left
		}
	}
	return s
}

// under returns the thickness of the steps under a point. At its very end a
// leaf still counts.
func (s SteppedShim) under(w Wedge, g GapPoint) unit.Length {
	share := 1.0
	if r := w.Range(); r >= touch {
		share = float64((w.Open - w.GapAt(g.Along, g.Across)) / r)
	}
	var sum unit.Length
	for _, l := range s.Leaves {
		if l.End == 1 || share <= l.End+1e-9 {
			sum += l.Thickness
		}
	}
	return sum
}

func (k ShimStock) warn(score int64) []align.Warning {
	if score <= ticks(k.Within) {
		return nil
	}
	return []align.Warning{{
		Code: WarnShimResidual, Meaning: warningMeaning(WarnShimResidual), Severity: align.Notice, Field: "stock",
		Value: float64(length(score)), Limit: float64(k.Within), Unit: align.UnitMillimetre,
	}}
}

// stackFound is a stack with its score, in ticks.
type stackFound struct {
	leaves []int64
	sum    int64
	score  int64
}

// stackSearch goes through all stacks of the stock, thickest leaf first.
type stackSearch struct {
	stock  []int64 // descending, each once
	most   int
	target int64
	within int64
	score  func(leaves []int64, sum int64) int64
	reach  func(sum int64, left int, top int64) bool // can adding up to left leaves of at most top still match the best?
	best   stackFound
	path   []int64
	over   bool // a stack may be thicker than the target; the thinner wins a tie, else the thicker
}

func (k ShimStock) search(field string, target unit.Length) (*stackSearch, error) {
	if err := lengthFromZero(field, target); err != nil {
		return nil, err
	}
	if target > 10 {
		return nil, fault(field, align.UnitMillimetre.Format(float64(target), 3), align.ErrOutOfRange)
	}
	if err := lengthFromZero("within", k.Within); err != nil {
		return nil, err
	}
	if len(k.Leaves) == 0 {
		return nil, fault("leaves", "", align.ErrMissing)
	}
	if len(k.Leaves) > maxStock {
		return nil, fault("leaves", fmt.Sprintf("%d thicknesses", len(k.Leaves)), align.ErrOutOfRange)
	}
	if k.MaxLeaves < 1 || k.MaxLeaves > maxLeaves {
		return nil, fault("maxLeaves", fmt.Sprint(k.MaxLeaves), align.ErrOutOfRange)
	}
	s := &stackSearch{most: k.MaxLeaves, target: ticks(target), within: ticks(k.Within)}
	for i, t := range k.Leaves {
		name := fmt.Sprintf("leaves[%d]", i)
		if err := positiveLength(name, t); err != nil {
			return nil, err
		}
		if t > 1 || ticks(t) == 0 {
			return nil, fault(name, align.UnitMillimetre.Format(float64(t), 6), align.ErrOutOfRange)
		}
		s.stock = append(s.stock, ticks(t))
	}
	sort.Slice(s.stock, func(i, j int) bool { return s.stock[i] > s.stock[j] })
	s.stock = slices.Compact(s.stock)
	return s, nil
}

// run tries stacks of 0, 1, 2 ... leaves and stops at the first size that comes
// within the limit, with the best of that size. over says that a stack may be
// thicker than the target.
func (s *stackSearch) run(over bool) stackFound {
	s.over = over
	s.best = stackFound{score: math.MaxInt64}
	for size := 0; size <= s.most; size++ {
		s.grow(size, 0, 0)
		if s.best.score <= s.within {
			break
		}
	}
	return s.best
}

// grow adds left more leaves, none thicker than stock[from].
func (s *stackSearch) grow(left, from int, sum int64) {
	if left == 0 {
		s.keep(sum)
		return
	}
	for i := from; i < len(s.stock); i++ {
		t := s.stock[i]
		if !s.reach(sum, left, t) {
			return // thinner leaves reach even less far
		}
		// A stack over the target only gets worse with every further leaf.
		if excess := sum + t - s.target; excess > 0 && (!s.over || excess > s.best.score) {
			continue
		}
		s.path = append(s.path, t)
		s.grow(left-1, i, sum+t)
		s.path = s.path[:len(s.path)-1]
	}
}

func (s *stackSearch) keep(sum int64) {
	score := s.score(s.path, sum)
	better := score < s.best.score ||
		score == s.best.score && len(s.path) == len(s.best.leaves) && (sum < s.best.sum) == s.over && sum != s.best.sum
	if better {
		s.best = stackFound{append([]int64(nil), s.path...), sum, score}
	}
}

// ticks returns a length in whole picometres.
func ticks(v unit.Length) int64 { return int64(math.Round(float64(v) * 1e12)) }

func length(t int64) unit.Length { return unit.Length(t) / 1e12 }

func lengths(ts []int64) []unit.Length {
	out := make([]unit.Length, len(ts))
	for i, t := range ts {
		out[i] = length(t)
	}
	return out
}

func magnitude(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}
