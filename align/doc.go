// Package align is the heart of collinear: shafts as lines in two planes, dial
// readings as a linear measurement of one shaft against the other, and the
// moves that bring them into line.
//
// # What it answers
//
// From readings to a position: ReverseIndicator, RimAndFace, DoubleRadial,
// FaceFace, ShaftToSpool, TwoPoint, OffsetAndGaps, or any mixture as a
// Measurement. From a position to moves: Axis.MoveFar and Axis.MoveNear. From a
// position back to readings: Dial.Predict and Dial.PredictExact. Whether the
// readings can be believed: the warnings that come with every Position.
//
// # Frame and signs
//
//	        y  12 o'clock                 side view: the vertical plane (x, y)
//	        |
//	        |  / x along the train          near machine        far machine
//	        | /                           +--------------+     +-------------+
//	9 ------+------ z  3 o'clock     x=0 -|- - - - - - - |-[ ]-|- - - - - - -|- > x
//	        |                             +--------------+     +-------------+
//	        |                                 ^     ^             ^     ^
//	        6 o'clock                        feet, each at its own station x
//
//	seen by a person who looks along +x, from the first machine to the last
//
// x runs along the train in the direction a reader walks from the first machine
// to the last; y is up; z is to the right of a person who looks along +x. The
// frame is right-handed. A station is a position x. The vertical plane is (x, y)
// and the horizontal plane is (x, z). Clock positions turn clockwise for that
// same person; a record taken by someone who looks the other way is turned with
// Sweep.Mirrored before anything else.
//
// Of two coupled shafts the near one has the smaller stations. Misalignment is
// always far minus near: e(x) = far(x) - near(x), a straight line in each plane
// with an Offset at station 0 and a Slope (rise over run).
//
// A dial reading is positive when the stem is pushed in. Every dial has its own
// zero, wherever it was set, and nothing depends on it. With n = (cos t, sin t)
// for clock angle t, D the swept diameter and c the dial's own constant:
//
//	rim dial, bracket on the near shaft:          r = c + e(x).n
//	rim dial, bracket on the far shaft:           r = c - e(x).n
//	face dial, face looking toward the bracket:   r = c + (D/2)(slope.n)
//	face dial, face looking away:                 r = c - (D/2)(slope.n)
//
// so a rim dial on the far shaft, zeroed at 12 and read at 6, shows -2e; zeroed
// at 9 and read at 3 it shows +2e. (First principles; the published sign rules
// in the corpus agree, among them those of the ITT Goulds 3196 and Flowserve HPX
// pump manuals.)
//
// The sag of a bracket is known from a roll-over test on a stiff mandrel: zeroed
// at 12 and read at 6 it gives S, negative for a bracket that droops. It adds
// S(1 - cos t)/2 to a sweep zeroed at 12. A test that relieves the bracket in one
// position gives half of S; see SingleDeflection. A sag that was not measured is
// not zero, and is warned about.
//
// What a dial shows while a shaft stands still, a strain test or a foot lift, is
// a Movement and is read directly. A Sweep is halved by the formulas above. The
// two are different types.
//
// Foot moves are positive up and toward 3 o'clock. The far machine moves by
// -e(foot), the near machine by +e(foot).
//
// # Units
//
// Lengths are gonum's unit.Length, used like time.Duration: 4*align.Mil,
// 0.1*align.Millimetre. Slopes are plain rise over run. A mil per inch and a
// millimetre per metre are the same number.
//
// # Errors and warnings
//
// An error means that it cannot be computed. It is an *InputError naming field
// and value, and it wraps a Fault with a permanent code word; test for one with
// errors.Is. A Warning means that it was computed and something is suspect:
// readings that do not close, sums that disagree, a narrow arc, a sag test of
// the wrong sign. No result ever holds NaN or an infinity.
//
// # The measurement model
//
// Every method is the same least-squares problem: four unknowns, offset and
// slope in two planes, and one constant for each dial, taken out by centring.
// Position carries the covariance, the residuals and the condition number. The
// two-dial methods also have a closed form, Axis, that allocates nothing; the
// tests hold one against the other.
//
// All functions are pure and may be called from many goroutines.
package align
