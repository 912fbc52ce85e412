package worksheet

import (
	"math"

	"collinear.example/align"
	"collinear.example/tolerance"
)

// chosenLimits are the sets that exercises use, with running speeds that meet their
// rows. Hubs are diameters in millimetres to suit the sizes (our own choice).
type chosenLimits struct {
	set    string
	inch   bool
	speeds []float64
	sizes  []string
	hubs   []float64
}

var toleranceSets = []chosenLimits{
	{set: "practical-pumping-handbook", inch: true, speeds: []float64{1200, 1460, 1785, 1800, 3560, 3600}},
	{set: "teco-aeeb-flexible", speeds: []float64{985, 1480, 2960}},
	{set: "hbe-softex", speeds: []float64{735, 985, 1480, 1500, 2960}, sizes: []string{"14/16", "19/24", "24/30"}},
	{set: "ktr-rotex-sp-12-gap", speeds: []float64{1480, 1500, 2960}, sizes: []string{"28", "38", "42", "48"}, hubs: []float64{65, 80, 95, 105}},
}

// toleranceRecord invents readings that use between a third and one and a quarter
// of the limits.
func toleranceRecord(v inventor, d Difficulty) *Record {
	set := toleranceSets[0]
	if !v.inch {
		set = toleranceSets[1+v.IntN(len(toleranceSets)-1)]
	}
	r := v.toleranceTry(set, d)
	for range 60 {
		if s, err := toleranceSheet(r); err == nil && clearVerdict(s, d) {
			break
		}
		r = v.toleranceTry(set, d)
	}
	return r
}

// clearVerdict wants no limit that is just met, and readings that all say something.
func clearVerdict(s *Sheet, d Difficulty) bool {
	w := s.Work()
	var shares []float64
	for _, st := range s.Steps {
		if st.Unit == align.UnitOne {
			shares = append(shares, w[st.ID])
		}
	}
	for _, x := range shares {
		if math.Abs(x-1) < 0.04 || x < 0.15 {
			return false
		}
	}
	if len(shares) > 1 && math.Abs(shares[0]-shares[1]) < 0.05 {
		return false
	}
	v, h := math.Abs(w["vertical"]), math.Abs(w["horizontal"])
	return v > 0 && (d == Plain || (h > 0 && math.Abs(v-h) > 0.1*v))
}

func (v inventor) toleranceTry(c chosenLimits, d Difficulty) *Record {
	r := v.record("Rim and face readings, as left")
	speed := c.speeds[v.IntN(len(c.speeds))]
	r.Train.Speed, r.Units.Speed = &speed, align.UnitRPM
	r.Train.Couplings[0].FlexPlanes = []float64{0}
	l := Limits{Coupling: "coupling", Set: c.set}
	rim := Dial{Touches: "rim", On: "far", Station: 0, Bracket: "on the first hub"}
	face := Dial{Touches: "face-toward", On: "far", Station: 0, Diameter: v.length(100, 240)}
	if len(c.sizes) > 0 {
		i := v.IntN(len(c.sizes))
		l.Size = c.sizes[i]
		if len(c.hubs) > 0 {
			rim.Diameter = c.hubs[i]
			face.Diameter = c.hubs[i] - v.length(10, 25)
		}
	}
	r.Limits = []Limits{l}
	sag := -v.reading(20, 120)
	r.Sag = []SagTest{{Bracket: rim.Bracket, Kind: "roll-over", Reading: sag}}
	r.Sets = []Set{{Stage: AsLeft, Coupling: "coupling", Method: RimAndFace, Dials: []Dial{rim, face}}}
	offset, slope := v.within(r, &rim, &face)
	r.Sets[0].Dials[0].Readings = v.rimSweep(d, offset, sag)
	r.Sets[0].Dials[1].Readings = v.faceSweep(d, slope*v.micrometres(face.Diameter))
	return r
}

// within invents an offset in micrometres and a slope that use up parts of the
// limits.
func (v inventor) within(r *Record, rim, face *Dial) (offset, slope float64) {
	set, tables, err := r.heldTables(rim, face)
	if err != nil {
		return 100, 1e-3
	}
	for _, h := range tables {
		share := 0.3 + 0.95*v.Float64()
		if set.Combine == tolerance.SharesAdd {
			share *= 0.6
		}
		g := r.geometry(rim, face)
		allowed, err := h.table.LimitAt(g)
		if err != nil {
			continue
		}
		switch h.id {
		case "offset":
			offset = share * allowed.SI * 1e6
		case "rim":
			offset = share * allowed.SI * 1e6 / 2
		case "angle":
			slope = share * allowed.SI
		case "gap":
			slope = share * allowed.SI / float64(g.FaceDiameter)
		}
	}
	if slope == 0 {
		slope = 0.3e-3
	}
	return offset, slope
}

// parts parts a size into two directions of either sign; all upright in a plain job.
func (v inventor) parts(d Difficulty, size float64) (up, right float64) {
	if v.IntN(2) == 0 {
		size = -size
	}
	if d == Plain {
		return size, 0
	}
	a := (25 + 40*v.Float64()) * math.Pi / 180
	up, right = size*math.Sin(a), size*math.Cos(a)
	if v.IntN(2) == 0 {
		right = -right
	}
	return up, right
}

// rimSweep is what a rim dial on the far hub shows, zeroed at 12: -2e + S at 6.
func (v inventor) rimSweep(d Difficulty, offset, sag float64) []Reading {
	up, right := v.parts(d, offset)
	bottom := cleaned(v.division(-2*up) + sag)
	if d == Plain {
		return []Reading{{0, 0}, {180, bottom}}
	}
	side := v.division((v.micrometresRead(bottom) + 2*right) / 2)
	return []Reading{{0, 0}, {90, side}, {180, bottom}, {270, cleaned(bottom - side)}}
}

// faceSweep is what a face dial shows, zeroed at 12, whose full swing is given in
// micrometres: minus the swing at 6.
func (v inventor) faceSweep(d Difficulty, swing float64) []Reading {
	up, right := v.parts(d, swing)
	bottom := v.division(-up)
	if d == Plain {
		return []Reading{{0, 0}, {180, bottom}}
	}
	side := v.division((v.micrometresRead(bottom) + right) / 2)
	return []Reading{{0, 0}, {90, side}, {180, bottom}, {270, cleaned(bottom - side)}}
}
