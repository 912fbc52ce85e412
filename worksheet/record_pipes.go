package worksheet

// Nozzle is where the flange of a machine stands. A flange that faces up has its
// 12 o'clock toward the last machine and is looked at from above: its 3 o'clock is
// then to the right of a person who looks along x.
type Nozzle struct {
	Faces   string  `json:"faces"`   // up
	Station float64 `json:"station"` // of its middle; it stands above the shaft line
	Height  float64 `json:"height"`  // of the face above the soles of the feet, unit of lengths
}

// ObliqueDial is a dial on a shaft between the vertical and the horizontal, read
// after one step of a strain test; and what dials straight above and beside the
// shaft showed at the same station, where there were any. All read zero before.
type ObliqueDial struct {
	Machine string   `json:"machine"`
	What    string   `json:"what"` // such as "discharge flange", which was let go
	Station float64  `json:"station"`
	At      float64  `json:"at"`      // clock position of the dial, degrees; its stem points at the centre
	Reading float64  `json:"reading"` // plus when the shaft came toward the dial
	Up      *float64 `json:"up,omitempty"`
	Right   *float64 `json:"right,omitempty"`
	Limit   float64  `json:"limit"` // most movement allowed up or down and to either side, each by itself
	Source  string   `json:"source"`
}
