package runout

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// ShaftPoint is the centre of a vertical shaft at one elevation.
type ShaftPoint struct {
	Elevation unit.Length // up positive, from any datum
	At        Lean
}

// Deviation is how far the centre of the shaft stands from the chord, the
// straight line that joins its top and bottom points.
type Deviation struct {
	Elevation unit.Length
	Away      Lean
}

// FromChord returns how far each point stands from the straight line through
// the first (top) and the last (bottom); those two are zero. Points go from the
// top down. With s the share of the way from top to bottom,
//
//	away = point - (top + s (bottom - top))
//
// measured level, as the wires are (the line is all but vertical).
//
// Errors: align.ErrUndetermined for fewer than three points,
// align.ErrCoincident for two at one elevation, align.ErrOutOfRange for an
// elevation above the one before it, align.ErrNotFinite.
func FromChord(points []ShaftPoint) ([]Deviation, error) {
	if len(points) < 3 {
		return nil, plumbFault("points", strconv.Itoa(len(points))+" points", align.ErrUndetermined)
	}
	elevations := make([]unit.Length, len(points))
	for i, p := range points {
		if err := plumbCheckFinite("points["+strconv.Itoa(i)+"].north", p.At.North); err != nil {
			return nil, err
		}
		if err := plumbCheckFinite("points["+strconv.Itoa(i)+"].east", p.At.East); err != nil {
			return nil, err
		}
		elevations[i] = p.Elevation
	}
	if err := checkDescending("points", elevations); err != nil {
		return nil, err
	}
	top, bottom := points[0], points[len(points)-1]
	whole := bottom.At.Sub(top.At)
	out := make([]Deviation, len(points))
	for i, p := range points {
		out[i].Elevation = p.Elevation
		if i == 0 || i == len(points)-1 {
			continue
		}
		s := (top.Elevation - p.Elevation) / (top.Elevation - bottom.Elevation)
		d := p.At.Sub(top.At)
		out[i].Away = Lean{d.North - s*whole.North, d.East - s*whole.East}
		if !align.IsFinite(out[i].Away.Size()) {
			return nil, plumbFault("points["+strconv.Itoa(i)+"]", "", align.ErrOutOfRange)
		}
	}
	return out, nil
}

// Farthest returns the deviation of the largest size, the first of equals; the
// zero Deviation when there is none.
func Farthest(ds []Deviation) (worst Deviation) {
	for i, d := range ds {
		if i == 0 || d.Away.Size() > worst.Away.Size() {
			worst = d
		}
	}
	return worst
}

// checkDescending wants finite elevations that go down from one to the next.
func checkDescending(field string, elevations []unit.Length) error {
	for i, e := range elevations {
		at := field + "[" + strconv.Itoa(i) + "].elevation"
		if err := plumbCheckFinite(at, e); err != nil {
			return err
		}
		if i == 0 || e < elevations[i-1] {
			continue
		}
		fault := align.ErrOutOfRange
		if e == elevations[i-1] {
			fault = align.ErrCoincident
		}
		return plumbFault(at, align.UnitMillimetre.Format(float64(e), 3), fault)
	}
	if n := len(elevations); n > 1 && !align.IsFinite(elevations[0]-elevations[n-1]) {
		return plumbFault(field, "", align.ErrOutOfRange)
	}
	return nil
}
