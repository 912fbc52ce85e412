package softfoot

import (
	"math"
	"sort"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Plan is a set of shim changes that brings all feet of a machine down on their
// pads at once.
type Plan struct {
	Change  []unit.Length // at each foot, in the order of Feet: add above zero, take out below
	Shimmed int           // feet that are changed
	Total   unit.Length   // sum of the sizes of all changes
	Largest unit.Length   // largest single change, in size
}

// AddPlans returns every plan that seats the machine by adding shims alone,
// fewest feet first, then least in total, then smallest single shim.
//
// A plan that leaves three feet as they are brings every other pad up to the
// plane of those three, so no pad may stand above it. Between two such plans
// that leave two feet alike lies the plan that shares the shim out between the
// others: for a rectangle with one diagonal low by w, w under either foot or w/2
// under both, never w under both, which would turn the twist round. The machine
// ends level with another tilt in each plan; choose with the alignment in mind.
//
// Errors are those of Machine.Seat, the centre of gravity left aside.
func (m Machine) AddPlans() ([]Plan, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	centre, _ := m.Balance()
	var sets []uint32
	var plans []Plan
	for k := 2; k < len(m.Feet); k++ {
		for j := 1; j < k; j++ {
			for i := range j {
				r, _, ok := m.on([3]int{i, j, k}, centre)
				if !ok || !m.supports(&r) || containsSet(sets, r.touching) {
					continue
				}
				sets = append(sets, r.touching)
				plans = append(plans, m.planOf(r.Plane))
			}
		}
	}
	if len(plans) == 0 {
		return nil, fault("heights", "", align.ErrUndetermined)
	}
	plans = withShared(plans, sets)
	sort.SliceStable(plans, func(a, b int) bool { return before(plans[a], plans[b]) })
	return plans, nil
}

// TakeOutPlans returns every plan that seats the machine by taking shims out
// alone, in the order of AddPlans. Available is what can be taken out under each
// foot; a plan that would take out more is left off, so the list may be empty.
func (m Machine) TakeOutPlans(available []unit.Length) ([]Plan, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if len(available) != len(m.Feet) {
		return nil, fault("available", strconv.Itoa(len(available))+" values", align.ErrMismatch)
	}
	for i, v := range available {
		if err := lengthFromZero(at("available", i), v); err != nil {
			return nil, err
		}
	}
	mirror := Machine{Feet: m.Feet, Centre: m.Centre, Heights: make([]unit.Length, len(m.Feet))}
	for i := range m.Feet {
		mirror.Heights[i] = -m.height(i)
	}
	all, err := mirror.AddPlans()
	if err != nil {
		return nil, err
	}
	var plans []Plan
	for _, p := range all {
		possible := true
		for i := range p.Change {
			p.Change[i] = -p.Change[i]
			possible = possible && -p.Change[i] <= available[i]+touch
		}
		if possible {
			plans = append(plans, p)
		}
	}
	return plans, nil
}

func containsSet(sets []uint32, s uint32) bool {
	for _, t := range sets {
		if t == s {
			return true
		}
	}
	return false
}

// planOf is the plan that brings every pad up to a plane.
func (m *Machine) planOf(p Plane) Plan {
	change := make([]unit.Length, len(m.Feet))
	for i, f := range m.Feet {
		if gap := p.At(f.At()) - m.height(i); gap > touch {
			change[i] = gap
		}
	}
	return counted(change)
}

func counted(change []unit.Length) Plan {
	p := Plan{Change: change}
	for _, c := range change {
		size := unit.Length(math.Abs(float64(c)))
		if size > 0 {
			p.Shimmed++
		}
		p.Total += size
		p.Largest = max(p.Largest, size)
	}
	return p
}

// withShared adds the plan half way between each two that leave two or more feet
// alike: their planes meet in the line through those feet.
func withShared(plans []Plan, sets []uint32) []Plan {
	n := len(plans)
	for a := range n {
		for b := a + 1; b < n; b++ {
			if bitsIn(sets[a]&sets[b]) < 2 {
				continue
			}
			half := make([]unit.Length, len(plans[a].Change))
			for i := range half {
				half[i] = (plans[a].Change[i] + plans[b].Change[i]) / 2
			}
			plans = append(plans, counted(half))
		}
	}
	return plans
}

func bitsIn(s uint32) (n int) {
	for ; s != 0; s &= s - 1 {
		n++
	}
	return n
}

func before(a, b Plan) bool {
	if a.Shimmed != b.Shimmed {
		return a.Shimmed < b.Shimmed
	}
	if d := a.Total - b.Total; d < -touch || d > touch {
		return d < 0
	}
	return a.Largest < b.Largest-touch
}

// squareness is how far four feet may be from a rectangle, as a share of its
// diagonal, for the twist to be named.
const squareness = 0.02

// Twist returns h1 - h2 + h3 - h4 for four feet given in order round a
// rectangle: positive when the first foot's diagonal stands high. The machine
// rocks by it, and it is what must be shimmed on the low diagonal, once.
// ErrNotRectangle says that the feet are no rectangle in that order.
func (m Machine) Twist() (unit.Length, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	if len(m.Feet) != 4 || !rectangle(m.Feet) {
		return 0, fault("feet", "", ErrNotRectangle)
	}
	return m.height(0) - m.height(1) + m.height(2) - m.height(3), nil
}

// rectangle reports whether both diagonals have the same middle and the same
// length.
func rectangle(f []Foot) bool {
	mid := func(a, b Foot) Point {
		return Point{(a.Station + b.Station) / 2, (a.Lateral + b.Lateral) / 2}
	}
	d1, d2 := distance(f[0].At(), f[2].At()), distance(f[1].At(), f[3].At())
	limit := squareness * max(d1, d2)
	return distance(mid(f[0], f[2]), mid(f[1], f[3])) <= limit && math.Abs(d1-d2) <= limit
}
