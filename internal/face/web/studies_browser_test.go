package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// studied fills the pages of a rig's studies and enters a lift.
func (b *tab) studied(name string) []string {
	b.Helper()
	b.open(rigURL(name) + "/counts")
	b.arrives(`document.documentElement.classList.contains("scripted")`)
	b.follow(`[data-key="find"]`)
	b.arrives(`document.querySelector(".rows") !== null && document.documentElement.classList.contains("scripted")`)
	b.follow(`[data-key="map"]`)
	b.arrives(`document.querySelector("#count-map")?.dataset.ready === "yes"`)
	b.open(rigURL(name) + "/spread")
	b.arrives(`document.documentElement.classList.contains("scripted")`)
	b.follow(`[data-key="run"]`)
	b.arrives(`document.querySelector(".spread .chart") !== null`)
	b.open(rigURL(name) + "/flown")
	for key, typed := range map[string]string{"who": "A. Gruber", "weighed": "1421 kg", "pitch": "-1.5 deg", "airspeed": "40 kt", "trail": "3 deg", "remarks": "gusty"} {
		b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector("[name=%s]").value = %q`, key, typed)))
	}
	b.follow(`[data-key="enter"]`)
	return []string{"/flown", rigURL(name) + "/flown", rigURL(name) + "/counts", rigURL(name) + "/spread"}
}

// At 360 px nothing overflows sideways and everything is large enough for a
// finger; the status is larger than any number.
func TestBrowser_StudiesNarrow(t *testing.T) {
	b := browse(t, map[string]string{"crate-off-centre": demoRigs()["crate-off-centre"]})
	looked := 0
	for _, path := range b.studied("crate-off-centre") {
		for _, width := range []int64{360, 820} {
			b.size(width, 800)
			b.open(path)
			if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide: %s", path, width, over, get[string](b, `[...document.querySelectorAll("main *")].filter(e => !e.closest(".scroll, .pages, svg") && e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5).map(e => e.outerHTML.slice(0, 90)).slice(0, 3).join("\n")`))
			}
			if small := get[string](b, `[...document.querySelectorAll("button, .button, summary, .near a, input:not([type=hidden], [type=checkbox]), select, .tick")]
				.filter(e => e.offsetParent && !e.classList.contains("away")).filter(e => { const r = e.getBoundingClientRect(); return r.height < 47.5 || r.width < 47.5; })
				.map(e => e.outerHTML.slice(0, 90)).join("\n")`); small != "" {
				t.Errorf("%s at %d px: too small for a finger:\n%s", path, width, small)
			}
			if strings.HasPrefix(path, "/rig/") {
				got := get[[]float64](b, `(() => { const size = e => parseFloat(getComputedStyle(e).fontSize);
					const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
					let most = 0; for (let t; t = walk.nextNode();) if (/\d/.test(t.data) && t.parentElement.closest("svg") === null) most = Math.max(most, size(t.parentElement));
					return [size(document.querySelector(".status")), most]; })()`)
				if got[0] <= got[1] {
					t.Errorf("%s at %d px: the status has %g px, a number %g px", path, width, got[0], got[1])
				}
			}
			looked++
		}
	}
	if looked != 8 {
		t.Errorf("%d pages looked at", looked)
	}
}

func TestBrowser_StudiesWithoutScript(t *testing.T) {
	const name = "trailer-front-and-rear"
	b := browse(t, map[string]string{name: demoRigs()[name]})
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.open(rigURL(name) + "/counts")
	text := func() string {
		t.Helper()
		html, err := chromedp.Run(b.ctx, chromedp.OuterHTML(chromedp.CSS("html")))
		if err != nil {
			t.Fatal(err)
		}
		return html
	}
	b.follow(`[data-key="map"]`)
	for range 50 { // without a script a person looks again
		if !strings.Contains(text(), `data-job=`) {
			break
		}
		b.follow(`.job a.button`)
	}
	pageSays(t, text(), "planned 5 / 33", "FL 5, FR 5, RL 33, RR 33")
	b.follow(`#pair button[value="b+"]`)
	pageSays(t, text(), "FL 5, FR 5, RL 34, RR 34", "computed, not approved", "Outside what its procedure covers")
	b.follow(`[data-key="take pair"]`)
	pageSays(t, text(), "stand in the text below: computed, not approved")
}
