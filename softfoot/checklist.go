package softfoot

import (
	"fmt"

	"collinear.example/align"
)

// Item is something about a base that is looked at, not measured.
type Item string

// The items of the checklist.
const (
	GroutVoids    Item = "grout-voids"    // base sounded with a small hammer
	GroutCracks   Item = "grout-cracks"   // cracks in grout or its edge let go
	ConcreteCrack Item = "concrete-crack" // cracks in the foundation
	AnchorBolts   Item = "anchor-bolts"   // loose, stretched, bent or broken
	HoldDown      Item = "hold-down"      // hold-down bolts and washers of the feet
	Rust          Item = "rust"           // rust, paint, burrs and dirt on pads and feet
	ShimCondition Item = "shim-condition" // corroded, bent, too many, cut to the wrong shape
	JackScrews    Item = "jackscrews"     // backed off and not carrying
)

// Items returns every item, in the order in which they are best looked at:
// from the foundation up.
func Items() []Item {
	return []Item{ConcreteCrack, GroutVoids, GroutCracks, AnchorBolts, Rust, ShimCondition, HoldDown, JackScrews}
}

// Finding is what was seen. The zero value is nobody having looked.
type Finding uint8

// Findings, from nothing seen to plain damage.
const (
	NotLookedAt Finding = iota
	Sound               // looked at and nothing found
	Slight              // something found that does not move and does not grow
	Severe              // loose, moving, broken, carrying less than it should
)

// Outcome is what a finding asks for.
type Outcome uint8

// Outcomes, mildest first.
const (
	Proceed Outcome = iota // nothing found that stands in the way
	Watch                  // go on, note it, look again
	Repair                 // put right before aligning
)

// String returns the outcome in lower case.
func (o Outcome) String() string {
	switch o {
	case Proceed:
		return "proceed"
	case Watch:
		return "watch"
	case Repair:
		return "repair"
	}
	return fmt.Sprintf("outcome(%d)", uint8(o))
}

// Observation is one thing looked at in one place.
type Observation struct {
	Item    Item
	Finding Finding
	Place   string // such as "pad 3"; free words
	Note    string // free words, kept as they are
}

// Outcome says what the observation asks for. A hollow place in grout that
// neither vibrates nor drifts may stay and is watched; a moving one is filled by
// injection (Bloch and Geitner, Machinery Component Maintenance and Repair, book
// p. 173). For the other items: slight is watched and severe is repaired; dirt,
// bad shims and carrying jackscrews cost so little to put right and spoil every
// gap so surely that even slight ones are repaired (common practice, no
// source). Something not looked at is an error, missing: it has no outcome.
func (o Observation) Outcome() (Outcome, error) {
	if !o.Item.known() {
		return 0, fault("item", string(o.Item), align.ErrUnknownKind)
	}
	switch o.Finding {
	case NotLookedAt:
		return 0, fault("finding of "+string(o.Item), "", align.ErrMissing)
	case Sound:
		return Proceed, nil
	case Severe:
		return Repair, nil
	case Slight:
		switch o.Item {
		case Rust, ShimCondition, JackScrews:
			return Repair, nil
		}
		return Watch, nil
	}
	return 0, fault("finding", fmt.Sprint(uint8(o.Finding)), align.ErrUnknownKind)
}

func (i Item) known() bool {
	for _, k := range Items() {
		if i == k {
			return true
		}
	}
	return false
}

// MachineKind says how heavy a foundation the handbook asks for.
type MachineKind uint8

// Kinds of machine for the mass of the foundation.
const (
	Rotating      MachineKind = iota // three times the mass of machines and base
	Reciprocating                    // five times
)

// Foundation is what is known of masses, in kilograms. They come from drawings
// and nameplates; none is ever assumed.
type Foundation struct {
	Kind     MachineKind
	Block    float64 // mass of the foundation block, above zero
	Machines float64 // mass of all machines and their base on it, above zero
}

// FoundationVerdict holds a foundation against the handbook ratio.
type FoundationVerdict struct {
	Ratio   float64 // block over machines
	Least   float64 // least ratio of the handbook
	Outcome Outcome // proceed, or watch when lighter: a rule of thumb asks for no new foundation
}

// Judge returns block mass over machine mass against the handbook's 3 for
// rotating and 5 for reciprocating machines (Bloch and Geitner, book p. 173).
// Errors: not-finite, out-of-range for a mass not above zero, unknown-kind.
func (f Foundation) Judge() (FoundationVerdict, error) {
	least := 3.0
	switch f.Kind {
	case Rotating:
	case Reciprocating:
		least = 5
	default:
		return FoundationVerdict{}, fault("kind", fmt.Sprint(uint8(f.Kind)), align.ErrUnknownKind)
	}
	for _, m := range []struct {
		name string
		kg   float64
	}{{"block", f.Block}, {"machines", f.Machines}} {
		got := fmt.Sprint(m.kg) + " kg"
		if !align.IsFinite(m.kg) {
			return FoundationVerdict{}, fault(m.name, got, align.ErrNotFinite)
		}
		if m.kg < 1e-3 || m.kg > 1e12 {
			return FoundationVerdict{}, fault(m.name, got, align.ErrOutOfRange)
		}
	}
	v := FoundationVerdict{Ratio: f.Block / f.Machines, Least: least, Outcome: Watch}
	if f.Block >= float64(least*f.Machines)*(1-1e-12) {
		v.Outcome = Proceed
	}
	return v, nil
}

// Checklist is everything that was looked at.
type Checklist struct {
	Observations []Observation
	Foundation   *Foundation // nil when the masses are not known
}

// ChecklistResult is what the checklist asks for.
type ChecklistResult struct {
	Outcome  Outcome            // the worst of all that was looked at
	Complete bool               // every item was looked at at least once
	Missing  []Item             // items nobody looked at, in the order of Items
	Repair   []Observation      // what must be put right
	Watch    []Observation      // what is noted and looked at again
	Mass     *FoundationVerdict // nil when the masses are not known
}

// Judge returns the worst outcome and what led to it. An item nobody looked at
// is listed as missing and never counted as sound; read the outcome together
// with Complete. An observation of an unknown item or finding is an error.
func (c Checklist) Judge() (ChecklistResult, error) {
	var r ChecklistResult
	seen := map[Item]bool{}
	for i, o := range c.Observations {
		if o.Finding == NotLookedAt && o.Item.known() {
			continue
		}
		out, err := o.Outcome()
		if err != nil {
			return ChecklistResult{}, align.In(err, fmt.Sprintf("observations[%d]", i))
		}
		seen[o.Item] = true
		r.Outcome = max(r.Outcome, out)
		switch out {
		case Repair:
			r.Repair = append(r.Repair, o)
		case Watch:
			r.Watch = append(r.Watch, o)
		}
	}
	for _, item := range Items() {
		if !seen[item] {
			r.Missing = append(r.Missing, item)
		}
	}
	r.Complete = len(r.Missing) == 0
	if c.Foundation == nil {
		return r, nil
	}
	v, err := c.Foundation.Judge()
	if err != nil {
		return ChecklistResult{}, align.In(err, "foundation")
	}
	r.Mass, r.Outcome = &v, max(r.Outcome, v.Outcome)
	return r, nil
}
