package align_test

import (
	"fmt"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// From reverse-indicator readings to the moves at the feet. Bloch and Geitner,
// Machinery Component Maintenance and Repair, chapter 5, p. 203, vertical: the
// movable shaft stands 0.012 in above the other at one dial and 0.007 in at the
// next, 14 in on; the feet are 12 in and 38 in farther. The book lowers the
// inboard feet by 0.0027 in and raises the outboard ones by 0.0066 in.
func ExampleReverseIndicator() {
	job := align.ReverseIndicator{
		OnNear: align.Dial{Station: 0, Sag: align.NoSag(), Sweep: align.TopBottom(0, 24*align.Mil)},
		OnFar:  align.Dial{Station: 14 * align.Inch, Sag: align.NoSag(), Sweep: align.TopBottom(0, -14*align.Mil)},
	}
	p, err := job.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	moves := p.MoveFarFeet(align.Feet{Inboard: 26 * align.Inch, Outboard: 52 * align.Inch})
	fmt.Println("inboard: ", moves.Inboard.VerticalWords(align.UnitMil, 1))
	fmt.Println("outboard:", moves.Outboard.VerticalWords(align.UnitMil, 1))
	for _, w := range p.Warnings {
		fmt.Println(w)
	}
	// Output:
	// inboard:  take out 2.7 mil
	// outboard: add 6.6 mil
	// one-plane: only one plane could be found from these clock positions
}

// Both planes at once, with bracket sag, the uncertainty at the far foot and the
// closed form that allocates nothing. (Invented readings, worked by hand.)
func ExampleReverseIndicator_Axis() {
	job := align.ReverseIndicator{
		OnNear: align.Dial{
			Station: 0, Sag: align.RollOver(-0.06 * align.Millimetre),
			Sweep: align.FourPoint(0, 0.09*align.Millimetre, 0.14*align.Millimetre, 0.05*align.Millimetre),
		},
		OnFar: align.Dial{
			Station: 200 * align.Millimetre, Sag: align.RollOver(-0.06 * align.Millimetre),
			Sweep: align.FourPoint(0, -0.10*align.Millimetre, -0.18*align.Millimetre, -0.08*align.Millimetre),
		},
		Sigma: 0.005 * align.Millimetre,
	}
	a, err := job.Axis()
	if err != nil {
		fmt.Println(err)
		return
	}
	foot := 900 * align.Millimetre
	fmt.Println(a.At(foot))
	fmt.Println(a.MoveFar(foot).Words(align.UnitMillimetre, 3))
	p, err := job.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("standard uncertainty:", p.OffsetSigma(foot))
	// Output:
	// 0.080 mm low, 0.025 mm to the right
	// add 0.080 mm, move 0.025 mm toward 9 o'clock
	// standard uncertainty: vertical 0.0202 mm, horizontal 0.0202 mm
}

// McMillan, Rotating Machinery: Practical Solutions to Unbalance and
// Misalignment, Fairmont Press, 2004, Fig. 8-13: rim -8 mil, face +2 mil over a
// swept diameter of 10 in, feet at 18 and 48 in. The book reads +0.5 and
// -5.5 mil off its graph, by arithmetic +0.4 and -5.6.
func ExampleRimAndFace() {
	p, err := align.RimAndFace{
		Bracket: align.Near,
		Rim:     align.Dial{Station: 0, Sag: align.NoSag(), Sweep: align.TopBottom(0, -8*align.Mil)},
		Face:    align.Dial{Diameter: 10 * align.Inch, Sag: align.NoSag(), Sweep: align.TopBottom(0, 2*align.Mil)},
	}.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, foot := range []unit.Length{18 * align.Inch, 48 * align.Inch} {
		fmt.Println(align.UnitMil.Format(float64(p.At(foot).Vertical), 1), "->", p.MoveFar(foot).VerticalWords(align.UnitMil, 1))
	}
	// Output:
	// 0.4 mil -> take out 0.4 mil
	// -5.6 mil -> add 5.6 mil
}

// A pump handbook's chapter on centrifugal pumps, Fig. 19 (attribution to
// Karassik et al. from memory): the bracket rolls over to -6 mil on the
// mandrel; readings of 0, 5, 10, 5 become 0, 8, 16, 8.
func ExampleSag_Correct() {
	sag := align.RollOver(-6 * align.Mil)
	sweep := align.FourPoint(0, 5*align.Mil, 10*align.Mil, 5*align.Mil)
	for _, r := range sag.Correct(sweep) {
		fmt.Println(r.At, align.UnitMil.Format(float64(r.Value), 0))
	}
	// Output:
	// 12 o'clock 0 mil
	// 3 o'clock 8 mil
	// 6 o'clock 16 mil
	// 9 o'clock 8 mil
}

// Bloch and Geitner, Machinery Component Maintenance and Repair, chapter 5,
// p. 186: the bracket's weight is relieved in one position, which shows the
// droop once, -0.004 in, and corrects the bottom reading by 0.008 in.
func ExampleSingleDeflection() {
	sag := align.SingleDeflection(-4 * align.Mil)
	fmt.Println(align.UnitMil.Format(float64(sag.At(align.Six)), 0))
	corrected := sag.Correct(align.TopBottom(0, 160*align.Mil))
	fmt.Println(align.UnitMil.Format(float64(corrected[1].Value), 0))
	// Output:
	// -8 mil
	// 168 mil
}

// The same rim difference taken twice, the second time with both shafts turned
// half a turn together: what stays belongs to the shafts, what turns to the
// hubs. (Invented readings; the rule is that of the Carrier 17/19EX manual,
// pages 211-212.)
func ExampleHalfTurn() {
	h := align.HalfTurn{
		Before: align.Offset{Vertical: 5 * align.Mil},
		After:  align.Offset{Vertical: -1 * align.Mil},
	}
	fmt.Println("shafts:", h.Misalignment().In(align.UnitMil, 1))
	fmt.Println("hubs:  ", h.HubError().In(align.UnitMil, 1))
	// Output:
	// shafts: 2.0 mil high, 0.0 mil to the right
	// hubs:   3.0 mil high, 0.0 mil to the right
}

// Carrier 17/19EX start-up and maintenance manual, pages 211-216: the gap is
// 0.012 in wider at the top of a 5 in face and the feet stand 30 in apart; the
// manual puts 0.072 in under the rear feet. The offset is known to be zero at
// the front feet.
func ExampleOffsetAndGaps() {
	front, rear := 20*align.Inch, 50*align.Inch
	p, err := align.OffsetAndGaps{
		Offset: align.KnownOffset{Station: front},
		Gaps: align.FaceGaps{
			Diameter: 5 * align.Inch,
			Top:      112 * align.Mil, Right: 106 * align.Mil, Bottom: 100 * align.Mil, Left: 106 * align.Mil,
		},
	}.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.MoveFar(rear).Words(align.UnitMil, 0))
	// Output:
	// add 72 mil, leave sideways
}

// A straightedge held on the near hub shows its gaps to the far one. The far hub
// is 0.2 mm smaller all round, which does not matter. (Invented readings.)
func ExampleStraightedgeGaps() {
	g := align.StraightedgeGaps{
		Top: 0.35 * align.Millimetre, Right: 0.20 * align.Millimetre,
		Bottom: 0.05 * align.Millimetre, Left: 0.20 * align.Millimetre,
	}
	fmt.Println(g.Offset().In(align.UnitMillimetre, 2))
	// Output:
	// 0.15 mm low, 0.00 mm to the right
}

// McMillan, Fig. 9-10: the target line stands 5 mil above the near shaft at one
// dial and 2 mil at the other. The readings wanted are +10 and -4 mil.
func ExampleDial_Predict() {
	target, err := align.AxisThrough(
		0, align.Offset{Vertical: 5 * align.Mil},
		10*align.Inch, align.Offset{Vertical: 2 * align.Mil})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range []align.Dial{
		{Name: "on near shaft", Bracket: align.Far, Station: 0, Sag: align.NoSag()},
		{Name: "on far shaft", Bracket: align.Near, Station: 10 * align.Inch, Sag: align.NoSag()},
	} {
		s, err := d.Predict(target, align.Spool{}, align.Twelve, align.Six)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %s at %s\n", d.Name, align.UnitMil.Format(float64(s[0].Value), 0), s[0].At)
	}
	// Output:
	// on near shaft: 10 mil at 6 o'clock
	// on far shaft: -4 mil at 6 o'clock
}

// Any mixture of dials and known values is one Measurement. Here the top of the
// turn cannot be reached and the dial reads between 3 and 9 o'clock only.
// (Invented readings; NumPy 1.24 gives the same position and uncertainty.)
func ExampleMeasurement_Solve() {
	at := []align.Clock{align.OClock(3), align.OClock(4.5), align.OClock(6), align.OClock(7.5), align.OClock(9)}
	values := [2][5]unit.Length{
		{0, -0.042e-3, -0.060e-3, -0.056e-3, -0.040e-3},
		{0, 0.035e-3, 0.050e-3, 0.049e-3, 0.030e-3},
	}
	m := align.Measurement{
		Dials: []align.Dial{
			{Name: "far hub", Bracket: align.Near, Station: 0.25, Sag: align.NoSag()},
			{Name: "near hub", Bracket: align.Far, Station: 0, Sag: align.NoSag()},
		},
		Sigma: 0.003 * align.Millimetre,
	}
	for i := range m.Dials {
		for k, c := range at {
			m.Dials[i].Sweep = append(m.Dials[i].Sweep, align.Reading{At: c, Value: values[i][k]})
		}
	}
	p, err := m.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("at the coupling:", p.At(0.125))
	fmt.Println("standard uncertainty:", p.OffsetSigma(0.125))
	// Output:
	// at the coupling: 0.038 mm high, 0.015 mm to the right
	// standard uncertainty: vertical 0.0023 mm, horizontal 0.0012 mm
}

// An error names the field, the value with its unit and the fault; the fault has
// a permanent code word.
func ExampleInputError() {
	_, err := align.RimAndFace{
		Rim:  align.Dial{Sweep: align.TopBottom(0, 1*align.Mil)},
		Face: align.Dial{Sweep: align.TopBottom(0, 1*align.Mil)}, // the swept diameter was forgotten
	}.Solve()
	fmt.Println(err)
	fmt.Println(align.CodeOf(err))
	// Output:
	// align: dials[1] (face).diameter = 0.000 mm: diameter must be greater than zero
	// zero-diameter
}
