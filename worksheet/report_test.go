package worksheet

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"collinear.example/align"
	"collinear.example/internal/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew; read them, and check every number by hand afterwards")

var (
	styles     = []Style{StyleText, StyleMarkdown}
	unitChoice = []ReportUnits{InMillimetres, InInches, InBoth}
)

// workedOut is one of the good records, worked out.
func workedOut(t testing.TB, file string) Evaluation {
	t.Helper()
	r, err := Parse(goodRecords(t)[file])
	require.NoError(t, err, file)
	v, err := r.Evaluate()
	require.NoError(t, err, file)
	return v
}

// reported is the report of an evaluation.
func reported(t testing.TB, v *Evaluation, s Style, u ReportUnits) string {
	t.Helper()
	out, err := v.Report(s, u)
	require.NoError(t, err)
	return out
}

// eachReport calls f with every report of the good records.
func eachReport(t *testing.T, f func(t *testing.T, v *Evaluation, s Style, u ReportUnits, report string)) {
	t.Helper()
	for file := range goodRecords(t) {
		v := workedOut(t, file)
		for _, s := range styles {
			for _, u := range unitChoice {
				t.Run(file+" "+string(s)+" "+string(u), func(t *testing.T) { f(t, &v, s, u, reported(t, &v, s, u)) })
			}
		}
	}
}

// The golden files are the printed reports. Their figures do not rest on this
// package: TestReportFigures holds every figure of every table against the
// evaluation in its own conversion of units, and TestReportByHand works the
// readings of reverse-mm.json out with plain arithmetic.
func TestReportGolden(t *testing.T) {
	for _, g := range []struct {
		name, record string
		style        Style
		units        ReportUnits
	}{
		{"every-part-mm.txt", "every-part.json", StyleText, InMillimetres},
		{"every-part-both.md", "every-part.json", StyleMarkdown, InBoth},
		{"reverse-inch.txt", "reverse-mm.json", StyleText, InInches},
		{"rim-and-face-both.txt", "rim-and-face-inch.json", StyleText, InBoth},
		{"rim-and-face-inch.md", "rim-and-face-inch.json", StyleMarkdown, InInches},
		{"only-train-mm.md", "only-train.json", StyleMarkdown, InMillimetres},
	} {
		t.Run(g.name, func(t *testing.T) {
			v := workedOut(t, g.record)
			got := reported(t, &v, g.style, g.units)
			file := filepath.Join("testdata", "reports", g.name)
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
		})
	}
}

// The readings of reverse-mm.json by hand, in millimetres. Far dial (bracket on
// the near shaft) at 150: 6 o'clock 0.36, less its sag of -0.06 is 0.42, so
// e = -0.42/2; 3 less 9 o'clock 0.29 - 0.07, so e = +0.22/2. Near dial (bracket on
// the far shaft, so the signs turn) at -10: 6 o'clock -0.24, less -0.04 is -0.20,
// so e = -0.20/2; 3 less 9 o'clock -0.10, so e = +0.10/2.
func TestReportByHand(t *testing.T) {
	v := workedOut(t, "reverse-mm.json")
	metric, inch := tableRows(reported(t, &v, StyleMarkdown, InMillimetres)), tableRows(reported(t, &v, StyleMarkdown, InInches))
	vertical := func(x float64) float64 { return -0.10 + (-0.21+0.10)/160*(x+10) }
	sideways := func(x float64) float64 { return 0.05 + (0.11-0.05)/160*(x+10) }
	for id, want := range map[string]float64{
		"sets[0].offset.flex-near.vertical":                  vertical(0),
		"sets[0].offset.flex-far.vertical":                   vertical(140),
		"sets[0].offset.flex-near.horizontal":                sideways(0),
		"sets[0].offset.flex-far.horizontal":                 sideways(140),
		"sets[0].moves.train.machines[1].feet[0].vertical":   -vertical(380),
		"sets[0].moves.train.machines[1].feet[2].vertical":   -vertical(860),
		"sets[0].moves.train.machines[1].feet[1].horizontal": -sideways(380),
		"sets[0].moves.train.machines[1].feet[3].horizontal": -sideways(860),
	} {
		f, ok := v.Find(id)
		require.True(t, ok, id)
		assert.InDelta(t, want, measured(t, cellOf(t, metric, f.Says)).si*1e3, 0.0005+1e-9, "%s in mm", id)
		assert.InDelta(t, want/0.0254, measured(t, cellOf(t, inch, f.Says)).si/25.4e-6, 0.05+1e-9, "%s in mil", id)
	}
	slope, ok := v.Find("sets[0].slope.vertical")
	require.True(t, ok)
	assert.Contains(t, cellOf(t, inch, slope.Says), "-0.688 mil/in", "-0.11 mm over 160 mm")
}

// cellOf is what was found in the one row that says so.
func cellOf(t *testing.T, rows [][]string, says string) (cell string) {
	t.Helper()
	n := 0
	for _, row := range rows {
		if row[0] == escaped(says) {
			n, cell = n+1, row[1]
		}
	}
	require.Equal(t, 1, n, says)
	return cell
}

func TestReportIsAlwaysTheSame(t *testing.T) {
	eachReport(t, func(t *testing.T, v *Evaluation, s Style, u ReportUnits, report string) {
		before, err := json.Marshal(v)
		require.NoError(t, err)
		require.Equal(t, report, reported(t, v, s, u), "asked twice")
		after, err := json.Marshal(v)
		require.NoError(t, err)
		require.Equal(t, string(before), string(after), "a report changes nothing")

		var back Evaluation
		require.NoError(t, json.Unmarshal(after, &back))
		require.Equal(t, report, reported(t, &back, s, u), "through JSON")
	})
}

func TestReportAlwaysHasTheCautions(t *testing.T) {
	require.GreaterOrEqual(t, len(Cautions()), 3)
	eachReport(t, func(t *testing.T, _ *Evaluation, s Style, _ ReportUnits, report string) {
		for _, c := range Cautions() {
			if s == StyleText { // wrapped
				report = strings.Join(strings.Fields(report), " ")
			}
			require.Contains(t, report, c)
		}
	})
	empty := reported(t, &Evaluation{}, StyleMarkdown, InBoth)
	for _, c := range Cautions() {
		require.Contains(t, empty, c, "even with nothing to report")
	}
}

func TestReportSections(t *testing.T) {
	v := workedOut(t, "every-part.json")
	report := reported(t, &v, StyleText, InMillimetres)
	last := -1
	for _, section := range []string{
		"AS LEFT", "WHAT STANDS IN THE WAY, IN THE ORDER OF PUTTING IT RIGHT", "BASE AND FOUNDATION", "FEET", "RUNOUT OF SHAFTS AND HUBS",
		"PIPE", "BRACKETS", "WHERE THE SHAFTS STAND", "FROM STANDING COLD TO RUNNING", "AGAINST THE LIMITS", "MOVES", "NOTES", "SIGNS",
		"SOURCES OF THE LIMITS", "BEFORE ANYONE TOUCHES THE MACHINES",
	} {
		i := strings.Index(report, "\n"+section+"\n"+strings.Repeat("-", len(section))+"\n")
		require.Greater(t, i, last, section)
		last = i
	}
	empty := workedOut(t, "only-train.json")
	assert.Contains(t, reported(t, &empty, StyleText, InMillimetres), "* there is no coupling in the record.\n", "no empty section")
}

// Running text fits the page; a row of a table is one line, however long.
func TestReportFitsThePage(t *testing.T) {
	eachReport(t, func(t *testing.T, _ *Evaluation, s Style, _ ReportUnits, report string) {
		if s == StyleText {
			fitsThePage(t, report)
		}
	})
	for _, s := range []string{strings.Repeat("x", 950), strings.Repeat("word ", 180) + "end", strings.Repeat("ä ", 300) + "é"} {
		v := workedOut(t, "reverse-mm.json")
		v.Title, v.Plant, v.Notes = s, s, []string{s}
		v.Readiness[0].Says, v.Readiness[1].Topic, v.Findings[0].Of, v.Findings[0].Words = s, s, s, s
		fitsThePage(t, reported(t, &v, StyleText, InBoth))
	}
}

func fitsThePage(t *testing.T, report string) {
	t.Helper()
	table, rows := false, 0
	for _, line := range strings.Split(report, "\n") {
		table = strings.HasPrefix(line, "  what ") || table && strings.HasPrefix(line, "  ")
		if table {
			rows++
		} else {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), page.Width, line)
		}
		assert.Equal(t, strings.TrimRight(line, " "), line)
	}
	assert.Less(t, rows, strings.Count(report, "\n")/2, "not everything is taken for a table")
}

// Every row of a Markdown table is one line of the text, its cells in order.
func TestReportStylesSayTheSame(t *testing.T) {
	for file := range goodRecords(t) {
		v := workedOut(t, file)
		lines := map[string]bool{}
		for _, line := range strings.Split(reported(t, &v, StyleText, InBoth), "\n") {
			lines[strings.Join(strings.Fields(line), " ")] = true
		}
		for _, row := range tableRows(reported(t, &v, StyleMarkdown, InBoth)) {
			for i := range row {
				row[i] = unescaped(row[i])
			}
			assert.True(t, lines[strings.Join(strings.Fields(strings.Join(row, " ")), " ")], "%q", row)
		}
	}
}

func TestReportRefuses(t *testing.T) {
	good := workedOut(t, "reverse-mm.json")
	var none *Evaluation
	_, err := none.Report(StyleText, InBoth)
	wantFault(t, err, align.ErrMissing, "evaluation")
	for _, s := range []Style{"", "html", "Text"} {
		_, err := good.Report(s, InBoth)
		wantFault(t, err, align.ErrUnknownKind, "style")
	}
	for _, u := range []ReportUnits{"", "mil", "MM"} {
		_, err := good.Report(StyleText, u)
		wantFault(t, err, align.ErrUnknownKind, "units")
	}
	number := func(x float64) *float64 { return &x }
	for name, f := range map[string]Finding{
		"value":       {Value: number(math.NaN()), Unit: align.UnitMil},
		"uncertainty": {Value: number(1), Unit: align.UnitMil, Sigma: number(math.Inf(1))},
		"limit":       {Value: number(1), Unit: align.UnitMil, Limit: &FindingLimit{Value: math.Inf(-1)}},
		"warning":     {Warnings: []FindingWarning{{Value: number(math.NaN()), Limit: number(1), Unit: align.UnitMil}}},
	} {
		_, err := (&Evaluation{Findings: []Finding{f}}).Report(StyleText, InBoth)
		require.ErrorIs(t, err, align.ErrNotFinite, name)
	}
	for _, u := range []align.Unit{"", "furlong"} {
		_, err := (&Evaluation{Findings: []Finding{{Value: number(1), Unit: u}}}).Report(StyleText, InBoth)
		wantFault(t, err, align.ErrUnknownUnit, "findings[0].unit")
		_, err = (&Evaluation{Findings: []Finding{{Warnings: []FindingWarning{{Value: number(1), Limit: number(1), Unit: u}}}}}).Report(StyleText, InBoth)
		wantFault(t, err, align.ErrUnknownUnit, "findings[0].warnings[0].unit")
	}
}

// Moves are shown unless the coupling was left within its limits by the same
// readings: nobody is going to make those.
func TestReportShowsMovesThatAreNeeded(t *testing.T) {
	v := workedOut(t, "reverse-mm.json")
	const title = "## Moves\n"
	for verdict, shown := range map[string]bool{Within: false, Over: true, CannotTell: true, "": true} {
		left := v
		left.Findings = append([]Finding{{Part: PartAsLeft, Of: "coupling", Verdict: verdict, Words: "as it is", Inputs: []string{"sets[0]"}}}, v.Findings...)
		assert.Equal(t, shown, strings.Contains(reported(t, &left, StyleMarkdown, InBoth), title), "%q", verdict)
		left.Findings[0].Inputs = []string{"sets[1]"}
		assert.Contains(t, reported(t, &left, StyleMarkdown, InBoth), title, "other readings")
	}
}
