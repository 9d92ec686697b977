package store

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"time"

	"hangtrue/internal/engine/teach"
)

// VersionRig says on which rig a version of a lane was planted. It is a plain
// struct, so that who calls need not know this package.
type VersionRig = struct {
	Version, Lane string
	Number        int
	Rig           string // its name
	RigVersion    string
	Sequence      string // of the order that the lane follows; "" for the one suggested from the rig
	Opened        bool   // its key has been shown
}

// CountedRun is one run in the order of results. It is a plain struct, so that who
// calls need not know this package.
type CountedRun = struct {
	Run, Class, Lane, Student string
	Second                    bool
	At                        time.Time // when it was graded first
	Odd                       string
}

// DrillHead says of which drill answers count.
type DrillHead = struct {
	ID, Person string
	Made       time.Time
	Ended      bool
}

// VersionRigs lists the versions of every lane with their rigs; of one class
// where class is not "". What is planted is not in it.
func (s *Store) VersionRigs(ctx context.Context, class string) ([]VersionRig, error) {
	var out []VersionRig
	err := s.read(ctx, func(t *tx) error {
		setups := map[string]teach.LaneSetup{}
		where, args := ``, []any{}
		if class != "" {
			where, args = ` WHERE l.class = ?`, append(args, class)
		}
		return t.each(`SELECT v.id, v.lane, v.number, v.canonical, v.opened, l.setup FROM lane_version v JOIN lane l ON l.id = v.lane`+where+` ORDER BY l.made, l.id, v.number`, args,
			func(scan func(...any) error) error {
				var x VersionRig
				var key, opened, setup string
				if err := scan(&x.Version, &x.Lane, &x.Number, &key, &opened, &setup); err != nil {
					return err
				}
				l, known := setups[x.Lane]
				if !known {
					if err := json.Unmarshal([]byte(setup), &l); err != nil {
						return err
					}
					setups[x.Lane] = l
				}
				var k teach.Key
				if err := json.Unmarshal([]byte(key), &k); err != nil {
					return err
				}
				x.Rig, x.RigVersion, x.Sequence, x.Opened = l.Rig, k.Rig, l.Sequence, opened != ""
				out = append(out, x)
				return nil
			})
	})
	return out, err
}

// ResultCount is how many results there are. None is ever changed or removed, so
// where it is the same nothing has changed.
func (s *Store) ResultCount(ctx context.Context) (n int, err error) {
	err = s.read(ctx, func(t *tx) error {
		_, err := t.one(`SELECT COUNT(*) FROM run_result`, nil, &n)
		return err
	})
	return n, err
}

// SchoolResults lists what every run came to, in the order of run and grading.
// It is for statistics: the reasons in words are left out.
func (s *Store) SchoolResults(ctx context.Context) ([]teach.Result, error) {
	return s.countedResults(ctx, ``)
}

// RunResults lists what some runs came to, in the order of run and grading. The
// reasons in words are left out.
func (s *Store) RunResults(ctx context.Context, runs []string) ([]teach.Result, error) {
	if len(runs) == 0 {
		return nil, nil
	}
	return s.countedResults(ctx, `WHERE run IN (`+among(len(runs))+`)`, anyOf(runs)...)
}

func (s *Store) countedResults(ctx context.Context, where string, args ...any) ([]teach.Result, error) {
	var out []teach.Result
	names := map[string]string{} // one copy of what comes again and again
	same := func(text *string) {
		kept, ok := names[*text]
		if !ok {
			names[*text], kept = *text, *text
		}
		*text = kept
	}
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT run, n, class, lane, version, student, grader, second, outcome, found, missed, false_calls, out_of_order, unplaced, took_ms, at, why
			FROM run_result `+where+` ORDER BY run, n`, args, func(scan func(...any) error) error {
			var x teach.Result
			var found, missed string
			var took int64
			err := scan(&x.Run, &x.N, &x.Class, &x.Lane, &x.Version, &x.Student, &x.Grader, truth{&x.Second}, &x.Outcome, &found, &missed,
				&x.False, &x.Order, &x.Unplaced, &took, clock{&x.At}, &x.Why)
			if err != nil {
				return err
			}
			for _, text := range []*string{&x.Class, &x.Lane, &x.Version, &x.Student, &x.Grader} {
				same(text)
			}
			x.Took = time.Duration(took) * time.Millisecond
			err = errors.Join(json.Unmarshal([]byte(found), &x.Found), json.Unmarshal([]byte(missed), &x.Missed))
			out = append(out, x)
			return err
		})
	})
	return out, err
}

// GradedRuns lists the runs that were graded in the order in which they were
// graded first; of one class where class is not "".
func (s *Store) GradedRuns(ctx context.Context, class string) ([]CountedRun, error) {
	where, args := ``, []any{}
	if class != "" {
		where, args = ` AND g.class = ?`, append(args, class)
	}
	var out []CountedRun
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT g.run, g.class, g.lane, g.student, g.second, g.at, run.odd FROM run_result g JOIN run ON run.id = g.run WHERE g.n = 1`+where+` ORDER BY g.at, g.run`, args, func(scan func(...any) error) error {
			var x CountedRun
			err := scan(&x.Run, &x.Class, &x.Lane, &x.Student, truth{&x.Second}, clock{&x.At}, &x.Odd)
			out = append(out, x)
			return err
		})
	})
	return out, err
}

// DrillHeads lists the drills whose answers count for statistics, the newest
// first, at most so many: those of one person alone that are no run of a lane; of
// the students of one class where class is not "".
func (s *Store) DrillHeads(ctx context.Context, class string, most int) ([]DrillHead, error) {
	where, args := ``, []any{}
	if class != "" {
		where, args = ` AND person IN (SELECT person FROM class_member WHERE class = ? AND gone = '')`, append(args, class)
	}
	var out []DrillHead
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT id, person, made, ended FROM drill WHERE shared = 0 AND run = ''`+where+` ORDER BY made DESC, id LIMIT ?`, append(args, int64(most)), func(scan func(...any) error) error {
			var x DrillHead
			var ended string
			err := scan(&x.ID, &x.Person, clock{&x.Made}, &ended)
			x.Ended = ended != ""
			out = append(out, x)
			return err
		})
	})
	return out, err
}

// DrillsOf returns some drills with what was answered, by id.
func (s *Store) DrillsOf(ctx context.Context, ids []string) (drills map[string]teach.Drill, answers map[string][]teach.DrillAnswer, err error) {
	drills, answers = map[string]teach.Drill{}, map[string][]teach.DrillAnswer{}
	if len(ids) == 0 {
		return drills, answers, nil
	}
	err = s.read(ctx, func(t *tx) error {
		list, err := t.drills(`id IN (`+among(len(ids))+`)`, anyOf(ids)...)
		if err != nil {
			return err
		}
		for _, d := range list {
			drills[d.ID] = d
		}
		all, err := t.drillAnswers(`drill IN (`+among(len(ids))+`) ORDER BY drill, n`, anyOf(ids)...)
		for _, a := range all {
			answers[a.Drill] = append(answers[a.Drill], a)
		}
		return err
	})
	return drills, answers, err
}

// among is so many places for values in a query.
func among(n int) string { return strings.TrimSuffix(strings.Repeat("?, ", n), ", ") }

func anyOf(list []string) []any {
	out := make([]any, len(list))
	for i, x := range list {
		out[i] = x
	}
	return out
}
