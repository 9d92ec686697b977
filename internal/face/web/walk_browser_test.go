package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"hangtrue/internal/face/app"
)

const (
	orderIDs   = `[...document.querySelectorAll(".order-list > li")].map(x => x.dataset.id).join(" ")`
	orderClaim = `document.querySelector(".walk-claim").innerText`
	scripted   = `document.documentElement.classList.contains("scripted")`
)

// The order by keyboard, by dragging with a mouse and a finger, and by buttons;
// the coverage falls when a checkpoint is deleted and comes back with undo.
func TestBrowser_OwnOrder(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.size(820, 1180, chromedp.EmulateTouch)
	b.open("/rig/crate/walk/order")
	b.until(scripted)
	b.do(press("suggest"))
	b.until(`document.querySelectorAll(".order-list > li").length > 10`)
	first := get[string](b, orderIDs)
	if !strings.HasPrefix(first, "c01 c02 c03 c04") {
		t.Fatalf("the suggestion is %s", first)
	}
	whole := get[string](b, orderClaim)

	// Keyboard: the focus stays with the checkpoint that moves.
	b.do(chromedp.Focus(chromedp.CSS(`[data-key="handle c02"]`)), chromedp.KeyEvent(kb.ArrowDown))
	b.until(orderIDs + `.startsWith("c01 c03 c02 c04")`)
	if got := get[string](b, `document.activeElement.dataset.key`); got != "handle c02" {
		t.Errorf("the focus is on %s", got)
	}
	b.do(chromedp.KeyEvent(kb.ArrowDown))
	b.until(orderIDs + `.startsWith("c01 c03 c04 c02")`)
	b.do(chromedp.KeyEvent(kb.Home))
	b.until(orderIDs + `.startsWith("c02 c01 c03")`)

	// Mouse and finger, as the browser itself reports them: from the first place
	// to after the third. The press that begins a drag opens nothing.
	for _, pointer := range []string{"mouse", "finger"} {
		b.drag(pointer, "c02 c01 c03", "c01 c03 c02")
		if open := get[int](b, `document.querySelectorAll(".order-open").length`); open != 0 {
			t.Errorf("%s: dragging opened a checkpoint", pointer)
		}
		b.do(chromedp.Focus(chromedp.CSS(`[data-key="handle c02"]`)), chromedp.KeyEvent(kb.Home))
		b.until(orderIDs + `.startsWith("c02 c01 c03")`)
	}
	b.do(chromedp.Focus(chromedp.CSS(`[data-key="handle c02"]`)), chromedp.KeyEvent(kb.Enter))
	b.until(`document.querySelector("#at-c02 .order-open") !== null`)

	// Delete by buttons: the coverage falls, and undo brings it back.
	b.do(chromedp.Click(chromedp.CSS(`[data-key="open c05"]`)))
	b.until(`document.querySelector("#at-c05 .order-open") !== null`)
	b.do(press("delete c05"))
	b.until(`!` + orderIDs + `.includes("c05")`)
	fallen := get[string](b, orderClaim)
	if fallen == whole {
		t.Errorf("the claim stays: %s", fallen)
	}
	if got := get[string](b, `document.querySelector('[data-part="notice"]').innerText`); !strings.Contains(got, "it alone asked about") {
		t.Errorf("told: %s", got)
	}
	b.do(press("undo"))
	b.until(orderClaim + ` === ` + quote(whole) + ` && ` + orderIDs + `.includes("c05")`)

	// A field is taken as it is changed; the text says so.
	b.do(chromedp.Click(chromedp.CSS(`[data-key="open c05"]`)))
	b.until(`document.querySelector("#at-c05 .order-open") !== null`)
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const f = document.querySelector("[name=reference]"); f.value = "course book, page 12"; f.dispatchEvent(new Event("change", { bubbles: true })); })()`))
	b.until(`document.getElementById("typed").value.includes("reference: course book, page 12")`)

	// What is not saved survives a reload; saving ends that.
	b.do(chromedp.Reload())
	b.until(scripted + ` && document.getElementById("typed").value.includes("page 12")`)
	b.do(press("save"))
	b.until(`document.querySelector('[data-part="notice"]').innerText.includes("Saved as version")`)
	file, err := os.ReadFile(filepath.Join(b.dir, app.Sequences, "crate.yaml"))
	if err != nil || !strings.Contains(string(file), "course book, page 12") {
		t.Errorf("the file is %.200s, %v", file, err)
	}
	b.open("/rig/crate/walk")
	if got := get[string](b, `document.body.innerText`); !strings.Contains(got, "The school’s own order") || !strings.Contains(got, "course book, page 12") {
		t.Error("the walk-round does not follow the order saved")
	}

	// An error in the text, at its line, and nothing of the order is lost.
	b.open("/rig/crate/walk/order")
	b.until(scripted)
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const f = document.getElementById("typed"); f.value = f.value.replace("stand: far-front", "stand: under"); f.dispatchEvent(new Event("input")); })()`))
	b.until(`document.querySelector("[data-line]") !== null`)
	if got := get[string](b, `[...document.querySelectorAll("#lines .wrong")].map(x => x.textContent).join()`); got == "" {
		t.Error("no line is marked")
	}
}

// drag takes the first checkpoint of the list to after the third.
func (b *tab) drag(pointer, before, after string) {
	b.Helper()
	b.until(orderIDs + `.startsWith("` + before + `")`)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(".order-list > li").scrollIntoView({ block: "center" })`))
	at := get[[]float64](b, `(() => {
		const rows = [...document.querySelectorAll(".order-list > li")];
		const from = rows[0].querySelector("[data-handle]").getBoundingClientRect(), to = rows[2].getBoundingClientRect();
		return [from.x + 20, from.y + 20, to.y + to.height * 0.8];
	})()`)
	x, from, to := at[0], at[1], at[2]
	send := func(kind string, y float64) {
		b.Helper()
		var err error
		if pointer == "mouse" {
			p := input.DispatchMouseEventParams{X: x, Y: y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1}
			p.Type = map[string]input.DispatchMouseEventType{"down": input.DispatchMouseEventTypeMousePressed, "move": input.DispatchMouseEventTypeMouseMoved, "up": input.DispatchMouseEventTypeMouseReleased}[kind]
			_, err = chromedp.Call(b.ctx, input.DispatchMouseEvent, p)
		} else {
			p := input.DispatchTouchEventParams{TouchPoints: []*input.TouchPoint{{X: x, Y: y}}}
			p.Type = map[string]input.DispatchTouchEventType{"down": input.DispatchTouchEventTypeTouchStart, "move": input.DispatchTouchEventTypeTouchMove, "up": input.DispatchTouchEventTypeTouchEnd}[kind]
			if kind == "up" {
				p.TouchPoints = []*input.TouchPoint{}
			}
			_, err = chromedp.Call(b.ctx, input.DispatchTouchEvent, p)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	send("down", from)
	send("move", from+30)
	send("move", (from+to)/2)
	send("move", to)
	if n := get[int](b, `document.querySelectorAll(".drop-before").length`); n != 1 {
		b.Errorf("%s: %d places are marked while dragging", pointer, n)
	}
	send("up", to)
	b.until(orderIDs + `.startsWith("` + after + `")`)
}

func quote(text string) string { return "`" + text + "`" }

// The pages as they look, at three sizes, light and dark; nothing overflows
// sideways and what a finger works is large enough.
func TestBrowser_WalkPages(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	s := b.server
	if w := ask(t, s, "POST", "/rig/crate/walk/seen", map[string][]string{"what": {"Paint on the chain"}, "part": {"leg.FL.chain"}}); w.Code != 303 {
		t.Fatalf("status %d", w.Code)
	}
	for _, page := range []struct{ name, path string }{
		{"parts", "/rig/crate/parts"},
		{"part", "/rig/crate/parts/leg.FL.grab-hook"},
		{"walk", "/rig/crate/walk"},
		{"order", "/rig/crate/walk/order"},
		{"entry", "/rig/crate/walk/entry/s001"},
		{"effects", "/rig/crate/effects"},
	} {
		for _, size := range [][2]int64{{360, 740}, {820, 1180}, {1280, 800}} {
			b.size(size[0], size[1])
			b.open(page.path)
			if page.name == "order" {
				b.until(scripted)
				if size[0] == 360 {
					b.do(press("suggest"))
					b.until(`document.querySelectorAll(".order-list > li").length > 10`)
					b.do(chromedp.Click(chromedp.CSS(`[data-key="open c02"]`)))
				}
				b.until(`document.querySelectorAll(".order-list > li").length > 10`)
			}
			if wide := get[int](b, `document.documentElement.scrollWidth`); int64(wide) > size[0] {
				t.Errorf("%s at %d: %d wide", page.name, size[0], wide)
			}
			if small := get[string](b, `[...document.querySelectorAll("main button, main .button, main select, main input:not([type=hidden]):not([type=checkbox]):not([type=radio])")].filter(x => { const r = x.getBoundingClientRect(); return r.width > 0 && !x.classList.contains("away") && (r.height < 47.5 || r.width < 47.5); }).map(x => x.outerHTML.slice(0, 80)).join("; ")`); small != "" {
				t.Errorf("%s at %d: too small: %s", page.name, size[0], small)
			}
			walkShots(b, fmt.Sprintf("walk-%s-%d", page.name, size[0]))
		}
	}
}

// walkShots writes the page light and dark for people to look at, where a folder
// is named.
func walkShots(b *tab, name string) {
	b.Helper()
	if *shots == "" {
		return
	}
	for _, scheme := range []string{"dark", "light"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		}); err != nil {
			b.Fatal(err)
		}
		// Pictures that are fetched when they come into sight come into sight.
		b.until(`(() => { for (const x of document.images) x.loading = "eager"; return [...document.images].every(x => x.complete); })()`)
		png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
		if err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(*shots, name+"-"+scheme+".png"), png, 0o644); err != nil {
			b.Fatal(err)
		}
	}
}
