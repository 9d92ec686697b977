package cli

import (
	"fmt"
	"math"
	"time"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
)

type weighCommand struct {
	Weighing string `arg:"" help:"Weighing, a file of format hangtrue.weighing/1; - for standard input."`
	Out      string `short:"o" placeholder:"FILE" help:"Also write it as a sheet, .svg, .pdf or .png."`
	JSON     bool   `name:"json" help:"Print mass and CG as data."`
}

// Help is the command's long help.
func (weighCommand) Help() string {
	return `Works out mass and CG from what axles or scales show, the height of the CG from a tilted reading, and adds what came on since: fuel, water, snow, wet cargo. An estimate never comes out without its tolerance. hangtrue new weighing prints a file to start from.

Examples:

  hangtrue weigh trailer-weighing.yaml
  hangtrue weigh trailer-weighing.yaml -o weighing.pdf
  hangtrue weigh trailer-weighing.yaml --json

Exit status: 0 mass and CG are known; 2 bad input; 3 the height of the CG cannot be told.`
}

// Run works out one weighing.
func (c *weighCommand) Run(p *Program) error {
	format, err := ending(c.Out, app.Formats...)
	if err != nil {
		return err
	}
	data, err := p.read(c.Weighing)
	if err != nil {
		return err
	}
	w := app.Weigh(data)
	if len(w.Problems) > 0 {
		return p.wrong(c.Weighing, w.Problems)
	}
	if err := p.drawn(c.Out, format, w.Sheet); err != nil {
		return err
	}
	if c.JSON {
		err = p.writeJSON(w.Document())
	} else {
		err = p.write("", []byte(weighPage(&w)))
	}
	if err != nil {
		return err
	}
	return outcome(w.Exit())
}

// drawn draws a picture and writes it, where one is asked for.
func (p *Program) drawn(name, format string, picture func() *draw.Picture) error {
	if name == "" {
		return nil
	}
	data, err := app.Encode(picture(), format, 0)
	if err != nil {
		return err
	}
	return p.write(name, data)
}

// wrong prints what is wrong with a file and gives the status for it.
func (p *Program) wrong(name string, problems []document.Problem) error {
	for _, x := range problems {
		fmt.Fprintln(p.Stderr, x.Format(shownName(name)))
	}
	return Outcome(app.ExitBadInput)
}

// inventedLine stands above every number where something is invented.
func (p *page) inventedLine(is bool, what string) {
	if is {
		p.WriteString("INVENTED: demo data, not " + what + " that exists\n\n")
	}
}

func weighPage(w *app.Weighed) string {
	x := w.Load
	p := page{show: x.Weighing.Show}
	p.inventedLine(x.Weighing.Invented, "a load")
	title := x.Weighing.Title
	if title == "" {
		title = "(no title)"
	}
	p.WriteString(wrapped(title, ""))
	p.WriteString(hanging(x.Weight.Show(p.show), "Weight: ", "        "))
	if len(x.Weighing.Since) > 0 {
		p.WriteString(hanging(x.Shown.Show(p.show), "On the scales: ", "               "))
	}
	p.WriteString(hanging(p.place(x), "CG: ", "    "))
	p.section("On the axles or scales, level")
	var rows [][]string
	for _, s := range x.Weighing.Scales {
		rows = append(rows, []string{s.ID, p.show.Mass(s.Shows), p.giveOrTake(s.Band), p.show.Length(s.At[0]), p.show.Length(s.At[1])})
	}
	p.rows([]string{"reading", "shows", "give or take", "ahead", "left"}, append(rows, []string{"together", p.show.Mass(x.Shown.Mass), p.giveOrTake(x.Shown.Band)}))
	if t := x.Weighing.Tilted; t != nil {
		p.list([]string{fmt.Sprintf("tilted by %s the raised end shows %s", p.show.Angle(t.Tilt), p.show.Mass(t.Shows))})
	}
	if len(x.Weighing.Since) > 0 {
		p.section("Since then")
		rows = nil
		for _, a := range x.Weighing.Since {
			rows = append(rows, []string{a.What, p.show.Mass(a.Weight.Mass), p.giveOrTake(a.Weight.Band), string(a.Weight.Known)})
		}
		p.rows([]string{"what", "mass", "give or take", "known"}, rows)
	}
	var notes []string
	if !x.Tolerant {
		notes = append(notes, "how far a scale may be off is not entered, so the tolerance of the weight leaves it out: add give-or-take: to each reading")
	}
	if x.Across {
		notes = append(notes, "all readings stand on one line fore and aft: the CG sideways is that line's and not measured")
	}
	if math.IsNaN(x.CG[2]) {
		notes = append(notes, "the height of the CG is not known: add a tilted reading, or height:")
	}
	if x.ByTilt {
		notes = append(notes, "the height comes from the tilted reading: supports free to roll, springs blocked, liquids left out or brim-full")
	}
	if len(notes) > 0 {
		p.section("Notes")
		p.list(notes)
	}
	p.section("As a body of a rig file takes it")
	p.WriteString(bodyLines(x, p.show))
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

// place writes where the CG lies, each figure with its tolerance.
func (p *page) place(x *lift.WeighedLoad) string {
	text := ""
	for k, name := range []string{"ahead", "to the left", "up"} {
		if k > 0 {
			text += ", "
		}
		if math.IsNaN(x.CG[k]) {
			text += "height not known"
			continue
		}
		text += p.show.Length(x.CG[k])
		if b := x.Band[k]; b >= 0.0005 {
			text += " ± " + p.show.Length(b)
		}
		text += " " + name
	}
	return text
}

func (p *page) giveOrTake(band float64) string {
	if band == 0 {
		return "not entered"
	}
	return "± " + p.show.Mass(band)
}

// bodyLines are the keys of a rig file's body, in the units of the weighing.
func bodyLines(x *lift.WeighedLoad, show quantity.System) string {
	mass, length := "kg", "m"
	if show == quantity.US {
		mass, length = "lb", "ft"
	}
	text := fmt.Sprintf("    mass: %.1f %s\n", quantity.In(x.Weight.Mass, mass), mass)
	if !math.IsNaN(x.CG[2]) {
		text += fmt.Sprintf("    cg: [%.3f %s, %.3f %s, %.3f %s]\n", quantity.In(x.CG[0], length), length, quantity.In(x.CG[1], length), length, quantity.In(x.CG[2], length), length)
	}
	text += "    known: " + string(x.Weight.Known) + "\n"
	if x.Weight.By != "" {
		text += fmt.Sprintf("    known-by: %q\n", x.Weight.By)
	}
	if !x.Weight.On.IsZero() {
		text += "    known-on: " + x.Weight.On.Format(time.DateOnly) + "\n"
	}
	if x.Weight.Band > 0 {
		text += fmt.Sprintf("    give-or-take: %.1f %s\n", quantity.In(x.Weight.Band, mass), mass)
	}
	return text
}
