package counts

import (
	"context"
	"fmt"
	"testing"
)

// BenchmarkChart110 solves the whole map of 110 × 110 pairs on one core and on
// two. Solves counts every hanging of the rig: each pair, and each leg whose
// pull statics leaves open longer and shorter.
func BenchmarkChart110(b *testing.B) {
	for _, tolerance := range []struct{ name, text string }{{"each pair once", "0 mm"}, {"with the cases of leg tolerance", "14 mm"}} {
		r := tolerant(b, "111", "28 mm", "[-5 deg, 0 deg]", true, tolerance.text)
		for _, w := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/%d", tolerance.name, w), func(b *testing.B) {
				b.ReportAllocs()
				pairs := 0
				for b.Loop() {
					m, err := Chart(context.Background(), r, Options{Workers: w})
					if err != nil {
						b.Fatal(err)
					}
					pairs += len(m.Points)
				}
				b.ReportMetric(float64(pairs)/b.Elapsed().Seconds()/float64(w), "pairs/s/core")
			})
		}
	}
}
