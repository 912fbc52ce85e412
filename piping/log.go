package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// NamedPlace is a point of the machine whose movement is wanted: a foot, a
// nozzle.
type NamedPlace struct {
	Name string
	At   align.Place
}

// Names returns the words for the ways that are set, such as "shift up". A turn
// about x rolls the machine, one about y swings it, one about z pitches it.
func (w Ways) Names() []string {
	var out []string
	for i, is := range w.list() {
		if is {
			out = append(out, movementNames[i])
		}
	}
	return out
}

var movementNames = [6]string{"shift along x", "shift up", "shift to the right", "turn about x", "turn about y", "turn about z"}

func waysOf(l [6]bool) Ways { return Ways{l[0], l[1], l[2], l[3], l[4], l[5]} }

// StrainTest is the log of a strain test: indicators that stay in place while
// bolts are tightened or loosened one group after the other, and what they show
// after every step. Forward tests (bolting up) and reverse tests (letting go)
// are the same thing; the action of each step tells.
//
// Everything is a static movement: readings are taken directly, never halved.
type StrainTest struct {
	Indicators []Indicator
	// Start are the readings before the first step; nil when every dial was at
	// zero. Nothing depends on where a dial was zeroed.
	Start []Reading
	Steps []Step
	// Shaft is any point of the shaft of the tested machine. Its Y and Z are the
	// line of the shaft, its X is not used.
	Shaft align.Place
	// Coupling are the stations at which the movement of the shaft is reported,
	// one or more: a hub face, the flex planes. The first is the reference.
	Coupling []unit.Length
	Feet     []NamedPlace
	Nozzles  []NamedPlace
	// Held are ways to move that are known to be none, such as ShiftX where
	// a machine is dowelled. The zero value leaves all six free.
	Held Ways // about the point of the shaft at the first coupling station
	// Lever is the length at which a turn counts as much as a shift when it is
	// decided what readings determine; zero takes the distance of the farthest
	// indicator from the reference.
	Lever unit.Length
	// Resolution is the step in which the dials are read, zero takes 0.01 mm. It
	// sets the uncertainty of indicators that have none of their own: a movement
	// is a difference of two readings, each rounded, so its standard uncertainty
	// is the resolution over the square root of 6 (JCGM 100:2008, F.2.2.1, from
	// memory: a step of width a has a standard uncertainty of a over root 12).
	Resolution unit.Length
	// SoftFootCleared says that soft feet were found and put right with the pipe
	// free. Only then does a machine whose feet are freed show its pipe alone.
	SoftFootCleared bool
}

const (
	defaultResolution = 0.01 * align.Millimetre
	maxIndicators     = 64
)

// uncertainty returns the standard uncertainty of a movement of an indicator.
func (t *StrainTest) uncertainty(i int) float64 {
	if s := t.Indicators[i].Sigma; s != 0 {
		return float64(s)
	}
	r := t.Resolution
	if r == 0 {
		r = defaultResolution
	}
	return float64(r) / math.Sqrt(6)
}

// reference returns the point about which motions are described.
func (t *StrainTest) reference() align.Place { return t.onShaft(t.Coupling[0]) }

func (t *StrainTest) onShaft(x unit.Length) align.Place {
	return align.Place{X: x, Y: t.Shaft.Y, Z: t.Shaft.Z}
}

// lever returns the lever, given or found.
func (t *StrainTest) lever() float64 {
	if t.Lever > 0 {
		return float64(t.Lever)
	}
	far := leastLever
	for i := range t.Indicators {
		far = max(far, t.Indicators[i].At.From(t.reference()).Size())
	}
	return float64(far)
}

// Check returns what is wrong with the log, nil when it can be worked out.
//
// Errors: missing (no indicators, steps, coupling station, name or direction),
// given-twice, not-a-unit-vector, not-finite, out-of-range, negative,
// unknown-kind, mismatch (readings do not fit the indicators; a dial on the
// machine's own shaft that does not touch a shaft), too-many-indicators,
// all-ways-held, unknown-step, not-opposite, undone-twice.
func (t *StrainTest) Check() error {
	if err := t.checkIndicators(); err != nil {
		return err
	}
	if err := t.checkGeometry(); err != nil {
		return err
	}
	if t.Start != nil {
		if err := checkReadings("start", t.Start, len(t.Indicators)); err != nil {
			return err
		}
	}
	return t.checkSteps()
}

func (t *StrainTest) checkIndicators() error {
	switch n := len(t.Indicators); {
	case n == 0:
		return strainFault("indicators", "", align.ErrMissing)
	case n > maxIndicators:
		return strainFault("indicators", counted(n, "indicator"), ErrTooManyIndicators)
	}
	for i := range t.Indicators {
		if err := t.Indicators[i].check(); err != nil {
			return align.In(err, index("indicators", i))
		}
		for j := range i {
			if t.Indicators[j].Name == t.Indicators[i].Name {
				return strainFault(index("indicators", i)+".name", t.Indicators[i].Name, ErrGivenTwice)
			}
		}
	}
	return nil
}

func (t *StrainTest) checkGeometry() error {
	if err := checkPlace("shaft", t.Shaft); err != nil {
		return err
	}
	if len(t.Coupling) == 0 {
		return strainFault("coupling", "", align.ErrMissing)
	}
	for i, x := range t.Coupling {
		if !within(x, maxPlace) {
			return checkWithin(index("coupling", i), x, maxPlace)
		}
	}
	if err := checkPoints("feet", t.Feet); err != nil {
		return err
	}
	if err := checkPoints("nozzles", t.Nozzles); err != nil {
		return err
	}
	if t.Held == AllWays() {
		return strainFault("held", "", ErrAllHeld)
	}
	if t.Lever != 0 && !(t.Lever >= leastLever && t.Lever <= maxPlace) {
		return checkLever(t.Lever)
	}
	return checkUncertainty("resolution", t.Resolution)
}

func checkLever(v unit.Length) error {
	if err := checkWithin("lever", v, maxPlace); err != nil {
		return err
	}
	fault := align.ErrOutOfRange
	if v < 0 {
		fault = align.ErrNegative
	}
	return strainFault("lever", align.UnitMillimetre.Format(float64(v), 4), fault)
}

func checkPoints(field string, ps []NamedPlace) error {
	for i := range ps {
		if ps[i].Name == "" {
			return strainFault(index(field, i)+".name", "", align.ErrMissing)
		}
		if err := checkPlace("at", ps[i].At); err != nil {
			return align.In(err, index(field, i))
		}
		for j := range i {
			if ps[j].Name == ps[i].Name {
				return strainFault(index(field, i)+".name", ps[i].Name, ErrGivenTwice)
			}
		}
	}
	return nil
}

func (t *StrainTest) checkSteps() error {
	if len(t.Steps) == 0 {
		return strainFault("steps", "", align.ErrMissing)
	}
	for i := range t.Steps {
		if err := t.Steps[i].check(len(t.Indicators)); err != nil {
			return align.In(err, index("steps", i))
		}
		if t.stepNamed(t.Steps[i].Name, i) >= 0 {
			return strainFault(index("steps", i)+".name", t.Steps[i].Name, ErrGivenTwice)
		}
		if err := t.checkUndoes(i); err != nil {
			return err
		}
	}
	return nil
}

// checkUndoes looks at what step i says it undoes.
func (t *StrainTest) checkUndoes(i int) error {
	name := t.Steps[i].Undoes
	if name == "" {
		return nil
	}
	field := index("steps", i) + ".undoes"
	j := t.stepNamed(name, i)
	if j < 0 {
		return strainFault(field, name, ErrUnknownStep)
	}
	if !t.Steps[i].undoes(&t.Steps[j]) {
		return strainFault(field, name, ErrNotOpposite)
	}
	for k := range i {
		if t.Steps[k].Undoes == name {
			return strainFault(field, name, ErrUndoneTwice)
		}
	}
	return nil
}

// stepNamed returns the step of that name before step end, -1 when there is none.
func (t *StrainTest) stepNamed(name string, end int) int {
	for i := range end {
		if t.Steps[i].Name == name {
			return i
		}
	}
	return -1
}

func length(m align.Movement) unit.Length { return unit.Length(m) }

func counted(n int, what string) string {
	s := strconv.Itoa(n) + " " + what
	if n != 1 {
		s += "s"
	}
	return s
}
