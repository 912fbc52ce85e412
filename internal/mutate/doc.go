// Command mutate measures the tests of a package: it makes one small mistake at
// a time in the code (a mutant), runs the tests, and counts how many of the
// mistakes they notice.
//
//	go run ./internal/mutate -packages ./align,./runout -sample 120 -seed 1 -timeout 60s
//
// It is run in the root of the module. The mistakes are
//
//   - arithmetic: + and - swapped, * and / swapped, % made *, a minus sign dropped;
//   - comparison: the boundary moved (< made <=), the answer negated (< made >=);
//   - logic: && and || swapped, a condition negated, a "not" dropped, true and
//     false swapped;
//   - constant: a number made 0, one more, or twice as much;
//   - assignment: += and -= swapped, *= and /= swapped, ++ and -- swapped;
//   - removal: an assignment or a call that stands as a statement left out;
//   - early return: an "if" that holds nothing but a return left out;
//   - swap: min and max, sine and cosine.
//
// Numbers in tables are left alone: a table is a literal of an array, slice or
// map with four entries or more, or a group of four declarations or more. So are
// the numbers that are returned beside an error, or beside a false that says there
// is no answer: they mean nothing.
//
// The tree is never changed: the changed files lie in a temporary directory and
// the go command is told of them by an overlay. Building takes far longer than most
// tests, so that many mutants are built into one test binary: a function is written
// out once for each of its mutants and once as it is, and an environment variable
// says which one runs. A mutant outside the bodies of functions is built alone.
//
// The tests of the package run first; a mutant that they let pass runs the
// package's vectors of the reference corpus. Both run with -short, and first without
// a mutant, to see that they pass and how long they take. A mutant that does not
// build, or that go vet refuses, is not counted; one whose tests run past their time
// counts as noticed.
//
// A mutant that changes nothing which can be seen is equivalent to the code and
// cannot be noticed. Those are listed in equivalent.txt, each with its argument,
// and are left out of the score. They are keyed by file, function, original text
// and changed text, so that a moved line keeps its entry and a changed line loses
// it.
//
// The sample is drawn from a seed: the same seed, code and list give the same
// mutants. A mutant can loop or allocate without end; run the tool under a limit
// of memory (ulimit -v) on a machine that others use.
package main
