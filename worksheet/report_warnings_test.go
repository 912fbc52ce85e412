package worksheet

import (
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
)

// warnedOf is a finding with a value and warnings as Evaluate makes them.
func warnedOf(says string, value float64, ws ...align.Warning) Finding {
	f := Finding{Part: PartSets, Of: "readings", Says: says, Value: &value, Unit: align.UnitMillimetre}
	warned("sets[0]", ws)(&f)
	return f
}

func TestReportSaysAWarningOnce(t *testing.T) {
	far := align.Warning{Code: align.WarnExtrapolation, Field: "foot", Value: 4.4375, Limit: 4, Unit: align.UnitOne}
	closure := align.Warning{Code: align.WarnClosure, Severity: align.Suspect, Field: "dials[0]", Value: 0.0254e-3, Limit: 0.0127e-3, Unit: align.UnitMillimetre}
	arc := align.Warning{Code: align.WarnNarrowArc, Severity: align.Serious, Value: 3.5, Limit: 2, Unit: align.UnitOne}
	count := align.Warning{Code: "too-many", Field: "pack", Value: 6, Limit: 4, Unit: align.UnitOne, Meaning: "more shims than four (or five)"}
	bare := align.Warning{Code: "own-word"}
	v := Evaluation{Findings: []Finding{
		warnedOf("one", 1e-3, far, closure), warnedOf("two", 2e-3, far), warnedOf("two", 3e-3, far, arc), warnedOf("three", 0, count, bare),
	}}
	only := warnedOf("the set", 0, closure)
	only.Value, only.Words = nil, lookAgain
	v.Findings = append(v.Findings, only)
	_, report, _ := strings.Cut(reported(t, &v, StyleMarkdown, InBoth), "three | 0.000 mm (0.0 mil) |\n\n")
	report, _, _ = strings.Cut(report, "\n\n")
	assert.Equal(t, strings.Join([]string{
		"- **WORTH KNOWING** one; two: far outside the measured span, errors grow with the distance (4.4 spans, limit 4.0 spans).",
		"- **LOOK AGAIN** one: the dial did not come back to its first reading (0.025 mm (1.0 mil), limit 0.013 mm (0.5 mil)).",
		"- **LOOK AGAIN** two: the clock positions span a narrow arc, errors are magnified (3.5 times, limit 2.0 times).",
		"- **WORTH KNOWING** three: more shims than four (or five) (6, limit 4).",
		"- **WORTH KNOWING** three: own-word.",
		`- **LOOK AGAIN** the set: the dial did not come back to its first reading (0.025 mm (1.0 mil), limit 0.013 mm (0.5 mil)), see sets\[0\].dials\[0\].`,
	}, "\n"), report)
}

// The name of the package that found a fault is nothing for the reader.
func TestReportFaultsInWords(t *testing.T) {
	w := reportWriter{}
	for says, want := range map[string]string{
		"align: sets[1].vertical slope: the readings do not determine the position": "sets[1].vertical slope: the readings do not determine the position",
		"worksheet: train.speed: is missing":                                        "train.speed: is missing",
		"tolerance: is missing":                                                     "is missing",
		"train.speed: is missing":                                                   "train.speed: is missing",
		"sets[0]: is missing":                                                       "sets[0]: is missing",
		"nobody looked: so it is":                                                   "nobody looked: so it is",
		"is missing":                                                                "is missing",
		"":                                                                          "",
	} {
		assert.Equal(t, want, w.fault(&FindingError{Says: says}))
	}
}
