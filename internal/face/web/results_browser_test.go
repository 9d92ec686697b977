package web

import (
	"fmt"
	"os"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/policy/extra"
)

// drillClock is minutes and seconds, and below 100 seconds these alone.
var drillClock = regexp.MustCompile(`^(\d+:\d\d|\d\d? s)$`)

// A drill by a student in a real browser, and what the results say: nothing
// overflows, everything can be pressed by a finger.
func TestBrowser_DrillAndResults(t *testing.T) {
	extra.Need(t, "browser")
	checker, err := os.ReadFile(extra.Need(t, "axe"))
	if err != nil {
		t.Fatal(err)
	}
	k := walkersCopy(t, realClock)
	class, _ := resultsClass(t, k.chief, 24)
	sam := member(t, k.chief, "dora", people.Student)
	address := "http://" + k.serveOn()
	b := k.onTablet(t, browserOf(t), address, sam)
	b.size(390, 844)
	b.open("/drill")
	b.fits("/drill")
	b.shot("drill-begin-390")
	b.do(
		chromedp.Evaluate[chromedp.Void](`document.getElementById("rig").value = "crate"; document.getElementById("pictures").value = "6"`),
		chromedp.Evaluate[chromedp.Void](`document.querySelector("form.entry button.main").click()`),
	)
	b.arrives(`document.querySelector("form[data-drill]") !== null`)
	screens := 0
	for get[bool](b, `document.querySelector("form[data-drill]") !== null`) {
		if screens++; screens > 6 {
			t.Fatal("the drill does not end")
		}
		b.until(`[...document.images].every(i => i.complete && i.naturalWidth === 800)`)
		if left := get[string](b, `document.querySelector(".drill-clock output").textContent`); !drillClock.MatchString(left) {
			t.Errorf("the clock says %q", left)
		}
		if get[bool](b, `[...document.querySelectorAll(".drill-which")].some(p => p.offsetParent !== null)`) {
			t.Error("what is wrong is asked before something is called wrong")
		}
		if screens == 1 {
			b.accessible(get[string](b, `location.pathname`), string(checker))
			for _, width := range []int64{360, 390, 820, 1280} {
				b.size(width, 900)
				b.fits("a station")
				b.shot(fmt.Sprintf("drill-station-%d", width))
			}
			b.size(390, 844)
			b.do(chromedp.KeyEvent("2"))
			b.until(`document.querySelector(".drill-which").offsetParent !== null`)
			b.fits("a station with something called wrong")
			b.shot("drill-wrong-390")
		}
		b.do(chromedp.Evaluate[chromedp.Void](`window.before = true; document.querySelectorAll("fieldset").forEach(f => { if (!f.querySelector("input:checked")) f.querySelector("[value=right]").click(); }); document.querySelector(".drill-on button").click()`))
		b.arrives(`window.before === undefined && document.querySelector(".drill") !== null && document.readyState === "complete"`)
	}
	b.accessible(get[string](b, `location.pathname`), string(checker))
	for _, width := range []int64{360, 390, 820, 1280} {
		b.size(width, 900)
		b.fits("the end")
		b.shot(fmt.Sprintf("drill-end-%d", width))
	}

	c := k.onTablet(t, browserOf(t), address, k.chief)
	pages := []string{"/classes/" + class + "/statistics", "/classes/" + class + "/statistics/models", "/statistics", "/statistics/models", "/drill"}
	for _, p := range pages {
		c.accessible(p, string(checker))
	}
	for _, width := range []int64{360, 820, 1280} {
		c.size(width, 900)
		for i, p := range pages {
			c.open(p)
			c.fits(p)
			c.shot(fmt.Sprintf("results-%d-%d", i, width))
		}
	}
}

// fits checks that nothing is wider than the page and that a finger meets what
// can be pressed.
func (b *tab) fits(what string) {
	b.Helper()
	if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		b.Errorf("%s: %d px too wide", what, over)
	}
	if small := get[string](b, `[...document.querySelectorAll("main button, main .button, main select, main summary, .drill-call label")]
		.filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5).map(e => e.outerHTML.slice(0, 90)).join("\n")`); small != "" {
		b.Errorf("%s: too small for a finger:\n%s", what, small)
	}
}
