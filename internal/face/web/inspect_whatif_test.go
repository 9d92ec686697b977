package web

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// whatIfTable asks for a walk's table until it is there.
func (k *walkSchool) whatIfTable(b *as, id string) *app.WhatIf {
	k.t.Helper()
	for range 100 {
		w := b.ask("GET", "/inspect/"+id+"/whatif", nil, "Accept", "application/json", "Accept-Encoding", "gzip")
		switch w.Code {
		case http.StatusAccepted:
			continue
		case http.StatusOK:
		default:
			k.t.Fatalf("the table: %d %s", w.Code, w.Body)
		}
		if w.Header().Get("Content-Encoding") != "gzip" {
			k.t.Fatal("it is sent unpacked to whoever can unpack")
		}
		z, err := gzip.NewReader(bytes.NewReader(w.Body.Bytes()))
		if err != nil {
			k.t.Fatal(err)
		}
		text, err := io.ReadAll(z)
		if err != nil {
			k.t.Fatal(err)
		}
		plain := b.ask("GET", "/inspect/"+id+"/whatif", nil, "Accept", "application/json")
		if !bytes.Equal(plain.Body.Bytes(), text) {
			k.t.Error("packed and unpacked differ")
		}
		x := &app.WhatIf{}
		if err := json.Unmarshal(text, x); err != nil {
			k.t.Fatal(err)
		}
		return x
	}
	k.t.Fatal("the table never comes")
	return nil
}

// The table comes with a walk; whoever learns and counts blind gets none, and
// who teaches gets one without the planned counts.
func TestWhatIf_ComesWithTheWalkAndKeepsABlindCount(t *testing.T) {
	k := walkersCopy(t, realClock)
	id := k.begun(k.ivo, "frame")
	bundle, _ := k.bundle(k.ivo, id)
	x := k.whatIfTable(k.ivo, id)
	if !bundle.WhatIf || x.Format != app.WhatIfFormat || len(x.Rows) < 80 || x.Caution == "" || x.Single == "" || x.Computed.IsZero() {
		t.Errorf("bundle says %v; %s with %d rows, %q", bundle.WhatIf, x.Format, len(x.Rows), x.Caution)
	}
	if len(x.Legs) != 4 || x.Legs[0].Count == nil || *x.Legs[0].Count != 10 {
		t.Errorf("legs %+v", x.Legs)
	}
	// Every deficiency that a walk can name has its words.
	named := 0
	for _, task := range bundle.Tasks {
		for _, state := range task.States {
			named++
			if d, ok := x.Deficiencies[task.Part+"/"+task.Attribute+"/"+state.ID]; !ok || x.Texts[d.Text] == "" {
				t.Errorf("%s/%s/%s is not in the table", task.Part, task.Attribute, state.ID)
			}
		}
	}
	if named < 50 {
		t.Errorf("only %d deficiencies named", named)
	}
	k.blind()
	id = k.begun(k.ivo, "frame")
	bare := k.whatIfTable(k.ivo, id)
	for _, l := range bare.Legs {
		if l.Count != nil {
			t.Errorf("a blind count tells that leg %s is planned at %d", l.ID, *l.Count)
		}
	}
	for _, text := range bare.Texts {
		if strings.Contains(text, "link 1") || strings.Contains(text, "count 1") {
			t.Errorf("a blind count tells: %s", text)
		}
	}
	if len(bare.Rows) != len(x.Rows) {
		t.Errorf("%d rows for a blind count, %d otherwise", len(bare.Rows), len(x.Rows))
	}
	id = k.begun(k.sam, "frame")
	if p, err := k.store.Person(t.Context(), k.id[k.sam]); err != nil || p.May(people.SeeRecords) {
		t.Fatalf("sam is no student: %v", err)
	}
	if w := k.sam.ask("GET", "/inspect/"+id+"/whatif", nil, "Accept", "application/json"); w.Code != http.StatusForbidden {
		t.Errorf("who learns and counts blind is answered %d", w.Code)
	}
	if b, _ := k.bundle(k.sam, id); b.WhatIf {
		t.Error("the bundle of who learns and counts blind promises a table")
	}
}

const whatIfKept = `document.getElementById("inspect").dataset.whatif === "kept"`

// With the network off and the page loaded anew: a count that is off and a
// deficiency have their answers, and what the laptop says is what stands there.
func TestBrowser_WhatIfOffline(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	table := k.whatIfTable(k.ivo, id)
	b := k.onTablet(t, browser, l.url(), k.ivo)
	b.size(820, 1180, chromedp.EmulateTouch)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere + ` && ` + whatIfKept)
	l.set(true, "")
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + whatIfKept)
	b.click("#to-whatif")
	b.until(onScreen + ` === "whatif"`)
	b.shot("whatif-820")
	b.click(`[data-leg="FR"]`)
	for range 3 {
		b.click("#inspect-if-more")
	}
	row := ""
	for i := range table.Rows {
		if r := &table.Rows[i]; r.Leg == "FR" && r.By == 3 {
			row = r.Words
		}
	}
	said := func(want ...string) {
		t.Helper()
		text := get[string](b, `document.getElementById("inspect-screen").innerText`)
		for _, w := range want {
			if !strings.Contains(strings.ToLower(text), strings.ToLower(w)) {
				t.Errorf("the screen does not say %q:\n%s", w, text)
			}
		}
	}
	if row == "" {
		t.Fatal("no such row")
	}
	said("link 13", "3 links more than planned", row, "Leg RL", "two changes at once", "Computed on", table.Rig[:8], "Not a clearance to lift")
	b.shot("whatif-count-820")
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const s = document.getElementById("inspect-if-fault"); s.value = "leg-lost.RL"; s.dispatchEvent(new Event("change")); })()`))
	b.until(`document.querySelector(".inspect-if-result")?.dataset.row === "leg-lost.RL"`)
	said("lost")
	b.shot("whatif-lost-820")
	for _, size := range [][2]int64{{390, 844}, {1280, 800}} {
		b.size(size[0], size[1], chromedp.EmulateTouch)
		if w := get[int64](b, `document.documentElement.scrollWidth`); w > size[0] {
			t.Errorf("at %d it is %d wide", size[0], w)
		}
		b.shot("whatif-lost-" + map[int64]string{390: "390", 1280: "1280"}[size[0]])
	}
	b.size(820, 1180, chromedp.EmulateTouch)
	b.click("#whatif-back")
	b.until(onScreen + ` === "brief"`)
	// From a count that is off, straight to what that count does.
	b.click("#begin")
	b.until(onScreen + ` === "question"`)
	for i := 0; !get[bool](b, `document.getElementById("inspect-count") !== null`); i++ {
		if i > 80 {
			t.Fatal("no count is asked for")
		}
		b.quickly(1)
	}
	leg := get[string](b, askedHere)
	b.do(settledScreen, chromedp.SendKeys(chromedp.CSS("#inspect-count"), "8"+kb.Enter))
	b.until(onScreen + ` === "counted"`)
	b.click("#whatif")
	b.until(onScreen + ` === "whatif"`)
	if got := get[string](b, `document.querySelector(".inspect-if-result").dataset.row`); !strings.HasPrefix(got, "count-off.") || !strings.HasSuffix(got, ".-2") {
		t.Errorf("of %s: row %s", leg, got)
	}
	said("link 8", "2 links fewer")
	b.click("#whatif-back")
	b.until(onScreen + ` === "counted"`)
	b.click("#count-wrong")
	b.until(onScreen + ` === "remedy"`)
	b.click("#whatif")
	b.until(onScreen + ` === "whatif"`)
	said("link 8", "2 links fewer")
	b.shot("whatif-deficiency-820")
	b.click("#whatif-back")
	b.until(onScreen + ` === "remedy"`)
	b.click(`[data-do="stop"]`)
	b.until(onScreen + ` === "question"`)
	// Nothing of it was entered but the answer.
	l.set(false, "")
	b.do(chromedp.Evaluate[chromedp.Void](`window.dispatchEvent(new Event("online"))`))
	b.waitSent()
}

// A tablet that asks before the table is there says so, and has it later.
func TestBrowser_WhatIfComesLater(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	id := k.begun(k.ivo, "frame")
	k.s.faultWork.one.Lock() // something else is computed first
	free := true
	defer func() {
		if free {
			k.s.faultWork.one.Unlock()
		}
	}()
	b := k.onTablet(t, browser, "http://"+k.serveOn(), k.ivo)
	b.size(820, 1180)
	b.open("/inspect/" + id)
	b.until(walkReady)
	b.click("#to-whatif")
	b.until(`document.getElementById("inspect-screen").innerText.includes("Not computed yet")`)
	k.s.faultWork.one.Unlock()
	free = false
	b.until(whatIfKept + ` && document.querySelector("[data-leg]") !== null`)
}

// The list of loads and the page to sign on can be looked at as they were fetched,
// and nothing on them can be pressed that needs the laptop.
func TestBrowser_LoadsAndSignPageAsFetched(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	k.tablet(k.ivo, id).walked()
	b := k.onTablet(t, browser, l.url(), k.ivo)
	b.size(390, 844, chromedp.EmulateTouch)
	b.open("/loads")
	b.until(`document.querySelector(".loads").dataset.ready === "yes"`)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	b.open("/inspect/" + id + "/sign")
	b.until(`document.getElementById("sign-form") !== null`)
	b.until(`caches.open("hangtrue-look").then((c) => c.keys()).then((all) => all.length === 2)`)
	l.set(true, "")
	for _, p := range []string{"/loads", "/inspect/" + id + "/sign"} {
		b.open(p)
		b.until(`document.querySelector(".inspect-asfetched")?.innerText.includes("As fetched at ")`)
		if n := get[int](b, `document.querySelectorAll("main form").length`); n != 0 {
			t.Errorf("%s: %d forms without the laptop", p, n)
		}
		if text := get[string](b, `document.querySelector("main").innerText`); !strings.Contains(text, "Frame 1") || !get[bool](b, `[...document.styleSheets].some((s) => s.cssRules.length > 50)`) {
			t.Errorf("%s: %.200s", p, text)
		}
		if w := get[int64](b, `document.documentElement.scrollWidth`); w > 390 {
			t.Errorf("%s is %d wide", p, w)
		}
		b.shot("asfetched" + strings.ReplaceAll(strings.ReplaceAll(p, "/", "-"), id, "x"))
	}
	// Signing out takes them along.
	l.set(false, "")
	b.open("/loads")
	b.until(`document.querySelector(".loads").dataset.ready === "yes"`)
	b.click("form.who button")
	b.arrive(`location.pathname === "/signin" && document.documentElement.classList.contains("tidied")`)
	b.until(`caches.keys().then((keys) => !keys.includes("hangtrue-look"))`)
}
