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

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// walks are inspections of a school that plants faults.
type walks struct {
	*taught
	ivo    *people.Person
	rigger string
	clock  *time.Time
	n      int
}

// walk is an inspection that was walked to its end a minute from now.
func (w *walks) walk(load, rig, version string) string {
	w.Helper()
	w.n++
	*w.clock = w.clock.Add(time.Minute)
	id := made("inspection", w.n)
	b := inspection.Begin{Load: load, Rig: rig, RigVersion: version, Rigger: w.rigger, Tasks: []inspection.Task{{Checkpoint: "1", Part: "p", Attribute: "a"}}}
	var events []inspection.Event
	for i, body := range []any{b, inspection.Reply{Task: b.Tasks[0], Answer: inspection.Right}, nil} {
		e := inspection.Event{ID: made("event", i) + id, Inspection: id, Device: made("device", 1), N: int64(i + 1), Kind: []inspection.Kind{inspection.Start, inspection.Answer, inspection.Finish}[i], At: *w.clock}
		if body != nil {
			var err error
			if e.Body, err = json.Marshal(body); err != nil {
				w.Fatal(err)
			}
		}
		events = append(events, e)
	}
	out, err := w.s.School.Deliver(w.Context(), w.ivo, events)
	if err != nil || out[2].Refused != nil {
		w.Fatal(out, err)
	}
	return id
}

// against is what stands against signing an inspection.
func (w *walks) against(id string) string {
	w.Helper()
	g, err := w.s.School.Signing(w.Context(), w.ivo, id)
	if err != nil {
		w.Fatal(err)
	}
	return strings.Join(g.Against, "; ")
}

// A tagged load does not slip under another spelling, another name of its rig's
// file, another title or a copy of the file; what is another load is said by two
// people.
func TestTag_NoOtherSpellingSlips(t *testing.T) {
	clock := schoolClock
	x := schoolAt(t, filepath.Join(t.TempDir(), "school.db"), func() time.Time { return clock })
	inspector := member(t, x.chief, "ivo", people.Inspector)
	w := &walks{taught: x.taught, ivo: someone(t, x.s, "ivo"), rigger: someone(t, x.s, "chief").ID, clock: &clock}
	save := func(name, text string) string {
		t.Helper()
		data := []byte(text)
		if _, saved, err := x.s.Keeper.Save(name, "", data); err != nil || !saved {
			t.Fatal(saved, err)
		}
		return app.Version(data)
	}
	x.plant(one())
	net := ""
	for _, d := range demo.Rigs() {
		if d.Name == "net-one-ring" {
			net = string(d.Data)
		}
	}
	retitled := regexp.MustCompile(`(?m)^title:.*$`).ReplaceAllString(crate, "title: Blue box")
	if retitled == crate {
		t.Fatal("the rig has no title")
	}
	sameTitle := regexp.MustCompile(`(?m)^title:.*$`).FindString(crate)
	otherTitled := regexp.MustCompile(`(?m)^title:.*$`).ReplaceAllString(net, sameTitle)
	version := app.Version([]byte(crate))
	for _, c := range []struct{ what, load, rig, version, want string }{
		{"the name", "crate - 07", "crate", version, "the load carries red tag 12"},
		{"another spelling", "Crate seven", "crate", version, "rigged from the same rig"},
		{"no name at all", "Blue box", "crate", version, "rigged from the same rig"},
		{"a copy of the file", "Box", save("box", crate), app.Version([]byte(crate)), "rigged from the same rig"},
		{"another title", "Blue box", "blue", save("blue", retitled), "rigged from the same rig"},
		{"another rig with its title", "Frame", "second", save("second", otherTitled), "rigged from the same rig"},
		{"another rig of its shape", "Frame", "frame", save("frame", frameRig), "rigged from the same rig"},
		{"another rig", "Net", "net", save("net", net), ""},
	} {
		if c.what == "a copy of the file" {
			c.rig = "box"
		}
		got := w.against(w.walk(c.load, c.rig, c.version))
		if c.want == "" && strings.Contains(got, "red tag") || c.want != "" && !strings.Contains(got, c.want) {
			t.Errorf("%s: %s", c.what, got)
		}
	}
	// The tagged rig's text is changed, its title too: it is the same file.
	if _, saved, err := x.s.Keeper.Save("crate", version, []byte(otherTitled+"# changed\n")); err != nil || !saved {
		t.Fatal(saved, err)
	}
	if got := w.against(w.walk("Parcel", "crate", app.Version([]byte(otherTitled+"# changed\n")))); !strings.Contains(got, "rigged from the same rig") {
		t.Errorf("a changed file: %s", got)
	}
	// Two people say that it is another one.
	id := w.walk("Crate 8", "crate", version)
	say := func(b *as, load string) int {
		return b.ask("POST", "/tagged", url.Values{"lane": {x.lane}, "other": {load}}).Code
	}
	if code := say(inspector, "crate 7"); code != http.StatusUnprocessableEntity {
		t.Errorf("the tagged load itself is declared another: %d", code)
	}
	if code := say(inspector, "Crate 8"); code != http.StatusOK {
		t.Errorf("declared: %d", code)
	}
	if code := say(inspector, "crate 08"); code != http.StatusUnprocessableEntity {
		t.Errorf("the same person twice: %d", code)
	}
	if got := w.against(id); !strings.Contains(got, "red tag") {
		t.Errorf("one person is enough: %s", got)
	}
	if page := inspector.page("/tagged"); !strings.Contains(page, "a second person has to say so") {
		t.Errorf("the page says %s", mainOf(page))
	}
	if code := say(x.instructor, "crate 8"); code != http.StatusOK {
		t.Errorf("declared by a second: %d", code)
	}
	if got := w.against(id); strings.Contains(got, "red tag") {
		t.Errorf("said by two: %s", got)
	}
	if got := w.against(w.walk("Crate 88", "crate", version)); !strings.Contains(got, "red tag") {
		t.Errorf("a third load: %s", got)
	}
	if page := inspector.page("/tagged"); !strings.Contains(page, "Crate 8 is another load, say Person ivo and Person ina") {
		t.Errorf("the page says %s", mainOf(page))
	}
	if w := x.student.ask("POST", "/tagged", url.Values{"lane": {x.lane}, "other": {"Crate 9"}}); w.Code != http.StatusForbidden {
		t.Errorf("a student declares: %d", w.Code)
	}
}

// A load of a plan that is called like no rig may be the tagged one.
func TestTag_APlanDoesNotSlipByAName(t *testing.T) {
	x := teaching(t)
	x.instructor.to("/days", url.Values{"name": {"huts"}})
	page := x.instructor.page("/days/huts")
	names := map[string]bool{}
	for _, m := range regexp.MustCompile(`<b>([A-Za-z0-9_-]+)</b><small>`).FindAllStringSubmatch(page, -1) {
		names[m[1]] = true
	}
	if len(names) == 0 {
		t.Fatalf("no load in %s", mainOf(page))
	}
	x.plant(one()) // on Crate 7, of the rig crate
	page = x.instructor.page("/days/huts")
	if !strings.Contains(page, "called like no rig of the school") || !strings.Contains(page, "Crate 7") {
		t.Errorf("the plan says %s", mainOf(page))
	}
	if w := x.instructor.ask("GET", "/days/huts/pdf", nil); w.Code != http.StatusConflict {
		t.Errorf("printed: %d", w.Code)
	}
	for name := range names {
		for _, b := range []*as{x.instructor, x.ivo} {
			if w := b.ask("POST", "/tagged", url.Values{"lane": {x.lane}, "other": {name}}); w.Code != http.StatusOK {
				t.Fatalf("%s: %d %s", name, w.Code, mainOf(w.Body.String()))
			}
		}
	}
	if page := x.instructor.page("/days/huts"); strings.Contains(page, "red tag") {
		t.Errorf("said by two: %s", mainOf(page))
	}
	// Named as its rig is, it is tied by it.
	why, err := x.s.School.Barred(t.Context(), []string{"crate", "Test-crate", "frame-9"})
	if err != nil || !strings.Contains(why["crate"], "same rig") || !strings.Contains(why["frame-9"], "like no rig") {
		t.Errorf("%v, %v", why, err)
	}
}

// A planted load is barred until two people have confirmed each item put back,
// and then for every inspection that was begun before.
func TestTag_APlantedLoadIsNotSignedFor(t *testing.T) {
	clock := schoolClock
	x := schoolAt(t, filepath.Join(t.TempDir(), "school.db"), func() time.Time { return clock })
	inspector := member(t, x.chief, "ivo", people.Inspector)
	ivo, chief := someone(t, x.s, "ivo"), someone(t, x.s, "chief")
	w := &walks{taught: x.taught, ivo: ivo, rigger: chief.ID, clock: &clock}
	d, err := x.s.School.LaneDesk(t.Context(), chief, x.lane)
	if err != nil {
		t.Fatal(err)
	}
	walk := func(load string) string { t.Helper(); return w.walk(load, "crate", d.Lane.Setup.RigHash) }
	against := w.against
	first := walk("crate 07")
	if got := against(first); strings.Contains(got, "red tag") {
		t.Errorf("before anything is planted: %s", got)
	}
	v := x.plant(one())
	if got := against(first); !strings.Contains(got, "red tag 12") {
		t.Errorf("planted: %s", got)
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
	form.Set("tag", "13")
	x.lane = lanePath.FindStringSubmatch(x.instructor.to("/classes/"+x.class+"/lanes", form))[1]
	x.plant(one())
	page = x.instructor.page("/days/huts")
	if !strings.Contains(page, "A load is barred") || !strings.Contains(page, "carries red tag 13") {
		t.Errorf("the plan says %s", mainOf(page))
	}
	if w := x.instructor.ask("GET", "/days/huts/pdf", nil); w.Code != http.StatusConflict {
		t.Errorf("printed: %d", w.Code)
	}
}
