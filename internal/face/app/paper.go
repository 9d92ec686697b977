package app

import (
	"bytes"
	"fmt"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
)

// Drawing says what of a rig is drawn.
type Drawing struct {
	View   string // side, front, top, three-quarter; "" for the board of all four
	Ground bool   // as it stands before lifting
	DPI    float64
}

// Picture draws a solved rig. It fails for an unknown view, and for a rig
// without an answer unless the ground view is asked for.
func (s *Solved) Picture(d Drawing) (*draw.Picture, error) {
	if s.Rig == nil {
		return nil, fmt.Errorf("app: the rig file has errors")
	}
	if s.Answer == nil && !d.Ground {
		return nil, fmt.Errorf("app: counts are still to be found, so only the ground view can be drawn")
	}
	if d.View == "" {
		return picture.Board(s.Rig, s.Answer, d.Ground), nil
	}
	v, ok := picture.Named(d.View)
	if !ok {
		return nil, fmt.Errorf("app: there is no view %q; the views are side, front, top and three-quarter", d.View)
	}
	return picture.Of(s.Rig, s.Answer, picture.Options{View: v, Ground: d.Ground, Width: 210, Height: 210}), nil
}

// Formats lists the picture formats that [Encode] writes.
var Formats = []string{"svg", "pdf", "png"}

// Encode writes a picture as svg (a file that stands alone, with its font),
// pdf or png.
func Encode(p *draw.Picture, format string, dpi float64) ([]byte, error) {
	var out bytes.Buffer
	var err error
	switch format {
	case "svg":
		err = svg.Write(&out, p, svg.Options{EmbedFont: true})
	case "pdf":
		err = pdf.Write(&out, p, pdf.Meta{Title: p.Title})
	case "png":
		if dpi == 0 {
			dpi = 150
		}
		err = png.Encode(&out, p, dpi)
	default:
		return nil, fmt.Errorf("app: %q is no picture format; svg, pdf and png are", format)
	}
	if err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// Sheet is the printed sheet of a solved rig, as PDF.
func (s *Solved) Sheet(stamp sheet.Stamp) ([]byte, error) {
	if s.Answer == nil {
		return nil, fmt.Errorf("app: a sheet needs an answer")
	}
	stamp.Version = s.Version
	return Encode(sheet.Rig(s.Answer, stamp), "pdf", 0)
}
