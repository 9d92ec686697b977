package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"hangtrue/internal/engine/teach"
)

// The queries here are for pages that students open too: none of them reads a
// key, what is planted, or what somebody found.

// RedTags lists the real loads that faults were planted on: those that carry
// their tag now, and those that were put back after a time.
func (s *Store) RedTags(ctx context.Context, since time.Time) ([]teach.RedTag, error) {
	var out []teach.RedTag
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT v.id, v.number, v.lane, l.class, l.setup, v.load_name, v.rig, v.restored FROM lane_version v JOIN lane l ON l.id = v.lane
			WHERE v.real_load = 1 AND (v.restored = '' OR v.restored > ?) ORDER BY v.made DESC, v.number DESC`, []any{stamp(since)}, func(scan func(...any) error) error {
			var x teach.RedTag
			var text string
			if err := scan(&x.Version, &x.Number, &x.Lane, &x.Class, &text, &x.Load, &x.Rig, clock{&x.Restored}); err != nil {
				return err
			}
			var setup teach.LaneSetup
			if err := json.Unmarshal([]byte(text), &setup); err != nil {
				return fmt.Errorf("store: lane %s: %w", x.Lane, err)
			}
			x.Tag, x.Title, x.RigHash = setup.Tag, setup.Title, setup.RigHash
			out = append(out, x)
			return nil
		})
	})
	return out, err
}

// OtherLoads lists who has declared which loads to be others than the tagged
// one of a lane.
func (s *Store) OtherLoads(ctx context.Context, lane string) ([]teach.OtherLoad, error) {
	var out []teach.OtherLoad
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT lane, text, made_by, at FROM class_entry WHERE lane = ? AND kind = ? ORDER BY seq`, []any{lane, string(teach.EntryOtherLoad)}, func(scan func(...any) error) error {
			var x teach.OtherLoad
			err := scan(&x.Lane, &x.Load, &x.Person, clock{&x.At})
			out = append(out, x)
			return err
		})
	})
	return out, err
}

// Tries is what a student has behind them on a lane, without what they found.
func (s *Store) Tries(ctx context.Context, class, lane, student string) (teach.Attempt, error) {
	var out teach.Attempt
	err := s.read(ctx, func(t *tx) error {
		err := t.each(`SELECT run, version, outcome, at FROM run_result a WHERE student = ? AND lane = ? AND second = 0
			AND n = (SELECT MAX(n) FROM run_result b WHERE b.run = a.run) ORDER BY at, run`, []any{student, lane}, func(scan func(...any) error) error {
			var x teach.Result
			err := scan(&x.Run, &x.Version, &x.Outcome, clock{&x.At})
			out.Results = append(out.Results, x)
			return err
		})
		if err != nil {
			return err
		}
		// A later grading is no later attempt.
		for i := range out.Results {
			if _, err := t.one(`SELECT at FROM run_result WHERE run = ? AND n = 1`, []any{out.Results[i].Run}, clock{&out.Results[i].At}); err != nil {
				return err
			}
		}
		return t.each(`SELECT id, at FROM class_entry WHERE class = ? AND person = ? AND kind = ? ORDER BY seq`, []any{class, student, string(teach.EntryRetraining)}, func(scan func(...any) error) error {
			e := teach.Entry{Class: class, Person: student, Kind: teach.EntryRetraining}
			err := scan(&e.ID, clock{&e.At})
			out.Retrains = append(out.Retrains, e)
			return err
		})
	})
	return out, err
}
