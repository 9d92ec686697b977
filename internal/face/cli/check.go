package cli

import (
	"fmt"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/solution"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type checkCommand struct {
	Rigs []string `arg:"" name:"rig" help:"Rig files; - for standard input."`
}

// Help is the command's long help.
func (checkCommand) Help() string {
	return `Examples:

  hangtrue check crate.yaml net.yaml
  hangtrue check *.yaml

Each file gets one line on standard output. The exit status is the worst of all files, bad input before over a limit before cannot tell.
` + statuses
}

// Run hangs every file, also after one that cannot be read.
func (c *checkCommand) Run(p *Program) error {
	if err := once(c.Rigs...); err != nil {
		return err
	}
	worst, results := app.ExitWithin, 0
	for _, name := range c.Rigs {
		s, err := p.solve(name)
		if err != nil {
			fmt.Fprintf(p.Stderr, "hangtrue: %v\n", err)
			fmt.Fprintf(p.Stdout, "%s: bad input: it cannot be read\n", shownName(name))
			worst = worse(worst, app.ExitBadInput)
			continue
		}
		worst = worse(worst, s.Exit())
		if len(s.Problems) > 0 {
			_ = p.problems(name, &s)
			fmt.Fprintf(p.Stdout, "%s: bad input: %s\n", shownName(name), spelling.Count(len(s.Problems), "problem", "problems"))
			continue
		}
		results++
		fmt.Fprintf(p.Stdout, "%s: %s\n", shownName(name), checkLine(&s))
	}
	if results > 0 {
		fmt.Fprintf(p.Stdout, "\n%s", wrapped(rig.Caution, ""))
	}
	return outcome(worst)
}

// checkLine is one rig on one line: its status first, as everywhere.
func checkLine(s *app.Solved) string {
	line := ""
	if s.Rig.Invented() {
		line = "INVENTED; "
	}
	if s.Answer == nil {
		d := solution.Undecided(s.Rig, openWords(s))
		return line + d.Status + "; " + rig.CannotTell.Words() + ": " + d.Reason
	}
	return line + s.Answer.Status.String() + "; " + s.Answer.Result.Words() + ": " + s.Answer.Reason
}

// worse returns the graver of two exit statuses.
func worse(a, b int) int {
	gravity := [...]int{app.ExitWithin: 0, app.ExitCannotTell: 1, app.ExitOver: 2, app.ExitBadInput: 3}
	if gravity[b] > gravity[a] {
		return b
	}
	return a
}
