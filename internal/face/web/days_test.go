package web

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestDays_PlanFollowsTheText(t *testing.T) {
	s, dir := serving(t, nil)
	if page := ask(t, s, "GET", "/days", nil).Body.String(); !strings.Contains(page, "There is none yet") {
		t.Error("the empty list does not say so")
	}
	w := ask(t, s, "POST", "/days", url.Values{"name": {"huts"}})
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/days/huts" {
		t.Fatalf("status %d to %s", w.Code, w.Header().Get("Location"))
	}
	if w = ask(t, s, "POST", "/days", url.Values{"name": {"huts"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("the same name again: status %d", w.Code)
	}
	page := ask(t, s, "GET", "/days/huts", nil).Body.String()
	wellMade(t, page)
	for _, want := range []string{"INVENTED", "1 of 1 lift planned", "Within the limits entered", "07:30", "<svg", "Aircraft’s CG"} {
		if !strings.Contains(page, want) {
			t.Errorf("page does not say %q", want)
		}
	}
	form := formOf(t, page)
	form.Set("text", strings.Replace(newDay, "mass: 420 kg", "mass: 900 kg", 1))
	c, _ := pressed(t, s, "/days/huts", "read", form)
	if head, plan := c.Parts["day-head"], c.Parts["day-plan"]; !strings.Contains(head, "Lifts are left over") || !strings.Contains(plan, "timber: Over a limit") {
		t.Errorf("too heavy: %s %.500s", head, plan)
	}
	for _, x := range []struct{ from, to, has string }{
		{"aircraft: single", "aircraft: nobody", "There is no aircraft nobody"},
		{"mass: 420 kg", "mass: 420", "420 needs a unit"},
		{"to: hut", "to: hat", "There is no place"},
		{"qnh: 1018 hPa, temperature: 3", "qnh: 29.9 hPa, temperature: 3", "data-line=\"17\""},
	} {
		text := strings.Replace(newDay, x.from, x.to, 1)
		if text == newDay {
			t.Fatalf("nothing replaced: %s", x.from)
		}
		form.Set("text", text)
		c, _ = pressed(t, s, "/days/huts", "read", form)
		if said := c.Parts["text-problems"]; !strings.Contains(said, x.has) || !strings.Contains(said, "data-line") || c.Text != text {
			t.Errorf("%s: %s", x.to, said)
		}
	}
	form.Set("text", newDay+"# more\n")
	if c, code := pressed(t, s, "/days/huts", "save", form); code != http.StatusOK || c.Dirty {
		t.Errorf("status %d", code)
	}
	if file, err := os.ReadFile(filepath.Join(dir, "days", "huts.yaml")); err != nil || string(file) != newDay+"# more\n" {
		t.Errorf("%q, %v", file, err)
	}
	w = ask(t, s, "GET", "/days/huts/csv", nil)
	if w.Code != 200 || !strings.HasPrefix(w.Body.String(), "lift,what,load") || !strings.Contains(w.Body.String(), "INVENTED") {
		t.Errorf("status %d: %.200s", w.Code, w.Body)
	}
	if w = ask(t, s, "GET", "/days/huts/pdf", nil); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Errorf("status %d", w.Code)
	}
	for _, path := range []string{"/days/huts/doc", "/days/none", "/days/none/pdf"} {
		if w = ask(t, s, "GET", path, nil); w.Code != http.StatusNotFound {
			t.Errorf("%s: status %d", path, w.Code)
		}
	}
}

// A line that is offered is taken as it stands, but for place and hook.
func TestDays_LoadsOfRigsAreTaken(t *testing.T) {
	s, _ := serving(t, map[string]string{"7 crate": crate, "open": strings.ReplaceAll(crate, "count: 10", "count: find"), "broken": "x"})
	if w := ask(t, s, "POST", "/days", url.Values{"name": {"d"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	lines, err := s.waitingLoads()
	if err != nil || strings.Count(lines, "\n") != 1 || !strings.HasPrefix(lines, "- {id: load-7-crate, mass: 1400 kg, known: weighed, to: PLACE") {
		t.Fatalf("%v: %s", err, lines)
	}
	if page := ask(t, s, "GET", "/days/d", nil).Body.String(); !strings.Contains(page, "id: load-7-crate") {
		t.Error("the page does not offer it")
	}
	at := strings.Index(newDay, "      - {id: timber")
	text := newDay[:at] + "      " + strings.NewReplacer("PLACE", "hut", "HOOK", "belly").Replace(lines)
	c, _ := pressed(t, s, "/days/d", "read", url.Values{"text": {text}, "base": {""}})
	if c.Parts["text-problems"] != "" && strings.Contains(c.Parts["text-problems"], "data-line") {
		t.Errorf("it is not taken: %s", c.Parts["text-problems"])
	}
}
