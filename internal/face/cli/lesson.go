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
	Rig     string `arg:"" help:"Rig file; - for standard input."`
	Handout string `placeholder:"FILE" help:"Print the handout: .pdf, A4."`
	Use     string `placeholder:"FILE" help:"A school's own sequence, in place of the one suggested from the rig."`
	Catalog string `placeholder:"DIR" help:"Folder with a school's own catalogue files, read over the shipped ones."`
	Date    string `placeholder:"YYYY-MM-DD" help:"Date to print; today by default."`
}

// Help is the command's long help.
func (lessonCommand) Help() string {
	return `Examples:

  hangtrue lesson crate.yaml --handout lesson.pdf
  hangtrue lesson crate.yaml --handout lesson.pdf --use walk.yaml

Exit status: 0 printed; 2 bad input; 3 cannot tell, counts are still to be found.`
}

// Run prints a lesson.
func (c *lessonCommand) Run(p *Program) error {
	if c.Handout == "" {
		return errors.New("name the file to print to: --handout FILE.pdf")
	}
	if err := paperFile(c.Handout); err != nil {
		return err
	}
	s, l, _, err := p.lesson(c.Rig, c.Use, c.Catalog)
	if err != nil {
		return err
	}
	date, err := printDate(c.Date)
	if err != nil {
		return err
	}
	data, err := app.LessonHandout(s, l, sheet.Stamp{Date: date, File: filepath.Base(shownName(c.Rig)), Tool: toolName()})
	if err != nil {
		return err
	}
	return p.write(c.Handout, data)
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
