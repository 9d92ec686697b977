package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/closeup"
)

type closeupCommand struct {
	Figure string   `arg:"" optional:"" help:"Which figure; without one all are listed."`
	States []string `arg:"" optional:"" sep:"none" help:"What to draw it in: attribute=state, or number=digits; all else as it should be."`
	Out    string   `short:"o" placeholder:"FILE" help:"File to write, ending in .svg, .pdf or .png."`
	Staff  bool     `help:"Add what a student has to find out: names of states and numbers of links."`
	JSON   bool     `name:"json" help:"List the figures as data."`
}

// Help is the command's long help.
func (closeupCommand) Help() string {
	return `Examples:

  hangtrue closeup
  hangtrue closeup grab-hook
  hangtrue closeup grab-hook shape=opened -o hook.png
  hangtrue closeup grab-hook shape=opened --staff -o hook.pdf

Nothing on a drawing but the drawing itself says whether a state is a good one. A PNG without --staff is a student's picture: every one has the same size and carries nothing but its pixels.

Exit status: 0 listed or drawn; 2 bad input.`
}

// Run lists figures or draws one.
func (c *closeupCommand) Run(p *Program) error {
	if c.Out == "" {
		if len(c.States) > 0 || c.Staff {
			return fmt.Errorf("to draw a figure name a file: hangtrue closeup %s %s -o FILE", c.Figure, strings.Join(c.States, " "))
		}
		return c.list(p)
	}
	if c.Figure == "" || c.JSON {
		return fmt.Errorf("-o %s: name one figure to draw and leave out --json; hangtrue closeup lists the figures", c.Out)
	}
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(c.Out), "."))
	if !slices.Contains(app.Formats, format) {
		return fmt.Errorf("%s: the end of the name does not say which kind of picture; end it in .%s", c.Out, strings.Join(app.Formats, ", ."))
	}
	params := map[string]string{}
	for _, x := range c.States {
		key, value, ok := strings.Cut(x, "=")
		if !ok || key == "" || value == "" {
			return fmt.Errorf("%q names no state; write attribute=state; hangtrue closeup %s lists them", x, c.Figure)
		}
		if _, twice := params[key]; twice {
			return fmt.Errorf("%q: %s is given twice; give it once", x, key)
		}
		params[key] = value
	}
	var data []byte
	var err error
	if format == "png" && !c.Staff {
		data, err = closeup.StudentPNG(c.Figure, params)
	} else {
		picture, wrong := closeup.Draw(c.Figure, params, closeup.Options{Staff: c.Staff})
		if wrong != nil {
			return wrong
		}
		data, err = app.Encode(picture, format, 0)
	}
	if err != nil {
		return err
	}
	return p.write(c.Out, data)
}

// listedFigure is one figure as data.
type listedFigure struct {
	ID    string       `json:"id"`
	Views []listedView `json:"views"`
}

type listedView struct {
	Title      string            `json:"title"`
	Attributes []listedAttribute `json:"attributes"`
	Numbers    []listedNumber    `json:"numbers"`
}

type listedAttribute struct {
	ID     string   `json:"id"`
	States []string `json:"states"` // the first is drawn where none is asked for
}

type listedNumber struct {
	ID     string `json:"id"`
	Least  int    `json:"least"`
	Most   int    `json:"most"`
	Unless int    `json:"unless"`
}

// list prints all figures, or one with its states.
func (c *closeupCommand) list(p *Program) error {
	figures := closeup.Figures()
	if c.Figure != "" {
		f, ok := closeup.Find(c.Figure)
		if !ok {
			_, err := closeup.Draw(c.Figure, nil, closeup.Options{})
			return err // names the nearest
		}
		figures = []closeup.Figure{f}
	}
	if c.JSON {
		out := []listedFigure{}
		for _, f := range figures {
			x := listedFigure{ID: f.ID}
			for _, v := range f.Views {
				y := listedView{Title: v.Title, Attributes: []listedAttribute{}, Numbers: []listedNumber{}}
				for _, a := range v.Attributes {
					y.Attributes = append(y.Attributes, listedAttribute{a.ID, a.States})
				}
				for _, n := range v.Numbers {
					y.Numbers = append(y.Numbers, listedNumber{n.ID, n.Least, n.Most, n.Unless})
				}
				x.Views = append(x.Views, y)
			}
			out = append(out, x)
		}
		return p.writeJSON(struct {
			Format  string         `json:"format"`
			Figures []listedFigure `json:"figures"`
		}{"hangtrue.figures/1", out})
	}
	var b page
	if c.Figure == "" {
		var rows [][]string
		for _, f := range figures {
			var names []string
			for _, v := range f.Views {
				for _, a := range v.Attributes {
					names = append(names, a.ID)
				}
			}
			rows = append(rows, []string{f.ID, fmt.Sprint(len(f.States())), strings.Join(names, ", ")})
		}
		b.rows([]string{"figure", "states", "attributes"}, rows)
		return p.write("", []byte(b.String()))
	}
	for i, v := range figures[0].Views {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(wrapped(v.Title, ""))
		for _, a := range v.Attributes {
			b.WriteString(hanging(strings.Join(a.States, ", "), "  "+a.ID+": ", "      "))
		}
		for _, n := range v.Numbers {
			fmt.Fprintf(&b, "  %s: a number from %d to %d\n", n.ID, n.Least, n.Most)
		}
	}
	return p.write("", []byte(b.String()))
}
