package closeup

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/svg"
)

// TestCatalogue_EveryStateIsDrawn: the shipped catalogue names no figure,
// attribute or state that cannot be drawn, and we draw none that it has not.
func TestCatalogue_EveryStateIsDrawn(t *testing.T) {
	wanted := map[string]bool{}
	n := 0
	for _, k := range catalog.Shipped().Kinds {
		if k.Figure == "" {
			t.Errorf("kind %s names no figure", k.ID)
			continue
		}
		for _, a := range k.Attributes {
			for _, s := range a.States {
				n++
				p, err := Draw(k.Figure, s.Draw, Options{})
				if err != nil {
					t.Errorf("%s, %s %s: %v", k.ID, a.ID, s.ID, err)
					continue
				}
				if err := p.Check(); err != nil {
					t.Errorf("%s, %s %s: %v", k.ID, a.ID, s.ID, err)
				}
				wanted[key(k.Figure, State{a.ID, s.ID})] = true
			}
		}
	}
	if n < 250 {
		t.Errorf("looked at %d states; the catalogue had more than 250", n)
	}
	for _, f := range Figures() {
		for _, s := range f.States() {
			if !wanted[key(f.ID, s)] {
				t.Errorf("%s is drawn and no kind of the catalogue has it", key(f.ID, s))
			}
		}
	}
}

func TestDraw_SameTwice(t *testing.T) {
	n := 0
	for _, f := range Figures() {
		for _, s := range f.States() {
			n++
			var out [2]bytes.Buffer
			for i := range out {
				p, err := Draw(f.ID, s.Params(), Options{Staff: true})
				if err != nil {
					t.Fatal(err)
				}
				if err := svg.Write(&out[i], p, svg.Options{}); err != nil {
					t.Fatal(err)
				}
			}
			if !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
				t.Errorf("%s is drawn differently the second time", key(f.ID, s))
			}
		}
	}
	if n < 250 {
		t.Errorf("%d states drawn", n)
	}
}

// TestDraw_StudentsAreNotTold: no title that names a state, no numbered links.
func TestDraw_StudentsAreNotTold(t *testing.T) {
	n := 0
	for _, f := range Figures() {
		for _, v := range f.Views {
			titles := map[string]bool{}
			for _, a := range v.Attributes {
				for _, s := range a.States {
					n++
					p, err := Draw(f.ID, map[string]string{a.ID: s}, Options{})
					if err != nil {
						t.Fatal(err)
					}
					titles[p.Title+"\n"+p.Desc] = true
				}
			}
			if len(titles) != 1 {
				t.Errorf("%s: the titles of its states differ: %v", f.ID, slices.Collect(maps.Keys(titles)))
			}
		}
	}
	if n < 250 {
		t.Errorf("%d states drawn", n)
	}
	count := map[string]string{"count": "one-more"}
	words := map[bool][]string{}
	for _, staff := range []bool{false, true} {
		p, err := Draw("grab-hook", count, Options{Staff: staff})
		if err != nil {
			t.Fatal(err)
		}
		words[staff] = texts(p.Items)
	}
	for i := 1; i <= 7; i++ { // plan 6, one more held
		if got := fmt.Sprint(i); slices.Contains(words[false], got) || !slices.Contains(words[true], got) {
			t.Errorf("link %d: student's words %v, staff's %v", i, words[false], words[true])
		}
	}
}

func texts(items []draw.Item) []string {
	var out []string
	for _, it := range items {
		switch it := it.(type) {
		case draw.Text:
			out = append(out, it.S)
		case *draw.Group:
			out = append(out, texts(it.Items)...)
		}
	}
	return out
}

// TestCount_AsManyLinksAsHeld counts the numbers beside the links, for counts in
// every scale.
func TestCount_AsManyLinksAsHeld(t *testing.T) {
	for _, c := range []struct {
		planned, state string
		want           int
	}{
		{"6", "planned", 6},
		{"6", "one-more", 7},
		{"6", "one-less", 5},
		{"6", "five-more", 11},
		{"6", "five-less", 1},
		{"1", "one-less", 1},
		{"10", "five-more", 15},
		{"11", "planned", 11},
		{"35", "five-more", 40},
		{"36", "planned", 36},
		{"90", "five-more", 95},
	} {
		p, err := Draw("grab-hook", map[string]string{"count": c.state, "planned-count": c.planned}, Options{Staff: true})
		if err != nil {
			t.Fatal(err)
		}
		got := 0
		for _, s := range texts(p.Items) {
			if strings.Trim(s, "0123456789") == "" {
				got++
			}
		}
		if got != c.want {
			t.Errorf("planned %s, %s: %d links, want %d", c.planned, c.state, got, c.want)
		}
	}
}

func TestDraw_Refuses(t *testing.T) {
	for _, c := range []struct {
		figure string
		params map[string]string
		want   string
	}{
		{"grab-hok", nil, "did you mean grab-hook?"},
		{"unheard-of", nil, "there are grab-hook, keeper"},
		{"keeper", map[string]string{"closd": "open"}, "did you mean closed?"},
		{"keeper", map[string]string{"closed": "ajar"}, "its states are closed, open, on-link"},
		{"grab-hook", map[string]string{"count": "planned", "shape": "opened"}, "not in view together"},
		{"grab-hook", map[string]string{"count": "planned", "planned-count": "0"}, "from 1 to 90"},
		{"grab-hook", map[string]string{"count": "planned", "planned-count": "six"}, "from 1 to 90"},
	} {
		_, err := Draw(c.figure, c.params, Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %v: got error %v, want one with %q", c.figure, c.params, err, c.want)
		}
		if _, err := StudentPNG(c.figure, c.params); err == nil {
			t.Errorf("%s %v: a student's picture is made", c.figure, c.params)
		}
	}
}

func TestFigures_NamesAreGivenOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Figures() {
		if seen[f.ID] {
			t.Errorf("figure %s is there twice", f.ID)
		}
		seen[f.ID] = true
		inside := map[string]bool{}
		for _, v := range f.Views {
			if v.Title == "" || len(v.Attributes) == 0 || v.bar <= 0 {
				t.Errorf("%s: a view lacks its title, attributes or scale bar", f.ID)
			}
			for _, name := range v.names() {
				if inside[name] {
					t.Errorf("%s: %s is in two views", f.ID, name)
				}
				inside[name] = true
			}
			for _, a := range v.Attributes {
				if len(a.States) < 2 || len(a.States) != len(slices.Compact(slices.Sorted(slices.Values(a.States)))) {
					t.Errorf("%s %s: states %v", f.ID, a.ID, a.States)
				}
			}
		}
	}
	if len(seen) < 40 {
		t.Errorf("%d figures", len(seen))
	}
}

// TestFigures_NoColourStandsForAVerdict: states that differ in colour only would be
// alike in grey. Brightness is all that TestStates_CanBeToldApart looks at; here
// the paints: none warns, none is an accent.
func TestFigures_NoColourStandsForAVerdict(t *testing.T) {
	n := 0
	var look func(items []draw.Item, name string)
	look = func(items []draw.Item, name string) {
		for _, it := range items {
			switch it := it.(type) {
			case draw.Path:
				for _, role := range []string{it.Fill.Role, it.Stroke.Paint.Role} {
					n++
					if slices.Contains([]string{"over", "over-wash", "accent", "note", "wash", "leg-high"}, role) {
						t.Errorf("%s is painted with %s", name, role)
					}
				}
			case *draw.Group:
				look(it.Items, name)
			}
		}
	}
	for _, f := range Figures() {
		for _, s := range f.States() {
			p, err := Draw(f.ID, s.Params(), Options{Staff: true})
			if err != nil {
				t.Fatal(err)
			}
			look(p.Items, key(f.ID, s))
		}
	}
	if n < 10000 {
		t.Errorf("%d paints looked at", n)
	}
}

// TestContact writes contact sheets of all figures into the folder named by
// HANGTRUE_CONTACT, for a person to look at; without it, it draws one.
func TestContact(t *testing.T) {
	dir := os.Getenv("HANGTRUE_CONTACT")
	figures := Figures()
	if dir == "" {
		figures = figures[:1]
	}
	for _, f := range figures {
		p, err := Contact(f, 4)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Check(); err != nil {
			t.Errorf("%s: %v", f.ID, err)
		}
		if dir == "" {
			continue
		}
		var buf bytes.Buffer
		if err := png.Encode(&buf, p, 110); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, f.ID+".png"), buf.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := Contact(figures[0], 0); err == nil {
		t.Error("no column is taken")
	}
}
