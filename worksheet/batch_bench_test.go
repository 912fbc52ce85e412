package worksheet

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

func BenchmarkEvaluateAll(b *testing.B) {
	r, err := Parse(goodRecords(b)["reverse-mm.json"])
	require.NoError(b, err)
	const batch = 200
	records := numbered(batch, func(int) *Record { return r })
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("workers=%d", workers), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				for e := range EvaluateAll(context.Background(), records, workers) {
					if e.Err != nil {
						b.Fatal(e.Err)
					}
				}
			}
			b.ReportMetric(float64(batch*b.N)/b.Elapsed().Seconds(), "jobs/s")
		})
	}
}
