package worksheet

import (
	"math"
	"math/rand/v2"

	"collinear.example/align"
)

// Invented places and trains for exercises; none of them exists.
var (
	inventedPlants = []string{"Harrow Lake waterworks", "Quarry Road mill", "Tern Island pump house", "Old Weir station",
		"Marlfield sugar works", "Brackwater refinery", "Fennside paper mill", "Kestrel Point terminal"}
	inventedTrains = [][2]string{{"motor", "pump"}, {"motor", "fan"}, {"turbine", "pump"}, {"motor", "compressor"}, {"motor", "gear unit"}, {"engine", "blower"}}
)

// inventor invents the figures of one exercise.
type inventor struct {
	*rand.Rand
	inch bool // inches and mil, or millimetres
}

// newInventor picks the system of units.
func newInventor(r *rand.Rand) inventor { return inventor{r, r.IntN(2) == 0} }

// record returns an empty record with a title, a plant and two machines.
func (v inventor) record(title string) *Record {
	train := inventedTrains[v.IntN(len(inventedTrains))]
	r := &Record{Format: Format, Title: title, Plant: inventedPlants[v.IntN(len(inventedPlants))],
		Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre}}
	if v.inch {
		r.Units = Units{Length: align.UnitInch, Reading: align.UnitMil}
	}
	r.Train = Train{Machines: []Machine{{Name: train[0]}, {Name: train[1]}},
		Couplings: []Coupling{{Name: "coupling", Near: train[0], Far: train[1]}}}
	return r
}

// length returns a distance between lo and hi millimetres as somebody would have
// taped it, in the unit of lengths: whole quarter inches or whole fives of
// millimetres.
func (v inventor) length(lo, hi float64) float64 {
	mm := lo + (hi-lo)*v.Float64()
	if v.inch {
		return math.Round(mm/25.4*4) / 4
	}
	return math.Round(mm/5) * 5
}

// reading returns a reading between lo and hi micrometres in the unit of readings,
// to the division of a dial: half a mil or a hundredth of a millimetre.
func (v inventor) reading(lo, hi float64) float64 { return v.division(lo + (hi-lo)*v.Float64()) }

// division rounds micrometres to the division of a dial, in the unit of readings.
func (v inventor) division(um float64) float64 {
	if v.inch {
		return math.Round(um/25.4*2) / 2
	}
	return math.Round(um/10) / 100
}

// signed returns a reading of a size between lo and hi micrometres, of either
// sign.
func (v inventor) signed(lo, hi float64) float64 {
	if v.IntN(2) == 0 {
		return -v.reading(lo, hi)
	}
	return v.reading(lo, hi)
}

// decimals are those asked of a result in the unit of readings.
func (u Units) readingDecimals() int {
	if u.Reading == align.UnitMil {
		return 1
	}
	return 3
}

// slopeUnit is the unit of slopes that goes with the readings.
func (u Units) slopeUnit() align.Unit {
	if u.Reading == align.UnitMil || u.Reading == align.UnitInch {
		return align.UnitMilPerInch
	}
	return align.UnitMillimetrePerMetre
}

// reading turns a figure in the unit of readings into SI units.
func (u Units) reading(v float64) float64 { return u.Reading.SI(v) }

// length turns a figure in the unit of lengths into SI units.
func (u Units) length(v float64) float64 { return u.Length.SI(v) }
