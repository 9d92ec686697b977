package picture_test

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/picture"
)

var update = flag.Bool("update", false, "write the golden files anew")

var views = []picture.View{picture.Side, picture.Front, picture.Top, picture.ThreeQuarter}

// pictures draws a rig from all sides: the named views, a thumbnail, some views
// turned at random, and the boards, hung and on the ground.
func pictures(s solved, turned int) map[string]*draw.Picture {
	out := map[string]*draw.Picture{}
	chance := rand.New(rand.NewPCG(1, 1))
	for _, ground := range []bool{false, true} {
		list := append([]picture.View{}, views...)
		for range turned {
			list = append(list, picture.View{Azimuth: chance.Float64()*360 - 180, Elevation: chance.Float64() * 60})
		}
		for i, v := range list {
			name := fmt.Sprintf("%s, view %d (%+v), ground %v", s.name, i, v, ground)
			out[name] = picture.Of(s.rig, s.answer, picture.Options{View: v, Ground: ground, Width: 210, Height: 210})
			out[name+", middling"] = picture.Of(s.rig, s.answer, picture.Options{View: v, Ground: ground})
		}
		out[fmt.Sprintf("%s, thumbnail, ground %v", s.name, ground)] = picture.Of(s.rig, s.answer, picture.Options{View: picture.ThreeQuarter, Ground: ground, Small: true, Bare: true, Width: 40, Height: 40})
		out[fmt.Sprintf("%s, board, ground %v", s.name, ground)] = picture.Board(s.rig, s.answer, ground)
	}
	return out
}

func TestEveryRig_DrawsOnEveryBackEnd(t *testing.T) {
	n := 0
	for _, s := range demoRigs(t) {
		for name, p := range pictures(s, 0) {
			if err := p.Check(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			n++
			if strings.HasSuffix(name, "middling") {
				continue
			}
			for format, write := range map[string]func(io.Writer) error{
				"svg": func(w io.Writer) error { return svg.Write(w, p, svg.Options{}) },
				"pdf": func(w io.Writer) error { return pdf.Write(w, p, pdf.Meta{Title: p.Title}) },
				"png": func(w io.Writer) error { return png.Encode(w, p, 25) },
			} {
				var out bytes.Buffer
				if err := write(&out); err != nil || out.Len() < 500 {
					t.Errorf("%s as %s: %d bytes, %v", name, format, out.Len(), err)
				}
			}
		}
	}
	// 4 views of two sizes, a thumbnail and a board, hung and on the ground
	if n < demoCount*20 {
		t.Errorf("%d pictures drawn", n)
	}
}

// TestTexts_NeverOverlap holds every text of a picture, captions, scale and
// dimensions included, against every other one and against the picture's edge.
func TestTexts_NeverOverlap(t *testing.T) {
	pairs := 0
	for _, s := range demoRigs(t) {
		for name, p := range pictures(s, 4) {
			list := texts(p.Items, draw.Transform{})
			for i, a := range list {
				if strings.HasPrefix(a.s, "no room") {
					t.Errorf("%s: %s", name, a.s)
				}
				if !p.Frame().Holds(a.box) {
					t.Errorf("%s: %q at %v leaves the picture", name, a.s, a.box)
				}
				for _, b := range list[:i] {
					pairs++
					// A hundredth of a millimetre is rounding.
					if a.box.Inset(0.01).Overlaps(b.box) {
						t.Errorf("%s: %q at %v and %q at %v overlap", name, a.s, a.box, b.s, b.box)
					}
				}
			}
		}
	}
	if pairs < 20000 {
		t.Errorf("%d pairs of texts compared", pairs)
	}
}

// TestTexts_LeftOutRatherThanOverlapping: eight bodies in one place have more
// names than there is room for; what is left out is counted.
func TestTexts_LeftOutRatherThanOverlapping(t *testing.T) {
	var b strings.Builder
	b.WriteString("format: hangtrue.rig/1\ntitle: Crowd\nbodies:\n")
	for i := range 8 {
		fmt.Fprintf(&b, "  - {id: D%d, shape: {box: [0.6 m, 0.6 m, 0.6 m]}, mass: 100 kg, at: [%d m, %d m, 0 m], points: {F: [0.25 m, 0 m, 0.6 m], R: [-0.25 m, 0 m, 0.6 m]}}\n", i, i%4, i/4)
	}
	b.WriteString("legs:\n")
	for i := range 8 {
		fmt.Fprintf(&b, "  - {id: D%dF, to: D%d.F, length: 5 m, stretch: 3 %% at 20 kN}\n  - {id: D%dR, to: D%d.R, length: 5 m, stretch: 3 %% at 20 kN}\n", i, i, i, i)
	}
	s := hang(t, "crowd", []byte(b.String()))
	p := picture.Board(s.rig, s.answer, false)
	left := 0
	list := texts(p.Items, draw.Transform{})
	for i, a := range list {
		if strings.HasPrefix(a.s, "no room for") {
			left++
		}
		for _, o := range list[:i] {
			if a.box.Inset(0.01).Overlaps(o.box) {
				t.Errorf("%q and %q overlap", a.s, o.s)
			}
		}
	}
	if left == 0 {
		t.Error("nothing is left out, so this rig shows nothing: make it more crowded")
	}
}

// TestBoard_NamesEveryLegAndBody: whatever is cut down, each leg stands in the
// table with its count and each body is named in every panel.
func TestBoard_NamesEveryLegAndBody(t *testing.T) {
	legs := 0
	for _, s := range demoRigs(t) {
		var all []string
		for _, w := range texts(picture.Board(s.rig, s.answer, false).Items, draw.Transform{}) {
			all = append(all, w.s)
		}
		joined := "\n" + strings.Join(all, "\n") + "\n"
		for i, l := range s.rig.Legs() {
			legs++
			if got := strings.Count(joined, "\n"+l.ID+"\n"); got < 3 {
				t.Errorf("%s: leg %s is named %d times, want it in the table and in views", s.name, l.ID, got)
			}
			if pull := s.rig.Show().Force(s.answer.Legs[i].Tension); !strings.Contains(joined, "\n"+pull+"\n") {
				t.Errorf("%s: the table lacks the pull of leg %s, %s", s.name, l.ID, pull)
			}
		}
		for _, b := range s.rig.Bodies() {
			if got := strings.Count(joined, b.ID+"  "+s.rig.Show().Mass(b.TotalMass())+"\n"); got != 4 {
				t.Errorf("%s: body %s is named %d times, want once in each of the four views", s.name, b.ID, got)
			}
		}
	}
	if legs < 40 {
		t.Errorf("%d legs looked at", legs)
	}
}

const crate = `format: hangtrue.rig/1
title: INVENTED - test crate
invented: yes
apex:
  - {id: apex, rated: 60 kN, hook: 30 kN}
bodies:
  - id: crate
    shape: {box: [2.4 m, 1.6 m, 1.4 m]}
    mass: 1400 kg
    cg: [0.3 m, 0.1 m, 0.5 m]
    heading: HEADING deg
    points: {FL: [1.1 m, 0.75 m, 1.4 m], FR: [1.1 m, -0.75 m, 1.4 m], RL: [-1.1 m, 0.75 m, 1.4 m], RR: [-1.1 m, -0.75 m, 1.4 m]}
legs:
  - {id: FL, to: crate.FL, length: 4 m, stretch: 5 % at 20 kN, rated: RATEDFL}
  - {id: FR, to: crate.FR, length: 4 m, stretch: 5 % at 20 kN, rated: 90 kN}
  - {id: RL, to: crate.RL, length: 4 m, stretch: 5 % at 20 kN, rated: 90 kN}
  - {id: RR, to: crate.RR, length: 4 m, stretch: 5 % at 20 kN}
`

func crateRig(t *testing.T, heading float64, rated string) solved {
	t.Helper()
	text := strings.ReplaceAll(strings.ReplaceAll(crate, "HEADING", fmt.Sprint(heading)), "RATEDFL", rated)
	return hang(t, "crate", []byte(text))
}

// TestLegs_StrokeByBand reads the stroke of a leg off its group.
func TestLegs_StrokeByBand(t *testing.T) {
	seen := map[look.Band]bool{}
	base := crateRig(t, 0, "90 kN")
	tension := base.answer.Legs[0].Tension
	if tension < 1000 {
		t.Fatalf("leg FL pulls %g N", tension)
	}
	for _, c := range []struct {
		share float64
		want  look.Band
	}{{0.3, look.BandLow}, {0.65, look.BandMid}, {0.95, look.BandHigh}, {1.3, look.BandOver}} {
		s := crateRig(t, 0, fmt.Sprintf("%.4f kN", tension/c.share/1000))
		p := picture.Of(s.rig, s.answer, picture.Options{View: picture.ThreeQuarter})
		g := group(p.Items, fmt.Sprintf("leg FL: %.0f %%", 100*c.share))
		if g == nil {
			t.Fatalf("no leg FL at %g", c.share)
		}
		if got := g.Items[0].(draw.Path).Stroke; !reflect.DeepEqual(got, c.want.Leg()) {
			t.Errorf("at %g of its rating the line is %+v, want %+v", c.share, got, c.want.Leg())
		}
		seen[c.want] = true
		unrated := group(p.Items, "leg RR: not rated")
		if unrated == nil {
			t.Fatal("no leg RR without a rating")
		}
		if got := unrated.Items[0].(draw.Path).Stroke; !reflect.DeepEqual(got, look.BandUnknown.Leg()) {
			t.Errorf("without a rating the line is %+v", got)
		}
	}
	if len(seen) != 4 {
		t.Errorf("%d bands seen", len(seen))
	}
}

// TestHeading_TurnsTheLoad: a rig that stands at a heading, looked at from as
// much further round, is the same picture.
func TestHeading_TurnsTheLoad(t *testing.T) {
	a := crateRig(t, 0, "90 kN")
	b := crateRig(t, 35, "90 kN")
	for _, ground := range []bool{false, true} {
		n := 0
		for _, az := range []float64{-90, 0, 20, 130} {
			pa := picture.Of(a.rig, a.answer, picture.Options{View: picture.View{Azimuth: az, Elevation: 15}, Ground: ground})
			pb := picture.Of(b.rig, b.answer, picture.Options{View: picture.View{Azimuth: az + 35, Elevation: 15}, Ground: ground})
			ga, gb := group(pa.Items, "body crate"), group(pb.Items, "body crate")
			if ga == nil || gb == nil || len(ga.Items) != len(gb.Items) || len(ga.Items) < 2 {
				t.Fatalf("azimuth %g: the bodies are drawn otherwise", az)
			}
			ca, cb := centred(ga), centred(gb)
			for i := range ca {
				n++
				// mm; both are solved to 1e-6 of the weight. On the ground the
				// patch of ground stays along the axes and changes the scale a
				// little, which centred takes out.
				if !near(ca[i], cb[i], 0.02) {
					t.Errorf("azimuth %g, ground %v: corner %d at %v and %v", az, ground, i, ca[i], cb[i])
				}
			}
		}
		if n < 30 {
			t.Errorf("%d corners compared", n)
		}
	}
}

// centred lists the corners of a group's paths relative to their middle, at the
// size where the group is 100 mm high.
func centred(g *draw.Group) []draw.Point {
	b := g.Bounds()
	var out []draw.Point
	for _, it := range g.Items {
		for _, seg := range it.(draw.Path).Segs {
			if seg.Op == draw.OpMove || seg.Op == draw.OpLine {
				out = append(out, seg.P[0].Sub(b.Center()).Mul(100/b.H))
			}
		}
	}
	return out
}

// TestWords reads the description, for those who cannot see the picture.
func TestWords(t *testing.T) {
	s := crateRig(t, 0, "90 kN")
	p := picture.Of(s.rig, s.answer, picture.Options{View: picture.Side})
	if want := "INVENTED - test crate, side view, as it hangs"; p.Title != want {
		t.Errorf("title %q, want %q", p.Title, want)
	}
	for _, want := range []string{"INVENTED. ", "crate: nose down ", "left side down ", "Leg FL ", "Leg RR not rated. ", "Result: cannot tell."} {
		if !strings.Contains(p.Desc, want) {
			t.Errorf("the description lacks %q: %s", want, p.Desc)
		}
	}
	g := picture.Of(s.rig, nil, picture.Options{View: picture.View{Azimuth: 10, Elevation: 5}, Ground: true})
	if want := "INVENTED - test crate, seen from 10 deg, 5 deg up, on the ground"; g.Title != want {
		t.Errorf("title %q, want %q", g.Title, want)
	}
	if want := "INVENTED. On the ground: crate 1400 kg."; g.Desc != want {
		t.Errorf("description %q, want %q", g.Desc, want)
	}
	b := picture.Board(s.rig, s.answer, false)
	if want := "INVENTED - test crate, four views, as it hangs"; b.Title != want {
		t.Errorf("title %q, want %q", b.Title, want)
	}
}

// TestInvented: demo data is marked on every picture, thumbnails too.
func TestInvented(t *testing.T) {
	n := 0
	for _, s := range demoRigs(t) {
		for name, p := range pictures(s, 0) {
			n++
			marked := 0
			for _, w := range texts(p.Items, draw.Transform{}) {
				if w.s == "INVENTED" {
					marked++
				}
			}
			if marked != 1 {
				t.Errorf("%s: marked INVENTED %d times, want once", name, marked)
			}
		}
	}
	if n < demoCount*20 {
		t.Errorf("%d pictures looked at", n)
	}
}

func TestUnjoined_IsDrawnOnItsGround(t *testing.T) {
	s := hang(t, "unjoined", []byte(strings.Replace(strings.Replace(strings.ReplaceAll(strings.ReplaceAll(crate, "HEADING", "0"), "RATEDFL", "90 kN"),
		"legs:", "  - {id: box, shape: {box: [1 m, 1 m, 1 m]}, mass: 90 kg, at: [0 m, 3 m, 0 m], points: {top: [0 m, 0 m, 1 m]}}\nlegs:", 1), "test crate", "crate and a box", 1)))
	p := picture.Of(s.rig, s.answer, picture.Options{View: picture.Front})
	found := false
	for _, w := range texts(p.Items, draw.Transform{}) {
		found = found || w.s == "on no hook"
	}
	if !found || !strings.Contains(p.Desc, "box: joined to no hook. ") {
		t.Errorf("the box on the ground is not named as such: %s", p.Desc)
	}
}

func TestSameInput_SameBytes(t *testing.T) {
	for _, name := range []string{"drums-four-small", "racks-shared-loops"} {
		var bytesOf [2][]byte
		for i := range bytesOf {
			s := demoRig(t, name)
			var out bytes.Buffer
			if err := svg.Write(&out, picture.Board(s.rig, s.answer, false), svg.Options{}); err != nil {
				t.Fatal(err)
			}
			bytesOf[i] = out.Bytes()
		}
		if !bytes.Equal(bytesOf[0], bytesOf[1]) {
			t.Errorf("%s: the second drawing differs from the first", name)
		}
	}
}

// numbers are the measures of an SVG, which may differ in their last digits
// between processors; only the structure is pinned by bytes.
var numbers = regexp.MustCompile(`( (?:d|x|y|transform|cx|cy|r|x1|x2|y1|y2|width|height|points)=")([^"]*)"`)

func TestGolden(t *testing.T) {
	for name, p := range map[string]*draw.Picture{
		"crate-side": func() *draw.Picture {
			s := demoRig(t, "crate-off-centre")
			return picture.Of(s.rig, s.answer, picture.Options{View: picture.Side})
		}(),
		"racks-ground": func() *draw.Picture {
			s := demoRig(t, "racks-shared-loops")
			return picture.Board(s.rig, s.answer, true)
		}(),
	} {
		var out bytes.Buffer
		if err := svg.Write(&out, p, svg.Options{}); err != nil {
			t.Fatal(err)
		}
		got := numbers.ReplaceAllString(out.String(), `$1"`)
		if len(got) < 2000 || got == out.String() {
			t.Fatalf("%s: no structure: %s", name, got)
		}
		file := filepath.Join("testdata", name+".golden.svg.txt")
		if *update {
			if err := os.MkdirAll("testdata", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs from its golden file; look at it, then run with -update", name)
		}
	}
}
