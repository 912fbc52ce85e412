// Package softfoot answers whether a machine sits: which feet carry, what gap
// stands under the others, which shim fills it, and whether the base below is
// level and flat.
//
// # What it answers
//
// Machine.Seat finds which feet carry a rigid machine that stands loose on
// uneven pads: it comes to rest on three pads whose triangle, seen from above,
// holds the centre of gravity, with no pad above the plane through them.
//
// What to do about it: Machine.Twist for a rectangle, Machine.AddPlans and
// Machine.TakeOutPlans for every plan that seats the machine, Rises.Excess for
// what the rises ask (US Bureau of Reclamation, FIST 2-1, p. 18), FootProfiles
// for the published criteria, which differ, and FootEvidence.Diagnose for which
// kind of soft foot the readings prove.
//
// Each foot's gap is a plane through its corners (FourCorners, FootFace.Wedge):
// its mean, how it opens along and across, and what the plane leaves over, the
// mark of a bent foot. FlatShim says what a flat shim leaves, ShimStock.Stack
// and ShimStock.SteppedShim find the leaves, Wedge.Taper the taper to machine.
//
// Base.Survey gives level both ways, the best plane, minimum-zone flatness,
// coplanarity and twist, held against named limits by BaseSurvey.Judge;
// LevelReversal takes out the zero error of a level and LevelTraverse closes a
// run. Checklist keeps what is looked at and not measured.
//
// # Conventions
//
// Stations and laterals are those of package align: along +x, and to the right
// of a person who looks along +x. A gap is zero or more, read with all bolts
// loose. A rise is what a dial shows when one bolt is loosened while all others
// are tight; it is static and is never halved (align.Movement).
//
// # A wedge by hand
//
// A foot 120 mm long and 80 mm wide reads, with feelers at its corners, 0.10 mm
// at both corners toward the first machine and 0.30 mm at both toward the last.
// The plane has mean (0.10 + 0.10 + 0.30 + 0.30)/4 = 0.20 mm and opens along the
// train by 0.30 - 0.10 = 0.20 mm, a slope of 0.20/120 = 1.67 mm/m; across it
// opens by nothing. A flat shim of the mean leaves the foot on its edge with
// 0.20 mm open at the far one, as any flat shim does. A stepped shim does
// better: one full leaf of 0.10 mm, and on it leaves of 0.05 mm that may lie
// where the gap has room for them. The leaf whose upper face is at 0.15 mm ends
// (0.30 - 0.15)/(0.30 - 0.10) = 3/4 of the length from the open edge, the next,
// at 0.20 mm, half way, the last, at 0.25 mm, one quarter. The most that is
// left open is one leaf, 0.05 mm.
//
// # Cautions
//
// Lock out and tag before a foot is loosened, support what may drop, and expect
// a strained pipe to move the machine when it lets go: relieve and drain it
// first. Keep fingers out of the gap. The results are arithmetic, not
// permission: site rules, local codes, the makers' instructions and qualified
// people decide.
package softfoot
