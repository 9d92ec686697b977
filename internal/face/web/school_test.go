package web

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/store"
)

// schoolClock is the day on which the school of the tests works.
var schoolClock = time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)

// school is a school's server over a fresh database with one rig, and its chief
// instructor's one-time link.
func school(t testing.TB) (s *Server, link string) {
	t.Helper()
	db, err := store.Open(context.Background(), filepath.Join(t.TempDir(), "school.db"), store.Options{Now: func() time.Time { return schoolClock }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	rigs, err := db.Shelf(store.Rigs)
	if err != nil {
		t.Fatal(err)
	}
	if _, saved, err := rigs.Save("crate", "", []byte(crate)); err != nil || !saved {
		t.Fatal(saved, err)
	}
	shelves := app.ShelvesOf(func(kind string) (app.Keeper, error) { return db.Shelf(kind) })
	all := app.NewSchool(db, rigs, shelves, func() time.Time { return schoolClock })
	if link, err = all.FirstStart(context.Background()); err != nil {
		t.Fatal(err)
	}
	return New(Config{
		Keeper:  rigs,
		Shelves: shelves,
		School:  &School{School: all, Name: "Kestmoor Lift School"},
		Tool:    "hangtrue test",
		Log:     slog.New(slog.NewTextHandler(io.Discard, nil)),
		Now:     func() time.Time { return schoolClock },
	}), link
}

const goodPassphrase = "seven larches behind the hut"

// as is a browser of somebody: it keeps its cookies.
type as struct {
	t       testing.TB
	s       *Server
	cookies map[string]string
}

// ask asks as a browser does that is sent on to what its form changed.
func (b *as) ask(method, target string, form url.Values, header ...string) *httptest.ResponseRecorder {
	b.t.Helper()
	return b.followed(b.once(method, target, form, header...))
}

// followed asks for the page that an answer sends on to, where it is held for that.
func (b *as) followed(w *httptest.ResponseRecorder) *httptest.ResponseRecorder {
	b.t.Helper()
	to := w.Header().Get("Location")
	if held := &b.s.pages.shown; w.Code == http.StatusSeeOther {
		held.mu.Lock()
		is := slices.ContainsFunc(held.all, func(p shownPage) bool { return p.path == to })
		held.mu.Unlock()
		if is {
			return b.once("GET", to, nil)
		}
	}
	return w
}

func (b *as) once(method, target string, form url.Values, header ...string) *httptest.ResponseRecorder {
	b.t.Helper()
	var pairs []string
	for name, value := range b.cookies {
		pairs = append(pairs, name+"="+value)
	}
	w := ask(b.t, b.s, method, target, form, append(header, "Cookie", strings.Join(pairs, "; "))...)
	for _, c := range w.Result().Cookies() {
		if c.MaxAge < 0 || c.Value == "" {
			delete(b.cookies, c.Name)
			continue
		}
		if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" {
			b.t.Errorf("cookie %+v", c)
		}
		b.cookies[c.Name] = c.Value
	}
	return w
}

// welcomed is somebody who has used a one-time link.
func welcomed(t testing.TB, s *Server, link, login string) *as {
	t.Helper()
	b := &as{t, s, map[string]string{}}
	w := b.ask("POST", "/welcome/"+link, url.Values{"login": {login}, "passphrase": {goodPassphrase}, "again": {goodPassphrase}})
	if w.Code != http.StatusSeeOther || len(b.cookies) != 1 {
		t.Fatalf("%s was not let in: %d %s", login, w.Code, w.Body)
	}
	return b
}

var welcomeLink = regexp.MustCompile(`/welcome/([A-Za-z0-9_-]+)`)

// member is a new person of these roles, signed in.
func member(t testing.TB, chief *as, login string, roles ...people.Role) *as {
	t.Helper()
	form := url.Values{"name": {"Person " + login}, "contact": {""}}
	body := make([]string, 0, len(roles))
	for _, x := range roles {
		body = append(body, string(x))
	}
	w := chief.askMany("/people", form, "role", body)
	m := welcomeLink.FindStringSubmatch(w.Body.String())
	if m == nil {
		t.Fatalf("no link for %s: %d %s", login, w.Code, w.Body)
	}
	return welcomed(t, chief.s, m[1], login)
}

// askMany posts a form in which one key has several values.
func (b *as) askMany(target string, form url.Values, key string, values []string) *httptest.ResponseRecorder {
	b.t.Helper()
	all := url.Values{}
	for k, v := range form {
		all[k] = v
	}
	all[key] = values
	r := httptest.NewRequest("POST", target, strings.NewReader(all.Encode()))
	r.Host = "127.0.0.1:8086"
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for name, value := range b.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	w := httptest.NewRecorder()
	b.s.Handler().ServeHTTP(w, r)
	return b.followed(w)
}

func TestSchool_FirstStartAndSignIn(t *testing.T) {
	s, link := school(t)
	stranger := &as{t, s, map[string]string{}}
	if w := stranger.ask("GET", "/rig/crate?x=1", nil); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/signin?to=%2Frig%2Fcrate%3Fx%3D1" {
		t.Errorf("a stranger: %d to %s", w.Code, w.Header().Get("Location"))
	}
	if w := stranger.ask("POST", "/rig/crate", draftOf(crate)); w.Code != http.StatusUnauthorized {
		t.Errorf("a stranger's change: %d", w.Code)
	}
	if w := stranger.ask("GET", "/welcome/"+link, nil); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Welcome") {
		t.Errorf("the first link: %d", w.Code)
	}
	for _, c := range []struct{ login, passphrase, again, want string }{
		{"c", goodPassphrase, goodPassphrase, "2 to 60 letters"},
		{"chief", "short", "short", "takes"},
		{"chief", goodPassphrase, "another one altogether", "differ"},
	} {
		w := stranger.ask("POST", "/welcome/"+link, url.Values{"login": {c.login}, "passphrase": {c.passphrase}, "again": {c.again}})
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), c.want) || strings.Contains(w.Body.String(), c.passphrase) {
			t.Errorf("%+v: %d %s", c, w.Code, w.Body)
		}
	}
	chief := welcomed(t, s, link, "chief")
	if w := chief.ask("GET", "/", nil); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Kestmoor Lift School") || !strings.Contains(w.Body.String(), "Sign out") {
		t.Errorf("the chief: %d", w.Code)
	}
	if w := stranger.ask("GET", "/welcome/"+link, nil); w.Code != http.StatusGone {
		t.Errorf("the link again: %d", w.Code)
	}
	chief.ask("POST", "/signout", url.Values{"x": {""}})
	if w := chief.ask("GET", "/", nil); w.Code != http.StatusSeeOther {
		t.Errorf("signed out: %d", w.Code)
	}
	for range 3 {
		if w := stranger.ask("POST", "/signin", url.Values{"login": {"chief"}, "passphrase": {"wrong wrong wrong"}}); w.Code != http.StatusUnauthorized || strings.Contains(w.Body.String(), "wrong wrong") {
			t.Errorf("a wrong passphrase: %d", w.Code)
		}
	}
	if w := stranger.ask("POST", "/signin", url.Values{"login": {"chief"}, "passphrase": {goodPassphrase}}); w.Code != http.StatusTooManyRequests || w.Header().Get("Retry-After") == "" {
		t.Errorf("too many guesses: %d", w.Code)
	}
}

func TestSchool_ReturnsOnlyToItsOwnPages(t *testing.T) {
	for to, want := range map[string]string{
		"/rig/crate?x=1": "/rig/crate?x=1", "": "/", "https://example.org/": "/", "//example.org/a": "/", `/\example.org`: "/", "rig": "/", "javascript:alert(1)": "/",
	} {
		if got := back(to); got != want {
			t.Errorf("back to %q goes to %q, want %q", to, got, want)
		}
	}
}

func TestSchool_People(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	inspector := member(t, chief, "ida", people.Inspector)
	student := member(t, chief, "sam", people.Student)
	if w := student.ask("GET", "/people", nil); w.Code != http.StatusForbidden || !strings.Contains(w.Body.String(), "that is for") {
		t.Errorf("a student looks at people: %d", w.Code)
	}
	page := inspector.ask("GET", "/people", nil).Body.String()
	if strings.Contains(page, "Add a person") || !strings.Contains(page, "Person sam") {
		t.Error("an inspector's view of people")
	}
	id := regexp.MustCompile(`/people/([a-z0-9]{20,})">Person ida`).FindStringSubmatch(page)
	if id == nil {
		t.Fatal("no link to ida")
	}
	at := "/people/" + id[1]
	if w := inspector.ask("POST", at, url.Values{"do": {"roles"}}); w.Code != http.StatusForbidden {
		t.Errorf("an inspector changes roles: %d", w.Code)
	}
	if w := chief.ask("POST", at, url.Values{"do": {"qualify"}, "kind": {"inspector"}, "authority": {""}, "from": {"2026-1-1"}, "recency": {"six"}, "scope": {"all <loads>"}}); w.Code != http.StatusUnprocessableEntity ||
		!strings.Contains(w.Body.String(), "whole number of months") || !strings.Contains(w.Body.String(), "all &lt;loads&gt;") {
		t.Errorf("a wrong qualification: %d %s", w.Code, w.Body)
	}
	w := chief.ask("POST", at, url.Values{"do": {"qualify"}, "kind": {"inspector"}, "authority": {"Board"}, "from": {"2026-01-01"}, "expires": {"2026-12-10"}})
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "is entered") {
		t.Errorf("a qualification: %d", w.Code)
	}
	if page := chief.ask("GET", "/people?day=2026-12-24", nil).Body.String(); !strings.Contains(page, "15 days left") {
		t.Error("what lapses is not listed")
	}
	if page := chief.ask("GET", "/people?day=2026-12-01", nil).Body.String(); strings.Contains(page, "days left") {
		t.Error("what does not lapse yet is listed")
	}
	if page := chief.ask("GET", "/people/changes", nil).Body.String(); !strings.Contains(page, "Person ida") || !strings.Contains(page, "walk an inspection") {
		t.Error("the audit of rights")
	}
	if w := chief.ask("POST", at, url.Values{"do": {"leave"}}); w.Code != http.StatusOK {
		t.Errorf("leaving: %d", w.Code)
	}
	if w := inspector.ask("GET", "/", nil); w.Code != http.StatusSeeOther {
		t.Errorf("somebody who left is still signed in: %d", w.Code)
	}
	if w := student.ask("POST", "/account", url.Values{"do": {"everywhere"}}); w.Code != http.StatusSeeOther {
		t.Errorf("sign out everywhere: %d", w.Code)
	}
	if w := student.ask("GET", "/account", nil); w.Code != http.StatusSeeOther {
		t.Errorf("signed out everywhere and still in: %d", w.Code)
	}
}

// Every route with every role: what the table says is what happens.
func TestSchool_RightsOfEveryRoute(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	who := map[people.Role]*as{people.Chief: chief}
	for _, x := range people.Roles[1:] {
		who[x] = member(t, chief, string(x), x)
	}
	stranger := &as{t, s, map[string]string{}}
	n := 0
	for _, row := range s.routes {
		if row.method == "" || row.path == "/signout" || row.path == "/account" && row.method == "POST" {
			continue
		}
		target := sample(row)
		// A body that no handler can read: who is let in gets an error of the
		// form, and nothing is changed between the roles.
		try := func(b *as) int {
			if row.method == "GET" {
				return b.ask("GET", target, nil, "Accept", "application/json").Code
			}
			return b.ask(row.method, target, url.Values{"nothing": {""}}, "Accept", "application/json").Code
		}
		if code := try(stranger); (code == http.StatusUnauthorized) == row.who.open && row.path != "/signin" {
			t.Errorf("%s %s: a stranger gets %d", row.method, row.path, code)
		}
		for _, x := range people.Roles {
			allowed := row.who.open || row.who.right == "" || x.May(row.who.right)
			if code := try(who[x]); (code == http.StatusForbidden) == allowed || code == http.StatusInternalServerError {
				t.Errorf("%s %s: %s gets %d", row.method, row.path, x, code)
			}
			n++
		}
	}
	if n < 5*len(s.routes)/2 {
		t.Errorf("only %d tries", n)
	}
}

func TestSchool_PagesFullAndEmpty(t *testing.T) {
	s, link := school(t)
	for _, target := range []string{"/signin", "/welcome/" + link, "/welcome/none"} {
		b := &as{t, s, map[string]string{}}
		goodPage(t, target, b.ask("GET", target, nil).Body.String())
	}
	chief := welcomed(t, s, link, "chief")
	for _, target := range []string{"/account", "/people", "/people/changes", "/", "/rig/crate"} {
		goodPage(t, target, chief.ask("GET", target, nil).Body.String())
	}
}

// goodPage checks what holds of every page.
func goodPage(t *testing.T, name, page string) {
	t.Helper()
	if !strings.HasSuffix(strings.TrimSpace(page), "</html>") {
		t.Errorf("%s is cut off", name)
	}
	for _, bad := range []string{"<no value>", "ZgotmplZ", "NaN", " style=", "%!", "onclick"} {
		if strings.Contains(page, bad) {
			t.Errorf("%s has %q", name, bad)
		}
	}
	if strings.Count(page, "<h1") != 1 || strings.Count(page, "<main") != 1 {
		t.Errorf("%s lacks its one heading or its main part", name)
	}
}

// What stands on top begins with what somebody comes for.
func TestTop_StudentsFindTheirOwnPagesFirst(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	first := regexp.MustCompile(`<nav aria-label="Everything else"><ul><li><a href="([^"]*)">[^<]*</a></li><li><a href="([^"]*)">[^<]*</a></li><li><a href="([^"]*)">`)
	for _, c := range []struct {
		who  *as
		want string
	}{
		{member(t, chief, "sam", people.Student), "[/drill /lane-run /results]"},
		{member(t, chief, "both", people.Student, people.Inspector), "[/today /loads /]"},
		{chief, "[/today /loads /]"},
	} {
		m := first.FindStringSubmatch(c.who.ask("GET", "/account", nil).Body.String())
		if m == nil || fmt.Sprint(m[1:]) != c.want {
			t.Errorf("first are %v, want %s", m, c.want)
		}
	}
}
