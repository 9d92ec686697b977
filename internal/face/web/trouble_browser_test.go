package web

import (
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"
)

// The laptop's disk is full while a tablet saves: the tablet says that the laptop
// keeps nothing, that nothing is lost, and how many wait; when there is room all
// is there once.
func TestBrowser_LaptopWithAFullDisk(t *testing.T) {
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	var full atomic.Bool
	inner := k.s.handler
	k.s.handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if full.Load() && r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/events") {
			k.s.refuse(w, r, sick("full"))
			return
		}
		inner.ServeHTTP(w, r)
	})
	address := k.serveOn()
	id := k.begun(k.ivo, "frame")
	b := k.onTablet(t, browser, "http://"+address, k.ivo)
	b.size(820, 1180)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	b.click("#begin")
	b.until(onScreen + ` === "question"`)
	b.quickly(2)
	b.waitSent()
	full.Store(true)
	b.quickly(3)
	b.until(`document.getElementById("inspect-unwell") !== null`)
	text := get[string](b, `document.getElementById("inspect-unwell").innerText`)
	for _, words := range []string{"The disk of the school’s machine is full. What was sent is NOT kept there.", "Here nothing is lost: all entries stay on this tablet and are sent again by themselves."} {
		if !strings.Contains(text, words) {
			t.Errorf("%q is not said: %s", words, text)
		}
	}
	b.until(unsentHere + ` === 3`)
	b.shot("inspect-unwell-820")
	b.size(390, 844)
	b.shot("inspect-unwell-390")
	full.Store(false)
	b.do(chromedp.Evaluate[chromedp.Void](`window.dispatchEvent(new Event("online"))`))
	b.waitSent()
	b.until(`document.getElementById("inspect-unwell") === null`)
	sent, all := b.acknowledged()
	if len(sent) != len(all) {
		t.Errorf("%d of %d sent", len(sent), len(all))
	}
	k.keptOnce(id, all)
	b.mu.Lock()
	b.console = slices.DeleteFunc(b.console, func(m string) bool { return strings.Contains(m, "507") }) // the refusals
	b.mu.Unlock()
}
