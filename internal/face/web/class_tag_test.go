package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
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

// A sortie plan with a load that carries a red tag says so above everything else,
// and is not printed.
func TestTag_APlantedLoadIsBarredFromSorties(t *testing.T) {
	x := teaching(t)
	x.instructor.to("/days", url.Values{"name": {"huts"}})
	page := x.instructor.page("/days/huts")
	m := regexp.MustCompile(`<b>([A-Za-z0-9_-]+)</b><small>`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("no load in %s", mainOf(page))
	}
	if w := x.instructor.ask("GET", "/days/huts/pdf", nil); w.Code != 200 || strings.Contains(page, "red tag") {
		t.Fatalf("before anything is planted: %d", w.Code)
	}
	form := laneFields()
	form.Set("load", strings.ToUpper(m[1]))
	form.Set("title", "Hut lane")
	x.lane = lanePath.FindStringSubmatch(x.instructor.to("/classes/"+x.class+"/lanes", form))[1]
	x.plant(one())
	page = x.instructor.page("/days/huts")
	if !strings.Contains(page, "A load is barred") || !strings.Contains(page, "carries red tag 12") {
		t.Errorf("the plan says %s", mainOf(page))
	}
	if w := x.instructor.ask("GET", "/days/huts/pdf", nil); w.Code != http.StatusConflict {
		t.Errorf("printed: %d", w.Code)
	}
}
