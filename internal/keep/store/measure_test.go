package store

import (
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
)

// BenchmarkAddEvents saves one event at a time from forty tablets at once; it
// reports how long a tablet waits.
func BenchmarkAddEvents(b *testing.B) {
	s, err := Open(b.Context(), filepath.Join(b.TempDir(), "school.db"), Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	for _, id := range []string{"rigger", "inspector"} {
		if err := s.AddPerson(b.Context(), people.Person{ID: id}, ""); err != nil {
			b.Fatal(err)
		}
	}
	const tablets = 40
	var mu sync.Mutex
	var waits []time.Duration
	var wg sync.WaitGroup
	b.ResetTimer()
	for tablet := range tablets {
		wg.Go(func() {
			for _, e := range walk(made("i", tablet), made("d", tablet), b.N/tablets+1) {
				start := time.Now()
				out, err := s.AddEvents(b.Context(), []inspection.Event{e}, "inspector")
				if err != nil || out[0].Refused != nil {
					b.Error(out, err)
					return
				}
				mu.Lock()
				waits = append(waits, time.Since(start))
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	slices.Sort(waits)
	b.ReportMetric(float64(waits[len(waits)/2].Microseconds())/1000, "ms-median")
	b.ReportMetric(float64(waits[len(waits)*99/100].Microseconds())/1000, "ms-99%")
}
