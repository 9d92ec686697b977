package proof_test

import (
	"bytes"
	"fmt"
	"image"
	stddraw "image/draw"
	stdpng "image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/proof"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/policy/extra"
)

const (
	dpi   = 200
	block = 8 // pixels: a millimetre
)

// pictures are what the back-ends are compared by.
func pictures() map[string]*draw.Picture {
	return map[string]*draw.Picture{"sheet": proof.Sheet(), "charts": proof.Charts()}
}

// TestSVGAgreesWithPNG renders the SVG by librsvg and compares it with our pixels.
func TestSVGAgreesWithPNG(t *testing.T) {
	rsvg := extra.Need(t, "rsvg")
	for name, p := range pictures() {
		in, out := file(t, "p.svg", func(w io.Writer) error { return svg.Write(w, p, svg.Options{Background: true}) }), filepath.Join(t.TempDir(), "p.png")
		run(t, rsvg, "-d", strconv.Itoa(dpi), "-p", strconv.Itoa(dpi), in, "-o", out)
		compare(t, name, out, p)
	}
}

// TestPDFAgreesWithPNG renders the PDF by poppler and compares it with our pixels.
func TestPDFAgreesWithPNG(t *testing.T) {
	text := extra.Need(t, "poppler")
	ppm := filepath.Join(filepath.Dir(text), "pdftoppm") // of the same package
	for name, p := range pictures() {
		in := file(t, "p.pdf", func(w io.Writer) error { return pdf.Write(w, p, pdf.Meta{}) })
		out := filepath.Join(t.TempDir(), "p")
		run(t, ppm, "-r", strconv.Itoa(dpi), "-singlefile", "-png", in, out)
		compare(t, name, out+".png", p)
	}
}

// TestEmbeddedFontShows opens an SVG that carries its font in a browser. The
// fonts that it would fall back to are taken out of the file, so that letters
// of the right width and shape can only come from the cut font.
func TestEmbeddedFontShows(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds to start")
	}
	browser := extra.Need(t, "browser")
	p := proof.Sheet()
	in := file(t, "p.svg", func(w io.Writer) error {
		var b bytes.Buffer
		if err := svg.Write(&b, p, svg.Options{EmbedFont: true, Background: true}); err != nil {
			return err
		}
		doc := b.String()
		for _, fallback := range []string{", DejaVu Sans, Verdana, sans-serif", ", DejaVu Sans Mono, monospace"} {
			if !strings.Contains(doc, fallback) {
				return fmt.Errorf("no fallback %q in the file", fallback)
			}
			doc = strings.ReplaceAll(doc, fallback, ", serif")
		}
		_, err := io.WriteString(w, doc)
		return err
	})
	out := filepath.Join(t.TempDir(), "p.png")
	run(t, browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
		"--user-data-dir="+t.TempDir(), fmt.Sprintf("--force-device-scale-factor=%.6f", dpi/96.0), "--window-size=800,600",
		"--hide-scrollbars", "--screenshot="+out, "file://"+in)
	compare(t, "embedded", out, p)
}

func file(t *testing.T, name string, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func run(t *testing.T, program string, args ...string) {
	t.Helper()
	if out, err := exec.Command(program, args...).CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%s", filepath.Base(program), err, out)
	}
}

// compare holds the other renderer's pixels against ours, both averaged over
// blocks of a square millimetre, so that smoothing of edges and fitting of lines
// and letters to whole pixels count little and what is missing or misplaced
// counts. At 200 dots per inch librsvg 2.54 differs from ours by a mean of 0.2
// of 255 and poppler 22.12, which fits thin lines, by 1.3; no block by more than
// 41. The limits leave half as much again to other versions, and are still less
// than half of what a shift by half a millimetre gives (TestCompare_SeesAShift).
func compare(t *testing.T, name, other string, p *draw.Picture) {
	t.Helper()
	f, err := os.Open(other)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	theirs, err := stdpng.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	ours, err := png.Render(p, dpi)
	if err != nil {
		t.Fatal(err)
	}
	if size := ours.Bounds(); theirs.Bounds().Dx() > size.Dx()+1 || theirs.Bounds().Dy() > size.Dy()+1 {
		// A browser's picture has the size of its window.
		theirs = pixels(theirs).SubImage(size)
	}
	mean, worst, at := difference(t, ours, theirs)
	t.Logf("%s: mean %.3f, worst block %.1f at %v", name, mean, worst, at)
	if mean > meanLimit || worst > worstLimit {
		t.Errorf("%s: mean difference %.3f (at most %g), worst block %.1f at pixel %v (at most %g)", name, mean, meanLimit, worst, at, worstLimit)
	}
}

const (
	meanLimit  = 2.0
	worstLimit = 60.0
)

func difference(t *testing.T, a, b image.Image) (mean, worst float64, at image.Point) {
	t.Helper()
	w, h := min(a.Bounds().Dx(), b.Bounds().Dx()), min(a.Bounds().Dy(), b.Bounds().Dy())
	if d := a.Bounds().Size().Sub(b.Bounds().Size()); d.X < -1 || d.X > 1 || d.Y < -1 || d.Y > 1 {
		t.Fatalf("sizes %v and %v differ by more than rounding", a.Bounds().Size(), b.Bounds().Size())
	}
	pa, pb := pixels(a), pixels(b)
	n := 0
	for y := 0; y+block <= h; y += block {
		for x := 0; x+block <= w; x += block {
			var sum [3]int
			for v := range block {
				ia, ib := pa.PixOffset(x, y+v), pb.PixOffset(x, y+v)
				for u := range block {
					for c := range sum {
						sum[c] += int(pa.Pix[ia+4*u+c]) - int(pb.Pix[ib+4*u+c])
					}
				}
			}
			d := 0.0
			for _, s := range sum {
				d = max(d, math.Abs(float64(s))/(block*block))
			}
			mean += d
			n++
			if d > worst {
				worst, at = d, image.Pt(x, y)
			}
		}
	}
	if n < 10_000 {
		t.Fatalf("only %d blocks compared", n)
	}
	return mean / float64(n), worst, at
}

func pixels(img image.Image) *image.RGBA {
	if p, ok := img.(*image.RGBA); ok {
		return p
	}
	p := image.NewRGBA(img.Bounds())
	stddraw.Draw(p, p.Bounds(), img, img.Bounds().Min, stddraw.Src)
	return p
}

// TestCompare_SeesAShift shows that the limits above are tight enough to fail.
func TestCompare_SeesAShift(t *testing.T) {
	ours, err := png.Render(proof.Sheet(), dpi)
	if err != nil {
		t.Fatal(err)
	}
	p := proof.Sheet()
	moved := draw.New(p.Width, p.Height, "", "")
	moved.Embed(p, draw.Pt(0.5, 0), 1)
	theirs, err := png.Render(moved, dpi)
	if err != nil {
		t.Fatal(err)
	}
	mean, worst, _ := difference(t, ours, theirs)
	t.Logf("half a millimetre: mean %.3f, worst block %.1f", mean, worst)
	if mean < 2*meanLimit || worst < 1.5*worstLimit {
		t.Errorf("half a millimetre gives a mean of %.3f and a worst block of %.1f: the limits would let it pass", mean, worst)
	}
}
