package runout_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
)

func BenchmarkShaftLimit(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := runout.ShaftLimit(runout.IEC60072, 0.6); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHydroLimit(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := runout.HydroLimit(runout.CollectorRing, 750*align.RPM); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHubFit(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := runout.HubFit(runout.P6, 0.24); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAGMABore(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := runout.AGMABore(1.5 * align.Inch); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPressFit(b *testing.B) {
	f := runout.PressFit{Shaft: 0.1, Outside: 0.15, Modulus: 206e9}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.Pressure(1e-4); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHubHeatingRise(b *testing.B) {
	h := runout.HubHeating{Bore: 0.1, Interference: 1e-4, Clearance: 5e-5, Expansion: 1.1e-5}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := h.Rise(); err != nil {
			b.Fatal(err)
		}
	}
}

// The scalar paths allocate nothing.
func TestLookupsDoNotAllocate(t *testing.T) {
	for name, f := range map[string]func(){
		"ShaftLimit":  func() { _, _ = runout.ShaftLimit(runout.IEC60072, 0.6) },
		"FlangeLimit": func() { _, _ = runout.FlangeLimit(runout.DIN42955Normal, 0.6) },
		"HydroLimit":  func() { _, _ = runout.HydroLimit(runout.TurbineJournal, 10) },
		"HydroCap":    func() { _, _ = runout.HydroCap(10) },
		"HubFit":      func() { _, _ = runout.HubFit(runout.P6, 0.24) },
		"AGMABore":    func() { _, _ = runout.AGMABore(1.5 * align.Inch) },
	} {
		if n := testing.AllocsPerRun(100, f); n != 0 {
			t.Errorf("%s allocates %g times", name, n)
		}
	}
}
