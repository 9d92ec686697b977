package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/store"
	"hangtrue/internal/paper/closeup"
)

var laneImage = regexp.MustCompile(`src="(/lane-run/[a-z0-9]+/picture/([a-z0-9]+))"`)

// pictured is a school whose first student may run a lane in pictures.
type pictured struct {
	*keptSchool
	clock *time.Time
	v     string // the version
}

func pictures(t *testing.T, change func(url.Values)) *pictured {
	t.Helper()
	clock := schoolClock
	p := &pictured{clock: &clock}
	p.keptSchool = schoolAt(t, filepath.Join(t.TempDir(), "school.db"), func() time.Time { return *p.clock })
	p.pictureLane(change)
	p.v = p.plant(one())
	p.open("open", http.StatusOK)
	return p
}

// pictureLane adds a lane in pictures, which becomes the school's lane.
func (x *taught) pictureLane(change func(url.Values)) {
	x.Helper()
	form := laneFields()
	form.Set("kind", "picture")
	form.Set("tag", "")
	form.Set("title", "Picture lane")
	if change != nil {
		change(form)
	}
	x.lane = lanePath.FindStringSubmatch(x.instructor.to("/classes/"+x.class+"/lanes", form))[1]
}

func (x *taught) open(do string, want int) string {
	x.Helper()
	w := x.instructor.ask("POST", "/lanes/"+x.lane, url.Values{"do": {do}})
	if w.Code != want {
		x.Fatalf("%s: %d %s", do, w.Code, mainOf(w.Body.String()))
	}
	return w.Body.String()
}

// begin begins a run and returns its address.
func (p *pictured) begin() string {
	p.Helper()
	return p.student.to("/lane-run", url.Values{"lane": {p.lane}})
}

// walk goes through a run: call says what is called at a picture, by its place in
// the walk from 0; ok is false for nothing.
func (p *pictured) walk(at string, call func(n int, x *teach.DrillPicture) (choice string, ok bool)) {
	p.Helper()
	d := p.drill(at)
	for screens := 0; ; screens++ {
		page := p.student.page(at)
		if !strings.Contains(page, "data-drill") {
			return
		}
		if screens > len(d.Pictures) {
			p.Fatal("the lane does not end")
		}
		form := url.Values{"do": {"on"}}
		found := laneImage.FindAllStringSubmatch(page, -1)
		if len(found) < 1 || len(found) > 6 {
			p.Fatalf("%d pictures on a screen", len(found))
		}
		for _, m := range found {
			n := slices.IndexFunc(d.Pictures, func(x teach.DrillPicture) bool { return x.Name == m[2] })
			form.Set("call."+m[2], "right")
			if choice, ok := call(n, &d.Pictures[n]); ok {
				form.Set("call."+m[2], "wrong")
				form.Set("which."+m[2], choice)
			}
		}
		*p.clock = p.clock.Add(2 * time.Second)
		p.student.to(at, form)
	}
}

func (p *pictured) drill(at string) *teach.Drill {
	p.Helper()
	d, _, err := p.db.RunDrill(p.Context(), strings.TrimPrefix(at, "/lane-run/"))
	if err != nil {
		p.Fatal(err)
	}
	return &d
}

func TestPictures_ALaneIsRunOnTheStudentsScreenAndGradedByItsRule(t *testing.T) {
	p := pictures(t, nil)
	list := p.student.page("/lane-run")
	for _, want := range []string{"Picture lane", "at least 3 of 4 found", "the clock is 10:00", "INVENTED"} {
		if !strings.Contains(list, want) {
			t.Errorf("the student's lanes lack %q: %s", want, mainOf(list))
		}
	}
	at := p.begin()
	if n := len(p.drill(at).Pictures); n < 40 {
		t.Errorf("%d pictures", n)
	}
	if w := p.student.ask("POST", "/lane-run", url.Values{"lane": {p.lane}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "A run of yours has not ended") {
		t.Errorf("a second run at once: %d", w.Code)
	}
	first := laneImage.FindAllStringSubmatch(p.student.page(at), -1)
	ahead := at + "/picture/" + p.drill(at).Pictures[len(first)].Name
	if w := p.student.ask("GET", ahead, nil); w.Code != http.StatusNotFound {
		t.Errorf("a picture of the next station: %d", w.Code)
	}
	for _, m := range first {
		w := p.student.ask("GET", m[1], nil)
		if w.Code != http.StatusOK || w.Body.Len() != closeup.StudentBytes || w.Header().Get("Cache-Control") != "no-store" || len(m[2]) != 26 {
			t.Errorf("%s: %d, %d bytes, kept %q", m[1], w.Code, w.Body.Len(), w.Header().Get("Cache-Control"))
		}
		if w := p.instructor.ask("GET", m[1], nil); w.Code != http.StatusNotFound {
			t.Errorf("somebody else gets the picture: %d", w.Code)
		}
	}
	// One false call is allowed; the others are found, one of them named wrongly.
	p.walk(at, func(n int, x *teach.DrillPicture) (string, bool) {
		if !x.Faulty() {
			return "", n == slices.IndexFunc(p.drill(at).Pictures, func(y teach.DrillPicture) bool { return !y.Faulty() })
		}
		return x.State, true
	})
	end := p.student.page(at)
	for _, want := range []string{"Met the rule", "Found 4 of 4, 1 false call", "once your instructor has shown the key"} {
		if !strings.Contains(end, want) {
			t.Errorf("the end lacks %q: %s", want, mainOf(end))
		}
	}
	if strings.Contains(end, "<img") {
		t.Error("pictures are shown before the key is")
	}
	if w := p.student.ask("GET", first[0][1], nil); w.Code != http.StatusNotFound {
		t.Errorf("a picture after the end: %d", w.Code)
	}
	// The class's results have it by the same rule, and say who graded.
	run := strings.TrimPrefix(at, "/lane-run/")
	if page := p.instructor.page("/classes/" + p.class + "/results"); !strings.Contains(page, "<b>met the rule</b>") || !strings.Contains(page, "on the student’s own screen") {
		t.Errorf("the results: %s", mainOf(page))
	}
	if page := p.instructor.page("/runs/" + run); !strings.Contains(page, "false call") {
		t.Errorf("the run: %s", mainOf(page))
	}
	if page := p.student.page("/results"); !strings.Contains(page, "met the rule") {
		t.Errorf("the student's results: %s", mainOf(page))
	}
	if page := p.student.page("/drill"); strings.Contains(page, "of 4 as they should be") || strings.Contains(page, "Your drills") {
		t.Errorf("a lane stands among the drills: %s", mainOf(page))
	}
	if w := p.student.ask("POST", "/lane-run", url.Values{"lane": {p.lane}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "Has met the rule") {
		t.Errorf("again after it was met: %d", w.Code)
	}
	// When the key is shown, so is what was called and missed.
	if w := p.instructor.ask("POST", "/versions/"+p.v, url.Values{"do": {"key"}}); w.Code != http.StatusOK {
		t.Fatal(mainOf(w.Body.String()))
	}
	end = p.student.page(at)
	if strings.Count(end, "drill-verdict") != 5 || !strings.Contains(end, "A false call") || !strings.Contains(end, "Found: 4") {
		t.Errorf("after the key is shown: %s", mainOf(end))
	}
	// What would have been done is computed where it changes how the load hangs.
	d, err := p.s.School.LaneDesk(t.Context(), someone(t, p.s, "ina"), p.lane)
	if err != nil {
		t.Fatal(err)
	}
	mechanical := 0
	for _, id := range p.planted(p.v) {
		if d.Deficiency(id).Change != "" {
			mechanical++
		}
	}
	if n := strings.Count(end, "It would have done, computed"); n < mechanical {
		t.Errorf("%d of %d are computed", n, mechanical)
	}
	for _, m := range laneImage.FindAllStringSubmatch(end, -1) {
		if w := p.student.ask("GET", m[1], nil); w.Code != http.StatusOK {
			t.Errorf("%s: %d", m[1], w.Code)
		}
	}
}

// A call where something else is named is a find with a wrong figure; whether
// that counts is the rule's.
func TestPictures_AsManyAsTheTimeIsFor(t *testing.T) {
	p := pictures(t, func(form url.Values) { form.Set("minutes", "6"); form.Set("pictures", "40") })
	lane, list := p.instructor.page("/lanes/"+p.lane), p.student.page("/lane-run")
	for name, page := range map[string]string{"the lane": lane, "the student's list": list} {
		if want := "40 pictures in 6:00, which is 9 s a picture"; !strings.Contains(page, want) {
			t.Errorf("%s lacks %q: %s", name, want, mainOf(page))
		}
	}
	if want := "show at most 36 pictures, or give 7:00"; !strings.Contains(lane, want) {
		t.Errorf("the lane lacks %q: %s", want, mainOf(lane))
	}
	d := p.drill(p.begin())
	faulty := 0
	for i := range d.Pictures {
		if d.Pictures[i].Faulty() {
			faulty++
		}
		if i > 0 && d.Pictures[i].Station < d.Pictures[i-1].Station {
			t.Errorf("picture %d is not in the order of the walk", i)
		}
	}
	if len(d.Pictures) != 40 || faulty != 4 {
		t.Errorf("%d pictures, %d of them planted", len(d.Pictures), faulty)
	}
	form := laneFields()
	for field, value := range map[string]string{"kind": "picture", "tag": "", "title": "Picture lane", "minutes": "6", "pictures": "36"} {
		form.Set(field, value)
	}
	form.Set("do", "setup")
	if w := p.instructor.ask("POST", "/lanes/"+p.lane, form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "tested on so many pictures already") {
		t.Errorf("the number is changed after a run: %d %s", w.Code, mainOf(w.Body.String()))
	}
	form.Set("pictures", "3")
	if w := p.instructor.ask("POST", "/classes/"+p.class+"/lanes", form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("fewer pictures than are planted: %d", w.Code)
	}
}

func TestPictures_NamedOtherwise(t *testing.T) {
	for _, c := range []struct{ figure, want, numbers string }{{"yes", "Did not meet the rule", "Found 0 of 4"}, {"no", "Met the rule", "Found 4 of 4"}} {
		p := pictures(t, func(f url.Values) { f.Set("figure", c.figure) })
		at := p.begin()
		p.walk(at, func(_ int, x *teach.DrillPicture) (string, bool) { return "", x.Faulty() })
		if end := p.student.page(at); !strings.Contains(end, ">"+c.want+"<") || !strings.Contains(end, c.numbers) {
			t.Errorf("the figure has to be right: %s: %s", c.figure, mainOf(end))
		}
	}
}

func TestPictures_RetestsTimeAndWhatIsRefused(t *testing.T) {
	p := pictures(t, nil)
	// The time is over and the student does not come back: the class's results
	// end it.
	at := p.begin()
	form := url.Values{"do": {"on"}}
	for _, m := range laneImage.FindAllStringSubmatch(p.student.page(at), -1) {
		form.Set("call."+m[2], "right")
	}
	p.student.to(at, form)
	if w := p.student.ask("POST", at, form); w.Code != http.StatusSeeOther {
		t.Errorf("sent twice: %d", w.Code)
	}
	_, answers, err := p.db.RunDrill(t.Context(), strings.TrimPrefix(at, "/lane-run/"))
	if err != nil || len(answers) != len(form)-1 {
		t.Errorf("%d answers of %d, %v", len(answers), len(form)-1, err)
	}
	if w := p.instructor.ask("POST", "/versions/"+p.v, url.Values{"do": {"key"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("the key is shown while somebody is in the lane: %d", w.Code)
	}
	*p.clock = p.clock.Add(11 * time.Minute)
	if page := p.instructor.page("/classes/" + p.class + "/results"); !strings.Contains(page, "did not meet the rule") || !strings.Contains(page, "in 10:00") {
		t.Errorf("after the time: %s", mainOf(page))
	}
	if end := p.student.page(at); !strings.Contains(end, "were not come to") {
		t.Errorf("the end: %s", mainOf(end))
	}
	// A retest takes retraining, and another version.
	again := func() string {
		w := p.student.ask("POST", "/lane-run", url.Values{"lane": {p.lane}})
		if w.Code == http.StatusSeeOther {
			return w.Header().Get("Location")
		}
		return mainOf(w.Body.String())
	}
	if got := again(); !strings.Contains(got, "o retraining is recorded") {
		t.Errorf("at once: %s", got)
	}
	*p.clock = p.clock.Add(time.Minute)
	p.instructor.ask("POST", "/classes/"+p.class+"/students/"+p.students[0], url.Values{"do": {"retrain"}, "text": {"counting"}})
	if got := again(); !strings.Contains(got, "o version is left") {
		t.Errorf("on the same version: %s", got)
	}
	second := p.plant(one())
	at = again()
	if !strings.HasPrefix(at, "/lane-run/") {
		t.Fatalf("on another version: %s", at)
	}
	r, err := p.db.Run(t.Context(), strings.TrimPrefix(at, "/lane-run/"))
	if err != nil || r.Version != second {
		t.Errorf("%+v, %v", r, err)
	}
	// Ended by the student.
	p.student.to(at, url.Values{"do": {"end"}})
	if end := p.student.page(at); !strings.Contains(end, "Did not meet the rule") {
		t.Errorf("ended early: %s", mainOf(end))
	}
	if got := again(); !strings.Contains(got, "as had 2 of 2 attempts") {
		t.Errorf("a third: %s", got)
	}
	p.open("close", http.StatusOK)
	if got := again(); !strings.Contains(got, "ot open now") {
		t.Errorf("a closed lane: %s", got)
	}
	// What cannot be opened.
	p.pictureLane(func(f url.Values) { f.Set("false", "") })
	if page := p.open("open", http.StatusUnprocessableEntity); !strings.Contains(page, "rule is not complete: not entered is how many false calls") {
		t.Errorf("an unfinished rule: %s", mainOf(page))
	}
	p.pictureLane(nil)
	if page := p.open("open", http.StatusUnprocessableEntity); !strings.Contains(page, "othing is planted") {
		t.Errorf("nothing planted: %s", mainOf(page))
	}
	if w := p.student.ask("POST", "/lane-run", url.Values{"lane": {p.lane}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a lane that was never opened: %d", w.Code)
	}
	other := member(t, p.chief, "zoe", people.Student)
	if w := other.ask("POST", "/lane-run", url.Values{"lane": {p.lane}}); w.Code != http.StatusNotFound {
		t.Errorf("who is not in the class: %d", w.Code)
	}
	if w := other.ask("GET", at, nil); w.Code != http.StatusNotFound {
		t.Errorf("another student's run: %d", w.Code)
	}
	if w := p.student.ask("GET", "/drill/"+p.drill(at).ID, nil); w.Code != http.StatusNotFound {
		t.Errorf("a run of a lane as a drill: %d", w.Code)
	}
}

// The machine dies between the end of a walk and its grade: whoever looks next
// finds it graded, once.
func TestPictures_ACrashBeforeTheGrade(t *testing.T) {
	p := pictures(t, nil)
	at := p.begin()
	run := strings.TrimPrefix(at, "/lane-run/")
	form := url.Values{"do": {"on"}}
	for _, m := range laneImage.FindAllStringSubmatch(p.student.page(at), -1) {
		form.Set("call."+m[2], "wrong")
	}
	p.student.to(at, form)
	*p.clock = p.clock.Add(90 * time.Second)
	if err := p.db.EndDrill(t.Context(), p.drill(at).ID); err != nil {
		t.Fatal(err)
	}
	*p.clock = p.clock.Add(time.Hour)
	for range 2 {
		p.instructor.page("/classes/" + p.class + "/results")
		if end := p.student.page(at); !strings.Contains(end, "in 1:30") {
			t.Errorf("the end: %s", mainOf(end))
		}
	}
	results, err := p.db.Results(t.Context(), "", "", run)
	if err != nil || len(results) != 1 || results[0].False+len(results[0].Found) == 0 && len(results[0].Reasons) == 0 {
		t.Errorf("%+v, %v", results, err)
	}
}

// watched is a database that notes by which queries what is planted, or what was
// found, is read.
type watched struct {
	*store.Store
	read []string
}

func (w *watched) note(format string, args ...any) {
	w.read = append(w.read, fmt.Sprintf(format, args...))
}

func (w *watched) Versions(ctx context.Context, lane string) ([]teach.LaneVersion, error) {
	w.note("Versions")
	return w.Store.Versions(ctx, lane)
}

func (w *watched) RigVersions(ctx context.Context, rig string, most int) ([]teach.LaneVersion, error) {
	w.note("RigVersions")
	return w.Store.RigVersions(ctx, rig, most)
}

func (w *watched) RealVersions(ctx context.Context, load string) ([]teach.LaneVersion, error) {
	w.note("RealVersions")
	return w.Store.RealVersions(ctx, load)
}

func (w *watched) LaneVersion(ctx context.Context, id string) (teach.LaneVersion, error) {
	w.note("LaneVersion")
	return w.Store.LaneVersion(ctx, id)
}

func (w *watched) PutBacks(ctx context.Context, version string) ([]teach.PutBack, error) {
	w.note("PutBacks")
	return w.Store.PutBacks(ctx, version)
}

func (w *watched) RunEvents(ctx context.Context, run string) ([]teach.RunEvent, error) {
	w.note("RunEvents")
	return w.Store.RunEvents(ctx, run)
}

func (w *watched) AddRunEvents(ctx context.Context, events []teach.RunEvent, by string, odd map[string]string, on calendar.Day) ([]app.RunOutcome, error) {
	for _, e := range events {
		if e.Kind == teach.RunEnd {
			w.note("the grade")
		}
	}
	return w.Store.AddRunEvents(ctx, events, by, odd, on)
}

func (w *watched) Results(ctx context.Context, class, student, run string) ([]teach.Result, error) {
	switch {
	case run != "":
		w.note("Results of a run")
	case class != "":
		w.note("Results of a class")
	case student != "":
		w.note("Results of %s", student)
	}
	return w.Store.Results(ctx, class, student, run)
}

func (w *watched) Entries(ctx context.Context, class, person string) ([]teach.Entry, error) {
	if person == "" {
		w.note("Entries of a class")
	}
	return w.Store.Entries(ctx, class, person)
}

func (w *watched) RunDrill(ctx context.Context, run string) (teach.Drill, []teach.DrillAnswer, error) {
	w.note("RunDrill")
	return w.Store.RunDrill(ctx, run)
}

// watching serves a school's database and notes what is read.
func watching(t *testing.T, db *store.Store, now func() time.Time) (*Server, *watched) {
	t.Helper()
	w := &watched{Store: db}
	return serverOver(t, w, db, now), w
}

// No page that a student may open reads what is planted, so that none can take
// longer for one planting than for another: not before the run, not during it.
// What a student's own results are made of is read for themself only.
func TestSecrecy_NoPageOfAStudentReadsAKey(t *testing.T) {
	p := pictures(t, nil)
	drawn := p.lane
	x := p.taught
	x.lane = lanePath.FindStringSubmatch(x.instructor.to("/classes/"+x.class+"/lanes", laneFields()))[1]
	v := x.plant(one())
	x.instructor.deliver(v, x.aRun(made("run", 1), v, x.students[1], 3, 0)) // another student's, graded
	x.instructor.deliver(v, x.aRun(made("run", 2), v, x.students[0], 3, 0)[:2])
	s, w := watching(t, p.db, func() time.Time { return *p.clock })
	student := signedIn(t, s, "stu")
	tried := 0
	fetch := func(when string, run string) {
		for _, r := range routes() {
			if r.method != "GET" && r.method != "POST" || strings.HasPrefix(r.path, "/asset/") || strings.HasPrefix(r.path, "/welcome") || r.path == "/signout" || r.path == "/account" || strings.HasPrefix(r.path, "/lane-run/") {
				continue
			}
			r.path = strings.NewReplacer("{class}", x.class, "{lane}", x.lane, "{version}", v, "{student}", x.students[0], "{run}", run, "{paper}", "card", "{picture}", "1").Replace(r.path)
			target := sample(r)
			var form url.Values
			if r.method == "POST" {
				form = url.Values{"nothing": {""}}
			}
			w.read = nil
			answer := student.ask(r.method, target, form)
			tried++
			for _, what := range w.read {
				if what != "Results of "+x.students[0] {
					t.Errorf("%s: %s %s reads %s", when, r.method, target, what)
				}
			}
			if answer.Code == http.StatusOK && r.method == "GET" && answer.Header().Get("Cache-Control") != "no-store" && !strings.HasSuffix(target, "/worker.js") {
				t.Errorf("%s %s may be kept: %q", r.method, target, answer.Header().Get("Cache-Control"))
			}
		}
	}
	fetch("before", made("run", 1))
	fetch("during", made("run", 2))
	if tried < 200 {
		t.Errorf("%d answers", tried)
	}
	// In a lane in pictures the planting is read once to begin and once to end, and
	// between the two only the walk itself.
	reads := func(do func()) string {
		w.read = nil
		do()
		return strings.Join(w.read, ", ")
	}
	x.student, x.lane = student, drawn
	at := ""
	if got := reads(func() { at = p.begin() }); got != "Versions, RunDrill" {
		t.Errorf("the beginning reads %s", got)
	}
	form := url.Values{"do": {"on"}}
	if got := reads(func() {
		for _, m := range laneImage.FindAllStringSubmatch(student.page(at), -1) {
			student.ask("GET", m[1], nil)
			form.Set("call."+m[2], "wrong")
		}
	}); strings.Trim(strings.ReplaceAll(got, "RunDrill", ""), ", ") != "" {
		t.Errorf("a station reads %s", got)
	}
	if got := reads(func() { student.to(at, form) }); got != "RunDrill" {
		t.Errorf("an answer reads %s", got)
	}
	if got := reads(func() { student.page("/lane-run") }); got != "" {
		t.Errorf("the list of lanes reads %s", got)
	}
}

// A lane in pictures differs between two plantings in the pictures of what is
// planted and in nothing else: pages, numbers and sizes of pictures, headers.
func TestSecrecy_ALaneInPicturesDiffersInWhatIsDrawnOnly(t *testing.T) {
	type seen struct{ pages, heads, pictures []string }
	var all [2]seen
	var planted [2][]string
	nonce := regexp.MustCompile(`[a-z2-7]{26}`)
	for i := range all {
		p := pictures(t, nil)
		planted[i] = p.planted(p.v)
		at := p.begin()
		for {
			page := p.student.ask("GET", at, nil)
			all[i].pages = append(all[i].pages, nonce.ReplaceAllString(page.Body.String(), "ID"))
			all[i].heads = append(all[i].heads, nonce.ReplaceAllString(fmt.Sprint(page.Header()), "ID"))
			if !strings.Contains(page.Body.String(), "data-drill") {
				break
			}
			form := url.Values{"do": {"on"}}
			for _, m := range laneImage.FindAllStringSubmatch(page.Body.String(), -1) {
				w := p.student.ask("GET", m[1], nil)
				all[i].pictures = append(all[i].pictures, w.Body.String())
				all[i].heads = append(all[i].heads, fmt.Sprint(w.Code, w.Header(), w.Body.Len()))
				form.Set("call."+m[2], "right")
			}
			*p.clock = p.clock.Add(time.Second)
			w := p.student.ask("POST", at, form)
			all[i].heads = append(all[i].heads, nonce.ReplaceAllString(fmt.Sprint(w.Code, w.Header()), "ID"))
		}
	}
	if slices.Equal(planted[0], planted[1]) {
		t.Fatal("the same was planted twice: the test shows nothing")
	}
	a, b := all[0], all[1]
	if len(a.pages) < 10 || !slices.Equal(a.pages, b.pages) {
		t.Errorf("%d and %d pages, which differ", len(a.pages), len(b.pages))
	}
	if !slices.Equal(a.heads, b.heads) {
		t.Error("the headers differ")
	}
	if len(a.pictures) != len(b.pictures) {
		t.Fatalf("%d and %d pictures", len(a.pictures), len(b.pictures))
	}
	differ := 0
	for i := range a.pictures {
		if a.pictures[i] != b.pictures[i] {
			differ++
		}
	}
	// Each of the planted once, or twice where two checkpoints ask about the part.
	if differ < 1 || differ > 4*len(planted[0]) {
		t.Errorf("%d pictures differ, with %d planted in each", differ, len(planted[0]))
	}
}
