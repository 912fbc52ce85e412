// Package drawing draws what the other packages work out, to scale and as SVG.
//
// # What it answers
//
// Shafts a few hundredths of a millimetre apart over two metres cannot be imagined.
// Train draws them: a side view and a top view of a train of machines with the shafts
// as found, after the move and running, the limits at the flex planes, the moves at
// the feet and the gaps of flanges. Along the train and across it there is one scale
// each, so that what is seen to be larger is larger; both are written on the sheet.
//
// Chain makes shafts from the misalignments at the couplings, FromMoves a whole train
// from a plan of package moves, UncertaintyOf the band about a shaft from a
// measurement, and FlangeCut the cut through a joint from its misfit.
//
// The other drawings are Clock (readings round the clock), StrainPath (where a shaft
// goes while pipes are let go), FootWedge (the gap under a foot), Curve and Bars (what
// depends on what), StateChart (a coupling from state to state), and GraphPaper (for
// those who find the moves with a ruler). Each is a struct of data with a method Draw,
// which returns a Page or an error.
//
// A Page is a list of lines, circles and texts in millimetres on paper, worked out
// before anything is printed; Page.SVG prints it. So a test can measure a drawing.
//
// # Conventions
//
// Frame, signs and units are those of package align. The first machine stands to the
// left. In the side view, the vertical plane, up is up. The top view, the horizontal
// plane, is seen from above, so that 3 o'clock, the right hand of a person who looks
// along the train, points down the sheet. It stands below the side view, station under
// station.
//
// Casings are plain outlines and to scale along the train only. A centreline is drawn
// through the couplings to the flex planes of its neighbours, so that the offset at
// either flex plane is the distance of two lines there. Limits are drawn about the near
// shaft, in the last state given: the far shaft is within them where its line passes
// through both. The figures at a coupling are far less near, at the near and at the far
// flex plane.
//
// Lines are those of ISO 128-2, scales those of ISO 5455, arrows and lettering those of
// ISO 129-1 and ISO 3098 (all from memory). States differ by the dashes and the width of
// their lines, never by colour, so that a copy in black and white shows the same.
//
// No text stands over another or outside the sheet. Names are cut to their room, with
// an ellipsis; figures never are: where they find no room at the couplings or the feet,
// numbers stand there and a list has the figures, and the sheet grows longer. The
// description, which a screen reader reads out, has all figures in words.
//
// # Formulas
//
//	x on paper = origin + along (station - first station)
//	y on paper = zero - across offset           side view
//	y on paper = zero + across offset           top view
//	along      = largest of 1, 2, 5 times a power of ten with train <= 248 mm on paper
//	across     = the same with all that is drawn, zero included, in the height there is,
//	             and no more than 1000:1, beyond which there is nothing but noise
//	band       = sqrt(offset^2 + (slope (x - about))^2) to either side
//
// (own choice of rooms; the band is the law of propagation for a straight line.)
//
// # An example by hand
//
// A motor stands from -1150 to -130 mm, a pump from 130 to 1000 mm: 2150 mm, which is
// 215 mm on paper at 1:10 and would be 430 mm at 1:5. The pump's shaft stands 0.129 mm
// low at the near flex plane. At 50:1 that is 6.45 mm below the motor's, and a limit of
// 0.05 mm to either side is a window 5 mm high. TestTrainReadBack and TestTrainWindows
// hold these figures.
//
// # What it cannot know
//
// A drawing does not judge. Whether a limit is met, and how sure that is, is the
// business of package tolerance. Between its bearings a shaft is drawn straight, and a
// machine as rigid.
//
// # Cautions
//
// Every drawing of a train says it: figures are arithmetic, not permission. Isolate,
// lock out and tag before a guard is opened or a foot is loosened; site rules, local
// codes, the makers' instructions and qualified people decide.
package drawing
