package running_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
)

// words are the texts of a page, in the order in which they are drawn.
func words(p *draw.Picture) []string {
	var out []string
	for _, it := range p.Items {
		if x, ok := it.(draw.Text); ok {
			out = append(out, x.S)
		}
	}
	return out
}

func begun() *running.Paper {
	p := &running.Paper{Title: "A paper", Foot: []string{"At the foot"}, Stamp: []string{"Printed today", strings.Repeat("long ", 80)}}
	p.Head = func() {
		if p.Number() > 1 {
			p.Running("A paper", "MARK")
		}
	}
	p.Page()
	return p
}

func TestPaper_EveryPage(t *testing.T) {
	p := begun()
	p.Section("Numbers", look.Space, 20)
	const rows = 150
	var list [][]string
	for i := range rows {
		list = append(list, []string{fmt.Sprint("row ", i), "text"})
	}
	p.Table(p.Columns(0.3, 0.7), []string{"name", "what"}, list, look.Body)
	pages := p.Done()
	if len(pages) < 3 {
		t.Fatalf("%d pages, want 3 at least", len(pages))
	}
	found := 0
	for i, page := range pages {
		said := words(page)
		want := []string{"name", "what", "At the foot", "Printed today", fmt.Sprintf("page %d of %d", i+1, len(pages))}
		if i == 0 {
			want = append(want, "Numbers")
		} else {
			want = append(want, "A paper", "MARK", "Numbers, continued")
		}
		for _, w := range want {
			if n := count(said, w); n != 1 {
				t.Errorf("page %d says %q %d times, want once", i+1, w, n)
			}
		}
		for _, w := range said {
			if strings.HasPrefix(w, "row ") {
				found++
			}
		}
		if want := "A paper"; i == 0 && page.Title != want || i > 0 && page.Title != fmt.Sprintf("%s, page %d", want, i+1) {
			t.Errorf("page %d is called %q", i+1, page.Title)
		}
		if b, f := page.Bounds(), page.Frame(); b.X < 0 || b.Y < 0 || b.X+b.W > f.W || b.Y+b.H > f.H {
			t.Errorf("page %d reaches beyond its paper: %+v", i+1, b)
		}
	}
	if found != rows {
		t.Errorf("%d rows on the pages, want %d", found, rows)
	}
}

func count(list []string, want string) int {
	n := 0
	for _, s := range list {
		if s == want {
			n++
		}
	}
	return n
}

// TestPaper_TooHigh: what is higher than a page begins no page after page.
func TestPaper_TooHigh(t *testing.T) {
	p := begun()
	p.Again = func() { p.Write("again", look.Head) }
	for range 3 {
		p.Need(1000)
	}
	if p.Number() != 1 {
		t.Errorf("on page %d with nothing written, want 1", p.Number())
	}
	p.Write("a line", look.Title)
	for range 3 {
		p.Need(1000)
	}
	if p.Number() != 2 {
		t.Errorf("on page %d, want 2: its head alone is nothing written", p.Number())
	}
}

func TestRow_LongTextIsCutIntoPieces(t *testing.T) {
	p := begun()
	text := strings.TrimSpace(strings.Repeat("word ", 3000))
	p.Row(p.Columns(0.2, 0.8), []string{"long", text}, look.Strong, look.Body)
	var said []string
	for _, page := range p.Done() {
		said = append(said, words(page)...)
	}
	if n := strings.Count(strings.Join(said, " "), "word"); n != 3000 {
		t.Errorf("%d of 3000 words are on the pages", n)
	}
	q := begun()
	q.Longest = 20
	q.Row(q.Columns(1), []string{text}, look.Body)
	if said := words(q.Done()[0]); !slices.Contains(said, "word word word word…") {
		t.Errorf("cut to 20 letters it says %q", said)
	}
}
