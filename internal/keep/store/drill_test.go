package store

import (
	"errors"
	"fmt"
	"io/fs"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

func TestDrill_AnswersAndBoxes(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, clock := school(t, open)
		ctx := t.Context()
		add(t, s, "sam", "Sam Student", people.Student)
		d := teach.Drill{ID: "d", Person: "sam", Rig: "crate", RigVersion: "v", Limit: 90 * time.Second, Pictures: []teach.DrillPicture{
			{Name: "x", Key: "k/a/b", Deficiency: "p/a/b", State: "b", Params: map[string]string{"a": "b"}}, {Name: "y", Key: "k/a/c", State: "ok", At: [2]float64{1, -2}},
		}}
		if err := s.AddDrill(ctx, d); err != nil {
			t.Fatal(err)
		}
		due := noon.AddDate(0, 0, 2)
		one := []teach.DrillAnswer{{N: 0, Wrong: true, Choice: "b", After: 4 * time.Second}}
		for i := range 2 { // sent twice
			taken, err := s.AnswerDrill(ctx, "d", one, map[string]teach.Box{"k/a/b": {Number: 2 + i, Due: due}})
			if err != nil || taken != (i == 0) {
				t.Fatal(taken, err)
			}
		}
		clock.move(time.Minute)
		if err := s.EndDrill(ctx, "d"); err != nil {
			t.Fatal(err)
		}
		if taken, err := s.AnswerDrill(ctx, "d", []teach.DrillAnswer{{N: 1}}, nil); err != nil || taken {
			t.Errorf("an answer after the end: %v, %v", taken, err)
		}
		got, answers, err := s.Drill(ctx, "d")
		if err != nil || len(answers) != 1 || !answers[0].Wrong || answers[0].Choice != "b" || answers[0].After != 4*time.Second || !answers[0].At.Equal(noon) {
			t.Fatalf("%+v, %v", answers, err)
		}
		if got.Person != "sam" || got.Limit != d.Limit || len(got.Pictures) != 2 || got.Pictures[0].Params["a"] != "b" || got.Pictures[1].At != d.Pictures[1].At || !got.Ended.Equal(noon.Add(time.Minute)) {
			t.Errorf("%+v", got)
		}
		list, by, err := s.Drills(ctx, "sam", 10)
		if err != nil || len(list) != 1 || len(by["d"]) != 1 {
			t.Errorf("%v %v %v", list, by, err)
		}
		if list, _, err := s.Drills(ctx, "rita", 10); err != nil || len(list) != 0 {
			t.Errorf("%v %v", list, err)
		}
		boxes, err := s.Boxes(ctx, "sam")
		if err != nil || len(boxes) != 1 || boxes["k/a/b"].Number != 2 || !boxes["k/a/b"].Due.Equal(due) {
			t.Errorf("%v, %v", boxes, err)
		}
		for _, q := range []string{`UPDATE drill SET pictures = '[]'`, `UPDATE drill_answer SET wrong = 0`, `DELETE FROM drill_answer`} {
			if _, err := s.db.Exec(q); err == nil {
				t.Errorf("%s was taken", q)
			}
		}
		if _, _, err := s.Drill(ctx, "none"); !errors.Is(err, fs.ErrNotExist) {
			t.Error(err)
		}
		// What is practised goes with the name; the drill stays.
		if err := s.Leave(ctx, "sam", "chief"); err != nil {
			t.Fatal(err)
		}
		if err := s.RemoveName(ctx, "sam", "chief"); err != nil {
			t.Fatal(err)
		}
		if boxes, err := s.Boxes(ctx, "sam"); err != nil || len(boxes) != 0 {
			t.Errorf("boxes after the name was removed: %v, %v", boxes, err)
		}
		if _, answers, err := s.Drill(ctx, "d"); err != nil || len(answers) != 1 {
			t.Errorf("%v, %v", answers, err)
		}
	})
}

// tenYears puts 20,000 runs of ten answers each into a fresh database: 200,000
// results, as a large school has in ten years.
func tenYears(tb testing.TB, s *Store) {
	tb.Helper()
	err := s.write(tb.Context(), func(t *tx) error {
		for c := range 200 {
			class, lane := fmt.Sprint("class", c), fmt.Sprint("lane", c)
			if _, err := t.exec(`INSERT INTO person (id, roles, made) VALUES (?, '["student"]', ?)`, fmt.Sprint("p", c), stamp(noon)); err != nil {
				return err
			}
			if _, err := t.exec(`INSERT INTO class (id, name, from_day, until_day, made, made_by) VALUES (?, ?, '', '', ?, 'chief')`, class, class, stamp(noon)); err != nil {
				return err
			}
			if _, err := t.exec(`INSERT INTO lane (id, class, setup, made, made_by) VALUES (?, ?, '{"rig":"crate","rig_sha256":"v"}', ?, 'chief')`, lane, class, stamp(noon)); err != nil {
				return err
			}
			for v := range 6 {
				_, err := t.exec(`INSERT INTO lane_version (id, lane, number, grp, canonical, notes, equal, secret, commitment, entry, real_load, load_name, load_key, rig, made, made_by)
					VALUES (?, ?, ?, '', '{"rig_sha256":"v"}', '[]', '', '', '', 0, 0, '', '', 'crate', ?, 'chief')`, fmt.Sprintf("%s-%d", lane, v), lane, int64(v+1), stamp(noon))
				if err != nil {
					return err
				}
			}
			for p := range 100 {
				version := fmt.Sprintf("%s-%d", lane, p%6)
				run := fmt.Sprintf("run%d-%d", c, p)
				_, err := t.exec(`INSERT INTO run (id, class, lane, version, student, grader, second, started, received, ended) VALUES (?, ?, ?, ?, ?, 'chief', 0, ?, ?, 1)`,
					run, class, lane, version, fmt.Sprint("p", c), stamp(noon), stamp(noon))
				if err != nil {
					return err
				}
				found, missed := "", ""
				for k := range 10 {
					id := fmt.Sprintf("leg.FL.chain%d/count%d/state%d", k%4, (p+k)%12, k)
					if (p*7+k*5)%3 > 0 {
						found += fmt.Sprintf(`,%q:%d`, id, 10_000*(k+1))
					} else {
						missed += fmt.Sprintf(",%q", id)
					}
				}
				_, err = t.exec(`INSERT INTO run_result (run, n, class, lane, version, student, grader, second, outcome, reasons, found, missed, false_calls, out_of_order, unplaced, took_ms, at, why)
					VALUES (?, 1, ?, ?, ?, ?, 'chief', 0, 'met', '[]', ?, ?, 1, 0, 0, 300000, ?, '')`,
					run, class, lane, version, fmt.Sprintf("p%d-%d", c, p), "{"+trimComma(found)+"}", "["+trimComma(missed)+"]", stamp(noon.AddDate(0, 0, c*18)))
				if err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		tb.Fatal(err)
	}
}

func trimComma(s string) string {
	if s == "" {
		return s
	}
	return s[1:]
}

func BenchmarkSchoolResults_TenYears(b *testing.B) {
	s, err := Open(b.Context(), b.TempDir()+"/school.db", Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	tenYears(b, s)
	b.ReportAllocs()
	for b.Loop() {
		list, err := s.SchoolResults(b.Context())
		if err != nil || len(list) != 20_000 {
			b.Fatal(len(list), err)
		}
		versions, err := s.VersionRigs(b.Context(), "")
		if err != nil || len(versions) != 1200 || versions[0].RigVersion != "v" {
			b.Fatal(len(versions), err)
		}
	}
}
