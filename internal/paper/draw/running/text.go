package running

import (
	"slices"
	"strings"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Write writes a text, broken over lines and pages.
func (p *Paper) Write(text string, style draw.TextStyle) { p.WriteIn(0, p.Area.W, text, style) }

// WriteIn writes a text of a width at an indent, broken over lines and pages.
func (p *Paper) WriteIn(indent, width float64, text string, style draw.TextStyle) {
	for _, line := range draw.Wrap(p.cut(text), width, style) {
		p.Need(style.LineHeight())
		p.Y += p.List().TextBox(draw.Pt(p.Area.X+indent, p.Y), width, line, style)
	}
}

func (p *Paper) cut(text string) string {
	if p.Longest == 0 {
		return text
	}
	return spelling.Short(text, p.Longest)
}

// Section begins a section beneath so much white. It stands on one page with
// room of what follows, and where it goes on its heading comes again.
func (p *Paper) Section(text string, white, room float64) {
	p.Again = nil
	p.Y += white
	p.Need(9 + room)
	p.bar(text)
	p.Again = func() { p.bar(text + ", continued") }
}

func (p *Paper) bar(text string) {
	l := p.List()
	l.Rect(draw.Rect{X: p.Area.X, Y: p.Y, W: p.Area.W, H: 6}, draw.Stroke{}, look.Ink)
	l.Text(draw.Pt(p.Area.X+2, p.Y+3), text, look.Head.WithPaint(look.Paper).At(draw.Start, draw.CapMiddle))
	p.Y += 7.5
}

// Table writes rows beneath a head that comes again on every page.
func (p *Paper) Table(widths []float64, head []string, rows [][]string, styles ...draw.TextStyle) {
	before := p.Again
	p.Again = func() {
		if before != nil {
			before()
		}
		p.Row(widths, head, look.Strong.WithSize(2.3))
	}
	p.Row(widths, head, look.Strong.WithSize(2.3))
	for _, r := range rows {
		p.Row(widths, r, styles...)
	}
	p.Again = before
}

// Row writes cells side by side, each wrapped to its width, with a line below.
// With fewer styles than cells the last goes for the rest. A row too high for a
// page is cut into several.
func (p *Paper) Row(widths []float64, cells []string, styles ...draw.TextStyle) {
	if n := len(cells) - len(styles); n > 0 {
		styles = append(slices.Clone(styles), slices.Repeat(styles[len(styles)-1:], n)...)
	}
	lines := make([][]string, len(cells))
	step, most := 0.0, 0
	for i, c := range cells {
		lines[i] = draw.Wrap(p.cut(c), widths[i]-2, styles[i])
		step, most = max(step, styles[i].LineHeight()), max(most, len(lines[i]))
	}
	const high = 40 // lines that stay together
	for first := 0; first == 0 || first < most; first += high {
		n := min(high, most-first)
		p.Need(float64(n)*step + 1.4)
		x := p.Area.X
		for i := range cells {
			part := lines[i][min(first, len(lines[i])):min(first+high, len(lines[i]))]
			p.List().TextBox(draw.Pt(x, p.Y), widths[i]-2, strings.Join(part, "\n"), styles[i])
			x += widths[i]
		}
		p.Y += float64(n)*step + 0.7
	}
	p.Rule(draw.Stroke{Paint: look.Grid, Width: 0.25})
	p.Y += 0.7
}

// Columns are the widths of columns that have so large shares of the page's.
func (p *Paper) Columns(shares ...float64) []float64 {
	widths := make([]float64, len(shares))
	for i, s := range shares {
		widths[i] = s * p.Area.W
	}
	return widths
}

// Picture sets a picture across the page, made smaller where it is too wide.
func (p *Paper) Picture(x *draw.Picture) {
	scale := min(1, p.Area.W/x.Width)
	p.Need(x.Height * scale)
	p.List().Embed(x, draw.Pt(p.Area.X+(p.Area.W-x.Width*scale)/2, p.Y), scale)
	p.Y += x.Height*scale + 1
}

// Blanks draws lines to write on side by side, with what they are for beneath.
// shares are their widths over the page's. It leaves Y on the line.
func (p *Paper) Blanks(names []string, shares []float64) {
	x := p.Area.X
	for i, name := range names {
		w := p.Area.W * shares[i]
		p.List().Line(draw.Pt(x, p.Y), draw.Pt(x+w-4, p.Y), look.Rule)
		p.List().Text(draw.Pt(x, p.Y+2.8), name, small.At(draw.Start, draw.Baseline))
		x += w
	}
}
