// Package thermal answers how far machines move from cold to running, and where
// to set them cold so that they stand right when they run.
//
// # What it answers
//
// How much something grows: Material.Strain, Support.Growth through a stack of
// segments, PipeRun.FreeExpansion for a pipe. RulesOfThumb shows the rules of
// thumb side by side; they disagree.
//
// How the shaft of a machine moves: Machine.Growth from its supports and keys,
// MovementAxis from causes that add up (growth, oil film, gear load, pipe,
// pressure), MeasuredMovement from what was measured, AxialGap and EndFloat along
// the train.
//
// What follows for the alignment: a State is a pair of movements; State.Position
// is where the shafts stand in it, State.ColdTarget where they have to stand cold.
// BestColdTarget serves several states at once, with limits of their own, and
// says which of them govern. TargetReadings turns a target into dial readings.
//
// What was true at the stop: HotCheck goes back from readings of a cooling machine.
//
// # Conventions
//
// Frame, signs and units are those of package align. A movement is running less
// cold, up and to the right positive, of one shaft. Misalignment is far less near.
// A movement is read directly and never halved.
//
// Movements are from the state in which alignment is read: off-line, at a stated
// ambient temperature, with the shafts at rest in their bearings. A journal that
// lifts on its oil film is part of the movement then.
//
// # Formulas
//
//	growth     dL = L (strain at hot - strain at cold)
//	support    growth of the shaft = sum over the stack up to the shaft centre
//	sideways   shift = strain (distance from the key to the shaft centre)
//	axial      gap running = gap cold + movement of the far end - of the near end
//	movement   m(x) = sum of the causes, a straight line through two stations
//	position   e(x) = cold(x) + far m(x) - near m(x)
//	target     cold(x) = -(far m(x) - near m(x))
//	warm-up    fraction = 1 - exp(-t/tau)
//	hot check  v(t) = final + (at stop - final) exp(-t/tau)
//	several    min over cold of max over states |cold(x) + m(x)|/limit
//
// Sources stand at each function. The target as minus the movement: J.
// Piotrowski, Shaft Alignment Handbook, 3rd ed., pp. 540-541. The sum of cold
// residual and growth: R. B. McMillan, Rotating Machinery, example 8-3. The sum
// of growth and bearing shift in gears: Bloch and Geitner, Major Process
// Equipment Maintenance and Repair, pp. 247-250.
//
// # An example by hand
//
// A pump stands on feet, 0.4 m below its shaft; its casing warms from 20 to
// 70 degC. With 12 millionths a kelvin it rises by 0.4 m x 12e-6 x 50 = 0.24 mm.
// The motor, its shaft just as high, warms by 25 K and rises by half of it,
// 0.12 mm. The pump is near, the motor far, so running changes the misalignment
// by 0.12 - 0.24 = -0.12 mm: set the motor 0.12 mm high. A rim dial on a bracket
// on the pump's shaft, touching the motor's, zeroed at 12, is to show
// -2 x 0.12 = -0.24 mm at 6 o'clock, before sag.
//
// On standby both machines stand at 30 degC: the pump has risen by 0.048 mm and so
// has the motor, and nothing changes. The two states want +0.12 and 0. The best
// target for both is the middle, +0.06 mm, and each of them is off by 0.06 mm.
//
// # What it cannot know
//
// Temperatures that were guessed give movements that are guessed. Movements that
// pipes, foundations and baseplates force on a machine can be as large as growth
// and mostly cannot be calculated; measure them. A maker's cold setting already
// contains growth: do not add it twice.
//
// # Cautions
//
// Running machines burn and catch: keep clear of hot surfaces and of rotating
// parts, and measure movement with instruments made to stay in place. For a hot
// check, isolate, lock out and tag, and wait until the shaft cannot turn by itself
// before brackets go on; hot casings hold pressure. Strained pipe moves a machine
// when bolts are loosened. The results are arithmetic, not permission: site rules,
// local codes, the makers' instructions and qualified people decide.
package thermal
