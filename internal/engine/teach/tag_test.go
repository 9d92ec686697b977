package teach_test

import (
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/teach"
)

func TestTieOf(t *testing.T) {
	tag := &teach.RedTag{Load: "Crate 7", Rig: "crate-red", RigHash: "h1"}
	tagged := &teach.RigKnown{Name: "crate-red", Titles: []string{"Compressor crate"}, Hashes: []string{"h1", "h2"}, Shapes: []string{"s"}}
	none := teach.RigKnown{}
	for _, c := range []struct {
		what, load string
		rig        teach.RigKnown
		want       teach.Tie
	}{
		{"its name", "crate 07", none, teach.TieNamed},
		{"its name and another rig", "Crate-7", teach.RigKnown{Name: "net"}, teach.TieNamed},
		{"another name", "Crate 8", none, teach.TieNone},
		{"the rig's file as a name", "Crate red", none, teach.TieRig},
		{"the rig's title as a name", "compressor CRATE", none, teach.TieRig},
		{"the same rig", "Crate 8", teach.RigKnown{Name: "crate-red"}, teach.TieRig},
		{"the same rig, its file written otherwise", "Crate 8", teach.RigKnown{Name: "Crate_Red"}, teach.TieRig},
		{"the same text under another name", "Crate 8", teach.RigKnown{Name: "a", Hashes: []string{"h0", "h1"}}, teach.TieRig},
		{"the same title", "Crate 8", teach.RigKnown{Name: "a", Titles: []string{"Compressor  crate."}}, teach.TieRig},
		{"a title that is the load's name", "Box", teach.RigKnown{Name: "a", Titles: []string{"Crate 7"}}, teach.TieRig},
		{"the same shape", "Box", teach.RigKnown{Name: "a", Titles: []string{"Box"}, Shapes: []string{"s"}}, teach.TieRig},
		{"another rig", "Net 1", teach.RigKnown{Name: "net", Titles: []string{"Net"}, Hashes: []string{"h9"}, Shapes: []string{"n"}}, teach.TieNone},
	} {
		if got := teach.TieOf(tag, tagged, c.load, &c.rig); got != c.want {
			t.Errorf("%s: tie %d, want %d", c.what, got, c.want)
		}
	}
	two := []teach.OtherLoad{{Load: "Crate 8", Person: "a"}, {Load: "crate 08", Person: "a"}, {Load: "Crate 9", Person: "b"}}
	if ok, by := teach.Another(two, "crate-8"); ok || len(by) != 1 {
		t.Errorf("one person twice: %v by %v", ok, by)
	}
	if ok, _ := teach.Another(append(two, teach.OtherLoad{Load: "Crate 8", Person: "b"}), "crate-8"); !ok {
		t.Error("two people do not count")
	}
}

// The shape stays when title, ids, weights and counts change, and tells the demo
// rigs apart.
func TestRigShape(t *testing.T) {
	seen := map[string]string{}
	for _, d := range demo.Rigs() {
		r, problems := rigfile.Read(d.Data)
		if r == nil {
			t.Fatal(problems)
		}
		shape := teach.RigShape(r)
		if other := seen[shape]; other != "" {
			t.Errorf("%s and %s have one shape", d.Name, other)
		}
		seen[shape] = d.Name
		counts := map[string]int{}
		for _, l := range r.Legs() {
			if l.Count != nil && *l.Count > 4 {
				counts[l.ID] = *l.Count - 1
			}
		}
		if len(counts) == 0 {
			continue
		}
		changed, err := r.WithCounts(counts)
		if err != nil {
			t.Fatal(err)
		}
		if teach.RigShape(changed) != shape {
			t.Errorf("%s: another count makes another shape", d.Name)
		}
	}
	if len(seen) < 10 {
		t.Errorf("%d demo rigs", len(seen))
	}
}
