package piping

import (
	"fmt"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Port says where the nozzle of a horizontal pump points. The zero value is not
// one.
type Port uint8

// The places of a nozzle on a horizontal pump.
const (
	TopNozzle  Port = iota + 1 // points up
	SideNozzle                 // points across the shaft
	EndNozzle                  // points along the shaft
)

// String returns the place in words.
func (p Port) String() string {
	switch p {
	case TopNozzle:
		return "top nozzle"
	case SideNozzle:
		return "side nozzle"
	case EndNozzle:
		return "end nozzle"
	}
	return fmt.Sprintf("port(%d)", uint8(p))
}

// API610Source is where the table of nozzle loads was read.
const API610Source = "API 610, table of nozzle loadings, as printed in W. E. Forsthoffer, Best Practice Handbook for Rotating " +
	"Machinery, Tables 2.20.1 and 2.20.2"

// API610Nozzle is one nozzle of a horizontal pump in the table of API 610. The
// axes are those of the standard, right-handed: X along the shaft, Y across it
// level, Z up (an inference: the table's largest force lies along the nozzle).
// Make one with API610. Steel and alloy casings; NPS 2 to 16.
type API610Nozzle struct {
	NPS        float64
	Port       Port
	Units      UnitSystem
	FX, FY, FZ float64 // largest force each way, lbf or N, as printed
	FR         float64 // largest resultant force, as printed
	MX, MY, MZ float64 // largest moment each way, lbf.ft or N.m, as printed
	MR         float64 // largest resultant moment, as printed
}

// api610Row is one size: the force along the nozzle, along the shaft (or across
// it, for an end nozzle) and the remaining one, then what is common.
type api610Row struct{ nps, axial, middle, least, fr, mx, my, mz, mr float64 }

func api610US() [9]api610Row {
	return [9]api610Row{ // lbf, lbf.ft
		{2, 200, 160, 130, 290, 340, 170, 260, 460},
		{3, 300, 240, 200, 430, 700, 350, 530, 950},
		{4, 400, 320, 260, 570, 980, 500, 740, 1330},
		{6, 700, 560, 460, 1010, 1700, 870, 1300, 2310},
		{8, 1100, 850, 700, 1560, 2600, 1300, 1900, 3500},
		{10, 1500, 1200, 1000, 2200, 3700, 1800, 2800, 5000},
		{12, 1800, 1500, 1200, 2600, 4500, 2200, 3400, 6100},
		{14, 2000, 1600, 1300, 2900, 4700, 2300, 3500, 6300},
		{16, 2300, 1900, 1500, 3300, 5400, 2700, 4000, 7200},
	}
}

func api610SI() [9]api610Row {
	return [9]api610Row{ // N, N.m
		{2, 890, 710, 580, 1280, 460, 230, 350, 620},
		{3, 1330, 1070, 890, 1930, 950, 470, 720, 1280},
		{4, 1780, 1420, 1160, 2560, 1330, 680, 1000, 1800},
		{6, 3110, 2490, 2050, 4480, 2300, 1180, 1760, 3130},
		{8, 4890, 3780, 3110, 6920, 3530, 1760, 2580, 4710},
		{10, 6670, 5340, 4450, 9630, 5020, 2440, 3800, 6750},
		{12, 8000, 6670, 5340, 11700, 6100, 2980, 4610, 8210},
		{14, 8900, 7120, 5780, 12780, 6370, 3120, 4750, 8540},
		{16, 10230, 8450, 6670, 14850, 7320, 3660, 5420, 9820},
	}
}

// API610 returns the nozzle of a nominal pipe size in inches from the printed
// table in one of its unit systems. The two forms are rounded apart by up to one
// per cent. The resultants are the printed ones, which differ from the root of
// the squares of the components by up to 1.6 per cent.
//
// Errors: not-in-table sizes; missing or unknown port or units.
func API610(nps float64, port Port, units UnitSystem) (API610Nozzle, error) {
	if err := units.check(); err != nil {
		return API610Nozzle{}, err
	}
	rows := api610US()
	if units == SI {
		rows = api610SI()
	}
	for _, r := range rows {
		if r.nps == nps {
			return r.nozzle(port, units)
		}
	}
	return API610Nozzle{}, loadFault("nps", loadNumber(nps, ""), ErrNotInTable)
}

func (r *api610Row) nozzle(port Port, units UnitSystem) (API610Nozzle, error) {
	n := API610Nozzle{NPS: r.nps, Port: port, Units: units, FR: r.fr, MX: r.mx, MY: r.my, MZ: r.mz, MR: r.mr}
	switch port {
	case 0:
		return API610Nozzle{}, loadFault("port", "", align.ErrMissing)
	case TopNozzle:
		n.FX, n.FY, n.FZ = r.middle, r.least, r.axial
	case SideNozzle:
		n.FX, n.FY, n.FZ = r.middle, r.axial, r.least
	case EndNozzle:
		n.FX, n.FY, n.FZ = r.axial, r.middle, r.least
	default:
		return API610Nozzle{}, loadFault("port", port.String(), align.ErrUnknownKind)
	}
	return n, nil
}

func (u UnitSystem) force() align.Unit {
	if u == SI {
		return align.UnitNewton
	}
	return align.UnitPoundForce
}

func (u UnitSystem) moment() align.Unit {
	if u == SI {
		return align.UnitNewtonMetre
	}
	return align.UnitPoundForceFoot
}

// API610Axes returns force and moment in the axes of API 610: X along the
// shaft, Z up and Y across to the left of a person who looks along +x, so that
// the three are right-handed. The signs do not matter to the table.
func (l Load) API610Axes() (force [3]unit.Force, moment [3]unit.Torque) {
	return [3]unit.Force{l.Force.X, -l.Force.Z, l.Force.Y}, [3]unit.Torque{l.Moment.X, -l.Moment.Z, l.Moment.Y}
}

// FromAPI610Axes returns the load whose parts in the axes of API 610 are given;
// see API610Axes.
func FromAPI610Axes(force [3]unit.Force, moment [3]unit.Torque) Load {
	return Load{
		Force:  Forces{X: force[0], Y: force[2], Z: -force[1]},
		Moment: Moments{X: moment[0], Y: moment[2], Z: -moment[1]},
	}
}

// JudgeNozzle holds a load about the centre of the flange face against the
// table: FX, FY, FZ, FR, MX, MY, MZ and MR, in this order. The table is for the
// load the pump must bear by its design; it is not an allowance for strain that
// the pipe puts on while it is bolted up.
//
// Errors: not-finite or out-of-range parts of the load; those of API610, and
// mismatch for limits that are not those of the table.
func (n API610Nozzle) JudgeNozzle(l Load) ([]align.Verdict, error) {
	if err := n.check(); err != nil {
		return nil, err
	}
	if err := l.check(); err != nil {
		return nil, err
	}
	return n.judge(l, 1)
}

// judge allows the components the given multiple of the table, the resultants
// once the table.
func (n *API610Nozzle) judge(l Load, multiple float64) ([]align.Verdict, error) {
	f, m := l.API610Axes()
	place := n.place()
	out := make([]align.Verdict, 0, 8)
	for _, c := range [...]struct {
		name     string
		limit    float64
		unit     align.Unit
		measured float64
	}{
		{"FX", n.FX * multiple, n.Units.force(), float64(f[0])},
		{"FY", n.FY * multiple, n.Units.force(), float64(f[1])},
		{"FZ", n.FZ * multiple, n.Units.force(), float64(f[2])},
		{"FR", n.FR, n.Units.force(), float64(l.Force.Size())},
		{"MX", n.MX * multiple, n.Units.moment(), float64(m[0])},
		{"MY", n.MY * multiple, n.Units.moment(), float64(m[1])},
		{"MZ", n.MZ * multiple, n.Units.moment(), float64(m[2])},
		{"MR", n.MR, n.Units.moment(), float64(l.Moment.Size())},
	} {
		v, err := align.Limit{
			Name: c.name, Place: place, Value: c.limit, Unit: c.unit, Source: API610Source, Known: align.Read,
		}.Judge(c.measured)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

func (n *API610Nozzle) place() string { return n.Port.String() + " NPS " + loadNumber(n.NPS, "") }

// check makes sure that the nozzle is one of the table, unchanged.
func (n *API610Nozzle) check() error {
	want, err := API610(n.NPS, n.Port, n.Units)
	if err != nil {
		return err
	}
	if want != *n {
		return loadFault("nozzle", n.place(), align.ErrMismatch)
	}
	return nil
}
