// Package tolerance answers whether a misalignment is good enough: limits as
// data with their sources, the misalignment as the quantity that a limit speaks
// of, and a verdict that takes the uncertainty in.
//
// # What it answers
//
// What may it be: a Set holds the tables that one source applies together, a
// Table one limit with its rule of speed. Builtin returns the published ones,
// FindSet one of them, ParseSet reads a standard of your own (one that cannot be
// reproduced here) from JSON; see the example there. Table.LimitAt looks a limit
// up, Check says whether a table is sound.
//
// What was found: Quantity.Of turns a misalignment into an offset at a place, a
// total indicator reading, a slope, a gap difference, a deviation over the
// distance between flex planes, plane by plane or as a resultant. GearMesh.Sliding
// says how fast the teeth of a gear coupling rub.
//
// Is it within: Table.Grade and Set.Grade give found, limit and share with the
// governing plane and place; Table.HighestSpeed the speed up to which it would be
// within, Table.GradeSpeeds what it earns at each speed.
//
// How sure is that: Decide and DecideResultant answer pass, fail or indeterminate
// with a guard band, and the probability that the true size is within.
//
// # Conventions
//
// A misalignment is an align.Axis, far minus near, less the target. Sizes have no
// sign. Values stay in the printed unit until they are looked up. A size equal to
// a limit is within it. What a source leaves open is read the stricter way and
// said: by a warning where it depends on the speed asked for, by the table's Note
// otherwise. A quantity is never taken for another: a rim reading is twice an
// offset, a face reading over the radius twice a slope.
//
// # Formulas
//
//	offset     |e(x)|                         at a flex plane, a hub face, the centre
//	readings   rim 2|e(x)|, face |slope| D    on a swept diameter D
//	deviation  max(|e(near)|, |e(far)|)/S     over the flex separation S: the larger flex angle
//	teeth      peak pi D N tan(a), mean 2 D N tan(a)
//	shares     largest of, or sum of, found/limit; 1 is all there is
//	guard      pass when found + g <= limit, fail when found - g > limit
//	conforms   F((upper - y)/u) - F((lower - y)/u)      (JCGM 106:2012, 7)
//
// Sources of the limits stand in each table. The guard band is that of ISO 14253-1
// (from memory).
//
// # An example by hand
//
// Two shafts stand 0.020 mm high at the near flex plane, 0.060 mm at the far one
// 140 mm on, and in line sideways. The deviation is 0.060/140 = 0.43 mm/m; API RP
// 686 allows 0.5 mm/m at both flex planes (second-hand), so 86 % of it is used.
// If each offset is uncertain by 0.004 mm, so is the deviation by 0.029 mm/m: with
// the guard band of 1.64 times that, 0.476, it passes. With 0.006 mm it would
// reach 0.499 and still pass, with 0.007 mm nobody could tell.
//
// # What it cannot know
//
// A coupling's largest values say what the coupling bears, not what bearings,
// seals and the neighbour bear. Makers' tables hold for their couplings alone. A
// limit while standing still says nothing of where the shafts run: see package
// thermal.
//
// # Cautions
//
// Isolate, lock out and tag before a guard or a coupling is opened. A verdict is
// arithmetic, not permission: site rules, local codes, the makers' instructions
// and qualified people decide.
package tolerance
