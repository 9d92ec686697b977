package web

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"hangtrue/internal/engine/rig"
	steady "hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/face/app"
)

// Every page of faults and flight, full and empty, says what it must and
// nothing that it must not.
func TestFaultPages_FullAndEmpty(t *testing.T) {
	open := strings.ReplaceAll(crate, "count: 10", "count: find")
	s, _ := serving(t, map[string]string{"crate": crate, "bare": bare, "open": open, "broken": "format: hangtrue.rig/1\nlegs: 3\n"})
	version := app.Version([]byte(crate))
	for _, c := range []struct {
		target string
		status int
		has    []string
	}{
		{"/rig/crate/faults", 200, []string{"INVENTED", "No approved procedure entered", "As planned: Within the limits entered", "May end so: a leg is lost", "shock as it lets go is left out", "no proof that there is none", rig.Caution[:30], "Print the sheet", "As one count goes off"}},
		{"/rig/crate/faults?fault=leg-lost.FL&view=front", 200, []string{"<h2>Leg FL lost</h2>", "<b>lost</b>", `aria-current="true">front<`}},
		{"/rig/crate/faults?fault=count-off.FL.-3", 200, []string{"<h2>Leg FL held at link 7 instead of 10</h2>", "As this count goes off"}},
		{"/rig/crate/faults?fault=nonsense", 200, []string{"has no fault nonsense; the gravest is shown"}},
		{"/rig/bare/faults", 200, []string{"Cannot tell", "no leg is rated", "the load is lost"}},
		{"/rig/open/faults", 200, []string{"counts are still open"}},
		{"/rig/broken/faults", 200, []string{"has errors"}},
		{"/rig/none/faults", 404, []string{"There is no such rig"}},
		{"/rig/crate/faults/table/txt", 404, []string{"csv or json"}},
		{"/rig/crate/faults/small/" + version + "/nonsense", 404, []string{"no such fault"}},
		{"/rig/crate/faults/small/1/leg-lost.FL", 404, []string{"no such rig or version"}},
		{"/rig/crate/faults/travel/" + version + "/XX", 404, []string{"no such leg"}},
		{"/rig/crate/flight", 200, []string{"INVENTED", "No approved procedure entered", "A study, not a plan", "No published airspeed is entered", "no bound to fly to", "No speed from here belongs on a load brief", "its shape in the air is not predicted", rig.Caution[:30]}},
		{"/rig/crate/flight?to=60+kt&step=20+kt&rotor=390+rpm&blades=3&at=2&from=-90+deg", 200, []string{"Bounce at rest beside the rotor", "390 rpm, 3 blades", "blade passing", "At 40 kt, in this study", "90.0 deg to the right of ahead"}},
		{"/rig/crate/flight?aircraft=single", 200, []string{"INVENTED", "once a turn"}},
		{"/rig/crate/flight?at=9999", 200, []string{"At 80 kt, in this study"}},
		{"/rig/crate/flight?at=0", 200, []string{"At rest:"}},
		{"/rig/crate/flight?to=fast", 422, []string{"1 field is not understood", `value="fast"`, "aria-invalid"}},
		{"/rig/crate/flight?to=60&step=0.1+kt&density=-1+kg/m3&factor=x&from=200+deg&trail=95+deg&rotor=5&blades=x", 422, []string{"needs a unit", "A plain number is needed, for example 1.5"}},
		{"/rig/crate/flight?rotor=390+rpm", 422, []string{"belong together"}},
		{"/rig/crate/flight?aircraft=nothing", 422, []string{"there is no aircraft"}},
		{"/rig/crate/flight?aircraft=single&rotor=390+rpm&blades=3", 422, []string{"choose no aircraft"}},
		{"/rig/crate/flight?step=0.1+kt", 422, []string{"take longer ones"}},
		{"/rig/bare/flight", 200, []string{"Cannot tell", "not rated", "Without a shape"}},
		{"/rig/open/flight", 200, []string{"counts are still open"}},
		{"/rig/broken/flight", 200, []string{"has errors"}},
		{"/rig/crate/flight/study/gif", 404, []string{"csv, json"}},
		{"/rig/crate/flight/study/csv?to=fast", 422, []string{"Fastest airspeed"}},
	} {
		t.Run(c.target, func(t *testing.T) {
			w := ask(t, s, "GET", c.target, nil)
			page := w.Body.String()
			if w.Code != c.status {
				t.Errorf("status %d, want %d", w.Code, c.status)
			}
			for _, want := range c.has {
				if !strings.Contains(page, want) {
					t.Errorf("page does not say %q", want)
				}
			}
			for _, bad := range []string{"<no value>", "ZgotmplZ", "NaN", "Inf ", " style=", "%!", "onclick"} {
				if strings.Contains(page, bad) {
					t.Errorf("page has %q", bad)
				}
			}
			if strings.Count(page, "<h1") != 1 || !strings.HasSuffix(strings.TrimSpace(page), "</html>") {
				t.Error("page is cut off or has not one heading")
			}
			if ids := repeated(page); len(ids) > 0 {
				t.Errorf("ids that stand twice: %v", ids)
			}
			if len(page) > 400<<10 {
				t.Errorf("%d bytes", len(page))
			}
			t.Logf("%d bytes", len(page))
		})
	}
}

// repeated are the ids of a page that it has more than once.
func repeated(page string) []string {
	seen := map[string]int{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		seen[m[1]]++
	}
	var out []string
	for id, n := range seen {
		if n > 1 {
			out = append(out, id)
		}
	}
	return out
}

// The status stands above every number, and larger words than any number's are
// those of the status (the browser test measures that of the rig's page).
func TestFaultPages_StatusFirst(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	for _, target := range []string{"/rig/crate/faults", "/rig/crate/flight"} {
		page := ask(t, s, "GET", target, nil).Body.String()
		status := strings.Index(page, `class="status loud"`)
		number := regexp.MustCompile(`>[^<]*\d+(\.\d+)? (kN|kg|deg|m|%|kt)[^<]*<`).FindStringIndex(page)
		if status < 0 || number == nil || number[0] < status {
			t.Errorf("%s: status at %d, first number at %v", target, status, number)
		}
	}
}

func TestFaults_FilesPicturesAndSheet(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	version := app.Version([]byte(crate))
	for target, want := range map[string][]string{
		"/rig/crate/faults/table/csv":                                   {"place,kind,fault", "count-off.FL.-3", "INVENTED"},
		"/rig/crate/faults/table/json":                                  {`"format": "hangtrue.faults/1"`, version, rig.Caution[:30], `"id": "leg-lost.FL"`},
		"/rig/crate/faults/small/" + version + "/leg-lost.FL":           {"<svg", "INVENTED", "font-face"},
		"/rig/crate/faults/travel/" + version + "/FL":                   {"<svg", "link of leg FL"},
		"/rig/crate/flight/study/csv?to=40+kt&step=10+kt":               {"airspeed kt", "40.0,yes", steady.Caution, "INVENTED"},
		"/rig/crate/flight/study/json?to=40+kt&from=45+deg":             {`"format": "hangtrue.flight/1"`, version, `"air_from_deg": 45`},
		"/rig/crate/flight/study/svg":                                   {"STUDY OF FLIGHT", "INVENTED"},
		"/rig/crate/flight/study/pdf":                                   {"%PDF-"},
		"/rig/crate/flight/study/json?aircraft=single&rotor=&blades=&x": {`"rotor_of": "`},
	} {
		w := ask(t, s, "GET", target, nil)
		for _, text := range want {
			if w.Code != 200 || !strings.Contains(w.Body.String(), text) {
				t.Errorf("%s: status %d, does not say %q", target, w.Code, text)
			}
		}
		if kept := strings.Contains(w.Header().Get("Cache-Control"), "immutable"); kept != strings.Contains(target, version) {
			t.Errorf("%s: may be kept: %v", target, kept)
		}
	}
	for _, what := range []string{"faults", "flight"} {
		w := ask(t, s, "POST", "/rig/crate/"+what+"/sheet", url.Values{"version": {version}, "to": {"40 kt"}})
		if w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF-") {
			t.Errorf("%s: status %d: %.60q", what, w.Code, w.Body)
		}
		if w := ask(t, s, "POST", "/rig/crate/"+what+"/sheet", url.Values{}); w.Code != 400 {
			t.Errorf("%s: a sheet of no version: status %d", what, w.Code)
		}
		if w := ask(t, s, "POST", "/rig/crate/"+what+"/sheet", url.Values{"version": {strings.Repeat("0", 64)}}); w.Code != 404 {
			t.Errorf("%s: a sheet of a version that is not there: status %d", what, w.Code)
		}
	}
	kept, err := s.Keeper.Versions("crate")
	if err != nil || len(kept) != 1 || kept[0].Printed.IsZero() {
		t.Errorf("the sheet was not noted: %v, %v", kept, err)
	}
}

// The part that the script asks for is the part of the page.
func TestFaults_PartAlone(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	for target, key := range map[string]string{"/rig/crate/faults?fault=leg-lost.RR": "fault", "/rig/crate/flight?at=3": "flight"} {
		w := ask(t, s, "GET", target, nil, "Accept", "application/json")
		var got map[string]any
		if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil {
			t.Fatalf("%s: %v in %.200s", target, err, w.Body)
		}
		part, _ := got[key].(string)
		page := ask(t, s, "GET", target, nil).Body.String()
		if len(part) < 1000 || !strings.Contains(page, part) {
			t.Errorf("%s: the part of %d bytes is not in the page", target, len(part))
		}
	}
	if w := ask(t, s, "GET", "/rig/crate/faults?fault=x", nil, "Accept", "application/json"); w.Code != 404 {
		t.Errorf("a fault that is not there: status %d", w.Code)
	}
}

// A table that takes long is begun once, and the page says how far it is.
func TestFaults_BegunOnce(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	solved := s.solver.solve([]byte(crate))
	s.faultWork.one.Lock() // another table is under way
	first, second := s.faultWork.begin(solved), s.faultWork.begin(solved)
	if first != second {
		t.Error("the same table is worked out twice")
	}
	w := ask(t, s, "GET", "/rig/crate/faults", nil)
	if page := w.Body.String(); w.Header().Get("Refresh") == "" || !strings.Contains(page, "This page comes again by itself") || strings.Contains(page, "kN") && !strings.Contains(page, "nearest to its limit") {
		t.Errorf("refresh %q; page %.300s", w.Header().Get("Refresh"), page)
	}
	s.faultWork.one.Unlock()
	if _, ok, err := first.wait(t.Context(), time.Minute); !ok || err != nil {
		t.Fatalf("no table: %v", err)
	}
	if w := ask(t, s, "GET", "/rig/crate/faults", nil); w.Header().Get("Refresh") != "" {
		t.Error("the page comes again though the table is there")
	}
}

// With a script: a fault is chosen in place; without, by its address. The slider
// goes through the speeds with arrow keys.
func TestBrowser_FaultsAndFlight(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.size(1280, 900)
	b.open("/rig/crate/faults")
	b.until(`document.querySelector("#chosen svg") !== null`)
	b.do(chromedp.Evaluate[chromedp.Void](`window.stays = true; document.querySelector('a[data-fault][href*="leg-lost.RR"]').click()`))
	b.until(`document.querySelector("#chosen h2").textContent === "Leg RR lost"`)
	b.until(`document.querySelector(".fault-list .here b").textContent === "Leg RR lost" && location.search.includes("leg-lost.RR")`)
	b.do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll(".views a")].find(a => a.textContent === "front").click()`))
	b.until(`document.querySelector(".views a[aria-current]").textContent === "front"`)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('a[rel=next]').click()`))
	b.until(`document.querySelector("#chosen h2").textContent !== "Leg RR lost" && document.querySelector(".views a[aria-current]").textContent === "front"`)
	if !get[bool](b, `window.stays === true`) {
		t.Error("the page was loaded again")
	}
	b.until(`document.querySelector(".fault-list img").naturalWidth > 0`)

	b.open("/rig/crate/flight?to=40+kt&step=10+kt")
	b.until(`document.querySelector(".flight.scripted") !== null`)
	b.do(chromedp.Evaluate[chromedp.Void](`window.stays = true; document.getElementById("at-place").focus()`))
	b.do(chromedp.KeyEvent(kb.ArrowLeft))
	b.until(`document.getElementById("at-part").innerText.includes("At 30 kt, in this study")`)
	b.do(chromedp.KeyEvent(kb.ArrowLeft))
	b.until(`document.getElementById("at-part").innerText.includes("At 20 kt, in this study")`)
	// Signs move when they are asked to, and not before.
	running := `document.getElementById("at-part").getAnimations({ subtree: true }).length`
	if n := get[int](b, running); n != 0 {
		t.Errorf("%d signs move by themselves", n)
	}
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-move]").click()`))
	if n := get[int](b, running); n < 3 {
		t.Errorf("only %d signs move", n)
	}
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-key="faster"]').click()`))
	b.until(`document.getElementById("at-part").innerText.includes("At 30 kt") && document.getElementById("at-place").value === "3"`)
	if !get[bool](b, `window.stays === true`) {
		t.Error("the page was loaded again")
	}
}

// At every width nothing runs over the side, nothing is too small for a finger,
// and the status is larger than any number.
func TestBrowser_FaultPagesFit(t *testing.T) {
	rigs := demoRigs()
	b := browse(t, map[string]string{"trailer": rigs["trailer-front-and-rear"], "bridge": rigs["footbridge-two-hooks"]})
	looked := 0
	for _, width := range []int64{360, 820, 1280} {
		b.size(width, 800)
		for _, path := range []string{"/rig/trailer/faults", "/rig/bridge/faults", "/rig/trailer/flight?rotor=390+rpm&blades=3", "/rig/bridge/flight?to=x"} {
			b.mu.Lock()
			b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "422") })
			b.mu.Unlock()
			b.open(path)
			if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide: %s", path, width, over, get[string](b, `[...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5 && !e.closest("svg, .pages")).map(e => e.outerHTML.slice(0, 90)).slice(0, 3).join("\n")`))
			}
			if small := get[string](b, `[...document.querySelectorAll("main button, main .button, main summary, main input:not([type=hidden]), main select, main .fault-list a, main .ends a, main .speeds a")]
				.filter(e => e.offsetParent).filter(e => { const r = e.getBoundingClientRect(); return r.height < 47.5 || r.width < 47.5; })
				.map(e => e.outerHTML.slice(0, 90)).join("\n")`); small != "" {
				t.Errorf("%s at %d px: too small for a finger:\n%s", path, width, small)
			}
			size := get[[]float64](b, `(() => { const size = e => parseFloat(getComputedStyle(e).fontSize);
				const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
				let most = 0;
				for (let t; t = walk.nextNode();) if (/\d/.test(t.data) && t.parentElement.closest("svg") === null) most = Math.max(most, size(t.parentElement));
				return [size(document.querySelector(".status")), most]; })()`)
			if size[0] <= size[1] {
				t.Errorf("%s at %d px: the status has %g px, a number %g px", path, width, size[0], size[1])
			}
			looked++
		}
	}
	if looked != 12 {
		t.Errorf("%d pages looked at, want 12", looked)
	}
	b.mu.Lock()
	b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "422") })
	b.mu.Unlock()
}

// TestBrowser_FaultShots writes pictures of the pages for people to look at.
func TestBrowser_FaultShots(t *testing.T) {
	if *shots == "" {
		t.Skip("skipped without -shots FOLDER")
	}
	b := browse(t, demoRigs())
	// Else the page comes again by itself in the middle of a picture.
	slow := b.server.faultWork.begin(b.server.solver.solve([]byte(demoRigs()["racks-shared-loops"])))
	if _, ok, err := slow.wait(t.Context(), patience); !ok || err != nil {
		t.Fatalf("no table: %v", err)
	}
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		}); err != nil {
			t.Fatal(err)
		}
		for _, width := range []int64{390, 820, 1280} {
			b.size(width, map[int64]int64{390: 844, 820: 1180, 1280: 800}[width])
			for name, path := range map[string]string{
				"faults": "/rig/crate-off-centre/faults", "hooks": "/rig/footbridge-two-hooks/faults?fault=hook-lost.rear", "count": "/rig/racks-shared-loops/faults",
				"flight": "/rig/crate-off-centre/flight?aircraft=single", "wrong": "/rig/crate-off-centre/flight?to=fast",
			} {
				if scheme == "dark" && name != "faults" && name != "flight" {
					continue
				}
				b.open(path)
				b.until(`document.querySelector(".notice") === null || document.querySelector("svg, .wrong") !== null`)
				b.until(`document.fonts.status === "loaded"`)
				b.do(chromedp.Evaluate[chromedp.Void](`(async () => { for (const i of document.images) { i.loading = "eager"; await i.decode(); } })()`, chromedp.EvalAwaitPromise))
				for kind, shot := range map[string]chromedp.Action[[]byte]{"top": chromedp.CaptureScreenshot(), "whole": chromedp.FullScreenshot(100)} {
					png, err := chromedp.Run(b.ctx, shot)
					if err != nil {
						t.Fatal(err)
					}
					if err := os.WriteFile(filepath.Join(*shots, strings.Join([]string{name, scheme, kind}, "-")+"-"+map[int64]string{390: "390", 820: "820", 1280: "1280"}[width]+".png"), png, 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
	b.mu.Lock()
	b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "422") }) // what is wrong is meant to be
	b.mu.Unlock()
}
