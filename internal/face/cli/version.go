package cli

import (
	"fmt"
	"runtime/debug"
	"strings"
)

type versionCommand struct{}

// Help is the command's long help.
func (versionCommand) Help() string {
	return `Example:

  hangtrue version

Exit status: 0 printed; 2 bad input.`
}

// Run prints the version, the source it was built from and the formats.
func (versionCommand) Run(p *Program) error {
	b := built()
	var out strings.Builder
	fmt.Fprintf(&out, "hangtrue %s\n", b.version)
	if b.revision != "" {
		fmt.Fprintf(&out, "revision %s\n", b.revision)
	}
	if b.goVersion != "" {
		fmt.Fprintf(&out, "built with %s\n", b.goVersion)
	}
	for _, x := range readable {
		fmt.Fprintf(&out, "reads %s\n", x.format)
	}
	for _, x := range written {
		fmt.Fprintf(&out, "writes %s\n", x)
	}
	return p.write("-", []byte(out.String()))
}

type build struct{ version, revision, goVersion string }

// built says what the program was built from, as far as the linker knows.
func built() build {
	b := build{version: "(unknown version)"}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	b.goVersion = info.GoVersion
	if v := info.Main.Version; v != "" {
		b.version = v
	}
	changed := false
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.revision = s.Value
		case "vcs.modified":
			changed = s.Value == "true"
		}
	}
	if b.revision != "" && changed {
		b.revision += ", changed since"
	}
	return b
}

// toolName is the program and its version, as solutions name it.
func toolName() string { return "hangtrue " + built().version }
