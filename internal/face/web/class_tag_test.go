package web

import (
	"encoding/json"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
)

// A planted load is barred until two people have confirmed each item put back,
// and then for every inspection that was begun before.
func TestTag_APlantedLoadIsNotSignedFor(t *testing.T) {
	clock := schoolClock
	x := schoolAt(t, filepath.Join(t.TempDir(), "school.db"), func() time.Time { return clock })
	inspector := member(t, x.chief, "ivo", people.Inspector)
	ivo, chief := someone(t, x.s, "ivo"), someone(t, x.s, "chief")
	n := 0
	walk := func(load string) string {
		t.Helper()
		n++
		clock = clock.Add(time.Minute)
		id := made("inspection", n)
		d, err := x.s.School.LaneDesk(t.Context(), chief, x.lane)
		if err != nil {
			t.Fatal(err)
		}
		b := inspection.Begin{Load: load, Rig: "crate", RigVersion: d.Lane.Setup.RigHash, Rigger: chief.ID, Tasks: []inspection.Task{{Checkpoint: "1", Part: "p", Attribute: "a"}}}
		var events []inspection.Event
		for i, body := range []any{b, inspection.Reply{Task: b.Tasks[0], Answer: inspection.Right}, nil} {
			e := inspection.Event{ID: made("event", i) + id, Inspection: id, Device: made("device", 1), N: int64(i + 1), Kind: []inspection.Kind{inspection.Start, inspection.Answer, inspection.Finish}[i], At: clock}
			if body != nil {
				if e.Body, err = json.Marshal(body); err != nil {
					t.Fatal(err)
				}
			}
			events = append(events, e)
		}
		out, err := x.s.School.Deliver(t.Context(), ivo, events)
		if err != nil || out[2].Refused != nil {
			t.Fatal(out, err)
		}
		return id
	}
	against := func(id string) string {
		t.Helper()
		g, err := x.s.School.Signing(t.Context(), ivo, id)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(g.Against, "; ")
	}
	first, other := walk("crate 07"), walk("Crate 8")
	if got := against(first); strings.Contains(got, "red tag") {
		t.Errorf("before anything is planted: %s", got)
	}
	v := x.plant(one())
	if got := against(first); !strings.Contains(got, "red tag 12") {
		t.Errorf("planted: %s", got)
	}
	if got := against(other); strings.Contains(got, "red tag") {
		t.Errorf("another load: %s", got)
	}
	during := walk("Crate 7")
	clock = clock.Add(time.Minute)
	ids := x.planted(v)
	x.instructor.askMany("/versions/"+v+"/put-back", url.Values{}, "item", ids)
	inspector.askMany("/versions/"+v+"/put-back", url.Values{}, "item", ids[1:])
	if got := against(first); !strings.Contains(got, "red tag 12") {
		t.Errorf("one item short: %s", got)
	}
	inspector.askMany("/versions/"+v+"/put-back", url.Values{}, "item", ids[:1])
	for _, id := range []string{first, during} {
		if got := against(id); !strings.Contains(got, "a full inspection begun since") || strings.Contains(got, "red tag") {
			t.Errorf("begun before the put-back: %s", got)
		}
	}
	if got := against(walk("Crate 7")); strings.Contains(got, "planted") {
		t.Errorf("begun since: %s", got)
	}
}
