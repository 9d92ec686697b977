package cli

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"hangtrue/internal/paper/sheet"
)

type sheetCommand struct {
	Rig  string `arg:"" help:"Rig file; - for standard input."`
	Out  string `short:"o" required:"" placeholder:"FILE" help:"PDF file to write; - for standard output."`
	Date string `placeholder:"YYYY-MM-DD" help:"Date to print; today by default."`
}

// Help is the command's long help.
func (sheetCommand) Help() string {
	return `Example:

  hangtrue sheet crate.yaml -o crate.pdf

The sheet names the version of the rig it was printed from; after any change of the rig it is void.
` + statuses
}

// Run prints the sheet of one rig.
func (c *sheetCommand) Run(p *Program) error {
	if c.Out != "-" && !strings.EqualFold(filepath.Ext(c.Out), ".pdf") {
		return fmt.Errorf("%s: a sheet is a PDF; end the name in .pdf", c.Out)
	}
	date := c.Date
	if date == "" {
		date = time.Now().Format(time.DateOnly)
	} else if _, err := time.Parse(time.DateOnly, date); err != nil {
		return fmt.Errorf("--date %s: write year, month and day, for example 2026-05-31", date)
	}
	s, err := p.hung(c.Rig)
	if err != nil {
		return err
	}
	data, err := s.Sheet(sheet.Stamp{Date: date, File: filepath.Base(shownName(c.Rig)), Tool: toolName()})
	if err != nil {
		return err
	}
	if err := p.write(c.Out, data); err != nil {
		return err
	}
	return outcome(s.Exit())
}
