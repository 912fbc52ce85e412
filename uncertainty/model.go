package uncertainty

import (
	"math"
	"slices"
	"strconv"

	"collinear.example/align"
)

// Bounds on what a model may hold.
const (
	MaxSources = 1000
	MaxOutputs = 200
)

// Output is one answer that is asked of the job.
type Output struct {
	Name string
	Unit align.Unit // in which to print it; the figures themselves are in SI units
}

// Correlation says that the deviations of two sources, told by their names, go
// together with a coefficient from -1 to 1.
type Correlation struct {
	First, Second string
	Coefficient   float64
}

// Model is a job of type J whose inputs are not known exactly, and what is
// wanted of it.
type Model[J any] struct {
	Job J
	// Copy makes dst the same as src, sharing nothing that a Source changes. Nil
	// stands for plain assignment, which does when J holds no slices, maps or
	// pointers; a J with slices copies them into the ones dst already has, so that
	// no trial allocates. CopyReverse and CopyRimAndFace do it for the two jobs of
	// package align.
	Copy func(dst, src *J)

	Sources      []Source[J]
	Correlations []Correlation
	Outputs      []Output

	// Compute works the job out: one number for each of Outputs, in SI units. It
	// may be called from several goroutines at a time, each with a job of its own.
	Compute func(j *J, out []float64) error
}

// Check returns an error when the model cannot be used.
func (m *Model[J]) Check() error {
	switch {
	case m.Compute == nil:
		return fault("compute", "", align.ErrMissing)
	case len(m.Outputs) == 0:
		return fault("outputs", "", ErrNoOutputs)
	case len(m.Outputs) > MaxOutputs:
		return fault("outputs", strconv.Itoa(len(m.Outputs)), align.ErrOutOfRange)
	case len(m.Sources) == 0:
		return fault("sources", "", ErrNoSources)
	case len(m.Sources) > MaxSources:
		return fault("sources", strconv.Itoa(len(m.Sources)), align.ErrOutOfRange)
	}
	for i := range m.Outputs {
		if m.Outputs[i].Unit.Dimension() == align.NoDimension {
			return fault("output "+m.Outputs[i].Name, string(m.Outputs[i].Unit), align.ErrUnknownUnit)
		}
	}
	for i := range m.Sources {
		if err := m.Sources[i].Check(); err != nil {
			return err
		}
	}
	return nil
}

// fresh makes j the job as given.
func (m *Model[J]) fresh(j *J) {
	if m.Copy == nil {
		*j = m.Job
		return
	}
	m.Copy(j, &m.Job)
}

// compute works out job j and checks that the answers are finite.
func (m *Model[J]) compute(j *J, out []float64) error {
	if err := m.Compute(j, out); err != nil {
		return err
	}
	for i, v := range out {
		if v-v != 0 { // not a number or infinite
			return fault("output "+m.Outputs[i].Name, strconv.FormatFloat(v, 'g', -1, 64), align.ErrNotFinite)
		}
	}
	return nil
}

// failed says that the job could not be computed, and where.
func failed(where string, err error) error {
	return &align.InputError{Package: "uncertainty", Field: where, Err: ErrTrialFailed,
		Meaning: meanings[ErrTrialFailed] + ": " + err.Error()}
}

// correlations returns the matrix of coefficients between the sources, nil when
// none are given. It checks that quantities with these coefficients can exist.
func (m *Model[J]) correlations() ([][]float64, error) {
	if len(m.Correlations) == 0 {
		return nil, nil
	}
	n := len(m.Sources)
	r := make([][]float64, n)
	for i := range r {
		r[i] = make([]float64, n)
		r[i][i] = 1
	}
	for k, c := range m.Correlations {
		field := "correlations[" + strconv.Itoa(k) + "]"
		i, err := m.sourceNamed(field+".first", c.First)
		if err != nil {
			return nil, err
		}
		j, err := m.sourceNamed(field+".second", c.Second)
		if err != nil {
			return nil, err
		}
		if i == j || !(math.Abs(c.Coefficient) <= 1) {
			return nil, fault(field, strconv.FormatFloat(c.Coefficient, 'g', -1, 64), ErrCorrelation)
		}
		r[i][j], r[j][i] = c.Coefficient, c.Coefficient
	}
	if _, ok := cholesky(r); !ok {
		return nil, fault("correlations", "", ErrCorrelation)
	}
	return r, nil
}

// sourceNamed returns the one source of that name.
func (m *Model[J]) sourceNamed(field, name string) (int, error) {
	is := func(s Source[J]) bool { return s.Name == name }
	i := slices.IndexFunc(m.Sources, is)
	if i < 0 {
		return 0, fault(field, strconv.Quote(name), align.ErrMismatch)
	}
	if slices.ContainsFunc(m.Sources[i+1:], is) {
		return 0, fault(field, strconv.Quote(name), ErrSameName)
	}
	return i, nil
}

// cholesky returns the lower factor l of a symmetric matrix r = l l', and whether
// r is positive semidefinite to within rounding (standard result).
func cholesky(r [][]float64) (l [][]float64, ok bool) {
	const rounding = 1e-12
	l = make([][]float64, len(r))
	for i := range r {
		l[i] = make([]float64, len(r))
		for j := 0; j <= i; j++ {
			v := r[i][j]
			for k := 0; k < j; k++ {
				v -= float64(l[i][k] * l[j][k])
			}
			switch {
			case i == j && v < -rounding:
				return nil, false
			case i == j:
				l[i][i] = math.Sqrt(max(v, 0))
			case l[j][j] > math.Sqrt(rounding):
				l[i][j] = v / l[j][j]
			case math.Abs(v) > math.Sqrt(rounding):
				return nil, false
			}
		}
	}
	return l, true
}
