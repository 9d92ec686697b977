package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// RunOutcome is what became of one event that a grader's device delivered. It is
// a plain struct, so that who calls need not know this package.
type RunOutcome = struct {
	ID       string
	Seq      int64
	Received time.Time
	Refused  error // nil: it is on the disk
}

// AddRunEvents takes events of runs, in the order given, for the grader who is
// signed in. An event that is there already is taken again as it was. After an
// event that is refused the later ones of the same run are refused too. odd
// tells for each start what is not as the rules for starting say; the run is
// taken all the same, so that nothing is lost. When a run ends, or something is
// settled after its end, its result by the lane's rule is kept in the same
// transaction.
func (s *Store) AddRunEvents(ctx context.Context, events []teach.RunEvent, by string, odd map[string]string, on calendar.Day) ([]RunOutcome, error) {
	var out []RunOutcome
	err := s.write(ctx, func(t *tx) error {
		out = make([]RunOutcome, len(events))
		failed := map[string]bool{}
		ended := map[string]string{} // run to why its result is made anew
		var order []string
		var next int64
		if _, err := t.one(`SELECT COALESCE(MAX(seq), 0) + 1 FROM run_event`, nil, &next); err != nil {
			return err
		}
		for i := range events {
			e := events[i]
			e.By, e.Received, e.Seq = by, s.now(), next
			out[i].ID = e.ID
			if failed[e.Run] {
				out[i].Refused = fmt.Errorf("an event before this one was refused: %w", teach.ErrRunGap)
				continue
			}
			was, why, err := t.addRunEvent(&e, odd[e.Run])
			var no *refused
			if errors.As(err, &no) {
				out[i].Refused, failed[e.Run] = no.why, true
				continue
			}
			if err != nil {
				return err
			}
			if !was {
				next++
				if why != nil {
					if _, there := ended[e.Run]; !there {
						order = append(order, e.Run)
					}
					ended[e.Run] = *why
				}
			}
			out[i].Seq, out[i].Received = e.Seq, e.Received
		}
		for _, run := range order {
			if err := t.grade(run, ended[run], s.now()); err != nil {
				return err
			}
			if err := t.usedQualification(by, people.AsGrader, on); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// addRunEvent takes one event. why is not nil where the run's result must be
// made, and says why it is made again.
func (t *tx) addRunEvent(e *teach.RunEvent, odd string) (was bool, why *string, err error) {
	if err := e.Check(); err != nil {
		return false, nil, &refused{err}
	}
	e.At = e.At.UTC().Truncate(time.Millisecond)
	there, err := t.runEvents(`id = ?`, e.ID)
	if err != nil {
		return false, nil, err
	}
	if len(there) > 0 {
		x := &there[0]
		if x.Run != e.Run || x.Device != e.Device || x.N != e.N || x.Kind != e.Kind || x.By != e.By || !x.At.Equal(e.At) || !bytes.Equal(x.Body, e.Body) {
			return false, nil, &refused{teach.ErrRunConflict}
		}
		e.Seq, e.Received = x.Seq, x.Received
		return true, nil, nil
	}
	var last int64
	if _, err := t.one(`SELECT COALESCE(MAX(n), 0) FROM run_event WHERE run = ? AND device = ?`, []any{e.Run, e.Device}, &last); err != nil {
		return false, nil, err
	}
	switch {
	case e.N <= last:
		return false, nil, &refused{teach.ErrRunConflict}
	case e.N > last+1:
		return false, nil, &refused{fmt.Errorf("%w: number %d is awaited, and this is %d", teach.ErrRunGap, last+1, e.N)}
	}
	var grader string
	var ended bool
	found, err := t.one(`SELECT grader, ended FROM run WHERE id = ?`, []any{e.Run}, &grader, truth{&ended})
	if err != nil {
		return false, nil, err
	}
	again := ""
	switch {
	case found && e.Kind == teach.RunStart:
		return false, nil, &refused{teach.ErrRunConflict}
	case !found && e.Kind != teach.RunStart:
		return false, nil, &refused{teach.ErrRunGap}
	case found && grader != e.By:
		return false, nil, &refused{teach.ErrRunOther}
	case found && ended && e.Kind != teach.CallPut:
		return false, nil, &refused{teach.ErrRunEnded}
	case !found:
		if err := t.beginRun(e, odd); err != nil {
			return false, nil, err
		}
	case e.Kind == teach.RunEnd:
		why = &again
		if _, err := t.exec(`UPDATE run SET ended = 1 WHERE id = ?`, e.Run); err != nil {
			return false, nil, err
		}
	case ended:
		again = "a fault that nobody planted was settled"
		why = &again
	}
	_, err = t.exec(`INSERT INTO run_event (seq, id, run, device, n, kind, person, at, received, body) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		e.Seq, e.ID, e.Run, e.Device, e.N, string(e.Kind), e.By, stamp(e.At), stamp(e.Received), string(e.Body))
	return false, why, err
}

// beginRun makes the row of a run.
func (t *tx) beginRun(e *teach.RunEvent, odd string) error {
	b, err := e.Read()
	if err != nil {
		return &refused{err}
	}
	var lane, class, member string
	found, err := t.one(`SELECT v.lane, l.class FROM lane_version v JOIN lane l ON l.id = v.lane WHERE v.id = ?`, []any{b.Version}, &lane, &class)
	if err == nil && !found {
		return &refused{absent("there is no version %.40q", b.Version)}
	}
	if err != nil {
		return err
	}
	found, err = t.one(`SELECT person FROM class_member WHERE class = ? AND person = ?`, []any{class, b.Student}, &member)
	if err == nil && !found {
		return &refused{absent("the student %.40q is not in this class", b.Student)}
	}
	if err != nil {
		return err
	}
	_, err = t.exec(`INSERT INTO run (id, class, lane, version, student, grader, second, started, received, odd) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		e.Run, class, lane, b.Version, b.Student, e.By, number01(b.Second), stamp(e.At), stamp(e.Received), odd)
	return err
}

// grade keeps what a run comes to now.
func (t *tx) grade(run, why string, at time.Time) error {
	list, err := t.runs(`id = ?`, run)
	if err != nil || len(list) == 0 {
		return err
	}
	r := list[0]
	events, err := t.runEvents(`run = ? ORDER BY seq`, run)
	if err != nil {
		return err
	}
	state, err := teach.FoldRun(events)
	if err != nil {
		return err
	}
	versions, err := t.versions(`id = ?`, r.Version)
	if err != nil || len(versions) == 0 {
		return err
	}
	lanes, err := t.lanes(`id = ?`, r.Lane)
	if err != nil || len(lanes) == 0 {
		return err
	}
	voids, err := t.entriesOf(`version = ? AND kind = ?`, r.Version, string(teach.EntryVoid))
	if err != nil {
		return err
	}
	var gone []string
	for _, v := range voids {
		gone = append(gone, v.Deficiency)
	}
	x := teach.ResultOf(r, teach.GradeVersion(lanes[0].Setup.Rule, versions[0].Key.Planted, gone, state), at, why)
	found, err := json.Marshal(x.Found)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	if _, err := t.one(`SELECT COALESCE(MAX(n), 0) + 1 FROM run_result WHERE run = ?`, []any{run}, &x.N); err != nil {
		return err
	}
	_, err = t.exec(`INSERT INTO run_result (run, n, class, lane, version, student, grader, second, outcome, reasons, found, missed, false_calls, out_of_order, unplaced, took_ms, at, why)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, x.Run, int64(x.N), x.Class, x.Lane, x.Version, x.Student, x.Grader, number01(x.Second), string(x.Outcome),
		texts(x.Reasons), string(found), texts(x.Missed), int64(x.False), int64(x.Order), int64(x.Unplaced), x.Took.Milliseconds(), stamp(x.At), x.Why)
	return err
}

// Void records that a deficiency of a version no longer counts, and grades every
// run of the version that has ended again; the first results stay.
func (s *Store) Void(ctx context.Context, e teach.Entry, why string) error {
	return s.write(ctx, func(t *tx) error {
		if err := t.addEntry(e, s.now()); err != nil {
			return err
		}
		list, err := t.runs(`version = ? AND ended = 1 ORDER BY received, id`, e.Version)
		if err != nil {
			return err
		}
		for _, r := range list {
			if err := t.grade(r.ID, why, s.now()); err != nil {
				return err
			}
		}
		return nil
	})
}

func (t *tx) runEvents(where string, args ...any) ([]teach.RunEvent, error) {
	var out []teach.RunEvent
	err := t.each(`SELECT seq, id, run, device, n, kind, person, at, received, body FROM run_event WHERE `+where, args, func(scan func(...any) error) error {
		var e teach.RunEvent
		var body string
		err := scan(&e.Seq, &e.ID, &e.Run, &e.Device, &e.N, &e.Kind, &e.By, clock{&e.At}, clock{&e.Received}, &body)
		e.Body = json.RawMessage(body)
		out = append(out, e)
		return err
	})
	return out, err
}

// RunEvents returns a run's events in the server's order.
func (s *Store) RunEvents(ctx context.Context, run string) ([]teach.RunEvent, error) {
	var out []teach.RunEvent
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.runEvents(`run = ? ORDER BY seq`, run)
		return err
	})
	if err == nil && len(out) == 0 {
		err = absent("there is no run %.64q", run)
	}
	return out, err
}

func (t *tx) runs(where string, args ...any) ([]teach.RunSummary, error) {
	var out []teach.RunSummary
	err := t.each(`SELECT id, class, lane, version, student, grader, second, started, received, ended, odd FROM run WHERE `+where, args, func(scan func(...any) error) error {
		var r teach.RunSummary
		err := scan(&r.ID, &r.Class, &r.Lane, &r.Version, &r.Student, &r.Grader, truth{&r.Second}, clock{&r.Started}, clock{&r.Received}, truth{&r.Ended}, &r.Odd)
		out = append(out, r)
		return err
	})
	return out, err
}

// Run returns one run.
func (s *Store) Run(ctx context.Context, id string) (teach.RunSummary, error) {
	list, err := s.runsWhere(ctx, `id = ?`, id)
	if err == nil && len(list) == 0 {
		err = absent("there is no run %.64q", id)
	}
	if err != nil {
		return teach.RunSummary{}, err
	}
	return list[0], nil
}

// Runs lists runs in the order in which they were received: of a class, a lane, a
// version or a student, "" for any.
func (s *Store) Runs(ctx context.Context, class, lane, version, student string) ([]teach.RunSummary, error) {
	where, args := `1 = 1`, []any{}
	for _, c := range []struct{ column, value string }{{"class", class}, {"lane", lane}, {"version", version}, {"student", student}} {
		if c.value != "" {
			where += ` AND ` + c.column + ` = ?` // each with its index
			args = append(args, c.value)
		}
	}
	return s.runsWhere(ctx, where+` ORDER BY received, id`, args...)
}

func (s *Store) runsWhere(ctx context.Context, where string, args ...any) ([]teach.RunSummary, error) {
	var out []teach.RunSummary
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.runs(where, args...)
		return err
	})
	return out, err
}

// Results lists what runs came to, each run's first result before its later
// ones: of a class, a student or a run, "" for any but not for all three.
func (s *Store) Results(ctx context.Context, class, student, run string) ([]teach.Result, error) {
	where, args := "", []any{}
	for _, c := range []struct{ column, value string }{{"class", class}, {"student", student}, {"run", run}} {
		if c.value == "" {
			continue
		}
		if where != "" {
			where += " AND "
		}
		where += c.column + " = ?"
		args = append(args, c.value)
	}
	if where == "" {
		return nil, errors.New("store: results of what?")
	}
	var out []teach.Result
	err := s.read(ctx, func(t *tx) error {
		return t.each(`SELECT run, n, class, lane, version, student, grader, second, outcome, reasons, found, missed, false_calls, out_of_order, unplaced, took_ms, at, why
			FROM run_result WHERE `+where+` ORDER BY at, run, n`, args, func(scan func(...any) error) error {
			var x teach.Result
			var reasons, found, missed string
			var took int64
			err := scan(&x.Run, &x.N, &x.Class, &x.Lane, &x.Version, &x.Student, &x.Grader, truth{&x.Second}, &x.Outcome, &reasons, &found, &missed,
				&x.False, &x.Order, &x.Unplaced, &took, clock{&x.At}, &x.Why)
			if err != nil {
				return err
			}
			x.Took = time.Duration(took) * time.Millisecond
			out = append(out, x)
			last := &out[len(out)-1]
			return errors.Join(json.Unmarshal([]byte(reasons), &last.Reasons), json.Unmarshal([]byte(found), &last.Found), json.Unmarshal([]byte(missed), &last.Missed))
		})
	})
	return out, err
}
