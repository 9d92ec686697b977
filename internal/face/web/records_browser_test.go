package web

import (
	"fmt"
	"html"
	"mime"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/policy/extra"
)

// schoolDay is a school with something on each of its pages: records, equipment
// due and in quarantine, a load that is out, one that waits, one that is open.
// Its chief instructor has every role.
type schoolDay struct {
	*walkSchool
	signedID, waitingID, openID, set string
	class, lane, version             string
	students                         []string
	invited                          string // a one-time link
}

func aDay(t *testing.T) *schoolDay {
	t.Helper()
	k := &schoolDay{walkSchool: walkersCopy(t, realClock)}
	page := k.chief.ask("GET", "/people", nil).Body.String()
	for b, row := range map[*as]string{k.chief: "The chief instructor"} {
		at := strings.Index(page, row)
		if at < 0 {
			at = strings.Index(page, "chief instructor")
		}
		from := strings.LastIndex(page[:at], `href="/people/`)
		if from < 0 {
			t.Fatal("no link to the chief instructor")
		}
		id, _, _ := strings.Cut(page[from+len(`href="/people/`):], `"`)
		k.id[b] = id
	}
	all := []string{}
	for _, x := range people.Roles {
		all = append(all, string(x))
	}
	if w := k.chief.askMany("/people/"+k.id[k.chief], url.Values{"do": {"roles"}}, "role", all); w.Code != http.StatusOK {
		t.Fatalf("no roles: %d %s", w.Code, w.Body)
	}
	k.set = k.item(url.Values{"serial": {"KES-0012"}, "kind": {"sling set"}, "name": {"Heavy set, north store"}, "maker": {"Own workshop"}, "rating": {"25000 lb to 45°"}, "in_service": {"2019-05-01"}})
	set := strings.TrimPrefix(k.set, "/equipment/")
	for i := range 4 {
		k.item(url.Values{"serial": {fmt.Sprintf("KES-0012-%d", i+1)}, "kind": {"leg"}, "set": {set}, "rating": {"6250 lb"}})
	}
	old := k.item(url.Values{"serial": {"P-3"}, "kind": {"pendant"}, "rating": {"60 kN"}, "in_service": {"2024-01-01"}, "intervals": {"yearly inspection: 12 months\nlook before each week: 7 days"}})
	k.item(url.Values{"serial": {"T-1"}, "kind": {"clevis"}, "spoiled": {"yes"}})
	for _, form := range []url.Values{
		{"do": {"defect"}, "text": {"strand cut near the eye"}}, {"do": {"quarantined"}, "what": {"shock-loaded"}, "text": {"snatched from the snow"}}, {"do": {"inspected"}, "what": {"yearly inspection"}, "on": {"2025-03-01"}},
	} {
		if w := k.rigger.ask("POST", old, form); w.Code != http.StatusSeeOther {
			t.Fatalf("%v: %d %s", form, w.Code, w.Body)
		}
	}
	form := k.form(k.ivo, "frame")
	form.Set("set", set)
	k.signedID = k.signed(k.ivo, form)
	if w := k.ivo.ask("POST", "/records/0", url.Values{"do": {"correct"}, "text": {"The tail number is 78."}}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	waiting, open := k.form(k.eva, "frame"), k.form(k.chief, "frame")
	open.Set("load", "Cable drum")
	k.waitingID, k.openID = waiting.Get("inspection"), open.Get("inspection")
	for _, x := range []struct {
		b    *as
		form url.Values
	}{{k.eva, waiting}, {k.chief, open}} {
		if w := x.b.ask("POST", "/loads/frame", x.form); w.Code != http.StatusSeeOther {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	k.tablet(k.eva, k.waitingID).walked()
	w := k.chief.ask("POST", "/people/"+k.id[k.sam], url.Values{"do": {"invite"}})
	if k.invited = welcomeLink.FindString(w.Body.String()); k.invited == "" {
		t.Fatal("no link")
	}
	k.chief.to("/aircraft", url.Values{"name": {"demo"}, "begin": {"single"}})
	k.chief.to("/days", url.Values{"name": {"huts"}})
	k.chief.to("/rig/frame/walk/seen", url.Values{"what": {"paint on the chain"}})
	x := (&taught{T: t, s: k.s, chief: k.chief, instructor: k.chief}).set(t)
	k.class, k.lane, k.students, k.version = x.class, x.lane, x.students, x.plant(one())
	return k
}

// fill gives the variables of a row's path values that are there.
func (k *schoolDay) fill(path string) string {
	id := k.openID
	switch {
	case strings.HasPrefix(path, "/people/"):
		id = k.id[k.ivo]
	case strings.HasPrefix(path, "/equipment/"):
		id = strings.TrimPrefix(k.set, "/equipment/")
	case strings.HasPrefix(path, "/derig/"), strings.HasSuffix(path, "/compare/{other}"):
		id = k.signedID
	case strings.HasPrefix(path, "/aircraft/"):
		path = strings.Replace(path, "{name}", "demo", 1)
	case strings.HasPrefix(path, "/days/"):
		path = strings.Replace(path, "{name}", "huts", 1)
	}
	return strings.NewReplacer("{$}", "", "{lane}", k.lane, "{class}", k.class, "{student}", k.students[0], "{version}", k.version, "{paper}", "aircrew", "{page...}", "jobs/equipment", "{name}", "frame", "{n}", "0", "{other}", k.waitingID, "{id}", id).Replace(path)
}

// linkIn finds where a page leads.
var linkIn = regexp.MustCompile(`href="(/[^"#]*)`)

// pageAddresses is the address of one page for each row of the table that sends
// pages: where its variables are known, or where some other page leads to it.
func (k *schoolDay) pageAddresses() []string {
	k.t.Helper()
	which := http.NewServeMux()
	rows := map[string]bool{}
	var queue, out []string
	for _, row := range k.s.routes {
		if row.method != "GET" || strings.HasSuffix(row.path, "/worker.js") || strings.HasPrefix(row.path, "/asset/") {
			continue
		}
		which.Handle("GET "+row.path, http.NotFoundHandler())
		rows["GET "+row.path] = false
		queue = append(queue, k.fill(row.path))
	}
	for len(queue) > 0 {
		target := queue[0]
		queue = queue[1:]
		q := httptest.NewRequest("GET", target, nil)
		_, row := which.Handler(q)
		if done, known := rows[row]; done || !known {
			continue
		}
		w := k.chief.ask("GET", target, nil)
		if w.Code != http.StatusOK {
			continue // another address may be of something that is there
		}
		rows[row] = true
		if kind, _, _ := mime.ParseMediaType(w.Header().Get("Content-Type")); kind != "text/html" {
			continue
		}
		out = append(out, target)
		for _, m := range linkIn.FindAllStringSubmatch(w.Body.String(), -1) {
			queue = append(queue, html.UnescapeString(m[1]))
		}
	}
	for _, row := range sortedKeys(rows) {
		if !rows[row] {
			k.t.Logf("not looked at: %s", row)
		}
	}
	return append(out, "/records/1", "/derig/"+k.openID, "/tag/crate", "/rig/crate", "/inspect/"+k.signedID+"/sign", "/nowhere")
}

var ownPages = []string{"/today", "/records", "/tag", "/equipment", "/derig", "/settings"}

func TestBrowser_SchoolPagesNarrowAndZoomed(t *testing.T) {
	extra.Need(t, "browser")
	k := aDay(t)
	address := "http://" + k.serveOn()
	b := k.onTablet(t, browserOf(t), address, k.chief)
	looked := 0
	for _, width := range []int64{360, 640, 820, 1280} {
		b.size(width, 800)
		for _, path := range k.pageAddresses() {
			if !slices.ContainsFunc(ownPages, func(p string) bool { return strings.HasPrefix(path, p) }) {
				continue
			}
			b.open(path)
			if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide", path, width, over)
			}
			if small := get[string](b, `(() => { for (const d of document.querySelectorAll("details:has(form)")) d.open = true;
				return [...document.querySelectorAll("button, .button, select, input:not([type=hidden], [type=checkbox]), main a")]
				.filter(e => e.offsetParent && !e.classList.contains("away") && !(e.closest("p, td, li") && getComputedStyle(e).display === "inline"))
				.filter(e => { const r = e.getBoundingClientRect(); return r.height < 47.5 || r.width < 47.5; })
				.map(e => e.outerHTML.slice(0, 90)).join("\n"); })()`); small != "" {
				t.Errorf("%s at %d px: too small for a finger:\n%s", path, width, small)
			}
			if out := get[string](b, `[...document.querySelectorAll("main *")].filter(e => !e.closest("pre, .away, svg, .pages"))
				.filter(e => e.getBoundingClientRect().right > document.querySelector("main").getBoundingClientRect().right - parseFloat(getComputedStyle(document.querySelector("main")).paddingRight) + 0.5).map(e => e.outerHTML.slice(0, 90)).slice(0, 3).join("\n")`); out != "" {
				t.Errorf("%s at %d px: beyond the column:\n%s", path, width, out)
			}
			if width != 640 {
				b.shot(strings.ReplaceAll(strings.Trim(strings.NewReplacer(k.signedID, "signed", k.openID, "open", strings.TrimPrefix(k.set, "/equipment/"), "item").Replace(path), "/"), "/", "-") + fmt.Sprintf("-%d", width))
			}
			looked++
		}
	}
	if looked < 4*14 {
		t.Errorf("only %d pages looked at", looked)
	}
}

// finding is what the accessibility checker has to say.
type finding struct {
	Rule   string `json:"rule"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Where  string `json:"where"`
}

// Every page of the site, light and dark, by an accessibility checker that is not
// ours: no serious finding.
func TestBrowser_Accessible(t *testing.T) {
	extra.Need(t, "browser")
	if testing.Short() {
		t.Skip("looks at every page")
	}
	checker, err := os.ReadFile(extra.Need(t, "axe"))
	if err != nil {
		t.Fatal(err)
	}
	k := aDay(t)
	address := "http://" + k.serveOn()
	browser := browserOf(t)
	b, stranger := k.onTablet(t, browser, address, k.chief), k.onTablet(t, browser, address, &as{})
	b.size(820, 1180)
	pages := k.pageAddresses()
	t.Logf("%d pages", len(pages))
	if len(pages) < 40 {
		t.Errorf("only %d pages: %v", len(pages), pages)
	}
	for _, path := range pages {
		b.accessible(path, string(checker))
	}
	for _, path := range []string{"/signin", "/welcome/" + strings.TrimPrefix(k.invited, "/welcome/"), "/welcome/none", "/docs"} {
		stranger.accessible(path, string(checker))
	}
	for _, b := range []*tab{b, stranger} {
		b.mu.Lock()
		b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "404") || strings.Contains(m, "410") }) // /nowhere, /welcome/none
		b.mu.Unlock()
	}
}

// accessible looks at a page with the checker, light and dark.
func (b *tab) accessible(path, checker string) {
	b.Helper()
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		}); err != nil {
			b.Fatal(err)
		}
		what := `{}`
		if scheme == "light" {
			b.open(path)
			b.until(`document.readyState === "complete"`)
			b.do(chromedp.Evaluate[chromedp.Void](checker + "; undefined"))
			b.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll("details")) d.open = true`))
		} else {
			what = `{runOnly: ["color-contrast"]}` // nothing else depends on it
		}
		found := get[[]finding](b, `axe.run(document, `+what+`).then((r) => { if (r.passes.length === 0) throw new Error("nothing was looked at");
			return r.violations.filter((v) => v.impact === "serious" || v.impact === "critical")
			.map((v) => ({rule: v.id, impact: v.impact, help: v.help, where: v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join("  ")})); })`)
		for _, f := range found {
			b.Errorf("%s, %s: %s %s: %s: %s", path, scheme, f.Impact, f.Rule, f.Help, f.Where)
		}
	}
}
