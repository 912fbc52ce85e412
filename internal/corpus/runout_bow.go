package corpus

import (
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/runout"
	"gonum.org/v1/gonum/unit"
)

// runoutBowComputations are those of several stations of one shaft, and of a hub
// with the shaft beside it.
func runoutBowComputations() map[string]Computation {
	return map[string]Computation{
		"runout.shaft-bow":     computation(shaftBow),
		"runout.line-shaft":    computation(lineShaft),
		"runout.hub-diagnosis": computation(hubDiagnosis),
		"runout.hub-rule":      computation(hubRule),
	}
}

type shaftStationInput struct {
	Station Length `json:"station"`
	Sweep   Sweep  `json:"sweep"`
}

func shaftStations(in []shaftStationInput) []runout.ShaftStation {
	out := make([]runout.ShaftStation, len(in))
	for i, s := range in {
		out[i] = runout.ShaftStation{Station: unit.Length(s.Station), Sweep: align.Sweep(s.Sweep)}
	}
	return out
}

// told is the word for a result that stands, or not.
func told(cannot bool) string {
	if cannot {
		return "cannot-tell"
	}
	return "told"
}

type shaftBowInput struct {
	Stations []shaftStationInput `json:"stations"`
}

func shaftBow(in shaftBowInput) (r Result, err error) {
	b, err := runout.Shaft{Stations: shaftStations(in.Stations)}.Bow()
	if err != nil {
		return r, err
	}
	for i, c := range b.Centres {
		name := fmt.Sprintf("centre.%d", i)
		r.Offset(name, c)
		r.Length(name+".size", c.Resultant())
		r.Offset(fmt.Sprintf("straight.%d", i), b.Straight.At(b.At[i]))
	}
	r.Slope("straight.slope", b.Straight.Slope())
	r.Length("straight.rms", b.StraightRMS)
	r.Text("verdict", told(b.CannotTell))
	if !b.CannotTell {
		r.Length("bow", b.Largest)
		r.Length("bow.station", b.LargestAt)
	}
	if b.Bend == nil {
		return r, nil
	}
	r.Length("bend.station", b.Bend.Station)
	r.Ratio("bend.angle", b.Bend.Angle)
	r.Number("bend.toward", radians(b.Bend.Toward), align.AngleDim)
	r.Offset("bend.centre", b.Bend.Before.At(b.Bend.Station))
	r.Length("bend.rms", b.Bend.RMS)
	r.Ratio("bend.degrees-of-freedom", float64(b.Bend.DoF))
	return r, nil
}

type lineShaftInput struct {
	Length   Length              `json:"length"`
	Stations []shaftStationInput `json:"stations"`
}

func lineShaft(in lineShaftInput) (r Result, err error) {
	v, err := runout.Shaft{Stations: shaftStations(in.Stations)}.JudgeLineShaft(unit.Length(in.Length))
	if err != nil {
		return r, err
	}
	verdict := func(name string, v align.Verdict) {
		r.Length(name, unit.Length(v.Measured))
		r.Length(name+".limit", unit.Length(v.Limit.SI()))
		r.Length(name+".margin", unit.Length(v.Margin()))
	}
	verdict("whole", v.Whole)
	if v.AnyFoot != nil {
		verdict("any-foot", *v.AnyFoot)
	}
	r.Text("verdict", "within")
	if !v.Within() {
		r.Text("verdict", "over")
	}
	return r, nil
}

type hubDiagnosisInput struct {
	Hub   []shaftStationInput `json:"hub"`
	Shaft []shaftStationInput `json:"shaft"`
	Face  *hubFaceInput       `json:"face"`
	Again *Sweep              `json:"again"` // the first hub station once more
	Least *Length             `json:"least"` // the size that counts
}

type hubFaceInput struct {
	Diameter Length `json:"diameter"`
	Surface  Kind   `json:"surface"`
	Sweep    Sweep  `json:"sweep"`
}

func (in hubDiagnosisInput) hubCase() (c runout.HubCase, err error) {
	c = runout.HubCase{Hub: shaftStations(in.Hub), Shaft: shaftStations(in.Shaft), Least: in.Least.Of()}
	if in.Again != nil {
		c.Again = align.Sweep(*in.Again)
	}
	if in.Face == nil {
		return c, nil
	}
	s, err := kindFrom("input.face.surface", &in.Face.Surface, align.FaceToward,
		map[Kind]align.Surface{"face-toward": align.FaceToward, "face-away": align.FaceAway})
	c.Face = &runout.HubFace{Diameter: unit.Length(in.Face.Diameter), Surface: s, Sweep: align.Sweep(in.Face.Sweep)}
	return c, err
}

// account is an explanation as one word, causes joined by plus signs.
func account(e runout.Explanation) string {
	if len(e.Causes) == 0 {
		return "sound"
	}
	words := make([]string, len(e.Causes))
	for i, c := range e.Causes {
		words[i] = string(c)
	}
	return strings.Join(words, "+")
}

func hubDiagnosis(in hubDiagnosisInput) (r Result, err error) {
	c, err := in.hubCase()
	if err != nil {
		return r, err
	}
	d, err := c.Diagnose()
	if err != nil {
		return r, err
	}
	for i, o := range d.Difference {
		name := fmt.Sprintf("difference.%d", i)
		r.Offset(name, o)
		r.Length(name+".size", o.Resultant())
		r.Length(fmt.Sprintf("hub.%d.size", i), d.Hub[i].Resultant())
	}
	for i, o := range d.Shaft {
		r.Length(fmt.Sprintf("shaft.%d.size", i), o.Resultant())
	}
	for i, e := range d.Ranked {
		r.Text(fmt.Sprintf("account.%d", i), account(e))
		r.Length(fmt.Sprintf("account.%d.unexplained", i), e.Unexplained)
	}
	r.Ratio("best.count", float64(len(d.Best)))
	r.Text("verdict", told(d.CannotTell))
	if d.OvalKnown {
		r.Length("oval", d.Oval)
	}
	if d.RepeatRead {
		r.Length("repeat", d.Repeat)
	}
	return r, nil
}

type hubRuleInput struct {
	Rule  string  `json:"rule"`
	Hub   Length  `json:"hub"`   // total indicator reading
	Shaft *Length `json:"shaft"` // total indicator reading; absent: not read yet
}

func hubRule(in hubRuleInput) (r Result, err error) {
	rule, err := runout.NamedRule(in.Rule)
	if err != nil {
		return r, err
	}
	var shaft *align.TIR
	if in.Shaft != nil {
		v := align.TIR(in.Shaft.Of())
		shaft = &v
	}
	f, err := rule.Decide(align.TIR(in.Hub), shaft)
	if err != nil {
		return r, err
	}
	r.Text("finding", string(f))
	return r, nil
}
