package drawing_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Inputs that must be refused, each with the fault and the field that it names.
func TestTrainRefused(t *testing.T) {
	nan, inf := unit.Length(math.NaN()), unit.Length(math.Inf(1))
	cases := []struct {
		name  string
		spoil func(t *drawing.Train)
		fault error
		field string
	}{
		{"nothing", func(t *drawing.Train) { *t = drawing.Train{} }, align.ErrMissing, "machines"},
		{"unknown unit", func(t *drawing.Train) { t.Unit = "thou" }, align.ErrUnknownUnit, "unit"},
		{"another unit", func(t *drawing.Train) { t.Unit = align.UnitInch }, align.ErrWrongUnit, "unit"},
		{"nine machines", func(t *drawing.Train) { t.Machines = make([]drawing.Machine, 9) }, align.ErrOutOfRange, "machines"},
		{"start not finite", func(t *drawing.Train) { t.Machines[0].Start = nan }, align.ErrNotFinite, "machines[0].start"},
		{"end infinite", func(t *drawing.Train) { t.Machines[1].End = inf }, align.ErrNotFinite, "machines[1].end"},
		{"start beyond ten kilometres", func(t *drawing.Train) { t.Machines[0].Start = -20000 }, align.ErrOutOfRange, "machines[0].start"},
		{"end before start", func(t *drawing.Train) { t.Machines[0].End = -2 }, align.ErrMismatch, "machines[0].end"},
		{"no length", func(t *drawing.Train) { t.Machines[0].End = t.Machines[0].Start }, align.ErrCoincident, "machines[0].end"},
		{"nine feet", func(t *drawing.Train) { t.Machines[0].Feet = make([]drawing.Foot, 9) }, align.ErrOutOfRange, "machines[0].feet"},
		{"foot not finite", func(t *drawing.Train) { t.Machines[0].Feet[1].Station = nan }, align.ErrNotFinite, "machines[0].feet[1].station"},
		{"foot beside its machine", func(t *drawing.Train) { t.Machines[0].Feet[0].Station = -1.2 }, align.ErrMismatch, "machines[0].feet[0].station"},
		{"feet out of order", func(t *drawing.Train) { t.Machines[0].Feet[1].Station = -1.1 }, align.ErrMismatch, "machines[0].feet[1].station"},
		{"two feet at one place", func(t *drawing.Train) { t.Machines[0].Feet[1].Station = -1 }, align.ErrCoincident, "machines[0].feet[1].station"},
		{"foot on no side", func(t *drawing.Train) { t.Machines[0].Feet[0].Side = 3 }, align.ErrUnknownKind, "machines[0].feet[0].side"},
		{"move not finite", func(t *drawing.Train) { t.Machines[1].Feet[0].Move = &align.Move{Vertical: nan} }, align.ErrNotFinite, "machines[1].feet[0].move.vertical"},
		{"move beyond a metre", func(t *drawing.Train) { t.Machines[1].Feet[0].Move = &align.Move{Horizontal: 2} }, align.ErrOutOfRange, "machines[1].feet[0].move.horizontal"},
		{"no coupling", func(t *drawing.Train) { t.Couplings = nil }, align.ErrMismatch, "couplings"},
		{"coupling to nothing", func(t *drawing.Train) { t.Couplings = append(t.Couplings, t.Couplings[0]) }, align.ErrMismatch, "couplings"},
		{"near flex plane in the casing", func(t *drawing.Train) { t.Couplings[0].NearFlex = -0.2 }, align.ErrMismatch, "couplings[0].nearFlex"},
		{"far flex plane in the casing", func(t *drawing.Train) { t.Couplings[0].FarFlex = 0.2 }, align.ErrMismatch, "couplings[0].farFlex"},
		{"flex planes out of order", func(t *drawing.Train) { t.Couplings[0].FarFlex = -0.1 }, align.ErrMismatch, "couplings[0].farFlex"},
		{"flex plane not finite", func(t *drawing.Train) { t.Couplings[0].FarFlex = nan }, align.ErrNotFinite, "couplings[0].farFlex"},
		{"limit below zero", func(t *drawing.Train) { t.Couplings[0].NearLimit = -oneMM }, align.ErrNegative, "couplings[0].nearLimit"},
		{"limit not finite", func(t *drawing.Train) { t.Couplings[0].FarLimit = inf }, align.ErrNotFinite, "couplings[0].farLimit"},
		{"no states", func(t *drawing.Train) { t.States = nil }, align.ErrMissing, "states"},
		{"five states", func(t *drawing.Train) { t.States = make([]drawing.State, 5) }, align.ErrOutOfRange, "states"},
		{"unknown kind of state", func(t *drawing.Train) { t.States[0].Kind = 3 }, align.ErrUnknownKind, "states[0].kind"},
		{"found twice", func(t *drawing.Train) { t.States[1].Kind = drawing.AsFound }, align.ErrMismatch, "states[1].kind"},
		{"a shaft missing", func(t *drawing.Train) { t.States[1].Shafts = t.States[1].Shafts[:1] }, align.ErrMismatch, "states[1].shafts"},
		{"a shaft too many", func(t *drawing.Train) { t.States[1].Shafts = make([]align.Axis, 3) }, align.ErrMismatch, "states[1].shafts"},
		{"shaft not finite", func(t *drawing.Train) { t.States[0].Shafts[1].Vertical.Offset = nan }, align.ErrNotFinite, "states[0].shafts[1].vertical.offset"},
		{"slope not finite", func(t *drawing.Train) { t.States[0].Shafts[1].Horizontal.Slope = math.Inf(-1) }, align.ErrNotFinite, "states[0].shafts[1].horizontal.slope"},
		{"slope too steep", func(t *drawing.Train) { t.States[0].Shafts[1].Horizontal.Slope = 2 }, align.ErrOutOfRange, "states[0].shafts[1].horizontal.slope"},
		{"shaft beyond a metre", func(t *drawing.Train) { t.States[0].Shafts[1].Vertical.Offset = 3 }, align.ErrOutOfRange, "states[0].shafts[1].vertical"},
		{"an uncertainty missing", func(t *drawing.Train) { t.States[0].Uncertain = t.States[0].Uncertain[:1] }, align.ErrMismatch, "states[0].uncertain"},
		{"uncertainty below zero", func(t *drawing.Train) { t.States[0].Uncertain[1].Vertical.Offset = -oneMM }, align.ErrNegative, "states[0].uncertain[1].vertical.offset"},
		{"uncertainty about nowhere", func(t *drawing.Train) { t.States[0].Uncertain[1].Horizontal.About = nan }, align.ErrNotFinite, "states[0].uncertain[1].horizontal.about"},
		{"uncertain slope below zero", func(t *drawing.Train) { t.States[0].Uncertain[1].Horizontal.Slope = -1 }, align.ErrNegative, "states[0].uncertain[1].horizontal.slope"},
		{"uncertain slope not finite", func(t *drawing.Train) { t.States[0].Uncertain[1].Horizontal.Slope = math.NaN() }, align.ErrNotFinite, "states[0].uncertain[1].horizontal.slope"},
		{"uncertain slope too steep", func(t *drawing.Train) { t.States[0].Uncertain[1].Horizontal.Slope = 1.5 }, align.ErrOutOfRange, "states[0].uncertain[1].horizontal.slope"},
		{"uncertainty beyond a metre", func(t *drawing.Train) { t.States[0].Uncertain[1].Horizontal = drawing.Band{About: 5, Slope: 1} }, align.ErrOutOfRange, "states[0].uncertain[1].horizontal"},
		{"nine flanges", func(t *drawing.Train) { t.Flanges = make([]drawing.Flange, 9) }, align.ErrOutOfRange, "flanges"},
		{"flange of no diameter", func(t *drawing.Train) { t.Flanges[0].Diameter = 0 }, align.ErrZeroDiameter, "flanges[0].diameter"},
		{"flange of a diameter not finite", func(t *drawing.Train) { t.Flanges[0].Diameter = nan }, align.ErrNotFinite, "flanges[0].diameter"},
		{"gap below zero", func(t *drawing.Train) { t.Flanges[0].Gaps[1].Gap = -oneMM }, align.ErrNegative, "flanges[0].gaps[1].gap"},
		{"gap not finite", func(t *drawing.Train) { t.Flanges[1].Gaps[0].Gap = inf }, align.ErrNotFinite, "flanges[1].gaps[0].gap"},
		{"offset of a flange not finite", func(t *drawing.Train) { t.Flanges[1].Offset = &nan }, align.ErrNotFinite, "flanges[1].offset"},
	}
	refused := make([]refusal, len(cases))
	for i, c := range cases {
		train := pumpSet()
		c.spoil(&train)
		refused[i] = refusal{c.name, train, c.fault, c.field}
	}
	requireRefused(t, refused)
}

// What stands at the bounds is drawn.
func TestTrainAtTheBounds(t *testing.T) {
	train := pumpSet()
	train.Couplings[0].NearFlex, train.Couplings[0].FarFlex = -130*oneMM, 130*oneMM
	drawnSheet(t, train)
	train.Couplings[0].NearFlex = 130 * oneMM // one flex plane, at the very casing
	p := drawnSheet(t, train)
	require.NotEmpty(t, textsOf(p, "±0.050 mm"))
	train.Couplings[0].FarLimit = 0.03 * oneMM // the smaller one holds where they are one
	assert.NotEmpty(t, textsOf(drawnSheet(t, train), "±0.030 mm"))

	long := loneMachine()
	long.Machines[0].Start, long.Machines[0].End = -10000, 10000
	long.States[0].Shafts[0] = align.Axis{Vertical: align.Line{Offset: 0.2, Slope: 0.8 / 10000}}
	// From -0.624 m to 1.024 m, with the stubs, in 38 mm.
	assert.NotEmpty(t, textsOf(drawnSheet(t, long), "along 1:100000, across 1:50"))
	short := loneMachine()
	short.Machines[0].End = oneMM
	assert.NotEmpty(t, textsOf(drawnSheet(t, short), "along 200:1, across 200:1"))
}

func FuzzTrainNames(f *testing.F) {
	f.Add("motor", "spacer", "12 o'clock")
	f.Add("<script>alert(1)</script>", "]]>", "&#0;")
	f.Add("\x00\x1b\x7f", "\u202e\u2028\ufffe", "e\u0301\u0301\u0301\u0301\u0301")
	f.Add("蒸気タービン", "🏭👩\u200d🔧", "\xff\xfe")
	f.Fuzz(func(t *testing.T, a, b, c string) {
		train := pumpSet()
		train.Title, train.Plant, train.Reference, train.Date = a, b, c, a
		train.Machines[0].Name, train.Machines[1].Name, train.Couplings[0].Name = a, c, b
		train.Machines[1].Feet[0].Name, train.Machines[1].Feet[1].Name = b, a
		train.States[0].Name, train.States[2].Name = c, b
		train.Flanges[0].Name, train.Flanges[0].Gaps[0].Where, train.Flanges[1].Gaps[1].Where = a, b, c
		p, err := train.Draw()
		require.NoError(t, err)
		requireSoundTrain(t, p)
		requireClearTexts(t, p)
		svg := p.SVG()
		require.NotEmpty(t, parseSVG(t, svg)) // which refuses scripts and links
		for _, r := range string(svg) {
			if r < ' ' && r != '\n' || r == 0x7f || r == 0xfffd {
				t.Fatalf("control character %q", r)
			}
		}
	})
}

func BenchmarkTrain(b *testing.B) {
	train := compressorTrain()
	for _, way := range []struct {
		name string
		svg  bool
	}{{"six machines", false}, {"six machines with SVG", true}} {
		b.Run(way.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p, err := train.Draw()
				if err != nil {
					b.Fatal(err)
				}
				if way.svg {
					p.SVG()
				}
			}
		})
	}
}
