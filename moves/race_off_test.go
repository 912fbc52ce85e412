//go:build !race

package moves_test

// underRace says that the race detector is on, which makes long searches far longer.
const underRace = false
