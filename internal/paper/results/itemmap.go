package results

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/teach/report"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// mostRows is how many items one map shows.
const mostRows = 80

const (
	rowHeight  = 4.4
	bandHeight = 24 // of the students
	headHeight = 22
	axisHeight = 11
)

// ItemMap draws items and students on one scale: every row an item with its
// difficulty and 95 % interval, the hardest on top, and above them how many
// students have which ability. A student level with an item finds it half of the
// time. It is width mm wide and as high as its rows need.
func ItemMap(m *report.Model, title string, invented bool, width float64) *draw.Picture {
	var items []report.ModelItem
	for _, x := range m.Items {
		if x.Estimated {
			items = append(items, x)
		}
	}
	slices.SortStableFunc(items, func(a, b report.ModelItem) int { return cmp.Compare(b.Difficulty, a.Difficulty) })
	left := 0
	if len(items) > mostRows {
		left = len(items) - mostRows
		// The hardest and the easiest say most.
		items = append(items[:mostRows/2:mostRows/2], items[len(items)-mostRows/2:]...)
	}
	height := headHeight + bandHeight + rowHeight*float64(max(1, len(items))) + axisHeight
	desc := fmt.Sprintf("%d items and %d students on one scale of logits.", len(items), len(m.Who))
	if invented {
		desc = "INVENTED. " + desc
	}
	p := draw.New(width, height, title, desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(3)
	y := heading(&p.List, title, invented, area)
	note := "Logits: a student level with an item finds it half of the time, one step to the right of it 73 times in a hundred. Lines are 95 % intervals."
	if left > 0 {
		note += fmt.Sprintf(" %d items of the middle are left out.", left)
	}
	p.TextBox(draw.Pt(area.X, area.Y+y), area.W, note, look.Small.WithPaint(look.Ink))
	low, high := -1.0, 1.0
	for _, x := range items {
		low, high = min(low, x.Difficulty-z95*x.SE), max(high, x.Difficulty+z95*x.SE)
	}
	for _, w := range m.Who {
		if !math.IsNaN(w.Theta) {
			low, high = min(low, w.Theta), max(high, w.Theta)
		}
	}
	low, high = max(-8, math.Floor(low*2)/2), min(8, math.Ceil(high*2)/2)
	words := area.W * 0.48
	x0, x1 := area.X+words+2, area.X+area.W
	at := func(v float64) float64 { return x0 + (min(high, max(low, v))-low)/(high-low)*(x1-x0) }
	top := area.Y + headHeight - 3
	bottom := top + bandHeight + rowHeight*float64(max(1, len(items)))
	step := chart.Step125(high-low, 8)
	for v := math.Ceil(low/step) * step; v <= high+1e-9; v += step {
		p.Line(draw.Pt(at(v), top), draw.Pt(at(v), bottom), look.GridLine)
		p.Text(draw.Pt(at(v), bottom+1), chart.Figure(v, step), look.Body.At(draw.Middle, draw.CapTop))
	}
	p.Text(draw.Pt(x0, bottom+4.6), "easier", look.Body.At(draw.Start, draw.CapTop))
	p.Text(draw.Pt((x0+x1)/2, bottom+4.6), "logits", look.Body.At(draw.Middle, draw.CapTop))
	p.Text(draw.Pt(x1, bottom+4.6), "harder", look.Body.At(draw.End, draw.CapTop))
	students(&p.List, m, at, low, high, draw.Rect{X: area.X, Y: top, W: words, H: bandHeight})
	style := look.Body.WithSize(2.3)
	for i, x := range items {
		y := top + bandHeight + rowHeight*(float64(i)+.5)
		g := p.Group("", fmt.Sprintf("%s: %.2f logits, standard error %.2f", x.Text, x.Difficulty, x.SE))
		g.Text(draw.Pt(area.X, y), draw.OneLine(x.Text, words, style), style.At(draw.Start, draw.CapMiddle))
		g.Line(draw.Pt(at(x.Difficulty-z95*x.SE), y), draw.Pt(at(x.Difficulty+z95*x.SE), y), look.Outline)
		g.Circle(draw.Pt(at(x.Difficulty), y), 0.9, look.Outline, look.Ink)
	}
	p.Line(draw.Pt(area.X, top+bandHeight), draw.Pt(area.X+area.W, top+bandHeight), look.Rule)
	return p
}

const z95 = 1.959963984540054

// students draws how many have which ability, in steps of half a logit.
func students(l *draw.List, m *report.Model, at func(float64) float64, low, high float64, words draw.Rect) {
	const step = 0.5
	count := make([]int, int(math.Ceil((high-low)/step))+1)
	all, most := 0, 1
	for _, w := range m.Who {
		if math.IsNaN(w.Theta) {
			continue
		}
		k := min(len(count)-1, max(0, int(math.Floor((w.Theta-low)/step))))
		count[k]++
		all++
		most = max(most, count[k])
	}
	l.TextBox(draw.Pt(words.X, words.Y+2), words.W-2, fmt.Sprintf("%d students, by ability in steps of half a logit; the highest step has %d", all, most), look.Body)
	foot := words.Y + words.H - 1
	for k, n := range count {
		if n == 0 {
			continue
		}
		a, b := at(low+step*float64(k)), at(low+step*float64(k+1))
		h := (words.H - 7) * float64(n) / float64(most)
		l.Rect(draw.Rect{X: a + .2, Y: foot - h, W: max(.4, b-a-.4), H: h}, look.Detail, look.Load)
		if b-a > 3 {
			l.Text(draw.Pt((a+b)/2, foot-h-.6), fmt.Sprint(n), look.Small.WithPaint(look.Ink).At(draw.Middle, draw.Baseline))
		}
	}
}

// heading writes a picture's title with the mark of what is invented, and
// returns its height.
func heading(l *draw.List, title string, invented bool, area draw.Rect) float64 {
	room := area.W
	if invented {
		style := look.Head
		w := style.Width("INVENTED") + 5
		box := draw.Rect{X: area.X + area.W - w, Y: area.Y, W: w, H: 6.5}
		l.Rect(box, draw.Stroke{Paint: look.Ink, Width: 0.6}, draw.Paint{})
		l.Text(box.Center(), "INVENTED", style.At(draw.Middle, draw.CapMiddle))
		room -= w + 3
	}
	l.Text(draw.Pt(area.X, area.Y+1.5), draw.OneLine(title, room, look.Head), look.Head.At(draw.Start, draw.CapTop))
	return 8
}
