package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/lift/conditionsfile"
	"hangtrue/internal/engine/lift/dayfile"
	"hangtrue/internal/engine/lift/weighingfile"
	"hangtrue/internal/engine/procedure/procedurefile"
)

// problemsOf makes the readers of all formats alike.
func problemsOf[T any](read func([]byte) (*T, []document.Problem)) func([]byte) []document.Problem {
	return func(data []byte) []document.Problem {
		_, problems := read(data)
		return problems
	}
}

// TestFormatPages holds the table of keys on each page against the declaration
// that the reader follows, and reads the page's example.
func TestFormatPages(t *testing.T) {
	const begin, end = "<!-- keys: made by go test ./internal/face/cli -run FormatPages -update -->\n", "<!-- end of keys -->\n"
	for _, f := range []struct {
		page   string
		schema func() []byte
		read   func([]byte) []document.Problem
		keys   int
	}{
		{"aircraft-1.md", aircraftfile.Schema, problemsOf(aircraftfile.Read), 60},
		{"conditions-1.md", conditionsfile.Schema, problemsOf(conditionsfile.Read), 30},
		{"weighing-1.md", weighingfile.Schema, problemsOf(weighingfile.Read), 20},
		{"day-1.md", dayfile.Schema, problemsOf(dayfile.Read), 40},
		{"procedures-1.md", procedurefile.Schema, problemsOf(procedurefile.Read), 20},
	} {
		var schema node
		decode(t, f.schema(), &schema)
		list := []string{"| key | what stands there | | meaning |", "|---|---|---|---|"}
		schema.rows(t, "", &list)
		if len(list) < f.keys {
			t.Errorf("%s: only %d keys", f.page, len(list)-2)
		}
		page := string(must(os.ReadFile(formatPage(f.page))))
		head, rest, ok := strings.Cut(page, begin)
		_, tail, ok2 := strings.Cut(rest, end)
		if !ok || !ok2 {
			t.Errorf("%s has no place for the keys", f.page)
			continue
		}
		if want := head + begin + "\n" + strings.Join(list, "\n") + "\n\n" + end + tail; page != want {
			if !*update {
				t.Errorf("%s: the table of keys is not that of the reader; write it anew with -update", f.page)
			} else if err := os.WriteFile(formatPage(f.page), []byte(want), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		_, example, ok := strings.Cut(page, "```yaml\n")
		example, _, ok2 = strings.Cut(example, "```")
		if !ok || !ok2 {
			t.Errorf("%s has no example", f.page)
			continue
		}
		for _, p := range f.read([]byte(example)) {
			t.Errorf("%s: the example: %s", f.page, p.Format("example"))
		}
	}
}

// TestFormats_AreAllListed finds the names of formats in the source: each is
// read or written, and version says so.
func TestFormats_AreAllListed(t *testing.T) {
	var known []string
	for _, x := range readable {
		known = append(known, x.format)
	}
	known = append(known, written...)
	named := regexp.MustCompile(`Format: +"(hangtrue\.[a-z-]+/\d+)"|const Format = "(hangtrue\.[a-z-]+/\d+)"`)
	found := 0
	for _, glob := range []string{"../app/*.go", "*.go", "../../engine/*/*.go", "../../engine/*/*/*.go"} {
		files, err := filepath.Glob(glob)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: no files (%v)", glob, err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			for _, m := range named.FindAllStringSubmatch(string(must(os.ReadFile(f))), -1) {
				found++
				if name := m[1] + m[2]; !slices.Contains(known, name) {
					t.Errorf("%s: %s is neither read nor written by the lists in formats.go", f, name)
				}
			}
		}
	}
	if found < 20 {
		t.Errorf("only %d formats found", found)
	}
}

// TestStarters_CanBeRead reads every file that new prints with the reader of its
// format.
func TestStarters_CanBeRead(t *testing.T) {
	readers := map[string]func([]byte) []document.Problem{
		"conditions": problemsOf(conditionsfile.Read), "weighing": problemsOf(weighingfile.Read),
		"day": problemsOf(dayfile.Read), "procedures": problemsOf(procedurefile.Read),
	}
	n := 0
	for _, kind := range starterKinds() {
		read, ok := readers[kind]
		if !ok {
			continue // a rig
		}
		n++
		for _, p := range read(must(starters.ReadFile("starter/" + kind + ".yaml"))) {
			t.Errorf("%s", p.Format(kind))
		}
	}
	if n != len(readers) {
		t.Errorf("%d starters of %d", n, len(readers))
	}
}
