// Package pdf draws pictures into PDF documents: vector lines and text that can
// be selected and searched. The same picture and the same [Meta] give the same
// bytes: the only date in the document is the one handed in.
package pdf

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
)

// Meta is what a document says about itself.
type Meta struct {
	Title   string
	Subject string
	Author  string
	Lang    string    // language of the text as in "en-GB"; empty says nothing
	Created time.Time // stands in the document as its date; zero stands as Undated
}

// Undated is the date of a document whose maker hands none in. The library
// would take the clock instead, and two runs a second apart would differ.
var Undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// New is an empty document with pages of a size in mm, without margins and
// without page breaks of its own. Its pages start with AddPage.
func New(width, height float64, m Meta) *fpdf.Fpdf {
	f := fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P",
		UnitStr:        "mm",
		Size:           fpdf.SizeType{Wd: width, Ht: height},
	})
	f.SetCatalogSort(true)
	if m.Created.IsZero() {
		m.Created = Undated
	}
	f.SetCreationDate(m.Created.UTC())
	f.SetModificationDate(m.Created.UTC())
	f.SetProducer("Hangtrue", true)
	f.SetTitle(draw.Clean(m.Title), true)
	f.SetSubject(draw.Clean(m.Subject), true)
	f.SetAuthor(draw.Clean(m.Author), true)
	f.SetLang(m.Lang)
	f.SetMargins(0, 0, 0)
	f.SetCellMargin(0)
	f.SetAutoPageBreak(false, 0)
	return f
}

// Write writes the picture as a document of one page of its size. Where the
// title or subject is not given they are those of the picture.
func Write(w io.Writer, p *draw.Picture, m Meta) error { return WriteAll(w, []*draw.Picture{p}, m) }

// WriteAll writes pictures of one size as the pages of a document, one at least.
// Where the title or subject is not given they are those of the first.
func WriteAll(w io.Writer, pages []*draw.Picture, m Meta) error {
	if len(pages) == 0 {
		return fmt.Errorf("pdf: a document of no pages: give one at least")
	}
	first := pages[0]
	if err := first.Check(); err != nil {
		return err
	}
	if m.Title == "" {
		m.Title = first.Title
	}
	if m.Subject == "" {
		m.Subject = first.Desc
	}
	f := New(first.Width, first.Height, m)
	for _, p := range pages {
		f.AddPage()
		if err := Draw(f, p, 0, 0, 1); err != nil {
			return err
		}
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return nil
}

// Draw draws the picture on the document's current page with its top left
// corner at x, y in mm, scaled. The document must count in mm (see [New]). It
// sets every property that it draws with and leaves the line width, colours,
// ends and corners as they were; dashes are off and the font is the last used.
func Draw(f *fpdf.Fpdf, p *draw.Picture, x, y, scale float64) error {
	if err := p.Check(); err != nil {
		return err
	}
	if f.PageNo() == 0 {
		return fmt.Errorf("pdf: no page to draw on: call AddPage first")
	}
	defer keep(f)()
	// The library leaves the limit at the PDF's own 10.
	f.RawWriteStr(fmt.Sprintf("%d M", draw.MiterLimit))
	list(f, p.Items, draw.Transform{Move: draw.Pt(x, y), Scale: scale})
	if err := f.Error(); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return nil
}

// keep returns a function that puts the pen back as it is now.
func keep(f *fpdf.Fpdf) func() {
	width, lineCap, join := f.GetLineWidth(), f.GetLineCapStyle(), f.GetLineJoinStyle()
	dr, dg, db := f.GetDrawColor()
	fr, fg, fb := f.GetFillColor()
	tr, tg, tb := f.GetTextColor()
	return func() {
		f.SetLineWidth(width)
		f.SetLineCapStyle(lineCap)
		f.SetLineJoinStyle(join)
		f.SetDashPattern(nil, 0)
		f.SetDrawColor(dr, dg, db)
		f.SetFillColor(fr, fg, fb)
		f.SetTextColor(tr, tg, tb)
	}
}

func list(f *fpdf.Fpdf, items []draw.Item, t draw.Transform) {
	for _, it := range items {
		switch it := it.(type) {
		case draw.Path:
			path(f, it.Apply(t))
		case draw.Text:
			text(f, it.Apply(t))
		case *draw.Group:
			inner := it.Transform.Then(t)
			if it.Clip == nil {
				list(f, it.Items, inner)
				continue
			}
			var corners []fpdf.PointType
			for _, c := range it.Clip.Corners() {
				c = inner.Apply(c)
				corners = append(corners, fpdf.PointType{X: c.X, Y: c.Y})
			}
			// The end of a clip puts the page's pen and font back to where they
			// were at its beginning, of which the library knows nothing: it
			// would leave out what it takes to be set already.
			back := keep(f)
			f.ClipPolygon(corners, false)
			list(f, it.Items, inner)
			f.ClipEnd()
			back()
			if f.GetFontDesc("", "").Ascent != 0 {
				size, _ := f.GetFontSize()
				f.SetFontSize(size)
			}
		}
	}
}

func path(f *fpdf.Fpdf, p draw.Path) {
	var op string
	switch fill, stroke := p.Fill.Visible(), p.Stroke.Visible(); {
	case len(p.Segs) == 0 || !fill && !stroke:
		return
	case fill && stroke:
		op = "B"
	case fill:
		op = "f"
	default:
		op = "S"
	}
	if p.Fill.Visible() {
		c := p.Fill.Color
		f.SetFillColor(int(c.R), int(c.G), int(c.B))
		if p.EvenOdd {
			op += "*"
		}
	}
	if p.Stroke.Visible() {
		pen(f, p.Stroke)
	}
	for _, s := range p.Segs {
		switch s.Op {
		case draw.OpMove:
			f.MoveTo(s.P[0].X, s.P[0].Y)
		case draw.OpLine:
			f.LineTo(s.P[0].X, s.P[0].Y)
		case draw.OpCubic:
			f.CurveBezierCubicTo(s.P[0].X, s.P[0].Y, s.P[1].X, s.P[1].Y, s.P[2].X, s.P[2].Y)
		case draw.OpClose:
			f.ClosePath()
		}
	}
	f.DrawPath(op)
}

func pen(f *fpdf.Fpdf, s draw.Stroke) {
	c := s.Paint.Color
	f.SetDrawColor(int(c.R), int(c.G), int(c.B))
	f.SetLineWidth(s.Width)
	f.SetDashPattern(s.Dash, 0)
	f.SetLineCapStyle([...]string{draw.CapButt: "butt", draw.CapRound: "round", draw.CapSquare: "square"}[s.Cap])
	f.SetLineJoinStyle([...]string{draw.JoinMiter: "miter", draw.JoinRound: "round", draw.JoinBevel: "bevel"}[s.Join])
}

// smallest is the em size in mm below which text is not drawn: the document's
// sizes have two decimals of a point, and a size of nothing means another thing.
const smallest = 0.01

func text(f *fpdf.Fpdf, t draw.Text) {
	content := t.Content()
	if content == "" || !t.Paint.Visible() || t.Size < smallest {
		return
	}
	// The halo is drawn as an area and not as text: text twice in one place is
	// found twice by whoever selects or searches it.
	if back, ok := t.Backing(); ok {
		path(f, back)
	}
	Font(f, t.Face(), t.Size)
	c := t.Paint.Color
	f.SetTextColor(int(c.R), int(c.G), int(c.B))
	at := t.Origin()
	if t.Rotate == 0 {
		f.Text(at.X, at.Y, content)
		return
	}
	f.TransformBegin()
	f.TransformRotate(-t.Rotate, at.X, at.Y)
	f.Text(at.X, at.Y, content)
	f.TransformEnd()
}

// Font makes a face at an em size in mm the document's current font, adding it
// to the document where it is not there yet.
func Font(f *fpdf.Fpdf, face draw.Face, size float64) {
	family, style := "hangtrue-sans", ""
	switch face {
	case draw.SansBold:
		style = "B"
	case draw.Mono:
		family = "hangtrue-mono"
	case draw.MonoBold:
		family, style = "hangtrue-mono", "B"
	}
	if f.GetFontDesc(family, style).Ascent == 0 { // not there yet
		// A copy of its own: when the library cuts a font whose last advances
		// repeat, as those of a monospaced font do, it writes into the bytes it
		// was given (seen in v0.12.0), and the next document would differ.
		f.AddUTF8FontFromBytes(family, style, bytes.Clone(face.TTF()))
	}
	f.SetFont(family, style, size/(quantity.Inch*1000)*72) // 72 points to the inch
}
