package worksheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"collinear.example/align"
)

func nozzleKind() kind {
	return kind{
		name:  "nozzle-fit",
		title: "Fit a nozzle to its pipe by moving the machine",
		asks: "The pipe is right and stays; the machine is to go to it, as a rigid body. The nozzle faces up; its 12 o'clock is toward the last machine and it is looked at from above. " +
			"Find what to do at the feet so that the faces close on the gasket and the centres meet, and what that does to the shaft at the coupling.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return nozzleRecord(newInventor(r), d) },
		build:    nozzleSheet,
		mistakes: nozzleMistakes(),
	}
}

// nozzleRecord invents a machine with a nozzle on top. Plain: all in the vertical
// plane along the shaft; Usual: tilted across as well; Severe: all of it.
func nozzleRecord(v inventor, d Difficulty) *Record {
	r := v.record("Nozzle and pipe before the flange is made up")
	m := &r.Train.Machines[1]
	inboard := v.length(250, 500)
	outboard := inboard + v.length(450, 1000)
	half := v.length(160, 350)
	for _, f := range []struct {
		name string
		x    float64
	}{{"inboard", inboard}, {"outboard", outboard}} {
		if d == Plain {
			m.Feet = append(m.Feet, Foot{Name: f.name, Station: f.x})
			continue
		}
		left, right := -half, half
		m.Feet = append(m.Feet, Foot{Name: f.name + "-left", Station: f.x, Lateral: &left}, Foot{Name: f.name + "-right", Station: f.x, Lateral: &right})
	}
	shaft := v.length(300, 600)
	m.ShaftHeight = &shaft
	r.Train.Couplings[0].FlexPlanes = []float64{0}
	j := v.misfit(d)
	j.Machine = m.Name
	j.Nozzle = &Nozzle{Faces: "up", Station: inboard + v.length(0.15*v.mm(outboard-inboard), 0.7*v.mm(outboard-inboard)), Height: shaft + v.length(250, 600)}
	r.Joints = []FlangeSurvey{j}
	return r
}

// misfit invents gaps and offsets of a joint that a machine can be moved to.
func (v inventor) misfit(d Difficulty) FlangeSurvey {
	j := FlangeSurvey{Name: "discharge", Rule: "api-rp-686", Reference: "flange"}
	j.FlangeOD = v.length(230, 420)
	j.RaisedFaceOD = v.length(0.66*v.mm(j.FlangeOD), 0.78*v.mm(j.FlangeOD))
	j.Diameter = j.FlangeOD
	j.Gasket = v.division([]float64{1588, 3175}[v.IntN(2)])
	mean := v.um(j.Gasket) + v.either(200, 600)
	along, across := v.either(100, 500), v.either(100, 400)
	if d == Plain {
		across = 0
	}
	for i, g := range []float64{mean + along/2, mean + across/2, mean - along/2, mean - across/2} {
		j.Gaps = append(j.Gaps, Reading{At: 90 * float64(i), Value: v.division(g)})
	}
	a, b := v.signed(300, 1500), v.signed(300, 1500)
	if d != Usual {
		j.OffsetUp = &a
	}
	if d != Plain {
		j.OffsetSide = &b
	}
	return j
}

// nozzleJob is what the kind takes from a record.
type nozzleJob struct {
	u        Units
	j        *FlangeSurvey
	feet     []Foot
	name     string
	shaft    float64 // height, unit of lengths
	coupling float64 // station, unit of lengths
	other    string  // machine on the other side of the coupling
	sides    bool    // tilted across, or off to the side
}

func (r *Record) nozzleJob() (*nozzleJob, error) {
	j, err := r.joint(0)
	if err != nil {
		return nil, err
	}
	if j.Nozzle == nil {
		return nil, fault("joints[0].nozzle", "", align.ErrMissing)
	}
	if j.Nozzle.Faces != "up" {
		return nil, fault("joints[0].nozzle.faces", j.Nozzle.Faces, align.ErrUnknownKind)
	}
	i, ok := r.machine(j.Machine)
	if !ok {
		return nil, fault("joints[0].machine", j.Machine, align.ErrMissing)
	}
	feet, err := r.feetOf(i)
	if err != nil {
		return nil, err
	}
	m := &r.Train.Machines[i]
	if m.ShaftHeight == nil {
		return nil, fault(at("train.machines", i)+".shaftHeight", "", align.ErrMissing)
	}
	job := &nozzleJob{u: r.Units, j: j, feet: feet, name: m.Name, shaft: *m.ShaftHeight}
	if err := job.couple(r.Train.Couplings); err != nil {
		return nil, err
	}
	g3, _ := readingAt(j.Gaps, 90)
	g9, _ := readingAt(j.Gaps, 270)
	job.sides = g3 != g9 || j.OffsetSide != nil
	for k := range feet {
		if job.sides && feet[k].Lateral == nil {
			return nil, fault(fmt.Sprintf("train.machines[%d].feet[%d].lateral", i, k), "", align.ErrMissing)
		}
	}
	return job, nil
}

// couple finds the coupling of the machine.
func (job *nozzleJob) couple(all []Coupling) error {
	for _, c := range all {
		if len(c.FlexPlanes) == 0 || c.Far != job.name && c.Near != job.name {
			continue
		}
		job.coupling, job.other = c.FlexPlanes[0], c.Near
		if c.Near == job.name {
			job.other = c.Far
		}
		return nil
	}
	return fault("train.couplings", "no flex plane at the "+job.name, align.ErrMissing)
}

func nozzleSheet(r *Record) (*Sheet, error) {
	job, err := r.nozzleJob()
	if err != nil {
		return nil, err
	}
	m := &sheetMaker{Sheet{Kind: "nozzle-fit"}}
	job.givens(m)
	job.misfit(m)
	for _, f := range job.feet {
		job.lift(m, f)
	}
	job.slides(m)
	job.atCoupling(m)
	return &m.Sheet, nil
}

func (job *nozzleJob) givens(m *sheetMaker) {
	u, j := job.u, job.j
	givenGaps(m, u, j, []string{"12 o'clock (toward the last machine)", "3 o'clock (right)", "6 o'clock (toward the first machine)", "9 o'clock (left)"})
	if j.OffsetUp != nil {
		m.given("offset.along", "centre of the pipe's flange off toward the last machine (minus: toward the first)", u.reading(*j.OffsetUp), u.Reading, u.readingDecimals())
	}
	if j.OffsetSide != nil {
		m.given("offset.side", "centre of the pipe's flange off to the right (minus: to the left)", u.reading(*j.OffsetSide), u.Reading, u.readingDecimals())
	}
	m.given("nozzle", "station of the middle of the nozzle, which stands above the shaft line", u.length(j.Nozzle.Station), u.Length, 2)
	m.given("height", "height of the nozzle's face above the soles of the feet", u.length(j.Nozzle.Height), u.Length, 2)
	m.given("shaft", "height of the shaft above the soles of the feet", u.length(job.shaft), u.Length, 2)
	m.given("coupling", "station of the coupling's flex plane", u.length(job.coupling), u.Length, 2)
	for _, f := range job.feet {
		m.given("foot."+f.Name, "station of the "+f.Name+" foot of the "+job.name, u.length(f.Station), u.Length, 2)
		if job.sides {
			m.given("lateral."+f.Name, "the "+f.Name+" foot to the right of the shaft line (minus: to the left)", u.length(*f.Lateral), u.Length, 2)
		}
	}
}

// misfit asks what the joint lacks.
func (job *nozzleJob) misfit(m *sheetMaker) {
	u := job.u
	m.between("gap.mean", "mean of the four gaps", u.Reading, func(v Values) float64 { return (v["gap.12"] + v["gap.3"] + v["gap.6"] + v["gap.9"]) / 4 })
	m.ask(Step{ID: "gap.excess", Says: "how much wider or closer than the gasket the faces stand", Formula: "mean of the four gaps less the gasket",
		Unit: u.Reading, Decimals: u.readingDecimals(), Sense: WiderCloser}, func(v Values) float64 { return v["gap.mean"] - v["gasket"] })
	m.ask(Step{ID: "tilt.vertical", Says: "how the gap widens toward the last machine, for the length (minus: it is wider toward the first)",
		Formula: "gap at 12 less gap at 6, over the diameter of the circle of the gaps", Unit: u.slopeUnit(), Decimals: 3},
		func(v Values) float64 { return (v["gap.12"] - v["gap.6"]) / v["circle"] })
	across := func(v Values) float64 { return (v["gap.3"] - v["gap.9"]) / v["circle"] }
	if !job.sides {
		m.between("tilt.horizontal", "the sides are alike", u.slopeUnit(), across)
		return
	}
	m.ask(Step{ID: "tilt.horizontal", Says: "how the gap widens to the right (minus: it is wider on the left)",
		Formula: "gap at 3 less gap at 9, over the diameter of the circle of the gaps", Unit: u.slopeUnit(), Decimals: 3}, across)
}

// lift asks the change of height of a foot: the machine rises by the gap error at
// the nozzle and tilts until the faces are parallel. With the nozzle above the
// shaft line (rigid body, small angles; package piping, Misfit.Goal, and
// align.Motion):
//
//	up = gap error + tilt along (foot - nozzle) + tilt across * lateral
func (job *nozzleJob) lift(m *sheetMaker, f Foot) {
	foot, lateral := "foot."+f.Name, "lateral."+f.Name
	formula := "gap error plus tilt along times the distance from the nozzle to the foot"
	if job.sides {
		formula += ", plus tilt across times how far the foot is to the right"
	}
	m.ask(Step{ID: "lift." + f.Name, Says: "what to do at the " + f.Name + " foot of the " + job.name + ", height", Formula: formula,
		Unit: job.u.Reading, Decimals: job.u.readingDecimals(), Sense: RaiseLower},
		func(v Values) float64 {
			return v["gap.excess"] + v["tilt.vertical"]*(v[foot]-v["nozzle"]) + v["tilt.horizontal"]*v[lateral]
		})
}

// above is how high the middle of the pipe's face stands above the feet.
func above(v Values) float64 { return v["height"] + v["gap.mean"] }

// slides asks the moves of the feet along and across: the centre of the nozzle is
// to go by the offset, and a machine that tilts takes the nozzle along by tilt
// times height.
func (job *nozzleJob) slides(m *sheetMaker) {
	u := job.u
	if job.j.OffsetUp != nil {
		m.ask(Step{ID: "slide.along", Says: "how far the feet are to go along the train, plus toward the last machine",
			Formula: "offset plus tilt along times the height of the pipe's face above the feet (nozzle plus mean gap)", Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) float64 { return v["offset.along"] + v["tilt.vertical"]*above(v) })
	}
	if job.j.OffsetSide != nil {
		m.ask(Step{ID: "slide.side", Says: "how far the feet are to go to the side",
			Formula: "offset plus tilt across times the height of the pipe's face above the feet (nozzle plus mean gap)", Unit: u.Reading, Decimals: u.readingDecimals(), Sense: RightLeft},
			func(v Values) float64 { return v["offset.side"] + v["tilt.horizontal"]*above(v) })
	}
}

// atCoupling asks what the moves do to the shaft of the machine at the coupling.
func (job *nozzleJob) atCoupling(m *sheetMaker) {
	u := job.u
	m.ask(Step{ID: "coupling.vertical", Says: "how the shaft of the " + job.name + " then moves at the coupling, against that of the " + job.other,
		Formula: "gap error plus tilt along times the distance from the nozzle to the coupling", Unit: u.Reading, Decimals: u.readingDecimals(), Sense: HighLow},
		func(v Values) float64 { return v["gap.excess"] + v["tilt.vertical"]*(v["coupling"]-v["nozzle"]) })
	if job.j.OffsetUp != nil {
		m.ask(Step{ID: "coupling.along", Says: "how far the shaft moves along the train, plus toward the last machine",
			Formula: "move of the feet less tilt along times the height of the shaft above them", Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) float64 { return v["slide.along"] - v["tilt.vertical"]*v["shaft"] })
	}
	if job.j.OffsetSide != nil {
		m.ask(Step{ID: "coupling.horizontal", Says: "how far the shaft moves to the side at the coupling",
			Formula: "move of the feet less tilt across times the height of the shaft above them", Unit: u.Reading, Decimals: u.readingDecimals(), Sense: RightLeft},
			func(v Values) float64 { return v["slide.side"] - v["tilt.horizontal"]*v["shaft"] })
	}
}

func nozzleMistakes() []Mistake {
	lifts := func(wrong func(v Values, right float64, foot string) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool { return s.replaceAll("lift.", wrong) }
	}
	return []Mistake{
		flangeRadius(), flangeTiltSign(), gasketKept(),
		{Code: "nozzle-height-forgotten", Says: "moved the feet by the offset of the flange: a machine that tilts takes the nozzle along, by tilt times height", Rank: 1, alter: func(s *Sheet) bool {
			along := s.replace("slide.along", func(v Values, _ float64) float64 { return v["offset.along"] })
			side := s.replace("slide.side", func(v Values, _ float64) float64 { return v["offset.side"] })
			return along || side
		}},
		{Code: "nozzle-height-sign", Says: "took off what the tilt does at the height of the nozzle: it is to be added at the feet", Rank: 2, alter: func(s *Sheet) bool {
			along := s.replace("slide.along", func(v Values, _ float64) float64 { return v["offset.along"] - v["tilt.vertical"]*above(v) })
			side := s.replace("slide.side", func(v Values, _ float64) float64 { return v["offset.side"] - v["tilt.horizontal"]*above(v) })
			return along || side
		}},
		{Code: "nozzle-roll-forgotten", Says: "gave left and right the same shim: the flange is tilted across as well", Rank: 1, alter: lifts(func(v Values, right float64, foot string) float64 {
			return right - v["tilt.horizontal"]*v["lateral."+foot]
		})},
		{Code: "nozzle-roll-sign", Says: "rolled the machine the wrong way: the side where the gap is wide goes up", Rank: 2, alter: lifts(func(v Values, right float64, foot string) float64 {
			return right - 2*v["tilt.horizontal"]*v["lateral."+foot]
		})},
		{Code: "nozzle-lifted-level", Says: "lifted all feet by the gap error: the tilt along the train asks more at one end than at the other", Rank: 2, alter: lifts(func(v Values, right float64, foot string) float64 {
			return right - v["tilt.vertical"]*(v["foot."+foot]-v["nozzle"])
		})},
		{Code: "nozzle-distance-from-coupling", Says: "measured the distance to the feet from the coupling: the machine tilts about the nozzle", Rank: 1, alter: lifts(func(v Values, right float64, _ string) float64 {
			return right + v["tilt.vertical"]*(v["nozzle"]-v["coupling"])
		})},
		{Code: "nozzle-tilt-only", Says: "left the gap error out of the lift: tilting alone makes the faces parallel, and no closer", Rank: 2, alter: lifts(func(v Values, right float64, _ string) float64 {
			return right - v["gap.excess"]
		})},
		{Code: "nozzle-pipe-for-machine", Says: "gave what the pipe would have to do: the machine goes the other way", Rank: 1, alter: func(s *Sheet) bool {
			return eachOf([]string{"lift.", "slide."}, func(p string) bool {
				return s.replaceAll(p, func(_ Values, right float64, _ string) float64 { return -right })
			})
		}},
		slip("feet-exchanged", func(s *Sheet) bool {
			some := false
			for _, g := range s.Givens {
				if name, ok := strings.CutPrefix(g.ID, "foot.inboard"); ok {
					some = s.exchange("lift.inboard"+name, "lift.outboard"+name) || some
				}
			}
			return some
		}),
		{Code: "nozzle-coupling-unchecked", Says: "took the coupling as left where it was: a machine that is moved to its pipe takes its shaft along", Rank: 1, alter: func(s *Sheet) bool {
			return s.replaceAll("coupling.", func(Values, float64, string) float64 { return 0 })
		}},
		{Code: "nozzle-lift-at-coupling", Says: "gave the lift at the nozzle for the coupling, without the tilt over the distance", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("coupling.vertical", func(v Values, _ float64) float64 { return v["gap.excess"] })
		}},
		{Code: "nozzle-coupling-distance-sign", Says: "went to the wrong side of the nozzle: the coupling lies toward the other machine", Rank: 2, alter: func(s *Sheet) bool {
			return s.replace("coupling.vertical", func(v Values, _ float64) float64 {
				return v["gap.excess"] + math.Abs(v["coupling"]-v["nozzle"])*v["tilt.vertical"]
			})
		}},
		{Code: "nozzle-shaft-as-feet", Says: "let the shaft go as far as the feet: it stands above them, and the tilt moves it as well", Rank: 2, alter: func(s *Sheet) bool {
			along := s.replace("coupling.along", func(v Values, _ float64) float64 { return v["slide.along"] })
			side := s.replace("coupling.horizontal", func(v Values, _ float64) float64 { return v["slide.side"] })
			return along || side
		}},
	}
}
