package runout

import (
	"math"
	"sort"
	"strconv"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// ShaftStation is a sweep of a shaft at one station, from a dial on a fixed base
// with the shaft turned on its bearings or on rollers. All sweeps of one shaft
// count their marks from the same line on it.
type ShaftStation struct {
	Station unit.Length
	Sweep   align.Sweep
}

// Shaft is one shaft swept at several stations, in any order.
type Shaft struct {
	Stations []ShaftStation
}

// maxStations bounds the work of one shaft.
const maxStations = 256

// ShaftBow parts what several stations show of a shaft into a straight part and
// a bow.
type ShaftBow struct {
	Centres []align.Offset // eccentricity vector at each station, in rising order of station
	At      []unit.Length  // the stations, rising

	// Straight is the straight line through the centres by least squares: a
	// constant part is eccentric, a sloping part skewed. StraightRMS is what it
	// leaves over.
	Straight    align.Axis
	StraightRMS unit.Length

	// Largest is the largest distance of a centre from the chord that joins the
	// first and the last one, and LargestAt its station. Needs three stations.
	Largest   unit.Length
	LargestAt unit.Length

	// Bend is the best pair of straight limbs that meet, nil when fewer than
	// four stations were swept: two limbs then fit anything.
	Bend *Bend
	// CannotTell says that the stations do not part a straight shaft from a bent
	// one: fewer than three.
	CannotTell bool
}

// Bend is where two straight limbs of a shaft meet.
type Bend struct {
	Station unit.Length // where they meet
	Angle   float64     // between them, rise over run
	Toward  align.Clock // mark toward which the shaft is bent: the outside of the elbow
	Before  align.Axis  // limb before the bend
	After   align.Axis  // limb after it
	RMS     unit.Length // what the limbs leave over
	DoF     int         // readings of two planes less the seven unknowns
}

// Bow works the shaft out. With the centre of each station as a vector c(x), the
// straight part is the least-squares line in both planes, and the bend the best
// of all
//
//	c(x) = a + b x + k max(0, x - x0)
//
// in the sense of least squares, with one break x0 for both planes; the angle is
// |k| and the elbow points along -k (derived here; that the limbs of a plotted
// bow meet at the bend is the rule of pump-shaft repair notes).
//
// Errors: missing for no station, too many (out-of-range), those of Sweep.Fit,
// one-plane sweeps (too-few-positions), coincident-stations.
func (s Shaft) Bow() (ShaftBow, error) {
	var b ShaftBow
	if err := b.take(s); err != nil {
		return ShaftBow{}, err
	}
	n := len(b.At)
	if n == 1 {
		b.Straight = align.Axis{Vertical: align.Line{Offset: b.Centres[0].Vertical}, Horizontal: align.Line{Offset: b.Centres[0].Horizontal}}
		b.CannotTell = true
		return b, nil
	}
	b.Straight, b.StraightRMS = b.line()
	b.CannotTell = n < 3
	if n >= 3 {
		b.fromChord()
	}
	if n >= 4 {
		b.Bend = b.bend()
	}
	if !b.finite() {
		return ShaftBow{}, fault("stations", "", align.ErrOutOfRange)
	}
	return b, nil
}

func (b *ShaftBow) finite() bool {
	ok := align.IsFinite(b.StraightRMS) && align.IsFinite(b.Largest) && align.IsFinite(b.Straight.Vertical.Offset) &&
		align.IsFinite(b.Straight.Vertical.Slope) && align.IsFinite(b.Straight.Horizontal.Offset) && align.IsFinite(b.Straight.Horizontal.Slope)
	return ok && (b.Bend == nil || align.IsFinite(b.Bend.Angle) && align.IsFinite(b.Bend.RMS) && align.IsFinite(b.Bend.Station))
}

// take fits the sweeps and sorts them by station.
func (b *ShaftBow) take(s Shaft) error {
	if len(s.Stations) == 0 {
		return fault("stations", "", align.ErrMissing)
	}
	if len(s.Stations) > maxStations {
		return fault("stations", strconv.Itoa(len(s.Stations)), align.ErrOutOfRange)
	}
	sorted := make([]ShaftStation, len(s.Stations))
	for i, st := range s.Stations {
		if err := align.CheckLength("stations["+strconv.Itoa(i)+"].station", st.Station); err != nil {
			return ours(err)
		}
		sorted[i] = st
	}
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Station < sorted[j].Station })
	for i, st := range sorted {
		if i > 0 && st.Station == sorted[i-1].Station {
			return fault("stations["+strconv.Itoa(i)+"].station", align.UnitMillimetre.Format(float64(st.Station), 3), align.ErrCoincident)
		}
		c, err := centreOf(st.Sweep)
		if err != nil {
			return align.In(err, "stations["+strconv.Itoa(i)+"]")
		}
		b.At = append(b.At, st.Station)
		b.Centres = append(b.Centres, c)
	}
	return nil
}

// centreOf is the eccentricity vector of a sweep, both planes needed. An oval is
// fitted beside it where the marks show one, so that it does not leak into the
// eccentricity on uneven marks.
func centreOf(s align.Sweep) (align.Offset, error) {
	t, err := newTurn(s, SweepChecks{}.filled(), false)
	return t.First, err
}

// scaled returns station i on a scale from -1 to 1, which keeps the columns of
// the fits alike.
func (b *ShaftBow) scaled(x unit.Length) float64 {
	lo, hi := b.At[0], b.At[len(b.At)-1]
	return float64((x - (lo+hi)/2) / ((hi - lo) / 2))
}

// line is the least-squares line in both planes.
func (b *ShaftBow) line() (align.Axis, unit.Length) {
	v, h, ss := b.fit(2, func(float64) float64 { return 0 })
	return align.Axis{Vertical: b.lineOf(v[0], v[1]), Horizontal: b.lineOf(h[0], h[1])}, b.rms(ss, 2*len(b.At)-4)
}

// fit solves both planes for the columns 1, u and, for three unknowns, kink(u).
func (b *ShaftBow) fit(unknowns int, kink func(u float64) float64) (v, h lsq.Row, ss float64) {
	sv, sh := lsq.New(unknowns), lsq.New(unknowns)
	for i, x := range b.At {
		u := b.scaled(x)
		row := lsq.Row{1, u, kink(u)}
		sv.Add(row, float64(b.Centres[i].Vertical))
		sh.Add(row, float64(b.Centres[i].Horizontal))
	}
	if _, share := sv.Weakest(); share < lsq.Rank1Tolerance {
		return v, h, math.Inf(1)
	}
	return sv.Solve(), sh.Solve(), sv.SumSquares() + sh.SumSquares()
}

// lineOf turns a + s u into a line over stations.
func (b *ShaftBow) lineOf(a, s float64) align.Line {
	lo, hi := b.At[0], b.At[len(b.At)-1]
	slope := s / float64((hi-lo)/2)
	return align.Line{Offset: unit.Length(a) - unit.Length(slope)*(lo+hi)/2, Slope: slope}
}

func (b *ShaftBow) rms(ss float64, dof int) unit.Length {
	if dof <= 0 {
		return 0
	}
	return unit.Length(math.Sqrt(math.Max(0, ss) / float64(dof)))
}

func (b *ShaftBow) fromChord() {
	n := len(b.At)
	chord, err := align.AxisThrough(b.At[0], b.Centres[0], b.At[n-1], b.Centres[n-1])
	if err != nil {
		return // stations differ, so this does not happen
	}
	for i := 1; i < n-1; i++ {
		if d := b.Centres[i].Sub(chord.At(b.At[i])).Resultant(); d > b.Largest {
			b.Largest, b.LargestAt = d, b.At[i]
		}
	}
}

// steps is how finely each space between stations is searched before the break
// is refined by golden section.
const steps = 24

// bend searches the break: between two neighbouring stations the sum of squares
// is smooth, so each space is scanned and the best place refined. The first and
// last spaces are left out: a limb needs two stations.
func (b *ShaftBow) bend() *Bend {
	ssAt := func(x float64) float64 {
		_, _, ss := b.fit(3, func(u float64) float64 { return math.Max(0, u-x) })
		return ss
	}
	best, bestSS, width := 0.0, math.Inf(1), 0.0
	for i := 1; i < len(b.At)-2; i++ {
		lo, hi := b.scaled(b.At[i]), b.scaled(b.At[i+1])
		for k := range steps + 1 {
			x := lo + (hi-lo)*float64(k)/steps
			if ss := ssAt(x); ss < bestSS {
				best, bestSS, width = x, ss, (hi-lo)/steps
			}
		}
	}
	lo := math.Max(best-width, b.scaled(b.At[1]))
	hi := math.Min(best+width, b.scaled(b.At[len(b.At)-2]))
	best = golden(ssAt, lo, hi)
	v, h, ss := b.fit(3, func(u float64) float64 { return math.Max(0, u-best) })
	half := (b.At[len(b.At)-1] - b.At[0]) / 2
	k := align.Slope{Vertical: v[2] / float64(half), Horizontal: h[2] / float64(half)}
	before := align.Axis{Vertical: b.lineOf(v[0], v[1]), Horizontal: b.lineOf(h[0], h[1])}
	after := align.Axis{
		Vertical:   b.lineOf(v[0]-v[2]*best, v[1]+v[2]),
		Horizontal: b.lineOf(h[0]-h[2]*best, h[1]+h[2]),
	}
	dof := 2*len(b.At) - 7
	return &Bend{
		Station: (b.At[0]+b.At[len(b.At)-1])/2 + unit.Length(best)*half,
		Angle:   k.Resultant(),
		Toward:  align.Offset{Vertical: unit.Length(-k.Vertical), Horizontal: unit.Length(-k.Horizontal)}.Clock(),
		Before:  before, After: after,
		RMS: b.rms(ss, dof), DoF: dof,
	}
}

// golden finds the smallest value between lo and hi by golden section.
func golden(f func(float64) float64, lo, hi float64) float64 {
	const ratio = 0.6180339887498949 // (sqrt 5 - 1)/2
	a, b := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	fa, fb := f(a), f(b)
	for range 60 {
		if fa <= fb {
			hi, b, fb = b, a, fa
			a = hi - ratio*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + ratio*(hi-lo)
			fb = f(b)
		}
	}
	return (lo + hi) / 2
}
