package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/lesson"
	"hangtrue/internal/paper/sheet"
)

type quizCommand struct {
	Rig       string `arg:"" help:"Rig file; - for standard input."`
	Questions int    `default:"10" placeholder:"N" help:"How many questions; 10 unless told."`
	Seed      string `placeholder:"TEXT" help:"Any text; the same seed on the same rig gives the same quiz."`
	Good      int    `default:"40" placeholder:"PERCENT" help:"How many pictures of a hundred show a part as it should be; 40 unless told."`
	Pairs     bool   `help:"Two pictures of one part side by side, each as it should be or not."`
	Out       string `short:"o" placeholder:"FILE" help:"The quiz: .pdf, A4."`
	Key       string `placeholder:"FILE" help:"The key to the quiz: .pdf, A4."`
	Use       string `placeholder:"FILE" help:"A school's own sequence, in place of the one suggested from the rig."`
	Catalog   string `placeholder:"DIR" help:"Folder with a school's own catalogue files, read over the shipped ones."`
	Date      string `placeholder:"YYYY-MM-DD" help:"Date to print; today by default."`
}

// Help is the command's long help.
func (quizCommand) Help() string {
	return `Examples:

  hangtrue quiz crate.yaml --questions 8 --seed "Monday" -o quiz.pdf --key key.pdf
  hangtrue quiz crate.yaml --seed "Monday" --good 25 --pairs -o pairs.pdf --key pairs-key.pdf

Parts are chosen from the seed, and then which of them are drawn as they should be: nothing but the drawing tells which. Whoever knows the seed can print the key. A quiz is practice.

Exit status: 0 printed; 2 bad input; 3 cannot tell, counts are still to be found.`
}

// Run prints a quiz, its key, or both.
func (c *quizCommand) Run(p *Program) error {
	switch {
	case c.Out == "" && c.Key == "":
		return errors.New("name the files to print to: -o FILE.pdf for the quiz, --key FILE.pdf for its key")
	case c.Out == c.Key:
		return fmt.Errorf("%s is to be written twice; give quiz and key each its own file", c.Out)
	case c.Good < 0 || c.Good > 100:
		return fmt.Errorf("--good %d: how many of a hundred; from 0 to 100", c.Good)
	}
	for _, name := range []string{c.Out, c.Key} {
		if err := paperFile(name); err != nil {
			return err
		}
	}
	date, err := printDate(c.Date)
	if err != nil {
		return err
	}
	s, l, effects, err := p.lesson(c.Rig, c.Use, c.Catalog)
	if err != nil {
		return err
	}
	z, err := lesson.NewQuiz(l.Survey, l.Sequence, lesson.QuizAsk{Questions: c.Questions, Seed: c.Seed, Good: float64(c.Good) / 100, Pairs: c.Pairs})
	if err != nil {
		return errors.New(strings.TrimPrefix(err.Error(), "lesson: "))
	}
	stamp := sheet.Stamp{Date: date, File: filepath.Base(shownName(c.Rig)), Tool: toolName()}
	if c.Out != "" {
		data, err := app.QuizPaper(s, z, stamp)
		if err != nil {
			return err
		}
		if err := p.write(c.Out, data); err != nil {
			return err
		}
	}
	if c.Key == "" {
		return nil
	}
	data, err := app.QuizKey(s, z, stamp, effects)
	if err != nil {
		return err
	}
	return p.write(c.Key, data)
}
