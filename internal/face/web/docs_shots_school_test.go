package web

import (
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/keep/authority"
)

// The lift school of the photographs supplies mountain huts; it, its people and
// its loads are invented, and the name on every page says so.
const hutSchool = "INVENTED: Kestmoor Lift School"

var hutStudents = strings.Fields("Ada·Fell Ben·Gill Cora·Holm Dan·Ives Edda·Karr Finn·Lough Gwen·Moss Hal·Nook Ilse·Pike Jon·Rigg Kaya·Scar Lars·Tarn Maud·Wath Nils·Beck Orla·Crag Per·Dale")

// hut is the invented school.
type hut struct {
	*walkSchool
	class, lane, second string
	students            []string // ids
	began               time.Time
}

// clock is the time in the school: it goes on from a fixed day, so that the
// photographs say the same whenever they are made.
func (h *hut) clock() time.Time { return schoolClock.Add(time.Since(h.began)) }

// inTime has a page take the school's time for its own, ahead of the machine's by
// what window.ahead says.
func (h *hut) inTime() string {
	return fmt.Sprintf(`(() => { const D = Date; window.ahead = %d - D.now(); window.Date = class extends D { constructor(...a) { if (a.length) super(...a); else super(D.now() + window.ahead); } static now() { return D.now() + window.ahead; } }; })()`, h.clock().UnixMilli())
}

func newHut(t *testing.T) *hut {
	t.Helper()
	h := &hut{began: time.Now()}
	s, db := schoolServer(t, filepath.Join(t.TempDir(), "school.db"), h.clock)
	k := &walkSchool{t: t, s: s, all: s.School.School, store: db, id: map[*as]string{}}
	h.walkSchool = k
	for _, r := range demo.Rigs() {
		if _, saved, err := s.Keeper.Save(r.Name, "", r.Data); err != nil || !saved {
			t.Fatal(saved, err)
		}
	}
	link, err := k.all.FirstStart(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	k.chief = welcomed(t, s, link, "chief")
	person := func(name, login string, roles ...people.Role) *as {
		t.Helper()
		var list []string
		for _, x := range roles {
			list = append(list, string(x))
		}
		w := k.chief.askMany("/people", url.Values{"name": {name}}, "role", list)
		m := welcomeLink.FindStringSubmatch(w.Body.String())
		if m == nil {
			t.Fatalf("no link for %s: %d", name, w.Code)
		}
		b := welcomed(t, s, m[1], login)
		k.id[b] = someone(t, s, login).ID
		return b
	}
	k.rigger = person("Rolf Tarn", "rolf", people.Rigger)
	k.ivo = person("Ivo Stack", "ivo", people.Inspector)
	k.eva = person("Eva Garth", "eva", people.Inspector)
	for b, until := range map[*as]string{k.ivo: "2028-05-31", k.eva: "2026-12-09"} {
		w := k.chief.ask("POST", "/people/"+k.id[b], url.Values{"do": {"qualify"}, "kind": {"inspector"}, "authority": {"Kestmoor examining board"}, "from": {"2025-06-01"}, "expires": {until}})
		if w.Code != http.StatusOK {
			t.Fatalf("no qualification: %d", w.Code)
		}
	}
	settings, _, err := k.all.Settings()
	if err != nil {
		t.Fatal(err)
	}
	settings.Zone, settings.Name = "UTC", hutSchool
	k.settings(settings)
	s.School.rename(hutSchool)
	return h
}

// equipped gives the school its equipment.
func (h *hut) equipped() (leg string) {
	h.t.Helper()
	list := "serial,kind,name,rating,in service,set,intervals,last inspected,training only\n" +
		"KS-11,sling set,Set A,30 kN,2024-03-01,,yearly inspection: 12 months,2026-03-02,\n" +
		"KS-11-1,leg,,15 kN,2024-03-01,KS-11,,,\nKS-11-2,leg,,15 kN,2024-03-01,KS-11,,,\nKS-11-3,leg,,15 kN,2024-03-01,KS-11,,,\nKS-11-4,leg,,15 kN,2024-03-01,KS-11,,,\n" +
		"KP-4,pendant,,40 kN,2023-06-01,,yearly inspection: 12 months,2025-11-10,\n" +
		"KN-2,net,Wood net,20 kN,2025-01-15,,check: 90 days,2026-09-08,\n" +
		"KT-1,clevis,Bent on purpose,,2025-02-01,,,,yes\n"
	if w := h.rigger.ask("POST", "/equipment/import", url.Values{"do": {"take"}, "list": {list}}); w.Code != http.StatusOK {
		h.t.Fatalf("the list of equipment: %d %s", w.Code, mainOf(w.Body.String()))
	}
	m := regexp.MustCompile(`href="(/equipment/[a-z2-7]{26})">KS-11-3<`).FindStringSubmatch(h.rigger.ask("GET", "/equipment", nil).Body.String())
	if m == nil {
		h.t.Fatal("no leg KS-11-3")
	}
	if w := h.rigger.ask("POST", m[1], url.Values{"do": {"quarantined"}, "what": {"shock-loaded"}, "text": {"at the set-down, Ninepin Hut"}}); w.Code != http.StatusSeeOther {
		h.t.Fatalf("not quarantined: %d", w.Code)
	}
	return m[1]
}

// taught gives the school a class with two lanes, and runs on the first.
func (h *hut) taught() (version string) {
	h.t.Helper()
	t := h.t.(*testing.T)
	m := classPath.FindStringSubmatch(h.chief.to("/classes", url.Values{"name": {"Autumn course"}, "from": {"2026-11-23"}, "until": {"2026-11-27"}}))
	if m == nil {
		t.Fatal("no class")
	}
	h.class = m[1]
	roster := "name,group\n"
	for i, name := range hutStudents {
		roster += fmt.Sprintf("%s,%d\n", strings.ReplaceAll(name, "·", " "), i/4+1)
	}
	if w := h.chief.ask("POST", "/classes/"+h.class+"/roster", url.Values{"roster": {roster}, "do": {"take"}}); w.Code != http.StatusOK {
		t.Fatalf("the roster: %d", w.Code)
	}
	for _, m := range studentLink.FindAllStringSubmatch(h.chief.page("/classes/"+h.class), -1) {
		h.students = append(h.students, m[1])
	}
	x := &taught{T: t, s: h.s, chief: h.chief, instructor: h.chief, as: "chief", class: h.class, students: h.students}
	lane := func(title, rig, load, tag string, items ...string) (lane, version string) {
		t.Helper()
		form := laneFields()
		for key, value := range map[string]string{"title": title, "rig": rig, "load": load, "tag": tag, "count": "6", "found": "4", "minutes": "20"} {
			form.Set(key, value)
		}
		m := lanePath.FindStringSubmatch(h.chief.to("/classes/"+h.class+"/lanes", form))
		if m == nil {
			t.Fatalf("no lane %s", title)
		}
		x.lane = m[1]
		if len(items) == 0 {
			return m[1], x.plant(one())
		}
		w := h.chief.askMany("/lanes/"+m[1], url.Values{"do": {"hand"}}, "item", items)
		v := versionLink.FindStringSubmatch(h.chief.page("/lanes/" + m[1]))
		if v == nil {
			t.Fatalf("not planted by hand: %d %s", w.Code, mainOf(w.Body.String()))
		}
		return m[1], v[1]
	}
	h.second, _ = lane("Wood net", "net-one-ring", "Wood net 2", "14")
	h.lane, version = lane("Stove crate", "crate-off-centre", "Stove crate 2", "12",
		"leg.RL.grab-hook/count/five-less", "point.crate.FL.lift-point/bearing/point-loaded", "leg.FR.chain/routing/one-run",
		"leg.FL.eye-roller/present/outside", "leg.RR.breakaway-tie/material/doubled", "leg.FR.keeper/closed/on-link")
	// What students might find: some things are hard, some students good.
	r := rand.New(rand.NewPCG(11, 25))
	ids := x.planted(version)
	for i, student := range h.students[:14] {
		run := made("run", i+1)
		n := 1
		events := []teach.RunEvent{entry(run, n, teach.RunStart, 0, teach.RunBody{Version: version, Student: student})}
		add := func(kind teach.CallKind, b teach.RunBody) {
			n++
			events = append(events, entry(run, n, kind, time.Duration(n*97+r.IntN(80))*time.Second, b))
		}
		for k, id := range ids {
			if r.Float64() < 1/(1+math.Exp(.9*float64(k)-2.4-.5*float64(i%7-3))) {
				add(teach.CallFound, teach.RunBody{Deficiency: id})
			}
		}
		if i%5 == 2 {
			add(teach.CallFalse, teach.RunBody{})
		}
		add(teach.RunEnd, teach.RunBody{})
		h.chief.deliver(version, events)
	}
	if w := h.chief.ask("POST", "/classes/"+h.class+"/rotation", url.Values{"day": {"2026-11-25"}, "start": {"09:45"}}); w.Code != http.StatusOK {
		t.Fatalf("no rotation: %d", w.Code)
	}
	return version
}

// school photographs the pages of the school.
func (a *album) school() {
	h := newHut(a.T)
	leg := h.equipped()
	version := h.taught()
	network, err := authority.New("Kestmoor Lift School", "kestmoor.local", time.Now())
	if err != nil {
		a.Fatal(err)
	}
	certificate, err := network.Issue(nil, time.Now())
	if err != nil {
		a.Fatal(err)
	}
	h.s.LAN = &LAN{
		Addr: "127.0.0.1:0", Trust: "127.0.0.1:0", Certificate: certificate, Authority: network.DER(), Fingerprint: network.Fingerprint(), Name: network.Name(), Addresses: []string{"192.168.4.7"},
	}
	// One walk waits to be signed, and stands against it what an INVENTED load
	// and a leg in quarantine do.
	set := regexp.MustCompile(`href="/equipment/([a-z2-7]{26})">KS-11<`).FindStringSubmatch(h.rigger.ask("GET", "/equipment", nil).Body.String())
	if set == nil {
		a.Fatal("no set KS-11")
	}
	begin := func(by *as, rig, load string) string {
		a.Helper()
		form := h.form(by, rig)
		form.Set("load", load)
		form.Set("set", set[1])
		if w := by.ask("POST", "/loads/"+rig, form); w.Code != http.StatusSeeOther {
			a.Fatalf("not begun: %d %s", w.Code, mainOf(w.Body.String()))
		}
		return form.Get("inspection")
	}
	waiting, walking := begin(h.eva, "pipes-under-spreader", "Pipes for Ninepin Hut"), begin(h.ivo, "trailer-front-and-rear", "Generator trailer")
	h.oneWrong(h.eva, waiting)

	browser := browserOf(a.T)
	address := "http://" + h.serveOn()
	tablet := func(who *as, width, height int64) *tab {
		b := h.onTablet(a.T, browser, address, who, h.inTime())
		lit(b)
		b.size(width, height, chromedp.EmulateTouch)
		return b
	}
	a.walk(h, tablet(h.ivo, 820, 1180), walking)

	b := tablet(h.eva, 820, 1180)
	b.open("/inspect/" + waiting + "/sign")
	a.cut(b, "sign.png", ".sign-facts ~ h2", ".sign-facts ~ p.row", 1180)
	b.open(leg)
	a.cut(b, "item.png", "h1", "form.entry", 1180)

	b = tablet(h.rigger, 820, 1180)
	b.open("/equipment")
	a.cut(b, "equipment.png", ".eq-filter + h2", ".eq-table", 1100)

	b = tablet(h.chief, 820, 1180)
	b.open("/today")
	a.cut(b, "today.png", "h1", "section:has(#due)", 1180)
	b.open("/tablets")
	a.cut(b, "tablets.png", "h1", ".fingerprint", 1100)
	b.open("/versions/" + version)
	a.cut(b, "version.png", ".class-secret", ".version-items li:nth-child(3)", 1180)
	b.open("/classes/" + h.class + "/statistics")
	a.cut(b, "results.png", ".results h1", ".results section:nth-of-type(1) tr:nth-child(4)", 900)
	a.cut(b, "missed.png", ".results-picture:last-of-type", ".results-picture", 900)
	a.paper("set-up.png", h.chief.ask("GET", "/versions/"+version+"/paper/card", nil).Body.Bytes(), "1", "75")
	a.graded(h, b, version)
	b.size(1280, 800)
	b.open("/classes/" + h.class + "/board")
	a.cut(b, "board.png", "h1", "main", 760)
	a.drilled(h, tablet(h.drillStudent(), 390, 844))
}

// oneWrong walks an inspection and finds one thing wrong.
func (h *hut) oneWrong(by *as, id string) {
	h.t.Helper()
	x := h.tablet(by, id)
	b, _ := h.bundle(by, id)
	var all []inspection.Event
	for i, t := range b.Tasks {
		reply := inspection.Reply{Task: inspection.Task{Checkpoint: b.Checkpoints[t.Checkpoint].ID, Part: t.Part, Attribute: t.Attribute}, Answer: inspection.Right}
		if i == len(b.Tasks)-3 {
			reply.Answer, reply.Text = inspection.CannotTell, "snow on it"
		}
		all = append(all, x.event(inspection.Answer, reply))
	}
	all = append(all, x.event(inspection.Finish, struct{}{}))
	for i, o := range x.send(all...).Outcomes {
		if o.Refused != "" {
			h.t.Fatalf("entry %d: %s", i, o.Words)
		}
	}
}

// walk photographs a walk: a count that is asked for, and what another would do.
func (a *album) walk(h *hut, b *tab, id string) {
	h.whatIfTable(h.ivo, id)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere + ` && ` + whatIfKept)
	b.click("#begin")
	b.until(onScreen + ` === "question"`)
	for i := 0; !get[bool](b, `document.getElementById("inspect-count") !== null`); i++ {
		if i > 80 {
			a.Fatal("no count is asked for")
		}
		b.quickly(1)
	}
	b.waitSent()
	a.cut(b, "question.png", "h1", "#inspect-screen", 790)
	b.do(settledScreen, chromedp.SendKeys(chromedp.CSS("#inspect-count"), "8"+kb.Enter))
	b.until(onScreen + ` === "counted"`)
	b.click("#whatif")
	b.until(onScreen + ` === "whatif"`)
	a.cut(b, "what-if.png", "#inspect-screen", "#inspect-screen", 1180)
}

// graded photographs a run that is being graded.
func (a *album) graded(h *hut, b *tab, version string) {
	b = h.onTablet(a.T, browserOf(a.T), strings.TrimSuffix(b.url, "/"), h.chief, h.inTime())
	lit(b)
	b.size(820, 1180, chromedp.EmulateTouch)
	b.open("/grade/" + version)
	b.until(gradeReady)
	b.choose(h.students[14])
	b.do(chromedp.Evaluate[chromedp.Void](`window.ahead += 312000`))
	b.click(`.grade-items li:nth-child(2) button`)
	b.click(`[data-kind="false"]`)
	b.do(chromedp.Evaluate[chromedp.Void](`window.ahead += 95000`))
	b.until(gradeWaiting + ` === 0 && ` + gradeLog + ` === 2 && document.querySelector(".grade-clock output").innerText > "6:40"`)
	a.cut(b, "grade.png", ".class-secret", ".grade-calls", 1180)
}

// drillStudent is a student who can sign in.
func (h *hut) drillStudent() *as {
	h.t.Helper()
	w := h.chief.ask("POST", "/people/"+h.students[15], url.Values{"do": {"invite"}})
	m := welcomeLink.FindStringSubmatch(w.Body.String())
	if m == nil {
		h.t.Fatal("no link for a student")
	}
	return welcomed(h.t, h.s, m[1], "per")
}

// drilled photographs a station of a drill.
func (a *album) drilled(h *hut, b *tab) {
	b.open("/drill")
	b.do(
		chromedp.Evaluate[chromedp.Void](`document.getElementById("rig").value = "crate-off-centre"; document.getElementById("pictures").selectedIndex = document.getElementById("pictures").options.length - 1`),
		chromedp.Evaluate[chromedp.Void](`document.querySelector("form.entry button.main").click()`),
	)
	b.arrives(`document.querySelector("form[data-drill]") !== null`)
	for range 12 { // on to parts of a leg, two of them
		if get[bool](b, `document.querySelectorAll(".drill-items li").length === 2 && /hook|chain|rope/i.test(document.querySelector(".drill-items").innerText)`) {
			break
		}
		b.do(chromedp.Evaluate[chromedp.Void](`window.before = true; document.querySelectorAll("input[value=right]").forEach((i) => i.click()); document.querySelector(".drill-on button").click()`))
		b.arrives(`window.before === undefined && document.querySelector("form[data-drill]") !== null && document.readyState === "complete"`)
	}
	b.size(820, 1180)
	a.cut(b, "drill.png", ".drill-head", ".drill-items", 1000)
}
