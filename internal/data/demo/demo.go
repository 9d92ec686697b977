// Package demo holds rigs of an invented lift school that supplies mountain
// huts. They are examples to learn from and to test with; every one is marked
// INVENTED, and nothing in them is a recommendation.
//
// Each rig shows one problem of the trade and hangs within the limits entered
// in it. The notes in each file begin with that problem.
package demo

import (
	"embed"
	"io/fs"
	"path"
	"strings"
)

//go:embed rigs/*.yaml briefs/*.yaml procedures/*.yaml days/*.yaml
var files embed.FS

// Rig is one demo rig: a rig file and the name it goes by.
type Rig struct {
	Name string // of the file, without folder and ending
	Data []byte // the rig file, format hangtrue.rig/1; a copy of the caller's own
}

// Rigs returns the demo rigs, sorted by name.
func Rigs() []Rig { return embedded("rigs") }

// Briefs returns what was entered for load briefs of demo rigs, format
// hangtrue.brief/1, each by the name of its rig.
func Briefs() []Rig { return embedded("briefs") }

// Registers returns the school's register of procedures, format
// hangtrue.procedures/1, by the name under which it is looked for.
func Registers() []Rig { return embedded("procedures") }

// Days returns a day's loads to be planned, format hangtrue.day/1.
func Days() []Rig { return embedded("days") }

func embedded(folder string) []Rig {
	// The pattern is well formed and the files are part of the program, so
	// neither call can fail, and Glob sorts.
	names, err := fs.Glob(files, folder+"/*.yaml")
	if err != nil {
		panic("demo: " + err.Error())
	}
	var out []Rig
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			panic("demo: " + err.Error())
		}
		out = append(out, Rig{strings.TrimSuffix(path.Base(name), ".yaml"), data})
	}
	return out
}
