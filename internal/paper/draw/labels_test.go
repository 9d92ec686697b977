package draw

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// TestLabels_NeverOverlap places up to 12 labels whose anchors may all be the
// same point: together they need about a tenth of the sheet.
func TestLabels_NeverOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := Labels{Bounds: Rect{W: 120, H: 90}, Gap: 0.5}
		coord := rapid.Float64Range(5, 85)
		for range rapid.IntRange(0, 8).Draw(t, "lines") {
			place.AvoidLine(Pt(coord.Draw(t, "x"), coord.Draw(t, "y")), Pt(coord.Draw(t, "x"), coord.Draw(t, "y")))
		}
		obstacle := Rect{X: 40, Y: 40, W: 15, H: 10}
		place.Avoid(obstacle)
		var labels []Label
		for range rapid.IntRange(1, 12).Draw(t, "labels") {
			labels = append(labels, Label{
				Lines:  []string{"leg FL", "41.2 kN"}[:rapid.IntRange(1, 2).Draw(t, "n")],
				Style:  TextStyle{Size: 2.6, Paint: ink},
				Anchor: Pt(coord.Draw(t, "ax"), coord.Draw(t, "ay")),
				Prefer: Polar(1, rapid.Float64Range(0, 360).Draw(t, "prefer")),
				Clear:  1,
			})
		}
		got := place.Place(labels)
		if len(got) != len(labels) {
			t.Fatalf("%d labels placed of %d", len(got), len(labels))
		}
		for i, a := range got {
			if a.Clash || a.Box.Overlaps(obstacle) || !place.Bounds.Holds(a.Box) {
				t.Fatalf("label %d at %v clashes", i, a.Box)
			}
			for _, b := range got[:i] {
				if a.Box.Overlaps(b.Box) {
					t.Fatalf("labels overlap: %v and %v", a.Box, b.Box)
				}
			}
			if far := a.Label.Anchor.Sub(nearest(a.Box, a.Label.Anchor)).Len(); far > a.Label.Clear+2 && !a.Leader {
				t.Fatalf("label %d is %g mm away without a leader", i, far)
			}
		}
		if again := place.Place(labels); !reflect.DeepEqual(again, got) {
			t.Fatal("placed otherwise the second time")
		}
	})
}

func TestLabels_PreferredSideWhenFree(t *testing.T) {
	place := Labels{Bounds: Rect{W: 100, H: 100}}
	for _, dir := range []Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}} {
		got := place.Place([]Label{{Lines: []string{"FL"}, Style: TextStyle{Size: 3}, Anchor: Pt(50, 50), Prefer: dir, Clear: 1}})[0]
		if c := got.Box.Center().Sub(Pt(50, 50)).Unit().Dot(dir.Unit()); c < 0.8 || got.Leader {
			t.Errorf("preferring %v it went to %v (leader %v)", dir, got.Box, got.Leader)
		}
	}
}

func TestLabels_NextBestSideIsTheNearest(t *testing.T) {
	place := Labels{Bounds: Rect{W: 100, H: 100}}
	place.Avoid(Rect{X: 52, Y: 47, W: 30, H: 6}) // right of the anchor
	got := place.Place([]Label{{Lines: []string{"FL"}, Style: TextStyle{Size: 3}, Anchor: Pt(50, 50), Prefer: Pt(1, 0), Clear: 1}})[0]
	if c := got.Box.Center(); got.Clash || c.X < 50 || math.Abs(c.Y-50) < 2 {
		t.Errorf("with the right taken it went to %v, want above or below on the right", got.Box)
	}
}

func TestLabels_SaysWhenThereIsNoRoom(t *testing.T) {
	place := Labels{Bounds: Rect{W: 10, H: 4}}
	l := Label{Lines: []string{"much too long for it"}, Style: TextStyle{Size: 3}, Anchor: Pt(5, 2)}
	if got := place.Place([]Label{l})[0]; !got.Clash {
		t.Errorf("a label wider than its bounds was placed at %v without a word", got.Box)
	}
}
