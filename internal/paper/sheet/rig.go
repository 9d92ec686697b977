package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
	"hangtrue/internal/paper/picture"
)

// Stamp is what a sheet says of its making.
type Stamp struct {
	Date    string // as it is to be printed
	Version string // SHA-256 of the rig file's bytes
	File    string // name of the rig file
	Tool    string // program and version
}

// leastDrawing is the height that the drawing keeps however much is to be said,
// mm.
const leastDrawing = 95

// The most rows that the tables have; what is left out is counted.
const (
	mostLoads = 6
	mostLegs  = 12
)

// Rig is the one-page sheet of a rig: status and result above every number,
// the drawing, load and legs in tables, findings, what is not entered, the
// caution, and which version of the rig it was printed from. What does not fit
// on the page is counted on it.
func Rig(a *rig.Answer, s Stamp) *draw.Picture {
	r := a.Rig
	desc := "Rig sheet. " + spelling.Capital(a.Status.String()) + ". " + spelling.Capital(a.Result.Words()) + "."
	if r.Invented() {
		desc = "INVENTED. " + desc
	}
	p := draw.New(running.Width, running.Height, r.Title(), desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(look.Margin)
	y := head(p, a, area)
	foot := footer(p, a, s, area)

	// The tables and lists take what they need, the drawing the rest.
	var below draw.List
	h := body(&below, a, area.W, foot-y-leastDrawing)
	drawing := draw.Rect{X: area.X, Y: y, W: area.W, H: foot - y - h - look.Space}
	picture.Pair(&p.List, r, a, false, drawing)
	g := p.GroupAt(draw.Transform{Move: draw.Pt(area.X, drawing.Y+drawing.H+look.Space)})
	g.Items = below.Items
	return p
}

func head(p *draw.Picture, a *rig.Answer, area draw.Rect) float64 {
	y := area.Y + Status(&p.List, a.Rig, area)
	if text := a.Rig.Procedure().Words(); text != "" {
		y += p.TextBox(draw.Pt(area.X, y), area.W, spelling.Short(text, 200), look.Body) + look.Unit
	}
	y += p.TextBox(draw.Pt(area.X, y), area.W, spelling.Short(a.Rig.Title(), 160), look.Title)
	style := look.Strong
	if a.Result == rig.Over || a.Result == rig.DoesNotStand {
		style = style.WithPaint(look.Over)
	}
	y += p.TextBox(draw.Pt(area.X, y), area.W, spelling.Capital(a.Result.Words())+": "+spelling.Short(a.Reason, 360), style)
	return y + 1.5*look.Unit
}

// footer writes the caution and the stamp from the bottom up and returns where
// they begin.
func footer(p *draw.Picture, a *rig.Answer, s Stamp, area draw.Rect) float64 {
	small := look.Small.WithPaint(look.Ink).At(draw.Start, draw.CapTop)
	strong := look.Strong.At(draw.Start, draw.CapTop)
	caution := rig.Caution
	if d := a.Status.Draft(); d != "" {
		caution += " " + spelling.Capital(d) + "."
	}
	lines := []string{
		fmt.Sprintf("%s · file %s · printed %s by %s", spelling.Short(a.Rig.Title(), 90), spelling.Short(s.File, 60), s.Date, s.Tool),
		"Rig version SHA-256 " + s.Version,
		"This sheet holds for that version of the rig only. After any change it is void.",
	}
	h := draw.TextHeight(caution, area.W, strong) + look.Unit
	for _, t := range lines {
		h += draw.TextHeight(t, area.W, small)
	}
	y := area.Y + area.H - h
	top := y - look.Unit
	p.Line(draw.Pt(area.X, top), draw.Pt(area.X+area.W, top), look.Rule)
	y += p.TextBox(draw.Pt(area.X, y), area.W, caution, strong) + look.Unit
	for _, t := range lines {
		y += p.TextBox(draw.Pt(area.X, y), area.W, t, small)
	}
	return top - look.Space
}

// body writes the legend, the tables and the lists and returns their height, at
// most the one given: what does not fit is counted.
func body(l *draw.List, a *rig.Answer, width, most float64) float64 {
	picture.Legend(l, draw.Pt(0, 1), width)
	y := 2 + look.Space
	y += picture.Table(l, draw.Pt(0, y), width, look.SizeBody, []picture.Column{
		words("Load", 3), number("weighs", 2), words("known by", 3), words("hangs", 6),
	}, atMost(loadRows(a), mostLoads)) + look.Space
	y += picture.Table(l, draw.Pt(0, y), width, look.SizeBody, []picture.Column{
		words("Leg", 2), number("count", 1.3), words("to", 4), number("pull", 2), number("of rating", 2), number("worst case", 2), number("from vertical", 2.4),
	}, atMost(legRows(a), mostLegs)) + look.Space
	style := look.Body.At(draw.Start, draw.CapTop)
	lines := says(a)
	for i, t := range lines {
		st := style
		if t.over {
			st = style.WithPaint(look.Over)
		}
		h := draw.TextHeight(t.text, width, st)
		rest := 0.0 // room for the line that counts what is left out
		if i < len(lines)-1 {
			rest = style.LineHeight()
		}
		if y+h+rest > most {
			return y + l.TextBox(draw.Pt(0, y), width, fmt.Sprintf("And %d more, which the full answer lists.", len(lines)-i), look.Strong.At(draw.Start, draw.CapTop))
		}
		y += l.TextBox(draw.Pt(0, y), width, t.text, st)
	}
	return y
}

func words(head string, width float64) picture.Column {
	return picture.Column{Head: head, Width: width}
}

func number(head string, width float64) picture.Column {
	return picture.Column{Head: head, Width: width, Right: true}
}

// atMost keeps a table to a number of rows, the last of which counts the rest.
func atMost(rows [][]string, n int) [][]string {
	if len(rows) <= n {
		return rows
	}
	last := make([]string, len(rows[0]))
	last[0] = fmt.Sprintf("and %d more", len(rows)-n+1)
	return append(slices.Clone(rows[:n-1]), last)
}

func loadRows(a *rig.Answer) [][]string {
	show := a.Rig.Show()
	var rows [][]string
	for i := range a.Bodies {
		m := &a.Rig.Bodies()[i]
		known := m.Known
		if known == "" {
			known = "not stated"
		}
		if m.MassBand != nil {
			known += " ± " + show.Mass(*m.MassBand)
		}
		hangs := picture.AttitudeWords(show, &a.Bodies[i])
		if !a.Bodies[i].Joined {
			hangs = "joined to no hook"
		}
		rows = append(rows, []string{a.Bodies[i].ID, show.Mass(m.TotalMass()), known, hangs})
	}
	return rows
}

func legRows(a *rig.Answer) [][]string {
	var rows [][]string
	show := a.Rig.Show()
	for i := range a.Legs {
		x, l := &a.Legs[i], &a.Rig.Legs()[i]
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
		rows = append(rows, []string{x.ID, count, strings.Join(to, ", "), pull, use, worst, angle})
	}
	return rows
}

// line is one thing that the sheet says; over if a limit is passed.
type line struct {
	text string
	over bool
}

// says lists what the hooks and sets carry, what is not entered, and the
// findings, the gravest first.
func says(a *rig.Answer) []line {
	show := a.Rig.Show()
	var carry []string
	for _, ap := range a.Apexes {
		f := math.Sqrt(ap.Force[0]*ap.Force[0] + ap.Force[1]*ap.Force[1] + ap.Force[2]*ap.Force[2])
		carry = append(carry, fmt.Sprintf("Hook of %s carries %s.", ap.ID, show.Force(f)))
	}
	for _, s := range a.Sets {
		text := fmt.Sprintf("Set %s carries %s", s.ID, show.Force(s.Load))
		if s.Rated > 0 {
			text += fmt.Sprintf(", %s of its plate", show.Percent(s.Load/s.Rated))
		}
		carry = append(carry, text+".")
	}
	out := []line{{text: strings.Join(carry, " ")}}
	if len(a.Missing) > 0 {
		out = append(out, line{text: "Not entered: " + spelling.Short(strings.Join(a.Missing, ", "), 400) + "."})
	} else {
		out = append(out, line{text: "Every part of the load path has a limit entered."})
	}
	findings := slices.Clone(a.Findings)
	slices.SortStableFunc(findings, func(x, y rig.Finding) int { return int(y.Level) - int(x.Level) })
	for _, f := range findings {
		text := fmt.Sprintf("%s, %s: %s", spelling.Capital(strings.ReplaceAll(f.Level.String(), "-", " ")), f.About, f.Text)
		out = append(out, line{strings.TrimSuffix(text, ".") + ".", f.Level == rig.Exceeded})
	}
	return out
}
