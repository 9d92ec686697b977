package draw

// Line draws from a to b.
func (l *List) Line(a, b Point, s Stroke) { l.Polyline([]Point{a, b}, s) }

// Polyline draws through the points, open.
func (l *List) Polyline(pts []Point, s Stroke) {
	if len(pts) < 2 {
		return
	}
	p := Path{Stroke: s}
	p.Polyline(pts, false)
	l.Add(p)
}

// Polygon draws the closed outline through the points and fills it.
func (l *List) Polygon(pts []Point, s Stroke, fill Paint) {
	if len(pts) < 2 {
		return
	}
	p := Path{Stroke: s, Fill: fill}
	p.Polyline(pts, true)
	l.Add(p)
}

// Circle draws a circle of radius r mm about c.
func (l *List) Circle(c Point, r float64, s Stroke, fill Paint) { l.Ellipse(c, r, r, 0, s, fill) }

// Ellipse draws an ellipse with radii rx and ry mm, its x radius turned by turn degrees.
func (l *List) Ellipse(c Point, rx, ry, turn float64, s Stroke, fill Paint) {
	p := Path{Stroke: s, Fill: fill}
	p.Ellipse(c, rx, ry, turn)
	l.Add(p)
}

// Arc draws part of a circle from the angle from to the angle to, in degrees;
// clockwise on the page where to is greater.
func (l *List) Arc(c Point, r, from, to float64, s Stroke) {
	p := Path{Stroke: s}
	p.ArcTo(c, r, r, 0, from, to)
	l.Add(p)
}

// Rect draws an upright rectangle.
func (l *List) Rect(r Rect, s Stroke, fill Paint) { l.Polygon(r.Corners(), s, fill) }

// RoundRect draws an upright rectangle with rounded corners; the radius is kept
// to half the shorter side.
func (l *List) RoundRect(r Rect, radius float64, s Stroke, fill Paint) {
	radius = min(radius, r.W/2, r.H/2)
	if radius <= 0 {
		l.Rect(r, s, fill)
		return
	}
	p := Path{Stroke: s, Fill: fill}
	in := r.Inset(radius).Corners()
	for i, c := range in {
		from := 180 + 90*float64(i)
		p.ArcTo(c, radius, radius, 0, from, from+90)
	}
	p.Close()
	l.Add(p)
}

// Text writes one line. An empty text adds nothing.
func (l *List) Text(at Point, s string, style TextStyle) {
	l.TextTurned(at, s, 0, style)
}

// TextTurned writes one line turned by deg degrees about its place.
func (l *List) TextTurned(at Point, s string, deg float64, style TextStyle) {
	if s == "" {
		return
	}
	l.Add(Text{TextStyle: style, S: s, At: at, Rotate: deg})
}
