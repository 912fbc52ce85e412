package main

import (
	"cmp"
	"hash/fnv"
	"maps"
	"math/rand/v2"
	"slices"
)

// shuffled returns the sites in an order that the seed and the name of the
// package decide, so that a package gets the same mutants whatever is run beside
// it.
func shuffled(sites []site, seed uint64, name string) []site {
	h := fnv.New64a()
	h.Write([]byte(name))
	out := slices.Clone(sites)
	random := rand.New(rand.NewPCG(seed, h.Sum64()))
	random.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

func sortedKeys(keys []key) []key {
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Func, b.Func),
			cmp.Compare(a.Before, b.Before), cmp.Compare(a.After, b.After))
	})
	return keys
}

func sortedIDs(mutants map[int]site) []int { return slices.Sorted(maps.Keys(mutants)) }

func sortBodies(b []body) {
	slices.SortFunc(b, func(x, y body) int { return cmp.Compare(x.start, y.start) })
}
