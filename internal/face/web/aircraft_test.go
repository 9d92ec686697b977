package web

import (
	"encoding/json"
	"html"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/face/app"
)

// formOf is the form of a page as a browser would send it back.
func formOf(t testing.TB, page string) url.Values {
	t.Helper()
	form := url.Values{}
	attribute := func(tag, name string) (string, bool) {
		m := regexp.MustCompile(`\s` + name + `="([^"]*)"`).FindStringSubmatch(tag)
		if m == nil {
			return "", false
		}
		return html.UnescapeString(m[1]), true
	}
	for _, tag := range regexp.MustCompile(`<input[^>]*>`).FindAllString(page, -1) {
		if name, ok := attribute(tag, "name"); ok {
			value, _ := attribute(tag, "value")
			form.Set(name, value)
		}
	}
	for _, m := range regexp.MustCompile(`(?s)<textarea([^>]*)>\n?(.*?)</textarea>`).FindAllStringSubmatch(page, -1) {
		if name, ok := attribute(m[1], "name"); ok {
			form.Set(name, html.UnescapeString(m[2]))
		}
	}
	for _, m := range regexp.MustCompile(`(?s)<select([^>]*)>(.*?)</select>`).FindAllStringSubmatch(page, -1) {
		name, ok := attribute(m[1], "name")
		if !ok {
			continue
		}
		form.Set(name, "")
		if picked := regexp.MustCompile(`<option([^>]*) selected>([^<]*)`).FindStringSubmatch(m[2]); picked != nil {
			value, has := attribute(picked[1], "value")
			if !has {
				value = html.UnescapeString(picked[2])
			}
			form.Set(name, value)
		}
	}
	if len(form) < 2 {
		t.Fatalf("only %d fields in the form: the test reads nothing", len(form))
	}
	return form
}

// pressed sends a form with a button and returns the answer that a script gets.
func pressed(t testing.TB, s *Server, address, do string, form url.Values) (textChanged, int) {
	t.Helper()
	form.Set("do", do)
	w := ask(t, s, "POST", address, form, "Accept", "application/json")
	var c textChanged
	if err := json.Unmarshal(w.Body.Bytes(), &c); err != nil {
		t.Fatalf("%s: status %d, %v in %.300s", do, w.Code, err, w.Body)
	}
	return c, w.Code
}

// A page that nobody changed sends back the text as it is, notes and all.
func TestAircraft_FormChangesOnlyWhatWasChanged(t *testing.T) {
	s, dir := serving(t, nil)
	for _, name := range app.ShippedAircraft() {
		page := ask(t, s, "GET", "/aircraft/"+name, nil).Body.String()
		was, _ := app.Shipped(name)
		c, _ := pressed(t, s, "/aircraft/"+name, "read", formOf(t, page))
		if c.Text != string(was) || c.Dirty {
			t.Errorf("%s: the text changed by itself:\n%s", name, c.Text)
		}
	}
	was, _ := app.Shipped("single")
	form := formOf(t, ask(t, s, "GET", "/aircraft/single", nil).Body.String())
	form.Set("f.fuel.reserve", "30 min")
	form.Set("f.hover.oge.gross[1][2]", "2480")
	form.Set("f.crew[1].what", "loadmaster: new")
	form.Set("f.crew[1].mass", "85 kg")
	c, _ := pressed(t, s, "/aircraft/single", "read", form)
	want := strings.Replace(string(was), "reserve: 20 min", "reserve: 30 min", 1)
	want = strings.Replace(want, "[2500 kg, 2500 kg, 2500 kg, 2490 kg, 2420 kg, 2350 kg, 2290 kg]", "[2500 kg, 2500 kg, 2480 kg, 2490 kg, 2420 kg, 2350 kg, 2290 kg]", 1)
	want = strings.Replace(want, "1.00 m]}\nkit", "1.00 m]}\n  - {what: \"loadmaster: new\", mass: 85 kg}\nkit", 1)
	if c.Text != want {
		t.Errorf("got\n%s\nwant\n%s", c.Text, want)
	}
	// 2490 at 10 degC after 2480 at 0 degC rises with temperature.
	if grids := c.Parts["aircraft-grids"]; !strings.Contains(grids, "Look again:</b> 2490 kg at") || !strings.Contains(grids, `class="lift-slipped"`) {
		t.Errorf("the slip is not said at its row: %.400s", grids)
	}
	if !c.Dirty || len(c.Parts) < 6 {
		t.Errorf("dirty %v, parts %d", c.Dirty, len(c.Parts))
	}
	// What was saved is the school's own from then on.
	form.Set("text", c.Text)
	saved, code := pressed(t, s, "/aircraft/single", "save", form)
	if code != http.StatusOK || saved.Dirty {
		t.Fatalf("status %d, %+v", code, saved.Parts["text-bar"])
	}
	file, err := os.ReadFile(filepath.Join(dir, "aircraft", "single.yaml"))
	if err != nil || string(file) != want {
		t.Errorf("the file is %q, %v", file, err)
	}
	if page := ask(t, s, "GET", "/aircraft", nil).Body.String(); strings.Count(page, "shipped with the program</span>") != len(app.ShippedAircraft())-1 {
		t.Error("the list does not tell the school’s own from those shipped")
	}
	// Two people: the second is told, and loses nothing.
	form.Set("base", "")
	form.Set("text", want)
	form.Set("f.fuel.reserve", "40 min")
	if c, code = pressed(t, s, "/aircraft/single", "save", form); code != http.StatusConflict || !strings.Contains(c.Parts["text-bar"], "Not saved") || !strings.Contains(c.Text, "40 min") {
		t.Errorf("status %d: %s", code, c.Parts["text-bar"])
	}
}

func TestAircraft_ProblemsStandBesideTheirFields(t *testing.T) {
	s, _ := serving(t, nil)
	w := ask(t, s, "POST", "/aircraft", url.Values{"name": {"HB-XYZ"}, "begin": {""}})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %.300s", w.Code, w.Body)
	}
	at := w.Header().Get("Location")
	page := ask(t, s, "GET", at, nil).Body.String()
	for _, want := range []string{"Not an aircraft yet", `<b class="lift-needed">needed</b>`} {
		if !strings.Contains(page, want) {
			t.Errorf("an empty aircraft does not say %q", want)
		}
	}
	form := formOf(t, page)
	form.Set("f.empty.mass", "1350")
	form.Set("f.hooks[0].id", "belly")
	form.Set("f.hooks[0].rated", "1000 ft")
	form.Set("f.crew[0].mass", "90 kg")
	c, _ := pressed(t, s, at, "read", form)
	// A hover table is plotted and looked through before the rest is there.
	form.Set("paste.oge", "\t0\t20\n0\t2500\t2400\n2000\t2600\t2300\n4000\t2200\t2100\n")
	c, _ = pressed(t, s, at, "paste oge", form)
	if !strings.Contains(c.Parts["aircraft-plots"], "<svg") || !strings.Contains(c.Parts["aircraft-grids"], "Look again:</b> 2600 kg") {
		t.Error("the table is not plotted, or its slip not said, while other data is missing")
	}
	fields := c.Parts["aircraft-form"]
	for _, want := range []string{
		`(?s)name="f\.empty\.mass" value="1350"[^>]*aria-invalid.{0,200}1350 needs a unit`,
		`(?s)name="f\.hooks\[0\]\.rated" value="1000 ft"[^>]*aria-invalid`,
		`(?s)<label for="f-crew-0-what">What <b class="lift-needed">`,
	} {
		if !regexp.MustCompile(want).MatchString(fields) {
			t.Errorf("the form lacks %s", want)
		}
	}
	if !strings.Contains(c.Parts["text-problems"], "data-line=") {
		t.Error("no problem stands at its line")
	}
	// A text that is no list of keys has no form, and nothing is lost.
	form.Set("text", "nonsense")
	if c, _ = pressed(t, s, at, "read", form); c.Text != "nonsense" || !strings.Contains(c.Parts["aircraft-grids"], "no form to show") {
		t.Errorf("text %q", c.Text)
	}
}

func TestAircraft_TableIsPasted(t *testing.T) {
	s, _ := serving(t, nil)
	form := formOf(t, ask(t, s, "GET", "/aircraft/single", nil).Body.String())
	form.Set("paste.oge", "\t-10\t10\t30\r\n0\t2500\t2480\t2400\r\n4000\t2300\t2200\t\r\n")
	form.Set("u.hover.oge.altitude", "m")
	c, _ := pressed(t, s, "/aircraft/single", "paste oge", form)
	if want := "    altitudes: [0 m, 4000 m]\n    temperatures: [-10 degC, 10 degC, 30 degC]\n    gross:\n      - [2500 kg, 2480 kg, 2400 kg]\n      - [2300 kg, 2200 kg, none]\n  ige:\n"; !strings.Contains(c.Text, want) {
		t.Errorf("got\n%s", c.Text)
	}
	if !strings.Contains(c.Parts["aircraft-grids"], "igures missing: 1 of 6") {
		t.Error("the hole is not pointed out")
	}
	form.Set("paste.oge", "just words")
	c, _ = pressed(t, s, "/aircraft/single", "paste oge", form)
	if grids := c.Parts["aircraft-grids"]; !strings.Contains(grids, "What was pasted is no table") || !strings.Contains(grids, "just words</textarea>") {
		t.Error("what could not be read is not said, or is lost")
	}
	c, _ = pressed(t, s, "/aircraft/single", "out oge row 7", form)
	if strings.Count(c.Text, "14000 ft") != 1 {
		t.Error("the row was not taken out")
	}
	c, _ = pressed(t, s, "/aircraft/single", "out oge column 0", form)
	if !strings.Contains(c.Text, "temperatures: [-10 degC, 0 degC") {
		t.Error("the column was not taken out")
	}
}

func TestAircraft_AddIsRefused(t *testing.T) {
	s, _ := serving(t, nil)
	for _, c := range []struct{ name, begin, has string }{
		{"", "", "give it a name"}, {"single", "", "already"}, {"a/b", "", "no file can have this name"}, {"x", "nobody", "there is no aircraft named nobody"},
	} {
		w := ask(t, s, "POST", "/aircraft", url.Values{"name": {c.name}, "begin": {c.begin}})
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), c.has) {
			t.Errorf("%q from %q: status %d, want %q", c.name, c.begin, w.Code, c.has)
		}
	}
	if w := ask(t, s, "GET", "/aircraft/nobody", nil); w.Code != http.StatusNotFound {
		t.Errorf("an aircraft that is not there: status %d", w.Code)
	}
	w := ask(t, s, "POST", "/aircraft", url.Values{"name": {"mine"}, "begin": {"tandem"}})
	if w.Code != http.StatusSeeOther {
		t.Errorf("a copy: status %d", w.Code)
	}
}

func TestYAML_IsWrittenSoThatItIsReadBack(t *testing.T) {
	for _, text := range []string{"plain", "1350 kg", "8 % at 27 kN", "a: b", "# no", "null", "yes", "-3 degC", "- x", "it's", `say "so"`, "a, b", "{x}", "tab\there", "über 3 m²", "end ", "~"} {
		got, ok := typedOf([]byte("format: x\nkey: " + yamlScalar(text) + "\nlist: [" + yamlScalar(text) + "]\n"))
		want := strings.TrimRight(text, "\n")
		if text == "tab\there" {
			continue // control characters are refused by the reader, wherever they stand
		}
		if !ok || got["key"] != want || got["list[0]"] != want {
			t.Errorf("%q comes back as %q and %q", text, got["key"], got["list[0]"])
		}
	}
	const file = "# head\nformat: x\n\n# of a\na:\n- 1\n- 2\n# of b\nb: {\n  c: 1\n}\n\nd: 2"
	for _, c := range []struct{ key, written, want string }{
		{"a", "a: 3\n", "# head\nformat: x\n\n# of a\na: 3\n# of b\nb: {\n  c: 1\n}\n\nd: 2"},
		{"b", "", "# head\nformat: x\n\n# of a\na:\n- 1\n- 2\n# of b\n\nd: 2"},
		{"e", "e: 1\n", file + "\ne: 1\n"},
		{"d", "d: 5\n", strings.TrimSuffix(file, "d: 2") + "d: 5\n"},
		{"x", "", file},
	} {
		if got := withKey(file, c.key, c.written); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.key, got, c.want)
		}
	}
}
