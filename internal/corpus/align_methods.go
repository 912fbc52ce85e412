package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// alignMethods are the named methods and the general measurement. All give a
// position; see asked.position for the names of its values.
func alignMethods() map[string]Computation {
	return map[string]Computation{
		"align.reverse-indicator": computation(reverseIndicator),
		"align.rim-and-face":      computation(rimAndFace),
		"align.double-radial":     computation(doubleRadial),
		"align.face-face":         computation(faceFace),
		"align.shaft-to-spool":    computation(shaftToSpool),
		"align.two-point":         computation(twoPoint),
		"align.offset-and-gaps":   computation(offsetAndGaps),
		"align.measurement":       computation(measurement),
	}
}

type reverseIndicatorInput struct {
	OnFar  dialInput `json:"onFar"`
	OnNear dialInput `json:"onNear"`
	Sigma  *Length   `json:"sigma"`
	Ask    *asked    `json:"ask"`
}

// question returns what is asked, nothing more than the slope when absent.
func question(a *asked) *asked {
	if a == nil {
		return &asked{}
	}
	return a
}

func reverseIndicator(in reverseIndicatorInput) (Result, error) {
	far, err := in.OnFar.dial("input.onFar", align.Rim, true)
	if err != nil {
		return Result{}, err
	}
	near, err := in.OnNear.dial("input.onNear", align.Rim, true)
	if err != nil {
		return Result{}, err
	}
	return question(in.Ask).solved(align.ReverseIndicator{OnFar: far, OnNear: near, Sigma: in.Sigma.Of()}.Solve())
}

type rimAndFaceInput struct {
	Bracket *Kind     `json:"bracket"`
	Rim     dialInput `json:"rim"`
	Face    dialInput `json:"face"`
	Sigma   *Length   `json:"sigma"`
	Ask     *asked    `json:"ask"`
}

func rimAndFace(in rimAndFaceInput) (Result, error) {
	bracket, err := shaftOf("input.bracket", in.Bracket)
	if err != nil {
		return Result{}, err
	}
	rim, err := in.Rim.dial("input.rim", align.Rim, true)
	if err != nil {
		return Result{}, err
	}
	face, err := in.Face.dial("input.face", align.FaceToward, true)
	if err != nil {
		return Result{}, err
	}
	return question(in.Ask).solved(align.RimAndFace{Bracket: bracket, Rim: rim, Face: face, Sigma: in.Sigma.Of()}.Solve())
}

type doubleRadialInput struct {
	Bracket *Kind     `json:"bracket"`
	First   dialInput `json:"first"`
	Second  dialInput `json:"second"`
	Sigma   *Length   `json:"sigma"`
	Ask     *asked    `json:"ask"`
}

func doubleRadial(in doubleRadialInput) (Result, error) {
	bracket, err := shaftOf("input.bracket", in.Bracket)
	if err != nil {
		return Result{}, err
	}
	first, err := in.First.dial("input.first", align.Rim, true)
	if err != nil {
		return Result{}, err
	}
	second, err := in.Second.dial("input.second", align.Rim, true)
	if err != nil {
		return Result{}, err
	}
	m := align.DoubleRadial{Bracket: bracket, First: first, Second: second, Sigma: in.Sigma.Of()}
	return question(in.Ask).solved(m.Solve())
}

type faceFaceInput struct {
	Spool    *spoolInput `json:"spool"`
	NearFace dialInput   `json:"nearFace"`
	FarFace  dialInput   `json:"farFace"`
	Sigma    *Length     `json:"sigma"`
	Ask      *asked      `json:"ask"`
}

func faceFace(in faceFaceInput) (Result, error) {
	near, err := in.NearFace.dial("input.nearFace", align.FaceToward, true)
	if err != nil {
		return Result{}, err
	}
	far, err := in.FarFace.dial("input.farFace", align.FaceToward, true)
	if err != nil {
		return Result{}, err
	}
	m := align.FaceFace{Spool: in.Spool.spool(), NearFace: near, FarFace: far, Sigma: in.Sigma.Of()}
	return question(in.Ask).solved(m.Solve())
}

type shaftToSpoolInput struct {
	Spool  *spoolInput `json:"spool"`
	OnNear dialInput   `json:"onNear"`
	OnFar  dialInput   `json:"onFar"`
	Sigma  *Length     `json:"sigma"`
	Ask    *asked      `json:"ask"`
}

func shaftToSpool(in shaftToSpoolInput) (Result, error) {
	near, err := in.OnNear.dial("input.onNear", align.Rim, true)
	if err != nil {
		return Result{}, err
	}
	far, err := in.OnFar.dial("input.onFar", align.Rim, true)
	if err != nil {
		return Result{}, err
	}
	m := align.ShaftToSpool{Spool: in.Spool.spool(), OnNear: near, OnFar: far, Sigma: in.Sigma.Of()}
	return question(in.Ask).solved(m.Solve())
}

// knownOffsetInput is an offset at a station found by other means than a dial.
type knownOffsetInput struct {
	Station Length      `json:"station"`
	Offset  offsetInput `json:"offset"`
	Sigma   *Length     `json:"sigma"`
}

func (k knownOffsetInput) known() align.KnownOffset {
	return align.KnownOffset{Station: unit.Length(k.Station), Offset: k.Offset.offset(), Sigma: k.Sigma.Of()}
}

type twoPointInput struct {
	A     knownOffsetInput `json:"a"`
	B     knownOffsetInput `json:"b"`
	Sigma *Length          `json:"sigma"`
	Ask   *asked           `json:"ask"`
}

func twoPoint(in twoPointInput) (Result, error) {
	return question(in.Ask).solved(align.TwoPoint{A: in.A.known(), B: in.B.known(), Sigma: in.Sigma.Of()}.Solve())
}

type offsetAndGapsInput struct {
	Offset knownOffsetInput `json:"offset"`
	Gaps   faceGapsInput    `json:"gaps"`
	Sigma  *Length          `json:"sigma"`
	Ask    *asked           `json:"ask"`
}

func offsetAndGaps(in offsetAndGapsInput) (Result, error) {
	m := align.OffsetAndGaps{Offset: in.Offset.known(), Gaps: in.Gaps.gaps(), Sigma: in.Sigma.Of()}
	return question(in.Ask).solved(m.Solve())
}

type slopeInput struct {
	Vertical   Ratio `json:"vertical"`
	Horizontal Ratio `json:"horizontal"`
}

func (s slopeInput) slope() align.Slope {
	return align.Slope{Vertical: float64(s.Vertical), Horizontal: float64(s.Horizontal)}
}

type knownSlopeInput struct {
	Slope slopeInput `json:"slope"`
	Over  Length     `json:"over"`
	Sigma *Length    `json:"sigma"`
}

type measurementInput struct {
	Dials   []dialInput        `json:"dials,omitempty"`
	Offsets []knownOffsetInput `json:"offsets,omitempty"`
	Slopes  []knownSlopeInput  `json:"slopes,omitempty"`
	Spool   *spoolInput        `json:"spool"`
	Sigma   *Length            `json:"sigma"`
	Exact   bool               `json:"exact,omitempty"` // take the curvature of the rims into account
	Ask     *asked             `json:"ask"`
}

func measurement(in measurementInput) (Result, error) {
	m := align.Measurement{Spool: in.Spool.spool(), Sigma: in.Sigma.Of()}
	for i := range in.Dials {
		d, err := in.Dials[i].dial(indexed("input.dials", i), align.Rim, true)
		if err != nil {
			return Result{}, err
		}
		m.Dials = append(m.Dials, d)
	}
	for _, k := range in.Offsets {
		m.Offsets = append(m.Offsets, k.known())
	}
	for _, k := range in.Slopes {
		m.Slopes = append(m.Slopes, align.KnownSlope{
			Slope: k.Slope.slope(), Over: unit.Length(k.Over), Sigma: k.Sigma.Of(),
		})
	}
	if in.Exact {
		return question(in.Ask).solved(m.SolveExact())
	}
	return question(in.Ask).solved(m.Solve())
}
