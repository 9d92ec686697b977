package cli

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/audit"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type auditCommand struct {
	Rig      string `arg:"" help:"Rig file; - for standard input."`
	Solution string `arg:"" help:"Solution that solve --json wrote; - for standard input."`
}

// Help is the command's long help.
func (auditCommand) Help() string {
	return `Works out from the rig file and the positions in the solution what every leg, contact and weight must do, and compares. It shares no code with what made the solution. It says nothing about limits that were not entered, nor whether a load may be lifted.

Examples:

  hangtrue solve crate.yaml --json -o crate.json
  hangtrue audit crate.yaml crate.json

Exit status: 0 the two agree within the tolerances; 1 they do not; 2 bad input.`
}

// Run audits one solution.
func (c *auditCommand) Run(p *Program) error {
	if err := once(c.Rig, c.Solution); err != nil {
		return err
	}
	rig, err := p.read(c.Rig)
	if err != nil {
		return err
	}
	solution, err := p.read(c.Solution)
	if err != nil {
		return err
	}
	// The audit stops at the first thing it cannot read; the rig's own reader
	// says it with the line.
	if _, wrong := rigfile.Read(rig); len(wrong) > 0 {
		return p.problems(c.Rig, &app.Solved{Problems: wrong})
	}
	report, err := audit.Run(rig, solution)
	if err != nil {
		name := c.Rig
		if strings.HasPrefix(err.Error(), "solution") {
			name = c.Solution
		}
		_, text, _ := strings.Cut(err.Error(), ": ")
		return fmt.Errorf("%s: %s", shownName(name), text)
	}
	if err := p.write("-", []byte(auditWords(report))); err != nil {
		return err
	}
	if len(report.Disagreements) > 0 {
		return Outcome(app.ExitOver)
	}
	return nil
}

func auditWords(r *audit.Report) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Weight of all bodies:       %.6g N\n", r.Weight)
	fmt.Fprintf(&b, "Largest unbalanced force:   %.2g N, %.2g of the weight\n", r.Force, r.Force/r.Weight)
	fmt.Fprintf(&b, "Largest unbalanced moment:  %.2g N·m, %.2g of the weight over 1 m\n", r.Moment, r.Moment/r.Weight)
	fmt.Fprintf(&b, "Allowed of either:          %.2g N, %.2g of the weight\n", r.Allowed, r.Allowed/r.Weight)
	fmt.Fprintf(&b, "Numbers compared:           %d\n", r.Compared)
	if n := len(r.NotCompared); n > 0 {
		b.WriteString(hanging(strings.Join(r.NotCompared, ", "), fmt.Sprintf("Not known to the audit:     %d: ", n), "    "))
	}
	if len(r.Disagreements) == 0 {
		b.WriteString("\nSolution and audit agree within the tolerances.\n")
		return b.String()
	}
	fmt.Fprintf(&b, "\n%s:\n", spelling.Count(len(r.Disagreements), "disagreement", "disagreements"))
	for _, d := range r.Disagreements {
		b.WriteString(hanging(d.String(), "  - ", "    "))
	}
	return b.String()
}
