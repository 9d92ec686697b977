package walk_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/part/catalogfile"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/walk"
)

// demoCount is how many demo rigs there must be at least for a loop over them
// to mean anything.
const demoCount = 11

// walked is a rig with its survey and the sequence made from it.
type walked struct {
	name string
	v    *inspect.Survey
	q    *inspect.Sequence
}

func read(t testing.TB, name string, data []byte, c *part.Catalog) walked {
	t.Helper()
	r, problems := rigfile.Read(data)
	if r == nil {
		t.Fatalf("%s: %v", name, problems)
	}
	v, wrong := inspect.Of(r, c)
	if len(wrong) > 0 {
		t.Fatalf("%s: %v", name, wrong)
	}
	return walked{name, v, inspect.Suggest(v)}
}

func demos(t testing.TB) []walked {
	t.Helper()
	c := catalog.Shipped()
	var out []walked
	for _, d := range demo.Rigs() {
		out = append(out, read(t, d.Name, d.Data, c))
	}
	if len(out) < demoCount {
		t.Fatalf("%d demo rigs, want at least %d", len(out), demoCount)
	}
	return out
}

func demoNamed(t testing.TB, name string) walked {
	t.Helper()
	for _, d := range demos(t) {
		if d.name == name {
			return d
		}
	}
	t.Fatalf("there is no demo rig %s", name)
	return walked{}
}

// wordy are rigs and a catalogue in which everything that a person can write
// is as long as it can be, or there is as much of it as will be.
func wordy(t testing.TB) []walked {
	t.Helper()
	long := strings.Repeat("a very long name of many words ", 20)
	// As long as a catalogue file takes them.
	name, text := long[:79], long[:299]
	id := strings.Repeat("ID", 24)
	// So many questions of one part that they go over a page's end.
	var kind strings.Builder
	kind.WriteString(`format: hangtrue.catalog/1
title: long
kinds:
  long:
    name: ` + name + `
    each: body
    source: common practice, no source
    attributes:
`)
	for i := range 24 {
		fmt.Fprintf(&kind, `      a%d:
        ask: %s
        see: [look, touch, pull, count, trace, measure]
        good: there
        ends: [foul]
        act: put-right
        plant: by-hand
        states:
          there: %s
          gone:
            text: %s
            hazard: nobody sees it
`, i, text, strings.Repeat("unbroken", 37), text)
	}
	own := catalogfile.File{Name: "long.yaml", Data: strings.NewReader(kind.String())}
	c, problems := catalogfile.Load(append(catalog.Files(), own)...)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var b strings.Builder
	b.WriteString("format: hangtrue.rig/1\ntitle: " + long[:119] + "\nbodies:\n")
	for i := range 8 {
		fmt.Fprintf(&b, "  - {id: %s%d, shape: {box: [0.6 m, 0.6 m, 0.6 m]}, mass: 100 kg, at: [0 m, %d m, 0 m], points: {%s: [0.25 m, 0 m, 0.6 m], R: [-0.25 m, 0 m, 0.6 m]}}\n", id, i, i, id)
	}
	b.WriteString("legs:\n")
	for i := range 8 {
		for k, end := range []string{id, "R"} {
			fmt.Fprintf(&b, "  - {id: %sD%d%d, to: %s%d.%s, rope: {length: 5 m, stretch: 3 %% at 20 kN}, chain: {links: 80, pitch: 28 mm, stretch: 0.3 %% at 20 kN}, count: %d, seat: %d, rated: 0.3 kN}\n", id, i, k, id, i, end, 60+i, 2*i+k+1)
		}
	}
	crowd := read(t, "crowd", []byte(b.String()), c)
	for i := range crowd.q.Checkpoints {
		x := &crowd.q.Checkpoints[i]
		x.ID, x.Title, x.Note, x.Reference = fmt.Sprintf("%s%d", id, i), long, long+strings.Repeat("x", 700), long
	}
	crowd.q.Title, crowd.q.Source = long, long

	const tiny = `format: hangtrue.rig/1
bodies: [{id: b, mass: 1 kg, cg: [0 m, 0 m, 0 m], points: {p: [0 m, 0 m, 0 m]}}]
legs: [{id: l, to: b.p, length: 1 m, stretch: 1 % at 1 kN}]
`
	empty := read(t, "nothing asked", demo.Rigs()[0].Data, c)
	empty.q = &inspect.Sequence{Checkpoints: []inspect.Checkpoint{{ID: "c01", Title: "nothing", Stand: inspect.StandHere, Looks: []inspect.Look{{Part: "none"}}}}}
	return []walked{crowd, read(t, "tiny", []byte(tiny), c), empty}
}

// keep writes a picture into the folder named by HANGTRUE_WALK, for a person to
// look at.
func keep(t *testing.T, name string, p *draw.Picture) {
	t.Helper()
	dir := os.Getenv("HANGTRUE_WALK")
	if dir == "" {
		return
	}
	f, err := os.Create(filepath.Join(dir, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, p, 90); err != nil {
		t.Fatal(err)
	}
}

// written is a text of a picture, with the room it takes from the caps to the
// descenders.
type written struct {
	s      string
	size   float64
	inside bool // an embedded picture, which is clipped
	box    draw.Rect
}

func texts(items []draw.Item, at draw.Transform, inside bool) []written {
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
			out = append(out, written{x.S, x.Size * at.Factor(), inside, draw.Around(corners...)})
		case *draw.Group:
			out = append(out, texts(x.Items, x.Transform.Then(at), inside || x.Clip != nil)...)
		}
	}
	return out
}

func textsOf(p *draw.Picture) []written { return texts(p.Items, draw.Transform{}, false) }

// joined is all the words of some pages, line ends as spaces.
func joined(pages ...*draw.Picture) string {
	var all []string
	for _, p := range pages {
		for _, w := range textsOf(p) {
			all = append(all, w.s)
		}
	}
	return strings.Join(all, " ")
}

// groups lists the titles of a picture's groups.
func groups(items []draw.Item) []string {
	var out []string
	for _, it := range items {
		if g, ok := it.(*draw.Group); ok {
			out = append(out, g.Title)
			out = append(out, groups(g.Items)...)
		}
	}
	return out
}

// fits checks that a picture can be drawn, that nothing leaves the area, and
// that no text lies on another. It returns how many pairs it compared.
func fits(t *testing.T, name string, p *draw.Picture, area draw.Rect) int {
	t.Helper()
	if err := p.Check(); err != nil {
		t.Errorf("%s: %v", name, err)
	}
	if b := p.Bounds(); !p.Frame().Inset(-0.01).Holds(b) {
		t.Errorf("%s: what is drawn reaches over the page: %v", name, b)
	}
	n := 0
	list := textsOf(p)
	for i, w := range list {
		if w.inside {
			continue
		}
		if !area.Holds(w.box) {
			t.Errorf("%s: %q at %v leaves the page's margins", name, w.s, w.box)
		}
		for _, o := range list[:i] {
			if o.inside {
				continue
			}
			n++
			// The halo of a label may touch the next; the letters may not.
			if w.box.Inset(0.15).Overlaps(o.box.Inset(0.15)) {
				t.Errorf("%s: %q and %q overlap", name, w.s, o.s)
			}
		}
	}
	return n
}

// never are words that no paper of ours says of a load.
var never = regexp.MustCompile(`(?i)\bsafe\b|\bok\b|\bcleared\b|ready to lift|✓|✔`)

func saysNothingForbidden(t *testing.T, name string, p *draw.Picture) {
	t.Helper()
	for _, s := range append(groups(p.Items), p.Title, p.Desc, joined(p)) {
		if found := never.FindString(s); found != "" {
			t.Errorf("%s: it says %q in %q", name, found, s)
		}
	}
}

func marked(t *testing.T, d walked, p *draw.Picture) {
	t.Helper()
	if got := strings.Contains(joined(p), "INVENTED"); got != d.v.Rig.Invented() && !strings.Contains(d.v.Rig.Title(), "INVENTED") {
		t.Errorf("%s: marked INVENTED is %v", d.name, got)
	}
	if d.v.Rig.Invented() && !strings.HasPrefix(p.Desc, "INVENTED") {
		t.Errorf("%s: the description does not begin with INVENTED: %.40q", d.name, p.Desc)
	}
}

func TestMap_ShowsEveryStation(t *testing.T) {
	compared, drawn := 0, 0
	for _, d := range append(demos(t), wordy(t)...) {
		for _, size := range [][2]float64{{210, 210}, {100, 130}} {
			p := walk.Map(d.v, d.q, size[0], size[1])
			compared += fits(t, fmt.Sprintf("map of %s, %v", d.name, size), p, p.Frame())
			saysNothingForbidden(t, d.name, p)
			marked(t, d, p)
			stations := d.v.Stations(d.q)
			var got []string
			for _, g := range groups(p.Items) {
				if n, ok := strings.CutPrefix(g, "station "); ok {
					got = append(got, n)
				}
			}
			var want []string
			for _, s := range stations {
				want = append(want, fmt.Sprint(s.Number))
			}
			drawn += len(got)
			if !slices.Equal(got, want) {
				t.Errorf("%s: stations %v, want %v", d.name, got, want)
			}
			if size[0] == 210 {
				keep(t, "map-"+d.name, p)
			}
		}
	}
	if compared < 5000 || drawn < 250 {
		t.Errorf("%d pairs of texts and %d stations looked at", compared, drawn)
	}
}

func TestCoverage_ACheckpointTakenOutShows(t *testing.T) {
	compared, listed := 0, 0
	for _, d := range append(demos(t), wordy(t)...) {
		all := inspect.Cover(d.v, d.q)
		p := walk.Coverage(d.v, all, 297, 210)
		compared += fits(t, "coverage of "+d.name, p, p.Frame())
		saysNothingForbidden(t, d.name, p)
		marked(t, d, p)
		if !strings.Contains(joined(p), all.Claim()) {
			t.Errorf("%s: the claim is not there as it is worded: %s", d.name, joined(p))
		}
		keep(t, "coverage-"+d.name, p)
		if len(all.Uncovered) > 0 {
			continue // nothing to take out
		}
		for i := range d.q.Checkpoints {
			alone := all.OnlyBy(d.v, i)
			if len(alone) == 0 || i%3 > 0 || d.name == "crowd" && i%7 > 0 {
				continue
			}
			q := *d.q
			q.Checkpoints = slices.Delete(slices.Clone(q.Checkpoints), i, i+1)
			c := inspect.Cover(d.v, &q)
			less := walk.Coverage(d.v, c, 297, 210)
			compared += fits(t, fmt.Sprintf("coverage of %s without %d", d.name, i), less, less.Frame())
			words := joined(less)
			if !strings.Contains(words, c.Claim()) {
				t.Errorf("%s without %s: the claim is not there", d.name, d.q.Checkpoints[i].ID)
			}
			// Every part with something that is not asked about is marked.
			open := map[*inspect.Part]int{}
			for _, x := range alone {
				open[x.Part]++
			}
			titles := strings.Join(groups(less.Items), "; ")
			for part, n := range open {
				listed++
				if want := fmt.Sprintf("%s: %d of ", part.Name, n); !strings.Contains(titles, want) {
					t.Errorf("%s without %s: no mark says %q", d.name, d.q.Checkpoints[i].ID, want)
				}
			}
			if blackSquares(less.Items) == 0 || blackSquares(p.Items) > 0 {
				t.Errorf("%s without %s: %d black squares, and %d with all", d.name, d.q.Checkpoints[i].ID, blackSquares(less.Items), blackSquares(p.Items))
			}
			if strings.Contains(strings.Join(groups(p.Items), ""), "not asked about") {
				t.Errorf("%s: the full sequence has a mark of something not asked about", d.name)
			}
		}
	}
	if compared < 10000 || listed < 60 {
		t.Errorf("%d pairs of texts compared, %d parts looked for", compared, listed)
	}
}

// blackSquares counts the marks of what is not asked about, 4.8 mm wide; those
// of legend and list are smaller.
func blackSquares(items []draw.Item) int {
	n := 0
	for _, it := range items {
		switch x := it.(type) {
		case draw.Path:
			if b := x.Bounds(); x.Fill.Role == "ink" && b.W > 4.7 && b.H > 4.7 && b.W < 4.9 && b.H < 4.9 {
				n++
			}
		case *draw.Group:
			n += blackSquares(x.Items)
		}
	}
	return n
}
