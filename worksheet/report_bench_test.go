package worksheet

import "testing"

func BenchmarkReport(b *testing.B) {
	for _, file := range []string{"reverse-mm.json", "every-part.json"} {
		v := workedOut(b, file)
		for _, s := range styles {
			b.Run(file+" "+string(s), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := v.Report(s, InBoth); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
