// Package runout proves the shaft, the hub and the bore before anything is
// aligned: what is turned under a dial on a fixed base shows the surface, and
// what is read at several places shows what is wrong with it.
//
// # What it answers
//
// One station: NewSection resolves a sweep of a rim into eccentricity (first
// harmonic), ovality (second harmonic) and the rest, and keeps the total
// indicator reading apart from them; FaceSweep does the same for a face, and
// FacePair cancels the axial float with two dials. What an eccentric hub does
// when it runs: EccentricMass.
//
// Several stations: Shaft.Bow parts the straight part of a shaft from a bow and
// finds where two straight limbs meet; Shaft.JudgeLineShaft holds it against the
// handbook's limit for a line shaft. HubCase ranks what a hub's runout can
// come from, by vectors, and says so when the readings cannot tell.
//
// Limits, with their source and the place where the dial must stand: ShaftLimit,
// FlangeLimit, PumpRotor, HandbookRule, HydroLimit and the Reclamation limits
// for vertical units. Hub bores: HubFit, AGMABore, HubHeating, TaperSeat and
// PressFit.
//
// Vertical units: PlumbSurvey works out four plumb wires read at several
// elevations in three or more positions of the shaft; CircleFit is the circle
// through the points.
//
// # Conventions
//
// The dial stands still and the shaft turns, so an angle is a mark on the shaft
// (the mark under the stem), counted clockwise for a person who looks along +x.
// A reading is positive when the stem is pushed in: the high spot. For a round
// section of eccentricity e the reading is c + e cos(t - high spot), and the
// total indicator reading of a true circle is 2e (NIST/SEMATECH e-Handbook,
// section mpc344, for the least-squares circle). Four quarter marks show only
// the part of an oval that has its lobes on the marks; three show none of it.
// A total indicator reading is not a tilt: a warped face has the one without
// the other (US Army TM 10-3930-664-24, p. 3-41, is such a face).
//
// Two runouts are compared as vectors. The difference of their sizes is the
// size of their difference only when their high spots agree.
//
// # Cautions
//
// A hub is heated evenly, never with a flame held on one spot, never over the
// temperature its maker allows, and where flammables may be about only with the
// site's permit. Hot hubs burn hands; have the way onto the shaft tried cold.
// Lock out and tag both machines before a shaft is turned by hand. The results
// are arithmetic, not permission: site rules, local codes, the makers'
// instructions and qualified people decide.
package runout
