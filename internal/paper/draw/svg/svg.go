// Package svg writes a picture as SVG: real text, real shapes, the same bytes
// for the same picture.
//
// Colours are written as presentation attributes, and beside each stands a
// class, fill-ROLE or stroke-ROLE, by which a stylesheet outside may recolour
// the drawing; see the roles in package look. There are no style attributes and
// no script, so that a page may forbid both. The text is in the family
// [Family] or [MonoFamily], which a page serves from [PageFont] so that widths
// agree with those computed; a file that is to stand alone carries a cut of the
// font ([Options].EmbedFont), in the only style element ever written.
package svg

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"hash/fnv"
	"io"
	"math"
	"strconv"
	"strings"

	"hangtrue/internal/paper/draw"
)

// The font families that texts ask for before any other.
const (
	Family     = "Hangtrue Sans"
	MonoFamily = "Hangtrue Mono"
)

// Options say what the file is for. The zero value suits a drawing inside a page.
type Options struct {
	EmbedFont  bool // carry the font: for files that leave the page
	Background bool // paint the sheet white first: for files shown on an unknown ground
}

// Write writes the picture. It returns an error where the picture cannot be
// drawn (see [draw.Picture.Check]) or w fails.
func Write(w io.Writer, p *draw.Picture, o Options) error {
	if err := p.Check(); err != nil {
		return err
	}
	s := writer{used: map[draw.Face]map[rune]bool{}}
	s.list(p.Items)

	var head writer
	wd, ht := number(p.Width), number(p.Height)
	head.put(`<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 `, wd, " ", ht,
		`" width="`, wd, `mm" height="`, ht, `mm" font-family="`, families(false), "\">\n")
	head.element("title", p.Title)
	head.element("desc", p.Desc)
	if o.EmbedFont {
		if err := head.fonts(s.used); err != nil {
			return err
		}
	}
	if o.Background {
		head.put(`<rect width="`, wd, `" height="`, ht, "\" fill=\"#ffffff\"/>\n")
	}
	if len(s.clips) > 0 {
		// The ids of clips are made from what the drawing contains, so that two
		// drawings in one page do not use each other's clips.
		h := fnv.New64a()
		h.Write(s.body.Bytes())
		mark := fmt.Sprintf("c%x-", h.Sum64())
		for i, c := range s.clips {
			head.put(`<clipPath id="`, mark, strconv.Itoa(i), `"><rect x="`, number(c.X), `" y="`, number(c.Y),
				`" width="`, number(c.W), `" height="`, number(c.H), "\"/></clipPath>\n")
		}
		body := strings.ReplaceAll(s.body.String(), `clip-path="url(#`, `clip-path="url(#`+mark)
		s.body.Reset()
		s.body.WriteString(body)
	}
	for _, part := range [][]byte{head.body.Bytes(), s.body.Bytes(), []byte("</svg>\n")} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("svg: %w", err)
		}
	}
	return nil
}

// String is the picture for use inside a page, or an error as from [Write].
func String(p *draw.Picture) (string, error) {
	var b strings.Builder
	err := Write(&b, p, Options{})
	return b.String(), err
}

func families(mono bool) string {
	if mono {
		return MonoFamily + ", DejaVu Sans Mono, monospace"
	}
	return Family + ", DejaVu Sans, Verdana, sans-serif"
}

type writer struct {
	body  bytes.Buffer
	clips []draw.Rect
	used  map[draw.Face]map[rune]bool
}

func (s *writer) put(parts ...string) {
	for _, p := range parts {
		s.body.WriteString(p)
	}
}

func (s *writer) element(name, text string) {
	if text == "" {
		return
	}
	s.put("<", name, ">", escape(text), "</", name, ">\n")
}

func (s *writer) list(items []draw.Item) {
	for _, it := range items {
		switch it := it.(type) {
		case draw.Path:
			s.path(it)
		case draw.Text:
			s.text(it)
		case *draw.Group:
			s.group(it)
		}
	}
}

func (s *writer) group(g *draw.Group) {
	s.put("<g")
	if g.ID != "" {
		// Not an id attribute: the same part may be drawn twice in one page.
		s.put(` data-id="`, escape(g.ID), `"`)
	}
	if tr := transform(g.Transform); tr != "" {
		s.put(` transform="`, tr, `"`)
	}
	if g.Clip != nil {
		s.put(` clip-path="url(#`, strconv.Itoa(len(s.clips)), `)"`)
		s.clips = append(s.clips, *g.Clip)
	}
	s.put(">\n")
	s.element("title", g.Title)
	s.list(g.Items)
	s.put("</g>\n")
}

func transform(t draw.Transform) string {
	var parts []string
	if t.Move != (draw.Point{}) {
		parts = append(parts, "translate("+number(t.Move.X)+" "+number(t.Move.Y)+")")
	}
	if t.Rotate != 0 {
		parts = append(parts, "rotate("+number(t.Rotate)+")")
	}
	if k := t.Factor(); k != 1 {
		// A factor multiplies what comes after, so three decimals would not do.
		parts = append(parts, "scale("+strconv.FormatFloat(k, 'g', 9, 64)+")")
	}
	return strings.Join(parts, " ")
}

func (s *writer) path(p draw.Path) {
	if len(p.Segs) == 0 || !p.Fill.Visible() && !p.Stroke.Visible() {
		return
	}
	s.put(`<path d="`)
	for _, seg := range p.Segs {
		switch seg.Op {
		case draw.OpMove:
			s.put("M", pair(seg.P[0]))
		case draw.OpLine:
			s.put("L", pair(seg.P[0]))
		case draw.OpCubic:
			s.put("C", pair(seg.P[0]), " ", pair(seg.P[1]), " ", pair(seg.P[2]))
		case draw.OpClose:
			s.put("Z")
		}
	}
	s.put(`"`)
	var class []string
	if p.Fill.Visible() {
		class = append(class, "fill-"+p.Fill.Role)
		s.put(` fill="`, hex(p.Fill.Color), `"`)
		if p.EvenOdd {
			s.put(` fill-rule="evenodd"`)
		}
	} else {
		s.put(` fill="none"`)
	}
	if p.Stroke.Visible() {
		class = append(class, "stroke-"+p.Stroke.Paint.Role)
		s.stroke(p.Stroke)
	}
	s.put(` class="`, strings.Join(class, " "), "\"/>\n")
}

func (s *writer) stroke(k draw.Stroke) {
	s.put(` stroke="`, hex(k.Paint.Color), `" stroke-width="`, number(k.Width), `"`)
	if len(k.Dash) > 0 {
		parts := make([]string, len(k.Dash))
		for i, d := range k.Dash {
			parts[i] = number(d)
		}
		s.put(` stroke-dasharray="`, strings.Join(parts, " "), `"`)
	}
	switch k.Cap {
	case draw.CapRound:
		s.put(` stroke-linecap="round"`)
	case draw.CapSquare:
		s.put(` stroke-linecap="square"`)
	}
	switch k.Join {
	case draw.JoinRound:
		s.put(` stroke-linejoin="round"`)
	case draw.JoinBevel:
		s.put(` stroke-linejoin="bevel"`)
	}
}

func (s *writer) text(t draw.Text) {
	content := t.Content()
	if !t.Paint.Visible() || content == "" || t.Size == 0 {
		return
	}
	face := t.Face()
	if s.used[face] == nil {
		s.used[face] = map[rune]bool{}
	}
	for _, r := range content {
		s.used[face][r] = true
	}
	base := t.Base()
	s.put(`<text x="`, number(base.X), `" y="`, number(base.Y), `" font-size="`, number(t.Size), `"`)
	if t.Mono {
		s.put(` font-family="`, families(true), `"`)
	}
	if t.Bold {
		s.put(` font-weight="bold"`)
	}
	switch t.Anchor {
	case draw.Middle:
		s.put(` text-anchor="middle"`)
	case draw.End:
		s.put(` text-anchor="end"`)
	}
	if t.Rotate != 0 {
		s.put(` transform="rotate(`, number(t.Rotate), " ", number(base.X), " ", number(base.Y), `)"`)
	}
	class := "fill-" + t.Paint.Role
	s.put(` fill="`, hex(t.Paint.Color), `"`)
	if t.Halo.Visible() {
		class += " stroke-" + t.Halo.Role
		s.put(` stroke="`, hex(t.Halo.Color), `" stroke-width="`, number(2*t.Reach()),
			`" stroke-linejoin="round" stroke-linecap="round" paint-order="stroke"`)
	}
	s.put(` class="`, class, `">`, escape(unbroken(content)), "</text>\n")
}

// unbroken writes spaces that SVG would drop or fold, those at the ends and
// after another space, as unbreakable spaces of the same width.
func unbroken(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r == ' ' && (i == 0 || i == len(out)-1 || out[i-1] == ' ' || out[i-1] == '\u00a0') {
			out[i] = '\u00a0'
		}
	}
	return string(out)
}

func (s *writer) fonts(used map[draw.Face]map[rune]bool) error {
	var css strings.Builder
	for face := draw.Sans; face <= draw.MonoBold; face++ {
		if len(used[face]) == 0 {
			continue
		}
		var runes []rune
		for r := range used[face] {
			runes = append(runes, r)
		}
		// Spaces may be written as unbreakable ones.
		runes = append(runes, ' ', '\u00a0')
		cut, err := cutFont(face, runes)
		if err != nil {
			return err
		}
		family, weight := describe(face)
		fmt.Fprintf(&css, "@font-face{font-family:%q;font-weight:%s;src:url(data:font/ttf;base64,%s)}\n",
			family, weight, base64.StdEncoding.EncodeToString(cut))
	}
	if css.Len() > 0 {
		s.put("<style>\n", css.String(), "</style>\n")
	}
	return nil
}

func hex(c draw.Color) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func pair(p draw.Point) string { return number(p.X) + " " + number(p.Y) }

// number is v with at most three decimals: a micrometre.
func number(v float64) string {
	v = math.Round(v*1000) / 1000
	if v == 0 {
		return "0" // never "-0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;")

// escape makes any string fit for XML text and attributes: what XML 1.0 forbids
// (section 2.2, Char) becomes the replacement sign.
func escape(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r < ' ' || r == 0xFFFE || r == 0xFFFF || r == 0xFFFD:
			return draw.Replacement
		}
		return r
	}, s)
	return escaper.Replace(s)
}
