package worksheet

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// measure is a printed figure: its size in SI units, and half its last place.
type measure struct {
	si, half float64
	inch     bool
	under    bool // printed as "under", so it is smaller
}

// sizes are the units of the tables in SI units, from their definitions: an inch
// is 25.4 mm, a mil the thousandth of it.
var sizes = map[string]float64{"mm": 1e-3, "mil": 25.4e-6, "mm/m": 1e-3, "mil/in": 1e-3, "%": 1e-2}

var figure = regexp.MustCompile(`^(under )?([+-]?\d+(?:\.(\d+))?) (mm/m|mm|mil/in|mil|%)($|[, ])`)

// measured reads the figure at the start of a cell.
func measured(t testing.TB, cell string) measure {
	t.Helper()
	m := figure.FindStringSubmatch(cell)
	require.NotNil(t, m, "%q is no figure with its unit", cell)
	v, err := strconv.ParseFloat(m[2], 64)
	require.NoError(t, err)
	require.NotRegexp(t, `^[+-]0(\.0*)?$`, m[2], "zero has no sign")
	return measure{v * sizes[m[4]], 0.5 * math.Pow(10, -float64(len(m[3]))) * sizes[m[4]], strings.HasPrefix(m[4], "mil"), m[1] != ""}
}

// agrees wants two figures of the same thing to agree within the rounding of both.
func (m measure) agrees(t *testing.T, o measure, says string) {
	t.Helper()
	assert.InDelta(t, m.si, o.si, m.half+o.half+1e-12+highest(m, o), says)
}

// highest is what "under" leaves open: anything from nothing to half of it.
func highest(ms ...measure) (most float64) {
	for _, m := range ms {
		if m.under {
			most = math.Max(most, m.si)
		}
	}
	return most
}

// is wants the figure to be a value rounded.
func (m measure) is(si float64) bool {
	if m.under {
		return si > 0 && si <= m.half+1e-12
	}
	return math.Abs(m.si-si) <= m.half+1e-12
}

// tableRows are the cells of every row of every table of a Markdown report, the
// heads left out, the cells of a row in the order of what was found, uncertainty,
// limit and verdict, "" for a column that the table does not have.
func tableRows(report string) (out [][]string) {
	var head []string
	for _, line := range strings.Split(report, "\n") {
		cells := splitRow(line)
		switch {
		case cells == nil:
			head = nil
		case head == nil:
			head = cells
		case strings.HasPrefix(line, "|---"):
		default:
			row := make([]string, 5)
			for i, title := range head {
				row[map[string]int{"what": 0, "found": 1, "std. uncertainty": 2, "limit": 3, "verdict": 4}[title]] = cells[i]
			}
			out = append(out, row)
		}
	}
	return out
}

// splitRow splits a row of a table where a reader of Markdown would, nil for
// another line.
func splitRow(line string) (cells []string) {
	if !strings.HasPrefix(line, "|") {
		return nil
	}
	cell, escaped := "", false
	for _, c := range line[1:] {
		if c == '|' && !escaped {
			cells = append(cells, strings.TrimSpace(cell))
			cell = ""
			continue
		}
		escaped = c == '\\' && !escaped
		cell += string(c)
	}
	return cells
}

// eachEvaluation calls f with the evaluations of the good records and of invented
// ones of every kind.
func eachEvaluation(t *testing.T, seeds uint64, f func(t *testing.T, v *Evaluation)) {
	t.Helper()
	for file := range goodRecords(t) {
		v := workedOut(t, file)
		t.Run(file, func(t *testing.T) { f(t, &v) })
	}
	for _, k := range kinds() {
		t.Run(k.name, func(t *testing.T) {
			for seed := range seeds {
				r := k.generate(invent(seed).Rand, Severe)
				v, err := r.Evaluate()
				require.NoError(t, err)
				f(t, &v)
			}
		})
	}
}

// Every figure of every table is that of its finding, in metric and in inch units,
// and both agree within what they are rounded to.
func TestReportFigures(t *testing.T) {
	eachEvaluation(t, 2, func(t *testing.T, v *Evaluation) {
		metric := tableRows(reported(t, v, StyleMarkdown, InMillimetres))
		inch := tableRows(reported(t, v, StyleMarkdown, InInches))
		both := tableRows(reported(t, v, StyleMarkdown, InBoth))
		require.Len(t, inch, len(metric))
		require.Len(t, both, len(metric))
		used := make([]bool, len(v.Findings))
		for i, row := range metric {
			require.Equal(t, row[0], inch[i][0])
			for _, col := range []int{1, 2, 3} {
				if row[col] == "" {
					require.Empty(t, inch[i][col])
					continue
				}
				m, in := measured(t, row[col]), measured(t, inch[i][col])
				require.False(t, m.inch, row[col])
				require.Equal(t, strings.Contains(row[col], " %"), !in.inch, inch[i][col])
				m.agrees(t, in, row[0])
				sideBySide(t, row[col], inch[i][col], both[i][col])
			}
			require.True(t, takeFinding(t, v, used, row, inch[i]), "no finding is %q: %q", row[0], row[1:])
		}
	})
}

// sideBySide wants a cell in both units to be the metric one with the inch one in
// brackets behind.
func sideBySide(t *testing.T, metric, inch, both string) {
	t.Helper()
	m, in := figure.FindString(metric), figure.FindString(inch)
	m, in = strings.TrimRight(m, ", "), strings.TrimRight(in, ", ")
	if m == in {
		assert.Equal(t, metric, both)
		return
	}
	assert.True(t, strings.HasPrefix(both, m+" ("+in+")"), "%q against %q and %q", both, metric, inch)
}

// takeFinding takes the finding that a row is about, which no row before was.
func takeFinding(t *testing.T, v *Evaluation, used []bool, metric, inch []string) bool {
	t.Helper()
	for i := range v.Findings {
		f := &v.Findings[i]
		if used[i] || f.Value == nil || escaped(f.Says) != metric[0] || !rowIs(t, f, metric) || !rowIs(t, f, inch) {
			continue
		}
		used[i] = true
		return true
	}
	return false
}

// rowIs reports whether a row says what a finding does.
func rowIs(t *testing.T, f *Finding, row []string) bool {
	t.Helper()
	if !measured(t, row[1]).is(*f.Value) || !signIs(f, row[1]) || (f.Sigma != nil) != (row[2] != "") || (f.Limit != nil) != (row[3] != "") {
		return false
	}
	if f.Sigma != nil && !measured(t, row[2]).is(*f.Sigma) || f.Limit != nil && !measured(t, row[3]).is(f.Limit.Value) {
		return false
	}
	return row[4] == map[string]string{"": "", Within: "within", Over: "OVER", CannotTell: "CANNOT TELL"}[f.Verdict]
}

// signIs reports whether a cell has the sign of a finding and its meaning, and a
// size neither.
func signIs(f *Finding, cell string) bool {
	_, meaning, _ := strings.Cut(cell, ", ")
	zero := !strings.ContainsAny(figure.FindStringSubmatch(cell)[2], "123456789")
	switch {
	case zero:
		return meaning == "" && cell[0] == '0'
	case f.Plus == "":
		return meaning == "" && cell[0] != '+' && (cell[0] == '-') == (*f.Value < 0)
	case *f.Value > 0:
		return meaning == escaped(f.Plus) && cell[0] == '+'
	}
	return meaning == escaped(f.Minus) && cell[0] == '-'
}

var (
	withLimit = regexp.MustCompile(`\(([^()]+), limit ([^()]+)\)`)
	clauses   = regexp.MustCompile(`ch\. \d+, \d+\.\d+ to \d+\.\d+`) // of a source that the words name
	decimals  = regexp.MustCompile(`\d+\.\d+( mm/m| mm| um| mil/in| mil| in| m| %| deg| o'clock| degC| degF| Hz| rpm| spans| times|\S*)`)
)

// Warnings print their numbers in the units of the report.
func TestReportWarningFigures(t *testing.T) {
	seen := 0
	eachEvaluation(t, 5, func(t *testing.T, v *Evaluation) {
		metric := warningLines(reported(t, v, StyleMarkdown, InMillimetres))
		inch := warningLines(reported(t, v, StyleMarkdown, InInches))
		require.Len(t, inch, len(metric))
		for i := range metric {
			m, in := withLimit.FindStringSubmatch(metric[i]), withLimit.FindStringSubmatch(inch[i])
			require.Equal(t, m == nil, in == nil)
			if m == nil || !figure.MatchString(m[1]) { // a count, or a temperature
				continue
			}
			seen++
			measured(t, m[1]).agrees(t, measured(t, in[1]), metric[i])
			measured(t, m[2]).agrees(t, measured(t, in[2]), metric[i])
		}
	})
	require.Greater(t, seen, 10)
}

func warningLines(report string) (out []string) {
	for _, line := range strings.Split(report, "\n") {
		if strings.HasPrefix(line, "- **LOOK AGAIN**") || strings.HasPrefix(line, "- **WORTH KNOWING**") {
			out = append(out, line)
		}
	}
	return out
}

// No decimal stands anywhere without its unit, but for the editions of sources
// and the version of the library.
func TestReportNumbersHaveUnits(t *testing.T) {
	eachEvaluation(t, 2, func(t *testing.T, v *Evaluation) {
		v.Notes, v.Title, v.Plant = nil, "title", ""
		for _, u := range unitChoice {
			report, _, _ := strings.Cut(reported(t, v, StyleMarkdown, u), "## Signs")
			report = clauses.ReplaceAllString(report, "")
			for _, m := range decimals.FindAllStringSubmatch(report, -1) {
				assert.NotEmpty(t, strings.TrimRight(m[1], ",.;)"), "%q stands without a unit in %s", m[0], u)
			}
		}
	})
}

func TestReportScales(t *testing.T) {
	for _, c := range []struct {
		u    string
		v    float64
		want [3]string // size, signed, unsure
	}{
		{"um", 0.0254e-3, [3]string{"0.025 mm (1.0 mil)", "+0.025 mm (+1.0 mil)", "0.025 mm (1.0 mil)"}},
		{"in", -2.54e-3, [3]string{"-2.540 mm (-100.0 mil)", "-2.540 mm (-100.0 mil)", ""}},
		{"mil", 0.0000004, [3]string{"0.000 mm (0.0 mil)", "0.000 mm (0.0 mil)", "under 0.001 mm (under 0.1 mil)"}},
		{"mil", 0.000001, [3]string{"0.001 mm (0.0 mil)", "+0.001 mm (0.0 mil)", "0.001 mm (under 0.1 mil)"}},
		{"um", -0.0000001, [3]string{"0.000 mm (0.0 mil)", "0.000 mm (0.0 mil)", ""}},
		{"mil/in", 0.00025, [3]string{"0.250 mm/m (0.250 mil/in)", "+0.250 mm/m (+0.250 mil/in)", "0.250 mm/m (0.250 mil/in)"}},
		{"1", 0.8962, [3]string{"89.6 %", "+89.6 %", "89.6 %"}},
		{"1", -0.0001, [3]string{"0.0 %", "0.0 %", ""}},
		{"1", 0.0001, [3]string{"0.0 %", "0.0 %", "under 0.1 %"}},
		{"degC", 293.15, [3]string{"20.0 degC (68.0 degF)", "+20.0 degC (+68.0 degF)", ""}},
		{"degC-rise", 10, [3]string{"10.0 degC-rise (18.0 degF-rise)", "+10.0 degC-rise (+18.0 degF-rise)", ""}},
		{"rpm", 25, [3]string{"1500.0 rpm", "+1500.0 rpm", "1500.0 rpm"}},
	} {
		w := reportWriter{}
		w.page.Units = string(InBoth)
		f := Finding{Value: &c.v, Sigma: &c.v}
		f.Unit, f.Plus = align.Unit(c.u), "up"
		assert.Equal(t, c.want[0], w.size(c.v, f.Unit))
		assert.Equal(t, c.want[1], w.signed(c.v, f.Unit))
		if c.want[2] != "" {
			assert.Equal(t, c.want[2], w.sigma(&f))
		}
	}
	two := 2.0 // an uncertainty of 2 K is not -271 degC
	w := reportWriter{}
	w.page.Units = string(InBoth)
	assert.Equal(t, "2.0 degC-rise (3.6 degF-rise)", w.sigma(&Finding{Unit: "degF", Sigma: &two}))
}
