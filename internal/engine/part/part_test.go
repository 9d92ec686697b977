package part

import (
	"slices"
	"testing"
)

func TestMeans_EveryMeaningHasAThingToActOn(t *testing.T) {
	for _, m := range append(slices.Clone(Meanings), CountOff) {
		n := 0
		for _, e := range Eaches {
			ok, what := e.Means(m)
			if ok {
				n++
			} else if what == "" {
				t.Errorf("%s on %s is refused without saying what it takes", m, e)
			}
		}
		if n == 0 {
			t.Errorf("%s can be told of nothing", m)
		}
		if ok, _ := Nowhere.Means(m); !ok {
			t.Errorf("%s is refused on a part that a rig file names", m)
		}
	}
}

func TestWords_EveryWordIsSaid(t *testing.T) {
	n := 0
	for _, e := range Ends {
		n++
		if e.Words() == "" {
			t.Errorf("end %s has no words", e)
		}
	}
	for _, p := range Plants {
		n++
		if p.Words() == "" {
			t.Errorf("plant %s has no words", p)
		}
	}
	for _, a := range Acts {
		n++
		if a.Words() == "" {
			t.Errorf("act %s has no words", a)
		}
	}
	if n != 11 {
		t.Errorf("%d words, want 11", n)
	}
}

func TestGravity_GoesByTheGravestEnd(t *testing.T) {
	cases := []struct {
		ends []End
		want int
	}{
		{[]End{Damage, LoadLost}, 0}, {[]End{LoadLost}, 0}, {[]End{BodyLost}, 1}, {[]End{Damage}, 5}, {nil, 6},
	}
	for _, c := range cases {
		if got := Gravity(c.ends); got != c.want {
			t.Errorf("gravity of %v is %d, want %d", c.ends, got, c.want)
		}
	}
}

func TestMerge_LaterTakesThePlaceOfEarlier(t *testing.T) {
	first := &Catalog{
		Title:    "first",
		Kinds:    []Kind{{ID: "a", Name: "one"}, {ID: "b", Name: "two"}},
		Spacers:  []SpacerRule{{Fitting: "a", On: "b", Need: Required}},
		Criteria: []Criterion{{ID: "x", Text: "one"}},
	}
	later := &Catalog{
		Kinds:    []Kind{{ID: "c", Name: "three"}, {ID: "a", Name: "other"}},
		Spacers:  []SpacerRule{{Fitting: "a", On: "b", Need: Forbidden, Source: "s"}},
		Criteria: []Criterion{{ID: "y"}, {ID: "x", Text: "other"}},
	}
	got := Merge(first, later)
	var names []string
	for _, k := range got.Kinds {
		names = append(names, k.ID+" "+k.Name)
	}
	if !slices.Equal(names, []string{"a other", "b two", "c three"}) {
		t.Errorf("kinds %v", names)
	}
	if need, _ := got.Spacer("a", "b"); need != Forbidden || len(got.Spacers) != 1 {
		t.Errorf("spacer rules %v", got.Spacers)
	}
	if len(got.Criteria) != 2 || got.Criteria[0].Text != "other" || got.Title != "first" {
		t.Errorf("criteria %v, title %q", got.Criteria, got.Title)
	}
	if first.Kinds[0].Name != "one" || first.Spacers[0].Need != Required {
		t.Error("merging changed the first catalogue")
	}
	if need, source := got.Spacer("b", "a"); need != NotStated || source != "" {
		t.Errorf("a pair without a rule is %s", need)
	}
}

func TestTakes(t *testing.T) {
	a := Attribute{See: []See{Count, Touch}}
	cases := []struct {
		do   []See
		want bool
	}{
		{nil, true}, {[]See{Look}, false}, {[]See{Look, Count}, true}, {[]See{Touch}, true},
	}
	for _, c := range cases {
		if got := a.Takes(c.do); got != c.want {
			t.Errorf("doing %v shows it: %v, want %v", c.do, got, c.want)
		}
	}
}
