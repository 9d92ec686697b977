package draw

// Color is an sRGB colour, opaque.
type Color struct{ R, G, B uint8 }

// Paint is a colour with the role it plays. Role is a short class name of
// letters, digits and hyphens ("ink", "leg-low"); a page's stylesheet may give
// the role another colour. A Paint without a role paints nothing.
type Paint struct {
	Color Color
	Role  string
}

// Visible reports whether the paint paints anything.
func (p Paint) Visible() bool { return p.Role != "" }

// Cap is the end of a stroke.
type Cap uint8

// The ends of a stroke.
const (
	CapButt Cap = iota
	CapRound
	CapSquare
)

// Join is the corner of a stroke.
type Join uint8

// The corners of a stroke. JoinMiter falls back to a bevel where the corner is
// sharper than MiterLimit allows.
const (
	JoinMiter Join = iota
	JoinRound
	JoinBevel
)

// MiterLimit is the longest miter over the line width, on all back-ends. 4 is
// SVG's own initial value; it turns corners sharper than 29° into bevels.
const MiterLimit = 4

// Stroke is a line style. A stroke without paint or without width draws nothing.
type Stroke struct {
	Paint Paint
	Width float64   // mm
	Dash  []float64 // lengths on, off, on … in mm, none negative; empty is a full line
	Cap   Cap
	Join  Join
}

// Visible reports whether the stroke draws anything.
func (s Stroke) Visible() bool { return s.Paint.Visible() && s.Width > 0 }

// Solid is the stroke without its dashes.
func (s Stroke) Solid() Stroke { s.Dash = nil; return s }

// WithPaint is the stroke in another paint.
func (s Stroke) WithPaint(p Paint) Stroke { s.Paint = p; return s }

// WithWidth is the stroke in another width, in mm.
func (s Stroke) WithWidth(w float64) Stroke { s.Width = w; return s }

// WithDash is the stroke with other dashes, in mm.
func (s Stroke) WithDash(d ...float64) Stroke { s.Dash = d; return s }
