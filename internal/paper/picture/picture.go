package picture

import (
	"math"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Options say what is drawn and how large.
type Options struct {
	View   View
	Ground bool    // as it stands on the ground, before lifting
	Width  float64 // mm; 0: 160
	Height float64 // mm; 0: 160
	Bare   bool    // no caption (a sheet or page has its own)
	Small  bool    // a thumbnail: no labels
}

// Of draws one view of a rig: as it hangs in the answer, or as it stands on
// the ground, for which the answer may be nil.
func Of(r *rig.Rig, a *rig.Answer, o Options) *draw.Picture {
	if o.Width == 0 {
		o.Width = 160
	}
	if o.Height == 0 {
		o.Height = 160
	}
	s := newScene(r, a, o)
	p := draw.New(o.Width, o.Height, s.title(), s.describe())
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	s.drawWithTable(&p.List, p.Frame())
	return p
}

// scene is what is drawn.
type scene struct {
	r      *rig.Rig
	a      *rig.Answer
	o      Options
	cam    camera
	scale  float64 // mm per m; 0: as large as fits
	signs  float64 // size of the signs of hooks, 1 in a large view
	part   bool    // of a larger picture, which says INVENTED and gives the pulls in a table
	solids []solid
	ropes  []rope
	hooks  []hook
}

func newScene(r *rig.Rig, a *rig.Answer, o Options) *scene {
	s := &scene{r: r, a: a, o: o, cam: newCamera(o.View)}
	bodies := r.Bodies()
	for i := range bodies {
		b := &bodies[i]
		pose := statics.Pose{Origin: b.At, Turn: statics.Turn(rig.Vec{0, 0, b.Heading})}
		if !o.Ground {
			pose = a.Bodies[i].Pose()
		}
		sd := newSolid(b, pose)
		sd.loose = !o.Ground && !a.Bodies[i].Joined
		s.solids = append(s.solids, sd)
	}
	if !o.Ground {
		s.hang()
	}
	return s
}

// size is the extent of everything under the apexes, m.
func (s *scene) size() float64 {
	var lo, hi rig.Vec
	for i, p := range s.points() {
		for k := range 3 {
			if i == 0 || p[k] < lo[k] {
				lo[k] = p[k]
			}
			if i == 0 || p[k] > hi[k] {
				hi[k] = p[k]
			}
		}
	}
	return math.Max(0.5, math.Max(hi[0]-lo[0], math.Max(hi[1]-lo[1], hi[2]-lo[2])))
}

// points bounds everything that is drawn.
func (s *scene) points() []rig.Vec {
	out := s.load()
	for _, r := range s.ropes {
		out = append(out, r.from, r.to)
	}
	for _, h := range s.hooks {
		out = append(out, h.at, h.apex)
	}
	return out
}

// load bounds the bodies and their points.
func (s *scene) load() []rig.Vec {
	var out []rig.Vec
	for i := range s.solids {
		out = append(out, s.solids[i].outline()...)
		out = append(out, s.solids[i].cg())
		for _, p := range s.solids[i].body.Points {
			out = append(out, s.solids[i].at(p.At))
		}
	}
	return out
}

// hidden reports whether a body stands between the point and the viewer.
func (s *scene) hidden(p rig.Vec) bool {
	for i := range s.solids {
		if s.solids[i].hides(p, s.cam.towards) {
			return true
		}
	}
	return false
}

// level reports whether the view is level, so that up on the page is up.
func (s *scene) level() bool { return math.Abs(s.o.View.Elevation) < 5 }

// above reports whether the view is from so high that hooks show their tops.
func (s *scene) above() bool { return math.Abs(s.o.View.Elevation) > 60 }

// box is the part of an area that the rig itself may fill; around it there is
// room for the hook, the labels, the scale bar and the dimensions.
func (s *scene) box(area draw.Rect) draw.Rect {
	s.signs = math.Max(0.55, math.Min(1, area.H/130))
	if s.o.Small {
		s.signs = 0.42
	}
	if s.o.Small {
		top := 6.0
		if len(s.hooks) > 0 && !s.above() {
			top += 3.5
		}
		return draw.Rect{X: area.X + 3, Y: area.Y + top, W: area.W - 6, H: area.H - top - 2.5}
	}
	left, right, top, bottom := 12.0, 12.0, 9.0, 16.0
	if area.W < 75 {
		left, right = 8, 8
	}
	switch {
	case s.measured(area):
		left, right, top, bottom = 20, 20, 17, 25
	case s.o.Ground:
		top, bottom = 12, 20
	case !s.above():
		top += hookHigh * s.signs
	}
	return draw.Rect{X: area.X + left, Y: area.Y + top, W: area.W - left - right, H: area.H - top - bottom}
}

// drawWithTable draws the view, and where the legs are so many that only their
// names fit beside them, a table of the numbers at the right.
func (s *scene) drawWithTable(l *draw.List, area draw.Rect) {
	const tableWidth = 66.0
	if !s.o.Ground && !s.o.Small && area.W >= 2.2*tableWidth {
		var trial draw.List
		if s.draw(&trial, area) > richest {
			s.part = true
			s.draw(l, draw.Rect{X: area.X, Y: area.Y, W: area.W - tableWidth - 4, H: area.H})
			s.part = false
			s.invented(l, area)
			LegTable(l, s.a, draw.Rect{X: area.X + area.W - tableWidth - 4, Y: area.Y + 10, W: tableWidth, H: area.H - 20})
			return
		}
		l.Add(trial.Items...)
		return
	}
	s.draw(l, area)
}

// draw draws the scene and returns how much the labels of the legs had to be
// cut down.
func (s *scene) draw(l *draw.List, area draw.Rect) terse {
	box := s.box(area)
	f := fit(s.cam, box, s.points())
	if s.scale > 0 && s.scale < f.scale {
		f.shrink(s.scale, box)
	}
	s.ground(l, &f, area)
	s.plumb(l, &f)
	drawSolids(l, &f, s.solids)
	for _, i := range s.drawOrder() {
		s.rope(l, &f, &s.ropes[i])
	}
	s.grabs(l, &f)
	for i := range s.hooks {
		s.hook(l, &f, &s.hooks[i])
	}
	s.marks(l, &f)
	var how terse
	if !s.o.Small {
		place := s.obstacles(&f, area)
		s.dimensions(l, &f, area, place)
		how = s.labels(l, &f, place)
		s.scaleBar(l, &f, area)
		s.triad(l, area)
		if !s.o.Bare || s.part {
			s.caption(l, area)
		}
	}
	if !s.part {
		s.invented(l, area)
	}
	return how
}

// invented marks demo data.
func (s *scene) invented(l *draw.List, area draw.Rect) {
	if !s.r.Invented() {
		return
	}
	style := look.Strong
	if s.o.Small {
		style = style.WithSize(look.SizeSmall)
	}
	l.Text(draw.Pt(area.X+area.W-2, area.Y+2.5), "INVENTED", style.At(draw.End, draw.CapTop))
}
