package tolerance

import (
	"embed"
	"fmt"
	"slices"
	"strconv"
	"sync"
)

//go:embed builtin/*.json
var builtinFiles embed.FS

// builtinSets reads the built-in sets once; nobody but copySet may touch what it
// returns.
var builtinSets = sync.OnceValues(readBuiltin)

func readBuiltin() ([]Set, error) {
	files, err := builtinFiles.ReadDir("builtin")
	if err != nil {
		return nil, err
	}
	var out []Set
	for _, f := range files { // in order of name, which is the id
		data, err := builtinFiles.ReadFile("builtin/" + f.Name())
		if err != nil {
			return nil, err
		}
		s, _, err := ParseSet(data)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name(), err)
		}
		out = append(out, s)
	}
	return out, nil
}

// Builtin returns the published limits that come with the package, in order of
// their ids, each with its source and how it is known. They are figures of the
// sources named, nothing more: which of them governs a machine its maker, its
// owner and the local rules decide. The sets are copies that the caller may
// change.
func Builtin() []Set {
	sets, _ := builtinSets() // the tests prove that all of them can be read
	out := make([]Set, len(sets))
	for i := range sets {
		out[i] = copySet(sets[i])
	}
	return out
}

// FindSet returns a copy of the built-in set with that id, or ErrUnknownTable.
func FindSet(id string) (Set, error) {
	sets, err := builtinSets()
	if err != nil {
		return Set{}, err
	}
	at := slices.IndexFunc(sets, func(s Set) bool { return s.ID == id })
	if at < 0 {
		return Set{}, inputError("set", strconv.Quote(id), ErrUnknownTable)
	}
	return copySet(sets[at]), nil
}

func copySet(s Set) Set {
	s.Tables = slices.Clone(s.Tables)
	for i := range s.Tables {
		t := &s.Tables[i]
		t.Rows = slices.Clone(t.Rows)
		t.Factors = slices.Clone(t.Factors)
	}
	return s
}
