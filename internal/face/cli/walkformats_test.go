package cli

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"
)

// keyPaths lists the keys of a document as docs/formats writes them.
func keyPaths(value any, at string, seen *[]string) {
	switch x := value.(type) {
	case map[string]any:
		for key, v := range x {
			if path := at + key; !slices.Contains(*seen, path) {
				*seen = append(*seen, path)
			}
			keyPaths(v, at+key+".", seen)
		}
	case []any:
		for _, v := range x {
			keyPaths(v, strings.TrimSuffix(at, ".")+"[].", seen)
		}
	}
}

// Every key that the commands of the walk-round print has its row.
func TestWalkFormatsPage(t *testing.T) {
	page := string(must(os.ReadFile(formatPage("walk-1.md"))))
	t.Chdir(t.TempDir())
	if code, out := pipe(t, "hangtrue new trailer -o trailer.yaml"); code != 0 {
		t.Fatal(out)
	}
	for format, command := range map[string]string{
		"hangtrue.parts/1":    "hangtrue parts trailer.yaml --json",
		"hangtrue.coverage/1": "hangtrue sequence trailer.yaml --json",
		"hangtrue.effects/1":  "hangtrue effects trailer.yaml --json",
		"hangtrue.figures/1":  "hangtrue closeup --json",
	} {
		_, section, ok := strings.Cut(page, "\n## "+format+"\n")
		section, _, _ = strings.Cut(section, "\n## ")
		if !ok {
			t.Errorf("the page has no section for %s", format)
			continue
		}
		_, out := pipe(t, command)
		var value any
		if err := json.Unmarshal([]byte(out), &value); err != nil {
			t.Errorf("%s: %v", command, err)
			continue
		}
		var keys []string
		keyPaths(value, "", &keys)
		if len(keys) < 8 {
			t.Errorf("%s: only %d keys", command, len(keys))
		}
		for _, key := range keys {
			if !strings.Contains(section, "| `"+key+"` |") {
				t.Errorf("%s: no row for %s", format, key)
			}
		}
	}
}
