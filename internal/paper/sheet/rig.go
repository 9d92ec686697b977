package sheet

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/picture"
)

// Stamp is what a sheet says of its making.
type Stamp struct {
	Date    string // as it is to be printed
	Version string // SHA-256 of the rig file's bytes
	File    string // name of the rig file
	Tool    string // program and version
}

// A4 in millimetres, standing.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
)

// Rig is the one-page sheet of a rig: status and result above every number,
// the drawing, load and legs in tables, findings, what is not entered, the
// caution, and which version of the rig it was printed from.
func Rig(a *rig.Answer, s Stamp) *draw.Picture {
	r := a.Rig
	p := draw.New(pageWidth, pageHeight, r.Title(), "Rig sheet. "+a.Status.String()+". "+a.Result.Words()+".")
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(look.Margin)
	y := head(p, a, area)
	foot := footer(p, a, s, area)

	// The tables and lists take what they need, the drawing the rest.
	var below draw.List
	h := body(&below, a, area.W, foot-y-70)
	drawing := draw.Rect{X: area.X, Y: y, W: area.W, H: foot - y - h - look.Space}
	picture.Pair(&p.List, a.Rig, a, false, drawing)
	g := p.GroupAt(draw.Transform{Move: draw.Pt(area.X, drawing.Y+drawing.H+look.Space)})
	g.Items = below.Items
	return p
}

func head(p *draw.Picture, a *rig.Answer, area draw.Rect) float64 {
	y := area.Y
	p.Text(draw.Pt(area.X, y), strings.ToUpper(a.Status.String()), look.Loud.At(draw.Start, draw.CapTop))
	if a.Rig.Invented() {
		p.Text(draw.Pt(area.X+area.W, y), "INVENTED", look.Title.At(draw.End, draw.CapTop))
	}
	y += look.SizeLoud + look.Space
	if pr := a.Rig.Procedure(); pr != nil {
		var parts []string
		for _, x := range []string{pr.Publication, pr.Edition, pr.Change, pr.Paragraph} {
			if x != "" {
				parts = append(parts, x)
			}
		}
		y += p.TextBox(draw.Pt(area.X, y), area.W, strings.Join(parts, ", "), look.Body.At(draw.Start, draw.CapTop)) + 1
	}
	y += p.TextBox(draw.Pt(area.X, y), area.W, a.Rig.Title(), look.Title.At(draw.Start, draw.CapTop))
	style := look.Strong.At(draw.Start, draw.CapTop)
	if a.Result == rig.Over || a.Result == rig.DoesNotStand {
		style = style.WithPaint(look.Over)
	}
	words := a.Result.Words()
	y += p.TextBox(draw.Pt(area.X, y), area.W, strings.ToUpper(words[:1])+words[1:]+": "+shorten(a.Reason, 360), style)
	return y + look.Unit
}

// shorten keeps a text to about n letters.
func shorten(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n]) + "…"
}

// footer writes the caution and the stamp from the bottom up and returns where
// they begin.
func footer(p *draw.Picture, a *rig.Answer, s Stamp, area draw.Rect) float64 {
	small := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop)
	stamp := fmt.Sprintf("%s · rig version %s · file %s · printed %s by %s", a.Rig.Title(), shortVersion(s.Version), s.File, s.Date, s.Tool)
	caution := rig.Caution
	if d := a.Status.Draft(); d != "" {
		caution += " " + strings.ToUpper(d[:1]) + d[1:] + "."
	}
	void := "This sheet holds for that version of the rig only. After any change it is void."
	full := "SHA-256 " + s.Version
	width := area.W
	h := draw.TextHeight(caution, width, look.Strong) + draw.TextHeight(stamp, width, small) + draw.TextHeight(void, width, small) + draw.TextHeight(full, width, small) + 3
	y := area.Y + area.H - h
	top := y - look.Unit
	p.Line(draw.Pt(area.X, top), draw.Pt(area.X+width, top), look.Rule)
	y += p.TextBox(draw.Pt(area.X, y), width, caution, look.Strong.At(draw.Start, draw.CapTop)) + 1
	for _, t := range []string{stamp, full, void} {
		y += p.TextBox(draw.Pt(area.X, y), width, t, small)
	}
	return top - look.Unit
}

func shortVersion(v string) string {
	if len(v) > 12 {
		return v[:12]
	}
	return v
}

// body writes the tables and lists and returns their height, at most the one
// given: what does not fit is counted.
func body(l *draw.List, a *rig.Answer, width, most float64) float64 {
	show := a.Rig.Show()
	y := 0.0
	var loads [][]string
	for i, b := range a.Bodies {
		m := &a.Rig.Bodies()[i]
		known := m.Known
		if m.MassBand != nil {
			known += " ± " + show.Mass(*m.MassBand)
		}
		loads = append(loads, []string{b.ID, show.Mass(m.TotalMass()), known, picture.AttitudeWords(show, &a.Bodies[i])})
	}
	most -= picture.RowHeight * float64(len(loads)+len(a.Legs)+2)
	y += picture.Table(l, draw.Pt(0, y), width, look.SizeBody, []picture.Column{{"Load", 3, false}, {"weighs", 2, true}, {"known by", 3, false}, {"hangs", 6, false}}, loads) + look.Space
	var legs [][]string
	for i := range a.Legs {
		legs = append(legs, legRow(a, i))
	}
	y += picture.Table(l, draw.Pt(0, y), width, look.SizeBody, []picture.Column{
		{"Leg", 2, false}, {"count", 1.3, true}, {"to", 4, false}, {"pull", 2, true}, {"of rating", 2, true}, {"worst case", 2, true}, {"from vertical", 2.4, true},
	}, legs) + look.Space
	var lines []string
	for _, ap := range a.Apexes {
		lines = append(lines, fmt.Sprintf("Hook of %s carries %s.", ap.ID, show.Force(math.Sqrt(ap.Force[0]*ap.Force[0]+ap.Force[1]*ap.Force[1]+ap.Force[2]*ap.Force[2]))))
	}
	for _, s := range a.Sets {
		text := fmt.Sprintf("Set %s carries %s", s.ID, show.Force(s.Load))
		if s.Rated > 0 {
			text += fmt.Sprintf(", %s of its plate", show.Percent(s.Load/s.Rated))
		}
		lines = append(lines, text+".")
	}
	for _, f := range a.Findings {
		lines = append(lines, fmt.Sprintf("%s, %s: %s", strings.ToUpper(f.Level.String()[:1])+f.Level.String()[1:], f.About, f.Text))
	}
	if len(a.Missing) > 0 {
		lines = append(lines, "Not entered: "+strings.Join(a.Missing, ", ")+".")
	} else {
		lines = append(lines, "Every part of the load path has a limit entered.")
	}
	start := y
	style := look.Body.At(draw.Start, draw.CapTop)
	for i, t := range lines {
		h := draw.TextHeight(t, width, style)
		if y-start+h > most && i < len(lines)-1 {
			y += l.TextBox(draw.Pt(0, y), width, fmt.Sprintf("and %d more, on the screen and in solve", len(lines)-i), look.Strong.At(draw.Start, draw.CapTop))
			break
		}
		y += l.TextBox(draw.Pt(0, y), width, t, style)
	}
	return y
}

func legRow(a *rig.Answer, i int) []string {
	x := &a.Legs[i]
	l := &a.Rig.Legs()[i]
	show := a.Rig.Show()
	count, pull, angle := "–", show.Force(x.Tension), show.Angle(x.Angle)
	if l.Count != nil {
		count = fmt.Sprint(*l.Count)
	}
	if x.Slack {
		pull, angle = "slack", "–"
	}
	var to []string
	for _, ref := range l.To {
		to = append(to, ref.String())
	}
	use, worst := "not rated", "not rated"
	if x.Allowed > 0 {
		use, worst = show.Percent(x.Use), show.Percent(x.WorstUse())
	}
	return []string{x.ID, count, strings.Join(to, ", "), pull, use, worst, angle}
}
