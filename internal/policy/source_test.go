package policy

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
)

// source is one Go file of ours, whatever its build tags.
type source struct {
	path   string // slash-separated, from the module's root
	file   *ast.File
	fset   *token.FileSet
	isTest bool
}

func (s source) dir() string { return path.Dir(s.path) }

// at is the file and line of a node, as a person wants it printed.
func (s source) at(n ast.Node) string {
	return fmt.Sprintf("%s:%d", s.path, s.fset.Position(n.Pos()).Line)
}

// imports returns the import paths of the file.
func (s source) imports() []string {
	var paths []string
	for _, spec := range s.file.Imports {
		p, err := strconv.Unquote(spec.Path.Value)
		if err != nil { // the parser has accepted it, so it is quoted
			panic("policy: " + err.Error())
		}
		paths = append(paths, p)
	}
	return paths
}

// readSources parses all Go files of the module in tree. It leaves out what
// the go command leaves out of ./...: testdata, names with a leading dot or
// underscore, and folders that are modules of their own.
func readSources(tree fs.FS) ([]source, error) {
	var out []source
	err := fs.WalkDir(tree, ".", func(p string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil // a temporary file of an editor that went while we walked
		}
		if err != nil {
			return err
		}
		if d.IsDir() {
			if p == "." {
				return nil
			}
			name := d.Name()
			if name == "testdata" || name == "node_modules" || name[0] == '.' || name[0] == '_' {
				return fs.SkipDir
			}
			if _, err := fs.Stat(tree, path.Join(p, "go.mod")); err == nil {
				return fs.SkipDir
			}
			return nil
		}
		if name := d.Name(); path.Ext(name) != ".go" || name[0] == '.' || name[0] == '_' {
			return nil
		}
		text, err := fs.ReadFile(tree, p)
		if err != nil {
			return err
		}
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, p, text, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		out = append(out, source{p, file, fset, strings.HasSuffix(p, "_test.go")})
		return nil
	})
	return out, err
}

// moduleRoot is the folder that holds our go.mod.
func moduleRoot(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		text, err := os.ReadFile(filepath.Join(dir, "go.mod"))
		if err == nil && strings.HasPrefix(string(text), "module "+module+"\n") {
			return dir
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			t.Fatalf("no folder above this one holds the go.mod of module %s", module)
		}
		dir = parent
	}
}

// ourSources parses the whole module. An empty or tiny result is a failure:
// a check that reads nothing finds nothing.
func ourSources(t *testing.T) []source {
	t.Helper()
	sources, err := readSources(os.DirFS(moduleRoot(t)))
	if err != nil {
		t.Fatal(err)
	}
	if len(sources) < 10 {
		t.Fatalf("read only %d Go files of the module; the walk is broken", len(sources))
	}
	return sources
}

// madeUp parses a small tree written in a test.
func madeUp(t *testing.T, files map[string]string) []source {
	t.Helper()
	tree := fstest.MapFS{}
	for name, text := range files {
		tree[name] = &fstest.MapFile{Data: []byte(text)}
	}
	sources, err := readSources(tree)
	if err != nil {
		t.Fatal(err)
	}
	return sources
}

// report fails the test once for each breach.
func report(t *testing.T, breaches []string) {
	t.Helper()
	for _, b := range breaches {
		t.Error(b)
	}
}

// mustFind checks a checker: there must be as many breaches as wanted texts,
// and each text must be in one of them.
func mustFind(t *testing.T, breaches []string, want ...string) {
	t.Helper()
	if len(breaches) != len(want) {
		t.Errorf("found %d breaches, want %d:\n%s", len(breaches), len(want), strings.Join(breaches, "\n"))
	}
	for _, w := range want {
		if !slices.ContainsFunc(breaches, func(b string) bool { return strings.Contains(b, w) }) {
			t.Errorf("no breach mentions %q in:\n%s", w, strings.Join(breaches, "\n"))
		}
	}
}

func TestReadSources_LeavesOutWhatTheGoCommandLeavesOut(t *testing.T) {
	sources := madeUp(t, map[string]string{
		"a/a.go":          "package a",
		"a/a_windows.go":  "package a",
		"a/a_test.go":     "package a",
		"a/testdata/b.go": "not Go",
		".x/c.go":         "not Go",
		"_y/c.go":         "not Go",
		"z/go.mod":        "module other",
		"z/d.go":          "not Go",
	})
	var got []string
	for _, s := range sources {
		got = append(got, s.path)
	}
	if want := []string{"a/a.go", "a/a_test.go", "a/a_windows.go"}; !slices.Equal(got, want) {
		t.Errorf("read %v, want %v", got, want)
	}
}
