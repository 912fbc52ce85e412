package main

import (
	"fmt"
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/moves"
	"collinear.example/piping"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

// job is the record in SI units and in the frame of package align.
type job struct {
	title, plant, note string
	length, reading    align.Unit
	train              moves.Train
	criteria           []moves.Criterion
	compare            bool
	tradeOff           int // points; zero: none
	dials              []dial
	sources            []string // of the limits
	shims              map[[2]int]moves.Shims
}

// dial is one that will check the result.
type dial struct {
	align.Dial
	coupling int
	against  bool
}

type jobReader struct {
	record.Reader
	job
	machines  []string
	couplings []string
}

// criteria are the words for what a plan is to reach.
var criteria = map[string]moves.Criterion{
	"best alignment": moves.BestAlignment, "best flange fit": moves.BestFlangeFit, "best of both": moves.BestTogether,
	"smallest largest move": moves.SmallestLargestMove, "least total move": moves.LeastTotalMove,
	"least shim change": moves.LeastShimChange, "fewest feet": moves.FewestFeet,
}

// parseJob reads a job strictly.
func parseJob(data []byte) (*job, error) {
	tree, err := record.Parse(data)
	if err != nil {
		return nil, err
	}
	r := &jobReader{}
	r.shims = map[[2]int]moves.Shims{}
	o := r.Object("", tree, "title", "plant", "note", "units", "machines", "couplings", "states", "criteria", "compare", "tradeOff", "dials")
	r.title, r.plant, r.note = o.Text("title"), o.TextOr("plant", ""), o.TextOr("note", "")
	u := o.Object("units", "length", "reading")
	r.length, r.reading = u.Unit("length", align.LengthDim), u.Unit("reading", align.LengthDim)
	r.each(o, "machines", r.machine)
	r.each(o, "couplings", r.coupling)
	if o.Has("states") {
		r.each(o, "states", r.state)
	}
	for i, v := range o.List("criteria", 1) {
		word, isText := v.(string)
		c, known := criteria[word]
		if r.Err() == nil && (!isText || !known) {
			r.Fail(fmt.Sprintf("criteria[%d]", i), record.Show(v), "want one of: best alignment, best flange fit, best of both, smallest largest move, least total move, least shim change, fewest feet")
		}
		r.criteria = append(r.criteria, c)
	}
	r.compare = o.Has("compare") && o.Word("compare", "yes", "no") == "yes"
	if o.Has("tradeOff") {
		n := o.Number("tradeOff")
		if r.Err() == nil && (n != math.Trunc(n) || n < 2 || n > 20) {
			r.Fail("tradeOff", record.Show(o.Field("tradeOff")), "want a whole number of points, 2 to 20")
		}
		r.tradeOff = int(n)
	}
	if o.Has("dials") {
		r.each(o, "dials", r.dial)
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return &r.job, nil
}

// each reads the entries of a list of objects.
func (r *jobReader) each(o record.Object, name string, read func(path string, v any)) {
	for i, v := range o.List(name, 1) {
		if r.Err() != nil {
			return
		}
		read(fmt.Sprintf("%s[%d]", o.Path(name), i), v)
	}
}

func (r *jobReader) machine(path string, v any) {
	o := r.Object(path, v, "name", "free", "weight", "feet", "flanges")
	m := moves.Machine{Name: o.Text("name")}
	switch o.Word("free", "two planes", "all ways", "nothing") {
	case "two planes":
		m.Free = moves.TwoPlanes()
	case "all ways":
		m.Free = piping.AllWays()
	}
	if o.Has("weight") {
		m.Weight = o.Number("weight")
	}
	number := len(r.train.Machines)
	for i, v := range o.List("feet", 1) {
		p := fmt.Sprintf("%s[%d]", o.Path("feet"), i)
		f := r.Object(p, v, "name", "station", "height", "lateral", "shims", "left", "right")
		one := moves.Foot{Name: f.Text("name"), At: f.Place(r.length)}
		if f.Has("shims") {
			s := f.Object("shims", "present", "least", "most")
			pack := moves.Shims{Present: s.Length("present", r.reading), Least: s.Length("least", r.reading), Most: s.Length("most", r.reading)}
			r.shims[[2]int{number, i}] = pack
			one.Range = pack.Range()
		}
		one.Range.Left, one.Range.Right = r.room(f, "left"), r.room(f, "right")
		m.Feet = append(m.Feet, one)
		m.About = m.About.Add(one.At.From(align.Place{}))
	}
	if n := len(m.Feet); n > 0 {
		k := unit.Length(n)
		m.About = align.Place{X: m.About.X / k, Y: m.About.Y / k, Z: m.About.Z / k}
	}
	if o.Has("flanges") {
		r.each(o, "flanges", func(path string, v any) {
			if g, ok := r.flange(path, v); ok {
				m.Goals = append(m.Goals, g)
			}
		})
	}
	r.train.Machines = append(r.train.Machines, m)
	r.machines = append(r.machines, m.Name)
}

// room reads how far a foot may go to a side; absent is no limit.
func (r *jobReader) room(f record.Object, name string) *unit.Length {
	if !f.Has(name) {
		return nil
	}
	v := f.Length(name, r.reading)
	return &v
}

// flange reads how a pipe flange stands to the machine's, and how far off it may
// be left.
func (r *jobReader) flange(path string, v any) (g piping.NozzleGoal, ok bool) {
	o := r.Object(path, v, "name", "station", "height", "lateral", "leads", "twelve", "outside", "gap", "gasket", "opening", "widest",
		"offsetUp", "offsetRight", "keep", "tolerance")
	m := piping.Misfit{Pair: piping.FlangePair{Name: o.Text("name"), Centre: o.Place(r.length), Axis: o.Direction("leads"), Up: o.Direction("twelve")}}
	outside := o.Length("outside", r.length)
	gasket := o.Length("gasket", r.reading)
	m.Mean, m.Gasket = o.Length("gap", r.reading), &gasket
	opening := o.Length("opening", r.reading)
	if r.Err() == nil && outside < align.Millimetre {
		r.Fail(o.Path("outside"), record.Show(o.Field("outside"))+" "+string(r.length), "must be 1 mm or more")
	}
	widest, _ := o.Need("widest")
	up, right := r.Hour(o.Path("widest"), widest).Unit()
	m.Tilt = piping.Tilt{Up: up * float64(opening/outside), Right: right * float64(opening/outside)}
	m.Offset = &piping.Across{Up: o.Length("offsetUp", r.reading), Right: o.Length("offsetRight", r.reading)}
	t := o.Object("tolerance", "gap", "opening", "offset")
	tolerance := piping.GoalTolerance{
		Gap: t.Length("gap", r.reading), Offset: t.Length("offset", r.reading), Tilt: float64(t.Length("opening", r.reading) / outside),
		Rotation: 1, Hard: o.Word("keep", "yes", "no") == "yes",
	}
	if r.Err() != nil {
		return g, false
	}
	g, err := m.Goal(tolerance)
	if err != nil {
		r.Set(record.FromLibrary(align.In(err, path)))
	}
	return g, err == nil
}

// axis reads offsets at two stations as a line in each plane.
func (r *jobReader) axis(o record.Object, name string) (a align.Axis) {
	list := o.List(name, 2)
	if r.Err() == nil && len(list) != 2 {
		r.Fail(o.Path(name), record.Show(list), "want the offsets at two stations")
	}
	var x [2]unit.Length
	var at [2]align.Offset
	for i, v := range list {
		if r.Err() != nil {
			return a
		}
		p := r.Object(fmt.Sprintf("%s[%d]", o.Path(name), i), v, "station", "vertical", "horizontal")
		x[i], at[i] = p.Length("station", r.length), align.Offset{Vertical: p.Length("vertical", r.reading), Horizontal: p.Length("horizontal", r.reading)}
	}
	if r.Err() != nil {
		return a
	}
	a, err := align.AxisThrough(x[0], at[0], x[1], at[1])
	if err != nil {
		r.Set(record.FromLibrary(align.In(err, o.Path(name))))
	}
	return a
}

// named finds a machine or a coupling by its name.
func (r *jobReader) named(o record.Object, field string, names []string) int {
	name := o.Text(field)
	i := slices.Index(names, name)
	if r.Err() == nil && i < 0 {
		r.Fail(o.Path(field), record.Show(name), "is not in the job")
	}
	return max(i, 0)
}

func (r *jobReader) coupling(path string, v any) {
	o := r.Object(path, v, "name", "near", "far", "nearHeight", "nearLateral", "farHeight", "farLateral", "flexPlanes", "limits", "found", "gap")
	c := moves.Coupling{Name: o.Text("name"), Near: moves.ShaftOf{Machine: r.named(o, "near", r.machines)}, Far: moves.ShaftOf{Machine: r.named(o, "far", r.machines)}}
	for _, f := range []struct {
		name string
		at   *unit.Length
	}{{"nearHeight", &c.Near.Height}, {"nearLateral", &c.Near.Lateral}, {"farHeight", &c.Far.Height}, {"farLateral", &c.Far.Lateral}} {
		if o.Has(f.name) {
			*f.at = o.Length(f.name, r.length)
		}
	}
	planes := o.List("flexPlanes", 2)
	if r.Err() == nil && len(planes) != 2 {
		r.Fail(o.Path("flexPlanes"), record.Show(planes), "want two stations")
	}
	if r.Err() != nil {
		return
	}
	at := func(i int) unit.Length {
		return unit.Length(r.length.SI(r.Number(fmt.Sprintf("%s[%d]", o.Path("flexPlanes"), i), planes[i])))
	}
	near, far := at(0), at(1)
	c.Offsets = r.limits(o, near, far)
	c.Found = r.axis(o, "found")
	if o.Has("gap") {
		g := o.Object("gap", "error", "tolerance")
		c.Gap = &moves.AxialGap{Error: g.Length("error", r.reading), Tolerance: g.Length("tolerance", r.reading)}
	}
	r.train.Couplings = append(r.train.Couplings, c)
	r.couplings = append(r.couplings, c.Name)
}

// limits looks up the limit of the deviation at the flex planes.
func (r *jobReader) limits(o record.Object, near, far unit.Length) []moves.OffsetLimit {
	id := o.Text("limits")
	if r.Err() != nil {
		return nil
	}
	set, err := tolerance.FindSet(id)
	if err != nil {
		r.Fail(o.Path("limits"), record.Show(id), "is not a built-in set of limits")
		return nil
	}
	for _, t := range set.Tables {
		if t.Quantity != tolerance.FlexDeviation {
			continue
		}
		l, _, err := t.Limit(tolerance.Geometry{NearFlex: near, FarFlex: far})
		if err != nil {
			r.Set(record.FromLibrary(align.In(err, o.Path("limits"))))
			return nil
		}
		if !slices.Contains(r.sources, l.String()) {
			r.sources = append(r.sources, l.String())
		}
		return moves.FlexPlanes(near, far, l.SI(), t.Planes == tolerance.Resultant, l.Source)
	}
	r.Fail(o.Path("limits"), record.Show(id), "does not limit the deviation at the flex planes")
	return nil
}

func (r *jobReader) state(path string, v any) {
	o := r.Object(path, v, "name", "widen", "movements")
	s := moves.State{Name: o.Text("name"), Relative: make([]align.Axis, len(r.couplings))}
	if o.Has("widen") {
		s.Widen = o.Number("widen")
	}
	r.each(o, "movements", func(path string, v any) {
		m := r.Object(path, v, "coupling", "at")
		i := r.named(m, "coupling", r.couplings)
		a := r.axis(m, "at")
		if r.Err() == nil {
			s.Relative[i] = a
		}
	})
	r.train.States = append(r.train.States, s)
}

func (r *jobReader) dial(path string, v any) {
	o := r.Object(path, v, "name", "coupling", "bracket", "station", "recorded", "sag")
	d := dial{coupling: r.named(o, "coupling", r.couplings)}
	d.Name, d.Station = o.Text("name"), o.Length("station", r.length)
	if o.Word("bracket", "near", "far") == "far" {
		d.Bracket = align.Far
	}
	d.against = o.Word("recorded", "near-to-far", "far-to-near") == "far-to-near"
	d.Sag = align.RollOver(o.Length("sag", r.reading))
	r.dials = append(r.dials, d)
}
