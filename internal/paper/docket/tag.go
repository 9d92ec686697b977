package docket

import (
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/qr"
)

// A6 in millimetres, standing.
const (
	tagWidth  = 105.0
	tagHeight = 148.0
)

// Tag is what a load tag says.
type Tag struct {
	School   string
	Load     string
	Rig      string
	Title    string // of the rig
	Version  string // of the rig
	Status   string // of the rig
	Weight   string
	Invented bool
	Training bool   // never for flight
	URL      string // leads a tablet to the load
}

// LoadTag draws a tag for a load, A6: what it is in words, and a code that leads
// a tablet to it. It never says whether a signature stands, which may change
// while the tag hangs. It fails where the address is too long for a code.
func LoadTag(t *Tag, s Stamp) (*draw.Picture, error) {
	desc := spelling.Capital(t.Status) + "."
	if t.Invented {
		desc = "INVENTED. " + desc
	}
	p := draw.New(tagWidth, tagHeight, "Load tag: "+spelling.Short(t.Load, 200), desc)
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	const margin = 6.0
	x, w, y := margin, tagWidth-2*margin, margin
	strong := look.Strong.WithSize(3)
	p.Text(draw.Pt(x, y), "LOAD TAG", strong.At(draw.Start, draw.CapTop))
	p.Text(draw.Pt(x+w, y), draw.OneLine(t.School, w-24, look.Body), look.Body.At(draw.End, draw.CapTop))
	y += 4.5
	var bands []string
	if t.Invented {
		bands = append(bands, "INVENTED")
	}
	if t.Training {
		bands = append(bands, "FOR TRAINING, NEVER FOR FLIGHT")
	}
	if len(bands) > 0 {
		p.Rect(draw.Rect{X: x, Y: y, W: w, H: 7}, draw.Stroke{}, look.Ink)
		p.Text(draw.Pt(tagWidth/2, y+3.5), strings.Join(bands, " · "), look.Head.WithPaint(look.Paper).At(draw.Middle, draw.CapMiddle))
		y += 8.5
	}
	status := look.Loud
	status.Leading = 1.1
	words := strings.ToUpper(t.Status)
	status = fitted(words, w, 2, 4.4, status)
	y += p.TextBox(draw.Pt(x, y), w, words, status) + 1
	load := fitted(t.Load, w, 2, 3.4, look.Loud.WithSize(min(8, status.Size)))
	load.Leading = 1.15
	y += p.TextBox(draw.Pt(x, y), w, cutTo(t.Load, w, 3, load), load) + 1
	if t.Title != "" && t.Title != t.Load {
		y += p.TextBox(draw.Pt(x, y), w, draw.OneLine(t.Title, w, look.Body), look.Body)
	}
	if t.Weight != "" {
		weight := look.Head.WithSize(min(4.2, status.Size*0.9))
		y += p.TextBox(draw.Pt(x, y), w, "Weight "+t.Weight, weight)
	}
	small := look.Small.WithPaint(look.Ink)
	foot := draw.TextHeight(rig.Caution, w, small)
	says := "Scan to see what was inspected and whether a signature stands. This tag is no signature. Without a tablet, ask for the load by its name above."
	address := draw.Wrap(t.URL, w, look.Figures.WithSize(2))
	below := foot + draw.TextHeight(says, w, look.Body) + float64(len(address))*2.6 + 2*small.LineHeight() + 3
	side := min(64, tagHeight-margin-below-y-1)
	code, err := qr.Code(t.URL, draw.Rect{X: (tagWidth - side) / 2, Y: y, W: side, H: side})
	if err != nil {
		return nil, err
	}
	p.Add(code)
	y = tagHeight - margin - below
	y += p.TextBox(draw.Pt(x, y), w, says, look.Body) + 1
	y += p.TextBox(draw.Pt(x, y), w, t.URL, look.Figures.WithSize(2)) + 0.6
	p.Line(draw.Pt(x, y), draw.Pt(x+w, y), look.Rule)
	y += 1
	y += p.TextBox(draw.Pt(x, y), w, rig.Caution, small)
	p.TextBox(draw.Pt(x, y), w, draw.OneLine(spelling.Joined(" · ", "Rig "+t.Rig+", version "+spelling.Short(t.Version, 9), s.String()), w, small), small)
	return p, nil
}

// cutTo cuts a text to so many lines of a width.
func cutTo(s string, width float64, lines int, style draw.TextStyle) string {
	all := draw.Wrap(s, width, style)
	if len(all) <= lines {
		return s
	}
	return strings.Join(all[:lines-1], " ") + " " + draw.OneLine(strings.Join(all[lines-1:], " "), width, style)
}
