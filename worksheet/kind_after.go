package worksheet

import (
	"math"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
	"collinear.example/moves"
)

func afterKind() kind {
	return kind{
		name:  "after-the-move",
		title: "What the readings after a move say of the move",
		asks: "The readings before the move asked for a move that was to leave the shafts in line. Find the offsets before and after it and what is left as a share of what was there, " +
			"and say what happened: a move of k times the right one leaves 1 - k.",
		generate: func(r *rand.Rand, d Difficulty) *Record { return afterRecord(newInventor(r), d) },
		build:    afterSheet,
		mistakes: afterMistakes(),
	}
}

// afterMeanings are what a move can have been, in the order of moves.Mistakes, and
// none of them. The words are those of package moves, shorter.
var afterMeanings = []string{"right", "not halved", "halved twice", "wrong way", "not moved", "none of these"}

// afterWithin is how near a ratio has to be to that of a meaning (own choice).
const afterWithin = 0.2

// afterRecord invents readings before and after a move that went right, or as one
// of the usual mistakes makes it go; for Severe also one that no single mistake
// explains, such as a machine that turned about a bound foot.
func afterRecord(v inventor, d Difficulty) *Record {
	r := v.record("Readings before and after a move")
	span := v.length(150, 400)
	inboard := span + v.length(120, 400)
	r.Train.Machines[1].Feet = []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: inboard + v.length(300, 1000)}}
	sags := [2]float64{-v.reading(50, 150), -v.reading(50, 150)}
	if d == Plain {
		sags[1] = sags[0]
	}
	r.Sag = []SagTest{{Bracket: "on the first hub", Kind: rollOver, Reading: sags[0]}, {Bracket: "on the second hub", Kind: rollOver, Reading: sags[1]}}
	far, near := v.either(200, 600), v.either(200, 600)
	all := moves.Mistakes()
	kept := all[v.IntN(len(all))].Ratio()
	keptNear := kept
	if d == Severe && v.IntN(4) == 0 {
		keptNear = kept + v.either(0.4, 0.6)
	}
	noise := func() float64 { return v.either(10, 30) }
	r.Sets = []Set{v.rimSet(AsFound, span, far, near, sags), v.rimSet(AfterMove, span, kept*far+noise(), keptNear*near+noise(), sags)}
	sigma := v.division(25)
	for i := range r.Sets {
		r.Sets[i].Sigma = &sigma
	}
	for _, f := range r.Train.Machines[1].Feet {
		x := v.mm(f.Station) / v.mm(span)
		up := (kept-1)*(far*x) + (keptNear-1)*near*(1-x)
		r.Moves = append(r.Moves, MoveMade{After: 0, Machine: r.Train.Machines[1].Name, Foot: f.Name, Up: v.division(up)})
	}
	return r
}

// rimSet invents the readings of two rim dials for offsets in micrometres.
func (v inventor) rimSet(stage string, span, far, near float64, sags [2]float64) Set {
	return Set{Stage: stage, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
		{Touches: rimDial, On: onFar, Station: span, Bracket: "on the first hub", Readings: v.sweep(far, 0, sags[0], 0, 1)},
		{Touches: rimDial, On: onNear, Station: 0, Bracket: "on the second hub", Readings: v.sweep(-near, 0, sags[1], 0, 1)},
	}}
}

func afterSheet(r *Record) (*Sheet, error) {
	m := &sheetMaker{Sheet{Kind: "after-the-move"}}
	feet, err := r.feetOf(1)
	if err != nil {
		return nil, err
	}
	names := [2]string{r.Train.Machines[0].Name, r.Train.Machines[1].Name}
	for i, when := range []string{"before", "after"} {
		if err := afterSet(m, r, i, when, names); err != nil {
			return nil, err
		}
	}
	far, near, err := r.reverseDials(0)
	if err != nil {
		return nil, err
	}
	afterRatios(m, names)
	if far.Station == near.Station {
		return nil, fault("sets[0].dials[1].station", "", align.ErrCoincident)
	}
	u := r.Units
	m.given("station.near", "station of the dial on the "+names[0]+" hub", u.length(near.Station), u.Length, 2)
	m.given("station.far", "station of the dial on the "+names[1]+" hub", u.length(far.Station), u.Length, 2)
	givenFeet(m, u, names[1], feet)
	m.between("slope.vertical", "offset at the far dial less offset at the near one, after the move, over the distance between the dials", u.slopeUnit(),
		func(v Values) float64 {
			return (v["after.far"] - v["after.near"]) / (v["station.far"] - v["station.near"])
		})
	for _, f := range feet {
		foot := "foot." + f.Name
		m.ask(Step{ID: "move." + f.Name + ".vertical", Says: "what to do next at the " + f.Name + " feet of the " + names[1],
			Formula: "minus (offset after the move at the near dial plus slope times the distance from there to the feet)", Unit: u.Reading, Decimals: u.readingDecimals(), Sense: RaiseLower},
			func(v Values) float64 { return -(v["after.near"] + v["slope.vertical"]*(v[foot]-v["station.near"])) })
	}
	return &m.Sheet, nil
}

// afterSet asks the offsets of one set of readings.
func afterSet(m *sheetMaker, r *Record, set int, when string, names [2]string) error {
	far, near, err := r.reverseDials(set)
	if err != nil {
		return err
	}
	u := r.Units
	for _, d := range []struct {
		id, on, words string
		dial          *Dial
		sign          float64
	}{
		{"far", names[1], "minus half of (reading at 6 less reading at 12, less sag)", far, -1},
		{"near", names[0], "half of (reading at 6 less reading at 12, less sag): this dial touches the other shaft", near, 1},
	} {
		id := when + "." + d.id
		q := dialQuartersOf(d.dial)
		if err := q.need(at("sets", set)+"."+d.id, 0, 2); err != nil {
			return err
		}
		sag, ok := r.sagOf(d.dial.Bracket)
		if !ok {
			return fault(at("sets", set)+"."+d.id+".bracket", d.dial.Bracket, align.ErrMissing)
		}
		m.given(id+".12", when+" the move, dial on the "+d.on+" hub, reading at 12 o'clock", u.reading(q.value[0]), u.Reading, u.readingDecimals())
		m.given(id+".6", when+" the move, dial on the "+d.on+" hub, reading at 6 o'clock", u.reading(q.value[2]), u.Reading, u.readingDecimals())
		if set == 0 {
			m.given(d.id+".sag", "sag of the bracket of the dial on the "+d.on+" hub (roll-over, zero at 12, read at 6)", sag, u.Reading, u.readingDecimals())
		}
		sagID := d.id + ".sag"
		m.ask(Step{ID: id, Says: when + " the move: how high or low the " + names[1] + " shaft stands at the dial on the " + d.on + " hub",
			Formula: d.words, Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow},
			func(v Values) float64 { return d.sign * (v[id+".6"] - v[id+".12"] - v[sagID]) / 2 })
	}
	return nil
}

// afterRatios asks what is left as a share of what was there (package moves,
// Response: the move was to leave nothing), and what that says.
func afterRatios(m *sheetMaker, names [2]string) {
	for i, d := range []string{"near", "far"} {
		m.ask(Step{ID: "ratio." + d, Says: "offset after the move over offset before it, at the dial on the " + names[i] + " hub",
			Formula: "offset after over offset before, with their signs", Unit: align.UnitOne, Decimals: 2},
			func(v Values) float64 {
				if v["before."+d] == 0 {
					return 0 // nothing was there; Mark never gets here with invented figures
				}
				return v["after."+d] / v["before."+d]
			})
	}
	m.ask(Step{ID: "meaning", Says: "what the move was: right (0), not halved (-1), halved twice (1/2), wrong way (2), not moved (1), or none of these; both shares within a fifth of it",
		Formula: "a move of k times the right one leaves 1 - k of the offset", Choices: slices.Clone(afterMeanings)},
		func(v Values) float64 { return afterMeaning(v["ratio.near"], v["ratio.far"]) })
}

// afterMeaning returns the index of the meaning that is near enough to both
// shares.
func afterMeaning(near, far float64) float64 {
	for i, m := range moves.Mistakes() {
		if max(math.Abs(near-m.Ratio()), math.Abs(far-m.Ratio())) <= afterWithin {
			return float64(i)
		}
	}
	return float64(len(afterMeanings) - 1)
}
