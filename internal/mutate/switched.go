package main

import (
	"fmt"
	"strings"
)

// The mutants of a package are built into one test binary: a function with
// mutants is written out once for each of them and once as it is, and an
// environment variable says which one runs. Building takes far longer than most
// tests do.

// chooser is the name of the variable of the changed package, choice that of the
// environment.
const (
	chooser = "mutantThatRuns"
	choice  = "MUTANT"
)

// chooserFile is added to the package.
func chooserFile(name string) string {
	return fmt.Sprintf(`package %s

import (
	"os"
	"strconv"
)

var %s, _ = strconv.Atoi(os.Getenv(%q))
`, name, chooser, choice)
}

// lines is where a mutant stands in a switched file.
type lines struct{ from, to, id int }

// switched returns a file with all the given mutants of it in it, by their
// numbers (above zero), and where each of them stands. All of them lie in bodies
// of functions.
func switched(src []byte, mutants map[int]site) (string, []lines) {
	var out strings.Builder
	var where []lines
	line := 1
	write := func(s string) {
		out.WriteString(s)
		line += strings.Count(s, "\n")
	}
	done := 0
	for _, b := range bodiesOf(mutants) {
		write(string(src[done:b.start]))
		write("\n")
		for _, id := range b.ids {
			from := line
			s := mutants[id]
			write(fmt.Sprintf("if %s == %d {\n", chooser, id))
			write(string(src[b.start:s.start]) + s.text + string(src[s.end:b.end]))
			write("\n} else ")
			where = append(where, lines{from, line, id})
		}
		write("{\n" + string(src[b.start:b.end]) + "\n}\n")
		done = b.end
	}
	write(string(src[done:]))
	return out.String(), where
}

// body is the inside of the braces of a function, with its mutants.
type body struct {
	start, end int
	ids        []int
}

// bodiesOf returns the bodies in the order of the file.
func bodiesOf(mutants map[int]site) []body {
	var out []body
	at := map[int]int{}
	for _, id := range sortedIDs(mutants) {
		s := mutants[id]
		i, ok := at[s.bodyStart]
		if !ok {
			i = len(out)
			at[s.bodyStart] = i
			out = append(out, body{start: s.bodyStart, end: s.bodyEnd})
		}
		out[i].ids = append(out[i].ids, id)
	}
	sortBodies(out)
	return out
}
