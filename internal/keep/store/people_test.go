package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
)

var noon = time.Date(2026, 5, 31, 12, 0, 0, 0, time.UTC)

// school opens a store with a clock that the test moves, and a chief instructor
// who can sign in.
func school(t *testing.T, open func(...Options) *Store) (*Store, *ticking) {
	t.Helper()
	c := clockAt(noon)
	s := open(Options{Now: c.now})
	add(t, s, "chief", "Ada Chief", people.Chief)
	accept(t, s, "chief", "ada")
	return s, c
}

func add(t *testing.T, s *Store, id, name string, roles ...people.Role) {
	t.Helper()
	if err := s.AddPerson(t.Context(), people.Person{ID: id, Name: name, Roles: roles}, "chief"); err != nil {
		t.Fatal(err)
	}
}

func accept(t *testing.T, s *Store, id, login string) {
	t.Helper()
	if err := s.Invite(t.Context(), "hash of "+id, id, s.now().Add(time.Hour), "chief"); err != nil {
		t.Fatal(err)
	}
	if who, err := s.Accept(t.Context(), "hash of "+id, login, "encoded"); err != nil || who != id {
		t.Fatal(who, err)
	}
}

func TestPeople_KeptAndFound(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := school(t, open)
		ctx := t.Context()
		add(t, s, "x", "Bo Ünal", people.Rigger, people.Inspector)
		q := people.Qualification{ID: "q", Kind: people.AsInspector, Scope: "crates", Authority: "Ada", From: "2026-01-01", Expires: "2026-12-31", Recency: 6, Last: "2026-02-01"}
		if err := s.AddQualification(ctx, "x", q, "chief"); err != nil {
			t.Fatal(err)
		}
		if err := s.UsedQualification(ctx, "x", people.AsInspector, "2026-05-01"); err != nil {
			t.Fatal(err)
		}
		if err := s.UsedQualification(ctx, "x", people.AsInspector, "2026-03-01"); err != nil { // out of order: the later day stays
			t.Fatal(err)
		}
		p, err := s.Person(ctx, "x")
		if err != nil || p.Name != "Bo Ünal" || !p.May(people.Sign) || len(p.Qualifications) != 1 || p.HasPassphrase {
			t.Fatalf("got %+v, %v", p, err)
		}
		q.Last = "2026-05-01"
		if p.Qualifications[0] != q {
			t.Errorf("got %+v, want %+v", p.Qualifications[0], q)
		}
		if err := s.EndQualification(ctx, "q", "2026-06-01", "chief"); err != nil {
			t.Fatal(err)
		}
		all, err := s.People(ctx)
		if err != nil || len(all) != 2 || all[0].Name != "Ada Chief" || !all[0].HasPassphrase || all[1].Qualifications[0].Ended != "2026-06-01" {
			t.Fatalf("got %+v, %v", all, err)
		}
		if _, err := s.Person(ctx, "nobody"); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		if err := s.SetRoles(ctx, "nobody", []people.Role{people.Student}, "chief"); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		changes, err := s.RightsChanges(ctx, "x", 100)
		var what []string
		for _, c := range changes {
			what = append(what, c.What)
			if c.By != "chief" || c.About != "x" || !c.At.Equal(noon) {
				t.Errorf("got %+v", c)
			}
		}
		if got := strings.Join(what, ", "); err != nil || got != "no longer qualified, qualified, added" {
			t.Errorf("got %s, %v", got, err)
		}
	})
}

func TestPeople_TheAuditIsOnlyAddedTo(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := school(t, open)
		for _, q := range []string{`UPDATE rights_change SET what = 'x'`, `DELETE FROM rights_change`} {
			if _, err := s.db.Exec(q); err == nil || !strings.Contains(err.Error(), "only ever added to") {
				t.Errorf("%s: %v", q, err)
			}
		}
	})
}

func TestPeople_TheLastChiefStays(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := school(t, open)
		ctx := t.Context()
		add(t, s, "second", "Second Chief", people.Chief) // cannot sign in yet
		tries := map[string]func(id string) error{
			"roles":  func(id string) error { return s.SetRoles(ctx, id, []people.Role{people.Student}, "chief") },
			"leave":  func(id string) error { return s.Leave(ctx, id, "chief") },
			"remove": func(id string) error { return s.RemoveName(ctx, id, "chief") },
		}
		for name, try := range tries {
			if err := try("chief"); !errors.Is(err, people.ErrLastChief) {
				t.Errorf("%s: got %v", name, err)
			}
		}
		if p, err := s.Person(ctx, "chief"); err != nil || !p.May(people.ManagePeople) || p.Name == "" {
			t.Fatalf("a refused change was kept: %+v, %v", p, err)
		}
		accept(t, s, "second", "second")
		for name, try := range tries {
			if err := try("chief"); err != nil {
				t.Errorf("%s with a second chief: %v", name, err)
			}
		}
	})
}

func TestPeople_ANameTakenAwayIsGone(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := school(t, open)
		ctx := t.Context()
		add(t, s, "x", "Erasmus Unforgettable", people.Student)
		accept(t, s, "x", "erasmus")
		if err := s.StartSession(ctx, "hash", people.Session{Person: "x", Expires: noon.Add(time.Hour)}); err != nil {
			t.Fatal(err)
		}
		if err := s.RemoveName(ctx, "x", "chief"); err != nil {
			t.Fatal(err)
		}
		p, err := s.Person(ctx, "x")
		if err != nil || p.Name != "" || p.Login != "" || p.HasPassphrase || p.Gone.IsZero() || p.Shown() != "person x" {
			t.Errorf("got %+v, %v", p, err)
		}
		if _, _, err := s.Session(ctx, "hash"); !errors.Is(err, people.ErrSession) {
			t.Errorf("still signed in: %v", err)
		}
		if _, _, found, err := s.Passphrase(ctx, "erasmus"); found || err != nil {
			t.Errorf("still signs in: %v, %v", found, err)
		}
		tables := `SELECT name FROM sqlite_schema WHERE type = 'table'`
		if s.postgres {
			tables = `SELECT table_name FROM information_schema.tables WHERE table_schema = current_schema()`
		}
		var names []string
		err = s.read(ctx, func(tx *tx) error {
			return tx.each(tables, nil, func(scan func(...any) error) error {
				var name string
				err := scan(&name)
				names = append(names, name)
				return err
			})
		})
		if err != nil || len(names) < 10 {
			t.Fatalf("%d tables, %v", len(names), err)
		}
		cells := 0
		for _, name := range names {
			for _, cell := range everything(t, s, name) {
				cells++
				if strings.Contains(strings.ToLower(cell), "erasmus") {
					t.Errorf("table %s keeps the name: %q", name, cell)
				}
			}
		}
		if !s.postgres { // nor do freed pages or the write-ahead log
			for _, name := range []string{s.path, s.path + "-wal"} {
				data, err := os.ReadFile(name)
				if err != nil && !errors.Is(err, fs.ErrNotExist) {
					t.Fatal(err)
				}
				if bytes.Contains(bytes.ToLower(data), []byte("erasmus")) {
					t.Errorf("%s still has the name", name)
				}
			}
		}
		if cells < 50 {
			t.Errorf("looked at only %d cells", cells)
		}
	})
}

// everything is all that a table holds, as text.
func everything(t *testing.T, s *Store, table string) (cells []string) {
	t.Helper()
	rows, err := s.db.Query(`SELECT * FROM ` + table)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		t.Fatal(err)
	}
	for rows.Next() {
		to := make([]any, len(columns))
		row := make([]any, len(columns))
		for i := range row {
			to[i] = &row[i]
		}
		if err := rows.Scan(to...); err != nil {
			t.Fatal(err)
		}
		for _, cell := range row {
			cells = append(cells, fmt.Sprintf("%s", cell))
		}
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return cells
}

func TestInvitation_CountsOnceAndNotForEver(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, clock := school(t, open)
		ctx := t.Context()
		add(t, s, "x", "X", people.Rigger)
		invite := func(hash string) {
			t.Helper()
			if err := s.Invite(ctx, hash, "x", s.now().Add(time.Hour), "chief"); err != nil {
				t.Fatal(err)
			}
		}
		refused := func(why, hash, login string, want error) {
			t.Helper()
			if _, err := s.Accept(ctx, hash, login, "e"); !errors.Is(err, want) {
				t.Errorf("%s: %v", why, err)
			}
		}
		refused("never made", "nothing", "x", people.ErrInvitation)
		invite("one")
		invite("two")
		refused("taken back by the next", "one", "x", people.ErrInvitation)
		refused("another's name", "two", "ada", people.ErrLoginTaken)
		if p, err := s.Invited(ctx, "two"); err != nil || p.ID != "x" {
			t.Errorf("got %+v, %v", p, err)
		}
		clock.move(time.Hour)
		refused("too old", "two", "x", people.ErrInvitation)
		invite("three")
		if who, err := s.Accept(ctx, "three", "x", "kept"); err != nil || who != "x" {
			t.Fatal(who, err)
		}
		refused("used", "three", "x", people.ErrInvitation)
		if who, encoded, found, err := s.Passphrase(ctx, "x"); who != "x" || encoded != "kept" || !found || err != nil {
			t.Error(who, encoded, found, err)
		}
		invite("four")
		if err := s.Leave(ctx, "x", "chief"); err != nil {
			t.Fatal(err)
		}
		refused("who has left", "four", "x", people.ErrInvitation)
		if _, _, found, err := s.Passphrase(ctx, "x"); found || err != nil {
			t.Error("somebody who has left signs in", err)
		}
	})
}

// Of many who use one link at once, one is taken.
func TestInvitation_OfManyAtOnceOneIsTaken(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := school(t, open)
		add(t, s, "x", "X", people.Rigger)
		if err := s.Invite(t.Context(), "link", "x", noon.Add(time.Hour), "chief"); err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		taken := make(chan bool, 8)
		for range cap(taken) {
			wg.Go(func() {
				if _, err := s.Accept(t.Context(), "link", "x", "e"); err == nil {
					taken <- true
				} else if !errors.Is(err, people.ErrInvitation) {
					t.Error(err)
				}
			})
		}
		wg.Wait()
		if len(taken) != 1 {
			t.Errorf("%d were taken", len(taken))
		}
	})
}

func TestSession_EndsInEveryWay(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, clock := school(t, open)
		ctx := t.Context()
		start := func(hash string) {
			t.Helper()
			err := s.StartSession(ctx, hash, people.Session{Person: "chief", Expires: s.now().Add(time.Hour), Device: "tablet", Address: "192.0.2.7"})
			if err != nil {
				t.Fatal(err)
			}
		}
		in := func(hash string, want bool) {
			t.Helper()
			x, p, err := s.Session(ctx, hash)
			if want && (err != nil || p.ID != "chief" || x.Device != "tablet" || x.ID == "") || !want && !errors.Is(err, people.ErrSession) {
				t.Errorf("session %s: %+v, %v; want %v", hash, x, err, want)
			}
		}
		start("one")
		start("two")
		in("one", true)
		in("two", true)
		if err := s.EndSession(ctx, "one"); err != nil {
			t.Fatal(err)
		}
		in("one", false)
		in("two", true)
		clock.move(10 * time.Minute)
		in("two", true)
		list, err := s.Sessions(ctx, "chief")
		if err != nil || len(list) != 1 || !list[0].Seen.Equal(noon.Add(10*time.Minute)) || !list[0].Made.Equal(noon) {
			t.Errorf("got %+v, %v", list, err)
		}
		start("three")
		if err := s.EndSessions(ctx, "chief", "chief"); err != nil {
			t.Fatal(err)
		}
		in("two", false)
		in("three", false)
		start("four")
		clock.move(time.Hour)
		in("four", false)
		start("five")
		if err := s.SetPassphrase(ctx, "chief", "stronger", false); err != nil {
			t.Fatal(err)
		}
		in("five", true)
		if err := s.SetPassphrase(ctx, "chief", "new", true); err != nil {
			t.Fatal(err)
		}
		in("five", false)
	})
}

func TestGuess_PausesGrowAndEnd(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		c := clockAt(noon)
		s := open(Options{Now: c.now})
		ctx := t.Context()
		pause := func(subject string, wrong int) time.Duration {
			if subject == "free" || wrong < 2 {
				return 0
			}
			return time.Duration(wrong) * time.Minute
		}
		guess := func(want time.Duration, subjects ...string) {
			t.Helper()
			if left, err := s.Guess(ctx, subjects, pause); err != nil || left != want {
				t.Errorf("%v: %v left, %v; want %v", subjects, left, err, want)
			}
		}
		guess(0, "a", "free")
		guess(0, "a", "free")
		guess(2*time.Minute, "a", "free")
		guess(2*time.Minute, "a", "free") // a refused try counts for nothing
		guess(0, "b", "free")
		c.move(time.Minute)
		guess(time.Minute, "a")
		c.move(time.Minute)
		guess(0, "a") // the third
		guess(3*time.Minute, "a")
		c.move(-time.Hour) // the clock is set back: no way round, no lock-out for an hour
		guess(3*time.Minute, "a")
		c.move(time.Hour + 3*time.Minute)
		guess(0, "a")
		if err := s.GuessedRight(ctx, []string{"a"}, []string{"b"}); err != nil {
			t.Fatal(err)
		}
		guess(0, "a")
		guess(0, "a")
		guess(2*time.Minute, "a")
		guess(0, "b") // one was undone
		guess(0, "b")
		guess(2*time.Minute, "b")
		c.move(forgetGuesses)
		guess(0, "a")
	})
}

// Many guesses at once must not slip through between looking and counting.
func TestGuess_ManyAtOnce(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		c := clockAt(noon)
		s := open(Options{Now: c.now})
		var wg sync.WaitGroup
		through := make(chan bool, 20)
		for range cap(through) {
			wg.Go(func() {
				left, err := s.Guess(t.Context(), []string{"a"}, func(_ string, wrong int) time.Duration {
					return time.Duration(max(0, wrong-2)) * time.Minute
				})
				if err != nil {
					t.Error(err)
				}
				if left == 0 {
					through <- true
				}
			})
		}
		wg.Wait()
		if len(through) != 3 {
			t.Errorf("%d guesses went through, want 3", len(through))
		}
	})
}
