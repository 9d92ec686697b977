package sheet

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/engine/rig/spread"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/study"
)

// CountMap is the one-page sheet of a count map: the head of the rig's own
// sheet, the map, and what one link off the planned pair does. An answer with
// nothing but its rig, status, result and reason will do.
func CountMap(a *rig.Answer, m *counts.Map, plan *study.Cell, found []study.Cell, s Stamp) *draw.Picture {
	p, area := studyPage(a, "Count map", s)
	words := fmt.Sprintf("Counts of %s across, of %s up. A count is the link in the grab hook, from the chain's free end; a higher count is a shorter leg.", groupWords(m.A), groupWords(m.B))
	if len(found) > 0 {
		words += " Found counts are computed, not approved: they are not the plan."
	}
	area = paragraph(p, area, words)
	var below draw.List
	h := 0.0
	if plan != nil {
		h += below.TextBox(draw.Pt(0, h), area.W, "The planned pair and its neighbours, one link off", look.Strong.At(draw.Start, draw.CapTop)) + look.Unit
		h += picture.Table(&below, draw.Pt(0, h), area.W, look.SizeBody, neighbourColumns(a.Rig, m), neighbourRows(a.Rig, m, *plan))
	}
	size := min(area.H-h-look.Space, area.W*0.95)
	study.DrawCountMap(&p.List, m, plan, found, draw.Rect{X: area.X, Y: area.Y, W: area.W, H: size})
	p.GroupAt(draw.Transform{Move: draw.Pt(area.X, area.Y+size+look.Space)}).Items = below.Items
	return p
}

func groupWords(g counts.Group) string {
	return fmt.Sprintf("%s (%s)", g.Name, strings.Join(g.IDs, ", "))
}

func neighbourColumns(r *rig.Rig, m *counts.Map) []picture.Column {
	return []picture.Column{number(m.A.Name, 1.4), number(m.B.Name, 1.4), number("pitch", 2), number("roll", 2), number(counts.LoadWords(r), 2.2), words("limits that depend on counts", 5)}
}

// neighbourRows lists the planned pair first, then the pairs one link off.
func neighbourRows(r *rig.Rig, m *counts.Map, plan study.Cell) [][]string {
	show := r.Show()
	var rows [][]string
	for _, c := range study.Neighbours(m, plan) {
		x := m.At(c.A, c.B)
		row := []string{fmt.Sprint(c.A), fmt.Sprint(c.B), "–", "–", "–", "does not stand"}
		if x.Settled && !x.Falls {
			row[2], row[3], row[4] = show.Angle(x.Pitch), show.Angle(x.Roll), show.Percent(x.Load())
			row[5] = "kept"
			if !x.Within() {
				row[5] = "OVER"
			}
		}
		if c == plan {
			row[5] = "planned: " + row[5]
		}
		rows = append(rows, row)
	}
	return rows
}

// Spread is the one-page sheet of a spread: the head of the rig's own sheet, its
// words, the distributions, the tolerances and which input matters most.
func Spread(a *rig.Answer, x *spread.Spread, s Stamp) *draw.Picture {
	p, area := studyPage(a, "Spread", s)
	y := area.Y
	y += p.TextBox(draw.Pt(area.X, y), area.W, spelling.Capital(x.Words())+".", look.Title.At(draw.Start, draw.CapTop)) + look.Space
	area.H -= y - area.Y
	area.Y = y
	var below draw.List
	h := 0.0
	show := a.Rig.Show()
	h += picture.Table(&below, draw.Pt(0, h), area.W, look.SizeBody, []picture.Column{
		words("Result", 3), number("as entered", 2), number("least", 2), number("5 of 100 below", 2.4), number("middle", 2), number("5 of 100 above", 2.4), number("most", 2),
	}, [][]string{
		distributionRow(x.UseWords(), x.Use, show.Percent), distributionRow("pitch", x.Pitch, show.Angle), distributionRow("roll", x.Roll, show.Angle),
	}) + look.Space
	h += below.TextBox(draw.Pt(0, h), area.W, "Tolerances: "+strings.Join(spread.InWords(a.Rig, x.Tolerances), "; ")+fmt.Sprintf(". Seed %d: the same seed gives the same cases.", x.Seed), look.Body.At(draw.Start, draw.CapTop)) + look.Space
	if len(x.Effects) > 0 {
		h += below.TextBox(draw.Pt(0, h), area.W, "Which input matters most: total effect, the share of the variance left if all but it were known (Jansen 1999)", look.Strong.At(draw.Start, draw.CapTop)) + look.Unit
		var rows [][]string
		for _, e := range x.Effects {
			rows = append(rows, []string{e.Name, show.Percent(e.Use), show.Percent(e.Pitch), show.Percent(e.Roll)})
		}
		h += picture.Table(&below, draw.Pt(0, h), area.W, look.SizeBody, []picture.Column{words("Input", 4), number(x.UseWords(), 2), number("pitch", 2), number("roll", 2)}, rows)
	}
	study.DrawSpread(&p.List, a.Rig, x, draw.Rect{X: area.X, Y: area.Y, W: area.W, H: area.H - h - look.Space})
	p.GroupAt(draw.Transform{Move: draw.Pt(area.X, area.Y+area.H-h)}).Items = below.Items
	return p
}

func distributionRow(name string, d spread.Distribution, show func(float64) string) []string {
	return []string{name, show(d.Planned), show(d.Least), show(d.At[1]), show(d.At[2]), show(d.At[3]), show(d.Most)}
}

// studyPage is a page with the head and the foot of the rig's own sheet, and the
// area between them.
func studyPage(a *rig.Answer, what string, s Stamp) (*draw.Picture, draw.Rect) {
	desc := what + ". " + spelling.Capital(a.Status.String()) + "."
	if a.Rig.Invented() {
		desc = "INVENTED. " + desc
	}
	p := draw.New(running.Width, running.Height, what+" of "+a.Rig.Title(), desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(look.Margin)
	y := head(p, a, area)
	foot := footer(p, a, s, area)
	y += p.TextBox(draw.Pt(area.X, y), area.W, what, look.Head.At(draw.Start, draw.CapTop)) + look.Unit
	return p, draw.Rect{X: area.X, Y: y, W: area.W, H: foot - y}
}

func paragraph(p *draw.Picture, area draw.Rect, text string) draw.Rect {
	h := p.TextBox(draw.Pt(area.X, area.Y), area.W, text, look.Body.At(draw.Start, draw.CapTop)) + look.Unit
	area.Y += h
	area.H -= h
	return area
}
