package align

import (
	"gonum.org/v1/gonum/unit"
)

// Sag is what a bracket's own weight adds to a sweep, measured on a stiff
// mandrel before it is trusted. The zero value means "not measured", which is
// not the same as none. Make one with RollOver, SingleDeflection or NoSag.
//
// The size kept is the roll-over reading S: dial zeroed at 12 o'clock, read at
// 6, negative for a drooping bracket. To a sweep zeroed at 12 it adds
// S(1 - cos t)/2 at clock t, because the droop -S/2 is the same all round and
// only its component along the stem is read.
type Sag struct {
	rollOver unit.Length
	measured bool
}

// RollOver returns the sag found by rolling bracket and mandrel over: the
// reading at 6 o'clock of a dial zeroed at 12. A drooping bracket gives a
// negative reading, which holds the droop twice.
func RollOver(reading unit.Length) Sag { return Sag{reading, true} }

// SingleDeflection returns the sag found by relieving the bracket's weight in
// one position, where the dial shows the droop once. The sign is that of the
// roll-over reading it stands for: give a negative value for a bracket that
// droops (Bloch and Geitner, Machinery Component Maintenance and Repair,
// chapter 5, p. 186: a reading of -0.004 in corrects the bottom reading by
// 0.008 in).
func SingleDeflection(reading unit.Length) Sag { return Sag{2 * reading, true} }

// NoSag returns a sag of zero that is known: readings already corrected, or a
// fixture that carries no overhung weight.
func NoSag() Sag { return Sag{0, true} }

// RollOver returns the sag as a roll-over reading; ok is false when it was not
// measured.
func (s Sag) RollOver() (reading unit.Length, ok bool) { return s.rollOver, s.measured }

// Droop returns how far the dial hangs down, positive for a drooping bracket.
func (s Sag) Droop() unit.Length { return -s.rollOver / 2 }

// At returns what the sag adds at clock position c to a sweep zeroed at 12.
func (s Sag) At(c Clock) unit.Length {
	up, _ := c.Unit()
	return s.rollOver * unit.Length(1-up) / 2 // S(1 - cos t)/2
}

// Correct returns the sweep with the sag taken out, wherever the dial was
// zeroed: each reading loses S(1 - cos t)/2 less the same at the clock position
// of the first reading, whose value is left as it was. For a sweep read at 12
// first and zeroed there, the reading at 6 loses S.
func (s Sag) Correct(sweep Sweep) Sweep {
	out := make(Sweep, len(sweep))
	for i, r := range sweep {
		out[i] = Reading{r.At, r.Value - (s.At(r.At) - s.At(sweep[0].At))}
	}
	return out
}

// String returns the roll-over reading with its unit.
func (s Sag) String() string {
	if !s.measured {
		return "not measured"
	}
	return UnitMillimetre.Format(float64(s.rollOver), 4) + " roll-over"
}
