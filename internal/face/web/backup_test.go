package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/keep/store"
)

// at has the school's clock show another time until the test ends.
func at(t *testing.T, now time.Time) {
	t.Helper()
	was := schoolClock
	t.Cleanup(func() { schoolClock = was })
	schoolClock = now
}

// The chief downloads a backup that restores, the first page says when, and warns
// when it is too long ago.
func TestSchool_Backup(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	rigger := member(t, chief, "rita", people.Rigger)
	today := func(who *as, want, not string) {
		t.Helper()
		w := who.ask("GET", "/today", nil)
		goodPage(t, "/today", w.Body.String())
		if body := w.Body.String(); !strings.Contains(body, want) || not != "" && strings.Contains(body, not) {
			t.Errorf("no %q, or %q, in %s", want, not, body)
		}
	}
	today(chief, "No backup was made yet", "Last backup")
	today(rigger, "Today", "ackup")
	if w := rigger.ask("POST", "/settings/backup", url.Values{"do": {"backup"}}); w.Code != http.StatusForbidden {
		t.Errorf("a rigger's backup: %d", w.Code)
	}
	w := chief.ask("POST", "/settings/backup", url.Values{"do": {"backup"}})
	if w.Code != http.StatusOK || w.Header().Get("Content-Disposition") != `attachment; filename="school-2026-11-25-1000.db"` ||
		w.Header().Get("Cache-Control") != "no-store" || w.Header().Get("Content-Length") != fmt.Sprint(w.Body.Len()) {
		t.Fatalf("%d %v", w.Code, w.Header())
	}
	path := filepath.Join(t.TempDir(), "school.db")
	if err := os.WriteFile(path, w.Body.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	c, err := store.Restore(t.Context(), path, path+".restored")
	if err != nil || c.People != 2 || c.Rigs != 1 {
		t.Errorf("%+v, %v", c, err)
	}
	today(chief, "Last backup: 2026-11-25 10:00, less than a day ago", "alert")
	at(t, schoolClock.Add(7*24*time.Hour))
	chief = signedIn(t, s, "chief")
	today(chief, "7 days ago", "alert")
	at(t, schoolClock.Add(2*time.Hour))
	today(chief, "The last backup was made 7 days ago", "")
	// The days are the school's own choice.
	settings, on, err := s.School.Settings()
	if err != nil || settings.BackupDays != 7 {
		t.Fatal(settings, err)
	}
	settings.BackupDays, settings.Name = 30, "Kestmoor"
	if saved, err := s.School.SetSettings(&people.Person{ID: "x", Roles: []people.Role{people.Chief}}, on, settings); err != nil || !saved {
		t.Fatal(saved, err)
	}
	today(chief, "Last backup", "alert")
	w = chief.ask("GET", "/settings", nil)
	goodPage(t, "/settings", w.Body.String())
	if !strings.Contains(w.Body.String(), `name="backup_days" inputmode="numeric" value="30"`) || !strings.Contains(w.Body.String(), "The last backup was made 2026-11-25 10:00") {
		t.Errorf("%s", w.Body)
	}
}

// A clock that was set back is said on the first page and in the settings, until
// the chief says that it is right.
func TestSchool_ClockSetBack(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	member(t, chief, "rita", people.Rigger)
	at(t, schoolClock.Add(-48*time.Hour))
	if w := chief.ask("GET", "/today", nil); w.Code != http.StatusSeeOther {
		t.Errorf("a session from the future still counts: %d", w.Code)
	}
	chief = signedIn(t, s, "chief")
	rigger := signedIn(t, s, "rita")
	const words = "The clock of the school’s machine was set back: it shows 2026-11-23 10:00, and something was kept at 2026-11-25 10:00 already"
	for _, c := range []struct {
		who  *as
		page string
	}{{chief, "/today"}, {rigger, "/today"}, {chief, "/settings"}} {
		w := c.who.ask("GET", c.page, nil)
		goodPage(t, c.page, w.Body.String())
		if !strings.Contains(w.Body.String(), words) {
			t.Errorf("%s: %s", c.page, w.Body)
		}
	}
	if w := rigger.ask("POST", "/settings/clock", url.Values{"do": {"clock"}}); w.Code != http.StatusForbidden {
		t.Errorf("a rigger: %d", w.Code)
	}
	if w := chief.ask("POST", "/settings/clock", url.Values{"do": {"clock"}}); w.Code != http.StatusSeeOther {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if w := chief.ask("GET", "/today", nil); w.Code != http.StatusOK || strings.Contains(w.Body.String(), "set back") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if w := chief.ask("GET", "/people/changes", nil); !strings.Contains(w.Body.String(), "said that the clock is right") {
		t.Errorf("%s", w.Body)
	}
}

// sick is trouble as a keeper reports it.
type sick string

func (k sick) Error() string   { return "the keeper's own words" }
func (k sick) Trouble() string { return string(k) }

// What is wrong with the disk is said in plain words: to who sent a form, that it
// is not kept; to a script, that there nothing was kept; to who looks, what to do.
func TestTrouble_Words(t *testing.T) {
	s, _ := school(t)
	for kind, a := range ailments {
		for _, c := range []struct {
			method string
			json   bool
			want   string
		}{
			{"POST", false, "What you just sent is NOT kept."},
			{"POST", true, "What was sent is NOT kept there."},
			{"GET", false, a.mend},
		} {
			r := httptest.NewRequest(c.method, "/people", nil)
			if c.json {
				r.Header.Set("Accept", "application/json")
			}
			w := httptest.NewRecorder()
			s.refuse(w, r, fmt.Errorf("wrapped: %w", sick(kind)))
			body := w.Body.String()
			if w.Code != a.status || w.Code < 500 || !strings.Contains(body, c.want) || !strings.Contains(body, a.what) || strings.Contains(body, "keeper's own") ||
				c.method == "GET" && strings.Contains(body, "NOT kept") || c.json != strings.HasPrefix(body, `{"refused"`) {
				t.Errorf("%s %s: %d %s", kind, c.method, w.Code, body)
			}
		}
	}
	if _, ok := ailing(errors.New("x")); ok {
		t.Error("any error is trouble")
	}
	if _, ok := ailing(sick("no such kind")); ok {
		t.Error("an unknown kind has words")
	}
}
