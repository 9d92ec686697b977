package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
)

// pictureFormat is the kind of picture that a file's name asks for; "-" is svg.
func pictureFormat(name string) (string, error) {
	if name == "" || name == "-" {
		return "svg", nil
	}
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(name), "."))
	if !slices.Contains(app.Formats, format) {
		return "", fmt.Errorf("%s: the end of the name does not say which kind of picture; end it in .%s", name, strings.Join(app.Formats, ", ."))
	}
	return format, nil
}

// printDate is the date to print: as given, or today.
func printDate(given string) (string, error) {
	if given == "" {
		return time.Now().Format(time.DateOnly), nil
	}
	if _, err := time.Parse(time.DateOnly, given); err != nil {
		return "", fmt.Errorf("--date %s: write year, month and day, for example 2026-05-31", given)
	}
	return given, nil
}

// papers refuses, before anything is worked out, what cannot be drawn.
func (c *sequenceCommand) papers() error {
	var names []string
	for _, name := range []string{c.Map, c.Coverage, c.Sheet, c.Out} {
		if name == "" {
			continue
		}
		if slices.Contains(names, name) {
			return fmt.Errorf("%s is to be written twice; give each its own file", name)
		}
		names = append(names, name)
	}
	if slices.Contains(names, "-") && (c.JSON || c.Check) {
		return errors.New("a picture or sheet on standard output leaves no room for --check and --json; name a file for it")
	}
	for _, name := range []string{c.Map, c.Coverage} {
		if _, err := pictureFormat(name); err != nil {
			return err
		}
	}
	switch {
	case c.Sheet != "" && c.Sheet != "-" && !strings.EqualFold(filepath.Ext(c.Sheet), ".pdf"):
		return fmt.Errorf("%s: a sheet is a PDF; end the name in .pdf", c.Sheet)
	case c.Blind && c.Sheet == "":
		return errors.New("--blind is of a sheet; name one with --sheet FILE")
	case c.Date != "" && c.Sheet == "":
		return errors.New("--date is of a sheet; name one with --sheet FILE")
	}
	return nil
}

// draw writes the pictures and the sheet that are asked for, and reports
// whether any was.
func (c *sequenceCommand) draw(p *Program, s *app.Solved, v *inspect.Survey, q *inspect.Sequence) (bool, error) {
	for _, x := range []struct {
		name    string
		picture func(*inspect.Survey, *inspect.Sequence) *draw.Picture
	}{{c.Map, app.WalkMap}, {c.Coverage, app.WalkCoverage}} {
		if x.name == "" {
			continue
		}
		format, err := pictureFormat(x.name)
		if err != nil {
			return false, err
		}
		data, err := app.Encode(x.picture(v, q), format, 0)
		if err != nil {
			return false, err
		}
		if err := p.write(x.name, data); err != nil {
			return false, err
		}
	}
	if c.Sheet != "" {
		date, err := printDate(c.Date)
		if err != nil {
			return false, err
		}
		data, err := app.WalkSheet(s, v, q, sheet.Stamp{Date: date, File: filepath.Base(shownName(c.Rig)), Tool: toolName()}, c.Blind)
		if err != nil {
			return false, err
		}
		if err := p.write(c.Sheet, data); err != nil {
			return false, err
		}
	}
	return c.Map != "" || c.Coverage != "" || c.Sheet != "", nil
}
