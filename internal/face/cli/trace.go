package cli

import (
	"errors"
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
)

type traceCommand struct {
	Rig     string            `arg:"" help:"Rig file; - for standard input."`
	Seat    map[string]int    `placeholder:"LEG=SEAT" help:"The seat that a leg was found in, from the load's left."`
	Point   map[string]string `placeholder:"LEG=BODY.POINT" help:"The point that a leg was found at; several with commas."`
	Over    map[string]string `placeholder:"LEG=LEG" help:"The leg that a leg was found to lie over; several with commas."`
	Missing []string          `placeholder:"LEG" help:"A leg that was not found."`
	Out     string            `short:"o" placeholder:"FILE" help:"Draw it into this file, ending in .svg, .pdf or .png."`
	JSON    bool              `name:"json" help:"Print it as data."`
}

// Help is the command's long help.
func (traceCommand) Help() string {
	return `Examples:

  hangtrue trace crate.yaml
  hangtrue trace crate.yaml -o who-hangs-where.pdf
  hangtrue trace crate.yaml --seat FL=4 --seat FR=1
  hangtrue trace crate.yaml --point FL=crate.RL --over RL=RR --json

Without flags it is the plan. Each flag says how one leg was found to run, and may be given again; all others were found as planned. Seats count from the load's left; the picture is seen by someone who faces the load's front.

Exit status: 0 every leg runs as planned; 1 something does not, or a leg was not found; 2 bad input; 3 seats are not entered, so it cannot be told whether legs cross.`
}

// Run says and draws who hangs where.
func (c *traceCommand) Run(p *Program) error {
	format, err := pictureFormat(c.Out)
	if err != nil {
		return err
	}
	if c.Out == "-" && c.JSON {
		return errors.New("a picture on standard output leaves no room for --json; name a file for it")
	}
	s, err := p.solve(c.Rig)
	if err != nil {
		return err
	}
	if len(s.Problems) > 0 {
		return p.problems(c.Rig, &s)
	}
	found, err := app.Found(s.Rig, app.TraceChanges{Seats: c.Seat, Points: listed(c.Point), Over: listed(c.Over), Missing: c.Missing})
	if err != nil {
		return err
	}
	t, d := app.Traced(&s, found)
	if err := p.drawn(c.Out, format, func() *draw.Picture { return app.TracePicture(s.Rig, t) }); err != nil {
		return err
	}
	switch {
	case c.JSON:
		err = p.writeJSON(d)
	case c.Out != "-":
		err = p.write("", []byte(tracePage(&s, &d)))
	}
	if err != nil {
		return err
	}
	return outcome(d.Exit())
}

// listed splits what was given with commas.
func listed(given map[string]string) map[string][]string {
	out := map[string][]string{}
	for leg, list := range given {
		for x := range strings.SplitSeq(list, ",") {
			out[leg] = append(out[leg], strings.TrimSpace(x))
		}
	}
	return out
}

func tracePage(s *app.Solved, d *app.TraceDocument) string {
	p := page{show: s.Rig.Show()}
	p.standing(s.Rig)
	switch {
	case d.Words != "":
		p.section("Not as planned:")
		p.list(strings.Split(d.Words, "; "))
	case !d.Planned:
		p.section("Not all legs were found; those that were are as planned.")
	default:
		p.section("Who hangs where, as planned:")
	}
	var rows [][]string
	for _, x := range d.Legs {
		where, note := "–", []string{}
		if x.Seat != nil {
			where = fmt.Sprint(*x.Seat)
		}
		to := strings.Join(x.To, ", ")
		if x.WrongSeat {
			note = append(note, fmt.Sprintf("wrong seat, planned %d", *x.PlannedSeat))
		}
		if x.WrongPoint {
			note = append(note, "wrong point, planned "+strings.Join(x.PlannedTo, ", "))
		}
		if !x.Found {
			to = "–"
			note = append(note, "not found, planned to "+strings.Join(x.PlannedTo, ", "))
		}
		rows = append(rows, []string{x.ID, x.From, where, to, strings.Join(note, "; ")})
	}
	p.WriteString("\n")
	p.rows([]string{"leg", "from", "seat", "to", ""}, rows)
	for _, x := range d.Pairs {
		fmt.Fprintf(&p, "legs %s and %s: %s\n", x.Legs[0], x.Legs[1], x.Knot)
	}
	p.WriteString("Seats count from the load's left.\n")
	if len(d.Unseated) > 0 {
		p.WriteString(wrapped("No seat is entered for "+strings.Join(d.Unseated, ", ")+": whether these legs cross cannot be told.", ""))
	}
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}
