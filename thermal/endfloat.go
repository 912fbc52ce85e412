package thermal

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// EndFloat is the axial room of a motor that has no thrust bearing of its own,
// and the coupling that must hold its rotor away from the bearing shoulders.
type EndFloat struct {
	Bearing unit.Length // total end float between the shoulders of the sleeve bearings, above zero
	// Travel is how far the coupling lets the rotor go to EITHER side of where it
	// holds it, zero or more.
	Travel unit.Length
	// Centre is where the coupling holds the rotor, counted from the middle of the
	// end float, positive along +x. Growth of both shafts shifts it: see AxialGap.
	Centre unit.Length
}

// EndFloatCheck says whether the coupling keeps the rotor off the shoulders.
type EndFloatCheck struct {
	Low, High unit.Length   // room left at the shoulder on the -x and on the +x side, negative when it is reached
	Share     align.Verdict // total travel as a share of the end float, against one half
	Inside    bool          // the coupling's window lies inside the bearings'
}

// HalfFloatRule returns the rule that the total travel of the coupling be less
// than half the end float of the motor (ITT Goulds 3409 manual, p. 54). A
// coupling can lie inside the bearing window and break this rule: a sleeve
// bearing motor of another maker with 0.5 in of float and a coupling of 0.18 in
// to either side has 0.07 in left at each shoulder, and 72 % of the float.
func HalfFloatRule() align.Limit {
	return align.Limit{
		Name: "coupling travel as a share of motor end float", Place: "coupling", Value: 0.5, Unit: align.UnitOne,
		Source: "ITT Goulds 3409 manual, p. 54 (it says less than half)", Known: align.Read,
	}
}

// Judge holds the window of the coupling against that of the bearings:
//
//	low  = (centre - travel) + bearing/2
//	high = bearing/2 - (centre + travel)
//
// (Siemens manual of CG and CGII sleeve-bearing motors, p. 24: the limits of the
// coupling lie about the mechanical centre, inside the end float).
func (e EndFloat) Judge() (EndFloatCheck, error) {
	if err := aboveZero("bearing", e.Bearing, maxOffset); err != nil {
		return EndFloatCheck{}, err
	}
	if e.Bearing < minLimit {
		return EndFloatCheck{}, fault("bearing", plain(float64(e.Bearing), "m"), align.ErrOutOfRange)
	}
	if err := fromZero("travel", e.Travel, maxOffset); err != nil {
		return EndFloatCheck{}, err
	}
	if err := bounded("centre", e.Centre, maxOffset); err != nil {
		return EndFloatCheck{}, err
	}
	half := e.Bearing / 2
	c := EndFloatCheck{Low: e.Centre - e.Travel + half, High: half - e.Centre - e.Travel}
	c.Inside = c.Low >= -1e-12*half && c.High >= -1e-12*half
	v, err := HalfFloatRule().Judge(float64(2 * e.Travel / e.Bearing))
	if err != nil {
		return EndFloatCheck{}, err
	}
	v.Within = v.Within && v.Measured < 0.5*(1-1e-12) // less than half, not half
	c.Share = v
	return c, nil
}

// EndFloatRow is one row of a table of sleeve-bearing motors: the end float the
// motor must have and the most the coupling may let through.
type EndFloatRow struct {
	Motor      string
	LeastFloat float64     // least rotor end float, in inches as printed
	Coupling   align.Limit // total end float of the coupling
}

// EndFloatRows returns the rows for coupled horizontal sleeve-bearing machines
// of NEMA MG 1, 20.30, each call a new copy. They are FROM MEMORY, and the
// powers at which one row gives way to the other are uncertain: look them up
// before relying on them.
func EndFloatRows() []EndFloatRow {
	limit := func(v float64) align.Limit {
		return align.Limit{
			Name: "end float of the coupling", Place: "coupling", Value: v, Unit: align.UnitInch,
			Source: "NEMA MG 1, 20.30", Known: align.FromMemory,
		}
	}
	return []EndFloatRow{
		{Motor: "500 hp and below, 1800 rpm and below", LeastFloat: 0.25, Coupling: limit(0.09)},
		{Motor: "about 300 to 500 hp at 3600 or 3000 rpm; 600 hp and above at all speeds", LeastFloat: 0.5, Coupling: limit(0.19)},
	}
}
