// Package piping answers whether pipe pulls at a machine, how the machine moves
// when it does, and what would have to change.
//
// # What it answers
//
// Strain tests: StrainTest is the log of dial indicators that stay in place
// while flanges, feet and supports are bolted up or let go one after the other.
// StrainTest.Result says how the machine moved as a rigid body in each step, how
// its shaft moved at the coupling, how feet and nozzles moved, what the readings
// leave open, what does not fit a rigid machine, which step moved the coupling
// most, and which way the pipe pulls. StrainResult.Judge holds that against a
// limit of MovementLimits. Oblique says what a single indicator at an angle can
// prove.
//
// Flange surveys: what gaps, straightedge and bolt holes say of the position of a
// pipe's flange before a nozzle, held against published limits of fit-up.
//
// Goals: where the nozzle, or the machine with all its nozzles, would have to go
// for the flanges to fit.
//
// Screening loads: what force a misfit asks of a pipe closed over it, and how
// that stands against published nozzle loads. Screening is no stress analysis.
//
// # Conventions
//
// Frame and signs are those of package align: x along the train, y up, z to the
// right, clock positions as seen by a person who looks along +x. A movement is
// positive along +x, up and to the right. Dials read plus when the stem is pushed
// in. Movements in a strain test are static: they are read directly and never
// halved, as a dial sweep is. A reading that was not taken is not zero. What
// cannot be told from the readings is marked as not known, and a verdict on it is
// not determined, never a pass.
//
// Which way a pipe pulls is not which way the machine moves when it is let go,
// but the opposite: the machine springs back. When the flange is made up, the
// machine moves the way the pipe pulls. When the feet are freed with the pipe on,
// it moves the way the pipe pulls as well, mixed with what soft feet do; clear
// those first, with the pipe free.
//
// # Formulas
//
//	reading         n.shift + turn.(s x n), weighted least squares over the
//	                indicators on the casing, and over those on the shaft
//	uncertainty     of a movement: resolution / sqrt(6); of what follows: from
//	                the covariance of the least squares
//	closure         a step and the one that undoes it sum to zero within
//	                2 u sqrt(n), n movements of standard uncertainty u
//	oblique dial    r = V cos t + H sin t
//	                most it can show within a limit L on V and on H:
//	                L (|cos t| + |sin t|), 1.414 L at 45 degrees
//
// Sources stand at each function. No published worked example of indicators on
// a casing, and no source that prescribes an indicator at 45 degrees, is known to
// us.
//
// # One indicator at 45 degrees
//
// A single dial between the vertical and the horizontal, seen along +x:
//
//	       12
//	  blind  |     dial at 45
//	    \    |    /
//	     \   |   /
//	      \  |  /
//	9 ------ o ------ 3
//	         | \
//	         |  \
//	         |   \
//	         6    blind
//
// Up 0.05 mm and right 0.05 mm it reads 0.071 mm; up 0.05 mm and left 0.05 mm,
// just as bad, it reads nothing. So a large reading proves that a limit is
// broken, and a small one proves nothing. Use two dials; a third at 45 degrees
// then checks the other two (Oblique.Redundancy).
//
// # What it cannot know
//
// A strain test is done standing and mostly cold. Forces that arise running, from
// temperature, pressure and flow, move the machine as well and are not in it.
// What a step does is the effect of one flange with all others as they stood:
// another order can give other shares. A machine bends, too; a part of the
// bending looks like a rigid motion, and only what is left over is reported as
// distortion. A shaft moves in the clearance of its bearings.
//
// # Cautions
//
// Isolate, lock out and tag. Relieve pressure, drain and vent before a flange
// bolt is turned, and keep it so: what can build up again has to be checked until
// the work is done. A pipe that is strained, a hanger that is pinned and a spool
// that hangs store energy and let go suddenly (29 CFR 1910.147(d)(5) requires
// stored energy to be made safe); stand clear of the way it would go, and loosen
// bolts a little at a time. Pin spring supports as their maker says, support what
// you loosen, pipe and machine. Never pull a pipe to a machine with hoists, chain
// falls or long bolts: if it cannot be pushed into place by hand, it is the pipe
// that is wrong. The results are arithmetic, not permission: site rules, local
// codes, the makers' instructions and qualified people decide.
package piping
