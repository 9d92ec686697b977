package chart

import "hangtrue/internal/paper/draw"

// Marker is a small sign at a point of a series.
type Marker uint8

// The markers. Outlined ones have the paper's face, so that lines do not run
// through them.
const (
	Default Marker = iota
	NoMarker
	Circle
	Square
	Triangle
	Diamond
	Cross
	Dot
	markerEnd
)

// markerSize is half the width of a marker in mm.
const markerSize = 0.85

func (m Marker) draw(l *draw.List, at draw.Point, s draw.Stroke) {
	line := draw.Stroke{Paint: s.Paint, Width: 0.3}
	r := markerSize
	corners := func(n int, from float64) []draw.Point {
		var pts []draw.Point
		for i := range n {
			pts = append(pts, at.Add(draw.Polar(r*1.2, from+360*float64(i)/float64(n))))
		}
		return pts
	}
	switch m {
	case Circle:
		l.Circle(at, r, line, paper)
	case Dot:
		l.Circle(at, r, draw.Stroke{}, s.Paint)
	case Square:
		l.Polygon(corners(4, 45), line, paper)
	case Triangle:
		l.Polygon(corners(3, -90), line, paper)
	case Diamond:
		l.Polygon(corners(4, 0), line, paper)
	case Cross:
		l.Line(at.Sub(draw.Pt(r, r)), at.Add(draw.Pt(r, r)), line)
		l.Line(at.Sub(draw.Pt(r, -r)), at.Add(draw.Pt(r, -r)), line)
	}
}
