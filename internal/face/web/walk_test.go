package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// Every page of the walk-round, full and empty, is drawn without an error and
// says what it must.
func TestWalkPages_FullAndEmpty(t *testing.T) {
	open := strings.ReplaceAll(crate, "count: 10", "count: find")
	named := crate + "parts:\n  - {id: x, kind: no-such-kind, on: FL}\n"
	s, dir := serving(t, map[string]string{"crate": crate, "bare": bare, "open": open, "broken": "format: hangtrue.rig/1\nlegs: 3\n", "ü b": bare, "named": named})
	shelve(t, dir, app.Catalogues, "odd", "format: hangtrue.catalog/1\nkinds:\n  x: 3\n")
	shelve(t, dir, app.Catalogues, "huge", strings.Repeat("#", app.MostBytes+1))
	shelve(t, dir, app.Sequences, "bare", "format: hangtrue.sequence/1\ncheckpoints:\n  - {id: c01, look: 3}\n")
	shelve(t, dir, app.Seen, "bare", "format: hangtrue.seen/1\nseen: 3\n")
	shelve(t, dir, app.Sequences, "named", "format: hangtrue.sequence/1\ntitle: Walk <of> the school\ncheckpoints:\n  - {id: c01, look: [leg.XX.chain, \"leg.*.chain\"]}\n  - {id: c02, look: [leg.none]}\n")
	left := []string{"The school’s catalogue odd is left out", "Line 3", "The school’s catalogue huge is left out"}
	for _, c := range []struct {
		target string
		status int
		has    []string
	}{
		{"/rig/crate/parts", 200, append(left, "INVENTED", "No approved procedure entered", rig.Caution[:30], "Grab hook of leg FL", "point crate.FL", "51 parts", "310 deficiencies")},
		{"/rig/bare/parts", 200, []string{"Bare &lt;b&gt;", "Leg L"}},
		{"/rig/open/parts", 200, []string{"Grab hook of leg FL"}},
		{"/rig/named/parts", 200, []string{"A part that the rig names is left out", "no-such-kind"}},
		{"/rig/broken/parts", 200, []string{"has errors", "The text cannot be read"}},
		{"/rig/none/parts", 404, []string{"There is no such rig"}},
		{"/rig/crate/parts/leg.FL.chain", 200, []string{"As it should be", "Deficiency", "/closeup/chain?", `loading="lazy"`, "Source: ", "For training: ", "May end in: ", "computed"}},
		{"/rig/crate/parts/legs.FL+FR.mirrored-legs", 200, []string{"leg FL at 10, leg FR at 10"}},
		{"/rig/crate/parts/leg.XX.chain", 404, []string{"no such part"}},
		{"/rig/open/parts/leg.FL.grab-hook", 200, []string{"the count is still to be found"}},
		{"/rig/crate/walk", 200, []string{"Suggested from the rig", "Never go under a hanging load", "310 of the 310 deficiencies of the catalogue that this rig can have", inspect.NotCovered, "Anything else?", "Nothing was told yet", "Print it without planned counts", "link 10 from the free end", "Counted over the shipped catalogue", rig.Caution[:30]}},
		{"/rig/open/walk", 200, []string{"the count is still to be found"}},
		{"/rig/bare/walk", 200, []string{"own order cannot be read", "Line 3", "its file on the school’s shelf has errors", "Suggested from the rig"}},
		{"/rig/named/walk", 200, []string{"The school’s own order", "Walk &lt;of&gt; the school", "does not fit this version of the rig: 2 of its looks find nothing, 1 checkpoint can see nothing", "leg.XX.chain is no part of this rig", "leg.none is no part of this rig", "Not asked about: "}},
		{"/rig/%C3%BC%20b/walk", 200, []string{"Suggested from the rig"}},
		{"/rig/broken/walk", 200, []string{"has errors"}},
		{"/rig/crate/walk/order", 200, []string{"None is kept for this rig yet", "From the suggestion", "From nothing", "Take the file"}},
		{"/rig/bare/walk/order", 200, []string{`data-line="3"`, "{id: c01, look: 3}"}},
		{"/rig/named/walk/order", 200, []string{"finds nothing:", "can see nothing on this rig", "not asked about, at"}},
		{"/rig/crate/walk/order?version=" + strings.Repeat("0", 64), 200, nil},
		{"/rig/named/walk/order?version=" + strings.Repeat("0", 64), 404, []string{"no such rig or version"}},
		{"/rig/broken/walk/order", 200, []string{"has errors"}},
		{"/rig/crate/effects", 200, []string{"May end in: the load is lost", "Does not stand", "1 to 100 of 310", "every deficiency stops the lift or is put right before it", "As planned: Within the limits entered", "not computed"}},
		{"/rig/crate/effects?from=300", 200, []string{"301 to 310 of 310"}},
		{"/rig/crate/effects?from=-5", 200, []string{"1 to 100 of 310"}},
		{"/rig/crate/effects?part=leg.FL.grab-hook", 200, []string{"1 to 9 of 9 that were asked for", "Show all", "pitch"}},
		{"/rig/crate/effects?end=attitude&numbers=computed", 200, []string{"that were asked for"}},
		{"/rig/crate/effects?part=none", 200, []string{"No deficiency is of that sort"}},
		{"/rig/open/effects", 200, []string{"some of its counts are still open"}},
		{"/rig/broken/effects", 200, []string{"has errors"}},
		{"/rig/crate/walk/entry/s001", 404, []string{"no such answer"}},
		{"/closeup/chain", 200, nil},
		{"/closeup/chain?wear=no-such", 404, []string{"no such drawing"}},
		{"/closeup/nothing", 404, []string{"no such drawing"}},
		{"/rig/crate/walk/picture/none", 404, []string{"no such picture"}},
		{"/rig/broken/walk/picture/map", 422, []string{"has errors"}},
	} {
		t.Run(c.target, func(t *testing.T) {
			w := ask(t, s, "GET", c.target, nil)
			page := w.Body.String()
			if w.Code != c.status {
				t.Errorf("status %d, want %d: %.300s", w.Code, c.status, page)
			}
			for _, want := range c.has {
				if !strings.Contains(page, want) {
					t.Errorf("page does not say %q", want)
				}
			}
			sound(t, w)
		})
	}
}

// sound checks what holds of every page.
func sound(t *testing.T, w *httptest.ResponseRecorder) {
	t.Helper()
	page := w.Body.String()
	if w.Header().Get("Content-Type") == "image/svg+xml" {
		if !strings.HasSuffix(strings.TrimSpace(page), "</svg>") || strings.Contains(page, "NaN") {
			t.Error("a picture that is cut off or has no numbers")
		}
		return
	}
	for _, bad := range []string{"<no value>", "ZgotmplZ", "NaN", "Inf ", " style=", "%!", "onclick", "<nil>"} {
		if strings.Contains(page, bad) {
			t.Errorf("page has %q", bad)
		}
	}
	if !strings.HasSuffix(strings.TrimSpace(page), "</html>") || strings.Count(page, "<h1") != 1 {
		t.Error("page is cut off or lacks its one heading")
	}
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if seen[m[1]] {
			t.Errorf("id %s twice", m[1])
		}
		seen[m[1]] = true
	}
}

func shelve(t *testing.T, dir, kind, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Join(dir, kind), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, kind, name+".yaml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// All demo rigs: every page is there and light, every picture of every part is
// drawn, and the suggested sequence asks about all.
func TestWalkPages_DemoRigs(t *testing.T) {
	rigs := demoRigs()
	s, _ := serving(t, rigs)
	const most = 256 << 10
	pictures, parts := map[string]bool{}, 0
	for _, name := range sortedKeys(rigs) {
		for _, path := range []string{"/parts", "/walk", "/effects"} {
			w := ask(t, s, "GET", rigURL(name)+path, nil)
			if w.Code != 200 || w.Body.Len() > most {
				t.Errorf("%s%s: status %d, %d bytes", name, path, w.Code, w.Body.Len())
			}
			sound(t, w)
			t.Logf("%s%s: %d bytes", name, path, w.Body.Len())
			if m := regexp.MustCompile(`asks about (\d+) of the (\d+) def`).FindStringSubmatch(w.Body.String()); path == "/walk" && (m == nil || m[1] != m[2]) {
				t.Errorf("%s: the suggestion covers %v", name, m)
			}
			for _, m := range regexp.MustCompile(`href="(/rig/[^"]*/parts/[^"]*)"`).FindAllStringSubmatch(w.Body.String(), -1) {
				if path != "/parts" {
					continue
				}
				parts++
				one := ask(t, s, "GET", html.UnescapeString(m[1]), nil)
				if one.Code != 200 || one.Body.Len() > most {
					t.Errorf("%s: status %d, %d bytes", m[1], one.Code, one.Body.Len())
				}
				for _, p := range regexp.MustCompile(`src="(/closeup/[^"]*)"`).FindAllStringSubmatch(one.Body.String(), -1) {
					pictures[html.UnescapeString(p[1])] = true
				}
			}
		}
		for what := range walkPictures {
			for _, width := range []string{"100", "180", "1e9"} {
				w := ask(t, s, "GET", rigURL(name)+"/walk/picture/"+what+"?width="+width, nil)
				if w.Code != 200 || w.Body.Len() > most {
					t.Errorf("%s %s %s: status %d, %d bytes", name, what, width, w.Code, w.Body.Len())
				}
				sound(t, w)
			}
		}
		c, code := order(t, s, name, "suggest", orderForm())
		if code != 200 || !c.Dirty {
			t.Errorf("%s: order: status %d", name, code)
		}
		w := ask(t, s, "POST", rigURL(name)+"/walk/order", url.Values{"text": {c.Text}, "typed": {c.Text}, "open": {"c02"}, "do": {"read"}})
		if w.Code != 200 || w.Body.Len() > most {
			t.Errorf("%s: order: status %d, %d bytes", name, w.Code, w.Body.Len())
		}
		sound(t, w)
		// An order that asks about next to nothing has the longest page.
		c, _ = order(t, s, name, "nothing", orderForm())
		w = ask(t, s, "POST", rigURL(name)+"/walk/order", url.Values{"text": {c.Text}, "typed": {c.Text}, "do": {"save"}})
		if w.Code != 303 {
			t.Errorf("%s: order not saved: status %d", name, w.Code)
		}
		for _, path := range []string{"/walk", "/walk/order"} {
			if w = ask(t, s, "GET", rigURL(name)+path, nil); w.Code != 200 || w.Body.Len() > most {
				t.Errorf("%s%s with a poor order: status %d, %d bytes", name, path, w.Code, w.Body.Len())
			}
			t.Logf("%s%s with a poor order: %d bytes", name, path, w.Body.Len())
		}
	}
	if len(rigs) < 10 || parts < 300 {
		t.Errorf("only %d rigs and %d parts", len(rigs), parts)
	}
	for address := range pictures {
		w := ask(t, s, "GET", address, nil)
		if w.Code != 200 {
			t.Errorf("%s: status %d", address, w.Code)
			continue
		}
		sound(t, w)
	}
	if len(pictures) < 100 {
		t.Errorf("only %d pictures", len(pictures))
	}
	t.Logf("%d pictures of %d parts", len(pictures), parts)
}

// Status before number, as everywhere.
func TestWalkPages_StatusStandsAboveEveryNumber(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	for _, path := range []string{"/parts", "/walk", "/effects", "/walk/order", "/parts/leg.FL.chain"} {
		page := ask(t, s, "GET", "/rig/crate"+path, nil).Body.String()
		status := strings.Index(page, `class="status loud"`)
		number := regexp.MustCompile(`>[^<]*\d+ (deficiencies|kN|kg|deg|%)[^<]*<`).FindStringIndex(page)
		if status < 0 || number != nil && number[0] < status {
			t.Errorf("%s: status at %d, first number at %v", path, status, number)
		}
		for _, no := range []string{"✓", "✔", "OK to", " safe "} {
			if strings.Contains(page, no) {
				t.Errorf("%s says %q", path, no)
			}
		}
	}
}

func TestWalkSheet(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate, "broken": "x"})
	version := app.Version([]byte(crate))
	sizes := map[string]int{}
	for _, blind := range []string{"", "yes"} {
		w := ask(t, s, "POST", "/rig/crate/walk/sheet", url.Values{"version": {version}, "blind": {blind}})
		if w.Code != 200 || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) || w.Header().Get("Content-Type") != "application/pdf" {
			t.Fatalf("status %d, %s", w.Code, w.Header().Get("Content-Type"))
		}
		if named := w.Header().Get("Content-Disposition"); strings.Contains(named, "blind") != (blind != "") {
			t.Errorf("named %s", named)
		}
		sizes[blind] = w.Body.Len()
	}
	if sizes[""] == sizes["yes"] {
		t.Error("with and without planned counts it is the same sheet")
	}
	if page := ask(t, s, "GET", "/rig/crate", nil).Body.String(); !strings.Contains(page, "Sheet printed") {
		t.Error("the rig's page does not know of the sheet")
	}
	if w := ask(t, s, "POST", "/rig/crate/walk/sheet", url.Values{"version": {"1"}}); w.Code != http.StatusConflict {
		t.Errorf("another version: status %d", w.Code)
	}
	if w := ask(t, s, "POST", "/rig/broken/walk/sheet", url.Values{"version": {"1"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a rig with errors: status %d", w.Code)
	}
}

// What was seen is kept and listed; an entry made of it is in the catalogue, and
// the rig's deficiencies and the coverage of the school's own order include it.
func TestAnythingElse_FeedsTheCatalogue(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate})
	c, _ := order(t, s, "crate", "suggest", orderForm())
	form := orderForm()
	form.Set("text", c.Text)
	form.Set("typed", c.Text)
	if _, code := order(t, s, "crate", "save", form); code != 200 {
		t.Fatalf("status %d", code)
	}
	for _, x := range []struct {
		form   url.Values
		status int
		has    string
	}{
		{url.Values{"what": {" \n "}}, 422, "does not say what was seen"},
		{url.Values{"what": {strings.Repeat("x", 1001)}}, 422, "at most 1000 characters"},
		{url.Values{"what": {"x"}, "by": {strings.Repeat("x", 81)}}, 422, "at most 80 characters"},
		{url.Values{"what": {"<b>x"}, "part": {"leg.XX.chain"}}, 422, "&lt;b&gt;x"},
		{url.Values{"what": {"Paint\non the \"chain\""}, "part": {"leg.FL.chain"}, "by": {"A. Rigger"}}, 303, ""},
	} {
		w := ask(t, s, "POST", "/rig/crate/walk/seen", x.form)
		if w.Code != x.status || !strings.Contains(w.Body.String(), x.has) {
			t.Errorf("%v: status %d, want %d with %q", x.form, w.Code, x.status, x.has)
		}
	}
	page := ask(t, s, "GET", "/rig/crate/walk", nil).Body.String()
	for _, want := range []string{"2026-11-25, chain of leg FL, A. Rigger", "Paint\non the &#34;chain&#34;", "/walk/entry/s001", "310 of the 310"} {
		if !strings.Contains(page, want) {
			t.Errorf("the walk-round does not say %q", want)
		}
	}
	entry := "/rig/crate/walk/entry/s001"
	w := ask(t, s, "GET", entry, nil)
	sound(t, w)
	fields := url.Values{"do": {"write"}, "kind": {"chain"}, "ask": {"Is it free of paint?"}, "see": {"look"}, "wrong": {"paint on the chain"}, "source": {"seen at the school"}}
	w = ask(t, s, "POST", entry, fields)
	for _, want := range []string{"what it may lead to", "what it may end in", "how it should be"} {
		if w.Code != 422 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("status %d, and it does not ask for %q", w.Code, want)
		}
	}
	for key, value := range map[string]string{"good": "it is bare", "hazard": "paint hides cracks", "ends": "damage", "act": "stop", "plant": "by-hand"} {
		fields.Set(key, value)
	}
	w = ask(t, s, "POST", entry, fields)
	text := regexp.MustCompile(`(?s)<textarea name="text"[^>]*>\n(.*?)</textarea>`).FindStringSubmatch(w.Body.String())
	if w.Code != 200 || text == nil {
		t.Fatalf("status %d, no text", w.Code)
	}
	fields.Set("do", "save")
	fields.Set("text", strings.Replace(html.UnescapeString(text[1]), "act: stop", "act: go", 1))
	w = ask(t, s, "POST", entry, fields)
	if w.Code != 422 || !strings.Contains(w.Body.String(), "Line 14") {
		t.Errorf("a word that is none: status %d, %.200s", w.Code, regexp.MustCompile(`(?s)<ul class="problems">.*?</ul>`).FindString(w.Body.String()))
	}
	fields.Set("text", html.UnescapeString(text[1]))
	if w = ask(t, s, "POST", entry, fields); w.Code != 303 {
		t.Fatalf("status %d", w.Code)
	}
	page = ask(t, s, "GET", "/rig/crate/walk", nil).Body.String()
	for _, want := range []string{"310 of the 314", "Not asked about: 4 at 4 parts", "paint on the chain", "In the school’s catalogue: seen-crate-s001", "the school’s own: seen-crate-s001"} {
		if !strings.Contains(page, want) {
			t.Errorf("after the entry the walk-round does not say %q", want)
		}
	}
	if effects := ask(t, s, "GET", "/rig/crate/effects?part=leg.FL.seen-crate-s001", nil).Body.String(); !strings.Contains(effects, "paint on the chain") {
		t.Error("the effects do not have it")
	}
	if one := ask(t, s, "GET", "/rig/crate/parts", nil).Body.String(); !strings.Contains(one, "314 deficiencies") {
		t.Error("the parts do not have it")
	}
	if w = ask(t, s, "POST", entry, fields); w.Code != 422 || !strings.Contains(w.Body.String(), "already") {
		t.Errorf("the same entry again: status %d", w.Code)
	}
	if w = ask(t, s, "POST", entry, url.Values{"do": {"dance"}}); w.Code != 400 {
		t.Errorf("status %d", w.Code)
	}
	if _, err := os.Stat(filepath.Join(dir, app.Catalogues, "seen-crate-s001.yaml")); err != nil {
		t.Error(err)
	}
}

func orderForm() url.Values {
	return url.Values{"text": {""}, "typed": {""}, "base": {""}, "undo": {""}, "redo": {""}, "open": {""}}
}

// order sends the page of an own order as its script does.
func order(t testing.TB, s *Server, name, what string, form url.Values) (*orderChanged, int) {
	t.Helper()
	form.Set("do", what)
	w := ask(t, s, "POST", rigURL(name)+"/walk/order", form, "Accept", "application/json")
	var c orderChanged
	if err := json.Unmarshal(w.Body.Bytes(), &c); err != nil {
		t.Fatalf("%s: status %d, %v in %.300s", what, w.Code, err, w.Body)
	}
	for key, value := range map[string]string{"text": c.Text, "typed": c.Typed, "base": c.Base, "undo": c.Undo, "redo": c.Redo, "open": c.Open} {
		form.Set(key, value)
	}
	return &c, w.Code
}

// rows are the ids in the page's list.
func rows(c *orderChanged) string {
	var out []string
	for _, m := range regexp.MustCompile(`data-id="([^"]*)"`).FindAllStringSubmatch(c.Parts["list"], -1) {
		out = append(out, m[1])
	}
	return strings.Join(out, " ")
}

func TestOrder_MoveDeleteUndoSave(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate})
	form := orderForm()
	c, _ := order(t, s, "crate", "suggest", form)
	begun := c.Text
	first := rows(c)
	if !strings.HasPrefix(first, "c01 c02 c03") || !strings.Contains(c.Parts["coverage"], "310 of the 310") || !c.Dirty {
		t.Fatalf("the suggestion: %s, %s", first, c.Parts["coverage"])
	}
	for _, step := range []struct{ what, starts string }{
		{"down c01", "c02 c01 c03"}, {"up c03", "c02 c03 c01"}, {"place c01 1", "c01 c02 c03"}, {"up c01", "c01 c02 c03"}, {"place c01 3", "c02 c03 c01"},
	} {
		if c, _ = order(t, s, "crate", step.what, form); !strings.HasPrefix(rows(c), step.starts) {
			t.Fatalf("%s gives %s, want %s", step.what, rows(c), step.starts)
		}
	}
	// Every checkpoint deleted on its own uncovers what it alone saw.
	c, _ = order(t, s, "crate", "delete c05", form)
	if !strings.Contains(c.Parts["coverage"], "269 of the 310") || !strings.Contains(c.Parts["notice"], "41 deficiencies any more") {
		t.Errorf("after deleting: %s %s", c.Parts["notice"], c.Parts["coverage"])
	}
	for range 10 {
		c, _ = order(t, s, "crate", "undo", form)
	}
	if c.Text != "" || c.Undo != "" {
		t.Errorf("undo of all leaves %q", c.Text)
	}
	for range 10 {
		c, _ = order(t, s, "crate", "redo", form)
	}
	if strings.Contains(rows(c), "c05") || c.Redo != "" || !strings.HasPrefix(rows(c), "c02 c03 c01") {
		t.Errorf("redo of all gives %s", rows(c))
	}
	// Fields of the open checkpoint.
	order(t, s, "crate", "open c02", form)
	for key, value := range map[string]string{
		"title": "Stand  back", "note": "Aloud.\nTwice.", "reference": "course book, page 12", "stand": "far-left", "ways": "look",
		"looks": "legs.FL+FR.mirrored-legs\n\nleg.*.chain/twist\n", "order-title": "Walk of the school", "order-source": "chief instructor", "ahead": "", "left": "",
	} {
		form.Set(key, value)
	}
	c, _ = order(t, s, "crate", "read", form)
	for _, want := range []string{"title: Stand back\n", "stand: far-left", `note: "Aloud.\nTwice."`, "reference: course book, page 12", `"leg.*.chain/twist"`, "do: [look]", "title: Walk of the school", "source: chief instructor"} {
		if !strings.Contains(c.Text, want) {
			t.Errorf("the text lacks %s:\n%.600s", want, c.Text)
		}
	}
	form.Set("looks", " \n")
	before := c.Text
	c, _ = order(t, s, "crate", "down c02", form)
	if c.Text != before || !strings.Contains(c.Parts["notice"], "not taken over") {
		t.Errorf("fields that are wrong: %s", c.Parts["notice"])
	}
	for _, key := range []string{"title", "note", "reference", "stand", "ways", "looks", "order-title", "order-source", "ahead", "left"} {
		form.Del(key)
	}
	// Saved, and the walk follows it; another who began earlier is told.
	theirs := orderForm()
	order(t, s, "crate", "suggest", theirs)
	c, code := order(t, s, "crate", "save", form)
	if code != 200 || c.Dirty || !strings.Contains(c.Parts["notice"], "Saved as version "+c.Base[:8]) {
		t.Fatalf("status %d: %s", code, c.Parts["notice"])
	}
	if file, err := os.ReadFile(filepath.Join(dir, app.Sequences, "crate.yaml")); err != nil || string(file) != c.Text {
		t.Errorf("the file is %.100s, %v", file, err)
	}
	page := ask(t, s, "GET", "/rig/crate/walk", nil).Body.String()
	for _, want := range []string{"The school’s own order", "Walk of the school, chief instructor", "Aloud.", "course book, page 12", "Not asked about: "} {
		if !strings.Contains(page, want) {
			t.Errorf("the walk-round does not say %q", want)
		}
	}
	if w := ask(t, s, "POST", "/rig/crate/walk/sheet", url.Values{"version": {app.Version([]byte(crate))}}); w.Code != 200 {
		t.Errorf("sheet: status %d", w.Code)
	}
	d, code := order(t, s, "crate", "save", theirs)
	if code != http.StatusConflict || !d.Dirty || d.Text != begun || !strings.Contains(d.Parts["notice"], "Not saved: version "+c.Base[:8]) {
		t.Fatalf("status %d: %s", code, d.Parts["notice"])
	}
	if _, code = order(t, s, "crate", "save", theirs); code != 200 {
		t.Errorf("saving on top of the new one: status %d", code)
	}
	if page := ask(t, s, "GET", "/rig/crate/walk", nil).Body.String(); !strings.Contains(page, "An inspection sheet is void") {
		t.Error("the walk-round does not say that the sheet is void")
	}
	if page := ask(t, s, "GET", "/rig/crate/walk/order", nil).Body.String(); !strings.Contains(page, "<b>Void:</b> sheet printed") {
		t.Error("the order's versions do not say which sheet is void")
	}
	old := ask(t, s, "GET", "/rig/crate/walk/order?version="+c.Base, nil)
	if old.Code != 200 || !strings.Contains(old.Body.String(), "is opened") || !strings.Contains(old.Body.String(), "Walk of the school") {
		t.Errorf("an older version: status %d", old.Code)
	}
}

func TestOrder_FromNothingAddAndAsk(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	form := orderForm()
	c, _ := order(t, s, "crate", "nothing", form)
	if rows(c) != "c01" || c.Open != "c01" {
		t.Fatalf("from nothing: %s, open %s", rows(c), c.Open)
	}
	asked := func() (n int) {
		fmt.Sscanf(regexp.MustCompile(`asks about (\d+) of`).FindString(c.Parts["coverage"]), "asks about %d of", &n)
		return n
	}
	few := asked()
	c, _ = order(t, s, "crate", "ask leg.FL.chain", form)
	if rows(c) != "c01 c02" || asked() <= few || !strings.Contains(c.Text, "- leg.FL.chain\n") {
		t.Errorf("%s asks about %d, before %d", rows(c), asked(), few)
	}
	c, _ = order(t, s, "crate", "add c01", form)
	if rows(c) != "c01 c03 c02" || c.Open != "c03" {
		t.Errorf("added: %s, open %s", rows(c), c.Open)
	}
	form.Set("looks", "leg.FL.keeper")
	form.Set("too", "leg.FR.keeper")
	if c, _ = order(t, s, "crate", "look", form); !strings.Contains(c.Text, "- leg.FL.keeper\n      - leg.FR.keeper\n") {
		t.Errorf("a part chosen is not looked at:\n%s", c.Text)
	}
	form.Del("looks")
	form.Del("too")
	order(t, s, "crate", "delete c01", form)
	order(t, s, "crate", "delete c02", form)
	if c, _ = order(t, s, "crate", "delete c03", form); rows(c) != "c03" || !strings.Contains(c.Parts["notice"], "at least one checkpoint") {
		t.Errorf("the last one: %s, %s", rows(c), c.Parts["notice"])
	}
	for _, what := range []string{"up c99", "down c99", "delete c99", "place c99 1", "add c99"} {
		if c, code := order(t, s, "crate", what, form); code != 200 || !strings.Contains(c.Parts["notice"], "no checkpoint") {
			t.Errorf("%s: status %d, %s", what, code, c.Parts["notice"])
		}
	}
	for _, f := range []url.Values{{"do": {"dance"}, "text": {c.Text}}, {"do": {"place c03 x"}, "text": {c.Text}}, {"do": {"read"}}, {"do": {"read"}, "text": {"nonsense"}}, {"do": {"read"}, "text": {""}, "base": {strings.Repeat("0", 64)}}} {
		if w := ask(t, s, "POST", "/rig/crate/walk/order", f); w.Code != 400 {
			t.Errorf("%v: status %d", f["do"], w.Code)
		}
	}
}

func TestOrder_FilesAndText(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	const good = "format: hangtrue.sequence/1\ncheckpoints:\n  - {id: a, look: [rig.area]} # first\n"
	send := func(name string, data []byte) *httptest.ResponseRecorder {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		for key, value := range map[string]string{"text": "", "typed": "", "base": "", "undo": "", "redo": "", "open": "", "do": "upload"} {
			m.WriteField(key, value)
		}
		if name != "" {
			f, err := m.CreateFormFile("file", name)
			if err != nil {
				t.Fatal(err)
			}
			f.Write(data)
		}
		m.Close()
		r := httptest.NewRequest("POST", "/rig/crate/walk/order", &b)
		r.Host = "localhost"
		r.Header.Set("Content-Type", m.FormDataContentType())
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		return w
	}
	for _, c := range []struct {
		name   string
		data   string
		status int
		has    string
	}{
		{"walk.yaml", good, 200, "Taken from walk.yaml"},
		{"walk.yaml", "\ufeff" + strings.ReplaceAll(good, "\n", "\r\n"), 200, "Taken from walk.yaml"},
		{"", "", 422, "no file was chosen"},
		{"walk.yaml", "", 422, "is empty"},
		{"walk.yaml", "\xff\xfe", 422, "no text in UTF-8"},
		{"walk.yaml", "format: hangtrue.sequence/1\ncheckpoints:\n  - {id: a, look: [x], stand: under}\n", 422, `data-line="3"`},
		{"rig.yaml", crate, 422, `data-line="1"`},
		{`C:\x\<b>.yaml`, "x", 422, "&lt;b&gt;.yaml has errors"},
		{"walk.yaml", strings.Repeat("#", app.MostBytes+1), 413, "at most 1 MiB"},
	} {
		w := send(c.name, []byte(c.data))
		if w.Code != c.status || !strings.Contains(w.Body.String(), c.has) {
			t.Errorf("%s %.20q: status %d, want %d with %q", c.name, c.data, w.Code, c.status, c.has)
		}
		if c.status != 413 {
			sound(t, w)
		}
	}
	form := orderForm()
	form.Set("typed", good)
	order(t, s, "crate", "read", form)
	// A button that changes nothing leaves the text as it was written.
	order(t, s, "crate", "open a", form)
	for key, value := range map[string]string{"order-title": "", "order-source": "", "looks": "rig.area\n", "title": "", "note": "", "reference": "", "stand": "here"} {
		form.Set(key, value)
	}
	c, _ := order(t, s, "crate", "close", form)
	for _, key := range []string{"order-title", "order-source", "looks", "title", "note", "reference", "stand"} {
		form.Del(key)
	}
	if c.Text != good || !strings.Contains(c.Parts["bar"], "remarks after #") {
		t.Errorf("typed: %q, %s", c.Text, c.Parts["bar"])
	}
	form.Set("typed", strings.Replace(good, "rig.area", "rig.arena", 1))
	if c, _ = order(t, s, "crate", "read", form); !strings.Contains(c.Parts["list"], "rig.arena is no part of this rig; did you mean rig.area?") {
		t.Errorf("a look that finds nothing: %s", c.Parts["list"])
	}
	// A button does not lose what was typed, and does not act on what is wrong.
	form.Set("typed", strings.Replace(good, "look:", "loook:", 1))
	c, _ = order(t, s, "crate", "add", form)
	if rows(c) != "a" || !strings.Contains(c.Typed, "loook") || !strings.Contains(c.Parts["problems"], `data-line="3"`) {
		t.Errorf("typed with an error: %s, %q, %s", rows(c), c.Typed, c.Parts["problems"])
	}
}

// An order that was written elsewhere keeps its line ends, and opening it changes
// nothing.
func TestOrder_KeepsLineEnds(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate})
	text := "format: hangtrue.sequence/1\r\ncheckpoints:\r\n  - {id: a, look: [rig.area]}\r\n  - {id: b, look: [leg.*.chain]}\r\n"
	shelve(t, dir, app.Sequences, "crate", text)
	form := orderForm()
	unix := strings.ReplaceAll(text, "\r\n", "\n")
	form.Set("text", unix)
	form.Set("typed", unix)
	form.Set("base", app.Version([]byte(text)))
	c, _ := order(t, s, "crate", "read", form)
	if c.Dirty {
		t.Error("an order that nobody changed is not saved")
	}
	form.Set("typed", strings.Replace(unix, "id: b", "id: c", 1))
	if c, code := order(t, s, "crate", "save", form); code != 200 || c.Dirty {
		t.Errorf("status %d, %s", code, c.Parts["notice"])
	}
	if file, err := os.ReadFile(filepath.Join(dir, app.Sequences, "crate.yaml")); err != nil || string(file) != strings.Replace(text, "id: b", "id: c", 1) {
		t.Errorf("the file is %q, %v", file, err)
	}
}

func TestSplices(t *testing.T) {
	texts := []string{"", "a\n", "a\nb\nc\n", "c\nb\n", "a\nb\nc\n", "b\n", "", "x"}
	for i, from := range texts {
		for _, to := range texts[i:] {
			x := spliced(from, to)
			if got, ok := x.back(to); !ok || got != from {
				t.Errorf("%q to %q and back is %q", from, to, got)
			}
		}
	}
	if _, ok := (splice{At: 5, Now: 1}).back("a\nb"); ok {
		t.Error("a change of another text was taken back")
	}
	for _, bad := range []splice{{At: -1}, {Now: -1}, {At: 1, Now: 1 << 62}} {
		if _, ok := bad.back("a\nb"); ok {
			t.Errorf("%+v was taken back", bad)
		}
	}
	var h splices
	for i := range 100 {
		h = h.with(spliced(fmt.Sprint(i), strings.Repeat("y", 2000)+fmt.Sprint(i+1)))
	}
	if len(h) > mostSplices || len(h) < 10 || len(readSplices(h.String())) != len(h) || h[len(h)-1].Was[0] != "99" {
		t.Errorf("%d are remembered", len(h))
	}
	if readSplices("nonsense") != nil {
		t.Error("nonsense is a history")
	}
}
