package picture_test

import (
	"math"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/paper/draw"
)

// demoCount is how many demo rigs there must be at least for a loop over them
// to mean anything.
const demoCount = 11

type solved struct {
	name   string
	rig    *rig.Rig
	answer *rig.Answer
}

// demoRigs hangs every demo rig.
func demoRigs(t *testing.T) []solved {
	t.Helper()
	var out []solved
	for _, d := range demo.Rigs() {
		s := hang(t, d.Name, d.Data)
		out = append(out, s)
	}
	if len(out) < demoCount {
		t.Fatalf("%d demo rigs, want at least %d", len(out), demoCount)
	}
	return out
}

func hang(t *testing.T, name string, data []byte) solved {
	t.Helper()
	r, problems := rigfile.Read(data)
	if r == nil {
		t.Fatalf("%s: %v", name, problems)
	}
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return solved{name, r, a}
}

func demoRig(t *testing.T, name string) solved {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name == name {
			return hang(t, name, d.Data)
		}
	}
	t.Fatalf("there is no demo rig %s", name)
	return solved{}
}

// written is a text of a picture and the corners of the room it takes, from the
// caps to the descenders.
type written struct {
	s   string
	box draw.Rect
}

// texts lists the texts of a list with groups resolved.
func texts(items []draw.Item, at draw.Transform) []written {
	var out []written
	for _, it := range items {
		switch x := it.(type) {
		case draw.Text:
			o := x.Origin()
			w := x.Width(x.S)
			turn := draw.Transform{Move: o, Rotate: x.Rotate}
			var corners []draw.Point
			for _, c := range []draw.Point{{X: 0, Y: -draw.CapHeight * x.Size}, {X: w, Y: -draw.CapHeight * x.Size}, {X: w, Y: draw.Descent * x.Size}, {X: 0, Y: draw.Descent * x.Size}} {
				corners = append(corners, at.Apply(turn.Apply(c)))
			}
			out = append(out, written{x.S, draw.Around(corners...)})
		case *draw.Group:
			out = append(out, texts(x.Items, x.Transform.Then(at))...)
		}
	}
	return out
}

// group returns the first group with a title.
func group(items []draw.Item, title string) *draw.Group {
	for _, it := range items {
		if g, ok := it.(*draw.Group); ok {
			if g.Title == title {
				return g
			}
			if in := group(g.Items, title); in != nil {
				return in
			}
		}
	}
	return nil
}

func near(a, b draw.Point, tol float64) bool {
	return math.Hypot(a.X-b.X, a.Y-b.Y) <= tol
}
