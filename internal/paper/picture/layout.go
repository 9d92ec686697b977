package picture

import (
	"math"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// panel is one view of a larger picture.
type panel struct {
	scene *scene
	at    draw.Rect
}

func newPanel(r *rig.Rig, a *rig.Answer, v View, ground bool) panel {
	s := newScene(r, a, Options{View: v, Ground: ground})
	s.part = true
	return panel{scene: s}
}

// drawPanels draws views at one scale, the largest at which all of them fit, so
// that they can be compared; those not of the set are as large as they go.
func drawPanels(l *draw.List, panels []panel, alike int) {
	scale := math.Inf(1)
	for _, p := range panels[:alike] {
		scale = math.Min(scale, fit(p.scene.cam, p.scene.box(p.at), p.scene.points()).scale)
	}
	for i, p := range panels {
		if i < alike {
			p.scene.scale = scale
		}
		l.Rect(p.at, look.GridLine, draw.Paint{})
		p.scene.draw(l, p.at)
	}
}

// Four draws the four views in an area, with thin rules between them. Side,
// front and, on the ground, top are of one scale and stand so that the same
// heights are level with each other. As it hangs, side and front have the full
// height, since a rig is taller than wide; beside them stand the top view, the
// three-quarter view and the table of the legs. On the ground, the top view
// stands over the side view and the front view at its right, as on an
// engineering drawing in third-angle projection.
func Four(l *draw.List, r *rig.Rig, a *rig.Answer, ground bool, area draw.Rect) {
	side, front := newPanel(r, a, Side, ground), newPanel(r, a, Front, ground)
	top, quarter := newPanel(r, a, Top, ground), newPanel(r, a, ThreeQuarter, ground)
	if ground {
		across := split(area.W, side.scene.width(), front.scene.width(), 34, 85)
		down := split(area.H, top.scene.height(), side.scene.height(), 40, 56)
		top.at = draw.Rect{X: area.X, Y: area.Y, W: across, H: down}
		side.at = draw.Rect{X: area.X, Y: area.Y + down, W: across, H: area.H - down}
		front.at = draw.Rect{X: area.X + across, Y: area.Y + down, W: area.W - across, H: area.H - down}
		quarter.at = draw.Rect{X: area.X + across, Y: area.Y, W: area.W - across, H: down}
		drawPanels(l, []panel{side, front, top, quarter}, 3)
		return
	}
	const third = 0.33
	table := math.Min(float64(len(a.Legs)+1)*RowHeight*look.SizeSmall/look.SizeBody, 0.35*area.H) + 2*look.Unit
	column := draw.Rect{X: area.X + (1-third)*area.W, Y: area.Y, W: third * area.W, H: area.H - table}
	left := area.W - column.W
	w := split(left, side.scene.width(), front.scene.width(), 24, 72)
	side.at = draw.Rect{X: area.X, Y: area.Y, W: w, H: area.H}
	front.at = draw.Rect{X: area.X + w, Y: area.Y, W: left - w, H: area.H}
	h := 0.4 * column.H
	top.at = draw.Rect{X: column.X, Y: column.Y, W: column.W, H: h}
	quarter.at = draw.Rect{X: column.X, Y: column.Y + h, W: column.W, H: column.H - h}
	drawPanels(l, []panel{side, front, top, quarter}, 2)
	box := draw.Rect{X: column.X, Y: column.Y + column.H, W: column.W, H: table}
	l.Rect(box, look.GridLine, draw.Paint{})
	LegTable(l, a, box.Inset(look.Unit))
}

// Pair draws the side view and the front view beside each other at one scale.
func Pair(l *draw.List, r *rig.Rig, a *rig.Answer, ground bool, area draw.Rect) {
	side, front := newPanel(r, a, Side, ground), newPanel(r, a, Front, ground)
	w := split(area.W, side.scene.width(), front.scene.width(), 24, 72)
	side.at = draw.Rect{X: area.X, Y: area.Y, W: w, H: area.H}
	front.at = draw.Rect{X: area.X + w, Y: area.Y, W: area.W - w, H: area.H}
	drawPanels(l, []panel{side, front}, 2)
}

// split shares a length between two views of the given extents, so that at one
// scale both have the same room around them, edge mm in all; each gets at least
// least mm.
func split(length, a, b, edge, least float64) float64 {
	w := edge + (length-2*edge)*a/(a+b)
	return math.Max(least, math.Min(length-least, w))
}

// width and height are the scene's extent in the view's plane, m.
func (s *scene) width() float64  { return s.flat().W }
func (s *scene) height() float64 { return s.flat().H }

func (s *scene) flat() draw.Rect {
	var pts []draw.Point
	for _, p := range s.points() {
		pts = append(pts, s.cam.flat(p))
	}
	b := draw.Around(pts...)
	b.W, b.H = math.Max(b.W, 0.2), math.Max(b.H, 0.2)
	return b
}
