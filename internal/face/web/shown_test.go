package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// Reloading the page after a form adds nothing twice: the browser is sent on to a
// page of its own, and the one-time link on it is shown once, to that session
// alone, and stands in no address.
func TestSchool_AFormIsNotSentTwiceByReloading(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "ada")
	w := chief.once("POST", "/people", url.Values{"name": {"Bea Fell"}, "role": {"student"}})
	to := w.Header().Get("Location")
	if w.Code != http.StatusSeeOther || !strings.HasPrefix(to, "/people/") || strings.Contains(to, "welcome") || strings.Contains(w.Body.String(), "welcome") {
		t.Fatalf("%d to %s: %s", w.Code, to, w.Body)
	}
	other := &as{t, s, map[string]string{}}
	w = other.ask("POST", "/signin", url.Values{"login": {"ada"}, "passphrase": {goodPassphrase}})
	if w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	if w := other.once("GET", to, nil); w.Code != http.StatusOK || welcomeLink.MatchString(w.Body.String()) {
		t.Errorf("another session is given the link: %d", w.Code)
	}
	if w := chief.once("GET", to, nil); w.Code != http.StatusOK || !welcomeLink.MatchString(w.Body.String()) {
		t.Errorf("no link: %d %s", w.Code, w.Body)
	}
	if w := chief.once("GET", to, nil); w.Code != http.StatusOK || welcomeLink.MatchString(w.Body.String()) || !strings.Contains(w.Body.String(), "Bea Fell") {
		t.Errorf("shown a second time: %d", w.Code)
	}
	// What is wrong is answered at once, with what was typed.
	if w := chief.once("POST", "/people", url.Values{"name": {""}, "role": {"student"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("got %d", w.Code)
	}
}

func TestShown_IsBounded(t *testing.T) {
	var h shown
	for i := range mostShownPages + 5 {
		h.hold(schoolClock, fmt.Sprint(i), "/x", nil)
	}
	if len(h.all) != mostShownPages {
		t.Errorf("%d pages are held", len(h.all))
	}
	if _, ok := h.take(schoolClock.Add(shownFor+time.Second), fmt.Sprint(mostShownPages), "/x"); ok {
		t.Error("a page is given out after its time")
	}
	h.hold(schoolClock.Add(time.Hour), "new", "/x", nil)
	if len(h.all) != 1 {
		t.Errorf("%d pages are held after their time", len(h.all))
	}
}

func TestAfterwards_AreActions(t *testing.T) {
	known := map[string]bool{}
	for _, r := range routes() {
		if r.method == http.MethodPost {
			known[r.path] = true
		}
	}
	for path := range afterwards {
		if !known[path] {
			t.Errorf("%s is no action", path)
		}
	}
	if got := ownPath(httptest.NewRequest("POST", "/classes/a%2Fb", nil)); got != "/classes/a%2Fb" {
		t.Error(got)
	}
}

// A link made while no tablet can come in says so, has no code to scan, and how to
// let tablets in.
func TestSchool_ALinkForThisMachineOnlySaysSo(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "ada")
	add := func() string {
		return chief.ask("POST", "/people", url.Values{"name": {"Bea Fell"}, "role": {"student"}}).Body.String()
	}
	if page := add(); !strings.Contains(page, "work on this machine only") || !strings.Contains(page, "--lan --host") || strings.Contains(page, `class="code"`) {
		t.Error(page)
	}
	s.School.Origin = "https://kestmoor.local:8443"
	if page := add(); strings.Contains(page, "work on this machine only") || !strings.Contains(page, `class="code"`) || !strings.Contains(page, "https://kestmoor.local:8443/welcome/") {
		t.Error(page)
	}
}

// A whole class gets its one-time links on paper at once, from whoever may manage
// people, and only those who cannot sign in yet.
func TestClass_OneTimeLinksForAll(t *testing.T) {
	x := teaching(t)
	at := "/classes/" + x.class
	if w := x.chief.ask("POST", at+"/links", url.Values{}); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "this machine only") {
		t.Errorf("links that nobody could open: %d", w.Code)
	}
	x.s.School.Origin = "https://kestmoor.local:8443"
	if page := x.instructor.page(at); !strings.Contains(page, "4 of them cannot sign in yet") || strings.Contains(page, at+"/links") {
		t.Errorf("for an instructor: %s", mainOf(page))
	}
	if w := x.instructor.ask("POST", at+"/links", url.Values{}); w.Code != http.StatusForbidden {
		t.Errorf("an instructor: %d", w.Code)
	}
	if page := x.chief.page(at); !strings.Contains(page, at+`/links"`) {
		t.Errorf("for a chief: %s", mainOf(page))
	}
	w := x.chief.ask("POST", at+"/links", url.Values{})
	if w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Fatalf("%d %.200s", w.Code, w.Body)
	}
	chief := someone(t, x.s, "chief")
	links, err := x.s.School.InviteClass(t.Context(), chief, x.class)
	if err != nil || len(links) != 4 || links[0].Group != "1" {
		t.Fatalf("%+v, %v", links, err)
	}
	welcomed(t, x.s, links[0].Link, "adafell")
	if links, err := x.s.School.InviteClass(t.Context(), chief, x.class); err != nil || len(links) != 3 {
		t.Errorf("after one has signed in: %d, %v", len(links), err)
	}
}

// A form says all that is wrong at once, and what it is about.
func TestForms_SayAllThatIsWrong(t *testing.T) {
	x := teaching(t)
	lane := laneFields()
	lane.Set("title", "")
	lane.Set("count", "many")
	lane.Set("minutes", "soon")
	lane.Set("attempts", "0")
	lane.Set("tag", "")
	for _, c := range []struct {
		at   string
		by   *as
		form url.Values
		want []string
	}{
		{"/classes/" + x.class + "/lanes", x.instructor, lane, []string{"The lane&#39;s name", "Deficiencies in each version: &#34;many&#34;", "Time limit: &#34;soon&#34;", "Attempts, at most", "carries a red tag"}},
		{"/classes", x.instructor, url.Values{"name": {""}, "from": {"soon"}, "until": {"late"}}, []string{"The class&#39;s name is not entered", "A day is written"}},
		{"/settings", x.chief, url.Values{"do": {"save"}, "name": {""}, "zone": {"Nowhere"}, "hours": {"x"}, "due_days": {"y"}, "backup_days": {"7"}}, []string{"A whole number is needed", "is no time zone", "name is not entered"}},
	} {
		w := c.by.ask("POST", c.at, c.form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", c.at, w.Code)
		}
		for _, want := range c.want {
			if !strings.Contains(w.Body.String(), want) {
				t.Errorf("%s does not say %q: %s", c.at, want, mainOf(w.Body.String()))
			}
		}
	}
	if page := x.chief.ask("GET", "/people/changes", nil).Body.String(); strings.Contains(page, "[&#34;") || !strings.Contains(page, "instructor") {
		t.Errorf("the changes of rights: %s", mainOf(page))
	}
	x.plant(one())
	if page := x.chief.page("/records"); strings.Contains(page, "key-commitment") || !strings.Contains(page, "commitment to a key") {
		t.Errorf("the records: %s", mainOf(page))
	}
}
