// Package chart draws plots with linear axes into a picture: lines, steps,
// areas, contour lines and markers over a grid with ticks at round numbers.
//
// Series are told apart by dash and marker as well as by colour. Words inside
// the plot (limits, contour levels, notes) are placed so that they overlap
// neither each other nor, where there is room, the lines. The label of the y
// axis stands level above the axis, where it can be read without turning the
// sheet.
package chart

import (
	"math"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Kind is how the points of a series are drawn.
type Kind uint8

// The kinds of series.
const (
	Line  Kind = iota // straight from point to point
	Step              // level to the next point's x, then up or down
	Area              // a line with the area down to Base filled and hatched
	Marks             // markers only
)

// Series is one set of data. A point that is not finite breaks the line.
type Series struct {
	Name   string // in the legend; a series without a name is not listed
	Kind   Kind
	Points []draw.Point
	Base   float64     // y of the foot of an Area
	Marker Marker      // Default: one for each point of Marks, none otherwise
	Stroke draw.Stroke // zero: that of the series' place in the plot (look.Series)
	Fill   draw.Paint  // of an Area; zero: look.Wash
	Inline string      // words put beside the middle of the line, such as the level of a contour
}

// Side is a side of a limit.
type Side int8

// The sides of a limit; Neither marks none.
const (
	Below   Side = -1
	Neither Side = 0
	Above   Side = 1
)

// Limit is a line across the plot at a value of one axis, hatched on the side
// that lies beyond it.
type Limit struct {
	OnX    bool // at a value of x; of y otherwise
	At     float64
	Label  string
	Beyond Side
}

// Note is a word at a point, with a leader where it has to stand apart.
type Note struct {
	At     draw.Point // in the units of the axes
	Text   string
	Marker Marker
	Prefer draw.Point // direction on the paper; zero means right
}

// Plot is a chart before it has a place.
type Plot struct {
	Title  string
	X, Y   Axis
	Series []Series
	Limits []Limit
	Notes  []Note
}

// View is where a plot's area lies on the paper and how its values get there,
// for whatever is to be drawn over it.
type View struct {
	Area   draw.Rect
	x0, x1 float64
	y0, y1 float64
}

// Map is the place on the paper of a value.
func (v View) Map(p draw.Point) draw.Point {
	return draw.Point{
		X: v.Area.X + (p.X-v.x0)/(v.x1-v.x0)*v.Area.W,
		Y: v.Area.Y + v.Area.H - (p.Y-v.y0)/(v.y1-v.y0)*v.Area.H,
	}
}

// Draw draws the plot with its title, legend and axes into a frame of the paper
// and returns its view. A frame too small for anything but words leaves an area
// of a millimetre.
func (p Plot) Draw(l *draw.List, frame draw.Rect) View {
	top := frame.Y
	if p.Title != "" {
		top += l.TextBox(draw.Pt(frame.X, top), frame.W, p.Title, look.Head) + look.Unit
	}
	top = p.legend(l, draw.Rect{X: frame.X, Y: top, W: frame.W})
	v := p.layout(frame, top)
	p.axes(l, v, frame, top)
	p.data(l, v)
	p.words(l, v)
	return v
}

// bounds are the least and greatest values of all series, limits and notes.
func (p Plot) bounds() (x, y span) {
	x, y = empty, empty
	for _, s := range p.Series {
		for _, q := range s.Points {
			if finite(q) {
				x.take(q.X)
				y.take(q.Y)
			}
		}
		if s.Kind == Area {
			y.take(s.Base)
		}
	}
	for _, m := range p.Limits {
		if m.OnX {
			x.take(m.At)
		} else {
			y.take(m.At)
		}
	}
	for _, n := range p.Notes {
		if finite(n.At) {
			x.take(n.At.X)
			y.take(n.At.Y)
		}
	}
	// A line along the frame is hard to read: y gets room above and below, but is
	// not pushed across zero by it; a limit gets room for its hatch.
	y.widen(0.03)
	for _, m := range p.Limits {
		if m.OnX {
			x.take(m.At + float64(m.Beyond)*0.04*x.size())
		} else {
			y.take(m.At + float64(m.Beyond)*0.04*y.size())
		}
	}
	return x, y
}

func finite(p draw.Point) bool {
	return !math.IsNaN(p.X) && !math.IsNaN(p.Y) && !math.IsInf(p.X, 0) && !math.IsInf(p.Y, 0)
}

// data draws limits and series inside the area.
func (p Plot) data(l *draw.List, v View) {
	g := l.Group("", "")
	clip := v.Area
	g.Clip = &clip
	for _, s := range p.Series {
		if s.Kind == Area {
			s.area(&g.List, v)
		}
	}
	for _, m := range p.Limits {
		m.draw(&g.List, v)
	}
	for i, s := range p.Series {
		if s.Kind == Marks {
			continue
		}
		path := draw.Path{Stroke: s.stroke(i)}
		for _, run := range s.runs(v) {
			path.Polyline(run, false)
		}
		if len(path.Segs) > 0 {
			g.Add(path)
		}
	}
	l.Rect(v.Area, look.Axis, draw.Paint{})
	// Markers on the edge of the area stay whole.
	for i, s := range p.Series {
		m := s.marker(i)
		for _, q := range s.Points {
			if finite(q) && v.holds(q) {
				m.draw(l, v.Map(q), s.stroke(i))
			}
		}
	}
	for _, n := range p.Notes {
		if finite(n.At) && v.holds(n.At) {
			n.Marker.draw(l, v.Map(n.At), look.Outline)
		}
	}
}

func (v View) holds(p draw.Point) bool {
	return v.Area.Inset(-1e-6).Contains(v.Map(p))
}

func (s Series) stroke(i int) draw.Stroke {
	if s.Stroke.Visible() {
		return s.Stroke
	}
	return look.Series(i)
}

func (s Series) marker(i int) Marker {
	switch {
	case s.Marker != Default:
		return s.Marker
	case s.Kind == Marks:
		return Circle + Marker(i)%(markerEnd-Circle)
	}
	return NoMarker
}

// runs are the unbroken lines of the series on the paper.
func (s Series) runs(v View) [][]draw.Point {
	var runs [][]draw.Point
	var cur []draw.Point
	for _, q := range s.Points {
		if !finite(q) {
			if len(cur) > 0 {
				runs = append(runs, cur)
			}
			cur = nil
			continue
		}
		at := v.Map(q)
		if s.Kind == Step && len(cur) > 0 {
			cur = append(cur, draw.Pt(at.X, cur[len(cur)-1].Y))
		}
		cur = append(cur, at)
	}
	if len(cur) > 0 {
		runs = append(runs, cur)
	}
	return runs
}

func (s Series) area(l *draw.List, v View) {
	fill := s.Fill
	if !fill.Visible() {
		fill = look.Wash
	}
	foot := v.Map(draw.Pt(0, s.Base)).Y
	for _, run := range s.runs(v) {
		pts := append([]draw.Point{draw.Pt(run[0].X, foot)}, run...)
		pts = append(pts, draw.Pt(run[len(run)-1].X, foot))
		l.Polygon(pts, draw.Stroke{}, fill)
		l.Hatch(2, -45, look.HatchLine, pts)
	}
}

// band is how far in mm the hatch reaches beyond a limit.
const band = 1.6

func (m Limit) draw(l *draw.List, v View) {
	a, b := m.ends(v)
	if m.Beyond != Neither {
		out := draw.Pt(0, -band*float64(m.Beyond))
		if m.OnX {
			out = draw.Pt(band*float64(m.Beyond), 0)
		}
		l.Hatch(1, -45, look.HatchLine.WithPaint(look.Over), []draw.Point{a, b, b.Add(out), a.Add(out)})
	}
	l.Line(a, b, look.Limit)
}

func (m Limit) ends(v View) (a, b draw.Point) {
	if m.OnX {
		x := v.Map(draw.Pt(m.At, 0)).X
		return draw.Pt(x, v.Area.Y+v.Area.H), draw.Pt(x, v.Area.Y)
	}
	y := v.Map(draw.Pt(0, m.At)).Y
	return draw.Pt(v.Area.X, y), draw.Pt(v.Area.X+v.Area.W, y)
}
