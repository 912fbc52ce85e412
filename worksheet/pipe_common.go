package worksheet

import (
	"slices"
	"strings"

	"collinear.example/align"
)

// replaceAll replaces every step whose id begins so; it reports whether there is one.
func (s *Sheet) replaceAll(prefix string, wrong func(v Values, right float64, rest string) float64) bool {
	some := false
	for i := range s.Steps {
		rest, ok := strings.CutPrefix(s.Steps[i].ID, prefix)
		if !ok || s.Steps[i].work == nil {
			continue
		}
		some = s.replace(s.Steps[i].ID, func(v Values, right float64) float64 { return wrong(v, right, rest) }) || some
	}
	return some
}

// retakeAll multiplies every given whose id begins so; it reports whether there is
// one.
func (s *Sheet) retakeAll(prefix string, k float64) bool {
	some := false
	for i := range s.Givens {
		if strings.HasPrefix(s.Givens[i].ID, prefix) {
			s.Givens[i].Value *= k
			some = true
		}
	}
	return some
}

// machine returns the place of a machine in the train by its name.
func (r *Record) machine(name string) (int, bool) {
	i := slices.IndexFunc(r.Train.Machines, func(m Machine) bool { return m.Name == name })
	return i, i >= 0
}

// readingAt returns what a dial or a gauge showed at a clock position.
func readingAt(rs []Reading, degrees float64) (float64, bool) {
	i := slices.IndexFunc(rs, func(p Reading) bool { return float64(align.Clock(p.At).Normal()) == degrees })
	if i < 0 {
		return 0, false
	}
	return rs[i].Value, true
}
