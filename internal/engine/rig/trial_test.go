package rig_test

import (
	"math"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// A trial of a rig as planned says what the full answer says, and a trial of
// other counts what the full answer of the rig with those counts says.
func TestTrial_AgreesWithHang(t *testing.T) {
	rigs := demo.Rigs()
	if len(rigs) < 10 {
		t.Fatalf("%d demo rigs", len(rigs))
	}
	tried := 0
	for _, d := range rigs {
		r, problems := rigfile.Read(d.Data)
		if r == nil {
			t.Fatalf("%s: %v", d.Name, problems)
		}
		trial, err := rig.NewTrial(r)
		if err != nil {
			t.Fatalf("%s: %v", d.Name, err)
		}
		for _, by := range []int{0, 1, -1, 3} {
			counts := make([]int, len(r.Legs()))
			other := map[string]int{}
			for i, l := range r.Legs() {
				if l.Count != nil && i%2 == 0 {
					counts[i] = *l.Count + by
					other[l.ID] = counts[i]
				}
			}
			changed, err := r.WithCounts(other)
			if err != nil {
				continue // beyond the chain
			}
			want, err := rig.Hang(changed)
			if err != nil {
				t.Fatal(err)
			}
			got := trial.Try(rig.Change{Counts: counts})
			tried++
			for i := range want.Legs {
				// warm and cold starts settle to the same residual, not to the same digits
				if math.Abs(got.Tension[i]-want.Legs[i].Tension) > 1e-4*r.Weight() {
					t.Errorf("%s %+d: leg %s %.2f N, hang says %.2f N", d.Name, by, want.Legs[i].ID, got.Tension[i], want.Legs[i].Tension)
				}
			}
			g, ok := governingForce(want)
			if ok && math.Abs(got.Use-g) > 1e-3 {
				t.Errorf("%s %+d: highest share of a limit %.4f, hang says %.4f (%s)", d.Name, by, got.Use, g, got.About)
			}
		}
	}
	if tried < 2*len(rigs) {
		t.Fatalf("only %d trials", tried)
	}
}

func governingForce(a *rig.Answer) (float64, bool) {
	best, ok := 0.0, false
	for _, c := range a.Checks {
		if c.Force {
			best, ok = math.Max(best, c.Use()), true
		}
	}
	return best, ok
}

func BenchmarkTry(b *testing.B) {
	r, _ := rigfile.Read(demo.Rigs()[2].Data)
	trial, err := rig.NewTrial(r)
	if err != nil {
		b.Fatal(err)
	}
	counts := make([]int, len(r.Legs()))
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		for k := range counts {
			counts[k] = 5 + (i+k)%10
		}
		trial.Try(rig.Change{Counts: counts})
	}
}

func BenchmarkHang(b *testing.B) {
	r, _ := rigfile.Read(demo.Rigs()[2].Data)
	for b.Loop() {
		rig.Hang(r)
	}
}

// BenchmarkSolve compares a solve from the neighbour one link off, from the rig
// as planned and from the ground, along the rows of a count map.
func BenchmarkSolve(b *testing.B) {
	for _, name := range []string{"crate-off-centre", "trailer-front-and-rear", "drums-side-by-side"} {
		for _, d := range demo.Rigs() {
			if d.Name != name {
				continue
			}
			r, _ := rigfile.Read(d.Data)
			trial, err := rig.NewTrial(r)
			if err != nil {
				b.Fatal(err)
			}
			counts := make([]int, len(r.Legs()))
			for _, from := range []string{"last", "plan", "ground"} {
				b.Run(name+"/"+from, func(b *testing.B) {
					b.ReportAllocs()
					for i := -1; b.Loop(); i++ {
						for k := range counts {
							counts[k] = 0
							if k < 2 && r.Legs()[k].Chain != nil {
								counts[k] = 3 + max(i, 0)%64
							}
						}
						start := from
						if i%64 <= 0 && from == "last" {
							start = "plan"
						}
						if !trial.TestOnlySolve(rig.Change{Counts: counts}, start) {
							b.Fatal("not settled")
						}
					}
				})
			}
		}
	}
}
