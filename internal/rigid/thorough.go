package rigid

import "math"

// smallest is the smallest singular value, as a share of the largest, that still
// counts. Below it a figure would be the rounding of the places as entered.
const smallest = 1e-9

// decomposition is A = U S V' while it is found.
type decomposition struct {
	u [Unknowns][]float64 // columns, in the end those of U times S
	v [Unknowns]Vector    // rows of V
}

// thorough finds what the readings determine by singular values. The scale of a
// way that is not free is zero.
func (f *Fit) thorough(rows []Vector, scale *Vector) {
	var d decomposition
	space := make([]float64, len(rows)*Unknowns)
	for j := range Unknowns {
		d.u[j], space = space[:len(rows):len(rows)], space[len(rows):]
		d.v[j][j] = 1
		for i := range rows {
			d.u[j][i] = rows[i][j] * scale[j]
		}
	}
	for range maxSweeps {
		if d.sweep() <= settled {
			break
		}
	}
	f.take(&d)
}

const (
	maxSweeps = 40 // six are usual
	// square is the cosine of two columns, squared, at which they count as square
	// to each other.
	square = 1e-29
	// settled is the largest of these squares in a sweep at which no further one
	// is needed: a sweep leaves about the square of what it found.
	settled = 1e-16
	// nothing is the square of the length of a column, as a share of all, below
	// which the column is rounding. To turn such columns on would never end.
	nothing = 1e-30
)

// sweep makes every pair of columns orthogonal by a rotation (one-sided Jacobi:
// M. R. Hestenes, 1958; from memory). It returns the largest cosine it found,
// squared.
func (d *decomposition) sweep() (largest float64) {
	var size Vector // squares of the lengths; a rotation changes them by t times the product
	all := 0.0
	for j := range Unknowns {
		size[j] = dot(d.u[j], d.u[j])
		all += size[j]
	}
	least := nothing * all
	for p := range Unknowns {
		for q := p + 1; q < Unknowns; q++ {
			if size[p] <= least || size[q] <= least {
				continue
			}
			c := dot(d.u[p], d.u[q])
			cosine := float64(c/size[p]) * float64(c/size[q])
			if cosine <= square {
				continue
			}
			largest = max(largest, cosine)
			z := (size[q] - size[p]) / (2 * c)
			t := math.Copysign(1/(math.Abs(z)+math.Sqrt(1+float64(z*z))), z)
			cos := 1 / math.Sqrt(1+float64(t*t))
			d.rotate(p, q, cos, cos*t)
			size[p] -= float64(t * c)
			size[q] += float64(t * c)
		}
	}
	return largest
}

func (d *decomposition) rotate(p, q int, cos, sin float64) {
	x, y := d.u[p], d.u[q][:len(d.u[p])]
	for i := range x {
		a, b := x[i], y[i]
		x[i], y[i] = float64(cos*a)-float64(sin*b), float64(sin*a)+float64(cos*b)
	}
	for i := range d.v {
		a, b := d.v[i][p], d.v[i][q]
		d.v[i][p], d.v[i][q] = float64(cos*a)-float64(sin*b), float64(sin*a)+float64(cos*b)
	}
}

// take keeps what counts. With s a singular value, u and v its columns, the
// motion is the sum of v (u.y)/s.
func (f *Fit) take(d *decomposition) {
	var s Vector
	lo, hi := math.Inf(1), 0.0
	for j := range Unknowns {
		s[j] = length(d.u[j])
		hi = max(hi, s[j])
	}
	for j := range Unknowns {
		if s[j] <= smallest*hi {
			continue
		}
		lo = min(lo, s[j])
		b, w := &f.basis[f.rank], &f.w[f.rank]
		f.rank++
		for i := range Unknowns {
			b[i] = d.v[i][j]
			w[i] = d.v[i][j] / s[j]
		}
		for k, u := range d.u[j] {
			for i := range Unknowns {
				f.back[k][i] += float64(u / s[j] * w[i])
			}
		}
	}
	if f.rank > 0 {
		f.condition = hi / lo
	}
}

// length returns the length of a column without overflow.
func length(x []float64) float64 {
	top := 0.0
	for _, v := range x {
		top = max(top, math.Abs(v))
	}
	if top == 0 {
		return 0
	}
	n := 0.0
	for _, v := range x {
		n += float64((v / top) * (v / top))
	}
	return top * math.Sqrt(n)
}

func dot(x, y []float64) (s float64) {
	y = y[:len(x)]
	for i := range x {
		s += float64(x[i] * y[i])
	}
	return s
}
