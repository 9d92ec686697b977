package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/face/app"
)

// clearance are words that no output may use of a load.
var clearance = regexp.MustCompile(`(?i)\bsafe(ly)?\b|\bOK\b|passes|\bpassed\b|cleared|approved to|✓|✔|👍`)

func TestTable_OfEveryDemoRig(t *testing.T) {
	rigs := demo.Rigs()
	if len(rigs) < 10 {
		t.Fatalf("only %d rigs", len(rigs))
	}
	for _, r := range rigs {
		t.Run(r.Name, func(t *testing.T) {
			s := app.Solve(r.Data)
			if s.Answer == nil {
				t.Fatalf("no answer: %v", s.Problems)
			}
			out := table(s.Answer)
			lines := strings.Split(out, "\n")
			if !strings.HasPrefix(lines[0], "===") || lines[1] != "  "+strings.ToUpper(s.Answer.Status.String()) {
				t.Errorf("the status does not come first:\n%s\n%s", lines[0], lines[1])
			}
			if !strings.Contains(out, "\nINVENTED: ") {
				t.Error("it is not marked INVENTED")
			}
			if m := clearance.FindString(out); m != "" {
				t.Errorf("it says %q", m)
			}
			if !strings.HasSuffix(out, "a qualified inspector signs.\n") {
				t.Error("the caution does not come last")
			}
			for _, l := range lines {
				// 100 columns; a long list of points may need more.
				if n := utf8.RuneCountInString(l); n > 110 {
					t.Errorf("%d columns: %s", n, l)
				}
			}
			for _, l := range s.Rig.Legs() {
				if !regexp.MustCompile(`(?m)^  ` + l.ID + ` +(-|\d+) `).MatchString(out) {
					t.Errorf("leg %s has no row", l.ID)
				}
			}
		})
	}
}

func TestLeans_SaysWhichWay(t *testing.T) {
	p := page{}
	for _, c := range []struct {
		rad  float64
		want string
	}{
		{0, "level"},
		{0.0008, "level"},
		{-0.0008, "level"},
		{0.1, "nose up 5.7 deg"},
		{-0.1, "nose down 5.7 deg"},
	} {
		if got := p.leans(c.rad, "nose up", "nose down"); got != c.want {
			t.Errorf("%g rad: %q, want %q", c.rad, got, c.want)
		}
	}
}

func TestWrapped_BreaksAtTheWidth(t *testing.T) {
	long := strings.Repeat("word ", 60)
	got := hanging(long, "- ", "  ")
	lines := strings.Split(strings.TrimSuffix(got, "\n"), "\n")
	if len(lines) < 3 || strings.Count(got, "word") != 60 {
		t.Fatalf("got\n%s", got)
	}
	for i, l := range lines {
		if len(l) > width || i > 0 && !strings.HasPrefix(l, "  word") {
			t.Errorf("line %d: %q", i+1, l)
		}
	}
	one := strings.Repeat("x", 2*width)
	if got := wrapped(one+" y", "  "); got != "  "+one+"\n  y\n" {
		t.Errorf("a word wider than the page: %q", got)
	}
}

func TestWrite_LeavesNothingWhenItFails(t *testing.T) {
	dir := t.TempDir()
	p := Program{}
	name := filepath.Join(dir, "out.txt")
	for _, text := range []string{"one", "two"} {
		if err := p.write(name, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got := string(must(os.ReadFile(name))); got != text {
			t.Errorf("got %q, want %q", got, text)
		}
	}
	// A folder in the way of the file beside it.
	if err := p.write(filepath.Join(dir, "none", "out.txt"), nil); err == nil || !strings.Contains(err.Error(), "there is no folder") {
		t.Errorf("got %v", err)
	}
	if err := p.write(dir, nil); err == nil || !strings.Contains(err.Error(), "this is a folder") {
		t.Errorf("got %v", err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 {
		t.Errorf("left over: %v, %v", entries, err)
	}
}
