package runout

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// HydroPart is a part of a turbine-generator unit whose runout GB/T 8564 limits.
type HydroPart string

// The parts of the table of GB/T 8564.
const (
	GeneratorJournals HydroPart = "generator-journals" // upper and lower guide bearing journals, and the flange; relative
	TurbineJournal    HydroPart = "turbine-journal"    // turbine guide bearing journal; relative, with a cap
	CollectorRing     HydroPart = "collector-ring"     // absolute
)

const gbt8564 = "GB/T 8564-2003, printed as Table 4-2 by a secondary text (clause not seen)"

// maxBands is the number of speed bands of the longest table.
const maxBands = 5

// speedBand begins at its speed, which belongs to it, and ends before the next.
type speedBand struct{ from, limit float64 } // rpm; as printed

// HydroRunout is the runout of a hydro unit turned slowly, by hand or by crane:
// not a vibration.
type HydroRunout struct {
	Part     HydroPart
	Speed    unit.Frequency // rated speed; above zero
	Runout   align.TIR      // full indicator difference; not negative
	Distance unit.Length    // from the point of measurement to the mirror plate of the thrust collar; above zero, not needed for the collector ring
}

// HydroLimit returns the limit of a part at the rated speed of the unit. Those
// of the shafts are relative: total indicator reading over the distance of the
// point of measurement from the mirror plate of the thrust collar, in mm/m. That
// of the collector ring is absolute. A speed on the border of two bands belongs to
// the faster one, and nothing is interpolated.
//
// Source: GB/T 8564-2003, second-hand. No runout at a guide bearing may exceed
// the design clearance of the bearing either (one copy).
//
// Errors: align.ErrUnknownKind, align.ErrNotFinite, align.ErrNegative, and
// align.ErrOutOfRange for a speed of zero.
func HydroLimit(part HydroPart, speed unit.Frequency) (align.Limit, error) {
	if err := checkAbove("speed", float64(speed), align.UnitRPM); err != nil {
		return align.Limit{}, err
	}
	const relative = "distance to the mirror plate of the thrust collar"
	l := align.Limit{Name: "relative runout", Unit: align.UnitMillimetrePerMetre, Source: gbt8564, Known: align.ReadSecondhand}
	switch part {
	case GeneratorJournals:
		l.Place = "generator guide bearing journals and flange, over the " + relative
		l.Value = bandAt(speed, [maxBands]speedBand{{0, 0.03}, {150, 0.03}, {300, 0.02}, {500, 0.02}, {750, 0.02}})
	case TurbineJournal:
		l.Place = "turbine guide bearing journal, over the " + relative
		l.Value = bandAt(speed, [maxBands]speedBand{{0, 0.05}, {150, 0.05}, {300, 0.04}, {500, 0.03}, {750, 0.02}})
	case CollectorRing:
		l.Name, l.Place, l.Unit = "runout", "collector ring", align.UnitMillimetre
		l.Value = bandAt(speed, [maxBands]speedBand{{0, 0.5}, {150, 0.4}, {300, 0.3}, {500, 0.2}, {750, 0.1}})
	default:
		return align.Limit{}, fault("part", strconv.Quote(string(part)), align.ErrUnknownKind)
	}
	return l, nil
}

// HydroCap returns the largest absolute runout at the turbine guide bearing,
// whatever the relative one. It has speed bands of its own. Source and errors are
// those of HydroLimit.
func HydroCap(speed unit.Frequency) (align.Limit, error) {
	if err := checkAbove("speed", float64(speed), align.UnitRPM); err != nil {
		return align.Limit{}, err
	}
	return align.Limit{
		Name: "absolute runout", Place: "turbine guide bearing journal",
		Value: bandAt(speed, [maxBands]speedBand{{0, 0.35}, {250, 0.25}, {600, 0.2}}),
		Unit:  align.UnitMillimetre, Source: gbt8564, Known: align.ReadSecondhand,
	}, nil
}

// bandAt returns the limit of the last band that begins at or below the speed.
// A band past the first that begins at zero ends the table.
func bandAt(speed unit.Frequency, bands [maxBands]speedBand) float64 {
	rpm := align.UnitRPM.FromSI(float64(speed))
	limit := bands[0].limit
	for _, b := range bands[1:] {
		if b.from == 0 || rpm < float64(b.from*(1-edge)) {
			break
		}
		limit = b.limit
	}
	return limit
}

// Judge holds the runout against every limit that applies: the relative one, and
// for the turbine guide bearing the cap too. All verdicts must be within.
//
// Errors: those of HydroLimit; align.ErrNegative for a runout under zero, and
// align.ErrOutOfRange for a shaft without a distance.
func (h HydroRunout) Judge() ([]align.Verdict, error) {
	if err := checkSize("runout", float64(h.Runout), align.UnitMillimetre); err != nil {
		return nil, err
	}
	l, err := HydroLimit(h.Part, h.Speed)
	if err != nil {
		return nil, err
	}
	if h.Part == CollectorRing {
		return judgeAll(judged{l, float64(h.Runout)})
	}
	if err := checkAbove("distance", float64(h.Distance), align.UnitMetre); err != nil {
		return nil, err
	}
	relative := float64(h.Runout) / float64(h.Distance)
	if !align.IsFinite(relative) {
		return nil, fault("distance", align.UnitMetre.Format(float64(h.Distance), 6), align.ErrOutOfRange)
	}
	if h.Part == GeneratorJournals {
		return judgeAll(judged{l, relative})
	}
	most, err := HydroCap(h.Speed)
	if err != nil {
		return nil, err
	}
	return judgeAll(judged{l, relative}, judged{most, float64(h.Runout)})
}

// judged pairs a limit with what is held against it.
type judged struct {
	limit    align.Limit
	measured float64
}

func judgeAll(list ...judged) ([]align.Verdict, error) {
	out := make([]align.Verdict, 0, len(list))
	for _, j := range list {
		v, err := j.limit.Judge(j.measured)
		if err != nil {
			return nil, ours(err)
		}
		out = append(out, v)
	}
	return out, nil
}
