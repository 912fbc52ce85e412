package corpus

import (
	"context"
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// movesAfterComputations are about what comes after a plan: shims, rounding,
// flanges with bolts round them, and what the next readings tell.
func movesAfterComputations() map[string]Computation {
	return map[string]Computation{
		"moves.pack":          computation(pack),
		"moves.round-shims":   computation(roundShims),
		"moves.response":      computation(response),
		"moves.feet-response": computation(feetResponse),
		"moves.bolt-shims":    computation(boltShims),
		"moves.face-shim":     computation(faceShim),
	}
}

type packInput struct {
	Present []Length  `json:"present,omitempty"`
	Change  Length    `json:"change"`
	Least   *Length   `json:"least"`
	Most    *Length   `json:"most"`
	Stock   packStock `json:"stock"`
}

type packStock struct {
	Leaves    []Length `json:"leaves"`
	MaxLeaves int      `json:"maxLeaves"`
	Within    *Length  `json:"within"`
}

func pack(in packInput) (r Result, err error) {
	job := moves.PackJob{Present: lengthsOf(in.Present), Change: in.Change.Of(), Least: in.Least.Of(), Most: in.Most.Of()}
	p, ws, err := job.Plan(softfoot.ShimStock{Leaves: lengthsOf(in.Stock.Leaves), MaxLeaves: in.Stock.MaxLeaves, Within: in.Stock.Within.Of()})
	if err != nil {
		return r, err
	}
	r.Length("total", p.Total)
	r.Length("error", p.Error)
	r.Ratio("leaves", float64(len(p.Pack)))
	r.Ratio("handled", float64(p.Handled()))
	for name, list := range map[string][]unit.Length{"pack": p.Pack, "out": p.Out, "in": p.In} {
		for i, v := range list {
			r.Length(name+"."+strconv.Itoa(i), v)
		}
	}
	r.Warn(ws...)
	return r, nil
}

type roundInput struct {
	Train     trainInput          `json:"train"`
	Motions   []casingMotionInput `json:"motions"`
	Step      *Length             `json:"step"`
	Reachable [][][]Length        `json:"reachable,omitempty"`
	Skip      []int               `json:"skip,omitempty"`
	Twist     *Length             `json:"twist"`
}

func (in *roundInput) rounding() moves.Rounding {
	out := moves.Rounding{Step: in.Step.Of(), Skip: in.Skip}
	for _, feet := range in.Reachable {
		var lists [][]unit.Length
		for _, heights := range feet {
			lists = append(lists, lengthsOf(heights))
		}
		out.Reachable = append(out.Reachable, lists)
	}
	if in.Twist != nil {
		v := in.Twist.Of()
		out.Twist = &v
	}
	return out
}

func roundShims(in roundInput) (r Result, err error) {
	t, err := in.Train.train()
	if err != nil {
		return r, err
	}
	var motions []align.Motion
	for _, m := range in.Motions {
		motions = append(motions, align.Motion{
			About: m.About.of(), Shift: align.Displacement(m.Shift.of()),
			Turn: align.Turn{X: float64(m.Turn.X), Y: float64(m.Turn.Y), Z: float64(m.Turn.Z)},
		})
	}
	out, err := moves.RoundShims(context.Background(), t, motions, in.rounding())
	if err != nil {
		return r, err
	}
	r.Ratio("wanted", out.Wanted)
	r.Ratio("nearest", out.Nearest)
	r.Ratio("worst", out.Evaluation.WorstCoupling)
	r.Text("proved", strconv.FormatBool(out.Proved))
	for i, feet := range out.Feet {
		name := "machine." + strconv.Itoa(i)
		r.Length(name+".twist", out.Twist[i])
		for k, f := range feet {
			r.Length(name+".shim."+strconv.Itoa(k), f.Shim)
			r.Length(name+".left."+strconv.Itoa(k), f.Left)
		}
	}
	r.Warn(out.Warnings...)
	return r, nil
}

type responseInput struct {
	Before   axisInput  `json:"before"`
	Planned  axisInput  `json:"planned"`
	After    axisInput  `json:"after"`
	Target   *axisInput `json:"target"`
	Stations []Length   `json:"stations"`
	Sigma    Length     `json:"sigma"`
	Cover    *float64   `json:"cover"`
	Next     *Length    `json:"next"` // station of a foot
}

func (in *responseInput) response() (out moves.Response, err error) {
	for _, a := range [...]struct {
		name string
		from *axisInput
		to   *align.Axis
	}{{"before", &in.Before, &out.Before}, {"planned", &in.Planned, &out.Planned}, {"after", &in.After, &out.After}, {"target", in.Target, &out.Target}} {
		if a.from == nil {
			continue
		}
		if *a.to, err = a.from.axis(a.name); err != nil {
			return out, err
		}
	}
	out.Stations, out.Sigma = lengthsOf(in.Stations), in.Sigma.Of()
	if in.Cover != nil {
		out.Cover = *in.Cover
	}
	return out, nil
}

func response(in responseInput) (r Result, err error) {
	how, err := in.response()
	if err != nil {
		return r, err
	}
	out, err := how.Compare()
	if err != nil {
		return r, err
	}
	r.responsePlane("vertical", &out.Vertical)
	r.responsePlane("horizontal", &out.Horizontal)
	if in.Next != nil {
		r.Offset("next.far", align.Offset(out.NextFar(in.Next.Of())))
		r.Offset("next.near", align.Offset(out.NextNear(in.Next.Of())))
	}
	r.Warn(out.Warnings...)
	return r, nil
}

// mistakeWord returns a mistake as the corpus writes it.
func mistakeWord(m moves.Mistake) string { return strings.ReplaceAll(m.String(), " ", "-") }

func (r *Result) responsePlane(name string, p *moves.PlaneResponse) {
	var fits []string
	for _, m := range p.Fits {
		fits = append(fits, mistakeWord(m))
	}
	if len(fits) == 0 {
		fits = []string{"none"}
	}
	r.Text(name+".finding", p.Finding.String())
	r.Text(name+".fits", strings.Join(fits, " "))
	r.Text(name+".reached", strconv.FormatBool(p.Reached))
	for i, s := range p.Stations {
		at := name + "." + strconv.Itoa(i)
		r.Length(at+".predicted", s.Predicted)
		r.Length(at+".difference", s.Difference)
		if s.Usable {
			r.Ratio(at+".ratio", s.Ratio)
			r.Ratio(at+".uncertainty", s.Uncertainty)
		}
	}
}

type feetResponseInput struct {
	Feet []struct {
		At       flangePointInput `json:"at"`
		Planned  Length           `json:"planned"`
		Measured Length           `json:"measured"`
	} `json:"feet"`
	Sigma Length   `json:"sigma"`
	Cover *float64 `json:"cover"`
}

func feetResponse(in feetResponseInput) (r Result, err error) {
	how := moves.FeetResponse{Sigma: in.Sigma.Of()}
	if in.Cover != nil {
		how.Cover = *in.Cover
	}
	for i, f := range in.Feet {
		how.Feet = append(how.Feet, moves.FootReading{Name: strconv.Itoa(i), At: f.At.of(), Planned: f.Planned.Of(), Measured: f.Measured.Of()})
	}
	out, err := how.Compare()
	if err != nil {
		return r, err
	}
	r.Text("rigid", strconv.FormatBool(out.Rigid))
	r.flangeMotion(out.Motion)
	for i, f := range out.Feet {
		name := "foot." + strconv.Itoa(i)
		r.Length(name+".left", f.Left)
		r.Length(name+".uncertainty", f.Uncertainty)
		if f.Usable {
			r.Ratio(name+".ratio", f.Ratio)
		}
	}
	r.Warn(out.Warnings...)
	return r, nil
}

type boltShimsInput struct {
	Circle struct {
		Station  *Length `json:"station"`
		Diameter Length  `json:"diameter"`
		Bolts    int     `json:"bolts"`
		First    Angle   `json:"first"`
		Before   *bool   `json:"before"`
	} `json:"circle"`
	Slope struct {
		Vertical   Ratio `json:"vertical"`
		Horizontal Ratio `json:"horizontal"`
	} `json:"slope"`
	Step *Length `json:"step"`
}

func boltShims(in boltShimsInput) (r Result, err error) {
	c := in.Circle
	b := moves.BoltCircle{Station: c.Station.Of(), Diameter: c.Diameter.Of(), Bolts: c.Bolts,
		First: align.Clock(float64(c.First) * 180 / math.Pi), Before: isSet(c.Before)}
	s, err := b.Shims(align.Slope{Vertical: float64(in.Slope.Vertical), Horizontal: float64(in.Slope.Horizontal)})
	if err != nil {
		return r, err
	}
	r.Length("along", s.Along)
	for i, v := range s.Bolts {
		r.Length("shim."+strconv.Itoa(i), v.Shim)
		r.Length("from-zero."+strconv.Itoa(i), v.FromZero)
	}
	if in.Step == nil {
		return r, nil
	}
	out, err := b.Round(s, in.Step.Of())
	if err != nil {
		return r, err
	}
	r.Length("rounded.off", out.Off)
	r.Length("rounded.uneven", out.Uneven)
	r.Length("rounded.along", out.Along)
	r.Slope("rounded.slope", out.Slope)
	r.Warn(out.Warnings...)
	return r, nil
}

type faceShimInput struct {
	Reading  Length `json:"reading"`
	Diameter Length `json:"diameter"`
	Distance Length `json:"distance"`
}

func faceShim(in faceShimInput) (r Result, err error) {
	v, err := moves.FaceShim{Reading: in.Reading.Of(), Diameter: in.Diameter.Of(), Distance: in.Distance.Of()}.Shim()
	if err != nil {
		return r, err
	}
	r.Length("shim", v)
	return r, nil
}
