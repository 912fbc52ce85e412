package runout

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Zone is a tolerance zone of ISO 286: letter and grade.
type Zone string

// The zones that ZoneOf knows: H7 for the bore of a hub, the others for shafts.
const (
	H7 Zone = "H7"
	K6 Zone = "k6"
	M6 Zone = "m6"
	N6 Zone = "n6"
	P6 Zone = "p6"
)

// Deviations are the least and the largest departure of a size from its nominal
// value, with the table they come from.
type Deviations struct {
	Lower  unit.Length
	Upper  unit.Length
	Source string
	Known  align.Known
}

// Width returns the tolerance: upper less lower deviation.
func (d Deviations) Width() unit.Length { return d.Upper - d.Lower }

// String returns both deviations in micrometres and the source.
func (d Deviations) String() string {
	u := align.UnitMicrometre
	return u.Format(float64(d.Lower), 1) + " to " + u.Format(float64(d.Upper), 1) + " (" + d.Source + ")"
}

const (
	iso286Read   = "ISO 286 as printed in a table of JIS B 0401"
	iso286Memory = "ISO 286, from memory"
)

// zoneRow holds the deviations of one range of diameters in micrometres, upper
// before lower as tables print them.
type zoneRow struct {
	over, upTo     float64 // mm
	h7             float64 // upper deviation; the lower one is zero
	h7Known        align.Known
	k6, m6, n6, p6 [2]float64
	shaftsKnown    align.Known
}

// zoneRows is the number of ranges of the table.
const zoneRows = 6

// iso286 is a table and not the formulas behind ISO 286, since the standard
// rounds by hand: n6 over 80 up to 120 mm would come out at 24 and is 23.
func iso286() [zoneRows]zoneRow {
	const read, memory = align.ReadSecondhand, align.FromMemory
	return [zoneRows]zoneRow{
		{18, 30, 21, memory, [2]float64{15, 2}, [2]float64{21, 8}, [2]float64{28, 15}, [2]float64{35, 22}, read},
		{30, 50, 25, read, [2]float64{18, 2}, [2]float64{25, 9}, [2]float64{33, 17}, [2]float64{42, 26}, read},
		{50, 80, 30, read, [2]float64{21, 2}, [2]float64{30, 11}, [2]float64{39, 20}, [2]float64{51, 32}, read},
		{80, 120, 35, read, [2]float64{25, 3}, [2]float64{35, 13}, [2]float64{45, 23}, [2]float64{59, 37}, memory},
		{120, 180, 40, read, [2]float64{28, 3}, [2]float64{40, 15}, [2]float64{52, 27}, [2]float64{68, 43}, memory},
		{180, 250, 46, read, [2]float64{33, 4}, [2]float64{46, 17}, [2]float64{60, 31}, [2]float64{79, 50}, memory},
	}
}

// ZoneOf returns the deviations of a zone at a nominal diameter over 18 up to
// 250 mm. A diameter on the border of two ranges belongs to the smaller one.
//
// Source: ISO 286 as printed in a table of JIS B 0401. The shaft zones over 80 mm
// and H7 up to 30 mm are from memory, and Known says so: check them before use.
//
// Errors: align.ErrUnknownKind, align.ErrZeroDiameter, align.ErrNotFinite, and
// align.ErrOutOfRange, with the range, for a diameter outside the table.
func ZoneOf(z Zone, diameter unit.Length) (Deviations, error) {
	switch z {
	case H7, K6, M6, N6, P6:
	default:
		return Deviations{}, fault("zone", strconv.Quote(string(z)), align.ErrUnknownKind)
	}
	if err := checkDiameter("diameter", diameter); err != nil {
		return Deviations{}, err
	}
	mm := align.UnitMillimetre.FromSI(float64(diameter))
	for _, r := range iso286() {
		if mm > float64(r.over*(1+edge)) && mm <= float64(r.upTo*(1+edge)) {
			return r.zone(z), nil
		}
	}
	return Deviations{}, fault("diameter", align.UnitMillimetre.Format(float64(diameter), 4)+", the table runs over 18 up to 250 mm", align.ErrOutOfRange)
}

func (r zoneRow) zone(z Zone) Deviations {
	pair, known := [2]float64{r.h7, 0}, r.shaftsKnown
	switch z {
	case H7:
		known = r.h7Known
	case K6:
		pair = r.k6
	case M6:
		pair = r.m6
	case N6:
		pair = r.n6
	case P6:
		pair = r.p6
	}
	d := Deviations{Lower: unit.Length(pair[1] * 1e-6), Upper: unit.Length(pair[0] * 1e-6), Source: iso286Read, Known: known}
	if known == align.FromMemory {
		d.Source = iso286Memory
	}
	return d
}

// FitKind says whether the parts of a fit can be pushed together by hand.
type FitKind string

// The kinds of fit of ISO 286.
const (
	ClearanceFit    FitKind = "clearance"    // the shaft is never larger than the bore
	TransitionFit   FitKind = "transition"   // either
	InterferenceFit FitKind = "interference" // the shaft is never smaller than the bore
)

// Fit is the interference of a shaft in a bore on the diameter: positive when
// the shaft is larger, negative for clearance.
type Fit struct {
	Least unit.Length
	Most  unit.Length
	Known align.Known // the poorer of the two deviations
}

// Pair returns the fit of a shaft in a hole of the same nominal diameter:
//
//	least = shaft lower - hole upper,  most = shaft upper - hole lower
//
// Errors: align.ErrNotFinite; align.ErrMismatch for deviations whose upper one
// lies under the lower one; align.ErrOutOfRange when the result overflows.
func Pair(hole, shaft Deviations) (Fit, error) {
	if err := hole.check("hole"); err != nil {
		return Fit{}, err
	}
	if err := shaft.check("shaft"); err != nil {
		return Fit{}, err
	}
	f := Fit{Least: shaft.Lower - hole.Upper, Most: shaft.Upper - hole.Lower, Known: poorer(hole.Known, shaft.Known)}
	if !align.IsFinite(f.Least) || !align.IsFinite(f.Most) {
		return Fit{}, fault("fit", "", align.ErrOutOfRange)
	}
	return f, nil
}

func (d Deviations) check(field string) error {
	for _, v := range [2]unit.Length{d.Lower, d.Upper} {
		if !align.IsFinite(v) {
			return fault(field, align.UnitMicrometre.Format(float64(v), 1), align.ErrNotFinite)
		}
	}
	if d.Upper < d.Lower {
		return fault(field, "lower "+align.UnitMicrometre.Format(float64(d.Lower), 1)+", upper "+align.UnitMicrometre.Format(float64(d.Upper), 1), align.ErrMismatch)
	}
	return nil
}

// poorer returns the less reliable of two ways of knowing.
func poorer(a, b align.Known) align.Known {
	for _, k := range [3]align.Known{align.CommonPractice, align.FromMemory, align.ReadSecondhand} {
		if a == k || b == k {
			return k
		}
	}
	return a
}

// HubFit returns the fit of a shaft zone in an H7 bore. Errors: those of ZoneOf;
// align.ErrUnknownKind when the zone is H7, which is not one of a shaft.
func HubFit(shaft Zone, diameter unit.Length) (Fit, error) {
	if shaft == H7 {
		return Fit{}, fault("zone", "H7 for a shaft", align.ErrUnknownKind)
	}
	s, err := ZoneOf(shaft, diameter)
	if err != nil {
		return Fit{}, err
	}
	h, err := ZoneOf(H7, diameter)
	if err != nil {
		return Fit{}, err
	}
	return Pair(h, s)
}

// Kind returns the kind of fit.
func (f Fit) Kind() FitKind {
	switch {
	case f.Least >= 0:
		return InterferenceFit
	case f.Most <= 0:
		return ClearanceFit
	}
	return TransitionFit
}

// String returns kind, least and most interference in micrometres, and says when
// the deviations are from memory.
func (f Fit) String() string {
	u := align.UnitMicrometre
	s := string(f.Kind()) + " fit, interference " + u.Format(float64(f.Least), 1) + " to " + u.Format(float64(f.Most), 1)
	if f.Known == align.FromMemory {
		s += " (from memory)"
	}
	return s
}

// MeasuredFit is a shaft and a bore as measured, at the same temperature.
type MeasuredFit struct {
	Shaft unit.Length // diameter; above zero
	Bore  unit.Length // diameter; above zero
}

// Interference returns shaft less bore on the diameter, negative for clearance.
// Errors: align.ErrZeroDiameter, align.ErrNotFinite.
func (m MeasuredFit) Interference() (unit.Length, error) {
	if err := checkDiameter("shaft", m.Shaft); err != nil {
		return 0, err
	}
	if err := checkDiameter("bore", m.Bore); err != nil {
		return 0, err
	}
	return m.Shaft - m.Bore, nil
}

// PerDiameter returns the interference per unit of bore diameter, a plain ratio:
// 0.001 is one mil per inch. Errors: as Interference, and align.ErrOutOfRange.
func (m MeasuredFit) PerDiameter() (float64, error) {
	i, err := m.Interference()
	if err != nil {
		return 0, err
	}
	share := float64(i) / float64(m.Bore)
	if !align.IsFinite(share) {
		return 0, fault("bore", align.UnitMillimetre.Format(float64(m.Bore), 6), align.ErrOutOfRange)
	}
	return share, nil
}
