// Package whatif answers what happens to the result of an alignment job when its
// inputs are changed.
//
// # What it answers
//
// What if an input had another value: Study.Run works a job out for a list or a
// range of values of one input (Each), for every combination of several (Grid),
// for values that go together (Paired) or for a random sample that covers all of
// them evenly (LatinHypercube), and returns a Table for print, CSV or JSON.
//
// Which input matters: Study.Derivatives moves one input at a time and shows low,
// base, high, the derivative with its unit, and the curvature that says where a
// straight line misleads. Study.Sobol shares the variance of a result out among
// uncertain inputs, interactions included.
//
// How far can an input go: Threshold and ThresholdAlong find every place where
// passing turns into failing, Root, Roots and RootsAlong where a figure crosses a
// value.
//
// # Conventions
//
// A job is any struct and a result is any type. A field is named by an ordinary
// function that points at it, func(j *Job) *unit.Length { return &j.Span }, so that
// a wrong name or a wrong quantity does not compile. Values and figures are in SI
// units, as the quantities of the library are, and are printed in the Unit given.
// An align.Clock counts degrees; a column or a knob of that type knows it. A
// difference of temperatures is a rise.
//
// A row that cannot be computed keeps its error and the other rows go on. Derived
// figures (derivatives, indices, thresholds) need every point, so there the first
// error comes back, with the point at which it was met. No figure that is not
// finite ever leaves the package.
//
// Everything is the same on any number of processors. What is drawn at random has
// a seed, and the same seed draws the same numbers. Compute and the functions of
// columns may be called from many goroutines at a time.
//
// # Formulas
//
//	derivative    (f(+h) - f(-h))/(2 h)
//	curvature     f(+h) - 2 f(0) + f(-h)
//	hypercube     p = (stratum + u)/n, each stratum once; value = quantile(p)
//	first order   S_i = mean(f(B) (f(AB_i) - f(A)))/V
//	total         T_i = mean((f(A) - f(AB_i))^2)/(2 V)
//	threshold     scan, then bisection
//	root          scan, then interpolate, truncate, project
//
// Sources, all from memory: M. D. McKay, R. J. Beckman and W. J. Conover,
// Technometrics 21 (1979) for the Latin hypercube; A. Saltelli and others, Computer
// Physics Communications 181 (2010) and M. J. W. Jansen, Computer Physics
// Communications 117 (1999) for the indices; I. F. D. Oliveira and R. H. C.
// Takahashi, ACM Transactions on Mathematical Software 47 (2020) for the root.
//
// # An example by hand
//
// Two rim dials, 8 in apart, on brackets of the same sag S read -6.4 and +2 mil at
// 6 o'clock. The offsets at the dials are (S + 6.4)/2 and (2 - S)/2 mil, so a foot
// 34 in from the near dial, 4.25 dial distances away, is to be moved by
//
//	-(4.25 (S + 6.4)/2 - 3.25 (2 - S)/2) = -(3.75 S + 10.35) mil
//
// With S = 0, -2, -4 and -6 mil that is -10.35, -2.85, +4.65 and +12.15 mil: a sag
// test that was left out changes the sign of the move. The derivative is -3.75
// mil/mil with no curvature, and the move is within 5 mil from S = -4.09 to -1.43
// mil. The example of Study.Run prints this table.
//
// # What it cannot know
//
// A scan sees what happens at its points: what changes and changes back between
// two of them is missed. One-at-a-time effects say nothing of interactions. The
// indices of Sobol hold for independent sources with the distributions given, no
// others. Limits of work (MaxRows, MaxFigures, Sampling.Most) are stated and are
// errors, never silent.
//
// # Cautions
//
// Figures of jobs that were never measured are for thinking, not for shimming.
// The results are arithmetic, not permission: site rules, local codes, the makers'
// instructions and qualified people decide.
package whatif
