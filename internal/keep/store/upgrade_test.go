package store

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
)

// newestSchema is the schema that this program makes.
func newestSchema(t *testing.T, s *Store) int64 {
	t.Helper()
	p, err := s.steps()
	if err != nil {
		t.Fatal(err)
	}
	_, knows, err := p.GetVersions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return knows
}

// furnished is a school of the newest schema with rows in every table: those of
// a school at work, and one made up for each table besides, so that a table that
// a later step adds is not forgotten.
func furnished(t *testing.T) *Store {
	t.Helper()
	s := openFile(t, filepath.Join(t.TempDir(), "donor.db"))
	ctx := t.Context()
	add(t, s, "rigger", "Rita", people.Rigger)
	add(t, s, "inspector", "Ivo", people.Inspector)
	accept(t, s, "rigger", "rita")
	d, err := s.Shelf(Rigs)
	if err != nil {
		t.Fatal(err)
	}
	on := ""
	for _, text := range []string{"zero", "one"} {
		if on, _, err = d.Save("crate", on, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	id := made("i", 1)
	deliver(t, s, "inspector", walk(id, made("d", 1), 3)...)
	x, err := s.Inspection(ctx, id)
	if err != nil || x.Phase != inspection.Finished {
		t.Fatal(x, err)
	}
	if _, err := s.SealInspection(ctx, id, x.Seq, json.RawMessage(`{"of":"it"}`), nil, "2026-05-31"); err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		if _, err := s.Seal(ctx, "x", json.RawMessage(fmt.Sprintf(`{"i":%d}`, i)), -1, ""); err != nil {
			t.Fatal(err)
		}
	}
	c, err := s.Backup(ctx, filepath.Join(t.TempDir(), "copy"))
	if err != nil || s.NoteBackup(ctx, c) != nil {
		t.Fatal(err)
	}
	for _, x := range tablesOf(t, s) {
		var n int
		err := s.db.QueryRow(`SELECT count(*) FROM ` + x.name).Scan(&n)
		if err == nil && n == 0 || x.name == "person" || x.name == "content" || x.name == "document" || x.name == "inspection" {
			err = madeUp(s, x)
		}
		if err != nil {
			t.Fatalf("%s: %v", x.name, err)
		}
	}
	return s
}

// madeUp puts one row into a table. All text is the same, so that whatever a row
// refers to is there.
func madeUp(s *Store, x table) error {
	values := map[string]string{"hash": hash([]byte("k")), "version": hash([]byte("k")), "roles": `["rigger"]`, "sets": "[]"}
	var row []any
	for i, column := range x.columns {
		var kind string
		if err := s.db.QueryRow(`SELECT type FROM pragma_table_info(?) WHERE name = ?`, x.name, column).Scan(&kind); err != nil {
			return err
		}
		value, known := values[column]
		switch {
		case x.bytes[i]:
			row = append(row, []byte("k"))
		case kind == "INTEGER":
			row = append(row, 1)
		case known && (column != "version" || strings.HasPrefix(x.name, "document")) && (column != "hash" || x.name == "content" || x.name == "photo"):
			row = append(row, value)
		default:
			row = append(row, "k")
		}
	}
	marks := strings.TrimSuffix(strings.Repeat("?, ", len(row)), ", ")
	_, err := s.db.Exec(`INSERT INTO `+x.name+` (`+strings.Join(x.columns, ", ")+`) VALUES (`+marks+`)`, row...)
	return err
}

func tablesOf(t *testing.T, s *Store) []table {
	t.Helper()
	all, err := tables(context.WithoutCancel(t.Context()), s.db)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// asOf is a fresh database of an earlier schema, with the rows of a donor as far
// as that schema has them.
func asOf(t *testing.T, s *Store, version int64, donor *Store, all []table) {
	t.Helper()
	ctx := context.WithoutCancel(t.Context())
	wipe(t, s)
	p, err := s.steps() // the provider before remembers its table
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.UpTo(ctx, version); err != nil {
		t.Fatal(err)
	}
	from, err := donor.db.BeginTx(ctx, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer from.Rollback()
	to, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer to.Rollback()
	if err := copyRows(ctx, all, from, to, s.postgres); err != nil {
		t.Fatal(err)
	}
	if err := to.Commit(); err != nil {
		t.Fatal(err)
	}
}

// earlier are the tables and columns of an earlier schema.
func earlier(t *testing.T, version int64) []table {
	t.Helper()
	s := openFile(t, filepath.Join(t.TempDir(), "earlier.db"))
	defer s.Close()
	wipe(t, s)
	p, err := s.steps()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.UpTo(t.Context(), version); err != nil {
		t.Fatal(err)
	}
	return tablesOf(t, s)
}

// rowsOf is all that some tables hold in some columns, in an order of its own.
func rowsOf(t *testing.T, s *Store, all []table) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, x := range all {
		rows, err := s.db.Query(`SELECT ` + strings.Join(x.columns, ", ") + ` FROM ` + x.name)
		if err != nil {
			t.Fatal(err)
		}
		for rows.Next() {
			row, at := make([]any, len(x.columns)), make([]any, len(x.columns))
			for i := range row {
				at[i] = &row[i]
			}
			if err := rows.Scan(at...); err != nil {
				t.Fatal(err)
			}
			for i := range row {
				if b, ok := row[i].([]byte); ok {
					row[i] = string(b)
				}
			}
			out[x.name] = append(out[x.name], fmt.Sprintf("%q", row))
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
		rows.Close()
		slices.Sort(out[x.name])
	}
	return out
}

// same compares rows and wants some in every table.
func same(t *testing.T, got, want map[string][]string, all []table) {
	t.Helper()
	for _, x := range all {
		if len(want[x.name]) == 0 {
			t.Errorf("%s has no row to compare", x.name)
		}
		if !slices.Equal(got[x.name], want[x.name]) {
			t.Errorf("%s: got %d rows, want %d, or others:\n%.300v\n%.300v", x.name, len(got[x.name]), len(want[x.name]), got[x.name], want[x.name])
		}
	}
}

// From every earlier schema, with rows in every table, a database comes up to
// date and keeps them all.
func TestOpen_UpgradesEveryEarlierSchema(t *testing.T) {
	donor := furnished(t)
	newest := newestSchema(t, donor)
	if newest < 8 {
		t.Fatalf("schema %d", newest)
	}
	for from := int64(1); from < newest; from++ {
		if testing.Short() && from != 1 && from != newest-1 {
			continue
		}
		t.Run(fmt.Sprint("from ", from), func(t *testing.T) {
			all := earlier(t, from)
			both(t, func(t *testing.T, open func(...Options) *Store) {
				s := open()
				ctx := t.Context()
				asOf(t, s, from, donor, all)
				want := rowsOf(t, s, all)
				s.Close()
				s = open()
				if v, err := s.Schema(ctx); err != nil || v != newest {
					t.Errorf("schema %d, %v; want %d", v, err, newest)
				}
				kept := slices.DeleteFunc(slices.Clone(all), func(x table) bool { return x.name == "clock_seen" }) // moves on
				same(t, rowsOf(t, s, kept), want, kept)
				d, err := s.Shelf(Rigs)
				if err != nil {
					t.Fatal(err)
				}
				if data, err := d.Current("crate"); err != nil || string(data) != "one" {
					t.Errorf("%q, %v", data, err)
				}
				if kept, err := d.Versions("crate"); err != nil || len(kept) != 2 {
					t.Errorf("%v, %v", kept, err)
				}
				if from >= 2 {
					if x, err := s.Person(ctx, "rigger"); err != nil || x.Name != "Rita" || !x.Is(people.Rigger) || x.Login != "rita" {
						t.Errorf("%+v, %v", x, err)
					}
				}
				if from >= 3 {
					if x, err := s.Events(ctx, made("i", 1)); err != nil || len(x) != 5 {
						t.Errorf("%d events, %v", len(x), err)
					}
				}
				if h, err := s.VerifyLog(ctx); err != nil || from >= 4 && h.Size != 4 {
					t.Errorf("%+v, %v", h, err)
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
