package draw

// Anchor says which part of a text stands at its place, along the base line.
type Anchor uint8

// The anchors along the base line.
const (
	Start Anchor = iota
	Middle
	End
)

// VAnchor says which height of a text stands at its place.
type VAnchor uint8

// The anchors across the base line.
const (
	Baseline  VAnchor = iota
	CapMiddle         // half the height of a capital: centres figures and capitals
	CapTop            // the top of a capital
)

// TextStyle is how a text looks, without what it says or where.
type TextStyle struct {
	Size      float64 // em size in mm; a capital is [CapHeight] of it high
	Bold      bool
	Mono      bool
	Anchor    Anchor
	VAnchor   VAnchor
	Paint     Paint
	Halo      Paint   // outline beneath the glyphs that keeps them legible over lines; usually the paper's paint
	HaloWidth float64 // how far the halo reaches beyond the glyph in mm; 0 means 0.12 of Size
	Leading   float64 // distance of base lines over Size, for several lines; 0 means 1.3
}

// Face is the face of the style.
func (s TextStyle) Face() Face { return FaceOf(s.Bold, s.Mono) }

// Width is the length in mm of a line in this style.
func (s TextStyle) Width(line string) float64 { return s.Face().Width(line, s.Size) }

// LineHeight is the distance of base lines in mm.
func (s TextStyle) LineHeight() float64 {
	if s.Leading == 0 {
		return 1.3 * s.Size
	}
	return s.Leading * s.Size
}

// Reach is how far the halo reaches beyond the glyphs, in mm; 0 without halo.
func (s TextStyle) Reach() float64 {
	switch {
	case !s.Halo.Visible():
		return 0
	case s.HaloWidth == 0:
		return 0.12 * s.Size
	}
	return s.HaloWidth
}

// At is the style with other anchors.
func (s TextStyle) At(a Anchor, v VAnchor) TextStyle { s.Anchor, s.VAnchor = a, v; return s }

// WithPaint is the style in another paint.
func (s TextStyle) WithPaint(p Paint) TextStyle { s.Paint = p; return s }

// WithSize is the style in another em size in mm.
func (s TextStyle) WithSize(mm float64) TextStyle { s.Size = mm; return s }

// AsBold is the style in bold.
func (s TextStyle) AsBold() TextStyle { s.Bold = true; return s }

// WithHalo is the style with a halo of the given paint.
func (s TextStyle) WithHalo(p Paint) TextStyle { s.Halo = p; return s }

// Text is one line of text.
type Text struct {
	TextStyle
	S      string
	At     Point
	Rotate float64 // degrees about At, clockwise on the page
}

func (Text) item() {}

// Content is the text as it is printed: cleaned for its face.
func (t Text) Content() string { return t.Face().Clean(t.S) }

// shift is from At to the base line's point of the anchor, in the unturned frame.
func (t Text) drop() float64 {
	switch t.VAnchor {
	case CapMiddle:
		return t.Size * CapHeight / 2
	case CapTop:
		return t.Size * CapHeight
	}
	return 0
}

// Base is the point on the base line at which the text is anchored: its start,
// middle or end according to Anchor.
func (t Text) Base() Point {
	return Transform{Move: t.At, Rotate: t.Rotate}.Apply(Point{Y: t.drop()})
}

// Origin is the start of the base line, whatever the anchor.
func (t Text) Origin() Point {
	var x float64
	switch t.Anchor {
	case Middle:
		x = -t.Width(t.S) / 2
	case End:
		x = -t.Width(t.S)
	}
	return Transform{Move: t.At, Rotate: t.Rotate}.Apply(Point{x, t.drop()})
}

// Shape is the text as an area: its glyphs as a path filled with its paint.
func (t Text) Shape() Path {
	p := Path{Segs: t.Face().Outline(t.S, t.Size)}
	p = p.Apply(Transform{Move: t.Origin(), Rotate: t.Rotate})
	p.Fill = t.Paint
	return p
}

// Backing is the halo as an area beneath the glyphs; ok is false without halo.
func (t Text) Backing() (p Path, ok bool) {
	if !t.Halo.Visible() {
		return Path{}, false
	}
	p = t.Shape()
	p.Fill = t.Halo
	p.Stroke = Stroke{Paint: t.Halo, Width: 2 * t.Reach(), Cap: CapRound, Join: JoinRound}
	return p, true
}

// Apply is the text placed by a transform.
func (t Text) Apply(tr Transform) Text {
	t.At = tr.Apply(t.At)
	t.Rotate += tr.Rotate
	t.Size *= tr.Factor()
	t.HaloWidth *= tr.Factor()
	return t
}

// Bounds is the upright box around the text from the cap line, or the accents,
// to the descenders: its width by the height from 0.76 em above to 0.24 em below.
func (t Text) Bounds() Rect {
	o := t.Origin()
	f := Transform{Move: o, Rotate: t.Rotate}
	w := t.Width(t.S)
	top, bottom := -0.76*t.Size, Descent*t.Size
	return Around(f.Apply(Point{0, top}), f.Apply(Point{w, top}), f.Apply(Point{w, bottom}), f.Apply(Point{0, bottom}))
}
