package lesson_test

import (
	"testing"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/paper/lesson"
)

func BenchmarkOf(b *testing.B) {
	for _, d := range demo.Rigs() {
		r, _ := rigfile.Read(d.Data)
		v, _ := inspect.Of(r, catalog.Shipped())
		q := inspect.Suggest(v)
		b.Run(d.Name, func(b *testing.B) {
			for b.Loop() {
				lesson.Of(v, q, func(x *inspect.Deficiency) lesson.Outcome { return lesson.Outcome{} })
			}
		})
	}
}
