// Package truetype cuts a TrueType font down to the glyphs that a drawing uses,
// so that a file can carry its own font. The cut font has no kerning, no
// ligatures and no hints: its text is as long as the sum of its advances, which
// is how package draw measures it.
//
// Source for every table: Microsoft, "OpenType specification", version 1.9, the
// chapters named after the tables.
package truetype

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

// Font is a font file split into what a cut needs.
type Font struct {
	tables     map[string][]byte
	loca       []uint32
	advances   int // entries of hmtx that have an advance
	glyphs     int
	runeGlyphs map[rune]uint16
}

var order = binary.BigEndian

var errShort = errors.New("truetype: font ends too early")

// Parse reads a font file with outlines in glyf. It keeps slices of the bytes.
func Parse(ttf []byte) (*Font, error) {
	if len(ttf) < 12 {
		return nil, errShort
	}
	if v := order.Uint32(ttf); v != 0x00010000 && v != 0x74727565 {
		return nil, fmt.Errorf("truetype: version %#08x is not TrueType outlines (0x00010000 or 'true')", v)
	}
	f := &Font{tables: map[string][]byte{}}
	n := int(order.Uint16(ttf[4:]))
	if len(ttf) < 12+16*n {
		return nil, errShort
	}
	for i := range n {
		rec := ttf[12+16*i:]
		off, size := uint64(order.Uint32(rec[8:])), uint64(order.Uint32(rec[12:]))
		if off+size > uint64(len(ttf)) {
			return nil, errShort
		}
		f.tables[string(rec[:4])] = ttf[off : off+size]
	}
	for _, need := range []struct {
		tag  string
		size int
	}{{"head", 54}, {"hhea", 36}, {"maxp", 32}, {"hmtx", 4}, {"loca", 4}, {"glyf", 1}, {"cmap", 4}, {"OS/2", 78}, {"name", 6}} {
		if len(f.tables[need.tag]) < need.size {
			return nil, fmt.Errorf("truetype: table %q is missing or shorter than %d bytes", need.tag, need.size)
		}
	}
	f.glyphs = int(order.Uint16(f.tables["maxp"][4:]))
	f.advances = int(order.Uint16(f.tables["hhea"][34:]))
	if f.advances < 1 || f.advances > f.glyphs || len(f.tables["hmtx"]) < 4*f.advances+2*(f.glyphs-f.advances) {
		return nil, errShort
	}
	if err := f.readLoca(); err != nil {
		return nil, err
	}
	return f, f.readCmap()
}

func (f *Font) readLoca() error {
	loca := f.tables["loca"]
	long := order.Uint16(f.tables["head"][50:]) == 1
	f.loca = make([]uint32, f.glyphs+1)
	for i := range f.loca {
		switch {
		case long && len(loca) >= 4*i+4:
			f.loca[i] = order.Uint32(loca[4*i:])
		case !long && len(loca) >= 2*i+2:
			f.loca[i] = 2 * uint32(order.Uint16(loca[2*i:]))
		default:
			return errShort
		}
		if int(f.loca[i]) > len(f.tables["glyf"]) || i > 0 && f.loca[i] < f.loca[i-1] {
			return fmt.Errorf("truetype: glyph %d lies outside the outlines", i)
		}
	}
	return nil
}

// readCmap reads the format 4 map of the basic plane, platform 3 encoding 1 or
// platform 0.
func (f *Font) readCmap() error {
	cmap := f.tables["cmap"]
	n := int(order.Uint16(cmap[2:]))
	if len(cmap) < 4+8*n {
		return errShort
	}
	for i := range n {
		rec := cmap[4+8*i:]
		platform, encoding, off := order.Uint16(rec), order.Uint16(rec[2:]), uint64(order.Uint32(rec[4:]))
		if off+14 > uint64(len(cmap)) || order.Uint16(cmap[off:]) != 4 || !(platform == 0 || platform == 3 && encoding == 1) {
			continue
		}
		return f.readSegments(cmap[off:])
	}
	return errors.New("truetype: no Unicode character map of format 4")
}

func (f *Font) readSegments(m []byte) error {
	segs := int(order.Uint16(m[6:])) / 2
	if len(m) < 16+8*segs {
		return errShort
	}
	ends, starts := m[14:], m[16+2*segs:]
	deltas, offsets := m[16+4*segs:], m[16+6*segs:]
	f.runeGlyphs = map[rune]uint16{}
	for s := range segs {
		first, last := int(order.Uint16(starts[2*s:])), int(order.Uint16(ends[2*s:]))
		delta, off := order.Uint16(deltas[2*s:]), int(order.Uint16(offsets[2*s:]))
		for r := first; r <= last && r < 0xFFFF; r++ {
			g := uint16(r) + delta
			if off != 0 {
				at := 2*s + off + 2*(r-first)
				if at+2 > len(offsets) {
					return errShort
				}
				if g = order.Uint16(offsets[at:]); g != 0 {
					g += delta
				}
			}
			if g != 0 && int(g) < f.glyphs {
				f.runeGlyphs[rune(r)] = g
			}
		}
	}
	return nil
}

// Runes is every rune of the basic plane that the font has a glyph for, in order.
func (f *Font) Runes() []rune {
	out := make([]rune, 0, len(f.runeGlyphs))
	for r := range f.runeGlyphs {
		out = append(out, r)
	}
	slices.Sort(out)
	return out
}
