package thermal

import (
	"fmt"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Mode says what is held against a limit at a plane.
type Mode uint8

// Modes.
const (
	PerPlane  Mode = iota // vertical and horizontal offset, each against the limit
	Resultant             // their resultant against the limit
)

// LimitAt is the most that the misalignment may be at one station, most often a
// flex plane of the coupling.
type LimitAt struct {
	Station unit.Length
	Limit   unit.Length // a nanometre or more
}

// Criterion is what a cold target is judged by: the offset between the shafts
// at two stations.
type Criterion struct {
	Near, Far LimitAt // two stations at least a micrometre apart
	Mode      Mode
}

// Case is a state that the target must serve. Start-up may have wider limits
// than a year of running.
type Case struct {
	State
	NearLimit *unit.Length // instead of the criterion's; nil: the criterion's
	FarLimit  *unit.Length
}

// Direction says which size of an offset is meant.
type Direction uint8

// Directions.
const (
	Vertical Direction = iota
	Horizontal
	Both // the resultant
)

// String returns the direction in lower case.
func (d Direction) String() string {
	switch d {
	case Vertical:
		return "vertical"
	case Horizontal:
		return "horizontal"
	case Both:
		return "resultant"
	}
	return fmt.Sprintf("direction(%d)", uint8(d))
}

// Check is the misalignment of one state at one station in one direction, held
// against its limit.
type Check struct {
	State     int         // index of the case
	Shaft     align.Shaft // whose station of the criterion: align.Near or align.Far
	Direction Direction
	Size      unit.Length // of the offset, never negative
	Limit     unit.Length
	Share     float64 // size over limit
}

// Margin returns what is left of the limit, negative when it is exceeded.
func (c Check) Margin() unit.Length { return c.Limit - c.Size }

// Target is a cold misalignment to aim for.
type Target struct {
	Axis      align.Axis // far less near when cold
	Worst     float64    // the largest share of any limit: above 1 no target serves
	Governing []Check    // all checks that reach the worst share: they would have to change
	Checks    []Check    // every state, station and direction
}

// Within reports whether every state is within its limits.
func (t Target) Within() bool { return t.Worst <= 1+1e-12 }

// MaxCases is the largest number of states that BestColdTarget takes.
const MaxCases = 64

// BestColdTarget returns the cold misalignment that keeps the worst state as far
// within its limits as can be: it makes the largest share
//
//	max over states s, stations x, directions of |cold(x) + movement_s(x)| / limit_s(x)
//
// as small as it can be. A line in a plane is free at two stations, so the
// stations part: at each the best cold offset is the (weighted) middle of the
// range of -movement in each direction, or for the resultant the centre of the
// smallest (weighted) circle round them. Where one station governs, the other is
// still the best it can be.
func BestColdTarget(cases []Case, c Criterion) (Target, error) {
	if err := c.check(); err != nil {
		return Target{}, err
	}
	if err := checkCases(cases); err != nil {
		return Target{}, err
	}
	near := bestAt(c.at(cases, align.Near), c.Mode)
	far := bestAt(c.at(cases, align.Far), c.Mode)
	axis, err := align.AxisThrough(c.Near.Station, near, c.Far.Station, far)
	if err != nil {
		return Target{}, err
	}
	return judgeAll(axis, cases, c), nil
}

// JudgeColdTarget holds a given cold misalignment against the limits in every
// state.
func JudgeColdTarget(cold align.Axis, cases []Case, c Criterion) (Target, error) {
	if err := boundedAxis("cold", cold); err != nil {
		return Target{}, err
	}
	if err := c.check(); err != nil {
		return Target{}, err
	}
	if err := checkCases(cases); err != nil {
		return Target{}, err
	}
	return judgeAll(cold, cases, c), nil
}

func bestAt(ms []moved, mode Mode) align.Offset {
	if mode == Resultant {
		p, _ := enclose(ms)
		return align.Offset{Vertical: unit.Length(p.v), Horizontal: unit.Length(p.h)}
	}
	v, _ := midrange(len(ms), func(i int) (float64, float64) { return ms[i].v, ms[i].limit })
	h, _ := midrange(len(ms), func(i int) (float64, float64) { return ms[i].h, ms[i].limit })
	return align.Offset{Vertical: unit.Length(v), Horizontal: unit.Length(h)}
}

// at returns the movements of all cases at one station of the criterion.
func (c Criterion) at(cases []Case, shaft align.Shaft) []moved {
	out := make([]moved, len(cases))
	for i := range cases {
		where := c.limitOf(&cases[i], shaft)
		o := cases[i].Relative().At(where.Station)
		out[i] = moved{float64(o.Vertical), float64(o.Horizontal), float64(where.Limit)}
	}
	return out
}

func (c Criterion) limitOf(k *Case, shaft align.Shaft) LimitAt {
	where, own := c.Near, k.NearLimit
	if shaft == align.Far {
		where, own = c.Far, k.FarLimit
	}
	if own != nil {
		where.Limit = *own
	}
	return where
}

// sameShare is how much less than the worst share, relatively, still governs.
const sameShare = 1e-9

func judgeAll(cold align.Axis, cases []Case, c Criterion) Target {
	t := Target{Axis: cold}
	for i := range cases {
		for _, shaft := range [...]align.Shaft{align.Near, align.Far} {
			where := c.limitOf(&cases[i], shaft)
			o := cold.At(where.Station).Add(cases[i].Relative().At(where.Station))
			for _, k := range c.Mode.checks(o) {
				k.State, k.Shaft, k.Limit = i, shaft, where.Limit
				k.Share = float64(k.Size / k.Limit)
				t.Worst = max(t.Worst, k.Share)
				t.Checks = append(t.Checks, k)
			}
		}
	}
	for _, k := range t.Checks {
		if k.Share > 0 && k.Share >= t.Worst*(1-sameShare) {
			t.Governing = append(t.Governing, k)
		}
	}
	return t
}

func (m Mode) checks(o align.Offset) []Check {
	if m == Resultant {
		return []Check{{Direction: Both, Size: o.Resultant()}}
	}
	return []Check{
		{Direction: Vertical, Size: max(o.Vertical, -o.Vertical)},
		{Direction: Horizontal, Size: max(o.Horizontal, -o.Horizontal)},
	}
}

func (c Criterion) check() error {
	for _, p := range [...]struct {
		name string
		at   LimitAt
	}{{"near", c.Near}, {"far", c.Far}} {
		if err := boundedStation("station", p.at.Station); err != nil {
			return align.In(err, p.name)
		}
		if err := usableLimit("limit", p.at.Limit); err != nil {
			return align.In(err, p.name)
		}
	}
	if c.Mode > Resultant {
		return fault("mode", fmt.Sprint(uint8(c.Mode)), align.ErrUnknownKind)
	}
	return apart("far.station", c.Near.Station, c.Far.Station)
}

// minLimit is the smallest limit that shares are worked out of.
const minLimit unit.Length = 1e-9

// usableLimit wants a limit from a nanometre to ten metres.
func usableLimit(field string, v unit.Length) error {
	if err := aboveZero(field, v, maxOffset); err != nil {
		return err
	}
	if v < minLimit {
		return fault(field, fmt.Sprint(float64(v))+" m", align.ErrOutOfRange)
	}
	return nil
}

func checkCases(cases []Case) error {
	if len(cases) == 0 {
		return fault("states", "", align.ErrMissing)
	}
	if len(cases) > MaxCases {
		return fault("states", fmt.Sprint(len(cases)), align.ErrOutOfRange)
	}
	for i := range cases {
		if err := cases[i].check(); err != nil {
			return align.In(err, fmt.Sprintf("states[%d]", i))
		}
	}
	return nil
}

func (k *Case) check() error {
	if err := k.Check(); err != nil {
		return err
	}
	if k.NearLimit != nil {
		if err := usableLimit("nearLimit", *k.NearLimit); err != nil {
			return err
		}
	}
	if k.FarLimit != nil {
		return usableLimit("farLimit", *k.FarLimit)
	}
	return nil
}

// TargetReadings returns the readings each dial shows when the cold misalignment
// is the target: zeroed at zero, read at the given positions, with the dial's
// sag in. The spool is needed only for dials that reach to one. See
// align.Dial.Predict for signs: a rim dial on the far shaft shows -2e at 6
// o'clock, one on the near shaft +2e.
func TargetReadings(target align.Axis, dials []align.Dial, spool align.Spool, zero align.Clock, at ...align.Clock) ([]align.Sweep, error) {
	if len(dials) == 0 {
		return nil, fault("dials", "", align.ErrMissing)
	}
	out := make([]align.Sweep, len(dials))
	for i := range dials {
		s, err := dials[i].Predict(target, spool, zero, at...)
		if err != nil {
			return nil, align.In(err, fmt.Sprintf("dials[%d]", i))
		}
		out[i] = s
	}
	return out, nil
}
