package web

import (
	"encoding/json"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig"
)

// wellMade checks what holds of every page.
func wellMade(t *testing.T, page string) {
	t.Helper()
	if !strings.HasSuffix(strings.TrimSpace(page), "</html>") {
		t.Error("page is cut off")
	}
	for _, bad := range []string{"<no value>", "ZgotmplZ", "NaN", "Inf ", " style=", "%!", "onclick", "✓", "safe to"} {
		if strings.Contains(page, bad) {
			t.Errorf("page has %q", bad)
		}
	}
	if strings.Count(page, "<h1") != 1 || strings.Count(page, "<main") != 1 {
		t.Error("page lacks its one heading or its main part")
	}
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(`\sid="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if seen[m[1]] {
			t.Errorf("id %s stands twice", m[1])
		}
		seen[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`\sfor="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if !seen[m[1]] {
			t.Errorf("label for %s has no field", m[1])
		}
	}
}

// conditionsAsked is what the lift page is asked in the tests: the crate of 1400 kg under
// the invented twin.
func conditionsAsked() url.Values {
	return url.Values{
		"aircraft": {"twin"}, "f.hooks.apex": {"front"},
		"f.pick-up.place": {"valley"}, "f.pick-up.elevation": {"620 m"}, "f.pick-up.qnh": {"1016 hPa"}, "f.pick-up.temperature": {"14 degC"}, "f.pick-up.fuel": {"700 kg"},
		"f.drop-off.place": {"hut"}, "f.drop-off.elevation": {"1840 m"}, "f.drop-off.qnh": {"1016 hPa"}, "f.drop-off.temperature": {"8 degC"},
		"f.flight": {"7 min"}, "f.home": {"6 min"}, "f.fitting.kind": {"apex-large"}, "f.fitting.inside": {"60 mm"}, "f.fitting.stock": {"25 mm"}, "f.wash.hook": {"3 m"},
	}
}

func TestLift_AnswersAtBothEnds(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate, "bare": bare, "open": strings.ReplaceAll(crate, "count: 10", "count: find"), "broken": "nonsense"})
	heavy := conditionsAsked()
	heavy.Set("f.drop-off.elevation", "3600 m")
	outside := conditionsAsked()
	outside.Set("f.drop-off.temperature", "45 degC")
	wrong := conditionsAsked()
	wrong.Set("f.pick-up.qnh", "1016")
	wrong.Set("f.drop-off.qnh", "29.92 hPa")
	inHg := conditionsAsked()
	inHg.Set("f.pick-up.fuel", "100 kg")
	none := conditionsAsked()
	none.Del("aircraft")
	half := url.Values{"aircraft": {"twin"}, "f.pick-up.temperature": {"14 degC"}}
	for _, c := range []struct {
		name, rig string
		form      url.Values
		has       []string
		kind      string
	}{
		{"nothing asked", "crate", nil, []string{"Choose an aircraft and enter", "What is asked"}, ""},
		{"within", "crate", conditionsAsked(), []string{"Within the limits entered", "governs", "To go now, take off", "to spare", "Hook front", "required", "Rotor wash", "gusts", "Fits by the sizes entered", "90 kt", "conditions/1"}, "within"},
		{"too high", "crate", heavy, []string{"Over a limit", "off the load, or out of the aircraft", "<b>over</b>"}, "over"},
		{"outside the table", "crate", outside, []string{"Cannot tell", "is outside the hover table"}, "cannot-tell"},
		{"wrong units", "crate", wrong, []string{"1016 needs a unit", `value="29.92 hPa"`, "What is wrong stands beside its field"}, "cannot-tell"},
		{"no reserve left", "crate", inHg, []string{"Over a limit", "the reserve is"}, "over"},
		{"no aircraft", "crate", none, []string{"Choose an aircraft."}, "cannot-tell"},
		{"half entered", "crate", half, []string{"Still to be entered", "drop-off", "pick-up: fuel aboard there"}, "cannot-tell"},
		{"a rig without ratings", "bare", conditionsAsked(), []string{"Cannot tell", "the rig as it hangs"}, "cannot-tell"},
		{"open counts", "open", conditionsAsked(), []string{"counts are still open"}, ""},
		{"unread", "broken", conditionsAsked(), []string{"has errors"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := ask(t, s, "GET", "/rig/"+c.rig+"/lift?"+c.form.Encode(), nil)
			page := w.Body.String()
			if w.Code != http.StatusOK {
				t.Fatalf("status %d: %.500s", w.Code, page)
			}
			wellMade(t, page)
			for _, want := range append(c.has, rig.Caution[:30]) {
				if !strings.Contains(page, want) {
					t.Errorf("page does not say %q", want)
				}
			}
			if c.kind != "" && !strings.Contains(page, `<div class="result `+c.kind+`"`) {
				t.Errorf("the result is not %s", c.kind)
			}
			// The status of the rig stands above every number.
			status := strings.Index(page, `class="status loud"`)
			number := regexp.MustCompile(`>[^<]*\d+(\.\d+)? (kN|kg|deg|m|%)[^<]*<`).FindStringIndex(page)
			if status < 0 || number != nil && number[0] < status {
				t.Errorf("status at %d, first number at %v", status, number)
			}
		})
	}
}

func TestLift_ScriptGetsParts(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	w := ask(t, s, "GET", "/rig/crate/lift?"+conditionsAsked().Encode(), nil, "Accept", "application/json")
	var c textChanged
	if err := json.Unmarshal(w.Body.Bytes(), &c); err != nil || len(c.Parts) != 2 || !strings.Contains(c.Parts["lift-answer"], "Within the limits entered") || !strings.Contains(c.Parts["lift-form"], `value="620 m"`) {
		t.Errorf("%v: %.300s", err, w.Body)
	}
	link := regexp.MustCompile(`href="([^"]*/lift/paper[^"]*)"`).FindStringSubmatch(c.Parts["lift-answer"])
	if link == nil {
		t.Fatal("no link to the sheet")
	}
	w = ask(t, s, "GET", html.UnescapeString(link[1]), nil)
	if w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF-") || w.Header().Get("Content-Type") != "application/pdf" {
		t.Errorf("sheet: status %d, %.40q", w.Code, w.Body)
	}
	if w = ask(t, s, "GET", "/rig/crate/lift/paper", nil); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a sheet of nothing: status %d", w.Code)
	}
}

func TestAsked_Pages(t *testing.T) {
	s, _ := serving(t, nil)
	readings := url.Values{
		"f.readings[0].id": {"front"}, "f.readings[0].at": {"1.5 m, 0 m, 0.4 m"}, "f.readings[0].shows": {"600 kg"}, "f.readings[0].give-or-take": {"5 kg"},
		"f.readings[1].id": {"rear"}, "f.readings[1].at": {"-1.5 m, 0 m, 0.4 m"}, "f.readings[1].shows": {"400 kg"}, "f.readings[1].give-or-take": {"5 kg"},
	}
	with := func(form url.Values, pairs ...string) url.Values {
		out := url.Values{}
		for k, v := range form {
			out[k] = v
		}
		for i := 0; i+1 < len(pairs); i += 2 {
			out.Set(pairs[i], pairs[i+1])
		}
		return out
	}
	fuel := url.Values{"f.fill.liquid": {"jet fuel"}, "f.fill.volume": {"900 L"}, "f.fill.at": {"12 degC"}}
	place := url.Values{"f.air.elevation": {"0 m"}, "f.air.qnh": {"1013.25 hPa"}, "f.air.temperature": {"15 degC"}}
	for _, c := range []struct {
		name, path string
		form       url.Values
		has        []string
	}{
		{"weigh, nothing", "/weigh", nil, []string{"What is entered"}},
		// The front carries 600 of 1000 kg over 3 m: 0.3 m ahead of the middle.
		{"weigh level", "/weigh", readings, []string{"0.300 m", "Cannot tell", "The height of the CG is not known", "1000 kg ± 10.0 kg", "not measured"}},
		// 100 kg less at 45 degrees: (600 − 500)·3/1000 = 0.3 m above the pivots at 0.4 m.
		{"weigh tilted", "/weigh", with(readings, "f.tilted.raised", "front", "f.tilted.shows", "500 kg", "f.tilted.by", "45 deg"), []string{"0.700 m", "from the tilted reading", "known: weighed", "cg: [0.300 m"}},
		{"weigh, an estimate without its tolerance", "/weigh", with(readings, "f.since[0].what", "snow", "f.since[0].mass", "40 kg", "f.since[0].known", "estimated", "f.since[0].at", "0 m, 0 m, 1 m"), []string{"An estimate needs its tolerance"}},
		{"weigh, a bare number", "/weigh", with(readings, "f.readings[1].shows", "400"), []string{"400 needs a unit", `value="400"`, "aria-invalid"}},
		{"liquid, nothing", "/weigh/liquid", nil, []string{"The tank"}},
		{"liquid", "/weigh/liquid", fuel, []string{"It weighs", "±", "No tank is entered"}},
		{"liquid, its sheet offered", "/weigh/liquid", fuel, []string{"/weigh/liquid/sheet?f.fill.at="}},
		{"liquid over-full", "/weigh/liquid", with(fuel, "f.fill.hottest", "40 degC", "f.tank.form", drumLying, "f.tank.length", "1.5 m", "f.tank.diameter", "0.9 m", "f.tank.capacity", "920 L"), []string{"Over a limit", "it would overflow by"}},
		{"liquid above the drum", "/weigh/liquid", with(fuel, "f.tank.form", drumStanding, "f.tank.length", "1 m", "f.tank.diameter", "0.9 m"), []string{"is more than the tank holds", "aria-invalid"}},
		{"liquid out of range", "/weigh/liquid", with(fuel, "f.fill.at", "300 degC"), []string{"aria-invalid"}},
		{"liquid, half a tank", "/weigh/liquid", with(fuel, "f.tank.length", "1 m"), []string{"Still to be entered: the tank: form"}},
		{"liquid, two ways", "/weigh/liquid", with(fuel, "f.fill.mass", "700 kg"), []string{"Volume and mass are both entered"}},
		{"air", "/air", place, []string{"1.2250 kg/m3", "Density altitude 0 m"}},
		{"air, QNH in the wrong unit", "/air", with(place, "f.air.qnh", "29.92 hPa"), []string{"aria-invalid", "Cannot tell"}},
		{"air and wash", "/air", with(place, "f.wash.aircraft", "single", "f.wash.gross", "2300 kg", "f.wash.hook", "3 m"), []string{"INVENTED", "gusts are well above it", "beneath the disc", "<svg"}},
		{"air, dew point above", "/air", with(place, "f.air.dew-point", "20 degC"), []string{"aria-invalid"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := ask(t, s, "GET", c.path+"?"+c.form.Encode(), nil)
			page := w.Body.String()
			if w.Code != http.StatusOK {
				t.Fatalf("status %d", w.Code)
			}
			wellMade(t, page)
			for _, want := range c.has {
				if !strings.Contains(page, want) {
					t.Errorf("page does not say %q", want)
				}
			}
		})
	}
}

func TestWeigh_Sheets(t *testing.T) {
	s, _ := serving(t, nil)
	fuel := url.Values{"f.fill.liquid": {"jet fuel"}, "f.fill.volume": {"900 L"}, "f.fill.at": {"12 degC"}}
	w := ask(t, s, "GET", "/weigh/liquid/sheet?"+fuel.Encode(), nil)
	if got := w.Header().Get("Content-Type"); w.Code != http.StatusOK || got != "application/pdf" || !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Errorf("status %d, %s", w.Code, got)
	}
	for _, path := range []string{"/weigh/sheet", "/weigh/liquid/sheet?f.fill.volume=900+L"} {
		if w := ask(t, s, "GET", path, nil); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d with nothing to print", path, w.Code)
		}
	}
}
