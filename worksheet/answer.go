package worksheet

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
)

// Answer is one answer as read.
type Answer struct {
	Value float64 // SI units, or the index of a choice
	Plan  map[string]float64
}

// maxAnswer bounds the text of one answer.
const maxAnswer = 500

// ParseAnswer reads an answer to a step:
//
//	0.12          a number in the unit asked
//	4.7 mil       a number with a unit of the same kind
//	raise 4.7     a word for the sign, before the number or after it
//	pass          one of the choices
//	inboard = 0.1; outboard = -0.2 mm     a plan
//
// It fails with ErrUnreadable, naming the step and what stands there.
func ParseAnswer(st *Step, text string) (Answer, error) {
	t := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	if len(text) > maxAnswer || t == "" {
		return Answer{}, unreadable(st, text)
	}
	switch {
	case st.Plan != nil:
		return parsePlan(st, t)
	case st.Choices != nil:
		i := slices.IndexFunc(st.Choices, func(c string) bool { return strings.ToLower(c) == t })
		if i < 0 {
			return Answer{}, unreadable(st, text)
		}
		return Answer{Value: float64(i)}, nil
	}
	v, err := st.parseNumber(t)
	return Answer{Value: v}, err
}

func unreadable(st *Step, text string) error {
	if len(text) > 60 {
		text = strings.ToValidUTF8(text[:60], "") + "..."
	}
	return fault(st.ID, strconv.Quote(text), ErrUnreadable)
}

// parseNumber reads a number with an optional unit and an optional word for its
// sign.
func (st *Step) parseNumber(t string) (float64, error) {
	rest, sign := st.takeSign(t)
	number, unitName, _ := strings.Cut(strings.TrimSpace(rest), " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || !align.IsFinite(v) || strings.ContainsAny(number, "xp_") {
		return 0, unreadable(st, t)
	}
	if sign != 0 && v < 0 { // both a word and a sign: which one holds?
		return 0, unreadable(st, t)
	}
	u := st.Unit
	if unitName = strings.TrimSpace(unitName); unitName != "" {
		i := slices.IndexFunc(sameKind(st.Unit), func(k align.Unit) bool { return strings.ToLower(string(k)) == unitName })
		if i < 0 {
			return 0, unreadable(st, t)
		}
		u = sameKind(st.Unit)[i]
	}
	if sign < 0 {
		v = -v
	}
	si := u.SI(v)
	if !align.IsFinite(si) {
		return 0, unreadable(st, t)
	}
	return si, nil
}

// takeSign takes the word for the sign out of an answer; sign is 0 when there is
// none.
func (st *Step) takeSign(t string) (rest string, sign int) {
	plus, minus := st.Sense.words()
	for _, s := range []struct {
		words []string
		sign  int
	}{{plus, 1}, {minus, -1}} {
		for _, w := range s.words {
			if r, ok := strings.CutPrefix(t, w+" "); ok {
				return r, s.sign
			}
			if r, ok := strings.CutSuffix(t, " "+w); ok {
				return r, s.sign
			}
		}
	}
	return t, 0
}

// sameKind returns the units an answer may be given in.
func sameKind(u align.Unit) (out []align.Unit) {
	for _, k := range answerUnits {
		if k.Dimension() == u.Dimension() {
			out = append(out, k)
		}
	}
	return out
}

var answerUnits = []align.Unit{
	align.UnitMillimetre, align.UnitMicrometre, align.UnitMetre, align.UnitInch, align.UnitMil, align.UnitFoot,
	align.UnitOne, align.UnitMilPerInch, align.UnitMillimetrePerMetre, align.UnitInchPerFoot, align.UnitMicrometrePerMetre, align.UnitMilPerFoot,
	align.UnitDegree, align.UnitRadian, align.UnitCelsius, align.UnitFahrenheit, align.UnitCelsiusRise, align.UnitFahrenheitRise,
	align.UnitRPM, align.UnitHertz, align.UnitNewton, align.UnitPoundForce,
}

// parsePlan reads "entry = number" pairs parted by semicolons.
func parsePlan(st *Step, t string) (Answer, error) {
	plan := map[string]float64{}
	for _, part := range strings.Split(t, ";") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		name, value, ok := strings.Cut(part, "=")
		name = strings.TrimSpace(name)
		i := slices.IndexFunc(st.Plan, func(p string) bool { return strings.ToLower(p) == name })
		if !ok || i < 0 {
			return Answer{}, unreadable(st, part)
		}
		if _, twice := plan[st.Plan[i]]; twice {
			return Answer{}, unreadable(st, part)
		}
		v, err := st.parseNumber(strings.TrimSpace(value))
		if err != nil {
			return Answer{}, err
		}
		plan[st.Plan[i]] = v
	}
	for _, p := range st.Plan {
		if _, ok := plan[p]; !ok {
			return Answer{}, fault(st.ID+"."+p, "", align.ErrMissing)
		}
	}
	return Answer{Plan: plan}, nil
}

// Text returns a value as it would be written in answer to the step: rounded to
// the decimals asked, with its unit and the word for its sign.
func (st *Step) Text(si float64) string {
	if st.Choices != nil {
		i := int(si)
		if i < 0 || i >= len(st.Choices) {
			return ""
		}
		return st.Choices[i]
	}
	v := st.Unit.FromSI(si)
	plus, minus := st.Sense.words()
	number := strconv.FormatFloat(math.Abs(v), 'f', st.Decimals, 64)
	unitName := " " + string(st.Unit)
	if st.Unit == align.UnitOne {
		unitName = ""
	}
	zero := strings.Trim(number, "0.") == ""
	switch {
	case zero:
		return number + unitName
	case plus == nil && v < 0:
		return "-" + number + unitName
	case plus == nil:
		return number + unitName
	case v < 0:
		return minus[0] + " " + number + unitName
	}
	return plus[0] + " " + number + unitName
}
