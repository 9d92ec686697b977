package store

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"hangtrue/internal/engine/teach"
)

// entryCommitment is the log's kind of entry for a key that was committed to.
const entryCommitment = "key-commitment"

// AddLane adds a lane with an id that is new.
func (s *Store) AddLane(ctx context.Context, l teach.TestLane) error {
	setup, err := json.Marshal(l.Setup)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return s.write(ctx, func(t *tx) error {
		_, err := t.exec(`INSERT INTO lane (id, class, setup, made, made_by) VALUES (?, ?, ?, ?, ?)`, l.ID, l.Class, string(setup), stamp(s.now()), l.By)
		return err
	})
}

// SetLane changes how a lane is set up.
func (s *Store) SetLane(ctx context.Context, id string, setup teach.LaneSetup) error {
	text, err := json.Marshal(setup)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return s.write(ctx, func(t *tx) error {
		n, err := t.exec(`UPDATE lane SET setup = ? WHERE id = ?`, string(text), id)
		if err == nil && n == 0 {
			err = absent("there is no lane %.40q", id)
		}
		return err
	})
}

// Lanes lists a class's lanes in the order in which they were made; of every
// class for "".
func (s *Store) Lanes(ctx context.Context, class string) ([]teach.TestLane, error) {
	return s.lanes(ctx, `class = ? OR ? = 0`, class, number01(class != ""))
}

// Lane returns one lane.
func (s *Store) Lane(ctx context.Context, id string) (teach.TestLane, error) {
	list, err := s.lanes(ctx, `id = ?`, id)
	if err == nil && len(list) == 0 {
		err = absent("there is no lane %.40q", id)
	}
	if err != nil {
		return teach.TestLane{}, err
	}
	return list[0], nil
}

func (s *Store) lanes(ctx context.Context, where string, args ...any) ([]teach.TestLane, error) {
	var out []teach.TestLane
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.lanes(where, args...)
		return err
	})
	return out, err
}

func (t *tx) lanes(where string, args ...any) ([]teach.TestLane, error) {
	var out []teach.TestLane
	err := t.each(`SELECT id, class, setup, made, made_by FROM lane WHERE `+where+` ORDER BY made, id`, args, func(scan func(...any) error) error {
		var l teach.TestLane
		var setup string
		if err := scan(&l.ID, &l.Class, &setup, clock{&l.Made}, &l.By); err != nil {
			return err
		}
		if err := json.Unmarshal([]byte(setup), &l.Setup); err != nil {
			return fmt.Errorf("store: lane %s: %w", l.ID, err)
		}
		out = append(out, l)
		return nil
	})
	return out, err
}

// AddVersions keeps versions of a lane and seals a commitment for each in the
// log, all or none. Numbers go on from those that are there; the keys get the
// lane and the number, and are committed to with their versions' secrets.
func (s *Store) AddVersions(ctx context.Context, lane string, list []teach.LaneVersion) ([]teach.LaneVersion, error) {
	out := append([]teach.LaneVersion(nil), list...)
	err := s.write(ctx, func(t *tx) error {
		var last int
		if _, err := t.one(`SELECT COALESCE(MAX(number), 0) FROM lane_version WHERE lane = ?`, []any{lane}, &last); err != nil {
			return err
		}
		for i := range out {
			v := &out[i]
			v.Lane, v.Number = lane, last+1+i
			v.Key.Lane, v.Key.Version = lane, v.Number
			v.Commitment, v.Made = teach.Commit(v.Secret, v.Key), s.now()
			a, err := s.seal(t, entryCommitment, v.Body(), -1, v.ID)
			if err != nil {
				return err
			}
			v.Entry = a.Entry.N
			_, err = t.exec(`INSERT INTO lane_version (id, lane, number, grp, canonical, notes, equal, secret, commitment, entry, real_load, load_name, load_key, rig, made, made_by)
				VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, v.ID, v.Lane, int64(v.Number), v.For, string(v.Key.Canonical()), texts(v.Notes), v.Equal,
				hex.EncodeToString(v.Secret[:]), string(v.Commitment), v.Entry, number01(v.Real), v.Load, teach.LoadKey(v.Load), v.Rig, stamp(v.Made), v.By)
			if err != nil {
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

// Versions lists the versions of a lane by number.
func (s *Store) Versions(ctx context.Context, lane string) ([]teach.LaneVersion, error) {
	return s.versions(ctx, `lane = ? ORDER BY number`, lane)
}

// RigVersions lists the plantings of a rig, the newest first, at most so many.
func (s *Store) RigVersions(ctx context.Context, rig string, most int) ([]teach.LaneVersion, error) {
	return s.versions(ctx, `rig = ? ORDER BY made DESC, number DESC LIMIT ?`, rig, int64(most))
}

// RealVersions lists plantings of real loads, the newest first: of the load that
// a name means, or of every load that is not put back for "".
func (s *Store) RealVersions(ctx context.Context, load string) ([]teach.LaneVersion, error) {
	if load == "" {
		return s.versions(ctx, `real_load = 1 AND restored = '' ORDER BY made DESC, number DESC`)
	}
	return s.versions(ctx, `load_key = ? AND load_key <> '' AND real_load = 1 ORDER BY made DESC, number DESC`, teach.LoadKey(load))
}

// LaneVersion returns one version.
func (s *Store) LaneVersion(ctx context.Context, id string) (teach.LaneVersion, error) {
	list, err := s.versions(ctx, `id = ?`, id)
	if err == nil && len(list) == 0 {
		err = absent("there is no version %.40q", id)
	}
	if err != nil {
		return teach.LaneVersion{}, err
	}
	return list[0], nil
}

func (s *Store) versions(ctx context.Context, where string, args ...any) ([]teach.LaneVersion, error) {
	var out []teach.LaneVersion
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.versions(where, args...)
		return err
	})
	return out, err
}

func (t *tx) versions(where string, args ...any) ([]teach.LaneVersion, error) {
	var out []teach.LaneVersion
	err := t.each(`SELECT id, lane, number, grp, canonical, notes, equal, secret, commitment, entry, real_load, load_name, rig, made, made_by, opened, restored FROM lane_version WHERE `+where, args,
		func(scan func(...any) error) error {
			var v teach.LaneVersion
			var key, notes, secret string
			err := scan(&v.ID, &v.Lane, &v.Number, &v.For, &key, &notes, &v.Equal, &secret, &v.Commitment, &v.Entry, truth{&v.Real}, &v.Load, &v.Rig,
				clock{&v.Made}, &v.By, clock{&v.Opened}, clock{&v.Restored})
			if err != nil {
				return err
			}
			raw, err := hex.DecodeString(secret)
			if err != nil || len(raw) != len(v.Secret) {
				return fmt.Errorf("store: version %s: its secret is damaged", v.ID)
			}
			copy(v.Secret[:], raw)
			if err := json.Unmarshal([]byte(key), &v.Key); err != nil {
				return fmt.Errorf("store: version %s: %w", v.ID, err)
			}
			if err := json.Unmarshal([]byte(notes), &v.Notes); err != nil {
				return fmt.Errorf("store: version %s: %w", v.ID, err)
			}
			out = append(out, v)
			return nil
		})
	return out, err
}

// OpenKey notes that a version's key was shown.
func (s *Store) OpenKey(ctx context.Context, id string) error {
	return s.write(ctx, func(t *tx) error {
		_, err := t.exec(`UPDATE lane_version SET opened = ? WHERE id = ? AND opened = ''`, stamp(s.now()), id)
		return err
	})
}

// AddPutBacks notes what a person has seen put right; noting it again changes
// nothing.
func (s *Store) AddPutBacks(ctx context.Context, version string, deficiencies []string, person string) error {
	return s.write(ctx, func(t *tx) error {
		for _, d := range deficiencies {
			_, err := t.exec(`INSERT INTO put_back (version, deficiency, person, at) VALUES (?, ?, ?, ?) ON CONFLICT (version, deficiency, person) DO NOTHING`,
				version, d, person, stamp(s.now()))
			if err != nil {
				return err
			}
		}
		list, err := t.versions(`id = ?`, version)
		if err != nil || len(list) == 0 {
			return err
		}
		seen, err := t.putBacks(version)
		if err != nil || !teach.PutBackOf(&list[0], seen).Restored {
			return err
		}
		_, err = t.exec(`UPDATE lane_version SET restored = ? WHERE id = ? AND restored = ''`, stamp(s.now()), version)
		return err
	})
}

// PutBacks lists what was seen put right of a version, oldest first.
func (s *Store) PutBacks(ctx context.Context, version string) ([]teach.PutBack, error) {
	var out []teach.PutBack
	err := s.read(ctx, func(t *tx) (err error) {
		out, err = t.putBacks(version)
		return err
	})
	return out, err
}

func (t *tx) putBacks(version string) ([]teach.PutBack, error) {
	var out []teach.PutBack
	err := t.each(`SELECT version, deficiency, person, at FROM put_back WHERE version = ? ORDER BY at, deficiency, person`, []any{version}, func(scan func(...any) error) error {
		var p teach.PutBack
		err := scan(&p.Version, &p.Deficiency, &p.Person, clock{&p.At})
		out = append(out, p)
		return err
	})
	return out, err
}
