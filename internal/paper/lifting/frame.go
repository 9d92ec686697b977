package lifting

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// A4 lying, in mm.
const wide, high = 297.0, 210.0

// head draws what stands above every number: the status, where there is one,
// the mark INVENTED, and the title. It returns the area that is left above the
// caution.
func head(p *draw.Picture, status, title string, invented bool, foot ...string) draw.Rect {
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	inner := p.Frame().Inset(look.Margin)
	y, right := inner.Y, 0.0
	if invented {
		p.TextBox(draw.Pt(inner.X+inner.W, y), inner.W, "INVENTED", look.Loud.At(draw.End, draw.CapTop))
		right = look.Loud.Width("INVENTED") + look.Wide
	}
	if status != "" {
		y += p.TextBox(draw.Pt(inner.X, y), inner.W-right, strings.ToUpper(status), look.Loud.At(draw.Start, draw.CapTop))
	}
	y += p.TextBox(draw.Pt(inner.X, y), inner.W-right, title, look.Title.At(draw.Start, draw.CapTop)) + look.Space
	bottom := inner.Y + inner.H
	style := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop)
	for _, text := range append([]string{rig.Caution}, foot...) {
		if text == "" {
			continue
		}
		bottom -= draw.TextHeight(text, inner.W, style)
		p.TextBox(draw.Pt(inner.X, bottom), inner.W, text, style)
	}
	return draw.Rect{X: inner.X, Y: y, W: inner.W, H: bottom - look.Space - y}
}

// madeFrom names the version of the file that a picture was drawn from.
func madeFrom(what, version string) string {
	if version == "" {
		return ""
	}
	return fmt.Sprintf("Drawn from %s, version %s.", what, version[:min(12, len(version))])
}

// scales are the units of a picture's axes.
type scales struct {
	show quantity.System
}

func (s scales) unit(metric, us string) string {
	if s.show == quantity.US {
		return us
	}
	return metric
}

func (s scales) mass() string        { return s.unit("kg", "lb") }
func (s scales) height() string      { return s.unit("m", "ft") }
func (s scales) temperature() string { return s.unit("degC", "degF") }

func (s scales) in(value float64, unit string) float64 {
	if math.IsNaN(value) {
		return value
	}
	return quantity.In(value, unit)
}
