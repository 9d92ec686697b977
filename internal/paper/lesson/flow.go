package lesson

import (
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
	"hangtrue/internal/paper/likeness"
	"hangtrue/internal/paper/sheet"
)

// small is the type of what is read at the desk: what it would do, sources.
var small = look.Body.WithSize(2.4)

// flow is a paper in the making.
type flow struct{ *running.Paper }

// newFlow begins a paper. mark stands in the foot beside the rig's version; it
// may be "".
func newFlow(r *rig.Rig, what, mark string, s sheet.Stamp) *flow {
	f := &flow{sheet.Paper(r, what, spelling.Joined(" · ", mark, "Rig version SHA-256 "+s.Version), s)}
	f.Y++
	return f
}

// figure draws a close-up with its top left corner at a place, in a frame. A
// good state has a double one: a second sign beside the words.
func (f *flow) figure(d *likeness.Drawing, x, y, size float64, staff, good bool) {
	l := f.List()
	d.Framed(l, draw.Pt(x, y), size, staff)
	if d != nil && good {
		l.Rect(draw.Rect{X: x - 0.8, Y: y - 0.8, W: size + 1.6, H: size + 1.6}, look.Detail, draw.Paint{})
	}
}

// bar writes the head of a checkpoint on a ground of its own.
func (f *flow) bar(s *Stop, more string) {
	l := f.List()
	const h = 7.0
	l.Rect(draw.Rect{X: f.Area.X, Y: f.Y, W: f.Area.W, H: h}, draw.Stroke{}, look.Shade)
	text := s.Checkpoint.Title + more
	id := look.Body.At(draw.End, draw.CapMiddle)
	l.Text(draw.Pt(f.Area.X+2, f.Y+h/2), draw.OneLine(text, f.Area.W-8-id.Width(s.Checkpoint.ID), look.Head), look.Head.At(draw.Start, draw.CapMiddle))
	l.Text(draw.Pt(f.Area.X+f.Area.W-2, f.Y+h/2), s.Checkpoint.ID, id)
	f.Y += h + 1.5
}
