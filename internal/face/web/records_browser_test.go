package web

import (
	"fmt"
	"mime"
	"net/http"
	"net/url"
	"os"
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
	waiting.Set("load", "Timber for the upper hut")
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
	}
	return strings.NewReplacer("{$}", "", "{name}", "frame", "{n}", "0", "{other}", k.waitingID, "{id}", id).Replace(path)
}

// pageAddresses are the addresses of every page of the table that there is
// something on.
func (k *schoolDay) pageAddresses() []string {
	var out []string
	for _, row := range k.s.routes {
		if row.method != "GET" || row.path == "/inspect/worker.js" {
			continue
		}
		target := k.fill(row.path)
		w := k.chief.ask("GET", target, nil)
		kind, _, _ := mime.ParseMediaType(w.Header().Get("Content-Type"))
		if w.Code != http.StatusOK {
			k.t.Logf("not looked at: %s (%d)", target, w.Code)
		} else if kind == "text/html" && w.Header().Get("Content-Disposition") == "" {
			out = append(out, target)
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
	b := k.onTablet(t, browserOf(t), address, k.chief)
	b.size(820, 1180)
	pages := k.pageAddresses()
	t.Logf("%d pages", len(pages))
	if len(pages) < 40 {
		t.Errorf("only %d pages: %v", len(pages), pages)
	}
	for _, path := range pages {
		for _, scheme := range []string{"light", "dark"} {
			if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
			}); err != nil {
				t.Fatal(err)
			}
			what := `{}`
			if scheme == "light" {
				b.open(path)
				b.until(`document.readyState === "complete"`)
				b.do(chromedp.Evaluate[chromedp.Void](string(checker) + "; undefined"))
				b.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll("details")) d.open = true`))
			} else {
				what = `{runOnly: ["color-contrast"]}` // nothing else depends on it
			}
			found := get[[]finding](b, `axe.run(document, `+what+`).then((r) => r.violations.filter((v) => v.impact === "serious" || v.impact === "critical")
				.map((v) => ({rule: v.id, impact: v.impact, help: v.help, where: v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join("  ")})))`)
			for _, f := range found {
				t.Errorf("%s, %s: %s %s: %s: %s", path, scheme, f.Impact, f.Rule, f.Help, f.Where)
			}
		}
	}
	b.mu.Lock()
	b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "404") }) // /nowhere
	b.mu.Unlock()
}
