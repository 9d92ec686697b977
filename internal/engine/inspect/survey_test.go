package inspect_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
)

func TestOf_PartsAndDeficienciesAreStable(t *testing.T) {
	var lines, counts []string
	for _, s := range ours(t) {
		v := survey(t, s.rig)
		lines = append(lines, "# "+s.name)
		for i := range v.Parts {
			lines = append(lines, v.Parts[i].ID+": "+v.Parts[i].Name)
		}
		lines = append(lines, ids(v.Deficiencies)...)
	}
	golden(t, "deficiencies.golden", lines)
	for _, s := range all(t) {
		v := survey(t, s.rig)
		counts = append(counts, counted(s, v))
		again := survey(t, s.rig)
		if !slices.Equal(ids(v.Deficiencies), ids(again.Deficiencies)) {
			t.Errorf("%s: two surveys differ", s.name)
		}
		seen := map[string]bool{}
		for i := range v.Deficiencies {
			d := &v.Deficiencies[i]
			if seen[d.ID()] {
				t.Errorf("%s: %s is listed twice", s.name, d.ID())
			}
			seen[d.ID()] = true
			if d.State.Hazard == "" || len(d.State.Ends) == 0 || d.Source() == "" || d.Text() == "" {
				t.Errorf("%s: %s says no hazard, end, source or text", s.name, d.ID())
			}
		}
		if len(seen) < 50 {
			t.Errorf("%s: only %d deficiencies", s.name, len(seen))
		}
	}
	golden(t, "counts.golden", counts)
}

func has(v *inspect.Survey, id string) bool { return slices.Contains(ids(v.Deficiencies), id) }

func TestOf_WhatARigCanHave(t *testing.T) {
	crate, drums, bar := our(t, "crate"), our(t, "drums"), our(t, "bar")
	cases := []struct {
		name string
		v    *inspect.Survey
		id   string
		want bool
	}{
		{"a tail of 11 links can hang free", survey(t, crate), "leg.FL.excess-chain/held/hanging", true},
		{"a tail of 2 links cannot", survey(t, crate), "leg.RL.excess-chain/held/hanging", false},
		{"count 12 can be five less", survey(t, crate), "leg.FL.grab-hook/count/five-less", true},
		{"count 3 cannot", survey(t, crate), "leg.RL.grab-hook/count/five-less", false},
		{"count 3 can be one less", survey(t, crate), "leg.RL.grab-hook/count/one-less", true},
		{"unequal counts can be traded", survey(t, crate), "legs.FL+FR.mirrored-legs/counts/traded", true},
		{"equal counts cannot", survey(t, crate), "legs.RL+RR.mirrored-legs/counts/traded", false},
		{"a seat entered can be wrong", survey(t, crate), "leg.FL.leg-run/seat/other", true},
		{"one not entered cannot", survey(t, drums), "leg.F.leg-run/seat/other", false},
		{"legs of two sets can be mixed", survey(t, crate), "apex.apex.apex-legs/sets/mixed", true},
		{"without two sets they cannot", survey(t, drums), "apex.apex.apex-legs/sets/mixed", false},
		{"a loop through two points has an order", survey(t, drums), "leg.F.chain/order/missed", true},
		{"one through one point has none", survey(t, crate), "leg.FL.chain/order/missed", false},
		{"drums side by side have marks", survey(t, drums), "bodies.left+right.drum-pair/marks/one-off", true},
		{"a leg with a clevis", survey(t, crate), "leg.FL.clevis/pin/missing", true},
		{"a leg without one", survey(t, crate), "leg.RL.clevis/pin/missing", false},
		{"a spreader is one", survey(t, bar), "body.bar.spreader/welds/cracked", true},
		{"what hangs under it is not", survey(t, bar), "body.pipes.spreader/welds/cracked", false},
		{"a choke hitch", survey(t, bar), "leg.BF.choke-hitch/lie/loose", true},
		{"a basket hitch", survey(t, bar), "leg.BR.basket-hitch/eyes/one", true},
		{"a wire rope is looked at as such", survey(t, bar), "part.top-front.wire-rope/wires/spread", false},
		{"by its own id", survey(t, bar), "part.top-front/wires/spread", true},
		{"and not as a leg of unknown make", survey(t, bar), "leg.TF.plain-leg/sound/damaged", false},
		{"a long line instead of a pendant", survey(t, bar), "apex.apex.pendant/sound/damaged", false},
		{"a part on a point", survey(t, crate), "part.pad/in-place/missing", true},
		{"a leg can hold another point of its body", survey(t, crate), "leg.FL.leg-run/point/other", true},
		{"a loop too short for another point cannot", survey(t, drums), "leg.F.leg-run/point/other", false},
	}
	for _, c := range cases {
		if got := has(c.v, c.id); got != c.want {
			t.Errorf("%s: %s possible: %v, want %v", c.name, c.id, got, c.want)
		}
	}
}

func TestOf_NamedPartsThatCannotBe(t *testing.T) {
	cases := []struct{ name, from, to, path, text string }{
		{"a kind that is not there", "kind: tag-line", "kind: tag-lime", "parts[0].kind", "did you mean tag-line?"},
		{"a thing that is not there", "on: crate,", "on: create,", "parts[0].on", "did you mean crate?"},
		{"an id used twice", "id: pad", "id: line", "parts[1].id", "already the id of part number 1"},
		{"a place without a frame", "kind: securing-tie, on: FL", "kind: securing-tie, on: FL, at: [0 m, 0 m, 0 m]", "parts[2].at", "no frame"},
	}
	for _, c := range cases {
		_, problems := inspect.Of(edited(t, "crate", c.from, c.to), shipped())
		if len(problems) != 1 || problems[0].Path != c.path || !strings.Contains(problems[0].Error(), c.text) {
			t.Errorf("%s: got %v, want one at %s with %q", c.name, problems, c.path, c.text)
		}
	}
}

func TestOf_SpacerDependsOnFittingAndHook(t *testing.T) {
	hook := func(need part.SpacerNeed) *part.Catalog {
		return part.Merge(shipped(), &part.Catalog{Spacers: []part.SpacerRule{{Fitting: "apex-fitting", On: "cargo-hook", Need: need, Source: "rule of this test"}}})
	}
	const prefix = "apex.apex.apex-fitting/spacer/"
	cases := []struct {
		name, rig string
		c         *part.Catalog
		want      string
	}{
		{"nobody has stated it", "crate", shipped(), part.SpacerOpen},
		{"required", "crate", hook(part.Required), part.SpacerOff},
		{"forbidden", "crate", hook(part.Forbidden), part.SpacerOn},
		{"on another hook the rule says nothing", "bar", hook(part.Required), part.SpacerOpen},
	}
	for _, c := range cases {
		v := surveyWith(t, our(t, c.rig), c.c)
		var got []string
		for _, id := range ids(v.Deficiencies) {
			if state, ok := strings.CutPrefix(id, prefix); ok {
				got = append(got, state)
			}
		}
		if !slices.Equal(got, []string{c.want}) {
			t.Errorf("%s: bad states %v, want %s", c.name, got, c.want)
		}
	}
}

func TestPlanned_SaysWhatThePlanHas(t *testing.T) {
	v := survey(t, our(t, "crate"))
	cases := []struct{ part, attribute, want string }{
		{"leg.FL.grab-hook", "count", "link 12 from the free end"},
		{"leg.FL.leg-run", "point", "to crate.FL"},
		{"leg.FL.leg-run", "seat", "seat 1 from the load's left"},
		{"legs.FL+FR.mirrored-legs", "counts", "leg FL at 12, leg FR at 10"},
		{"leg.FL.keeper", "closed", "it lies closed behind the link"},
		{"apex.apex.apex-fitting", "spacer", "nobody has stated whether a spacer belongs here"},
	}
	for _, c := range cases {
		p, ok := v.Part(c.part)
		if !ok {
			t.Errorf("no part %s", c.part)
			continue
		}
		a, _ := p.Kind.Attribute(c.attribute)
		if got := v.Planned(p, a); got != c.want {
			t.Errorf("%s/%s: %q, want %q", c.part, c.attribute, got, c.want)
		}
	}
}

// Every sort of thing that parts can follow from is on one of our rigs, or a
// sort could stop being listed and no test would see it.
func TestOf_EverySortOfThingIsTried(t *testing.T) {
	seen := map[part.Each]bool{}
	for _, s := range ours(t) {
		v := survey(t, s.rig)
		for i := range v.Parts {
			seen[v.Parts[i].Kind.Each] = true
		}
	}
	for _, e := range append(slices.Clone(part.Eaches), part.Nowhere) {
		// EachPendant is taken over by the long line on the bar.
		if !seen[e] && e != part.EachPendant {
			t.Errorf("no part of our rigs follows from %q", e)
		}
	}
	if v := survey(t, edited(t, "bar", "  - {id: line, kind: long-line, on: apex}\n", "")); !has(v, "apex.apex.pendant/sound/damaged") {
		t.Error("without the long line the pendant is not listed")
	}
}

func TestScene_PartsAreWhereTheyShouldBe(t *testing.T) {
	r := our(t, "crate")
	v := survey(t, r)
	a := hang(t, r)
	s := inspect.SceneOf(r, a)
	at := func(id string) (ground, hung [3]float64) {
		p, ok := v.Part(id)
		if !ok {
			t.Fatalf("no part %s", id)
		}
		h, ok := s.Hung(p.Place)
		if !ok {
			t.Fatalf("%s hangs nowhere", id)
		}
		return s.Ground(p.Place), h
	}
	ground, hung := at("point.crate.FL.lift-point")
	if ground != [3]float64{1.2, 0.8, 1.2} {
		t.Errorf("the lift point stands at %v", ground)
	}
	if want := a.Legs[0].To; near(hung, want) > 1e-9 {
		t.Errorf("the lift point hangs at %v, its leg ends at %v", hung, want)
	}
	if _, hung = at("leg.FL.eye-roller"); near(hung, a.Legs[0].From) > 1e-9 {
		t.Errorf("the upper eye hangs at %v, not at the leg's upper end", hung)
	}
	// The hook is rope and fittings down, of rope and half the loop.
	_, hook := at("leg.FL.grab-hook")
	whole := 3.6 + 76*0.028/2
	if got, want := near(hook, a.Legs[0].From)/near(a.Legs[0].To, a.Legs[0].From), 3.6/whole; got-want > 1e-9 || want-got > 1e-9 {
		t.Errorf("the grab hook is at %.4f of the leg, want %.4f", got, want)
	}
	if ground, _ = at("apex.apex.apex-fitting"); ground != [3]float64{0, 0, 1.2} {
		t.Errorf("the apex lies at %v, not on the middle of the crate", ground)
	}
	if ground, _ = at("part.line"); ground != [3]float64{-1.2, 0, 0.6} {
		t.Errorf("the tag line is at %v", ground)
	}
	n := 0
	for _, sm := range all(t) {
		v, a := survey(t, sm.rig), hang(t, sm.rig)
		s := inspect.SceneOf(sm.rig, a)
		for i := range v.Parts {
			h, _ := s.Hung(v.Parts[i].Place)
			g := s.Ground(v.Parts[i].Place)
			if text := fmt.Sprint(h, g); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Errorf("%s: %s is at %s", sm.name, v.Parts[i].ID, text)
			}
			n++
		}
	}
	if n < 400 {
		t.Errorf("looked at only %d parts", n)
	}
}

// A rig file's order of legs is no part of a part's name.
func TestOf_IdsDoNotDependOnTheOrderOfTheLegs(t *testing.T) {
	r := our(t, "crate")
	s := r.Spec()
	slices.Reverse(s.Legs)
	turned, problems := rig.New(s)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	a, b := ids(survey(t, r).Deficiencies), ids(survey(t, turned).Deficiencies)
	slices.Sort(a)
	slices.Sort(b)
	if !slices.Equal(a, b) || len(a) < 100 {
		t.Errorf("%d deficiencies in one order of the legs, other %d in the other", len(a), len(b))
	}
}

func TestFigure_KnowsTheStateAndTheLeg(t *testing.T) {
	v := survey(t, our(t, "crate"))
	cases := []struct{ part, attribute, state, name, key, want string }{
		{"leg.FL.grab-hook", "count", "one-more", "grab-hook", "in-hook", "13"},
		{"leg.FL.grab-hook", "count", "planned", "grab-hook", "in-hook", "12"},
		{"leg.FL.grab-hook", "seated", "tip", "grab-hook", "seated", "tip"},
		{"leg.FL.chain", "wear", "worn", "chain", "links", "88"},
		{"leg.FL.chain", "wear", "worn", "chain", "pitch", "28"},
		{"leg.FL.excess-chain", "held", "held", "excess-chain", "tail", "11"},
		{"leg.FL.breakaway-tie", "material", "cord", "breakaway-tie", "duty", "breakaway"},
		{"leg.FL.leg-run", "seat", "other", "leg-run", "seat-number", "1"},
	}
	for _, c := range cases {
		p, _ := v.Part(c.part)
		a, _ := p.Kind.Attribute(c.attribute)
		s, ok := a.State(c.state)
		if !ok {
			t.Errorf("%s has no state %s", c.attribute, c.state)
			continue
		}
		f, ok := v.Figure(p, a, s)
		if !ok || f.Name != c.name || f.Params[c.key] != c.want {
			t.Errorf("%s/%s/%s: figure %s with %v, want %s of %s", c.part, c.attribute, c.state, f.Name, f.Params, c.key, c.want)
		}
	}
}
