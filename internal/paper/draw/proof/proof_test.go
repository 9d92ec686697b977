package proof_test

import (
	"bytes"
	"image"
	"image/color"
	stdpng "image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/proof"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/policy/extra"
)

const dpi = 100

// pictures are what the back-ends are compared by.
func pictures() map[string]*draw.Picture {
	return map[string]*draw.Picture{"sheet": proof.Sheet(), "charts": proof.Charts()}
}

// TestSVGAgreesWithPNG renders the SVG by librsvg and compares it with our pixels.
func TestSVGAgreesWithPNG(t *testing.T) {
	rsvg := extra.Need(t, "rsvg")
	for name, p := range pictures() {
		in, out := file(t, "p.svg", func(w io.Writer) error { return svg.Write(w, p, svg.Options{Background: true}) }), filepath.Join(t.TempDir(), "p.png")
		run(t, rsvg, "-d", "100", "-p", "100", in, "-o", out)
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
		run(t, ppm, "-r", "100", "-singlefile", "-png", in, out)
		compare(t, name, out+".png", p)
	}
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
// blocks of 4 by 4 pixels (1 mm), so that smoothing of edges and hinting of
// letters count little and what is missing or misplaced counts.
//
// Ours against librsvg and poppler differ by a mean of 0.3 and 0.5 of 255 and
// by at most 30 in a block, from letters that the others fit to the pixels;
// moving our sheet by half a millimetre gives 4 and 130 (TestCompare_SeesAShift).
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
	mean, worst, at := difference(t, ours, theirs)
	t.Logf("%s: mean %.3f, worst block %.1f at %v", name, mean, worst, at)
	if mean > meanLimit || worst > worstLimit {
		t.Errorf("%s: mean difference %.3f (at most %g), worst block %.1f at pixel %v (at most %g)", name, mean, meanLimit, worst, at, worstLimit)
	}
}

const (
	meanLimit  = 1.0
	worstLimit = 60.0
)

func difference(t *testing.T, a, b image.Image) (mean, worst float64, at image.Point) {
	t.Helper()
	w, h := min(a.Bounds().Dx(), b.Bounds().Dx()), min(a.Bounds().Dy(), b.Bounds().Dy())
	if d := a.Bounds().Size().Sub(b.Bounds().Size()); d.X < -1 || d.X > 1 || d.Y < -1 || d.Y > 1 {
		t.Fatalf("sizes %v and %v differ by more than rounding", a.Bounds().Size(), b.Bounds().Size())
	}
	const block = 4
	n := 0
	for y := 0; y+block <= h; y += block {
		for x := 0; x+block <= w; x += block {
			var d float64
			for _, channel := range []func(color.Color) float64{red, green, blue} {
				var sum float64
				for v := range block * block {
					px, py := x+v%block, y+v/block
					sum += channel(a.At(px, py)) - channel(b.At(px, py))
				}
				d = max(d, sum/(block*block), -sum/(block*block))
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

func red(c color.Color) float64   { r, _, _, _ := c.RGBA(); return float64(r) / 257 }
func green(c color.Color) float64 { _, g, _, _ := c.RGBA(); return float64(g) / 257 }
func blue(c color.Color) float64  { _, _, b, _ := c.RGBA(); return float64(b) / 257 }

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
