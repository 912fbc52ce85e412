package tolerance

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Table is one limit as a source prints it: what is limited, where, how the
// limit depends on speed and size, and where it comes from. Values are kept in
// the printed unit.
type Table struct {
	ID       string // permanent, such as "api-rp-686-flex-deviation"
	Title    string
	Quantity Quantity
	Place    Place
	Planes   Planes
	Coupling string // kind of coupling it speaks of, "" for any
	Turned   Turned
	Unit     align.Unit // unit of the values as printed
	Rule     Rule
	Rows     []Row   // for every rule but ByFormula
	Formula  Formula // for ByFormula
	Factors  []Point // for ByFactor: what the rows' values are multiplied by
	Between  Between // for ByPoints and ByFactor
	Below    Outside // what holds below the lowest listed speed
	Above    Outside // what holds above the highest listed speed
	Times    Measure // a dimension of the machine that the value is multiplied by
	Over     Measure // a dimension of the machine that the value is divided by

	Source  string // citation with clause or page
	Edition string
	Known   align.Known
	Note    string // what the source leaves open, and how it is read here
	Suspect string // why the figures may be wrong, "" when nothing speaks against them
	// Unusable refuses to grade with this table: it is kept so that nobody takes
	// it up again.
	Unusable bool
}

// Rule says how a limit depends on speed.
type Rule string

// The rules between speeds.
const (
	AnySpeed  Rule = "any-speed"  // one row for a size, whatever the speed
	ByBand    Rule = "by-band"    // rows hold over a band of speeds
	ByPoint   Rule = "by-point"   // rows stand at single speeds; Between says what holds between them
	ByFormula Rule = "by-formula" // (Base + PerDiameter*D) * Numerator / n^Power
	ByFactor  Rule = "by-factor"  // one row for a size, times a factor at a speed
)

// Row is one value of a table.
type Row struct {
	Size  string // as the source names it, "" when there is one size only
	Value float64

	// Speed is where a row of rule ByPoint stands.
	Speed unit.Frequency
	// From and To bound a row of rule ByBand; no upper bound when To is zero.
	From, To unit.Frequency
	// OwnsFrom and OwnsTo say that the bound itself belongs to the band. Where
	// the source does not say whose a bound is neither is set, and the stricter
	// row holds with a warning.
	OwnsFrom, OwnsTo bool
}

// Point is a factor at a speed.
type Point struct {
	Speed  unit.Frequency
	Factor float64
}

// Formula is (Base + PerDiameter*D) * Numerator / n^Power, with D the face
// diameter in the table's unit and n the speed in revolutions a minute, never
// less than Lowest.
type Formula struct {
	Base        float64
	PerDiameter float64
	Numerator   float64
	Power       float64
	Lowest      unit.Frequency // slower speeds count as this one
}

// Between says what holds between two listed speeds.
type Between string

// What can hold between two listed speeds.
const (
	Linear   Between = "linear"   // straight line in speed, as the source says
	Stricter Between = "stricter" // the source does not say: the stricter neighbour, with a warning
)

// Outside says what holds outside the listed speeds.
type Outside string

// What can hold outside the listed speeds.
const (
	Refuse Outside = "refuse" // no limit is known there
	Hold   Outside = "hold"   // the nearest value holds, as the source says
	// HoldUnstated serves below the lowest listed speed where the source is
	// silent: its value there holds, with a warning. Limits never grow with
	// speed, so it is the stricter.
	HoldUnstated Outside = "hold-unstated"
)

// Measure is a dimension of the machine that a limit is scaled with.
type Measure string

// The dimensions that limits are scaled with.
const (
	NoMeasure      Measure = ""
	FaceDiameter   Measure = "face-diameter"
	FlexSeparation Measure = "flex-separation"
	RunoutLength   Measure = "runout-length"   // bearing to the place of reading
	RunnerDiameter Measure = "runner-diameter" // of the thrust runner
	Clearance      Measure = "clearance"       // diametral
)

// Set is a group of tables that one source applies together.
type Set struct {
	ID      string
	Title   string
	Combine Combine
	Tables  []Table
}
