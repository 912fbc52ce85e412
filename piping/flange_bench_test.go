package piping_test

import (
	"math/rand/v2"
	"testing"

	"collinear.example/piping"
)

var (
	keepFaces piping.FaceFit
	keepFit   piping.CompromiseFit
)

func BenchmarkFlangeSurveyOfEight(b *testing.B) {
	s := piping.FlangeSurvey{Gaps: gapsOf(3.2, 3.1, 3.05, 3.0, 2.98, 3.02, 3.1, 3.16), Diameter: 0.3}
	b.ReportAllocs()
	for b.Loop() {
		f, err := s.Solve()
		if err != nil {
			b.Fatal(err)
		}
		keepFaces = f
	}
}

func BenchmarkCompromiseOfThreeNozzles(b *testing.B) {
	draw := rand.New(rand.NewPCG(12, 1))
	c := piping.Compromise{Free: piping.AllWays()}
	for range 3 {
		pair := someFlange(draw)
		m := bodyOf(b, pair)
		c.Goals = append(c.Goals, goalOf(b, solved(b, measured(m, misplaced(draw, m, 0.005, 3e-4), pair, 0.003)).Misfit))
	}
	b.ReportAllocs()
	for b.Loop() {
		f, err := c.Solve()
		if err != nil {
			b.Fatal(err)
		}
		keepFit = f
	}
}
