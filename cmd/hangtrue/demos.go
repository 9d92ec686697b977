package main

import (
	"hangtrue/internal/data/aircraft"
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

// beside hands over what the invented school keeps beside its rigs.
func beside() []cli.Demo {
	var out []cli.Demo
	for _, b := range demo.Briefs() {
		out = append(out, cli.Demo{Name: "briefs/" + b.Name + ".yaml", Data: b.Data})
	}
	for _, r := range demo.Registers() {
		out = append(out, cli.Demo{Name: "procedures/" + r.Name + ".yaml", Data: r.Data})
	}
	for _, d := range demo.Days() {
		out = append(out, cli.Demo{Name: "days/" + d.Name + ".yaml", Data: d.Data})
	}
	for _, a := range aircraft.Files() {
		out = append(out, cli.Demo{Name: "aircraft/" + a.Name + ".yaml", Data: a.Data})
	}
	return out
}
