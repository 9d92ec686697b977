package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/disk"
)

// crate is a rig with two counts that go together and two that do not, every
// limit entered.
const crate = `format: hangtrue.rig/1
title: Test crate
invented: yes
apex:
  - {id: apex, rated: 60 kN, hook: 60 kN}
bodies:
  - id: crate
    shape: {box: [2.4 m, 1.6 m, 1.2 m]}
    mass: 1400 kg # weighed
    known: weighed
    cg: [0.1 m, 0.02 m, 0.5 m]
    points:
      FL: {at: [1.2 m, 0.8 m, 1.2 m], rated: 30 kN}
      FR: {at: [1.2 m, -0.8 m, 1.2 m], rated: 30 kN}
      RL: {at: [-1.2 m, 0.8 m, 1.2 m], rated: 30 kN}
      RR: {at: [-1.2 m, -0.8 m, 1.2 m], rated: 30 kN}
legs:
  - {id: FL, to: crate.FL, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, rated: 25 kN, clevis: none}
  - {id: FR, to: crate.FR, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, rated: 25 kN, clevis: none}
  - {id: RL, to: crate.RL, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, group: rear, rated: 25 kN, clevis: none}
  - {id: RR, to: crate.RR, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, group: rear, rated: 25 kN, clevis: none} # as RL
limits:
  pitch: [-8 deg, 8 deg]
  roll: [-8 deg, 8 deg]
`

// bare has neither a chain nor a limit.
const bare = `format: hangtrue.rig/1
title: Bare <b>&"bundle"
bodies:
  - {id: bundle, mass: 300 kg, cg: [0 m, 0 m, 0.5 m], points: {P: [0 m, 0 m, 1 m]}}
legs:
  - {id: L, to: bundle.P, length: 4 m, stretch: 1 % at 20 kN}
`

// serving makes a server on a folder with these rigs.
func serving(t testing.TB, rigs map[string]string) (*Server, string) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range rigs {
		if err := os.WriteFile(filepath.Join(dir, name+".yaml"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	keeper, err := disk.Open(dir, app.MostBytes)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { keeper.Close() })
	return New(Config{
		Keeper:  keeper,
		Shelves: app.ShelvesOf(func(kind string) (app.Keeper, error) { return keeper.Shelf(kind) }),
		Tool:    "hangtrue test",
		Log:     slog.New(slog.NewTextHandler(io.Discard, nil)),
		Now:     func() time.Time { return time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC) },
	}), dir
}

// ask sends one request as a browser would; body is a form's fields or nil.
func ask(t testing.TB, s *Server, method, target string, form url.Values, header ...string) *httptest.ResponseRecorder {
	t.Helper()
	var body io.Reader
	kind := ""
	if form != nil {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		for _, key := range slices.Sorted(maps.Keys(form)) {
			// Browsers send the lines of a text with carriage returns.
			if err := m.WriteField(key, strings.ReplaceAll(form.Get(key), "\n", "\r\n")); err != nil {
				t.Fatal(err)
			}
		}
		m.Close()
		body, kind = &b, m.FormDataContentType()
	}
	r := httptest.NewRequest(method, target, body)
	r.Host = "127.0.0.1:8086"
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	for i := 0; i+1 < len(header); i += 2 {
		if header[i] == "Host" {
			r.Host = header[i+1]
			continue
		}
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w
}

// draftOf is the form of a rig's page as it is opened.
func draftOf(text string) url.Values {
	return url.Values{"text": {text}, "base": {app.Version([]byte(text))}, "azimuth": {"-55"}, "elevation": {"20"}}
}

func do(t testing.TB, s *Server, name, what string, form url.Values) (*changed, int) {
	t.Helper()
	form.Set("do", what)
	w := ask(t, s, "POST", rigURL(name), form, "Accept", "application/json")
	var c changed
	if err := json.Unmarshal(w.Body.Bytes(), &c); err != nil {
		t.Fatalf("%s: %v in %.300s", what, err, w.Body)
	}
	form.Set("text", c.Text)
	form.Set("base", c.Base)
	form.Set("undo", c.Undo)
	form.Set("redo", c.Redo)
	return &c, w.Code
}

func TestCounts_ChangeUndoRedo(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate})
	form := draftOf(crate)
	c, _ := do(t, s, "crate", "count FL 14", form)
	want := strings.Replace(crate, "count: 10", "count: 14", 1)
	if c.Text != want || !c.Dirty {
		t.Errorf("text is\n%s", c.Text)
	}
	first := c.Parts["legs"]
	if !strings.Contains(first, "<output>14</output>") {
		t.Errorf("no count 14 in %s", first)
	}
	c, _ = do(t, s, "crate", "count FL +1", form)
	if !strings.Contains(c.Text, "count: 15,") {
		t.Errorf("a step up from 14 gives\n%s", c.Text)
	}
	do(t, s, "crate", "count FL -1", form)
	do(t, s, "crate", "undo", form)
	do(t, s, "crate", "undo", form)
	// The rear legs go together.
	c, _ = do(t, s, "crate", "count RR 9", form)
	if got := strings.Count(c.Text, "count: 9,"); got != 2 {
		t.Errorf("%d legs have count 9, want 2", got)
	}
	if c.Parts["legs"] == first || c.Parts["picture"] == "" {
		t.Error("the page did not change")
	}
	c, _ = do(t, s, "crate", "undo", form)
	if c.Text != want {
		t.Errorf("undo gives\n%s", c.Text)
	}
	c, _ = do(t, s, "crate", "undo", form)
	if c.Text != crate || c.Dirty || c.Undo != "" {
		t.Errorf("undo of all gives dirty %v, undo %q\n%s", c.Dirty, c.Undo, c.Text)
	}
	do(t, s, "crate", "redo", form)
	c, _ = do(t, s, "crate", "redo", form)
	if got := strings.Count(c.Text, "count: 9,"); got != 2 || !strings.Contains(c.Text, "count: 14,") {
		t.Errorf("redo gives\n%s", c.Text)
	}
	// Undo stays possible after the text was changed by hand.
	form.Set("text", strings.Replace(form.Get("text"), "# weighed", "# weighed twice", 1))
	c, _ = do(t, s, "crate", "undo", form)
	if !strings.Contains(c.Text, "weighed twice") || strings.Contains(c.Text, "count: 9,") {
		t.Errorf("got\n%s", c.Text)
	}
	if file, err := os.ReadFile(filepath.Join(dir, "crate.yaml")); err != nil || string(file) != crate {
		t.Errorf("the file changed before it was saved: %v", err)
	}
}

func TestCounts_ResultChanges(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	form := draftOf(crate)
	c, _ := do(t, s, "crate", "read", form)
	if !strings.Contains(c.Parts["head"], "Within the limits entered") {
		t.Fatalf("not within: %s", c.Parts["head"])
	}
	c, _ = do(t, s, "crate", "count RL 60", form)
	if !strings.Contains(c.Parts["head"], "Over a limit") {
		t.Errorf("not over: %s", c.Parts["head"])
	}
}

func TestSave(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate})
	mine, theirs := draftOf(crate), draftOf(crate)
	do(t, s, "crate", "count FL 12", mine)
	c, code := do(t, s, "crate", "save", mine)
	if code != http.StatusOK || c.Dirty || !strings.Contains(c.Parts["head"], "Saved as version "+c.Base[:8]) {
		t.Fatalf("status %d, dirty %v: %s", code, c.Dirty, c.Parts["head"])
	}
	if c.Base != app.Version([]byte(c.Text)) {
		t.Errorf("version %s is not the text's", c.Base)
	}
	if file, _ := os.ReadFile(filepath.Join(dir, "crate.yaml")); string(file) != c.Text {
		t.Errorf("file is\n%s", file)
	}
	do(t, s, "crate", "count FL 20", theirs)
	d, code := do(t, s, "crate", "save", theirs)
	if code != http.StatusConflict || !d.Dirty || !strings.Contains(d.Parts["head"], "Not saved: version "+c.Base[:8]) {
		t.Fatalf("status %d: %s", code, d.Parts["head"])
	}
	if !strings.Contains(d.Text, "count: 20") {
		t.Error("the refused text is gone")
	}
	if _, code = do(t, s, "crate", "save", theirs); code != http.StatusOK {
		t.Errorf("saving on top of the new one: status %d", code)
	}
	kept, err := s.Keeper.Versions("crate")
	if err != nil || len(kept) != 3 {
		t.Errorf("%d versions kept, %v; want 3", len(kept), err)
	}
}

func TestSave_KeepsLineEndsAndMark(t *testing.T) {
	text := "\ufeff" + strings.ReplaceAll(crate, "\n", "\r\n")
	s, _ := serving(t, map[string]string{"crate": text})
	form := url.Values{"text": {strings.ReplaceAll(text, "\r\n", "\n")}, "base": {app.Version([]byte(text))}}
	c, _ := do(t, s, "crate", "read", form)
	if c.Dirty {
		t.Error("a text that nobody changed is dirty")
	}
	do(t, s, "crate", "count FL 12", form)
	do(t, s, "crate", "save", form)
	got, err := s.Keeper.Current("crate")
	if want := strings.Replace(text, "count: 10", "count: 12", 1); err != nil || string(got) != want {
		t.Errorf("got %q, %v", got, err)
	}
}

func TestSheet_IsVoidAfterAChange(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	w := ask(t, s, "POST", "/rig/crate/sheet", url.Values{"version": {app.Version([]byte(crate))}})
	if w.Code != 200 || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) || w.Header().Get("Content-Type") != "application/pdf" {
		t.Fatalf("status %d, %s: %.60q", w.Code, w.Header().Get("Content-Type"), w.Body)
	}
	form := draftOf(crate)
	c, _ := do(t, s, "crate", "read", form)
	if v := c.Parts["versions"]; strings.Contains(v, "oid") || !strings.Contains(v, "Sheet printed") {
		t.Errorf("versions: %s", v)
	}
	do(t, s, "crate", "count FL 12", form)
	c, _ = do(t, s, "crate", "save", form)
	if bar, v := c.Parts["bar"], c.Parts["versions"]; !strings.Contains(bar, "A printed sheet is void") || !strings.Contains(v, "<b>Void:</b>") {
		t.Errorf("bar: %s\nversions: %s", bar, v)
	}
	w = ask(t, s, "POST", "/rig/crate/sheet", url.Values{"version": {strings.Repeat("0", 64)}})
	if w.Code != http.StatusNotFound {
		t.Errorf("a version that is not there: status %d", w.Code)
	}
}

func TestErrors_AtTheirLines(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	form := draftOf(strings.Replace(crate, "mass: 1400 kg", "mass: 1400", 1))
	form.Set("base", app.Version([]byte(crate)))
	c, _ := do(t, s, "crate", "read", form)
	if p := c.Parts["problems"]; !strings.Contains(p, `data-line="9"`) || !strings.Contains(p, "Line 9") {
		t.Errorf("problems: %s", p)
	}
	for part, none := range map[string]string{"picture": "<svg", "numbers": "kN", "legs": "kN", "head": "limits entered"} {
		if strings.Contains(c.Parts[part], none) {
			t.Errorf("part %s still has numbers of another text: %s", part, c.Parts[part])
		}
	}
	form.Set("do", "read")
	page := ask(t, s, "POST", "/rig/crate", form).Body.String()
	if !strings.Contains(page, `<span class="wrong">9</span>`) {
		t.Error("line 9 is not marked")
	}
}

// Every page, full and empty, is drawn without an error, is well made and says
// what it must.
func TestPages_FullAndEmpty(t *testing.T) {
	open := strings.ReplaceAll(crate, "count: 10", "count: find")
	s, dir := serving(t, map[string]string{
		"crate": crate, "bare": bare, "open": open, "broken": "format: hangtrue.rig/1\nlegs: 3\n", "empty": "", "noise": "\x00\xff", "ü b": bare,
	})
	if err := os.WriteFile(filepath.Join(dir, "huge.yaml"), make([]byte, app.MostBytes+1), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "other.yml"), []byte(bare), 0o644); err != nil {
		t.Fatal(err)
	}
	none, _ := serving(t, nil)
	dirty := draftOf(strings.Replace(crate, "count: 10", "count: 70", 1))
	dirty.Set("base", app.Version([]byte(crate)))
	for _, c := range []struct {
		s              *Server
		method, target string
		form           url.Values
		status         int
		has            []string
	}{
		{none, "GET", "/", nil, 200, []string{"There is no rig in this folder"}},
		{s, "GET", "/", nil, 200, []string{"Test crate", "INVENTED", "Within the limits entered", "Cannot tell", "The text cannot be read", "The file cannot be read", rig.Caution[:30], "&lt;b&gt;", "<b>other.yml</b>", "ends in .yaml"}},
		{s, "GET", "/rig/crate", nil, 200, []string{"INVENTED", "No approved procedure entered", "Within the limits entered", "Print the sheet", rig.Caution[:30], "hover check"}},
		{s, "GET", "/rig/bare", nil, 200, []string{"Cannot tell", "no chain", "not rated", "Bare &lt;b&gt;&amp;"}},
		{s, "GET", "/rig/open", nil, 200, []string{"Counts still open", "Cannot tell", "<output>open</output>", `value="count FL +1"`}},
		{s, "GET", "/rig/broken", nil, 200, []string{"The text cannot be read", "No result", "No legs can be read"}},
		{s, "GET", "/rig/empty", nil, 200, []string{"The text cannot be read"}},
		{s, "GET", "/rig/noise", nil, 200, []string{"The text cannot be read"}},
		{s, "GET", "/rig/%C3%BC%20b", nil, 200, []string{"Cannot tell"}},
		{s, "GET", "/rig/crate?version=" + app.Version([]byte(crate)), nil, 200, []string{"Saved as version"}},
		{s, "POST", "/rig/crate", dirty, 200, []string{"Save as a new version", "Discard", "Over a limit"}},
		{s, "GET", "/rig/none", nil, 404, []string{"There is no such rig"}},
		{s, "GET", "/rig/crate?version=1", nil, 404, []string{"There is no such rig"}},
		{s, "GET", "/rig/..%2fcrate", nil, 404, []string{"There is no such rig"}},
		{s, "GET", "/other", nil, 404, []string{"no such page"}},
		{s, "POST", "/rig/crate", url.Values{"do": {"dance"}, "text": {crate}, "base": {app.Version([]byte(crate))}}, 400, []string{"cannot do"}},
		{s, "POST", "/rig/crate", url.Values{"do": {"read"}}, 400, []string{"not kept here"}},
	} {
		t.Run(c.method+" "+c.target, func(t *testing.T) {
			w := ask(t, c.s, c.method, c.target, c.form)
			page := w.Body.String()
			if w.Code != c.status {
				t.Errorf("status %d, want %d", w.Code, c.status)
			}
			for _, want := range c.has {
				if !strings.Contains(page, want) {
					t.Errorf("page does not say %q", want)
				}
			}
			if !strings.HasSuffix(strings.TrimSpace(page), "</html>") {
				t.Errorf("page is cut off: …%.200s", page[max(0, len(page)-200):])
			}
			for _, bad := range []string{"<no value>", "ZgotmplZ", "NaN", "Inf ", " style=", "%!", "onclick"} {
				if strings.Contains(page, bad) {
					t.Errorf("page has %q", bad)
				}
			}
			if !strings.Contains(page, `lang="en"`) || strings.Count(page, "<h1") != 1 || strings.Count(page, "<main") != 1 {
				t.Error("page lacks its language, its one heading or its main part")
			}
			t.Logf("%d bytes", len(page))
		})
	}
}

func TestStatus_StandsAboveEveryNumber(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	page := ask(t, s, "GET", "/rig/crate", nil).Body.String()
	status := strings.Index(page, `class="status loud"`)
	number := regexp.MustCompile(`>[^<]*\d+(\.\d+)? (kN|kg|deg|m|%)[^<]*<`).FindStringIndex(page)
	if status < 0 || number == nil || number[0] < status {
		t.Errorf("status at %d, first number at %v", status, number)
	}
}

func TestAddRig(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": crate})
	send := func(name string, data []byte) *httptest.ResponseRecorder {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		f, err := m.CreateFormFile("file", name)
		if err != nil {
			t.Fatal(err)
		}
		f.Write(data)
		m.Close()
		r := httptest.NewRequest("POST", "/rigs", &b)
		r.Host = "localhost"
		r.Header.Set("Content-Type", m.FormDataContentType())
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		return w
	}
	for _, c := range []struct {
		name   string
		data   []byte
		status int
		has    string
	}{
		{"crate.yaml", []byte(bare), 422, "There is a rig named crate already"},
		{"x.txt", []byte(bare), 422, "ends in .yaml"},
		{"x.yaml", []byte{0xff, 0xfe}, 422, "no text in UTF-8"},
		{"x.yaml", []byte("format: hangtrue.rig/1\ntitle: 3\nbodes: []\n"), 422, "Line 3"},
		{"x.yaml", make([]byte, app.MostBytes+1), 413, "at most 1 MiB"},
		{"x.yaml", make([]byte, 8<<20), 413, "at most 1 MiB"},
		{`C:\rigs\new one.yml`, []byte(bare), 303, ""},
	} {
		w := send(c.name, c.data)
		if w.Code != c.status || !strings.Contains(w.Body.String(), c.has) {
			t.Errorf("%s, %d bytes: status %d, want %d with %q", c.name, len(c.data), w.Code, c.status, c.has)
		}
	}
	if got, err := os.ReadFile(filepath.Join(dir, "new one.yaml")); err != nil || string(got) != bare {
		t.Errorf("kept %q, %v", got, err)
	}
	if names, _ := s.Keeper.Names(); len(names) != 2 {
		t.Errorf("rigs: %q", names)
	}
	big := draftOf(crate)
	big.Set("do", "read")
	big.Set("text", strings.Repeat("#", app.MostBytes+1))
	if w := ask(t, s, "POST", "/rig/crate", big); w.Code != 413 {
		t.Errorf("a text that is too long: status %d", w.Code)
	}
}

func TestHistory(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""},
		{"FL:10>11", "FL:10>11"},
		{"FL:10>11,FR:10>11;RL:4>5", "FL:10>11,FR:10>11;RL:4>5"},
		{"nonsense;FL:1>2;:;a:b>c,RR:3>4", "FL:1>2;RR:3>4"},
	} {
		if got := readHistory(c.text).String(); got != c.want {
			t.Errorf("%q reads as %q, want %q", c.text, got, c.want)
		}
	}
	var long history
	for i := range mostSteps + 10 {
		long = long.with(step{{Leg: "L", From: i, To: i + 1}})
	}
	if len(long) != mostSteps || long[mostSteps-1][0].From != mostSteps+9 {
		t.Errorf("%d steps, last %v", len(long), long[len(long)-1])
	}
	if got := fmt.Sprint(readHistory(long.String())); got != fmt.Sprint(long) {
		t.Errorf("got %s", got)
	}
}
