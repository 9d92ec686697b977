package main

import (
	"hangtrue/internal/data/demo"
	"hangtrue/internal/face/cli"
)

// demos hands the built-in rigs to the command line, which may not know where
// they come from.
func demos() []cli.Demo {
	var out []cli.Demo
	for _, r := range demo.Rigs() {
		out = append(out, cli.Demo{Name: r.Name + ".yaml", Data: r.Data})
	}
	return out
}
