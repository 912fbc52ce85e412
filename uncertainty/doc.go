// Package uncertainty says how sure an answer is, what makes it unsure, and what
// follows from that.
//
// # What it answers
//
// A Model is a job, the Sources that are not known exactly, and the outputs wanted
// of it. Model.Linear propagates standard uncertainties and gives an itemised
// budget for every output: Estimate.Budget, Estimate.Expanded,
// Estimate.RepeatFirst (which reading to repeat first) and Estimate.Needed (how
// well a distance must be known). Model.Simulate draws the sources at random and
// keeps the answers; Model.SimulateTo goes on until the answers are steady;
// Validate holds one against the other; Sample.Count gives the probability of
// anything that can be said of the outputs together. Consumer's and producer's
// risk, the choice between methods and the design of a job, before a bracket is
// mounted, are here too.
//
// # The dial and the answer
//
// The accuracy of a dial is not that of the answer. Take a reverse-indicator set
// with both dials 200 mm apart, readings known to u = 5 um each, and outboard feet
// 850 mm beyond the far dial. The offset at a dial is half the difference of two
// opposite readings: u/sqrt(2) = 3.5 um. The slope is the difference of two such
// offsets over 200 mm: sqrt(2) x 3.5 um/200 mm = 25 um/m. At the outboard feet the
// line has been drawn out by 850/200 = 4.25 spans: the offset there is 5.25 times
// one dial less 4.25 times the other, sqrt(5.25^2 + 4.25^2) x 3.5 um = 24 um. Five
// micrometres in the dial are twenty-four in the shims, and no finer dial is as
// good as brackets farther apart. TestDocExample holds these figures.
//
// # Conventions
//
// A Source is an ordinary function on an ordinary struct: it adds its deviation to
// a field, or puts it in by a function of its own. Fields are reached by
// functions, never by name. Deviations are about the value in the job, in the unit
// of the field's own type; answers are in SI units with a unit to print them in.
// Sources that share a cause are one Source (one tape, one bracket, one
// thermometer); where only a coefficient is known, Correlations say so.
//
// Randomness has an explicit seed. A simulation depends on its seed and its number
// of trials and on nothing else, whatever the number of processors.
//
// # Formulas
//
//	u_c^2 = sum_i sum_j c_i u_i r_ij c_j u_j         law of propagation, JCGM 100:2008, 5.1 and 5.2
//	c_i u_i = (f(x_i + u_i) - f(x_i - u_i))/2        5.1.3, note 2
//	U = k u_c, k = t_p(dof)                          6.2.1 and G.3
//	dof = u_c^4/sum((c_i u_i)^4/dof_i)               (G.2b)
//	distributions, sequences, coverage intervals     JCGM 101:2008, 6.4, 7.7 and 7.9
//	conformity and risks                             JCGM 106:2012, 7 to 9
//
// Clause numbers and examples of these three guides are from memory; every figure
// taken from their examples was worked out again by other means.
//
// # What it cannot know
//
// A mistake is not an uncertainty: a dial read with the wrong sign, a foot that
// does not sit, a station measured from the wrong face. No budget covers them; the
// checks of the other packages look for them. And a probability is only as good as
// the sources that were thought of.
package uncertainty
