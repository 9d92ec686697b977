package web

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const atWords = `document.querySelector('[data-part="at-words"]').innerText`

// follow clicks on what leads to another page.
func (b *tab) follow(selector string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if _, err := chromedp.RunResponse(ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
		b.Fatalf("%s: %v", selector, err)
	}
}

// arrives waits for an expression to become true on a page that may be loaded
// again meanwhile.
func (b *tab) arrives(expression string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	for {
		_, err := chromedp.Run(ctx, chromedp.Poll[bool](expression, chromedp.WithPollingInterval(20*time.Millisecond)))
		switch {
		case err == nil:
			return
		case ctx.Err() != nil:
			b.Fatalf("never came true: %s (%v)", expression, err)
		}
	}
}

// Point at a pair, by mouse, keys and number, and the load hangs as the server
// says.
func TestBrowser_CountMapIsLive(t *testing.T) {
	const name = "trailer-front-and-rear"
	b := browse(t, map[string]string{name: demoRigs()[name]})
	b.size(1280, 900)
	b.open(rigURL(name) + "/counts")
	b.until(`document.documentElement.classList.contains("scripted")`)
	b.follow(`[data-key="map"]`)
	b.arrives(`document.querySelector("#count-map")?.dataset.ready === "yes"`)
	if got := get[string](b, atWords); !strings.Contains(got, "FL 5, FR 5, RL 33, RR 33: the plan") {
		t.Errorf("it begins with %.200s", got)
	}
	picture := get[string](b, `document.querySelector('[data-part="at-picture"]').innerHTML`)
	b.do(chromedp.Focus(chromedp.CSS("#count-map")), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowUp))
	b.until(atWords + `.includes("FL 6, FR 6, RL 34, RR 34: computed, not approved")`)
	b.do(chromedp.KeyEvent(kb.ArrowUp, chromedp.KeyModifiers(8)))
	b.until(atWords + `.includes("FL 6, FR 6, RL 44, RR 44")`)
	if get[string](b, `document.querySelector('[data-part="at-picture"]').innerHTML`) == picture {
		t.Error("the picture stays")
	}
	// A mouse that passes shows, and when it leaves the kept pair is back; a press
	// keeps.
	pointer := func(kind string, x, y float64) {
		b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(() => { const m = document.getElementById("count-map"), r = m.querySelector("svg").getBoundingClientRect(), d = m.dataset;
			m.setPointerCapture = () => {};
			const px = r.left + r.width / d.width * (+d.left + (d.right - d.left) * %g), py = r.top + r.height / d.height * (+d.bottom - (d.bottom - d.top) * %g);
			m.dispatchEvent(new PointerEvent(%q, { pointerId: 1, isPrimary: true, button: 0, pointerType: "mouse", clientX: px, clientY: py })); })()`, x, y, kind)))
	}
	pointer("pointermove", 0.5, 0.5)
	b.until(atWords + `.includes("FL 50, FR 50, RL 50, RR 50")`)
	pointer("pointerleave", 1.2, 0.5)
	b.until(atWords + `.includes("FL 6, FR 6, RL 44, RR 44")`)
	pointer("pointerdown", 0, 1)
	pointer("pointerup", 0, 1)
	b.until(atWords + `.includes("FL 1, FR 1, RL 99, RR 99")`)
	b.do(chromedp.Click(chromedp.CSS(`#pair button[value="a+"]`)))
	b.until(atWords + `.includes("FL 2, FR 2, RL 99, RR 99")`)
	// A reload shows the same pair; taking it opens the rig with it, unsaved.
	b.do(chromedp.Reload())
	b.arrives(`document.querySelector("#count-map")?.dataset.ready === "yes" && ` + atWords + `.includes("FL 2, FR 2, RL 99, RR 99")`)
	b.follow(`[data-key="take pair"]`)
	b.arrives(`document.getElementById("text")?.value.includes("count: 99, group: rear") && document.documentElement.classList.contains("scripted")`)
	b.until(headWords + `.includes("computed, not approved")`)
	b.do(press("undo"))
	b.until(`document.getElementById("text").value.includes("count: 33, group: rear")`)
	if file, err := os.ReadFile(filepath.Join(b.dir, name+".yaml")); err != nil || string(file) != demoRigs()[name] {
		t.Errorf("the file changed: %v", err)
	}
}

// A long computation shows how far it is, and can be stopped.
func TestBrowser_JobIsStopped(t *testing.T) {
	b := browse(t, map[string]string{"crate": strings.ReplaceAll(strings.ReplaceAll(crate, "links: 80", "links: 2000"), ", group: rear", "")})
	b.open("/rig/crate/counts")
	b.until(`document.documentElement.classList.contains("scripted")`)
	b.follow(`[data-key="map"]`)
	b.arrives(`document.querySelector(".job progress")?.value > 0`)
	b.follow(`[data-key="stop map"]`)
	b.arrives(`document.querySelector(".job") === null && document.body.innerText.includes("Stopped after")`)
}

// TestBrowser_StudyShots writes pictures of the pages of studies for people to
// look at.
func TestBrowser_StudyShots(t *testing.T) {
	if *shots == "" {
		t.Skip("skipped without -shots FOLDER")
	}
	b := browse(t, demoRigs())
	paths := b.studied("trailer-front-and-rear")
	paths = append(paths, b.studied("crate-off-centre")...)
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		}); err != nil {
			t.Fatal(err)
		}
		for _, width := range []int64{390, 820, 1280} {
			b.size(width, map[int64]int64{390: 844, 820: 1180, 1280: 800}[width])
			for _, path := range paths {
				b.open(path)
				b.until(`document.fonts.status === "loaded"`)
				png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
				if err != nil {
					t.Fatal(err)
				}
				file := fmt.Sprintf("%s-%d-%s.png", strings.ReplaceAll(strings.Trim(path, "/"), "/", "-"), width, scheme)
				if err := os.WriteFile(filepath.Join(*shots, file), png, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}
