package cli

import "fmt"

// Say prints what a command of another face says.
func (p *Program) Say(format string, args ...any) error {
	_, err := fmt.Fprintf(p.Stdout, format, args...)
	return err
}

// ToolName is the program and its version, as papers name it.
func ToolName() string { return toolName() }
