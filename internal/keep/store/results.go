package store

import (
	"context"
	"encoding/json"
	"errors"
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

// VersionRigs lists the versions of every lane with their rigs; of one class
// where class is not "". What is planted is not in it.
func (s *Store) VersionRigs(ctx context.Context, class string) ([]VersionRig, error) {
	var out []VersionRig
	err := s.read(ctx, func(t *tx) error {
		setups := map[string]teach.LaneSetup{}
		return t.each(`SELECT v.id, v.lane, v.number, v.canonical, v.opened, l.setup FROM lane_version v JOIN lane l ON l.id = v.lane WHERE l.class = ? OR ? = 0 ORDER BY l.made, l.id, v.number`,
			[]any{class, number01(class != "")}, func(scan func(...any) error) error {
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

// SchoolResults lists what every run came to, in the order of run and grading.
// It is for statistics: the reasons in words are left out.
func (s *Store) SchoolResults(ctx context.Context) ([]teach.Result, error) {
	var out []teach.Result
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT run, n, class, lane, version, student, grader, second, outcome, found, missed, false_calls, out_of_order, unplaced, took_ms, at, why
			FROM run_result ORDER BY run, n`, nil, func(scan func(...any) error) error {
			var x teach.Result
			var found, missed string
			var took int64
			err := scan(&x.Run, &x.N, &x.Class, &x.Lane, &x.Version, &x.Student, &x.Grader, truth{&x.Second}, &x.Outcome, &found, &missed,
				&x.False, &x.Order, &x.Unplaced, &took, clock{&x.At}, &x.Why)
			if err != nil {
				return err
			}
			x.Took = time.Duration(took) * time.Millisecond
			err = errors.Join(json.Unmarshal([]byte(found), &x.Found), json.Unmarshal([]byte(missed), &x.Missed))
			out = append(out, x)
			return err
		})
	})
	return out, err
}
