package worksheet

import "slices"

// anyOf does f for every name and reports whether it did for one at least.
func anyOf(names []string, f func(name string) bool) bool {
	some := false
	for _, n := range names {
		some = f(n) || some
	}
	return some
}

// swapWork lets two steps be worked each as the other; it reports whether both are
// there.
func swapWork(s *Sheet, a, b string) bool {
	x, y := s.step(a), s.step(b)
	if x == nil || y == nil {
		return false
	}
	x.work, y.work = y.work, x.work
	return true
}

// swapGivens takes each of two givens for the other.
func swapGivens(s *Sheet, a, b string) bool {
	x := slices.IndexFunc(s.Givens, func(g Given) bool { return g.ID == a })
	y := slices.IndexFunc(s.Givens, func(g Given) bool { return g.ID == b })
	if x < 0 || y < 0 {
		return false
	}
	s.Givens[x].Value, s.Givens[y].Value = s.Givens[y].Value, s.Givens[x].Value
	return true
}

// sagTaken adds k times the sag of a dial to its corrected reading.
func sagTaken(s *Sheet, dial string, k float64) bool {
	if !s.has(dial + ".sag") {
		return false
	}
	return s.replace("corrected."+dial, func(v Values, right float64) float64 { return right + k*v[dial+".sag"] })
}

// through adds a step that is not asked but has words of its own in the key.
func (m *sheetMaker) through(s Step, work func(v Values) float64) {
	if s.Decimals == 0 {
		s.Decimals = 4
	}
	s.Asked, s.work = false, work
	m.Steps = append(m.Steps, s)
}
