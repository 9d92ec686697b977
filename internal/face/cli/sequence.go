package cli

import (
	"errors"
	"fmt"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/inspect/sequencefile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

type sequenceCommand struct {
	Rig     string `arg:"" help:"Rig file; - for standard input."`
	Use     string `placeholder:"FILE" help:"A school's own sequence, in place of the one suggested from the rig."`
	Check   bool   `help:"Say how far the sequence goes on this rig, and what it does not ask about."`
	Catalog string `placeholder:"DIR" help:"Folder with a school's own catalogue files, read over the shipped ones."`
	Out     string `short:"o" placeholder:"FILE" help:"Write the sequence to this file, format hangtrue.sequence/1."`
	JSON    bool   `name:"json" help:"Print sequence and coverage as data."`

	Map      string `placeholder:"FILE" help:"Draw the walk, seen from above: .svg, .pdf or .png."`
	Coverage string `placeholder:"FILE" help:"Draw what the sequence asks about and list what it does not: .svg, .pdf or .png."`
	Sheet    string `placeholder:"FILE" help:"Print the sequence as a checklist to fill in: .pdf."`
	Blind    bool   `help:"Leave the planned counts out of the sheet: they are counted and written down."`
	Date     string `placeholder:"YYYY-MM-DD" help:"Date to print on the sheet; today by default."`
}

// Help is the command's long help.
func (sequenceCommand) Help() string {
	return `Examples:

  hangtrue sequence crate.yaml
  hangtrue sequence crate.yaml -o walk.yaml
  hangtrue sequence crate.yaml --use walk.yaml --check
  hangtrue sequence crate.yaml --use walk.yaml --json
  hangtrue sequence crate.yaml --use walk.yaml --map map.svg --coverage asked.pdf --check
  hangtrue sequence crate.yaml --use walk.yaml --sheet walk.pdf --blind

The suggested sequence is made from the rig: a school's own order stands before it. Write it to a file, put it into your order, and hold that against the rig with --use and --check. Map, coverage and sheet are drawn of the sequence in use; where only they are asked for, nothing is printed.

Exit status: 0 printed, and with --check every deficiency of the catalogue that this rig can have is asked about; 1 with --check some are not; 2 bad input.`
}

// Run prints or checks a sequence for one rig.
func (c *sequenceCommand) Run(p *Program) error {
	if err := once(c.Rig, c.Use); err != nil {
		return err
	}
	if c.Out != "" && (c.Check || c.JSON) {
		return errors.New("-o writes the sequence alone; leave out --check and --json, or run the command twice")
	}
	if err := c.papers(); err != nil {
		return err
	}
	s, v, err := p.survey(c.Rig, c.Catalog)
	if err != nil {
		return err
	}
	q := inspect.Suggest(v)
	if c.Use != "" {
		if q, err = p.sequence(c.Use, v); err != nil {
			return err
		}
	}
	drawn, err := c.draw(p, s, v, q)
	if err != nil {
		return err
	}
	if c.Out != "" {
		return p.write(c.Out, sequencefile.Write(q))
	}
	d := app.Sequence(s, v, q)
	switch {
	case drawn && !c.JSON && !c.Check: // the files say it
	case c.JSON:
		err = p.writeJSON(d)
	case c.Check:
		err = p.write("", []byte(coveragePage(s, &d)))
	default:
		err = p.write("", []byte(sequencePage(s, &d)))
	}
	if err != nil {
		return err
	}
	if c.Check && len(d.Uncovered) > 0 {
		return Outcome(app.ExitOver)
	}
	return nil
}

// sequence reads a school's own sequence. A look that finds nothing on this
// rig is named with its line and is no error: one order may serve many rigs.
func (p *Program) sequence(name string, v *inspect.Survey) (*inspect.Sequence, error) {
	data, err := p.read(name)
	if err != nil {
		return nil, err
	}
	f, problems := sequencefile.Read(data)
	for _, x := range problems {
		fmt.Fprintln(p.Stderr, x.Format(shownName(name)))
	}
	if len(problems) > 0 {
		return nil, Outcome(app.ExitBadInput)
	}
	for _, x := range f.Against(v) {
		fmt.Fprintln(p.Stderr, x.Format(shownName(name)))
	}
	return f.Sequence, nil
}

// walk writes what stands above a sequence and above its coverage.
func (p *page) walk(s *app.Solved, d *app.SequenceDocument) {
	p.standing(s.Rig)
	p.WriteString("\n")
	if d.Title != "" {
		p.WriteString(hanging(d.Title, "Inspection sequence: ", "  "))
	}
	if d.Source != "" {
		p.WriteString(hanging(d.Source, "Source: ", "  "))
	}
	if d.Made {
		p.WriteString("Suggested from the rig: a school's own order stands before it.\n")
	}
}

func sequencePage(s *app.Solved, d *app.SequenceDocument) string {
	p := page{show: s.Rig.Show()}
	p.walk(s, d)
	p.WriteString("\n" + wrapped(d.Before, ""))
	for _, x := range d.Stations {
		p.section(fmt.Sprintf("%d. Stand %s", x.Number, x.Place))
		for _, c := range x.Checkpoints {
			p.WriteString(hanging(c.ID+" "+c.Title, "  ", "       "))
			if c.Note != "" {
				p.WriteString(hanging(c.Note, "       note: ", "       "))
			}
			if c.Reference != "" {
				p.WriteString(hanging(c.Reference, "       see: ", "       "))
			}
			for _, t := range c.Tasks {
				text := fmt.Sprintf("%s: %s (%s)", t.Name, t.Ask, strings.Join(t.Do, ", "))
				if t.Planned != "" {
					text += " As planned: " + t.Planned
				}
				p.WriteString(hanging(text, "     - ", "       "))
			}
			if len(c.Tasks) == 0 {
				p.WriteString("     - asks about nothing on this rig\n")
			}
		}
	}
	p.section(d.AnythingElse)
	p.WriteString("\n" + wrapped(d.Claim, ""))
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

func coveragePage(s *app.Solved, d *app.SequenceDocument) string {
	p := page{show: s.Rig.Show()}
	p.walk(s, d)
	p.WriteString("\n" + wrapped(d.Claim, ""))
	if len(d.Uncovered) > 0 {
		p.section("No checkpoint asks about:")
		for _, x := range d.Uncovered {
			p.list([]string{x.Text + " [" + x.ID + "]"})
		}
	}
	if len(d.Blind) > 0 {
		p.section("Checkpoints that can see nothing on this rig:")
		p.list(d.Blind)
	}
	if len(d.Idle) > 0 {
		p.section("Looks that find nothing on this rig:")
		for _, x := range d.Idle {
			text := x.Checkpoint + ": " + x.Text
			if x.Hint != "" {
				text += "; " + x.Hint
			}
			p.list([]string{text})
		}
	}
	p.WriteString("\nEvery sequence ends with: " + d.AnythingElse + "\n")
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}
