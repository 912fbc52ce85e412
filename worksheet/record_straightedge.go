package worksheet

// StraightedgeGaps are the gaps under a straightedge that is held on the near hub
// and reaches over the far one. A gap is negative where the far hub stands proud.
type StraightedgeGaps struct {
	Station float64   `json:"station"` // of the far hub's rim, where the gaps were taken
	Gaps    []Reading `json:"gaps"`    // unit of readings
}
