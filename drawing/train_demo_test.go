package drawing_test

import (
	"collinear.example/align"
	"collinear.example/drawing"
	"gonum.org/v1/gonum/unit"
)

// axisMM is an axis from offsets at station 0 in millimetres and slopes in mm/m.
func axisMM(up, rise, right, swing float64) align.Axis {
	return align.Axis{
		Vertical:   align.Line{Offset: unit.Length(up) * oneMM, Slope: rise * 1e-3},
		Horizontal: align.Line{Offset: unit.Length(right) * oneMM, Slope: swing * 1e-3},
	}
}

func moveMM(up, right float64) *align.Move {
	return &align.Move{Vertical: unit.Length(up) * oneMM, Horizontal: unit.Length(right) * oneMM}
}

// pumpSet is a motor and a pump of an invented plant. The pump's line stands 0.12 mm
// low and 0.05 mm to the right at station 0, rises by 0.10 mm/m and swings to the left
// by 0.08 mm/m; the moves of its feet are -e there.
func pumpSet() drawing.Train {
	found := axisMM(-0.12, 0.10, 0.05, -0.08)
	at := func(x float64) *align.Move {
		m := found.MoveFar(unit.Length(x) * oneMM)
		return &m
	}
	off := 0.4 * oneMM
	known := drawing.Band{About: 40 * oneMM, Offset: 0.008 * oneMM, Slope: 0.02e-3}
	return drawing.Train{
		Title: "Feed pump 3, motor to pump", Plant: "Quarry water works", Reference: "work order 1182", Date: "2031-04-02",
		Machines: []drawing.Machine{
			{Name: "motor", Start: -1150 * oneMM, End: -130 * oneMM, Feet: []drawing.Foot{
				{Name: "outboard", Station: -1000 * oneMM}, {Name: "inboard", Station: -300 * oneMM}}},
			{Name: "pump", Start: 130 * oneMM, End: 1000 * oneMM, Feet: []drawing.Foot{
				{Name: "inboard", Station: 250 * oneMM, Move: at(250)}, {Name: "outboard", Station: 850 * oneMM, Move: at(850)}}},
		},
		Couplings: []drawing.Coupling{{Name: "spacer coupling", NearFlex: -90 * oneMM, FarFlex: 90 * oneMM, NearLimit: 0.05 * oneMM, FarLimit: 0.05 * oneMM}},
		States: []drawing.State{
			{Kind: drawing.AsFound, Shafts: drawing.Chain([]align.Axis{found}), Uncertain: []drawing.Uncertainty{{}, {Vertical: known, Horizontal: known}}},
			{Kind: drawing.AfterMove, Shafts: make([]align.Axis, 2)},
			{Kind: drawing.Running, Name: "running warm", Shafts: []align.Axis{axisMM(0.09, 0.02, 0, 0), axisMM(0.06, 0.03, 0.01, 0.003)}},
		},
		Flanges: []drawing.Flange{
			{Name: "discharge, upright cut", Diameter: 250 * oneMM, Gaps: [2]drawing.FlangeGap{{Where: "12 o'clock", Gap: 3.4 * oneMM}, {Where: "6 o'clock", Gap: 3.05 * oneMM}}, Offset: &off},
			{Name: "suction, level cut", Diameter: 300 * oneMM, Gaps: [2]drawing.FlangeGap{{Where: "3 o'clock", Gap: 2 * oneMM}, {Where: "9 o'clock", Gap: 2.6 * oneMM}}},
		},
	}
}

// compressorTrain is a long train of an invented plant, in mils.
func compressorTrain() drawing.Train {
	t := drawing.Train{Title: "Compressor train", Plant: "Hollow Bay gas plant", Reference: "drawing 7", Unit: align.UnitMil}
	names := []string{"steam turbine", "gear", "low pressure casing", "high pressure casing", "expander", "generator"}
	lengths := []unit.Length{2.2, 1.1, 2.4, 2.0, 1.6, 3.0}
	var found, left, running []align.Axis
	var x unit.Length
	for i, name := range names {
		l := lengths[i]
		k := float64(i)
		f := axisMM(0.05-0.03*k, 0.012, 0.06-0.02*k, -0.005)
		t.Machines = append(t.Machines, drawing.Machine{Name: name, Start: x, End: x + l, Feet: []drawing.Foot{
			{Name: "first", Station: x + 0.2}, {Name: "second", Station: x + l - 0.2}}})
		if i > 0 { // each machine but the first is brought to the line of zero
			for j := range t.Machines[i].Feet {
				m := f.MoveFar(t.Machines[i].Feet[j].Station)
				t.Machines[i].Feet[j].Move = &m
			}
			left = append(left, align.Axis{})
		} else {
			left = append(left, f)
		}
		if i+1 < len(names) {
			t.Couplings = append(t.Couplings, drawing.Coupling{Name: name + " coupling", NearFlex: x + l + 0.1, FarFlex: x + l + 0.5, NearLimit: 4 * align.Mil, FarLimit: 4 * align.Mil, Resultant: true})
		}
		found = append(found, f)
		running = append(running, left[i].Add(axisMM(0.02*k, 0, 0.01*(k-2), 0.002)))
		x += l + 0.6
	}
	t.States = []drawing.State{{Kind: drawing.AsFound, Shafts: found}, {Kind: drawing.AfterMove, Shafts: left}, {Kind: drawing.Running, Shafts: running}}
	return t
}

// crowdedTrain is more than the rows of labels hold, so that numbers stand in them.
func crowdedTrain() drawing.Train {
	t := drawing.Train{Title: "圧縮機 トレイン 2, a title far longer than its field in the title block of the sheet", Unit: align.UnitMillimetre}
	for i := range 8 {
		x := unit.Length(i)
		m := drawing.Machine{Name: "ポンプ machine with a long name", Start: x, End: x + 0.8}
		for k := range 3 {
			m.Feet = append(m.Feet,
				drawing.Foot{Name: "pad left", Station: x + 0.1 + 0.3*unit.Length(k), Side: drawing.LeftSide, Move: moveMM(0.1*float64(k), -0.05)},
				drawing.Foot{Name: "pad right", Station: x + 0.1 + 0.3*unit.Length(k), Side: drawing.RightSide, Move: moveMM(0.05*float64(i), -0.05)})
		}
		t.Machines = append(t.Machines, m)
		if i < 7 {
			t.Couplings = append(t.Couplings, drawing.Coupling{NearFlex: x + 0.85, FarFlex: x + 0.95, NearLimit: 0.04 * oneMM, FarLimit: 0.06 * oneMM, Resultant: i%2 == 0})
		}
	}
	shafts := func(k float64) (out []align.Axis) {
		for i := range 8 {
			out = append(out, axisMM(k*float64(i%3)*0.1, 0, -k*float64(i%2)*0.1, 0.01*k))
		}
		return out
	}
	t.States = []drawing.State{
		{Kind: drawing.AsFound, Shafts: shafts(1)}, {Kind: drawing.AfterMove, Shafts: shafts(0.1)},
		{Kind: drawing.Running, Name: "running, least flow", Shafts: shafts(0.4)}, {Kind: drawing.Running, Name: "running, full flow", Shafts: shafts(-0.3)},
	}
	for range 6 {
		t.Flanges = append(t.Flanges, drawing.Flange{Name: "nozzle", Diameter: 0.3, Gaps: [2]drawing.FlangeGap{{Where: "12 o'clock", Gap: 2 * oneMM}, {Where: "6 o'clock", Gap: 2.2 * oneMM}}})
	}
	return t
}

// loneMachine has nothing but what a drawing must have.
func loneMachine() drawing.Train {
	return drawing.Train{
		Machines: []drawing.Machine{{Start: 0, End: 1}},
		States:   []drawing.State{{Kind: drawing.Running, Shafts: []align.Axis{axisMM(0.1, 0.1, 0, 0)}}},
	}
}
