package demo

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/brief/brieffile"
)

// Each demo brief is INVENTED, says so in its heading, reads without an error
// and belongs to a demo rig.
func TestBriefs(t *testing.T) {
	briefs := Briefs()
	if len(briefs) < 1 {
		t.Fatal("no demo brief")
	}
	rigs := map[string]bool{}
	for _, r := range all(t) {
		rigs[r.Name] = true
	}
	for _, b := range briefs {
		e, problems := brieffile.Read(b.Data)
		if e == nil {
			t.Errorf("%s: %v", b.Name, problems)
			continue
		}
		if !rigs[b.Name] || !e.Invented || !strings.HasPrefix(e.Title, "INVENTED") || e.Aircraft == "" || e.Conditions == nil {
			t.Errorf("%s: of a demo rig %v, invented %v, %q, aircraft %q, incomplete %v", b.Name, rigs[b.Name], e.Invented, e.Title, e.Aircraft, e.Incomplete)
		}
	}
}
