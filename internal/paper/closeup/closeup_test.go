package closeup

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"image"
	stdpng "image/png"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/svg"
)

// student is a student's picture, drawn once for all tests that look at it.
type student struct {
	file []byte
	img  image.Image
}

var drawn = struct {
	sync.Mutex
	by map[string]student
}{by: map[string]student{}}

// all draws every state of every figure as a student's picture.
func all(t *testing.T) map[string]student {
	t.Helper()
	drawn.Lock()
	defer drawn.Unlock()
	if len(drawn.by) > 0 {
		return drawn.by
	}
	type job struct {
		figure string
		state  State
	}
	var jobs []job
	for _, f := range Figures() {
		for _, s := range f.States() {
			jobs = append(jobs, job{f.ID, s})
		}
	}
	results, errs := make([]student, len(jobs)), make([]error, len(jobs))
	var wg sync.WaitGroup
	slots := make(chan struct{}, runtime.NumCPU())
	for i, j := range jobs {
		wg.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			file, err := StudentPNG(j.figure, j.state.Params())
			if err != nil {
				errs[i] = err
				return
			}
			img, err := stdpng.Decode(bytes.NewReader(file))
			results[i], errs[i] = student{file, img}, err
		})
	}
	wg.Wait()
	for i, j := range jobs {
		if errs[i] != nil {
			t.Fatalf("%s %v: %v", j.figure, j.state, errs[i])
		}
		drawn.by[key(j.figure, j.state)] = results[i]
	}
	return drawn.by
}

func key(figure string, s State) string { return figure + "/" + s.Attribute + "/" + s.State }

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

// TestStates_CanBeToldApart: any two states of one attribute differ, at a
// student's size, in enough pixels and strongly enough to be seen at arm's length.
func TestStates_CanBeToldApart(t *testing.T) {
	pictures := all(t)
	pairs := 0
	for _, f := range Figures() {
		for _, v := range f.Views {
			for _, a := range v.Attributes {
				for i, s := range a.States {
					for _, other := range a.States[:i] {
						pairs++
						one, two := pictures[key(f.ID, State{a.ID, s})].img, pictures[key(f.ID, State{a.ID, other})].img
						// A picture of 100 mm: 0.3 % of it is a spot of 5.5 mm by
						// 5.5 mm, about a link of chain. A fifth of full scale in
						// brightness is a pale fill against paper and more.
						if got := differing(one, two); got < 0.003 {
							t.Errorf("%s %s: %s and %s differ in %.2f %% of their pixels, want 0.3 %%", f.ID, a.ID, s, other, 100*got)
						}
					}
				}
			}
		}
	}
	if pairs < 200 {
		t.Errorf("compared %d pairs of states, want 200 or more", pairs)
	}
}

// differing is the share of pixels whose brightness differs by a fifth or more.
func differing(a, b image.Image) float64 {
	r := a.Bounds()
	n := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if d := bright8(a, x, y) - bright8(b, x, y); d > 51 || d < -51 {
				n++
			}
		}
	}
	return float64(n) / float64(r.Dx()*r.Dy())
}

func bright8(m image.Image, x, y int) int {
	r, g, b, _ := m.At(x, y).RGBA()
	return int((299*r + 587*g + 114*b) / 1000 >> 8)
}

// TestStudentPNG_TellsNothingButItsPixels: one size, one length, and no chunk
// beyond what pixels need and the filling.
func TestStudentPNG_TellsNothingButItsPixels(t *testing.T) {
	pictures := all(t)
	longest := 0
	for name, p := range pictures {
		if len(p.file) != StudentBytes {
			t.Errorf("%s: %d bytes, want %d", name, len(p.file), StudentBytes)
		}
		if got := p.img.Bounds(); got != image.Rect(0, 0, StudentPixels, StudentPixels) {
			t.Errorf("%s: pixels %v", name, got)
		}
		chunks, fill := chunksOf(t, p.file)
		want := []string{"IHDR", "IDAT", "fiLl", "IEND"}
		if got := slices.Compact(chunks); !slices.Equal(got, want) {
			t.Errorf("%s: chunks %v, want %v", name, got, want)
		}
		longest = max(longest, StudentBytes-fill)
	}
	if len(pictures) < 250 {
		t.Errorf("%d pictures looked at", len(pictures))
	}
	// Room to draw more; and not so much that pictures are needlessly long.
	if longest > StudentBytes*95/100 || longest < StudentBytes/3 {
		t.Errorf("the longest picture needs %d bytes of %d", longest, StudentBytes)
	}
}

// chunksOf lists the names of a PNG file's chunks and the length of the filling.
func chunksOf(t *testing.T, file []byte) (names []string, fill int) {
	t.Helper()
	for rest := file[8:]; len(rest) >= 12; {
		n := int(binary.BigEndian.Uint32(rest))
		name := string(rest[4:8])
		names = append(names, name)
		if name == "fiLl" {
			fill = n
		}
		rest = rest[12+n:]
	}
	return names, fill
}

// TestStudentPNG_DoesNotShrinkOnItsWay: a server or proxy that compresses must
// not bring the true lengths back.
func TestStudentPNG_DoesNotShrinkOnItsWay(t *testing.T) {
	file, err := StudentPNG("tag-line", nil)
	if err != nil {
		t.Fatal(err)
	}
	var buf bytes.Buffer
	w, _ := flate.NewWriter(&buf, flate.BestCompression)
	if _, err := w.Write(file); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	// Some of the picture's own bytes may shrink; the filling may not.
	if buf.Len() < StudentBytes*98/100 {
		t.Errorf("compressed from %d to %d bytes", StudentBytes, buf.Len())
	}
}

func TestPad_RefusesWhatIsTooLong(t *testing.T) {
	if _, err := pad(make([]byte, 100), 111); err == nil {
		t.Error("100 bytes and the frame of a chunk are 112, and 111 are taken")
	}
	got, err := pad(make([]byte, 100), 112)
	if err != nil || len(got) != 112 {
		t.Errorf("got %d bytes and %v, want 112", len(got), err)
	}
}

// TestStates_KeepFrameAndScale: whatever the states, the scale bar and the card
// with the plan are the same to the pixel.
func TestStates_KeepFrameAndScale(t *testing.T) {
	pictures := all(t)
	n := 0
	for _, f := range Figures() {
		for _, v := range f.Views {
			first := pictures[key(f.ID, State{v.Attributes[0].ID, v.Attributes[0].States[0]})].img
			for _, a := range v.Attributes {
				for _, s := range a.States {
					n++
					img := pictures[key(f.ID, State{a.ID, s})].img
					// The bar's strip: the lowest 7 mm, as far as the shortest bar and its words.
					for y := StudentPixels - 7*8; y < StudentPixels; y++ {
						for x := range 20 * 8 {
							if first.At(x, y) != img.At(x, y) {
								t.Fatalf("%s: the scale bar differs at %d, %d", key(f.ID, State{a.ID, s}), x, y)
							}
						}
					}
				}
			}
		}
	}
	if n < 250 {
		t.Errorf("%d states looked at", n)
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
		{"6", "planned", 6}, {"6", "one-more", 7}, {"6", "one-less", 5}, {"6", "five-more", 11}, {"6", "five-less", 1},
		{"1", "one-less", 1}, {"10", "five-more", 15}, {"11", "planned", 11}, {"35", "five-more", 40}, {"36", "planned", 36}, {"90", "five-more", 95},
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

// TestFigures_NoColourSpeaksAlone: states that differ in colour only would be
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
