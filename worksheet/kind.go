package worksheet

import (
	"math/rand/v2"
	"slices"

	"collinear.example/align"
)

// Difficulty is how much an exercise asks.
type Difficulty uint8

// The difficulties.
const (
	Plain  Difficulty = iota + 1 // one plane, round numbers
	Usual                        // what a day brings
	Severe                       // everything at once
)

// kind is one kind of exercise.
type kind struct {
	name  string
	title string // of the blank worksheet
	asks  string // what the learner is to do, a sentence or two
	// generate invents a job of this kind.
	generate func(r *rand.Rand, d Difficulty) *Record
	// build makes the sheet of a record; it fails when the record lacks what the
	// kind needs.
	build    func(r *Record) (*Sheet, error)
	mistakes []Mistake
}

// kinds returns every kind of exercise.
func kinds() []kind {
	return slices.Concat(alignKinds(), thermalKinds(), footKinds(), pipeKinds())
}

// Kinds returns the names of the kinds of exercise, in the order of a course.
func Kinds() (names []string) {
	for _, k := range kinds() {
		names = append(names, k.name)
	}
	return names
}

func kindNamed(name string) (kind, error) {
	for _, k := range kinds() {
		if k.name == name {
			return k, nil
		}
	}
	return kind{}, fault("kind", name, align.ErrUnknownKind)
}
