package inspect_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

var update = flag.Bool("update", false, "write the golden files anew")

// shipped is the shipped catalogue, read once.
var shipped = sync.OnceValue(catalog.Shipped)

// sample is a rig that tests walk round.
type sample struct {
	name string
	rig  *rig.Rig
}

// ours are the rigs of testdata: every sort of thing that parts follow from.
func ours(t testing.TB) []sample {
	t.Helper()
	files, err := filepath.Glob("testdata/*.yaml")
	if err != nil || len(files) != 3 {
		t.Fatalf("testdata has %d rigs, want 3 (%v)", len(files), err)
	}
	var out []sample
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, sample{strings.TrimSuffix(filepath.Base(f), ".yaml"), read(t, data)})
	}
	return out
}

// all are ours and the demo rigs.
func all(t testing.TB) []sample {
	t.Helper()
	out := ours(t)
	demos := demo.Rigs()
	if len(demos) < 10 {
		t.Fatalf("%d demo rigs, want at least 10", len(demos))
	}
	for _, d := range demos {
		out = append(out, sample{"demo " + d.Name, read(t, d.Data)})
	}
	return out
}

func our(t testing.TB, name string) *rig.Rig {
	t.Helper()
	for _, s := range ours(t) {
		if s.name == name {
			return s.rig
		}
	}
	t.Fatalf("testdata has no rig %s", name)
	return nil
}

func read(t testing.TB, data []byte) *rig.Rig {
	t.Helper()
	r, problems := rigfile.Read(data)
	for _, p := range problems {
		t.Fatal(p.Format("rig"))
	}
	return r
}

func survey(t testing.TB, r *rig.Rig) *inspect.Survey {
	t.Helper()
	return surveyWith(t, r, shipped())
}

func surveyWith(t testing.TB, r *rig.Rig, c *part.Catalog) *inspect.Survey {
	t.Helper()
	v, problems := inspect.Of(r, c)
	for _, p := range problems {
		t.Fatal(p)
	}
	return v
}

// golden compares lines with a file of testdata.
func golden(t *testing.T, name string, lines []string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	got := strings.Join(lines, "\n") + "\n"
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v: write it with -update", err)
	}
	if got != string(want) {
		g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range max(len(g), len(w)) {
			a, b := "", ""
			if i < len(g) {
				a = g[i]
			}
			if i < len(w) {
				b = w[i]
			}
			if a != b {
				t.Fatalf("%s, line %d: got %q, want %q; if that is meant, run with -update and look at the difference", file, i+1, a, b)
			}
		}
	}
}

// edited is a rig of testdata with some text replaced, which has to be there.
func edited(t testing.TB, name string, pairs ...string) *rig.Rig {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%s has no %q", name, pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return read(t, []byte(text))
}

func ids(list []inspect.Deficiency) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = list[i].ID()
	}
	return out
}

func counted(s sample, v *inspect.Survey) string {
	return fmt.Sprintf("%s: %d parts, %d possible deficiencies", s.name, len(v.Parts), len(v.Deficiencies))
}
