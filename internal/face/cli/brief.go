package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"hangtrue/internal/face/app"
	paper "hangtrue/internal/paper/placard"
)

type briefCommand struct {
	Rig      string `arg:"" help:"Rig file; - for standard input."`
	Aircraft string `placeholder:"FILE" help:"Aircraft file, format hangtrue.aircraft/1, or the name of a shipped one."`
	Brief    string `placeholder:"FILE" help:"What the school entered for this load, format hangtrue.brief/1."`
	Register string `placeholder:"FILE" help:"The school's register of procedures; by default procedures/register.yaml beside the rig file, where there is one."`
	Out      string `short:"o" placeholder:"FILE" help:"PDF file to write; - for standard output."`
	Placard  bool   `help:"Print the load placard alone."`
	Aircrew  bool   `help:"Print the aircrew sheet alone."`
	Team     bool   `help:"Print the hook-up team card alone."`
	A5       bool   `name:"a5" help:"Print on A5 in place of A4."`
	JSON     bool   `name:"json" help:"Print the brief as data, format hangtrue.load-brief/1."`
	Date     string `placeholder:"YYYY-MM-DD" help:"Date to print; today by default."`
}

// Help is the command's long help.
func (briefCommand) Help() string {
	return `Examples:

  hangtrue brief crate.yaml -o crate.pdf
  hangtrue brief crate.yaml --aircraft twin.yaml --brief crate-brief.yaml -o crate.pdf
  hangtrue brief crate.yaml --aircraft twin --placard --a5 -o placard.pdf
  hangtrue brief crate.yaml --aircraft twin --json

Three papers: the placard on the load, the aircrew sheet, the hook-up team's card. What nobody entered prints as not entered or NOT BRIEFED. Without an approved procedure that is in force and covers the load they are marked DRAFT, until a named authority, its reference and a test lift are entered. They name the versions they were made from; after any change they are void.

Exit status: 0 rig and aircraft within the limits entered; 1 over a limit, or it does not stand; 2 bad input; 3 cannot tell. A draft is no error.`
}

// Run prints the papers of one load.
func (c *briefCommand) Run(p *Program) error {
	if err := c.check(); err != nil {
		return err
	}
	now := time.Now()
	date := c.Date
	if date == "" {
		date = now.Format(time.DateOnly)
	} else {
		day, err := time.Parse(time.DateOnly, date)
		if err != nil {
			return fmt.Errorf("--date %s: write year, month and day, for example 2026-05-31", date)
		}
		now = day
	}
	if beside := filepath.Join(filepath.Dir(c.Rig), app.RegisterName); c.Register == "" && c.Rig != "-" {
		if _, err := os.Stat(beside); err == nil {
			c.Register = beside
		}
	}
	s, err := p.hung(c.Rig)
	if err != nil {
		return err
	}
	in := app.BriefFrom{Rig: &s, Name: strings.TrimSuffix(filepath.Base(shownName(c.Rig)), filepath.Ext(c.Rig)), Today: now}
	files := map[string]string{"aircraft": c.Aircraft, "brief": c.Brief, "register": c.Register}
	for _, x := range []struct {
		name string
		data *[]byte
	}{{c.Aircraft, &in.Aircraft}, {c.Brief, &in.Brief}, {c.Register, &in.Register}} {
		if shipped, ok := app.Shipped(x.name); ok && x.name == c.Aircraft {
			*x.data = shipped
		} else if x.name != "" {
			if *x.data, err = p.read(x.name); err != nil {
				return err
			}
		}
	}
	b := app.MakeBrief(in)
	if len(b.Wrong) > 0 {
		return p.wrong(files[b.WrongIn], b.Wrong)
	}
	if c.JSON {
		err = p.writeJSON(b.Document())
	} else {
		var data []byte
		stamp := paper.Stamp{Date: date, File: filepath.Base(shownName(c.Rig)), Tool: toolName()}
		if data, err = b.PDF(c.kinds(), c.A5, stamp, time.Time{}); err == nil {
			err = p.write(c.Out, data)
		}
	}
	if err != nil {
		return err
	}
	return outcome(worse(s.Exit(), b.Exit()))
}

func (c *briefCommand) check() error {
	if err := once(c.Rig, c.Aircraft, c.Brief, c.Register); err != nil {
		return err
	}
	switch {
	case c.JSON && (c.Out != "" || c.A5 || len(c.kinds()) < len(paper.Kinds())):
		return errors.New("--json prints the whole brief to standard output; leave out -o, --a5 and the names of papers")
	case c.Out == "" && !c.JSON:
		return errors.New("name a PDF to write: -o FILE.pdf, or ask for --json")
	case !c.JSON && c.Out != "-" && !strings.EqualFold(filepath.Ext(c.Out), ".pdf"):
		return fmt.Errorf("%s: the papers are a PDF; end the name in .pdf", c.Out)
	}
	return nil
}

// kinds are the papers asked for; none named is all of them.
func (c *briefCommand) kinds() []paper.Kind {
	var out []paper.Kind
	for i, asked := range []bool{c.Placard, c.Aircrew, c.Team} {
		if asked {
			out = append(out, paper.Kinds()[i])
		}
	}
	if len(out) == 0 {
		return paper.Kinds()
	}
	return out
}
