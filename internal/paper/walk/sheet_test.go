package walk_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/walk"
	"hangtrue/internal/policy/extra"
)

var stamp = sheet.Stamp{
	Date:    "2026-11-25",
	Version: strings.Repeat("0123456789abcdef", 4),
	File:    "crate.yaml",
	Tool:    "hangtrue 0.0.0-test",
}

// margins are the page less what has to stay white.
var margins = draw.Rect{X: 11, Y: 11, W: 188, H: 275}

func TestSheet_NothingOverflows(t *testing.T) {
	compared, pages := 0, 0
	for _, d := range append(demos(t), wordy(t)...) {
		list := walk.Sheet(d.v, d.q, stamp, walk.Options{})
		for i, p := range list {
			pages++
			if p.Width != 210 || p.Height != 297 {
				t.Errorf("%s: page %d is %g by %g mm", d.name, i+1, p.Width, p.Height)
			}
			if d.name == "crowd" && i > 4 && i < len(list)-2 {
				continue // they are alike
			}
			compared += fits(t, fmt.Sprintf("sheet of %s, page %d", d.name, i+1), p, margins)
			saysNothingForbidden(t, d.name, p)
			marked(t, d, p)
			words := joined(p)
			for _, want := range []string{rig.Caution[:60], stamp.Version, stamp.Date, stamp.File, stamp.Tool, fmt.Sprintf("page %d of %d", i+1, len(list))} {
				if !strings.Contains(words, want) {
					t.Errorf("%s: page %d lacks %q", d.name, i+1, want)
				}
			}
		}
		if d.name == "crowd" || d.name == "drums-four-small" {
			keep(t, "first-"+d.name, list[0])
			keep(t, "second-"+d.name, list[1])
			keep(t, "third-"+d.name, list[2])
			keep(t, "last-"+d.name, list[len(list)-1])
		}
	}
	if compared < 100000 || pages < 120 {
		t.Errorf("%d pairs of texts on %d pages compared", compared, pages)
	}
}

// squeezed is a text without spaces, as line breaks may stand anywhere.
func squeezed(s string) string { return strings.ReplaceAll(s, " ", "") }

func TestSheet_AsksEverything(t *testing.T) {
	asked, titles, boxes := 0, 0, 0
	for _, d := range demos(t) {
		list := walk.Sheet(d.v, d.q, stamp, walk.Options{})
		words := squeezed(joined(list...))
		for i := range d.q.Checkpoints {
			c := &d.q.Checkpoints[i]
			titles++
			if !strings.Contains(words, squeezed(c.ID+"  "+c.Title)) {
				t.Errorf("%s: checkpoint %s %q is not on the sheet", d.name, c.ID, c.Title)
			}
			for _, task := range d.v.Tasks(c) {
				asked++
				want := squeezed(task.Attribute.Ask)
				if task.Attribute.Plan == part.PlanCount || task.Attribute.Plan == part.PlanMatched {
					want = squeezed("Planned: " + task.Planned)
				}
				if !strings.Contains(words, want) {
					t.Errorf("%s: %q is not on the sheet", d.name, want)
				}
			}
		}
		for _, s := range d.v.Stations(d.q) {
			if !strings.Contains(words, squeezed("Stand "+s.Text)) {
				t.Errorf("%s: the sheet does not say to stand %s", d.name, s.Text)
			}
		}
		c := inspect.Cover(d.v, d.q)
		for _, want := range []string{inspect.BeforeTheWalk, inspect.AnythingElse, c.Claim(), "right", "wrong", "can't tell", "Inspector's qualification", "Rigged by"} {
			if !strings.Contains(words, squeezed(want)) {
				t.Errorf("%s: the sheet lacks %q", d.name, want)
			}
		}
		if got := strings.Contains(words, squeezed("cannot be signed")); got != d.v.Rig.Invented() {
			t.Errorf("%s: says that it cannot be signed: %v", d.name, got)
		}
		for _, p := range list {
			boxes += squares(p.Items)
		}
	}
	if titles < 150 || asked < 1500 {
		t.Errorf("%d checkpoints, %d questions looked for", titles, asked)
	}
	if boxes != 3*asked {
		t.Errorf("%d boxes for %d questions, want three for each", boxes, asked)
	}
}

// squares counts the boxes to mark.
func squares(items []draw.Item) int {
	n := 0
	for _, it := range items {
		if p, ok := it.(draw.Path); ok && len(p.Segs) == 5 {
			if b := p.Bounds(); b.W > 4.39 && b.W < 4.41 && b.H > 4.39 && b.H < 4.41 {
				n++
			}
		}
	}
	return n
}

// TestSheet_StatusOverEveryNumber: on the first page the status stands above
// and is larger than every text with a figure in it.
func TestSheet_StatusOverEveryNumber(t *testing.T) {
	n := 0
	for _, d := range demos(t) {
		first := walk.Sheet(d.v, d.q, stamp, walk.Options{})[0]
		var status written
		for _, w := range textsOf(first) {
			if strings.HasPrefix(strings.ToUpper(d.v.Rig.Status().String()), w.s) && w.size > status.size {
				status = w
			}
		}
		if status.s == "" {
			t.Errorf("%s: no status", d.name)
			continue
		}
		for _, w := range textsOf(first) {
			if strings.ContainsAny(w.s, "0123456789") {
				n++
				if w.size >= status.size || w.box.Y < status.box.Y {
					t.Errorf("%s: %q in %g mm is as large as the status in %g mm or stands over it", d.name, w.s, w.size, status.size)
				}
			}
		}
	}
	if n < 100 {
		t.Errorf("%d texts with figures looked at", n)
	}
}

// TestSheet_BlindTellsNoCount: with every count of a rig made a number that is
// nowhere else, a blind sheet has none of them, in words or pictures; the other
// sheet has all.
func TestSheet_BlindTellsNoCount(t *testing.T) {
	d := demoNamed(t, "crate-off-centre")
	counts := map[string]int{"FL": 71, "FR": 72, "RL": 73, "RR": 74}
	r, err := d.v.Rig.WithCounts(counts)
	if err != nil {
		t.Fatal(err)
	}
	v, _ := inspect.Of(r, d.v.Catalog)
	// Counts are also in what is not asked about.
	short := *d.q
	short.Checkpoints = slices.DeleteFunc(slices.Clone(short.Checkpoints), func(c inspect.Checkpoint) bool { return c.Title == "Lower end of leg RR" })
	if len(short.Checkpoints) != len(d.q.Checkpoints)-1 {
		t.Fatal("no checkpoint was taken out")
	}
	number := regexp.MustCompile(`\b(66|6[7-9]|7[0-9])\b`)
	for name, q := range map[string]*inspect.Sequence{"whole": d.q, "with something not asked about": &short} {
		open, blind := walk.Sheet(v, q, stamp, walk.Options{}), walk.Sheet(v, q, stamp, walk.Options{Blind: true})
		if got := number.FindAllString(joined(open...), -1); len(got) < 8 {
			t.Errorf("%s: the open sheet has only the counts %v", name, got)
		}
		for i, p := range blind {
			for _, w := range textsOf(p) {
				if found := number.FindString(w.s); found != "" && w.s != stamp.Version {
					t.Errorf("%s: page %d of the blind sheet says %q", name, i+1, w.s)
				}
			}
		}
		if !strings.Contains(joined(blind...), "link found from the free end:") {
			t.Errorf("%s: the blind sheet has no room for a count", name)
		}
	}
}

func TestSheet_UncoveredIsListed(t *testing.T) {
	d := demoNamed(t, "drums-four-small")
	q := *d.q
	q.Checkpoints = slices.Clone(q.Checkpoints)[3:]
	c := inspect.Cover(d.v, &q)
	if len(c.Uncovered) < 3 {
		t.Fatalf("only %d uncovered", len(c.Uncovered))
	}
	words := squeezed(joined(walk.Sheet(d.v, &q, stamp, walk.Options{})...))
	for _, x := range c.Uncovered {
		text := strings.TrimPrefix(x.Text(), x.Part.Name+": ")
		if !strings.Contains(words, squeezed("– "+text)) {
			t.Errorf("the sheet does not list %q", x.Text())
		}
	}
	if !strings.Contains(words, squeezed(c.Claim())) {
		t.Error("the claim is not there")
	}
}

// TestSheet_AsPDF: the document has the pages that it says, and its words can be
// searched.
func TestSheet_AsPDF(t *testing.T) {
	extra.Need(t, "poppler")
	d := demoNamed(t, "trailer-front-and-rear")
	list := walk.Sheet(d.v, d.q, stamp, walk.Options{})
	var out [2]bytes.Buffer
	for i := range out {
		f := pdf.New(210, 297, pdf.Meta{Title: list[0].Title})
		for _, p := range list {
			f.AddPage()
			if err := pdf.Draw(f, p, 0, 0, 1); err != nil {
				t.Fatal(err)
			}
		}
		if err := f.Output(&out[i]); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
		t.Error("two sheets of one rig differ")
	}
	name := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(name, out[0].Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	info, err := exec.Command("pdfinfo", name).Output()
	if err != nil {
		t.Fatal(err)
	}
	if want := regexp.MustCompile(fmt.Sprintf(`(?m)^Pages: +%d$`, len(list))); !want.Match(info) {
		t.Errorf("want %d pages:\n%s", len(list), info)
	}
	text, err := exec.Command("pdftotext", "-layout", name, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for i := range list {
		if want := fmt.Sprintf("page %d of %d", i+1, len(list)); strings.Count(string(text), want+"\n") != 1 {
			t.Errorf("the document says %q not once", want)
		}
	}
}
