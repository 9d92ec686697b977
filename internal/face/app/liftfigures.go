package app

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lifting"
)

// Sheet is a weighing as one page: what was read, and the mass and CG that
// follow from it.
func (w *Weighed) Sheet() *draw.Picture {
	x, show := w.Load, w.Load.Weighing.Show
	title := x.Weighing.Title
	if title == "" {
		title = "a load without a title"
	}
	s := lifting.FiguresSheet{Title: "Weighing of " + title, Invented: x.Weighing.Invented, Version: w.Version}
	out := lifting.FigureGroup{Title: "Mass and CG", Rows: []lifting.Figure{{What: "Mass", Value: x.Weight.Show(show)}}}
	for k, axis := range []string{"CG forward, x", "CG to the left, y", "CG up, z"} {
		f := lifting.Figure{What: axis, Value: "cannot tell"}
		if !math.IsNaN(x.CG[k]) {
			f.Value = show.Length(x.CG[k])
			if x.Band[k] > 0 {
				f.Value += " ± " + show.Length(x.Band[k])
			}
		}
		switch {
		case k == 1 && x.Across:
			f.Note = "not measured: that of the line on which all readings stand"
		case k == 2:
			f.Note = "its height: " + w.Height()
		}
		out.Rows = append(out.Rows, f)
	}
	if math.IsNaN(x.CG[2]) {
		s.Result, s.Reason = rig.CannotTell.Words(), "the height of the CG is not known: a tilted reading is needed, or the height where it is known"
	}
	read := lifting.FigureGroup{Title: "On the axles or scales, level"}
	for _, r := range x.Weighing.Scales {
		read.Rows = append(read.Rows, lifting.Figure{What: r.ID, Value: show.Mass(r.Shows) + giveOrTake(show, r.Band), Note: fmt.Sprintf("at %s ahead, %s to the left", show.Length(r.At[0]), show.Length(r.At[1]))})
	}
	read.Rows = append(read.Rows, lifting.Figure{What: "together", Value: x.Shown.Show(show)})
	if t := x.Weighing.Tilted; t != nil {
		read.Rows = append(read.Rows, lifting.Figure{What: "raised end, tilted by " + show.Angle(t.Tilt), Value: show.Mass(t.Shows)})
	}
	s.Groups = append(s.Groups, out, read)
	if len(x.Weighing.Since) > 0 {
		since := lifting.FigureGroup{Title: "Since then"}
		for _, a := range x.Weighing.Since {
			since.Rows = append(since.Rows, lifting.Figure{What: a.What, Value: show.Mass(a.Weight.Mass) + giveOrTake(show, a.Weight.Band), Note: string(a.Weight.Known)})
		}
		s.Groups = append(s.Groups, since)
	}
	if !x.Tolerant {
		s.Notes = append(s.Notes, "Not every scale has a tolerance entered, so the tolerances leave it out.")
	}
	if x.ByTilt {
		s.Notes = append(s.Notes, "The height comes from the tilted reading: supports free to roll, springs blocked, liquids left out or brim-full.")
	}
	return lifting.Figures(s)
}

// Sheet is a fill of liquid as one page.
func (x *Filled) Sheet() *draw.Picture {
	f, show := &x.Fill, x.Show
	s := lifting.FiguresSheet{Title: fmt.Sprintf("Fill of %s at %s", f.Liquid.Name, show.Temperature(f.At)), Result: x.Result.Words(), Reason: x.Reason}
	note := ""
	if f.Band > 0 {
		note = "estimated: the density is taken from the specification"
	}
	fill := lifting.FigureGroup{Title: "The fill", Rows: []lifting.Figure{
		{What: "Weight", Value: show.Mass(f.Mass) + giveOrTake(show, f.Band), Note: note},
		{What: "Volume", Value: show.Volume(f.Volume)},
		{What: "Density at this temperature", Value: show.Density(f.Density), Note: f.Liquid.Source},
	}}
	if b := x.VolumeBand(); b > 0 {
		fill.Rows[1].Value += " ± " + show.Volume(b)
	}
	s.Groups = append(s.Groups, fill)
	if x.Tank {
		tank := lifting.FigureGroup{Title: "In its tank", Rows: []lifting.Figure{{What: "The tank holds", Value: show.Volume(f.Tank.Holds()), Note: "brim-full; taken not to widen as it warms"}}}
		if room, ok := f.Room(); ok {
			r := lifting.Figure{What: "Room left at " + show.Temperature(*f.Hottest), Value: show.Volume(room)}
			if room < 0 {
				r.Value, r.Note = "none", "it would overflow by "+show.Volume(-room)
			}
			tank.Rows = append(tank.Rows, r)
		}
		if most, ok := f.Fullest(); ok {
			tank.Rows = append(tank.Rows, lifting.Figure{What: "Largest fill that still fits", Value: show.Volume(most), Note: "filled at " + show.Temperature(f.At)})
		}
		cg := f.CG([3]float64{0, 0, 1})
		tank.Rows = append(tank.Rows, lifting.Figure{What: "CG of the liquid, level", Value: show.Length(cg[0]) + ", " + show.Length(cg[1]) + ", " + show.Length(cg[2]), Note: "x, y, z from the middle of the tank's base"})
		s.Groups = append(s.Groups, tank)
	}
	for _, n := range x.Findings {
		s.Notes = append(s.Notes, n.About+": "+n.Text+".")
	}
	return lifting.Figures(s)
}

func giveOrTake(show quantity.System, band float64) string {
	if band <= 0 {
		return ""
	}
	return " ± " + show.Mass(band)
}
