package cli

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/face/app"
)

var update = flag.Bool("update", false, "write the key table of docs/formats/rig-1.md anew")

func formatPage(name string) string {
	return filepath.Join("..", "..", "..", "docs", "formats", name)
}

// node is as much of a JSON Schema as the table of keys needs.
type node struct {
	Description string                     `json:"description"`
	Ref         string                     `json:"$ref"`
	Type        any                        `json:"type"`
	Enum        []any                      `json:"enum"`
	Const       any                        `json:"const"`
	Items       *node                      `json:"items"`
	AnyOf       []node                     `json:"anyOf"`
	Properties  json.RawMessage            `json:"properties"`
	Map         json.RawMessage            `json:"additionalProperties"`
	Required    []string                   `json:"required"`
	MinItems    int                        `json:"minItems"`
	MaxItems    int                        `json:"maxItems"`
	Defs        map[string]json.RawMessage `json:"$defs"`
}

// words says what may stand under a key.
func (n *node) words() string {
	switch {
	case n.Ref != "":
		return strings.ReplaceAll(strings.TrimPrefix(strings.TrimPrefix(n.Ref, "#/$defs/"), "unsigned-"), "-", " ")
	case n.Const != nil:
		return fmt.Sprintf("`%v`", n.Const)
	case len(n.Enum) > 0:
		var list []string
		for _, e := range n.Enum {
			if e == true || e == false {
				e = map[any]string{true: "yes", false: "no"}[e]
			}
			list = append(list, fmt.Sprintf("`%v`", e))
		}
		slices.Sort(list)
		return strings.Join(slices.Compact(list), ", ")
	case len(n.AnyOf) > 0:
		var list []string
		for i := range n.AnyOf {
			list = append(list, n.AnyOf[i].words())
		}
		return strings.Join(list, ", or ")
	case n.Items != nil && n.MinItems == n.MaxItems:
		return fmt.Sprintf("list of %d: %s", n.MinItems, n.Items.words())
	case n.Items != nil:
		return "list: " + n.Items.words()
	case len(n.Properties) > 0:
		return "keys"
	case n.Type == "object":
		return "names"
	case n.Type == "integer":
		return "whole number"
	case n.Type == "number":
		return "number"
	}
	return "text"
}

// rows lists a node's keys and those beneath them, in the order of the schema.
func (n *node) rows(t *testing.T, at string, list *[]string) {
	t.Helper()
	for i := range n.AnyOf {
		n.AnyOf[i].rows(t, at, list)
	}
	if n.Items != nil {
		n.Items.rows(t, at, list)
	}
	if len(n.Map) > 0 && n.Map[0] == '{' {
		var inside node
		decode(t, n.Map, &inside)
		inside.rows(t, at+"NAME.", list)
	}
	if len(n.Properties) == 0 {
		return
	}
	d := json.NewDecoder(strings.NewReader(string(n.Properties)))
	if _, err := d.Token(); err != nil {
		t.Fatal(err)
	}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			t.Fatal(err)
		}
		var x node
		if err := d.Decode(&x); err != nil {
			t.Fatal(err)
		}
		name := key.(string)
		needed := ""
		if slices.Contains(n.Required, name) {
			needed = "needed"
		}
		*list = append(*list, fmt.Sprintf("| `%s%s` | %s | %s | %s |", at, name, x.words(), needed, x.Description))
		x.rows(t, at+name+".", list)
	}
}

func decode(t *testing.T, data []byte, to any) {
	t.Helper()
	if err := json.Unmarshal(data, to); err != nil {
		t.Fatal(err)
	}
}

// TestRigPage holds the table of keys against the declaration that the reader
// follows, and hangs the page's example.
func TestRigPage(t *testing.T) {
	const begin, end = "<!-- keys: made by go test ./internal/face/cli -run RigPage -update -->\n", "<!-- end of keys -->\n"
	var schema node
	decode(t, rigfile.Schema(), &schema)
	list := []string{"| key | what stands there | | meaning |", "|---|---|---|---|"}
	schema.rows(t, "", &list)
	if len(list) < 80 {
		t.Fatalf("only %d keys", len(list)-2)
	}
	page := string(must(os.ReadFile(formatPage("rig-1.md"))))
	head, rest, ok := strings.Cut(page, begin)
	_, tail, ok2 := strings.Cut(rest, end)
	if !ok || !ok2 {
		t.Fatal("the page has no place for the keys")
	}
	want := head + begin + "\n" + strings.Join(list, "\n") + "\n\n" + end + tail
	if page != want {
		if !*update {
			t.Fatal("the table of keys is not that of the reader; write it anew with -update")
		}
		if err := os.WriteFile(formatPage("rig-1.md"), []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	_, example, ok := strings.Cut(page, "```yaml\n")
	example, _, ok2 = strings.Cut(example, "```")
	if !ok || !ok2 {
		t.Fatal("the page has no example")
	}
	if s := app.Solve([]byte(example)); s.Answer == nil {
		t.Errorf("the example cannot be hung: %v %v", s.Problems, s.Open)
	}
}

// TestSolutionPage holds the page against the frozen list of keys: every key
// has its row.
func TestSolutionPage(t *testing.T) {
	page := string(must(os.ReadFile(formatPage("solution-1.md"))))
	n := 0
	for line := range strings.Lines(string(must(os.ReadFile(formatPage("solution-1.keys.txt"))))) {
		key, _, _ := strings.Cut(strings.TrimSpace(line), " ")
		if key == "" || key == "#" {
			continue
		}
		n++
		if !strings.Contains(page, "| `"+key+"` |") {
			t.Errorf("the page has no row for %s", key)
		}
	}
	if n < 70 {
		t.Errorf("only %d keys", n)
	}
}

// TestSolutionPage_NamesEveryCode reads the codes of findings from the source,
// so that a new one without a row is seen.
func TestSolutionPage_NamesEveryCode(t *testing.T) {
	page := string(must(os.ReadFile(formatPage("solution-1.md"))))
	engine := filepath.Join("..", "..", "engine")
	files, err := filepath.Glob(filepath.Join(engine, "rig", "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	liquid, err := filepath.Glob(filepath.Join(engine, "liquid", "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	files = append(files, liquid...)
	found := map[string]bool{"counts-open": true}
	code := regexp.MustCompile(`(?:find\(|add\(|Finding\{)(?:Note|Unknown|Exceeded), "([a-z-]+)"`)
	for _, f := range files {
		for _, m := range code.FindAllStringSubmatch(string(must(os.ReadFile(f))), -1) {
			found[m[1]] = true
		}
	}
	if len(found) < 20 {
		t.Errorf("only %d codes: %v", len(found), found)
	}
	for c := range found {
		if !strings.Contains(page, "`"+c+"`") {
			t.Errorf("the page does not name the code %s", c)
		}
	}
}
