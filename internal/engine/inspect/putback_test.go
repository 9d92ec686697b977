package inspect_test

import (
	"strings"
	"testing"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig/rigfile"
)

// What two people confirm as put back is told of every deficiency that can be
// planted on a load of the demo, in words that are not those of the fault.
func TestPutBack_OfEveryDeficiencyOfTheDemo(t *testing.T) {
	n, spoiled := 0, 0
	for _, x := range demo.Rigs() {
		r, _ := rigfile.Read(x.Data)
		if r == nil {
			t.Fatal(x.Name)
		}
		v, _ := inspect.Of(r, catalog.Shipped())
		for i := range v.Deficiencies {
			d := &v.Deficiencies[i]
			if d.State.Plant == part.PictureOnly {
				continue
			}
			n++
			text := v.PutBack(d)
			switch {
			case text == "" || strings.Contains(text, "still to be found") || strings.EqualFold(text, d.State.Text):
				t.Errorf("%s, %s: set to %q, put back to %q", x.Name, d.ID(), d.State.Text, text)
			case d.State.Plant == part.SpoiledPart:
				spoiled++
				if !strings.HasPrefix(text, "the spoiled training part is off and the sound one on: ") {
					t.Errorf("%s, %s: put back to %q", x.Name, d.ID(), text)
				}
			}
		}
	}
	if n < 1000 || spoiled < 100 {
		t.Errorf("%d deficiencies, %d with a spoiled part", n, spoiled)
	}
}
