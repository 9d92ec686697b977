// Package qr draws QR codes (ISO/IEC 18004) as pictures of lines, so that they
// print and show like every other drawing.
package qr

import (
	"fmt"

	"rsc.io/qr"

	"hangtrue/internal/paper/draw"
)

// quiet is the empty border in modules that readers need around a code.
const quiet = 4

// Paints of their own, which no dark screen turns round: a reader needs dark on
// light.
var (
	dark  = draw.Paint{Color: draw.Color{}, Role: "code"}
	light = draw.Paint{Color: draw.Color{R: 255, G: 255, B: 255}, Role: "code-ground"}
)

// Picture draws the code of a text as a square of a size in mm, its quiet border
// in it. A damaged or dirty code can lose about 15 % and still be read (level M).
// It fails for a text too long for a code or with signs beyond ASCII.
func Picture(text string, size float64) (*draw.Picture, error) {
	p := draw.New(size, size, "QR code", text)
	path, err := Code(text, draw.Rect{W: size, H: size})
	if err != nil {
		return nil, err
	}
	back := draw.Path{Fill: light}
	back.Polyline([]draw.Point{{}, {X: size}, {X: size, Y: size}, {Y: size}}, true)
	p.Add(back, path)
	return p, nil
}

// Code is the dark modules of a text's code as one path within a square whose
// outermost four modules stay empty. The ground beneath must be light.
func Code(text string, within draw.Rect) (draw.Path, error) {
	for _, r := range text {
		if r < ' ' || r > '~' {
			return draw.Path{}, fmt.Errorf("qr: %q: readers guess at signs beyond ASCII; write them otherwise, as in a web address", r)
		}
	}
	c, err := qr.Encode(text, qr.M)
	if err != nil {
		return draw.Path{}, fmt.Errorf("qr: %w", err)
	}
	module := min(within.W, within.H) / float64(c.Size+2*quiet)
	path := draw.Path{Fill: dark}
	at := func(x, y int) draw.Point {
		return draw.Pt(within.X+module*float64(x+quiet), within.Y+module*float64(y+quiet))
	}
	for y := range c.Size {
		for x := 0; x < c.Size; x++ {
			if !c.Black(x, y) {
				continue
			}
			// Neighbours in a row are one rectangle: no seams between them.
			end := x
			for end < c.Size && c.Black(end, y) {
				end++
			}
			path.Polyline([]draw.Point{at(x, y), at(end, y), at(end, y+1), at(x, y+1)}, true)
			x = end
		}
	}
	return path, nil
}
