package worksheet

import "collinear.example/align"

// Format is the first field of every record: the name of the format and its
// version. A version that this library does not know is refused.
const Format = "collinear record 1"

// Record is one alignment job: the train, what was looked at and measured in the
// order in which it was done, the limits chosen and the moves made. Numbers are
// plain, in the units declared once in Units. All parts but the train may be left
// out; what is left out is not zero.
//
// Signs are those of package align: x along the train from the first machine to
// the last, up and toward 3 o'clock positive, a dial positive when its stem is
// pushed in, misalignment far less near.
type Record struct {
	Format string `json:"format"`
	Title  string `json:"title"`
	Plant  string `json:"plant,omitempty"`
	Units  Units  `json:"units"`
	Train  Train  `json:"train"`

	Looked  []Observation  `json:"looked,omitempty"`  // base, grout, bolts: what was seen
	Base    *BaseSurvey    `json:"base,omitempty"`    // heights of the pads
	Gaps    []FootGaps     `json:"gaps,omitempty"`    // gaps under the feet, bolts loose
	Rises   []FootRises    `json:"rises,omitempty"`   // rises as one bolt is let go, the others tight
	Stock   *Stock         `json:"stock,omitempty"`   // shims on the shelf
	Runout  []RunoutSweep  `json:"runout,omitempty"`  // sweeps of shafts and hubs
	Hubs    []HubGaps      `json:"hubs,omitempty"`    // gaps between two hubs, in time order
	Joints  []FlangeSurvey `json:"joints,omitempty"`  // gaps between flanges, bolts out
	Strain  []StrainLog    `json:"strain,omitempty"`  // dials while flanges or feet are let go
	Oblique []ObliqueDial  `json:"oblique,omitempty"` // dials at an angle while flanges are let go
	Sag     []SagTest      `json:"sag,omitempty"`     // brackets on a stiff mandrel
	Sets    []Set          `json:"sets,omitempty"`    // readings at the couplings, in time order
	States  []State        `json:"states,omitempty"`  // how the machines move from standing cold to running
	Limits  []Limits       `json:"limits,omitempty"`  // the tables chosen
	Wanted  []MoveWanted   `json:"wanted,omitempty"`  // moves wanted at the feet, not made yet
	Moves   []MoveMade     `json:"moves,omitempty"`   // moves as made at the feet, in time order
	Notes   []string       `json:"notes,omitempty"`
}

// Units are the units of every number of the record.
type Units struct {
	Length      align.Unit `json:"length"`                // stations, diameters, distances
	Reading     align.Unit `json:"reading"`               // dial readings, gaps, offsets, shims, moves
	Temperature align.Unit `json:"temperature,omitempty"` // of states, degC or degF
	Speed       align.Unit `json:"speed,omitempty"`       // of the train, rpm or Hz
}

// Train is the row of machines.
type Train struct {
	Speed     *float64   `json:"speed,omitempty"` // running speed
	Machines  []Machine  `json:"machines"`        // from the first along x to the last
	Couplings []Coupling `json:"couplings,omitempty"`
}

// Machine is one machine on its feet.
type Machine struct {
	Name  string `json:"name"`
	Feet  []Foot `json:"feet,omitempty"`
	Fixed bool   `json:"fixed,omitempty"` // must not be moved
	// ShaftHeight is the height of the shaft above the soles of the feet, unit of
	// lengths.
	ShaftHeight *float64 `json:"shaftHeight,omitempty"`
}

// Foot is one foot. Left and right feet at one station are two of them.
type Foot struct {
	Name    string   `json:"name"`
	Station float64  `json:"station"`
	Lateral *float64 `json:"lateral,omitempty"` // to the right of the shaft line
	Shims   *float64 `json:"shims,omitempty"`   // thickness under it now, unit of readings
	// Leaves are the shims under it one by one, unit of readings.
	Leaves []float64 `json:"leaves,omitempty"`
	// Least is the shim that must stay under it; Left and Right are the room in its
	// bolt holes toward 9 and toward 3 o'clock. All in the unit of readings.
	Least *float64 `json:"least,omitempty"`
	Left  *float64 `json:"left,omitempty"`
	Right *float64 `json:"right,omitempty"`
}

// Coupling joins two neighbouring machines.
type Coupling struct {
	Name       string    `json:"name"`
	Near       string    `json:"near"`                 // machine with the smaller stations
	Far        string    `json:"far"`                  // the other
	FlexPlanes []float64 `json:"flexPlanes,omitempty"` // one or two stations
}

// Observation is one thing looked at on the base or foundation.
type Observation struct {
	Item    string `json:"item"`    // such as "grout-voids"; package softfoot lists them
	Finding string `json:"finding"` // sound, slight or severe
	Place   string `json:"place,omitempty"`
	Note    string `json:"note,omitempty"`
}

// BaseSurvey is the height of points on the pads.
type BaseSurvey struct {
	Limits string      `json:"limits"` // name of a set of limits of package softfoot
	Points []BasePoint `json:"points"`
}

// BasePoint is one measured point of a pad.
type BasePoint struct {
	Pad     string  `json:"pad"`
	Station float64 `json:"station"`
	Lateral float64 `json:"lateral"`
	Height  float64 `json:"height"` // unit of readings
}

// FootGaps are the gaps at the four corners of a foot, all bolts loose: the end
// toward the first machine (near) and toward the last (far), left and right of a
// person who looks along x.
type FootGaps struct {
	Machine   string  `json:"machine"`
	Foot      string  `json:"foot"`
	Length    float64 `json:"length"` // of the foot along x, unit of lengths
	Width     float64 `json:"width"`  // across, unit of lengths
	NearLeft  float64 `json:"nearLeft"`
	NearRight float64 `json:"nearRight"`
	FarLeft   float64 `json:"farLeft"`
	FarRight  float64 `json:"farRight"`
}

// FootRises are what dials at the feet show when one bolt is let go at a time,
// the others tight: a static movement, not halved.
type FootRises struct {
	Machine string  `json:"machine"`
	Foot    string  `json:"foot"`
	Rise    float64 `json:"rise"`
}

// RunoutSweep is a sweep of a shaft or a hub that turns under a dial on a base.
type RunoutSweep struct {
	Machine  string    `json:"machine"`
	Part     string    `json:"part"`               // shaft, hub-rim or hub-face
	Diameter float64   `json:"diameter,omitempty"` // of the shaft, or swept on the face
	Limit    string    `json:"limit,omitempty"`    // name of a limit of package runout
	Readings []Reading `json:"readings"`
}

// Reading is a dial reading at a clock position.
type Reading struct {
	At    float64 `json:"at"` // degrees clockwise from 12 o'clock, looking along x
	Value float64 `json:"value"`
}

// FlangeSurvey is the gap between a machine's flange and the pipe's, bolts out,
// at four places around, and how far the pipe's flange stands off across.
type FlangeSurvey struct {
	Machine      string    `json:"machine"`
	Name         string    `json:"name"`
	Rule         string    `json:"rule"`                   // name of a rule of package piping
	Diameter     float64   `json:"diameter"`               // of the circle on which the gaps were taken, unit of lengths
	FlangeOD     float64   `json:"flangeOD,omitempty"`     // outside diameter; most rules need it
	RaisedFaceOD float64   `json:"raisedFaceOD,omitempty"` // none for a flat face
	Reference    string    `json:"reference,omitempty"`    // of api-rp-686 alone: by which of the two it goes, flange or raised-face
	Gasket       float64   `json:"gasket"`                 // compressed thickness, unit of readings
	Gaps         []Reading `json:"gaps"`                   // around the flange, degrees clockwise as seen looking at the machine's flange
	OffsetUp     *float64  `json:"offsetUp,omitempty"`
	OffsetSide   *float64  `json:"offsetSide,omitempty"`
	Nozzle       *Nozzle   `json:"nozzle,omitempty"` // where the machine's flange stands
}

// StrainLog is a strain test: dials read after each step, the shafts standing
// still.
type StrainLog struct {
	Machine string       `json:"machine"`
	Dials   []StrainDial `json:"dials"`
	Steps   []StrainStep `json:"steps"`
	Limit   float64      `json:"limit"` // most movement allowed of each dial at the shaft, unit of readings
	Source  string       `json:"source"`
}

// StrainDial is one dial of a strain test.
type StrainDial struct {
	Name    string  `json:"name"`
	Station float64 `json:"station"`
	Toward  string  `json:"toward"`  // direction in which the machine moves when the reading grows: up, down, right, left, along or back
	Touches string  `json:"touches"` // shaft, casing or foot
}

// StrainStep is one step of a strain test.
type StrainStep struct {
	Action   string    `json:"action"`   // loosen or tighten
	What     string    `json:"what"`     // such as "discharge flange" or "feet"
	Readings []float64 `json:"readings"` // of every dial, in order, since the start
}

// SagTest is a bracket tried on a stiff mandrel.
type SagTest struct {
	Bracket string  `json:"bracket"` // name, to which dials refer
	Kind    string  `json:"kind"`    // roll-over or single-deflection
	Reading float64 `json:"reading"` // negative for a bracket that droops
}

// The stages at which a set of readings is taken.
const (
	AsFound   = "as-found"
	AfterMove = "after-move"
	AsLeft    = "as-left"
	HotCheck  = "hot-check"
)

// The methods a set can name.
const (
	ReverseIndicator = "reverse-indicator"
	RimAndFace       = "rim-and-face"
)

// Set is one set of readings at a coupling.
type Set struct {
	Stage    string `json:"stage"` // as-found, after-move, as-left or hot-check
	Coupling string `json:"coupling"`
	When     string `json:"when,omitempty"`
	By       string `json:"by,omitempty"`
	Method   string `json:"method"` // reverse-indicator or rim-and-face
	Dials    []Dial `json:"dials"`
	// Sigma is the standard uncertainty of one reading, where it is known.
	Sigma *float64 `json:"sigma,omitempty"`
}

// Dial is one dial of a set.
type Dial struct {
	Touches  string  `json:"touches"`            // rim, face-toward or face-away
	On       string  `json:"on"`                 // near or far: the shaft whose hub is touched
	Station  float64 `json:"station"`            // of the touched place
	Diameter float64 `json:"diameter,omitempty"` // swept by a face dial, or of the rim
	Bracket  string  `json:"bracket,omitempty"`  // name of a sag test; empty: not tested
	// Against says that clock positions are those of a person who looks along -x.
	Against  bool      `json:"against,omitempty"`
	Readings []Reading `json:"readings"`
	// Turn is one turn of the needle in the unit of readings, given when the turns
	// were not counted at 6 o'clock, so that the reading there is known but for
	// whole turns.
	Turn *float64 `json:"turn,omitempty"`
}

// State is a way in which the train runs: how far each machine's shaft moves from
// standing cold, either measured at two stations or worked out from the
// temperatures of its supports.
type State struct {
	Name     string     `json:"name"`
	Machines []Movement `json:"machines"`
}

// Movement is the movement of one machine's shaft.
type Movement struct {
	Machine  string    `json:"machine"`
	Supports []Support `json:"supports,omitempty"` // growth from temperatures, or
	Measured []Moved   `json:"measured,omitempty"` // measured off-line to running at two stations
}

// Support is one support of a machine with its growth.
type Support struct {
	Station     float64 `json:"station"`
	Height      float64 `json:"height"`                // from base to shaft, unit of lengths
	Material    string  `json:"material,omitempty"`    // name of a material of package thermal
	Variant     string  `json:"variant,omitempty"`     // which of its values
	Coefficient float64 `json:"coefficient,omitempty"` // per degree of the unit of temperature, in the place of a material
	Cold        float64 `json:"cold"`                  // temperature when aligned
	Hot         float64 `json:"hot"`                   // in this state
	// AboveFloor is the height of the base above the floor, which plays no part in
	// the growth as long as the base stays cold.
	AboveFloor *float64 `json:"aboveFloor,omitempty"`
	// Fluid is the temperature of what is pumped: seldom that of the support.
	Fluid *float64 `json:"fluid,omitempty"`
}

// Moved is the measured movement at one station, unit of readings.
type Moved struct {
	Station float64 `json:"station"`
	Up      float64 `json:"up"`
	Right   float64 `json:"right"`
}

// Limits are a table of limits that was chosen for a coupling.
type Limits struct {
	Coupling string `json:"coupling"`
	Set      string `json:"set"` // id of a set of package tolerance
	// Size of the coupling as the tables of the set name it, where they do.
	Size string `json:"size,omitempty"`
}

// MoveMade is what was done at one foot, and after which set of readings.
type MoveMade struct {
	After   int     `json:"after"` // index of the set in Sets
	Machine string  `json:"machine"`
	Foot    string  `json:"foot"`
	Up      float64 `json:"up"`
	Right   float64 `json:"right"`
}
