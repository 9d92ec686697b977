package web

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
	"hangtrue/internal/policy/extra"
)

const (
	gradeKept     = `document.querySelector(".grade").dataset.ready === "yes"`
	gradeReceived = `document.querySelector(".grade-result").dataset.received`
	gradeCopies   = `caches.keys().then((keys) => keys.filter((k) => k.startsWith("hangtrue-grade-")).length)`
	gradeDatabase = `indexedDB.databases().then((all) => all.some((d) => d.name === "hangtrue-grade"))`
)

// A lane is opened, the network goes, the page is loaded again, a run is begun
// and graded, the tablet is killed, and when the network is back the school has
// each entry once. The result was there before.
func TestBrowser_GradeWithoutTheNetwork(t *testing.T) {
	extra.Need(t, "browser")
	k, x := graders(t)
	v := x.plant(one())
	l := newLine(t, k.serveOn())
	folder := t.TempDir()
	b := k.tabOf(t, browserIn(t, folder), l.url(), k.chief)
	b.size(820, 1180, chromedp.EmulateTouch)
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeKept)
	l.set(true, "")
	b.open("/grade/" + v)
	b.until(gradeReady + ` && document.querySelector(".grade-queue").innerText.includes("as it was at")`)
	b.shot("grade-offline-820")
	b.choose(x.students[0])
	b.click(`.grade-items li:nth-child(1) button`)
	b.click(`[data-kind="false"]`)
	b.until(gradeWaiting + ` === 3 && ` + gradeLog + ` === 2`)
	killBrowser(t, folder)
	b = k.tabOf(t, browserIn(t, folder), l.url(), k.chief)
	b.size(820, 1180, chromedp.EmulateTouch)
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeOn + ` && ` + gradeLog + ` === 2 && ` + gradeWaiting + ` === 3`)
	if got := get[string](b, `document.querySelector(".grade-who").innerText`); !strings.Contains(got, "Ada Fell") {
		t.Errorf("the run is %q's", got)
	}
	b.click(`.grade-items li:nth-child(2) button`)
	b.click(`.grade-items li:nth-child(3) button`)
	b.click(".grade-end")
	b.click(".grade-end")
	b.until(gradeOutcome + ` === "met the rule" && ` + gradeReceived + ` === "no"`)
	if got := get[string](b, `document.querySelector(".grade-result").innerText`); !strings.Contains(got, "not yet received by the school") || !strings.Contains(got, "Found 3 of ") || !strings.Contains(got, "1 false call") {
		t.Errorf("the result on the tablet: %s", got)
	}
	b.shot("grade-own-result-820")
	// The next student, still without the network, and the page loaded again.
	b.click(".grade-next")
	b.choose(x.students[1])
	b.click(`.grade-items li:nth-child(2) button`)
	b.until(gradeWaiting + ` === 8`)
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeOn + ` && ` + gradeLog + ` === 1 && !document.querySelector(".grade-kept").hidden`)
	if got := get[string](b, `document.querySelector(".grade-kept").innerText`); !strings.Contains(got, "Ada Fell: met the rule") || !strings.Contains(got, "Not yet received") {
		t.Errorf("what ended: %s", got)
	}
	b.shot("grade-kept-820")
	b.click(".grade-end")
	b.click(".grade-end")
	b.until(gradeOutcome + ` === "did not meet the rule" && ` + gradeReceived + ` === "no"`)
	l.set(false, "")
	b.do(chromedp.Evaluate[chromedp.Void](`window.dispatchEvent(new Event("online"))`))
	b.until(gradeReceived + ` === "yes" && ` + gradeWaiting + ` === 0 && document.querySelector(".grade-kept").innerText.includes("Received by the school")`)
	b.shot("grade-received-820")
	b.until(gradeCopies + `.then((n) => n === 0)`)
	runs, err := k.store.Runs(t.Context(), "", "", v, "")
	if err != nil || len(runs) != 2 {
		t.Fatalf("%+v, %v", runs, err)
	}
	entries, seen := 0, map[string]bool{}
	for _, r := range runs {
		events, err := k.store.RunEvents(t.Context(), r.ID)
		if err != nil || !r.Ended {
			t.Fatalf("%+v, %v", r, err)
		}
		for _, e := range events {
			if seen[e.ID] {
				t.Errorf("entry %s stands twice", e.ID)
			}
			seen[e.ID] = true
			entries++
		}
		results, err := k.store.Results(t.Context(), "", "", r.ID)
		want := map[string]teach.Outcome{x.students[0]: teach.Met, x.students[1]: teach.NotMet}[r.Student]
		if err != nil || len(results) != 1 || results[0].Outcome != want {
			t.Errorf("%s: %+v, %v", r.Student, results, err)
		}
	}
	if entries != 9 {
		t.Errorf("%d entries reached the school, want 9", entries)
	}
}

// The page that says what is planted is on a tablet only while the grader who
// opened it is signed in.
func TestBrowser_GradeIsNotKeptForOthers(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	v := x.plant(one())
	l := newLine(t, k.serveOn())
	b := k.onTablet(t, browser, l.url(), k.chief)
	b.size(820, 1180)
	opened := func() {
		b.Helper()
		b.open("/grade/" + v)
		b.until(gradeReady + ` && ` + gradeKept)
		b.until(gradeCopies + `.then((n) => n === 1)`)
	}
	gone := func(when string) {
		b.Helper()
		b.until(gradeCopies + `.then((n) => n === 0)`)
		l.set(true, "")
		b.open("/grade/" + v)
		if got := get[string](b, `document.body.innerText`); !strings.Contains(got, "not kept on the tablet") {
			t.Errorf("%s, and the page is there without the network: %.200s", when, got)
		}
		l.set(false, "")
		b.mu.Lock()
		b.console = nil // it complains of the page that is not there
		b.mu.Unlock()
	}
	// The school ends the session: the first entry that it refuses takes the page along.
	opened()
	b.choose(x.students[0])
	b.until(gradeDelivered)
	cookies := k.chief.cookies
	if _, err := chromedp.Call(b.ctx, network.ClearBrowserCookies, chromedp.Void{}); err != nil {
		t.Fatal(err)
	}
	b.click(`.grade-items li:nth-child(1) button`)
	b.until(gradeWaiting + ` === 1 && document.querySelector(".grade-queue").innerText.includes("signed out")`)
	gone("signed out")
	// What is not sent stays, and the page on which one signs in says so.
	b.open("/signin")
	b.until(`document.querySelector(".grade-left")?.innerText.includes("1 entry of grading")`)
	for name, value := range cookies {
		if _, err := chromedp.Call(b.ctx, network.SetCookie, network.SetCookieParams{Name: name, Value: value, URL: l.url(), HTTPOnly: new(true)}); err != nil {
			t.Fatal(err)
		}
	}
	opened()
	b.until(gradeWaiting + ` === 0 && ` + gradeLog + ` === 1`)
	b.click("form.who button")
	b.arrive(`location.pathname === "/signin" && document.documentElement.classList.contains("tidied")`)
	gone("signed out by hand")
	b.open("/signin")
	b.until(gradeDatabase + `.then((there) => !there)`)
	// A copy that another page of the tablet kept since then goes when somebody signs in.
	b.do(chromedp.Evaluate[chromedp.Void](`caches.open("hangtrue-grade-other").then((c) => c.put("/grade/other", new Response("planted")))`, chromedp.EvalAwaitPromise))
	b.signIn("chief")
	b.arrive(`document.querySelector("form.who") !== null`)
	if n := get[int](b, gradeCopies); n != 0 {
		t.Errorf("%d copies outlive a sign-in", n)
	}
}

// What the page kept before it had a store of its own is taken in and delivered.
func TestBrowser_GradeTakesInWhatWasKeptBefore(t *testing.T) {
	browser := browserOf(t)
	k, x := graders(t)
	v := x.plant(one())
	b := k.onTablet(t, browser, "http://"+k.serveOn(), k.chief)
	b.open("/grade/" + v)
	b.until(gradeReady)
	old := x.aRun(made("run", 7), v, x.students[2], 2, 0)
	for i, e := range old[:3] {
		data, err := json.Marshal(e)
		if err != nil {
			t.Fatal(err)
		}
		b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`localStorage.setItem("hangtrue-grade-" + document.querySelector(".grade").dataset.me + ":e:%s:%s:%06d", %s)`, e.Run, e.Device, i+1, jsString(string(data)))))
	}
	b.open("/grade/" + v)
	b.until(gradeReady + ` && ` + gradeWaiting + ` === 0 && Object.keys(localStorage).length === 0`)
	events, err := k.store.RunEvents(t.Context(), made("run", 7))
	if err != nil || len(events) != 3 {
		t.Errorf("%d entries of before, %v", len(events), err)
	}
}

// The tablet grades as the school does: random runs by random rules.
func TestBrowser_GradesAsTheSchoolDoes(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	b := k.onTablet(t, browser, "http://"+k.serveOn(), k.chief)
	b.open("/")
	seed := rand.Uint64()
	random := rand.New(rand.NewPCG(seed, 1))
	type call struct {
		ID         string `json:"id"`
		Kind       string `json:"kind"`
		Deficiency string `json:"deficiency,omitempty"`
		Wrong      bool   `json:"wrong_count,omitempty"`
		After      int64  `json:"after_ms"`
		Undoes     string `json:"undoes,omitempty"`
		Text       string `json:"text,omitempty"`
	}
	type asked struct {
		Rule  json.RawMessage `json:"rule"`
		Calls []call          `json:"calls"`
		Ended *int64          `json:"ended"`
	}
	type graded struct {
		Outcome string   `json:"outcome"`
		Reasons []string `json:"reasons"`
		Found   []string `json:"found"`
		Missed  []string `json:"missed"`
		False   int      `json:"false"`
		Order   int      `json:"order"`
		Numbers string   `json:"numbers"`
	}
	number := func(chance, most int) *int {
		if random.IntN(chance) == 0 {
			return nil
		}
		n := random.IntN(most)
		return &n
	}
	var cases []asked
	var want []graded
	outcomes := map[string]int{}
	kinds := []teach.CallKind{
		teach.CallFound, teach.CallFound, teach.CallFound, teach.CallFound, teach.CallFalse, teach.CallOrder, teach.CallUndone, teach.CallStationEnd, teach.CallTrue, teach.CallPut, teach.CallPut,
	}
	for i := range 600 {
		planted := []string{"a/x/1", "b/x/1", "c/x/1", "d/x/1", "e/x/1"}[:1+random.IntN(5)]
		var voided []string
		if random.IntN(4) == 0 {
			voided = planted[:1]
		}
		r := teach.Rule{Found: number(20, len(planted)+1), False: number(20, 3), Ordered: random.IntN(2) == 0, WrongOrder: number(20, 3)}
		if random.IntN(20) > 0 {
			d := time.Duration(1+random.IntN(300)) * time.Second
			right := random.IntN(2) == 0
			r.Within, r.FigureRight = &d, &right
		}
		state := teach.RunState{}
		x := asked{Rule: json.RawMessage(tabletRule(r, planted, voided)), Calls: []call{}}
		after := int64(0)
		for n := range random.IntN(12) {
			after += int64(random.IntN(40000))
			c := call{ID: "call" + strconv.Itoa(n), Kind: string(kinds[random.IntN(len(kinds))]), After: after}
			if random.IntN(60) == 0 {
				c.Kind = string(teach.CallUnsafe)
				c.Text = []string{"", "stood beneath it"}[random.IntN(2)]
			}
			switch teach.CallKind(c.Kind) {
			case teach.CallFound:
				c.Deficiency, c.Wrong = []string{"a/x/1", "b/x/1", "c/x/1", "d/x/1", "e/x/1"}[random.IntN(5)], random.IntN(4) == 0
			case teach.CallUndone:
				c.Undoes = "call" + strconv.Itoa(random.IntN(n+1))
			}
			x.Calls = append(x.Calls, c)
			state.Calls = append(state.Calls, teach.Call{
				ID: c.ID, Kind: teach.CallKind(c.Kind), Deficiency: c.Deficiency, WrongCount: c.Wrong, After: time.Duration(c.After) * time.Millisecond, Undoes: c.Undoes, Text: c.Text,
			})
		}
		if i%10 > 0 {
			ended := after + int64(random.IntN(5000))
			d := time.Duration(ended) * time.Millisecond
			x.Ended, state.Ended = &ended, &d
		}
		g := teach.GradeVersion(r, planted, voided, &state)
		result := teach.ResultOf(teach.RunSummary{}, g, time.Time{}, "")
		outcomes[string(g.Outcome)]++
		cases = append(cases, x)
		want = append(want, graded{
			string(g.Outcome), append([]string{}, g.Reasons...), append([]string{}, g.Found...), append([]string{}, g.Missed...), g.False, g.Order, app.NumbersWords(&result),
		})
	}
	if len(outcomes) != 6 {
		t.Fatalf("not every outcome is tried: %v", outcomes)
	}
	data, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	got := get[[]graded](b, fmt.Sprintf(`import(%q).then((m) => %s.map((x) => { const g = m.grade(x.rule, x.calls, x.ended); return { ...g, numbers: m.numbersWords(g) }; }))`, k.s.assets.url("grade-rule.js"), data))
	if len(got) != len(want) {
		t.Fatalf("%d grades", len(got))
	}
	for i := range want {
		if !reflect.DeepEqual(got[i], want[i]) {
			text, _ := json.Marshal(cases[i])
			t.Fatalf("seed %d, case %d: the tablet says\n%+v\nand the school\n%+v\nof %s", seed, i, got[i], want[i], text)
		}
	}
}
