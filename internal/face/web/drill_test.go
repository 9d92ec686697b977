package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/paper/closeup"
)

var drillImage = regexp.MustCompile(`src="(/drill/[a-z0-9]+/picture/([a-z0-9]+))"`)

// begun is a drill of somebody, at its first station.
func begun(t *testing.T, b *as, more url.Values) (address, page string) {
	t.Helper()
	form := url.Values{"rig": {"crate"}, "pictures": {"6"}, "seconds": {"0"}}
	for k, v := range more {
		form[k] = v
	}
	w := b.ask("POST", "/drill", form)
	address = w.Header().Get("Location")
	if w.Code != http.StatusSeeOther || !strings.HasPrefix(address, "/drill/") {
		t.Fatalf("no drill: %d %s", w.Code, w.Body)
	}
	return address, b.ask("GET", address, nil).Body.String()
}

func TestDrill_WalkedToItsEnd(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	sam, ida := member(t, chief, "sam", people.Student), member(t, chief, "ida", people.Student)
	goodPage(t, "/drill", sam.ask("GET", "/drill", nil).Body.String())
	address, page := begun(t, sam, nil)
	goodPage(t, address, page)
	var earlier []string
	stations := 0
	for ; strings.Contains(page, "data-drill"); stations++ {
		if stations > 6 {
			t.Fatal("the drill does not end")
		}
		goodPage(t, address, page)
		for _, bad := range []string{"deficiency", "Missed", "would have done", "closeup", "figure"} {
			if strings.Contains(page, bad) {
				t.Errorf("station %d says %q", stations, bad)
			}
		}
		found := drillImage.FindAllStringSubmatch(page, -1)
		if len(found) < 1 || len(found) > 3 {
			t.Fatalf("%d pictures: %s", len(found), page)
		}
		form := url.Values{"do": {"on"}}
		for _, m := range found {
			w := sam.ask("GET", m[1], nil)
			if w.Code != http.StatusOK || w.Body.Len() != closeup.StudentBytes || w.Header().Get("Content-Type") != "image/png" {
				t.Errorf("picture: %d, %d bytes", w.Code, w.Body.Len())
			}
			if w := ida.ask("GET", m[1], nil); w.Code != http.StatusNotFound {
				t.Errorf("another student gets the picture: %d", w.Code)
			}
			if night := sam.ask("GET", m[1]+"?night", nil); night.Body.Len() != closeup.StudentBytes || night.Body.String() == w.Body.String() {
				t.Errorf("the picture for a dark screen: %d, %d bytes", night.Code, night.Body.Len())
			}
			form.Set("call."+m[2], "wrong")
		}
		for _, old := range earlier {
			if w := sam.ask("GET", old, nil); w.Code != http.StatusNotFound {
				t.Errorf("a picture of a station before: %d", w.Code)
			}
		}
		// Without an answer one stays where one is.
		if w := sam.ask("POST", address, url.Values{"do": {"on"}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "say of each picture") && !strings.Contains(w.Body.String(), "Say of each picture") {
			t.Errorf("no answer: %d", w.Code)
		}
		if w := sam.ask("POST", address, form); w.Code != http.StatusSeeOther {
			t.Fatalf("answer: %d %s", w.Code, w.Body)
		}
		if w := sam.ask("POST", address, form); w.Code == http.StatusSeeOther && strings.Contains(sam.ask("GET", address, nil).Body.String(), found[0][2]) && stations < 2 {
			t.Error("the same answer counted twice")
		}
		for _, m := range found {
			earlier = append(earlier, m[1])
		}
		page = sam.ask("GET", address, nil).Body.String()
		// Before the end not even a count tells how it goes.
		if list := sam.ask("GET", "/drill", nil).Body.String(); strings.Contains(page, "data-drill") && (strings.Contains(list, "with something wrong") || strings.Contains(list, "What comes back") || strings.Contains(list, "Missed last time")) {
			t.Errorf("the list tells how the drill goes: %s", mainOf(list))
		}
	}
	if len(earlier) != 6 {
		t.Errorf("%d pictures in %d stations", len(earlier), stations)
	}
	goodPage(t, address+" at its end", page)
	for _, want := range []string{"How the drill went", "INVENTED", "too few to say", "named; of"} {
		if !strings.Contains(page, want) {
			t.Errorf("the end does not say %q: %s", want, page)
		}
	}
	if got := strings.Count(page, "drill-verdict"); got != 6 {
		t.Errorf("%d pictures at the end", got)
	}
	for _, old := range earlier {
		if w := sam.ask("GET", old, nil); w.Code != http.StatusOK {
			t.Errorf("a picture at the end: %d", w.Code)
		}
	}
	if w := ida.ask("GET", address, nil); w.Code != http.StatusNotFound {
		t.Errorf("another student sees the drill: %d", w.Code)
	}
	if w := chief.ask("GET", address, nil); w.Code != http.StatusNotFound {
		t.Errorf("the chief sees the drill: %d", w.Code)
	}
	list := sam.ask("GET", "/drill", nil).Body.String()
	goodPage(t, "/drill afterwards", list)
	// By chance all six may have been as they should be: then nothing comes back.
	if !strings.Contains(list, "6 of 6 answered") || !strings.Contains(list, "What comes back") && !strings.Contains(list, "of 0 with something wrong") {
		t.Errorf("the list: %s", list)
	}
	goodPage(t, "models with drills", chief.ask("GET", "/statistics/models", nil).Body.String())
}

// Of everything wrong the end says what it would do, computed, or that nothing is.
func TestDrill_TheEndSaysWhatWasComputed(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	sam := member(t, chief, "sam", people.Student)
	if page := sam.ask("GET", "/drill", nil).Body.String(); !strings.Contains(page, "Clock, for the whole drill") {
		t.Errorf("the clock: %s", mainOf(page))
	}
	wrong, ended := 0, 0
	for range 4 {
		address, page := begun(t, sam, url.Values{"pictures": {"30"}})
		for strings.Contains(page, "data-drill") {
			form := url.Values{"do": {"on"}}
			for _, m := range drillImage.FindAllStringSubmatch(page, -1) {
				form.Set("call."+m[2], "right")
			}
			sam.to(address, form)
			page = sam.ask("GET", address, nil).Body.String()
		}
		missed := strings.Count(page, "Missed.")
		told := strings.Count(page, "would have done, computed") + strings.Count(page, "Computed for this load:</b> nothing")
		if told != missed {
			t.Errorf("%d missed, of %d it is said what was computed", missed, told)
		}
		wrong, ended = wrong+missed, ended+strings.Count(page, "If it ends so, a leg is lost: ")
	}
	if wrong < 20 || ended == 0 {
		t.Errorf("of %d missed %d lose a leg", wrong, ended)
	}
}

func TestDrill_EndedEarlyAndRefused(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	sam := member(t, chief, "sam", people.Student)
	address, page := begun(t, sam, url.Values{"seconds": {"30"}})
	if !strings.Contains(page, `data-left="180"`) {
		t.Error("no clock of 6 times 30 seconds")
	}
	if w := sam.ask("POST", address, url.Values{"do": {"end"}}); w.Code != http.StatusSeeOther {
		t.Errorf("end: %d", w.Code)
	}
	if page := sam.ask("GET", address, nil).Body.String(); !strings.Contains(page, "6 pictures were not come to") {
		t.Errorf("%s", page)
	}
	for name, form := range map[string]url.Values{
		"no rig":           {"rig": {""}},
		"too many":         {"pictures": {"31"}},
		"no number":        {"pictures": {"x"}},
		"too long a clock": {"seconds": {"301"}},
	} {
		all := url.Values{"rig": {"crate"}, "pictures": {"6"}, "seconds": {"0"}}
		for k, v := range form {
			all[k] = v
		}
		if w := sam.ask("POST", "/drill", all); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `class="wrong"`) {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
	if w := sam.ask("POST", "/drill", url.Values{"rig": {"none"}, "pictures": {"6"}, "seconds": {"0"}}); w.Code != http.StatusNotFound {
		t.Errorf("a rig that is not there: %d", w.Code)
	}
	if w := sam.ask("POST", "/drill", url.Values{"rig": {"crate"}, "pictures": {"6"}, "seconds": {"0"}, "shared": {"yes"}}); w.Code == http.StatusSeeOther {
		t.Error("a student does a drill with a class")
	}
	// With a class it counts for nobody.
	shared, _ := begun(t, chief, url.Values{"shared": {"yes"}})
	chief.ask("POST", shared, url.Values{"do": {"end"}})
	if page := chief.ask("GET", "/drill", nil).Body.String(); !strings.Contains(page, "with a class") || strings.Contains(page, "What comes back") {
		t.Errorf("a drill with a class: %s", page)
	}
}

// What comes after the time is shown and does not count.
func TestDrill_AfterTheTime(t *testing.T) {
	now := schoolClock
	k := walkersCopy(t, func() time.Time { return now })
	sam := member(t, k.chief, "dora", people.Student)
	address, page := begun(t, sam, url.Values{"seconds": {"10"}})
	form := url.Values{"do": {"on"}}
	for _, m := range drillImage.FindAllStringSubmatch(page, -1) {
		form.Set("call."+m[2], "wrong")
	}
	now = now.Add(63 * time.Second) // 60 s and more than the way to the server takes
	if w := sam.ask("POST", address, form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	page = sam.ask("GET", address, nil).Body.String()
	if !strings.Contains(page, "After the time, so it does not count") || !strings.Contains(page, "Nothing was answered in time") {
		t.Errorf("%s", page)
	}
	if page := sam.ask("GET", "/drill", nil).Body.String(); strings.Contains(page, "What comes back") {
		t.Error("a box moved after the time")
	}
}
