// Package worksheet holds one alignment job as a plain record, works the whole of it
// out, and marks a learner's answers with the reason for what is wrong.
//
// # What it answers
//
// Parse reads a Record, strict JSON with its units declared once; Record.Evaluate
// works out everything that stands in it as Findings, each with its formula, the
// inputs used, uncertainty and the source of any limit, and says in what order
// things block the alignment; reports print them. EvaluateAll does it for many
// records, one bad one never stopping the rest.
//
// Generate invents an Exercise of a kind, always the same for the same seed;
// NewExercise makes one from a record. Exercise.Mark marks answers: right, right
// size the wrong way, right for an earlier wrong answer of the learner's own, wrong.
// Its Diagnosis names every known mistake that gives the answers, and when two
// cannot be told apart it names both.
//
// # Marking
//
// A Sheet is the arithmetic of an exercise, step by step. A mistake is the same
// sheet with a step done wrongly, so what it would give follows by working the sheet.
//
//	right        |answer - exact| <= half the last place asked
//	             + sum over earlier answers of |d exact/d earlier| x half its last place
//	explained    the same against what the mistake gives
//
// (rounding to the nearest, first order; derived here.) The tolerance lets a learner
// carry rounded figures on, or exact ones. Mistakes are looked for singly, then in
// pairs; never is one named when several fit.
//
// # An example by hand
//
// A dial on the far hub reads -12.0 mil at 6 o'clock and its bracket sags by -4.0.
// Corrected it reads -8.0, so the shaft stands 4.0 mil high. A learner who forgets
// the sag writes 6.0; one who does not halve writes 8.0; one who adds the sag
// instead of taking it off writes 8.0 as well. The last two are told apart by the
// corrected reading, -8.0 or -16.0, if it is asked for: so it is.
//
// # What it cannot know
//
// What the learner did. A reason is a mistake that would give these answers; other
// ways lead to the same figures. How common a mistake is, its Rank, is our judgement
// (common practice, no source).
//
// The arithmetic of an exercise is not permission to move a machine: every printed
// worksheet and report carries the usual cautions.
package worksheet
