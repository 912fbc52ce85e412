package lp_test

import (
	"context"
	"encoding/binary"
	"math"
	"testing"

	"collinear.example/internal/lp"
)

// numbers reads floating-point numbers from fuzz data: mostly small whole ones,
// which make ties, sometimes any bit pattern.
type numbers struct{ data []byte }

func (d *numbers) octet() byte {
	if len(d.data) == 0 {
		return 0
	}
	b := d.data[0]
	d.data = d.data[1:]
	return b
}

func (d *numbers) next() float64 {
	switch b := d.octet(); {
	case b < 160:
		return float64(int(b)%9 - 4)
	case b < 200:
		return float64(int8(d.octet())) * math.Pow(10, float64(int(b)%13-6))
	case b < 215:
		return math.Inf(1)
	case b < 230:
		return math.Inf(-1)
	case len(d.data) >= 8:
		v := math.Float64frombits(binary.LittleEndian.Uint64(d.data))
		d.data = d.data[8:]
		return v
	}
	return 0.1
}

func FuzzSolve(f *testing.F) {
	f.Add([]byte("\x02\x03abcdefghijklmnopqrstuvwxyz"))
	f.Add([]byte{1, 1, 0, 210, 220, 5, 200, 210})
	f.Add([]byte{3, 7, 170, 3, 175, 9, 180, 2, 161, 5, 162, 4, 4, 4, 4, 1, 2, 3, 205, 225})
	f.Fuzz(func(t *testing.T, data []byte) {
		d := &numbers{data}
		n, m := int(d.octet()%5), int(d.octet()%8)
		p := lp.New(n)
		finite := true
		number := func() float64 {
			v := d.next()
			finite = finite && math.Abs(v) <= 0x1p480
			return v
		}
		for j := range n {
			p.C[j] = number()
			p.Lower[j], p.Upper[j] = d.next(), d.next()
		}
		row := make([]float64, n)
		for range m {
			for j := range row {
				row[j] = number()
			}
			p.Add(row, d.next(), d.next())
		}
		for i := range m {
			finite = finite && p.Lo[i] <= p.Hi[i] && p.Lo[i] < math.Inf(1) && p.Hi[i] > math.Inf(-1)
		}
		for j := range n {
			finite = finite && p.Lower[j] <= p.Upper[j] && p.Lower[j] < math.Inf(1) && p.Upper[j] > math.Inf(-1)
		}
		sol, err := p.Solve(context.Background())
		if (err == nil) != finite {
			t.Fatalf("error %v for %+v", err, p)
		}
		if err != nil || sol.Status == lp.Stopped {
			return
		}
		if err := p.Verify(sol, 1e-9); err != nil {
			t.Fatalf("%v: %v: %+v", sol.Status, err, p)
		}
		if sol.Status == lp.Infeasible {
			if bounds, err := p.Conflict(context.Background()); err == nil && len(bounds) == 0 {
				t.Fatalf("infeasible without a conflict: %+v", p)
			}
		}
	})
}
