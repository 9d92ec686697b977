package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/mod/sumdb/note"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/record"
)

func TestSeal_TheLogVerifiesAndSurvivesReopening(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := inspectors(t, open)
		ctx := t.Context()
		if h, err := s.VerifyLog(ctx); err != nil || h.Size != 0 {
			t.Fatalf("an empty log: %+v, %v", h, err)
		}
		var wg sync.WaitGroup
		const n = 9
		for i := range n {
			wg.Go(func() {
				if _, err := s.Seal(ctx, "key", json.RawMessage(fmt.Sprintf(`{"i":%d}`, i)), -1, "s"); err != nil {
					t.Error(err)
				}
			})
		}
		wg.Wait()
		h, err := s.VerifyLog(ctx)
		if err != nil || h.Size != n {
			t.Fatalf("%+v, %v", h, err)
		}
		key, origin, err := s.LogKey(ctx)
		if err != nil {
			t.Fatal(err)
		}
		log, err := s.LogCopy(ctx)
		if err != nil {
			t.Fatal(err)
		}
		s.Close()
		s = open()
		again, err := s.VerifyLog(ctx, h)
		if err != nil || again != h {
			t.Errorf("%+v, %v", again, err)
		}
		if k, o, err := s.LogKey(ctx); k != key || o != origin || o != h.Origin || err != nil {
			t.Errorf("the key changed: %s %s %v", k, o, err)
		}
		v, err := note.NewVerifier(key)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := record.VerifyCopy(log, v, h); err != nil || got != h {
			t.Errorf("the copy: %+v, %v", got, err)
		}
		x, err := s.LogEntry(ctx, 3)
		if err != nil || x.N != 3 || x.Kind != "key" || x.Subject != "s" || x.About != -1 {
			t.Errorf("%+v, %v", x, err)
		}
		if _, err := s.LogEntry(ctx, n); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		if _, err := s.Seal(ctx, "correction", json.RawMessage(`{}`), 3, ""); err != nil {
			t.Error(err)
		}
		if _, err := s.Seal(ctx, "correction", json.RawMessage(`{}`), 99, ""); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		if about, err := s.LogAbout(ctx, 3); err != nil || len(about) != 1 || about[0].N != n || about[0].Kind != "correction" {
			t.Errorf("%+v, %v", about, err)
		}
		if list, err := s.LogEntries(ctx, -1, 2); err != nil || len(list) != 2 || list[0].N != n {
			t.Errorf("%+v, %v", list, err)
		}
		if list, err := s.LogEntries(ctx, 2, 9); err != nil || len(list) != 2 || list[0].N != 1 {
			t.Errorf("%+v, %v", list, err)
		}
		old, err := s.LogHead(ctx, n)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := record.OpenHead(old, v); err != nil || got != h {
			t.Errorf("%+v, %v", got, err)
		}
	})
}

// A hand that gets past the triggers is found, and the first entry named.
func TestVerifyLog_NamesWhatWasAltered(t *testing.T) {
	for name, c := range map[string]struct {
		statement string
		entry     int64
	}{
		"altered":  {`UPDATE log_entry SET line = (SELECT line FROM log_entry WHERE n = 1) WHERE n = 2`, 2},
		"removed":  {`DELETE FROM log_entry WHERE n = 2`, 2},
		"cut off":  {`DELETE FROM log_entry WHERE n = 4`, 4},
		"cut away": {`DELETE FROM log_entry`, 0},
	} {
		t.Run(name, func(t *testing.T) {
			both(t, func(t *testing.T, open func(...Options) *Store) {
				s := open()
				for i := range 5 {
					if _, err := s.Seal(t.Context(), "x", json.RawMessage(fmt.Sprintf(`{"i":%d}`, i)), -1, ""); err != nil {
						t.Fatal(err)
					}
				}
				if _, err := s.db.Exec(c.statement); err == nil || !strings.Contains(err.Error(), "only ever added to") {
					t.Errorf("the log let itself be changed: %v", err)
				}
				forge := []string{`DROP TRIGGER log_entry_kept`, `DROP TRIGGER log_entry_stays`}
				if s.postgres {
					forge = []string{`ALTER TABLE log_entry DISABLE TRIGGER ALL`}
				}
				for _, q := range append(forge, c.statement) {
					if _, err := s.db.Exec(q); err != nil {
						t.Fatal(err)
					}
				}
				_, err := s.VerifyLog(t.Context())
				var fault *record.Fault
				if !errors.As(err, &fault) || fault.Entry != c.entry {
					t.Errorf("got %v, want entry %d named", err, c.entry)
				}
			})
		})
	}
}

func TestSealInspection_OnceAndAsSeen(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := inspectors(t, open)
		ctx := t.Context()
		q := people.Qualification{ID: "q", Kind: people.AsInspector, Authority: "Ada", From: "2026-01-01", Recency: 6}
		if err := s.AddQualification(ctx, "inspector", q, "chief"); err != nil {
			t.Fatal(err)
		}
		id := made("i", 1)
		events := walk(id, made("d", 1), 2)
		deliver(t, s, "inspector", events[:len(events)-1]...)
		x, err := s.Inspection(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		body := json.RawMessage(`{"format":"x"}`)
		if _, err := s.SealInspection(ctx, id, x.Seq, body, nil, "2026-05-31"); !errors.Is(err, inspection.ErrMoved) {
			t.Errorf("an open one was signed: %v", err)
		}
		deliver(t, s, "inspector", events[len(events)-1])
		if _, err := s.SealInspection(ctx, id, x.Seq, body, nil, "2026-05-31"); !errors.Is(err, inspection.ErrMoved) {
			t.Errorf("signed what was not seen: %v", err)
		}
		if _, err := s.SealLapse(ctx, id, "moved", body); !errors.Is(err, inspection.ErrEnded) {
			t.Errorf("no signature lapsed: %v", err)
		}
		if x, err = s.Inspection(ctx, id); err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		taken := make(chan record.Appended, 8)
		for range cap(taken) {
			wg.Go(func() {
				a, err := s.SealInspection(ctx, id, x.Seq, body, nil, "2026-05-31")
				if err == nil {
					taken <- a
				} else if !errors.Is(err, inspection.ErrEnded) {
					t.Error(err)
				}
			})
		}
		wg.Wait()
		if len(taken) != 1 {
			t.Fatalf("signed %d times", len(taken))
		}
		a := <-taken
		x, err = s.Inspection(ctx, id)
		if err != nil || x.Phase != inspection.Signed || x.Entry != a.Entry.N || !x.SignedAt.Equal(noon) || x.Lapsed != "" {
			t.Errorf("%+v, %v", x, err)
		}
		if p, err := s.Person(ctx, "inspector"); err != nil || p.Qualifications[0].Last != "2026-05-31" {
			t.Errorf("%+v, %v", p, err)
		}
		e := inspection.Event{ID: made("late", 1), Inspection: id, Device: made("d", 1), N: int64(len(events) + 1), Kind: inspection.Reopen, At: noon.Add(time.Hour)}
		if out, err := s.AddEvents(ctx, []inspection.Event{e}, "inspector"); err != nil || !errors.Is(out[0].Refused, inspection.ErrEnded) {
			t.Errorf("%+v, %v", out, err)
		}
		if _, err := s.SealLapse(ctx, id, "moved", body); err != nil {
			t.Fatal(err)
		}
		if _, err := s.SealLapse(ctx, id, "again", body); !errors.Is(err, inspection.ErrEnded) {
			t.Errorf("lapsed twice: %v", err)
		}
		x, err = s.Inspection(ctx, id)
		if err != nil || x.Lapsed != "moved" || !x.LapsedAt.Equal(noon) {
			t.Errorf("%+v, %v", x, err)
		}
		if about, err := s.LogAbout(ctx, a.Entry.N); err != nil || len(about) != 1 || about[0].Kind != "lapse" {
			t.Errorf("%+v, %v", about, err)
		}
		if _, err := s.VerifyLog(ctx); err != nil {
			t.Error(err)
		}
	})
}
