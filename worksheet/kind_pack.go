package worksheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

func packKind() kind {
	return kind{
		name:  "shim-pack",
		title: "Shim packs from the leaves on the shelf",
		asks:  "From the change wanted at each foot and the leaves that lie under it, find the new pack and make it from the shims on the shelf, with no more leaves than may lie in one stack.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			v := newInventor(r)
			return lively(func() *Record { return packRecord(v, d) }, packSheet)
		},
		build:    packSheet,
		mistakes: packMistakes(),
	}
}

// packRecord invents changes, which the stock may be able to make or not: at one
// foot for Plain, at two otherwise, and for Severe with what must come out.
func packRecord(v inventor, d Difficulty) *Record {
	r := v.record("Changes wanted at the feet")
	m := &r.Train.Machines[1]
	r.Stock = &Stock{Leaves: []float64{0.05, 0.1, 0.2, 0.5, 1}, MaxLeaves: 4, Within: 0.025}
	if v.inch {
		r.Stock = &Stock{Leaves: []float64{2, 5, 10, 25, 50}, MaxLeaves: 4, Within: 1}
	}
	at := v.length(300, 700)
	for i, n := range []string{"inboard", "outboard"} {
		f := Foot{Name: n, Station: at + float64(i)*v.length(400, 900)}
		for range 2 + v.IntN(3) {
			f.Leaves = append(f.Leaves, r.Stock.Leaves[v.IntN(len(r.Stock.Leaves))])
		}
		m.Feet = append(m.Feet, f)
		if d == Plain && i == 0 {
			continue
		}
		up := v.reading(60, 700)
		if d == Severe && i == 1 || d == Usual && v.IntN(3) == 0 {
			up = -v.reading(60, 400)
		}
		r.Wanted = append(r.Wanted, MoveWanted{Machine: m.Name, Foot: n, Up: up})
	}
	return r
}

// packJob is a change wanted at one foot that the stock can make.
type packJob struct {
	moves.PackJob
	id string
}

// packJobs returns the changes wanted, as package moves sees them. It fails when the
// record has none, when one cannot be made, and with the faults of package moves.
func (r *Record) packJobs() (jobs []packJob, err error) {
	k := r.shelf()
	switch {
	case len(r.Wanted) == 0:
		return nil, fault("wanted", "", align.ErrMissing)
	case k == nil:
		return nil, fault("stock", "", align.ErrMissing)
	}
	if err := smallStock(k); err != nil {
		return nil, err
	}
	for i, w := range r.Wanted {
		field := fmt.Sprintf("wanted[%d]", i)
		f, err := r.foot(field, w.Machine, w.Foot)
		if err != nil {
			return nil, err
		}
		j := packJob{moves.PackJob{Foot: w.Foot, Change: unit.Length(r.Units.reading(w.Up))}, w.Foot}
		if slices.ContainsFunc(jobs, func(o packJob) bool { return o.id == j.id }) {
			j.id = fmt.Sprintf("%s %d", w.Foot, i+1) // the same foot of another machine
		}
		for _, t := range f.Leaves {
			j.Present = append(j.Present, unit.Length(r.Units.reading(t)))
		}
		_, warnings, err := j.Plan(*k)
		if err != nil {
			return nil, align.In(err, field)
		}
		if len(warnings) > 0 {
			return nil, fault(field, "no pack of this stock comes near enough", align.ErrOutOfRange)
		}
		jobs = append(jobs, j)
	}
	return jobs, nil
}

// foot finds a foot by the names of machine and foot.
func (r *Record) foot(field, machine, foot string) (*Foot, error) {
	for i := range r.Train.Machines {
		m := &r.Train.Machines[i]
		if m.Name != machine {
			continue
		}
		for k := range m.Feet {
			if m.Feet[k].Name == foot {
				return &m.Feet[k], nil
			}
		}
		return nil, fault(field+".foot", foot, align.ErrMismatch)
	}
	return nil, fault(field+".machine", machine, align.ErrMismatch)
}

func packSheet(r *Record) (*Sheet, error) {
	jobs, err := r.packJobs()
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "shim-pack"}}
	for _, j := range jobs {
		for i, t := range j.Present {
			m.given(fmt.Sprintf("leaf.%s.%d", j.id, i+1), fmt.Sprintf("leaf %d under the %s foot", i+1, j.id), float64(t), u.Reading, u.readingDecimals())
		}
		m.given("change."+j.id, "change wanted at the "+j.id+" foot, plus raises it", float64(j.Change), u.Reading, u.readingDecimals())
	}
	k := r.shelf()
	for i, t := range k.Leaves {
		m.given(fmt.Sprintf("stock.%d", i+1), fmt.Sprintf("shims on the shelf, thickness %d", i+1), float64(t), u.Reading, u.readingDecimals())
	}
	for _, j := range jobs {
		m.ask(Step{ID: "now." + j.id, Says: "pack under the " + j.id + " foot now", Formula: "sum of its leaves", Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) (sum float64) {
				for i := range j.Present {
					sum += v[fmt.Sprintf("leaf.%s.%d", j.id, i+1)]
				}
				return sum
			})
		m.ask(Step{ID: "pack." + j.id, Says: "pack that is to be under the " + j.id + " foot", Formula: "pack now plus the change, with its sign", Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) float64 { return v["now."+j.id] + v["change."+j.id] })
		packPlan(m, u, j, *k)
	}
	return &m.Sheet, nil
}

// packPlan asks the leaves of the new pack. Leaves that lie there already may stay,
// those that the stock lacks no more often than they lie there.
func packPlan(m *sheetMaker, u Units, j packJob, k softfoot.ShimStock) {
	thickness := slices.Clone(k.Leaves)
	most := make([]int, len(thickness), len(thickness)+len(j.Present))
	for i := range most {
		most[i] = maxCount
	}
	for _, t := range j.Present {
		i := slices.IndexFunc(thickness, func(s unit.Length) bool { return math.Abs(float64(s-t)) < leafTouch })
		if i < 0 {
			thickness, most = append(thickness, t), append(most, 0)
			i = len(most) - 1
		}
		if i >= len(k.Leaves) {
			most[i]++
		}
	}
	var entries []string
	for _, t := range thickness {
		entries = append(entries, leavesOf(u.Reading, math.Round(u.Reading.FromSI(float64(t))*1e4)/1e4))
	}
	pack := "pack." + j.id
	m.Steps = append(m.Steps, Step{ID: "plan." + j.id, Asked: true, Unit: align.UnitOne, Plan: entries,
		Says: fmt.Sprintf("the leaves of the new pack under the %s foot, at most %d, together within %s of what is to be there: how many of each",
			j.id, k.MaxLeaves, u.Reading.Format(float64(k.Within), u.readingDecimals()+1)),
		Formula: "thick leaves first; half the thinnest leaf is as near as leaves can come",
		Accept: func(v Values, plan map[string]float64) error {
			for i, e := range entries {
				if plan[e] > float64(most[i]) {
					return fmt.Errorf("there are not so many %s", e)
				}
			}
			leaves, err := countedLeaves(plan, entries, thickness)
			if err != nil {
				return err
			}
			return acceptPack(u, k, leaves, v[pack])
		}})
}

// acceptPack holds a pack against what is wanted.
func acceptPack(u Units, k softfoot.ShimStock, leaves []float64, wanted float64) error {
	if len(leaves) > k.MaxLeaves {
		return errTooMany
	}
	sum := -wanted
	for _, t := range leaves {
		sum += t
	}
	if math.Abs(sum) > float64(k.Within)+leafTouch {
		return fmt.Errorf("is off by %s", u.Reading.Format(sum, u.meanDecimals()))
	}
	return nil
}

func packMistakes() []Mistake {
	return []Mistake{
		{Code: "raise-for-lower", Says: "took out what was to be put in, or the other way round", Rank: 1, alter: eachPack(func(v Values, right float64, foot string) float64 { return right - 2*v["change."+foot] })},
		{Code: "change-for-pack", Says: "gave the change for the new pack: what lies there already is part of it", Rank: 1, alter: eachPack(func(v Values, _ float64, foot string) float64 { return v["change."+foot] })},
		{Code: "change-halved", Says: "halved the change: a shim lifts a foot by its whole thickness", Rank: 2, alter: eachPack(func(v Values, right float64, foot string) float64 { return right - v["change."+foot]/2 })},
		{Code: "change-doubled", Says: "made the change twice as large", Rank: 2, alter: eachPack(func(v Values, right float64, foot string) float64 { return right + v["change."+foot] })},
		{Code: "leaf-missed", Says: "missed the thinnest leaf of the pack", Rank: 2, alter: eachNow(func(leaves []float64, sum float64) float64 { return sum - slices.Min(leaves) })},
		{Code: "leaf-twice", Says: "counted the thickest leaf of the pack twice", Rank: 3, alter: eachNow(func(leaves []float64, sum float64) float64 { return sum + slices.Max(leaves) })},
		{Code: "thickest-leaf-alone", Says: "took the thickest leaf for the whole pack", Rank: 3, alter: eachNow(func(leaves []float64, _ float64) float64 { return slices.Max(leaves) })},
		slip("feet-exchanged", func(s *Sheet) bool {
			in, out := "change.inboard", "change.outboard"
			if !s.has(in) || !s.has(out) {
				return false
			}
			return s.replace("pack.inboard", func(v Values, right float64) float64 { return right - v[in] + v[out] }) &&
				s.replace("pack.outboard", func(v Values, right float64) float64 { return right - v[out] + v[in] })
		}),
	}
}

// packFeet are the ids of the feet of a sheet.
func packFeet(s *Sheet) (feet []string) {
	for i := range s.Steps {
		if id := s.Steps[i].ID; len(id) > 5 && id[:5] == "pack." {
			feet = append(feet, id[5:])
		}
	}
	return feet
}

// eachPack replaces the new pack of every foot.
func eachPack(wrong func(v Values, right float64, foot string) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		some := false
		for _, f := range packFeet(s) {
			some = s.replace("pack."+f, func(v Values, right float64) float64 { return wrong(v, right, f) }) || some
		}
		return some
	}
}

// eachNow replaces the sum of the leaves under every foot that has some.
func eachNow(wrong func(leaves []float64, sum float64) float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		some := false
		for _, f := range packFeet(s) {
			var leaves []float64
			for i := 1; ; i++ {
				k := slices.IndexFunc(s.Givens, func(g Given) bool { return g.ID == fmt.Sprintf("leaf.%s.%d", f, i) })
				if k < 0 {
					break
				}
				leaves = append(leaves, s.Givens[k].Value)
			}
			if len(leaves) > 0 {
				some = s.replace("now."+f, func(_ Values, right float64) float64 { return wrong(leaves, right) }) || some
			}
		}
		return some
	}
}
