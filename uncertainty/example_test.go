package uncertainty_test

import (
	"context"
	"fmt"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"gonum.org/v1/gonum/unit"
)

// job is a reverse-indicator set with dials 200 mm apart.
func job() align.ReverseIndicator {
	return align.ReverseIndicator{
		OnNear: align.Dial{Station: 0, Sag: align.NoSag(), Sweep: align.FourPoint(0, 0.11*align.Millimetre, -0.06*align.Millimetre, -0.17*align.Millimetre)},
		OnFar:  align.Dial{Station: 0.2, Sag: align.NoSag(), Sweep: align.FourPoint(0, -0.16*align.Millimetre, -0.24*align.Millimetre, -0.08*align.Millimetre)},
	}
}

// The readings of both dials are known to five micrometres and the distance between
// the dials to two millimetres. How sure is the shim change 850 mm beyond?
func ExampleModel_Linear() {
	far := func(j *align.ReverseIndicator) *align.Dial { return &j.OnFar }
	near := func(j *align.ReverseIndicator) *align.Dial { return &j.OnNear }
	m := uncertainty.Model[align.ReverseIndicator]{
		Job: job(), Copy: uncertainty.CopyReverse,
		Outputs: []uncertainty.Output{{Name: "outboard feet", Unit: align.UnitMillimetre}},
		Compute: func(j *align.ReverseIndicator, out []float64) error {
			a, err := j.Axis()
			out[0] = float64(a.MoveFar(1.05 * align.Metre).Vertical)
			return err
		},
	}
	reading := uncertainty.Normal(5 * align.Micrometre)
	m.Sources = append(m.Sources, uncertainty.Readings("readings", reading, &m.Job, far)...)
	m.Sources = append(m.Sources, uncertainty.Readings("readings", reading, &m.Job, near)...)
	m.Sources = append(m.Sources, uncertainty.Vary("distance", uncertainty.Normal(2*align.Millimetre),
		func(j *align.ReverseIndicator) *unit.Length { return &j.OnFar.Station }))

	l, err := m.Linear()
	if err != nil {
		fmt.Println(err)
		return
	}
	x, err := l.Estimates[0].Expanded(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(x)
	for _, line := range l.Estimates[0].Budget() {
		fmt.Printf("%-9s %.1f um, %.0f %%\n", line.Group, line.Sigma*1e6, 100*line.Share)
	}
	// Output:
	// -0.7575 mm +/- 0.0493 mm (coverage factor 1.96, 95 %)
	// readings  23.9 um, 90 %
	// distance  7.9 um, 10 %
}

// How likely is it that neither foot needs more than the 0.75 mm of shims there are
// to take out?
func ExampleSample_Count() {
	far := func(j *align.ReverseIndicator) *align.Dial { return &j.OnFar }
	m := uncertainty.Model[align.ReverseIndicator]{
		Job: job(), Copy: uncertainty.CopyReverse,
		Outputs: []uncertainty.Output{{Name: "outboard feet", Unit: align.UnitMillimetre}},
		Compute: func(j *align.ReverseIndicator, out []float64) error {
			a, err := j.Axis()
			out[0] = float64(a.MoveFar(1.05 * align.Metre).Vertical)
			return err
		},
	}
	m.Sources = uncertainty.Readings("readings", uncertainty.Normal(5*align.Micrometre), &m.Job, far)
	s, err := m.Simulate(context.Background(), uncertainty.Simulation{Seed: 1, Trials: 100_000})
	if err != nil {
		fmt.Println(err)
		return
	}
	enough := s.Count(func(out []float64) bool { return -out[0] <= 0.75e-3 })
	fmt.Printf("%.0f %%\n", 100*enough.Share())
	// Output:
	// 34 %
}
