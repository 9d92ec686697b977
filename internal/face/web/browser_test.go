package web

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/policy/extra"
)

var (
	shots       = flag.String("shots", "", "folder to write pictures of the pages to")
	manyChanges = flag.Int("changes", 100, "how many count changes are timed in the browser")
)

// patience is how long one step in the browser may take before the test is
// given up; on a busy machine steps take seconds.
const patience = 60 * time.Second

// tab is a page in a real browser, on a server that was started as users start
// it.
type tab struct {
	*testing.T
	ctx    context.Context
	server *Server
	url    string
	dir    string

	mu       sync.Mutex
	requests []string
	console  []string
}

// started is a server that runs until the test ends.
func started(t *testing.T, rigs map[string]string) (s *Server, url, dir string) {
	t.Helper()
	s, dir = serving(t, rigs)
	url, err := s.Listen()
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error)
	go func() { done <- s.Serve(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Errorf("the server ended with %v", err)
		}
	})
	return s, url, dir
}

// browse opens a browser on a fresh server.
func browse(t *testing.T, rigs map[string]string) *tab {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long; left out with -short")
	}
	path := extra.Need(t, "browser")
	s, address, dir := started(t, rigs)
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()))
	alloc, cancelAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(func() { cancel(); cancelAlloc() })
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser did not start: %v", err)
	}
	b := &tab{T: t, ctx: ctx, server: s, url: address, dir: dir}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	requests := chromedp.Events(ctx, network.RequestWillBeSent)
	go func() {
		for e, err := range requests {
			if err != nil {
				return
			}
			b.mu.Lock()
			b.requests = append(b.requests, e.Request.URL)
			b.mu.Unlock()
		}
	}()
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			b.mu.Lock()
			b.console = append(b.console, m.String())
			b.mu.Unlock()
		}
	}()
	t.Cleanup(func() { b.calm() })
	return b
}

// calm checks what holds of every visit: nothing on the console, and no request
// off this machine.
func (b *tab) calm() {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, m := range b.console {
		b.Errorf("on the console: %s", m)
	}
	if len(b.requests) == 0 {
		b.Error("no request was seen: the check reads nothing")
	}
	for _, r := range b.requests {
		if !strings.HasPrefix(r, b.url) && !strings.HasPrefix(r, "blob:"+b.url) && !strings.HasPrefix(r, "data:") {
			b.Errorf("asked for %s", r)
		}
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	for i, s := range steps {
		err := chromedp.Do(ctx, s)
		// A script put another element in the place of one just looked up, before
		// anything was done with it.
		for err != nil && strings.Contains(err.Error(), "Could not find node") && ctx.Err() == nil {
			err = chromedp.Do(ctx, s)
		}
		if err != nil {
			b.Fatalf("step %d: %v", i+1, err)
		}
	}
}

func get[T any](b *tab, expression string) T {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to become true.
func (b *tab) until(expression string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool](expression, chromedp.WithPollingInterval(20*time.Millisecond))); err != nil {
		b.Fatalf("never came true: %s (%v); the page says %.300s", expression, err, get[string](b, "document.body.innerText"))
	}
}

func (b *tab) open(path string) {
	b.Helper()
	b.do(chromedp.Navigate(strings.TrimSuffix(b.url, "/") + path))
}

func (b *tab) size(width, height int64, options ...chromedp.EmulateViewportOption) {
	b.Helper()
	b.do(chromedp.EmulateViewport(width, height, options...))
}

const (
	headWords = `document.querySelector('[data-part="head"]').innerText`
	countFL   = `document.querySelector('table.legs output').textContent`
	pullFL    = `document.querySelector('table.legs td.number').textContent`
)

func press(key string) chromedp.Action[chromedp.Void] {
	return chromedp.Click(chromedp.CSS(`[data-key="` + key + `"]`))
}

func TestBrowser_CountChangesTheResult(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.size(1280, 900)
	b.open("/")
	if _, err := chromedp.RunResponse(b.ctx, chromedp.Click(chromedp.CSS(`.rigs a`))); err != nil {
		t.Fatal(err)
	}
	b.until(`document.documentElement.classList.contains("scripted") && document.querySelector("#picture svg") !== null`)
	before, picture := get[string](b, pullFL), get[string](b, `document.querySelector("#picture svg").outerHTML`)
	for range 4 {
		b.do(press("more FL"))
	}
	b.until(countFL + ` === "14"`)
	if after := get[string](b, pullFL); after == before {
		t.Errorf("the pull stays %s", after)
	}
	if get[string](b, `document.querySelector("#picture svg").outerHTML`) == picture {
		t.Error("the picture stays")
	}
	if text := get[string](b, `document.getElementById("text").value`); text != strings.Replace(crate, "count: 10", "count: 14", 1) {
		t.Errorf("the text is %s", text)
	}
	b.do(press("undo"))
	b.until(countFL + ` === "13"`)
	b.do(press("redo"))
	b.until(countFL + ` === "14"`)
	// What is not saved survives a reload, and a save ends that.
	b.do(chromedp.Reload())
	b.until(countFL + ` === "14"`)
	b.do(press("save"))
	b.until(headWords + `.includes("Saved as version")`)
	b.open("/rig/crate")
	b.until(countFL + ` === "14" && document.querySelector('[data-key="sheet"]') !== null`)
	file, err := os.ReadFile(filepath.Join(b.dir, "crate.yaml"))
	if err != nil || string(file) != strings.Replace(crate, "count: 10", "count: 14", 1) {
		t.Errorf("the file is %s, %v", file, err)
	}
}

func TestBrowser_ErrorAtItsLine(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.open("/rig/crate")
	b.until(`document.documentElement.classList.contains("scripted")`)
	// As typed: the unit of the mass is taken away.
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const t = document.getElementById("text"); t.value = t.value.replace("1400 kg", "1400"); t.dispatchEvent(new Event("input")); })()`))
	b.until(`document.querySelector('[data-line="9"]') !== null`)
	if got := get[string](b, `[...document.querySelectorAll("#lines .wrong")].map(x => x.textContent).join()`); got != "9" {
		t.Errorf("lines %s are marked, want 9", got)
	}
	if got := get[string](b, headWords); strings.Contains(got, "limits entered") {
		t.Errorf("a result stands over a text that cannot be read: %s", got)
	}
	b.do(chromedp.Click(chromedp.CSS(`[data-line="9"]`)))
	if got := get[string](b, `(() => { const t = document.getElementById("text"); return t.value.slice(t.selectionStart, t.selectionEnd); })()`); got != "    mass: 1400 # weighed" {
		t.Errorf("the line shown is %q", got)
	}
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const t = document.getElementById("text"); t.value = t.value.replace("1400", "1400 kg"); t.dispatchEvent(new Event("input")); })()`))
	b.until(headWords + `.includes("Within the limits entered")`)
	if got := get[int](b, `document.querySelectorAll("#lines .wrong").length`); got != 0 {
		t.Errorf("%d lines still marked", got)
	}
}

func TestBrowser_Sheet(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	folder := t.TempDir()
	if _, err := chromedp.CallBrowser(b.ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
		Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: folder, EventsEnabled: new(true),
	}); err != nil {
		t.Fatal(err)
	}
	progress := chromedp.BrowserEvents(b.ctx, browser.DownloadProgress)
	b.open("/rig/crate")
	b.until(`document.documentElement.classList.contains("scripted")`)
	b.do(press("sheet"))
	for e, err := range progress {
		if err != nil {
			t.Fatal(err)
		}
		if e.State == browser.DownloadProgressStateCompleted {
			break
		}
	}
	files, err := filepath.Glob(filepath.Join(folder, "crate-*.pdf"))
	if err != nil || len(files) != 1 {
		t.Fatalf("files %v, %v", files, err)
	}
	if text, err := os.ReadFile(files[0]); err != nil || !strings.HasPrefix(string(text), "%PDF-") {
		t.Errorf("no PDF: %.20q, %v", text, err)
	}
	b.until(`document.querySelector('[data-part="versions"]').innerText.includes("Sheet printed")`)
	b.do(press("more FL"))
	b.until(`document.querySelector('[data-key="save"]') !== null`)
	b.do(press("save"))
	b.until(`document.querySelector('[data-part="bar"]').innerText.includes("A printed sheet is void")`)
}

// Everything with keys alone: reach the leg's buttons, press, turn the picture,
// undo.
func TestBrowser_KeysAlone(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.size(1280, 900)
	b.open("/rig/crate")
	b.until(`document.documentElement.classList.contains("scripted")`)
	reached := func(what string) bool {
		return get[bool](b, `document.activeElement.matches(`+fmt.Sprintf("%q", what)+`)`)
	}
	reach := func(what string) {
		t.Helper()
		for range 40 {
			b.do(chromedp.KeyEvent(kb.Tab))
			if reached(what) {
				return
			}
		}
		t.Fatalf("%s cannot be reached with the tab key", what)
	}
	reach("#picture")
	azimuth := get[string](b, `document.getElementById("rig").elements.azimuth.value`)
	b.do(chromedp.Evaluate[chromedp.Void](`window.wasDrawn = false; addEventListener("drawn", () => window.wasDrawn = true)`))
	b.do(chromedp.KeyEvent(kb.ArrowLeft))
	b.until(`window.wasDrawn`)
	if got := get[string](b, `document.getElementById("rig").elements.azimuth.value`); got == azimuth {
		t.Errorf("the picture did not turn: %s", got)
	}
	reach(`[data-key="more FL"]`)
	b.do(chromedp.KeyEvent(" "))
	b.until(countFL + ` === "11"`)
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until(countFL + ` === "12"`)
	if !reached(`[data-key="more FL"]`) {
		t.Errorf("the focus went to %s", get[string](b, `document.activeElement.outerHTML`))
	}
	b.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(2)))
	b.until(countFL + ` === "11"`)
	b.open("/rig/crate")
	b.until(countFL + ` === "11"`)
	reach("#text")
	reach(".versions a, a, button, body")
}

// The finger that drags turns the picture, and does not scroll the page.
func TestBrowser_Drag(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.size(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch)
	b.open("/rig/crate")
	b.until(`document.documentElement.classList.contains("scripted")`)
	b.do(chromedp.ScrollIntoView(chromedp.CSS("#picture")))
	before := get[string](b, `document.getElementById("rig").elements.azimuth.value`)
	b.do(chromedp.Evaluate[chromedp.Void](`window.wasDrawn = 0; addEventListener("drawn", () => window.wasDrawn++); (() => {
		const p = document.getElementById("picture"), r = p.getBoundingClientRect();
		p.setPointerCapture = () => {};
		const at = (kind, x, y) => p.dispatchEvent(new PointerEvent(kind, { pointerId: 1, isPrimary: true, button: 0, pointerType: "touch", clientX: r.x + x, clientY: r.y + y, bubbles: true }));
		at("pointerdown", 50, 50);
		for (let i = 1; i <= 20; i++) at("pointermove", 50 + 4 * i, 50 + i);
		at("pointerup", 130, 70);
	})()`))
	b.until(`window.wasDrawn > 0`)
	after := get[string](b, `document.getElementById("rig").elements.azimuth.value + " " + document.getElementById("rig").elements.elevation.value`)
	// −55 − 0.5·80 and 20 + 0.4·20
	if before != "-55" || after != "-95 28" {
		t.Errorf("turned from %s to %s, want -55 to -95 28", before, after)
	}
}

func TestBrowser_NarrowAndZoomed(t *testing.T) {
	b := browse(t, demoRigs())
	paths := []string{"/", "/nowhere"}
	for name := range demoRigs() {
		paths = append(paths, rigURL(name))
	}
	slices.Sort(paths)
	looked := 0
	// 640 is 1280 at a zoom of 200 %.
	for _, width := range []int64{360, 390, 640, 820, 1280} {
		b.size(width, 800)
		for _, path := range paths {
			b.mu.Lock()
			b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "404") }) // /nowhere
			b.mu.Unlock()
			b.open(path)
			if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide", path, width, over)
			}
			if small := get[string](b, `[...document.querySelectorAll("button, .button, .rigs a, .versions a, input[type=file]")]
				.filter(e => e.offsetParent && !e.classList.contains("away")).filter(e => { const r = e.getBoundingClientRect(); return r.height < 47.5 || r.width < 47.5; })
				.map(e => e.outerHTML.slice(0, 90)).join("\n")`); small != "" {
				t.Errorf("%s at %d px: too small for a finger:\n%s", path, width, small)
			}
			if out := get[string](b, `[...document.querySelectorAll("main *")].filter(e => !e.closest(".text, .away, svg, .pages") && !e.classList.contains("away"))
				.filter(e => e.getBoundingClientRect().right > document.querySelector("main").getBoundingClientRect().right - parseFloat(getComputedStyle(document.querySelector("main")).paddingRight) + 0.5).map(e => e.outerHTML.slice(0, 90)).slice(0, 3).join("\n")`); out != "" {
				t.Errorf("%s at %d px: beyond the column:\n%s", path, width, out)
			}
			looked++
		}
	}
	if looked < 5*10 {
		t.Errorf("only %d pages looked at", looked)
	}
	b.mu.Lock()
	b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "404") })
	b.mu.Unlock()
}

// The status is larger than any number on the page, at every width.
func TestBrowser_StatusIsLargest(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	for _, width := range []int64{360, 820, 1280} {
		b.size(width, 800)
		b.open("/rig/crate")
		got := get[[]float64](b, `(() => { const size = e => parseFloat(getComputedStyle(e).fontSize);
			const status = size(document.querySelector(".status"));
			const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
			let most = 0, n = 0;
			for (let t; t = walk.nextNode();) if (/\d/.test(t.data) && t.parentElement.closest("svg") === null) { n++; most = Math.max(most, size(t.parentElement)); }
			return [status, most, n]; })()`)
		if got[0] <= got[1] || got[2] < 20 {
			t.Errorf("at %d px the status has %g px, the largest of %g numbers %g px", width, got[0], got[2], got[1])
		}
	}
}

func TestBrowser_WithoutScript(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.open("/rig/crate")
	click := func(key string) string {
		t.Helper()
		ctx, cancel := context.WithTimeout(b.ctx, patience)
		defer cancel()
		if _, err := chromedp.RunResponse(ctx, press(key)); err != nil {
			t.Fatal(err)
		}
		html, err := chromedp.Run(ctx, chromedp.OuterHTML(chromedp.CSS("html")))
		if err != nil {
			t.Fatal(err)
		}
		return html
	}
	if page := click("more FL"); !strings.Contains(page, "<output>11</output>") {
		t.Errorf("count not changed: %.2000s", page)
	}
	if page := click("more RL"); strings.Count(page, "<output>11</output>") != 3 {
		t.Error("the rear legs did not change together")
	}
	if page := click("undo"); strings.Count(page, "<output>11</output>") != 1 {
		t.Error("not undone")
	}
	if page := click("view side"); !strings.Contains(page, `aria-pressed="true" data-key="view side"`) || !strings.Contains(page, "<output>11</output>") {
		t.Error("not seen from the side")
	}
	if page := click("save"); !strings.Contains(page, "Saved as version") {
		t.Errorf("not saved: %.2000s", page)
	}
	file, err := os.ReadFile(filepath.Join(b.dir, "crate.yaml"))
	if err != nil || string(file) != strings.Replace(crate, "count: 10", "count: 11", 1) {
		t.Errorf("the file is %q, %v", file, err)
	}
}

func TestBrowser_AnswerTimes(t *testing.T) {
	b := browse(t, demoRigs())
	b.size(1280, 900)
	const rigName = "trailer-front-and-rear"
	changes := *manyChanges
	b.server.solver.most = 0 // no answer is remembered: every press is solved
	b.open(rigURL(rigName))
	b.until(`document.documentElement.classList.contains("scripted")`)
	// In the page: from the press to the swapped parts laid out, the presses
	// going up and down through the counts of all legs.
	type timing struct{ Page, Server []float64 }
	got := get[timing](b, fmt.Sprintf(`(async () => {
		const form = document.getElementById("rig"), page = [], server = [];
		performance.setResourceTimingBufferSize(5000);
		const legs = [...document.querySelectorAll("[data-key^='more ']")].map(e => e.dataset.key.slice(5));
		for (let i = 0; i < %d; i++) {
			const leg = legs[i %% legs.length];
			const up = Math.floor(i / legs.length / 5) %% 2 === 0;
			const button = document.querySelector('[data-key="' + (up ? "more " : "less ") + leg + '"]:not(:disabled)') ?? document.querySelector('[data-key="' + (up ? "less " : "more ") + leg + '"]');
			const start = performance.now();
			const done = new Promise(r => form.addEventListener("settled", r, { once: true }));
			button.click();
			await done;
			document.body.offsetHeight;
			page.push(performance.now() - start);
		}
		for (const e of performance.getEntriesByType("resource")) for (const t of e.serverTiming ?? []) server.push(t.duration);
		return { Page: page, Server: server };
	})()`, changes))
	if len(got.Page) != changes || len(got.Server) < changes {
		t.Fatalf("%d times in the page, %d of the server; want %d", len(got.Page), len(got.Server), changes)
	}
	t.Logf("%s, %d count changes, ms: in the page %s; in the server %s", rigName, changes, spread(got.Page), spread(got.Server))
}

func spread(ms []float64) string {
	slices.Sort(ms)
	at := func(q float64) float64 { return ms[int(q*float64(len(ms)-1))] }
	return fmt.Sprintf("median %.1f, 90 %% %.1f, 99 %% %.1f, longest %.1f", at(0.5), at(0.9), at(0.99), at(1))
}

func demoRigs() map[string]string {
	rigs := map[string]string{}
	for _, r := range demo.Rigs() {
		rigs[r.Name] = string(r.Data)
	}
	return rigs
}

// A state that a visit leads to: changed, saved, a sheet void, on a telephone
// with the legs scrolled up under the picture.
func (b *tab) worked() {
	b.Helper()
	b.open("/rig/crate")
	b.until(`document.documentElement.classList.contains("scripted")`)
	b.do(press("sheet"))
	b.until(`document.querySelector('[data-part="versions"]').innerText.includes("Sheet printed")`)
	b.do(press("more FL"))
	b.until(`document.querySelector('[data-key="save"]') !== null`)
	b.do(press("save"))
	b.until(`document.querySelector('[data-part="versions"]').innerText.includes("Void")`)
	b.do(press("more FL"))
	b.until(`document.querySelector('[data-key="save"]') !== null`)
}

// TestBrowser_Shots writes pictures of the pages for people to look at.
func TestBrowser_Shots(t *testing.T) {
	if *shots == "" {
		t.Skip("skipped without -shots FOLDER")
	}
	rigs := demoRigs()
	rigs["broken"] = strings.Replace(crate, "mass: 1400 kg", "mass: 1400", 1)
	rigs["open"] = strings.ReplaceAll(crate, "count: 10", "count: find")
	rigs["over"] = strings.Replace(crate, "count: 10", "count: 60", 1)
	rigs["bare"], rigs["crate"] = bare, crate
	b := browse(t, rigs)
	b.size(390, 844)
	b.worked()
	for kind, script := range map[string]string{"legs": `document.querySelector("table.legs").scrollIntoView({ block: "end" })`, "file": `document.getElementById("file-title").scrollIntoView()`, "versions": `document.getElementById("versions").scrollIntoView()`} {
		b.do(chromedp.Evaluate[chromedp.Void](script))
		png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(*shots, "worked-390-"+kind+".png"), png, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		}); err != nil {
			t.Fatal(err)
		}
		for _, width := range []int64{390, 820, 1280} {
			b.size(width, map[int64]int64{390: 844, 820: 1180, 1280: 800}[width])
			for _, path := range []string{"/", "/rig/trailer-front-and-rear", "/rig/over", "/rig/broken", "/rig/open", "/rig/drums-side-by-side"} {
				if scheme == "dark" && strings.Contains(path, "open") {
					continue
				}
				b.open(path)
				b.until(`document.fonts.status === "loaded"`)
				if path != "/" {
					b.until(`(() => { const s = document.querySelector("#picture svg"); return document.documentElement.classList.contains("scripted") &&
						(s === null || s.viewBox.baseVal.width === Number(document.getElementById("rig").elements.width.value)); })()`)
				}
				for _, whole := range []bool{false, true} {
					kind := "top"
					var png []byte
					var err error
					if whole {
						kind = "whole"
						png, err = chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
					} else {
						png, err = chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
					}
					if err != nil {
						t.Fatal(err)
					}
					name := fmt.Sprintf("%s-%d-%s-%s.png", strings.ReplaceAll(strings.Trim(path, "/"), "/", "-"), width, scheme, kind)
					if err := os.WriteFile(filepath.Join(*shots, name), png, 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
}
