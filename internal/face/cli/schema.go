package cli

import (
	"errors"
	"fmt"

	"hangtrue/internal/engine/rig/rigfile"
)

type schemaCommand struct {
	Format string `arg:"" optional:"" default:"rig" help:"Which format: rig."`
	Out    string `short:"o" placeholder:"FILE" help:"Write to this file instead of standard output."`
}

// Help is the command's long help.
func (schemaCommand) Help() string {
	return `Prints a JSON Schema, for editors that complete and check a file while it is typed.

Examples:

  hangtrue schema rig -o rig.schema.json

Exit status: 0 printed; 2 bad input.`
}

// Run prints the schema.
func (c *schemaCommand) Run(p *Program) error {
	if c.Format != "rig" {
		return fmt.Errorf("there is no schema %q; there is one for: rig", c.Format)
	}
	schema := rigfile.Schema()
	if len(schema) == 0 {
		return errors.New("the schema is empty")
	}
	return p.write(c.Out, schema)
}
