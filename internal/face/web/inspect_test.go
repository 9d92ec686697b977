package web

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/face/app"
)

func TestLoads_BeginAndList(t *testing.T) {
	k := walkersHere(t)
	page := k.ivo.ask("GET", "/loads", nil).Body.String()
	goodPage(t, "/loads", page)
	for _, want := range []string{"Test frame", "Test crate (INVENTED: training)", "Not in the hook-up zone", "No walk is under way"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page of loads does not say %q", want)
		}
	}
	if page := k.ivo.ask("GET", "/loads/frame?load=Frame+%227%22", nil).Body.String(); !strings.Contains(page, `value="Frame &#34;7&#34;"`) {
		t.Error("the load that a tag names is not in the form")
	}
	// What is wrong is said at its field, and nothing begins.
	form := k.form(k.ivo, "frame")
	for field, value := range map[string]string{"load": " ", "rigger": k.id[k.sam], "aircraft": "none", "inspection": "short"} {
		bad := url.Values{}
		for key := range form {
			bad.Set(key, form.Get(key))
		}
		bad.Set(field, value)
		if w := k.ivo.ask("POST", "/loads/frame", bad); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `class="wrong"`) {
			t.Errorf("%s %q: %d", field, value, w.Code)
		}
	}
	// Sent twice it begins once.
	for range 2 {
		if w := k.ivo.ask("POST", "/loads/frame", form); w.Code != http.StatusSeeOther {
			t.Fatalf("begin: %d %s", w.Code, w.Body)
		}
	}
	// And another person cannot take its id.
	if w := k.eva.ask("POST", "/loads/frame", form); w.Code != http.StatusConflict {
		t.Errorf("another person's begin with the same id: %d", w.Code)
	}
	id := form.Get("inspection")
	page = k.ivo.ask("GET", "/loads", nil).Body.String()
	if strings.Count(page, "Frame 1") != 1 || !strings.Contains(page, `href="/inspect/`+id+`"`) {
		t.Error("it is not listed once with the way to go on")
	}
	if page = k.sam.ask("GET", "/loads", nil).Body.String(); strings.Contains(page, "Frame 1") {
		t.Error("a student sees an inspector's walk")
	}
	goodPage(t, "inspect", k.ivo.ask("GET", "/inspect/"+id, nil).Body.String())
	if w := k.eva.ask("GET", "/inspect/"+id, nil); w.Code != http.StatusSeeOther {
		t.Errorf("another inspector walks it: %d", w.Code)
	}
	if w := k.sam.ask("GET", "/inspect/"+id+"/bundle", nil); w.Code != http.StatusForbidden {
		t.Errorf("a student reads it: %d", w.Code)
	}
}

func TestLoads_InventedIsTraining(t *testing.T) {
	k := walkersHere(t)
	form := k.form(k.ivo, "crate")
	form.Del("training")
	if w := k.ivo.ask("POST", "/loads/crate", form); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	b, _ := k.bundle(k.ivo, form.Get("inspection"))
	if !b.Training || !b.Invented {
		t.Errorf("an INVENTED load is no training: %+v", b.Training)
	}
	k.tablet(k.ivo, form.Get("inspection")).walked()
	w := k.ivo.ask("POST", "/inspect/"+form.Get("inspection")+"/sign", url.Values{"seq": {"1"}})
	if w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "INVENTED, and cannot be signed") {
		t.Errorf("signed: %d", w.Code)
	}
	// A student's walk is training, whatever the form says.
	student := k.begun(k.sam, "frame")
	if b, _ := k.bundle(k.sam, student); !b.Training || !b.Student {
		t.Error("a student's walk is no training")
	}
}

func TestBundle_HasWhatTheWalkNeeds(t *testing.T) {
	k := walkersHere(t)
	id := k.begun(k.ivo, "frame")
	b, _ := k.bundle(k.ivo, id)
	if len(b.Tasks) < 60 || len(b.Checkpoints) < 10 || b.Student || b.Blind {
		t.Fatalf("%d questions at %d checkpoints", len(b.Tasks), len(b.Checkpoints))
	}
	counts, pictures := 0, map[string]bool{}
	for _, x := range b.Tasks {
		if x.Name == "" || x.Ask == "" || x.Do == "" || b.Checkpoints[x.Checkpoint].Place == "" {
			t.Errorf("a question without words: %+v", x)
		}
		if x.Count != nil {
			counts++
			if *x.Count != 10 || x.Links != 80 || x.Planned != "link 10 from the free end" {
				t.Errorf("a count: %+v", x)
			}
		}
		for _, st := range x.States {
			pictures[st.Picture] = true
			if st.Text == "" || st.Act != "stop" && st.Act != "put-right" {
				t.Errorf("a state: %+v", st)
			}
		}
		pictures[x.Picture] = true
	}
	if counts != 4 {
		t.Errorf("%d counts, want one for each leg", counts)
	}
	delete(pictures, "")
	tried := 0
	for p := range pictures {
		w := k.sam.ask("GET", p, nil)
		if w.Code != http.StatusOK || !strings.HasPrefix(w.Body.String(), "<svg") {
			t.Errorf("%s: %d", p, w.Code)
		}
		if tried++; tried > 12 {
			break
		}
	}
	if len(pictures) < 30 {
		t.Errorf("only %d pictures", len(pictures))
	}
	for _, address := range b.Keep {
		if w := k.ivo.ask("GET", address, nil); w.Code != http.StatusOK {
			t.Errorf("%s: %d", address, w.Code)
		}
	}
	w := k.ivo.ask("GET", "/worker.js", nil)
	if w.Header().Get("Content-Type") != "text/javascript; charset=utf-8" || !strings.Contains(w.Body.String(), b.Keep[0]) {
		t.Error("the worker does not know the shell")
	}
}

// In a blind count the planned figure is nowhere in what a tablet gets, and of a
// student's not even what tells whether a number is the planned one.
func TestBundle_Blind(t *testing.T) {
	k := walkersHere(t)
	k.blind()
	for b, student := range map[*as]bool{k.ivo: false, k.sam: true} {
		id := k.begun(b, "frame")
		x, text := k.bundle(b, id)
		if !x.Blind || x.Student != student {
			t.Fatalf("blind %v, student %v", x.Blind, x.Student)
		}
		for _, bad := range []string{"link 10", "at 10", "planned-count", "left=10", "=10&", `=10"`} {
			if strings.Contains(text, bad) {
				t.Errorf("the bundle says %q", bad)
			}
		}
		counts, checks := 0, 0
		for _, q := range x.Tasks {
			if q.Links > 0 {
				counts++
				if q.Count != nil || q.Picture != "" {
					t.Errorf("a count is shown: %+v", q)
				}
			}
			if q.Check != "" {
				checks++
				want, err := countCheck(id, inspection.Task{Part: q.Part, Attribute: q.Attribute}, 10)
				if err != nil || q.Check != want {
					t.Errorf("%s is not known by its count", q.Part)
				}
			}
			if strings.HasSuffix(q.Part, "mirrored-legs") && q.Attribute == "counts" {
				t.Error("asked whether two counts are as planned, which a blind count cannot tell")
			}
		}
		if want := map[bool]int{false: 4, true: 0}[student]; counts != 4 || checks != want {
			t.Errorf("%d counts, %d checks, want 4 and %d", counts, checks, want)
		}
		// Nor does the page on which the walk is looked at tell it to a student.
		d := k.tablet(b, id)
		for _, q := range x.Tasks {
			if q.Links > 0 {
				n := 9
				d.send(d.event(inspection.Answer, inspection.Reply{
					Task: inspection.Task{Checkpoint: x.Checkpoints[q.Checkpoint].ID, Part: q.Part, Attribute: q.Attribute}, Answer: inspection.Wrong, Count: &n,
				}))
				break
			}
		}
		page := b.ask("GET", "/inspect/"+id+"/sign", nil).Body.String()
		goodPage(t, "sign", page)
		if !strings.Contains(page, "counted 9") || strings.Contains(page, "link 10") == student {
			t.Errorf("student %v: the figure on the page of what was found", student)
		}
	}
}

func TestEvents_TwiceGapsAndOthers(t *testing.T) {
	k := walkersHere(t)
	id := k.begun(k.ivo, "frame")
	b, _ := k.bundle(k.ivo, id)
	task := func(i int) inspection.Task {
		return inspection.Task{Checkpoint: b.Checkpoints[b.Tasks[i].Checkpoint].ID, Part: b.Tasks[i].Part, Attribute: b.Tasks[i].Attribute}
	}
	d := k.tablet(k.ivo, id)
	one := d.event(inspection.Answer, inspection.Reply{Task: task(0), Answer: inspection.Right})
	two := d.event(inspection.Answer, inspection.Reply{Task: task(1), Answer: inspection.CannotTell})
	three := d.event(inspection.Pause, nil)
	if out := d.send(two); out.Outcomes[0].Refused != "gap" {
		t.Errorf("a gap: %+v", out)
	}
	first := d.send(one, two)
	// Delivered twice, and once more with its body written another way.
	spaced := one
	spaced.Body = json.RawMessage(strings.Replace(string(one.Body), `":"`, `" : "`, 1))
	again := d.send(spaced, two, three)
	if first.Outcomes[0].Seq == 0 || again.Outcomes[0] != first.Outcomes[0] || again.Outcomes[1] != first.Outcomes[1] || again.Outcomes[2].Refused != "" || again.Phase != "paused" {
		t.Errorf("%+v then %+v", first, again)
	}
	if again.Seq != again.Outcomes[2].Seq || !again.Now.Equal(schoolClock) {
		t.Errorf("the answer says %+v", again)
	}
	other := one
	other.Body = two.Body
	if out := d.send(other); out.Outcomes[0].Refused != "conflict" || out.Outcomes[0].Words == "" {
		t.Errorf("another content: %+v", out)
	}
	// Somebody else signed in on the tablet sends nothing of this person's.
	data, err := json.Marshal(delivery{By: k.id[k.ivo], Events: []inspection.Event{one}})
	if err != nil {
		t.Fatal(err)
	}
	if w := k.eva.post("/inspect/"+id+"/events", data); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "another person") {
		t.Errorf("as somebody else: %d", w.Code)
	}
	theirs := k.tablet(k.eva, id)
	if out := theirs.send(theirs.event(inspection.Pause, nil)); out.Outcomes[0].Refused != "other" {
		t.Errorf("another person's entry: %+v", out)
	}
	for _, bad := range []string{"", "{}", `{"by":"` + k.id[k.ivo] + `","events":[{"inspection":"elsewhere"}]}`, `{"by":"` + k.id[k.ivo] + `","events":[{"id":"x","inspection":"` + id + `"}`} {
		if w := k.ivo.post("/inspect/"+id+"/events", []byte(bad)); w.Code != http.StatusBadRequest {
			t.Errorf("%q: %d %s", bad, w.Code, w.Body)
		}
	}
	// What is asked in an inspection is not a tablet's to choose.
	start := k.tablet(k.ivo, drawnID("i"))
	begin := start.event(inspection.Start, inspection.Begin{Load: "x", Rig: "frame", RigVersion: app.Version([]byte(frameRig)), Rigger: k.id[k.rigger], Tasks: []inspection.Task{task(0)}})
	if data, err = json.Marshal(delivery{By: k.id[k.ivo], Events: []inspection.Event{begin}}); err != nil {
		t.Fatal(err)
	}
	if w := k.ivo.post("/inspect/"+start.id+"/events", data); w.Code != http.StatusForbidden {
		t.Errorf("a start from a tablet: %d", w.Code)
	}
	if w := k.ivo.post("/inspect/"+drawnID("i")+"/events", []byte(`{}`)); w.Code != http.StatusBadRequest {
		t.Errorf("no inspection: %d", w.Code)
	}
	w := k.ivo.ask("GET", "/inspect/"+id+"/events", nil, "Accept", "application/json")
	var got struct{ Events []inspection.Event }
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || len(got.Events) != 4 {
		t.Errorf("%d events, %v", len(got.Events), err)
	}
}

// photograph is a small JPEG picture.
func photograph(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPhoto(t *testing.T) {
	k := walkersHere(t)
	id := k.begun(k.ivo, "frame")
	data := photograph(t)
	w := k.ivo.post("/inspect/"+id+"/photo", data)
	var got struct{ Photo string }
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || got.Photo != app.Version(data) {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	for what, c := range map[string]struct {
		by   *as
		data string
		want int
	}{"no picture": {k.ivo, "<svg onload=alert(1)>", 422}, "another's walk": {k.eva, string(data), 409}, "too large": {k.ivo, strings.Repeat("x", mostBody+1), 413}} {
		if w := c.by.post("/inspect/"+id+"/photo", []byte(c.data)); w.Code != c.want {
			t.Errorf("%s: %d", what, w.Code)
		}
	}
	address := "/inspect/" + id + "/photo/" + got.Photo
	if w := k.ivo.ask("GET", address, nil); w.Code != http.StatusNotFound {
		t.Errorf("a photo that nothing refers to: %d", w.Code)
	}
	d := k.tablet(k.ivo, id)
	d.send(d.event(inspection.Note, inspection.Remark{About: "anything-else", Text: "rope <b>frayed</b>", Photos: []string{got.Photo}}))
	if w := k.eva.ask("GET", address, nil); w.Code != http.StatusOK || w.Header().Get("Content-Type") != "image/jpeg" || !bytes.Equal(w.Body.Bytes(), data) {
		t.Errorf("the photo: %d", w.Code)
	}
	if w := k.sam.ask("GET", address, nil); w.Code != http.StatusForbidden {
		t.Errorf("a student sees another's photo: %d", w.Code)
	}
	page := k.ivo.ask("GET", "/inspect/"+id+"/sign", nil).Body.String()
	if !strings.Contains(page, `src="`+address+`"`) || !strings.Contains(page, "rope &lt;b&gt;frayed") {
		t.Error("the remark and its photo are not on the page")
	}
}

func TestImport(t *testing.T) {
	k := walkersHere(t)
	id := k.begun(k.ivo, "frame")
	b, _ := k.bundle(k.ivo, id)
	d := k.tablet(k.ivo, id)
	photo := photograph(t)
	task := inspection.Task{Checkpoint: b.Checkpoints[0].ID, Part: b.Tasks[0].Part, Attribute: b.Tasks[0].Attribute}
	d.event(inspection.Answer, inspection.Reply{Task: task, Answer: inspection.Right, Photos: []string{app.Version(photo)}})
	d.event(inspection.Pause, nil)
	file := map[string]any{"format": unsentFormat, "made": "2026-11-25T10:00:00Z", "photos": []any{map[string]string{
		"hash": app.Version(photo), "data": base64.StdEncoding.EncodeToString(photo),
	}}}
	var events []inspection.Event
	for _, e := range d.made {
		e.By = k.id[k.ivo]
		events = append(events, e)
	}
	file["events"] = events
	text, err := json.MarshalIndent(file, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	send := func(by *as, data []byte) *httptest.ResponseRecorder {
		var body bytes.Buffer
		m := multipart.NewWriter(&body)
		part, err := m.CreateFormFile("file", "unsent.json")
		if err != nil {
			t.Fatal(err)
		}
		part.Write(data)
		m.Close()
		r := httptest.NewRequest("POST", "/inspect/import", &body)
		r.Host = "127.0.0.1:8086"
		r.Header.Set("Content-Type", m.FormDataContentType())
		for name, value := range by.cookies {
			r.AddCookie(&http.Cookie{Name: name, Value: value})
		}
		w := httptest.NewRecorder()
		by.s.Handler().ServeHTTP(w, r)
		return w
	}
	if w := send(k.ivo, text); w.Code != http.StatusForbidden {
		t.Errorf("an inspector takes a file in: %d", w.Code)
	}
	// One came by itself before; then the file, and the file again.
	d.send(d.made[0])
	for range 2 {
		w := send(k.chief, text)
		if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "entries 2, photos 1") {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		goodPage(t, "import", w.Body.String())
	}
	x, state, err := k.all.Inspection(t.Context(), person(k.id[k.ivo]), id)
	if err != nil || len(state.Answers) != 1 || x.Phase != inspection.Paused {
		t.Errorf("%+v %v", x, err)
	}
	for _, bad := range []string{"", "{}", strings.Replace(string(text), "unsent/1", "unsent/2", 1), strings.Replace(string(text), `"hash": "`+app.Version(photo), `"hash": "`+strings.Repeat("0", 64), 1)} {
		if w := send(k.chief, []byte(bad)); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%.40q: %d", bad, w.Code)
		}
	}
	if w := send(k.chief, []byte(strings.ReplaceAll(string(text), k.id[k.ivo], "nobody"))); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a stranger's entries: %d", w.Code)
	}
	goodPage(t, "import", k.chief.ask("GET", "/inspect/import", nil).Body.String())
}

// The sets that a load hangs on are named as it begins, and stand in its brief.
func TestLoads_Equipment(t *testing.T) {
	k := walkersHere(t)
	id, err := k.all.PutItem(t.Context(), person("chief"), equipment.Item{Serial: "A-7", Kind: equipment.Set, Name: "four <legs>"})
	if err != nil {
		t.Fatal(err)
	}
	form := k.form(k.ivo, "frame")
	if page := k.ivo.ask("GET", "/loads/frame", nil).Body.String(); !strings.Contains(page, "sling set A-7, four &lt;legs&gt;") {
		t.Error("the set is not offered")
	}
	form.Set("set", "none")
	if w := k.ivo.ask("POST", "/loads/frame", form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a set that there is not: %d", w.Code)
	}
	form.Set("set", id)
	if w := k.ivo.ask("POST", "/loads/frame", form); w.Code != http.StatusSeeOther {
		t.Fatalf("not begun: %d %s", w.Code, w.Body)
	}
	if b, text := k.bundle(k.ivo, form.Get("inspection")); !strings.Contains(text, `["Equipment","sling set A-7"]`) {
		t.Errorf("the brief: %v", b.Brief)
	}
	k.tablet(k.ivo, form.Get("inspection")).walked()
	if page := k.ivo.ask("GET", "/inspect/"+form.Get("inspection")+"/sign", nil).Body.String(); !strings.Contains(page, "sling set A-7") {
		t.Error("the record will not name the set")
	}
	if page := k.sam.ask("GET", "/loads/frame", nil).Body.String(); strings.Contains(page, "A-7") {
		t.Error("a student is shown equipment")
	}
}
