package web

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io/fs"
	"maps"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	cdpage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"hangtrue/docs"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/policy/extra"
)

// photographs are the pictures of the documents that show pages and printed
// papers; no command writes those as a drawing. TestShots_Documents makes them.
var photographs = []string{
	"board.png", "drill.png", "equipment.png", "grade.png", "item.png", "lesson.png", "missed.png", "order.png", "page.png", "placard.png", "quiz.png",
	"question.png", "register.png", "results.png", "set-up.png", "sheet.png", "sign.png", "tablets.png", "today.png", "version.png", "what-if.png",
}

// What a photograph may weigh and how wide it may be: pages with several of them
// still come quickly over a school's own network.
const (
	mostPhotographed = 90 << 10
	widestPhotograph = 1280
)

// The documents show each photograph there is, and none is large.
func TestDocs_PhotographsAreListedAndSmall(t *testing.T) {
	files, err := fs.Glob(docs.Files, "pictures/*.png")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, file := range files {
		data, err := docs.Files.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		size, err := png.DecodeConfig(bytes.NewReader(data))
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		if len(data) > mostPhotographed || size.Width > widestPhotograph {
			t.Errorf("%s: %d bytes, %d wide; at most %d and %d", file, len(data), size.Width, mostPhotographed, widestPhotograph)
		}
		names = append(names, path.Base(file))
	}
	if want := slices.Sorted(slices.Values(photographs)); !slices.Equal(names, want) {
		t.Errorf("the documents have %v, and made are %v", names, want)
	}
}

// TestShots_Documents makes the photographs of the documents anew: give it
// -shots and the folder docs/pictures. Look at them afterwards.
func TestShots_Documents(t *testing.T) {
	if *shots == "" {
		t.Skip("skipped without -shots FOLDER")
	}
	a := &album{T: t, made: map[string]bool{}}
	a.folder()
	a.school()
	if got, want := slices.Sorted(maps.Keys(a.made)), slices.Sorted(slices.Values(photographs)); !slices.Equal(got, want) && !t.Failed() {
		t.Errorf("made are %v, want %v", got, want)
	}
}

// album is the photographs as they are made.
type album struct {
	*testing.T
	made map[string]bool
}

// lit has a page drawn in its light colours, whatever the machine's own are.
func lit(b *tab) {
	b.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "light"}},
	}); err != nil {
		b.Fatal(err)
	}
}

// cut photographs the page from the top of one element to the bottom of another,
// and at most so many pixels of it.
func (a *album) cut(b *tab, name, from, to string, most float64) {
	a.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](`(async () => { document.activeElement?.blur(); scrollTo(0, 0);
		for (const i of document.images) { if (!i.checkVisibility()) continue; i.loading = "eager"; await i.decode(); } await document.fonts.ready; })()`, chromedp.EvalAwaitPromise))
	edge := get[[]float64](b, `(() => { const from = document.querySelector(`+jsString(from)+`), to = [...document.querySelectorAll(`+jsString(to)+`)].at(-1);
		if (!from || !to) return [];
		return [from.getBoundingClientRect().top + scrollY, to.getBoundingClientRect().bottom + scrollY, document.documentElement.clientWidth]; })()`)
	if len(edge) != 3 || edge[1] <= edge[0] {
		a.Fatalf("%s: the page has no %s and %s beneath it: %v", name, from, to, edge)
	}
	const margin = 8
	top := max(0, edge[0]-margin)
	r, err := chromedp.Call(b.ctx, cdpage.CaptureScreenshot, cdpage.CaptureScreenshotParams{
		Clip:                  &cdpage.Viewport{X: 0, Y: top, Width: edge[2], Height: min(edge[1]+margin-top, most), Scale: 1},
		CaptureBeyondViewport: new(true),
	})
	if err != nil {
		a.Fatal(err)
	}
	a.keep(name, r.Data)
}

// paper photographs a page of a printed paper.
func (a *album) paper(name string, pdf []byte, page, dotsPerInch string) {
	a.Helper()
	extra.Need(a.T, "poppler")
	c := exec.Command("pdftoppm", "-r", dotsPerInch, "-f", page, "-l", page, "-png", "-")
	c.Stdin = bytes.NewReader(pdf)
	out, err := c.Output()
	if err != nil {
		a.Fatalf("%s: %v", name, err)
	}
	a.keep(name, out)
}

// keep writes a photograph with few colours, which makes it small.
func (a *album) keep(name string, data []byte) {
	a.Helper()
	whole, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		a.Fatal(err)
	}
	box := whole.Bounds()
	few := image.NewPaletted(image.Rect(0, 0, box.Dx(), box.Dy()), fewColours(whole))
	draw.Draw(few, few.Rect, whole, box.Min, draw.Src)
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, few); err != nil {
		a.Fatal(err)
	}
	if b.Len() > mostPhotographed {
		a.Errorf("%s has %d bytes, %d by %d; cut it smaller", name, b.Len(), box.Dx(), box.Dy())
	}
	if err := os.WriteFile(filepath.Join(*shots, name), b.Bytes(), 0o644); err != nil {
		a.Fatal(err)
	}
	a.made[name] = true
}

// fewColours are the commonest colours of a picture, none close to another.
func fewColours(whole image.Image) color.Palette {
	const most, apart = 96, 90 // apart: a sum of squares of 8-bit steps, below what is seen
	box := whole.Bounds()
	often := map[color.RGBA]int{}
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			r, g, b, _ := whole.At(x, y).RGBA()
			often[color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 255}]++
		}
	}
	order := slices.SortedFunc(maps.Keys(often), func(p, q color.RGBA) int {
		if often[p] != often[q] {
			return often[q] - often[p]
		}
		return strings.Compare(string([]byte{p.R, p.G, p.B}), string([]byte{q.R, q.G, q.B}))
	})
	var out color.Palette
	for _, c := range order {
		near := func(o color.Color) bool {
			q := o.(color.RGBA)
			r, g, b := int(c.R)-int(q.R), int(c.G)-int(q.G), int(c.B)-int(q.B)
			return r*r+g*g+b*b < apart
		}
		if len(out) < most && !slices.ContainsFunc(out, near) {
			out = append(out, c)
		}
	}
	return out
}

// folder photographs the pages of a folder of rigs: the demo school's.
func (a *album) folder() {
	b := browse(a.T, demoRigs())
	for kind, files := range map[string][]demo.Rig{"briefs": demo.Briefs(), "procedures": demo.Registers(), "days": demo.Days()} {
		for _, f := range files {
			folder := filepath.Join(b.dir, kind)
			if err := os.MkdirAll(folder, 0o777); err != nil {
				a.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(folder, f.Name+".yaml"), f.Data, 0o644); err != nil {
				a.Fatal(err)
			}
		}
	}
	lit(b)
	b.size(1100, 820)
	b.open("/rig/crate-off-centre")
	b.until(`document.documentElement.classList.contains("scripted")`)
	a.cut(b, "page.png", "body", "body", 820)

	b.size(820, 1180)
	b.open("/procedures")
	b.until(`document.documentElement.classList.contains("scripted") && document.querySelector(".procedure-book") !== null`)
	b.do(chromedp.Evaluate[chromedp.Void](`for (const [id, value] of [["new-title", "INVENTED - Kestmoor rigging leaflets"], ["new-edition", "3"], ["new-from", "2026-11-20"]]) document.getElementById(id).value = value;
		document.querySelector('button[value="edition"]').click()`))
	b.arrives(`document.querySelector(".procedure-review") !== null`)
	a.cut(b, "register.png", "[data-part=procedures-review]", "[data-part=procedures-new]", 1000)

	b.open("/rig/crate-off-centre/lesson?way=shown&at=5")
	b.until(scripted)
	a.cut(b, "lesson.png", "h1", "[data-question]", 900)

	b.open("/rig/crate-off-centre/walk/order")
	b.until(scripted)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-key="suggest"]').click()`))
	b.arrives(`document.querySelector("[data-part=list] li:nth-child(5)") !== null`)
	a.cut(b, "order.png", "[data-part=coverage]", "[data-part=list] li:nth-child(5)", 800)

	version := regexp.MustCompile(`name="version" value="([0-9a-f]{64})"`).FindStringSubmatch(ask(a.T, b.server, "GET", "/rig/crate-off-centre/lesson", nil).Body.String())
	if version == nil {
		a.Fatal("no version of the rig")
	}
	a.paper("quiz.png", a.posted(b.server, "/rig/crate-off-centre/lesson/quiz", url.Values{
		"version": {version[1]}, "questions": {"8"}, "seed": {"autumn course, day 3"}, "good": {"40"}, "paper": {"quiz"},
	}), "1", "75")

	a.paper("sheet.png", a.posted(b.server, "/rig/crate-off-centre/walk/sheet", url.Values{"version": {version[1]}, "blind": {""}}), "2", "75")

	form := url.Values{"paper": {"placard"}, "size": {"a4"}}
	text := ask(a.T, b.server, "GET", "/rig/trailer-front-and-rear/brief?aircraft=twin", nil).Body.String()
	for _, key := range []string{"rig", "brief", "aircraft"} {
		m := regexp.MustCompile(`name="` + key + `" value="([0-9a-f]*)"`).FindStringSubmatch(text)
		if m == nil {
			a.Fatalf("no version of the %s", key)
		}
		form.Set(key, m[1])
	}
	a.paper("placard.png", a.posted(b.server, "/rig/trailer-front-and-rear/brief/print", form), "1", "75")
}

// posted is the paper that a form asks for.
func (a *album) posted(s *Server, target string, form url.Values) []byte {
	a.Helper()
	w := ask(a.T, s, "POST", target, form)
	if w.Code != http.StatusOK || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) {
		a.Fatalf("%s: %d %.300s", target, w.Code, w.Body)
	}
	return w.Body.Bytes()
}
