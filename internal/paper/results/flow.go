package results

import (
	"fmt"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
)

// Stamp says when a paper was printed and by what.
type Stamp struct{ Date, Tool string }

// begin begins a paper of several pages with what it is and whose; note stands
// at the foot of every page.
func begin(title, note string, invented bool, s Stamp, whose ...string) *running.Paper {
	desc := note
	if invented {
		desc = "INVENTED. " + desc
	}
	d := &running.Paper{
		Title: title, Desc: desc, Longest: 4000,
		Foot: []string{note}, Stamp: []string{fmt.Sprintf("Printed %s by %s", s.Date, s.Tool)},
	}
	d.Head = func() {
		switch {
		case d.Number() > 1:
			d.Y += heading(d.List(), title, invented, d.Area)
			d.Y--
			d.Rule(look.Rule)
			d.Y += 2
		case invented:
			d.Y += heading(d.List(), "", true, d.Area)
		}
	}
	d.Page()
	d.Write(title, look.Title)
	d.Write(spelling.Joined(", ", whose...), look.Body)
	d.Y += look.Space
	return d
}

// table writes a section that is a table; shares are its columns' widths over
// the whole.
func table(d *running.Paper, title string, shares []float64, head []string, rows [][]string) {
	section(d, title, 24)
	d.Table(d.Columns(shares...), head, rows, look.Body)
}

func section(d *running.Paper, title string, room float64) { d.Section(title, 2*look.Space, room) }
