package walk

import (
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
	"hangtrue/internal/paper/likeness"
	"hangtrue/internal/paper/sheet"
)

// mostLetters is how many letters of one text a sheet prints; a longer one is
// cut and ends with an ellipsis.
const mostLetters = 600

// Options say how a sheet is printed.
type Options struct {
	// Blind leaves out the counts of the plan, in words and pictures: the
	// inspector counts and writes down what was found.
	Blind bool
}

// Sheet is an inspection sequence as a printed checklist, one picture for each
// A4 page: whose rig and which version of it, the map of the walk, who hangs
// where, then station by station each checkpoint with what it asks, what is
// planned, a picture of how it should look and boxes to fill in; "anything
// else?", what no checkpoint asks about, and room for signatures.
func Sheet(v *inspect.Survey, q *inspect.Sequence, s sheet.Stamp, o Options) []*draw.Picture {
	last := "Rig version SHA-256 " + s.Version + ". After any change of the rig this sheet is void."
	d := &document{Paper: sheet.Paper(v.Rig, "Inspection sheet", last, s), v: v, q: q, c: inspect.Cover(v, q), likenesses: likeness.NewFinder(v), o: o}
	d.head()
	d.maps()
	d.stations()
	d.end()
	return d.Done()
}

// document is a sheet in the making.
type document struct {
	*running.Paper
	v          *inspect.Survey
	q          *inspect.Sequence
	c          *inspect.Coverage
	likenesses *likeness.Finder
	o          Options
}

// head says whose sequence it is and how the sheet is filled in.
func (d *document) head() {
	if text := d.q.Words(); text != "" {
		d.Write("Sequence: "+text+".", look.Body)
	}
	d.Y++
	d.Write(inspect.BeforeTheWalk, look.Strong)
	fill := "For each line mark one box: right, wrong, or can't tell. What is wrong or cannot be told goes into the remarks. Pictures are likenesses of good parts; the plan is what the words say."
	if d.o.Blind {
		fill += " This sheet leaves out the planned counts: count, and write down the link you find."
	}
	d.Write(fill, look.Body)
	d.Y += 2
}

// maps draws the map of the walk under the head, and who hangs where.
func (d *document) maps() {
	h := min(d.Bottom()-d.Y, 200)
	drawMap(d.List(), d.v, d.q, d.v.Stations(d.q), draw.Rect{X: d.Area.X, Y: d.Y, W: d.Area.W, H: h})
	d.Y += h + 2
	if len(d.v.Rig.Legs()) < 2 {
		return
	}
	const high = 135
	d.Need(high)
	drawTrace(d.List(), d.v.Rig, inspect.Trace(d.v.Rig, inspect.AsRigged(d.v.Rig)), draw.Rect{X: d.Area.X, Y: d.Y, W: d.Area.W, H: high})
	d.Y += high + 4
}
