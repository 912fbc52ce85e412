package moves

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The warnings of a look after the move.
const (
	// WarnSmallMove says that the planned change is too small against the
	// uncertainty to tell anything from it.
	WarnSmallMove align.WarningCode = "move-too-small-to-tell"
	// WarnOffPlan says that the shafts did not come to where they were to come.
	WarnOffPlan align.WarningCode = "off-plan"
)

// Mistake is what a move that went wrong looks like afterwards.
type Mistake uint8

// The mistakes, and the move that went right.
const (
	MovedRight  Mistake = iota // the error is gone
	NotHalved                  // moved twice as far, as when readings are not halved
	HalvedTwice                // moved half as far
	WrongWay                   // moved the other way
	NotMoved                   // not moved at all, or only the touched shaft was turned, which reads runout
)

// Mistakes returns all of them, the right move first.
func Mistakes() []Mistake { return []Mistake{MovedRight, NotHalved, HalvedTwice, WrongWay, NotMoved} }

// Ratio returns new error over old: a move of k times what was planned leaves
// 1 - k of the error (derived).
func (m Mistake) Ratio() float64 {
	switch m {
	case NotHalved:
		return -1
	case HalvedTwice:
		return 0.5
	case WrongWay:
		return 2
	case NotMoved:
		return 1
	}
	return 0
}

// String returns the name in words.
func (m Mistake) String() string {
	switch m {
	case NotHalved:
		return "not halved"
	case HalvedTwice:
		return "halved twice"
	case WrongWay:
		return "wrong way"
	case NotMoved:
		return "not moved"
	}
	return "right"
}

// Meaning says what to look for.
func (m Mistake) Meaning() string {
	switch m {
	case NotHalved:
		return "moved twice as far as planned: a total indicator reading was probably not halved"
	case HalvedTwice:
		return "moved half as far as planned: an offset was probably halved once more"
	case WrongWay:
		return "moved the wrong way: a sign was probably turned"
	case NotMoved:
		return "nothing moved, or only the touched shaft was turned and the dial read its runout"
	}
	return "moved as planned"
}

// Response is a move, and where the shafts stood before and after it.
type Response struct {
	Before  align.Axis // misalignment as measured, far less near
	Planned align.Axis // change of it that the moves were to make
	After   align.Axis // as measured
	Target  align.Axis // where it is to end, such as a cold target; zero is none
	// Stations at which to look, two or more, such as the flex planes or the feet:
	// best where readings tell most.
	Stations []unit.Length
	// Sigma is the standard uncertainty of an offset as measured at a station,
	// above zero; before and after count as independent.
	Sigma unit.Length
	// Cover is how many standard uncertainties count as agreeing; zero is 2, and at
	// most 10.
	Cover float64
}

// StationResponse is one plane at one station.
type StationResponse struct {
	Station    unit.Length
	Predicted  unit.Length // where the moves were to bring it
	Measured   unit.Length
	Difference unit.Length // measured less predicted
	Old        unit.Length // error before the move: before less predicted, the planned change turned round
	// Ratio is the difference over the old error, with its standard uncertainty; only
	// where Usable says that the old error is large enough.
	Ratio       float64
	Uncertainty float64
	Usable      bool
	Fits        []Mistake // those whose ratio agrees
}

// Finding says how sure the reading of a plane is.
type Finding uint8

// The findings.
const (
	CannotTell Finding = iota // nothing large enough to tell from
	Named                     // one explanation fits every usable station
	Ambiguous                 // several fit
	NoneFits                  // no one explanation fits all: pivot, soft foot, pipe, or two mistakes
)

// String returns the finding in lower case.
func (f Finding) String() string {
	switch f {
	case Named:
		return "named"
	case Ambiguous:
		return "ambiguous"
	case NoneFits:
		return "none-fits"
	}
	return "cannot-tell"
}

// PlaneResponse is one plane.
type PlaneResponse struct {
	Stations []StationResponse
	Finding  Finding
	Fits     []Mistake // those that fit every usable station
	// Reached says that the difference is within what the uncertainty lets expect at
	// every station.
	Reached bool
}

// ResponseResult is what the measurement after a move tells.
type ResponseResult struct {
	Vertical   PlaneResponse
	Horizontal PlaneResponse
	Remaining  align.Axis // measured after the move less target
	Warnings   []align.Warning
}

// NextFar returns the next move at a foot of the far machine at a station: the
// remaining misalignment turned round.
func (r ResponseResult) NextFar(foot unit.Length) align.Move { return r.Remaining.MoveFar(foot) }

// NextNear returns the next move at a foot of the near machine at a station.
func (r ResponseResult) NextNear(foot unit.Length) align.Move { return r.Remaining.MoveNear(foot) }

// Response returns the response to motions at a coupling, as planned for the
// train, with After, Stations and Sigma left to fill in: Before is the coupling as
// found, and the planned change that of the motions.
//
// Errors: those of Evaluate; out-of-range when there is no such coupling.
func (t *Train) Response(coupling int, motions []align.Motion) (Response, error) {
	e, err := t.Evaluate(motions)
	if err != nil {
		return Response{}, err
	}
	if coupling < 0 || coupling >= len(t.Couplings) {
		return Response{}, fault("coupling", strconv.Itoa(coupling), align.ErrOutOfRange)
	}
	c := &t.Couplings[coupling]
	return Response{Before: c.Found, Planned: e.Couplings[coupling].Cold.Sub(c.Found)}, nil
}

// Compare holds what was measured after the move against what was to come of it.
//
//	predicted = before + planned
//	ratio = (after - predicted) / (before - predicted)
//	u(ratio) = sqrt(2) sigma / |planned|
//
// (derived: a move of k times the planned one leaves 1 - k of the error, whatever
// the error is.) The ratio names the mistake: 0 right, -1 moved twice as far, 1/2
// half as far, 2 the wrong way, 1 not moved. A mistake fits a station when its
// ratio is within Cover standard uncertainties; a plane is named only when one
// alone fits all its usable stations. A station is usable where the planned change
// is larger than Cover times the uncertainty of a change.
//
// A plane in which next to nothing was planned cannot tell. The target plays no
// part in the ratio, only in what remains.
//
// Errors: not-finite, out-of-range, missing, coincident-stations, negative.
// Warnings: move-too-small-to-tell, off-plan.
func (r Response) Compare() (out ResponseResult, err error) {
	if err := r.check(); err != nil {
		return out, err
	}
	for i, x := range r.Stations {
		before, planned, after := r.Before.At(x), r.Planned.At(x), r.After.At(x)
		for _, o := range [...]align.Offset{before, planned, after} {
			if err := bounded(index("stations", i), o.Resultant(), maxPlace); err != nil {
				return ResponseResult{}, err
			}
		}
		out.Vertical.Stations = append(out.Vertical.Stations, r.station(x, before.Vertical, planned.Vertical, after.Vertical))
		out.Horizontal.Stations = append(out.Horizontal.Stations, r.station(x, before.Horizontal, planned.Horizontal, after.Horizontal))
	}
	out.Remaining = r.After.Sub(r.Target)
	for _, p := range [...]struct {
		name string
		of   *PlaneResponse
	}{{"vertical", &out.Vertical}, {"horizontal", &out.Horizontal}} {
		out.Warnings = append(out.Warnings, r.judge(p.name, p.of)...)
	}
	return out, nil
}

func (r *Response) check() error {
	for _, a := range [...]struct {
		name string
		of   align.Axis
	}{{"before", r.Before}, {"planned", r.Planned}, {"after", r.After}, {"target", r.Target}} {
		if err := checkAxis(a.name, a.of); err != nil {
			return err
		}
	}
	const most = 64
	if len(r.Stations) < 2 {
		return fault("stations", strconv.Itoa(len(r.Stations)), align.ErrMissing)
	}
	if len(r.Stations) > most {
		return fault("stations", strconv.Itoa(len(r.Stations)), align.ErrOutOfRange)
	}
	for i, x := range r.Stations {
		if err := bounded(index("stations", i), x, maxPlace); err != nil {
			return err
		}
		for _, y := range r.Stations[:i] {
			if max(x-y, y-x) < 1e-6 {
				return fault(index("stations", i), mm(x), align.ErrCoincident)
			}
		}
	}
	if err := checkSigma(r.Sigma); err != nil {
		return err
	}
	return checkCover(r.Cover)
}

func checkSigma(sigma unit.Length) error {
	if err := fromZero("sigma", sigma); err != nil {
		return err
	}
	if sigma < 1e-9 {
		return fault("sigma", mm(sigma), align.ErrOutOfRange)
	}
	return nil
}

func checkCover(k float64) error {
	switch {
	case !align.IsFinite(k):
		return fault("cover", "", align.ErrNotFinite)
	case k < 0:
		return fault("cover", align.UnitOne.Format(k, 2), align.ErrNegative)
	case k > 10 || k != 0 && k < 0.1:
		return fault("cover", align.UnitOne.Format(k, 2), align.ErrOutOfRange)
	}
	return nil
}

// coverOf returns the cover, 2 when none is given.
func coverOf(k float64) float64 {
	if k == 0 {
		return 2
	}
	return k
}

func (r *Response) cover() float64 { return coverOf(r.Cover) }

func (r *Response) station(x, before, planned, after unit.Length) StationResponse {
	s := StationResponse{Station: x, Predicted: before + planned, Measured: after, Old: -planned}
	s.Difference = after - s.Predicted
	change := math.Sqrt2 * float64(r.Sigma) // uncertainty of a difference of two offsets
	size := math.Abs(float64(planned))
	if size <= r.cover()*change {
		return s
	}
	s.Usable = true
	s.Ratio = float64(s.Difference / s.Old)
	s.Uncertainty = change / size
	for _, m := range Mistakes() {
		if math.Abs(s.Ratio-m.Ratio()) <= r.cover()*s.Uncertainty {
			s.Fits = append(s.Fits, m)
		}
	}
	return s
}

// judge reads the stations of a plane together.
func (r *Response) judge(name string, p *PlaneResponse) (ws []align.Warning) {
	expect := unit.Length(r.cover() * math.Sqrt2 * float64(r.Sigma))
	var worst, largest unit.Length
	usable := 0
	fits := Mistakes()
	for i := range p.Stations {
		s := &p.Stations[i]
		worst = max(worst, s.Difference, -s.Difference)
		largest = max(largest, s.Old, -s.Old)
		if s.Usable {
			usable++
			fits = both(fits, s.Fits)
		}
	}
	if p.Reached = worst <= expect; !p.Reached {
		ws = append(ws, afterWarning(WarnOffPlan, align.Suspect, name, float64(worst), float64(expect), align.UnitMillimetre))
	}
	if usable == 0 {
		return append(ws, afterWarning(WarnSmallMove, align.Notice, name, float64(largest), float64(expect), align.UnitMillimetre))
	}
	p.Fits = fits
	switch len(fits) {
	case 0:
		p.Finding = NoneFits
	case 1:
		p.Finding = Named
	default:
		p.Finding = Ambiguous
	}
	return ws
}

// both returns what is in both lists, in the order of the first.
func both(a, b []Mistake) (out []Mistake) {
	for _, m := range a {
		for _, n := range b {
			if m == n {
				out = append(out, m)
			}
		}
	}
	return out
}
