package placard

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Kind is one of the three papers.
type Kind string

// The papers.
const (
	Placard Kind = "placard"
	Aircrew Kind = "aircrew"
	Team    Kind = "team"
)

// Kinds lists the papers in their order.
func Kinds() []Kind { return []Kind{Placard, Aircrew, Team} }

// Words names a paper.
func (k Kind) Words() string {
	return map[Kind]string{Placard: "Load placard", Aircrew: "Aircrew sheet", Team: "Hook-up team card"}[k]
}

// Stamp is what a paper says of its making.
type Stamp struct {
	Date     string // as it is to be printed
	Rig      string // SHA-256 of the rig file's bytes
	Brief    string // of the brief file; "" without one
	Aircraft string // of the aircraft file; "" without one
	File     string // name of the rig file
	Tool     string // program and version
}

// versionShown is how many digits of a version's SHA-256 a paper names: enough
// that no two versions of a school's files share them.
const versionShown = 16

// A4 standing and the type on it, mm. A5 is the same page made smaller by √½.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
	margin     = 10.0
	sizeText   = 4.6
	sizeHead   = 5.4
	sizeSmall  = 3.2
	sizeFoot   = 2.8
)

// Of draws the pages of a paper, A4 standing.
func Of(k Kind, b *brief.Brief, s Stamp) []*draw.Picture {
	switch k {
	case Placard:
		return []*draw.Picture{placard(b, s)}
	case Aircrew:
		return flow(k, b, s, aircrew(b))
	case Team:
		return flow(k, b, s, team(b))
	}
	panic("brief: there is no paper " + string(k))
}

// A5 is a page of A4 made smaller to A5.
func A5(p *draw.Picture) *draw.Picture {
	out := draw.New(p.Width*math.Sqrt2/2, p.Height*math.Sqrt2/2, p.Title, p.Desc)
	out.Embed(p, draw.Point{}, math.Sqrt2/2)
	return out
}

func page(k Kind, b *brief.Brief) *draw.Picture {
	desc := k.Words() + ". " + spelling.Capital(b.Status.String()) + "."
	if b.Draft() {
		desc += " DRAFT."
	}
	if b.Invented {
		desc = "INVENTED. " + desc
	}
	p := draw.New(pageWidth, pageHeight, k.Words()+": "+b.Title, desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	return p
}

func style(size float64, bold bool) draw.TextStyle {
	st := look.Body.WithSize(size).At(draw.Start, draw.CapTop)
	st.Bold = bold
	st.Leading = 1.22
	return st
}

// standing writes status, draft and title from the top of an area and returns
// where they end, and the size of the status: no number on the page may be as
// large.
func standing(l *draw.List, k Kind, b *brief.Brief, area draw.Rect, largest float64) (y, size float64) {
	y = area.Y
	text := strings.ToUpper(b.Status.String())
	room := area.W
	if b.Invented {
		mark := style(7, true)
		w := mark.Width("INVENTED") + 5
		box := draw.Rect{X: area.X + area.W - w, Y: y, W: w, H: 10.5}
		l.Rect(box, draw.Stroke{Paint: look.Ink, Width: 0.9}, draw.Paint{})
		l.Text(box.Center(), "INVENTED", mark.At(draw.Middle, draw.CapMiddle))
		room -= w + 5
	}
	st := style(largest, true)
	st.Leading = 1.06
	for st.Size > 8 && len(draw.Wrap(text, room, st)) > 2 {
		st.Size -= 0.25
	}
	y += math.Max(l.TextBox(draw.Pt(area.X, y), room, text, st), 11) + 1.5
	if b.Draft() {
		y = draft(l, b, draw.Rect{X: area.X, Y: y, W: area.W})
	} else if b.Authority != "" {
		y += l.TextBox(draw.Pt(area.X, y), area.W, "Final under the authority of "+spelling.Short(b.Authority, 200)+", with a test lift on record.", style(sizeText, true)) + 1
	}
	head := style(sizeHead, true)
	y += l.TextBox(draw.Pt(area.X, y), area.W, k.Words()+": "+spelling.Short(b.Title, 110), head)
	y += 1.2
	l.Line(draw.Pt(area.X, y), draw.Pt(area.X+area.W, y), draw.Stroke{Paint: look.Ink, Width: 0.7})
	return y + 2, st.Size
}

// draft is a black bar with the word, and beside it what has to come first.
func draft(l *draw.List, b *brief.Brief, area draw.Rect) float64 {
	word := style(9, true).WithPaint(look.Paper)
	w := word.Width("DRAFT") + 8
	text := b.Before()
	if text == "" {
		text = spelling.Capital(spelling.Short(strings.Join(b.Why, "; "), 260))
	}
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	st := style(4.3, true)
	h := math.Max(13, draw.TextHeight(text, area.W-w-4, st))
	l.Rect(draw.Rect{X: area.X, Y: area.Y, W: w, H: h}, draw.Stroke{}, look.Ink)
	l.Text(draw.Pt(area.X+w/2, area.Y+h/2), "DRAFT", word.At(draw.Middle, draw.CapMiddle))
	l.TextBox(draw.Pt(area.X+w+4, area.Y+(h-draw.TextHeight(text, area.W-w-4, st))/2), area.W-w-4, text, st)
	return area.Y + h + 2
}

// foot writes signature, caution and stamp from the bottom up and returns where
// they begin.
func foot(l *draw.List, b *brief.Brief, s Stamp, of string, area draw.Rect) float64 {
	small, strong := style(sizeFoot, false), style(sizeSmall, true)
	version := func(what, hash string) string {
		if hash == "" {
			return what + " version: none"
		}
		return what + " version " + hash[:min(versionShown, len(hash))]
	}
	lines := []string{
		fmt.Sprintf("%s · file %s · printed %s by %s", of, spelling.Short(s.File, 60), s.Date, s.Tool),
		version("Rig", s.Rig) + " · " + version("brief", s.Brief) + " · " + version("aircraft", s.Aircraft),
		"Holds for these versions only. After any change of one of them this paper is void.",
	}
	caution := rig.Caution
	h := 10 + draw.TextHeight(caution, area.W, strong)
	for _, t := range lines {
		h += draw.TextHeight(t, area.W, small)
	}
	y := area.Y + area.H - h
	top := y
	l.Line(draw.Pt(area.X, y), draw.Pt(area.X+area.W, y), draw.Stroke{Paint: look.Ink, Width: 0.5})
	sign(l, b, draw.Rect{X: area.X, Y: y, W: area.W, H: 9})
	y += 10
	y += l.TextBox(draw.Pt(area.X, y), area.W, caution, strong)
	for _, t := range lines {
		y += l.TextBox(draw.Pt(area.X, y), area.W, t, small)
	}
	return top - 2
}

// sign is where the papers are signed, or why they are not.
func sign(l *draw.List, b *brief.Brief, area draw.Rect) {
	st := style(sizeText, true).At(draw.Start, draw.CapMiddle)
	mid := area.Y + area.H/2 + 1
	switch {
	case b.Invented:
		l.Text(draw.Pt(area.X, mid), "INVENTED: not to be signed.", st)
		return
	case b.Draft():
		l.Text(draw.Pt(area.X, mid), "DRAFT: not to be signed.", st)
		return
	}
	x := area.X
	st.Bold = false
	for _, f := range []struct {
		word string
		room float64
	}{{"Inspected by", 70}, {"Day", 24}, {"Time", 20}} {
		l.Text(draw.Pt(x, mid), f.word, st)
		x += st.Width(f.word) + 2
		l.Line(draw.Pt(x, mid+2.4), draw.Pt(x+f.room, mid+2.4), draw.Stroke{Paint: look.Ink, Width: 0.35})
		x += f.room + 4
	}
}
