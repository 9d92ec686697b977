package store

import (
	"encoding/json"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// classroom is a school with a class of two, a lane and a version of it.
func classroom(t *testing.T, open func(...Options) *Store) (*Store, *ticking, teach.LaneVersion) {
	t.Helper()
	s, c := inspectors(t, open)
	ctx := t.Context()
	if err := s.AddClass(ctx, teach.Class{ID: "class", Name: "Spring", From: "2026-05-25", By: "other"}); err != nil {
		t.Fatal(err)
	}
	add(t, s, "ada", "Ada Fell", people.Student)
	fresh := []people.Person{{ID: "ben", Name: "Ben Gill"}}
	if err := s.Enrol(ctx, "class", []teach.Member{{Person: "ada", Group: "1"}}, fresh, []string{"2"}, "other"); err != nil {
		t.Fatal(err)
	}
	two, none, right, within := 2, 0, true, 10*time.Minute
	setup := teach.LaneSetup{
		Title: "Lane", Rig: "crate", RigHash: hash([]byte("rig")), Load: "Crate 7", Tag: "12", Real: true, Count: 3,
		Rule: teach.Rule{Found: &two, Within: &within, False: &none, FigureRight: &right},
	}
	if err := s.AddLane(ctx, teach.TestLane{ID: "lane", Class: "class", Setup: setup, By: "other"}); err != nil {
		t.Fatal(err)
	}
	v := teach.LaneVersion{ID: "version", Real: true, Load: "Crate 7", Rig: "crate", By: "other", Key: teach.Key{Rig: setup.RigHash, Planted: []string{"a/x/1", "b/y/2", "c/z/3"}, Seed: "00"}}
	v.Secret[0] = 7
	list, err := s.AddVersions(ctx, "lane", []teach.LaneVersion{v})
	if err != nil || len(list) != 1 || list[0].Number != 1 {
		t.Fatal(list, err)
	}
	return s, c, list[0]
}

// aRun makes the entries of one run that finds so many.
func aRun(run, version, student string, found, wrong int) []teach.RunEvent {
	var out []teach.RunEvent
	event := func(kind teach.CallKind, b teach.RunBody) {
		n := len(out) + 1
		b.After = int64(n) * 1000
		body, err := json.Marshal(b)
		if err != nil {
			panic(err)
		}
		out = append(out, teach.RunEvent{ID: made("e", n) + run, Run: run, Device: made("d", 1), N: int64(n), Kind: kind, At: noon.Add(time.Duration(n) * time.Second), Body: body})
	}
	event(teach.RunStart, teach.RunBody{Version: version, Student: student})
	for i := range found {
		event(teach.CallFound, teach.RunBody{Deficiency: []string{"a/x/1", "b/y/2", "c/z/3"}[i]})
	}
	for range wrong {
		event(teach.CallFalse, teach.RunBody{})
	}
	event(teach.RunEnd, teach.RunBody{})
	return out
}

func grades(t *testing.T, s *Store, events []teach.RunEvent) []RunOutcome {
	t.Helper()
	out, err := s.AddRunEvents(t.Context(), events, "other", nil, "2026-05-31")
	if err != nil || len(out) != len(events) {
		t.Fatal(out, err)
	}
	return out
}

func TestClass_RosterAttendanceAndWhatGoesWithTheName(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _, _ := classroom(t, open)
		ctx := t.Context()
		members, err := s.Members(ctx, "class")
		if err != nil || len(members) != 2 || members[0].Person != "ada" || members[0].Group != "1" || members[1].Group != "2" {
			t.Fatalf("%+v, %v", members, err)
		}
		for _, state := range []teach.Presence{teach.Late, teach.Present} {
			if err := s.SetAttendance(ctx, []teach.Attendance{{Class: "class", Person: "ada", Day: "2026-05-31", State: state, By: "other"}}); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.AddNote(ctx, teach.Note{ID: "note", Class: "class", Person: "ada", By: "other", Text: "left-handed"}); err != nil {
			t.Fatal(err)
		}
		if err := s.AddEntry(ctx, teach.Entry{ID: "entry", Class: "class", Person: "ada", Kind: teach.EntryRetraining, Text: "counts", By: "other"}); err != nil {
			t.Fatal(err)
		}
		there, err := s.Attendance(ctx, "class", "", "")
		if err != nil || len(there) != 1 || there[0].State != teach.Present {
			t.Errorf("%+v, %v", there, err)
		}
		grades(t, s, aRun(made("run", 1), "version", "ada", 2, 0))
		if err := s.RemoveName(ctx, "ada", "other"); err != nil {
			t.Fatal(err)
		}
		there, _ = s.Attendance(ctx, "", "ada", "")
		notes, _ := s.Notes(ctx, "ada")
		entries, _ := s.Entries(ctx, "", "ada")
		results, err := s.Results(ctx, "", "ada", "")
		if len(there) != 0 || len(notes) != 0 || len(entries) != 1 || len(results) != 1 || err != nil {
			t.Errorf("after the name is gone: %v, %v, %v, %v, %v", there, notes, entries, results, err)
		}
	})
}

func TestAddVersions_CommittedInTheLogAndKept(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _, v := classroom(t, open)
		ctx := t.Context()
		got, err := s.LaneVersion(ctx, "version")
		if err != nil || got.Commitment.Open(got.Secret, got.Key) != nil || got.Commitment != v.Commitment || !slices.Equal(got.Key.Planted, v.Key.Planted) {
			t.Fatalf("%+v, %v", got, err)
		}
		e, err := s.LogEntry(ctx, v.Entry)
		if err != nil || e.Kind != entryCommitment || e.Subject != "version" || !strings.Contains(string(e.Line), string(v.Commitment)) || strings.Contains(string(e.Line), "a/x/1") {
			t.Errorf("%+v, %v", e, err)
		}
		if _, err := s.VerifyLog(ctx); err != nil {
			t.Error(err)
		}
		for _, q := range []string{
			`UPDATE lane_version SET canonical = '{}'`, `UPDATE lane_version SET secret = ''`, `DELETE FROM lane_version`, `UPDATE put_back SET person = 'x'`,
			`UPDATE run_event SET n = 9`, `DELETE FROM run_event`, `UPDATE run_result SET outcome = 'met'`, `DELETE FROM run_result`, `UPDATE class_entry SET text = ''`, `DELETE FROM class_entry`,
		} {
			if err := s.AddPutBacks(ctx, "version", []string{"a/x/1"}, "other"); err != nil {
				t.Fatal(err)
			}
			if _, err := s.Run(ctx, made("run", 1)); errors.Is(err, fs.ErrNotExist) {
				grades(t, s, aRun(made("run", 1), "version", "ada", 2, 0))
				if err := s.AddEntry(ctx, teach.Entry{ID: "entry", Class: "class", Kind: teach.EntryAppeal, By: "other"}); err != nil {
					t.Fatal(err)
				}
			}
			if _, err := s.db.Exec(q); err == nil {
				t.Errorf("%s was done", q)
			}
		}
		if err := s.OpenKey(ctx, "version"); err != nil {
			t.Error(err)
		}
		if got, err := s.LaneVersion(ctx, "version"); err != nil || got.Opened.IsZero() {
			t.Errorf("%+v, %v", got, err)
		}
	})
}

func TestAddRunEvents_TwiceIsOnceAndGradedAtTheEnd(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, c, _ := classroom(t, open)
		ctx := t.Context()
		events := aRun(made("run", 1), "version", "ada", 2, 0)
		first := grades(t, s, events)
		c.move(time.Hour)
		again := grades(t, s, events)
		if !slices.Equal(first, again) {
			t.Errorf("delivered again: %v, at first %v", again, first)
		}
		results, err := s.Results(ctx, "class", "", "")
		if err != nil || len(results) != 1 || results[0].Outcome != teach.Met || len(results[0].Found) != 2 || results[0].Found["b/y/2"] != 3000 || !slices.Equal(results[0].Missed, []string{"c/z/3"}) || results[0].N != 1 {
			t.Fatalf("%+v, %v", results, err)
		}
		refused := func(name, by string, want error, e teach.RunEvent) {
			t.Helper()
			out, err := s.AddRunEvents(ctx, []teach.RunEvent{e}, by, nil, "2026-05-31")
			if err != nil || out[0].Refused == nil || want != nil && !errors.Is(out[0].Refused, want) {
				t.Errorf("%s: %+v, %v", name, out, err)
			}
		}
		late := events[1]
		late.ID, late.N = made("late", 1), int64(len(events)+1)
		refused("after the end", "other", teach.ErrRunEnded, late)
		other := aRun(made("run", 2), "version", "ben", 1, 0)
		refused("before the start", "other", teach.ErrRunGap, func() teach.RunEvent { e := other[1]; e.N = 1; return e }())
		refused("no such version", "other", fs.ErrNotExist, aRun(made("run", 3), "none", "ben", 1, 0)[0])
		refused("no student of the class", "other", fs.ErrNotExist, aRun(made("run", 3), "version", "rigger", 1, 0)[0])
		grades(t, s, other[:1])
		refused("a gap", "other", teach.ErrRunGap, other[2])
		refused("another grader", "inspector", teach.ErrRunOther, other[1])
		refused("an id twice", "other", teach.ErrRunConflict, func() teach.RunEvent { e := other[0]; e.At = e.At.Add(time.Second); return e }())
		refused("a wrong body", "other", nil, func() teach.RunEvent { e := other[1]; e.Body = json.RawMessage(`{"after_ms":-1}`); return e }())
		runs, err := s.Runs(ctx, "", "lane", "", "")
		if err != nil || len(runs) != 2 || !runs[0].Ended || runs[1].Ended {
			t.Errorf("%+v, %v", runs, err)
		}
		// What is voided makes a second result, and the first stays.
		if err := s.Void(ctx, teach.Entry{ID: "void", Class: "class", Lane: "lane", Version: "version", Deficiency: "a/x/1", Kind: teach.EntryVoid, By: "other"}, "voided"); err != nil {
			t.Fatal(err)
		}
		results, err = s.Results(ctx, "", "", made("run", 1))
		if err != nil || len(results) != 2 || results[0].Outcome != teach.Met || results[1].Outcome != teach.NotMet || results[1].Why != "voided" || len(results[1].Found) != 1 {
			t.Errorf("%+v, %v", results, err)
		}
	})
}

func TestRotation_TheNewestCounts(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _, _ := classroom(t, open)
		if _, err := s.Rotation(t.Context(), "class"); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("got %v", err)
		}
		for _, plan := range []string{`{"n":1}`, `{"n":2}`} {
			if err := s.SetRotation(t.Context(), "class", json.RawMessage(plan), "other"); err != nil {
				t.Fatal(err)
			}
		}
		if got, err := s.Rotation(t.Context(), "class"); err != nil || string(got) != `{"n":2}` {
			t.Errorf("%s, %v", got, err)
		}
	})
}
