package store

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
)

// Equipment is all equipment of the school with all that happened to it.
func (s *Store) Equipment(ctx context.Context) (*equipment.Inventory, error) {
	var v *equipment.Inventory
	err := s.read(ctx, func(t *tx) (err error) {
		v, err = t.equipment()
		return err
	})
	return v, err
}

func (t *tx) equipment() (*equipment.Inventory, error) {
	var items []equipment.Item
	err := t.each(`SELECT detail FROM item`, nil, func(scan func(...any) error) error {
		var i equipment.Item
		var detail string
		err := scan(&detail)
		if err == nil {
			err = json.Unmarshal([]byte(detail), &i)
		}
		items = append(items, i)
		return err
	})
	if err != nil {
		return nil, err
	}
	var events []equipment.Event
	err = t.each(`SELECT detail FROM item_event ORDER BY seq`, nil, func(scan func(...any) error) error {
		var e equipment.Event
		var detail string
		err := scan(&detail)
		if err == nil {
			err = json.Unmarshal([]byte(detail), &e)
		}
		events = append(events, e)
		return err
	})
	return equipment.Take(items, events), err
}

// PutItems adds items with ids that are new and changes those that are there,
// all or none; and adds events, also of those items.
func (s *Store) PutItems(ctx context.Context, items []equipment.Item, events []equipment.Event, by string) error {
	return s.write(ctx, func(t *tx) error {
		for i := range items {
			if err := s.putItem(t, &items[i], by); err != nil {
				return err
			}
		}
		return s.addItemEvents(t, events, by)
	})
}

func (s *Store) putItem(t *tx, i *equipment.Item, by string) error {
	if err := i.Check(); err != nil {
		return err
	}
	folded := strings.ToLower(i.Serial)
	var other string
	taken, err := t.one(`SELECT id FROM item WHERE kind = ? AND folded = ? AND id <> ?`, []any{string(i.Kind), folded, i.ID}, &other)
	if err == nil && taken {
		err = fmt.Errorf("%s %s: %w", i.Kind, i.Serial, equipment.ErrSerial)
	}
	if err != nil {
		return err
	}
	var was string
	found, err := t.one(`SELECT detail FROM item WHERE id = ?`, []any{i.ID}, &was)
	if err != nil {
		return err
	}
	if found {
		var old equipment.Item
		if err := json.Unmarshal([]byte(was), &old); err != nil {
			return err
		}
		if old.Spoiled && !i.Spoiled {
			return equipment.ErrSpoiled
		}
	}
	detail, err := json.Marshal(i)
	if err != nil {
		return err
	}
	_, err = t.exec(`INSERT INTO item (id, kind, serial, folded, detail, made, made_by) VALUES (?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET kind = excluded.kind, serial = excluded.serial, folded = excluded.folded, detail = excluded.detail`,
		i.ID, string(i.Kind), i.Serial, folded, string(detail), stamp(s.now()), by)
	return err
}

// addItemEvents adds events with ids of their own; one that is there already
// is left as it was. Each must be able to follow what is there.
func (s *Store) addItemEvents(t *tx, events []equipment.Event, by string) error {
	if len(events) == 0 {
		return nil
	}
	all, err := t.equipment()
	if err != nil {
		return err
	}
	var seq int64
	if _, err := t.one(`SELECT COALESCE(MAX(seq), 0) FROM item_event`, nil, &seq); err != nil {
		return err
	}
	for _, e := range events {
		var there string
		found, err := t.one(`SELECT id FROM item_event WHERE id = ?`, []any{e.ID}, &there)
		if err != nil {
			return err
		}
		if found {
			continue
		}
		item, ok := all.Item(e.Item)
		if !ok {
			return absent("there is no equipment %.40q", e.Item)
		}
		if err := item.Check(&e); err != nil {
			return err
		}
		seq++
		e.Seq, e.By, e.Received = seq, by, s.now()
		detail, err := json.Marshal(e)
		if err != nil {
			return err
		}
		_, err = t.exec(`INSERT INTO item_event (seq, id, item, kind, on_day, person, received, detail) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
			e.Seq, e.ID, e.Item, string(e.Kind), string(e.On), by, stamp(e.Received), string(detail))
		if err != nil {
			return err
		}
		*item = *equipment.Fold(item.Item, append(item.Events, e))
	}
	return nil
}

// use notes that items are on an inspected load from a day on. An earlier
// inspection that they were signed for, of this load or of what it was before,
// no longer has them.
func (t *tx) use(inspection string, items []string, from calendar.Day) error {
	for _, id := range items {
		if _, err := t.exec(`UPDATE item_use SET until_day = ? WHERE item = ? AND inspection <> ? AND until_day = ''`, string(from), id, inspection); err != nil {
			return err
		}
		_, err := t.exec(`INSERT INTO item_use (item, inspection, from_day) VALUES (?, ?, ?) ON CONFLICT (item, inspection) DO NOTHING`, id, inspection, string(from))
		if err != nil {
			return err
		}
	}
	return nil
}

const selectUse = `SELECT u.item, u.inspection, i.load_name, i.rig, i.rig_version, u.from_day, u.until_day
	FROM item_use u JOIN inspection i ON i.id = u.inspection WHERE `

func (t *tx) uses(where string, args ...any) ([]equipment.Use, error) {
	var out []equipment.Use
	err := t.each(selectUse+where, args, func(scan func(...any) error) error {
		var u equipment.Use
		err := scan(&u.Item, &u.Inspection, &u.Load, &u.Rig, &u.RigVersion, &u.From, &u.Until)
		out = append(out, u)
		return err
	})
	return out, err
}

// ItemUses lists the loads that an item was on, the last first.
func (s *Store) ItemUses(ctx context.Context, item string) (out []equipment.Use, err error) {
	err = s.read(ctx, func(t *tx) (err error) {
		out, err = t.uses(`u.item = ? ORDER BY u.from_day DESC, u.inspection`, item)
		return err
	})
	return out, err
}

// LoadUses lists the items that are on an inspected load, or were.
func (s *Store) LoadUses(ctx context.Context, inspection string) (out []equipment.Use, err error) {
	err = s.read(ctx, func(t *tx) (err error) {
		out, err = t.uses(`u.inspection = ? ORDER BY u.item`, inspection)
		return err
	})
	return out, err
}

// Derig records that a load was taken apart: its items come back with these
// events. out are the items that the caller saw on it; equipment.ErrMoved where
// there are others by now.
func (s *Store) Derig(ctx context.Context, d equipment.Derig, out []string, events []equipment.Event, by string) error {
	undone, err := json.Marshal(d.Undone)
	if err != nil {
		return err
	}
	return s.write(ctx, func(t *tx) error {
		uses, err := t.uses(`u.inspection = ? AND u.until_day = ''`, d.Inspection)
		if err != nil {
			return err
		}
		if len(uses) != len(out) {
			return equipment.ErrMoved
		}
		for _, id := range out {
			n, err := t.exec(`UPDATE item_use SET until_day = ? WHERE inspection = ? AND item = ? AND until_day = ''`, string(d.On), d.Inspection, id)
			if err == nil && n != 1 {
				err = equipment.ErrMoved
			}
			if err != nil {
				return err
			}
		}
		n, err := t.exec(`INSERT INTO derig (inspection, on_day, person, received, undone) VALUES (?, ?, ?, ?, ?) ON CONFLICT (inspection) DO NOTHING`,
			d.Inspection, string(d.On), by, stamp(s.now()), string(undone))
		if err == nil && n == 0 {
			err = equipment.ErrMoved
		}
		if err != nil {
			return err
		}
		return s.addItemEvents(t, events, by)
	})
}

// Derigged returns what was undone on a load; found is false where it was not
// taken apart.
func (s *Store) Derigged(ctx context.Context, inspection string) (d equipment.Derig, by string, found bool, err error) {
	err = s.read(ctx, func(t *tx) error {
		var undone string
		var err error
		found, err = t.one(`SELECT inspection, on_day, person, undone FROM derig WHERE inspection = ?`, []any{inspection}, &d.Inspection, &d.On, &by, &undone)
		if err != nil || !found {
			return err
		}
		return json.Unmarshal([]byte(undone), &d.Undone)
	})
	return d, by, found, err
}
