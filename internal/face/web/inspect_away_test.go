package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const (
	pageText   = `document.body.innerText`
	tabletKeys = `caches.keys().then((keys) => keys.join(" "))`
)

// quiet forgets what the console said of pages that are not there.
func (b *tab) quiet() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.console = nil
}

// Who signs out without the network is shown a page of ours, and whoever then
// holds the tablet is not that person when the network is back.
func TestBrowser_SignedOutWithoutTheNetwork(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	v := x.plant(one())
	l := newLine(t, k.serveOn())
	b := k.onTablet(t, browser, l.url(), k.chief)
	b.size(820, 1180)
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeKept)
	b.open("/loads")
	b.until(`document.querySelector(".loads").dataset.ready === "yes"`)
	l.set(true, "")
	b.open("/loads")
	b.until(`document.querySelector(".inspect-asfetched") !== null`)
	b.click("form.who button") // asks to be signed out on a kept page
	b.arrive(`location.pathname === "/signin" && document.documentElement.classList.contains("tidied")`)
	b.shot("signed-out-offline-820")
	for _, path := range []string{"/signin", "/grade/" + v, "/grade", "/loads", "/records"} {
		b.open(path)
		if got := get[string](b, pageText); !strings.Contains(got, "You are signed out on this tablet") {
			t.Errorf("%s after signing out without the network: %.300s", path, got)
		}
	}
	b.until(`caches.keys().then((keys) => keys.every((k) => k === "signed-out" || k.startsWith("hangtrue-shell-")))`)
	if w := k.chief.ask("GET", "/grade", nil); w.Code != http.StatusOK {
		t.Fatalf("the session had ended before the network was back: %d", w.Code)
	}
	l.set(false, "")
	b.quiet()
	b.open("/grade")
	b.until(`location.pathname === "/signin" && document.getElementById("login") !== null`)
	if w := k.chief.ask("GET", "/grade", nil); w.Code == http.StatusOK {
		t.Error("the session goes on at the server")
	}
	b.until(`document.documentElement.classList.contains("tidied")`)
	b.until(tabletKeys + `.then((keys) => keys === "")`)
	b.quiet()
}

// Signing in is enough for that: no walk and no lane need have been opened.
func TestBrowser_SignedOutWithoutTheNetworkAtOnce(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	b := k.onTablet(t, browser, l.url(), &as{})
	b.size(820, 1180)
	b.open("/signin?to=/records")
	b.signIn("ivo")
	b.arrive(`location.pathname === "/records" && navigator.serviceWorker.controller !== null`)
	l.set(true, "")
	b.click("form.who button")
	b.arrive(`location.pathname === "/signin" && document.body.innerText.includes("You are signed out on this tablet")`)
	l.set(false, "")
	b.open("/records")
	b.until(`location.pathname === "/signin" && document.getElementById("login") !== null`)
	b.quiet()
}

// Without the network the tablet says what it holds, from the list of loads and
// from any other page, and leads there.
func TestBrowser_TheWayBackWithoutTheNetwork(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	v := x.plant(one())
	l := newLine(t, k.serveOn())
	b := k.onTablet(t, browser, l.url(), k.chief)
	b.size(820, 1180)
	id := k.begun(k.chief, "frame")
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeKept)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	l.set(true, "")
	b.click("#begin")
	b.quickly(7)
	b.until(unsentHere + ` === 7`)
	here := `[...document.querySelectorAll("a")].find((a) => a.pathname === "/inspect/` + id + `")?.closest("li").innerText ?? ""`
	b.open("/loads")
	b.until(`document.getElementById("loads-here") !== null`)
	if got := get[string](b, here); !strings.Contains(got, "7 entries not sent yet") {
		t.Errorf("the list of loads has %q", got)
	}
	if got := get[string](b, pageText); strings.Contains(got, "No walk is under way") {
		t.Error("the list of loads says that no walk is under way")
	}
	b.shot("loads-here-820")
	for _, path := range []string{"/grade", "/records", "/today", "/"} {
		b.open(path)
		got := get[string](b, pageText)
		if !strings.Contains(got, "not kept on the tablet") || !strings.Contains(get[string](b, here), "7 entries not sent yet") {
			t.Errorf("%s: %.500s", path, got)
		}
		if !get[bool](b, `[...document.querySelectorAll("a")].some((a) => a.pathname === "/grade/`+v+`" && a.innerText.includes("version 1"))`) {
			t.Errorf("%s names no lane: %.500s", path, got)
		}
		if path == "/grade" {
			b.shot("grade-away-list-820")
		}
	}
	b.click(`.held a[href="/grade/` + v + `"]`)
	b.arrive(gradeReady)
	b.open("/grade")
	b.click(`.held a[href="/inspect/` + id + `"]`)
	b.arrive(walkReady)
	// Signed out there, nothing of it is shown and nothing that was not sent is lost.
	b.open("/loads")
	b.click("form.who button")
	b.arrive(`location.pathname === "/signin" && document.querySelector(".inspect-left")?.innerText.includes("7 entries")`)
	b.shot("signed-out-left-820")
	b.open("/inspect/" + id)
	if got := get[string](b, pageText); !strings.Contains(got, "You are signed out on this tablet") {
		t.Errorf("the walk is shown to whoever comes after: %.300s", got)
	}
	l.set(false, "")
	b.open("/inspect/" + id)
	b.until(`location.pathname === "/signin" && document.getElementById("login") !== null`)
	l.set(true, "")
	b.open("/inspect/" + id)
	if got := get[string](b, pageText); !strings.Contains(got, "for who is not signed in") {
		t.Errorf("out of reach again the walk is shown to whoever comes after: %.300s", got)
	}
	l.set(false, "")
	b.open("/signin?to=/inspect/" + id)
	b.signIn("chief")
	b.arrive(walkReady)
	b.waitSent()
	_, all := b.acknowledged()
	if len(all) != 7 {
		t.Errorf("%d entries, want 7", len(all))
	}
	k.keptOnce(id, all)
	b.quiet()
}

// The end of a walk lists the questions without an answer, and each leads there.
func TestBrowser_TheEndOfTheWalkListsWhatIsLeft(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	b := k.onTablet(t, browser, "http://"+k.serveOn(), k.ivo)
	b.size(820, 1180)
	id := k.begun(k.ivo, "frame")
	b.open("/inspect/" + id)
	b.until(walkReady)
	b.click("#begin")
	b.quickly(3)
	b.click("#to-end")
	b.click("#else-nothing")
	b.until(onScreen + ` === "end"`)
	if got := get[string](b, pageText); strings.Contains(got, "[object") || !strings.Contains(got, "Not answered: ") {
		t.Errorf("the end of the walk: %.600s", got)
	}
	if n, want := get[int](b, `document.querySelectorAll(".inspect-list button").length`), get[int](b, `document.querySelector("#inspect-bar progress").max - 3`); n != want || n < 50 {
		t.Errorf("%d questions are listed, %d were not answered", n, want)
	}
	b.shot("inspect-end-820")
	b.click(".inspect-list button")
	b.until(onScreen + ` === "question"`)
}

// toCount answers until a count of links is asked for.
func (b *tab) toCount() {
	b.Helper()
	for range 90 {
		if get[bool](b, `document.getElementById("inspect-count") !== null`) {
			return
		}
		b.quickly(1)
	}
	b.Fatal("no count is asked for")
}

// A count that is wrong is called so; nobody can enter a link that a chain cannot be
// held by; and a few presses in gloves are enough.
func TestBrowser_CountsOnTheWalk(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	b := k.onTablet(t, browser, "http://"+k.serveOn(), k.ivo)
	b.size(390, 844)
	id := k.begun(k.ivo, "frame")
	b.open("/inspect/" + id)
	b.until(walkReady)
	b.click("#begin")
	b.until(onScreen + ` === "question"`)
	order := `[...document.querySelectorAll("[data-answer]")].map((x) => x.dataset.answer).join(" ")`
	if got := get[string](b, order); got != "right wrong cannot-tell" {
		t.Errorf("the answers stand in the order %s", got)
	}
	b.toCount()
	if got := get[string](b, order); got != "wrong cannot-tell" {
		t.Errorf("beneath a count the answers stand in the order %s", got)
	}
	b.until(`document.querySelector(".settling") === null`)
	for _, no := range []string{"0", "-1", "999"} {
		b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("inspect-count").value = "` + no + `"`))
		b.click(".inspect-count .main")
		if get[string](b, onScreen) != "question" {
			t.Errorf("a count of %s is taken", no)
		}
	}
	b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("inspect-count").value = ""`))
	b.click(`[data-by="-1"]`)
	if got := get[string](b, `document.getElementById("inspect-count").value`); got != "" {
		t.Errorf("one fewer than nothing is %q", got)
	}
	b.click(`[data-by="10"]`)
	b.click(`[data-by="10"]`)
	b.click(`[data-by="-1"]`)
	if got := get[string](b, `document.getElementById("inspect-count").value`); got != "19" {
		t.Errorf("three presses come to %q, want 19", got)
	}
	if wide := get[int](b, `document.documentElement.scrollWidth`); wide > 390 {
		t.Errorf("%d wide", wide)
	}
	b.shot("inspect-count-gloves-390")
	b.click(".inspect-count .main")
	b.until(onScreen + ` === "counted"`)
	b.click("#count-wrong")
	b.until(onScreen + ` === "remedy"`)
	if got := get[string](b, `document.querySelector("#inspect-screen h2").innerText`); got != "9 links more than planned" {
		t.Errorf("a wrong count is headed %q", got)
	}
	b.until(whatIfKept)
	b.click("#whatif")
	b.until(`document.querySelector(".inspect-if-result") !== null`)
	verdicts := get[[]string](b, `[...document.querySelectorAll(".inspect-if-result > .inspect-verdict")].map((x) => x.innerText)`)
	if len(verdicts) < 2 || !strings.HasPrefix(verdicts[len(verdicts)-2], "Still not the plan: leg ") || !strings.Contains(verdicts[len(verdicts)-2], "9 links more") {
		t.Errorf("the what-if of a wrong count is headed %q", verdicts)
	}
	b.shot("inspect-whatif-count-390")
	b.do(chromedp.KeyEvent(kb.Home))
}

// A run: an item is found once, what was unsafe is said in words, and "out of
// order" is there only where the rule asks for it.
func TestGrade_OnceSaidAndByItsRule(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	at := "/grade/" + v
	text := x.instructor.page(at)
	if strings.Contains(text, `data-kind="order"`) {
		t.Error("the rule asks for no order and the page has a key for it")
	}
	x.instructor.to(at, url.Values{"do": {"start"}, "student": {x.students[0]}})
	run := regexp.MustCompile(`name="run" value="([a-z2-7]{26})"`).FindStringSubmatch(x.instructor.page(at))
	item := regexp.MustCompile(`value="found ([^"]+)"`).FindStringSubmatch(text)
	if run == nil || item == nil {
		t.Fatal("no run, or nothing to find")
	}
	x.instructor.to(at, url.Values{"do": {"found " + item[1]}, "run": {run[1]}})
	w := x.instructor.ask("POST", at, url.Values{"do": {"found " + item[1]}, "run": {run[1]}})
	if w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "Already called at") {
		t.Errorf("found twice: %d", w.Code)
	}
	w = x.instructor.ask("POST", at, url.Values{"do": {"unsafe"}, "run": {run[1]}, "remark": {" "}})
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "what was unsafe") {
		t.Errorf("unsafe without a word: %d", w.Code)
	}
}

// The same on a tablet.
func TestBrowser_GradeOnceAndSaid(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	v := x.plant(one())
	b := k.onTablet(t, browser, "http://"+k.serveOn(), k.chief)
	b.size(820, 1180)
	b.open("/grade/" + v)
	b.until(gradeReady)
	b.choose(x.students[0])
	b.click(`.grade-items li:nth-child(1) button`)
	b.until(gradeLog + ` === 1`)
	b.click(`.grade-items li:nth-child(1) button`)
	b.until(`document.querySelector(".grade-note").innerText.startsWith("Already called at 0:0")`)
	b.shot("grade-called-820")
	b.click(".grade-unsafe")
	b.until(`document.querySelector(".grade-note").innerText.includes("what was unsafe") && document.activeElement.id === "remark"`)
	b.click(".grade-unsafe")
	if !get[bool](b, gradeOn) || get[int](b, gradeLog) != 1 {
		t.Error("the run ended without a word of what was unsafe")
	}
	b.do(chromedp.SendKeys(chromedp.CSS("#remark"), "stood beneath the load"))
	b.click(".grade-unsafe")
	b.click(".grade-unsafe")
	b.until(gradeOutcome + ` !== "" && ` + gradeWaiting + ` === 0`)
	if got := get[string](b, `document.querySelector(".grade-reasons").innerText`); !strings.Contains(got, "stood beneath the load") {
		t.Errorf("the reason is %q", got)
	}
}
