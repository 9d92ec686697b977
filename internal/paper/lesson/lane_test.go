package lesson_test

import (
	"slices"
	"testing"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/lesson"
)

// Whatever is planted, a lane in pictures has the same pictures in the same
// order; only the planted parts are drawn otherwise.
func TestLooks_DifferOnlyInWhatIsPlanted(t *testing.T) {
	tried := 0
	for _, d := range demos(t) {
		l := lesson.Of(d.v, d.q, told)
		drawn := l.Drawn()
		var list []teach.Candidate
		for _, c := range teach.Candidates(d.v, d.q, nil) {
			if drawn[c.ID] {
				list = append(list, c)
			}
		}
		plain, err := l.Looks(nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(plain) < 12 || len(plain) > teach.MostLanePictures {
			t.Errorf("%s: a lane of %d pictures", d.name, len(plain))
		}
		for seed := range 4 {
			p, err := teach.Plant(teach.Ask{Candidates: list, Count: 4, Seed: teach.Seed{byte(seed)}})
			if err != nil {
				t.Fatalf("%s: %v", d.name, err)
			}
			var ids []string
			for _, c := range p.Versions[0].Planted {
				ids = append(ids, c.ID)
			}
			looks, err := l.Looks(ids)
			if err != nil {
				t.Fatalf("%s: %v: %v", d.name, ids, err)
			}
			if len(looks) != len(plain) {
				t.Fatalf("%s: %d pictures, and %d with nothing planted", d.name, len(looks), len(plain))
			}
			seen := map[string]bool{}
			for i, x := range looks {
				y := plain[i]
				if x.Stop != y.Stop || x.Question != y.Question || x.Part != y.Part {
					t.Fatalf("%s: picture %d is of another part", d.name, i)
				}
				if w := x.Shown.Wrong; w != nil {
					seen[w.ID()] = true
					if w.Part != x.Part || x.Shown.Drawing == y.Shown.Drawing {
						t.Errorf("%s: %s is drawn on %s", d.name, w.ID(), x.Part.ID)
					}
				} else if x.Shown.Drawing != y.Shown.Drawing {
					t.Errorf("%s: picture %d differs and nothing is planted there", d.name, i)
				}
			}
			for _, id := range ids {
				if !seen[id] {
					t.Errorf("%s: %s is not to be seen", d.name, id)
				}
			}
			if len(seen) != len(ids) {
				t.Errorf("%s: %d wrong things, planted %d", d.name, len(seen), len(ids))
			}
			tried++
		}
		// What cannot be drawn cannot be in a lane in pictures.
		i := slices.IndexFunc(d.v.Deficiencies, func(x inspect.Deficiency) bool { return !drawn[x.ID()] })
		if i >= 0 {
			if _, err := l.Looks([]string{d.v.Deficiencies[i].ID()}); err == nil {
				t.Errorf("%s: %s is in a lane in pictures", d.name, d.v.Deficiencies[i].ID())
			}
		}
		t.Logf("%s: %d pictures, %d of %d deficiencies drawn", d.name, len(plain), len(drawn), len(d.v.Deficiencies))
	}
	if tried < 4*demoCount {
		t.Errorf("%d lanes tried", tried)
	}
}
