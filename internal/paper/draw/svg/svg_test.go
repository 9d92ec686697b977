package svg

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/image/font/sfnt"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/proof"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestWrite_Golden(t *testing.T) {
	// A small picture with one of each, whose numbers are exact on any machine.
	p := draw.New(60, 40, "Golden", "One of each.")
	p.Rect(draw.Rect{X: 1, Y: 1, W: 10.5, H: 8}, look.Outline, look.Load)
	p.Line(draw.Pt(0, 20), draw.Pt(30.1234, 20), look.Hidden)
	star := draw.Path{Stroke: look.Outline, Fill: look.Metal, EvenOdd: true}
	star.Polyline([]draw.Point{{X: 20, Y: 2}, {X: 23, Y: 9}, {X: 17, Y: 5}}, true)
	star.CubicTo(draw.Pt(30, 2), draw.Pt(31, 3), draw.Pt(32, -4))
	p.Add(star)
	p.Text(draw.Pt(5, 30), "  two  spaces & <θ> ", look.Body)
	p.TextTurned(draw.Pt(40, 30), "halo", -90, look.OnDrawing.AsBold().At(draw.Middle, draw.Baseline))
	p.Text(draw.Pt(5, 38), "mono", look.Figures.At(draw.End, draw.Baseline))
	g := p.Group(`part "1"`, "a part")
	g.Transform = draw.Transform{Move: draw.Pt(1, -2), Scale: 0.5, Rotate: 30}
	g.Clip = &draw.Rect{W: 5, H: 6}
	g.Line(draw.Pt(0, 0), draw.Pt(-0.0001, 4), look.Limit)
	var b bytes.Buffer
	if err := Write(&b, p, Options{Background: true}); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join("testdata", "golden.svg")
	if *update {
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b.Bytes(), want) {
		t.Errorf("differs from %s:\n%s", file, b.String())
	}
}

// read walks the file as XML and returns its texts by element.
func read(t *testing.T, doc string) map[string][]string {
	t.Helper()
	texts := map[string][]string{}
	d := xml.NewDecoder(strings.NewReader(doc))
	var open []string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, doc)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			open = append(open, tok.Name.Local)
			for _, a := range tok.Attr {
				if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("attribute %s", a.Name.Local)
				}
			}
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if n := len(open); n > 0 {
				texts[open[n-1]] = append(texts[open[n-1]], string(tok))
			}
		}
	}
}

func TestWrite_HostileStrings(t *testing.T) {
	for _, s := range []string{
		`<&"'>`, "]]>", "</text><script>alert(1)</script>", "\x00\x01\x1f\x7f\u0085", "\ufffe\uffff\xff\xfe",
		"🚁 \u202e abc", "--><!--", "\u2028\u2029", `" onload="x`, "&#0;", "%s%d", "\r\n\t",
	} {
		p := draw.New(50, 20, s, s)
		p.Group(s, s).Text(draw.Pt(1, 10), "x"+s, look.Body)
		doc, err := String(p)
		if err != nil {
			t.Fatal(err)
		}
		got := read(t, doc)
		if len(got["text"]) != 1 || !strings.HasPrefix(got["text"][0], "x") {
			t.Errorf("%q: texts %q", s, got["text"])
		}
		if len(got["script"]) != 0 {
			t.Errorf("%q becomes an element", s)
		}
	}
}

func FuzzWrite(f *testing.F) {
	f.Add("title", "text", 1.0)
	f.Add("<&\"'", "\x00\xff🚁", -0.0001)
	f.Add("", "  ", 1e5)
	f.Fuzz(func(t *testing.T, title, s string, x float64) {
		p := draw.New(50, 20, title, s)
		p.Group(title, s).Text(draw.Pt(x, -x), s, look.OnDrawing)
		p.Circle(draw.Pt(x, x/3), 2, look.Limit, look.Load)
		doc, err := String(p)
		if err != nil {
			return // numbers out of range
		}
		read(t, doc)
		if strings.Contains(doc, "NaN") && !strings.Contains(title+s, "NaN") {
			t.Error("NaN in the file")
		}
	})
}

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{
		{0, "0"}, {-0.0001, "0"}, {1, "1"}, {0.1 + 0.2, "0.3"}, {1.0005, "1.001"}, {-12.3456, "-12.346"}, {1e6, "1000000"}, {999999.9996, "1000000"},
	} {
		if got := number(c.v); got != c.want {
			t.Errorf("number(%v) = %s, want %s", c.v, got, c.want)
		}
	}
}

func TestWrite_SameTwiceAndInlineIsPlain(t *testing.T) {
	for _, o := range []Options{{}, {EmbedFont: true, Background: true}} {
		var a, b bytes.Buffer
		if err := errors.Join(Write(&a, proof.Sheet(), o), Write(&b, proof.Sheet(), o)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%+v: two writings differ", o)
		}
		got := read(t, a.String())
		if n := len(got["style"]); o.EmbedFont != (n > 0) {
			t.Errorf("%+v: %d style elements", o, n)
		}
		if len(got["text"]) < 30 {
			t.Errorf("%+v: only %d texts", o, len(got["text"]))
		}
	}
}

func TestWrite_ClassesAreRolesOfTheLook(t *testing.T) {
	doc, err := String(proof.Sheet())
	if err != nil {
		t.Fatal(err)
	}
	var known []string
	for _, p := range look.Paints() {
		known = append(known, "fill-"+p.Role, "stroke-"+p.Role)
	}
	n := 0
	for _, m := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(doc, -1) {
		for c := range strings.FieldsSeq(m[1]) {
			n++
			if !slices.Contains(known, c) {
				t.Errorf("class %q is no role", c)
			}
		}
	}
	if n < 100 {
		t.Errorf("only %d classes found", n)
	}
}

func TestWrite_TwoPicturesDoNotShareClips(t *testing.T) {
	id := regexp.MustCompile(`clipPath id="([^"]+)"`)
	var ids []string
	for _, w := range []float64{5, 6} {
		p := draw.New(50, 20, "", "")
		g := p.Group("", "")
		g.Clip = &draw.Rect{W: w, H: 1}
		g.Line(draw.Pt(0, 0), draw.Pt(w, 4), look.Outline)
		doc, err := String(p)
		if err != nil {
			t.Fatal(err)
		}
		m := id.FindStringSubmatch(doc)
		if m == nil || !strings.Contains(doc, "url(#"+m[1]+")") {
			t.Fatalf("no clip in use in %s", doc)
		}
		ids = append(ids, m[1])
	}
	if ids[0] == ids[1] {
		t.Errorf("both clips are called %s", ids[0])
	}
}

func TestEmbeddedFont_HasEveryRune(t *testing.T) {
	p := draw.New(50, 20, "", "")
	const s = "θ ≤ √3 äß₁"
	p.Text(draw.Pt(1, 10), s, look.Strong)
	var b bytes.Buffer
	if err := Write(&b, p, Options{EmbedFont: true}); err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`font-weight:bold;src:url\(data:font/ttf;base64,([^)]*)\)`).FindStringSubmatch(b.String())
	if m == nil {
		t.Fatal("no bold font in the file")
	}
	ttf, err := base64.StdEncoding.DecodeString(m[1])
	if err != nil {
		t.Fatal(err)
	}
	font, err := sfnt.Parse(ttf)
	if err != nil {
		t.Fatal(err)
	}
	var buf sfnt.Buffer
	for _, r := range s {
		if g, err := font.GlyphIndex(&buf, r); g == 0 || err != nil {
			t.Errorf("no glyph for %q: %v", r, err)
		}
	}
}

func TestPageFont(t *testing.T) {
	for f := draw.Sans; f <= draw.MonoBold; f++ {
		ttf, err := PageFont(f)
		if err != nil {
			t.Fatal(err)
		}
		font, err := sfnt.Parse(ttf)
		if err != nil {
			t.Fatal(err)
		}
		var buf sfnt.Buffer
		for _, r := range "Aä√≤▯θ₁" {
			if g, _ := font.GlyphIndex(&buf, r); g == 0 {
				t.Errorf("face %d has no %q", f, r)
			}
		}
		if len(ttf) >= len(f.TTF()) {
			t.Errorf("face %d: %d bytes, the whole font has %d", f, len(ttf), len(f.TTF()))
		}
	}
	if _, err := PageFont(99); err == nil {
		t.Error("face 99 is taken")
	}
}
