package web

import (
	"encoding/json"
	"flag"
	"fmt"
	"net/url"
	"strings"
	"testing"

	"hangtrue/internal/face/app"
)

var manyPairs = flag.Int("pairs", 200, "how many pairs of a count map are timed")

// searching asks for counts and waits until they are found.
func searching(t testing.TB, s *Server, name string, form url.Values) {
	t.Helper()
	w := ask(t, s, "POST", rigURL(name)+"/counts", form)
	if w.Code != 303 {
		t.Fatalf("status %d: %.3000s", w.Code, w.Body)
	}
	data, err := s.Keeper.Current(name)
	if err != nil {
		t.Fatal(err)
	}
	kind := map[string]string{"find": kindSearch, "map": kindMap}[form.Get("do")]
	x := s.jobs.find(app.Version(data), kind)
	if x == nil {
		t.Fatal("nothing began")
	}
	<-x.ended
}

func pageSays(t testing.TB, page string, want ...string) {
	t.Helper()
	for _, x := range want {
		if !strings.Contains(page, x) {
			t.Errorf("page does not say %q", x)
		}
	}
}

func TestCountsPage_FindsAndSaysComputedNotApproved(t *testing.T) {
	rigs := demoRigs()
	s, dir := serving(t, rigs)
	const name = "trailer-front-and-rear"
	page := ask(t, s, "GET", rigURL(name)+"/counts", nil).Body.String()
	// The rig's own limits are in the form.
	pageSays(t, page, `name="pitch-low" value="-5 deg"`, `name="low" value="3"`, "procedure’s counts are the plan", "INVENTED", "Follows an approved procedure", "Nothing has been searched for")
	searching(t, s, name, url.Values{"do": {"find"}, "pitch-low": {"-3 deg"}, "pitch-high": {"0 deg"}, "low": {"4"}, "high": {"40"}})
	page = ask(t, s, "GET", rigURL(name)+"/counts", nil).Body.String()
	pageSays(t, page, "Found: computed, not approved", "Wanted: pitch from -3.0 deg to 0.0 deg, roll as it comes, counts from 4 up to 40", "every choice", `name="high" value="40"`, "one link off in any of 4 ways keeps the limits")
	if strings.Count(page, "Take into the rig") != 10 {
		t.Errorf("%d can be taken", strings.Count(page, "Take into the rig"))
	}
	if before := demoRigs()[name]; string(current(t, s, name)) != before {
		t.Error("a search changed the file")
	}
	_ = dir
	// A version that was found for another text is not taken.
	w := ask(t, s, "POST", rigURL(name)+"/counts/take", url.Values{"version": {"other"}, "counts": {"FL:4,FR:4"}})
	if w.Code != 409 {
		t.Errorf("status %d", w.Code)
	}
	version := app.Version([]byte(rigs[name]))
	w = ask(t, s, "POST", rigURL(name)+"/counts/take?version="+version, url.Values{"version": {version}, "counts": {"FL:4,FR:4,RL:24,RR:24"}})
	page = w.Body.String()
	pageSays(t, page, "Counts FL 4, FR 4, RL 24, RR 24 stand in the text below: computed, not approved. Nothing is saved", "Outside what its procedure covers", "Save as a new version", "count: 24, group: rear", `name="undo" value="FL:5&gt;4,FR:5&gt;4,RL:33&gt;24,RR:33&gt;24"`)
	if string(current(t, s, name)) != rigs[name] {
		t.Error("counts were taken into the file and not only into a draft")
	}
	if w := ask(t, s, "POST", rigURL(name)+"/counts/take", url.Values{"version": {version}, "counts": {"XX:4"}}); w.Code != 400 {
		t.Errorf("a leg that is not there: status %d", w.Code)
	}
}

func current(t testing.TB, s *Server, name string) []byte {
	t.Helper()
	data, err := s.Keeper.Current(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestCountsPage_NothingKeepsTheLimits(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	searching(t, s, "crate", url.Values{"do": {"find"}, "pitch-low": {"20 deg"}, "pitch-high": {"22 deg"}, "high": {"12"}})
	page := ask(t, s, "GET", "/rig/crate/counts", nil).Body.String()
	pageSays(t, page, "What stands in the way", "below the band of 20.0 deg to 22.0 deg", "What would open it", "Over a limit.")
}

func TestCountsPage_WhatIsTypedWrongStays(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate, "bare": bare, "open": strings.ReplaceAll(crate, "count: 10", "count: find"), "broken": "format: hangtrue.rig/1\n"})
	for typed, want := range map[string]string{"-5": "unit", "-5 kg": "angle", "5 deg": "the lower end comes first"} {
		w := ask(t, s, "POST", "/rig/crate/counts", url.Values{"do": {"find"}, "pitch-low": {typed}, "pitch-high": {"0 deg"}, "low": {"many"}})
		page := w.Body.String()
		if w.Code != 422 || !strings.Contains(page, want) {
			t.Errorf("%q: status %d, %q is not said", typed, w.Code, want)
		}
		pageSays(t, page, `name="pitch-low" value="`+typed+`"`, `name="low" value="many"`, "a whole number")
	}
	w := ask(t, s, "POST", "/rig/crate/counts", url.Values{"do": {"map"}, "across": {"rear"}, "up": {"rear"}})
	if w.Code != 422 || !strings.Contains(w.Body.String(), "Choose two different groups") {
		t.Errorf("one group twice: status %d", w.Code)
	}
	pageSays(t, ask(t, s, "GET", "/rig/bare/counts", nil).Body.String(), "No leg of this rig has a chain")
	pageSays(t, ask(t, s, "GET", "/rig/broken/counts", nil).Body.String(), "has errors")
	// A rig whose counts are open can be searched.
	searching(t, s, "open", url.Values{"do": {"find"}})
	pageSays(t, ask(t, s, "GET", "/rig/open/counts", nil).Body.String(), "Found: computed, not approved", "Take into the rig")
}

func TestCountMap_PageFilesAndSheet(t *testing.T) {
	rigs := demoRigs()
	s, _ := serving(t, rigs)
	const name = "trailer-front-and-rear"
	base := rigURL(name) + "/counts"
	if w := ask(t, s, "GET", base+"/map/svg", nil); w.Code != 404 {
		t.Errorf("a map before it is computed: status %d", w.Code)
	}
	searching(t, s, name, url.Values{"do": {"map"}, "across": {"front"}, "up": {"rear"}})
	page := ask(t, s, "GET", base, nil).Body.String()
	pageSays(t, page, `name="a" type="number" min="1" max="99" value="5"`, "planned 5 / 33", ": the plan", "The planned pair and its neighbours", "<small>planned</small>")
	// Without a script a pair is chosen by two numbers, or a step.
	page = ask(t, s, "GET", base+"?a=5&b=40&do=b%2B", nil).Body.String()
	pageSays(t, page, `value="41"`, "FL 5, FR 5, RL 41, RR 41", "computed, not approved", "Outside what its procedure covers")
	page = ask(t, s, "GET", base+"?a=-7&b=4000", nil).Body.String()
	pageSays(t, page, "FL 1, FR 1, RL 99, RR 99")
	version := app.Version([]byte(rigs[name]))
	w := ask(t, s, "GET", base+"/at?a=6&b=33&version="+version, nil, "Accept", "application/json")
	var at struct{ Picture, Words string }
	if err := json.Unmarshal(w.Body.Bytes(), &at); err != nil || w.Code != 200 {
		t.Fatalf("status %d, %v", w.Code, err)
	}
	pageSays(t, at.Words, "FL 6, FR 6, RL 33, RR 33", "Take into the rig", "lbf")
	pageSays(t, at.Picture, "<svg", "INVENTED")
	if w := ask(t, s, "GET", base+"/at?a=6&b=33&version=old", nil, "Accept", "application/json"); w.Code != 409 || !strings.Contains(w.Body.String(), "refused") {
		t.Errorf("another version: status %d %s", w.Code, w.Body)
	}
	for format, begins := range map[string]string{"svg": "<svg", "pdf": "%PDF-", "csv": "count front,count rear", "png": "\x89PNG"} {
		w := ask(t, s, "GET", base+"/map/"+format, nil)
		if w.Code != 200 || !strings.HasPrefix(w.Body.String(), begins) || !strings.Contains(w.Header().Get("Content-Disposition"), "counts-front-rear-"+version[:8]+"."+format) {
			t.Errorf("%s: status %d, %s, %.20q", format, w.Code, w.Header().Get("Content-Disposition"), w.Body)
		}
	}
	if w := ask(t, s, "GET", base+"/map/exe", nil); w.Code != 404 {
		t.Errorf("another format: status %d", w.Code)
	}
	if w := ask(t, s, "POST", base+"/sheet", url.Values{}); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Errorf("sheet: status %d", w.Code)
	}
	kept, err := s.Keeper.Versions(name)
	if err != nil || kept[0].Printed.IsZero() {
		t.Error("the sheet was not noted, so that it never becomes void")
	}
}

// The server's own time for a pair of counts, over a path as a finger draws it.
// It asserts no time.
func TestCountMap_AnswerTimes(t *testing.T) {
	rigs := demoRigs()
	s, _ := serving(t, rigs)
	for _, name := range []string{"trailer-front-and-rear", "crate-off-centre"} {
		searching(t, s, name, url.Values{"do": {"map"}, "across": {"front"}, "up": {"rear"}})
		version := app.Version([]byte(rigs[name]))
		var ms []float64
		for i := range *manyPairs {
			a, b := 1+(i*7)%70, 1+(i*11)%70
			w := ask(t, s, "GET", fmt.Sprintf("%s/counts/at?a=%d&b=%d&version=%s", rigURL(name), a, b, version), nil, "Accept", "application/json")
			if w.Code != 200 {
				t.Fatalf("status %d: %s", w.Code, w.Body)
			}
			var x float64
			if _, err := fmt.Sscanf(w.Header().Get("Server-Timing"), "answer;dur=%g", &x); err != nil {
				t.Fatal(err)
			}
			ms = append(ms, x)
		}
		t.Logf("%s, %d pairs, ms in the server: %s", name, len(ms), spread(ms))
	}
}
