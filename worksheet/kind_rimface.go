package worksheet

import (
	"fmt"
	"math/rand/v2"

	"collinear.example/align"
)

func rimFaceKind() kind {
	return kind{
		name:  "rim-and-face",
		title: "Rim dial and face dial from one bracket",
		asks:  "Correct the readings for the sag of the bracket, find the offset at the rim dial and the slope from the face, and say what to do at the feet of the second machine.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			return rimFaceRecord(newInventor(r), d)
		},
		build:    rimFaceSheet,
		mistakes: rimFaceMistakes(),
	}
}

// rimFaceRecord invents a job. When it is severe the bracket may stand on either
// shaft, the face dial may touch the back of the hub, the bracket's sag tilts the
// face dial too, and the dials were not set to zero.
func rimFaceRecord(v inventor, d Difficulty) *Record {
	r := v.record("Rim-and-face readings, as found")
	rim := v.length(60, 200)
	on, touches, sides, bracketOn := onFar, faceToward, 1.0, "first"
	planes, topRim, topFace, faceSag := 2, 0.0, 0.0, 0.0
	switch d {
	case Plain:
		planes = 1
	case Severe:
		if v.IntN(2) == 0 {
			on, sides, bracketOn = onNear, -1, "second"
			rim = v.length(20, 60)
		}
		if v.IntN(2) == 0 {
			touches = faceAway
		}
		topRim, topFace, faceSag = v.signed(60, 200), v.signed(60, 200), v.signed(30, 80)
	}
	inboard := v.length(300, 550)
	outboard := inboard + v.length(300, 900)
	r.Train.Machines[1].Feet = []Foot{{Name: "inboard", Station: inboard}, {Name: "outboard", Station: outboard}}
	swept := v.length(120, 260)
	hub := swept + v.length(20, 60)
	sag := -v.reading(50, 150)
	bracket, face := "rim dial, bracket on the "+bracketOn+" hub", "face dial, bracket on the "+bracketOn+" hub"
	r.Sag = []SagTest{{Bracket: bracket, Kind: rollOver, Reading: sag}, {Bracket: face, Kind: rollOver, Reading: faceSag}}
	l := v.line()
	up, right := l.at(v.mm(rim))
	back := 1.0
	if touches == faceAway {
		back = -1
	}
	half := back * v.mm(swept) / 2
	r.Sets = []Set{{Stage: AsFound, Coupling: "coupling", Method: RimAndFace, Dials: []Dial{
		{Touches: rimDial, On: on, Station: rim, Diameter: hub, Bracket: bracket, Readings: v.sweep(sides*up, sides*right, sag, topRim, planes)},
		{Touches: touches, On: on, Station: rim, Diameter: swept, Bracket: face, Readings: v.sweep(half*l.upSlope, half*l.rightSlope, faceSag, topFace, planes)},
	}}}
	return r
}

// rimFaceDials returns the dials of a rim-and-face set and their places in it.
func (r *Record) rimFaceDials(set int) (rim, face *Dial, at [2]int, err error) {
	if set >= len(r.Sets) {
		return nil, nil, at, fault("sets", "", align.ErrMissing)
	}
	path := fmt.Sprintf("sets[%d].dials", set)
	for i := range r.Sets[set].Dials {
		switch d := &r.Sets[set].Dials[i]; d.Touches {
		case rimDial:
			rim, at[0] = d, i
		case faceToward, faceAway:
			face, at[1] = d, i
		default:
			return nil, nil, at, fault(fmt.Sprintf("%s[%d].touches", path, i), d.Touches, align.ErrUnknownKind)
		}
	}
	if rim == nil || face == nil {
		return nil, nil, at, fault(path, "", align.ErrMissing)
	}
	if rim.On != face.On || (rim.On != onNear && rim.On != onFar) {
		return nil, nil, at, fault(path, "the dials do not touch one shaft", align.ErrMismatch)
	}
	return rim, face, at, nil
}

// rimFaceStart is the place from which the line is drawn to the feet.
var rimFaceStart = lineStart{offset: "offset.rim.", station: "station.rim", words: "the rim dial"}

func rimFaceSheet(r *Record) (*Sheet, error) {
	rim, face, at, err := r.rimFaceDials(0)
	if err != nil {
		return nil, err
	}
	feet, err := r.feetOf(1)
	if err != nil {
		return nil, err
	}
	if !(face.Diameter > 0) {
		return nil, fault(dialPath(0, at[1])+".diameter", "", align.ErrZeroDiameter)
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "rim-and-face"}}
	touched, moving := r.Train.Machines[1].Name, r.Train.Machines[1].Name
	if rim.On == onNear {
		touched = r.Train.Machines[0].Name
	}
	planes := 2
	for i, d := range []*Dial{rim, face} {
		id, path := [2]string{"rim", "face"}[i], dialPath(0, at[i])
		q := dialQuartersOf(d)
		if err := q.need(path, 0, 2); err != nil {
			return nil, err
		}
		if q.sides() < 2 {
			planes = 1
		}
		says := id + " dial on the " + touched + " hub"
		givenDial(m, u, id, says, d)
		if err := givenSag(m, r, id, says, path, d); err != nil {
			return nil, err
		}
	}
	m.given("station.rim", "station of the rim dial", u.length(rim.Station), u.Length, 2)
	m.given("swept", "diameter that the face dial sweeps, on the face of the "+touched+" hub that looks "+lookOf(rim.On, face.Touches, r), u.length(face.Diameter), u.Length, 2)
	if rim.Diameter > 0 {
		m.given("hub", "outside diameter of that hub", u.length(rim.Diameter), u.Length, 2)
	}
	givenFeet(m, u, moving, feet)
	rimFaceSteps(m, u, moving, rim, face, feet, planes)
	return &m.Sheet, nil
}

// lookOf says in words which face of the hub is touched.
func lookOf(on, touches string, r *Record) string {
	carrier := r.Train.Machines[0].Name
	if on == onNear {
		carrier = r.Train.Machines[1].Name
	}
	if touches == faceAway {
		return "away from the " + carrier + ", which carries the bracket"
	}
	return "toward the " + carrier + ", which carries the bracket"
}

// rimFaceSteps asks the offset at the rim dial, the slope and the feet. With S the
// sag, e the offset and D the swept diameter the rim at 6 reads -2e + S on the far
// hub and +2e + S on the near one; a face that looks toward the bracket reads
// -D slope at 6, whichever shaft carries it.
func rimFaceSteps(m *sheetMaker, u Units, moving string, rim, face *Dial, feet []Foot, planes int) {
	for _, id := range []string{"rim", "face"} {
		m.ask(Step{ID: "corrected." + id, Says: "reading of the " + id + " dial at 6 o'clock, less that at 12, corrected for sag",
			Formula: "reading at 6 less reading at 12, less sag", Unit: u.Reading, Decimals: u.readingDecimals()},
			func(v Values) float64 { return v[id+".6"] - v[id+".12"] - v[id+".sag"] })
	}
	rimSign, rimWords := 1.0, [2]string{"minus half of the corrected reading", "half of reading at 3 less reading at 9"}
	if rim.On == onNear {
		rimSign, rimWords = -1, [2]string{"plus half of the corrected reading: the second shaft carries the bracket", "minus half of reading at 3 less reading at 9"}
	}
	faceSign, faceWords := 1.0, [2]string{"minus the corrected face reading over the swept diameter", "face reading at 3 less that at 9, over the swept diameter"}
	if face.Touches == faceAway {
		faceSign, faceWords = -1, [2]string{"plus the corrected face reading over the swept diameter: the back of the hub", "minus (face reading at 3 less that at 9) over the swept diameter"}
	}
	m.ask(Step{ID: "offset.rim.vertical", Says: "how high or low the " + moving + " shaft stands at the rim dial",
		Formula: rimWords[0], Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: HighLow},
		func(v Values) float64 { return -rimSign * v["corrected.rim"] / 2 })
	m.ask(slopeStep(u, "vertical", moving, faceWords[0]),
		func(v Values) float64 { return -faceSign * v["corrected.face"] / v["swept"] })
	askFeet(m, u, rimFaceStart, "vertical", moving, feet)
	if planes == 1 {
		return
	}
	rimSide, faceSide := rimSign*sideSign(rim), faceSign*sideSign(face)
	m.ask(Step{ID: "offset.rim.horizontal", Says: "how far right or left the " + moving + " shaft stands at the rim dial",
		Formula: rimWords[1], Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: RightLeft},
		func(v Values) float64 { return rimSide * (v["rim.3"] - v["rim.9"]) / 2 })
	m.ask(slopeStep(u, "horizontal", moving, faceWords[1]),
		func(v Values) float64 { return faceSide * (v["face.3"] - v["face.9"]) / v["swept"] })
	askFeet(m, u, rimFaceStart, "horizontal", moving, feet)
}
