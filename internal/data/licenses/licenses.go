// Package licenses holds the notices of the modules of others that are linked
// into the program, as their licences ask. The texts are theirs, word for word;
// only the white space at the ends of lines is
// made alike.
//
// notices.txt is made by go generate from the modules' own files. It starts
// each module with a line "# module VERSION", or "# Go" for the standard
// library, and each of its files with "## NAME"; every line of a file stands
// behind one tab, so that no text can be taken for a heading.
package licenses

import (
	_ "embed"
	"strings"
)

//go:generate go run ./gen -o notices.txt

//go:embed notices.txt
var notices string

// Module is a module of others and its notices.
type Module struct {
	Path    string // import path, or "Go"
	Version string // empty for Go: it is the version that built the program
	Files   []File
}

// File is one notice as the module ships it. The name is its place in the
// module.
type File struct {
	Name string
	Text string
}

// Modules returns the modules, sorted by path, Go first.
func Modules() []Module { return parse(notices) }

// parse reads the form described at the package; a line that it does not
// know is a mistake of the generator and panics.
func parse(text string) []Module {
	var out []Module
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		switch {
		case strings.HasPrefix(line, "\t"):
			files := out[len(out)-1].Files
			files[len(files)-1].Text += line[1:] + "\n"
		case strings.HasPrefix(line, "## "):
			m := &out[len(out)-1]
			m.Files = append(m.Files, File{Name: line[3:]})
		case strings.HasPrefix(line, "# "):
			path, version, _ := strings.Cut(line[2:], " ")
			out = append(out, Module{Path: path, Version: version})
		default:
			panic("licenses: notices.txt has the line " + line)
		}
	}
	return out
}

// Text is all notices for a person to read.
func Text() string {
	var b strings.Builder
	b.WriteString("The program contains the work of others. Their notices follow, as they ask.\n")
	for _, m := range Modules() {
		heading := strings.TrimSpace(m.Path + " " + m.Version)
		b.WriteString("\n" + heading + "\n" + strings.Repeat("=", len(heading)) + "\n")
		for _, f := range m.Files {
			b.WriteString("\n" + f.Name + "\n" + strings.Repeat("-", len(f.Name)) + "\n\n" + f.Text)
		}
	}
	return b.String()
}
