package lane

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
	"hangtrue/internal/paper/likeness"
	"hangtrue/internal/paper/sheet"
)

// small is the type of what is read at the desk.
var small = look.Body.WithSize(2.4)

// notForStudents stands on every page of what shows or tells what is planted.
const notForStudents = "NOT FOR STUDENTS"

// flow is a paper in the making.
type flow struct{ running.Paper }

// newFlow begins a paper, about a rig or about none. mark stands large at the
// top right of the first page and in the heads of the others, caveat at the foot
// of every page.
func newFlow(r *rig.Rig, title, mark, caveat string, stamp sheet.Stamp) *flow {
	return newTagged(r, "", title, mark, caveat, stamp)
}

// newTagged is the same about a load that wears a red tag, unless tag is "": the
// tag then stands in the place of the rig's status and the status of its plan
// beneath, as the load is not as planned.
func newTagged(r *rig.Rig, tag, title, mark, caveat string, stamp sheet.Stamp) *flow {
	desc, status, marks := title+".", "", []string{mark}
	under := ""
	if r != nil {
		status = spelling.Capital(r.Status().String())
		if tag != "" {
			status, under = "Red tag "+tag+": faults are planted on this load", spelling.Capital(r.Status().OfPlan())
		}
		desc += " " + status + "."
		if r.Invented() {
			desc = "INVENTED. " + desc
			marks = append(marks, "INVENTED")
		}
	}
	version := ""
	if stamp.Version != "" {
		version = "Rig " + stamp.File + " · version SHA-256 " + stamp.Version
	}
	f := &flow{running.Paper{
		Title: title, Desc: desc, Foot: []string{caveat},
		Stamp: []string{fmt.Sprintf("Printed %s by %s", stamp.Date, stamp.Tool), version},
	}}
	f.Head = func() {
		if f.Number() > 1 {
			f.Running(spelling.Joined(" · ", status, title), spelling.Joined(" · ", marks...))
		}
	}
	f.Page()
	l := f.List()
	room := f.Area.W
	style := look.Title.WithSize(0.6 * look.SizeLoud)
	style.Leading = 1
	y := f.Y
	widest := 0.0
	for _, m := range marks {
		if m != "" {
			y += l.TextBox(draw.Pt(f.Area.X+f.Area.W, y), f.Area.W, m, style.At(draw.End, draw.CapTop)) + 1
			widest = max(widest, style.Width(m))
		}
	}
	if widest > 0 {
		room -= widest + look.Wide
	}
	if r != nil {
		usual := look.Title.WithSize(0.75 * look.SizeLoud)
		usual.Leading = 1
		loud := usual
		if tag != "" {
			loud = loud.WithSize(look.SizeLoud)
		}
		f.Y += l.TextBox(draw.Pt(f.Area.X, f.Y), room, strings.ToUpper(status), loud) + 1.5
		if under != "" {
			f.Y += l.TextBox(draw.Pt(f.Area.X, f.Y), room, under, usual) + 1.5
		}
	}
	f.Y += l.TextBox(draw.Pt(f.Area.X, f.Y), room, title, look.Title) + 1
	f.Y = max(f.Y, y)
	return f
}

// head writes a heading with a rule above it.
func (f *flow) head(text string) {
	f.Need(16)
	f.Y += 2
	f.Rule(look.Rule)
	f.Y += 1.5
	f.Write(text, look.Head)
	f.Y++
}

// figure draws a close-up in a frame with its name beneath.
func (f *flow) figure(d *likeness.Drawing, x, y, size float64, name string) {
	l := f.List()
	d.Framed(l, draw.Pt(x, y), size, true)
	l.Text(draw.Pt(x+size/2, y+size+3), name, look.Small.WithPaint(look.Ink).At(draw.Middle, draw.Baseline))
}

// box is an empty square with words beside it, and returns where the next may
// stand.
func (f *flow) box(x, y float64, words string) float64 {
	l := f.List()
	const side = 5.0
	l.Rect(draw.Rect{X: x, Y: y, W: side, H: side}, look.Outline, look.Paper)
	l.Text(draw.Pt(x+side+1.5, y+side/2), words, look.Body.At(draw.Start, draw.CapMiddle))
	return x + side + 1.5 + look.Body.Width(words) + 6
}
