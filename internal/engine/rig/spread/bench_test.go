package spread

import (
	"context"
	"fmt"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig/rigfile"
)

// BenchmarkRun10000 solves 10,000 cases on one core and on two, without the
// effects.
func BenchmarkRun10000(b *testing.B) {
	for _, d := range demo.Rigs() {
		if d.Name != "crate-off-centre" && d.Name != "drums-side-by-side" {
			continue
		}
		r, _ := rigfile.Read(d.Data)
		for _, w := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/%d", d.Name, w), func(b *testing.B) {
				b.ReportAllocs()
				n := 0
				for b.Loop() {
					s, err := Run(context.Background(), r, Options{Tolerances: Defaults(), Seed: 1, Workers: w, NoEffects: true})
					if err != nil {
						b.Fatal(err)
					}
					n += s.Cases
				}
				b.ReportMetric(float64(n)/b.Elapsed().Seconds()/float64(w), "cases/s/core")
			})
		}
	}
}
