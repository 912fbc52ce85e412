package align_test

import (
	"encoding/binary"
	"math"
	"testing"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// source hands out numbers from raw bytes, so that a fuzzer can reach every
// float64 there is.
type source []byte

func (s *source) float() float64 {
	var b [8]byte
	*s = (*s)[copy(b[:], *s):]
	return math.Float64frombits(binary.LittleEndian.Uint64(b[:]))
}

func (s *source) length() unit.Length { return unit.Length(s.float()) }

func (s *source) byte() byte {
	if len(*s) == 0 {
		return 0
	}
	b := (*s)[0]
	*s = (*s)[1:]
	return b
}

// measurement writes a measurement of up to three dials, an offset and a slope.
func (s *source) measurement() (m align.Measurement) {
	kinds := s.byte()
	for range kinds % 4 {
		k := s.byte()
		d := align.Dial{
			Surface: align.Surface(k % 4), Bracket: align.Shaft(k >> 2 % 3), Reach: align.Reach(k >> 4 % 4),
			OnSpool: k>>6%2 == 1, Turning: align.Turning(s.byte() % 5),
			Station: s.length(), Diameter: s.length(), Sigma: s.length(),
		}
		if k>>7 == 1 {
			d.Sag = align.RollOver(s.length())
		}
		if d.Turning == align.BracketShaft {
			d.Runout = &align.Offset{Vertical: s.length(), Horizontal: s.length()}
		}
		for range s.byte() % 20 {
			d.Sweep = append(d.Sweep, align.Reading{At: align.Clock(s.float()), Value: s.length()})
		}
		m.Dials = append(m.Dials, d)
	}
	if kinds&4 != 0 {
		m.Spool = align.Spool{NearFlex: s.length(), FarFlex: s.length()}
	}
	if kinds&8 != 0 {
		m.Offsets = append(m.Offsets, align.KnownOffset{
			Station: s.length(), Offset: align.Offset{Vertical: s.length(), Horizontal: s.length()}, Sigma: s.length(),
		})
	}
	if kinds&16 != 0 {
		m.Slopes = append(m.Slopes, align.KnownSlope{
			Slope: align.Slope{Vertical: s.float(), Horizontal: s.float()}, Over: s.length(), Sigma: s.length(),
		})
	}
	if kinds&32 != 0 {
		m.Sigma = s.length()
	}
	if kinds&64 != 0 {
		m.Checks.ArcRefused = s.float()
	}
	return m
}

// bytesOf is the reverse of source for a list of numbers.
func bytesOf(head []byte, v ...float64) []byte {
	for _, x := range v {
		head = binary.LittleEndian.AppendUint64(head, math.Float64bits(x))
	}
	return head
}

// finite fails the test when any number is not.
func finite(t *testing.T, what string, v ...float64) {
	t.Helper()
	for _, x := range v {
		if !align.IsFinite(x) {
			t.Fatalf("%s is %g", what, x)
		}
	}
}

// refused fails the test unless err has a code and one line of text.
func refused(t *testing.T, err error) {
	t.Helper()
	if align.CodeOf(err) == "" || err.Error() == "" {
		t.Fatalf("error without a code: %v", err)
	}
}

func finitePosition(t *testing.T, p *align.Position) {
	t.Helper()
	finite(t, "axis", float64(p.Vertical.Offset), p.Vertical.Slope, float64(p.Horizontal.Offset), p.Horizontal.Slope)
	finite(t, "position", float64(p.Sigma), p.ChiSquare, p.Condition)
	for _, r := range p.Residuals {
		finite(t, "residual", float64(r))
	}
	for _, w := range p.Warnings {
		finite(t, w.String(), w.Value, w.Limit)
	}
	for _, row := range p.Covariance(0) {
		finite(t, "covariance", row[:]...)
	}
	s, o := p.SlopeSigma(), p.OffsetSigma(0)
	finite(t, "uncertainty", s.Vertical, s.Horizontal, float64(o.Vertical), float64(o.Horizontal))
}

func FuzzMeasurementSolve(f *testing.F) {
	f.Add(bytesOf([]byte{8 | 16 | 32}, 0, 1e-4, -1e-4, 0, 1e-3, -1e-3, 0.2, 0, 1e-5))
	f.Add(bytesOf([]byte{8 | 16}, 0, 1e300, -1e300, 0, 1e200, -1e3, 1e100, 0))
	f.Add(bytesOf([]byte{8 | 16 | 32}, 1e308, 1e308, 0, 0, 1e-3, 0, 1e-308, 0, 1e-300))
	rim := func(station, top, bottom float64) []byte {
		b := bytesOf([]byte{0, 0}, station, 0.1, 1e-6)
		return bytesOf(append(b, 4), 0, top, 90, 0, 180, bottom, 270, 0)
	}
	f.Add(append(append([]byte{2}, rim(0, 0, 1e-4)...), rim(0.2, 1e-4, 0)...))
	f.Add(append(append([]byte{2}, rim(0, 1e154, -1e154)...), rim(0.2, 1e154, -1e154)...))
	// Stations of absurd size: the variance at station 0 overflowed.
	f.Add([]byte("B\x002000000000000000?C92X902>,\x00\x00\x00\x00\x00\x00\x00\x0000000000\x00\x00\x00\x00\x00\x80V@00000000" +
		"\x00\x00\x00\x00\x00\x80f@100000 ?\x00\x00\x00\x00\x00\xe0p@00000000\x002010001\xc9a000000000000000>" +
		"0000000000000000000000000000000000000000B00000000000000BA"))
	f.Add([]byte("BA200000000000000000000000>,000000000000000000000000000000000000000B00000000000000AB00000000\x0020000000" +
		"X000000000000000>000000000000000000000000B000000000000007A"))
	f.Fuzz(func(t *testing.T, b []byte) {
		src := source(b)
		m := src.measurement()
		p, err := m.Solve()
		if err != nil {
			refused(t, err)
			return
		}
		finitePosition(t, &p)
		p, err = m.SolveExact()
		if err != nil {
			refused(t, err)
		}
		finitePosition(t, &p)
	})
}

func FuzzAxis(f *testing.F) {
	f.Add(bytesOf([]byte{4}, 0.2, 0.1, 0, 0, 1e-4, 90, 2e-4, 180, 3e-4, 270, 0))
	f.Add(bytesOf([]byte{3}, 0.2, 0.1, -1e-4, 0, 1e-4, 120, 2e-4, 240, 3e-4))
	f.Fuzz(func(t *testing.T, b []byte) {
		src := source(b)
		n := src.byte() % 20
		far, near := align.Dial{Station: src.length(), Diameter: src.length(), Sag: align.RollOver(src.length())}, align.Dial{}
		for range n {
			far.Sweep = append(far.Sweep, align.Reading{At: align.Clock(src.float()), Value: src.length()})
		}
		near.Sweep, near.Sag = far.Sweep, far.Sag
		rev := align.ReverseIndicator{OnFar: far, OnNear: near}
		rf := align.RimAndFace{Rim: near, Face: far}
		for _, solve := range []func() (align.Axis, error){rev.Axis, rf.Axis} {
			a, err := solve()
			if err != nil {
				refused(t, err)
			}
			finite(t, "axis", float64(a.Vertical.Offset), a.Vertical.Slope, float64(a.Horizontal.Offset), a.Horizontal.Slope)
		}
	})
}

func FuzzSweepFit(f *testing.F) {
	f.Add(bytesOf(nil, 0, 1e-4, 120, 2e-4, 240, -1e-4))
	f.Add(bytesOf(nil, 0, 1e308, 120, -1e308, 240, 1e308))
	f.Add(bytesOf(nil, -1e-20, 0, 1e17, 1e-4, math.Inf(1), 1))
	f.Fuzz(func(t *testing.T, b []byte) {
		src := source(b)
		var s align.Sweep
		for len(src) > 0 && len(s) < 40 {
			s = append(s, align.Reading{At: align.Clock(src.float()), Value: src.length()})
		}
		fit, err := s.Fit()
		if err != nil {
			refused(t, err)
		}
		finite(t, "fit", float64(fit.Constant), float64(fit.Vertical), float64(fit.Horizontal), float64(fit.RMS),
			float64(fit.Worst), fit.Cov[0][0], fit.Cov[0][1], fit.Cov[1][1], fit.ArcVertical, fit.ArcHorizontal)
		second, err := s.FitSecond()
		if err != nil {
			refused(t, err)
		}
		finite(t, "second harmonic", float64(second.Constant), float64(second.Vertical), float64(second.Horizontal),
			float64(second.Cos2), float64(second.Sin2), float64(second.RMS), second.Condition)
	})
}

func FuzzPredict(f *testing.F) {
	f.Add(bytesOf([]byte{0}, 1e-4, 1e-3, -1e-4, 0, 0.2, 0.1, -1e-5, 0, 90))
	f.Add(bytesOf([]byte{2 << 4}, 1e-4, 1e200, -1e-4, 0, 0.2, 0.1, -1e-5, 0, 90, 0.1, 0.5))
	f.Fuzz(func(t *testing.T, b []byte) {
		src := source(b)
		k := src.byte()
		a := align.Axis{
			Vertical:   align.Line{Offset: src.length(), Slope: src.float()},
			Horizontal: align.Line{Offset: src.length(), Slope: src.float()},
		}
		d := align.Dial{
			Surface: align.Surface(k % 3), Bracket: align.Shaft(k >> 2 % 2), Reach: align.Reach(k >> 4 % 3), OnSpool: k>>6%2 == 1,
			Station: src.length(), Diameter: src.length(), Sag: align.RollOver(src.length()),
		}
		zero, at := align.Clock(src.float()), align.Clock(src.float())
		spool := align.Spool{NearFlex: src.length(), FarFlex: src.length()}
		for _, predict := range []func(align.Axis, align.Spool, align.Clock, ...align.Clock) (align.Sweep, error){d.Predict, d.PredictExact} {
			s, err := predict(a, spool, zero, at)
			if err != nil {
				refused(t, err)
			}
			for _, r := range s {
				finite(t, "reading", float64(r.Value))
			}
		}
	})
}

func FuzzParseUnit(f *testing.F) {
	for _, u := range unitTable {
		f.Add(string(u.unit), 1.5)
	}
	f.Add("", 0.0)
	f.Add("mil ", -1.0)
	f.Fuzz(func(t *testing.T, name string, v float64) {
		u, err := align.ParseUnit(name)
		if err != nil {
			refused(t, err)
			if u != "" {
				t.Fatalf("unit %q with an error", u)
			}
			return
		}
		if string(u) != name || u.Dimension() == align.NoDimension {
			t.Fatalf("%q parsed as %q", name, u)
		}
		if math.Abs(v) > 1e12 || math.IsNaN(v) {
			return
		}
		back := u.FromSI(u.SI(v))
		if math.Abs(back-v) > 1e-9*math.Max(1, math.Abs(v)) {
			t.Fatalf("%g %s comes back as %g", v, u, back)
		}
	})
}
