package closeup

import (
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// sketch is what a figure draws on: coordinates in the real mm of the part, y
// down, the origin in the middle of the picture; pens in mm of paper.
type sketch struct {
	list   *draw.List
	frame  frame
	state  map[string]string
	number map[string]int
	notes  bool // a staff drawing
}

// Pens, in mm of paper. A close-up is looked at on a small screen in the sun:
// it takes heavier lines than a sheet.
var (
	outline = look.Outline.WithWidth(look.Heavy)
	edge    = look.Outline.WithWidth(look.Regular)
	detail  = look.Detail.WithWidth(look.Light)
	hair    = look.Detail.WithWidth(look.Thin)
	bold    = look.Outline.WithWidth(look.Extra)
	noPen   = draw.Stroke{}
	noFill  = draw.Paint{}
)

// What parts are made of.
var (
	metal  = look.Metal
	bright = look.Load // machined or galvanised metal, glass
	dull   = look.LoadB
	cloth  = look.Rope
	paper  = look.Paper
	pale   = look.Shade
	dark   = look.Faint // rubber, soot, tape
	ink    = look.Ink
)

func (s sketch) in(f frame) sketch { s.frame = s.frame.then(f); return s }

func (s sketch) at(x, y float64) sketch    { return s.in(moved(x, y)) }
func (s sketch) turned(deg float64) sketch { return s.in(turned(deg)) }
func (s sketch) sized(k float64) sketch    { return s.in(scaled(k)) }
func (s sketch) mirrored() sketch          { return s.in(mirrored) }
func (s sketch) on(t station) sketch       { return s.at(t.at.X, t.at.Y).turned(t.dir.Angle()) }
func (s sketch) k() float64                { return s.frame.factor() }
func (s sketch) is(a string, st ...string) bool {
	for _, x := range st {
		if s.state[a] == x {
			return true
		}
	}
	return false
}

// put draws outlines with a fill and a pen.
func (s sketch) put(fill draw.Paint, pen draw.Stroke, ps ...draw.Path) {
	for _, p := range ps {
		p = s.frame.path(p)
		p.Fill, p.Stroke = fill, pen
		s.list.Add(p)
	}
}

// ink draws lines with a pen.
func (s sketch) ink(pen draw.Stroke, ps ...draw.Path) { s.put(noFill, pen, ps...) }

// tube draws what is round and of one width along a line: a bar, a ring, a rope.
// Its ends are round.
func (s sketch) tube(p draw.Path, width float64, fill draw.Paint) {
	s.tubeIn(p, width, fill, outline.Width, draw.CapRound)
}

// bar is a tube with flat ends.
func (s sketch) bar(p draw.Path, width float64, fill draw.Paint) {
	s.tubeIn(p, width, fill, outline.Width, draw.CapButt)
	st := walk(p, 0, along(p)-1e-6)
	for _, t := range st {
		a, b := t.beside(width/2), t.beside(-width/2)
		s.ink(outline, line(a.X, a.Y, b.X, b.Y))
	}
}

// open is a tube whose ends are not drawn: it goes on.
func (s sketch) open(p draw.Path, width float64, fill draw.Paint) {
	s.tubeIn(p, width, fill, outline.Width, draw.CapButt)
}

func (s sketch) tubeIn(p draw.Path, width float64, fill draw.Paint, pen float64, end draw.Cap) {
	w := width * s.k()
	st := draw.Stroke{Paint: look.Ink, Width: w + pen, Cap: end, Join: draw.JoinRound}
	s.put(noFill, st, p)
	if w > pen {
		s.put(noFill, st.WithPaint(fill).WithWidth(w-pen), p)
	}
}

// steel is a tube of round bar with a light along it.
func (s sketch) steel(p draw.Path, width float64) {
	s.tube(p, width, metal)
	s.shine(p, width)
}

// shine lays a light along a round bar, on the side of the upper left, whatever
// way the bar runs.
func (s sketch) shine(p draw.Path, width float64) {
	w := width * s.k()
	if w < 2 {
		return
	}
	q := s.frame.path(p)
	by := moved(-0.13*w, -0.13*w)
	q = by.path(q)
	q.Stroke = draw.Stroke{Paint: look.Load, Width: 0.2 * w, Cap: draw.CapRound, Join: draw.JoinRound}
	s.list.Add(q)
}

// write puts words on the part, a height of capitals in real mm, turned with it.
func (s sketch) write(x, y float64, words string, height float64, p draw.Paint) {
	s.list.Add(draw.Text{
		TextStyle: draw.TextStyle{Size: height / draw.CapHeight * s.k(), Bold: true, Anchor: draw.Middle, VAnchor: draw.CapMiddle, Paint: p},
		S:         words, At: s.frame.apply(draw.Pt(x, y)), Rotate: s.frame.angle(),
	})
}

// say writes beside the part what a person on the spot knows, in paper mm.
func (s sketch) say(x, y float64, words string, a draw.Anchor) {
	s.list.Text(s.frame.apply(draw.Pt(x, y)), words, look.OnDrawing.WithSize(3.2).At(a, draw.CapMiddle))
}

// arrow points from one place to another, beside the part.
func (s sketch) arrow(x0, y0, x1, y1 float64) {
	s.list.Arrow(s.frame.apply(draw.Pt(x0, y0)), s.frame.apply(draw.Pt(x1, y1)),
		draw.ArrowStyle{Stroke: edge, Length: 3, Width: 1.8})
}

// page is the sketch in mm of paper, the origin in the top left corner: for what
// belongs to the picture and not to the part.
func (s sketch) page() sketch { s.frame = scaled(1); return s }

// card puts up what the plan says, for states that only the plan makes good or
// bad. It hangs in the top right corner, the same in all states.
func (s sketch) card(lines ...string) {
	s = s.page()
	style := look.Body.WithSize(3.4)
	w := 0.0
	for _, l := range lines {
		w = max(w, style.Width(l))
	}
	w += 5
	h := 3.4 + 4.6*float64(len(lines))
	x, y := Size-3-w, 3.0
	s.put(paper, detail, softBox(x+w/2, y+h/2, w, h, 1))
	s.ink(edge, line(x+1.2, y+1.4, x+1.2, y+h-1.4))
	for i, l := range lines {
		s.list.Text(draw.Pt(x+3, y+4+4.6*float64(i)), l, style.At(draw.Start, draw.CapMiddle))
	}
}
