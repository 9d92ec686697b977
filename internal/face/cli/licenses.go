package cli

import "hangtrue/internal/data/licenses"

type licensesCommand struct{}

// Help is the command's long help.
func (licensesCommand) Help() string {
	return `Example:

  hangtrue licenses

Exit status: 0 printed; 2 bad input.`
}

// Run prints the notices.
func (licensesCommand) Run(p *Program) error {
	return p.write("-", []byte(licenses.Text()))
}
