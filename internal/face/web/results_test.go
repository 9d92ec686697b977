package web

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

// person is who the browser's session belongs to.
func (b *as) person() *people.Person {
	b.t.Helper()
	r := httptest.NewRequest("GET", "/", nil)
	for name, value := range b.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	r, err := b.s.identify(r)
	if err != nil || personOf(r) == nil {
		b.t.Fatal("nobody is signed in", err)
	}
	return personOf(r)
}

// resultsClass is a class of so many students with one lane and two versions,
// each student graded once. It returns the class's id and its students' by name.
func resultsClass(t testing.TB, chief *as, students int) (class string, ids map[string]string) {
	t.Helper()
	return resultsClassOf(t, chief, rand.New(rand.NewPCG(5, 5)), "Autumn <course>", students, 6, 2)
}

// resultsClassOf is a class with so many students, deficiencies in a version,
// and versions.
func resultsClassOf(t testing.TB, chief *as, r *rand.Rand, name string, students, planted, plantings int) (class string, ids map[string]string) {
	t.Helper()
	ctx, me, school := context.Background(), chief.person(), chief.s.School.School
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	class, err := school.AddClass(ctx, me, teach.Class{Name: name, From: "2026-11-23", Until: "2026-11-27"})
	must(err)
	roster := "name,group\n"
	for i := range students {
		roster += fmt.Sprintf("Student %02d%s,%d\n", i, strings.TrimPrefix(name, "Autumn <course>"), i%2+1)
	}
	_, err = school.ImportRoster(ctx, me, class, []byte(roster))
	must(err)
	room, err := school.ClassRoom(ctx, me, class)
	must(err)
	ids = map[string]string{}
	for _, m := range room.Students {
		ids[m.Person.Name] = m.Person.ID
	}
	three, one, yes := 3, 1, true
	within := 20 * time.Minute
	lane, err := school.AddLane(ctx, me, class, teach.LaneSetup{
		Title: "=Crate", Rig: "crate", Load: "Crate 7", Count: planted, Attempts: &three, Rule: teach.Rule{Found: &three, Within: &within, False: &one, FigureRight: &yes},
	})
	must(err)
	versions, err := school.Plant(ctx, me, lane, app.PlantAsk{Versions: plantings, Used: true})
	must(err)
	if len(versions) != plantings {
		t.Fatalf("%d versions", len(versions))
	}
	var events []teach.RunEvent
	deliver := func() {
		t.Helper()
		out, err := school.DeliverRuns(ctx, me, events)
		must(err)
		for _, o := range out {
			must(o.Refused)
		}
		events = nil
	}
	for i, m := range room.Students {
		v := versions[i%plantings]
		n := int64(0)
		run := app.NewID(randomBytes{r})
		put := func(kind teach.CallKind, b teach.RunBody) {
			n++
			data, err := json.Marshal(b)
			must(err)
			events = append(events, teach.RunEvent{ID: app.NewID(randomBytes{r}), Run: run, Device: strings.Repeat("d", 26), N: n, Kind: kind, At: schoolClock, Body: data})
		}
		put(teach.RunStart, teach.RunBody{Version: v.ID, Student: m.Person.ID})
		for k, id := range v.Key.Planted {
			if r.Float64() < .45+.04*float64(i%12) {
				put(teach.CallFound, teach.RunBody{Deficiency: id, After: int64(30_000 * (k + 1))})
			}
		}
		if i%4 == 0 {
			put(teach.CallFalse, teach.RunBody{After: 50_000})
		}
		put(teach.RunEnd, teach.RunBody{After: 600_000})
		if len(events) > app.MostRunEvents/2 {
			deliver()
		}
	}
	deliver()
	return class, ids
}

type randomBytes struct{ r *rand.Rand }

func (b randomBytes) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(b.r.UintN(256))
	}
	return len(p), nil
}

func TestResults_OfAClassAndOfTheSchool(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	for _, target := range []string{"/statistics", "/statistics/models"} {
		page := chief.ask("GET", target, nil).Body.String()
		goodPage(t, target+" with nothing", page)
	}
	class, ids := resultsClass(t, chief, 12)
	at := "/classes/" + class + "/statistics"
	w := chief.ask("GET", at, nil)
	page := w.Body.String()
	goodPage(t, at, page)
	for _, want := range []string{"Teach again: ", "12 of 12 runs count, of 12 students", "Autumn &lt;course&gt;", ">INVENTED<", "No run was graded twice", "By checkpoint", "KR-20", "<svg", "too few to say", "none of them ranks people"} {
		if w.Code != http.StatusOK || !strings.Contains(page, want) {
			t.Errorf("the class's page (%d) does not say %q", w.Code, want)
		}
	}
	if len(page) > 100_000 {
		t.Errorf("the class's page has %d bytes", len(page))
	}
	for _, target := range []string{"/statistics", at + "/models", "/statistics/models", "/statistics?from=2026-11-25"} {
		w := chief.ask("GET", target, nil)
		if w.Code != http.StatusOK {
			t.Errorf("%s: %d", target, w.Code)
		}
		goodPage(t, target, w.Body.String())
	}
	if page := chief.ask("GET", at+"/models", nil).Body.String(); !strings.Contains(page, "at least 20 are needed") && !strings.Contains(page, "tie fewer than two") {
		t.Error("twelve students have difficulties")
	}
	if page := chief.ask("GET", "/statistics?from=2026-11-26", nil).Body.String(); !strings.Contains(page, "No run has been graded") {
		t.Error("runs from before the day count")
	}
	if w := chief.ask("GET", "/statistics?from=x", nil); w.Code != http.StatusBadRequest {
		t.Errorf("a day that is none: %d", w.Code)
	}
	for target, kind := range map[string]string{
		at + "/report.pdf": "application/pdf", "/statistics/report.pdf": "application/pdf", "/classes/" + class + "/students/" + ids["Student 03"] + "/results.pdf": "application/pdf",
	} {
		w := chief.ask("GET", target, nil)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != kind || !strings.HasPrefix(w.Body.String(), "%PDF") {
			t.Errorf("%s: %d %s", target, w.Code, w.Header().Get("Content-Type"))
		}
	}
	if w := chief.ask("GET", "/classes/"+class+"/students/nobody/results.pdf", nil); w.Code != http.StatusNotFound {
		t.Errorf("nobody's sheet: %d", w.Code)
	}
	// A student sees none of it.
	student := member(t, chief, "sam", people.Student)
	for _, target := range []string{"/statistics", at, at + "/models", at + "/report.pdf", at + "/results.csv", at + "/statements.json", "/statistics/results.csv"} {
		if w := student.ask("GET", target, nil); w.Code != http.StatusForbidden {
			t.Errorf("a student gets %s: %d", target, w.Code)
		}
	}
}

// The load on which most was missed is drawn, and not the one with most runs.
func TestResults_TheLoadsOnWhichSomethingWasMissed(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	if _, saved, err := s.Keeper.Save("bale", "", []byte(crate)); err != nil || !saved {
		t.Fatal(saved, err)
	}
	class, ids := resultsClass(t, chief, 4)
	ctx, me := t.Context(), chief.person()
	one, yes, within := 1, true, 20*time.Minute
	lane, err := s.School.AddLane(ctx, me, class, teach.LaneSetup{
		Title: "Bale", Rig: "bale", Load: "Bale 1", Count: 8, Attempts: &one, Rule: teach.Rule{Found: &one, Within: &within, False: &one, FigureRight: &yes},
	})
	if err != nil {
		t.Fatal(err)
	}
	versions, err := s.School.Plant(ctx, me, lane, app.PlantAsk{Versions: 1, Used: true})
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(5, 6))
	for _, id := range sortedKeys(ids) {
		run := app.NewID(randomBytes{r})
		events := []teach.RunEvent{entry(run, 1, teach.RunStart, 0, teach.RunBody{Version: versions[0].ID, Student: ids[id]})}
		for k, planted := range versions[0].Key.Planted {
			events = append(events, entry(run, k+2, teach.CallFound, time.Duration(k+1)*time.Second, teach.RunBody{Deficiency: planted}))
		}
		events = append(events, entry(run, len(events)+1, teach.RunEnd, time.Minute, teach.RunBody{}))
		out, err := s.School.DeliverRuns(ctx, me, events)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range out {
			if o.Refused != nil {
				t.Fatal(o.Refused)
			}
		}
	}
	page := chief.ask("GET", "/classes/"+class+"/statistics", nil).Body.String()
	if strings.Count(page, "Missed, on the load: ") != 1 || !strings.Contains(page, "Missed, on the load: crate") {
		t.Errorf("got %s", regexp.MustCompile("Missed, on the load[^<]*").FindAllString(page, -1))
	}
}

func TestResults_TableAndStatements(t *testing.T) {
	s, link := school(t)
	chief := welcomed(t, s, link, "chief")
	class, _ := resultsClass(t, chief, 12)
	at := "/classes/" + class + "/statistics"
	w := chief.ask("GET", at+"/results.csv", nil)
	rows, err := csv.NewReader(w.Body).ReadAll()
	if err != nil || len(rows) != 1+12*6 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	found := 0
	for _, r := range rows[1:] {
		if r[column["lane"]] != "'=Crate" { // a spreadsheet must not take it for a formula
			t.Fatalf("lane %q", r[column["lane"]])
		}
		if r[column["found"]] == "1" {
			found++
		}
		if strings.Count(r[column["deficiency"]], "/") != 2 || r[column["checkpoint"]] == "" || r[column["invented"]] != "true" {
			t.Errorf("row %v", r)
		}
	}
	if found < 20 || found > 65 {
		t.Errorf("%d of 72 found", found)
	}
	for _, named := range []bool{false, true} {
		target := at + "/statements.json"
		if named {
			target += "?names=yes"
		}
		w := chief.ask("GET", target, nil)
		if strings.Contains(w.Body.String(), "Student 0") != named {
			t.Errorf("%s: names are there or not", target)
		}
		if raw := statementsHold(t, w.Body.Bytes(), 12, 72); raw != found {
			t.Errorf("scores of %d in all, and %d found in the table", raw, found)
		}
		if again := chief.ask("GET", target, nil); again.Body.String() != w.Body.String() {
			t.Error("the same results are other statements the next time")
		}
	}
}

// statementsHold checks statements against IEEE 9274.1.1 (xAPI 2.0) as far as
// ours go: ids, required parts, languages, durations and scores. It returns the
// sum of the scores.
func statementsHold(t *testing.T, data []byte, runs, answers int) (raw int) {
	t.Helper()
	var list []struct {
		ID    string
		Actor struct {
			ObjectType string
			Account    struct{ HomePage, Name string }
		}
		Verb struct {
			ID      string
			Display map[string]string
		}
		Object struct {
			ObjectType, ID string
			Definition     struct {
				Name map[string]string
				Type string
			}
		}
		Result struct {
			Score *struct {
				Scaled        float64
				Raw, Min, Max int
			}
			Success  *bool
			Duration string
		}
		Context struct {
			Registration      string
			ContextActivities map[string][]struct{ ID string }
		}
		Timestamp, Version string
	}
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	id := regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
	duration := regexp.MustCompile(`^PT\d+\.\d\dS$`)
	seen := map[string]bool{}
	count := map[string]int{}
	for _, x := range list {
		if !id.MatchString(x.ID) || seen[x.ID] || !id.MatchString(x.Context.Registration) {
			t.Errorf("id %q, registration %q", x.ID, x.Context.Registration)
		}
		seen[x.ID] = true
		count[x.Verb.ID[strings.LastIndexByte(x.Verb.ID, '/')+1:]]++
		if x.Actor.ObjectType != "Agent" || !strings.HasPrefix(x.Actor.Account.HomePage, "http") || x.Actor.Account.Name == "" {
			t.Errorf("actor %+v", x.Actor)
		}
		if x.Verb.Display["en"] == "" || x.Object.ObjectType != "Activity" || !strings.HasPrefix(x.Object.ID, "http") || !strings.HasPrefix(x.Object.Definition.Name["en"], "INVENTED: ") || x.Object.Definition.Type == "" {
			t.Errorf("statement %+v", x)
		}
		if x.Result.Success == nil || x.Result.Duration != "" && !duration.MatchString(x.Result.Duration) || x.Version != "2.0.0" {
			t.Errorf("result %+v", x.Result)
		}
		if x.Result.Score != nil {
			raw += x.Result.Score.Raw
		}
		if s := x.Result.Score; s != nil && (s.Raw < s.Min || s.Raw > s.Max || s.Scaled < 0 || s.Scaled > 1) {
			t.Errorf("score %+v", s)
		}
		if _, err := time.Parse(time.RFC3339, x.Timestamp); err != nil || len(x.Context.ContextActivities["parent"]) != 1 || len(x.Context.ContextActivities["grouping"]) != 1 {
			t.Errorf("statement %+v", x)
		}
	}
	if count["completed"] != runs || count["answered"] != answers || len(count) != 2 {
		t.Errorf("verbs %v", count)
	}
	return raw
}
