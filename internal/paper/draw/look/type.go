package look

import "hangtrue/internal/paper/draw"

// Type sizes, em in mm. A capital is 0.73 of the em, so Body is 1.9 mm high:
// legible at arm's length on a clipboard.
const (
	SizeSmall = 2.2 // ticks, sources
	SizeBody  = 2.6 // labels, dimensions, tables
	SizeHead  = 3.4 // headings in a sheet
	SizeTitle = 4.6 // titles
	SizeLoud  = 6.5 // the status above every number
)

// Spacing in mm. Everything stands a multiple of Unit apart.
const (
	Unit   = 1.0
	Space  = 2 * Unit
	Wide   = 4 * Unit
	Margin = 12 * Unit
)

func style(p draw.Paint, size float64, bold bool) draw.TextStyle {
	return draw.TextStyle{Size: size, Bold: bold, Paint: p}
}

// The styles of text.
var (
	Small     = style(Faint, SizeSmall, false)
	Body      = style(Ink, SizeBody, false)
	Strong    = style(Ink, SizeBody, true)
	Head      = style(Ink, SizeHead, true)
	Title     = style(Ink, SizeTitle, true)
	Loud      = style(Ink, SizeLoud, true)
	OnDrawing = style(Ink, SizeBody, false).WithHalo(Paper) // labels that may lie over lines
	Callout   = style(Note, SizeBody, false).WithHalo(Paper)
	Figures   = draw.TextStyle{Size: SizeBody, Mono: true, Paint: Ink} // columns of numbers
)

// ForceArrow is the arrow of a force.
var ForceArrow = draw.ArrowStyle{Stroke: Force, Length: 4, Width: 1.5}

// NoteArrow is the arrow of a callout.
var NoteArrow = draw.ArrowStyle{Stroke: Leader, Length: 2.2}

// Dimension is how lengths and angles are measured on drawings.
var Dimension = draw.DimensionStyle{
	Arrow:     draw.ArrowStyle{Stroke: Measure, Length: 2.2},
	Extension: Measure,
	Gap:       0.8,
	Overrun:   1.2,
	Text:      style(Ink, SizeBody, false).WithHalo(Paper),
	TextGap:   0.7,
}
