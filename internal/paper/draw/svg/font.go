package svg

import (
	"fmt"
	"sync"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/truetype"
)

var parsed [4]struct {
	once sync.Once
	font *truetype.Font
	err  error
}

func font(f draw.Face) (*truetype.Font, error) {
	if int(f) >= len(parsed) {
		return nil, fmt.Errorf("svg: face %d is none of the %d", f, len(parsed))
	}
	p := &parsed[f]
	p.once.Do(func() { p.font, p.err = truetype.Parse(f.TTF()) })
	return p.font, p.err
}

func cutFont(f draw.Face, runes []rune) ([]byte, error) {
	whole, err := font(f)
	if err != nil {
		return nil, err
	}
	family, weight := describe(f)
	if weight == "bold" {
		family += " Bold"
	}
	return whole.Cut(family, runes)
}

// describe is the family and the weight by which stylesheets know a face.
func describe(f draw.Face) (family, weight string) {
	switch f {
	case draw.SansBold:
		return Family, "bold"
	case draw.Mono:
		return MonoFamily, "normal"
	case draw.MonoBold:
		return MonoFamily, "bold"
	}
	return Family, "normal"
}

// PageFont is the font file of a face for a page to serve, as the family
// [Family] or [MonoFamily] in weight normal or bold: every rune that drawings
// print, without kerning, ligatures and hints, so that a page's text is as long
// as package draw measures it. Making it takes some milliseconds; keep it.
func PageFont(f draw.Face) ([]byte, error) {
	whole, err := font(f)
	if err != nil {
		return nil, err
	}
	var runes []rune
	for _, r := range whole.Runes() {
		if f.Has(r) {
			runes = append(runes, r)
		}
	}
	return cutFont(f, runes)
}
