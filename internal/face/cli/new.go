package cli

import (
	"embed"
	"fmt"
	"strings"

	"hangtrue/internal/engine/spelling"
)

//go:embed starter/*.yaml
var starters embed.FS

type newCommand struct {
	Kind string `arg:"" help:"Kind of load: crate, drums, net, trailer or long-load; or another file: conditions, weighing, day, procedures, brief."`
	Out  string `short:"o" placeholder:"FILE" help:"Write to this file instead of standard output."`
}

// Help is the command's long help.
func (newCommand) Help() string {
	return `Prints a commented file to start from, of a rig or of what belongs to a flight with one. Its numbers are INVENTED: replace every one by what you measured or read from a plate, then take out the line "invented: yes".

Examples:

  hangtrue new crate -o crate.yaml
  hangtrue new drums
  hangtrue new conditions -o conditions.yaml

Exit status: 0 printed; 2 bad input.`
}

// Run prints the starter.
func (c *newCommand) Run(p *Program) error {
	data, err := starters.ReadFile("starter/" + c.Kind + ".yaml")
	if err != nil {
		kinds := starterKinds()
		hint := "there are: " + strings.Join(kinds, ", ")
		if near := spelling.Nearest(c.Kind, kinds); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		return fmt.Errorf("there is no starter for %q; %s", c.Kind, hint)
	}
	return p.write(c.Out, data)
}

// starterKinds lists the kinds there are, sorted.
func starterKinds() []string {
	entries, err := starters.ReadDir("starter")
	if err != nil {
		panic("cli: " + err.Error()) // embedded
	}
	var kinds []string
	for _, e := range entries {
		kinds = append(kinds, strings.TrimSuffix(e.Name(), ".yaml"))
	}
	return kinds
}
