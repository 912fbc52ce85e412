package worksheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

func limitedKind() kind {
	return kind{
		name:  "moves-within-limits",
		title: "A move that a foot does not allow",
		asks: "The second machine is to be brought to the first. Find the moves, which of them the shims or the bolt holes do not allow, " +
			"what the first machine would have to do in its place, and a plan for both that every foot allows.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return limitedRecord(newInventor(r), d) },
		build:    limitedSheet,
		mistakes: limitedMistakes(),
	}
}

// limitedRecord invents shafts of which the second stands too high or too far to
// one side for what its feet allow. Usual: with a cold target; Severe: sideways as
// well.
func limitedRecord(v inventor, d Difficulty) *Record {
	for {
		r := v.limited(d)
		l, err := r.limitedJob()
		if err != nil {
			continue
		}
		s := l.sheet()
		w := s.Work()
		if w["bound.vertical"] == 0 || w["short"] < 20e-6 || d == Severe && w["bound.horizontal"] == 0 {
			continue
		}
		if _, ok := l.planFor(w, "vertical"); !ok {
			continue
		}
		if _, ok := l.planFor(w, "horizontal"); d == Severe && !ok {
			continue
		}
		return r
	}
}

func (v inventor) limited(d Difficulty) *Record {
	r := v.record("Moves wanted, and what the feet allow")
	span := v.length(120, 350)
	feet := func(start, way float64) []Foot {
		in := start + way*v.length(150, 400)
		out := in + way*v.length(350, 900)
		return []Foot{v.footWithRoom("inboard", in, d), v.footWithRoom("outboard", out, d)}
	}
	r.Train.Machines[0].Feet, r.Train.Machines[1].Feet = feet(0, -1), feet(span, 1)
	sag := -v.reading(50, 150)
	r.Sag = []SagTest{{Bracket: "on the first hub", Kind: rollOver, Reading: sag}, {Bracket: "on the second hub", Kind: rollOver, Reading: sag}}
	planes := 1
	if d == Severe {
		planes = 2
	}
	up, right := [2]float64{v.either(60, 400), v.either(60, 400)}, [2]float64{v.either(200, 900), v.either(200, 900)}
	r.Sets = []Set{{Stage: AsFound, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
		{Touches: rimDial, On: onFar, Station: span, Bracket: "on the first hub", Readings: v.sweep(up[0], right[0], sag, 0, planes)},
		{Touches: rimDial, On: onNear, Station: 0, Bracket: "on the second hub", Readings: v.sweep(-up[1], -right[1], sag, 0, planes)},
	}}}
	if d != Plain {
		state := State{Name: "running"}
		for _, m := range r.Train.Machines {
			state.Machines = append(state.Machines, Movement{Machine: m.Name, Measured: []Moved{{Station: 0, Up: v.reading(40, 250)}, {Station: span, Up: v.reading(40, 250)}}})
		}
		r.States = []State{state}
	}
	return r
}

// footWithRoom invents what there is under a foot and beside its bolts.
func (v inventor) footWithRoom(name string, station float64, d Difficulty) Foot {
	least := v.division([]float64{254, 508}[v.IntN(2)])
	shims := tidy(least + v.reading(50, 500))
	f := Foot{Name: name, Station: station, Shims: &shims, Least: &least}
	if d == Severe {
		left, right := v.reading(300, 1500), v.reading(300, 1500)
		f.Left, f.Right = &left, &right
	}
	return f
}

// limitedJob is what the kind takes from a record.
type limitedJob struct {
	r         *Record
	names     [2]string
	feet      [2][]Foot
	far, near *Dial
	sides     bool
	growth    [2][2]float64 // by machine, at the near and the far dial, SI units
	running   bool
}

// limitedTolerance is how far from the target the shafts may stand at either dial
// in a plan: 0.02 mm or 1 mil (own choice, for the exercise).
func limitedTolerance(u Units) float64 {
	if u.Reading == align.UnitMil || u.Reading == align.UnitInch {
		return align.UnitMil.SI(1)
	}
	return 0.02e-3
}

func (r *Record) limitedJob() (*limitedJob, error) {
	far, near, err := r.reverseDials(0)
	if err != nil {
		return nil, err
	}
	if far.Station == near.Station {
		return nil, fault("sets[0].dials[1].station", "", align.ErrCoincident)
	}
	l := &limitedJob{r: r, far: far, near: near}
	for i := range l.feet {
		feet, err := r.feetOf(i)
		if err != nil {
			return nil, err
		}
		if err := twoFeet(at("train.machines", i)+".feet", feet); err != nil {
			return nil, err
		}
		l.feet[i], l.names[i] = feet, r.Train.Machines[i].Name
	}
	if l.names[0] == l.names[1] {
		return nil, fault("train.machines[1].name", l.names[1], align.ErrMismatch)
	}
	for _, d := range []*Dial{far, near} {
		q := dialQuartersOf(d)
		if err := q.need("sets[0].dials", 0, 2); err != nil {
			return nil, err
		}
		if _, ok := r.sagOf(d.Bracket); !ok {
			return nil, fault("sets[0].dials.bracket", d.Bracket, align.ErrMissing)
		}
	}
	f, n := dialQuartersOf(far), dialQuartersOf(near)
	l.sides = f.sides() == 2 && n.sides() == 2 && l.roomAtSides()
	return l, l.grow()
}

// twoFeet wants two stations with feet, with shims.
func twoFeet(path string, feet []Foot) error {
	if len(feet) != 2 || feet[0].Name == feet[1].Name || feet[0].Station == feet[1].Station {
		return fault(path, fmt.Sprintf("%d feet, want two at different stations", len(feet)), align.ErrMismatch)
	}
	for i := range feet {
		if feet[i].Shims == nil {
			return fault(at(path, i)+".shims", "", align.ErrMissing)
		}
	}
	return nil
}

// roomAtSides reports whether the room in the bolt holes is known everywhere.
func (l *limitedJob) roomAtSides() bool {
	return !slices.ContainsFunc(slices.Concat(l.feet[0], l.feet[1]), func(f Foot) bool { return f.Left == nil || f.Right == nil })
}

// grow takes the movement from standing to running at the dials from the first
// state, where there is one.
func (l *limitedJob) grow() error {
	if len(l.r.States) == 0 {
		return nil
	}
	l.running = true
	u := l.r.Units
	for i, name := range l.names {
		k := slices.IndexFunc(l.r.States[0].Machines, func(m Movement) bool { return m.Machine == name })
		if k < 0 {
			continue // it does not move
		}
		ms := l.r.States[0].Machines[k].Measured
		if len(ms) != 2 || ms[0].Station == ms[1].Station {
			return fault(at("states[0].machines", k)+".measured", "", align.ErrMissing)
		}
		for j, x := range []float64{l.near.Station, l.far.Station} {
			l.growth[i][j] = u.reading(ms[0].Up + (ms[1].Up-ms[0].Up)*(x-ms[0].Station)/(ms[1].Station-ms[0].Station))
		}
	}
	return nil
}

func limitedSheet(r *Record) (*Sheet, error) {
	l, err := r.limitedJob()
	if err != nil {
		return nil, err
	}
	return l.sheet(), nil
}

// The ids are PLACE.PLANE for the shafts and MACHINE.FOOT.PLANE for the moves, 0
// for the first machine and 1 for the second.
func (l *limitedJob) sheet() *Sheet {
	m := &sheetMaker{Sheet{Kind: "moves-within-limits"}}
	l.givens(m)
	l.targets(m)
	planes := []string{"vertical"}
	if l.sides {
		planes = bothPlanes
	}
	for _, p := range planes {
		l.errors(m, p)
		l.movesOf(m, 1, p)
		l.bound(m, p)
		if p == "vertical" {
			l.movesOf(m, 0, p)
		}
		l.plan(m, p)
	}
	return &m.Sheet
}

func (l *limitedJob) givens(m *sheetMaker) {
	u := l.r.Units
	for _, d := range []struct {
		id, on string
		dial   *Dial
		sign   float64
	}{{"far", l.names[1], l.far, -1}, {"near", l.names[0], l.near, 1}} {
		q := dialQuartersOf(d.dial)
		sag, _ := l.r.sagOf(d.dial.Bracket)
		says := "offset worked out from the dial on the " + d.on + " hub: the " + l.names[1] + " shaft "
		m.given("offset."+d.id+".vertical", says+"high (minus: low)", d.sign*(u.reading(q.value[2]-q.value[0])-sag)/2, u.Reading, u.readingDecimals()+1)
		if l.sides {
			m.given("offset."+d.id+".horizontal", says+"to the right (minus: to the left)", -d.sign*sideSign(d.dial)*u.reading(q.value[1]-q.value[3])/2, u.Reading, u.readingDecimals()+1)
		}
		m.given("station."+d.id, "station of that dial", u.length(d.dial.Station), u.Length, 2)
	}
	for i, feet := range l.feet {
		for _, f := range feet {
			id, of := fmt.Sprintf("%d.%s", i, f.Name), "the "+f.Name+" feet of the "+l.names[i]
			m.given("foot."+id, "station of "+of, u.length(f.Station), u.Length, 2)
			m.given("shims."+id, "shims under "+of, u.reading(*f.Shims), u.Reading, u.readingDecimals())
			least := 0.0
			if f.Least != nil {
				least = u.reading(*f.Least)
			}
			m.given("least."+id, "of which must stay", least, u.Reading, u.readingDecimals())
			if l.sides {
				m.given("left."+id, "room in the bolt holes of "+of+" to the left", u.reading(*f.Left), u.Reading, u.readingDecimals())
				m.given("right."+id, "and to the right", u.reading(*f.Right), u.Reading, u.readingDecimals())
			}
		}
	}
}

// targets asks where the second shaft is to stand cold: as far off as the two move
// apart, the other way.
func (l *limitedJob) targets(m *sheetMaker) {
	if !l.running {
		return
	}
	u := l.r.Units
	for j, id := range []string{"near", "far"} {
		for i, name := range l.names {
			m.given(fmt.Sprintf("grows.%d.%s", i, id), "the "+name+" shaft rises from standing to running at the station of the "+id+" dial by (the far dial is that on the "+l.names[1]+" hub)",
				l.growth[i][j], u.Reading, u.readingDecimals()+1)
		}
		m.ask(Step{ID: "target." + id, Says: "how high or low the " + l.names[1] + " shaft is to stand cold at the " + id + " dial, to be in line running",
			Formula: "rise of the " + l.names[0] + " less rise of the " + l.names[1], Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow},
			func(v Values) float64 { return v["grows.0."+id] - v["grows.1."+id] })
	}
}

// errors works out what is to be taken away at the dials, and its slope.
func (l *limitedJob) errors(m *sheetMaker, p string) {
	u := l.r.Units
	for _, id := range []string{"near", "far"} {
		m.between("error."+id+"."+p, "offset less target", u.Reading, func(v Values) float64 {
			if p == "horizontal" {
				return v["offset."+id+"."+p]
			}
			return v["offset."+id+"."+p] - v["target."+id]
		})
	}
	m.between("slope."+p, "error at the far dial less error at the near one, over the distance between the dials", u.slopeUnit(),
		func(v Values) float64 {
			return (v["error.far."+p] - v["error.near."+p]) / (v["station.far"] - v["station.near"])
		})
}

// movesOf asks the moves that would do with one machine alone: minus the line at
// the feet of the second, the line itself at those of the first.
func (l *limitedJob) movesOf(m *sheetMaker, machine int, p string) {
	u := l.r.Units
	sense, sign, formula := RaiseLower, 1.0, "error at the near dial plus slope times the distance from there to the feet: this machine goes to the other"
	if p == "horizontal" {
		sense = RightLeft
	}
	if machine == 1 {
		sign, formula = -1, "minus (error at the near dial plus slope times the distance from there to the feet)"
	}
	for _, f := range l.feet[machine] {
		id := fmt.Sprintf("%d.%s", machine, f.Name)
		m.ask(Step{ID: "move." + id + "." + p, Says: "what to do at the " + f.Name + " feet of the " + l.names[machine] + " if it alone is moved, " + p + " plane",
			Formula: formula, Unit: u.Reading, Decimals: u.readingDecimals(), Sense: sense},
			func(v Values) float64 { return sign * l.lineAt(v, p, v["foot."+id]) })
	}
}

// lineAt is where the second shaft stands off its target at a station.
func (l *limitedJob) lineAt(v Values, p string, x float64) float64 {
	return v["error.near."+p] + v["slope."+p]*(x-v["station.near"])
}

// lacks is by how much a move is more than a foot allows, negative or zero when it
// allows it.
func lacks(v Values, id, p string, move float64) float64 {
	switch {
	case p == "vertical":
		return -move - (v["shims."+id] - v["least."+id])
	case move < 0:
		return -move - v["left."+id]
	}
	return move - v["right."+id]
}

// boundChoices are the answers to which feet are bound.
func (l *limitedJob) boundChoices() []string {
	return []string{"none", l.feet[1][0].Name, l.feet[1][1].Name, "both"}
}

// bound asks which feet of the second machine do not allow the move, and what
// lacks.
func (l *limitedJob) bound(m *sheetMaker, p string) {
	u := l.r.Units
	says, formula := "which feet of the "+l.names[1]+" have too little shim to take out", "what is to be taken out against the shims there less what must stay"
	if p == "horizontal" {
		says, formula = "which feet of the "+l.names[1]+" have too little room in their bolt holes", "the move to a side against the room on that side"
	}
	ids := []string{"1." + l.feet[1][0].Name, "1." + l.feet[1][1].Name}
	lack := func(v Values, k int) float64 { return lacks(v, ids[k], p, v["move."+ids[k]+"."+p]) }
	m.ask(Step{ID: "bound." + p, Says: says, Formula: formula, Choices: l.boundChoices()}, func(v Values) float64 {
		which := 0.0
		for k := range ids {
			if lack(v, k) > 1e-12 {
				which += float64(k + 1)
			}
		}
		return which
	})
	if p == "horizontal" {
		return
	}
	m.ask(Step{ID: "short", Says: "how much shim lacks at the worst of them", Formula: "what is to be taken out less what there is to take out", Unit: u.Reading, Decimals: u.readingDecimals()},
		func(v Values) float64 { return max(0, lack(v, 0), lack(v, 1)) })
}

// plan asks moves of both machines that every foot allows.
func (l *limitedJob) plan(m *sheetMaker, p string) {
	u := l.r.Units
	tolerance := limitedTolerance(u)
	sense := RaiseLower
	if p == "horizontal" {
		sense = RightLeft
	}
	m.ask(Step{ID: "plan." + p, Says: fmt.Sprintf("moves of all feet, %s plane, that every foot allows and that leave no more than %s off the target at either dial; shims may be added without limit",
		p, u.Reading.Format(tolerance, u.readingDecimals())), Formula: "where one machine cannot go down the other can come up, and both may go together", Unit: u.Reading,
		Decimals: u.readingDecimals(), Sense: sense, Plan: l.entries(), Accept: func(v Values, plan map[string]float64) error { return l.accept(v, plan, p, tolerance) }},
		func(Values) float64 { return 0 })
}

// entries are the names of the feet in a plan.
func (l *limitedJob) entries() (names []string) {
	for i, feet := range l.feet {
		for _, f := range feet {
			names = append(names, l.names[i]+" "+f.Name)
		}
	}
	return names
}

// accept judges a plan: every foot within its limits, a machine that must not move
// left alone, and the shafts near enough at both dials, by align.Axis.
func (l *limitedJob) accept(v Values, plan map[string]float64, p string, tolerance float64) error {
	var done [2]align.FootMoves
	var places [2]align.Feet
	for i, feet := range l.feet {
		var to [2]unit.Length
		for k, f := range feet {
			name, id := l.names[i]+" "+f.Name, fmt.Sprintf("%d.%s", i, f.Name)
			move, ok := plan[name]
			switch {
			case !ok:
				return fault("plan."+name, "", align.ErrMissing)
			case !align.IsFinite(move):
				return fault("plan."+name, "", align.ErrNotFinite)
			case l.r.Train.Machines[i].Fixed && move != 0:
				return planFault("plan."+name, l.r.Units.Reading.Format(move, 3), "but this machine must not be moved")
			case lacks(v, id, p, move) > 1e-9:
				return planFault("plan."+name, l.r.Units.Reading.Format(move, 3), "is more than this foot allows")
			}
			to[k] = unit.Length(move)
		}
		places[i] = align.Feet{Inboard: unit.Length(l.r.Units.length(feet[0].Station)), Outboard: unit.Length(l.r.Units.length(feet[1].Station))}
		done[i] = align.FootMoves{Inboard: align.Move{Vertical: to[0]}, Outboard: align.Move{Vertical: to[1]}}
	}
	// Either plane is worked in the vertical of an axis: the arithmetic is the same.
	a := align.Axis{Vertical: align.Line{Offset: unit.Length(l.lineAt(v, p, 0)), Slope: v["slope."+p]}}
	a, err := a.AfterNear(places[0], done[0])
	if err != nil {
		return err
	}
	if a, err = a.AfterFar(places[1], done[1]); err != nil {
		return err
	}
	for _, id := range []string{"near", "far"} {
		if off := math.Abs(float64(a.At(unit.Length(v["station."+id])).Vertical)); !(off <= tolerance+1e-9) {
			return planFault("plan", l.r.Units.Reading.Format(off, 3)+" at the "+id+" dial", "is left off the target, more than is asked")
		}
	}
	return nil
}

// planFault says what is wrong with a plan.
func planFault(field, got, says string) error {
	return &align.InputError{Package: "worksheet", Field: field, Got: got, Err: align.ErrOutOfRange, Meaning: says}
}

// planFor returns a plan that is exact, found by trying how much of the work each
// machine does and how far both go together; false when none of those tried will
// do.
func (l *limitedJob) planFor(v Values, p string) (map[string]float64, bool) {
	const steps, reach = 20, 2e-3
	for share := range steps + 1 {
		for _, together := range []float64{0, reach / 8, reach / 4, reach / 2, reach, -reach / 8, -reach / 4, -reach / 2} {
			plan := map[string]float64{}
			for i, feet := range l.feet {
				k := float64(share) / steps
				if i == 1 {
					k--
				}
				for _, f := range feet {
					plan[l.names[i]+" "+f.Name] = k*l.lineAt(v, p, l.r.Units.length(f.Station)) + together
				}
			}
			if l.accept(v, plan, p, limitedTolerance(l.r.Units)) == nil {
				return plan, true
			}
		}
	}
	return nil, false
}
