// Package moves chooses the moves that align the shafts and fit the pipe, within
// what feet, bolts, shims and flanges allow.
//
// # What it answers
//
// A Train is the whole job: rigid machines on feet that can only go so far,
// couplings as found, the states the train runs in, and what flanges ask.
// Train.Plan finds the motions that keep every limit in every state and are best
// by the criteria given, the first criterion first: moves at every foot, where each
// coupling will run and what share of its limit that is, flanges after the move,
// which limits are used up and what more of each would buy. When nothing keeps
// every limit it says which limits conflict, what one kind of limit alone would
// have to give, and the best compromise.
//
// Train.Alternatives puts the usual ways side by side: one machine or the other,
// alignment first, pipe first, both together. Train.TradeOff shows what alignment
// costs of flange fit. Train.Evaluate works out any motions, whoever chose them.
//
// After the plan: shim packs from stock and what rounding does to the coupling,
// the response of the machine to a move and what a wrong one means, and shims on a
// bolt circle for vertical and flange-mounted machines.
//
// # Conventions
//
// Frame, signs and units are those of package align. The motion of a machine is
// small and rigid; its feet follow, so that four feet stay in one plane and no
// twist is put in. Moves are up and toward 3 o'clock positive; a range is how far
// a foot may go from where it stands. Misalignment is far less near, standing still
// as found and moved by each state to where it runs; limits hold running. Shares
// are of a limit: 1 is all of it.
//
// # Formulas
//
//	foot      move = shift + turn x (foot - about)
//	coupling  e(x) = found(x) + state(x) + far motion(x) - near motion(x)
//	limits    |e| <= limit in each plane; a resultant by the polygon drawn inside
//	          its circle, which loses 1 - cos(pi/sides): 1.9 % with 16 sides
//	flange    left = asked - done, |left| <= tolerance where it must be kept
//	plan      min first criterion over motions that keep every limit, then the
//	          next without giving up the first: a linear program each
//
// (rigid bodies, small motions; linear programming is a standard result.) The
// programs are solved by a solver of this module that proves each answer by its
// multipliers before it is believed.
//
// # An example by hand
//
// A motor has feet 400 and 1000 mm before the coupling, a pump 400 and 1000 mm
// behind it. The pump's line meets the motor's at the coupling and falls by 0.25
// mm/m: e(x) = -0.25 x. The motor alone would be raised to the pump's line, by e at
// its feet: 0.10 and 0.25 mm. Where its outboard packs may come up by no more than
// 0.20 mm nothing fits, and 0.05 mm more is what would have to give. With both free
// and the largest move to be small, each takes half of the angle about the middle
// of its own feet: 0.125 mm/m over 300 mm, no foot moves by more than 0.0375 mm, and
// both shafts meet a little lower. TestDocExample holds these figures.
//
// # What it cannot know
//
// Feet that do not sit, a base that gives, pipe that pulls back: the plan takes
// machines as rigid and moves as made. What the limits are is the business of the
// makers and of the site. That a machine could be moved to its pipe does not say
// that it should be; bring the pipe to the machine where that can be done.
//
// # Cautions
//
// Isolate, lock out and tag both machines before a foot is loosened, and prove
// that they cannot turn. Relieve and drain pipework first: a strained pipe moves a
// machine, or a hand, when bolts let go. Support what you loosen, keep hands out
// from under it, and never pull pipe to a machine with hoists. A plan is
// arithmetic, not permission: site rules, local codes, the makers' instructions
// and qualified people decide.
package moves
