// Package catalog is the shipped catalogue of kinds of parts: files of format
// hangtrue.catalog/1 embedded in the program and read by the same reader as a
// school's own.
package catalog

import (
	"bytes"
	"embed"
	"io/fs"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/part/catalogfile"
)

//go:embed *.yaml
var files embed.FS

// Files returns the shipped catalogue's files in the order in which they are
// read, for a school's own to be loaded after them.
func Files() []catalogfile.File {
	names, err := fs.Glob(files, "*.yaml")
	if err != nil || len(names) == 0 {
		panic("catalog: no file is embedded")
	}
	var out []catalogfile.File
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			panic("catalog: " + err.Error())
		}
		out = append(out, catalogfile.File{Name: "shipped/" + name, Data: bytes.NewReader(data)})
	}
	return out
}

// Shipped returns the shipped catalogue. It panics where a shipped file is
// wrong, which a test rules out.
func Shipped() *part.Catalog {
	c, problems := catalogfile.Load(Files()...)
	if len(problems) > 0 {
		panic("catalog: " + problems[0].String())
	}
	return c
}
