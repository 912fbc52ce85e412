package thermal

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// SupportAt is one support of a machine: a foot with the casing above it, the
// pedestal under a centreline bracket, or a bearing pedestal. What grows is the
// height from the base up to the shaft centre.
type SupportAt struct {
	Station unit.Length
	Lateral unit.Length // from the shaft centre, positive to the right; zero for a single pedestal
	Support Support
}

// Key is a point at which a machine is held sideways, with the shaft standing
// beside it. A machine keyed under its own centre does not move sideways when it
// warms; one held at a corner does.
type Key struct {
	Station  unit.Length
	Lateral  unit.Length // from the key to the shaft centre, positive to the right
	Material Material
	Cold     unit.Temperature
	Hot      unit.Temperature // mean between key and shaft centre
}

// Shift returns how far the shaft centre moves sideways, right positive:
//
//	shift = strain (lateral distance from the key to the shaft centre)
//
// (linear expansion).
func (k Key) Shift() (unit.Length, error) {
	if err := bounded("lateral", k.Lateral, maxStation); err != nil {
		return 0, err
	}
	e, err := k.Material.Strain(k.Cold, k.Hot)
	if err != nil {
		return 0, err
	}
	return unit.Length(e) * k.Lateral, nil
}

// Machine is one machine on its supports.
type Machine struct {
	Name     string
	Supports []SupportAt // at one or more stations
	Keys     []Key       // none: held under the shaft; one: the shaft shifts parallel; two: at different stations

	// ResidualLimit is how far the growth of a support may lie off the straight
	// line of the shaft before it is warned about; 0.025 mm when nil (own choice,
	// one mil).
	ResidualLimit *unit.Length
}

// MaxSupportStations is the largest number of stations one machine may rest on.
const MaxSupportStations = 8

// MaxSupports is the largest number of supports one machine may have.
const MaxSupports = 32

// WarnRollUnknown says that a machine rests off its centreline at a station with
// nothing on the other side: its growth was taken as that of the shaft.
const WarnRollUnknown align.WarningCode = "roll-not-determined"

// StationGrowth is the growth at one station.
type StationGrowth struct {
	Station  unit.Length
	Growth   unit.Length // of the shaft centre: up positive
	Roll     float64     // slope across, positive when the right side grows more; 0 when RollKnown is false
	Uneven   unit.Length // growth of the outermost right less that of the outermost left support
	Residual unit.Length // growth less the shaft's line
	// RollKnown is true when supports stand at different laterals.
	RollKnown bool
}

// MachineGrowth is how the shaft of a machine moves when it warms.
type MachineGrowth struct {
	Axis     align.Axis      // vertical growth and sideways shift
	Stations []StationGrowth // by rising station
	Warnings []align.Warning
}

// stationSum gathers the supports of one station: sums over lateral z and growth
// g, laterals in metres.
type stationSum struct {
	x, n, z, g, zz, zg float64
	left, right        int // indices of the outermost supports
}

// growths holds the stations of one machine without a heap.
type growths struct {
	at [MaxSupportStations]stationSum
	n  int
	g  [MaxSupports]float64
}

// Line returns the vertical growth of the shaft, positive up.
//
// At a station with supports on both sides the growth of the shaft centre is
// read off the straight line through their growths, left to right, at the shaft;
// for supports that stand evenly this is their average. With two stations the
// shaft follows them exactly; with one it rises parallel; with more, it is the
// least-squares line, each station counting once. It allocates nothing.
func (m *Machine) Line() (align.Line, error) {
	var g growths
	if err := g.gather(m); err != nil {
		return align.Line{}, err
	}
	return g.line(), nil
}

// Axis returns the movement of the shaft in both planes: Line, and sideways what
// the keys say.
func (m *Machine) Axis() (align.Axis, error) {
	v, err := m.Line()
	if err != nil {
		return align.Axis{}, err
	}
	h, err := m.sideways()
	return align.Axis{Vertical: v, Horizontal: h}, err
}

// Growth returns the movement of the shaft with the growth station by station,
// roll, and warnings: residual where the supports do not grow in one line,
// roll-not-determined, and those of the supports themselves.
func (m *Machine) Growth() (MachineGrowth, error) {
	if m.ResidualLimit != nil {
		if err := fromZero("residualLimit", *m.ResidualLimit, maxOffset); err != nil {
			return MachineGrowth{}, err
		}
	}
	var g growths
	if err := g.gather(m); err != nil {
		return MachineGrowth{}, err
	}
	h, err := m.sideways()
	if err != nil {
		return MachineGrowth{}, err
	}
	out := MachineGrowth{Axis: align.Axis{Vertical: g.line(), Horizontal: h}}
	for i := range m.Supports {
		for _, w := range m.Supports[i].Support.Warnings() {
			w.Field = at("supports", i) + "." + w.Field
			out.Warnings = append(out.Warnings, w)
		}
	}
	for i := range g.n {
		s := g.at[i].growth(g.g[:])
		s.Residual = s.Growth - out.Axis.Vertical.At(s.Station)
		out.Stations = append(out.Stations, s)
		out.Warnings = append(out.Warnings, m.warn(i, &g.at[i], s)...)
	}
	return out, nil
}

func (m *Machine) warn(i int, sum *stationSum, s StationGrowth) (ws []align.Warning) {
	limit := 0.025 * align.Millimetre
	if m.ResidualLimit != nil {
		limit = *m.ResidualLimit
	}
	field := fmt.Sprintf("stations[%d]", i)
	if off := max(s.Residual, -s.Residual); off > limit {
		ws = append(ws, align.Warning{Code: align.WarnResidual, Severity: align.Suspect, Field: field,
			Value: float64(off), Limit: float64(limit), Unit: align.UnitMillimetre})
	}
	if lateral := math.Abs(sum.z / sum.n); !s.RollKnown && lateral > 0 {
		ws = append(ws, align.Warning{Code: WarnRollUnknown, Meaning: warningMeaning(WarnRollUnknown), Severity: align.Notice, Field: field,
			Value: lateral, Limit: 0, Unit: align.UnitMillimetre})
	}
	return ws
}

// gather works out every support and sorts the stations.
func (g *growths) gather(m *Machine) error {
	if len(m.Supports) == 0 {
		return fault("supports", "", align.ErrMissing)
	}
	if len(m.Supports) > MaxSupports {
		return fault("supports", fmt.Sprint(len(m.Supports)), align.ErrOutOfRange)
	}
	for i := range m.Supports {
		if err := g.take(m.Supports, i); err != nil {
			return align.In(err, at("supports", i))
		}
	}
	for i := 1; i < g.n; i++ {
		if err := apart("station", unit.Length(g.at[i-1].x), unit.Length(g.at[i].x)); err != nil {
			return err
		}
	}
	return nil
}

func (g *growths) take(supports []SupportAt, i int) error {
	s := &supports[i]
	if err := boundedStation("station", s.Station); err != nil {
		return err
	}
	if err := bounded("lateral", s.Lateral, maxStation); err != nil {
		return err
	}
	grown, err := s.Support.Growth()
	if err != nil {
		return err
	}
	if err := bounded("growth", grown, maxOffset); err != nil {
		return err
	}
	g.g[i] = float64(grown)
	sum, err := g.station(float64(s.Station), i)
	if err != nil {
		return err
	}
	z := float64(s.Lateral)
	sum.n++
	sum.z += z
	sum.g += float64(grown)
	sum.zz += float64(z * z)
	sum.zg += float64(z * float64(grown))
	if s.Lateral < supports[sum.left].Lateral {
		sum.left = i
	}
	if s.Lateral > supports[sum.right].Lateral {
		sum.right = i
	}
	return nil
}

// station finds the sums of station x, put in by rising x when it is new.
func (g *growths) station(x float64, i int) (*stationSum, error) {
	k := 0
	for k < g.n && g.at[k].x < x {
		k++
	}
	if k < g.n && g.at[k].x == x {
		return &g.at[k], nil
	}
	if g.n == MaxSupportStations {
		return nil, fault("station", inMillimetres(unit.Length(x)), align.ErrOutOfRange)
	}
	copy(g.at[k+1:g.n+1], g.at[k:g.n])
	g.n++
	g.at[k] = stationSum{x: x, left: i, right: i}
	return &g.at[k], nil
}

// minAcross is the least distance across between supports that shows roll.
const minAcross = 1e-6

// centre returns the growth at the shaft centre and the slope across: the
// straight line of least squares through growth against lateral.
func (s *stationSum) centre() (growth, roll float64, known bool) {
	mz, mg := s.z/s.n, s.g/s.n
	szz := s.zz - float64(s.z*mz)
	if !(szz > minAcross*minAcross) || szz < 1e-12*s.zz {
		return mg, 0, false
	}
	roll = (s.zg - float64(s.z*mg)) / szz
	return mg - float64(roll*mz), roll, true
}

func (s *stationSum) growth(each []float64) StationGrowth {
	c, roll, known := s.centre()
	return StationGrowth{
		Station: unit.Length(s.x), Growth: unit.Length(c), Roll: roll, RollKnown: known,
		Uneven: unit.Length(each[s.right] - each[s.left]),
	}
}

// line is the line of least squares through the stations, exact for two.
func (g *growths) line() align.Line {
	if g.n == 1 {
		c, _, _ := g.at[0].centre()
		return align.Line{Offset: unit.Length(c)}
	}
	var mx, my float64
	var y [MaxSupportStations]float64
	for i := range g.n {
		y[i], _, _ = g.at[i].centre()
		mx += g.at[i].x
		my += y[i]
	}
	mx, my = mx/float64(g.n), my/float64(g.n)
	var sxx, sxy float64
	for i := range g.n {
		d := g.at[i].x - mx
		sxx += float64(d * d)
		sxy += float64(d * (y[i] - my))
	}
	slope := sxy / sxx
	return align.Line{Offset: unit.Length(my - float64(slope*mx)), Slope: slope}
}

// sideways returns the shift of the shaft to the right, from the keys.
func (m *Machine) sideways() (align.Line, error) {
	if len(m.Keys) > 2 {
		return align.Line{}, fault("keys", fmt.Sprint(len(m.Keys)), align.ErrOutOfRange)
	}
	var p [2]align.Point
	for i := range m.Keys {
		k := &m.Keys[i]
		if err := boundedStation("station", k.Station); err != nil {
			return align.Line{}, align.In(err, at("keys", i))
		}
		s, err := k.Shift()
		if err != nil {
			return align.Line{}, align.In(err, at("keys", i))
		}
		p[i] = align.Point{Station: k.Station, Offset: s}
	}
	switch len(m.Keys) {
	case 0:
		return align.Line{}, nil
	case 1:
		return align.Line{Offset: p[0].Offset}, nil
	}
	if err := apart("keys[1].station", p[0].Station, p[1].Station); err != nil {
		return align.Line{}, err
	}
	return align.Through(p[0], p[1])
}

// Height is one height that grows as a whole, for the supports below.
type Height struct {
	Name     string
	Length   unit.Length // above zero
	Material Material
	Cold     unit.Temperature
	Hot      unit.Temperature
}

// FootMounted returns the support of a machine that stands on feet at the bottom
// of its casing: the height from the sole of the foot to the shaft centre grows
// with the mean temperature of the casing, and the shaft rises with what is
// pumped.
func FootMounted(h Height) Support { return h.support() }

// CentrelineMounted returns the support of a machine that rests on brackets at
// the height of its shaft: the casing grows up and down from there, and the
// shaft rises by the growth of the pedestal below alone. Hot is the temperature
// of the pedestal, not of the casing. (ITT Goulds 3107 manual, p. 14: the cold
// setting of a pedestal-mounted pump is the same for any temperature pumped.)
func CentrelineMounted(pedestal Height) Support { return pedestal.support() }

// PedestalBearing returns the support of a shaft that runs in a bearing pedestal
// of its own: the height from base to shaft centre grows with the pedestal's
// mean temperature, which follows the oil and not the process.
func PedestalBearing(pedestal Height) Support { return pedestal.support() }

func (h Height) support() Support {
	return Support{Name: h.Name, Segments: []Segment{{
		Name: h.Name, Length: h.Length, Material: h.Material, Cold: h.Cold, Hot: h.Hot,
	}}}
}
