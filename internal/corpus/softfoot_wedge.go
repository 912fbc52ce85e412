package corpus

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// softfootWedgeComputations are about the gap under one foot and what fills it.
func softfootWedgeComputations() map[string]Computation {
	return map[string]Computation{
		"softfoot.wedge":        computation(wedge),
		"softfoot.flat-shim":    computation(flatShim),
		"softfoot.shim-stack":   computation(shimStack),
		"softfoot.stepped-shim": computation(steppedShim),
		"softfoot.taper":        computation(taper),
	}
}

// lengthsOf returns a list of lengths, nil when none is given.
func lengthsOf(list []Length) []unit.Length {
	if list == nil {
		return nil
	}
	out := make([]unit.Length, len(list))
	for i, v := range list {
		out[i] = unit.Length(v)
	}
	return out
}

type cornerGaps struct {
	FirstLeft  Length `json:"firstLeft"`
	FirstRight Length `json:"firstRight"`
	LastLeft   Length `json:"lastLeft"`
	LastRight  Length `json:"lastRight"`
}

type gapPoint struct {
	Along  Length `json:"along"`
	Across Length `json:"across"`
	Gap    Length `json:"gap"`
}

// faceOfFoot is a foot with the gaps at its corners or at points of its face.
type faceOfFoot struct {
	Length  Length      `json:"length"`
	Width   Length      `json:"width"`
	Corners *cornerGaps `json:"corners"`
	Points  []gapPoint  `json:"points,omitempty"`
}

// face is the foot with its gaps, from corners or points.
func (in faceOfFoot) face() (softfoot.FootFace, error) {
	if c := in.Corners; c != nil {
		if in.Points != nil {
			return softfoot.FootFace{}, fault("input.foot.points", "corners are given too", align.ErrMismatch)
		}
		return softfoot.FourCorners(in.Length.Of(), in.Width.Of(), softfoot.CornerGaps{
			FirstLeft: c.FirstLeft.Of(), FirstRight: c.FirstRight.Of(),
			LastLeft: c.LastLeft.Of(), LastRight: c.LastRight.Of(),
		}), nil
	}
	f := softfoot.FootFace{Length: in.Length.Of(), Width: in.Width.Of()}
	for _, p := range in.Points {
		f.Gaps = append(f.Gaps, softfoot.GapPoint{Along: p.Along.Of(), Across: p.Across.Of(), Gap: p.Gap.Of()})
	}
	return f, nil
}

func (in faceOfFoot) wedge() (softfoot.Wedge, error) {
	f, err := in.face()
	if err != nil {
		return softfoot.Wedge{}, err
	}
	return f.Wedge()
}

type wedgeInput struct {
	Foot faceOfFoot `json:"foot"`
	Bent *Length    `json:"bent"` // how far a reading may be off the plane; not checked when absent
}

func wedge(in wedgeInput) (r Result, err error) {
	w, err := in.Foot.wedge()
	if err != nil {
		return r, err
	}
	r.Length("mean", w.Mean)
	r.Ratio("slope.along", w.SlopeAlong)
	r.Ratio("slope.across", w.SlopeAcross)
	r.Ratio("slope.size", w.Slope())
	r.Length("along", w.Along)
	r.Length("across", w.Across)
	r.Length("tight", w.Tight)
	r.Length("open", w.Open)
	r.Length("range", w.Range())
	r.Length("reach", w.Reach())
	r.Length("rest.rms", w.RMS)
	r.Length("rest.worst", w.Worst)
	r.Ratio("rest.worst-at", float64(w.WorstAt))
	if w.TwistKnown {
		r.Length("twist", w.Twist)
	}
	r.Text("tight-side", w.TightSide())
	if in.Bent == nil {
		return r, nil
	}
	warnings, err := w.CheckFlat(in.Bent.Of())
	r.Warn(warnings...)
	return r, err
}

type flatShimInput struct {
	Foot faceOfFoot `json:"foot"`
	Shim *Length    `json:"shim"` // the tight, mean and open gap as shims when absent
}

func flatShim(in flatShimInput) (r Result, err error) {
	w, err := in.Foot.wedge()
	if err != nil {
		return r, err
	}
	if in.Shim != nil {
		s, err := w.FlatShim(in.Shim.Of())
		r.flatShim("flat", s)
		return r, err
	}
	tight, mean, open, err := w.FlatShims()
	r.flatShim("tight", tight)
	r.flatShim("mean", mean)
	r.flatShim("open", open)
	return r, err
}

func (r *Result) flatShim(name string, s softfoot.FlatShim) {
	r.Length(name+".shim", s.Shim)
	r.Length(name+".at-tight", s.AtTight)
	r.Length(name+".at-open", s.AtOpen)
	r.Length(name+".lift", s.Lift)
	r.Length(name+".left-open", s.LeftOpen)
}

type shimStock struct {
	Leaves    []Length `json:"leaves"`
	MaxLeaves int      `json:"maxLeaves"`
	Within    Length   `json:"within"`
}

func (in shimStock) stock() softfoot.ShimStock {
	return softfoot.ShimStock{Leaves: lengthsOf(in.Leaves), MaxLeaves: in.MaxLeaves, Within: in.Within.Of()}
}

type shimStackInput struct {
	Stock  shimStock `json:"stock"`
	Wanted Length    `json:"wanted"`
}

func shimStack(in shimStackInput) (r Result, err error) {
	s, warnings, err := in.Stock.stock().Stack(in.Wanted.Of())
	if err != nil {
		return r, err
	}
	r.Ratio("count", float64(len(s.Leaves)))
	r.Length("total", s.Total)
	r.Length("error", s.Error)
	for i, t := range s.Leaves {
		r.Length(fmt.Sprintf("leaf.%d", i), t)
	}
	for i, t := range s.Pack() {
		r.Length(fmt.Sprintf("pack.%d", i), t)
	}
	r.Warn(warnings...)
	return r, nil
}

type steppedShimInput struct {
	Stock shimStock  `json:"stock"`
	Foot  faceOfFoot `json:"foot"`
}

func steppedShim(in steppedShimInput) (r Result, err error) {
	w, err := in.Foot.wedge()
	if err != nil {
		return r, err
	}
	s, warnings, err := in.Stock.stock().SteppedShim(w)
	if err != nil {
		return r, err
	}
	r.Ratio("count", float64(len(s.Leaves)))
	r.Length("full", s.Full)
	r.Length("total", s.Total)
	r.Length("residual", s.Residual)
	r.Length("read.least", s.LeastRead)
	r.Length("read.most", s.MostRead)
	for i, l := range s.Leaves {
		name := fmt.Sprintf("leaf.%d", i)
		r.Length(name, l.Thickness)
		r.Ratio(name+".end", l.End)
		r.Length(name+".end-at", l.EndAt)
	}
	r.Warn(warnings...)
	return r, nil
}

type taperInput struct {
	Foot     faceOfFoot `json:"foot"`
	Thinnest Length     `json:"thinnest"`
}

func taper(in taperInput) (r Result, err error) {
	w, err := in.Foot.wedge()
	if err != nil {
		return r, err
	}
	t, err := w.Taper(in.Thinnest.Of())
	if err != nil {
		return r, err
	}
	r.Ratio("slope.along", t.SlopeAlong)
	r.Ratio("slope.across", t.SlopeAcross)
	r.Ratio("slope.size", t.Slope)
	r.Length("thin", t.Thin)
	r.Length("thick", t.Thick)
	r.Length("raise", t.Raise)
	return r, nil
}
