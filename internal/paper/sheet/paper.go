package sheet

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
)

// Paper begins a paper of several pages about a rig: its status stands on every
// page, on the first above and larger than every number. what is the paper, such
// as Handout; last is the last line of every foot.
func Paper(r *rig.Rig, what, last string, s Stamp) *running.Paper {
	status := spelling.Capital(r.Status().String())
	desc, mark := what+". "+status+".", ""
	if r.Invented() {
		desc, mark = "INVENTED. "+desc, "INVENTED"
	}
	p := &running.Paper{
		Title: what + ": " + spelling.Short(r.Title(), 200), Desc: desc, Foot: []string{rig.Caution},
		Stamp: []string{fmt.Sprintf("File %s · printed %s by %s", spelling.Short(s.File, 60), s.Date, s.Tool), last},
	}
	p.Head = func() {
		if p.Number() > 1 {
			p.Running(spelling.Joined(" · ", what, status, r.Title()), mark)
		}
	}
	p.Page()
	p.Y += Status(p.List(), r, p.Area)
	p.Write(spelling.Short(r.Procedure().Words(), 200), look.Body)
	if x := r.Status().Draft(); x != "" {
		p.Write(spelling.Capital(x)+".", look.Body)
	}
	p.Write(what+": "+spelling.Short(r.Title(), 160), look.Title)
	return p
}

// Status writes a rig's status across the top of an area, on one line if it can
// be, and INVENTED beside it where the rig is. It returns the height used.
func Status(l *draw.List, r *rig.Rig, area draw.Rect) float64 {
	room := area.W
	if r.Invented() {
		style := look.Title.WithSize(0.8 * look.SizeLoud)
		style.Leading = 1
		l.TextBox(draw.Pt(area.X+area.W, area.Y), area.W, "INVENTED", style.At(draw.End, draw.CapTop))
		room -= style.Width("INVENTED") + look.Wide
	}
	style := look.Loud
	style.Leading = 1
	text := strings.ToUpper(r.Status().String())
	if w := style.Width(text); w > room {
		style.Size = max(look.SizeTitle*1.2, style.Size*room/w*0.999)
	}
	return max(look.SizeLoud, l.TextBox(draw.Pt(area.X, area.Y), room, text, style)) + look.Unit
}
