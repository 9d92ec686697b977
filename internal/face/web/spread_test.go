package web

import (
	"net/url"
	"strings"
	"testing"

	"hangtrue/internal/face/app"
)

func spreading(t testing.TB, s *Server, name string, form url.Values) {
	t.Helper()
	if w := ask(t, s, "POST", rigURL(name)+"/spread", form); w.Code != 303 {
		t.Fatalf("status %d: %.3000s", w.Code, w.Body)
	}
	x := s.jobs.find(app.Version(current(t, s, name)), kindSpread)
	if x == nil {
		t.Fatal("nothing began")
	}
	<-x.ended
}

func TestSpreadPage(t *testing.T) {
	rigs := demoRigs()
	s, _ := serving(t, rigs)
	const name = "crate-off-centre"
	base := rigURL(name) + "/spread"
	page := ask(t, s, "GET", base, nil).Body.String()
	pageSays(t, page, "No approved procedure entered", "INVENTED", `placeholder="5.0 %"`, "what a load put together from plates and lists is commonly off", `name="cases" value="10000"`, "Nothing has been solved")
	if w := ask(t, s, "GET", base+"/file/pdf", nil); w.Code != 404 {
		t.Errorf("a file before there is one: status %d", w.Code)
	}
	form := url.Values{"do": {"run"}, "mass": {"3 %"}, "points": {"8 mm"}, "counts": {"1"}, "cases": {"2000"}, "seed": {"7"}}
	spreading(t, s, name, form)
	page = ask(t, s, "GET", base, nil).Body.String()
	pageSays(t, page, "of 2000 tried cases, for the tolerances entered", "mass ± 3.0 %", "lift points ± 8.0 mm", "counts ± 1 link", "Seed 7", "Jansen", `name="mass" value="3 %"`, "<svg", "The worst cases tried")
	csv := ask(t, s, "GET", base+"/file/csv", nil).Body.String()
	spreading(t, s, name, form)
	if again := ask(t, s, "GET", base+"/file/csv", nil).Body.String(); again != csv || len(csv) < 500 {
		t.Error("the same seed gave another answer")
	}
	form.Set("seed", "8")
	spreading(t, s, name, form)
	if other := ask(t, s, "GET", base+"/file/csv", nil).Body.String(); other == csv {
		t.Error("another seed gave the same cases")
	}
	if w := ask(t, s, "POST", base+"/sheet", url.Values{}); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Errorf("sheet: status %d", w.Code)
	}
}

func TestSpreadPage_WhatIsTypedWrongStays(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate, "open": strings.ReplaceAll(crate, "count: 10", "count: find")})
	for field, typed := range map[string]string{"mass": "3", "length": "-2 mm", "cases": "12", "seed": "one", "stretch": "200 %", "counts": "x"} {
		form := url.Values{"do": {"run"}, "cases": {"1000"}, "seed": {"1"}}
		form.Set(field, typed)
		w := ask(t, s, "POST", "/rig/crate/spread", form)
		if w.Code != 422 || !strings.Contains(w.Body.String(), `value="`+typed+`"`) || !strings.Contains(w.Body.String(), `class="notice" role="alert"`) {
			t.Errorf("%s %q: status %d", field, typed, w.Code)
		}
	}
	pageSays(t, ask(t, s, "GET", "/rig/open/spread", nil).Body.String(), "counts are still open")
}
