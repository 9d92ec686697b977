package main

import "hangtrue/internal/face/cli"

// demos hands the built-in rigs to the command line, which may not know where
// they come from.
func demos() []cli.Demo { return nil }
