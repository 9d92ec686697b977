package store

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// Every connection that the pool makes must put a change on the disk before it
// is acknowledged.
func TestOpen_EveryConnectionIsDurable(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "school.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for i := range connections {
		c, err := s.db.Conn(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close() // held until all are open, so that each is another
		for pragma, want := range map[string]string{"synchronous": "2", "foreign_keys": "1", "journal_mode": "wal"} {
			var got string
			if err := c.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil || got != want {
				t.Errorf("connection %d: %s is %s (%v), want %s", i, pragma, got, err, want)
			}
		}
	}
	if n := s.db.Stats().OpenConnections; n != connections {
		t.Errorf("%d connections were looked at", n)
	}
}

func TestOpen_PostgresIsDurable(t *testing.T) {
	s, err := Open(t.Context(), postgresSchema(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var got string
	if err := s.db.QueryRowContext(t.Context(), "SHOW synchronous_commit").Scan(&got); err != nil || got != "on" {
		t.Errorf("synchronous_commit is %s, %v", got, err)
	}
}

func TestOpen_ASecondServerIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "school.db")
	s, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = Open(t.Context(), path, Options{})
	if !errors.Is(err, ErrOpenElsewhere) || !strings.Contains(err.Error(), "process") {
		t.Errorf("got %v", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	again.Close()
}

func TestOpen_RefusesWhatIsNoSchool(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "text.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("no database ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		text: "no database",
		dir:  "no regular file",
		filepath.Join(dir, "missing", "school.db"): "no such file",
	} {
		s, err := Open(t.Context(), path, Options{})
		if err == nil {
			s.Close()
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", path, err, want)
		}
	}
	if _, err := Open(t.Context(), "postgres://user:secret@:bad/port", Options{}); err == nil || strings.Contains(err.Error(), "secret") {
		t.Errorf("got %v", err)
	}
}

func TestOpen_RefusesANewerSchemaAndAnotherProgramsFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "school.db")
	s, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)`); err != nil {
		t.Fatal(err)
	}
	s.Close()
	if _, err := Open(t.Context(), path, Options{}); err == nil || !strings.Contains(err.Error(), "newer Hangtrue") {
		t.Errorf("got %v", err)
	}
	other := filepath.Join(t.TempDir(), "other.db")
	if s, err = Open(t.Context(), other, Options{}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec(`PRAGMA application_id = 7`); err != nil {
		t.Fatal(err)
	}
	s.Close()
	if _, err := Open(t.Context(), other, Options{}); err == nil || !strings.Contains(err.Error(), "another program") {
		t.Errorf("got %v", err)
	}
}

func TestPlaceholders(t *testing.T) {
	if got := placeholders("a = ? AND b = ?", true); got != "a = $1 AND b = $2" {
		t.Errorf("got %q", got)
	}
	if got := placeholders("a = ?", false); got != "a = ?" {
		t.Errorf("got %q", got)
	}
}

// Writers that read first and then write lose nothing of each other.
func TestWrite_OneAtATime(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s := open()
		d, err := s.Shelf(Rigs)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := d.Save("n", "", nil); err != nil {
			t.Fatal(err)
		}
		const writers, each = 8, 5
		var wg sync.WaitGroup
		for range writers {
			wg.Go(func() {
				for range each {
					err := s.write(t.Context(), func(t *tx) error {
						was, err := d.current(t, "n")
						if err != nil {
							return err
						}
						var data []byte
						if _, err := t.one(`SELECT bytes FROM content WHERE hash = ?`, []any{was}, &data); err != nil {
							return err
						}
						_, err = d.put(t, "n", was, append(data, 'x'))
						return err
					})
					if err != nil {
						t.Error(err)
					}
				}
			})
		}
		wg.Wait()
		if data, err := d.Current("n"); err != nil || len(data) != writers*each {
			t.Errorf("%d of %d changes are there, %v", len(data), writers*each, err)
		}
	})
}

// Should the lock of a server be lost, as when PostgreSQL was started anew, a
// second one can come in: both write, and nothing of either is lost.
func TestOpen_TwoServersOnPostgres(t *testing.T) {
	at := postgresSchema(t)
	var wg, opened sync.WaitGroup
	const servers, each = 3, 10
	opened.Add(servers)
	for range servers {
		wg.Go(func() {
			s, err := Open(t.Context(), at, Options{shared: true})
			opened.Done()
			if err != nil {
				t.Error(err)
				return
			}
			defer s.Close()
			opened.Wait()
			for i := range each {
				if _, err := s.Seal(t.Context(), "x", []byte("{}"), -1, ""); err != nil {
					t.Error(i, err)
				}
			}
		})
	}
	wg.Wait()
	s, err := Open(t.Context(), at, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if h, err := s.VerifyLog(t.Context()); err != nil || h.Size != servers*each {
		t.Errorf("%d entries, %v", h.Size, err)
	}
}
