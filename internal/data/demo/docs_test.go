package demo

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/rig/solution"
)

const docs = "../../../docs"

func page(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(docs, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

var (
	fenced  = regexp.MustCompile("(?s)```yaml\n(.*?)```")
	section = regexp.MustCompile(`(?m)^[a-z-]+:`)
)

// snippets returns the rig files that a page shows. One that does not begin
// with format: shows what stands differently in the page's first.
func snippets(t *testing.T, text string) []string {
	t.Helper()
	var out []string
	for _, m := range fenced.FindAllStringSubmatch(text, -1) {
		if !strings.HasPrefix(m[1], "format:") {
			if len(out) == 0 {
				t.Fatalf("the page's first rig file does not begin with format:\n%s", m[1])
			}
			m[1] = merged(out[0], m[1])
		}
		out = append(out, m[1])
	}
	return out
}

// merged puts the top-level keys of part in place of those of whole.
func merged(whole, part string) string {
	cut := func(s string) (keys []string, text map[string]string) {
		text = map[string]string{}
		at := section.FindAllStringIndex(s, -1)
		for i, a := range at {
			end := len(s)
			if i+1 < len(at) {
				end = at[i+1][0]
			}
			key := s[a[0]:a[1]]
			keys = append(keys, key)
			text[key] = s[a[0]:end]
		}
		return keys, text
	}
	keys, text := cut(whole)
	more, other := cut(part)
	for _, key := range more {
		if text[key] == "" {
			keys = append(keys, key)
		}
		text[key] = other[key]
	}
	var b strings.Builder
	for _, key := range keys {
		b.WriteString(text[key])
	}
	return b.String()
}

func TestDocs_RigFilesHang(t *testing.T) {
	for _, c := range []struct {
		page string
		want []rig.Result
	}{
		{"jobs/enter-a-load.md", []rig.Result{rig.Within, rig.Within, rig.Within, rig.Within}},
		{"jobs/cannot-tell.md", []rig.Result{rig.CannotTell, rig.Within}},
	} {
		got := snippets(t, page(t, c.page))
		if len(got) != len(c.want) {
			t.Errorf("%s: %d rig files, want %d", c.page, len(got), len(c.want))
			continue
		}
		for i, text := range got {
			r, problems := rigfile.Read([]byte(text))
			if r == nil {
				t.Errorf("%s, rig file %d: %v\n%s", c.page, i+1, problems, text)
				continue
			}
			if a := hung(t, c.page, r); a.Result != c.want[i] {
				t.Errorf("%s, rig file %d: %s, want %s: %s", c.page, i+1, a.Result.Words(), c.want[i].Words(), a.Reason)
			}
		}
	}
}

// named returns the demo rig of this name, hung.
func named(t *testing.T, name string) *rig.Answer {
	t.Helper()
	for _, d := range Rigs() {
		if d.Name == name {
			return hang(t, d)
		}
	}
	t.Fatalf("there is no demo rig %s", name)
	return nil
}

// TestDocs_ChooseCountsExample works out the table of the page anew.
func TestDocs_ChooseCountsExample(t *testing.T) {
	text := page(t, "jobs/choose-counts.md")
	planned := named(t, "crate-off-centre").Rig
	row := regexp.MustCompile(`(?m)^\| [^|]+ \| (\d+) \| (\d+) \| (\d+) \| (\d+) \| ([^|]+) \| ([^|]+) \| ([^|]+) \|$`)
	rows := row.FindAllStringSubmatch(text, -1)
	if len(rows) != 4 {
		t.Fatalf("found %d rows of counts, want 4", len(rows))
	}
	try := func(counts ...int) *rig.Answer {
		r, err := planned.WithCounts(map[string]int{"FL": counts[0], "FR": counts[1], "RL": counts[2], "RR": counts[3]})
		if err != nil {
			t.Fatal(err)
		}
		return hung(t, "crate-off-centre", r)
	}
	for _, m := range rows {
		counts := make([]int, 4)
		for i := range counts {
			if _, err := fmt.Sscan(m[i+1], &counts[i]); err != nil {
				t.Fatal(err)
			}
		}
		a := try(counts...)
		show := a.Rig.Show()
		want := []string{show.Angle(a.Bodies[0].Pitch), show.Angle(a.Bodies[0].Roll), a.Result.Words()}
		if at := differs(strings.Join(m[5:], "\n"), strings.Join(want, "\n")); at != "" {
			t.Errorf("counts %v: %s", counts, at)
		}
	}
	if last := rows[3]; last[1] != "22" || last[4] != "8" {
		t.Error("the last row is not the rig's own counts")
	}
	apart := func(a *rig.Answer) string { return fmt.Sprintf("%.1f kN", (a.Legs[0].Tension-a.Legs[1].Tension)/1e3) }
	for about, want := range map[string]string{
		"with FL alone at 22 the pulls on FL and FR differ by ": apart(try(22, 20, 10, 10)),
		"with both left legs\n   changed by ":                   apart(try(22, 20, 12, 10)),
	} {
		if !strings.Contains(text, about+want) {
			t.Errorf("the page does not say %q", about+want)
		}
	}
}

// TestDocs_AuditExample holds the worked example against the answer.
func TestDocs_AuditExample(t *testing.T) {
	text := page(t, "jobs/audit-an-answer.md")
	a := named(t, "beams-choked")
	f, r := a.Legs[0], a.Legs[1]
	deg := 180 / math.Pi
	for _, want := range []string{
		fmt.Sprintf("= %.1f N\n    F", a.Rig.Weight()),
		fmt.Sprintf("F  %.1f N × cos %.3f°             = %.1f N", f.Tension, f.Angle*deg, f.Tension*math.Cos(f.Angle)),
		fmt.Sprintf("R  %.1f N × cos %.3f°             = %.1f N", r.Tension, r.Angle*deg, r.Tension*math.Cos(r.Angle)),
		fmt.Sprintf("%.1f N, one forward, one back", f.Tension*math.Sin(f.Angle)),
		fmt.Sprintf("= %.2f mm", (f.Length-f.Unstretched)*1e3),
		fmt.Sprintf("× %.5f = %.0f N", f.Length-f.Unstretched, f.Tension),
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if d := math.Abs(f.Tension*math.Sin(f.Angle) - r.Tension*math.Sin(r.Angle)); d > 0.01 {
		t.Errorf("the sideways pulls differ by %g N; the page says that they cancel", d)
	}
}

// TestDocs_SymbolsNameFieldsThatExist reads the table of symbols.
func TestDocs_SymbolsNameFieldsThatExist(t *testing.T) {
	known := map[string][]string{"rig": schemaFields(t), "solution": solutionFields(t)}
	field := regexp.MustCompile("(rig|solution) `([^`]+)`")
	n := 0
	for line := range strings.Lines(page(t, "method/statics.md")) {
		if !strings.HasPrefix(line, "| ") {
			continue
		}
		for _, m := range field.FindAllStringSubmatch(line, -1) {
			n++
			if !slices.Contains(known[m[1]], m[2]) {
				t.Errorf("the table names %s field %s, which does not exist", m[1], m[2])
			}
		}
	}
	if n < 25 {
		t.Errorf("found only %d fields in the table of symbols", n)
	}
}

func schemaFields(t *testing.T) []string {
	t.Helper()
	var top map[string]any
	if err := json.Unmarshal(rigfile.Schema(), &top); err != nil {
		t.Fatal(err)
	}
	var out []string
	var walk func(x any, path string)
	walk = func(x any, path string) {
		m, ok := x.(map[string]any)
		if !ok {
			return
		}
		for _, choice := range []string{"anyOf", "oneOf"} {
			list, _ := m[choice].([]any)
			for _, y := range list {
				walk(y, path)
			}
		}
		walk(m["items"], path+"[]")
		walk(m["additionalProperties"], path+".*")
		properties, _ := m["properties"].(map[string]any)
		for key, y := range properties {
			key = strings.TrimPrefix(path+"."+key, ".")
			out = append(out, key)
			walk(y, key)
		}
	}
	walk(top, "")
	return out
}

func solutionFields(t *testing.T) []string {
	t.Helper()
	text, err := json.Marshal(solution.Of(named(t, "crate-off-centre")))
	if err != nil {
		t.Fatal(err)
	}
	var top any
	if err := json.Unmarshal(text, &top); err != nil {
		t.Fatal(err)
	}
	var out []string
	var walk func(x any, path string)
	walk = func(x any, path string) {
		switch x := x.(type) {
		case []any:
			for _, y := range x {
				walk(y, path+"[]")
			}
		case map[string]any:
			for key, y := range x {
				key = strings.TrimPrefix(path+"."+key, ".")
				out = append(out, key)
				walk(y, key)
			}
		}
	}
	walk(top, "")
	return out
}
