package web

import (
	"bytes"
	"database/sql"
	"html"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/face/app"
	"hangtrue/internal/policy/extra"
)

// signed walks and signs an inspection of the frame, one deficiency put right on
// the way, and returns its id. Its record is the log's newest.
func (k *walkSchool) signed(b *as, form url.Values) string {
	k.t.Helper()
	w := b.ask("POST", "/loads/frame", form)
	id := form.Get("inspection")
	if w.Code != http.StatusSeeOther {
		k.t.Fatalf("not begun: %d %s", w.Code, w.Body)
	}
	d := k.tablet(b, id)
	x, _ := k.bundle(b, id)
	task := inspection.Task{Checkpoint: x.Checkpoints[0].ID, Part: x.Tasks[0].Part, Attribute: x.Tasks[0].Attribute}
	d.send(d.event(inspection.Answer, inspection.Reply{Task: task, Answer: inspection.Wrong, State: x.Tasks[0].States[0].ID, Do: "put-right", Text: "seen & noted"}))
	d.send(d.event(inspection.Redo, inspection.Again{Why: "put-right", Tasks: []inspection.Task{task}}))
	d.send(d.event(inspection.Note, inspection.Remark{About: "anything-else", Text: "ice on the pad"}))
	d.walked()
	if w := b.ask("POST", "/inspect/"+id+"/sign", url.Values{"seq": {k.seqOf(id)}}); w.Code != http.StatusSeeOther {
		k.t.Fatalf("not signed: %d %s", w.Code, w.Body)
	}
	return id
}

// page asks for a page and checks what holds of every page.
func (k *walkSchool) page(b *as, target string) string {
	k.t.Helper()
	w := b.ask("GET", target, nil)
	if w.Code != http.StatusOK {
		k.t.Fatalf("%s: %d %s", target, w.Code, w.Body)
	}
	if t, ok := k.t.(*testing.T); ok {
		goodPage(t, target, w.Body.String())
	}
	if n := w.Body.Len(); n > 100_000 {
		k.t.Errorf("%s has %d bytes", target, n)
	}
	return w.Body.String()
}

func says(t *testing.T, name, page string, all ...string) {
	t.Helper()
	for _, want := range all {
		if !strings.Contains(page, want) {
			t.Errorf("%s does not say %q", name, want)
		}
	}
}

func TestRecords_OneAndItsCorrection(t *testing.T) {
	k := walkersHere(t)
	says(t, "an empty list", k.page(k.ivo, "/records"), "No record is sealed yet")
	id := k.signed(k.ivo, k.form(k.ivo, "frame"))
	page := k.page(k.ivo, "/records/0")
	says(t, "the record", page, "Record 0: Frame 1", "No approved procedure entered", "1400 kg", "how known: weighed", "Person rita", "Person ivo, inspector", "appointed by Board",
		"seen &amp; noted", "Looked at again", "ice on the pad", "The signature stands", "hangtrue-record:school-", "/records/0/print?copy=aircrew", "/tag/frame?load=Frame&#43;1", "Correct it")
	if page := k.page(k.eva, "/records/0"); strings.Contains(page, "Correct it") {
		t.Error("another inspector is offered to correct it")
	}
	if w := k.eva.ask("POST", "/records/0", url.Values{"do": {"correct"}, "text": {"x"}}); w.Code != http.StatusForbidden {
		t.Errorf("another inspector corrects: %d", w.Code)
	}
	if w := k.ivo.ask("POST", "/records/0", url.Values{"do": {"correct"}, "text": {" "}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("an empty correction: %d", w.Code)
	}
	if w := k.ivo.ask("POST", "/records/0", url.Values{"do": {"correct"}, "text": {"The tail <number> is 78."}}); w.Code != http.StatusSeeOther {
		t.Fatalf("a correction: %d %s", w.Code, w.Body)
	}
	says(t, "the corrected record", k.page(k.ivo, "/records/0?corrected"), "sealed as a record of its own", "Record 1", "The tail &lt;number&gt; is 78.", "no longer counts", "record 1 is a correction of it")
	says(t, "the correction", k.page(k.ivo, "/records/1"), "correction", "The tail &lt;number&gt; is 78.", `href="/records/0"`)
	if w := k.rigger.ask("POST", "/inspect/"+id+"/refuse", url.Values{"who": {"the pilot"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("a refusal: %d", w.Code)
	}
	list := k.page(k.rigger, "/records")
	says(t, "the list", list, "2 later about it", "refusal", "The load is refused by the pilot", "Record 2")
	if strings.Index(list, `href="/records/2"`) > strings.Index(list, `href="/records/0"`) {
		t.Error("the newest does not stand first")
	}
	says(t, "all answers", k.page(k.ivo, "/records/0/answers"), "Questions 1 to", "Compare legs", "The whole record")
	says(t, "the last answers", k.page(k.ivo, "/records/0/answers?from=9"), "Questions 10 to")
	for target, want := range map[string]int{"/records/1/answers": 404, "/records/0/answers?from=x": 400, "/records/7": 404, "/records/x": 404, "/records/-1": 404, "/records?before=x": 400, "/records/1/print": 404, "/records/0/print?copy=nobody": 400} {
		if w := k.ivo.ask("GET", target, nil); w.Code != want {
			t.Errorf("%s: %d, want %d", target, w.Code, want)
		}
	}
	says(t, "before", k.page(k.ivo, "/records?before=1"), `href="/records/0"`)
}

// Downloads are what the command line verifies, and heads kept elsewhere find
// what was altered.
func TestRecords_Verify(t *testing.T) {
	k := walkersHere(t)
	k.signed(k.ivo, k.form(k.ivo, "frame"))
	get := func(target, name string) []byte {
		w := k.eva.ask("GET", target, nil)
		if w.Code != http.StatusOK || !strings.Contains(w.Header().Get("Content-Disposition"), name) {
			t.Fatalf("%s: %d %s", target, w.Code, w.Header().Get("Content-Disposition"))
		}
		return w.Body.Bytes()
	}
	copied, key, head := get("/records/log", "records.log"), get("/records/key", "records.key"), get("/records/head", "head-2026-11-25-1.txt")
	found, err := app.VerifyRecords(copied, string(key), head)
	if err != nil || found.Size != 1 {
		t.Fatalf("the copy: %+v, %v", found, err)
	}
	if w := k.ivo.ask("POST", "/records/0", url.Values{"do": {"correct"}, "text": {"x"}}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	newer := get("/records/head", "head-2026-11-25-2.txt")
	says(t, "unasked", html.UnescapeString(k.page(k.eva, "/records/verify")), string(bytes.Split(newer, []byte("\n"))[2]))
	ask := func(form url.Values) string {
		w := k.eva.ask("POST", "/records/verify", form)
		if w.Code != http.StatusOK {
			t.Errorf("%v: %d %s", form, w.Code, w.Body)
		}
		goodPage(t, "verified", w.Body.String())
		return w.Body.String()
	}
	mark := regexp.MustCompile(`hangtrue-record:[^<]+`).FindString(k.page(k.eva, "/records/0"))
	says(t, "without heads", ask(url.Values{"heads": {""}}), "2 records, as sealed", "only that the log agrees with itself")
	says(t, "with two heads", ask(url.Values{"heads": {"\n" + string(head) + "\n" + string(newer)}, "mark": {mark}}), "2 records, as sealed", "Held against 2 heads", "The paper is that of", `href="/records/0"`)
	says(t, "another paper", ask(url.Values{"mark": {mark[:len(mark)-1] + "~"}}), "not what was sealed")
	says(t, "no mark", ask(url.Values{"mark": {"nonsense"}}), "no mark of a printed record")
	if w := k.eva.ask("POST", "/records/verify", url.Values{"heads": {"nonsense"}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "no head that the school") {
		t.Errorf("no head: %d", w.Code)
	}
}

// Somebody with the database alters the first record.
func TestRecords_VerifyNamesWhatWasAltered(t *testing.T) {
	walkersHere(t) // so that the whole school is there
	path := filepath.Join(t.TempDir(), "altered.db")
	whole.Lock()
	x := whole.made[schoolClock.Truncate(time.Hour)]
	whole.Unlock()
	err := os.WriteFile(path, x.database, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	k := x.school.on(t, path, func() time.Time { return schoolClock })
	k.signed(k.ivo, k.form(k.ivo, "frame"))
	for range 2 {
		if w := k.ivo.ask("POST", "/records/0", url.Values{"do": {"correct"}, "text": {"x"}}); w.Code != http.StatusSeeOther {
			t.Fatal(w.Code)
		}
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, q := range []string{"DROP TRIGGER log_entry_kept", `UPDATE log_entry SET line = CAST(REPLACE(CAST(line AS TEXT), '"text":"x"', '"text":"y"') AS BLOB) WHERE n = 1`} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	w := k.eva.ask("POST", "/records/verify", url.Values{"heads": {""}})
	goodPage(t, "an altered log", w.Body.String())
	says(t, "an altered log", w.Body.String(), "Not as sealed", "Entry 1: altered")
}

func TestRecords_Print(t *testing.T) {
	k := walkersHere(t)
	k.signed(k.ivo, k.form(k.ivo, "frame"))
	mark := regexp.MustCompile(`hangtrue-record:[^<]+`).FindString(k.page(k.ivo, "/records/0"))
	w := k.ivo.ask("GET", "/records/0/print", nil)
	if w.Code != http.StatusOK || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	pdftotext := extra.Need(t, "poppler")
	pdftoppm, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Fatal(err) // it comes with pdftotext
	}
	zbarimg := extra.Need(t, "zbar")
	file := filepath.Join(t.TempDir(), "record.pdf")
	if err := os.WriteFile(file, w.Body.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(pdftotext, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	says(t, "the paper", text, "COPY FOR THE LOAD", "COPY FOR THE AIRCREW", "COPY FOR THE FILE", "NO APPROVED PROCEDURE ENTERED", "Frame 1", "1400 kg", "Person rita", "Person ivo, inspector", "appointed by Board",
		"seen & noted", "ice on the pad", "Kestmoor Lift School", "record 0", "Not a clearance to lift")
	picture := filepath.Join(t.TempDir(), "page")
	if err := exec.Command(pdftoppm, "-r", "200", "-png", "-f", "1", "-l", "1", "-singlefile", file, picture).Run(); err != nil {
		t.Fatal(err)
	}
	read, err := exec.Command(zbarimg, "--quiet", "--raw", picture+".png").Output()
	if got := strings.TrimSpace(string(read)); err != nil || got != mark {
		t.Errorf("the code says %q, %v; want %q", got, err, mark)
	}
}

func TestTag(t *testing.T) {
	k := walkersHere(t)
	k.signed(k.ivo, k.form(k.ivo, "frame"))
	says(t, "the tag's page", k.page(k.ivo, "/tag/frame?load=Frame+1"), "No approved procedure entered", "The signature stands", `href="/records/0"`, "/loads/frame?load=Frame&#43;1", "1400 kg", "/tag/frame?load=Frame&#43;1")
	says(t, "another load's", k.page(k.sam, "/tag/frame?load=%3Cb%3EHut"), "&lt;b&gt;Hut", "None that you may see")
	says(t, "an invented one's", k.page(k.sam, "/tag/crate"), "INVENTED", "never for flight")
	for target, want := range map[string]int{"/tag/frame/print?load=Frame+1": 200, "/tag/frame/print?load=%C3%9Cberlauf": 200, "/tag/none": 404, "/tag/none/print": 404} {
		w := k.sam.ask("GET", target, nil)
		if w.Code != want || want == 200 && !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) {
			t.Errorf("%s: %d, want %d", target, w.Code, want)
		}
	}
}

func TestToday(t *testing.T) {
	k := walkersHere(t)
	says(t, "an empty day", k.page(k.chief, "/today"), "No inspection was signed today", "No finished inspection waits", "Nothing that is entered falls due", "Wednesday 25 November 2026", `<nav aria-label="Everything else"><ul><li><a href="/today">Today</a></li>`)
	k.signed(k.ivo, k.form(k.ivo, "frame"))
	waiting := k.form(k.eva, "frame")
	waiting.Set("load", "Frame 2")
	if w := k.eva.ask("POST", "/loads/frame", waiting); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	k.tablet(k.eva, waiting.Get("inspection")).walked()
	open := k.form(k.eva, "frame")
	open.Set("load", "Frame <3>")
	if w := k.eva.ask("POST", "/loads/frame", open); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	page := k.page(k.eva, "/today")
	says(t, "the day", page, "The signature stands", "record 0", "Frame 1", "Frame 2", "Frame &lt;3&gt;", "Go on")
	if w := k.rigger.ask("POST", "/inspect/"+waiting.Get("inspection")+"/refuse", url.Values{"who": {""}}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	page = k.page(k.sam, "/today")
	if strings.Contains(page, "Frame 1") || strings.Contains(page, "Equipment due") || strings.Contains(page, "Qualifications") {
		t.Error("a student sees others' day")
	}
}

func TestSettings(t *testing.T) {
	k := walkersHere(t)
	page := k.page(k.chief, "/settings")
	says(t, "the settings", page, "Kestmoor Lift School", "the load was moved", "hangtrue school backup")
	on := regexp.MustCompile(`name="on" value="([0-9a-f]*)"`).FindStringSubmatch(page)[1]
	form := url.Values{"do": {"save"}, "on": {on}, "name": {"Upper <School>"}, "zone": {"Europe/Zurich"}, "hours": {"8"}, "due_days": {"60"}, "blind": {"yes"}}
	w := k.chief.askMany("/settings", form, "lapse", []string{"moved", "something-else"})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	x, _, err := k.all.Settings()
	if err != nil || x.Name != "Upper <School>" || x.LapseHours != 8 || x.DueDays != 60 || !x.BlindCounts || x.LapseOvernight || len(x.Lapses) != 2 || x.Zone != "Europe/Zurich" {
		t.Errorf("%+v, %v", x, err)
	}
	says(t, "the settings", k.page(k.chief, "/settings?saved"), "Upper &lt;School&gt;", "The settings are changed", `value="moved" checked`)
	if w := k.chief.askMany("/settings", form, "lapse", nil); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "somebody changed the settings") {
		t.Errorf("saved over another's: %d", w.Code)
	}
	for field, value := range map[string]string{"name": "", "zone": "Moon/Base", "hours": "eight", "due_days": "0"} {
		bad := url.Values{}
		for k, v := range form {
			bad[k] = v
		}
		bad.Set(field, value)
		if w := k.chief.askMany("/settings", bad, "lapse", []string{"moved"}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `class="wrong"`) {
			t.Errorf("%s %q: %d", field, value, w.Code)
		}
	}
	if w := k.ivo.ask("GET", "/settings", nil); w.Code != http.StatusForbidden {
		t.Errorf("an inspector sees the settings: %d", w.Code)
	}
}

func TestHeadsIn(t *testing.T) {
	one := "a/records\n3\nAAAA\n\n— a 1111\n"
	two := "a/records\n5\nBBBB\n\n— a 2222\n— b 3333\n"
	for text, want := range map[string][]string{
		"": nil, "\n \n": nil, one: {one}, strings.ReplaceAll(one, "\n", "\r\n"): {one}, one + two: {one, two}, "\n\n" + one + "\n\n" + two + "\n": {one, two}, strings.TrimRight(one, "\n"): {one}, "x": {"x\n"},
	} {
		var got []string
		for _, h := range headsIn(text) {
			got = append(got, string(h))
		}
		if strings.Join(got, "|") != strings.Join(want, "|") {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
