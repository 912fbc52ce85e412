package piping_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

var (
	keptLoad    piping.Load
	keptClosing piping.Closing
	keptCheck   piping.API610PumpCheck
	keptScreen  piping.MisfitScreen
)

func BenchmarkCloseOffset(b *testing.B) {
	p := straightRun(b, piping.Anchored)
	b.ReportAllocs()
	for b.Loop() {
		c, err := p.CloseOffset(1e-3)
		if err != nil {
			b.Fatal(err)
		}
		keptClosing = c
	}
}

func BenchmarkNozzleLoad(b *testing.B) {
	p := straightRun(b, piping.Anchored)
	m := piping.PipeMisfit{Shift: align.Displacement{X: 1e-3, Y: 2e-3, Z: -1e-3}, Turn: align.Turn{X: 1e-3, Y: 1e-3}}
	b.ReportAllocs()
	for b.Loop() {
		l, err := p.NozzleLoad(align.Upward(), m)
		if err != nil {
			b.Fatal(err)
		}
		keptLoad = l
	}
}

func BenchmarkPump(b *testing.B) {
	p := piping.API610Pump{
		Suction:   piping.PumpConnection{Nozzle: nozzleOf(b, 8, piping.EndNozzle, piping.SI), Load: newtons(900, 100, 200, 50, 60, 70)},
		Discharge: piping.PumpConnection{Nozzle: nozzleOf(b, 6, piping.TopNozzle, piping.SI), Load: newtons(90, 800, 200, 50, 60, 70), Centre: align.Displacement{Y: unit.Length(0.4)}},
	}
	b.ReportAllocs()
	for b.Loop() {
		c, err := p.Judge()
		if err != nil {
			b.Fatal(err)
		}
		keptCheck = c
	}
}

func BenchmarkScreenMisfit(b *testing.B) {
	p := straightRun(b, piping.Anchored)
	n := nozzleOf(b, 6, piping.TopNozzle, piping.SI)
	m := piping.PipeMisfit{Shift: align.Displacement{X: 1e-3}}
	b.ReportAllocs()
	for b.Loop() {
		s, err := piping.ScreenMisfit(p, align.Upward(), m, n)
		if err != nil {
			b.Fatal(err)
		}
		keptScreen = s
	}
}
