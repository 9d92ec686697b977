package demo

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

var update = flag.Bool("update", false, "write docs/rigs/README.md")

const readme = "../../../docs/rigs/README.md"

const opening = `# The demo rigs

<!-- Made by go test ./internal/data/demo -update; do not edit. -->

**INVENTED.** Kestmoor Lift School, its huts, its equipment and its leaflets do not
exist. Every rating, length and stretch is made up for teaching and stands for no real
part.

The school supplies mountain huts by helicopter. Each rig is one of its loads and shows
one problem. As shipped, each hangs within the limits entered. Then one thing is done
wrong, and the same computation shows what that does. All numbers on this page are
computed by a test, from the files in ` + "`internal/data/demo/rigs`" + `.

Left, right and nose are the load's own. *Highest use* is the largest pull along any leg as a share of what its rating
allows, over every case the rig is judged by: as entered, each leg of a set that
statics leaves open a little longer and shorter, and as many legs as the rule entered
counts (see [how a number comes about](../method/statics.md)).

> ` + rig.Caution + `

`

func TestReadme(t *testing.T) {
	var b strings.Builder
	b.WriteString(opening)
	rigs := all(t)
	b.WriteString("| rig | problem |\n|---|---|\n")
	for _, d := range rigs {
		fmt.Fprintf(&b, "| [%s](#%s) | %s |\n", d.Name, d.Name, problem(t, hang(t, d)))
	}
	for i, d := range rigs {
		writeSection(t, &b, d, &mistakes[i])
	}
	if *update {
		if err := os.WriteFile(readme, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	if at := differs(string(have), b.String()); at != "" {
		t.Errorf("docs/rigs/README.md is out of date at %s; run go test ./internal/data/demo -update", at)
	}
}

func writeSection(t *testing.T, b *strings.Builder, d Rig, m *mistake) {
	planned := hang(t, d)
	r, said := m.wrong(t, planned.Rig)
	wrong := hung(t, d.Name, r)
	show := planned.Rig.Show()
	fmt.Fprintf(b, "\n## %s\n\n", d.Name)
	fmt.Fprintf(b, "%s. %s hanging on %s.\n\n", strings.Replace(planned.Rig.Title(), "INVENTED - ", "INVENTED: ", 1),
		show.Mass(planned.Rig.Weight()/quantity.StandardGravity), counted(len(planned.Legs), "leg"))
	fmt.Fprintf(b, "The problem: %s.\n\n", problem(t, planned))
	fmt.Fprintf(b, "| | as planned | %s |\n|---|---|---|\n", said)
	row := func(what string, say func(*rig.Answer) string) {
		fmt.Fprintf(b, "| %s | %s | %s |\n", what, say(planned), say(wrong))
	}
	row("status", func(a *rig.Answer) string { return a.Status.String() })
	row("result", func(a *rig.Answer) string { return "*" + a.Result.Words() + "*" })
	for i := range planned.Bodies {
		id := planned.Bodies[i].ID
		if planned.Rig.Bodies()[i].Shape.Kind == rig.NoShape {
			continue
		}
		row("attitude of "+id, func(a *rig.Answer) string { return attitude(show, &a.Bodies[i]) })
	}
	row("highest use", func(a *rig.Answer) string {
		l := most(a, func(l *rig.LegAnswer) float64 { return l.WorstUse() })
		text := show.Percent(l.WorstUse()) + ", leg " + l.ID
		if l.WorstCase != "" {
			text += ", " + l.WorstCase
		}
		return text
	})
	row("largest pull as entered", func(a *rig.Answer) string {
		l := most(a, func(l *rig.LegAnswer) float64 { return l.Tension })
		return show.Force(l.Tension) + ", leg " + l.ID
	})
	row("slack legs", func(a *rig.Answer) string {
		if ids := slack(a); len(ids) > 0 {
			return strings.Join(ids, ", ")
		}
		return "none"
	})
	if len(planned.Apexes) > 1 {
		for i, x := range planned.Apexes {
			row("pull on hook "+x.ID, func(a *rig.Answer) string { return show.Force(rig.Norm(a.Apexes[i].Force)) })
		}
	}
	if n := len(planned.Touches); n > 0 {
		row("largest press between two loads", func(a *rig.Answer) string {
			force := 0.0
			for _, c := range a.Touches {
				force = math.Max(force, c.Force)
			}
			return show.Force(force)
		})
	}
	row("slowest swing or twist", func(a *rig.Answer) string {
		if len(a.Modes) == 0 {
			return "none"
		}
		return show.Duration(1/a.Modes[0].Frequency) + " to and fro"
	})
	if wrong.Result != rig.Within {
		fmt.Fprintf(b, "\nWhat it says of the mistake: %s.\n", wrong.Reason)
	}
	fmt.Fprintf(b, "\n%s\n", m.why)
}

// most returns the leg with the largest measure, the first of those that are
// equal: legs alike by symmetry differ by rounding, which may not choose.
func most(a *rig.Answer, measure func(*rig.LegAnswer) float64) *rig.LegAnswer {
	best := &a.Legs[0]
	for i := range a.Legs {
		if measure(&a.Legs[i]) > measure(best)*(1+1e-6) {
			best = &a.Legs[i]
		}
	}
	return best
}

// attitude says how a body hangs in words.
func attitude(show quantity.System, b *rig.BodyAnswer) string {
	if !b.Joined {
		return "does not leave the ground"
	}
	if b.Tilt > math.Pi/2 {
		return "upside down, " + show.Angle(b.Tilt) + " from upright"
	}
	const level = 0.05 * math.Pi / 180 // prints as 0.0 deg
	side := func(x float64, plus, minus string) string {
		switch {
		case x > level:
			return show.Angle(x) + " " + plus
		case x < -level:
			return show.Angle(-x) + " " + minus
		}
		return ""
	}
	nose := side(b.Pitch, "nose up", "nose down")
	roll := side(b.Roll, "right side low", "left side low")
	switch {
	case nose == "" && roll == "":
		return "level"
	case nose == "" || roll == "":
		return nose + roll
	}
	return nose + ", " + roll
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

// differs returns where two texts part, "" where they say the same. Numbers may
// differ by one in their last place: processors round differently, and a value
// on the edge prints either way.
func differs(have, want string) string {
	h, w := strings.Split(have, "\n"), strings.Split(want, "\n")
	if len(h) != len(w) {
		return fmt.Sprintf("its length: %d lines, want %d", len(h), len(w))
	}
	for i := range h {
		a, b := strings.Fields(h[i]), strings.Fields(w[i])
		same := len(a) == len(b)
		for k := 0; same && k < len(a); k++ {
			same = a[k] == b[k] || nearly(a[k], b[k])
		}
		if !same {
			return fmt.Sprintf("line %d: %q, want %q", i+1, h[i], w[i])
		}
	}
	return ""
}

func nearly(a, b string) bool {
	_, da, _ := strings.Cut(a, ".")
	_, db, _ := strings.Cut(b, ".")
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	return errX == nil && errY == nil && len(da) == len(db) && math.Abs(x-y) < 1.5*math.Pow10(-len(da))
}

func TestReadme_DifferenceIsSeen(t *testing.T) {
	for _, c := range []struct {
		name, have, want string
		same             bool
	}{
		{"the same", "a 1.0 deg\nb", "a 1.0 deg\nb", true},
		{"one in the last place", "a 1.0 deg", "a 1.1 deg", true},
		{"two in the last place", "a 1.0 deg", "a 1.2 deg", false},
		{"another precision", "a 1.0 deg", "a 1.00 deg", false},
		{"another word", "a 1.0 deg up", "a 1.0 deg down", false},
		{"a word more", "a b", "a b c", false},
		{"a line more", "a", "a\n", false},
	} {
		if got := differs(c.have, c.want) == ""; got != c.same {
			t.Errorf("%s: taken for the same %v, want %v", c.name, got, c.same)
		}
	}
}
