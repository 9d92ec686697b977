package sheet_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/sheet"
)

var stamp = sheet.Stamp{
	Date:    "2026-11-25",
	Version: strings.Repeat("0123456789abcdef", 4),
	File:    "crate.yaml",
	Tool:    "hangtrue 0.0.0-test",
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

// crowd is a rig of n boxes on two legs each, all under one hook, so that
// nearly everything is over a limit or not entered.
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

// answers are the demo rigs and the awkward ones.
func answers(t *testing.T) map[string]*rig.Answer {
	t.Helper()
	out := map[string]*rig.Answer{}
	for _, d := range demo.Rigs() {
		out[d.Name] = hang(t, d.Name, string(d.Data))
	}
	if len(out) < 11 {
		t.Fatalf("%d demo rigs", len(out))
	}
	out["no ratings"] = hang(t, "no ratings", plain)
	out["a slack leg"] = hang(t, "a slack leg", plain+"  - {id: loose, to: crate.F, length: 6 m, stretch: 3 % at 20 kN}\n")
	one, _, _ := strings.Cut(strings.Replace(plain, "to: crate.F", "to: crate.low", 1), "  - {id: R")
	out["tipped"] = hang(t, "tipped", one)
	out["on no hook"] = hang(t, "on no hook", strings.Replace(plain, "legs:", "  - {id: box, shape: {box: [1 m, 1 m, 1 m]}, mass: 80 kg, at: [0 m, 2 m, 0 m], points: {top: [0 m, 0 m, 1 m]}}\nlegs:", 1))
	out["crowd"] = hang(t, "crowd", crowd(8))
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

// joined is all the words of a sheet, line ends as spaces.
func joined(list []written) string {
	var all []string
	for _, w := range list {
		all = append(all, w.s)
	}
	return strings.Join(all, " ")
}

// TestRig_FitsOnePage: nothing leaves the margins, no text lies on another.
func TestRig_FitsOnePage(t *testing.T) {
	n := 0
	for name, a := range answers(t) {
		p := sheet.Rig(a, stamp)
		if p.Width != 210 || p.Height != 297 {
			t.Errorf("%s: %g by %g mm", name, p.Width, p.Height)
		}
		var out bytes.Buffer
		if err := pdf.Write(&out, p, pdf.Meta{Title: p.Title}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		page := draw.Rect{X: 11, Y: 11, W: 188, H: 275}
		list := texts(p.Items, draw.Transform{})
		for i, w := range list {
			if !page.Holds(w.box) {
				t.Errorf("%s: %q at %v leaves the page's margins", name, w.s, w.box)
			}
			for _, o := range list[:i] {
				n++
				if w.box.Inset(0.01).Overlaps(o.box) {
					t.Errorf("%s: %q and %q overlap", name, w.s, o.s)
				}
			}
		}
	}
	if n < 16*1000 {
		t.Errorf("%d pairs of texts compared", n)
	}
}

// TestRig_StatusOverEveryNumber: the status is the first thing on the page and
// larger than any text with a figure in it.
func TestRig_StatusOverEveryNumber(t *testing.T) {
	n := 0
	for name, a := range answers(t) {
		list := texts(sheet.Rig(a, stamp).Items, draw.Transform{})
		status := written{}
		for _, w := range list {
			if strings.HasPrefix(strings.ToUpper(a.Status.String()), w.s) && w.size > status.size {
				status = w
			}
		}
		if status.s == "" {
			t.Errorf("%s: no status", name)
			continue
		}
		for _, w := range list {
			if !strings.ContainsAny(w.s, "0123456789") {
				continue
			}
			n++
			if w.size >= status.size || w.box.Y < status.box.Y {
				t.Errorf("%s: %q in %g mm is as large as the status in %g mm or stands over it", name, w.s, w.size, status.size)
			}
		}
	}
	if n < 16*15 {
		t.Errorf("%d texts with figures looked at", n)
	}
}

func TestRig_SaysWhatItMust(t *testing.T) {
	n := 0
	for name, a := range answers(t) {
		all := joined(texts(sheet.Rig(a, stamp).Items, draw.Transform{}))
		must := []string{
			rig.Caution, stamp.Date, stamp.File, stamp.Tool, stamp.Version, "After any change it is void",
			strings.ToUpper(a.Result.Words()[:1]) + a.Result.Words()[1:] + ": ",
		}
		if d := a.Status.Draft(); d != "" {
			must = append(must, d[1:])
		}
		for i := range a.Legs {
			if i < 11 {
				must = append(must, " "+a.Legs[i].ID+" ")
			}
		}
		if len(a.Missing) > 0 {
			must = append(must, "Not entered: "+a.Missing[0])
		}
		for _, want := range must {
			n++
			if !strings.Contains(all, want) {
				t.Errorf("%s: the sheet lacks %q", name, want)
			}
		}
		if got := strings.Contains(all, "INVENTED"); got != a.Rig.Invented() {
			t.Errorf("%s: marked INVENTED is %v", name, got)
		}
		// The words that a sheet never says of a load.
		for _, never := range []string{"safe", "OK", "passed", "cleared", "✓", "✔"} {
			if strings.Contains(all, never) {
				t.Errorf("%s: the sheet says %q", name, never)
			}
		}
	}
	if n < 16*10 {
		t.Errorf("%d sentences looked for", n)
	}
}

func TestRig_AwkwardOnes(t *testing.T) {
	all := answers(t)
	for _, c := range []struct {
		name string
		want []string
	}{
		{"no ratings", []string{"Cannot tell: ", "not rated"}},
		{"a slack leg", []string{"loose", "slack"}},
		{"tipped", []string{"Does not stand: "}},
		{"on no hook", []string{"Does not stand: ", "joined to no hook", "box  80.0 kg on no hook"}},
		// 8 bodies and 16 legs are more than the tables have rows
		{"crowd", []string{"and 3 more", "and 5 more", "which the full answer lists"}},
		{"trailer-front-and-rear", []string{"lbf", "2600 lb", "FOLLOWS AN APPROVED PROCEDURE", "leaflet 7"}},
		{"drums-side-by-side", []string{"OUTSIDE WHAT ITS PROCEDURE COVERS"}},
	} {
		text := joined(texts(sheet.Rig(all[c.name], stamp).Items, draw.Transform{}))
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the sheet lacks %q:\n%s", c.name, want, text)
			}
		}
	}
}

func TestRig_SameInput_SameBytes(t *testing.T) {
	var out [2]bytes.Buffer
	for i := range out {
		p := sheet.Rig(hang(t, "plain", plain), stamp)
		if err := pdf.Write(&out[i], p, pdf.Meta{Title: p.Title}); err != nil {
			t.Fatal(err)
		}
	}
	if out[0].Len() < 1000 || !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
		t.Errorf("two sheets of one rig: %d and %d bytes, or they differ", out[0].Len(), out[1].Len())
	}
}
