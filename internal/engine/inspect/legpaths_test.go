package inspect_test

import (
	"strings"
	"testing"
)

func TestLegPaths(t *testing.T) {
	cases := []struct {
		name string
		edit []string
		code string // "" for none
		text string
	}{
		{"legs up from the top corners touch nothing", nil, "", ""},
		{
			"a point inside the top edge, low on the side, and the leg cuts the edge",
			[]string{"FL: {at: [1.2 m, 0.8 m, 1.2 m]", "FL: {at: [1.2 m, 0.8 m, 0.2 m]", "to: crate.FL, rope: {length: 3.6 m", "to: crate.FL, rope: {length: 4.5 m"},
			"leg-through-load", "leg FL",
		},
		{
			"two points a hand apart bring two legs together",
			[]string{"FR: {at: [1.2 m, -0.8 m, 1.2 m]", "FR: {at: [1.2 m, 0.77 m, 1.2 m]", "count: 10,", "count: 12,"},
			"legs-close", "legs FL and FR",
		},
	}
	for _, c := range cases {
		found := hang(t, edited(t, "crate", c.edit...)).LegPaths()
		if c.code == "" {
			if len(found) > 0 {
				t.Errorf("%s: %v", c.name, found)
			}
			continue
		}
		ok := false
		for _, f := range found {
			ok = ok || f.Code == c.code && f.About == c.text && f.Text != ""
		}
		if !ok {
			t.Errorf("%s: got %v, want %s of %s", c.name, found, c.code, c.text)
		}
	}
}

func TestLegPaths_ALegThroughItsDrum(t *testing.T) {
	// Points beneath the drums' middle: the chains go up through them.
	r := edited(t, "drums", "F: [0.8 m, 0 m, 0.65 m], R: [-0.8 m, 0 m, 0.65 m]", "F: [0 m, 0.1 m, 0 m], R: [-0.2 m, 0.1 m, 0 m]")
	found := hang(t, r).LegPaths()
	ok := false
	for _, f := range found {
		ok = ok || f.Code == "leg-through-load" && strings.Contains(f.Text, "drum entered for body")
	}
	if !ok {
		t.Errorf("got %v, want a leg through a drum", found)
	}
}
