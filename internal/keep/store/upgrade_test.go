package store

import (
	"context"
	"fmt"
	"testing"

	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/people"
)

// From every earlier schema, with rows in it, a database comes up to date and
// keeps them.
func TestOpen_UpgradesEveryEarlierSchema(t *testing.T) {
	// What each step can hold, put in by plain statements: the methods know only
	// the newest schema.
	rows := map[int64][]string{
		1: {
			`INSERT INTO content (hash, bytes) VALUES ('` + hash([]byte("one")) + `', CAST('one' AS %s))`,
			`INSERT INTO document (kind, name, version) VALUES ('rigs', 'crate', '` + hash([]byte("one")) + `')`,
			`INSERT INTO document_version (kind, name, version, at) VALUES ('rigs', 'crate', '` + hash([]byte("one")) + `', '2026-05-31T12:00:00.000Z')`,
		},
		2: {
			`INSERT INTO person (id, roles, made) VALUES ('p', '["rigger"]', '2026-05-31T12:00:00.000Z')`,
			`INSERT INTO person_name (person, name) VALUES ('p', 'Rita')`,
		},
		5: {
			`INSERT INTO item (id, kind, serial, folded, detail, made, made_by) VALUES ('s', 'net', 'N', 'n', '{"id":"s","serial":"N","kind":"net"}', '2026-05-31T12:00:00.000Z', 'p')`,
		},
	}
	both(t, func(t *testing.T, open func(...Options) *Store) {
		newest, err := open().Schema(t.Context())
		if err != nil || newest < 5 {
			t.Fatalf("schema %d, %v", newest, err)
		}
	})
	for from := int64(1); from <= 5; from++ {
		t.Run(fmt.Sprint("from ", from), func(t *testing.T) {
			both(t, func(t *testing.T, open func(...Options) *Store) {
				s := open()
				ctx := context.WithoutCancel(t.Context())
				p, err := s.steps()
				if err != nil {
					t.Fatal(err)
				}
				newest, err := p.GetDBVersion(ctx)
				if err != nil {
					t.Fatal(err)
				}
				// Back to the schema of then: a new database, taken up to it.
				wipe(t, s)
				if p, err = s.steps(); err != nil { // the other remembers its table
					t.Fatal(err)
				}
				if _, err := p.UpTo(ctx, from); err != nil {
					t.Fatal(err)
				}
				blob := "BLOB"
				if s.postgres {
					blob = "bytea"
				}
				for step := int64(1); step <= from; step++ {
					for _, q := range rows[step] {
						if step == 1 && q == rows[1][0] {
							q = fmt.Sprintf(q, blob)
						}
						if _, err := s.db.Exec(q); err != nil {
							t.Fatalf("%s: %v", q, err)
						}
					}
				}
				s.Close()
				s = open()
				if v, err := s.Schema(ctx); err != nil || v != newest {
					t.Errorf("schema %d, %v; want %d", v, err, newest)
				}
				d, err := s.Shelf(Rigs)
				if err != nil {
					t.Fatal(err)
				}
				if data, err := d.Current("crate"); err != nil || string(data) != "one" {
					t.Errorf("%q, %v", data, err)
				}
				if from >= 2 {
					if x, err := s.Person(ctx, "p"); err != nil || x.Name != "Rita" || !x.Is(people.Rigger) {
						t.Errorf("%+v, %v", x, err)
					}
				}
				if from >= 5 {
					if v, err := s.Equipment(ctx); err != nil || len(v.All) != 1 || v.All[0].Kind != equipment.Net {
						t.Errorf("%+v, %v", v, err)
					}
				}
				if _, err := s.VerifyLog(ctx); err != nil {
					t.Error(err)
				}
			})
		})
	}
}

// wipe takes everything out of a test's database.
func wipe(t *testing.T, s *Store) {
	t.Helper()
	if s.postgres {
		for _, q := range []string{
			`DO $$ BEGIN EXECUTE 'DROP SCHEMA ' || quote_ident(current_schema()) || ' CASCADE'; END $$`,
			`DO $$ BEGIN EXECUTE 'CREATE SCHEMA ' || quote_ident(split_part(current_setting('search_path'), ',', 1)); END $$`,
		} {
			if _, err := s.db.Exec(q); err != nil {
				t.Fatal(err)
			}
		}
		return
	}
	conn, err := s.db.Conn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := conn.ExecContext(t.Context(), `PRAGMA foreign_keys = 0`); err != nil {
		t.Fatal(err)
	}
	for {
		var name string
		err := conn.QueryRowContext(t.Context(), `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' LIMIT 1`).Scan(&name)
		if err != nil {
			break
		}
		if _, err := conn.ExecContext(t.Context(), `DROP TABLE `+name); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := conn.ExecContext(t.Context(), `PRAGMA foreign_keys = 1`); err != nil {
		t.Fatal(err)
	}
}
