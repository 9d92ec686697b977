package app

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/closeup"
	"hangtrue/internal/paper/lesson"
)

// drillLesson is the lesson of a demo rig, with what its deficiencies would do.
func drillLesson(t testing.TB, name string) (*lesson.Lesson, *EffectsDocument) {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name != name {
			continue
		}
		s := Solve(d.Data)
		v, problems := inspect.Of(s.Rig, shipped())
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		effects, err := Effects(&s, v)
		if err != nil {
			t.Fatal(err)
		}
		return Lesson(v, inspect.Suggest(v), &effects), &effects
	}
	t.Fatalf("there is no demo %s", name)
	return nil, nil
}

// What a student sees of a picture, besides the picture itself.
func visible(p teach.DrillPicture) string {
	p.Key, p.State, p.Deficiency, p.Found, p.Matters, p.Did, p.Params, p.Part, p.Name = "", "", "", "", "", "", nil, "", ""
	data, _ := json.Marshal(p)
	return string(data)
}

// Over many drills: nothing beside the picture tells right from wrong, half of
// all are wrong, each question is asked once, in the order of the walk.
func TestChooseDrill_OnlyThePictureTells(t *testing.T) {
	l, effects := drillLesson(t, "crate-off-centre")
	seen := map[string]map[string]bool{} // question to what was seen of it
	both := map[string][2]int{}
	faulty, all := 0, 0
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, time.UTC)
	for seed := range uint64(300) {
		list := chooseDrill(l, effects, nil, now, 12, rand.New(rand.NewPCG(seed, 7)))
		if len(list) != 12 {
			t.Fatalf("%d pictures", len(list))
		}
		asked := map[string]bool{}
		for i, p := range list {
			if i > 0 && p.Station < list[i-1].Station {
				t.Errorf("seed %d: station %d after %d", seed, p.Station, list[i-1].Station)
			}
			q := fmt.Sprint(p.Checkpoint, "|", p.Parts, "|", p.Ask)
			if asked[q] {
				t.Errorf("seed %d: %s is asked twice", seed, q)
			}
			asked[q] = true
			if seen[q] == nil {
				seen[q] = map[string]bool{}
			}
			seen[q][visible(p)] = true
			n := both[q]
			all++
			if p.Faulty() {
				faulty++
				n[1]++
				if !slices.ContainsFunc(p.Choices, func(c teach.DrillChoice) bool { return c.State == p.State }) {
					t.Errorf("%s is not among what could be wrong", p.State)
				}
			} else {
				n[0]++
			}
			both[q] = n
			if p.Found == "" || p.Faulty() && p.Matters == "" {
				t.Errorf("%s has no answer: %+v", q, p)
			}
		}
	}
	twice := 0
	for q, s := range seen {
		if len(s) != 1 {
			t.Errorf("%s looks otherwise in %d ways", q, len(s))
		}
		if both[q][0] > 0 && both[q][1] > 0 {
			twice++
		}
	}
	if twice < 20 {
		t.Errorf("only %d questions came both right and wrong", twice)
	}
	// 3,600 tosses: three standard errors are ±0.025.
	if share := float64(faulty) / float64(all); share < .475 || share > .525 {
		t.Errorf("%.3f are wrong", share)
	}
}

// What was missed and is due comes first.
func TestChooseDrill_ComesBackToWhatWasMissed(t *testing.T) {
	l, effects := drillLesson(t, "crate-off-centre")
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, time.UTC)
	r := rand.New(rand.NewPCG(1, 1))
	boxes := map[string]teach.Box{}
	var due []string
	for i, p := range chooseDrill(l, effects, nil, now, 12, r) {
		if i < 5 {
			due = append(due, p.Key)
			boxes[p.Key] = teach.Box{}.Next(false, now.AddDate(0, 0, -2))
		} else {
			boxes[p.Key] = teach.Box{Number: 3}.Next(true, now)
		}
	}
	for range 20 {
		keys := map[string]bool{}
		for _, p := range chooseDrill(l, effects, boxes, now, 8, r) {
			keys[p.Key] = true
		}
		for _, k := range due {
			if !keys[k] {
				t.Errorf("%s is due and does not come", k)
			}
		}
		for k, b := range boxes {
			if b.Number == 4 && keys[k] {
				t.Errorf("%s was found lately and comes before what was never seen", k)
			}
		}
	}
}

// Every demo rig can be drilled, and every picture can be sent.
func TestChooseDrill_EveryRig(t *testing.T) {
	n := 0
	for _, d := range demo.Rigs() {
		s := Solve(d.Data)
		v, _ := inspect.Of(s.Rig, shipped())
		none := &EffectsDocument{}
		list := chooseDrill(Lesson(v, inspect.Suggest(v), none), none, nil, time.Time{}, 6, rand.New(rand.NewPCG(uint64(n), 3)))
		if len(list) < LeastDrill {
			t.Errorf("%s: %d pictures", d.Name, len(list))
		}
		for _, p := range list[:min(2, len(list))] {
			data, err := closeup.StudentPNG(p.Figure, p.Params)
			if err != nil || len(data) != closeup.StudentBytes {
				t.Errorf("%s, %s: %d bytes, %v", d.Name, p.Key, len(data), err)
			}
		}
		n++
	}
	if n < 11 {
		t.Errorf("%d demo rigs", n)
	}
}
