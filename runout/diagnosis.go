package runout

import (
	"math"
	"sort"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Cause is something that makes a hub run out.
type Cause string

// The causes of a hub's runout.
const (
	BentShaft      Cause = "bent-shaft"      // the shaft beside the hub runs out itself
	BoredEccentric Cause = "bored-eccentric" // the bore is parallel to the hub and off its centre
	BoredSkewed    Cause = "bored-skewed"    // the bore stands at an angle to the hub
	OutOfRound     Cause = "out-of-round"    // the hub is oval
	LooseFit       Cause = "loose-fit"       // the hub does not stand where it stood before
)

// HubCase is what was read of a hub and of the shaft beside it. All sweeps count
// their marks from the same line on the shaft.
type HubCase struct {
	Hub   []ShaftStation // rim of the hub, one or more stations
	Shaft []ShaftStation // bare shaft beside it, one or more stations
	Face  *HubFace       // face of the hub, when it was read
	Again align.Sweep    // the first hub station once more, after load or half a turn of the other shaft; empty: not read
	// Least is the size that counts, above zero; zero takes 0.0125 mm, half a mil
	// of offset (common practice, no source).
	Least unit.Length
}

// HubFace is a sweep of a hub's face at a swept diameter. Surface says which way
// it looks: align.FaceToward for a face that looks toward -x, where a plus
// reading leans the way the shaft would climb, align.FaceAway for the other.
type HubFace struct {
	Diameter unit.Length
	Surface  align.Surface
	Sweep    align.Sweep
}

// Explanation is one account of the readings.
type Explanation struct {
	Causes      []Cause     // none: everything is sound
	Unexplained unit.Length // root mean square of what it leaves of the readings
	Unknowns    int         // figures that were fitted to them
	Enough      bool        // Unexplained is within what counts
}

// HubDiagnosis ranks the accounts of a hub's runout.
type HubDiagnosis struct {
	Hub   []align.Offset // eccentricity vectors of the hub, in the order given
	Shaft []align.Offset // of the shaft
	// Difference is hub less shaft at each hub station, as vectors. The
	// difference of their sizes is another figure, and a wrong one unless both
	// point the same way.
	Difference []align.Offset
	Oval       unit.Length // largest amplitude of a second harmonic of the hub, where the marks show it
	OvalKnown  bool
	Repeat     unit.Length // how far the hub's vector moved between the two readings of one station
	RepeatRead bool

	// Ranked holds every account, the ones that explain enough first, of those
	// the simplest, then what they leave.
	Ranked []Explanation
	// Best are the accounts that explain enough with the fewest unknowns; more
	// than one is a tie.
	Best []Explanation
	// CannotTell says that no account explains enough, or that several do.
	CannotTell bool
	// Read says what more would decide, "" when nothing is open.
	Read string
}

// Diagnose ranks the accounts of the readings. The shaft's own line (constant
// from one station, straight through two or more by least squares) is carried to
// each hub station and subtracted as a vector:
//
//	sound            hub = 0
//	bent shaft       hub = shaft
//	bored eccentric  hub = shaft + constant
//	bored skewed     hub = shaft + constant + slope x
//
// (derived here), with shaft = 0 when its runout does not count at any of its
// stations. Out of round and loose fit are added to every account when
// their own figures count. One hub station without a face cannot part eccentric
// from skewed: both are reported and CannotTell is true.
//
// Errors: missing hub or shaft, those of Sweep.Fit, zero-diameter, coincident
// stations, negative, out-of-range where results overflow.
func (c HubCase) Diagnose() (HubDiagnosis, error) {
	var d HubDiagnosis
	least := c.Least
	if err := align.CheckLength("least", least); err != nil {
		return d, ours(err)
	}
	if least < 0 {
		return d, fault("least", align.UnitMillimetre.Format(float64(least), 4), align.ErrNegative)
	}
	if least == 0 {
		least = 0.0125 * align.Millimetre
	}
	line, err := d.take(c)
	if err != nil {
		return HubDiagnosis{}, err
	}
	tilt, err := c.faceTilt(line)
	if err != nil {
		return HubDiagnosis{}, err
	}
	d.rank(c, tilt, least)
	if !d.finite() {
		return HubDiagnosis{}, fault("hub", "", align.ErrOutOfRange)
	}
	return d, nil
}

// finite reports whether no number overflowed.
func (d *HubDiagnosis) finite() bool {
	ok := align.IsFinite(d.Oval) && align.IsFinite(d.Repeat)
	for _, o := range d.Difference {
		ok = ok && align.IsFinite(o.Resultant())
	}
	for _, e := range d.Ranked {
		ok = ok && align.IsFinite(e.Unexplained)
	}
	return ok
}

// take fits all sweeps and returns the shaft's own line.
func (d *HubDiagnosis) take(c HubCase) (align.Axis, error) {
	if len(c.Hub) == 0 {
		return align.Axis{}, fault("hub", "", align.ErrMissing)
	}
	if len(c.Shaft) == 0 {
		return align.Axis{}, fault("shaft", "", align.ErrMissing)
	}
	bow, err := Shaft{Stations: c.Shaft}.Bow()
	if err != nil {
		return align.Axis{}, align.In(err, "shaft")
	}
	d.Shaft = bow.Centres
	if _, err := (Shaft{Stations: c.Hub}).Bow(); err != nil {
		return align.Axis{}, align.In(err, "hub")
	}
	for _, st := range c.Hub {
		h, err := centreOf(st.Sweep)
		if err != nil {
			return align.Axis{}, align.In(err, "hub")
		}
		d.Hub = append(d.Hub, h)
		d.Difference = append(d.Difference, h.Sub(bow.Straight.At(st.Station)))
		if second, err := st.Sweep.FitSecond(); err == nil {
			d.OvalKnown = true
			d.Oval = max(d.Oval, unit.Length(math.Hypot(float64(second.Cos2), float64(second.Sin2))))
		}
	}
	if len(c.Again) > 0 {
		again, err := centreOf(c.Again)
		if err != nil {
			return align.Axis{}, align.In(err, "again")
		}
		d.Repeat, d.RepeatRead = again.Sub(d.Hub[0]).Resultant(), true
	}
	return bow.Straight, nil
}

// tiltOf is the tilt of a hub face less the slope of the shaft, with the lever
// that turns it into a length.
type tiltOf struct {
	read   bool
	own    align.Slope // of the face as it is
	beyond align.Slope // less the shaft's slope
	lever  float64
}

func (c HubCase) faceTilt(shaft align.Axis) (t tiltOf, err error) {
	if c.Face == nil {
		return t, nil
	}
	f := c.Face
	if err := align.CheckLength("face.diameter", f.Diameter); err != nil {
		return t, ours(err)
	}
	if f.Diameter <= 0 {
		return t, fault("face.diameter", align.UnitMillimetre.Format(float64(f.Diameter), 3), align.ErrZeroDiameter)
	}
	sign := 1.0
	switch f.Surface {
	case align.FaceToward:
	case align.FaceAway:
		sign = -1
	default:
		return t, fault("face.surface", f.Surface.String(), align.ErrUnknownKind)
	}
	o, err := centreOf(f.Sweep)
	if err != nil {
		return t, align.In(err, "face")
	}
	t.read, t.lever = true, float64(f.Diameter/2)
	t.own = align.Slope{Vertical: sign * float64(o.Vertical) / t.lever, Horizontal: sign * float64(o.Horizontal) / t.lever}
	s := shaft.Slope()
	t.beyond = align.Slope{Vertical: t.own.Vertical - s.Vertical, Horizontal: t.own.Horizontal - s.Horizontal}
	return t, nil
}

// rank builds and sorts the accounts.
func (d *HubDiagnosis) rank(c HubCase, tilt tiltOf, least unit.Length) {
	var extra []Cause
	if d.OvalKnown && d.Oval > least {
		extra = append(extra, OutOfRound)
	}
	if d.RepeatRead && d.Repeat > least {
		extra = append(extra, LooseFit)
	}
	bent := false
	for _, s := range d.Shaft {
		bent = bent || s.Resultant() > least
	}
	add := func(unknowns int, rest []float64, causes ...Cause) {
		e := Explanation{Causes: append(append([]Cause(nil), causes...), extra...), Unexplained: rootMeanSquare(rest), Unknowns: unknowns}
		e.Enough = e.Unexplained <= least
		d.Ranked = append(d.Ranked, e)
	}
	// A shaft whose runout does not count is taken as true: the slope of its
	// line is noise, which a hub a little way off would magnify.
	var own []Cause
	off, slope := d.Hub, tilt.own
	if bent {
		own = []Cause{BentShaft}
		off, slope = d.Difference, tilt.beyond
	}
	add(0, append(sizes(off), tilt.left(slope)...), own...)
	add(2, append(aboutMean(off), tilt.left(slope)...), append(append([]Cause(nil), own...), BoredEccentric)...)
	rest, unknowns := c.aboutLine(off, slope, tilt)
	add(unknowns, rest, append(append([]Cause(nil), own...), BoredSkewed)...)
	sort.SliceStable(d.Ranked, func(i, j int) bool {
		a, b := d.Ranked[i], d.Ranked[j]
		if a.Enough != b.Enough {
			return a.Enough
		}
		if a.Enough && a.Unknowns != b.Unknowns {
			return a.Unknowns < b.Unknowns
		}
		return a.Unexplained < b.Unexplained
	})
	for _, e := range d.Ranked {
		if e.Enough && e.Unknowns == d.Ranked[0].Unknowns {
			d.Best = append(d.Best, e)
		}
	}
	d.CannotTell = len(d.Best) != 1
	d.open(c)
}

func (d *HubDiagnosis) open(c HubCase) {
	switch {
	case len(d.Best) == 0:
		d.Read = "read everything again: no account explains the readings"
	case d.CannotTell:
		d.Read = "read the hub at a second station, or its face"
	case !d.OvalKnown:
		d.Read = "read five or more marks of the hub: an oval hub cannot be seen with fewer"
	case len(c.Again) == 0:
		d.Read = "read the hub once more after it was loaded: a loose fit cannot be seen otherwise"
	}
}

// left is what a face tilt leaves unexplained, as a length at its rim.
func (t tiltOf) left(s align.Slope) []float64 {
	if !t.read {
		return nil
	}
	return []float64{s.Resultant() * t.lever}
}

func sizes(o []align.Offset) []float64 {
	out := make([]float64, len(o))
	for i := range o {
		out[i] = float64(o[i].Resultant())
	}
	return out
}

func rootMeanSquare(v []float64) unit.Length {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return unit.Length(math.Sqrt(sum / float64(max(1, len(v)))))
}

func aboutMean(off []align.Offset) []float64 {
	var mean align.Offset
	for _, o := range off {
		mean = mean.Add(o.Scale(1 / float64(len(off))))
	}
	out := make([]float64, len(off))
	for i, o := range off {
		out[i] = float64(o.Sub(mean).Resultant())
	}
	return out
}

// aboutLine is what a skewed bore leaves. One station without a face leaves
// nothing to check and costs no more unknowns than an eccentric bore: a tie.
func (c HubCase) aboutLine(off []align.Offset, slope align.Slope, tilt tiltOf) (rest []float64, unknowns int) {
	if len(c.Hub) == 1 {
		if tilt.read {
			return []float64{0}, 4
		}
		return []float64{0}, 2
	}
	b := ShaftBow{}
	order := make([]int, len(c.Hub))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(i, j int) bool { return c.Hub[order[i]].Station < c.Hub[order[j]].Station })
	for _, i := range order {
		b.At = append(b.At, c.Hub[i].Station)
		b.Centres = append(b.Centres, off[i])
	}
	line, _ := b.line()
	for i, x := range b.At {
		rest = append(rest, float64(b.Centres[i].Sub(line.At(x)).Resultant()))
	}
	if tilt.read {
		s := line.Slope()
		rest = append(rest, align.Slope{Vertical: slope.Vertical - s.Vertical, Horizontal: slope.Horizontal - s.Horizontal}.Resultant()*tilt.lever)
	}
	return rest, 4
}
