package thermal

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func TestContributionsAdd(t *testing.T) {
	part := func(c Cause, v, h float64) Contribution {
		return Contribution{Cause: c, Offset: align.Offset{Vertical: unit.Length(v) * mil, Horizontal: unit.Length(h) * mil}}
	}
	m := StationMovement{Station: 1, Contributions: []Contribution{
		part(CauseGrowth, 8, 0), part(CauseOilFilm, 1, -0.5), part(CauseGrowth, 2, 0), part(CausePipe, -1, 3),
	}}
	sum, err := m.Total()
	require.NoError(t, err)
	require.InDelta(t, 10, float64(sum.Vertical/mil), 1e-12)
	require.InDelta(t, 2.5, float64(sum.Horizontal/mil), 1e-12)
	var byCause align.Offset
	for c := OtherCause; c <= CausePressure; c++ {
		o, err := m.Of(c)
		require.NoError(t, err)
		byCause = byCause.Add(o)
	}
	require.InDelta(t, 0, float64(byCause.Sub(sum).Resultant()), 1e-18)

	a, err := MovementAxis(m, StationMovement{Station: 3})
	require.NoError(t, err)
	require.InDelta(t, 5, float64(a.At(2).Vertical/mil), 1e-12)
}

func TestMeasuredMovement(t *testing.T) {
	m := MeasuredMovement{
		First:  MovedPoint{0.5, align.Offset{Vertical: 4 * mil, Horizontal: -2 * mil}},
		Second: MovedPoint{1.5, align.Offset{Vertical: 10 * mil, Horizontal: 2 * mil}},
	}
	a, err := m.Axis()
	require.NoError(t, err)
	require.InDelta(t, 16, float64(a.At(2.5).Vertical/mil), 1e-12)
	require.InDelta(t, 0, float64(a.At(1).Horizontal/mil), 1e-12)
}

func TestGearShiftByHand(t *testing.T) {
	const c = 10 * align.Mil
	for load, want := range map[align.Clock]align.Offset{
		align.Six:    {},
		align.Twelve: {Vertical: c},
		align.Three:  {Vertical: c / 2, Horizontal: c / 2},
		align.Nine:   {Vertical: c / 2, Horizontal: -c / 2},
	} {
		got, err := GearShift("pinion", c, load)
		require.NoError(t, err)
		require.Equal(t, CauseGearLoad, got.Cause)
		require.InDelta(t, 0, float64(got.Offset.Sub(want).Resultant()), 1e-18, "%v", load)
	}
}

// Both gears of a pair are pushed apart along the line of action: the same load,
// the opposite way. Seen from the other end the sides change.
func TestJournalProperties(t *testing.T) {
	j := Journal{Clearance: 0.2 * align.Millimetre, Load: 200, Eccentricity: 0.6, Attitude: 40, Turning: Clockwise}
	a, err := j.Shift()
	require.NoError(t, err)
	opposite := j
	opposite.Load += 180
	b, err := opposite.Shift()
	require.NoError(t, err)
	require.InDelta(t, 0, float64(a.FromCentre.Add(b.FromCentre).Resultant()), 1e-18)

	mirror := j
	mirror.Load, mirror.Turning = j.Load.Mirrored(), Counterclockwise
	m, err := mirror.Shift()
	require.NoError(t, err)
	require.InDelta(t, float64(a.FromRest.Vertical), float64(m.FromRest.Vertical), 1e-18)
	require.InDelta(t, float64(-a.FromRest.Horizontal), float64(m.FromRest.Horizontal), 1e-18)
	require.InDelta(t, 0.06e-3, float64(a.FromCentre.Resultant()), 1e-18)
}

// A shaft that turns clockwise runs to the left of the bottom, one that turns
// counterclockwise to the right; both float up.
func TestOilFilmLiftGoesWithTheTurning(t *testing.T) {
	j := Journal{Clearance: 0.2 * align.Millimetre, Load: align.Three, Eccentricity: 0.5, Attitude: 60, Turning: Clockwise}
	c, err := OilFilmLift("drive end", j)
	require.NoError(t, err)
	require.Equal(t, CauseOilFilm, c.Cause)
	require.InDelta(t, 0.1e-3*(1-0.5*math.Cos(math.Pi/3)), float64(c.Offset.Vertical), 1e-15)
	require.InDelta(t, -0.1e-3*0.5*math.Sin(math.Pi/3), float64(c.Offset.Horizontal), 1e-15)
	j.Turning = Counterclockwise
	d, err := OilFilmLift("drive end", j)
	require.NoError(t, err)
	require.InDelta(t, float64(-c.Offset.Horizontal), float64(d.Offset.Horizontal), 1e-15)
}

func TestMovementErrors(t *testing.T) {
	nan := math.NaN()
	good := Journal{Clearance: 1e-4, Eccentricity: 0.5, Attitude: 30, Turning: Clockwise}
	with := func(f func(j *Journal)) Journal { j := good; f(&j); return j }
	for name, c := range map[string]struct {
		j    Journal
		want error
	}{
		"no clearance": {with(func(j *Journal) { j.Clearance = 0 }), align.ErrOutOfRange},
		"negative":     {with(func(j *Journal) { j.Clearance = -1e-4 }), align.ErrNegative},
		"nan":          {with(func(j *Journal) { j.Clearance = unit.Length(nan) }), align.ErrNotFinite},
		"huge":         {with(func(j *Journal) { j.Clearance = 100 }), align.ErrOutOfRange},
		"ratio":        {with(func(j *Journal) { j.Eccentricity = 1.1 }), align.ErrOutOfRange},
		"nan ratio":    {with(func(j *Journal) { j.Eccentricity = nan }), align.ErrNotFinite},
		"attitude":     {with(func(j *Journal) { j.Attitude = 91 }), align.ErrOutOfRange},
		"nan attitude": {with(func(j *Journal) { j.Attitude = nan }), align.ErrNotFinite},
		"sense":        {with(func(j *Journal) { j.Turning = SenseUnknown }), align.ErrMissing},
		"no sense":     {with(func(j *Journal) { j.Turning = 7 }), align.ErrUnknownKind},
	} {
		_, err := c.j.Shift()
		require.ErrorIs(t, err, c.want, name)
		_, err = OilFilmLift("", c.j)
		require.ErrorIs(t, err, c.want, name)
	}
	_, err := GearShift("", 1e-4, align.Clock(nan))
	require.ErrorIs(t, err, align.ErrNotFinite)

	bad := StationMovement{Contributions: []Contribution{{}, {Cause: 99}}}
	_, err = bad.Total()
	require.ErrorIs(t, err, align.ErrUnknownKind)
	require.ErrorContains(t, err, "contributions[1].cause")
	bad = StationMovement{Contributions: []Contribution{{Offset: align.Offset{Horizontal: unit.Length(nan)}}}}
	_, err = MovementAxis(StationMovement{Station: 1}, bad)
	require.ErrorContains(t, err, "second.contributions[0].offset.horizontal")
	_, err = MovementAxis(bad, StationMovement{})
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, err = StationMovement{Station: unit.Length(math.Inf(1))}.Total()
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, err = MovementAxis(StationMovement{Station: 1}, StationMovement{Station: 1})
	require.ErrorIs(t, err, align.ErrCoincident)
	for _, m := range []MeasuredMovement{
		{First: MovedPoint{Station: 1e9}},
		{Second: MovedPoint{Station: 1e9}},
		{First: MovedPoint{Offset: align.Offset{Vertical: 11}}},
		{Second: MovedPoint{Offset: align.Offset{Vertical: 11}}},
	} {
		_, err = m.Axis()
		require.ErrorIs(t, err, align.ErrOutOfRange)
	}
}

func TestCauseWords(t *testing.T) {
	words := map[string]bool{}
	for c := OtherCause; c <= CausePressure+1; c++ {
		words[c.String()] = true
	}
	require.Len(t, words, int(CausePressure)+2)
}
