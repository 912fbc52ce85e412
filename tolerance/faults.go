package tolerance

import "collinear.example/align"

// The faults of this package beside those of package align.
const (
	// ErrUnusable says that the table's figures are kept as a warning only.
	ErrUnusable align.Fault = "unusable-table"
	// ErrNotMonotone says that a limit grows with speed.
	ErrNotMonotone align.Fault = "not-monotone"
	// ErrGap says that bands of speed leave a gap or overlap.
	ErrGap align.Fault = "speed-gap"
	// ErrUnknownSize says that the table has no such size of coupling.
	ErrUnknownSize align.Fault = "unknown-size"
	// ErrNotOfShafts says that the quantity cannot be told from the position of
	// two shafts and must be read as such.
	ErrNotOfShafts align.Fault = "not-of-shafts"
	// ErrUnknownTable says that no built-in table has that name.
	ErrUnknownTable align.Fault = "unknown-table"
)

// The warnings of this package.
const (
	WarnSuspect  align.WarningCode = "suspect-figures"   // something speaks against the table's figures
	WarnBoundary align.WarningCode = "boundary-unstated" // the source does not say whose this speed is; the stricter row was taken
	WarnBetween  align.WarningCode = "between-speeds"    // the source does not say what holds between its speeds; the stricter was taken
	WarnHeld     align.WarningCode = "end-speed-held"    // outside the listed speeds, the nearest value holds
)

func inputError(field, got string, fault align.Fault) error {
	return &align.InputError{Package: "tolerance", Field: field, Got: got, Err: fault, Meaning: meaning(fault)}
}
