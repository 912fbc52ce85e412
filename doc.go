// Package collinear is the front page of a library for shaft alignment
// arithmetic. The work is done in its packages:
//
//	topic                                      package     sources
//	frame, units, lines, dial sweeps, sag,     align       first principles; Bloch and Geitner; McMillan;
//	measurement, foot moves, target readings               Piotrowski; US Bureau of Reclamation; pump manuals
//
// The frame and the clock, once for everything:
//
//	            12 o'clock
//	               y
//	               |   . x  along the train, first machine to last
//	               |  .
//	               | .
//	9 o'clock -----+----- z  3 o'clock
//	               |
//	               |
//	            6 o'clock
//
//	seen by a person who looks along +x
//
// Start with package align, whose documentation states the signs. The reference
// corpus in testdata holds published and derived checks in plain JSON, for any
// language.
//
// The results are arithmetic, not permission: site rules, local codes, the
// makers' instructions and qualified people decide.
package collinear
