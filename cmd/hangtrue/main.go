// Command hangtrue hangs a load under a helicopter by computation: a rig file
// goes in; tensions, attitude and how they stand to the limits entered come
// out. hangtrue --help lists its commands.
package main

import (
	"os"

	"hangtrue/internal/face/cli"
)

func main() {
	p := cli.Program{
		Args:   os.Args[1:],
		Stdin:  os.Stdin,
		Stdout: os.Stdout,
		Stderr: os.Stderr,
		Demos:  demos(),
		Beside: beside(),
		Serve:  serve,
		Extra:  []cli.Extra{{Name: "school", Help: "Back up a school's database, restore it, take rigs in.", Run: &schoolCommand{}}},
	}
	os.Exit(p.Run())
}
