package web

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"hangtrue/internal/engine/inspection"
)

// A whole walk by one inspector, with all that can be said on the way, to the
// signature.
func TestBrowser_InspectAndSign(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	b := k.onTablet(t, browser, l.url(), k.ivo)
	b.size(820, 1180, chromedp.EmulateTouch)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	b.shot("inspect-brief-820")
	if text := get[string](b, `document.body.innerText`); !strings.Contains(text, "Not in the hook-up zone") || !strings.Contains(text, "1400 kg") || !strings.Contains(text, "weighed") {
		t.Errorf("the brief: %s", text)
	}
	b.click("#begin")
	b.until(onScreen + ` === "question"`)
	b.shot("inspect-question-820")
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { window.loose = 0; window.strict = 0; const t = IDBDatabase.prototype.transaction;
		IDBDatabase.prototype.transaction = function (stores, mode, options) {
			if (mode === "readwrite" && [stores].flat().includes("events") && [stores].flat().includes("device")) options?.durability === "strict" ? window.strict++ : window.loose++;
			return t.call(this, stores, mode, options); }; })()`))

	// A note and a photo go with the answer.
	b.do(chromedp.SendKeys(chromedp.CSS("#inspect-text"), "seen in good light"))
	b.do(chromedp.Evaluate[chromedp.Void](`(async () => {
		const canvas = document.createElement("canvas"); canvas.width = 3000; canvas.height = 2000;
		const c = canvas.getContext("2d"); for (let i = 0; i < 400; i++) { c.fillStyle = "hsl(" + i * 37 % 360 + " 80% 50%)"; c.fillRect(Math.random() * 3000, Math.random() * 2000, 300, 200); }
		const blob = await new Promise(r => canvas.toBlob(r, "image/png"));
		const files = new DataTransfer(); files.items.add(new File([blob], "a.png", { type: "image/png" }));
		const input = document.getElementById("inspect-camera"); input.files = files.files; input.dispatchEvent(new Event("change"));
	})()`))
	b.until(`document.querySelector(".inspect-thumbnail") !== null`)
	first := get[string](b, askedHere)
	b.say("right")
	if get[string](b, askedHere) == first {
		t.Error("the screen stays")
	}
	// Back and forth.
	b.click("#back")
	b.until(askedHere + ` === ` + jsString(first) + ` && document.querySelector(".inspect-was")?.innerText.includes("right")`)
	b.click("#forward")
	b.until(askedHere + ` !== ` + jsString(first))

	// Wrong: which state, put right, and all that was touched asked again.
	n := b.quickly(40)
	if n < 30 {
		t.Fatalf("only %d answered", n)
	}
	for range 60 {
		if get[bool](b, `document.getElementById("inspect-count") !== null`) {
			break
		}
		b.quickly(1)
	}
	b.shot("inspect-count-820")
	b.do(settledScreen, chromedp.SendKeys(chromedp.CSS("#inspect-count"), "9"+kb.Enter))
	b.until(onScreen + ` === "counted"`)
	if text := get[string](b, `document.getElementById("inspect-screen").innerText`); !strings.Contains(text, "the plan has 10") || !strings.Contains(text, "1 link fewer") {
		t.Errorf("a count that is off: %s", text)
	}
	b.shot("inspect-counted-820")
	b.click("#count-wrong")
	b.until(onScreen + ` === "remedy"`)
	b.shot("inspect-remedy-820")
	b.click(`[data-do="put-right"]`)
	b.until(onScreen + ` === "mended"`)
	b.shot("inspect-mended-820")
	touched := get[int](b, `document.querySelectorAll(".inspect-touched input:checked").length`)
	if touched < 1 {
		t.Error("nothing was touched by putting a count right")
	}
	b.click("#mended")
	b.until(onScreen + ` === "question"`)
	if left := b.quickly(touched + 1); left != touched+1 {
		t.Errorf("%d of %d asked again", left, touched+1)
	}
	if got := get[[]int](b, `[window.strict, window.loose]`); got[0] < 40 || got[1] != 0 {
		t.Errorf("%d entries were kept strictly, %d otherwise", got[0], got[1])
	}
	// Wrong, and left as it is.
	b.click(`[data-answer="wrong"]`)
	b.until(onScreen + ` === "wrong"`)
	b.shot("inspect-wrong-820")
	b.click(`.inspect-state`)
	b.until(onScreen + ` === "remedy"`)
	b.click(`[data-do="stop"]`)
	b.until(onScreen + ` === "question"`)
	// What was wrong is not made right by an answer alone.
	b.click("#back")
	b.until(`document.querySelector(".inspect-was")?.innerText.includes("wrong")`)
	b.click(`[data-answer="right"]`)
	b.until(onScreen + ` === "mended" && document.getElementById("mistaken") !== null`)
	b.shot("inspect-mistaken-820")
	b.click("#mistaken")
	b.until(onScreen + ` === "question"`)
	b.say("cannot-tell")
	// A pause: the leg or side is begun again.
	b.click("#to-pause")
	b.until(onScreen + ` === "paused"`)
	b.click("#resume")
	b.until(onScreen + ` === "again"`)
	b.shot("inspect-again-820")
	b.click("#again-yes")
	b.until(onScreen + ` === "question"`)
	for i := 0; get[string](b, onScreen) == "question"; i++ {
		if i > 30 {
			t.Fatalf("the walk does not end: %s", get[string](b, `document.getElementById("inspect-screen").innerText`))
		}
		b.quickly(30)
	}
	b.until(onScreen + ` === "else"`)
	b.shot("inspect-else-820")
	b.click("#else-nothing")
	b.until(onScreen + ` === "end"`)
	b.shot("inspect-end-820")
	b.click("#finish")
	b.until(onScreen + ` === "finished"`)
	b.waitSent()
	_, all := b.acknowledged()
	k.keptOnce(id, all)
	_, state, err := k.all.Inspection(context.Background(), person("x"), id)
	if err != nil {
		t.Fatal(err)
	}
	if len(state.Unanswered()) != 0 || state.Phase != inspection.Finished || state.Paused != 1 {
		t.Errorf("%d not answered, %s, paused %d", len(state.Unanswered()), state.Phase, state.Paused)
	}
	if g := state.Answers[0]; g.Text != "seen in good light" || len(g.Photos) != 1 {
		t.Errorf("the first answer: %+v", g)
	}
	why := map[string]int{}
	events, err := k.store.Events(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range events {
		if e.Kind == inspection.Redo {
			why[strings.Split(string(e.Body), `"`)[3]]++
		}
	}
	if why["put-right"] != 1 || why["pause"] != 1 {
		t.Errorf("asked again because of %v", why)
	}
	if kind, data, err := k.store.Photo(context.Background(), state.Photos()[0]); err != nil || kind != "image/jpeg" || len(data) > 500<<10 || len(data) < 1000 {
		t.Errorf("the photo: %s, %d bytes, %v", kind, len(data), err)
	}
	b.click("#to-sign")
	b.arrive(`document.getElementById("sign-form") !== null`)
	b.shot("sign-820")
	b.click("#sign-form button")
	b.arrive(`document.body.innerText.includes("The signature stands")`)
	b.shot("signed-820")
}

// The network goes in the middle; the page is opened anew without it; nothing is
// lost, and all is sent when it is back, once.
func TestBrowser_InspectOffline(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	b := k.onTablet(t, browser, l.url(), k.ivo)
	b.size(820, 1180)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	b.click("#begin")
	b.quickly(5)
	b.waitSent()
	l.set(true, "")
	b.quickly(7)
	b.until(unsentHere + ` === 7`)
	b.do(chromedp.SendKeys(chromedp.CSS("#inspect-text"), "half a sentence"))
	asked := get[string](b, askedHere)
	b.do(chromedp.Reload())
	b.until(walkReady + ` && ` + onScreen + ` === "again"`)
	b.shot("inspect-offline-820")
	b.until(unsentHere + ` === 7`)
	b.click("#again-no")
	b.until(askedHere + ` === ` + jsString(asked))
	if got := get[string](b, `document.getElementById("inspect-text").value`); got != "half a sentence" {
		t.Errorf("what was typed is %q", got)
	}
	// Pictures come from the tablet.
	for range 30 {
		if get[bool](b, `document.querySelector(".inspect-picture") !== null`) {
			break
		}
		b.quickly(1)
	}
	b.until(`document.querySelector(".inspect-picture")?.complete && document.querySelector(".inspect-picture").naturalWidth > 0`)
	// The tablet's page is closed and opened again, still without the network.
	b.do(chromedp.Navigate("about:blank"))
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + onScreen + ` === "again"`)
	b.click("#again-yes")
	b.until(onScreen + ` === "question"`)
	for i := 0; get[string](b, onScreen) == "question" && i < 30; i++ {
		b.quickly(40)
	}
	b.click("#else-nothing")
	b.click("#finish")
	b.until(onScreen + ` === "finished"`)
	sent, all := b.acknowledged()
	if len(sent) >= len(all) || len(all) < 60 {
		t.Errorf("%d of %d sent without a network", len(sent), len(all))
	}
	l.set(false, "")
	b.do(chromedp.Evaluate[chromedp.Void](`window.dispatchEvent(new Event("online"))`))
	b.waitSent()
	sent, all = b.acknowledged()
	if len(sent) != len(all) {
		t.Errorf("%d of %d sent", len(sent), len(all))
	}
	k.keptOnce(id, all)
	events, err := k.store.Events(context.Background(), id)
	if err != nil || len(events) != len(all)+1 {
		t.Errorf("%d entries, want those of the tablet and the start: %d, %v", len(events), len(all)+1, err)
	}
	// In the order in which they were made.
	for i, e := range events[1:] {
		if e.N != int64(i+1) {
			t.Fatalf("entry %d is number %d", i+1, e.N)
		}
	}
}

// Two inspectors on two tablets inspect one load; each has its own, and they are
// compared.
func TestBrowser_TwoTablets(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	one, two := k.begun(k.ivo, "frame"), k.begun(k.eva, "frame")
	a, b := k.onTablet(t, browser, l.url(), k.ivo), k.onTablet(t, browser, l.url(), k.eva)
	for x, id := range map[*tab]string{a: one, b: two} {
		x.size(820, 1180)
		x.open("/inspect/" + id)
		x.until(walkReady)
		x.click("#begin")
		x.until(onScreen + ` === "question"`)
	}
	for range 4 {
		a.quickly(3)
		b.quickly(2)
	}
	b.say("cannot-tell")
	a.waitSent()
	b.waitSent()
	for x, id := range map[*tab]string{a: one, b: two} {
		_, all := x.acknowledged()
		k.keptOnce(id, all)
	}
	a.open(compareURL(one, two))
	a.until(`document.body.innerText.includes("Where they differ: 4")`)
	a.shot("compare-820")
	// The same person on a second tablet takes over, and is asked to begin again.
	c := k.onTablet(t, browser, l.url(), k.ivo)
	c.open("/inspect/" + one)
	c.until(walkReady + ` && ` + onScreen + ` === "again" && document.body.innerText.includes("another tablet")`)
	c.click("#again-yes")
	c.until(onScreen + ` === "question"`)
	c.quickly(3)
	c.waitSent()
	_, all := c.acknowledged()
	k.keptOnce(one, all)
	// Somebody else's walk cannot be gone on with.
	c.open("/inspect/" + two)
	c.arrive(`location.pathname.endsWith("/sign")`)
}

// A clock that is wrong is shown and not trusted; what is delivered twice is there
// once; what cannot be sent goes to the laptop in a file.
func TestBrowser_ClockFileAndSignOut(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	const late = `(() => { const by = -3 * 3600000, D = Date; window.Date = class extends D { constructor(...a) { if (a.length) super(...a); else super(D.now() + by); } static now() { return D.now() + by; } }; })()`
	b := k.onTablet(t, browser, l.url(), k.ivo, late)
	b.size(820, 1180)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	b.click("#begin")
	b.quickly(2)
	b.until(`document.getElementById("inspect-clock")?.innerText.includes("3 hours behind")`)
	b.shot("inspect-clock-820")
	_, state, err := k.all.Inspection(context.Background(), person("x"), id)
	if err != nil || state.Clock.Hours() < 2.9 || state.Clock.Hours() > 3.1 {
		t.Errorf("the clocks are %v apart, %v", state.Clock, err)
	}
	// An answer is lost on the way back: the tablet sends again, and it is there
	// once.
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const f = window.fetch; let lost = 2; window.lost = 0;
		window.fetch = async (...a) => { const r = await f(...a); if (a[1]?.method === "POST" && String(a[0]).endsWith("/events") && lost-- > 0) { window.lost++; throw new TypeError("lost"); } return r; }; })()`))
	b.quickly(3)
	b.waitSent()
	if n := get[int](b, `window.lost`); n != 2 {
		t.Errorf("%d answers were lost", n)
	}
	_, all := b.acknowledged()
	k.keptOnce(id, all)
	// Out of reach, then into a file, which the laptop takes.
	l.set(true, "")
	b.quickly(4)
	b.until(unsentHere + ` === 4`)
	text := get[string](b, `import("`+k.s.assets.url("inspect-store.js")+`").then(async (s) => (await s.file()).text())`)
	if strings.Count(text, `"kind":"answer"`) != 4 || !strings.Contains(text, `"by":"`+k.id[k.ivo]+`"`) {
		t.Errorf("the file: %.400s", text)
	}
	b.saves(t, "#inspect-export")
	chief := k.onTablet(t, browser, "http://"+k.s.listener.Addr().String(), k.chief)
	chief.open("/inspect/import")
	chief.do(chromedp.Evaluate[chromedp.Void](`(() => { const files = new DataTransfer(); files.items.add(new File([` + jsString(text) + `], "unsent.json", { type: "application/json" }));
		document.getElementById("file").files = files.files; document.getElementById("import").requestSubmit(); })()`))
	chief.until(`document.getElementById("import-told").innerText.includes("entries 4") && document.getElementById("import-told").innerText.includes("Refused: 0")`)
	chief.shot("inspect-import-820")
	_, all = b.acknowledged()
	k.keptOnce(id, all)
	// Signed out while something is unsent: it stays on the tablet, and the page
	// says so. (The laptop has it; the tablet does not know.)
	l.set(false, "")
	b.do(chromedp.Evaluate[chromedp.Void](`window.fetch = () => Promise.reject(new TypeError("out of reach"))`))
	b.click("form.who button")
	b.until(`document.getElementById("inspect-notice").innerText.includes("have not been sent")`)
	b.click("form.who button")
	b.arrive(`location.pathname === "/signin" && document.querySelector(".inspect-left") !== null`)
	b.shot("signin-left-820")
	if n := get[int](b, `caches.keys().then(k => k.length)`); n == 0 {
		t.Error("the walk was cleared with entries unsent")
	}
	// Signed in again it sends, and then sign-out clears all.
	w := ask(t, k.s, http.MethodPost, "/signin", map[string][]string{"login": {"ivo"}, "passphrase": {goodPassphrase}})
	b.signInAs(w.Result().Cookies())
	b.open("/inspect/" + id)
	b.until(walkReady)
	b.waitSent()
	b.click("form.who button")
	b.arrive(`location.pathname === "/signin" && document.documentElement.classList.contains("tidied")`)
	b.until(`(async () => (await caches.keys()).length === 0 && (await indexedDB.databases()).length === 0)()`)
}

// A blind count: the figure is not on the page before a number is entered, and
// never on a student's.
func TestBrowser_BlindCount(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	k.blind()
	l := newLine(t, k.serveOn())
	for _, who := range []*as{k.ivo, k.sam} {
		id := k.begun(who, "frame")
		b := k.onTablet(t, browser, l.url(), who)
		b.size(390, 844)
		b.open("/inspect/" + id)
		b.until(walkReady)
		b.click("#begin")
		for range 90 {
			if get[bool](b, `document.getElementById("inspect-count") !== null`) {
				break
			}
			b.quickly(1)
		}
		if html := get[string](b, `document.querySelector("main").innerHTML`); strings.Contains(html, "link 10") || get[string](b, `document.getElementById("inspect-count").value`) != "" {
			t.Error("the figure is on the page before it is counted")
		}
		b.shot(fmt.Sprintf("inspect-blind-%v-390", who == k.sam))
		b.do(settledScreen, chromedp.SendKeys(chromedp.CSS("#inspect-count"), "12"+kb.Enter))
		b.until(onScreen + ` === "counted"`)
		text := get[string](b, `document.querySelector("main").innerText`)
		if who == k.sam && (strings.Contains(text, "plan has") || !strings.Contains(text, "Compare it with the paper")) || who == k.ivo && !strings.Contains(text, "the plan has 10") {
			t.Errorf("after the count: %s", text)
		}
		b.shot(fmt.Sprintf("inspect-blind-counted-%v-390", who == k.sam))
	}
}

// Every screen at every size, with a finger, with keys alone, and enlarged.
func TestBrowser_InspectSizesAndKeys(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id, signable := k.begun(k.ivo, "crate"), k.begun(k.ivo, "frame")
	k.tablet(k.ivo, signable).walked()
	b := k.onTablet(t, browser, l.url(), k.ivo)
	check := func(name string, width int64) {
		t.Helper()
		if wide := get[int](b, `document.documentElement.scrollWidth`); int64(wide) > width {
			t.Errorf("%s at %d: %d wide", name, width, wide)
		}
		if small := get[string](b, `[...document.querySelectorAll("main button, main .button, main select, main input:not([type=hidden]):not([type=checkbox]):not([type=radio]), main summary, main textarea")].filter(x => { const r = x.getBoundingClientRect(); return r.width > 0 && (r.height < 47.5 || r.width < 47.5); }).map(x => x.outerHTML.slice(0, 80)).join("; ")`); small != "" {
			t.Errorf("%s at %d: too small: %s", name, width, small)
		}
	}
	looked := 0
	// 410 is a tablet of 820 px at a zoom of 200 %.
	for _, size := range [][2]int64{{360, 740}, {410, 590}, {820, 1180}, {1280, 800}} {
		b.size(size[0], size[1])
		for _, p := range []string{"/loads", "/loads/frame", "/inspect/" + signable + "/sign"} {
			b.open(p)
			check(p, size[0])
			b.shot(fmt.Sprintf("page%s-%d", strings.ReplaceAll(strings.ReplaceAll(p, signable, "x"), "/", "-"), size[0]))
			looked++
		}
		b.open("/inspect/" + id)
		b.until(walkReady)
		check("brief", size[0])
		sizes := get[[]float64](b, `(() => { const size = e => parseFloat(getComputedStyle(e).fontSize);
			const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
			let most = 0, n = 0;
			for (let t; t = walk.nextNode();) if (/\d/.test(t.data)) { n++; most = Math.max(most, size(t.parentElement)); }
			return [size(document.querySelector(".status")), most, n]; })()`)
		if sizes[0] <= sizes[1] || sizes[2] < 3 {
			t.Errorf("at %d px the status has %g px and a number %g", size[0], sizes[0], sizes[1])
		}
		b.shot(fmt.Sprintf("inspect-brief-%d", size[0]))
		b.click("#begin")
		b.until(onScreen + ` === "question"`)
		check("question", size[0])
		b.shot(fmt.Sprintf("inspect-question-%d", size[0]))
		b.click(`[data-answer="wrong"]`)
		b.until(onScreen + ` === "wrong"`)
		check("wrong", size[0])
		b.click(`.inspect-state`)
		b.until(onScreen + ` === "remedy"`)
		check("remedy", size[0])
		b.open("/inspect/" + id)
		looked += 4
	}
	if looked != 28 {
		t.Errorf("%d looks", looked)
	}
	// With keys alone: from the brief to an answer.
	b.until(walkReady)
	reach := func(what string) {
		t.Helper()
		for range 40 {
			b.do(chromedp.KeyEvent(kb.Tab))
			if get[bool](b, `document.activeElement.matches(`+quote(what)+`)`) {
				return
			}
		}
		t.Fatalf("%s cannot be reached with the tab key", what)
	}
	reach("#begin")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until(onScreen + ` === "question"`)
	asked := get[string](b, askedHere)
	reach(`[data-answer="right"]`)
	b.until(`document.querySelector(".settling") === null`)
	b.do(chromedp.KeyEvent(" "))
	b.until(askedHere + ` !== ` + jsString(asked))
	if got := get[string](b, `document.activeElement.tagName`); got != "H2" {
		t.Errorf("the focus is on %s, want the head of the next question", got)
	}
}

// settledScreen waits until the screen takes presses: what is pressed at once was
// meant for the screen before.
var settledScreen = chromedp.Evaluate[chromedp.Void](`(async () => { while (document.querySelector(".settling")) await new Promise((r) => setTimeout(r, 10)); })()`, chromedp.EvalAwaitPromise)

// A second press that was meant for the screen before answers nothing.
func TestBrowser_DoublePress(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	b := k.onTablet(t, browser, l.url(), k.ivo)
	b.size(820, 1180)
	b.open("/inspect/" + id)
	b.until(walkReady)
	b.click("#begin")
	b.until(onScreen + ` === "question" && document.querySelector(".settling") === null`)
	at := get[[]float64](b, `(() => { const r = document.querySelector('[data-answer="right"]').getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	b.do(chromedp.MouseClickXY(at[0], at[1], chromedp.ClickCount(2)))
	b.until(`document.querySelector(".settling") === null`)
	b.waitSent()
	if _, all := b.acknowledged(); len(all) != 1 {
		t.Errorf("a double press made %d entries", len(all))
	}
}

// Entries that come too late are refused, stay on the tablet, and go when the
// person has them in a file.
func TestBrowser_RefusedEntries(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	b := k.onTablet(t, browser, l.url(), k.ivo)
	b.size(820, 1180)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	b.click("#begin")
	b.until(onScreen + ` === "question"`)
	b.quickly(2)
	b.waitSent()
	l.set(true, "")
	b.quickly(3)
	// Meanwhile the same person finishes and signs on another tablet.
	k.tablet(k.ivo, id).walked()
	if w := k.ivo.ask("POST", "/inspect/"+id+"/sign", map[string][]string{"seq": {k.seqOf(id)}}); w.Code != http.StatusSeeOther {
		t.Fatalf("not signed: %d %s", w.Code, w.Body)
	}
	before := k.seqOf(id)
	l.set(false, "")
	b.do(chromedp.Evaluate[chromedp.Void](`window.dispatchEvent(new Event("online"))`))
	b.until(`document.getElementById("inspect-refused")?.innerText.includes("It is signed") || document.getElementById("inspect-refused")?.innerText.includes("it is signed")`)
	b.shot("inspect-refused-820")
	if n := get[int](b, unsentHere); n != 3 || k.seqOf(id) != before {
		t.Errorf("%d unsent, entry %s after %s", n, k.seqOf(id), before)
	}
	b.saves(t, "#inspect-refused button")
	b.click("#inspect-drop")
	b.arrive(`location.pathname.endsWith("/sign")`)
	b.arrive(unsentList + `.then((n) => n === 0)`)
}
