package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/lesson"
	"hangtrue/internal/paper/sheet"
)

type lessonCommand struct {
	Rig       string `arg:"" help:"Rig file; - for standard input."`
	Handout   string `placeholder:"FILE" help:"Print the handout: .pdf, A4."`
	Projector string `placeholder:"FILE" help:"Print pages for a projector: .pdf, 16 to 9."`
	Use       string `placeholder:"FILE" help:"A school's own sequence, in place of the one suggested from the rig."`
	Catalog   string `placeholder:"DIR" help:"Folder with a school's own catalogue files, read over the shipped ones."`
	Date      string `placeholder:"YYYY-MM-DD" help:"Date to print; today by default."`
}

// Help is the command's long help.
func (lessonCommand) Help() string {
	return `Examples:

  hangtrue lesson crate.yaml --handout lesson.pdf
  hangtrue lesson crate.yaml --use walk.yaml --handout lesson.pdf --projector screens.pdf

Checkpoint by checkpoint: where to stand, what is asked and done, how right looks, how each wrong state looks, why it matters, and what it would do to this load. What it would do is computed. What an earlier checkpoint showed is named and not shown again.

Exit status: 0 printed; 2 bad input; 3 cannot tell, counts are still to be found.`
}

// Run prints a lesson.
func (c *lessonCommand) Run(p *Program) error {
	switch {
	case c.Handout == "" && c.Projector == "":
		return errors.New("name a file to print to: --handout FILE.pdf or --projector FILE.pdf")
	case c.Handout == c.Projector:
		return fmt.Errorf("%s is to be written twice; give each its own file", c.Handout)
	}
	for _, name := range []string{c.Handout, c.Projector} {
		if err := paperFile(name); err != nil {
			return err
		}
	}
	date, err := printDate(c.Date)
	if err != nil {
		return err
	}
	s, l, _, err := p.lesson(c.Rig, c.Use, c.Catalog)
	if err != nil {
		return err
	}
	stamp := sheet.Stamp{Date: date, File: filepath.Base(shownName(c.Rig)), Tool: toolName()}
	for _, x := range []struct {
		name  string
		paper func(*app.Solved, *lesson.Lesson, sheet.Stamp) ([]byte, error)
	}{{c.Handout, app.LessonHandout}, {c.Projector, app.LessonScreens}} {
		if x.name == "" {
			continue
		}
		data, err := x.paper(s, l, stamp)
		if err != nil {
			return err
		}
		if err := p.write(x.name, data); err != nil {
			return err
		}
	}
	return nil
}

// lesson makes the lesson of a rig with the suggested or an own sequence. A rig
// whose counts are open has none: nothing can be computed of it.
func (p *Program) lesson(name, use, catalog string) (*app.Solved, *lesson.Lesson, *app.EffectsDocument, error) {
	if err := once(name, use); err != nil {
		return nil, nil, nil, err
	}
	s, v, err := p.survey(name, catalog)
	if err != nil {
		return nil, nil, nil, err
	}
	if s.Answer == nil {
		fmt.Fprintf(p.Stderr, "%s: %s\n", shownName(name), openWords(s))
		return nil, nil, nil, outcome(s.Exit())
	}
	q := inspect.Suggest(v)
	if use != "" {
		if q, err = p.sequence(use, v); err != nil {
			return nil, nil, nil, err
		}
	}
	effects, err := app.Effects(s, v)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("%s: %w", shownName(name), err)
	}
	return s, app.Lesson(v, q, &effects), &effects, nil
}

// paperFile refuses a name that does not say that a PDF is to be written.
func paperFile(name string) error {
	if name != "" && name != "-" && !strings.EqualFold(filepath.Ext(name), ".pdf") {
		return fmt.Errorf("%s: this is printed as a PDF; end the name in .pdf", name)
	}
	return nil
}
