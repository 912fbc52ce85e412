package worksheet

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"collinear.example/align"
)

func targetKind() kind {
	return kind{
		name:  "target-readings",
		title: "What the dials are to read when cold",
		asks:  "The shafts are to be in line when they run. Find where the second shaft is to stand cold, and what the two dials are then to read, zeroed at 12 o'clock and with the sag of their brackets in the reading.",
		generate: func(r *rand.Rand, d Difficulty) *Record {
			return targetRecord(newInventor(r), d)
		},
		build:    targetSheet,
		mistakes: targetMistakes(),
	}
}

// targetRecord invents a job: what the shafts do from cold to running, measured at
// the dials or, harder, at the bearings; when it is severe both machines move, and
// sideways too.
func targetRecord(v inventor, d Difficulty) *Record {
	r := reverseRecord(v, Plain)
	r.Title = "Target readings for a cold train"
	set := &r.Sets[0]
	if d != Plain {
		r.Sag[1].Reading = -v.reading(50, 150)
	}
	planes := 1
	if d == Severe {
		planes = 2
	}
	for i := range set.Dials {
		set.Dials[i].Readings = v.sweep(0, 0, r.Sag[i].Reading, 0, planes)
	}
	far, near := set.Dials[0].Station, set.Dials[1].Station
	first, second := []float64{near, far}, []float64{near, far}
	if d != Plain {
		first = []float64{near - v.length(700, 1100), near - v.length(100, 300)}
		second = []float64{far + v.length(100, 300), far + v.length(700, 1100)}
	}
	moved := func(stations []float64, lo, hi float64) (out []Moved) {
		for _, s := range stations {
			m := Moved{Station: s}
			if hi > 0 {
				m.Up = v.reading(lo, hi)
			}
			if d == Severe && hi > 0 {
				m.Right = v.signed(30, 150)
			}
			out = append(out, m)
		}
		return out
	}
	still := 0.0
	if d == Severe {
		still = 200
	}
	r.States = []State{{Name: "running", Machines: []Movement{
		{Machine: r.Train.Machines[0].Name, Measured: moved(first, 60, still)},
		{Machine: r.Train.Machines[1].Name, Measured: moved(second, 150, 500)},
	}}}
	return r
}

// measuredOf returns the movement of a machine, measured at two stations.
func (r *Record) measuredOf(machine string) ([2]Moved, error) {
	if len(r.States) == 0 {
		return [2]Moved{}, fault("states", "", align.ErrMissing)
	}
	i := slices.IndexFunc(r.States[0].Machines, func(m Movement) bool { return m.Machine == machine })
	if i < 0 {
		return [2]Moved{}, fault("states[0].machines", machine, align.ErrMissing)
	}
	path := fmt.Sprintf("states[0].machines[%d].measured", i)
	switch m := r.States[0].Machines[i].Measured; {
	case len(m) != 2:
		return [2]Moved{}, fault(path, fmt.Sprint(len(m), " stations"), align.ErrMissing)
	case m[0].Station == m[1].Station:
		return [2]Moved{}, fault(path, "", align.ErrCoincident)
	case m[0].Station > m[1].Station:
		return [2]Moved{m[1], m[0]}, nil
	default:
		return [2]Moved{m[0], m[1]}, nil
	}
}

func targetSheet(r *Record) (*Sheet, error) {
	t, err := r.twoDials(0)
	if err != nil {
		return nil, err
	}
	u := r.Units
	m := &sheetMaker{Sheet{Kind: "target-readings"}}
	planes := 1
	var places [2][2]Moved
	for i, id := range []string{"first", "second"} {
		if places[i], err = r.measuredOf(t.names[i]); err != nil {
			return nil, err
		}
		for k, p := range places[i] {
			says := fmt.Sprintf("place %d at which the %s shaft was measured", k+1, t.names[i])
			m.given(fmt.Sprintf("%s.station.%d", id, k+1), says+", station", u.length(p.Station), u.Length, 2)
			m.given(fmt.Sprintf("%s.vertical.%d", id, k+1), says+", how far it rises from cold to running", u.reading(p.Up), u.Reading, u.readingDecimals())
			if p.Right != 0 {
				planes = 2
			}
		}
	}
	if planes == 2 {
		for i, id := range []string{"first", "second"} {
			for k, p := range places[i] {
				says := fmt.Sprintf("place %d at which the %s shaft was measured, how far it goes right from cold to running (minus: left)", k+1, t.names[i])
				m.given(fmt.Sprintf("%s.horizontal.%d", id, k+1), says, u.reading(p.Right), u.Reading, u.readingDecimals())
			}
		}
	}
	for i, id := range reverseIDs {
		says := "dial on the " + t.on(id) + " hub"
		m.given("station."+id, says+", station", u.length(t.dial(id).Station), u.Length, 2)
		if err := givenSag(m, r, id, says, dialPath(0, i), t.dial(id)); err != nil {
			return nil, err
		}
	}
	for _, plane := range bothPlanes[:planes] {
		targetPlane(m, u, t, plane, planes == 1 && places[1][0].Station != t.near.Station)
	}
	targetReadings(m, u, t, planes)
	return &m.Sheet, nil
}

// targetPlane asks where the second shaft is to stand cold in one plane: minus
// what it moves more than the first. The movement between and beyond the places
// where it was measured is a straight line.
func targetPlane(m *sheetMaker, u Units, t *twoDials, plane string, asked bool) {
	sense, way, goes := HighLow, "how high or low", "rises"
	if plane == "horizontal" {
		sense, way, goes = RightLeft, "how far right or left", "goes right"
	}
	for i, id := range []string{"second", "first"} {
		for _, dial := range reverseIDs {
			work := func(v Values) float64 {
				a, b := v[id+".station.1"], v[id+".station.2"]
				return v[id+"."+plane+".1"] + (v[id+"."+plane+".2"]-v[id+"."+plane+".1"])*((v["station."+dial]-a)/(b-a))
			}
			step, formula := id+"."+dial+"."+plane, "straight line through the two measured movements, at the station of the dial"
			if asked && i == 0 {
				m.ask(Step{ID: step, Says: "how far the " + t.names[1] + " shaft " + goes + " at the dial on the " + t.on(dial) + " hub", Formula: formula,
					Unit: u.Reading, Decimals: u.readingDecimals() + 1}, work)
				continue
			}
			m.between(step, formula, u.Reading, work)
		}
	}
	for _, dial := range reverseIDs {
		m.ask(Step{ID: "wanted." + dial + "." + plane, Says: way + " the " + t.names[1] + " shaft is to stand cold at the dial on the " + t.on(dial) + " hub",
			Formula: "minus (what the second shaft does there less what the first does there)", Unit: u.Reading, Decimals: u.readingDecimals() + 1, Sense: sense},
			func(v Values) float64 {
				return -(v["second."+dial+"."+plane] - v["first."+dial+"."+plane])
			})
	}
}

// targetReadings asks the readings of the dials, zeroed at 12 (align.Dial.Predict):
// with (y, x) the wanted offset and S the sag, the dial on the far hub is to read
// -2y + S at 6, x - y + S/2 at 3 and -x - y + S/2 at 9; on the near hub x and y
// change sign.
func targetReadings(m *sheetMaker, u Units, t *twoDials, planes int) {
	for _, dial := range reverseIDs {
		sign, words := 1.0, [3]string{"half of the sag, plus the offset to the right, less the offset up", "sag less twice the offset up", "half of the sag, less the offset to the right, less the offset up"}
		if dial == "near" {
			sign, words = -1, [3]string{"half of the sag, less the offset to the right, plus the offset up", "sag plus twice the offset up: this dial touches the other shaft", "half of the sag, plus the offset to the right, plus the offset up"}
		}
		side := sign * sideSign(t.dial(dial))
		for i, at := range dialHours {
			if at == "12" || (planes == 1 && at != "6") {
				continue
			}
			up, right, share := [4]float64{0, -1, -2, -1}[i], [4]float64{0, 1, 0, -1}[i], sagShares[i]
			m.ask(Step{ID: "reading." + dial + "." + at, Says: "what the dial on the " + t.on(dial) + " hub is to read at " + at + " o'clock" + seenFrom(t.dial(dial)),
				Formula: words[i-1], Unit: u.Reading, Decimals: u.readingDecimals()},
				func(v Values) float64 {
					return sign*up*v["wanted."+dial+".vertical"] + side*right*v["wanted."+dial+".horizontal"] + share*v[dial+".sag"]
				})
		}
	}
}
