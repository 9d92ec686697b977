package catalog

import (
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/engine/part"
)

// An answer is right or wrong, so every question is asked so that yes is right:
// a record that says "right" of "Is anything lying around?" says the opposite of
// what was meant, and so may one of a question with a no in it.
func TestShipped_YesIsRight(t *testing.T) {
	turned := regexp.MustCompile(`(?i)^(is|are|does|do|has|have|was|were|can|could) (any|there any|something|somebody)|\b(no|not|never|nothing|none|nobody|neither|nor)\b`)
	for _, ask := range []string{"Is anything lying around?", "Are there any knots?", "Is no link worn thin?", "Is it never flown empty?"} {
		if !turned.MatchString(ask) {
			t.Fatalf("the test does not see that %q is turned round", ask)
		}
	}
	n := 0
	for _, k := range Shipped().Kinds {
		for _, a := range k.Attributes {
			n++
			if turned.MatchString(a.Ask) {
				t.Errorf("%s/%s: %q: yes is not plainly right", k.ID, a.ID, a.Ask)
			}
		}
	}
	if n < 130 {
		t.Errorf("only %d questions", n)
	}
}

// stems are the words that say what a text is about, cut to their beginnings so
// that pin and pinned, crack and cracked are one.
func stems(text string) map[string]bool {
	same := map[string]string{"bent": "bend", "worn": "wear", "torn": "tear"}
	out := map[string]bool{}
	for _, w := range regexp.MustCompile(`[a-z]+`).FindAllString(strings.ToLower(text), -1) {
		if strings.Contains(" the a an is it its are of in on at to and or by as be than that this so for with from no not there all both they them where which has have other one ", " "+w+" ") {
			continue
		}
		if same[w] != "" {
			w = same[w]
		}
		out[w[:min(len(w), 4)]] = true
	}
	return out
}

// Two people confirm that what was planted is undone by the words on the put-back
// list, so these have to be about that very fault: words of its own, or the good
// state's where they speak of the same thing. They never repeat the fault.
func TestShipped_PutsBackWhatWasSet(t *testing.T) {
	n := 0
	for _, k := range Shipped().Kinds {
		for _, a := range k.Attributes {
			good, _ := a.State(a.Good)
			for _, s := range a.States {
				if s.ID == a.Good || s.Plant == part.PictureOnly || a.Plan == part.PlanSpacer {
					continue
				}
				n++
				where, text := k.ID+"/"+a.ID+"/"+s.ID, s.PutBack
				if a.Plan != part.NotPlanned && text == "" {
					continue // the rig's own figure says it
				}
				if text == "" {
					text = good.Text
					about := false
					for w := range stems(s.Text) {
						about = about || stems(text)[w]
					}
					if !about {
						t.Errorf("%s: set to %q, put back to %q, which says nothing of it: write put-back", where, s.Text, text)
					}
				}
				if strings.EqualFold(text, s.Text) || strings.HasSuffix(text, ".") {
					t.Errorf("%s: put back to %q", where, text)
				}
			}
		}
	}
	if n < 200 {
		t.Errorf("only %d deficiencies can be planted on a load", n)
	}
	for where, want := range map[string]string{
		"lift-point/sound/loose": "bolts are tight", "apex-fitting/pin/other": "fitting's own pin", "clevis/pin/bolt": "own pin",
		"neighbour-legs/crossed/seats-traded": "own seat", "rope-leg/cut/core": "no core shows",
	} {
		id := strings.Split(where, "/")
		k, _ := Shipped().Kind(id[0])
		a, _ := k.Attribute(id[1])
		if s, _ := a.State(id[2]); !strings.Contains(s.PutBack, want) {
			t.Errorf("%s: put back to %q, want %q in it", where, s.PutBack, want)
		}
	}
}
