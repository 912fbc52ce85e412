package whatif_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"collinear.example/whatif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func number(t *testing.T, table *whatif.Table, row, column int) float64 {
	t.Helper()
	v, ok := table.Number(row, column)
	require.True(t, ok)
	return v
}

// The foot moves for four sags of both brackets, by hand: -(1.25 S + 4.85) and
// -(3.75 S + 10.35) mil.
func TestSagByHand(t *testing.T) {
	s := footStudy()
	k := whatif.RangeWith("sag", align.UnitMil, setSag, 0, -6*align.Mil, 4)
	table, err := s.Run(context.Background(), whatif.Each(k), whatif.Options{})
	require.NoError(t, err)
	require.Equal(t, 4, table.Len())
	require.Zero(t, table.Failed())
	for row, sag := range []float64{0, -2, -4, -6} {
		v, ok := table.Value(row, 0)
		require.True(t, ok)
		assert.InDelta(t, sag*0.0254e-3, v, 1e-15)
		assert.InDelta(t, -(1.25*sag+4.85)*0.0254e-3, number(t, table, row, 0), 1e-12)
		assert.InDelta(t, -(3.75*sag+10.35)*0.0254e-3, number(t, table, row, 1), 1e-12)
	}
	words, ok := table.Text(3, 2)
	assert.True(t, ok)
	assert.Equal(t, "over", words)
	_, ok = table.Number(0, 2)
	assert.False(t, ok)
	_, ok = table.Text(0, 0)
	assert.False(t, ok)
	_, ok = table.Value(4, 0)
	assert.False(t, ok)
}

func TestGridOrderAndSize(t *testing.T) {
	s := plainStudy(func(p *pair) (float64, error) { return 100*p.X + 10*p.Y + p.Z, nil })
	c := whatif.Grid(whatif.List("x", align.UnitOne, x, 1, 2), whatif.List("y", align.UnitOne, y, 3, 4, 5),
		whatif.Range("z", align.UnitOne, z, 6, 7, 2))
	rows, err := c.Rows()
	require.NoError(t, err)
	require.Equal(t, 2*3*2, rows)
	table, err := s.Run(context.Background(), c, whatif.Options{})
	require.NoError(t, err)
	for row, want := range []float64{136, 137, 146, 147, 156, 157, 236, 237, 246, 247, 256, 257} {
		assert.Equal(t, want, number(t, table, row, 0))
	}
}

func TestPaired(t *testing.T) {
	s := plainStudy(func(p *pair) (float64, error) { return 10*p.X + p.Y, nil })
	table, err := s.Run(context.Background(), whatif.Paired(
		whatif.List("x", align.UnitOne, x, 1, 2, 3), whatif.Range("y", align.UnitOne, y, 9, 5, 3)), whatif.Options{})
	require.NoError(t, err)
	for row, want := range []float64{19, 27, 35} {
		assert.Equal(t, want, number(t, table, row, 0))
	}
}

// Each stratum of each input gives exactly one value: of a range by place, of a
// normal source by its distribution function.
func TestLatinHypercubeStrata(t *testing.T) {
	const n = 257
	s := plainStudy(func(p *pair) (float64, error) { return p.X + p.Y, nil })
	run := func(seed uint64, knobs ...whatif.Knob[pair]) *whatif.Table {
		table, err := s.Run(context.Background(), whatif.LatinHypercube(n, seed, knobs...), whatif.Options{})
		require.NoError(t, err)
		return table
	}
	normal := whatif.Deviation(align.UnitOne, uncertainty.Vary("y", uncertainty.Normal(2.0), y))
	ranged := whatif.Range("x", align.UnitOne, x, -3, 5, 2)
	table := run(7, ranged, normal)
	var seen, drawn [n]int
	for row := range n {
		v, _ := table.Value(row, 0)
		seen[int((v+3)/8*n)]++
		d, _ := table.Value(row, 1)
		drawn[int(n*math.Erfc(-d/2/math.Sqrt2)/2)]++
		assert.InDelta(t, v+d, number(t, table, row, 0), 1e-12) // the deviation is added to 0
	}
	for i := range n {
		assert.Equal(t, 1, seen[i])
		assert.Equal(t, 1, drawn[i])
	}
	assert.Equal(t, "deviation of y", table.Knobs()[1].Name)
	assert.Equal(t, table.String(), run(7, ranged, normal).String())
	assert.NotEqual(t, table.String(), run(8, ranged, normal).String())
	alone := run(7, ranged)
	for row := range n { // a further knob leaves the others as they were
		a, _ := alone.Value(row, 0)
		b, _ := table.Value(row, 0)
		assert.Equal(t, a, b)
	}
}

func written(t *testing.T, table *whatif.Table) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, table.WriteCSV(&b))
	require.NoError(t, table.WriteJSON(&b))
	require.NoError(t, table.WriteText(&b))
	return b.String()
}

func TestWorkersDoNotShow(t *testing.T) {
	s := plainStudy(func(p *pair) (float64, error) {
		if p.X > 0.9 {
			return 0, errPlain
		}
		return 1 / (p.X - p.Y), nil
	})
	c := whatif.Grid(whatif.Range("x", align.UnitOne, x, 0, 1, 61), whatif.Range("y", align.UnitOne, y, 0, 1, 41))
	var last string
	for _, workers := range []int{1, 4, 0, 1000} {
		most := 0
		table, err := s.Run(context.Background(), c, whatif.Options{Workers: workers, Progress: func(done, of int) {
			assert.Equal(t, 61*41, of)
			most = max(most, done)
		}})
		require.NoError(t, err)
		assert.Equal(t, 61*41, most)
		if last != "" {
			require.Equal(t, last, written(t, table))
		}
		last = written(t, table)
	}
	assert.Contains(t, last, "not-finite")
	assert.Contains(t, last, "row-failed")
}

func TestFailedRowsKeepTheirErrors(t *testing.T) {
	s := footStudy()
	s.Columns = append(s.Columns, whatif.Number("no number", align.UnitMillimetre, 1, func(f feet) float64 {
		return 1 / math.Max(0, float64(f.Moves.Outboard.Vertical))
	}))
	k := whatif.List("dial distance", align.UnitInch, farStation, 8*align.Inch, 0, 34*align.Inch)
	table, err := s.Run(context.Background(), whatif.Each(k), whatif.Options{})
	require.NoError(t, err)
	assert.Equal(t, 2, table.Failed())
	require.NoError(t, table.Err(0))
	require.ErrorIs(t, table.Err(1), align.ErrCoincident)
	// 34 in: -4 + 2.8 x 34/34 = -1.2 mil, so the last column divides by nothing;
	// the others are kept.
	require.ErrorIs(t, table.Err(2), align.ErrNotFinite)
	assert.InDelta(t, -1.2*0.0254e-3, number(t, table, 2, 1), 1e-12)
	_, ok := table.Number(2, 3)
	assert.False(t, ok)
	_, ok = table.Text(1, 2)
	assert.False(t, ok)

	var b bytes.Buffer
	require.NoError(t, table.WriteCSV(&b))
	lines, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"dial distance (in)", "inboard foot (mil)", "outboard foot (mil)", "verdict", "no number (mm)", "error code", "error"}, lines[0])
	assert.Equal(t, []string{"0", "", "", "", "", "coincident-stations"}, lines[2][:6])
	assert.Equal(t, "-1.2", lines[3][2])
	assert.Equal(t, "not-finite", lines[3][5])
	assert.Contains(t, lines[3][6], "column no number")
}

// decoded is the JSON of a table as another program would read it.
type decoded struct {
	Columns []struct{ Name, Unit, Kind string }
	Rows    [][]any
	Errors  []struct {
		Row           int
		Code, Message string
	}
}

func decode(t *testing.T, table *whatif.Table) decoded {
	t.Helper()
	b, err := json.Marshal(table)
	require.NoError(t, err)
	var d decoded
	in := json.NewDecoder(bytes.NewReader(b))
	in.DisallowUnknownFields()
	require.NoError(t, in.Decode(&d))
	return d
}

func TestJSON(t *testing.T) {
	s := footStudy()
	k := whatif.List("dial distance", align.UnitInch, farStation, 8*align.Inch, 0)
	table, err := s.Run(context.Background(), whatif.Each(k), whatif.Options{})
	require.NoError(t, err)
	d := decode(t, table)
	require.Len(t, d.Columns, 4)
	assert.Equal(t, struct{ Name, Unit, Kind string }{"dial distance", "in", "input"}, d.Columns[0])
	assert.Equal(t, struct{ Name, Unit, Kind string }{"verdict", "", "text"}, d.Columns[3])
	assert.Equal(t, []any{8.0, 0.9, 7.9, "over"}, d.Rows[0])
	assert.Equal(t, []any{0.0, nil, nil, nil}, d.Rows[1])
	require.Len(t, d.Errors, 1)
	assert.Equal(t, 1, d.Errors[0].Row)
	assert.Equal(t, "coincident-stations", d.Errors[0].Code)
}

func TestSpreadsheetGuard(t *testing.T) {
	for _, word := range []string{"=1+1", "+1", "-1", "@x", "\tx", "\rx"} {
		s := whatif.Study[pair, string]{Compute: func(*pair) (string, error) { return word, nil },
			Columns: []whatif.Column[string]{whatif.Text(word, func(s string) string { return s })}}
		table, err := s.Run(context.Background(), whatif.Each(whatif.List("x", align.UnitOne, x, -1)), whatif.Options{})
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, table.WriteCSV(&b))
		lines, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, []string{"x", "'" + word}, lines[0])
		assert.Equal(t, []string{"-1", "'" + word}, lines[1], "a number is not guarded")
	}
}

func TestCancelled(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	n := 0
	s := plainStudy(func(p *pair) (float64, error) {
		if n++; n == 37 {
			stop()
		}
		return p.X, nil
	})
	_, err := s.Run(ctx, whatif.Each(whatif.Range("x", align.UnitOne, x, 0, 1, 100)), whatif.Options{Workers: 1})
	require.ErrorIs(t, err, uncertainty.ErrCancelled)
	require.ErrorIs(t, err, context.Canceled)
	assert.Contains(t, err.Error(), "37 of 100 rows")
	assert.Equal(t, "cancelled", align.CodeOf(err))
}

// A copy keeps the sweeps of the job apart.
func TestCopy(t *testing.T) {
	s := footStudy()
	s.Copy = uncertainty.CopyReverse
	bottom := whatif.List("bottom", align.UnitMil, func(j *align.ReverseIndicator) *unit.Length {
		return &j.OnFar.Sweep[2].Value
	}, -6.4*align.Mil, -4.4*align.Mil)
	table, err := s.Run(context.Background(), whatif.Each(bottom), whatif.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 7.9*0.0254e-3, number(t, table, 0, 1), 1e-12)
	// e at the far dial falls by half of 2 mil: the move rises by 34/8 of it.
	assert.InDelta(t, (7.9+34.0/8)*0.0254e-3, number(t, table, 1, 1), 1e-12)
	assert.Equal(t, -6.4*align.Mil, s.Job.OnFar.Sweep[2].Value)
}

// A clock position counts degrees, and stays exact.
func TestClock(t *testing.T) {
	s := whatif.Study[align.Reading, align.Clock]{
		Compute: func(r *align.Reading) (align.Clock, error) { return r.At, nil },
		Columns: []whatif.Column[align.Clock]{whatif.Number("at", align.UnitDegree, 1, func(c align.Clock) align.Clock { return c })}}
	k := whatif.List("at", align.UnitDegree, func(r *align.Reading) *align.Clock { return &r.At }, align.Three, align.Six)
	table, err := s.Run(context.Background(), whatif.Each(k), whatif.Options{})
	require.NoError(t, err)
	assert.Equal(t, [][]any{{90.0, 90.0}, {180.0, 180.0}}, decode(t, table).Rows)
	assert.InDelta(t, math.Pi/2, number(t, table, 0, 0), 1e-15)
}

func TestRunFaults(t *testing.T) {
	good := plainStudy(func(p *pair) (float64, error) { return p.X, nil })
	one := whatif.List("x", align.UnitOne, x, 1)
	length := func(*align.ReverseIndicator) *unit.Length { return nil }
	run := func(s whatif.Study[pair, float64], c whatif.Combination[pair]) error {
		_, err := s.Run(context.Background(), c, whatif.Options{})
		return err
	}
	with := func(c whatif.Column[float64]) whatif.Study[pair, float64] {
		s := good
		s.Columns = []whatif.Column[float64]{c}
		return s
	}
	wrong := whatif.List("station", align.UnitMegapascal, length, 1)
	_, wrongUnit := (&whatif.Study[align.ReverseIndicator, feet]{Compute: computeFeet, Columns: footStudy().Columns}).
		Run(context.Background(), whatif.Each(wrong), whatif.Options{})
	_, workers := good.Run(context.Background(), whatif.Each(one), whatif.Options{Workers: -1})
	source := uncertainty.Vary("x", uncertainty.Normal(1.0), x)
	big := func(n int) whatif.Knob[pair] { return whatif.Range("x", align.UnitOne, x, 0, 1, n) }
	for name, c := range map[string]struct {
		err  error
		want align.Fault
	}{
		"compute":      {run(whatif.Study[pair, float64]{}, whatif.Each(one)), align.ErrMissing},
		"columns":      {run(whatif.Study[pair, float64]{Compute: good.Compute}, whatif.Each(one)), uncertainty.ErrNoOutputs},
		"column zero":  {run(with(whatif.Column[float64]{Name: "x"}), whatif.Each(one)), align.ErrMissing},
		"column name":  {run(with(whatif.Number("", align.UnitOne, 1, itself)), whatif.Each(one)), align.ErrMissing},
		"column unit":  {run(with(whatif.Number("a", "cubit", 1, itself)), whatif.Each(one)), align.ErrUnknownUnit},
		"decimals":     {run(with(whatif.Number("a", align.UnitOne, 13, itself)), whatif.Each(one)), align.ErrOutOfRange},
		"no knobs":     {run(good, whatif.Grid[pair]()), align.ErrMissing},
		"combination":  {run(good, whatif.Combination[pair]{}), align.ErrMissing},
		"knob zero":    {run(good, whatif.Each(whatif.Knob[pair]{})), align.ErrMissing},
		"field":        {run(good, whatif.Each(whatif.List[pair, float64]("x", align.UnitOne, nil, 1))), align.ErrMissing},
		"no values":    {run(good, whatif.Each(whatif.List("x", align.UnitOne, x))), align.ErrMissing},
		"not finite":   {run(good, whatif.Each(whatif.List("x", align.UnitOne, x, 1, math.NaN()))), align.ErrNotFinite},
		"too wide":     {run(good, whatif.Each(whatif.Range("x", align.UnitOne, x, -1.7e308, 1.7e308, 3))), align.ErrNotFinite},
		"overflow":     {run(good, whatif.Each(whatif.List("x", align.UnitMillimetre, x, 1e307))), align.ErrNotFinite},
		"one of range": {run(good, whatif.Each(big(1))), align.ErrOutOfRange},
		"huge range":   {run(good, whatif.Each(big(math.MaxInt))), whatif.ErrTooManyRows},
		"huge grid":    {run(good, whatif.Grid(big(1<<19), big(2))), whatif.ErrTooManyRows},
		"pairs":        {run(good, whatif.Paired(big(2), big(3))), align.ErrMismatch},
		"drawn grid":   {run(good, whatif.Each(whatif.Deviation(align.UnitOne, source))), whatif.ErrNotListed},
		"listed cube":  {run(good, whatif.LatinHypercube(9, 1, one)), whatif.ErrNotARange},
		"empty cube":   {run(good, whatif.LatinHypercube(0, 1, big(2))), align.ErrOutOfRange},
		"huge cube":    {run(good, whatif.LatinHypercube(math.MaxInt, 1, big(2))), whatif.ErrTooManyRows},
		"no spread":    {run(good, whatif.LatinHypercube(9, 1, whatif.Deviation(align.UnitOne, uncertainty.Vary("x", uncertainty.Distribution[float64]{}, x)))), align.ErrMissing},
		"far draws":    {run(good, whatif.LatinHypercube(9, 1, whatif.Deviation(align.UnitMillimetre, uncertainty.Vary("x", uncertainty.Normal(1e307), x)))), align.ErrNotFinite},
		"wrong unit":   {wrongUnit, align.ErrWrongUnit},
		"workers":      {workers, align.ErrNegative},
	} {
		require.ErrorIs(t, c.err, c.want, name)
		var input *align.InputError
		require.ErrorAs(t, c.err, &input, name)
		assert.True(t, strings.HasPrefix(c.err.Error(), "whatif: ") || name == "no spread", c.err.Error())
		assert.NotEmpty(t, input.Field, name)
	}
	require.ErrorIs(t, run(good, whatif.Grid(big(1<<19), big(1))), align.ErrOutOfRange)
}
