package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type drawCommand struct {
	Rig    string `arg:"" help:"Rig file; - for standard input."`
	Out    string `short:"o" required:"" placeholder:"FILE" help:"File to write, ending in .svg, .pdf or .png; - for SVG on standard output."`
	View   string `placeholder:"VIEW" help:"side, front, top or three-quarter; all four on one board by default."`
	Ground bool   `help:"Draw it as it stands on the ground, before lifting."`
}

// Help is the command's long help.
func (drawCommand) Help() string {
	return `Examples:

  hangtrue draw crate.yaml -o crate.svg
  hangtrue draw crate.yaml --view side -o crate.pdf
  hangtrue draw crate.yaml --ground -o - > ground.svg

The picture is drawn whatever the result, except for bad input. A rig with counts still to be found can be drawn on the ground only.
` + statuses
}

// views are the views there are.
var views = []string{"side", "front", "top", "three-quarter"}

// Run draws one rig.
func (c *drawCommand) Run(p *Program) error {
	format := "svg"
	if c.Out != "-" {
		format = strings.ToLower(strings.TrimPrefix(filepath.Ext(c.Out), "."))
		if !slices.Contains(app.Formats, format) {
			return fmt.Errorf("%s: the end of the name does not say which kind of picture; end it in .%s", c.Out, strings.Join(app.Formats, ", ."))
		}
	}
	if c.View != "" && !slices.Contains(views, c.View) {
		hint := "the views are " + strings.Join(views, ", ")
		if near := spelling.Nearest(c.View, views); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		return fmt.Errorf("there is no view %q; %s", c.View, hint)
	}
	s, err := p.solve(c.Rig)
	if err != nil {
		return err
	}
	if len(s.Problems) > 0 {
		return p.problems(c.Rig, &s)
	}
	if s.Answer == nil && !c.Ground {
		return p.undrawn(c.Rig, &s)
	}
	picture, err := s.Picture(app.Drawing{View: c.View, Ground: c.Ground})
	if err != nil {
		return err
	}
	data, err := app.Encode(picture, format, 0)
	if err != nil {
		return err
	}
	if len(data) == 0 {
		return errors.New("the picture is empty")
	}
	if err := p.write(c.Out, data); err != nil {
		return err
	}
	return outcome(s.Exit())
}

// undrawn says why a rig cannot be drawn as it hangs.
func (p *Program) undrawn(name string, s *app.Solved) error {
	fmt.Fprintf(p.Stderr, "%s: %s, or draw it with --ground\n", shownName(name), openWords(s))
	return outcome(s.Exit())
}
