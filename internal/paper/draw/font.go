package draw

import (
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"
	"codeberg.org/go-fonts/dejavu/dejavusansmono"
	"codeberg.org/go-fonts/dejavu/dejavusansmonobold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Face is one of the typefaces that every back-end has.
type Face uint8

// The faces: DejaVu Sans and DejaVu Sans Mono.
const (
	Sans Face = iota
	SansBold
	Mono
	MonoBold
	faceCount
)

// FaceOf is the face for the two marks of a text.
func FaceOf(bold, mono bool) Face {
	f := Sans
	if mono {
		f = Mono
	}
	if bold {
		f++
	}
	return f
}

// Measures of DejaVu Sans as shares of the em size, read from the font's OS/2
// and hhea tables (a test compares them).
const (
	CapHeight = 0.729 // height of a capital letter above the base line
	Ascent    = 0.928 // highest the font's own line box reaches
	Descent   = 0.236 // lowest, below the base line
)

// Replacement stands for a rune that cannot be printed.
const Replacement = '▯'

// faceData holds a parsed font. It is filled once and read by anyone after.
type faceData struct {
	once  sync.Once
	font  *sfnt.Font
	units fixed.Int26_6
	low   [0x250]float64 // advances in em of the Latin runes, which are nearly all
}

var faces [faceCount]faceData

// TTF is the whole font file of the face. It must not be changed.
func (f Face) TTF() []byte {
	switch f {
	case SansBold:
		return dejavusansbold.TTF
	case Mono:
		return dejavusansmono.TTF
	case MonoBold:
		return dejavusansmonobold.TTF
	}
	return dejavusans.TTF
}

func (f Face) data() *faceData {
	d := &faces[f]
	d.once.Do(func() {
		parsed, err := sfnt.Parse(f.TTF())
		if err != nil {
			panic(fmt.Sprintf("draw: embedded font does not parse: %v", err))
		}
		d.font = parsed
		d.units = fixed.Int26_6(parsed.UnitsPerEm()) << 6
		var buf sfnt.Buffer
		for r := range d.low {
			if i, err := parsed.GlyphIndex(&buf, rune(r)); err == nil {
				d.low[r] = d.advance(&buf, i)
			}
		}
	})
	return d
}

// advance is in em. At a size of one em to units pixels the numbers are the
// font's own whole units, so nothing is rounded.
func (d *faceData) advance(buf *sfnt.Buffer, i sfnt.GlyphIndex) float64 {
	a, err := d.font.GlyphAdvance(buf, i, d.units, font.HintingNone)
	if err != nil {
		return 0
	}
	return float64(a) / float64(d.units)
}

// Has reports whether the face can print r: it has a glyph, r is in the basic
// plane (the PDF writer takes no others) and r is not a control or format rune.
func (f Face) Has(r rune) bool {
	if r < ' ' || r > 0xFFFF || unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Variation_Selector) {
		return false
	}
	var buf sfnt.Buffer
	i, err := f.data().font.GlyphIndex(&buf, r)
	return err == nil && i != 0
}

// Clean is s as the face can print it, on one line: line feeds, tabs and
// spaces without a glyph become a space, format runes (joiners, direction marks, soft hyphens) vanish,
// and what has no glyph becomes [Replacement]. Clean of a clean string is the
// string itself.
func (f Face) Clean(s string) string {
	clean := true
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] > '~' {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case unicode.IsSpace(r):
			// Thin and unbreakable spaces keep their width; the rest breaks lines
			// or has no glyph.
			if !f.Has(r) {
				r = ' '
			}
			b.WriteRune(r)
		case unicode.In(r, unicode.Cf, unicode.Variation_Selector):
		case r == utf8.RuneError || !f.Has(r):
			b.WriteRune(Replacement)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Clean is s as both weights of the sans face can print it; see [Face.Clean].
// Texts are cleaned again when they are drawn, so that calling it is only needed
// where the cleaned text itself is wanted.
func Clean(s string) string { return SansBold.Clean(Sans.Clean(s)) }

// Width is the length of s in mm, cleaned, at an em size in mm. There is no kerning.
func (f Face) Width(s string, size float64) float64 {
	d := f.data()
	var buf sfnt.Buffer
	var em float64
	for _, r := range f.Clean(s) {
		if int(r) < len(d.low) {
			em += d.low[r]
			continue
		}
		i, err := d.font.GlyphIndex(&buf, r)
		if err == nil {
			em += d.advance(&buf, i)
		}
	}
	return em * size
}

// Outline is the shapes of the glyphs of s, cleaned, at an em size in mm, the
// base line starting at the origin; filled by nonzero winding.
func (f Face) Outline(s string, size float64) []Seg {
	d := f.data()
	var buf sfnt.Buffer
	var p Path
	x := 0.0
	for _, r := range f.Clean(s) {
		i, err := d.font.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		segs, err := d.font.LoadGlyph(&buf, i, d.units, nil)
		if err != nil {
			continue
		}
		at := func(q fixed.Point26_6) Point {
			k := size / float64(d.units)
			return Point{x + float64(q.X)*k, float64(q.Y) * k}
		}
		open := false
		var here Point
		for _, s := range segs {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if open {
					p.Close()
				}
				open = true
				here = at(s.Args[0])
				p.MoveTo(here)
			case sfnt.SegmentOpLineTo:
				here = at(s.Args[0])
				p.LineTo(here)
			case sfnt.SegmentOpQuadTo:
				c, e := at(s.Args[0]), at(s.Args[1])
				p.CubicTo(here.Lerp(c, 2.0/3), e.Lerp(c, 2.0/3), e)
				here = e
			case sfnt.SegmentOpCubeTo:
				here = at(s.Args[2])
				p.CubicTo(at(s.Args[0]), at(s.Args[1]), here)
			}
		}
		if open {
			p.Close()
		}
		x += d.advance(&buf, i) * size
	}
	return p.Segs
}
