package runout

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Warnings of heating a hub.
const (
	// WarnHubTooHot says that the hub would have to be hotter than the limit
	// given by its maker or the site.
	WarnHubTooHot align.WarningCode = "hub-too-hot"
	// WarnNoHeatLimit says that no highest temperature was given.
	WarnNoHeatLimit align.WarningCode = "heat-limit-not-given"
	// WarnNoMountingClearance says that no clearance was asked for, so that the
	// heated hub would just touch.
	WarnNoMountingClearance align.WarningCode = "no-mounting-clearance"
	// WarnFitSize says that the interference is unusually large for the bore:
	// probably a wrong unit.
	WarnFitSize align.WarningCode = "interference-size"
)

// largeFit is the interference per unit of diameter past which a wrong unit is
// likely: twice the largest of the practice table (common practice, no source).
const largeFit = 5e-3

// HubHeating is a hub to be heated until it slides on.
//
// Heating can burn people and ruin parts. Heat the hub all round and through,
// in an oven, an oil bath or an induction heater; never hold an open flame to one
// spot, which distorts and softens it. Keep under the highest temperature that the
// maker of the hub, its heat treatment, coatings and seals allow. Measure the
// temperature at the hub itself. Oil has a flash point, and no heat at all belongs
// where the air may burn without the permit of the site. Wear gloves and
// a face shield, set a stop and have the lifting gear rigged, and slide the hub on
// in one go: one that seizes halfway cannot be pulled by hand. The figure is
// arithmetic, not permission: the maker's instructions and site rules decide.
type HubHeating struct {
	Bore         unit.Length      // nominal diameter; above zero
	Interference unit.Length      // on the diameter; not negative
	Clearance    unit.Length      // wanted while sliding on, on the diameter; not negative
	Expansion    float64          // coefficient of the hub, per kelvin; above zero
	Shaft        unit.Temperature // of the shaft; zero means not given, and then no hub temperature comes out
	Highest      unit.Temperature // that the maker allows; zero means not given
}

// Heat is how hot a hub must be.
type Heat struct {
	Rise        align.TempRise   // of the hub over the shaft
	Temperature unit.Temperature // of the hub; zero when the shaft's is not given
	Warnings    []align.Warning
}

// Solve returns how much hotter than the shaft the hub must be:
//
//	dT = (interference + clearance) / (alpha d)
//
// (Bloch, Improving Machinery Reliability, eq. 3-12, for zero clearance.) Heat
// lost on the way to the shaft comes on top. Errors: align.ErrZeroDiameter,
// align.ErrNotFinite, align.ErrNegative, align.ErrOutOfRange, align.ErrMissing for
// a highest temperature without that of the shaft.
func (h HubHeating) Solve() (Heat, error) {
	rise, err := h.Rise()
	if err != nil {
		return Heat{}, err
	}
	out := Heat{Rise: rise}
	if h.Shaft > 0 {
		out.Temperature = h.Shaft + unit.Temperature(rise)
		if !align.IsFinite(out.Temperature) {
			return Heat{}, fault("rise", "", align.ErrOutOfRange)
		}
	}
	out.Warnings = h.warnings(out)
	return out, nil
}

// Rise returns the rise of Solve alone, without allocating. Errors are those of
// Solve.
func (h HubHeating) Rise() (align.TempRise, error) {
	if err := h.check(); err != nil {
		return 0, err
	}
	rise := align.TempRise(float64(h.Interference+h.Clearance) / float64(h.Bore) / h.Expansion)
	if !align.IsFinite(rise) {
		return 0, fault("rise", "", align.ErrOutOfRange)
	}
	return rise, nil
}

func (h HubHeating) check() error {
	if err := checkDiameter("bore", h.Bore); err != nil {
		return err
	}
	if err := checkSize("interference", float64(h.Interference), align.UnitMillimetre); err != nil {
		return err
	}
	if err := checkSize("clearance", float64(h.Clearance), align.UnitMillimetre); err != nil {
		return err
	}
	if err := checkAbove("expansion", h.Expansion, align.UnitPerKelvin); err != nil {
		return err
	}
	if err := checkSize("shaft", float64(h.Shaft), align.UnitKelvin); err != nil {
		return err
	}
	if err := checkSize("highest", float64(h.Highest), align.UnitKelvin); err != nil {
		return err
	}
	if h.Highest > 0 && h.Shaft == 0 {
		return fault("shaft", "", align.ErrMissing) // without it the limit could not be held
	}
	return nil
}

func (h HubHeating) warnings(out Heat) (ws []align.Warning) {
	switch {
	case h.Highest == 0:
		ws = append(ws, align.Warning{Code: WarnNoHeatLimit, Meaning: warningMeaning(WarnNoHeatLimit), Severity: align.Notice, Field: "highest"})
	case out.Temperature > h.Highest*(1+edge):
		ws = append(ws, align.Warning{
			Code: WarnHubTooHot, Meaning: warningMeaning(WarnHubTooHot), Severity: align.Serious, Field: "highest",
			Value: float64(out.Temperature), Limit: float64(h.Highest), Unit: align.UnitCelsius,
		})
	}
	if h.Clearance == 0 {
		ws = append(ws, align.Warning{Code: WarnNoMountingClearance, Meaning: warningMeaning(WarnNoMountingClearance), Severity: align.Suspect, Field: "clearance"})
	}
	if share := float64(h.Interference) / float64(h.Bore); share > float64(largeFit*(1+edge)) {
		ws = append(ws, align.Warning{
			Code: WarnFitSize, Meaning: warningMeaning(WarnFitSize), Severity: align.Suspect, Field: "interference",
			Value: share, Limit: largeFit, Unit: align.UnitMilPerInch,
		})
	}
	return ws
}
