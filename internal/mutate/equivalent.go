package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"
)

// readEquivalent reads the list of equivalent mutants: one a line, as file,
// function, original text, changed text and reason, with tabs between them. Lines
// that begin with # and empty lines are skipped.
func readEquivalent(r io.Reader) (map[key]string, error) {
	list := map[key]string{}
	lines := bufio.NewScanner(r)
	for n := 1; lines.Scan(); n++ {
		line := lines.Text()
		if strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, "\t")
		if len(f) != 5 || strings.TrimSpace(f[4]) == "" {
			return nil, fmt.Errorf("equivalent.txt: line %d: want file, function, before, after, reason with tabs between", n)
		}
		k := key{f[0], f[1], f[2], f[3]}
		if _, twice := list[k]; twice {
			return nil, fmt.Errorf("equivalent.txt: line %d: given twice", n)
		}
		list[k] = f[4]
	}
	return list, lines.Err()
}

// split parts the sites into those that can be noticed and the number of those
// that the list calls equivalent.
func split(sites []site, equivalent map[key]string) (open []site, left int) {
	for _, s := range sites {
		if _, ok := equivalent[s.key()]; ok {
			left++
			continue
		}
		open = append(open, s)
	}
	return open, left
}

// stale returns the entries of the files of a package that fit no site: the code
// has changed, and the argument has to be made anew.
func stale(sites []site, equivalent map[key]string, dir string) []key {
	known := map[key]bool{}
	for _, s := range sites {
		known[s.key()] = true
	}
	var out []key
	for k := range equivalent {
		if strings.HasPrefix(k.File, dir+"/") && !known[k] {
			out = append(out, k)
		}
	}
	return sortedKeys(out)
}
