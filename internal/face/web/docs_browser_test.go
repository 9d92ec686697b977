package web

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// No document is wider than the screen, at the narrowest too; its pictures are
// there, and the browser has nothing to say.
func TestBrowser_DocumentsFitTheScreen(t *testing.T) {
	b := browse(t, nil)
	pictures, looked := 0, 0
	for _, path := range []string{
		"/docs", "/docs?q=link+counts", "/docs/commands", "/docs/glossary", "/docs/jobs/enter-a-load", "/docs/jobs/load-brief",
		"/docs/jobs/walk-round", "/docs/jobs/inspect-and-sign", "/docs/jobs/run-a-test-day", "/docs/limits", "/docs/method/statics", "/docs/method/checks", "/docs/formats/rig-1", "/docs/rigs", "/docs/inspection-practice",
	} {
		for _, width := range []int64{360, 820, 1280} {
			b.size(width, 800)
			b.open(path)
			if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide: %s", path, width, over, get[string](b, `[...document.querySelectorAll("main *")]
					.filter(e => !e.closest(".docs-box, pre") && e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5)
					.map(e => e.outerHTML.slice(0, 90)).slice(0, 3).join("\n")`))
			}
			if small := get[string](b, `[...document.querySelectorAll("button, summary, input, .docs-list a, .docs-after nav a, .docs-here a, .docs-touch, .docs-found h2 a")]
				.filter(e => e.checkVisibility()).filter(e => e.getBoundingClientRect().height < 47.5).map(e => e.outerHTML.slice(0, 90)).join("\n")`); small != "" {
				t.Errorf("%s at %d px: too small for a finger:\n%s", path, width, small)
			}
			looked++
			b.shot(strings.ReplaceAll(strings.Trim(path, "/"), "/", "-") + "-" + strconv.FormatInt(width, 10))
		}
		pictures += get[int](b, `(async () => {
			const all = [...document.images];
			all.forEach(i => i.loading = "eager");
			await Promise.all(all.map(i => i.decode()));
			return all.filter(i => i.naturalWidth > 100).length;
		})()`)
	}
	if looked != 45 || pictures < 11 {
		t.Errorf("looked at %d pages with %d pictures", looked, pictures)
	}
}

// A person finds a word, reads what it means, and comes back.
func TestBrowser_DocumentsAreSearchedByKeyboard(t *testing.T) {
	b := browse(t, nil)
	b.size(820, 1180)
	b.open("/docs")
	b.do(chromedp.SendKeys(chromedp.CSS("#q"), "grab hook\r"))
	b.arrives(`document.querySelector(".docs-found mark") !== null`)
	b.do(chromedp.Click(chromedp.CSS(`.docs-found a[href="/docs/glossary"]`)))
	b.arrives(`document.querySelector("#word-grab-hook") !== null`)
	b.open("/docs/glossary#word-grab-hook")
	b.arrives(`document.querySelector("tr:target") !== null && document.querySelector("tr:target").getBoundingClientRect().top < innerHeight`)
}
