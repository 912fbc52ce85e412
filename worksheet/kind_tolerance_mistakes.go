package worksheet

import (
	"fmt"
	"math"
	"strings"

	"collinear.example/align"
)

// toleranceMistakes are those of reading, of the row and of the verdict.
func toleranceMistakes() []Mistake {
	ids := []string{"offset", "rim", "angle", "gap"}
	var shares []string
	for _, id := range ids {
		shares = append(shares, "share."+id)
	}
	together := func(wrong func(a, b float64) float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			if s.step("horizontal") == nil {
				return false
			}
			s.replace("resultant.slope", func(v Values, _ float64) float64 { return wrong(v["slope.vertical"], v["slope.horizontal"]) })
			return s.replace("resultant", func(v Values, _ float64) float64 { return wrong(v["vertical"], v["horizontal"]) })
		}
	}
	slopes := func(k float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return anyOf([]string{"slope.vertical", "slope.horizontal"}, func(id string) bool { return s.scale(k, id) })
		}
	}
	sizesBy := func(k float64) func(s *Sheet) bool {
		return func(s *Sheet) bool {
			return anyOf([]string{"vertical", "horizontal"}, func(id string) bool { return s.scale(k, id) })
		}
	}
	return append([]Mistake{
		slip("sag-forgotten", func(s *Sheet) bool { return sagTaken(s, "rim", 1) }),
		slip("sag-added", func(s *Sheet) bool { return sagTaken(s, "rim", 2) }),
		slip("not-halved", sizesBy(2)),
		slip("halved-twice", sizesBy(0.5)),
		slip("face-halved", slopes(0.5)),
		slip("radius-for-diameter", slopes(2)),
		{Code: "reading-against-offset", Says: "held the dial reading against a limit on the offset, which is half of it", Rank: 1, alter: func(s *Sheet) bool { return s.scale(2, "found.offset") }},
		{Code: "offset-against-reading", Says: "held the offset against a limit on the dial reading, which is twice as much", Rank: 1, alter: func(s *Sheet) bool { return s.scale(0.5, "found.rim") }},
		{Code: "larger-component", Says: "took the larger of both directions alone where the two count together", Rank: 1,
			alter: together(func(a, b float64) float64 { return max(math.Abs(a), math.Abs(b)) })},
		{Code: "components-added", Says: "added both directions where the root of the sum of squares belongs", Rank: 2,
			alter: together(func(a, b float64) float64 { return math.Abs(a) + math.Abs(b) })},
		{Code: "swept-for-hub-diameter", Says: "took the gap difference on the swept diameter: the table counts it over the hub", Rank: 1, alter: func(s *Sheet) bool {
			return s.has("hub") && s.replace("found.gap", func(v Values, right float64) float64 { return right * v["swept"] / v["hub"] })
		}},
		{Code: "slower-row", Says: "took the row of a lower speed, which allows more", Rank: 1, alter: otherRow(-1)},
		{Code: "faster-row", Says: "took the row of a higher speed, which allows less", Rank: 2, alter: otherRow(1)},
		{Code: "degrees-for-slope", Says: "took the limit in degrees for a slope in per cent: a degree is 17.5 mm/m, not 10", Rank: 2, alter: func(s *Sheet) bool {
			if s.step("limit.angle") == nil || s.unitOf("row.angle.0") != align.UnitDegree {
				return false
			}
			return s.replace("limit.angle", func(_ Values, right float64) float64 { return align.UnitDegree.FromSI(math.Atan(right)) / 100 })
		}},
		{Code: "shares-not-added", Says: "let each limit stand alone where the source lets their shares add up", Rank: 1, alter: total(true)},
		{Code: "shares-added", Says: "added the shares where the source lets each limit stand alone", Rank: 2, alter: total(false)},
		{Code: "limits-exchanged", Says: "held the offset against the limit of the gap and the gap against that of the offset", Rank: 2, alter: func(s *Sheet) bool {
			return swapWork(s, "limit.offset", "limit.gap") || swapWork(s, "limit.rim", "limit.gap")
		}},
	}, shareMistakes(shares...)...)
}

// otherRow takes the row beside the right one in every table that has it.
func otherRow(by int) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		exact := s.Work()
		some := false
		for i := range s.Steps {
			id, ok := strings.CutPrefix(s.Steps[i].ID, "limit.")
			if !ok {
				continue
			}
			for k := 0; ; k++ {
				row, beside := fmt.Sprintf("row.%s.%d", id, k), fmt.Sprintf("row.%s.%d", id, k+by)
				if !s.has(row) {
					break
				}
				if rowLimit(s.unitOf(row), exact[row]) != exact["limit."+id] || !s.has(beside) || exact[beside] == exact[row] {
					continue
				}
				u := s.unitOf(beside)
				some = s.replace("limit."+id, func(v Values, _ float64) float64 { return rowLimit(u, v[beside]) }) || some
				break
			}
		}
		return some
	}
}

// rowLimit is the limit that a row means: an angle counts by its tangent.
func rowLimit(u align.Unit, v float64) float64 {
	if u.Dimension() == align.AngleDim {
		return math.Tan(v)
	}
	return v
}

// total combines the shares by the other rule; add says which one the sheet has.
func total(add bool) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		exact := s.Work()
		most, sum := 0.0, 0.0
		var shares []string
		for i := range s.Steps {
			if strings.HasPrefix(s.Steps[i].ID, "share.") {
				id := s.Steps[i].ID
				shares = append(shares, id)
				most, sum = max(most, exact[id]), sum+exact[id]
			}
		}
		if len(shares) < 2 || add != (exact["total"] > most) {
			return false
		}
		return s.replace("total", func(v Values, _ float64) float64 {
			most, sum := 0.0, 0.0
			for _, id := range shares {
				most, sum = max(most, v[id]), sum+v[id]
			}
			if add {
				return most
			}
			return sum
		})
	}
}
