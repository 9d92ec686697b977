package outside_test

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hangtrue/internal/engine/outside"
)

var update = flag.Bool("update", false, "write docs/method/checks.md anew")

var page = filepath.Join("..", "..", "..", "docs", "method", "checks.md")

func TestReport_EveryCheckHolds(t *testing.T) {
	seen := map[string]bool{}
	rooms := map[string]int{}
	for _, r := range outside.Report() {
		if r.Err != nil {
			t.Errorf("%s: %v", r.ID, r.Err)
		} else if !r.Holds {
			t.Errorf("%s: %s is %.9g %s, want %.9g ± %.2g (%s)", r.ID, r.What, r.Value, r.Unit, r.Want, r.Tolerance, r.Source)
		}
		if seen[r.ID] || strings.Count(r.ID, "/") < 1 {
			t.Errorf("%s: the name is taken, or not room/case", r.ID)
		}
		seen[r.ID] = true
		room, _, _ := strings.Cut(r.ID, "/")
		rooms[room]++
		if r.Flag != outside.Seen && r.Flag != outside.Memory && r.Flag != outside.Derived {
			t.Errorf("%s: flag %q is none of seen, memory, derived", r.ID, r.Flag)
		}
		if r.Topic == "" || r.What == "" || r.Source == "" || r.Why == "" || r.Tolerance < 0 || math.IsNaN(r.Want) {
			t.Errorf("%s: topic, number, source, reason or tolerance is missing", r.ID)
		}
		if strings.Contains(strings.ToLower(r.Source), "handbook.md") {
			t.Errorf("%s: cite the publication", r.ID)
		}
	}
	if rooms["figures"] < 20 {
		t.Errorf("%d checks of figures", rooms["figures"])
	}
	// A room's list that comes out empty must not look like one that holds.
	if rooms["statics"] != 139 {
		t.Errorf("%d checks of statics, want 139", rooms["statics"])
	}
}

func TestPage_IsTheOneInDocs(t *testing.T) {
	made := outside.Page(outside.Report())
	if *update {
		if err := os.MkdirAll(filepath.Dir(page), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(page, []byte(made), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	stored, err := os.ReadFile(page)
	if err != nil {
		t.Fatalf("%v; run this test with -update", err)
	}
	if strings.ReplaceAll(string(stored), "\r\n", "\n") == made {
		return
	}
	got, want := strings.Split(made, "\n"), strings.Split(string(stored), "\n")
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("docs/method/checks.md differs from line %d on; run this test with -update and look at the difference", i+1)
		}
	}
}

// A check that is out, and one that cannot be made, must show as such.
func TestPage_ShowsWhatDoesNotHold(t *testing.T) {
	row := outside.Row{Check: outside.Check{ID: "x/y", What: "a|b", Want: 2, Tolerance: .01}, Value: -1e-9}
	if got, want := row.Shown(); got != "0.00" || want != "2.00" {
		t.Errorf("shown as %q and %q, want 0.00 and 2.00", got, want)
	}
	if text := outside.Page([]outside.Row{row}); !strings.Contains(text, "## x") || !strings.Contains(text, `a\|b`) {
		t.Errorf("the page is\n%s", text)
	}
	row.Value = math.NaN()
	if got, _ := row.Shown(); got != "–" {
		t.Errorf("not-a-number is shown as %q", got)
	}
}

func TestAbsent_SaysWhy(t *testing.T) {
	all := outside.Absent()
	if len(all) == 0 {
		t.Fatal("nothing is said of what no check uses")
	}
	seen := map[string]bool{}
	for _, a := range all {
		if a.Figure == "" || a.Source == "" || a.Known == "" || len(a.Why) < 30 || seen[a.Figure] {
			t.Errorf("%+v: a figure, its source, how well it is known and a reason, once", a)
		}
		seen[a.Figure] = true
		if strings.Contains(a.Figure+a.Source+a.Why, "|") {
			t.Errorf("%q has the sign that parts a table's cells", a.Figure)
		}
	}
}
