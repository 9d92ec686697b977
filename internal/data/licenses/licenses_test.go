package licenses

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// TestModules_EveryLinkedModuleHasItsNotices asks the generator which modules
// are linked now, and looks for each with its version.
func TestModules_EveryLinkedModuleHasItsNotices(t *testing.T) {
	var complaint strings.Builder
	c := exec.Command("go", "run", "./gen", "-list")
	c.Stderr = &complaint
	text, err := c.Output()
	if err != nil {
		t.Fatalf("go run ./gen -list: %v\n%s", err, complaint.String())
	}
	checked := 0
	for line := range strings.Lines(string(text)) {
		path, version, _ := strings.Cut(strings.TrimSpace(line), " ")
		i := slices.IndexFunc(Modules(), func(m Module) bool { return m.Path == path })
		if i < 0 || Modules()[i].Version != version {
			t.Errorf("%s %s is linked and has no notice: run go generate ./internal/data/licenses", path, version)
		}
		checked++
	}
	if checked == 0 {
		t.Error("the generator names no linked module; the check compares nothing")
	}
}

func TestModules_AreWhole(t *testing.T) {
	all := Modules()
	if len(all) < 2 || all[0].Path != "Go" {
		t.Fatalf("read %d modules, the first not Go's own", len(all))
	}
	for _, m := range all {
		if len(m.Files) == 0 {
			t.Errorf("%s: no file", m.Path)
		}
		for _, f := range m.Files {
			if len(strings.TrimSpace(f.Text)) == 0 {
				t.Errorf("%s: %s is empty", m.Path, f.Name)
			}
			if !strings.Contains(Text(), f.Text) {
				t.Errorf("%s: %s is not in the text", m.Path, f.Name)
			}
		}
	}
	if !strings.Contains(all[0].Files[0].Text, "The Go Authors") {
		t.Errorf("Go's licence does not name its authors:\n%s", all[0].Files[0].Text)
	}
}

func TestParse_KeepsTextsThatLookLikeHeadings(t *testing.T) {
	got := parse("# Go\n## LICENSE\n\t# not a module\n\t\n\tend\n# example.org/x v1.0.0\n## a/LICENSE\n\tone\n## NOTICE\n\ttwo\n")
	if len(got) != 2 || got[0].Files[0].Text != "# not a module\n\nend\n" || got[1].Path != "example.org/x" ||
		got[1].Version != "v1.0.0" || len(got[1].Files) != 2 || got[1].Files[1] != (File{"NOTICE", "two\n"}) {
		t.Errorf("got %+v", got)
	}
	defer func() {
		if recover() == nil {
			t.Error("a line without heading or tab was taken")
		}
	}()
	parse("stray\n")
}
