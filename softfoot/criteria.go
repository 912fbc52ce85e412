package softfoot

import (
	"strconv"

	"collinear.example/align"
)

// FootLimits is a published criterion for soft feet and shims, nil or zero where
// its source gives none. Two kinds exist and they differ: how much one foot may
// move when its bolt is loosened, and how much more one may move than another.
type FootLimits struct {
	Name      string
	Each      *align.Limit // movement of any one foot
	Spread    *align.Limit // largest less smallest movement
	Feeler    *align.Limit // feeler that must not go under a foot before any shim is in
	MostShims int          // leaves in one stack; 0: not given
	Shims     string       // source of MostShims
}

// FootProfiles returns the named criteria, each call a new copy. The published
// numbers of leaves truly differ: three, four and five.
func FootProfiles() []FootLimits {
	const (
		checklist = "API RP 686 ch. 7, 5.4.4.1, as quoted in an owner's inspection checklist; pipe disconnected"
		rotating  = "McMillan, Rotating Machinery: Practical Solutions, file p. 125"
		pumping   = "Mackay, The Practical Pumping Handbook, p. 179"
	)
	limit := func(name string, v float64, u align.Unit, source string, known align.Known) *align.Limit {
		return &align.Limit{Name: name, Place: "foot", Value: v, Unit: u, Source: source, Known: known}
	}
	const each, spread = "movement when the bolt is loosened", "spread of movements between feet"
	return []FootLimits{
		{
			Name: "api-686", Each: limit(each, 0.05, align.UnitMillimetre, checklist, align.ReadSecondhand),
			MostShims: 5, Shims: "API RP 686 ch. 7, 5.4.2.1, as quoted in an owner's inspection checklist",
		},
		{
			Name: "api-686-inch", Each: limit(each, 2, align.UnitMil, checklist, align.ReadSecondhand),
			MostShims: 5, Shims: "API RP 686 ch. 7, 5.4.2.1, as quoted in an owner's inspection checklist",
		},
		{
			Name: "rotating-machinery", Spread: limit(spread, 2, align.UnitMil, rotating, align.Read),
			MostShims: 3, Shims: "McMillan, Rotating Machinery: Practical Solutions, file p. 124",
		},
		{
			Name: "bloch", Each: limit(each, 0.002, align.UnitInch, "H. P. Bloch, quoted in a magazine", align.ReadSecondhand),
		},
		{
			Name: "perez", Each: limit(each, 0.001, align.UnitInch, "Perez, quoted beside Bloch in a magazine; flags a soft foot", align.ReadSecondhand),
		},
		{
			Name: "pumping-handbook", Feeler: limit("first pass, feeler under an unshimmed foot", 0.005, align.UnitInch, pumping, align.Read),
			MostShims: 4, Shims: pumping,
		},
	}
}

// FootProfile returns the criterion of that name, or ErrUnknownKind.
func FootProfile(name string) (FootLimits, error) {
	for _, p := range FootProfiles() {
		if p.Name == name {
			return p, nil
		}
	}
	return FootLimits{}, fault("profile", strconv.Quote(name), align.ErrUnknownKind)
}

// FootVerdict is one movement, or the spread of all, held against a limit.
type FootVerdict struct {
	Foot string // "" for the spread
	align.Verdict
}

// Judge holds the rises against the criterion: each foot, then the spread. A
// criterion that limits neither gives no verdict.
func (r Rises) Judge(l FootLimits) ([]FootVerdict, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	var out []FootVerdict
	if l.Each != nil {
		for i, rise := range r.Rise {
			v, err := l.Each.Judge(float64(rise))
			if err != nil {
				return nil, err
			}
			out = append(out, FootVerdict{r.Feet[i], v})
		}
	}
	if l.Spread != nil {
		v, err := l.Spread.Judge(float64(r.Spread()))
		if err != nil {
			return nil, err
		}
		out = append(out, FootVerdict{"", v})
	}
	return out, nil
}

// CheckStack returns a warning when a stack has more leaves than the criterion
// allows.
func (l FootLimits) CheckStack(s ShimStack) []align.Warning {
	if l.MostShims == 0 || len(s.Leaves) <= l.MostShims {
		return nil
	}
	return []align.Warning{{Code: WarnManyShims, Meaning: warningMeaning(WarnManyShims), Severity: align.Suspect, Field: "stack",
		Value: float64(len(s.Leaves)), Limit: float64(l.MostShims), Unit: align.UnitOne}}
}

// WarnManyShims says that a stack holds more leaves than the criterion allows: a
// tall stack is a spring.
const WarnManyShims align.WarningCode = "too-many-shims"
