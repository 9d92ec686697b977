//go:build unix

package web

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"runtime"
	"runtime/metrics"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/store"
)

var (
	scaleFile    = flag.String("tenyears", "", "keep the school of ten years in this `file`, and use what is there")
	scaleClasses = flag.Int("classes", 200, "how many classes ten years have")
)

// What ten years of a large school have beside the classes.
const (
	scaleStudents, scalePlanted, scaleVersions = 100, 10, 6
	scaleRigs                                  = 4
	scaleDays                                  = 18 // from class to class
)

// scaleSchool is a school of ten years, the same each time it is made: classes of
// 100 students on one lane each, every student with one run of ten planted
// deficiencies and one drill of ten pictures. Abilities and difficulties are those
// of a Rasch model.
type scaleSchool struct {
	db   *store.Store
	now  time.Time
	last string // the newest class
}

func (x *scaleSchool) server(b testing.TB) *Server {
	b.Helper()
	rigs, err := x.db.Shelf(store.Rigs)
	if err != nil {
		b.Fatal(err)
	}
	clock := func() time.Time { return x.now }
	shelves := app.ShelvesOf(func(kind string) (app.Keeper, error) { return x.db.Shelf(kind) })
	return New(Config{
		Keeper: rigs, Shelves: shelves, School: &School{School: app.NewSchool(x.db, rigs, shelves, clock), Name: "Kestmoor Lift School"},
		Tool: "hangtrue test", Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Now: clock,
	})
}

func newScaleSchool(b testing.TB) (*scaleSchool, *as) {
	b.Helper()
	file := *scaleFile
	if file == "" {
		file = filepath.Join(b.TempDir(), "school.db")
	}
	x := &scaleSchool{now: time.Date(2016, 11, 25, 8, 0, 0, 0, time.UTC)}
	var err error
	if x.db, err = store.Open(context.Background(), file, store.Options{Now: func() time.Time { return x.now }}); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { x.db.Close() })
	end := x.now.AddDate(0, 0, scaleDays**scaleClasses)
	s := x.server(b)
	if link, err := s.School.FirstStart(context.Background()); err != nil {
		b.Fatal(err)
	} else if link != "" {
		x.fill(b, s, welcomed(b, s, link, "chief"))
	}
	x.now = end
	chief := &as{b, s, map[string]string{}}
	if w := chief.ask("POST", "/signin", url.Values{"login": {"chief"}, "passphrase": {goodPassphrase}, "to": {"/"}}); w.Code != http.StatusSeeOther {
		b.Fatal(w.Code, mainOf(w.Body.String()))
	}
	classes, err := x.db.Classes(context.Background())
	if err != nil || len(classes) != *scaleClasses {
		b.Fatalf("%d classes, %v", len(classes), err)
	}
	x.last = classes[0].ID
	return x, chief
}

func (x *scaleSchool) fill(b testing.TB, s *Server, chief *as) {
	b.Helper()
	ctx, me, school := context.Background(), chief.person(), s.School.School
	r := rand.New(rand.NewPCG(1, 1))
	must := func(err error) {
		b.Helper()
		if err != nil {
			b.Fatal(err)
		}
	}
	type load struct {
		name     string
		can      []string // deficiencies
		keys     map[string]string
		pictures [][]teach.DrillPicture
	}
	var loads []load
	for _, d := range demo.Rigs()[:scaleRigs] {
		_, saved, err := s.Keeper.Save(d.Name, "", d.Data)
		if must(err); !saved {
			b.Fatal(d.Name)
		}
		l := load{name: d.Name, keys: map[string]string{}}
		shelf, err := school.Shelves.Shelf(app.Catalogues)
		must(err)
		catalog, err := app.SchoolCatalogOf(shelf)
		must(err)
		survey, _ := inspect.Of(app.Solve(d.Data).Rig, catalog.Catalog)
		cover := inspect.Cover(survey, inspect.Suggest(survey))
		for i := range survey.Deficiencies {
			if len(cover.By[i]) > 0 {
				id := survey.Deficiencies[i].ID()
				l.can = append(l.can, id)
				l.keys[id] = survey.Deficiencies[i].Part.Kind.ID + "/" + survey.Deficiencies[i].Attribute.ID + "/" + survey.Deficiencies[i].State.ID
			}
		}
		for range 3 {
			w := chief.askMany("/drill", map[string][]string{"pictures": {fmt.Sprint(scalePlanted)}, "seconds": {"0"}}, "rig", []string{d.Name})
			id := w.Header().Get("Location")
			drill, _, err := x.db.Drill(ctx, id[strings.LastIndexByte(id, '/')+1:])
			must(err)
			l.pictures = append(l.pictures, drill.Pictures)
		}
		loads = append(loads, l)
	}
	hard := map[string]float64{}
	chance := func(key string, ability float64) bool {
		if _, ok := hard[key]; !ok {
			hard[key] = 1.2 * r.NormFloat64()
		}
		return r.Float64() < 1/(1+math.Exp(hard[key]-ability))
	}
	three, one, yes := 5, 1, true
	within := 20 * time.Minute
	for c := range *scaleClasses {
		x.now = x.now.AddDate(0, 0, scaleDays)
		l := loads[c%len(loads)]
		class, err := school.AddClass(ctx, me, teach.Class{Name: fmt.Sprintf("Course %03d", c+1)})
		must(err)
		var fresh []people.Person
		var groups []string
		for p := range scaleStudents {
			fresh = append(fresh, people.Person{ID: app.NewID(randomBytes{r}), Name: fmt.Sprintf("Student %03d of %03d", p+1, c+1)})
			groups = append(groups, fmt.Sprint(p/10+1))
		}
		must(x.db.Enrol(ctx, class, nil, fresh, groups, me.ID))
		lane, err := school.AddLane(ctx, me, class, teach.LaneSetup{
			Title: "Lane on " + l.name, Rig: l.name, Load: fmt.Sprint("Load ", c+1), Count: scalePlanted, Rule: teach.Rule{Found: &three, Within: &within, False: &one, FigureRight: &yes},
		})
		must(err)
		kept, err := x.db.Lane(ctx, lane)
		must(err)
		var versions []teach.LaneVersion
		for range scaleVersions {
			v := teach.LaneVersion{ID: app.NewID(randomBytes{r}), Rig: l.name, By: me.ID, Key: teach.Key{Format: teach.KeyFormat, Rig: kept.Setup.RigHash, Seed: "00"}}
			for _, i := range r.Perm(len(l.can))[:scalePlanted] {
				v.Key.Planted = append(v.Key.Planted, l.can[i])
			}
			versions = append(versions, v)
		}
		versions, err = x.db.AddVersions(ctx, lane, versions)
		must(err)
		var events []teach.RunEvent
		for p := range fresh {
			ability, v := r.NormFloat64(), versions[p%len(versions)]
			run, n := app.NewID(randomBytes{r}), int64(0)
			put := func(kind teach.CallKind, body teach.RunBody) {
				n++
				data, err := json.Marshal(body)
				must(err)
				events = append(events, teach.RunEvent{ID: app.NewID(randomBytes{r}), Run: run, Device: strings.Repeat("d", 26), N: n, Kind: kind, At: x.now, Body: data})
			}
			put(teach.RunStart, teach.RunBody{Version: v.ID, Student: fresh[p].ID})
			for k, id := range v.Key.Planted {
				if chance(l.keys[id], ability) {
					put(teach.CallFound, teach.RunBody{Deficiency: id, After: int64(30_000*(k+1) + r.IntN(20_000))})
				}
			}
			if r.IntN(4) == 0 {
				put(teach.CallFalse, teach.RunBody{After: 350_000})
			}
			put(teach.RunEnd, teach.RunBody{After: 600_000})
			x.drill(b, r, l.name, kept.Setup.RigHash, fresh[p].ID, l.pictures[p%len(l.pictures)], ability)
		}
		_, err = x.db.AddRunEvents(ctx, events, me.ID, nil, "2016-11-25")
		must(err)
	}
}

// drill is a drill of one student that is over.
func (x *scaleSchool) drill(b testing.TB, r *rand.Rand, name, version, student string, pictures []teach.DrillPicture, ability float64) {
	b.Helper()
	ctx := context.Background()
	d := teach.Drill{ID: app.NewID(randomBytes{r}), Person: student, Rig: name, RigVersion: version, Pictures: pictures}
	if err := x.db.AddDrill(ctx, d); err != nil {
		b.Fatal(err)
	}
	var answers []teach.DrillAnswer
	for i := range pictures {
		p := &pictures[i]
		a := teach.DrillAnswer{Drill: d.ID, N: i, Wrong: r.Float64() < .2, After: time.Duration(8*(i+1)) * time.Second, At: x.now}
		if p.Faulty() {
			a.Wrong = r.Float64() < 1/(1+math.Exp(-.5-ability))
		}
		if a.Wrong {
			a.Choice = p.State
		}
		answers = append(answers, a)
	}
	if _, err := x.db.AnswerDrill(ctx, d.ID, answers, nil); err != nil {
		b.Fatal(err)
	}
	if err := x.db.EndDrill(ctx, d.ID); err != nil {
		b.Fatal(err)
	}
}

// counted takes an answer and counts its bytes.
type countedAnswer struct {
	head  http.Header
	code  int
	bytes int64
}

func (c *countedAnswer) Header() http.Header  { return c.head }
func (c *countedAnswer) WriteHeader(code int) { c.code = code }
func (c *countedAnswer) Write(p []byte) (int, error) {
	c.bytes += int64(len(p))
	return len(p), nil
}

// heapPeak is by how much the heap grew at most while f ran, in bytes, dead
// objects that are not yet collected included.
func heapPeak(f func()) uint64 {
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	read := func() uint64 {
		metrics.Read(sample)
		return sample[0].Value.Uint64()
	}
	runtime.GC()
	before := read()
	var peak atomic.Uint64
	done, over := make(chan bool), make(chan bool)
	go func() {
		defer close(over)
		for {
			select {
			case <-done:
				return
			case <-time.After(2 * time.Millisecond):
				peak.Store(max(peak.Load(), read()))
			}
		}
	}()
	f()
	at := max(peak.Load(), read())
	close(done)
	<-over
	return max(at, before) - before
}

// usedTime is what this process has had of the processors so far. Where other
// programs want them too it says more than the clock.
func usedTime(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkTenYears measures every page of results of ten years of a large school:
// 200 classes, 20,000 students, 200,000 results on lanes and 200,000 answers in
// drills. First is with nothing remembered by the server, again with what the
// request before left.
func BenchmarkTenYears(b *testing.B) {
	x, chief := newScaleSchool(b)
	room, err := chief.s.School.ClassRoom(b.Context(), chief.person(), x.last)
	if err != nil {
		b.Fatal(err)
	}
	lanes, err := x.db.Lanes(b.Context(), x.last)
	if err != nil {
		b.Fatal(err)
	}
	versions, err := x.db.Versions(b.Context(), lanes[0].ID)
	if err != nil {
		b.Fatal(err)
	}
	class, student := "/classes/"+x.last, room.Students[0].Person.ID
	for _, page := range []struct{ name, target string }{
		{"school", "/statistics"},
		{"school, last year", "/statistics?from=" + x.now.AddDate(-1, 0, 0).Format(time.DateOnly)},
		{"school, for whoever builds the tests", "/statistics/models"},
		{"school, report PDF", "/statistics/report.pdf"},
		{"school, CSV", "/statistics/results.csv"},
		{"school, xAPI", "/statistics/statements.json"},
		{"class", class + "/statistics"},
		{"class, for whoever builds the tests", class + "/statistics/models"},
		{"class, report PDF", class + "/statistics/report.pdf"},
		{"class, CSV", class + "/statistics/results.csv"},
		{"class, xAPI", class + "/statistics/statements.json"},
		{"class, what its runs came to", class + "/results"},
		{"lane", "/lanes/" + lanes[0].ID},
		{"version", "/versions/" + versions[0].ID},
		{"student", class + "/students/" + student},
		{"student, result sheet PDF", class + "/students/" + student + "/results.pdf"},
	} {
		for _, when := range []string{"first", "again"} {
			b.Run(strings.ReplaceAll(page.name, ", ", "-")+"/"+when, func(b *testing.B) {
				b.ReportAllocs()
				var peak uint64
				var size int64
				var worked time.Duration
				for b.Loop() {
					b.StopTimer()
					if when == "first" {
						chief.s = x.server(b)
					}
					r := httptest.NewRequest("GET", page.target, nil)
					r.Host = "127.0.0.1:8086"
					for name, value := range chief.cookies {
						r.AddCookie(&http.Cookie{Name: name, Value: value})
					}
					w := &countedAnswer{head: http.Header{}, code: http.StatusOK}
					peak = max(peak, heapPeak(func() {
						before := usedTime(b)
						b.StartTimer()
						chief.s.Handler().ServeHTTP(w, r)
						b.StopTimer()
						worked += usedTime(b) - before
					}))
					if w.code != http.StatusOK {
						b.Fatal(page.target, w.code)
					}
					size = w.bytes
					b.StartTimer()
				}
				b.ReportMetric(worked.Seconds()*1000/float64(b.N), "cpu-ms")
				b.ReportMetric(float64(size)/1000, "kB")
				b.ReportMetric(float64(peak)/1e6, "MB-peak")
			})
		}
	}
}
