package rig

import (
	"strings"
	"testing"
)

func twoOnACrate(t *testing.T) *Rig {
	t.Helper()
	rope := func() *Rope { return &Rope{Length: 3, Stretch: Stretch{0.01, 20e3}} }
	one, two := 1, 2
	r, problems := New(Spec{
		Bodies: []Body{{ID: "crate", Shape: Shape{Kind: BoxShape, Size: Vec{2, 1, 1}}, Mass: 500, Points: []Point{
			{ID: "F", At: Vec{1, 0, 1}}, {ID: "R", At: Vec{-1, 0, 1}}, {ID: "X", At: Vec{0, 0, 1}},
		}}},
		Legs: []Leg{
			{ID: "A", To: []Ref{{"crate", "F"}}, Rope: rope(), Seat: &one},
			{ID: "B", To: []Ref{{"crate", "R"}}, Rope: rope(), Seat: &two},
		},
		Sets:      []Set{{ID: "S", Legs: []string{"A"}}, {ID: "T", Legs: []string{"B"}}},
		Procedure: &Procedure{Publication: "of this test"},
	})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return r
}

func TestWith_ChangesOneThingAndNotTheRig(t *testing.T) {
	r := twoOnACrate(t)
	cases := []struct {
		name   string
		change func() (*Rig, error)
		legs   string // of what comes out: id to point seat
		sets   int
	}{
		{"another point", func() (*Rig, error) { return r.WithLegTo("A", Ref{"crate", "X"}) }, "A crate.X 1, B crate.R 2", 2},
		{"another seat", func() (*Rig, error) { return r.WithSeat("A", 7) }, "A crate.F 7, B crate.R 2", 2},
		{"points swapped", func() (*Rig, error) { return r.WithPointsSwapped("A", "B") }, "A crate.R 1, B crate.F 2", 2},
		{"seats swapped", func() (*Rig, error) { return r.WithSeatsSwapped("A", "B") }, "A crate.F 2, B crate.R 1", 2},
		{"a leg lost, and its set with it", func() (*Rig, error) { return r.WithoutLeg("A") }, "B crate.R 2", 1},
		{"a point lost", func() (*Rig, error) { return r.WithoutPoint(Ref{"crate", "R"}) }, "A crate.F 1", 1},
		{"the apex lost", func() (*Rig, error) { return r.WithoutApex("apex") }, "", 0},
	}
	for _, c := range cases {
		out, err := c.change()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := legsAsText(out); got != c.legs || len(out.Sets()) != c.sets {
			t.Errorf("%s: legs %q and %d sets, want %q and %d", c.name, got, len(out.Sets()), c.legs, c.sets)
		}
		if got := legsAsText(r); got != "A crate.F 1, B crate.R 2" || len(r.Sets()) != 2 {
			t.Fatalf("%s changed the rig it was called on: %s", c.name, got)
		}
		if _, err := Hang(out); err != nil {
			t.Errorf("%s: cannot be hung: %v", c.name, err)
		}
	}
}

func legsAsText(r *Rig) string {
	var out []string
	for _, l := range r.Legs() {
		out = append(out, l.ID+" "+l.To[0].String()+" "+string(rune('0'+*l.Seat)))
	}
	return strings.Join(out, ", ")
}

func TestWith_RefusesWhatIsNotThere(t *testing.T) {
	r := twoOnACrate(t)
	cases := []struct {
		name string
		err  func() error
		text string
	}{
		{"a leg", func() error { _, err := r.WithoutLeg("Z"); return err }, `no leg "Z"`},
		{"the other leg", func() error { _, err := r.WithSeatsSwapped("A", "Z"); return err }, `no leg "Z"`},
		{"the first leg", func() error { _, err := r.WithPointsSwapped("Z", "A"); return err }, `no leg "Z"`},
		{"a point that no leg holds", func() error { _, err := r.WithoutPoint(Ref{"crate", "X"}); return err }, `no leg holds point "crate.X"`},
		{"a point", func() error { _, err := r.WithLegTo("A", Ref{"crate", "Q"}); return err }, `"Q"`},
		{"an apex", func() error { _, err := r.WithoutApex("hook"); return err }, `no apex "hook"`},
		{"a seat", func() error { _, err := r.WithSeat("A", 0); return err }, "seats are counted from 1"},
	}
	for _, c := range cases {
		if err := c.err(); err == nil || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.text)
		}
	}
}

func TestWithoutPoint_ALoopGoesOnThroughTheOthers(t *testing.T) {
	count := 5
	r, problems := New(Spec{
		Bodies: []Body{{ID: "b", Shape: Shape{Kind: BoxShape, Size: Vec{2, 1, 1}}, Mass: 500, Points: []Point{
			{ID: "F", At: Vec{0.3, 0, 1}}, {ID: "R", At: Vec{-0.3, 0, 1}},
		}}},
		Legs: []Leg{{
			ID: "A", To: []Ref{{"b", "F"}, {"b", "R"}}, Rope: &Rope{Length: 3, Stretch: Stretch{0.08, 27e3}},
			Chain: &Chain{Links: 90, Pitch: 0.028, Stretch: Stretch{0.005, 27e3}}, Count: &count,
		}},
	})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	out, err := r.WithoutPoint(Ref{"b", "F"})
	if err != nil {
		t.Fatal(err)
	}
	if to := out.Legs()[0].To; len(to) != 1 || to[0] != (Ref{"b", "R"}) {
		t.Errorf("the loop goes through %v, want b.R alone", to)
	}
}
