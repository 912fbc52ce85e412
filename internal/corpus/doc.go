// Package corpus reads the reference corpus in testdata, checks that it is well
// formed and runs its vectors against the packages of this module.
//
// A vector is language-neutral: a computation by name, an input in JSON, and
// what must come out or the code word of the error. Computations gives the Go
// side of every name. Decoding is strict: a field nobody knows, a field given
// twice, a missing field and a quantity with the wrong kind of unit are errors
// with code words of their own.
package corpus
