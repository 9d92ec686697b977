package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"hangtrue/internal/engine/teach"
)

// AddDrill keeps a drill that begins now. Another drill of the same person that
// has not ended is left as it is.
func (s *Store) AddDrill(ctx context.Context, d teach.Drill) error {
	pictures, err := json.Marshal(d.Pictures)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return s.write(ctx, func(t *tx) error {
		_, err := t.exec(`INSERT INTO drill (id, person, rig, rig_version, sequence, shared, limit_ms, pictures, made, run) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			d.ID, d.Person, d.Rig, d.RigVersion, d.Sequence, number01(d.Shared), d.Limit.Milliseconds(), string(pictures), stamp(s.now()), d.Run)
		return err
	})
}

// Drill returns a drill with what was answered so far, in order.
func (s *Store) Drill(ctx context.Context, id string) (d teach.Drill, answers []teach.DrillAnswer, err error) {
	return s.drillWhere(ctx, `id = ?`, id)
}

// RunDrill returns the walk round the drawn load that is a run of a lane.
func (s *Store) RunDrill(ctx context.Context, run string) (d teach.Drill, answers []teach.DrillAnswer, err error) {
	return s.drillWhere(ctx, `run = ? AND run <> ''`, run)
}

func (s *Store) drillWhere(ctx context.Context, where, id string) (d teach.Drill, answers []teach.DrillAnswer, err error) {
	err = s.read(ctx, func(t *tx) error {
		list, err := t.drills(where, id)
		if err == nil && len(list) == 0 {
			err = absent("there is no drill %.40q", id)
		}
		if err != nil {
			return err
		}
		d = list[0]
		answers, err = t.drillAnswers(`drill = ? ORDER BY n`, d.ID)
		return err
	})
	return d, answers, err
}

func (t *tx) drills(where string, args ...any) ([]teach.Drill, error) {
	var out []teach.Drill
	err := t.each(`SELECT id, person, rig, rig_version, sequence, shared, limit_ms, pictures, made, ended, run FROM drill WHERE `+where, args, func(scan func(...any) error) error {
		var d teach.Drill
		var pictures string
		var limit int64
		if err := scan(&d.ID, &d.Person, &d.Rig, &d.RigVersion, &d.Sequence, truth{&d.Shared}, &limit, &pictures, clock{&d.Made}, clock{&d.Ended}, &d.Run); err != nil {
			return err
		}
		d.Limit = time.Duration(limit) * time.Millisecond
		if err := json.Unmarshal([]byte(pictures), &d.Pictures); err != nil {
			return fmt.Errorf("store: drill %s: %w", d.ID, err)
		}
		out = append(out, d)
		return nil
	})
	return out, err
}

func (t *tx) drillAnswers(where string, args ...any) ([]teach.DrillAnswer, error) {
	var out []teach.DrillAnswer
	err := t.each(`SELECT drill, n, wrong, choice, after_ms, at, late FROM drill_answer WHERE `+where, args, func(scan func(...any) error) error {
		var a teach.DrillAnswer
		var after int64
		err := scan(&a.Drill, &a.N, truth{&a.Wrong}, &a.Choice, &after, clock{&a.At}, truth{&a.Late})
		a.After = time.Duration(after) * time.Millisecond
		out = append(out, a)
		return err
	})
	return out, err
}

// errAnswered is for an answer that was given already.
var errAnswered = errors.New("store: that picture was answered already")

// AnswerDrill keeps answers that follow those there are, and moves the boxes
// named. The same answers sent again change nothing; taken is false then.
func (s *Store) AnswerDrill(ctx context.Context, id string, answers []teach.DrillAnswer, boxes map[string]teach.Box) (taken bool, err error) {
	err = s.write(ctx, func(t *tx) error {
		list, err := t.drills(`id = ?`, id)
		if err == nil && len(list) == 0 {
			err = absent("there is no drill %.40q", id)
		}
		if err != nil {
			return err
		}
		var n int
		if _, err := t.one(`SELECT COUNT(*) FROM drill_answer WHERE drill = ?`, []any{id}, &n); err != nil {
			return err
		}
		if len(answers) == 0 || answers[0].N != n || !list[0].Ended.IsZero() {
			return errAnswered
		}
		for _, a := range answers {
			_, err := t.exec(`INSERT INTO drill_answer (drill, n, wrong, choice, after_ms, at, late) VALUES (?, ?, ?, ?, ?, ?, ?)`,
				id, int64(a.N), number01(a.Wrong), a.Choice, a.After.Milliseconds(), stamp(s.now()), number01(a.Late))
			if err != nil {
				return err
			}
		}
		for key, b := range boxes {
			_, err := t.exec(`INSERT INTO practice_box (person, what, number, due) VALUES (?, ?, ?, ?) ON CONFLICT (person, what) DO UPDATE SET number = excluded.number, due = excluded.due`,
				list[0].Person, key, int64(b.Number), stamp(b.Due))
			if err != nil {
				return err
			}
		}
		return nil
	})
	if errors.Is(err, errAnswered) {
		return false, nil
	}
	return err == nil, err
}

// EndDrill notes that a drill has ended; again changes nothing.
func (s *Store) EndDrill(ctx context.Context, id string) error {
	return s.write(ctx, func(t *tx) error {
		_, err := t.exec(`UPDATE drill SET ended = ? WHERE id = ? AND ended = ''`, stamp(s.now()), id)
		return err
	})
}

// Drills lists a person's drills with their answers, the newest first, at most
// so many; of everybody for "". Runs of lanes are not among them.
func (s *Store) Drills(ctx context.Context, person string, most int) (list []teach.Drill, answers map[string][]teach.DrillAnswer, err error) {
	answers = map[string][]teach.DrillAnswer{}
	// Two queries, so that the index on persons is used.
	where, args := `run = ''`, []any{}
	if person != "" {
		where, args = `run = '' AND person = ?`, append(args, person)
	}
	where += ` ORDER BY made DESC, id LIMIT ?`
	args = append(args, int64(most))
	err = s.read(ctx, func(t *tx) error {
		if list, err = t.drills(where, args...); err != nil {
			return err
		}
		all, err := t.drillAnswers(`drill IN (SELECT id FROM drill WHERE `+where+`) ORDER BY drill, n`, args...)
		for _, a := range all {
			answers[a.Drill] = append(answers[a.Drill], a)
		}
		return err
	})
	return list, answers, err
}

// Boxes are where what a person practises stands, by kind/attribute/state.
func (s *Store) Boxes(ctx context.Context, person string) (map[string]teach.Box, error) {
	out := map[string]teach.Box{}
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT what, number, due FROM practice_box WHERE person = ?`, []any{person}, func(scan func(...any) error) error {
			var key string
			var b teach.Box
			err := scan(&key, &b.Number, clock{&b.Due})
			out[key] = b
			return err
		})
	})
	return out, err
}
