package truetype

import (
	"bytes"
	"encoding/binary"
	"reflect"
	"testing"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansmonobold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

const sample = "Hangtrue θ≤45°√äöüÅßﬁ₁²× \u00a0▯"

func parse(t *testing.T, ttf []byte) *Font {
	t.Helper()
	f, err := Parse(ttf)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestCut_DrawsTheSame reads the cut with another reader and compares each
// glyph's outline and advance with the whole font's.
func TestCut_DrawsTheSame(t *testing.T) {
	for name, ttf := range map[string][]byte{"sans": dejavusans.TTF, "mono bold": dejavusansmonobold.TTF} {
		cut, err := parse(t, ttf).Cut("Cut Sans", []rune(sample))
		if err != nil {
			t.Fatal(err)
		}
		if len(cut) > 30_000 {
			t.Errorf("%s: cut of %d runes has %d bytes", name, len(sample), len(cut))
		}
		whole, err := sfnt.Parse(ttf)
		if err != nil {
			t.Fatal(err)
		}
		part, err := sfnt.Parse(cut)
		if err != nil {
			t.Fatalf("%s: cut does not parse: %v", name, err)
		}
		const size = fixed.Int26_6(2048 << 6)
		compared := 0
		for _, r := range sample {
			var b1, b2 sfnt.Buffer
			g1, _ := whole.GlyphIndex(&b1, r)
			g2, _ := part.GlyphIndex(&b2, r)
			if g1 == 0 || g2 == 0 {
				t.Fatalf("%s: no glyph for %q: %d whole, %d cut", name, r, g1, g2)
			}
			s1, err1 := whole.LoadGlyph(&b1, g1, size, nil)
			s2, err2 := part.LoadGlyph(&b2, g2, size, nil)
			if err1 != nil || err2 != nil || !reflect.DeepEqual(s1, s2) {
				t.Errorf("%s: outline of %q differs (%v, %v)", name, r, err1, err2)
			}
			a1, _ := whole.GlyphAdvance(&b1, g1, size, font.HintingNone)
			a2, _ := part.GlyphAdvance(&b2, g2, size, font.HintingNone)
			if a1 != a2 || a1 == 0 {
				t.Errorf("%s: advance of %q is %v, want %v", name, r, a2, a1)
			}
			compared++
		}
		if compared < 25 {
			t.Errorf("%s: only %d runes compared", name, compared)
		}
		var buf sfnt.Buffer
		if got, _ := part.GlyphIndex(&buf, 'Z'); got != 0 {
			t.Errorf("%s: Z was not asked for and is there", name)
		}
	}
}

func TestCut_KeepsNoticesUnderAnotherName(t *testing.T) {
	cut, err := parse(t, dejavusans.TTF).Cut("Cut Sans", []rune("a"))
	if err != nil {
		t.Fatal(err)
	}
	part, err := sfnt.Parse(cut)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := sfnt.Parse(dejavusans.TTF)
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []sfnt.NameID{sfnt.NameIDCopyright, sfnt.NameIDLicense} {
		want, _ := whole.Name(nil, id)
		got, _ := part.Name(nil, id)
		if got != want || got == "" {
			t.Errorf("name %d is %q, want %q", id, got, want)
		}
	}
	if got, _ := part.Name(nil, sfnt.NameIDFamily); got != "Cut Sans" {
		t.Errorf("family is %q", got)
	}
}

func TestCut_SameSetSameBytes(t *testing.T) {
	f := parse(t, dejavusans.TTF)
	a, err := f.Cut("X", []rune("abcä"))
	if err != nil {
		t.Fatal(err)
	}
	b, err := f.Cut("X", []rune("äcbbaa"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a, b) {
		t.Error("the order of runes changes the font")
	}
	// A whole file's words sum to this (OpenType, "head", checkSumAdjustment).
	if sum := checksum(a); sum != 0xB1B0AFBA {
		t.Errorf("checksum is %#x", sum)
	}
}

func TestParse_Refuses(t *testing.T) {
	collection := append([]byte("ttcf"), dejavusans.TTF[4:]...)
	for name, b := range map[string][]byte{"empty": nil, "collection": collection, "head only": dejavusans.TTF[:300]} {
		if _, err := Parse(b); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// FuzzParse damages a small font; neither reading nor cutting may panic.
func FuzzParse(f *testing.F) {
	whole, err := Parse(dejavusans.TTF)
	if err != nil {
		f.Fatal(err)
	}
	small, err := whole.Cut("X", []rune("aä"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(small, uint16(0), uint32(0))
	for i := range uint16(60) {
		f.Add(small, 12+i*16, uint32(0xFFFFFFFF))
		f.Add(small, 300+i*37, uint32(0x80017FFF))
	}
	f.Fuzz(func(_ *testing.T, b []byte, at uint16, v uint32) {
		b = bytes.Clone(b)
		if int(at)+4 <= len(b) {
			binary.BigEndian.PutUint32(b[at:], v)
		}
		font, err := Parse(b)
		if err != nil {
			return
		}
		_, _ = font.Cut("X", font.Runes())
	})
}
