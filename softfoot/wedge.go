package softfoot

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// WarnBentFoot says that the gaps under one foot do not lie in a plane: the
// foot or its pad is bent, dished or burred, and no shim of any taper fits.
const WarnBentFoot align.WarningCode = "bent-foot"

// GapPoint is the gap read with feelers at one point under a foot, all bolts
// loose. Along and Across are counted from the middle of the foot, positive
// toward the last machine (+x) and to the right of a person who looks that way
// (+z). Gap is zero or more.
type GapPoint struct {
	Along, Across unit.Length
	Gap           unit.Length
}

// CornerGaps are the gaps at the four corners of a foot. First is the end of
// the foot toward the first machine of the train (-x), Last the end toward the
// last one (+x); Left and Right are the hands of a person who looks from first
// to last.
type CornerGaps struct{ FirstLeft, FirstRight, LastLeft, LastRight unit.Length }

// FootFace is the underside of one foot with the gaps read under it.
type FootFace struct {
	Length unit.Length // along the train, above zero
	Width  unit.Length // across it, above zero
	Gaps   []GapPoint  // three or more, not in one line, on the face
}

// FourCorners returns the face of a foot of the given length (along the train)
// and width with gaps read at its corners, in the order of CornerGaps.
func FourCorners(length, width unit.Length, g CornerGaps) FootFace {
	l, w := length/2, width/2
	return FootFace{length, width, []GapPoint{
		{-l, -w, g.FirstLeft}, {-l, w, g.FirstRight}, {l, -w, g.LastLeft}, {l, w, g.LastRight},
	}}
}

// Wedge is the gap under one foot as a plane. Lengths are in metres.
type Wedge struct {
	Face FootFace

	Mean                    unit.Length // gap of the plane at the middle of the foot, its mean over the face
	SlopeAlong, SlopeAcross float64     // positive where the gap opens toward +x, toward +z
	Along, Across           unit.Length // gap at one edge less gap at the other: slope times length, slope times width
	Tight, Open             unit.Length // least and largest gap of the plane on the face
	RMS                     unit.Length // root mean square of what the plane leaves over
	Worst                   unit.Length // the reading farthest from the plane, less the plane; signed
	WorstAt                 int         // its index in Face.Gaps
	// Twist is first-left - first-right - last-left + last-right for a face read
	// at its four corners, which leave over exactly a quarter of it each, with
	// alternating sign. TwistKnown says that they were read.
	Twist      unit.Length
	TwistKnown bool
}

// Wedge fits the plane
//
//	gap(along, across) = mean + slopeAlong*along + slopeAcross*across
//
// to the readings by least squares (standard result). With four corners this
// is: mean of all four; mean of the last end less mean of the first over the
// length; mean of the right side less mean of the left over the width.
//
// Errors: not-finite; out-of-range for a face without size or a point off the
// face; negative gaps; too-few-points; undetermined when all lie in one line.
func (f FootFace) Wedge() (Wedge, error) {
	pts, err := f.points()
	if err != nil {
		return Wedge{}, err
	}
	k, err := leastSquares("gaps", pts)
	if err != nil {
		return Wedge{}, err
	}
	w := Wedge{
		Face: f, Mean: unit.Length(k.at), SlopeAlong: k.along, SlopeAcross: k.across,
		Along: unit.Length(k.along * float64(f.Length)), Across: unit.Length(k.across * float64(f.Width)),
	}
	half := w.half()
	w.Tight, w.Open = w.Mean-half, w.Mean+half
	var sum float64
	for i, p := range pts {
		r := k.off(p)
		sum += r * r
		if math.Abs(r) > math.Abs(float64(w.Worst)) {
			w.Worst, w.WorstAt = unit.Length(r), i
		}
	}
	w.RMS = unit.Length(math.Sqrt(sum / float64(len(pts))))
	w.Twist, w.TwistKnown = f.twist()
	return w, nil
}

// half is half the difference between the most open and the tightest corner.
func (w Wedge) half() unit.Length {
	return unit.Length(math.Abs(float64(w.Along))+math.Abs(float64(w.Across))) / 2
}

// Range returns the open corner less the tight corner, the size of the wedge.
func (w Wedge) Range() unit.Length { return 2 * w.half() }

// Slope returns the steepest slope of the wedge, never negative.
func (w Wedge) Slope() float64 { return math.Hypot(w.SlopeAlong, w.SlopeAcross) }

// Reach returns the distance from the open corner to the tight one measured in
// the direction of the steepest slope: range over slope. It is zero when there
// is no wedge.
func (w Wedge) Reach() unit.Length {
	if w.Slope() == 0 {
		return 0
	}
	return w.Range() / unit.Length(w.Slope())
}

// GapAt returns the gap of the plane at a point of the face.
func (w Wedge) GapAt(along, across unit.Length) unit.Length {
	return w.Mean + unit.Length(w.SlopeAlong)*along + unit.Length(w.SlopeAcross)*across
}

// Readings returns the least and the largest gap as read.
func (w Wedge) Readings() (least, largest unit.Length) {
	for i, g := range w.Face.Gaps {
		if i == 0 || g.Gap < least {
			least = g.Gap
		}
		if i == 0 || g.Gap > largest {
			largest = g.Gap
		}
	}
	return least, largest
}

// TightSide says in words where the foot is tight, "" when the gap is the same
// all over to a nanometre. A direction is left out when the gap changes along it by less than
// a fifth of what it changes along the other (own choice).
func (w Wedge) TightSide() string {
	along, across := math.Abs(float64(w.Along)), math.Abs(float64(w.Across))
	end, side := "toward the first machine", "left side"
	if w.Along < 0 {
		end = "toward the last machine"
	}
	if w.Across < 0 {
		side = "right side"
	}
	switch {
	case w.Range() < touch:
		return ""
	case across < along/5:
		return "end " + end
	case along < across/5:
		return side
	}
	return "corner " + end + ", " + side
}

// CheckFlat warns bent-foot when a reading lies farther from the plane than
// limit. A limit that is negative or not finite is an error.
func (w Wedge) CheckFlat(limit unit.Length) ([]align.Warning, error) {
	if err := lengthFromZero("limit", limit); err != nil {
		return nil, err
	}
	worst := math.Abs(float64(w.Worst))
	if worst <= float64(limit)*(1+1e-9)+1e-15 {
		return nil, nil
	}
	return []align.Warning{{
		Code: WarnBentFoot, Meaning: warningMeaning(WarnBentFoot), Severity: align.Suspect, Field: fmt.Sprintf("gaps[%d]", w.WorstAt),
		Value: worst, Limit: float64(limit), Unit: align.UnitMillimetre,
	}}, nil
}

// FlatShim is the verdict on a flat shim under a wedge. Gap less shim is what is left at a
// corner; where it is negative the shim is thicker than the gap and the foot is
// held up there, so that it stands on that edge.
type FlatShim struct {
	Shim    unit.Length
	AtTight unit.Length // gap of the plane less shim at the tight corner, negative where it presses
	AtOpen  unit.Length // gap of the plane less shim at the open corner
	// Lift is how far the shim raises the foot, if nothing holds it down, until
	// it stands on its tight corner: shim less tight gap, never negative.
	Lift unit.Length
	// LeftOpen is the largest gap left over the shim when the foot sits so, not
	// pulled down: AtOpen + Lift. Any flat shim leaves at least the wedge's range.
	LeftOpen unit.Length
}

// FlatShim returns what a flat shim of the given thickness, zero or more,
// leaves of the plane of gaps. No flat shim cures a wedge: the tight gap as
// shim leaves the whole range open at the other side; the open gap as shim
// puts the foot on its tight edge by the range; the mean gap presses by half
// the range at one side and leaves half open at the other.
func (w Wedge) FlatShim(thickness unit.Length) (FlatShim, error) {
	if err := lengthFromZero("shim", thickness); err != nil {
		return FlatShim{}, err
	}
	s := FlatShim{Shim: thickness, AtTight: w.Tight - thickness, AtOpen: w.Open - thickness}
	s.Lift = max(0, -s.AtTight)
	s.LeftOpen = s.AtOpen + s.Lift
	return s, nil
}

// FlatShims returns the verdicts of the three flat shims people choose: the
// tight gap, the mean gap and the open gap, none thinner than nothing.
func (w Wedge) FlatShims() (tight, mean, open FlatShim, err error) {
	for _, c := range []struct {
		at  unit.Length
		out *FlatShim
	}{{w.Tight, &tight}, {w.Mean, &mean}, {w.Open, &open}} {
		if *c.out, err = w.FlatShim(max(0, c.at)); err != nil {
			return tight, mean, open, err
		}
	}
	return tight, mean, open, nil
}

// Taper is a block to be machined so that it fills the wedge.
type Taper struct {
	SlopeAlong, SlopeAcross float64     // thickness gained per length toward +x and +z
	Slope                   float64     // the steepest
	Thin, Thick             unit.Length // at the tight and at the open corner of the foot
	Raise                   unit.Length // how far this foot, and so all feet, must be raised to let the block in
}

// Taper returns the block whose thin corner is at least thinnest (above zero):
// it has the slopes of the gap, and where the tight gap is less than thinnest
// the foot must be raised by the difference.
func (w Wedge) Taper(thinnest unit.Length) (Taper, error) {
	if err := positiveLength("thinnest", thinnest); err != nil {
		return Taper{}, err
	}
	t := Taper{SlopeAlong: w.SlopeAlong, SlopeAcross: w.SlopeAcross, Slope: w.Slope()}
	t.Raise = max(0, thinnest-w.Tight)
	t.Thin, t.Thick = w.Tight+t.Raise, w.Open+t.Raise
	return t, nil
}

func (f FootFace) points() ([]point, error) {
	if err := positiveLength("length", f.Length); err != nil {
		return nil, err
	}
	if err := positiveLength("width", f.Width); err != nil {
		return nil, err
	}
	pts := make([]point, len(f.Gaps))
	for i, g := range f.Gaps {
		if err := f.check(g); err != nil {
			return nil, align.In(err, fmt.Sprintf("gaps[%d]", i))
		}
		pts[i] = point{float64(g.Along), float64(g.Across), float64(g.Gap)}
	}
	return pts, nil
}

func (f FootFace) check(g GapPoint) error {
	if err := onFace("along", g.Along, f.Length); err != nil {
		return err
	}
	if err := onFace("across", g.Across, f.Width); err != nil {
		return err
	}
	return lengthFromZero("gap", g.Gap)
}

// onFace wants a finite place within half the size, to the last digits.
func onFace(field string, at, size unit.Length) error {
	if err := boundedLength(field, at); err != nil {
		return err
	}
	if math.Abs(float64(at)) > float64(size)/2*(1+1e-9) {
		return fault(field, align.UnitMillimetre.Format(float64(at), 3), align.ErrOutOfRange)
	}
	return nil
}

// twist is the alternating sum of a face read at its four corners.
func (f FootFace) twist() (twist unit.Length, known bool) {
	if len(f.Gaps) != 4 {
		return 0, false
	}
	var sum unit.Length
	var seen [2][2]bool
	for _, g := range f.Gaps {
		if offCorner(g.Along, f.Length) || offCorner(g.Across, f.Width) {
			return 0, false
		}
		last, right := g.Along > 0, g.Across > 0
		seen[b2i(last)][b2i(right)] = true
		if last == right {
			sum += g.Gap
		} else {
			sum -= g.Gap
		}
	}
	if seen != [2][2]bool{{true, true}, {true, true}} {
		return 0, false
	}
	return sum, true
}

func offCorner(at, size unit.Length) (missed bool) {
	return math.Abs(math.Abs(float64(at))-float64(size)/2) > 1e-9*float64(size)
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
