package web

import (
	"bytes"
	"encoding/json"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

// taught is a school with a class of four in two groups and one lane on the crate.
type taught struct {
	*testing.T
	s                          *Server
	chief, instructor, student *as
	otto, ivo                  *as
	class, lane                string
	students                   []string // ids, by name
	as                         string   // the instructor signs in as; "ina" for ""
	opened                     *app.LaneDesk
}

const roster = "name;group;contact\nAda Fell;1;\nBen Gill;1;\nCora Holm;2;cora@example\nDan Ives;2;\n"

var (
	classPath   = regexp.MustCompile(`^/classes/([a-z2-7]{26})$`)
	lanePath    = regexp.MustCompile(`^/lanes/([a-z2-7]{26})$`)
	studentLink = regexp.MustCompile(`/students/([a-z2-7]{26})">`)
	versionLink = regexp.MustCompile(`/versions/([a-z2-7]{26})"`)
)

// to posts a form and returns where it leads.
func (b *as) to(target string, form url.Values) string {
	b.t.Helper()
	w := b.ask("POST", target, form)
	if w.Code != http.StatusSeeOther {
		b.t.Fatalf("%s %v: %d %s", target, form, w.Code, mainOf(w.Body.String()))
	}
	return w.Header().Get("Location")
}

// page gets a page that is there.
func (b *as) page(target string) string {
	b.t.Helper()
	w := b.ask("GET", target, nil)
	if w.Code != http.StatusOK {
		b.t.Fatalf("%s: %d %s", target, w.Code, mainOf(w.Body.String()))
	}
	if strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
		goodPage(b.t.(*testing.T), target, w.Body.String())
	}
	return w.Body.String()
}

// askJSON posts what a tablet sends.
func (b *as) askJSON(target string, body []byte) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest("POST", target, bytes.NewReader(body))
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

var tags = regexp.MustCompile(`<[^>]*>|\s+`)

func mainOf(page string) string {
	_, page, _ = strings.Cut(page, "<main")
	return tags.ReplaceAllString(page, " ")
}

// wholeClass is a school with a class made once, of which each test gets a copy.
var wholeClass struct {
	sync.Mutex
	database []byte
	x        *taught
}

// teaching is a school with a class; ina and otto are instructors, ivo is an
// inspector.
func teaching(t *testing.T) *taught {
	t.Helper()
	now := func() time.Time { return schoolClock }
	wholeClass.Lock()
	defer wholeClass.Unlock()
	if wholeClass.x == nil {
		path := filepath.Join(t.TempDir(), "whole.db")
		s, db := schoolServer(t, path, now)
		if _, saved, err := s.Keeper.Save("crate", "", []byte(crate)); err != nil || !saved {
			t.Fatal(saved, err)
		}
		link, err := s.School.FirstStart(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		x := &taught{T: t, s: s, chief: welcomed(t, s, link, "chief")}
		x.instructor, x.otto, x.ivo = member(t, x.chief, "ina", people.Instructor), member(t, x.chief, "otto", people.Instructor), member(t, x.chief, "ivo", people.Inspector)
		x.set(t)
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		if wholeClass.database, err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
		wholeClass.x = x
	}
	path := filepath.Join(t.TempDir(), "school.db")
	if err := os.WriteFile(path, wholeClass.database, 0o600); err != nil {
		t.Fatal(err)
	}
	s, _ := schoolServer(t, path, now)
	w := wholeClass.x
	here := func(b *as) *as { return &as{t, s, maps.Clone(b.cookies)} }
	return &taught{
		T: t, s: s, chief: here(w.chief), instructor: here(w.instructor), otto: here(w.otto), ivo: here(w.ivo), class: w.class, lane: w.lane, students: slices.Clone(w.students),
	}
}

func (x *taught) set(t *testing.T) *taught {
	m := classPath.FindStringSubmatch(x.instructor.to("/classes", url.Values{"name": {"Spring class"}, "from": {"2026-11-23"}, "until": {"2026-11-27"}}))
	if m == nil {
		t.Fatal("no class")
	}
	x.class = m[1]
	if w := x.instructor.ask("POST", "/classes/"+x.class+"/roster", url.Values{"roster": {roster}, "do": {"take"}}); w.Code != 200 {
		t.Fatalf("the roster: %d %s", w.Code, mainOf(w.Body.String()))
	}
	for _, m := range studentLink.FindAllStringSubmatch(x.instructor.page("/classes/"+x.class), -1) {
		x.students = append(x.students, m[1])
	}
	if len(x.students) != 4 {
		t.Fatalf("%d students", len(x.students))
	}
	m = lanePath.FindStringSubmatch(x.instructor.to("/classes/"+x.class+"/lanes", laneFields()))
	if m == nil {
		t.Fatal("no lane")
	}
	x.lane = m[1]
	return x
}

func laneFields() url.Values {
	return url.Values{
		"title": {"Crate lane"}, "rig": {"crate"}, "load": {"Crate 7"}, "kind": {"real"}, "tag": {"12"}, "count": {"4"},
		"found": {"3"}, "minutes": {"10"}, "false": {"1"}, "figure": {"yes"}, "attempts": {"2"}, "takes": {"30"}, "reset": {"5"},
	}
}

// plant makes one version and returns its id.
func (x *taught) plant(form url.Values) string {
	x.Helper()
	x.instructor.to("/lanes/"+x.lane, form)
	all := versionLink.FindAllStringSubmatch(x.instructor.page("/lanes/"+x.lane), -1)
	if len(all) == 0 {
		x.Fatal("no version")
	}
	return all[len(all)-1][1]
}

func one() url.Values { return url.Values{"do": {"plant"}, "versions": {"1"}} }

// planted is what a version's key says.
func (x *taught) planted(version string) []string {
	x.Helper()
	login := x.as
	if login == "" {
		login = "ina"
	}
	p := someone(x.T, x.s, login)
	d, err := x.s.School.VersionDesk(x.Context(), p, version, people.Teach)
	if err != nil {
		x.Fatal(err)
	}
	return d.Version.Key.Planted
}

// someone is somebody of the school by what they sign in with.
func someone(t *testing.T, s *Server, login string) *people.Person {
	t.Helper()
	chief := &people.Person{ID: "x", Roles: []people.Role{people.Chief}}
	all, err := s.School.People.All(t.Context(), chief)
	if err != nil {
		t.Fatal(err)
	}
	for i := range all {
		if all[i].Login == login {
			return &all[i]
		}
	}
	t.Fatalf("nobody signs in as %s", login)
	return nil
}

// entry is one entry of a run as a tablet makes it.
func entry(run string, n int, kind teach.CallKind, after time.Duration, b teach.RunBody) teach.RunEvent {
	b.After = after.Milliseconds()
	body, err := json.Marshal(b)
	if err != nil {
		panic(err)
	}
	return teach.RunEvent{
		ID: made("e", n) + run, Run: run, Device: made("device", 1), N: int64(n), Kind: kind, At: schoolClock.Add(after), Body: body,
	}
}

// made numbers ids as a device would draw them.
func made(kind string, n int) string {
	const nought = "00000000000000000000"
	digits := string(rune('0'+n/10%10)) + string(rune('0'+n%10))
	return kind + nought + digits
}

// deliver posts entries and returns the answer.
func (b *as) deliver(version string, events []teach.RunEvent) (taken []takenRun, results []toldResult) {
	b.t.Helper()
	body, err := json.Marshal(map[string]any{"events": events})
	if err != nil {
		b.t.Fatal(err)
	}
	w := b.askJSON("/grade/"+version+"/events", body)
	var got struct {
		Taken   []takenRun   `json:"taken"`
		Results []toldResult `json:"results"`
	}
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || w.Code != http.StatusOK {
		b.t.Fatalf("%d %v %.300s", w.Code, err, w.Body)
	}
	return got.Taken, got.Results
}

// aRun is a run that finds so many of a version, with some false calls.
func (x *taught) aRun(run, version, student string, found, wrong int) []teach.RunEvent {
	ids := x.planted(version)
	n := 1
	out := []teach.RunEvent{entry(run, n, teach.RunStart, 0, teach.RunBody{Version: version, Student: student})}
	add := func(kind teach.CallKind, b teach.RunBody) {
		n++
		out = append(out, entry(run, n, kind, time.Duration(n)*20*time.Second, b))
	}
	for i := range found {
		add(teach.CallFound, teach.RunBody{Deficiency: ids[i]})
	}
	for range wrong {
		add(teach.CallFalse, teach.RunBody{})
	}
	add(teach.RunEnd, teach.RunBody{})
	return out
}

func TestClass_RosterIsLookedThroughFirst(t *testing.T) {
	x := teaching(t)
	at := "/classes/" + x.class + "/roster"
	bad := "name,group\nEve Jarl,3\n,3\nEve Jarl,4\nPerson ina,1\n"
	w := x.instructor.ask("POST", at, url.Values{"roster": {bad}})
	page := w.Body.String()
	goodPage(t, at, page)
	for _, want := range []string{"Line 3", "the name is missing", "Line 4", "stands in line 2 already", "Line 5", "is no student", "a new student"} {
		if !strings.Contains(page, want) {
			t.Errorf("the preview lacks %q: %s", want, mainOf(page))
		}
	}
	if w.Code != http.StatusUnprocessableEntity || strings.Contains(page, `value="take"`) {
		t.Errorf("a roster with errors may be taken in: %d", w.Code)
	}
	if w := x.instructor.ask("POST", at, url.Values{"roster": {bad}, "do": {"take"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("it was taken in: %d", w.Code)
	}
	if page := x.instructor.page("/classes/" + x.class); strings.Contains(page, "Eve Jarl") {
		t.Error("half a roster was taken in")
	}
	// The same once more moves and doubles nobody.
	again := "name,group\nada fell,2\nBen Gill,1\n"
	if page := x.instructor.ask("POST", at, url.Values{"roster": {again}}).Body.String(); !strings.Contains(page, "moves from group 1 to 2") || !strings.Contains(page, "is in the class already") {
		t.Errorf("got %s", mainOf(page))
	}
	x.instructor.ask("POST", at, url.Values{"roster": {again}, "do": {"take"}})
	if n := len(studentLink.FindAllString(x.instructor.page("/classes/"+x.class), -1)); n != 4 {
		t.Errorf("%d students", n)
	}
}

func TestClass_AttendanceNotesHistoryAndRemoval(t *testing.T) {
	x := teaching(t)
	at := "/classes/" + x.class
	who := x.students[0]
	form := url.Values{"do": {"students"}, "day": {"2026-11-24"}, "group-" + who: {"2"}, "there-" + who: {"late"}}
	if w := x.instructor.ask("POST", at, form); w.Code != 200 {
		t.Fatal(mainOf(w.Body.String()))
	}
	student := at + "/students/" + who
	for _, f := range []url.Values{{"do": {"note"}, "text": {"Needs gloves in size 11"}}, {"do": {"retrain"}, "text": {"Counting links"}}} {
		if w := x.instructor.ask("POST", student, f); w.Code != 200 {
			t.Fatal(mainOf(w.Body.String()))
		}
	}
	page := x.instructor.page(student)
	for _, want := range []string{"Ada Fell", "group 2", "late", "size 11", "Counting links"} {
		if !strings.Contains(page, want) {
			t.Errorf("the history lacks %q", want)
		}
	}
	var data struct {
		Format, Name string
		Notes        []struct{ Text string }
		Attendance   []struct{ State string }
	}
	if err := json.Unmarshal([]byte(x.instructor.page(student+"/data.json")), &data); err != nil || data.Format != "hangtrue.person-data/1" || data.Name != "Ada Fell" || len(data.Notes) != 1 || len(data.Attendance) != 1 {
		t.Errorf("got %+v, %v", data, err)
	}
	// A result stays when the name goes; the note and who was there do not.
	v := x.plant(one())
	x.instructor.deliver(v, x.aRun(made("run", 1), v, who, 4, 0))
	if w := x.instructor.ask("POST", student, url.Values{"do": {"remove"}}); w.Code != http.StatusForbidden {
		t.Errorf("an instructor removes a name: %d", w.Code)
	}
	if w := x.chief.ask("POST", "/people/"+who, url.Values{"do": {"remove"}}); w.Code != 200 {
		t.Fatal(mainOf(w.Body.String()))
	}
	page = x.instructor.page(student)
	for _, gone := range []string{"Ada Fell", "size 11", "late"} {
		if strings.Contains(page, gone) {
			t.Errorf("%q stays", gone)
		}
	}
	if !strings.Contains(page, "met the rule") || !strings.Contains(x.instructor.page(at+"/results"), "person "+who[:8]) {
		t.Error("the result is gone")
	}
}

func TestLane_NothingIsGradedByAnUnfinishedRule(t *testing.T) {
	x := teaching(t)
	form := laneFields()
	form.Set("false", "")
	form.Set("title", "Half a rule")
	x.lane = lanePath.FindStringSubmatch(x.instructor.to("/classes/"+x.class+"/lanes", form))[1]
	v := x.plant(one())
	if page := x.instructor.page("/grade/" + v); !strings.Contains(page, "how many false calls are allowed") {
		t.Error("the page does not say what is missing")
	}
	_, results := x.instructor.deliver(v, x.aRun(made("run", 1), v, x.students[0], 4, 0))
	if len(results) != 1 || !strings.HasPrefix(results[0].Outcome, "not graded") {
		t.Errorf("got %+v", results)
	}
	// Not even by changing it afterwards.
	form.Set("do", "setup")
	form.Set("false", "3")
	if w := x.instructor.ask("POST", "/lanes/"+x.lane, form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("the rule changes after a run: %d", w.Code)
	}
}

func TestLane_PlantedByHandAndByTheProgram(t *testing.T) {
	x := teaching(t)
	v1 := x.plant(url.Values{"do": {"plant"}, "versions": {"3"}})
	page := x.instructor.page("/lanes/" + x.lane)
	if n := len(versionLink.FindAllString(page, -1)); n != 3 || !strings.Contains(page, "3 versions: whether they are equally hard is unknown") {
		t.Errorf("%d versions: %s", n, mainOf(page))
	}
	ids := x.planted(v1)
	// By hand: one on one part twice is refused, what is plantable is taken.
	w := x.instructor.askMany("/lanes/"+x.lane, url.Values{"do": {"hand"}}, "item", []string{ids[0], ids[1], ids[2], ids[2]})
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("twice the same: %d", w.Code)
	}
	if page := w.Body.String(); strings.Count(page, " checked>") != 3 || !strings.Contains(page, "3 of 4 chosen") {
		t.Errorf("what was chosen is gone: %s", mainOf(page))
	}
	hand := x.instructor.page("/lanes/" + x.lane + "/hand?" + url.Values{"item": ids, "at": {"5"}}.Encode())
	if strings.Count(hand, " checked>") != 4 || !strings.Contains(hand, "4 of 4 chosen") {
		t.Errorf("what is chosen does not go along: %s", mainOf(hand))
	}
	w = x.instructor.askMany("/lanes/"+x.lane, url.Values{"do": {"hand"}}, "item", ids)
	if w.Code != http.StatusSeeOther {
		t.Errorf("by hand: %d %s", w.Code, mainOf(w.Body.String()))
	}
	for _, paper := range []string{"card", "put-back"} {
		w := x.instructor.ask("GET", "/versions/"+v1+"/paper/"+paper, nil)
		if w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF") {
			t.Errorf("%s: %d", paper, w.Code)
		}
	}
	if w := x.instructor.ask("GET", "/versions/"+v1+"/paper/key", nil); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("the key is printed before it was shown: %d", w.Code)
	}
}

func TestKey_CommittedBeforeAndShownUnchangedAfter(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	p := someone(t, x.s, "ina")
	d, err := x.s.School.VersionDesk(t.Context(), p, v, people.Teach)
	if err != nil {
		t.Fatal(err)
	}
	e, _, err := x.s.School.Record(t.Context(), p, d.Version.Entry)
	if err != nil || e.Kind != "key-commitment" || !strings.Contains(string(e.Body), string(d.Version.Commitment)) {
		t.Fatalf("record %+v, %v", e, err)
	}
	for _, id := range d.Version.Key.Planted {
		if strings.Contains(string(e.Body), id) {
			t.Errorf("the log tells that %s is planted", id)
		}
	}
	if len(d.Version.Key.Seed) != 32 {
		t.Errorf("a seed of %d hexadecimal digits", len(d.Version.Key.Seed))
	}
	if page := x.instructor.page("/versions/" + v); strings.Contains(page, d.Version.Key.Seed) {
		t.Error("the seed is shown before the test")
	}
	if w := x.instructor.ask("POST", "/versions/"+v, url.Values{"do": {"key"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("shown before the test: %d", w.Code)
	}
	x.instructor.deliver(v, x.aRun(made("run", 1), v, x.students[0], 4, 0))
	if w := x.instructor.ask("POST", "/versions/"+v, url.Values{"do": {"key"}}); w.Code != 200 || !strings.Contains(w.Body.String(), d.Version.Key.Seed) {
		t.Errorf("not shown: %d", w.Code)
	}
	if err := d.Version.Commitment.Open(d.Version.Secret, d.Version.Key); err != nil {
		t.Error(err)
	}
	if w := x.instructor.ask("GET", "/versions/"+v+"/paper/key", nil); w.Code != 200 {
		t.Errorf("the key sheet: %d", w.Code)
	}
	if _, err := x.s.School.VerifyLog(t.Context(), p); err != nil {
		t.Error(err)
	}
}

func TestGrade_ResultAtOnceAndOnce(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	for i, c := range []struct {
		found, wrong int
		want         string
	}{{3, 1, "met the rule"}, {2, 0, "did not meet the rule"}, {4, 2, "did not meet the rule"}} {
		events := x.aRun(made("run", i), v, x.students[i], c.found, c.wrong)
		// In two parts, and the second part twice.
		x.instructor.deliver(v, events[:2])
		taken, results := x.instructor.deliver(v, events[2:])
		if len(results) != 1 || results[0].Outcome != c.want || len(taken) != len(events)-2 {
			t.Errorf("%d found, %d false: %+v, %+v", c.found, c.wrong, taken, results)
		}
		taken, results = x.instructor.deliver(v, events)
		if len(taken) != len(events) || taken[0].Refused != "" || len(results) != 1 || results[0].Outcome != c.want {
			t.Errorf("again: %+v, %+v", taken, results)
		}
		run := x.instructor.page("/runs/" + made("run", i))
		if strings.Contains(run, "Graded again") || !strings.Contains(run, c.want) {
			t.Errorf("the run says %s", mainOf(run))
		}
	}
	page := x.instructor.page("/classes/" + x.class + "/results")
	if strings.Count(page, "<b>met the rule</b>") != 1 || strings.Count(page, "<b>did not meet the rule</b>") != 2 {
		t.Errorf("results: %s", mainOf(page))
	}
	for _, bad := range []string{"passed", "failed", "fit to"} {
		if strings.Contains(strings.ToLower(page), bad) {
			t.Errorf("the results say %q", bad)
		}
	}
	if w := x.instructor.ask("GET", "/classes/"+x.class+"/students/"+x.students[0]+"/results.pdf", nil); w.Code != 200 {
		t.Errorf("result sheet: %d", w.Code)
	}
}

func TestGrade_RetestsByTheRules(t *testing.T) {
	x := teaching(t)
	v1, who := x.plant(one()), x.students[0]
	against := func(version string) string {
		d, err := x.s.School.GradeDesk(t.Context(), someone(t, x.s, "ina"), version)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(d.Against[who], "; ")
	}
	if got := against(v1); got != "" {
		t.Errorf("against a first run: %s", got)
	}
	x.instructor.deliver(v1, x.aRun(made("run", 1), v1, who, 1, 0))
	if got := against(v1); !strings.Contains(got, "no retraining") || !strings.Contains(got, "has had this version") {
		t.Errorf("against the same at once: %s", got)
	}
	v2 := x.plant(one())
	// Started all the same it is taken, and says so.
	x.instructor.deliver(v2, x.aRun(made("run", 2), v2, who, 2, 0))
	if page := x.instructor.page("/runs/" + made("run", 2)); !strings.Contains(page, "no retraining is recorded") {
		t.Errorf("got %s", mainOf(page))
	}
	if got := against(v2); !strings.Contains(got, "has had 2 of 2 attempts") {
		t.Errorf("against a third: %s", got)
	}
	page := x.instructor.page("/classes/" + x.class + "/results")
	if !strings.Contains(page, "attempt 2") || strings.Count(page, "Not as the rules say") != 1 {
		t.Errorf("got %s", mainOf(page))
	}
}

func TestGrade_TrueAndNotPlantedStopsTheLane(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	x.instructor.deliver(v, x.aRun(made("run", 1), v, x.students[0], 3, 0))
	run := made("run", 2)
	events := []teach.RunEvent{
		entry(run, 1, teach.RunStart, 0, teach.RunBody{Version: v, Student: x.students[1]}),
		entry(run, 2, teach.CallTrue, time.Minute, teach.RunBody{Text: "a shackle pin has no mousing"}),
	}
	x.instructor.deliver(v, events)
	other := x.otto
	if page := other.page("/grade/" + v); !strings.Contains(page, "The lane is stopped") || !strings.Contains(page, "no mousing") {
		t.Errorf("another grader sees %s", mainOf(page))
	}
	page := x.instructor.page("/runs/" + run)
	if !strings.Contains(page, "/runs/"+made("run", 1)) || !strings.Contains(page, "not looked at yet") {
		t.Errorf("the earlier run is not listed: %s", mainOf(page))
	}
	x.instructor.ask("POST", "/runs/"+made("run", 1), url.Values{"do": {"review"}, "text": {"nothing of it was called"}})
	if page := x.instructor.page("/runs/" + run); strings.Contains(page, "not looked at yet") {
		t.Error("the review is not noted")
	}
	ids := x.planted(v)
	more := []teach.RunEvent{
		entry(run, 3, teach.CallPut, time.Minute, teach.RunBody{Text: "moused"}),
		entry(run, 4, teach.CallFound, 2*time.Minute, teach.RunBody{Deficiency: ids[0]}),
		entry(run, 5, teach.RunEnd, 3*time.Minute, teach.RunBody{}),
	}
	_, results := x.instructor.deliver(v, more)
	if len(results) != 1 || results[0].Outcome != "did not meet the rule" || !strings.Contains(results[0].Numbers, "0 false calls") {
		t.Errorf("got %+v", results)
	}
	if page := other.page("/grade/" + v); strings.Contains(page, "The lane is stopped") {
		t.Error("still stopped")
	}
}

// What was found unplanted can be settled after the end; then the run has a result.
func TestGrade_SettledAfterTheEnd(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	run := made("run", 1)
	_, results := x.instructor.deliver(v, []teach.RunEvent{
		entry(run, 1, teach.RunStart, 0, teach.RunBody{Version: v, Student: x.students[0]}),
		entry(run, 2, teach.CallTrue, time.Minute, teach.RunBody{}),
		entry(run, 3, teach.RunEnd, 2*time.Minute, teach.RunBody{}),
	})
	if len(results) != 1 || !strings.HasPrefix(results[0].Outcome, "stopped") {
		t.Errorf("got %+v", results)
	}
	form := url.Values{"do": {"settled"}, "run": {run}, "back": {"run"}, "remark": {"moused"}}
	if page := x.otto.page("/runs/" + run); strings.Contains(page, `value="settled"`) || !strings.Contains(page, "settles it") {
		t.Error("another grader may settle it")
	}
	if w := x.otto.ask("POST", "/grade/"+v, form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("another grader settles it: %d", w.Code)
	}
	if to := x.instructor.to("/grade/"+v, form); to != "/runs/"+run {
		t.Error(to)
	}
	page := x.instructor.page("/runs/" + run)
	if !strings.Contains(page, "Graded again: a fault that nobody planted was settled") || !strings.Contains(page, `<p class="grade-outcome">did not meet the rule</p>`) {
		t.Errorf("got %s", mainOf(page))
	}
}

func TestGrade_AVoidedItemGradesAgainAndTheFirstStays(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	x.instructor.deliver(v, x.aRun(made("run", 1), v, x.students[0], 2, 0))
	ids := x.planted(v)
	// Of four, two that were missed are voided: three to find become two.
	for _, id := range ids[2:] {
		if w := x.instructor.ask("POST", "/versions/"+v, url.Values{"do": {"void"}, "item": {id}, "text": {"it fell off"}}); w.Code != 200 {
			t.Fatal(mainOf(w.Body.String()))
		}
	}
	page := x.instructor.page("/runs/" + made("run", 1))
	if !strings.Contains(page, "did not meet the rule") || !strings.Contains(page, `<p class="grade-outcome">met the rule</p>`) || strings.Count(page, "Graded again") != 2 {
		t.Errorf("got %s", mainOf(page))
	}
	x.instructor.ask("POST", "/runs/"+made("run", 1), url.Values{"do": {"appeal"}, "text": {"the light was bad"}})
	if page := x.instructor.page("/runs/" + made("run", 1)); !strings.Contains(page, "the light was bad") {
		t.Error("the appeal is not recorded")
	}
}

func TestGrade_ASecondGraderUnseen(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	x.instructor.deliver(v, x.aRun(made("run", 1), v, x.students[0], 3, 0))
	other := x.otto
	events := x.aRun(made("run", 2), v, x.students[0], 2, 0)
	var b teach.RunBody
	if err := json.Unmarshal(events[0].Body, &b); err != nil {
		t.Fatal(err)
	}
	b.Second = true
	events[0] = entry(made("run", 2), 1, teach.RunStart, 0, b)
	other.deliver(v, events[:2])
	if page := x.instructor.page("/grade/" + v); strings.Contains(page, made("run", 2)) {
		t.Error("the first grader sees the second's run")
	}
	if page := other.page("/grade/" + v); strings.Contains(page, made("run", 1)) {
		t.Error("the second grader sees the first's run")
	}
	other.deliver(v, events[2:])
	page := x.instructor.page("/classes/" + x.class + "/results")
	if !strings.Contains(page, "Graded a second time, unseen: 1 run; 1 can be held") || !strings.Contains(page, "Over 4 items the two agree in 75 %") || strings.Count(page, "<tr>") != 2 {
		t.Errorf("got %s", mainOf(page))
	}
	// And it is no attempt.
	d, err := x.s.School.GradeDesk(t.Context(), someone(t, x.s, "ina"), v)
	if err != nil || d.Had[x.students[0]] != 1 {
		t.Errorf("%d attempts, %v", d.Had[x.students[0]], err)
	}
}

func TestGrade_WithoutAScript(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	at := "/grade/" + v
	x.instructor.to(at, url.Values{"do": {"start"}, "student": {x.students[0]}})
	run := regexp.MustCompile(`name="run" value="([a-z2-7]{26})"`).FindStringSubmatch(x.instructor.page(at))
	if run == nil {
		t.Fatal("no run is under way")
	}
	step := func(what string) {
		t.Helper()
		x.instructor.to(at, url.Values{"do": {what}, "run": {run[1]}})
	}
	ids := x.planted(v)
	for _, id := range ids[:3] {
		step("found " + id)
	}
	step("false")
	step("false")
	step("undo")
	if to := x.instructor.to(at, url.Values{"do": {"end"}, "run": {run[1]}}); to != "/runs/"+run[1] {
		t.Fatal(to)
	}
	if page := x.instructor.page("/runs/" + run[1]); !strings.Contains(page, "met the rule") || !strings.Contains(page, "1 false call,") {
		t.Errorf("got %s", mainOf(page))
	}
	// A safety violation ends a run.
	x.instructor.to(at, url.Values{"do": {"start"}, "student": {x.students[1]}})
	run = regexp.MustCompile(`name="run" value="([a-z2-7]{26})"`).FindStringSubmatch(x.instructor.page(at))
	x.instructor.to(at, url.Values{"do": {"unsafe"}, "run": {run[1]}, "remark": {"under the load"}})
	if page := x.instructor.page("/runs/" + run[1]); !strings.Contains(page, "ended by a safety violation") || !strings.Contains(page, "under the load") {
		t.Errorf("got %s", mainOf(page))
	}
}

func TestRotation_PlanTableAndBoard(t *testing.T) {
	x := teaching(t)
	at := "/classes/" + x.class
	form := laneFields()
	form.Set("title", "Second lane")
	form.Set("load", "Crate 8")
	form.Set("tag", "13")
	x.instructor.to(at+"/lanes", form)
	if w := x.instructor.ask("POST", at+"/rotation", url.Values{"day": {"2026-11-25"}, "start": {"09:45"}}); w.Code != 200 {
		t.Fatal(mainOf(w.Body.String()))
	}
	page := x.instructor.page(at + "/rotation")
	if strings.Count(page, `<th scope="row">`) != 4 || !strings.Contains(page, "09:45") {
		t.Errorf("got %s", mainOf(page))
	}
	if w := x.instructor.ask("GET", at+"/rotation.pdf", nil); w.Code != 200 {
		t.Errorf("the table: %d", w.Code)
	}
	board := x.instructor.page(at + "/board")
	if strings.Count(board, "<em>now</em>") != 2 || !strings.Contains(board, "<em>next</em>") {
		t.Errorf("at 10:00 the board says %s", mainOf(board))
	}
}

func TestRotation_EveryStudentHasTheWholeTime(t *testing.T) {
	x := teaching(t)
	at := "/classes/" + x.class
	if page := x.instructor.page(at + "/rotation"); !strings.Contains(page, `value="2026-11-26"`) {
		t.Errorf("the day begins as %s", mainOf(page))
	}
	// 2 students of 10 min each and 1 min between: never 15 min for both.
	form := laneFields()
	for field, value := range map[string]string{"title": "Long lane", "load": "Crate 8", "tag": "13", "takes": "15", "change": "1"} {
		form.Set(field, value)
	}
	x.instructor.to(at+"/lanes", form)
	x.pictureLane(func(form url.Values) { form.Set("load", "Pictures"); form.Set("takes", ""); form.Set("reset", "") })
	if w := x.instructor.ask("POST", at+"/rotation", url.Values{"day": {"2026-11-24"}, "start": {"08:00"}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(strings.ToLower(w.Body.String()), "that day is over") {
		t.Errorf("a day that is over: %d %s", w.Code, mainOf(w.Body.String()))
	}
	w := x.instructor.ask("POST", at+"/rotation", url.Values{"day": {"2026-11-25"}, "start": {"08:00"}})
	if w.Code != http.StatusOK || !strings.Contains(mainOf(w.Body.String()), "It begins at 08:00 today, and it is 10:00 now.") {
		t.Errorf("%d %s", w.Code, mainOf(w.Body.String()))
	}
	p, err := x.s.School.Rotation(t.Context(), x.instructor.person(), x.class)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, slot := range p.Slots {
		switch want := map[string]int{"Long lane": 22, "Crate lane": 30}[slot.Title]; {
		case want == 0:
			t.Errorf("%s is in the plan", slot.Title)
		case slot.To-slot.From != want:
			t.Errorf("%s: %d min, want %d", slot.Title, slot.To-slot.From, want)
		}
		n++
	}
	if n != 4 {
		t.Errorf("%d slots", n)
	}
	page := x.instructor.page(at + "/rotation")
	for _, want := range []string{"22 min for a group: 2 students × 10:00 each and 1 min to the next; 5 min to put back", "30 min for a group: 2 students × 10:00 each, and 30 min at least", "left out of the plan"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q: %s", want, mainOf(page))
		}
	}
}

func TestPutBack_TwoPeopleThenAFreshInspection(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	ids := x.planted(v)
	at := "/versions/" + v + "/put-back"
	if page := x.instructor.page("/tagged"); !strings.Contains(page, "Crate 7") {
		t.Error("the load is not on the list of red tags")
	}
	x.instructor.askMany(at, url.Values{}, "item", ids)
	x.instructor.askMany(at, url.Values{}, "item", ids) // the same person twice is one
	if page := x.instructor.page(at); !strings.Contains(page, "0 of 4 confirmed") {
		t.Errorf("one person is enough: %s", mainOf(page))
	}
	inspector := x.ivo
	inspector.askMany(at, url.Values{}, "item", ids[:3])
	if page := inspector.page(at); !strings.Contains(page, "3 of 4 confirmed") {
		t.Errorf("got %s", mainOf(page))
	}
	inspector.askMany(at, url.Values{}, "item", ids[3:])
	if page := inspector.page(at); !strings.Contains(page, "put back, confirmed by two people") {
		t.Errorf("got %s", mainOf(page))
	}
	if page := x.instructor.page("/tagged"); strings.Contains(page, "Crate 7") {
		t.Error("the load is still on the list of red tags")
	}
}

func TestSameLoad(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{{"Crate 07", "crate-7", true}, {"Crate 7", "Crate 70", false}, {"Crate 7", "Crate 17", false}, {"", "", false}, {"Net A", "net a ", true}} {
		if got := teach.SameLoad(c.a, c.b); got != c.same {
			t.Errorf("%q and %q: %v", c.a, c.b, got)
		}
	}
}
