package store

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
)

// inTrouble fails the test unless an error is trouble of a kind, in words.
func inTrouble(t *testing.T, err error, kind, words string) {
	t.Helper()
	var x *Trouble
	if !errors.As(err, &x) || x.Trouble() != kind || !errors.Is(err, ErrDatabase) || !strings.Contains(err.Error(), words) {
		t.Errorf("got %v, want trouble %q with %q", err, kind, words)
	}
}

// A database that cannot grow, as on a full disk, says so; what was acknowledged
// is there, what was not is not there in part, and all goes on when there is room.
// The disk itself is full in the program's own test.
func TestTrouble_DiskFull(t *testing.T) {
	path := filepath.Join(t.TempDir(), "school.db")
	s := openFile(t, path)
	ctx := t.Context()
	add(t, s, "rigger", "R", people.Rigger)
	add(t, s, "inspector", "I", people.Inspector)
	s.db.SetMaxOpenConns(1) // the limit is a connection's
	var pages int
	if err := s.db.QueryRow(`PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	limit := func(n int) {
		t.Helper()
		var got int
		if err := s.db.QueryRow(fmt.Sprintf(`PRAGMA max_page_count = %d`, n)).Scan(&got); err != nil || got != n {
			t.Fatal(got, err)
		}
	}
	limit(pages + 20)
	kept := 0
	var err error
	for ; err == nil; kept++ {
		if kept > 1000 {
			t.Fatal("it never was full")
		}
		_, err = s.AddEvents(ctx, walk(made("i", kept), made("d", kept), 20), "inspector")
	}
	kept-- // the last was refused
	inTrouble(t, err, "full", "the disk is full: nothing of this was kept")
	d, e := s.Shelf(Rigs)
	if e != nil {
		t.Fatal(e)
	}
	_, saved, err := d.Save("large", "", bytes.Repeat([]byte("x"), 1<<19))
	inTrouble(t, err, "full", "the disk is full")
	if saved {
		t.Error("saved on a full disk")
	}
	look := func(n int) {
		t.Helper()
		list, err := s.Inspections(ctx, "", "", 10000)
		if err != nil || len(list) != n {
			t.Fatalf("%d inspections are there, want %d; %v", len(list), n, err)
		}
		for i := range n {
			if x, err := s.Events(ctx, made("i", i)); err != nil || len(x) != 22 {
				t.Errorf("inspection %d has %d events, %v", i, len(x), err)
			}
		}
	}
	look(kept)
	limit(pages + 1000)
	deliver(t, s, "inspector", walk(made("i", kept), made("d", kept), 20)...) // the tablet sends again
	look(kept + 1)
	s.Close()
	s = openFile(t, path)
	look(kept + 1)
	if err := sound(ctx, s.db); err != nil {
		t.Error(err)
	}
}

// Who is signed in can still look on a disk that takes nothing, though the time
// of their last look cannot be kept.
func TestTrouble_ReadOnlyStillShows(t *testing.T) {
	c := clockAt(noon)
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "school.db"), Options{Now: c.now})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := t.Context()
	add(t, s, "p", "P", people.Chief)
	if err := s.StartSession(ctx, "session", people.Session{Person: "p", Expires: noon.Add(10 * time.Hour)}); err != nil {
		t.Fatal(err)
	}
	s.db.SetMaxOpenConns(1)
	if _, err := s.db.Exec(`PRAGMA query_only = 1`); err != nil {
		t.Fatal(err)
	}
	c.move(time.Hour)
	if _, p, err := s.Session(ctx, "session"); err != nil || p.ID != "p" {
		t.Errorf("%+v, %v", p, err)
	}
	inTrouble(t, s.SetName(ctx, "p", "Q", "", "p"), "read-only", "can only be read: nothing of this was kept")
	if p, err := s.Person(ctx, "p"); err != nil || p.Name != "P" {
		t.Errorf("%+v, %v", p, err)
	}
	if _, err := s.db.Exec(`PRAGMA query_only = 0`); err != nil {
		t.Fatal(err)
	}
	if err := s.SetName(ctx, "p", "Q", "", "p"); err != nil {
		t.Error(err)
	}
}

// Whichever page of the file is damaged (every third is tried): the server does not start on it, or the
// check finds it; and no backup is made of it that passes for sound.
func TestTrouble_DamagedPages(t *testing.T) {
	dir := t.TempDir()
	ctx := t.Context()
	donor := furnished(t)
	for i := range 60 {
		add(t, donor, fmt.Sprint("p", i), strings.Repeat("name ", 20), people.Student)
	}
	good := filepath.Join(dir, "good")
	if _, err := donor.Backup(ctx, good); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	const size = 4096
	pages := len(data) / size
	if pages < 60 {
		t.Fatalf("only %d pages", pages)
	}
	step := 3
	if testing.Short() {
		step = 11
	}
	tried, atStart := 0, 0
	for page := 0; page < pages; page += step {
		bad := bytes.Clone(data)
		hurt := bad[page*size:][:size]
		for i := range hurt {
			hurt[i] ^= 0xa5
		}
		path := filepath.Join(dir, fmt.Sprint("bad", page))
		if err := os.WriteFile(path, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		tried++
		_, err := CheckFile(ctx, path)
		if err == nil {
			t.Errorf("page %d: the check finds nothing", page)
		}
		if page > 0 {
			inTrouble(t, err, "damaged", "the file is damaged: stop the server, keep a copy of the file, and restore the last backup")
		}
		if s, err := Open(ctx, path, Options{}); err != nil {
			atStart++
		} else {
			s.Close()
		}
		if c, _, err := BackupFile(ctx, path, path+".copy"); err == nil {
			// VACUUM builds indexes anew from the tables.
			if again, err := CheckFile(ctx, path+".copy"); err != nil || again.People != 63 {
				t.Errorf("page %d: a backup of it was made: %+v, %v", page, c, err)
			}
		}
		for _, name := range []string{path, path + "-wal", path + "-shm", path + ".lock", path + ".copy"} {
			os.Remove(name)
		}
	}
	if atStart < tried*3/4 {
		t.Errorf("the server started on %d of %d damaged files", tried-atStart, tried)
	}
	t.Logf("%d pages damaged one at a time; %d kept the server from starting, all were found by the check", tried, atStart)
}

// One letter that a disk has changed in a document, a photo or a record is found
// when it is read, and by the check.
func TestTrouble_OneChangedLetter(t *testing.T) {
	dir := t.TempDir()
	ctx := t.Context()
	s := openFile(t, filepath.Join(dir, "school.db"))
	d, err := s.Shelf(Rigs)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := d.Save("crate", "", []byte("mass: 1234 kg # crate")); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddPhoto(ctx, "image/jpeg", []byte("photo of a shackle"), "p"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Seal(ctx, "x", []byte(`{"sealed":"with care"}`), -1, ""); err != nil {
		t.Fatal(err)
	}
	good := filepath.Join(dir, "good")
	if _, err := s.Backup(ctx, good); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	reads := map[string]func(s *Store) error{
		"mass: 1234 kg": func(s *Store) error {
			d, err := s.Shelf(Rigs)
			if err == nil {
				_, err = d.Current("crate")
			}
			return err
		},
		"photo of a shackle": func(s *Store) error { _, _, err := s.Photo(ctx, hash([]byte("photo of a shackle"))); return err },
		"with care":          func(s *Store) error { _, err := s.LogEntry(ctx, 0); return err },
	}
	for text, read := range reads {
		if n := bytes.Count(data, []byte(text)); n != 1 {
			t.Fatalf("%q stands %d times in the file", text, n)
		}
		path := filepath.Join(dir, strings.ReplaceAll(text, " ", "-"))
		bad := bytes.Clone(data)
		bad[bytes.Index(bad, []byte(text))+7]++
		if err := os.WriteFile(path, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := CheckFile(ctx, path)
		inTroubleOrFault(t, err)
		_, _, err = BackupFile(ctx, path, path+".copy")
		inTroubleOrFault(t, err)
		if _, err := os.Stat(path + ".copy"); err == nil {
			t.Errorf("%s: a backup of it was made", text)
		}
		x := openFile(t, path)
		err = read(x)
		inTroubleOrFault(t, err)
		x.Close()
	}
}

func inTroubleOrFault(t *testing.T, err error) {
	t.Helper()
	if err == nil || !errors.Is(err, ErrDatabase) && !strings.Contains(err.Error(), "entry 0") {
		t.Errorf("got %v", err)
	}
}

// A clock that is set back is told from what was kept, sessions and links made
// ahead of it no longer count, order does not depend on it, and the word of a
// person that it is right ends the trouble.
func TestClock_SetBack(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		c := clockAt(noon)
		s := open(Options{Now: c.now})
		ctx := t.Context()
		add(t, s, "rigger", "R", people.Rigger)
		add(t, s, "inspector", "I", people.Inspector)
		back := func(want bool) {
			t.Helper()
			newest, got, err := s.ClockSeen(ctx)
			if err != nil || got != want || newest.IsZero() {
				t.Errorf("back %v (newest %s), %v; want %v", got, newest, err, want)
			}
		}
		back(false)
		if err := s.StartSession(ctx, "session", people.Session{Person: "rigger", Expires: noon.Add(14 * time.Hour)}); err != nil {
			t.Fatal(err)
		}
		if err := s.Invite(ctx, "link", "inspector", noon.Add(time.Hour), "rigger"); err != nil {
			t.Fatal(err)
		}
		d, err := s.Shelf(Rigs)
		if err != nil {
			t.Fatal(err)
		}
		one, _, err := d.Save("crate", "", []byte("one"))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Seal(ctx, "x", []byte(`{}`), -1, ""); err != nil {
			t.Fatal(err)
		}
		id := made("i", 1)
		events := walk(id, made("d", 1), 2)
		deliver(t, s, "inspector", events[:2]...)

		c.move(-4 * time.Minute) // as the network sets clocks
		back(false)
		if _, _, err := s.Session(ctx, "session"); err != nil {
			t.Error(err)
		}
		c.move(-30 * 24 * time.Hour)
		back(true)
		if _, _, err := s.Session(ctx, "session"); !errors.Is(err, people.ErrSession) {
			t.Errorf("a session from the future counts: %v", err)
		}
		if _, err := s.Invited(ctx, "link"); !errors.Is(err, people.ErrInvitation) {
			t.Errorf("a link from the future counts: %v", err)
		}
		if err := s.StartSession(ctx, "session2", people.Session{Person: "rigger", Expires: c.now().Add(time.Hour)}); err != nil {
			t.Fatal(err)
		}
		if _, _, err := s.Session(ctx, "session2"); err != nil {
			t.Errorf("nobody can sign in: %v", err)
		}
		// Order does not depend on the clock, and nothing a tablet sends is refused.
		deliver(t, s, "inspector", events[2:]...)
		got, err := s.Events(ctx, id)
		if err != nil || len(got) != len(events) || got[2].Seq <= got[1].Seq || !got[2].Received.Before(got[1].Received) {
			t.Errorf("%+v, %v", got, err)
		}
		if x, err := s.Inspection(ctx, id); err != nil || x.Phase != inspection.Finished {
			t.Errorf("%+v, %v", x, err)
		}
		if _, saved, err := d.Save("crate", one, []byte("two")); err != nil || !saved {
			t.Fatal(saved, err)
		}
		if kept, err := d.Versions("crate"); err != nil || len(kept) != 2 || kept[1].Version != one || !kept[0].At.After(kept[1].At) {
			t.Errorf("%+v, %v", kept, err)
		}
		a, err := s.Seal(ctx, "x", []byte(`{}`), -1, "")
		if err != nil || a.Entry.N != 1 {
			t.Errorf("%+v, %v", a, err)
		}
		if h, err := s.VerifyLog(ctx); err != nil || h.Size != 2 {
			t.Errorf("%+v, %v", h, err)
		}
		back(true) // not forgotten for what was kept since
		s.Close()
		s = open(Options{Now: c.now})
		back(true)
		if err := s.ClockRight(ctx, "rigger"); err != nil {
			t.Fatal(err)
		}
		back(false)
		if all, err := s.RightsChanges(ctx, "rigger", 1); err != nil || len(all) != 1 || all[0].What != "said that the clock is right" {
			t.Errorf("%+v, %v", all, err)
		}
		c.move(-time.Hour)
		back(true)
	})
}

// PostgreSQL drops every line, as when it is started anew: the school goes on by
// itself, and an error on the way says that nothing was kept.
func TestTrouble_PostgresComesBack(t *testing.T) {
	s, err := Open(t.Context(), postgresSchema(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for i := range 3 {
		// Its own line goes last, and with it the answer.
		s.db.Exec(`SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = current_setting('application_name') ORDER BY pid = pg_backend_pid()`)
		id := fmt.Sprint("p", i)
		for tries := 1; ; tries++ {
			err := s.AddPerson(t.Context(), people.Person{ID: id, Name: id, Roles: []people.Role{people.Student}}, "")
			if err == nil {
				break
			}
			inTrouble(t, err, "away", "the database server does not answer: nothing of this was kept")
			if tries > 20 {
				t.Fatal(err)
			}
		}
	}
	if all, err := s.People(t.Context()); err != nil || len(all) != 3 {
		t.Errorf("%d people, %v", len(all), err)
	}
}

func TestLastBackup(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "school.db")
	c := clockAt(noon)
	s, err := Open(t.Context(), path, Options{Now: c.now})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := t.Context()
	if at, err := s.LastBackup(ctx); err != nil || !at.IsZero() {
		t.Errorf("%v, %v", at, err)
	}
	x, err := s.Backup(ctx, filepath.Join(dir, "own"))
	if err != nil || s.NoteBackup(ctx, x) != nil {
		t.Fatal(err)
	}
	if at, err := s.LastBackup(ctx); err != nil || !at.Equal(noon) {
		t.Errorf("%v, %v", at, err)
	}
	// The command notes its own in the file that the server has open.
	if _, noted, err := BackupFile(ctx, path, filepath.Join(dir, "beside")); err != nil || !noted {
		t.Fatal(noted, err)
	}
	if at, err := s.LastBackup(ctx); err != nil || time.Since(at) > time.Minute {
		t.Errorf("%v, %v", at, err)
	}
	if _, err := CheckFile(ctx, path); err != nil {
		t.Errorf("the file in use: %v", err)
	}
}
