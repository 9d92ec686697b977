package cli

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/spelling"
)

type schemaCommand struct {
	Format string `arg:"" optional:"" default:"rig" help:"Which format: rig, sequence, catalog, aircraft, conditions, weighing, day, procedures, brief; rig by default."`
	Out    string `short:"o" placeholder:"FILE" help:"Write to this file instead of standard output."`
}

// Help is the command's long help.
func (schemaCommand) Help() string {
	return `Prints a JSON Schema, for editors that complete and check a file while it is typed.

Examples:

  hangtrue schema rig -o rig.schema.json
  hangtrue schema aircraft -o aircraft.schema.json

Exit status: 0 printed; 2 bad input.`
}

// Run prints the schema.
func (c *schemaCommand) Run(p *Program) error {
	for _, x := range readable {
		if c.Format == shortName(x.format) || c.Format == x.format {
			return p.write(c.Out, x.schema())
		}
	}
	hint := "there is one for: " + strings.Join(schemaNames(), ", ")
	if near := spelling.Nearest(c.Format, schemaNames()); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Errorf("there is no schema %q; %s", c.Format, hint)
}
