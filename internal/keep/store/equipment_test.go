package store

import (
	"encoding/json"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/equipment"
)

func TestEquipment_ItemsEventsAndUses(t *testing.T) {
	both(t, func(t *testing.T, open func(...Options) *Store) {
		s, _ := inspectors(t, open)
		ctx := t.Context()
		set := equipment.Item{ID: "s", Serial: "S-1", Kind: equipment.Set, InService: "2026-01-01", Intervals: []equipment.Interval{{What: "yearly", Months: 12}}}
		leg := equipment.Item{ID: "l", Serial: "L-1", Kind: equipment.Leg, Set: "s"}
		bad := equipment.Item{ID: "b", Serial: "B-1", Kind: equipment.Leg, Spoiled: true}
		if err := s.PutItems(ctx, []equipment.Item{set, leg, bad}, nil, "chief"); err != nil {
			t.Fatal(err)
		}
		for name, c := range map[string]struct {
			item equipment.Item
			want error
		}{
			"serial taken": {equipment.Item{ID: "x", Serial: "s-1", Kind: equipment.Set}, equipment.ErrSerial},
			"unspoiled":    {equipment.Item{ID: "b", Serial: "B-1", Kind: equipment.Leg}, equipment.ErrSpoiled},
		} {
			if err := s.PutItems(ctx, []equipment.Item{{ID: "y", Serial: "new", Kind: equipment.Net}, c.item}, nil, "chief"); !errors.Is(err, c.want) {
				t.Errorf("%s: %v", name, err)
			}
		}
		events := []equipment.Event{
			{ID: "e1", Item: "s", Kind: equipment.Inspected, What: "yearly", On: "2026-05-01"},
			{ID: "e2", Item: "l", Kind: equipment.DefectFound, Text: "cut", On: "2026-05-02"},
			{ID: "e3", Item: "l", Kind: equipment.Repaired, About: "e2", On: "2026-05-03"}, // follows in the same call
		}
		for range 2 { // delivered twice
			if err := s.PutItems(ctx, nil, events, "chief"); err != nil {
				t.Fatal(err)
			}
		}
		for _, e := range []equipment.Event{
			{ID: "e4", Item: "nothing", Kind: equipment.Lost, On: "2026-05-01"},
			{ID: "e5", Item: "l", Kind: equipment.Released, Name: "N", On: "2026-05-01"},
		} {
			if err := s.PutItems(ctx, nil, []equipment.Event{e}, "chief"); err == nil || e.Item == "nothing" && !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("%+v: %v", e, err)
			}
		}
		v, err := s.Equipment(ctx)
		if err != nil || len(v.All) != 3 {
			t.Fatal(v, err)
		}
		got, _ := v.Item("s")
		if len(got.Events) != 1 || got.Due[0].Day != "2027-05-01" || got.Events[0].By != "chief" || !got.Events[0].Received.Equal(noon) {
			t.Errorf("got %+v", got)
		}
		if l, _ := v.Item("l"); len(l.Events) != 2 || len(l.Defects) != 0 {
			t.Errorf("got %+v", l)
		}
		id := made("i", 1)
		deliver(t, s, "inspector", walk(id, made("d", 1), 1)...)
		x, err := s.Inspection(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.SealInspection(ctx, id, x.Seq, json.RawMessage(`{}`), []string{"s", "l"}, "2026-05-31"); err != nil {
			t.Fatal(err)
		}
		uses, err := s.ItemUses(ctx, "l")
		if err != nil || len(uses) != 1 || uses[0].Load != "Crate 7" || uses[0].From != "2026-05-31" || uses[0].Until != "" {
			t.Errorf("got %+v, %v", uses, err)
		}
		d := equipment.Derig{Inspection: id, On: "2026-06-01", Parts: []equipment.Back{{Item: "s"}, {Item: "l", As: "overloaded"}}, Undone: []equipment.Undone{{Text: "mirrors", Done: true}}}
		back, err := d.Events([]string{"s", "l"})
		if err != nil {
			t.Fatal(err)
		}
		for i := range back {
			back[i].ID = made("back", i)
		}
		if err := s.Derig(ctx, d, []string{"s"}, back, "rigger"); !errors.Is(err, equipment.ErrMoved) {
			t.Errorf("got %v", err)
		}
		if err := s.Derig(ctx, d, []string{"s", "l"}, back, "rigger"); err != nil {
			t.Fatal(err)
		}
		if err := s.Derig(ctx, d, []string{"s", "l"}, back, "rigger"); !errors.Is(err, equipment.ErrMoved) {
			t.Errorf("twice: %v", err)
		}
		kept, by, found, err := s.Derigged(ctx, id)
		if err != nil || !found || by != "rigger" || !slices.Equal(kept.Undone, d.Undone) {
			t.Errorf("%+v %s %v %v", kept, by, found, err)
		}
		if uses, err := s.LoadUses(ctx, id); err != nil || len(uses) != 2 || uses[0].Until != "2026-06-01" {
			t.Errorf("%+v, %v", uses, err)
		}
		if v, err = s.Equipment(ctx); err != nil {
			t.Fatal(err)
		}
		if why := strings.Join(v.Blocks([]string{"s"}, "2026-06-02"), "; "); why != "leg L-1 is quarantined: overloaded" {
			t.Errorf("got %s", why)
		}
		if _, err := s.db.Exec(`DELETE FROM item_event`); err == nil {
			t.Error("what happened to equipment was taken away")
		}
	})
}
