package thermal

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Rule is a rule of thumb for how far the shaft of an electric motor rises from
// cold to running. The four rules are common practice; one handbook prints them
// side by side and says that they contradict each other, that they take the rise
// at both ends as equal, and that a motor with one fan rises more at the end
// where the air leaves.
//
// A further rule, for stainless shafts, is left out: growth of a thousandth of
// the length for 100 degF, or for 50 degC. The two forms contradict each other
// (18 millionths a kelvin against 20) and 300-series steel, about 17.3.
type Rule uint8

// The rules of thumb, as in H. P. Bloch and F. K. Geitner, Machinery Component
// Maintenance and Repair, ch. 5, p. 236.
const (
	RiseOfHeight     Rule = iota // height * 6e-6 per degF * temperature rise
	HalfRiseOfHeight             // half of that
	SevenMilPerFoot              // 7 mil for each foot of height, whatever the rise
	FourMilPerFoot               // 4 mil for each foot of height, whatever the rise
	ruleCount
)

const rulesSource = "H. P. Bloch and F. K. Geitner, Machinery Component Maintenance and Repair, ch. 5, p. 236"

// ruleCoefficient is the coefficient of the first rule, 6e-6 per degF.
const ruleCoefficient = 6e-6 / float64(align.FahrenheitRise)

// String returns the rule in words.
func (r Rule) String() string {
	switch r {
	case RiseOfHeight:
		return "height times 6e-6 per degF times temperature rise"
	case HalfRiseOfHeight:
		return "half of height times 6e-6 per degF times temperature rise"
	case SevenMilPerFoot:
		return "7 mil per foot of height"
	case FourMilPerFoot:
		return "4 mil per foot of height"
	}
	return "unknown rule"
}

// Source returns where the rule is printed and how it is known: it is common
// practice, whoever prints it.
func (r Rule) Source() (citation string, known align.Known) {
	return rulesSource, align.CommonPractice
}

// Growth returns what the rule says a motor grows. Height runs from the base to
// the shaft centre, above zero. Rise is the temperature difference from cold to
// running, zero or more; it is a difference, which converts from Celsius to
// Fahrenheit by 9/5 and never by adding 32. The rules by the foot do not use it.
//
// Errors: missing or negative height; negative rise; not-finite; out-of-range;
// unknown-kind for a rule that is none of the four.
func (r Rule) Growth(height unit.Length, rise align.TempRise) (unit.Length, error) {
	if r >= ruleCount {
		return 0, fault("rule", r.String(), align.ErrUnknownKind)
	}
	if err := checkExtent("height", height); err != nil {
		return 0, err
	}
	if err := checkRise("rise", rise); err != nil {
		return 0, err
	}
	full := height * unit.Length(ruleCoefficient*float64(rise))
	switch r {
	case RiseOfHeight:
		return full, nil
	case HalfRiseOfHeight:
		return full / 2, nil
	case SevenMilPerFoot:
		return height * unit.Length(7*align.Mil/align.Foot), nil
	}
	return height * unit.Length(4*align.Mil/align.Foot), nil
}

// checkRise wants a finite rise of zero or more; more than any temperature is absurd.
func checkRise(field string, v align.TempRise) error {
	switch {
	case !align.IsFinite(v):
		return fault(field, plain(float64(v), "K"), align.ErrNotFinite)
	case v < 0:
		return fault(field, align.UnitCelsiusRise.Format(float64(v), 2), align.ErrNegative)
	case float64(v) > float64(maxTemperature):
		return fault(field, plain(float64(v), "K"), align.ErrOutOfRange)
	}
	return nil
}

// RuleGrowth is what one rule of thumb says.
type RuleGrowth struct {
	Rule   Rule
	Growth unit.Length
}

// RulesOfThumb returns what every rule says, in the order of the constants, and
// the warning rules-disagree with the largest and the smallest of them. The
// disagreement is the lesson: work growth out from temperatures (Support), or
// measure it, and use a rule only until then. It always warns.
//
// Errors: those of Rule.Growth.
func RulesOfThumb(height unit.Length, rise align.TempRise) ([]RuleGrowth, []align.Warning, error) {
	out := make([]RuleGrowth, 0, ruleCount)
	for r := range ruleCount {
		g, err := r.Growth(height, rise)
		if err != nil {
			return nil, nil, err
		}
		out = append(out, RuleGrowth{r, g})
	}
	least, most := out[0].Growth, out[0].Growth
	for _, g := range out {
		least, most = min(least, g.Growth), max(most, g.Growth)
	}
	return out, []align.Warning{{
		Code: WarnRules, Meaning: warningMeaning(WarnRules), Severity: align.Suspect, Field: "rules",
		Value: float64(most), Limit: float64(least), Unit: align.UnitMillimetre,
	}}, nil
}
