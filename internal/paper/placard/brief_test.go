package placard_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/brief/brieffile"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	paper "hangtrue/internal/paper/placard"
)

var shots = flag.String("shots", "", "folder to write the papers to")

var stamp = paper.Stamp{
	Date: "2026-11-25", Rig: strings.Repeat("0123456789abcdef", 4), Brief: strings.Repeat("fedcba9876543210", 4),
	Aircraft: strings.Repeat("00112233445566ff", 4), File: "crate.yaml", Tool: "hangtrue 0.0.0-test",
}

func hang(t *testing.T, name, text string) *rig.Answer {
	t.Helper()
	r, problems := rigfile.Read([]byte(text))
	if r == nil {
		t.Fatalf("%s: %v", name, problems)
	}
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return a
}

func craft(t *testing.T, name string) *lift.Aircraft {
	t.Helper()
	for _, f := range aircraft.Files() {
		if f.Name == name {
			a, problems := aircraftfile.Read(f.Data)
			if a == nil {
				t.Fatal(problems)
			}
			return a
		}
	}
	t.Fatalf("no aircraft %s", name)
	return nil
}

// entered is the demo brief.
func entered(t *testing.T) brief.Entered {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "data", "demo", "briefs", "trailer-front-and-rear.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	e, problems := brieffile.Read(data)
	if e == nil {
		t.Fatal(problems)
	}
	return *e
}

// crowd is a rig of n boxes on two legs each.
func crowd(n int) string {
	var b strings.Builder
	b.WriteString("format: hangtrue.rig/1\ntitle: " + strings.Repeat("a long title ", 9) + "\nbodies:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {id: D%d, shape: {box: [0.6 m, 0.6 m, 0.6 m]}, mass: 100 kg, at: [0 m, %d m, 0 m], points: {F: [0.25 m, 0 m, 0.6 m], R: [-0.25 m, 0 m, 0.6 m]}}\n", i, i)
	}
	b.WriteString("legs:\n")
	for i := range n {
		for _, end := range []string{"F", "R"} {
			fmt.Fprintf(&b, "  - {id: D%d%s, to: D%d.%s, length: 5 m, stretch: 3 %% at 20 kN, rated: 0.3 kN}\n", i, end, i, end)
		}
	}
	return b.String()
}

const plain = `format: hangtrue.rig/1
title: A crate
bodies:
  - {id: crate, shape: {box: [2 m, 1 m, 1 m]}, mass: 800 kg, cg: [0.2 m, 0 m, 0.4 m], points: {F: [0.9 m, 0 m, 1 m], R: [-0.9 m, 0 m, 1 m], low: [0 m, 0 m, 0 m]}}
legs:
  - {id: F, to: crate.F, length: 4 m, stretch: 3 % at 20 kN}
  - {id: R, to: crate.R, length: 4 m, stretch: 3 % at 20 kN}
`

// longest is a brief with every text as long as the format takes.
func longest(t *testing.T) brief.Entered {
	t.Helper()
	fill := func(n int) string { return strings.TrimSpace(strings.Repeat("a word or two ", n)[:n-1]) }
	typed := map[string]string{}
	for _, p := range strings.Fields("equipment wand discharge approach exit wind obstacles rally night radio lost-communications") {
		typed["team."+p] = fill(600)
	}
	for _, e := range brief.Emergencies() {
		typed["emergencies."+string(e)] = fill(300) + strings.Repeat("\nx", 11)
	}
	for i := range 12 {
		typed[fmt.Sprintf("team.roles[%d].role", i)] = fill(60)
		typed[fmt.Sprintf("team.roles[%d].does", i)] = fill(300)
		typed[fmt.Sprintf("goods[%d].class", i)] = fill(40)
		typed[fmt.Sprintf("goods[%d].name", i)] = fill(160)
	}
	for i := range 16 {
		typed[fmt.Sprintf("team.signals[%d].signal", i)] = fill(120)
		typed[fmt.Sprintf("team.signals[%d].means", i)] = fill(160)
	}
	typed["title"], typed["jettison-area"] = fill(120), strings.Repeat("W", 600)
	typed["authority.name"], typed["authority.reference"] = fill(160), strings.Repeat("W", 160)
	data, _ := brieffile.Write(typed)
	e, problems := brieffile.Read(data)
	if e == nil {
		t.Fatal(problems)
	}
	return *e
}

// briefs are the demo rigs with nothing entered, one with all, and awkward ones.
func briefs(t *testing.T) map[string]*brief.Brief {
	t.Helper()
	out := map[string]*brief.Brief{}
	for _, d := range demo.Rigs() {
		out[d.Name] = brief.Of(brief.Input{Rig: hang(t, d.Name, string(d.Data)), Aircraft: craft(t, "twin")})
		if d.Name == "trailer-front-and-rear" {
			in := brief.Input{Rig: hang(t, d.Name, string(d.Data)), Aircraft: craft(t, "twin"), Entered: entered(t), Today: time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC)}
			c := *in.Entered.Conditions
			c.Hooks, c.Fitting = in.Entered.Hooks, lift.Fitting{Kind: in.Entered.Fitting.Kind, Ring: in.Entered.Fitting.Ring}
			q, problems := c.Ask(in.Aircraft, in.Rig)
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			in.Lift, problems = lift.Carry(q)
			if in.Lift == nil {
				t.Fatal(problems)
			}
			out["all entered"] = brief.Of(in)
		}
	}
	if len(out) < 12 {
		t.Fatalf("%d briefs", len(out))
	}
	out["nothing"] = brief.Of(brief.Input{Rig: hang(t, "plain", plain)})
	out["crowd"] = brief.Of(brief.Input{Rig: hang(t, "crowd", crowd(8)), Entered: longest(t)})
	authority := brief.Entered{
		Authority: brief.Authority{Name: "A. Person", Reference: "letter 12", Rig: stamp.Rig[:8]},
		TestLift:  brief.Record{On: time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), By: "B. Person", Record: "log 44"},
	}
	out["under an authority"] = brief.Of(brief.Input{Rig: hang(t, "plain", plain), Version: stamp.Rig, Entered: authority})
	return out
}

type written struct {
	s    string
	size float64
	box  draw.Rect
}

func texts(items []draw.Item, at draw.Transform) []written {
	var out []written
	for _, it := range items {
		switch x := it.(type) {
		case draw.Text:
			o, w := x.Origin(), x.Width(x.S)
			turn := draw.Transform{Move: o, Rotate: x.Rotate}
			var corners []draw.Point
			for _, c := range []draw.Point{{X: 0, Y: -draw.CapHeight * x.Size}, {X: w, Y: -draw.CapHeight * x.Size}, {X: w, Y: draw.Descent * x.Size}, {X: 0, Y: draw.Descent * x.Size}} {
				corners = append(corners, at.Apply(turn.Apply(c)))
			}
			out = append(out, written{x.S, x.Size * at.Factor(), draw.Around(corners...)})
		case *draw.Group:
			out = append(out, texts(x.Items, x.Transform.Then(at))...)
		}
	}
	return out
}

func joined(list []written) string {
	var all []string
	for _, w := range list {
		all = append(all, w.s)
	}
	return strings.Join(all, " ")
}

// each calls f for every page of every paper of every brief.
func each(t *testing.T, f func(name string, k paper.Kind, b *brief.Brief, p *draw.Picture)) {
	t.Helper()
	n := 0
	for name, b := range briefs(t) {
		for _, k := range paper.Kinds() {
			pages := paper.Of(k, b, stamp)
			if k == paper.Placard && len(pages) != 1 {
				t.Errorf("%s: the placard has %d pages", name, len(pages))
			}
			for i, p := range pages {
				n++
				f(fmt.Sprintf("%s %s %d", name, k, i+1), k, b, p)
			}
		}
	}
	if n < 3*15 {
		t.Fatalf("%d pages", n)
	}
}

func TestPages_NothingLeavesThemOrLiesOnAnother(t *testing.T) {
	pairs := 0
	each(t, func(name string, _ paper.Kind, _ *brief.Brief, p *draw.Picture) {
		if *shots != "" {
			f, err := os.Create(filepath.Join(*shots, strings.ReplaceAll(name, " ", "-")+".pdf"))
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			if err := pdf.Write(f, p, pdf.Meta{}); err != nil {
				t.Error(err)
			}
		}
		page := draw.Rect{X: 9, Y: 9, W: 192, H: 279}
		list := texts(p.Items, draw.Transform{})
		for i, w := range list {
			if !page.Holds(w.box) {
				t.Errorf("%s: %q at %v leaves the page's margins", name, w.s, w.box)
			}
			for _, o := range list[:i] {
				pairs++
				if w.box.Inset(0.01).Overlaps(o.box) {
					t.Errorf("%s: %q and %q overlap", name, w.s, o.s)
				}
			}
		}
	})
	if pairs < 10000 {
		t.Errorf("%d pairs of texts compared", pairs)
	}
}

// The status is the first thing on each page and larger than any figure.
func TestPages_StatusOverEveryNumber(t *testing.T) {
	n := 0
	each(t, func(name string, _ paper.Kind, b *brief.Brief, p *draw.Picture) {
		list := texts(p.Items, draw.Transform{})
		status := written{}
		for _, w := range list {
			if strings.HasPrefix(strings.ToUpper(b.Status.String()), w.s) && w.size > status.size {
				status = w
			}
		}
		for _, w := range list {
			if strings.ContainsAny(w.s, "0123456789") {
				n++
				if status.s == "" || w.size >= status.size || w.box.Y < status.box.Y {
					t.Errorf("%s: %q in %g mm against the status in %g mm", name, w.s, w.size, status.size)
				}
			}
		}
	})
	if n < 500 {
		t.Errorf("%d texts with figures looked at", n)
	}
}

func TestPages_SayWhatTheyMust(t *testing.T) {
	each(t, func(name string, k paper.Kind, b *brief.Brief, p *draw.Picture) {
		all := joined(texts(p.Items, draw.Transform{}))
		must := []string{rig.Caution, "Rig version " + stamp.Rig[:16] + " · brief version " + stamp.Brief[:16] + " · aircraft version " + stamp.Aircraft[:16], "After any change of one of them this paper is void", k.Words()}
		switch {
		case b.Invented:
			must = append(must, "INVENTED", "not to be signed")
		case b.Draft():
			must = append(must, "not to be signed")
		default:
			must = append(must, "Inspected by")
		}
		if b.Draft() {
			must = append(must, "DRAFT")
		}
		if b.Draft() && b.Status != rig.FollowsProcedure {
			must = append(must, "A static test lift clear of people, then a hover check by the operator, under a named authority, before any flight.")
		}
		for _, want := range must {
			if !strings.Contains(all, want) {
				t.Errorf("%s lacks %q", name, want)
			}
		}
		if got := strings.Contains(all, "DRAFT"); got != b.Draft() {
			t.Errorf("%s: marked DRAFT is %v", name, got)
		}
		for _, never := range []string{"safe", "OK", "passed", "cleared", "✓", "✔"} {
			if strings.Contains(all, never) {
				t.Errorf("%s says %q", name, never)
			}
		}
	})
}

func TestPlacard_EveryLegWithItsCount(t *testing.T) {
	n := 0
	each(t, func(name string, k paper.Kind, b *brief.Brief, p *draw.Picture) {
		if k != paper.Placard {
			return
		}
		list := texts(p.Items, draw.Transform{})
		for _, c := range b.Counts {
			n++
			largest := 0.0
			for _, w := range list {
				if w.s == c.Count {
					largest = max(largest, w.size)
				}
			}
			// 2.5 mm of capital on A4 is 1.8 on A5: the least that is read at arm's
			// length.
			if least := 2.5 / draw.CapHeight; largest < least {
				t.Errorf("%s: the count %s of %s is %g mm", name, c.Count, c.Leg, largest)
			}
			if !strings.Contains(joined(list), c.Leg) {
				t.Errorf("%s: no leg %s", name, c.Leg)
			}
		}
	})
	if n < 60 {
		t.Errorf("%d counts", n)
	}
}

func TestA5_IsTheSamePageMadeSmaller(t *testing.T) {
	p := paper.A5(paper.Of(paper.Placard, briefs(t)["all entered"], stamp)[0])
	if d := p.Width - 148.5; d > 0.1 || d < -0.1 || p.Height < 209.9 || p.Height > 210.1 {
		t.Errorf("A5 is %g by %g mm", p.Width, p.Height)
	}
	var out [2]bytes.Buffer
	for i := range out {
		if err := pdf.Write(&out[i], p, pdf.Meta{}); err != nil {
			t.Fatal(err)
		}
	}
	if out[0].Len() < 1000 || !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
		t.Errorf("%d and %d bytes, or they differ", out[0].Len(), out[1].Len())
	}
}
