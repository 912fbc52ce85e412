package drawing_test

import (
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/drawing"
)

// A motor and a pump whose shaft stands low at the coupling, with the moves that bring
// it to the motor's.
func ExampleTrain_Draw() {
	const mm = align.Millimetre
	found := align.Axis{Vertical: align.Line{Offset: -0.12 * mm, Slope: 0.1 * align.MillimetrePerMetre}}
	inboard, outboard := found.MoveFar(400*mm), found.MoveFar(1000*mm)
	train := drawing.Train{
		Title: "Transfer pump 2",
		Machines: []drawing.Machine{
			{Name: "motor", Start: -1100 * mm, End: -150 * mm, Feet: []drawing.Foot{{Name: "outboard", Station: -1000 * mm}, {Name: "inboard", Station: -400 * mm}}},
			{Name: "pump", Start: 150 * mm, End: 1100 * mm, Feet: []drawing.Foot{
				{Name: "inboard", Station: 400 * mm, Move: &inboard}, {Name: "outboard", Station: 1000 * mm, Move: &outboard}}},
		},
		Couplings: []drawing.Coupling{{Name: "coupling", NearFlex: -100 * mm, FarFlex: 100 * mm, NearLimit: 0.05 * mm, FarLimit: 0.05 * mm}},
		States: []drawing.State{
			{Kind: drawing.AsFound, Shafts: drawing.Chain([]align.Axis{found})},
			{Kind: drawing.AfterMove, Shafts: drawing.Chain([]align.Axis{{}})},
		},
	}
	page, err := train.Draw()
	if err != nil {
		fmt.Println(err)
		return
	}
	// page.SVG() is the drawing, ready to be written to a file.
	fmt.Printf("%g by %g mm\n", page.Width, page.Height)
	for _, sentence := range strings.SplitAfter(page.Description, ". ") {
		if strings.Contains(sentence, "scale") || strings.Contains(sentence, "raise") {
			fmt.Println(strings.TrimSpace(sentence))
		}
	}
	// Output:
	// 297 by 210 mm
	// Side view and top view of a train of 2 machines at one scale along the train, 1:10, and one across it, 100:1.
	// Pump, inboard at station 400 mm: raise 0.08 mm.
	// Pump, outboard at station 1000 mm: raise 0.02 mm.
}
