package drawing

import (
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// trainFigures print the figures of a train: offsets and limits to a micrometre or a
// tenth of a mil, moves to a hundredth of a millimetre or a tenth of a mil.
type trainFigures struct{ offset, move, station printer }

func trainFiguresIn(u align.Unit) trainFigures {
	if u == align.UnitMil {
		return trainFigures{printer{u, 1}, printer{u, 1}, printer{align.UnitInch, 3}}
	}
	u = align.UnitMillimetre
	return trainFigures{printer{u, 3}, printer{u, 2}, printer{u, 1}}
}

// where prints a station without needless zeros.
func (f trainFigures) where(v unit.Length) string {
	s := strings.TrimRight(strings.TrimRight(f.station.bare(v), "0"), ".")
	return s + " " + string(f.station.unit)
}

// The words of a foot move in either plane.
type moveWords struct{ plus, minus, none string }

// say returns the word for a move and its size; no size where nothing is to be done
// as printed.
func (w moveWords) say(p printer, v unit.Length) (word, size string) {
	size = p.size(v)
	switch {
	case size == p.with(0):
		return w.none, ""
	case v > 0:
		return w.plus, size
	}
	return w.minus, size
}

// stateWords returns the name of a state, or the words of its kind; of two that run
// and have no name the second one gets a number.
func (t *Train) stateWords(i int) string {
	return named(t.States[i].Name, t.States[i].Kind.String()+t.again(i))
}

// stateShort returns the name of a state for the rows of figures.
func (t *Train) stateShort(i int) string {
	s := &t.States[i]
	const room = 18.0
	if name := Shortened(s.Name, labelSize, room); name != "" && name != ellipsis {
		return name
	}
	switch s.Kind {
	case AsFound:
		return "found"
	case AfterMove:
		return "after"
	}
	return "running" + t.again(i)
}

// again is the number of a state that has no name where there is another like it.
func (t *Train) again(i int) string {
	for k := range t.States[:i] {
		if t.States[k].Kind == t.States[i].Kind && named(t.States[k].Name, "") == "" {
			return " 2"
		}
	}
	return ""
}

func (m *Machine) called(i int) string  { return named(m.Name, "machine "+strconv.Itoa(i+1)) }
func (c *Coupling) called(i int) string { return named(c.Name, "coupling "+strconv.Itoa(i+1)) }
func (f *Flange) called(i int) string   { return named(f.Name, "flange "+strconv.Itoa(i+1)) }

// single reports whether the coupling has one flex plane only.
func (c *Coupling) single() bool { return c.NearFlex == c.FarFlex }

// limits returns the half widths at the flex planes; a single plane has the smaller
// one of those given.
func (c *Coupling) limits() (near, far unit.Length) {
	near, far = c.NearLimit, c.FarLimit
	if !c.single() || near == far {
		return near, far
	}
	if near == 0 || far == 0 {
		return max(near, far), max(near, far)
	}
	return min(near, far), min(near, far)
}

// misalignment is far less near at a coupling in a state.
func (s *State) misalignment(coupling int) align.Axis {
	return s.Shafts[coupling+1].Sub(s.Shafts[coupling])
}

// trainPlane picks one plane of what has two.
type trainPlane bool

const (
	sidePlane trainPlane = false
	topPlane  trainPlane = true
)

func (p trainPlane) line(a align.Axis) align.Line {
	if p == topPlane {
		return a.Horizontal
	}
	return a.Vertical
}

func (p trainPlane) band(u Uncertainty) Band {
	if p == topPlane {
		return u.Horizontal
	}
	return u.Vertical
}

func (p trainPlane) move(m *align.Move) unit.Length {
	if p == topPlane {
		return m.Horizontal
	}
	return m.Vertical
}

func (p trainPlane) moveWords() moveWords {
	if p == topPlane {
		return moveWords{"to 3 o'clock", "to 9 o'clock", "leave"}
	}
	return moveWords{"raise", "lower", "leave"}
}

// scaleWords is a scale as the drawing states it: "200:1".
func scaleWords(r ratio) string { return strings.ReplaceAll(r.String(), " ", "") }

// stationSteps returns the step between figures of the ruler, in its unit, and how
// many decimals they need.
func stationSteps(along ratio, u align.Unit, apart float64) (step float64, decimals int) {
	step = roundUp(apart / along.mm(unit.Length(u.SI(1))))
	return step, max(0, -int(math.Floor(math.Log10(step)+hair)))
}
