package closeup

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"image"
	stdpng "image/png"
	"runtime"
	"slices"
	"sync"
	"testing"

	"hangtrue/internal/paper/draw/png"
)

// student is a state in a student's colours at half the size, which is enough
// to compare it with others, and for every fourth of them the file itself: the
// pixels of all files would take the tests half a minute.
type student struct {
	img  *image.Paletted
	file []byte
}

const halfSize = StudentPixels / 2

var drawn = struct {
	sync.Mutex
	by map[string]student
}{by: map[string]student{}}

// all draws every state of every figure that is looked at.
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
	for _, f := range looked() {
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
			p, err := Draw(j.figure, j.state.Params(), Options{})
			if err != nil {
				errs[i] = err
				return
			}
			img, err := png.Render(p, dpi/2)
			if err != nil {
				errs[i] = err
				return
			}
			results[i].img = indexed(img)
			if i%4 == 0 {
				results[i].file, errs[i] = StudentPNG(j.figure, j.state.Params())
			}
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

// looked are the figures that are turned into pixels: all, or a third of them
// in a short run.
func looked() []Figure {
	all := Figures()
	if !testing.Short() {
		return all
	}
	var out []Figure
	for i := 0; i < len(all); i += 3 {
		out = append(out, all[i])
	}
	return out
}

// atLeast is n, or a fifth of it in a short run: as many things a loop must have
// looked at.
func atLeast(n int) int {
	if testing.Short() {
		return n / 5
	}
	return n
}

func key(figure string, s State) string { return figure + "/" + s.Attribute + "/" + s.State }

// TestStates_CanBeToldApart: any two states of one attribute differ in
// enough pixels and strongly enough to be seen at arm's length.
func TestStates_CanBeToldApart(t *testing.T) {
	pictures := all(t)
	pairs := 0
	for _, f := range looked() {
		for _, v := range f.Views {
			for _, a := range v.Attributes {
				for i, s := range a.States {
					for _, other := range a.States[:i] {
						pairs++
						one, two := pictures[key(f.ID, State{a.ID, s})].img, pictures[key(f.ID, State{a.ID, other})].img
						// In a picture of 100 mm by 100 mm, 0.1 % is a stroke of 1 mm
						// by 10 mm or a figure 4 mm high: legible at arm's length,
						// where 1 mm is 5 minutes of arc, the stroke of what normal
						// sight just reads. A fifth of full scale in brightness is
						// a pale fill against paper and more.
						if got := differing(one, two); got < 0.001 {
							t.Errorf("%s %s: %s and %s differ in %.2f %% of their pixels, want 0.1 %%", f.ID, a.ID, s, other, 100*got)
						}
					}
				}
			}
		}
	}
	if pairs < atLeast(200) {
		t.Errorf("compared %d pairs of states", pairs)
	}
}

// differing is the share of pixels whose brightness differs by a fifth or more.
// The pictures have one palette.
func differing(a, b *image.Paletted) float64 {
	var bright [256]int
	for i, c := range a.Palette {
		r, g, b, _ := c.RGBA()
		bright[i] = int((299*r + 587*g + 114*b) / 1000 >> 8)
	}
	n := 0
	for i, at := range a.Pix {
		if d := bright[at] - bright[b.Pix[i]]; d > 51 || d < -51 {
			n++
		}
	}
	return float64(n) / float64(len(a.Pix))
}

// TestStudentPNG_TellsNothingButItsPixels: one size, one length, and no chunk
// beyond what pixels need and the filling.
func TestStudentPNG_TellsNothingButItsPixels(t *testing.T) {
	pictures := all(t)
	longest, n := 0, 0
	for name, p := range pictures {
		if p.file == nil {
			continue
		}
		n++
		if len(p.file) != StudentBytes {
			t.Errorf("%s: %d bytes, want %d", name, len(p.file), StudentBytes)
		}
		img, err := stdpng.Decode(bytes.NewReader(p.file))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := img.Bounds(); got != image.Rect(0, 0, StudentPixels, StudentPixels) {
			t.Errorf("%s: pixels %v", name, got)
		}
		chunks, fill := chunksOf(t, p.file)
		want := []string{"IHDR", "PLTE", "IDAT", "fiLl", "IEND"}
		if got := slices.Compact(chunks); !slices.Equal(got, want) {
			t.Errorf("%s: chunks %v, want %v", name, got, want)
		}
		longest = max(longest, StudentBytes-fill)
	}
	if n < atLeast(60) {
		t.Errorf("%d files looked at", n)
	}
	// Room for those not looked at and to draw more; and not so much that
	// pictures are needlessly long.
	if longest > StudentBytes*3/4 || longest < StudentBytes/4 {
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
	// The picture's own bytes may shrink a little; the filling may not.
	if _, fill := chunksOf(t, file); buf.Len() < fill || fill < StudentBytes/3 {
		t.Errorf("compressed from %d to %d bytes, of which %d are filling", StudentBytes, buf.Len(), fill)
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
	for _, f := range looked() {
		for _, v := range f.Views {
			first := pictures[key(f.ID, State{v.Attributes[0].ID, v.Attributes[0].States[0]})].img
			for _, a := range v.Attributes {
				for _, s := range a.States {
					n++
					img := pictures[key(f.ID, State{a.ID, s})].img
					// The bar's strip: the lowest 7 mm, as far as the shortest bar and its words.
					for y := halfSize - 7*4; y < halfSize; y++ {
						for x := range 20 * 4 {
							if first.ColorIndexAt(x, y) != img.ColorIndexAt(x, y) {
								t.Fatalf("%s: the scale bar differs at %d, %d", key(f.ID, State{a.ID, s}), x, y)
							}
						}
					}
				}
			}
		}
	}
	if n < atLeast(250) {
		t.Errorf("%d states looked at", n)
	}
}

// The picture for a dark screen is the same pixel for pixel, and as long.
func TestStudentNightPNG_DiffersInItsColoursOnly(t *testing.T) {
	var p, dark *image.Paletted
	for to, draw := range map[**image.Paletted]func(string, map[string]string) ([]byte, error){&p: StudentPNG, &dark: StudentNightPNG} {
		file, err := draw("tag-line", nil)
		if err != nil || len(file) != StudentBytes {
			t.Fatalf("%d bytes, %v", len(file), err)
		}
		img, err := stdpng.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		*to = img.(*image.Paletted)
	}
	if !bytes.Equal(p.Pix, dark.Pix) {
		t.Error("another picture at night")
	}
	bright := func(p *image.Paletted) uint32 { r, _, _, _ := p.At(2, 2).RGBA(); return r >> 8 }
	if bright(p) < 200 || bright(dark) > 80 {
		t.Errorf("the paper is %d by day and %d at night, of 255", bright(p), bright(dark))
	}
}
