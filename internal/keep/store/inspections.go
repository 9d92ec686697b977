package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"hangtrue/internal/engine/inspection"
)

// AddEvents takes events that a device delivers, in the order given, for the
// person who is signed in. Each has its outcome: an event that is there already
// is taken again as it was, so that delivering twice does no harm. After an
// event that is refused the later ones of the same inspection are refused too.
// What has an outcome without a refusal is on the disk when AddEvents returns.
func (s *Store) AddEvents(ctx context.Context, events []inspection.Event, by string) ([]inspection.Outcome, error) {
	var out []inspection.Outcome
	err := s.write(ctx, func(t *tx) error {
		out = make([]inspection.Outcome, len(events))
		failed := map[string]error{}
		var next int64
		if _, err := t.one(`SELECT COALESCE(MAX(seq), 0) + 1 FROM inspection_event`, nil, &next); err != nil {
			return err
		}
		for i := range events {
			e := events[i]
			e.By, e.Received, e.Seq = by, s.now(), next
			out[i].ID = e.ID
			if failed[e.Inspection] != nil {
				out[i].Refused = fmt.Errorf("an event before this one was refused: %w", inspection.ErrGap)
				continue
			}
			was, err := t.addEvent(&e)
			var refused *refused
			if errors.As(err, &refused) {
				out[i].Refused = refused.why
				failed[e.Inspection] = err
				continue
			}
			if err != nil {
				return err
			}
			if !was {
				next++
			}
			out[i].Seq, out[i].Received = e.Seq, e.Received
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// refused tells that an event was not taken; the transaction stays sound.
type refused struct{ why error }

func (r *refused) Error() string { return r.why.Error() }

// addEvent takes one event. was tells that it had been taken before; then e has
// the place and time it got then.
func (t *tx) addEvent(e *inspection.Event) (was bool, err error) {
	if err := e.Check(); err != nil {
		return false, &refused{err}
	}
	e.At = e.At.UTC().Truncate(time.Millisecond)
	if len(e.Body) == 0 {
		e.Body = json.RawMessage("{}")
	}
	there, found, err := t.event(`id = ?`, e.ID)
	if err != nil {
		return false, err
	}
	if found {
		same := there.Inspection == e.Inspection && there.Device == e.Device && there.N == e.N && there.Kind == e.Kind &&
			there.By == e.By && there.At.Equal(e.At) && bytes.Equal(there.Body, e.Body)
		if !same {
			return false, &refused{inspection.ErrConflict}
		}
		e.Seq, e.Received = there.Seq, there.Received
		return true, nil
	}
	var last int64
	if _, err := t.one(`SELECT COALESCE(MAX(n), 0) FROM inspection_event WHERE inspection = ? AND device = ?`, []any{e.Inspection, e.Device}, &last); err != nil {
		return false, err
	}
	switch {
	case e.N <= last:
		return false, &refused{inspection.ErrConflict}
	case e.N > last+1:
		return false, &refused{fmt.Errorf("%w: number %d is awaited, and this is %d", inspection.ErrGap, last+1, e.N)}
	}
	state := inspection.State{}
	if _, err := t.one(`SELECT id, person, phase FROM inspection WHERE id = ?`, []any{e.Inspection}, &state.ID, &state.By, &state.Phase); err != nil {
		return false, err
	}
	if err := state.Takes(e.Kind, e.By); err != nil {
		return false, &refused{err}
	}
	if e.Kind == inspection.Start {
		if err := t.begin(e); err != nil {
			return false, err
		}
	}
	_, err = t.exec(`INSERT INTO inspection_event (seq, id, inspection, device, n, kind, person, at, received, body) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		e.Seq, e.ID, e.Inspection, e.Device, e.N, string(e.Kind), e.By, stamp(e.At), stamp(e.Received), string(e.Body))
	if err != nil {
		return false, err
	}
	_, err = t.exec(`UPDATE inspection SET phase = ?, received = ?, last_seq = ? WHERE id = ?`,
		string(e.Kind.After(state.Phase)), stamp(e.Received), e.Seq, e.Inspection)
	return false, err
}

// begin makes the row of an inspection.
func (t *tx) begin(e *inspection.Event) error {
	var b inspection.Begin
	if err := json.Unmarshal(e.Body, &b); err != nil {
		return &refused{err}
	}
	var id string
	found, err := t.one(`SELECT id FROM person WHERE id = ?`, []any{b.Rigger}, &id)
	if err != nil {
		return err
	}
	if !found {
		return &refused{absent("who rigged, %.40q, is no person here", b.Rigger)}
	}
	sets, err := json.Marshal(b.Sets)
	if err != nil {
		return err
	}
	_, err = t.exec(`INSERT INTO inspection (id, person, rigger, load_name, rig, rig_version, aircraft, training, sets, phase, started, received, last_seq)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, e.Inspection, e.By, b.Rigger, b.Load, b.Rig, b.RigVersion, b.Aircraft, number01(b.Training), string(sets),
		string(inspection.Open), stamp(e.At), stamp(e.Received), e.Seq)
	return err
}

const selectEvent = `SELECT seq, id, inspection, device, n, kind, person, at, received, body FROM inspection_event WHERE `

func scanEvent(scan func(...any) error) (inspection.Event, error) {
	var e inspection.Event
	var body string
	err := scan(&e.Seq, &e.ID, &e.Inspection, &e.Device, &e.N, &e.Kind, &e.By, clock{&e.At}, clock{&e.Received}, &body)
	e.Body = json.RawMessage(body)
	return e, err
}

func (t *tx) event(where string, args ...any) (e inspection.Event, found bool, err error) {
	err = t.each(selectEvent+where, args, func(scan func(...any) error) (err error) {
		found = true
		e, err = scanEvent(scan)
		return err
	})
	return e, found, err
}

// Events returns an inspection's events in the server's order.
func (s *Store) Events(ctx context.Context, id string) ([]inspection.Event, error) {
	var out []inspection.Event
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.events(id)
		return err
	})
	return out, err
}

func (t *tx) events(id string) ([]inspection.Event, error) {
	var out []inspection.Event
	err := t.each(selectEvent+`inspection = ? ORDER BY seq`, []any{id}, func(scan func(...any) error) error {
		e, err := scanEvent(scan)
		out = append(out, e)
		return err
	})
	if err == nil && len(out) == 0 {
		err = absent("there is no inspection %.64q", id)
	}
	return out, err
}

const selectInspection = `SELECT id, person, rigger, load_name, rig, rig_version, aircraft, training, sets, phase, started, received, last_seq, entry, signed, lapsed, lapsed_at FROM inspection`

func scanInspection(scan func(...any) error) (inspection.Summary, error) {
	var x inspection.Summary
	var sets string
	err := scan(&x.ID, &x.By, &x.Rigger, &x.Load, &x.Rig, &x.RigVersion, &x.Aircraft, truth{&x.Training}, &sets, &x.Phase,
		clock{&x.Started}, clock{&x.Received}, &x.Seq, &x.Entry, clock{&x.SignedAt}, &x.Lapsed, clock{&x.LapsedAt})
	if err == nil {
		err = json.Unmarshal([]byte(sets), &x.Sets)
	}
	return x, err
}

// Inspections lists inspections, the last heard of first, at most so many; of
// one rig and by one person, or of all where these are "".
func (s *Store) Inspections(ctx context.Context, rig, person string, most int) ([]inspection.Summary, error) {
	var out []inspection.Summary
	err := s.read(ctx, func(t *tx) error {
		return t.each(selectInspection+` WHERE (rig = ? OR ? = 0) AND (person = ? OR ? = 0) ORDER BY last_seq DESC LIMIT ?`,
			[]any{rig, number01(rig != ""), person, number01(person != ""), int64(most)}, func(scan func(...any) error) error {
				x, err := scanInspection(scan)
				out = append(out, x)
				return err
			})
	})
	return out, err
}

// Inspection returns one inspection as lists show it.
func (s *Store) Inspection(ctx context.Context, id string) (inspection.Summary, error) {
	var x inspection.Summary
	err := s.read(ctx, func(t *tx) (err error) {
		x, err = t.inspection(id)
		return err
	})
	return x, err
}

func (t *tx) inspection(id string) (inspection.Summary, error) {
	var x inspection.Summary
	found := false
	err := t.each(selectInspection+` WHERE id = ?`, []any{id}, func(scan func(...any) error) (err error) {
		found = true
		x, err = scanInspection(scan)
		return err
	})
	if err == nil && !found {
		err = absent("there is no inspection %.64q", id)
	}
	return x, err
}

// AddPhoto keeps a photo under its hash, once.
func (s *Store) AddPhoto(ctx context.Context, kind string, data []byte, by string) (string, error) {
	h := hash(data)
	err := s.write(ctx, func(t *tx) error {
		_, err := t.exec(`INSERT INTO photo (hash, type, bytes, person, at) VALUES (?, ?, ?, ?, ?) ON CONFLICT (hash) DO NOTHING`, h, kind, data, by, stamp(s.now()))
		return err
	})
	return h, err
}

// Photo returns a photo and its media type.
func (s *Store) Photo(ctx context.Context, h string) (kind string, data []byte, err error) {
	err = s.read(ctx, func(t *tx) error {
		found, err := t.one(`SELECT type, bytes FROM photo WHERE hash = ?`, []any{h}, &kind, &data)
		if err == nil && !found {
			err = absent("there is no photo %.64q", h)
		}
		return err
	})
	if err == nil && hash(data) != h {
		err = damage("photo %.8s no longer has the bytes that it is named by", h)
	}
	return kind, data, err
}

// MissingPhotos lists those of some photos that are not here.
func (s *Store) MissingPhotos(ctx context.Context, hashes []string) ([]string, error) {
	var missing []string
	err := s.read(ctx, func(t *tx) error {
		for _, h := range hashes {
			var kind string
			found, err := t.one(`SELECT type FROM photo WHERE hash = ?`, []any{h}, &kind)
			if err != nil {
				return err
			}
			if !found {
				missing = append(missing, h)
			}
		}
		return nil
	})
	return missing, err
}
