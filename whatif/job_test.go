package whatif_test

import (
	"errors"
	"math"

	"collinear.example/align"
	"collinear.example/whatif"
	"gonum.org/v1/gonum/unit"
)

// feet are the moves at the feet of the far machine, and the uncertainty of the
// outboard one.
type feet struct {
	Moves   align.FootMoves
	Verdict string
}

var stations = align.Feet{Inboard: 14 * align.Inch, Outboard: 34 * align.Inch}

// twoDials is a two-indicator job whose line is 4 - 0.35 x mil (x in inches) in
// the vertical plane: the dials read -6.4 and +2 at 6 o'clock with sags of -4 and
// -6 mil, 8 inches apart. By hand the far feet at 14 and 34 inches then want
// +0.9 and +7.9 mil.
func twoDials() align.ReverseIndicator {
	return align.ReverseIndicator{
		OnFar: align.Dial{Station: 8 * align.Inch, Sag: align.RollOver(-4 * align.Mil),
			Sweep: align.FourPoint(0, 3*align.Mil, -6.4*align.Mil, -9.4*align.Mil)},
		OnNear: align.Dial{Station: 0, Sag: align.RollOver(-6 * align.Mil),
			Sweep: align.FourPoint(0, -2*align.Mil, 2*align.Mil, 4*align.Mil)},
		Sigma: 0.5 * align.Mil,
	}
}

func computeFeet(j *align.ReverseIndicator) (feet, error) {
	a, err := j.Axis()
	if err != nil {
		return feet{}, err
	}
	f := feet{Moves: a.MoveFarFeet(stations), Verdict: "within"}
	if math.Abs(float64(f.Moves.Outboard.Vertical)) > float64(5*align.Mil) {
		f.Verdict = "over"
	}
	return f, nil
}

func footStudy() whatif.Study[align.ReverseIndicator, feet] {
	return whatif.Study[align.ReverseIndicator, feet]{
		Job: twoDials(), Compute: computeFeet,
		Columns: []whatif.Column[feet]{
			whatif.Number("inboard foot", align.UnitMil, 2, func(f feet) unit.Length { return f.Moves.Inboard.Vertical }),
			whatif.Number("outboard foot", align.UnitMil, 2, func(f feet) unit.Length { return f.Moves.Outboard.Vertical }),
			whatif.Text("verdict", func(f feet) string { return f.Verdict }),
		},
	}
}

// setSag gives both brackets the same sag.
func setSag(j *align.ReverseIndicator, s unit.Length) {
	j.OnFar.Sag, j.OnNear.Sag = align.RollOver(s), align.RollOver(s)
}

func farStation(j *align.ReverseIndicator) *unit.Length { return &j.OnFar.Station }

// pair is a job of plain numbers for the closed forms.
type pair struct{ X, Y, Z float64 }

func x(p *pair) *float64 { return &p.X }
func y(p *pair) *float64 { return &p.Y }
func z(p *pair) *float64 { return &p.Z }

func itself(v float64) float64 { return v }

// plainStudy works out one number from three.
func plainStudy(f func(p *pair) (float64, error)) whatif.Study[pair, float64] {
	return whatif.Study[pair, float64]{Compute: f, Columns: []whatif.Column[float64]{
		whatif.Number("f", align.UnitOne, 6, itself)}}
}

var errPlain = errors.New("no dial fits there")
