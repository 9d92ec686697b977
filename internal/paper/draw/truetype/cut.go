package truetype

import (
	"fmt"
	"slices"
)

// Cut is a font file with the glyphs of the given runes only, under another
// family name. Runes without a glyph are left out; order and repeats do not
// matter: the same set gives the same bytes. The font's copyright and licence
// notices stay in it; the licence of DejaVu asks for them, and for another name
// where the font is changed.
func (f *Font) Cut(family string, runes []rune) ([]byte, error) {
	c := cut{font: f, number: map[uint16]uint16{}}
	c.take(0)
	runes = slices.Clone(runes)
	slices.Sort(runes)
	runes = slices.Compact(runes)
	var kept []mapping
	for _, r := range runes {
		if g := f.runeGlyphs[r]; g != 0 {
			kept = append(kept, mapping{uint16(r), c.take(g)})
		}
	}
	glyf, loca, err := c.outlines()
	if err != nil {
		return nil, err
	}
	head := slices.Clone(f.tables["head"][:54])
	order.PutUint32(head[8:], 0) // checkSumAdjustment, set when the file is whole
	order.PutUint16(head[50:], 1)
	hhea := slices.Clone(f.tables["hhea"][:36])
	order.PutUint16(hhea[34:], uint16(len(c.glyphs)))
	maxp := slices.Clone(f.tables["maxp"][:32])
	order.PutUint16(maxp[4:], uint16(len(c.glyphs)))
	for _, at := range []int{16, 18, 20, 22, 24, 26} { // zones' twilight points down to instruction sizes
		order.PutUint16(maxp[at:], 0)
	}
	os2 := slices.Clone(f.tables["OS/2"])
	if len(kept) > 0 {
		order.PutUint16(os2[64:], kept[0].char)
		order.PutUint16(os2[66:], kept[len(kept)-1].char)
	}
	post := make([]byte, 32) // version 3: no glyph names
	order.PutUint32(post, 0x00030000)
	if old := f.tables["post"]; len(old) >= 32 {
		copy(post[4:16], old[4:16])
	}
	return assemble([]table{
		{"OS/2", os2},
		{"cmap", cmapOf(kept)},
		{"glyf", glyf},
		{"head", head},
		{"hhea", hhea},
		{"hmtx", c.metrics()},
		{"loca", loca},
		{"maxp", maxp},
		{"name", f.names(family)},
		{"post", post},
	}), nil
}

type mapping struct{ char, glyph uint16 }

// cut numbers the glyphs kept, in the order in which they were asked for.
type cut struct {
	font   *Font
	glyphs []uint16          // new number → old
	number map[uint16]uint16 // old → new
}

func (c *cut) take(g uint16) uint16 {
	if n, ok := c.number[g]; ok {
		return n
	}
	n := uint16(len(c.glyphs))
	c.number[g] = n
	c.glyphs = append(c.glyphs, g)
	return n
}

// outlines copies the glyphs without their hints and, while going along, takes
// the parts that composite glyphs are made of.
func (c *cut) outlines() (glyf, loca []byte, err error) {
	loca = order.AppendUint32(nil, 0)
	for i := 0; i < len(c.glyphs); i++ { // grows while it runs
		old := c.glyphs[i]
		data := c.font.tables["glyf"][c.font.loca[old]:c.font.loca[old+1]]
		var out []byte
		if len(data) > 0 {
			if len(data) < 10 {
				return nil, nil, errShort
			}
			if int16(order.Uint16(data)) >= 0 {
				out, err = unhinted(data)
			} else {
				out, err = c.composite(data)
			}
			if err != nil {
				return nil, nil, fmt.Errorf("glyph %d: %w", old, err)
			}
		}
		glyf = append(glyf, out...)
		for len(glyf)%4 != 0 {
			glyf = append(glyf, 0)
		}
		loca = order.AppendUint32(loca, uint32(len(glyf)))
	}
	return glyf, loca, nil
}

// unhinted is a simple glyph with its instructions cut out.
func unhinted(data []byte) ([]byte, error) {
	at := 10 + 2*int(order.Uint16(data)) // after the ends of the contours
	if len(data) < at+2 {
		return nil, errShort
	}
	n := int(order.Uint16(data[at:]))
	if len(data) < at+2+n {
		return nil, errShort
	}
	out := append(slices.Clone(data[:at]), 0, 0)
	return append(out, data[at+2+n:]...), nil
}

// Flags of a component in a composite glyph.
const (
	argsAreWords     = 0x0001
	haveScale        = 0x0008
	moreComponents   = 0x0020
	haveXYScale      = 0x0040
	haveTwoByTwo     = 0x0080
	haveInstructions = 0x0100
)

// composite copies a composite glyph with its parts renumbered.
func (c *cut) composite(data []byte) ([]byte, error) {
	out := slices.Clone(data[:10])
	for rest := data[10:]; ; {
		if len(rest) < 4 {
			return nil, errShort
		}
		flags, part := order.Uint16(rest), order.Uint16(rest[2:])
		if int(part) >= c.font.glyphs {
			return nil, fmt.Errorf("truetype: part %d of %d glyphs", part, c.font.glyphs)
		}
		size := 4 + 2
		if flags&argsAreWords != 0 {
			size += 2
		}
		switch {
		case flags&haveScale != 0:
			size += 2
		case flags&haveXYScale != 0:
			size += 4
		case flags&haveTwoByTwo != 0:
			size += 8
		}
		if len(rest) < size {
			return nil, errShort
		}
		out = order.AppendUint16(out, flags&^haveInstructions)
		out = order.AppendUint16(out, c.take(part))
		out = append(out, rest[4:size]...)
		rest = rest[size:]
		if flags&moreComponents == 0 {
			return out, nil
		}
	}
}

func (c *cut) metrics() []byte {
	hmtx, n := c.font.tables["hmtx"], c.font.advances
	var out []byte
	for _, g := range c.glyphs {
		// Beyond the last advance only side bearings follow; the advance repeats.
		i := int(g)
		if i < n {
			out = append(out, hmtx[4*i:4*i+4]...)
			continue
		}
		out = append(out, hmtx[4*(n-1):4*(n-1)+2]...)
		out = append(out, hmtx[4*n+2*(i-n):4*n+2*(i-n)+2]...)
	}
	return out
}

// cmapOf is a character map of format 4, one segment for each stretch of
// characters whose glyph numbers follow on too.
func cmapOf(kept []mapping) []byte {
	type segment struct{ first, last, delta uint16 }
	var segs []segment
	for _, m := range kept {
		if n := len(segs) - 1; n >= 0 && segs[n].last+1 == m.char && segs[n].delta == m.glyph-m.char {
			segs[n].last = m.char
			continue
		}
		segs = append(segs, segment{m.char, m.char, m.glyph - m.char})
	}
	segs = append(segs, segment{0xFFFF, 0xFFFF, 1})
	n := uint16(len(segs))
	search, level := uint16(1), uint16(0)
	for search*2 <= n {
		search *= 2
		level++
	}
	var m []byte
	put := func(vs ...uint16) {
		for _, v := range vs {
			m = order.AppendUint16(m, v)
		}
	}
	put(0, 1, 3, 1, 0, 12) // version, one table: platform 3, encoding 1, at byte 12
	put(4, 16+8*n, 0, 2*n, 2*search, level, 2*n-2*search)
	for _, s := range segs {
		put(s.last)
	}
	put(0)
	for _, s := range segs {
		put(s.first)
	}
	for _, s := range segs {
		put(s.delta)
	}
	for range segs {
		put(0)
	}
	return m
}

// names is a name table with the font's notices and the new family name.
func (f *Font) names(family string) []byte {
	old := f.tables["name"]
	kept := map[uint16][]byte{}
	count, store := int(order.Uint16(old[2:])), int(order.Uint16(old[4:]))
	for i := range count {
		if len(old) < 18+12*i {
			break
		}
		rec := old[6+12*i:]
		platform, language, id := order.Uint16(rec), order.Uint16(rec[4:]), order.Uint16(rec[6:])
		from := store + int(order.Uint16(rec[10:]))
		to := from + int(order.Uint16(rec[8:]))
		// 0 copyright, 7 trademark, 13 licence, 14 where the licence is found
		if platform == 3 && language == 0x409 && (id == 0 || id == 7 || id == 13 || id == 14) && to <= len(old) {
			kept[id] = old[from:to]
		}
	}
	post := make([]rune, 0, len(family)) // PostScript names take no spaces
	for _, r := range family {
		if r != ' ' {
			post = append(post, r)
		}
	}
	for id, s := range map[uint16]string{1: family, 2: "Regular", 3: family, 4: family, 6: string(post)} {
		kept[id] = utf16(s)
	}
	ids := make([]uint16, 0, len(kept))
	for id := range kept {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	out := order.AppendUint16(nil, 0)
	out = order.AppendUint16(out, uint16(len(ids)))
	out = order.AppendUint16(out, uint16(6+12*len(ids)))
	var text []byte
	for _, id := range ids {
		for _, v := range []uint16{3, 1, 0x409, id, uint16(len(kept[id])), uint16(len(text))} {
			out = order.AppendUint16(out, v)
		}
		text = append(text, kept[id]...)
	}
	return append(out, text...)
}

func utf16(s string) []byte {
	var out []byte
	for _, r := range s {
		out = order.AppendUint16(out, uint16(r))
	}
	return out
}

type table struct {
	tag  string
	data []byte
}

// assemble writes tables, already in order of their tags, as a font file.
func assemble(tables []table) []byte {
	n := len(tables)
	search, level := 1, 0
	for search*2 <= n {
		search *= 2
		level++
	}
	file := order.AppendUint32(nil, 0x00010000)
	for _, v := range []int{n, 16 * search, level, 16*n - 16*search} {
		file = order.AppendUint16(file, uint16(v))
	}
	at := 12 + 16*n
	headAt := 0
	var body []byte
	for _, t := range tables {
		if t.tag == "head" {
			headAt = at + len(body)
		}
		file = append(file, t.tag...)
		file = order.AppendUint32(file, checksum(t.data))
		file = order.AppendUint32(file, uint32(at+len(body)))
		file = order.AppendUint32(file, uint32(len(t.data)))
		body = append(body, t.data...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	file = append(file, body...)
	order.PutUint32(file[headAt+8:], 0xB1B0AFBA-checksum(file))
	return file
}

func checksum(b []byte) uint32 {
	var sum uint32
	for ; len(b) >= 4; b = b[4:] {
		sum += order.Uint32(b)
	}
	var last [4]byte
	copy(last[:], b)
	return sum + order.Uint32(last[:])
}
