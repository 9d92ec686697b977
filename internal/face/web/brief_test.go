package web

import (
	"bytes"
	"context"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"hangtrue/internal/engine/brief/brieffile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// briefFields is the form with this typed into it.
func briefFields(base string, typed map[string]string) url.Values {
	form := url.Values{"base": {base}, "do": {"save"}}
	for path, text := range typed {
		form.Set(fieldName(path), text)
	}
	return form
}

// someBrief is enough to make the aircrew's figures.
var someBrief = map[string]string{
	"aircraft": "twin", "hooks[0].apex": "apex", "hooks[0].hook": "front",
	"pick-up.pressure-altitude": "3000 ft", "pick-up.temperature": "14 degC", "pick-up.fuel": "600 kg",
	"drop-off.pressure-altitude": "6900 ft", "drop-off.temperature": "7 degC", "drop-off.fuel": "500 kg",
	"airspeed.limit": "55 kt", "airspeed.source": "leaflet 9", "team.rally": "the stone barn\nwall side",
	"team.signals[4].signal": "both arms up", "team.signals[4].means": "climb",
}

func page(t *testing.T, s *Server, target string, status int) string {
	t.Helper()
	w := ask(t, s, "GET", target, nil)
	if w.Code != status {
		t.Fatalf("%s: status %d, want %d: %.300s", target, w.Code, status, w.Body)
	}
	return w.Body.String()
}

func has(t *testing.T, where, text string, all ...string) {
	t.Helper()
	for _, want := range all {
		if !strings.Contains(text, want) {
			t.Errorf("%s does not say %q", where, want)
		}
	}
}

func TestBrief_EveryPageWithNothingAndWithAll(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate, "bare": bare, "open": strings.ReplaceAll(crate, "count: 10", "count: find"), "broken": "format: hangtrue.rig/1\n", "mistyped": crate})
	if w := ask(t, s, "POST", "/rig/crate/brief/edit", briefFields("", someBrief)); w.Code != 303 {
		t.Fatalf("saved with status %d: %.300s", w.Code, w.Body)
	}
	if err := os.WriteFile(filepath.Join(dir, "briefs", "mistyped.yaml"), []byte("format: hangtrue.brief/1\nairspeed: 3\naircraft: none\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	number := regexp.MustCompile(`>[^<]*\d+(\.\d+)? (kN|kg|deg|m|%|kt|lb)[^<]*<`)
	for _, c := range []struct {
		target string
		status int
		has    []string
	}{
		{"/rig/crate/brief", 200, []string{"DRAFT", "INVENTED", "static test lift clear of people", "The three papers", "Change what is entered", "Print all three"}},
		{"/rig/crate/brief/placard", 200, []string{"DRAFT", "Counts of the rig file: computed or entered, not approved", "1400 kg, weighed", `<span class="count">10</span>`, "FRONT", "not to be signed"}},
		{"/rig/crate/brief/aircrew", 200, []string{"55 kt – leaflet 9", "90 kt – INVENTED", "front, carries 13.73 kN", "Governs for the aircraft", "Jettison area", "not entered"}},
		{"/rig/crate/brief/team", 200, []string{"the stone barn\nwall side", "both arms up", "climb", "NOT BRIEFED", "The charge comes with the aircraft", "Emergency hook release tested"}},
		{"/rig/crate/brief/edit", 200, []string{`value="both arms up"`, "the stone barn", `value="55 kt"`, "More empty rows"}},
		{"/rig/bare/brief", 200, []string{"Enter what the school says", "brief version none"}},
		{"/rig/bare/brief/placard", 200, []string{"Legs: no chain, so no counts", "how it is known is not entered", "&lt;b&gt;"}},
		{"/rig/bare/brief/aircrew", 200, []string{"no aircraft is entered", "Published airspeed"}},
		{"/rig/bare/brief/team", 200, []string{"NOT BRIEFED"}},
		{"/rig/bare/brief/edit", 200, []string{"Save as a new version"}},
		{"/rig/mistyped/brief", 200, []string{"The text of the brief has errors", "line 2"}},
		{"/rig/mistyped/brief/edit", 200, []string{"needed here"}},
		{"/rig/open/brief", 200, []string{"some of its counts are still open"}},
		{"/rig/broken/brief/team", 200, []string{"has errors"}},
		{"/rig/broken/brief/edit", 200, []string{"Save as a new version"}},
		{"/rig/none/brief", 404, nil},
		{"/rig/crate/brief/poster", 404, []string{"placard, aircrew and team"}},
	} {
		text := page(t, s, c.target, c.status)
		has(t, c.target, text, c.has...)
		for _, bad := range []string{"<no value>", "ZgotmplZ", "NaN", " style=", "%!", "onclick"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s has %q", c.target, bad)
			}
		}
		if strings.Count(text, "<h1") != 1 || c.status == 200 && !strings.Contains(text, rig.Caution[:30]) {
			t.Errorf("%s lacks its one heading or the caution", c.target)
		}
		if at := number.FindStringIndex(text); c.status == 200 && at != nil && strings.Index(text, `class="status loud"`) > at[0] {
			t.Errorf("%s: a number stands above the status", c.target)
		}
	}
}

func TestBrief_NothingTypedIsLost(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	wrong := map[string]string{"airspeed.limit": "60", "airspeed.source": "leaflet 7", "team.obstacles": "the <wire>\nin the east", "team.roles[2].role": "signaller", "weighed.on": "yesterday"}
	w := ask(t, s, "POST", "/rig/crate/brief/edit", briefFields("", wrong))
	text := w.Body.String()
	if w.Code != 422 {
		t.Fatalf("status %d", w.Code)
	}
	has(t, "the form", text, "Not saved: 2 entries are wrong", `value="60"`, "needs a unit", "is not a date", `value="yesterday"`, "the &lt;wire&gt;", `value="signaller"`, `name="f.team.roles[0].role" value="signaller"`)
	if keeper, _ := s.Shelves.Shelf(app.Briefs); keeper != nil {
		if names, _ := keeper.Names(); len(names) != 0 {
			t.Errorf("kept: %q", names)
		}
	}
	// Asking for more rows keeps what is typed and saves nothing.
	form := briefFields("", wrong)
	form.Set("do", "rows")
	w = ask(t, s, "POST", "/rig/crate/brief/edit", form)
	if has(t, "the form", w.Body.String(), `value="yesterday"`); w.Code != 200 || strings.Contains(w.Body.String(), "Not saved") {
		t.Errorf("more rows: status %d", w.Code)
	}
	// Two people at the same time: both are kept.
	mine, theirs := briefFields("", someBrief), briefFields("", map[string]string{"team.rally": "elsewhere"})
	ask(t, s, "POST", "/rig/crate/brief/edit", mine)
	w = ask(t, s, "POST", "/rig/crate/brief/edit", theirs)
	base := regexp.MustCompile(`name="base" value="([0-9a-f]{64})"`).FindStringSubmatch(w.Body.String())
	if has(t, "the form", w.Body.String(), "Not saved: version", "elsewhere"); w.Code != 409 || base == nil {
		t.Fatalf("status %d", w.Code)
	}
	theirs.Set("base", base[1])
	if w = ask(t, s, "POST", "/rig/crate/brief/edit", theirs); w.Code != 303 {
		t.Errorf("saved on top: status %d", w.Code)
	}
	keeper, err := s.Shelves.Shelf(app.Briefs)
	if err != nil {
		t.Fatal(err)
	}
	if kept, err := keeper.Versions("crate"); err != nil || len(kept) != 2 {
		t.Errorf("%d versions, %v", len(kept), err)
	}
}

func TestBrief_PrintedPapersBecomeVoid(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	ask(t, s, "POST", "/rig/crate/brief/edit", briefFields("", someBrief))
	stamp := func() url.Values {
		form := url.Values{"paper": {"all"}, "size": {"a4"}}
		text := page(t, s, "/rig/crate/brief", 200)
		for _, key := range []string{"rig", "brief", "aircraft"} {
			m := regexp.MustCompile(`name="` + key + `" value="([0-9a-f]*)"`).FindStringSubmatch(text)
			if m == nil {
				t.Fatalf("no version of the %s", key)
			}
			form.Set(key, m[1])
		}
		return form
	}
	form := stamp()
	w := ask(t, s, "POST", "/rig/crate/brief/print", form)
	if w.Code != 200 || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) || w.Header().Get("Content-Type") != "application/pdf" {
		t.Fatalf("status %d: %.100q", w.Code, w.Body)
	}
	for _, one := range []string{"placard", "aircrew", "team"} {
		form.Set("paper", one)
		form.Set("size", "a5")
		if w := ask(t, s, "POST", "/rig/crate/brief/print", form); w.Code != 200 || !strings.Contains(w.Header().Get("Content-Disposition"), one) {
			t.Errorf("%s: status %d", one, w.Code)
		}
	}
	if form.Set("paper", "poster"); ask(t, s, "POST", "/rig/crate/brief/print", form).Code != 400 {
		t.Error("a paper that there is not is printed")
	}
	text := page(t, s, "/rig/crate/brief", 200)
	if has(t, "the page", text, "Papers printed"); strings.Contains(text, "Void: ") {
		t.Error("void at once")
	}
	// What was done on a day makes nothing void.
	done := url.Values{"what": {"release"}, "by": {"P. Ostrander"}, "at": {"2026-11-25 07:40"}, "from": {"team"}}
	if w := ask(t, s, "POST", "/rig/crate/brief/done", done); w.Code != 303 || w.Header().Get("Location") != "/rig/crate/brief/team#daily" {
		t.Fatalf("status %d to %s: %.300s", w.Code, w.Header().Get("Location"), w.Body)
	}
	text = page(t, s, "/rig/crate/brief", 200)
	if has(t, "the page", text, "P. Ostrander at 07:40"); strings.Contains(text, "Void: ") {
		t.Error("void by a daily entry")
	}
	// A change of the brief does, and the page that was open cannot print.
	current := regexp.MustCompile(`name="base" value="([0-9a-f]{64})"`).FindStringSubmatch(page(t, s, "/rig/crate/brief/edit", 200))
	changed := briefFields(current[1], someBrief)
	changed.Set(fieldName("airspeed.limit"), "50 kt")
	if w := ask(t, s, "POST", "/rig/crate/brief/edit", changed); w.Code != 303 {
		t.Fatalf("status %d", w.Code)
	}
	has(t, "the page", page(t, s, "/rig/crate/brief", 200), "Void: Papers printed 20", "the brief was changed since")
	form.Set("paper", "all")
	if w := ask(t, s, "POST", "/rig/crate/brief/print", form); w.Code != 409 {
		t.Errorf("printed from an old page: status %d", w.Code)
	}
	// And so does one of the rig.
	rigForm := draftOf(crate)
	do(t, s, "crate", "count FL 12", rigForm)
	do(t, s, "crate", "save", rigForm)
	has(t, "the placard", page(t, s, "/rig/crate/brief/placard", 200), "from rig version", "the rig was changed since")
}

func TestBrief_Daily(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	for _, c := range []struct {
		by, at, what string
		status       int
		has          string
	}{
		{"", "2026-11-25 07:40", "release", 422, "Who did it is needed"},
		{"A <b>", "half past", "release", 422, "is not a day and a time"},
		{"A", "2026-11-25 07:40", "dance", 422, "Not entered"},
		{"A <b>", "2026-11-24 07:40", "briefing", 303, ""},
		{"B", "2026-11-25 07:40", "briefing", 303, ""},
	} {
		w := ask(t, s, "POST", "/rig/crate/brief/done", url.Values{"what": {c.what}, "by": {c.by}, "at": {c.at}})
		if w.Code != c.status {
			t.Errorf("%+v: status %d: %.300s", c, w.Code, w.Body)
		}
		if has(t, c.at, w.Body.String(), c.has); c.status == 422 && c.what == "release" && !strings.Contains(w.Body.String(), `value="`+c.at+`"`) {
			t.Errorf("%+v: what was typed is gone", c)
		}
	}
	text := page(t, s, "/rig/crate/brief", 200)
	has(t, "the page", text, "B at 07:40", "not entered for today")
	data, err := s.briefText("crate")
	if err != nil {
		t.Fatal(err)
	}
	if e, problems := brieffile.Read(data); e == nil || len(e.Done) != 2 {
		t.Errorf("kept as\n%s\n%v", data, problems)
	}
}

// With a register, a superseded edition makes a draft of the papers.
func TestBrief_AsksTheRegister(t *testing.T) {
	covered := strings.Replace(crate, "invented: yes\n", "", 1) + "procedure: {publication: Leaflets, edition: \"2\", paragraph: \"4\", covers: {weight: [1000 kg, 2000 kg]}}\n"
	s, dir := serving(t, map[string]string{"crate": covered})
	text := page(t, s, "/rig/crate/brief/placard", 200)
	if has(t, "the placard", text, "Follows an approved procedure", "Signed on paper by a qualified inspector"); strings.Contains(text, "DRAFT") {
		t.Error("a load that its procedure covers is a draft")
	}
	if err := os.Mkdir(filepath.Join(dir, app.Procedures), 0o755); err != nil {
		t.Fatal(err)
	}
	register := "format: hangtrue.procedures/1\ntitle: Ours\npublications:\n  - {title: Leaflets, edition: \"3\"}\n"
	if err := os.WriteFile(filepath.Join(dir, app.RegisterName), []byte(register), 0o644); err != nil {
		t.Fatal(err)
	}
	has(t, "the placard", page(t, s, "/rig/crate/brief/placard", 200), "DRAFT", "edition 3 as current", "static test lift clear of people", "DRAFT: not to be signed")
	if err := os.WriteFile(filepath.Join(dir, app.RegisterName), []byte("format: 3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	has(t, "the placard", page(t, s, "/rig/crate/brief/placard", 200), "DRAFT", "cannot be read")
}

// In a browser: the form by hand, an error, the mended form, and the screens at
// every width with nothing off to the side and every target large enough.
func TestBrowser_Brief(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.open("/rig/crate/brief/edit")
	field := func(path string) chromedp.CSS { return chromedp.CSS("#" + fieldID(path)) }
	b.do(
		chromedp.SendKeys(field("team.rally"), "the stone barn"),
		chromedp.SendKeys(field("airspeed.limit"), "60"),
		chromedp.SendKeys(field("airspeed.source"), "leaflet 7"),
	)
	save := func() {
		t.Helper()
		ctx, cancel := context.WithTimeout(b.ctx, patience)
		defer cancel()
		if _, err := chromedp.RunResponse(ctx, chromedp.Click(chromedp.CSS(".brief-bar button.main"))); err != nil {
			t.Fatal(err)
		}
	}
	save()
	b.until(`document.querySelector(".notice")?.innerText.includes("Not saved")`)
	if got := get[string](b, `document.activeElement.id`); got != fieldID("airspeed.limit") {
		t.Errorf("%s has the focus", got)
	}
	if got := get[string](b, `document.getElementById("`+fieldID("team.rally")+`").value`); got != "the stone barn" {
		t.Errorf("the rally point is %q", got)
	}
	get[string](b, `document.getElementById("`+fieldID("airspeed.limit")+`").value = "60 kt"`)
	save()
	b.mu.Lock()
	b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "422") }) // the refusal
	b.mu.Unlock()
	b.until(`document.querySelector(".notice")?.innerText.includes("Saved as version")`)
	looked := 0
	for _, path := range []string{"", "/placard", "/aircrew", "/team", "/edit"} {
		for _, width := range []int64{360, 390, 820, 1280} {
			b.size(width, 1000)
			b.open("/rig/crate/brief" + path)
			looked++
			if over := get[float64](b, `document.documentElement.scrollWidth - innerWidth`); over > 0 {
				t.Errorf("%s at %d: %g px off to the side", path, width, over)
			}
			if small := get[string](b, `[...document.querySelectorAll("main button:not(.away), main a.button, main input:not([type=hidden]), main select, main textarea, main summary, main .brief-papers a")].filter(x => { const r = x.getBoundingClientRect(); return r.width > 0 && (r.height < 47.5 || r.width < 47.5); }).map(x => x.outerHTML.slice(0, 80)).join("\n")`); small != "" {
				t.Errorf("%s at %d: too small for a finger: %s", path, width, small)
			}
			if bad := get[string](b, `(() => {
				const size = e => parseFloat(getComputedStyle(e).fontSize), status = size(document.querySelector(".status.loud")), out = [];
				const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
				for (let n; n = walk.nextNode();) if (/[0-9]/.test(n.data) && size(n.parentElement) >= status) out.push(n.data);
				return out.join(" | ");
			})()`); bad != "" {
				t.Errorf("%s at %d: as large as the status: %s", path, width, bad)
			}
		}
	}
	if looked != 20 {
		t.Errorf("%d pages looked at", looked)
	}
}
