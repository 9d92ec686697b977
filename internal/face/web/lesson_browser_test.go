package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const (
	lessonHeading = `document.querySelector("[data-heading]").innerText`
	lessonPlace   = `document.querySelector(".lesson-nav span").innerText`
)

// On a projector: arrow keys and the big buttons go on and back, the browser's
// own back does too, and nothing lies outside the screen.
func TestBrowser_Lesson(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.size(1280, 800)
	b.open("/rig/crate/lesson?way=shown&at=1")
	b.until(scripted)
	first := get[string](b, lessonHeading)
	b.do(chromedp.KeyEvent(kb.ArrowRight))
	b.until(lessonPlace + `.startsWith("Shown: 2 of ")`)
	if got := get[string](b, lessonHeading); got == first {
		t.Errorf("the heading stays %s", got)
	}
	if got := get[string](b, `location.search`); !strings.Contains(got, "at=2") {
		t.Errorf("the address is %s", got)
	}
	b.do(chromedp.Click(chromedp.CSS(`[data-on]`)))
	b.until(lessonPlace + `.startsWith("Shown: 3 of ")`)
	b.do(chromedp.KeyEvent(kb.ArrowLeft))
	b.until(lessonPlace + `.startsWith("Shown: 2 of ")`)
	b.do(chromedp.Evaluate[chromedp.Void](`history.back()`))
	b.until(lessonPlace + `.startsWith("Shown: 3 of ")`)

	// Up and down step from question to question.
	b.open("/rig/crate/lesson?way=shown&at=5")
	b.until(scripted)
	top := func(n int) string {
		return fmt.Sprintf(`document.getElementById("q%d").getBoundingClientRect().top`, n)
	}
	for n := 1; n <= 3; n++ {
		b.do(chromedp.KeyEvent(kb.ArrowDown))
		b.until(`Math.abs(` + top(n) + `) < 25`)
	}
	b.do(chromedp.KeyEvent(kb.ArrowUp))
	b.until(`Math.abs(` + top(2) + `) < 25`)

	// Guided: the answer is hidden until it is asked for.
	b.open("/rig/crate/lesson?way=guided&at=5")
	b.until(scripted)
	if n := get[int](b, `document.querySelectorAll("details[open]").length`); n != 0 {
		t.Errorf("%d answers are open at once", n)
	}
	if get[bool](b, `document.querySelector(".lesson-press .lesson-right").checkVisibility()`) {
		t.Error("the answer can be seen before it is asked for")
	}
	b.do(chromedp.Click(chromedp.CSS(`.lesson-press summary`)))
	b.until(`document.querySelector(".lesson-press .lesson-right").checkVisibility()`)

	for _, width := range []int64{360, 820, 1280} {
		b.size(width, 800)
		for _, path := range []string{"/rig/crate/lesson", "/rig/crate/lesson?way=shown&at=5", "/rig/crate/lesson?way=guided&at=5", "/rig/crate/lesson?way=unaided"} {
			b.open(path)
			if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px lie outside", path, width, over)
			}
			small := get[string](b, `[...document.querySelectorAll("main button:not(.away), main .button, main summary, main fieldset label")].filter(x => x.checkVisibility() && x.getBoundingClientRect().height < 47.5).map(x => x.innerText).join("; ")`)
			if small != "" {
				t.Errorf("%s at %d px: too small for a finger: %s", path, width, small)
			}
		}
	}
}

// Unaided, without a script: answers go with the page from screen to screen and
// come back beside what was right.
func TestBrowser_LessonUnaidedWithoutScript(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.open("/rig/crate/lesson")
	press := func(selector string) {
		t.Helper()
		if _, err := chromedp.RunResponse(b.ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
			t.Fatal(err)
		}
	}
	press(`a[href*="way=unaided"]`)
	b.do(chromedp.Click(chromedp.CSS(`[name="call.1.1"][value="wrong"]`)), chromedp.SendKeys(chromedp.CSS(`[name="said.1.1"]`), "something odd"))
	press(`[data-on]`)
	if n := get[int](b, `document.querySelectorAll('[type=hidden][name="said.1.1"][value="something odd"]').length`); n != 1 {
		t.Errorf("the answer is carried %d times", n)
	}
	press(`[name="do"][value="end"]`)
	text := get[string](b, `document.querySelector("main").innerText`)
	for _, want := range []string{"You: something is wrong, “something odd”.", "You: no answer.", "As it should be: ", "Wrong: "} {
		if !strings.Contains(text, want) {
			t.Errorf("the end lacks %q", want)
		}
	}
}

// TestBrowser_LessonShots writes pictures of the pages for people to look at.
func TestBrowser_LessonShots(t *testing.T) {
	if *shots == "" {
		t.Skip("skipped without -shots FOLDER")
	}
	b := browse(t, demoRigs())
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		}); err != nil {
			t.Fatal(err)
		}
		for width, height := range map[int64]int64{390: 844, 820: 1180, 1280: 800} {
			b.size(width, height)
			for name, path := range map[string]string{
				"lesson": "/rig/crate-off-centre/lesson", "shown": "/rig/crate-off-centre/lesson?way=shown&at=5", "guided": "/rig/crate-off-centre/lesson?way=guided&at=5",
				"unaided": "/rig/crate-off-centre/lesson?way=unaided", "again": "/rig/drums-four-small/lesson?way=shown&at=20", "end": "",
			} {
				if scheme == "dark" && (name == "again" || name == "lesson") {
					continue
				}
				if name == "end" {
					b.open("/rig/crate-off-centre/lesson?way=unaided")
					if _, err := chromedp.RunResponse(b.ctx, chromedp.Click(chromedp.CSS(`[name="do"][value="end"]:not(.away)`))); err != nil {
						t.Fatal(err)
					}
				} else {
					b.open(path)
				}
				b.until(`document.fonts.status === "loaded"`)
				if name == "shown" {
					b.until(scripted)
					for range 4 {
						b.do(chromedp.KeyEvent(kb.ArrowDown))
					}
				}
				b.do(chromedp.Evaluate[chromedp.Void](`(async () => { for (const i of document.images) { if (!i.checkVisibility()) continue; i.loading = "eager"; await i.decode(); } })()`, chromedp.EvalAwaitPromise))
				for kind, shot := range map[string]chromedp.Action[[]byte]{"top": chromedp.CaptureScreenshot(), "whole": chromedp.FullScreenshot(100)} {
					png, err := chromedp.Run(b.ctx, shot)
					if err != nil {
						t.Fatal(err)
					}
					file := fmt.Sprintf("%s-%s-%s-%d.png", name, scheme, kind, width)
					if err := os.WriteFile(filepath.Join(*shots, file), png, 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
}
