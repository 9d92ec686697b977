package pdf

import (
	"bytes"
	"crypto/sha256"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/proof"
	"hangtrue/internal/policy/extra"
)

var meta = Meta{Author: "Test", Lang: "en-GB", Created: time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)}

func TestWrite_SameTwice(t *testing.T) {
	var fonts [4][32]byte
	for f := range fonts {
		fonts[f] = sha256.Sum256(draw.Face(f).TTF())
	}
	defer func() {
		for f, was := range fonts {
			if sha256.Sum256(draw.Face(f).TTF()) != was {
				t.Errorf("writing has changed the bytes of font %d", f)
			}
		}
	}()
	var a, b bytes.Buffer
	if err := Write(&a, proof.Sheet(), meta); err != nil {
		t.Fatal(err)
	}
	if err := Write(&b, proof.Sheet(), meta); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two writings differ")
	}
	later := meta
	later.Created = later.Created.Add(time.Hour)
	b.Reset()
	if err := Write(&b, proof.Sheet(), later); err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the date is not in the document")
	}
}

func TestWrite_WithoutADateDoesNotAskTheClock(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, proof.Sheet(), Meta{}); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"/CreationDate (D:20000101", "/ModDate (D:20000101"} {
		if !bytes.Contains(b.Bytes(), []byte(key)) {
			t.Errorf("%s… is not in the document", key)
		}
	}
}

func TestWrite_TextIsThereOnce(t *testing.T) {
	pdftotext := extra.Need(t, "poppler")
	p := draw.New(120, 40, "Text & title", "")
	p.Text(draw.Pt(5, 10), "θ ≤ 45° √3 F₁ äöü", look.OnDrawing)
	p.Text(draw.Pt(5, 20), "🚁\x00 (a\\b) bold", look.Strong)
	p.TextTurned(draw.Pt(60, 20), "turned", 0.001, look.Figures)
	file := filepath.Join(t.TempDir(), "text.pdf")
	var b bytes.Buffer
	if err := Write(&b, p, meta); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(pdftotext, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"θ ≤ 45° √3 F₁ äöü", `▯▯ (a\b) bold`, "turned"} {
		if got := strings.Count(string(out), want); got != 1 {
			t.Errorf("%q is found %d times in %q", want, got, out)
		}
	}
}

func TestDraw_LeavesThePenAsItWas(t *testing.T) {
	f := New(200, 150, meta)
	f.AddPage()
	f.SetLineWidth(0.7)
	f.SetDrawColor(1, 2, 3)
	f.SetFillColor(4, 5, 6)
	f.SetTextColor(7, 8, 9)
	f.SetLineCapStyle("square")
	if err := Draw(f, proof.Sheet(), 10, 10, 0.5); err != nil {
		t.Fatal(err)
	}
	if got := f.GetLineWidth(); got != 0.7 {
		t.Errorf("line width is %g", got)
	}
	if r, g, b := f.GetDrawColor(); r != 1 || g != 2 || b != 3 {
		t.Errorf("draw colour is %d %d %d", r, g, b)
	}
	if r, g, b := f.GetFillColor(); r != 4 || g != 5 || b != 6 {
		t.Errorf("fill colour is %d %d %d", r, g, b)
	}
	if r, g, b := f.GetTextColor(); r != 7 || g != 8 || b != 9 {
		t.Errorf("text colour is %d %d %d", r, g, b)
	}
	if got := f.GetLineCapStyle(); got != "square" {
		t.Errorf("cap is %s", got)
	}
}

// What follows a clipped group has its own colour and font, though the group
// used the same ones last.
func TestDraw_AfterAClip(t *testing.T) {
	p := draw.New(40, 40, "", "")
	p.Text(draw.Pt(5, 5), "before", draw.TextStyle{Size: 2, Paint: look.Ink})
	g := p.Group("", "")
	g.Clip = &draw.Rect{W: 20, H: 20}
	g.Text(draw.Pt(1, 8), "inside", draw.TextStyle{Size: 4, Paint: look.Ink})
	g.Rect(draw.Rect{W: 10, H: 10}, draw.Stroke{}, look.Over)
	p.Text(draw.Pt(5, 30), "after", draw.TextStyle{Size: 4, Paint: look.Over})
	f := New(40, 40, meta)
	f.SetCompression(false)
	f.AddPage()
	if err := Draw(f, p, 0, 0, 1); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := f.Output(&out); err != nil {
		t.Fatal(err)
	}
	// The clip ends with the first Q after its rectangle's colour was set.
	_, rest, found := strings.Cut(out.String(), "0.737 0.298 0.000 rg\n")
	_, rest, ended := strings.Cut(rest, "\nQ\n")
	after, _, _ := strings.Cut(rest, "endstream")
	if !found || !ended {
		t.Fatal("no clip with a filled rectangle")
	}
	if !strings.Contains(after, "0.737 0.298 0.000 rg") || !strings.Contains(after, " 11.34 Tf") {
		t.Errorf("after the clip neither the colour nor the font is set anew: %s", after)
	}
}

func TestDraw_Refuses(t *testing.T) {
	if err := Draw(New(10, 10, meta), draw.New(1, 1, "", ""), 0, 0, 1); err == nil {
		t.Error("a document without a page is taken")
	}
	if err := Write(new(bytes.Buffer), draw.New(0, 1, "", ""), meta); err == nil {
		t.Error("a picture without width is taken")
	}
	if err := WriteAll(new(bytes.Buffer), nil, meta); err == nil {
		t.Error("a document of no pages is written")
	}
}

func TestFont_WidthIsAsMeasured(t *testing.T) {
	f := New(100, 100, meta)
	f.AddPage()
	const s = "Hangtrue ≤ 12.5 kN"
	for face := draw.Sans; face <= draw.MonoBold; face++ {
		Font(f, face, 4)
		got, want := f.GetStringWidth(s), face.Width(s, 4)
		// The document's widths are whole thousandths of an em: at most 0.0005 em
		// for each of 18 runes.
		if d := got - want; d > 18*0.0005*4 || d < -18*0.0005*4 {
			t.Errorf("face %d: %q is %.3f mm in the document, measured %.3f", face, s, got, want)
		}
	}
}
