package worksheet

import (
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nasty are texts that want to be more than text.
var nasty = []string{
	"a | b || c |", `\`, `\|`, `\\|`, "*bold* **bolder** _it_ __under__ ~~gone~~", "<script>alert(1)</script>", "<!-- <b>", "&lt;b&gt; &#124;",
	"`code` ```", "```\nfence\n```", "# heading", "two\n# lines", "two\r\n\r\n- lines\n| a | b |\n|---|---|", "- item", "+ item", "* item", "1. item",
	"12) item", "---", "===", "***", "> quote", "[text](http://example.invalid)", "![x](y)", "https://example.invalid", "www.example.invalid", "$x$",
	"\x1b[31mred\x1b[0m", "bell\a back\b tab\t null\x00 del\x7f", "c1 \u0085 \u009b31m", "turn \u202e round \u2066", "para\u2028line\u2029", "\xff\xfe broken",
	"zero\u200bwidth\ufeff", "    indented", "|---|", ":--|--:", "",
}

// dressed is a copy of an evaluation in which every text that comes from a record
// or says something is replaced. The same text is replaced by the same.
func dressed(t *testing.T, v *Evaluation, dress func(n int, old string) string) *Evaluation {
	t.Helper()
	seen := map[string]string{}
	swap := func(s *string) {
		if *s == "" || *s == lookAgain {
			return
		}
		if _, ok := seen[*s]; !ok {
			seen[*s] = dress(len(seen), *s)
		}
		*s = seen[*s]
	}
	out := deepCopy(reflect.ValueOf(v)).Interface().(*Evaluation)
	swap(&out.Title)
	swap(&out.Plant)
	for i := range out.Notes {
		swap(&out.Notes[i])
	}
	for i := range out.Readiness {
		r := &out.Readiness[i]
		swap(&r.Topic)
		swap(&r.About)
		swap(&r.Says)
	}
	for i := range out.Findings {
		f := &out.Findings[i]
		texts := []*string{&f.Of, &f.Says, &f.Words, &f.Plus, &f.Minus}
		if f.Limit != nil {
			texts = append(texts, &f.Limit.Source, &f.Limit.Edition, &f.Limit.Table)
		}
		for j := range f.Warnings {
			texts = append(texts, &f.Warnings[j].Field, &f.Warnings[j].Says)
		}
		if f.Error != nil {
			texts = append(texts, &f.Error.Says)
		}
		for _, s := range texts {
			swap(s)
		}
	}
	return out
}

// deepCopy copies what pointers and slices lead to as well; unexported fields are
// left as they are.
func deepCopy(v reflect.Value) reflect.Value {
	switch {
	case v.Kind() == reflect.Pointer && !v.IsNil():
		out := reflect.New(v.Type().Elem())
		out.Elem().Set(deepCopy(v.Elem()))
		return out
	case v.Kind() == reflect.Slice && !v.IsNil():
		out := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			out.Index(i).Set(deepCopy(v.Index(i)))
		}
		return out
	case v.Kind() == reflect.Struct:
		out := reflect.New(v.Type()).Elem()
		out.Set(v)
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				out.Field(i).Set(deepCopy(v.Field(i)))
			}
		}
		return out
	}
	return v
}

// outline is what every line of a Markdown report is: how deep a heading, an
// item, how many cells of a table, running text or nothing.
func outline(report string) (out []string) {
	for _, line := range strings.Split(report, "\n") {
		switch {
		case line == "":
			out = append(out, "")
		case strings.HasPrefix(line, "|"):
			out = append(out, fmt.Sprintf("%d cells", len(splitRow(line))))
		case strings.HasPrefix(line, "#"):
			out = append(out, line[:strings.IndexByte(line, ' ')])
		case strings.HasPrefix(line, "- "):
			out = append(out, "item")
		default:
			out = append(out, "text")
		}
	}
	return out
}

// However nasty the texts are, the report has the same headings, items and tables
// as with harmless ones.
func TestReportMarkdownCannotBeBroken(t *testing.T) {
	for file := range goodRecords(t) {
		v := workedOut(t, file)
		plain := dressed(t, &v, func(n int, _ string) string { return fmt.Sprintf("t%d", n) })
		want := outline(reported(t, plain, StyleMarkdown, InBoth))
		for shift, s := range nasty {
			hostile := dressed(t, &v, func(n int, _ string) string { return s + fmt.Sprintf(" t%d", n) })
			got := reported(t, hostile, StyleMarkdown, InBoth)
			require.Equal(t, want, outline(got), "%s %q", file, s)
			plainMarkdown(t, got)

			mixed := dressed(t, &v, func(n int, _ string) string { return fmt.Sprintf("t%d ", n) + nasty[(n+shift)%len(nasty)] })
			got = reported(t, mixed, StyleMarkdown, InInches)
			require.Equal(t, want, outline(got), "%s %d", file, shift)
			plainMarkdown(t, got)
		}
	}
}

// plainMarkdown wants no mark in a report that the report has not set itself: no
// tag, no code, no link, no emphasis but its own bold leads.
func plainMarkdown(t *testing.T, report string) {
	t.Helper()
	cleanText(t, report)
	equalColumns(t, report)
	for _, line := range strings.Split(report, "\n") {
		starts := !strings.HasPrefix(line, "|")
		if lead, ok := strings.CutPrefix(line, "- **"); ok {
			if end := strings.Index(lead, "** "); end >= 0 {
				line, starts = lead[end+3:], false
			}
		}
		line = strings.TrimLeft(line, "#") // of a heading
		escaped := false
		for _, c := range line {
			if !escaped && strings.ContainsRune("<>`*_[]~#$", c) {
				require.Fail(t, "a mark that is not escaped", "%q in %q", c, line)
			}
			escaped = c == '\\' && !escaped
		}
		if strings.Contains(line, "://") || strings.Contains(line, "www.") {
			require.Fail(t, "a link", line)
		}
		if starts && startsAList.MatchString(strings.TrimPrefix(line, "- ")) {
			require.Fail(t, "the start of a list or a rule", line)
		}
	}
	require.NotRegexp(t, foreignEntity, report, "only entities of our own")
}

var (
	startsAList   = regexp.MustCompile(`^([-+=]|\d+[.)])`)
	foreignEntity = regexp.MustCompile(`&([^lga]|$)`)
)

// equalColumns wants every row of a table to have as many cells as its head.
func equalColumns(t *testing.T, report string) {
	t.Helper()
	columns := 0
	for _, line := range strings.Split(report, "\n") {
		cells := splitRow(line)
		if cells == nil {
			columns = 0
			continue
		}
		if columns == 0 {
			columns = len(cells)
		}
		if len(cells) != columns || !strings.HasSuffix(line, "|") {
			require.Fail(t, "not the columns of the head", "%d: %q", columns, line)
		}
	}
}

// cleanText wants nothing but printable characters and line ends.
func cleanText(t *testing.T, report string) {
	t.Helper()
	require.True(t, utf8.ValidString(report))
	if i := strings.IndexFunc(report, func(c rune) bool { return c != '\n' && !unicode.IsPrint(c) }); i >= 0 {
		require.Fail(t, "a character that cannot be printed", "%q", report[i:])
	}
}

func TestReportTextIsClean(t *testing.T) {
	for file := range goodRecords(t) {
		v := workedOut(t, file)
		for _, s := range nasty {
			hostile := dressed(t, &v, func(n int, old string) string { return s + old })
			cleanText(t, reported(t, hostile, StyleText, InBoth))
		}
	}
	v := workedOut(t, "only-train.json")
	v.Title, v.Notes = "\x1b[31mred\x1b[0m", []string{"one\ntwo\r\nthree\x00four", "turn \u202e round"}
	report := reported(t, &v, StyleText, InBoth)
	assert.True(t, strings.HasPrefix(report, "[31mred [0m\n===========\n"), report)
	assert.Contains(t, report, "* one two three four\n* turn round\n")
}

// unescaped takes the escapes of a Markdown text away.
func unescaped(s string) (out string) {
	skip := false
	for _, c := range s {
		if skip = c == '\\' && !skip; !skip {
			out += string(c)
		}
	}
	return strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(out)
}

// What is escaped reads as it was written.
func TestReportEscapesNothingAway(t *testing.T) {
	for _, s := range nasty {
		clean := printable(s)
		assert.Equal(t, clean, unescaped(escaped(clean)))
		assert.Equal(t, clean, unescaped(line(clean)))
	}
	assert.Equal(t, `a \| b \\\| c`, escaped(`a | b \| c`))
	assert.Equal(t, "&lt;script&gt; \\*x\\* \\`y\\`", escaped("<script> *x* `y`"))
	for text, want := range map[string]string{
		"- x": `\- x`, "-": `\-`, "1. x": `1\. x`, "23) x": `23\) x`, "2 pumps": "2 pumps", "1.5 mm": `1\.5 mm`, "=": `\=`, "+1": `\+1`, "": "", "é": "é", "x - y": "x - y",
	} {
		assert.Equal(t, want, line(text))
	}
}

// Whatever the texts of a record, its report neither panics nor holds control
// characters, and its tables keep their columns.
func FuzzReport(f *testing.F) {
	f.Add("Cooling water pump 2", "motor", "first fitter", "Oil warm.")
	for i, s := range nasty {
		f.Add(s, nasty[(i+1)%len(nasty)], nasty[(i+2)%len(nasty)], nasty[(i+3)%len(nasty)])
	}
	base := workedOut(f, "rim-and-face-inch.json")
	text := goodRecords(f)["reverse-mm.json"]
	f.Fuzz(func(t *testing.T, title, machine, by, note string) {
		fields := []string{title, machine, by, note}
		check(t, dressed(t, &base, func(n int, _ string) string { return fields[n%len(fields)] }))

		r, err := Parse(text)
		require.NoError(t, err)
		r.Title, r.Notes, r.Sets[0].By = title, []string{note}, by
		for i := range r.Train.Machines {
			if m := &r.Train.Machines[i]; m.Name == "motor" {
				m.Name = machine
			}
		}
		r.Train.Couplings[0].Far = machine
		if v, err := r.Evaluate(); err == nil {
			check(t, &v)
		}
	})
}

// check reports in both styles; the units make no difference to the texts.
func check(t *testing.T, v *Evaluation) {
	t.Helper()
	cleanText(t, reported(t, v, StyleText, InBoth))
	plainMarkdown(t, reported(t, v, StyleMarkdown, InBoth))
}
