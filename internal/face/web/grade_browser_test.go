package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"hangtrue/internal/engine/teach"
)

const (
	gradeReady   = `document.documentElement.classList.contains("scripted") && document.querySelector(".grade") !== null`
	gradeWaiting = `Number(document.querySelector(".grade").dataset.waiting)`
	gradeOn      = `!document.querySelector(".grade-run").hidden`
	gradeOutcome = `(document.querySelector(".grade-result:not([hidden]) .grade-outcome")?.innerText || "")`
	gradeLog     = `document.querySelectorAll(".grade-log li").length`

	// A run is kept and the server has all of it. What the page shows may be from
	// the moment before the last tap was kept.
	gradeDelivered = `new Promise((r) => { const q = indexedDB.open("hangtrue-grade"); q.onsuccess = () => {
		const t = q.result.transaction(["entries", "runs"]), e = t.objectStore("entries").count(), n = t.objectStore("runs").count();
		t.oncomplete = () => { q.result.close(); r(n.result > 0 && e.result === 0 && ` + gradeWaiting + ` === 0); }; }; })`
)

// graders is a school whose chief instructor runs a class.
func graders(t *testing.T) (*walkSchool, *taught) {
	t.Helper()
	k := walkersCopy(t, realClock)
	x := &taught{T: t, s: k.s, chief: k.chief, instructor: k.chief, as: "chief"}
	return k, x.set(t)
}

// choose starts a run of a student.
func (b *tab) choose(student string) {
	b.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const s = document.getElementById("student"); s.value = ` + jsString(student) + `; s.dispatchEvent(new Event("change")); })()`))
	b.click(".grade-go")
	b.until(gradeOn)
}

// A run on a tablet whose network goes and whose page dies in the middle: nothing
// is lost, nothing doubled, and the result comes when the server is back.
func TestBrowser_GradeThroughACrash(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	v := x.plant(one())
	l := newLine(t, k.serveOn())
	b := k.onTablet(t, browser, l.url(), k.chief)
	b.size(820, 1180, chromedp.EmulateTouch)
	b.open("/grade/" + v)
	b.until(gradeReady)
	b.shot("grade-start-820")
	b.choose(x.students[0])
	b.click(`.grade-items li:nth-child(1) button`)
	b.until(gradeLog + ` === 1`)
	b.until(gradeDelivered)
	// The network goes; two more calls, one of them taken back.
	l.set(true, "")
	b.click(`.grade-items li:nth-child(2) button`)
	b.click(`[data-kind="false"]`)
	b.click(`[data-kind="false"]`)
	b.click(`[data-kind="undo"]`)
	b.until(gradeWaiting + ` === 4 && document.querySelector(".grade-queue").innerText.includes("not delivered")`)
	b.shot("grade-away-820")
	if n := get[int](b, gradeLog); n != 3 {
		t.Errorf("%d entries stand, want 3", n)
	}
	// The tablet dies, and the network is back when it is started again.
	b.do(chromedp.Navigate("about:blank"))
	l.set(false, "")
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeOn + ` && ` + gradeLog + ` === 3`)
	b.until(gradeWaiting + ` === 0`)
	if got := get[string](b, `document.querySelector(".grade-who").innerText`); !strings.Contains(got, "Ada Fell") {
		t.Errorf("the run is %q's", got)
	}
	b.click(`.grade-items li:nth-child(3) button`)
	// What ends a run is pressed twice.
	b.click(".grade-end")
	if !get[bool](b, gradeOn) {
		t.Error("one press ends the run")
	}
	b.click(".grade-end")
	b.until(gradeOutcome + ` === "met the rule"`)
	b.until(gradeWaiting + ` === 0`) // the tablet says it before the school has it
	b.shot("grade-result-820")
	runs, err := k.store.Runs(t.Context(), "", "", v, "")
	if err != nil || len(runs) != 1 || !runs[0].Ended {
		t.Fatalf("%+v, %v", runs, err)
	}
	events, err := k.store.RunEvents(t.Context(), runs[0].ID)
	if err != nil || len(events) != 8 {
		t.Fatalf("%d entries, %v", len(events), err)
	}
	seen := map[string]bool{}
	for _, e := range events {
		if seen[e.ID] {
			t.Errorf("entry %s stands twice", e.ID)
		}
		seen[e.ID] = true
	}
	results, err := k.store.Results(t.Context(), "", "", runs[0].ID)
	if err != nil || len(results) != 1 || len(results[0].Found) != 3 || results[0].False != 1 {
		t.Errorf("%+v, %v", results, err)
	}
}

// A run that another tablet began goes on here; a true fault that nobody planted
// stops the clock and, on other tablets, the lane.
func TestBrowser_GradeTakenUpAndStopped(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	v := x.plant(one())
	address := "http://" + k.serveOn()
	a := k.onTablet(t, browser, address, k.chief)
	a.size(820, 1180)
	a.open("/grade/" + v)
	a.until(gradeReady)
	a.choose(x.students[1])
	a.click(`.grade-items li:nth-child(1) button`)
	a.until(gradeLog + ` === 1`)
	a.until(gradeDelivered)
	b := k.onTablet(t, browser, address, k.chief)
	b.size(390, 844)
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeOn + ` && document.querySelectorAll(".grade-items .found").length === 1`)
	b.do(chromedp.SendKeys(chromedp.CSS("#remark"), "pin not moused"))
	b.click(`[data-kind="not-planted"]`)
	b.until(`!document.querySelector(".grade-halted").hidden && ` + gradeWaiting + ` === 0`)
	b.shot("grade-stopped-390")
	stood := get[string](b, `document.querySelector(".grade-clock output").innerText`)
	a.open("/grade/" + v)
	a.until(gradeReady + ` && document.querySelector(".grade-stop") !== null`)
	if got := get[string](a, `document.querySelector(".grade-stop").innerText`); !strings.Contains(got, "pin not moused") {
		t.Errorf("the other tablet says %s", got)
	}
	b.click(".grade-halted button")
	b.until(`document.querySelector(".grade-halted").hidden && ` + gradeWaiting + ` === 0`)
	b.do(chromedp.SendKeys(chromedp.CSS("#remark"), "stood beneath the load"))
	b.click(".grade-unsafe")
	b.click(".grade-unsafe")
	b.until(gradeOutcome + ` === "ended by a safety violation"`)
	b.until(gradeWaiting + ` === 0`)
	runs, err := k.store.Runs(t.Context(), "", "", v, "")
	if err != nil || len(runs) != 1 {
		t.Fatal(runs, err)
	}
	events, err := k.store.RunEvents(t.Context(), runs[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	state, err := teach.FoldRun(events)
	if err != nil || state.Waited <= 0 || !state.Halted.IsZero() {
		t.Errorf("the clock stood still for %v (it showed %s), %v", state.Waited, stood, err)
	}
	if len(state.Last) != 2 {
		t.Errorf("%d tablets", len(state.Last))
	}
}

// Pages as they are looked at: with -shots.
func TestShots_Class(t *testing.T) {
	if *shots == "" {
		t.Skip("skipped without -shots FOLDER")
	}
	browser := browserOf(t)
	k, x := graders(t)
	form := laneFields()
	form.Set("title", "Second lane")
	form.Set("load", "Crate 8")
	form.Set("tag", "13")
	x.instructor.to("/classes/"+x.class+"/lanes", form)
	v := x.plant(one())
	x.instructor.deliver(v, x.aRun(made("run", 1), v, x.students[0], 3, 1))
	x.instructor.deliver(v, x.aRun(made("run", 2), v, x.students[1], 1, 2))
	x.instructor.deliver(v, x.aRun(made("run", 3), v, x.students[2], 1, 0)[:2])
	x.instructor.ask("POST", "/classes/"+x.class+"/rotation", map[string][]string{"day": {realClock().Format("2006-01-02")}, "start": {realClock().Format("15") + ":00"}})
	b := k.onTablet(t, browser, "http://"+k.serveOn(), k.chief)
	for _, width := range []int64{390, 820, 1280} {
		b.size(width, 900)
		for name, target := range map[string]string{
			"classes": "/classes", "class": "/classes/" + x.class, "student": "/classes/" + x.class + "/students/" + x.students[0], "lanes": "/classes/" + x.class + "/lanes",
			"lane": "/lanes/" + x.lane, "version": "/versions/" + v, "putback": "/versions/" + v + "/put-back", "rotation": "/classes/" + x.class + "/rotation",
			"board": "/classes/" + x.class + "/board", "results": "/classes/" + x.class + "/results", "run": "/runs/" + made("run", 1), "grades": "/grade", "grade": "/grade/" + v, "tagged": "/tagged", "hand": "/lanes/" + x.lane + "/hand?at=5",
		} {
			b.open(target)
			b.until(`document.readyState === "complete"`)
			if w := get[int64](b, `document.documentElement.scrollWidth`); w > width {
				t.Errorf("%s at %d is %d wide", name, width, w)
			}
			b.shot(name + "-" + map[int64]string{390: "390", 820: "820", 1280: "1280"}[width])
		}
	}
}

// A lane in pictures in a browser: begun, called by touch, ended, and the pages
// hold at every width. With -shots they are looked at.
func TestBrowser_LaneInPictures(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	x.pictureLane(nil)
	v := x.plant(one())
	x.open("open", 200)
	w := x.chief.ask("POST", "/people/"+x.students[0], map[string][]string{"do": {"invite"}})
	m := welcomeLink.FindStringSubmatch(w.Body.String())
	if m == nil {
		t.Fatal("no link for the student")
	}
	student := welcomed(t, k.s, m[1], "stu")
	b := k.onTablet(t, browser, "http://"+k.serveOn(), student)
	fits := func(name string, width int64) {
		t.Helper()
		if w := get[int64](b, `document.documentElement.scrollWidth`); w > width {
			t.Errorf("%s at %d is %d wide", name, width, w)
		}
		b.shot(fmt.Sprintf("%s-%d", name, width))
	}
	follow := func(selector string) {
		t.Helper()
		if _, err := chromedp.RunResponse(b.ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
			t.Fatalf("%s: %v", selector, err)
		}
	}
	b.size(390, 844, chromedp.EmulateTouch)
	b.open("/lane-run")
	b.until(`document.readyState === "complete"`)
	fits("lane-run-list", 390)
	follow(`form[action="/lane-run"] button`)
	const station = `document.querySelector("form[data-drill]") !== null && document.readyState === "complete" && [...document.querySelectorAll(".drill-items img")].every((i) => i.complete && i.naturalWidth === 800)`
	b.until(station)
	fits("lane-run", 390)
	if n := get[int64](b, `document.querySelectorAll("input[value=right]:checked").length`); n < 1 || n != get[int64](b, `document.querySelectorAll(".drill-items li").length`) {
		t.Errorf("%d pictures are as they should be before anything is called", n)
	}
	b.click(`.drill-call label:nth-child(2)`)
	b.until(`getComputedStyle(document.querySelector(".drill-which")).display !== "none"`)
	for _, width := range []int64{820, 1280} {
		b.size(width, 900)
		fits("lane-run", width)
	}
	before := get[string](b, `document.querySelector(".drill-head p:nth-child(2)").innerText`)
	follow(".drill-on .main")
	b.until(station + ` && document.querySelector(".drill-head p:nth-child(2)").innerText !== ` + jsString(before))
	b.click(".drill-stop summary")
	follow(".drill-stop button")
	b.until(`document.querySelector(".grade-outcome") !== null`)
	for _, width := range []int64{390, 820, 1280} {
		b.size(width, 900)
		fits("lane-run-end", width)
	}
	if got := get[string](b, `document.querySelector(".grade-outcome").innerText`); got != "Did not meet the rule" {
		t.Errorf("it came to %q", got)
	}
	runs, err := k.store.Runs(t.Context(), "", "", v, "")
	if err != nil || len(runs) != 1 || !runs[0].Ended {
		t.Fatalf("%+v, %v", runs, err)
	}
	if w := x.instructor.ask("POST", "/versions/"+v, map[string][]string{"do": {"key"}}); w.Code != 200 {
		t.Fatal(w.Code)
	}
	for _, width := range []int64{390, 1280} {
		b.size(width, 900)
		b.open("/lane-run/" + runs[0].ID)
		b.until(`document.querySelectorAll(".drill-verdict").length >= 4`)
		fits("lane-run-shown", width)
	}
}
