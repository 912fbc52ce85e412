package worksheet

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// variousRecords are records of every shape: those that can be read, jobs built
// here, and what the exercises are made of.
func variousRecords(t testing.TB) map[string]*Record {
	t.Helper()
	out := map[string]*Record{"sound": soundJob(), "moved": movedJob(), "spoiled": spoiledJob()}
	for name, text := range goodRecords(t) {
		r, err := Parse(text)
		require.NoError(t, err)
		out[name] = r
	}
	for _, k := range kinds() {
		for d := Plain; d <= Severe; d++ {
			for seed := range uint64(2) {
				x, err := Generate(k.name, seed, d)
				require.NoError(t, err)
				if x.Record.Check() != nil {
					continue // an exercise may want less than a whole record
				}
				out[fmt.Sprintf("%s %d %d", k.name, d, seed)] = x.Record
			}
		}
	}
	return out
}

// spoiledJob holds in every part something that cannot be computed or is suspect.
func spoiledJob() *Record {
	r := movedJob()
	r.Train.Speed, r.Train.Couplings[0].FlexPlanes = nil, nil
	r.Train.Machines[1].Feet[2].Lateral = nil
	r.Looked = r.Looked[:2]
	for i := range r.Base.Points {
		r.Base.Points[i].Lateral = 0 // all in one line
	}
	r.Gaps[4].NearLeft, r.Gaps[5].NearLeft = 0.4, 0.06
	r.Rises = r.Rises[:6]
	r.Rises[5].Rise = -0.2
	r.Runout[2].Diameter, r.Runout[3].Readings = 3, quarterTurn(0, 0.1, 0.2, 0.1)
	r.Joints[0].FlangeOD, r.Joints[0].RaisedFaceOD, r.Joints[1].OffsetUp = 0, 0, nil
	r.Strain[0].Dials[0].Touches, r.Strain[0].Dials[1].Touches = "casing", "foot"
	r.Strain[1].Steps[1].Readings[0] = 0.02
	r.Oblique = []ObliqueDial{{Machine: "pump", What: "suction flange", At: 30, Reading: 0.1, Limit: 0.05, Source: "agreed"}}
	r.Hubs = []HubGaps{{Coupling: "coupling", Diameter: 100, Gaps: []Reading{{10, 1}, {190, 2}}}}
	r.Sag[0].Reading = 0.5
	r.Sets[0].Dials[1].Bracket = ""
	r.Sets[1].Dials[0].Readings[4].Value = 0.1
	r.States = []State{{Name: "hot", Machines: []Movement{{Machine: "motor", Supports: []Support{
		{Station: 0, Height: 300, Material: "carbon steel", Variant: "EN 1993-1-2", Cold: 20, Hot: 1500}, {Station: 1, Height: 300, Coefficient: 1e-5, Cold: 20, Hot: 900}}}}}}
	r.Limits = append(r.Limits, Limits{Coupling: "coupling", Set: "usbr-fist-2-1"})
	r.Wanted = []MoveWanted{{Machine: "motor", Foot: "front left", Up: -50}}
	r.Stock.MaxLeaves = 50
	return r
}

// stepsAlong goes along a path into the record and returns how many of its steps lead
// somewhere, of how many. What may be left out and is leads nowhere.
func stepsAlong(r *Record, path string) (led, steps int) {
	v := reflect.ValueOf(r).Elem()
	parts := strings.FieldsFunc(path, func(c rune) bool { return c == '.' || c == '[' || c == ']' })
	for i, p := range parts {
		if v.Kind() == reflect.Pointer {
			v = v.Elem()
		}
		switch v.Kind() {
		case reflect.Slice:
			k, err := strconv.Atoi(p)
			if err != nil || k >= v.Len() {
				return i, len(parts)
			}
			v = v.Index(k)
		case reflect.Struct:
			k := slices.IndexFunc(fieldsOf(v.Type()), func(f field) bool { return f.name == p })
			if k < 0 || fieldsOf(v.Type())[k].optional && v.Field(k).IsZero() {
				return i, len(parts)
			}
			v = v.Field(k)
		default:
			return i, len(parts)
		}
	}
	return len(parts), len(parts)
}

func TestEvalResolve(t *testing.T) {
	r := soundJob()
	for path, want := range map[string]int{
		"train.speed": 2, "train.machines[1].feet[0].station": 6, "sets[0].dials[4]": 3, "sets[0].when": 2, "hubs": 0, "nothing": 0, "strain[0].steps[1].readings[0]": 6, "sets[0].sigma": 2,
	} {
		led, steps := stepsAlong(r, path)
		if path == "sets[0].when" || path == "sets[0].sigma" {
			assert.Equal(t, steps-1, led, path)
			continue
		}
		assert.Equal(t, want, led, path)
	}
}

var codeWord = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

func TestEvalEveryFinding(t *testing.T) {
	seen := map[string]int{}
	for name, r := range variousRecords(t) {
		v := evaluated(t, r)
		ids := map[string]bool{}
		for i := range v.Findings {
			f := &v.Findings[i]
			at := name + ": " + f.ID
			require.False(t, ids[f.ID], "%s twice", at)
			ids[f.ID] = true
			checkFinding(t, r, f, at)
			switch {
			case f.Error != nil:
				seen["error "+string(f.Part)]++
			case f.Value != nil:
				seen["value "+string(f.Part)]++
			}
			for range f.Warnings {
				seen["warning"]++
			}
			seen["verdict "+f.Verdict]++
		}
		checkReadiness(t, v, ids, name)
		checkSources(t, v, name)
	}
	// The records show what they are meant to show.
	for _, p := range []Part{PartBase, PartFeet, PartRunout, PartPipe, PartSets, PartStates, PartLimits, PartMoves} {
		assert.Positive(t, seen["error "+string(p)], "no error in %s", p)
		assert.Positive(t, seen["value "+string(p)], "no value in %s", p)
	}
	for _, v := range []string{Within, Over, CannotTell} {
		assert.Positive(t, seen["verdict "+v], v)
	}
	assert.Greater(t, seen["warning"], 20)
}

func checkFinding(t *testing.T, r *Record, f *Finding, at string) {
	t.Helper()
	parts := []Part{PartBase, PartFeet, PartRunout, PartPipe, PartSag, PartSets, PartStates, PartLimits, PartMoves, PartAsLeft}
	assert.Contains(t, parts, f.Part, at)
	assert.NotEmpty(t, f.Of, at)
	assert.NotEmpty(t, f.Says, at)
	assert.NotEmpty(t, f.Inputs, at)
	assert.Len(t, unique(f.Inputs), len(f.Inputs), at)
	for _, p := range f.Inputs {
		led, steps := stepsAlong(r, p)
		assert.Equal(t, steps, led, "%s: input %s leads nowhere", at, p)
	}
	assert.Equal(t, f.Formula == "", f.Doc == "", "%s: a formula and where it stands", at)
	for _, s := range []string{f.Of, f.Says, f.Words, f.Formula, f.Plus, f.Minus} {
		assert.NotContains(t, s, "%!", at)
		assert.NotContains(t, s, "\n", at)
		assert.NotContains(t, s, "NaN", at)
	}
	switch {
	case f.Error != nil:
		checkError(t, r, f, at)
	case f.Value != nil:
		checkValue(t, f, at)
	default:
		assert.NotEmpty(t, f.Words, "%s says nothing", at)
		assert.Empty(t, f.SI+f.Unit, at)
		assert.Nil(t, f.Limit, at)
		assert.Nil(t, f.Sigma, at)
	}
	for _, w := range f.Warnings {
		checkWarning(t, w, at)
	}
}

func checkError(t *testing.T, r *Record, f *Finding, at string) {
	t.Helper()
	assert.Regexp(t, codeWord, f.Error.Code, at)
	assert.NotEmpty(t, f.Error.Says, at)
	assert.NotContains(t, f.Error.Says, "\n", at)
	led, _ := stepsAlong(r, f.Error.Field)
	top := strings.FieldsFunc(f.Error.Field, func(c rune) bool { return c == '.' || c == '[' })
	isField := len(top) > 0 && slices.ContainsFunc(fieldsOf(reflect.TypeOf(Record{})), func(n field) bool { return n.name == top[0] })
	assert.True(t, led > 0 || isField, "%s: field %q is nowhere in the record", at, f.Error.Field)
	assert.Nil(t, f.Value, at)
	assert.Nil(t, f.Limit, at)
	assert.Empty(t, f.Verdict, at)
	assert.Empty(t, f.Words, at)
}

func checkValue(t *testing.T, f *Finding, at string) {
	t.Helper()
	assert.True(t, align.IsFinite(*f.Value), at)
	assert.False(t, *f.Value == 0 && math.Signbit(*f.Value), "%s: minus zero", at)
	assert.NotEmpty(t, f.Formula, at)
	assert.NotEqual(t, align.NoDimension, f.Unit.Dimension(), "%s: unit %q", at, f.Unit)
	assert.Equal(t, siName(f.Unit), f.SI, at)
	assert.Equal(t, *f.Value, f.SI.SI(*f.Value), "%s is not in SI units", at)
	assert.Equal(t, f.Plus == "", f.Minus == "", at)
	if f.Sigma != nil {
		assert.True(t, align.IsFinite(*f.Sigma) && *f.Sigma > 0, "%s: sigma %g", at, *f.Sigma)
	}
	l := f.Limit
	if l == nil {
		assert.True(t, f.Verdict == "" || strings.HasSuffix(f.ID, ".share"), "%s: a verdict by no limit", at)
		return
	}
	assert.NotEmpty(t, l.Source, at)
	assert.NotEmpty(t, l.Name, at)
	assert.True(t, align.IsFinite(l.Value) && l.Value > 0, "%s: limit %g", at, l.Value)
	assert.Equal(t, siName(f.Unit), siName(l.Unit), "%s: value in %s, limit in %s", at, f.Unit, l.Unit)
	assert.InDelta(t, l.Unit.SI(l.Printed), l.Value, digits, at)
	switch f.Verdict {
	case Within:
		assert.LessOrEqual(t, math.Abs(*f.Value), l.Value+digits, at)
	case Over:
		assert.Greater(t, math.Abs(*f.Value), l.Value-digits, at)
	case CannotTell:
		assert.NotNil(t, f.Sigma, at)
	default:
		assert.Fail(t, "a limit and no verdict", at)
	}
}

func checkWarning(t *testing.T, w FindingWarning, at string) {
	t.Helper()
	assert.Regexp(t, codeWord, w.Code, at)
	assert.Contains(t, []string{"notice", "suspect", "serious"}, w.Severity, at)
	assert.Contains(t, w.Says, w.Code, at)
	assert.Greater(t, len(w.Says), len(w.Field)+len(w.Code)+6, "%s: %s has no meaning in words", at, w.Code)
	assert.Equal(t, w.Value == nil, w.Limit == nil, at)
	assert.Equal(t, w.Value == nil, w.Unit == "", at)
}

func checkReadiness(t *testing.T, v *Evaluation, ids map[string]bool, name string) {
	t.Helper()
	for _, r := range v.Readiness {
		assert.NotEmpty(t, r.Topic, name)
		assert.NotEmpty(t, r.Says, "%s: %s", name, r.Topic)
		assert.Contains(t, []Status{Blocks, Look, InOrder, NotLookedAt}, r.Status, name)
		for _, id := range r.Findings {
			assert.True(t, ids[id], "%s: %s rests on %s", name, r.Topic, id)
		}
		if r.Status == InOrder || r.Status == Look {
			assert.NotEmpty(t, r.Findings, "%s: %s rests on nothing", name, r.Topic)
		}
	}
}

func checkSources(t *testing.T, v *Evaluation, name string) {
	t.Helper()
	seen := map[LimitsSource]bool{}
	for _, s := range v.Sources {
		assert.False(t, seen[s], "%s: %s twice", name, s.Source)
		seen[s] = true
	}
	used := map[LimitsSource]bool{}
	for _, f := range v.Findings {
		if l := f.Limit; l != nil {
			used[LimitsSource{l.Source, l.Edition, string(l.Known), l.Table}] = true
		}
	}
	assert.Equal(t, used, seen, name)
}

func TestEvalHead(t *testing.T) {
	r := soundJob()
	r.Notes = []string{"one"}
	v := evaluated(t, r)
	hash, err := r.Hash()
	require.NoError(t, err)
	assert.Equal(t, hash, v.Record)
	assert.Len(t, v.Record, 64)
	assert.Equal(t, FindingsFormat, v.Format)
	assert.Equal(t, LibraryVersion, v.Library)
	assert.Regexp(t, `^\d+\.\d+\.\d+$`, v.Library)
	assert.Equal(t, []string{r.Title, r.Plant}, []string{v.Title, v.Plant})
	assert.Equal(t, r.Units, v.Units)
	assert.Equal(t, r.Notes, v.Notes)
	_, ok := v.Find("nothing")
	assert.False(t, ok)
	v.Notes[0] = "another"
	assert.Equal(t, "one", r.Notes[0], "the evaluation keeps its own copy")
	text, err := json.Marshal(v)
	require.NoError(t, err)
	var back Evaluation
	require.NoError(t, json.Unmarshal(text, &back))
	again, err := json.Marshal(back)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again))
}
