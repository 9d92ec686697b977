package web

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/store"
)

// frameRig is the rig of the tests as one that is not INVENTED, so that it can be
// signed for.
var frameRig = strings.Replace(strings.Replace(crate, "invented: yes\n", "", 1), "Test crate", "Test frame", 1)

// walkSchool is a school whose people inspect.
type walkSchool struct {
	t     testing.TB
	s     *Server
	all   *app.School
	store *store.Store

	chief, rigger, ivo, eva, sam *as
	id                           map[*as]string // a person's id
}

// schoolServer is a school's server over a database.
func schoolServer(t testing.TB, path string, now func() time.Time) (*Server, *store.Store) {
	t.Helper()
	db, err := store.Open(context.Background(), path, store.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return serverOver(t, db, db, now), db
}

// serverOver serves a school that keeper keeps, its rigs on the shelves of db.
func serverOver(t testing.TB, keeper app.SchoolKeeper, db *store.Store, now func() time.Time) *Server {
	t.Helper()
	rigs, err := db.Shelf(store.Rigs)
	if err != nil {
		t.Fatal(err)
	}
	shelves := app.ShelvesOf(func(kind string) (app.Keeper, error) { return db.Shelf(kind) })
	return New(Config{
		Keeper: rigs, Shelves: shelves, School: &School{School: app.NewSchool(keeper, rigs, shelves, now), Name: "Kestmoor Lift School"},
		Tool: "hangtrue test", Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Now: now,
	})
}

// walkersAt makes a school with two rigs, one of them INVENTED, and people.
func walkersAt(t testing.TB, path string, now func() time.Time) *walkSchool {
	t.Helper()
	s, db := schoolServer(t, path, now)
	k := &walkSchool{t: t, s: s, all: s.School.School, store: db, id: map[*as]string{}}
	for name, text := range map[string]string{"frame": frameRig, "crate": crate} {
		if _, saved, err := s.Keeper.Save(name, "", []byte(text)); err != nil || !saved {
			t.Fatal(saved, err)
		}
	}
	settings := app.DefaultSettings()
	link, err := k.all.FirstStart(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	k.chief = welcomed(t, s, link, "chief")
	k.rigger = member(t, k.chief, "rita", people.Rigger)
	k.ivo = member(t, k.chief, "ivo", people.Inspector)
	k.eva = member(t, k.chief, "eva", people.Inspector)
	k.sam = member(t, k.chief, "sam", people.Student)
	page := k.chief.ask("GET", "/people", nil).Body.String()
	for b, name := range map[*as]string{k.rigger: "rita", k.ivo: "ivo", k.eva: "eva", k.sam: "sam"} {
		m := regexp.MustCompile(`/people/([a-z0-9]{20,})">Person ` + name).FindStringSubmatch(page)
		if m == nil {
			t.Fatalf("no id of %s", name)
		}
		k.id[b] = m[1]
	}
	for _, b := range []*as{k.ivo, k.eva} {
		w := k.chief.ask("POST", "/people/"+k.id[b], url.Values{"do": {"qualify"}, "kind": {"inspector"}, "authority": {"Board"}, "from": {"2020-01-01"}})
		if w.Code != http.StatusOK {
			t.Fatalf("no qualification: %d", w.Code)
		}
	}
	settings.Zone, settings.Name = "UTC", "Kestmoor Lift School"
	k.settings(settings)
	return k
}

// whole is a school made once for each clock, of which each test gets a copy:
// passphrases take long to hash, and are meant to. Who signed in by one clock is
// not signed in by another.
var whole struct {
	sync.Mutex
	made map[time.Time]madeSchool // by the hour of the clock
}

type madeSchool struct {
	database []byte
	school   *walkSchool
}

func walkersHere(t testing.TB) *walkSchool {
	t.Helper()
	return walkersCopy(t, func() time.Time { return schoolClock })
}

func walkersCopy(t testing.TB, now func() time.Time) *walkSchool {
	t.Helper()
	whole.Lock()
	defer whole.Unlock()
	hour := now().UTC().Truncate(time.Hour)
	x, there := whole.made[hour]
	if !there {
		path := filepath.Join(t.TempDir(), "whole.db")
		k := walkersAt(t, path, now)
		if err := k.store.Close(); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if whole.made == nil {
			whole.made = map[time.Time]madeSchool{}
		}
		x = madeSchool{data, k}
		whole.made[hour] = x
	}
	path := filepath.Join(t.TempDir(), "school.db")
	if err := os.WriteFile(path, x.database, 0o600); err != nil {
		t.Fatal(err)
	}
	return x.school.on(t, path, now)
}

// on is the same school over a copy of its database: whoever is signed in there
// is signed in here.
func (k *walkSchool) on(t testing.TB, path string, now func() time.Time) *walkSchool {
	t.Helper()
	s, db := schoolServer(t, path, now)
	c := &walkSchool{t: t, s: s, all: s.School.School, store: db, id: map[*as]string{}}
	same := func(b *as) *as {
		x := &as{t, s, maps.Clone(b.cookies)}
		c.id[x] = k.id[b]
		return x
	}
	c.chief, c.rigger, c.ivo, c.eva, c.sam = same(k.chief), same(k.rigger), same(k.ivo), same(k.eva), same(k.sam)
	return c
}

// settings changes the school's settings as its chief instructor.
func (k *walkSchool) settings(x app.Settings) {
	k.t.Helper()
	_, on, err := k.all.Settings()
	if err != nil {
		k.t.Fatal(err)
	}
	if saved, err := k.all.SetSettings(&people.Person{ID: "chief", Roles: []people.Role{people.Chief}}, on, x); err != nil || !saved {
		k.t.Fatal(saved, err)
	}
}

func (k *walkSchool) blind() {
	k.t.Helper()
	x, _, err := k.all.Settings()
	if err != nil {
		k.t.Fatal(err)
	}
	x.BlindCounts = true
	k.settings(x)
}

var hiddenField = regexp.MustCompile(`<input type="hidden" name="([a-z]+)" value="([^"]*)">`)

// form is the form of the page on which an inspection begins.
func (k *walkSchool) form(b *as, rig string) url.Values {
	k.t.Helper()
	w := b.ask("GET", "/loads/"+rig, nil)
	if w.Code != http.StatusOK {
		k.t.Fatalf("the form: %d %s", w.Code, w.Body)
	}
	if t, ok := k.t.(*testing.T); ok {
		goodPage(t, "/loads/"+rig, w.Body.String())
	}
	form := url.Values{"load": {"Frame 1"}, "rigger": {k.id[k.rigger]}, "sequence": {"suggested"}}
	for _, m := range hiddenField.FindAllStringSubmatch(w.Body.String(), -1) {
		form.Set(m[1], m[2])
	}
	return form
}

// begun begins an inspection and returns its id.
func (k *walkSchool) begun(b *as, rig string) string {
	k.t.Helper()
	form := k.form(b, rig)
	w := b.ask("POST", "/loads/"+rig, form)
	if want := "/inspect/" + form.Get("inspection"); w.Code != http.StatusSeeOther || w.Header().Get("Location") != want {
		k.t.Fatalf("not begun: %d %s %s", w.Code, w.Header().Get("Location"), w.Body)
	}
	return form.Get("inspection")
}

// bundle is what a tablet gets.
func (k *walkSchool) bundle(b *as, id string) (x walkBundle, text string) {
	k.t.Helper()
	w := b.ask("GET", "/inspect/"+id+"/bundle", nil, "Accept", "application/json")
	if err := json.Unmarshal(w.Body.Bytes(), &x); err != nil || w.Code != http.StatusOK {
		k.t.Fatalf("the bundle: %d %v", w.Code, err)
	}
	return x, w.Body.String()
}

// tabletOf makes entries as a tablet does.
type tabletOf struct {
	k      *walkSchool
	by     *as
	id     string
	device string
	n      int64
	made   []inspection.Event
}

var drawn int // ids are drawn in order, so that a failing test fails alike

func drawnID(kind string) string { drawn++; return fmt.Sprintf("%s%025d", kind, drawn) }

func (k *walkSchool) tablet(by *as, id string) *tabletOf {
	return &tabletOf{k: k, by: by, id: id, device: drawnID("d")}
}

func (x *tabletOf) event(kind inspection.Kind, body any) inspection.Event {
	x.k.t.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		x.k.t.Fatal(err)
	}
	x.n++
	e := inspection.Event{ID: drawnID("e"), Inspection: x.id, Device: x.device, N: x.n, Kind: kind, At: schoolClock.Add(time.Duration(x.n) * time.Second), Body: text}
	x.made = append(x.made, e)
	return e
}

// post sends JSON as a tablet's script does.
func (b *as) post(target string, data []byte) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest("POST", target, strings.NewReader(string(data)))
	r.Host = "127.0.0.1:8086"
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Accept", "application/json")
	for name, value := range b.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	w := httptest.NewRecorder()
	b.s.Handler().ServeHTTP(w, r)
	return w
}

// send delivers entries and returns the answer.
func (x *tabletOf) send(events ...inspection.Event) taken {
	x.k.t.Helper()
	data, err := json.Marshal(delivery{By: x.k.id[x.by], Events: events})
	if err != nil {
		x.k.t.Fatal(err)
	}
	w := x.by.post("/inspect/"+x.id+"/events", data)
	var out taken
	if err := json.Unmarshal(w.Body.Bytes(), &out); err != nil || w.Code != http.StatusOK {
		x.k.t.Fatalf("not delivered: %d %s", w.Code, w.Body)
	}
	return out
}

// walked answers every question of a walk right and finishes it.
func (x *tabletOf) walked() {
	x.k.t.Helper()
	b, _ := x.k.bundle(x.by, x.id)
	var all []inspection.Event
	for _, t := range b.Tasks {
		task := inspection.Task{Checkpoint: b.Checkpoints[t.Checkpoint].ID, Part: t.Part, Attribute: t.Attribute}
		all = append(all, x.event(inspection.Answer, inspection.Reply{Task: task, Answer: inspection.Right}))
	}
	all = append(all, x.event(inspection.Finish, struct{}{}))
	for i, o := range x.send(all...).Outcomes {
		if o.Refused != "" {
			x.k.t.Fatalf("entry %d: %s", i, o.Words)
		}
	}
}
