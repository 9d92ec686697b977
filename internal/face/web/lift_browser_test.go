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

const isScripted = `document.documentElement.classList.contains("scripted")`

// fieldNamed is a form's field in the page.
func fieldNamed(name string) string {
	return fmt.Sprintf(`document.getElementById("document").elements[%q]`, name)
}

func run(script string) chromedp.Action[chromedp.Void] {
	return chromedp.Evaluate[chromedp.Void](script)
}

func TestBrowser_AircraftTable(t *testing.T) {
	b := browse(t, nil)
	b.size(820, 1180)
	b.open("/aircraft/single")
	b.until(isScripted)
	text := `document.getElementById("text").value`
	before := get[string](b, text)
	// As typed: a figure, then the tab key to the next one.
	b.do(run(fieldNamed("f.hover.oge.gross[2][1]") + `.focus(); document.activeElement.select()`))
	b.do(chromedp.KeyEvent("2600"), chromedp.KeyEvent(kb.Tab))
	b.until(text + `.includes("[2500 kg, 2600 kg, 2420 kg")`)
	b.until(`document.querySelector(".lift-said-row .lift-slip")?.textContent.includes("2600 kg")`)
	if got := get[string](b, `document.activeElement.name`); got != "f.hover.oge.gross[2][2]" {
		t.Errorf("the focus went to %q", got)
	}
	if got := get[string](b, fieldNamed("f.hover.oge.gross[2][1]")+`.value`); got != "2600" {
		t.Errorf("the cell holds %q", got)
	}
	b.do(chromedp.KeyEvent(kb.Enter))
	if got := get[string](b, `document.activeElement.name`); got != "f.hover.oge.gross[3][2]" {
		t.Errorf("enter goes to %q", got)
	}
	// Pasted from a spreadsheet into the corner that is empty: the table grows.
	b.do(run(`(() => { const cell = ` + fieldNamed("f.hover.ige.altitudes[7]") + `; cell.focus();
		const copied = new DataTransfer(); copied.setData("text/plain", "14000\t1995\t1925\r\n15000\t1900\t1830\r\n16000\t1840\t1770\r\n");
		cell.dispatchEvent(new ClipboardEvent("paste", { clipboardData: copied, bubbles: true, cancelable: true })); })()`))
	b.until(text + `.includes("14000 ft, 15000 ft, 16000 ft]")`)
	if got := get[string](b, text); !strings.Contains(got, "      - [1995 kg, 1925 kg, 1860 kg") || !strings.Contains(got, "      - [1840 kg, 1770 kg, none") {
		t.Errorf("the text is\n%s", got)
	}
	// The text is changed by hand, and the form follows.
	b.do(run(`(() => { const t = document.getElementById("text"); t.value = t.value.replace("reserve: 20 min", "reserve: 20"); t.dispatchEvent(new Event("input", { bubbles: true })); })()`))
	b.until(fieldNamed("f.fuel.reserve") + `.getAttribute("aria-invalid") === "true" && document.querySelectorAll("#lines .wrong").length === 1`)
	b.do(run(`(() => { const f = ` + fieldNamed("f.fuel.reserve") + `; f.value = "25 min"; f.dispatchEvent(new Event("change", { bubbles: true })); })()`))
	b.until(text + `.includes("reserve: 25 min") && document.querySelectorAll("#lines .wrong").length === 0`)
	// What is not saved survives a reload.
	b.do(chromedp.Reload())
	b.until(isScripted + ` && ` + fieldNamed("f.fuel.reserve") + `.value === "25 min"`)
	b.do(press("save"))
	b.until(`document.querySelector('[data-part="text-bar"]').innerText.includes("Saved as version")`)
	file, err := os.ReadFile(filepath.Join(b.dir, "aircraft", "single.yaml"))
	if err != nil || !strings.Contains(string(file), "reserve: 25 min") || string(file) == before {
		t.Errorf("the file is %s, %v", file, err)
	}
}

func TestBrowser_LiftFollowsItsForm(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	b.size(1280, 800)
	b.open("/rig/crate/lift?" + conditionsAsked().Encode())
	b.until(isScripted)
	words := `document.querySelector('[data-part="lift-answer"] .words').textContent`
	if got := get[string](b, words); got != "Within the limits entered" {
		t.Errorf("the result is %q", got)
	}
	b.do(run(`(() => { const f = ` + fieldNamed("f.drop-off.elevation") + `; f.value = "3600 m"; f.dispatchEvent(new Event("change", { bubbles: true })); })()`))
	b.until(words + ` === "Over a limit"`)
	b.until(`location.search.includes("3600")`)
	b.do(run(`(() => { const f = ` + fieldNamed("f.drop-off.elevation") + `; f.value = "3600"; f.dispatchEvent(new Event("change", { bubbles: true })); })()`))
	b.until(words + ` === "Cannot tell" && ` + fieldNamed("f.drop-off.elevation") + `.getAttribute("aria-invalid") === "true"`)
	if got := get[string](b, fieldNamed("f.drop-off.elevation")+`.value`); got != "3600" {
		t.Errorf("what was typed became %q", got)
	}
	// The page remembers what was asked last.
	b.do(run(`(() => { const f = ` + fieldNamed("f.drop-off.elevation") + `; f.value = "1700 m"; f.dispatchEvent(new Event("change", { bubbles: true })); })()`))
	b.until(words + ` === "Within the limits entered" && location.search.includes("1700")`)
	b.open("/rig/crate/lift")
	b.until(isScripted + ` && location.search.includes("1700") && ` + words + ` === "Within the limits entered"`)
}

func TestBrowser_LiftPagesNarrowAndZoomed(t *testing.T) {
	b := browse(t, map[string]string{"crate": crate})
	for _, c := range []struct{ kind, name, text string }{
		{"days", "huts", newDay}, {"days", "wrong", strings.Replace(newDay, "fuel: 250 kg", "fuel: 250", 1)}, {"aircraft", "new", newAircraft}, {"procedures", "register", register},
	} {
		keeper, err := b.server.Shelves.Shelf(c.kind)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := keeper.Save(c.name, "", []byte(c.text)); err != nil {
			t.Fatal(err)
		}
	}
	half := conditionsAsked()
	half.Set("f.drop-off.qnh", "1016")
	paths := []string{
		"/aircraft", "/aircraft/single", "/aircraft/new", "/days", "/days/huts", "/days/wrong", "/procedures", "/weigh", "/weigh/liquid", "/air",
		"/rig/crate/lift", "/rig/crate/lift?" + conditionsAsked().Encode(), "/rig/crate/lift?" + half.Encode(),
		"/weigh/liquid?f.fill.liquid=jet+fuel&f.fill.volume=900+L&f.fill.at=12+degC", "/air?f.air.elevation=0+m&f.air.qnh=1013+hPa&f.air.temperature=15+degC&f.wash.aircraft=single&f.wash.gross=2300+kg",
	}
	looked := 0
	for _, width := range []int64{360, 640, 820, 1280} {
		b.size(width, 800)
		for _, path := range paths {
			b.open(path)
			if over := get[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide: %s", path, width, over, get[string](b, `[...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > innerWidth + 0.5 && !e.closest(".hover-grid, .pages, .day-sheet, .text, .lift-file")).map(e => e.outerHTML.slice(0, 90)).slice(0, 3).join("\n")`))
			}
			if small := get[string](b, `[...document.querySelectorAll("main button, main .button, main select, main input, main .lift-cards a, main summary")]
				.filter(e => e.offsetParent && e.type !== "hidden" && !e.classList.contains("away")).filter(e => { const r = e.getBoundingClientRect(); return r.height < 47.5 || r.width < 47.5; })
				.map(e => e.outerHTML.slice(0, 90)).slice(0, 5).join("\n")`); small != "" {
				t.Errorf("%s at %d px: too small for a finger:\n%s", path, width, small)
			}
			looked++
		}
	}
	if looked < 4*len(paths) {
		t.Errorf("only %d pages looked at", looked)
	}
}

func TestBrowser_AircraftWithoutScript(t *testing.T) {
	b := browse(t, nil)
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.open("/aircraft/single")
	b.do(chromedp.SetValue(chromedp.CSS(`#f-fuel-reserve`), "35 min"))
	press := func(selector, want string) {
		t.Helper()
		if _, err := chromedp.RunResponse(b.ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
			t.Fatal(err)
		}
		page, err := chromedp.Run(b.ctx, chromedp.OuterHTML(chromedp.CSS("html")))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(page, want) {
			t.Errorf("after %s the page does not have %q", selector, want)
		}
	}
	press(`button.scriptless`, "reserve: 35 min")
	press(`[data-key="save"]`, "Saved as version")
	file, err := os.ReadFile(filepath.Join(b.dir, "aircraft", "single.yaml"))
	if err != nil || !strings.Contains(string(file), "reserve: 35 min") {
		t.Errorf("the file is %s, %v", file, err)
	}
}
