package softfoot

import "collinear.example/align"

const (
	srcLevel686   = "API RP 686 ch. 5, 3.9.3, as quoted in an owner's inspection checklist"
	srcFlat618    = "API 618 7.5.2.2, as quoted in an owner's inspection checklist"
	srcHandbook   = "The Practical Pumping Handbook 10.1.5, p. 167"
	srcAsSupplied = "a pump maker's article, Plant Engineering, 2008"
)

// BaseLimits is a named set of limits on a base, each nil where its source
// gives none.
type BaseLimits struct {
	Name      string
	Level     *align.Limit // each of the two slopes of the best plane
	Elevation *align.Limit // highest less lowest point
	Flatness  *align.Limit // minimum zone over the span
	Coplanar  *align.Limit // pads off one common plane
}

// BaseProfiles returns the named sets of limits, each call a new copy: two with
// the metric and two with the inch figures of API RP 686 and API 618, a
// handbook, and what a fabricated base may have when it is delivered, which is
// no limit for the finished, grouted base. Where a source prints two units that
// differ, both are kept: 0.002 in/ft is 0.167 mm/m, so the metric figure of API
// 618 is the tighter of its two by a tenth.
func BaseProfiles() []BaseLimits {
	return []BaseLimits{
		{
			Name:      "api-686",
			Level:     &align.Limit{Name: "level of a soleplate, either way", Value: 42, Unit: align.UnitMicrometrePerMetre, Source: srcLevel686, Known: align.ReadSecondhand},
			Elevation: &align.Limit{Name: "difference in elevation on one soleplate or a pair", Value: 130, Unit: align.UnitMicrometre, Source: srcLevel686, Known: align.ReadSecondhand},
		},
		{
			Name:      "api-686-inch",
			Level:     &align.Limit{Name: "level of a soleplate, either way", Value: 0.0005, Unit: align.UnitInchPerFoot, Source: srcLevel686, Known: align.ReadSecondhand},
			Elevation: &align.Limit{Name: "difference in elevation on one soleplate or a pair", Value: 0.005, Unit: align.UnitInch, Source: srcLevel686, Known: align.ReadSecondhand},
		},
		{
			Name:     "api-618",
			Flatness: &align.Limit{Name: "flatness of a mounting surface", Value: 0.15, Unit: align.UnitMillimetrePerMetre, Source: srcFlat618, Known: align.ReadSecondhand},
		},
		{
			Name:     "api-618-inch",
			Flatness: &align.Limit{Name: "flatness of a mounting surface", Value: 0.002, Unit: align.UnitInchPerFoot, Source: srcFlat618, Known: align.ReadSecondhand},
		},
		{
			Name:     "pumping-handbook",
			Level:    &align.Limit{Name: "level of a base plate, either way", Value: 0.002, Unit: align.UnitInchPerFoot, Source: srcHandbook, Known: align.Read},
			Coplanar: &align.Limit{Name: "pads out of one plane, overall", Value: 0.002, Unit: align.UnitInch, Source: srcHandbook, Known: align.Read},
		},
		{
			Name:     "as-supplied",
			Flatness: &align.Limit{Name: "flatness of a fabricated base as supplied", Value: 0.005, Unit: align.UnitInchPerFoot, Source: srcAsSupplied, Known: align.Read},
		},
	}
}

// BaseProfile returns the set of limits of that name, or ErrUnknownKind.
func BaseProfile(name string) (BaseLimits, error) {
	for _, p := range BaseProfiles() {
		if p.Name == name {
			return p, nil
		}
	}
	return BaseLimits{}, fault("profile", name, align.ErrUnknownKind)
}

// BaseVerdict is one quantity of a base held against one limit.
type BaseVerdict struct {
	Quantity string // level-along, level-across, elevation, flatness, coplanarity
	align.Verdict
}

// Judge holds the survey against the limits that the set has, in the order
// level-along, level-across, elevation, flatness, coplanarity. A set without
// any limit gives no verdict.
func (s BaseSurvey) Judge(l BaseLimits) ([]BaseVerdict, error) {
	rows := []struct {
		quantity string
		limit    *align.Limit
		measured float64
	}{
		{"level-along", l.Level, s.Plane.SlopeAlong},
		{"level-across", l.Level, s.Plane.SlopeAcross},
		{"elevation", l.Elevation, float64(s.Elevation)},
		{"flatness", l.Flatness, s.FlatnessPerLength()},
		{"coplanarity", l.Coplanar, float64(s.Coplanarity)},
	}
	var out []BaseVerdict
	for _, r := range rows {
		if r.limit == nil {
			continue
		}
		v, err := r.limit.Judge(r.measured)
		if err != nil {
			return nil, err
		}
		out = append(out, BaseVerdict{r.quantity, v})
	}
	return out, nil
}
