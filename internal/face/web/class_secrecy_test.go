package web

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"os"
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

// reopened serves a copy of a school's database, by the clock of the tests.
func reopened(t *testing.T, file string) *Server {
	t.Helper()
	s, _ := schoolServer(t, file, func() time.Time { return schoolClock })
	return s
}

// signedIn signs in by name and passphrase.
func signedIn(t *testing.T, s *Server, login string) *as {
	t.Helper()
	b := &as{t, s, map[string]string{}}
	if w := b.ask("POST", "/signin", url.Values{"login": {login}, "passphrase": {goodPassphrase}, "to": {"/"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("%s cannot sign in: %d", login, w.Code)
	}
	return b
}

// Everything that a student's session can fetch, before a run and during it, is
// the same byte by byte whatever is planted in the lane; random ids of what was
// made after the school was copied are the only thing that may differ.
func TestSecrecy_AStudentSeesTheSameWhateverIsPlanted(t *testing.T) {
	folder := t.TempDir()
	base := filepath.Join(folder, "base.db")
	// One school with a class, a lane and a student who signs in; then two copies.
	x := schoolAt(t, base, func() time.Time { return schoolClock })
	copies := [2]string{filepath.Join(folder, "a.db"), filepath.Join(folder, "b.db")}
	for _, c := range copies {
		if _, err := x.db.Backup(t.Context(), c); err != nil {
			t.Fatal(err)
		}
	}
	var seen [2][]string
	var planted [2][]string
	for i, c := range copies {
		s := reopened(t, c)
		y := &taught{T: t, s: s, instructor: signedIn(t, s, "ina"), class: x.class, lane: x.lane, students: x.students}
		student := signedIn(t, s, "stu")
		version := y.plant(one())
		planted[i] = y.planted(version)
		fetch := func(when string) {
			for _, r := range routes() {
				if r.method != "GET" && r.method != "POST" || strings.HasPrefix(r.path, "/asset/") || strings.HasPrefix(r.path, "/welcome") || r.path == "/signout" || r.path == "/account" {
					continue
				}
				target := strings.NewReplacer("{class}", x.class, "{lane}", x.lane, "{version}", version, "{student}", x.students[0], "{run}", made("run", 1), "{paper}", "card").Replace(r.path)
				r.path = target
				target = sample(r)
				var form url.Values
				if r.method == "POST" {
					form = url.Values{"nothing": {""}}
				}
				w := student.ask(r.method, target, form)
				body := w.Body.String()
				for _, id := range planted[i] {
					if strings.Contains(target, version) || strings.Contains(target, "/runs/") {
						if strings.Contains(body, id) {
							t.Errorf("%s %s tells of %s", r.method, target, id)
						}
					}
				}
				header := w.Header().Clone()
				header.Del("Set-Cookie")
				text := []string{when, r.method, strings.ReplaceAll(target, version, "VERSION"), http.StatusText(w.Code), fmt.Sprint(header), fmt.Sprint(len(body)), body}
				seen[i] = append(seen[i], strings.ReplaceAll(strings.Join(text, "\n"), version, "VERSION"))
			}
		}
		fetch("before")
		run := made("run", 1)
		events := y.aRun(run, version, y.students[0], 3, 0)
		y.instructor.deliver(version, events[:3])
		fetch("during")
		y.instructor.deliver(version, events[3:])
		// After the grade the student reads whether the rule was met, and not what was planted.
		page := student.page("/results")
		for _, id := range planted[i] {
			if strings.Contains(page, id) || strings.Contains(student.page("/results/data.json"), id) {
				t.Errorf("the results tell of %s", id)
			}
		}
		if !strings.Contains(page, "met the rule") {
			t.Errorf("the student does not see the result: %s", mainOf(page))
		}
	}
	if slices.Equal(planted[0], planted[1]) {
		t.Fatal("the same was planted twice: the test shows nothing")
	}
	if len(seen[0]) < 100 || len(seen[0]) != len(seen[1]) {
		t.Fatalf("%d and %d answers", len(seen[0]), len(seen[1]))
	}
	nonce := regexp.MustCompile(`[a-z2-7]{26}`)
	differ := 0
	for i := range seen[0] {
		a, b := nonce.ReplaceAllString(seen[0][i], "ID"), nonce.ReplaceAllString(seen[1][i], "ID")
		if a != b {
			at := 0
			for at < min(len(a), len(b)) && a[at] == b[at] {
				at++
			}
			differ++
			t.Errorf("%s: they differ at %q and %q", strings.Join(strings.SplitN(a, "\n", 4)[:3], " "), a[max(0, at-60):min(len(a), at+60)], b[max(0, at-60):min(len(b), at+60)])
		}
		if differ > 5 {
			t.Fatal("and more")
		}
	}
}

// keptSchool is a school with its database.
type keptSchool struct {
	*taught
	db *store.Store
}

// schoolAt is a school with a class and a lane in a file; its first student signs
// in as stu.
func schoolAt(t *testing.T, file string, now func() time.Time) *keptSchool {
	t.Helper()
	db, err := store.Open(context.Background(), file, store.Options{Now: now})
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
	all := app.NewSchool(db, rigs, shelves, now)
	link, err := all.FirstStart(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	s := New(Config{
		Keeper: rigs, Shelves: shelves, School: &School{School: all, Name: "Kestmoor Lift School"}, Tool: "hangtrue test",
		Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Now: now,
	})
	x := &taught{T: t, s: s, chief: welcomed(t, s, link, "chief")}
	x.instructor = member(t, x.chief, "ina", people.Instructor)
	x.set(t)
	w := x.chief.ask("POST", "/people/"+x.students[0], url.Values{"do": {"invite"}})
	m := welcomeLink.FindStringSubmatch(w.Body.String())
	if m == nil {
		t.Fatal("no link for the student")
	}
	x.student = welcomed(t, s, m[1], "stu")
	if _, err := os.Stat(file); err != nil {
		t.Fatal(err)
	}
	return &keptSchool{x, db}
}
