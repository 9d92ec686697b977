package whatif

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/picture"
)

// Curves draws trail and attitude, and the legs' shares of rating, over the
// airspeed: beside each other, or over each other where the picture is taller
// than wide. The point of the sweep at a place is marked; −1 marks none. Size in
// mm.
func Curves(r *rig.Rig, s *flight.Sweep, at int, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Study of flight: "+r.Title(), "Trail, attitude and shares of rating over the airspeed. "+flight.Caution)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	frame := p.Frame().Inset(look.Unit)
	if r.Invented() {
		p.Text(draw.Pt(frame.X+frame.W, frame.Y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
	}
	p.Text(draw.Pt(frame.X, frame.Y), "STUDY, not a plan", look.Strong.At(draw.Start, draw.CapTop))
	frame.Y += 5
	frame.H -= 5
	one, other := halves(frame)
	for _, v := range []chart.View{attitudePlot(r, s).Draw(&p.List, one), usePlot(r, s).Draw(&p.List, other)} {
		if at >= 0 && at < len(s.Points) {
			x := v.Map(draw.Pt(s.Points[at].Speed/quantity.Knot, 0)).X
			p.Line(draw.Pt(x, v.Area.Y), draw.Pt(x, v.Area.Y+v.Area.H), look.Force)
		}
	}
	return p
}

// AtSpeed draws the load at rest and at one speed, at one scale, beside each
// other or in a tall picture one over the other. Size in mm.
func AtSpeed(r *rig.Rig, s *flight.Sweep, at int, v picture.View, width, height float64) *draw.Picture {
	q := s.Points[at]
	p := draw.New(width, height, "Study of flight: "+r.Title()+", "+atSpeed(r, q), "First at rest, then "+atSpeed(r, q)+". "+flight.Caution)
	two(p, []*rig.Answer{s.Points[0].Answer, q.Answer}, [2]string{"at rest", atSpeed(r, q)}, v)
	return p
}

// Beats draws the rotor's once-per-turn and blade-passing frequencies with their
// bands, and each bounce beside them, on one line of frequency. Size in mm.
func Beats(r *rig.Rig, list []flight.Beat, width, height float64) *draw.Picture {
	p := draw.New(width, height, "Bounce beside the rotor: "+r.Title(), "Frequencies of the bounce at rest and of the rotor, in hertz.")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	frame := p.Frame().Inset(look.Unit)
	if r.Invented() {
		p.Text(draw.Pt(frame.X+frame.W, frame.Y), "INVENTED", look.Strong.At(draw.End, draw.CapTop))
		frame.Y += 4
		frame.H -= 4
	}
	most := 1.0
	for _, b := range list {
		most = math.Max(most, 1.2*math.Max(b.Rotor, b.Bounce))
	}
	line := frame.Y + 0.6*frame.H
	left, right := frame.X+2, frame.X+frame.W-4
	x := func(hz float64) float64 { return left + hz/most*(right-left) }
	step := chart.Step125(most, max(2, int((right-left)/16)))
	for f := 0.0; f <= most; f += step {
		p.Line(draw.Pt(x(f), line), draw.Pt(x(f), line+1.2), look.Axis)
		p.Text(draw.Pt(x(f), line+2), chart.Figure(f, step), look.Small.At(draw.Middle, draw.CapTop))
	}
	p.Line(draw.Pt(left, line), draw.Pt(right, line), look.Axis)
	p.Text(draw.Pt(right, line+2+look.Small.LineHeight()), "Hz, the hook held still", look.Small.At(draw.End, draw.CapTop))
	place := draw.Labels{Bounds: frame, Gap: 0.6}
	place.Avoid(draw.Rect{X: frame.X, Y: line, W: frame.W, H: frame.H})
	top := frame.Y + look.Body.LineHeight() + 1
	var labels []draw.Label
	name := func(hz float64, text string) {
		at := draw.Pt(x(hz), top+1)
		labels = append(labels, draw.Label{Lines: []string{text}, Style: look.OnDrawing, Anchor: at, Prefer: draw.Pt(0, -1), Clear: 1, Wide: true})
	}
	seen := map[string]bool{}
	for _, b := range list {
		if !seen[b.Of] {
			seen[b.Of] = true
			band := draw.Rect{X: x(b.Rotor * (1 - flight.Band)), Y: top, W: x(2*flight.Band*b.Rotor) - left, H: line - top}
			p.Rect(band, draw.Stroke{}, look.OverFog)
			p.Hatch(2, -45, look.HatchLine.WithPaint(look.Over), band.Corners())
			p.Line(draw.Pt(x(b.Rotor), top), draw.Pt(x(b.Rotor), line), look.Limit)
			place.Avoid(draw.Rect{X: x(b.Rotor) - 0.3, Y: top, W: 0.6, H: line - top})
			name(b.Rotor, fmt.Sprintf("%s %.3g Hz", b.Of, b.Rotor))
		}
	}
	for _, b := range list {
		if !seen[b.Mode] {
			seen[b.Mode] = true
			p.Line(draw.Pt(x(b.Bounce), top+2), draw.Pt(x(b.Bounce), line), look.Ground)
			name(b.Bounce, fmt.Sprintf("%s %.3g Hz", b.Mode, b.Bounce))
		}
	}
	p.Labels(place.Place(labels), look.Leader)
	return p
}
