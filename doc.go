// Package collinear is the front page of a library for shaft alignment
// arithmetic. The work is done in its packages:
//
//	topic                                      package    sources
//	frame, units, lines, dial sweeps, sag,     align      first principles; Bloch and Geitner; McMillan;
//	measurement, foot moves, target readings              Piotrowski; US Bureau of Reclamation; pump manuals
//	eccentricity, ovality, bow, hubs, their    runout     NEMA MG 1, IEC 60072-1, DIN 42955, API 610, NIST,
//	limits and fits, vertical units                       GB/T 8564, ISO 286, US Bureau of Reclamation, handbooks
//	feet on a base: who carries, gaps, wedges, softfoot   API RP 686 and API 618 (second-hand), Bloch and Geitner,
//	shims; base level and flatness                        Mackay, McMillan, US Bureau of Reclamation
//	growth, movement, operating states, cold   thermal    ASME II-D and B31.9, EN 1993-1-2, Bloch and Geitner,
//	targets, hot checks                                   McMillan, Bachus and Custodio, Piotrowski, makers
//	limits as data, measures, shares, verdicts tolerance  API RP 686 (second-hand), makers of couplings and
//	with uncertainty                                      machines, US Army, GB standards, JCGM 106, ISO 14253-1
//	strain tests, flange surveys, where a      piping     API RP 686, API 610 and 617, NEMA SM 23, ASME B31.3,
//	nozzle would have to go, screening loads              B31.9 and PCC-1, Bloch and Geitner, handbooks
//	moves within what feet, bolts, shims and   moves      first principles; an own solver held against HiGHS
//	flanges allow; what conflicts; packs                  (SciPy) on 2,000 plans; Harlon
//	what is not known exactly, and what it     uncertainty JCGM 100, 101 and 106, ISO 14253-1, NIST
//	does to the answer
//	any job over any values                    whatif     Saltelli and others, Jansen
//	one job as a record, from as found to as   worksheet  the packages above; exercises and their mistakes
//	left; marking a learner's answers                     derived here
//	the picture: trains, sweeps, strain        drawing    ISO 128, 129, 3098 and 5455 (from memory)
//	paths, wedges, curves, graph paper
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
