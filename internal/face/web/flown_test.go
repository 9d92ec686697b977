package web

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig/flown"
	"hangtrue/internal/face/app"
)

func flownLift(version string) url.Values {
	return url.Values{
		"do": {"enter"}, "date": {"2026-11-20"}, "who": {"A. Gruber"}, "version": {version}, "weighed": {"1421 kg"}, "pitch": {"-1.5 deg"},
		"airspeed": {"40 kt"}, "trail": {"3 deg"}, "remarks": {"gusty,\nturned"},
	}
}

func TestFlownPage_EnterCompareTakeOut(t *testing.T) {
	real := strings.Replace(crate, "invented: yes\n", "", 1)
	s, dir := serving(t, map[string]string{"crate": crate, "real": real, "broken": "format: hangtrue.rig/1\n"})
	version := app.Version([]byte(crate))
	page := ask(t, s, "GET", "/rig/crate/flown", nil).Body.String()
	pageSays(t, page, "computed 1400 kg", `value="2026-11-25"`, version[:8]+", current", "None entered", "INVENTED")
	for range 2 {
		if w := ask(t, s, "POST", "/rig/crate/flown", flownLift(version)); w.Code != 303 {
			t.Fatalf("status %d: %.2000s", w.Code, w.Body)
		}
	}
	page = ask(t, s, "GET", "/rig/crate/flown?entered", nil).Body.String()
	pageSays(t, page, "Entered.", "1421 kg", "1400 kg", "&#43;21.0 kg<small>&#43;1.5 %</small>", "few cases: they say little", "gusty, turned", "Flown at 40 kt", "Trail", "A. Gruber")
	text, err := os.ReadFile(filepath.Join(dir, app.Flown, "crate.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	lifts, problems := flown.Read(text)
	if len(problems) > 0 || len(lifts) != 2 || lifts[0].Remarks != "gusty, turned" {
		t.Errorf("%v, %+v", problems, lifts)
	}
	// After a change of the rig the lift is still compared with what it was rigged from.
	heavier := strings.Replace(crate, "1400 kg", "1500 kg", 1)
	if _, saved, err := s.Keeper.Save("crate", version, []byte(heavier)); !saved || err != nil {
		t.Fatal(err)
	}
	page = ask(t, s, "GET", "/rig/crate/flown", nil).Body.String()
	pageSays(t, page, "computed 1500 kg", "&#43;21.0 kg<small>&#43;1.5 %</small>")
	if w := ask(t, s, "POST", "/rig/real/flown", flownLift(app.Version([]byte(real)))); w.Code != 303 {
		t.Fatalf("status %d", w.Code)
	}
	page = ask(t, s, "GET", "/flown", nil).Body.String()
	pageSays(t, page, "one case: it says nothing of the next", "Kept apart", `href="/rig/real/flown"`)
	csv := ask(t, s, "GET", "/flown/csv", nil).Body.String()
	if strings.Count(csv, "\n") != 4 || !strings.Contains(csv, "real,no,2026-11-20,A. Gruber,") {
		t.Errorf("table\n%s", csv)
	}
	if one := ask(t, s, "GET", "/rig/crate/flown/csv", nil).Body.String(); strings.Count(one, "\n") != 3 {
		t.Errorf("table of one rig\n%s", one)
	}
	// An entry is taken out, and not by somebody who looks at an old list.
	out := url.Values{"do": {"out"}, "place": {"0"}, "on": {"old"}}
	if w := ask(t, s, "POST", "/rig/crate/flown", out); w.Code != 409 {
		t.Errorf("from an old list: status %d", w.Code)
	}
	out.Set("on", app.Version(text))
	if w := ask(t, s, "POST", "/rig/crate/flown", out); w.Code != 303 {
		t.Errorf("status %d", w.Code)
	}
	if page := ask(t, s, "GET", "/rig/crate/flown?out", nil).Body.String(); strings.Count(page, `class="lift"`) != 1 {
		t.Error("it is not out")
	}
	pageSays(t, ask(t, s, "GET", "/rig/broken/flown", nil).Body.String(), "None entered")
}

func TestFlownPage_WhatIsTypedWrongStays(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate})
	version := app.Version([]byte(crate))
	for key, typed := range map[string]string{"weighed": "1421", "pitch": "2 kg", "date": "20.11.", "who": "", "version": strings.Repeat("0", 64), "airspeed": "-3 kt", "remarks": strings.Repeat("x", 600)} {
		form := flownLift(version)
		form.Set(key, typed)
		w := ask(t, s, "POST", "/rig/crate/flown", form)
		page := w.Body.String()
		if w.Code != 422 || !strings.Contains(page, `role="alert"`) {
			t.Errorf("%s %q: status %d", key, typed, w.Code)
		}
		pageSays(t, page, "gusty"[:0], `name="trail" value="3 deg"`)
		if key != "version" && key != "remarks" && typed != "" && !strings.Contains(page, `value="`+typed+`"`) {
			t.Errorf("%s: what was typed is gone", key)
		}
	}
	form := flownLift(version)
	form.Del("airspeed")
	if w := ask(t, s, "POST", "/rig/crate/flown", form); w.Code != 422 || !strings.Contains(w.Body.String(), "needs the airspeed") {
		t.Errorf("a trail without an airspeed: status %d", w.Code)
	}
	if err := os.MkdirAll(filepath.Join(dir, app.Flown), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, app.Flown, "crate.yaml"), []byte("format: hangtrue.flown/1\nlifts: 3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	pageSays(t, ask(t, s, "GET", "/rig/crate/flown", nil).Body.String(), "The list has errors", "Line 2")
	if w := ask(t, s, "POST", "/rig/crate/flown", flownLift(version)); w.Code != 409 {
		t.Errorf("onto a list with errors: status %d", w.Code)
	}
	pageSays(t, ask(t, s, "GET", "/flown", nil).Body.String(), "The list of crate has errors")
}
