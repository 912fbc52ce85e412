package corpus

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/runout"
	"gonum.org/v1/gonum/unit"
)

// runoutPlumbComputations are the plumb survey of a vertical unit and the
// least-squares circle.
func runoutPlumbComputations() map[string]Computation {
	return map[string]Computation{
		"runout.plumb-sheet":       computation(plumbSheet),
		"runout.plumb-survey":      computation(plumbSurvey),
		"runout.orbit":             computation(orbit),
		"runout.chord":             computation(chord),
		"runout.reclamation-limit": computation(reclamationLimit),
		"runout.shaft-free":        computation(shaftFree),
		"runout.circle":            computation(circleFit),
	}
}

// Wires are four plumb wire readings at one elevation: {"unit": "in",
// "north": 0.3445, "south": 0.1505, "east": 0.171, "west": 0.2985}.
type Wires runout.Wires

func (w *Wires) fromTree(path string, t any) error {
	var in struct {
		Unit  string  `json:"unit"`
		North float64 `json:"north"`
		South float64 `json:"south"`
		East  float64 `json:"east"`
		West  float64 `json:"west"`
	}
	if err := decodeTree(path, t, reflectOf(&in)); err != nil {
		return err
	}
	u, err := align.ParseUnitOf(in.Unit, align.LengthDim)
	if err != nil {
		return align.In(err, path)
	}
	of := func(v float64) unit.Length { return unit.Length(u.SI(v)) }
	*w = Wires{North: of(in.North), South: of(in.South), East: of(in.East), West: of(in.West)}
	return nil
}

func (r *Result) wires(name string, w runout.Wires) {
	r.Length(name+".north", w.North)
	r.Length(name+".south", w.South)
	r.Length(name+".east", w.East)
	r.Length(name+".west", w.West)
}

func (r *Result) lean(name string, l runout.Lean) {
	r.Length(name+".north", l.North)
	r.Length(name+".east", l.East)
	r.Length(name+".size", l.Size())
}

// sheet adds the columns of one worksheet; the leans are sizes with a direction
// beside them, as on the sheet.
func (r *Result) sheet(prefix string, s runout.PlumbSheet) {
	r.wires(prefix+"constant", s.Constants)
	r.wires(prefix+"corrected", s.Corrected)
	r.Length(prefix+"out-of-plumb.north-south", max(s.OutOfPlumb.North, -s.OutOfPlumb.North))
	r.Length(prefix+"out-of-plumb.east-west", max(s.OutOfPlumb.East, -s.OutOfPlumb.East))
	r.Text(prefix+"toward.north-south", s.OutOfPlumb.TowardNorthSouth())
	r.Text(prefix+"toward.east-west", s.OutOfPlumb.TowardEastWest())
	r.Length(prefix+"sum.north-south", s.SumNS)
	r.Length(prefix+"sum.east-west", s.SumEW)
	r.Length(prefix+"roundness", s.Roundness)
}

type plumbSheetInput struct {
	First Wires `json:"first"`
	Lower Wires `json:"lower"`
}

func plumbSheet(in plumbSheetInput) (r Result, err error) {
	s, err := runout.NewPlumbSheet(runout.Wires(in.First), runout.Wires(in.Lower))
	if err != nil {
		return r, err
	}
	r.sheet("", s)
	together := s.Constants
	together.North += unit.Length(in.First.North)
	together.South += unit.Length(in.First.South)
	together.East += unit.Length(in.First.East)
	together.West += unit.Length(in.First.West)
	r.wires("together", together)
	ws, err := s.CheckRoundness(runout.ReclamationRoundness())
	r.Warn(ws...)
	return r, err
}

type plumbPositionInput struct {
	Turned float64 `json:"turned"` // degrees clockwise from above
	Wires  []Wires `json:"wires"`
}

type plumbLimitsInput struct {
	Length Length `json:"length"` // thrust bearing to runout reading
	Runner Length `json:"runner"` // diameter
}

type plumbSurveyInput struct {
	Elevations []Length             `json:"elevations"`
	Positions  []plumbPositionInput `json:"positions"`
	Limits     *plumbLimitsInput    `json:"reclamation"`
}

func (in plumbSurveyInput) survey() (s runout.PlumbSurvey) {
	for _, e := range in.Elevations {
		s.Elevations = append(s.Elevations, unit.Length(e))
	}
	for _, p := range in.Positions {
		position := runout.PlumbPosition{Turned: p.Turned}
		for _, w := range p.Wires {
			position.Wires = append(position.Wires, runout.Wires(w))
		}
		s.Positions = append(s.Positions, position)
	}
	return s
}

func plumbSurvey(in plumbSurveyInput) (r Result, err error) {
	p, err := in.survey().Solve()
	if err != nil {
		return r, err
	}
	r.Warn(p.Warnings...)
	for i, s := range p.Stands {
		for k, sheet := range s.Sheets {
			r.sheet(fmt.Sprintf("position.%d.level.%d.", i, k+1), sheet)
		}
		for k, d := range s.Deviations {
			r.lean(fmt.Sprintf("position.%d.chord.%d", i, k), d.Away)
		}
	}
	for k, o := range p.Orbits {
		r.orbit(fmt.Sprintf("orbit.%d.", k+1), o)
	}
	for k, b := range p.Bows {
		r.lean(fmt.Sprintf("bow.%d.shaft", k+1), b.Shaft)
		r.lean(fmt.Sprintf("bow.%d.fixed", k+1), b.Fixed)
	}
	r.Ratio("slope", p.Slope())
	r.Length("farthest", p.Farthest().Away.Size())
	if in.Limits == nil {
		return r, nil
	}
	l, err := runout.ReclamationLimits(unit.Length(in.Limits.Length), unit.Length(in.Limits.Runner), p.Height)
	if err != nil {
		return r, err
	}
	return r, r.verdicts(p, l)
}

func (r *Result) verdicts(p runout.PlumbResult, l runout.PlumbLimits) error {
	vs, err := p.Judge(l)
	if err != nil {
		return err
	}
	for i, name := range []string{"orbit", "plumb", "straightness"}[:len(vs)] {
		r.Length("limit."+name, unit.Length(vs[i].Limit.SI()))
		r.Text("verdict."+name, map[bool]string{true: "within", false: "over"}[vs[i].Within])
	}
	return nil
}

func (r *Result) orbit(prefix string, o runout.Orbit) {
	r.lean(prefix+"centre", o.Centre)
	r.lean(prefix+"throw", o.Throw)
	r.Length(prefix+"diameter", o.Diameter)
	r.Length(prefix+"rms", o.RMS)
	r.Length(prefix+"worst", o.Worst)
	r.Ratio(prefix+"arc", o.Arc)
	for i, p := range o.Pairs {
		r.Length(fmt.Sprintf("%spair.%d.diameter", prefix, i), p.Diameter)
		r.lean(fmt.Sprintf("%spair.%d.middle", prefix, i), p.Middle)
	}
}

type orbitInput struct {
	Points []struct {
		Turned float64 `json:"turned"`
		North  Length  `json:"north"`
		East   Length  `json:"east"`
	} `json:"points"`
}

func orbit(in orbitInput) (r Result, err error) {
	points := make([]runout.OrbitPoint, len(in.Points))
	for i, p := range in.Points {
		points[i] = runout.OrbitPoint{Turned: p.Turned, At: runout.Lean{North: unit.Length(p.North), East: unit.Length(p.East)}}
	}
	o, err := runout.FitOrbit(points)
	if err != nil {
		return r, err
	}
	r.orbit("", o)
	r.Warn(o.Warnings...)
	return r, nil
}

type chordInput struct {
	Points []struct {
		Elevation Length `json:"elevation"`
		North     Length `json:"north"`
		East      Length `json:"east"`
	} `json:"points"`
}

func chord(in chordInput) (r Result, err error) {
	points := make([]runout.ShaftPoint, len(in.Points))
	for i, p := range in.Points {
		points[i] = runout.ShaftPoint{Elevation: unit.Length(p.Elevation), At: runout.Lean{North: unit.Length(p.North), East: unit.Length(p.East)}}
	}
	ds, err := runout.FromChord(points)
	if err != nil {
		return r, err
	}
	for i, d := range ds {
		r.lean(fmt.Sprintf("away.%d", i), d.Away)
	}
	worst := runout.Farthest(ds)
	r.Length("farthest", worst.Away.Size())
	r.Length("farthest.elevation", worst.Elevation)
	v, err := runout.ReclamationStraightness().Judge(float64(worst.Away.Size()))
	r.Text("verdict", map[bool]string{true: "within", false: "over"}[v.Within])
	return r, err
}

type reclamationLimitInput struct {
	Item      string  `json:"item"` // orbit, plumb, straightness, roundness or a share of the table
	Reference *Length `json:"reference"`
	Runner    *Length `json:"runner"` // diameter; orbit only
}

func reclamationLimit(in reclamationLimitInput) (r Result, err error) {
	l, err := in.limit()
	if err != nil {
		return r, err
	}
	r.Length("limit", unit.Length(l.SI()))
	r.Text("known", string(l.Known))
	return r, nil
}

func (in reclamationLimitInput) limit() (align.Limit, error) {
	switch in.Item {
	case "straightness":
		return runout.ReclamationStraightness(), nil
	case "roundness":
		return runout.ReclamationRoundness(), nil
	}
	if in.Reference == nil {
		return align.Limit{}, fault("input.reference", "", align.ErrMissing)
	}
	switch in.Item {
	case "plumb":
		return runout.ReclamationPlumb(in.Reference.Of())
	case "orbit":
		if in.Runner == nil {
			return align.Limit{}, fault("input.runner", "", align.ErrMissing)
		}
		return runout.ReclamationOrbit(in.Reference.Of(), in.Runner.Of())
	}
	return runout.ReclamationShare(runout.ClearanceItem(in.Item), in.Reference.Of())
}

type shaftFreeInput struct {
	Push Length `json:"push"`
}

func shaftFree(in shaftFreeInput) (r Result, err error) {
	ws, err := runout.CheckShaftFree(align.Movement(in.Push))
	if err != nil {
		return r, err
	}
	r.Warn(ws...)
	r.Text("free", map[bool]string{true: "yes", false: "no"}[len(ws) == 0])
	return r, nil
}

type circleInput struct {
	Unit   UnitName    `json:"unit"`
	Points [][]float64 `json:"points"` // pairs x, y
	Method string      `json:"method"` // geometric or algebraic
}

// circleFit gives the sum of squares in the square of the input's unit, because
// that is how it is printed.
func circleFit(in circleInput) (r Result, err error) {
	u, err := align.ParseUnitOf(string(in.Unit), align.LengthDim)
	if err != nil {
		return r, align.In(err, "input.unit")
	}
	points := make([]runout.CirclePoint, len(in.Points))
	for i, p := range in.Points {
		if len(p) != 2 {
			return r, fault(indexed("input.points", i), fmt.Sprintf("%d numbers", len(p)), ErrWrongType)
		}
		points[i] = runout.CirclePoint{X: unit.Length(u.SI(p[0])), Y: unit.Length(u.SI(p[1]))}
	}
	fit := map[string]func([]runout.CirclePoint) (runout.CircleFit, error){
		"geometric": runout.GeometricCircle, "algebraic": runout.AlgebraicCircle,
	}[in.Method]
	if fit == nil {
		return r, fault("input.method", in.Method, align.ErrUnknownKind)
	}
	f, err := fit(points)
	if err != nil {
		return r, err
	}
	r.circle(f, u)
	return r, nil
}

func (r *Result) circle(f runout.CircleFit, u align.Unit) {
	r.Length("centre.x", f.X)
	r.Length("centre.y", f.Y)
	r.Length("radius", f.Radius)
	r.Length("mean-distance", f.Mean)
	r.Length("rms", f.RMS)
	r.Length("scatter", f.Scatter)
	r.Length("worst", f.Worst)
	r.Ratio("sum-squares-in-unit", f.SumSquares/(u.SI(1)*u.SI(1)))
	for i, v := range f.Residuals {
		r.Length(fmt.Sprintf("residual.%d", i), v)
	}
}
