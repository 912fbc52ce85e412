package drawing

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Train is a train of machines to be drawn: where they stand, where their shafts
// run in each state, what is to be done at their feet and what the couplings may
// bear. It is data alone, in SI units and in the frame of package align: stations
// along x from the first machine to the last, up and toward 3 o'clock positive.
// Draw makes the drawing.
type Train struct {
	Title     string // what the drawing shows
	Plant     string
	Reference string // number of the drawing or of the work order
	Date      string // as it is to be printed; nothing here reads a clock

	// Unit is the unit of offsets, moves and limits: align.UnitMillimetre, which
	// is also meant by "", with stations in millimetres, or align.UnitMil with
	// stations in inches.
	Unit align.Unit

	Machines  []Machine  // from the first along x to the last, one to eight
	Couplings []Coupling // in the same order, one between each machine and the next
	// States are drawn one over the other, one to four: at most one as found, one
	// after the move and two running. Limits are drawn about the near shaft of the
	// last state, so give the one last that they hold for.
	States  []State
	Flanges []Flange // drawn as insets, none to eight
}

// Machine is one machine of a train to be drawn. Along the train it is drawn to
// scale, from Start to End; its height and width are not.
type Machine struct {
	Name       string
	Start, End unit.Length // stations between which its casing stands, a millimetre apart or more
	Feet       []Foot      // by rising station, between Start and End; none to eight
}

// Foot is one foot of a machine, or a pair of feet at one station.
type Foot struct {
	Name    string
	Station unit.Length
	Side    Side
	// Move is what is to be done here; nil when nothing is asked, which is not the
	// same as a move of zero.
	Move *align.Move
}

// Side says on which side of the shaft a foot stands.
type Side uint8

// The sides.
const (
	BothSides Side = iota // a pair of feet, or one across the shaft
	RightSide             // toward 3 o'clock
	LeftSide              // toward 9 o'clock
)

// Coupling joins the shafts of a machine and the next one. Its flex planes stand
// between the casings.
type Coupling struct {
	Name string
	// NearFlex and FarFlex are the stations of the flex planes; the same station
	// twice is a coupling with a single flex plane.
	NearFlex, FarFlex unit.Length
	// NearLimit and FarLimit are how far the far shaft may stand from the near one
	// at each flex plane, up or down and to either side; zero: no limit is drawn.
	NearLimit, FarLimit unit.Length
	// Resultant says that the limits hold for both planes together. They are drawn
	// with their whole half width in either view; the figures say so.
	Resultant bool
}

// StateKind says what a state is, and by that with which line it is drawn.
type StateKind uint8

// The kinds of states.
const (
	AsFound   StateKind = iota // long-dashed dotted narrow line
	AfterMove                  // long-dashed dotted wide line
	Running                    // long-dashed double-dotted narrow line; a second one triple-dotted
)

// String returns the kind in words.
func (k StateKind) String() string {
	switch k {
	case AsFound:
		return "as found"
	case AfterMove:
		return "after the move"
	case Running:
		return "running"
	}
	return "unknown kind"
}

// State is where all shafts of the train stand at one time.
type State struct {
	Name string // "" for the words of its kind
	Kind StateKind
	// Shafts are the centrelines of the machines in their order, against one common
	// straight line of zero, which is drawn. See Chain.
	Shafts []align.Axis
	// Uncertain are how far the centrelines may stand off, one for each machine, or
	// none at all when nothing is known of it. See UncertaintyOf.
	Uncertain []Uncertainty
}

// Uncertainty is the uncertainty of a centreline in both planes.
type Uncertainty struct{ Vertical, Horizontal Band }

// Band is the uncertainty of a line in one plane, as wide as it is to be drawn (an
// expanded uncertainty, if that is what is meant):
//
//	half width(x) = sqrt(Offset^2 + (Slope (x - About))^2)
//
// (law of propagation for a straight line, About being the station where its
// offset and its slope are not correlated).
type Band struct {
	About  unit.Length
	Offset unit.Length // zero or more
	Slope  float64     // rise over run, zero or more
}

// At returns the half width of the band at station x.
func (b Band) At(x unit.Length) unit.Length {
	return unit.Length(math.Hypot(float64(b.Offset), b.Slope*float64(x-b.About)))
}

// Flange is a cut through a pair of flanges along the line between two opposite
// spots, drawn as an inset with the difference of the gaps exaggerated.
type Flange struct {
	Name     string
	Diameter unit.Length // on which the gaps are given, above zero
	Gaps     [2]FlangeGap
	// Offset is how far the pipe's flange stands off the machine's, toward the
	// first spot positive; nil when it was not measured.
	Offset *unit.Length
}

// FlangeGap is the gap between two flanges at one spot.
type FlangeGap struct {
	Where string      // such as "12 o'clock"
	Gap   unit.Length // zero or more
}
