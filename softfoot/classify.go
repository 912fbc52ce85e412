package softfoot

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// SoftKind is a way in which a foot can be soft. A foot may have several at once.
type SoftKind string

// The ways in which a foot can be soft.
const (
	Parallel SoftKind = "parallel" // an even gap under the foot
	Angular  SoftKind = "angular"  // a gap that tapers: the foot and its pad are not parallel
	Springy  SoftKind = "springy"  // it moves when loosened but no gap is found: bent foot, soft stack, dirt
	Induced  SoftKind = "induced"  // it goes away when pipe or coupling is freed
)

// FootEvidence is what is known of one foot. What was not read is nil and proves
// nothing.
type FootEvidence struct {
	Foot string
	Face *FootFace       // gaps under the foot, all bolts loose, pipe and coupling free
	Rise *align.Movement // when its bolt alone was loosened, pipe and coupling as they were
	Free *align.Movement // the same with pipe and coupling free
	// Least is the gap or rise that counts, zero or more. Zero takes the limit of
	// API RP 686 for a foot that moves, 0.05 mm.
	Least unit.Length
}

// Diagnosis is what the evidence shows. No kinds and CannotTell false means that
// nothing read counts: the foot sits as far as it was looked at, and Missing says
// what was not.
type Diagnosis struct {
	Foot       string
	Kinds      []SoftKind
	Reasons    []string // one for each kind, with its numbers
	CannotTell bool     // the readings decide neither that it sits nor how it is soft
	Missing    []string // readings that would decide more
}

// Diagnose names the kinds that the readings prove, each with its evidence:
// parallel when the gap counts even at the tight corner, angular when the taper
// does, springy when the foot moves though every gap is within the limit, induced
// when the movement with everything connected differs from the free one by more
// than the limit. A gap that counts at some corner, though neither the tight one
// nor the taper does, is called parallel: a foot with a gap never sits. A foot
// that falls when it is loosened moves as well as one that rises.
//
// A rise without a gap that was read with pipe and coupling on is called springy
// and may yet prove induced: Missing then asks for the reading with both free.
//
// Errors: not-finite, negative, and those of FootFace.Wedge.
func (e FootEvidence) Diagnose() (Diagnosis, error) {
	d := Diagnosis{Foot: e.Foot}
	if err := lengthFromZero("least", e.Least); err != nil {
		return d, err
	}
	least := e.Least
	if least == 0 {
		least = 0.05 * align.Millimetre
	}
	for _, m := range []struct {
		name string
		v    *align.Movement
	}{{"rise", e.Rise}, {"free", e.Free}} {
		if m.v == nil {
			continue
		}
		if err := boundedLength(m.name, unit.Length(*m.v)); err != nil {
			return d, err
		}
	}
	gap := unit.Length(0)
	if e.Face != nil {
		w, err := e.Face.Wedge()
		if err != nil {
			return d, align.In(err, "face")
		}
		_, gap = w.Readings()
		d.gaps(w, least)
	}
	d.movements(e, gap, least)
	d.CannotTell = e.undecided(least)
	d.missing(e)
	return d, nil
}

// undecided reports whether nothing was read, or a rise that pipe and coupling
// do not explain was read without the gaps that would say of which kind it is.
func (e FootEvidence) undecided(least unit.Length) bool {
	if e.Face != nil {
		return false
	}
	left := e.Rise
	if e.Free != nil {
		left = e.Free
	}
	return left == nil || size(*left) > float64(least)
}

func (d *Diagnosis) add(k SoftKind, reason string) {
	d.Kinds = append(d.Kinds, k)
	d.Reasons = append(d.Reasons, reason)
}

func (d *Diagnosis) gaps(w Wedge, least unit.Length) {
	if w.Tight > least {
		d.add(Parallel, "gap of "+millimetres(w.Tight)+" even at the tight corner")
	}
	if w.Range() > least {
		d.add(Angular, "gap tapers by "+millimetres(w.Range())+", tight at the "+w.TightSide())
	}
	if _, most := w.Readings(); len(d.Kinds) == 0 && most > least {
		d.add(Parallel, "gap of up to "+millimetres(most)+", with no taper that counts")
	}
}

func (d *Diagnosis) movements(e FootEvidence, gap, least unit.Length) {
	rise := e.Rise
	if e.Free != nil {
		rise = e.Free // with nothing pulling, what is left is the foot's own
	}
	if rise != nil && e.Face != nil && size(*rise) > float64(least) && gap <= least {
		d.add(Springy, "moves "+millimetres(unit.Length(*rise))+" with no gap over "+millimetres(least))
	}
	if e.Rise != nil && e.Free != nil && size(*e.Rise-*e.Free) > float64(least) {
		d.add(Induced, "moves "+millimetres(unit.Length(*e.Rise))+" connected and "+millimetres(unit.Length(*e.Free))+" free")
	}
}

func (d *Diagnosis) missing(e FootEvidence) {
	if e.Face == nil {
		d.Missing = append(d.Missing, "gaps at the corners of the foot, all bolts loose")
	}
	if e.Rise == nil {
		d.Missing = append(d.Missing, "rise when its bolt alone is loosened")
	}
	if e.Rise != nil && e.Free == nil && *e.Rise != 0 {
		d.Missing = append(d.Missing, "the same rise with pipe and coupling free")
	}
}

// RecheckStep is one thing to do after feet were shimmed.
type RecheckStep struct {
	Do  string
	Why string
}

// Recheck returns what to do after shimming, in order (common practice, no
// source).
func Recheck() []RecheckStep {
	return []RecheckStep{
		{"clean feet, pads and shims, and remove burrs", "dirt is a shim of unknown thickness"},
		{"tighten all bolts in the usual order, twice", "the first pass beds the shims"},
		{"loosen one bolt at a time, read its rise, tighten it again", "each rise must be within the limit and like the others"},
		{"free pipe and coupling and read once more where a rise is left", "what goes away is induced and is not the foot's"},
		{"read the corners of a foot that still rises", "a taper is not filled by a flat shim"},
		{"then read the alignment anew", "the machine has moved"},
	}
}

// Cautions returns the cautions for work at feet, for reports.
func Cautions() []string {
	return []string{
		"Isolate the driver, lock it out and tag it, and try the start button before a bolt is loosened.",
		"Relieve pressure and drain: a strained pipe lets go when a foot is loosened, and can move the machine or a hand.",
		"Support what you loosen, and keep fingers out of the gap under a foot.",
		"The figures are arithmetic, not permission. Site rules, local codes, the makers' instructions and qualified people decide.",
	}
}
