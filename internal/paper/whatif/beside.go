package whatif

import (
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/picture"
)

// Beside draws the rig as planned and, at its right and at the same scale, with
// a fault that words name. Size in mm. A tall picture has one over the other.
func Beside(plan, changed *rig.Answer, words string, v picture.View, width, height float64) *draw.Picture {
	p := draw.New(width, height, plan.Rig.Title()+": "+words, "First as planned, then "+words+".")
	two(p, []*rig.Answer{plan, changed}, [2]string{"as planned", words}, v)
	return p
}

// two fills a picture with two answers at one scale, each under its words.
func two(p *draw.Picture, hung []*rig.Answer, words [2]string, v picture.View) {
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	frame := p.Frame()
	invented := hung[0].Rig.Invented()
	if invented {
		p.Text(draw.Pt(frame.W-1, 1), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
	}
	const mark = 4.5
	areas := []draw.Rect{
		{X: 0, Y: mark, W: frame.W / 2, H: frame.H - mark},
		{X: frame.W / 2, Y: mark, W: frame.W / 2, H: frame.H - mark},
	}
	if frame.H > 1.2*frame.W {
		half := (frame.H - 2*mark) / 2
		areas = []draw.Rect{{X: 0, Y: mark, W: frame.W, H: half}, {X: 0, Y: 2*mark + half, W: frame.W, H: half}}
	}
	for i, a := range areas {
		style := look.Strong.At(draw.Start, draw.CapTop)
		room := a.W - 2
		if invented && a.Y == areas[0].Y && a.X+a.W == frame.W {
			room -= style.Width("INVENTED") + look.Space // the mark stands in this corner
		}
		p.Text(draw.Pt(a.X+1, a.Y-mark+1), draw.OneLine(words[i], room, style), style)
	}
	picture.Beside(&p.List, hung, v, areas)
}

// Small draws one answer small, without labels. Size in mm.
func Small(a *rig.Answer, width, height float64) *draw.Picture {
	return picture.Of(a.Rig, a, picture.Options{View: picture.ThreeQuarter, Width: width, Height: height, Bare: true, Small: true})
}
