package walk

import (
	"fmt"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// end writes what ends every sheet: anything else, what is not asked about, and
// the signatures.
func (d *document) end() {
	d.Y += 2
	d.Need(45)
	d.title(inspect.AnythingElse)
	d.rules(5)
	d.uncovered()
	d.signatures()
}

func (d *document) title(text string) {
	d.Need(12)
	d.Rule(look.Rule)
	d.Y += 1.5
	d.Write(text, look.Head)
	d.Y++
}

// rules leaves lines to write on.
func (d *document) rules(n int) {
	for range n {
		d.Need(7)
		d.Y += 7
		d.Rule(look.GridLine)
	}
	d.Y += 4
}

// uncovered writes how far the sequence goes, and what it leaves out.
func (d *document) uncovered() {
	d.title("What this sequence asks about")
	d.Write(d.c.Claim(), look.Strong)
	if len(d.c.Uncovered) > 0 {
		d.Y++
		d.Write("No checkpoint asks about:", look.Strong)
		var part *inspect.Part
		for _, x := range d.c.Uncovered {
			if x.Part != part {
				part = x.Part
				d.Need(8)
				d.Write(spelling.Capital(spelling.Short(part.Name, 160)), look.Body.AsBold())
			}
			text := unnamed(x)
			if d.o.Blind && counted(x.Attribute) {
				text = x.State.Text // without the figures of the plan
			}
			d.WriteIn(4, d.Area.W-4, "– "+spelling.Short(text, mostLetters), look.Body.WithSize(2.4))
		}
	}
	for _, k := range d.c.Blind {
		c := &d.q.Checkpoints[k]
		d.Write(fmt.Sprintf("Checkpoint %s, %s, can see nothing on this rig.", spelling.Short(c.ID, 40), spelling.Short(c.Title, 120)), look.Body)
	}
	d.Y += 3
}

// signatures leaves room to sign. Demo data cannot be signed.
func (d *document) signatures() {
	const h = 11.0
	fields := [][]string{
		{"Rigged by (name)", "signature", "date, time"},
		{"Inspected by (name)", "signature", "date, time"},
		{"Inspector's qualification", "number or authority", "valid until"},
	}
	d.Need(20 + h*float64(len(fields)))
	d.title("Signatures")
	d.Write("They say who looked and what was found. They are no clearance to lift.", look.Body)
	shares := []float64{0.42, 0.33, 0.25}
	for _, f := range fields {
		l := d.List()
		x := d.Area.X
		y := d.Y + h - 3
		for i, name := range f {
			w := d.Area.W * shares[i]
			if d.v.Rig.Invented() {
				l.Text(draw.Pt(x, y-1), "INVENTED, cannot be signed", look.Small.At(draw.Start, draw.Baseline))
			}
			l.Line(draw.Pt(x, y), draw.Pt(x+w-4, y), look.Rule)
			l.Text(draw.Pt(x, y+2.6), name, look.Small.WithPaint(look.Ink).At(draw.Start, draw.Baseline))
			x += w
		}
		d.Y += h
	}
}
