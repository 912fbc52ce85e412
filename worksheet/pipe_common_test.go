package worksheet

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// eachPipeJob builds 200 invented jobs of a kind at every difficulty.
func eachPipeJob(t *testing.T, k kind, f func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values)) {
	t.Helper()
	for d := Plain; d <= Severe; d++ {
		for seed := range uint64(200) {
			r := k.generate(rand.New(rand.NewPCG(seed, uint64(d))), d)
			require.NoError(t, r.Check(), "difficulty %d, seed %d", d, seed)
			s, err := k.build(r)
			require.NoError(t, err, "difficulty %d, seed %d", d, seed)
			require.True(t, len(s.asked()) >= 4 && len(s.asked()) <= 13, "%d steps asked", len(s.asked()))
			v := s.Work()
			f(t, d, r, s, v)
			require.False(t, t.Failed(), "difficulty %d, seed %d", d, seed)
		}
	}
}

// heldTo holds a figure against the library's to 1e-9 of it.
func heldTo(t *testing.T, want, got float64, step string) {
	t.Helper()
	require.InDelta(t, want, got, 1e-9*math.Abs(want)+1e-15, step)
}

// rimDialOf returns a rim dial with its sag as package align takes it.
func rimDialOf(t *testing.T, r *Record, d *Dial) align.Dial {
	t.Helper()
	sag, ok := r.sagOf(d.Bracket)
	require.True(t, ok)
	a := align.Dial{Station: unit.Length(r.Units.length(d.Station)), Sag: align.RollOver(unit.Length(sag))}
	for _, p := range d.Readings {
		a.Sweep = append(a.Sweep, align.Reading{At: align.Clock(p.At), Value: unit.Length(r.Units.reading(p.Value))})
	}
	if d.On == onNear {
		a.Bracket = align.Far
	}
	return a
}

// milRecord returns a record in mils and inches, with the feet of the second
// machine.
func milRecord(inboard, outboard float64) *Record {
	r := &Record{Format: Format, Title: "hand", Units: Units{Length: align.UnitInch, Reading: align.UnitMil}}
	r.Train.Machines = []Machine{{Name: "motor"}, {Name: "pump", Feet: []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: outboard}}}}
	r.Train.Couplings = []Coupling{{Name: "coupling", Near: "motor", Far: "pump"}}
	return r
}

func mils(si float64) float64 { return align.UnitMil.FromSI(si) }

// worked returns the figures of a record's sheet, done with one mistake unless the
// code is "".
func worked(t *testing.T, k kind, r *Record, code string) Values {
	t.Helper()
	require.NoError(t, r.Check())
	s, err := k.build(r)
	require.NoError(t, err)
	if code == "" {
		return s.Work()
	}
	for i := range k.mistakes {
		if k.mistakes[i].Code == code {
			wrong := k.mistakes[i].in(s)
			require.NotNil(t, wrong, code)
			return wrong.Work()
		}
	}
	require.Fail(t, "no such mistake", code)
	return nil
}

// TestPipeMistakes: every mistake has words and a rank and is given an occasion in
// a good part of 200 exercises, most of which tell all mistakes apart; nothing
// changes the sheet. Some need a special case: a rule at its bounds, a movement
// within each limit and over both together, bolt holes that bind, a ratio that is
// minus or one half.
func TestPipeMistakes(t *testing.T) {
	seldom := map[string]int{"flange-no-bounds": 20, "strain-resultant-judged": 10, "limited-room-other-side": 10, "after-half-as-not-halved": 20}
	for _, k := range pipeKinds() {
		t.Run(k.name, func(t *testing.T) {
			count, clear := map[string]int{}, 0
			for seed := range uint64(200) {
				e, err := Generate(k.name, seed, Difficulty(1+seed%3))
				require.NoError(t, err)
				before := e.Sheet.Work()
				for _, o := range e.Occasions() {
					count[o.Code]++
				}
				if e.Distinguishable {
					clear++
				}
				require.Equal(t, before, e.Sheet.Work())
			}
			assert.Greater(t, clear, 180)
			for _, m := range k.mistakes {
				assert.NotEmpty(t, m.Says, m.Code)
				assert.Positive(t, m.Rank, m.Code)
				least, ok := seldom[m.Code]
				if !ok {
					least = 50
				}
				assert.GreaterOrEqual(t, count[m.Code], least, m.Code)
			}
		})
	}
}

// TestPipeKindsRefuse: a record that lacks what a kind needs is refused with a
// fault, and none makes a kind panic.
func TestPipeKindsRefuse(t *testing.T) {
	spoil := map[string]func(r *Record){
		"everything":   func(r *Record) { *r = Record{} },
		"machines":     func(r *Record) { r.Train.Machines = nil },
		"one machine":  func(r *Record) { r.Train.Machines = r.Train.Machines[:1] },
		"couplings":    func(r *Record) { r.Train.Couplings = nil },
		"flex planes":  func(r *Record) { r.Train.Couplings[0].FlexPlanes = nil },
		"feet":         func(r *Record) { r.Train.Machines[1].Feet = nil },
		"one foot":     func(r *Record) { shorten(&r.Train.Machines[1].Feet) },
		"shims":        func(r *Record) { eachFootOf(r, func(f *Foot) { f.Shims = nil }) },
		"least":        func(r *Record) { eachFootOf(r, func(f *Foot) { f.Least = nil }) },
		"room":         func(r *Record) { eachFootOf(r, func(f *Foot) { f.Left = nil }) },
		"laterals":     func(r *Record) { eachFootOf(r, func(f *Foot) { f.Lateral = nil }) },
		"one station":  func(r *Record) { eachFootOf(r, func(f *Foot) { f.Station = 1 }) },
		"shaft height": func(r *Record) { r.Train.Machines[1].ShaftHeight = nil },
		"sets":         func(r *Record) { shorten(&r.Sets) },
		"sag":          func(r *Record) { r.Sag = nil },
		"stations":     func(r *Record) { eachSetDial(r, func(d *Dial) { d.Station = 1 }) },
		"readings":     func(r *Record) { eachSetDial(r, func(d *Dial) { d.Readings = nil }) },
		"one reading":  func(r *Record) { eachSetDial(r, func(d *Dial) { shorten(&d.Readings) }) },
		"zeroes":       func(r *Record) { eachSetDial(r, func(d *Dial) { clear(d.Readings) }) },
		"a dial":       func(r *Record) { eachSet(r, func(s *Set) { shorten(&s.Dials) }) },
		"a state":      func(r *Record) { eachState(r, func(m *Movement) { m.Measured = nil }) },
		"one movement": func(r *Record) { eachState(r, func(m *Movement) { shorten(&m.Measured) }) },
		"joints":       func(r *Record) { r.Joints = nil },
		"a gap":        func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { shorten(&j.Gaps) }) },
		"diameter":     func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.Diameter = 0 }) },
		"flange":       func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.FlangeOD = 0 }) },
		"rule":         func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.Rule = "none" }) },
		"reference":    func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.Reference = "pipe" }) },
		"nozzle":       func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.Nozzle = nil }) },
		"faces":        func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.Nozzle = &Nozzle{Faces: "along"} }) },
		"its machine":  func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.Machine = "none" }) },
		"offsets":      func(r *Record) { eachJoint(r, func(j *FlangeSurvey) { j.OffsetUp, j.OffsetSide = nil, nil }) },
		"strain":       func(r *Record) { r.Strain = nil },
		"its dials":    func(r *Record) { eachLog(r, func(l *StrainLog) { l.Dials = nil }) },
		"its steps":    func(r *Record) { eachLog(r, func(l *StrainLog) { l.Steps = nil }) },
		"its readings": func(r *Record) { eachLog(r, func(l *StrainLog) { clear(l.Steps) }) },
		"its flanges":  func(r *Record) { eachLog(r, func(l *StrainLog) { l.Steps[0].What, l.Steps[1].What = "feet", "feet" }) },
		"an angle":     func(r *Record) { eachOblique(r, func(o *ObliqueDial) { o.At = 90 }) },
		"no number":    func(r *Record) { eachOblique(r, func(o *ObliqueDial) { o.At = math.NaN() }) },
		"oblique":      func(r *Record) { r.Oblique = nil },
	}
	refused := map[string]int{}
	for _, k := range pipeKinds() {
		for name, f := range spoil {
			for d := Plain; d <= Severe; d++ {
				r := k.generate(rand.New(rand.NewPCG(7, 7)), d)
				func() {
					defer func() { _ = recover() }() // of the spoiler, on a record without the part
					f(r)
				}()
				s, err := k.build(r)
				if err != nil {
					var in *align.InputError
					require.ErrorAs(t, err, &in, "%s, %s", k.name, name)
					refused[name]++
					continue
				}
				s.Work()
				for i := range k.mistakes {
					if wrong := k.mistakes[i].in(s); wrong != nil {
						wrong.Work()
					}
				}
				for _, st := range s.asked() {
					if st.Accept != nil {
						require.Error(t, st.Accept(s.Work(), nil))
					}
				}
			}
		}
	}
	for _, name := range []string{"everything", "machines", "feet", "sets", "joints", "a gap", "nozzle", "strain", "oblique", "an angle", "no number", "its readings"} {
		assert.Positive(t, refused[name], name)
	}
}

func shorten[T any](s *[]T) {
	if len(*s) > 1 {
		*s = (*s)[:1]
	}
}

func eachFootOf(r *Record, f func(*Foot)) {
	for i := range r.Train.Machines {
		for k := range r.Train.Machines[i].Feet {
			f(&r.Train.Machines[i].Feet[k])
		}
	}
}

func eachSet(r *Record, f func(*Set)) {
	for i := range r.Sets {
		f(&r.Sets[i])
	}
}

func eachSetDial(r *Record, f func(*Dial)) {
	eachSet(r, func(s *Set) {
		for i := range s.Dials {
			f(&s.Dials[i])
		}
	})
}

func eachState(r *Record, f func(*Movement)) {
	for i := range r.States {
		for k := range r.States[i].Machines {
			f(&r.States[i].Machines[k])
		}
	}
}

func eachJoint(r *Record, f func(*FlangeSurvey)) {
	for i := range r.Joints {
		f(&r.Joints[i])
	}
}

func eachLog(r *Record, f func(*StrainLog)) {
	for i := range r.Strain {
		f(&r.Strain[i])
	}
}

func eachOblique(r *Record, f func(*ObliqueDial)) {
	for i := range r.Oblique {
		f(&r.Oblique[i])
	}
}
