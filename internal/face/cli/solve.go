package cli

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig/solution"
	"hangtrue/internal/face/app"
)

// statuses ends the help of every command that gives a result.
const statuses = `
Exit status: 0 within the limits entered; 1 over a limit, or it does not stand; 2 bad input; 3 cannot tell.`

type solveCommand struct {
	Rig  string `arg:"" help:"Rig file; - for standard input."`
	JSON bool   `name:"json" help:"Print the solution as data, format hangtrue.solution/1."`
	Out  string `short:"o" placeholder:"FILE" help:"Write to this file instead of standard output."`
}

// Help is the command's long help.
func (solveCommand) Help() string {
	return `Examples:

  hangtrue solve crate.yaml
  hangtrue solve crate.yaml --json -o crate.json
  hangtrue new crate | hangtrue solve -

JSON is printed whatever the exit status, except 2.
` + statuses
}

// Run hangs one rig.
func (c *solveCommand) Run(p *Program) error {
	s, err := p.solve(c.Rig)
	if err != nil {
		return err
	}
	if len(s.Problems) > 0 {
		return p.problems(c.Rig, &s)
	}
	var out []byte
	switch {
	case c.JSON:
		out, err = p.document(&s)
		if err != nil {
			return err
		}
	case s.Answer == nil:
		out = []byte(openTable(&s))
	default:
		out = []byte(table(s.Answer))
	}
	if err := p.write(c.Out, out); err != nil {
		return err
	}
	if s.Answer == nil {
		fmt.Fprintf(p.Stderr, "%s: %s\n", shownName(c.Rig), openWords(&s))
	}
	return outcome(s.Exit())
}

func outcome(status int) error {
	if status == app.ExitWithin {
		return nil
	}
	return Outcome(status)
}

// solve reads a rig file and hangs it. The error is about the file as a whole;
// what is wrong inside it is in the result.
func (p *Program) solve(name string) (app.Solved, error) {
	data, err := p.read(name)
	if err != nil {
		return app.Solved{}, err
	}
	return app.Solve(data), nil
}

// problems prints what is wrong with a file and gives the status for it.
func (p *Program) problems(name string, s *app.Solved) error {
	for _, x := range s.Problems {
		fmt.Fprintln(p.Stderr, x.Format(shownName(name)))
	}
	return Outcome(s.Exit())
}

func (p *Program) document(s *app.Solved) ([]byte, error) {
	if s.Answer != nil {
		return s.Solution(toolName()).Encode()
	}
	d := solution.Undecided(s.Rig, openWords(s))
	d.Rig, d.Tool = s.Version, toolName()
	return d.Encode()
}

// openWords says which counts are still to be found.
func openWords(s *app.Solved) string {
	legs := "leg " + s.Open[0]
	if n := len(s.Open); n > 1 {
		legs = "legs " + strings.Join(s.Open[:n-1], ", ") + " and " + s.Open[n-1]
	}
	return "the count of " + legs + " is still to be found; enter a number in place of find"
}

// hung is solve for commands that need an answer: what is wrong with the file,
// or which counts are open, is said and ends the command.
func (p *Program) hung(name string) (app.Solved, error) {
	s, err := p.solve(name)
	switch {
	case err != nil:
		return s, err
	case len(s.Problems) > 0:
		return s, p.problems(name, &s)
	case s.Answer == nil:
		fmt.Fprintf(p.Stderr, "%s: %s\n", shownName(name), openWords(&s))
		return s, outcome(s.Exit())
	}
	return s, nil
}
