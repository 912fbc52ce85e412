package thermal

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Layer is a temperature read at a height above the bottom of its segment.
type Layer struct {
	Height      unit.Length
	Temperature unit.Temperature
}

// Segment is a part of a support of one material and, cold, of one
// temperature: a leg, a pedestal, a foot up to the shaft centre.
type Segment struct {
	Name     string
	Length   unit.Length // upright, above zero
	Material Material
	Cold     unit.Temperature // when the machine was aligned
	Hot      unit.Temperature // all over; not used when there is a Profile
	// Profile are readings up the segment by rising height, from one on. Between
	// two of them strain runs straight; below the first and above the last the
	// end reading is held.
	Profile []Layer
}

// Support is what carries the shaft at one place, from what does not move up to
// the height of the shaft: segments stacked upon each other, in any order.
type Support struct {
	Name     string
	Segments []Segment
}

// Growth returns how much the support grows from cold to hot, positive upward:
// the sum over its segments (superposition).
//
// Errors: missing when it has no segments; those of Segment.Growth, with the
// segment named.
func (s Support) Growth() (unit.Length, error) {
	if len(s.Segments) == 0 {
		return 0, fault("segments", "", align.ErrMissing)
	}
	var sum unit.Length
	for i := range s.Segments {
		g, err := s.Segments[i].growth()
		if err != nil {
			return 0, align.In(err, at("segments", i))
		}
		sum += g
	}
	return sum, nil
}

// Growth returns how much the segment grows from cold to hot.
//
//	uniform   growth = length * strain(cold, hot)
//	profile   growth = integral of strain(cold, T(h)) over the height, by
//	          trapezoids of unequal width (standard result)
//
// Errors: missing length or temperatures; negative length; not-finite;
// out-of-range; a layer outside the segment is out-of-range, and heights that do
// not rise are not-ascending; those of Material.Check.
func (s Segment) Growth() (unit.Length, error) { return s.growth() }

func (s *Segment) growth() (unit.Length, error) {
	if err := checkExtent("length", s.Length); err != nil {
		return 0, err
	}
	if err := s.Material.check(); err != nil {
		return 0, align.In(err, "material")
	}
	if err := checkTemperature("cold", s.Cold); err != nil {
		return 0, err
	}
	if len(s.Profile) > 0 {
		return s.profileGrowth()
	}
	e, err := s.Material.strainTo("hot", s.Cold, s.Hot)
	return s.Length * unit.Length(e), err
}

func (s *Segment) profileGrowth() (unit.Length, error) {
	var sum, below unit.Length
	var strain float64
	for i := range s.Profile {
		if err := s.checkLayer(i); err != nil {
			return 0, err
		}
		l := &s.Profile[i]
		e, err := s.Material.strainTo("", s.Cold, l.Temperature)
		if err != nil {
			return 0, err
		}
		mean := (strain + e) / 2
		if i == 0 {
			mean = e // held down to the bottom
		}
		sum += unit.Length(mean) * (l.Height - below)
		strain, below = e, l.Height
	}
	return sum + unit.Length(strain)*(s.Length-below), nil // held up to the top
}

// slack is how far, as a share of the length, the conversion of units may put a
// layer off the end of its segment.
const slack = 1e-9

func (s *Segment) checkLayer(i int) error {
	l := &s.Profile[i]
	ok := l.Height >= 0 && l.Height <= s.Length*(1+slack) && (i == 0 || l.Height > s.Profile[i-1].Height) &&
		l.Temperature > 0 && l.Temperature <= maxTemperature
	if ok {
		return nil
	}
	field := at("profile", i)
	if err := checkBounded(field+".height", l.Height); err != nil {
		return err
	}
	if err := checkTemperature(field+".temperature", l.Temperature); err != nil {
		return err
	}
	got := align.UnitMillimetre.Format(float64(l.Height), 3)
	if l.Height < 0 || l.Height > s.Length*(1+slack) {
		return fault(field+".height", got, align.ErrOutOfRange)
	}
	return fault(field+".height", got, ErrNotAscending)
}

// Sizes that are probably a wrong unit (own choice): a support taller than a
// house, and a strain that no metal reaches below red heat.
const (
	tallSegment = 10 * align.Metre
	largeStrain = 0.015
)

// Warnings returns what is suspect: temperature-out-of-range for a temperature
// outside what its material is known for, profile-short, and implausible-size
// for a length or a strain that looks like a wrong unit. A segment that Growth
// refuses has no warnings, only its error.
func (s Support) Warnings() []align.Warning {
	var ws []align.Warning
	for i := range s.Segments {
		ws = s.Segments[i].appendWarnings(ws, at("segments", i))
	}
	return ws
}

func (s *Segment) appendWarnings(ws []align.Warning, field string) []align.Warning {
	g, err := s.growth()
	if err != nil {
		return ws
	}
	ws = s.Material.AppendRangeWarning(ws, field+".cold", s.Cold)
	if len(s.Profile) == 0 {
		ws = s.Material.AppendRangeWarning(ws, field+".hot", s.Hot)
	}
	for i, l := range s.Profile {
		ws = s.Material.AppendRangeWarning(ws, fmt.Sprintf("%s.profile[%d]", field, i), l.Temperature)
	}
	if open := s.unread(); open > s.Length*slack {
		ws = append(ws, align.Warning{
			Code: WarnProfile, Meaning: warningMeaning(WarnProfile), Severity: align.Notice, Field: field + ".profile",
			Value: float64(open), Unit: align.UnitMillimetre,
		})
	}
	return appendSizeWarnings(ws, field, s.Length, g)
}

// unread is the length below the first reading and above the last.
func (s *Segment) unread() unit.Length {
	if len(s.Profile) == 0 {
		return 0
	}
	return s.Profile[0].Height + s.Length - s.Profile[len(s.Profile)-1].Height
}

func appendSizeWarnings(ws []align.Warning, field string, length, growth unit.Length) []align.Warning {
	if length > tallSegment {
		ws = append(ws, align.Warning{
			Code: align.WarnSize, Severity: align.Suspect, Field: field + ".length",
			Value: float64(length), Limit: float64(tallSegment), Unit: align.UnitMetre,
		})
	}
	if strain := math.Abs(float64(growth / length)); strain > largeStrain {
		ws = append(ws, align.Warning{
			Code: align.WarnSize, Severity: align.Suspect, Field: field,
			Value: strain, Limit: largeStrain, Unit: align.UnitMillimetrePerMetre,
		})
	}
	return ws
}
