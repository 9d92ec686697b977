// Package aircraft holds invented aircraft: files of format
// hangtrue.aircraft/1 embedded in the program and read by the same reader as a
// user's own. None of them exists, every one is marked INVENTED, and no figure
// in them was taken from a flight manual. A real aircraft is typed in from its
// own.
package aircraft

import (
	"embed"
	"io/fs"
	"path"
	"strings"
)

//go:embed files/*.yaml
var files embed.FS

// File is one aircraft file and the name it goes by.
type File struct {
	Name string // of the file, without folder and ending
	Data []byte // a copy of the caller's own
}

// Files returns the invented aircraft, sorted by name.
func Files() []File {
	// The pattern is well formed and the files are part of the program, so
	// neither call can fail, and Glob sorts.
	names, err := fs.Glob(files, "files/*.yaml")
	if err != nil {
		panic("aircraft: " + err.Error())
	}
	var out []File
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			panic("aircraft: " + err.Error())
		}
		out = append(out, File{strings.TrimSuffix(path.Base(name), ".yaml"), data})
	}
	return out
}
