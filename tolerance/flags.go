package tolerance

import "collinear.example/align"

// Flags say what is uncertain about a limit that was looked up.
type Flags uint8

// What can be uncertain about a limit.
const (
	AtBoundary     Flags = 1 << iota // the source does not say whose this speed is
	BetweenSpeeds                    // the source does not say what holds between its speeds
	EndHeld                          // outside the listed speeds, the nearest value was taken
	SuspectFigures                   // something speaks against the table's figures
)

// Warnings returns a warning for every flag that is set, in the order of the
// constants, nil when none is. Field names the limit.
func (f Flags) Warnings(field string) []align.Warning {
	var out []align.Warning
	for _, w := range []struct {
		flag Flags
		code align.WarningCode
		how  align.Severity
	}{
		{AtBoundary, WarnBoundary, align.Notice},
		{BetweenSpeeds, WarnBetween, align.Notice},
		{EndHeld, WarnHeld, align.Notice},
		{SuspectFigures, WarnSuspect, align.Suspect},
	} {
		if f&w.flag != 0 {
			out = append(out, align.Warning{Code: w.code, Meaning: warningMeaning(w.code), Severity: w.how, Field: field})
		}
	}
	return out
}

// Allowed is a limit looked up in a table.
type Allowed struct {
	// SI is the limit in SI units of the table's quantity: metres, or a slope.
	SI float64
	// Printed is the value in the table's unit after the rule of speed and
	// before it is scaled with a dimension of the machine.
	Printed float64
	Flags   Flags
}
