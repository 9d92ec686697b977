package web

import (
	"net/http"
	"testing"
	"time"
)

// TestSizesAndStart reports how large the pages are and how long the first one
// takes from nothing. It asserts no time.
func TestSizesAndStart(t *testing.T) {
	rigs := demoRigs()
	if len(rigs) < 10 {
		t.Fatalf("only %d rigs", len(rigs))
	}
	start := time.Now()
	s, _ := serving(t, rigs)
	ready := time.Since(start)
	first := ask(t, s, "GET", "/", nil)
	t.Logf("from a cold start: ready after %v, the list of %d rigs after %v; %d bytes", ready.Round(time.Millisecond), len(rigs), time.Since(start).Round(time.Millisecond), first.Body.Len())
	const most = 256 << 10 // a page that a telephone on a weak line can still fetch
	for _, name := range sortedKeys(rigs) {
		page := ask(t, s, "GET", rigURL(name), nil)
		if page.Code != http.StatusOK || page.Body.Len() > most {
			t.Errorf("%s: status %d, %d bytes", name, page.Code, page.Body.Len())
		}
		form := draftOf(rigs[name])
		c, _ := do(t, s, name, "read", form)
		t.Logf("%s: page %d bytes, picture in it %d", name, page.Body.Len(), len(c.Parts["picture"]))
	}
	for _, file := range sortedKeys(s.assets.files) {
		t.Logf("%s: %d bytes, once", file, len(s.assets.files[file]))
	}
}

func BenchmarkCountChange(b *testing.B) {
	rigs := demoRigs()
	const name = "trailer-front-and-rear"
	s, _ := serving(b, rigs)
	form := draftOf(rigs[name])
	up := true
	for i := 0; b.Loop(); i++ {
		if i%20 == 0 {
			up = !up
		}
		s.solver = newSolver() // no answer is remembered
		what := "count FL -1"
		if up {
			what = "count FL +1"
		}
		do(b, s, name, what, form)
	}
}
