package chart

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

var paper = look.Paper

// Sizes of the legend in mm.
const (
	sampleLength = 9
	sampleGap    = 1.2
	entryGap     = 5
)

// legend draws the names of the series in rows above the plot and returns where
// the rows end.
func (p Plot) legend(l *draw.List, at draw.Rect) float64 {
	row := look.Body.LineHeight()
	x, y, any := at.X, at.Y, false
	for i, s := range p.Series {
		if s.Name == "" {
			continue
		}
		w := sampleLength + sampleGap + look.Body.Width(s.Name)
		if any && x+w > at.X+at.W && x > at.X {
			x, y = at.X, y+row
		}
		any = true
		mid := y + row/2
		a, b := draw.Pt(x, mid), draw.Pt(x+sampleLength, mid)
		if s.Kind == Area {
			r := draw.Rect{X: x, Y: mid, W: sampleLength, H: row * 0.35}
			fill := s.Fill
			if !fill.Visible() {
				fill = look.Wash
			}
			l.Rect(r, draw.Stroke{}, fill)
			l.Hatch(2, -45, look.HatchLine, r.Corners())
		}
		if s.Kind != Marks {
			l.Line(a, b, s.stroke(i))
		}
		s.marker(i).draw(l, a.Lerp(b, 0.5), s.stroke(i))
		l.Text(b.Add(draw.Pt(sampleGap, 0)), s.Name, look.Body.At(draw.Start, draw.CapMiddle))
		x += w + entryGap
	}
	if !any {
		return at.Y
	}
	return y + row + look.Unit
}

// most line pieces of one series that words keep away from; more are thinned
// out, which is the same to the eye.
const mostPieces = 150

// words puts the names of limits, the levels of contours and the notes.
func (p Plot) words(l *draw.List, v View) {
	place := draw.Labels{Bounds: v.Area.Inset(0.6), Gap: 0.4, Leader: 3}
	for _, s := range p.Series {
		if s.Kind == Marks {
			for _, q := range s.Points {
				if finite(q) && v.holds(q) {
					c := v.Map(q)
					place.Avoid(draw.Rect{X: c.X, Y: c.Y}.Inset(-markerSize))
				}
			}
			continue
		}
		for _, run := range s.runs(v) {
			place.AvoidPolyline(thin(run)...)
		}
	}
	for _, m := range p.Limits {
		a, b := m.ends(v)
		place.AvoidLine(a, b)
	}
	var labels []draw.Label
	for _, m := range p.Limits {
		if m.Label == "" {
			continue
		}
		labels = append(labels, m.label(v))
	}
	for i, s := range p.Series {
		if at, ok := s.middle(v); ok && s.Inline != "" {
			st := look.Small.WithPaint(s.stroke(i).Paint).WithHalo(paper)
			labels = append(labels, draw.Label{Lines: []string{s.Inline}, Style: st, Anchor: at, Prefer: draw.Pt(0, -1), Clear: 0.8, Wide: true})
		}
	}
	for _, n := range p.Notes {
		if finite(n.At) && v.holds(n.At) && n.Text != "" {
			labels = append(labels, draw.Label{Lines: []string{n.Text}, Style: look.OnDrawing, Anchor: v.Map(n.At), Prefer: n.Prefer, Clear: markerSize + 0.6})
		}
	}
	l.Labels(place.Place(labels), look.Leader)
}

// label stands on the inner side of the limit, towards the end of its line.
func (m Limit) label(v View) draw.Label {
	st := look.Body.WithPaint(look.Over).WithHalo(paper)
	w := st.Width(m.Label)
	side := -float64(m.Beyond)
	if m.Beyond == Neither {
		side = 1
	}
	a, b := m.ends(v)
	clear := 1.0
	if m.OnX {
		return draw.Label{Lines: []string{m.Label}, Style: st, Anchor: b.Lerp(a, 0.12), Prefer: draw.Pt(side, 0), Clear: clear}
	}
	at := b.Sub(draw.Pt(min(w/2+2, v.Area.W/2), 0))
	return draw.Label{Lines: []string{m.Label}, Style: st, Anchor: at, Prefer: draw.Pt(0, -side), Clear: clear}
}

func thin(run []draw.Point) []draw.Point {
	every := len(run)/mostPieces + 1
	if every == 1 {
		return run
	}
	var out []draw.Point
	for i := 0; i < len(run); i += every {
		out = append(out, run[i])
	}
	return append(out, run[len(run)-1])
}

// middle is the point halfway along the longest run of the series that lies
// inside the area.
func (s Series) middle(v View) (at draw.Point, ok bool) {
	best := 0.0
	for _, run := range s.runs(v) {
		var in []draw.Point
		length := 0.0
		for _, q := range run {
			if !v.Area.Contains(q) {
				continue
			}
			if n := len(in); n > 0 {
				length += q.Sub(in[n-1]).Len()
			}
			in = append(in, q)
		}
		if length <= best {
			continue
		}
		best = length
		half := length / 2
		for i := 1; i < len(in); i++ {
			d := in[i].Sub(in[i-1]).Len()
			if half <= d {
				at, ok = in[i-1].Lerp(in[i], half/d), true
				break
			}
			half -= d
		}
	}
	return at, ok
}
