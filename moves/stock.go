package moves

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// ErrBaseBound says that more shim is to come out than there is.
const ErrBaseBound align.Fault = "base-bound"

// WarnPackLimit says that a pack came out thinner than what must stay under the
// foot, or thicker than it may be, because the stock makes nothing nearer.
const WarnPackLimit align.WarningCode = "pack-beyond-limits"

// maxPack bounds the leaves under one foot (own choice): with more the pack is a
// spring, and the search goes through all subsets of it.
const maxPack = 8

// PackJob is a change of the pack under one foot.
type PackJob struct {
	Foot    string
	Present []unit.Length // leaves there now, in any order, each above zero; at most 8
	Change  unit.Length   // positive raises the foot
	Least   unit.Length   // what must stay, zero for down to the base
	Most    unit.Length   // what the pack may come to; zero: no limit
}

// PackPlan is what to take out and put in under one foot.
type PackPlan struct {
	Foot  string
	Out   []unit.Length // leaves to take out, thickest first
	In    []unit.Length // leaves to put in, thickest first
	Pack  []unit.Length // the pack from bottom to top, thick leaves outside
	Total unit.Length
	Error unit.Length // total less what was wanted
}

// Handled returns how many leaves are taken out or put in.
func (p PackPlan) Handled() int { return len(p.Out) + len(p.In) }

// Plan returns the pack that comes within stock.Within of what is wanted with the
// fewest leaves, of those the one with the fewest leaves taken out and put in, and
// of those the nearest, on a tie the thinner. When no pack comes so near, the
// nearest of all is returned with the warning shim-residual.
//
// Any leaf that is there may stay; what is put in comes from the stock, and
// stock.MaxLeaves counts both. The search is exact: every subset of the present
// leaves, each completed by softfoot.ShimStock.Stack. Thick leaves go outside and
// thin ones inside (common practice, no source).
//
// Errors: base-bound when more is to come out than there is; out-of-range when
// what is wanted is thinner than Least or thicker than Most; those of Stack.
// Warnings: shim-residual, pack-beyond-limits.
func (j PackJob) Plan(stock softfoot.ShimStock) (PackPlan, []align.Warning, error) {
	wanted, err := j.wanted()
	if err != nil {
		return PackPlan{}, nil, err
	}
	// The stock is looked at whatever subset is kept, so that its faults come out.
	if _, _, err := stock.Stack(0); err != nil {
		return PackPlan{}, nil, align.In(err, "stock")
	}
	var best packFound
	for keep := range 1 << len(j.Present) {
		f, ok, err := j.complete(uint(keep), wanted, stock)
		if err != nil {
			return PackPlan{}, nil, align.In(err, "stock")
		}
		if ok && (!best.found || f.better(&best)) {
			best = f
		}
	}
	out := j.plan(&best, wanted)
	return out, j.warnings(out, stock), nil
}

// wanted returns the thickness that the pack is to have, in picometres.
func (j PackJob) wanted() (int64, error) {
	if len(j.Present) > maxPack {
		return 0, fault("present", strconv.Itoa(len(j.Present))+" leaves", align.ErrOutOfRange)
	}
	var sum int64
	for i, t := range j.Present {
		if err := fromZero(index("present", i), t); err != nil {
			return 0, err
		}
		if picometres(t) == 0 {
			return 0, fault(index("present", i), mm(t), align.ErrOutOfRange)
		}
		sum += picometres(t)
	}
	if err := bounded("change", j.Change, maxLength); err != nil {
		return 0, err
	}
	if err := fromZero("least", j.Least); err != nil {
		return 0, err
	}
	if err := fromZero("most", j.Most); err != nil {
		return 0, err
	}
	wanted := sum + picometres(j.Change)
	switch {
	case wanted < 0:
		return 0, afterFault("change", mm(j.Change), ErrBaseBound)
	case wanted < picometres(j.Least), j.Most > 0 && wanted > picometres(j.Most):
		return 0, fault("change", mm(j.Change), align.ErrOutOfRange)
	}
	return wanted, nil
}

// packFound is a pack by which present leaves stay and what is put in.
type packFound struct {
	found   bool
	keep    uint // bit i: present leaf i stays
	in      []unit.Length
	total   int64
	off     int64 // size of the difference
	near    bool  // within what is near enough
	leaves  int
	handled int
}

// complete puts to the kept leaves what brings them nearest to what is wanted. It
// is not possible when more leaves are kept than a pack may have.
func (j PackJob) complete(keep uint, wanted int64, stock softfoot.ShimStock) (f packFound, ok bool, err error) {
	kept := bits.OnesCount(keep)
	if kept > stock.MaxLeaves {
		return f, false, nil
	}
	for i, t := range j.Present {
		if keep>>i&1 == 1 {
			f.total += picometres(t)
		}
	}
	if left := wanted - f.total; left > 0 && kept < stock.MaxLeaves {
		stock.MaxLeaves -= kept
		s, _, err := stock.Stack(unit.Length(left) / 1e12)
		if err != nil {
			return f, false, err
		}
		f.in = s.Leaves
		f.total += picometres(s.Total)
	}
	f.found, f.keep = true, keep
	f.off = max(f.total-wanted, wanted-f.total)
	f.near = f.off <= picometres(stock.Within)
	f.leaves = kept + len(f.in)
	f.handled = len(j.Present) - kept + len(f.in)
	return f, true, nil
}

// better orders packs: near enough first; then by leaves, or by the difference
// where none is near.
func (f *packFound) better(g *packFound) bool {
	switch {
	case f.near != g.near:
		return f.near
	case !f.near && f.off != g.off:
		return f.off < g.off
	case f.leaves != g.leaves:
		return f.leaves < g.leaves
	case f.handled != g.handled:
		return f.handled < g.handled
	case f.off != g.off:
		return f.off < g.off
	}
	return f.total < g.total
}

func (j PackJob) plan(f *packFound, wanted int64) PackPlan {
	out := PackPlan{Foot: j.Foot, In: f.in, Total: unit.Length(f.total) / 1e12, Error: unit.Length(f.total-wanted) / 1e12}
	all := append([]unit.Length(nil), f.in...)
	for i, t := range j.Present {
		if f.keep>>i&1 == 1 {
			all = append(all, t)
		} else {
			out.Out = append(out.Out, t)
		}
	}
	thickestFirst(all)
	thickestFirst(out.Out)
	out.Pack = softfoot.ShimStack{Leaves: all}.Pack()
	return out
}

func (j PackJob) warnings(p PackPlan, stock softfoot.ShimStock) (ws []align.Warning) {
	if off := picometres(p.Error); max(off, -off) > picometres(stock.Within) {
		ws = append(ws, align.Warning{
			Code: softfoot.WarnShimResidual, Meaning: "the stock makes no stack as near as asked", Severity: align.Notice, Field: "stock",
			Value: float64(max(p.Error, -p.Error)), Limit: float64(stock.Within), Unit: align.UnitMillimetre,
		})
	}
	limit := j.Least
	if j.Most > 0 && p.Total > j.Most {
		limit = j.Most
	}
	total := picometres(p.Total)
	if total < picometres(j.Least) || j.Most > 0 && total > picometres(j.Most) {
		ws = append(ws, afterWarning(WarnPackLimit, align.Suspect, "pack", float64(p.Total), float64(limit), align.UnitMillimetre))
	}
	return ws
}

// Words says what to do, thicknesses in u with the given decimals: "take out 0.10
// mm; put in 0.25 mm; from the bottom 0.50 mm, 0.25 mm".
func (p PackPlan) Words(u align.Unit, decimals int) string {
	if p.Handled() == 0 {
		return "leave the shims"
	}
	var parts []string
	for _, v := range [...]struct {
		say    string
		leaves []unit.Length
	}{{"take out ", p.Out}, {"put in ", p.In}, {"from the bottom ", p.Pack}} {
		if len(v.leaves) > 0 {
			parts = append(parts, v.say+list(v.leaves, u, decimals))
		}
	}
	return strings.Join(parts, "; ")
}

// String returns the plan in words, in millimetres.
func (p PackPlan) String() string { return p.Words(align.UnitMillimetre, 3) }

func list(leaves []unit.Length, u align.Unit, decimals int) string {
	out := make([]string, len(leaves))
	for i, t := range leaves {
		out[i] = u.Format(float64(t), decimals)
	}
	return strings.Join(out, ", ")
}

// picometres returns a length in whole picometres, so that sums of leaves are
// exact.
func picometres(v unit.Length) int64 { return int64(math.Round(float64(v) * 1e12)) }

func thickestFirst(leaves []unit.Length) {
	slices.SortFunc(leaves, func(a, b unit.Length) int { return cmp.Compare(b, a) })
}
