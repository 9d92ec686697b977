package walk_test

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/walk"
)

func TestTrace_EveryLegOfEveryRig(t *testing.T) {
	compared := 0
	for _, d := range append(demos(t), wordy(t)...) {
		p := walk.Trace(d.v.Rig, inspect.Trace(d.v.Rig, inspect.AsRigged(d.v.Rig)), 190, 190)
		compared += fits(t, "trace of "+d.name, p, p.Frame())
		saysNothingForbidden(t, d.name, p)
		marked(t, d, p)
		titles := strings.Join(groups(p.Items), "\n")
		for _, l := range d.v.Rig.Legs() {
			if !strings.Contains(titles, "leg "+l.ID+": ") {
				t.Errorf("%s: leg %s is not drawn", d.name, l.ID)
			}
		}
		keep(t, "trace-"+d.name, p)
	}
	if compared < 1000 {
		t.Errorf("%d pairs of texts compared", compared)
	}
}

// TestTrace_TellsFaultsApart: each fault has its own words and its own line or
// mark, so that a grey copy tells them apart too.
func TestTrace_TellsFaultsApart(t *testing.T) {
	r := demoNamed(t, "crate-off-centre").v.Rig
	looks := map[string]string{}
	for _, c := range []struct {
		name   string
		change func(map[string]*inspect.Found)
		words  []string
		not    []string
	}{
		{"as planned", func(map[string]*inspect.Found) {}, []string{"Every leg is as planned."}, []string{"wrong", "crossed", "wrapped", "turned"}},
		{
			"wrong seat", func(by map[string]*inspect.Found) { by["FL"].Seat, by["RL"].Seat = 2, 1 },
			[]string{"wrong seat", "leg FL in seat 2 instead of 1", "WRONG SEAT, planned 1"},
			[]string{"crossed", "wrapped over", "turned half"},
		},
		{
			"wrong point", func(by map[string]*inspect.Found) { by["FL"].To = by["RL"].To },
			[]string{"wrong point", "WRONG POINT, planned crate.FL"},
			[]string{"wrapped over", "turned half"},
		},
		{
			"crossed", func(by map[string]*inspect.Found) { by["FL"].Seat, by["FR"].Seat = 4, 1 },
			[]string{"FL and FR crossed"},
			[]string{"wrapped over", "turned half"},
		},
		{
			"wrapped over", func(by map[string]*inspect.Found) { by["FL"].Over = []string{"FR"} },
			[]string{"FL and FR wrapped over"},
			[]string{"crossed", "wrong seat,", "turned half"},
		},
		{
			"twisted", func(by map[string]*inspect.Found) {
				for _, f := range by {
					f.Seat = 5 - f.Seat
				}
			},
			[]string{"turned half round", "twisted with its fitting"},
			[]string{"crossed", "WRONG SEAT"},
		},
		{"not found", func(by map[string]*inspect.Found) { delete(by, "FL") }, []string{"not found", "Not all legs were found"}, []string{"crossed", "Every leg is"}},
	} {
		by := map[string]*inspect.Found{}
		found := inspect.AsRigged(r)
		for i := range found {
			by[found[i].Leg] = &found[i]
		}
		c.change(by)
		var list []inspect.Found
		for _, f := range found {
			if by[f.Leg] != nil {
				list = append(list, f)
			}
		}
		p := walk.Trace(r, inspect.Trace(r, list), 190, 190)
		fits(t, c.name, p, p.Frame())
		words := joined(p)
		for _, want := range c.words {
			if !strings.Contains(words, want) {
				t.Errorf("%s: the picture lacks %q: %s", c.name, want, words)
			}
		}
		// The note beneath names every line; it is left out of what must not be there.
		words, _, _ = strings.Cut(words, "Seen from before")
		for _, no := range c.not {
			if strings.Contains(words, no) {
				t.Errorf("%s: the picture says %q", c.name, no)
			}
		}
		grey := dashes(p.Items)
		for other, was := range looks {
			if was == grey {
				t.Errorf("%s and %s look alike without colour and words: %s", c.name, other, grey)
			}
		}
		looks[c.name] = grey
		keep(t, "found-"+strings.ReplaceAll(c.name, " ", "-"), p)
	}
	if len(looks) != 7 {
		t.Errorf("%d cases", len(looks))
	}
}

// dashes says which dashed and heavy lines, arcs and rings there are, without
// colour, place or words.
func dashes(items []draw.Item) string {
	var b strings.Builder
	for _, it := range items {
		switch x := it.(type) {
		case draw.Path:
			if s := x.Stroke; s.Visible() && (len(s.Dash) > 0 || s.Width >= 0.45) {
				b.WriteString(strings.Repeat("~", len(s.Dash)))
				for _, d := range s.Dash {
					b.WriteByte(byte('a' + int(4*d)))
				}
				if len(x.Segs) > 0 && x.Segs[len(x.Segs)-1].Op == draw.OpCubic {
					b.WriteString(")")
				}
				if len(x.Segs) > 4 && x.Segs[len(x.Segs)-1].Op == draw.OpClose {
					b.WriteString("o")
				}
				b.WriteString("|")
			}
		case *draw.Group:
			b.WriteString(dashes(x.Items))
		}
	}
	return b.String()
}

// TestTrace_CrossesWhereTheTraceSays: in the picture two legs cross exactly
// where tracing calls them crossed, for all ways of putting four legs into four
// seats.
func TestTrace_CrossesWhereTheTraceSays(t *testing.T) {
	r := demoNamed(t, "crate-off-centre").v.Rig
	n, knots := 0, 0
	var try func(seats []int, left []int)
	try = func(seats, left []int) {
		if len(left) > 0 {
			for i, s := range left {
				rest := append(append([]int{}, left[:i]...), left[i+1:]...)
				try(append(append([]int{}, seats...), s), rest)
			}
			return
		}
		n++
		found := inspect.AsRigged(r)
		for i := range found {
			found[i].Seat = seats[i]
		}
		tr := inspect.Trace(r, found)
		if len(tr.Twisted) > 0 {
			return
		}
		crossed := map[[2]string]bool{}
		for _, k := range tr.Pairs {
			crossed[[2]string{k.A, k.B}] = true
			knots++
		}
		lines := walk.Lines(r, tr, 190, 190)
		legs := r.Legs()
		for i := range legs {
			for k := i + 1; k < len(legs); k++ {
				pair := [2]string{legs[i].ID, legs[k].ID}
				if got := walk.Meet(lines[pair[0]], lines[pair[1]]); got != crossed[pair] {
					t.Errorf("seats %v: legs %v cross in the picture: %v, by tracing: %v", seats, pair, got, crossed[pair])
				}
			}
		}
	}
	try(nil, []int{1, 2, 3, 4})
	if n != 24 || knots < 10 {
		t.Errorf("%d ways tried, %d knots", n, knots)
	}
}
