package piping

import "collinear.example/align"

// Action is what is done in a step of a strain test.
type Action uint8

// The actions. Loosen undoes Tighten and Remove undoes Fit.
const (
	Tighten Action = iota
	Loosen
	Fit
	Remove
)

// String returns the action in words.
func (a Action) String() string {
	switch a {
	case Tighten:
		return "tighten"
	case Loosen:
		return "loosen"
	case Fit:
		return "fit"
	case Remove:
		return "remove"
	}
	return "unknown action"
}

// releases reports whether the action lets go of something.
func (a Action) releases() bool { return a == Loosen || a == Remove }

// opposite returns the action that undoes a.
func (a Action) opposite() Action { return [...]Action{Loosen, Tighten, Remove, Fit}[a] }

// Group is the kind of thing on which a step works.
type Group uint8

// The groups.
const (
	Feet    Group = iota // hold-down bolts
	Flange               // flanges of the machine's nozzles
	Support              // supports, hangers and restraints of the pipe
)

// String returns the group in words.
func (g Group) String() string {
	switch g {
	case Feet:
		return "feet"
	case Flange:
		return "flange"
	case Support:
		return "support"
	}
	return "unknown group"
}

// Reading is what an indicator shows, or that it was not read. A reading that is
// missing is not zero.
type Reading struct {
	Value align.Movement
	Given bool
}

// Shows returns a reading that was taken.
func Shows(m align.Movement) Reading { return Reading{m, true} }

// Step is one thing done to the machine, and what the indicators show after it.
type Step struct {
	Name   string // needed, and no two alike
	Action Action
	Group  Group
	// Of names the flange, foot or support on which the step works; several when
	// several were done before the indicators were read again.
	Of []string
	// Readings are those after the step, in the order of the indicators, as seen
	// on the dial: counted from its last zero.
	Readings []Reading
	// Rezeroed says that all dials were set to zero anew before this step, with
	// nothing else done between.
	Rezeroed bool
	// Undoes names the earlier step that this one undoes, "" when none.
	Undoes string
}

func (s *Step) check(indicators int) error {
	switch {
	case s.Name == "":
		return strainFault("name", "", align.ErrMissing)
	case s.Action > Remove:
		return strainFault("action", s.Action.String(), align.ErrUnknownKind)
	case s.Group > Support:
		return strainFault("group", s.Group.String(), align.ErrUnknownKind)
	case len(s.Of) == 0:
		return strainFault("of", "", align.ErrMissing)
	}
	for i, name := range s.Of {
		if name == "" {
			return strainFault(index("of", i), "", align.ErrMissing)
		}
		for _, other := range s.Of[:i] {
			if other == name {
				return strainFault(index("of", i), name, ErrGivenTwice)
			}
		}
	}
	return checkReadings("readings", s.Readings, indicators)
}

// checkReadings wants a reading for every indicator.
func checkReadings(field string, rs []Reading, indicators int) error {
	if len(rs) != indicators {
		return strainFault(field, counted(len(rs), "reading"), align.ErrMismatch)
	}
	for i, r := range rs {
		if r.Given && !within(length(r.Value), maxMovement) {
			return checkWithin(index(field, i), length(r.Value), maxMovement)
		}
	}
	return nil
}

// undoes reports whether s is the opposite of the earlier step e.
func (s *Step) undoes(e *Step) bool {
	return s.Action == e.Action.opposite() && s.Group == e.Group && sameNames(s.Of, e.Of)
}

// sameNames compares two sets of names, each without repeats.
func sameNames(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for _, name := range a {
		if !contains(b, name) {
			return false
		}
	}
	return true
}

func contains(names []string, name string) bool {
	for _, n := range names {
		if n == name {
			return true
		}
	}
	return false
}
