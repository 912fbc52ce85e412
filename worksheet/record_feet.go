package worksheet

// Stock are the shims on the shelf, as many of each as needed.
type Stock struct {
	Leaves    []float64 `json:"leaves"`    // thicknesses, unit of readings
	MaxLeaves int       `json:"maxLeaves"` // most leaves in one stack
	Within    float64   `json:"within"`    // the difference that is near enough, unit of readings
}

// MoveWanted is a change of height wanted at a foot and not made yet.
type MoveWanted struct {
	Machine string  `json:"machine"`
	Foot    string  `json:"foot"`
	Up      float64 `json:"up"` // positive raises the foot, unit of readings
}

// HubGaps are the gaps between the faces of two hubs, taken with feelers at fixed
// clock positions. Faults of the faces are in them; half a turn of both shafts
// together tells faults and misalignment apart.
type HubGaps struct {
	Coupling string    `json:"coupling"`
	Diameter float64   `json:"diameter"`         // of the circle on which the gaps were taken, unit of lengths
	Turned   float64   `json:"turned,omitempty"` // degrees both shafts have been turned together since the first of these
	Gaps     []Reading `json:"gaps"`             // unit of readings
	// Straightedge are the gaps under a straightedge taken at the same time.
	Straightedge *StraightedgeGaps `json:"straightedge,omitempty"`
}
