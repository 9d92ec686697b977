package teach_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/teach"
)

// Where enough difficulties are known a band chooses from these only; where there
// are too few it holds for those, and where none is in it nothing is chosen.
func TestPlant_Band(t *testing.T) {
	pool := func(known ...float64) []teach.Candidate {
		var out []teach.Candidate
		for i := range 30 {
			c := teach.Candidate{ID: fmt.Sprintf("p%d/a/x", i), Part: fmt.Sprint("p", i), Kind: fmt.Sprint("k", i%5), Station: 1 + i%6, Plant: part.ByHand}
			if i < len(known) {
				c.Difficulty = &known[i]
			}
			out = append(out, c)
		}
		return out
	}
	for seed := range 40 {
		ask := teach.Ask{Candidates: pool(-2, -1, -.5, 0, .5, 1, 2), Count: 3, Versions: 2, Real: true, Band: &[2]float64{.2, 1.2}, Seed: teach.Seed{byte(seed)}}
		p, err := teach.Plant(ask)
		if err != nil {
			t.Fatal(err)
		}
		for i := range p.Versions {
			v := &p.Versions[i]
			if v.Unknown != 0 || v.Difficulty < .2 || v.Difficulty > 1.2 || !strings.Contains(v.Words(), "logits") {
				t.Errorf("seed %d: %s, %d unknown", seed, v.Words(), v.Unknown)
			}
		}
		ask.Candidates = pool(.5, 3)
		if p, err = teach.Plant(ask); err != nil {
			t.Fatal(err)
		}
		v := &p.Versions[0]
		if v.Unknown == 0 || !math.IsNaN(v.Difficulty) && (v.Difficulty < .2 || v.Difficulty > 1.2) || !strings.Contains(strings.Join(p.Notes, "; "), "held for those whose difficulty is known") {
			t.Errorf("seed %d: two known of three: %s, notes %q", seed, v.Words(), p.Notes)
		}
		ask.Candidates, ask.Band = pool(-2, -1, -.5, 0), &[2]float64{1, 2}
		if _, err := teach.Plant(ask); err == nil || !strings.Contains(err.Error(), "no choice was found whose mean difficulty") {
			t.Errorf("seed %d: nothing is in the band: %v", seed, err)
		}
		ask.Candidates, ask.Band = pool(), &[2]float64{1, 2}
		if p, err = teach.Plant(ask); err != nil || p.Versions[0].Words() != "expected difficulty: unknown" {
			t.Errorf("seed %d: nothing is known: %v", seed, err)
		}
	}
}
