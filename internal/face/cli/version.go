package cli

import (
	"fmt"
	"runtime/debug"
	"strings"
)

// Set by the linker in a release, which is built without git's folder and so
// without the go command's own marks; see cmd/release.
var releaseVersion, releaseRevision, releaseTime string

type versionCommand struct {
	Modules bool `help:"Also list the modules of others that are linked in, with the sums that the linker took them by."`
}

// Help is the command's long help.
func (versionCommand) Help() string {
	return `Example:

  hangtrue version
  hangtrue version --modules

Exit status: 0 printed; 2 bad input.`
}

// Run prints the version, the source it was built from and the formats.
func (c versionCommand) Run(p *Program) error {
	b := built()
	var out strings.Builder
	fmt.Fprintf(&out, "hangtrue %s\n", b.version)
	if b.revision != "" {
		fmt.Fprintf(&out, "revision %s\n", b.revision)
	}
	if b.at != "" {
		fmt.Fprintf(&out, "committed %s\n", b.at)
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
	if c.Modules {
		for _, m := range b.modules {
			fmt.Fprintf(&out, "module %s %s %s\n", m.Path, m.Version, m.Sum)
		}
	}
	return p.write("-", []byte(out.String()))
}

type build struct {
	version, revision, at, goVersion string

	modules []*debug.Module
}

// built says what the program was built from, as far as the linker knows.
func built() build {
	b := build{version: "(unknown version)", revision: releaseRevision, at: releaseTime}
	if releaseVersion != "" {
		b.version = releaseVersion
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	b.goVersion, b.modules = info.GoVersion, info.Deps
	if v := info.Main.Version; v != "" && releaseVersion == "" {
		b.version = v
	}
	changed := false
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.revision = s.Value
		case "vcs.time":
			b.at = s.Value
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
