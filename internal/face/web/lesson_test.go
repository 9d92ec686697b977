package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Every checkpoint has a screen in each way, with the status above, the caution
// below, and a way on and back.
func TestLesson_Screens(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	first := ask(t, s, "GET", "/rig/crate/lesson", nil).Body.String()
	for _, want := range []string{`href="/rig/crate/lesson?at=1&amp;way=shown"`, `href="/rig/crate/lesson?at=1&amp;way=guided"`, `href="/rig/crate/lesson?at=1&amp;way=unaided"`, "Practice:", "Not a clearance to lift", "INVENTED"} {
		if !strings.Contains(first, want) {
			t.Errorf("the first page lacks %s", want)
		}
	}
	stops := len(regexp.MustCompile(`<li><a href="/rig/crate/lesson\?at=\d+&amp;way=shown">`).FindAllString(first, -1))
	if stops < 10 {
		t.Fatalf("%d checkpoints, want at least 10", stops)
	}
	for _, way := range []string{"shown", "guided"} {
		computed, pictures := 0, 0
		for at := 1; at <= stops; at++ {
			w := ask(t, s, "GET", "/rig/crate/lesson?way="+way+"&at="+strconv.Itoa(at), nil)
			body := w.Body.String()
			if w.Code != http.StatusOK {
				t.Fatalf("%s %d: %d", way, at, w.Code)
			}
			for _, want := range []string{"Station ", "No approved procedure entered", "INVENTED", "Not a clearance to lift", "data-on", "data-back"} {
				if !strings.Contains(body, want) {
					t.Errorf("%s %d lacks %s", way, at, want)
				}
			}
			computed += strings.Count(body, "Computed for this load:")
			pictures += strings.Count(body, `<div class="lesson-picture"><svg`)
			if (at == stops) != strings.Contains(body, "Anything else?") {
				t.Errorf("%s %d: the last screen, and no other, asks for anything else", way, at)
			}
		}
		if computed < 20 {
			t.Errorf("%s: %d outcomes are computed, want at least 20", way, computed)
		}
		if (way == "guided") != (pictures > 10) {
			t.Errorf("%s: %d pictures to be told right or wrong", way, pictures)
		}
	}
	walk := ask(t, s, "GET", "/rig/crate/walk", nil).Body.String()
	if !strings.Contains(walk, `href="/rig/crate/lesson"`) {
		t.Error("the walk-round has no link to the lesson")
	}
	if w := ask(t, s, "GET", "/rig/crate/lesson?way=sung", nil); w.Code != http.StatusNotFound {
		t.Errorf("a way that there is not: %d", w.Code)
	}
	for _, at := range []string{"0", "-4", "9999", "x"} {
		if w := ask(t, s, "GET", "/rig/crate/lesson?way=shown&at="+at, nil); w.Code != http.StatusOK {
			t.Errorf("checkpoint %s: %d", at, w.Code)
		}
	}
}

// What a guided screen says before the press does not depend on the state in
// which its pictures are drawn.
func TestLesson_QuestionTellsNothing(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	drawing := regexp.MustCompile(`(?s)<svg.*?</svg>`)
	answer := regexp.MustCompile(`(?s)<details.*?</details>`)
	question := func(drawn int) string {
		body := ask(t, s, "GET", "/rig/crate/lesson?way=guided&at=5&drawn="+strconv.Itoa(drawn), nil).Body.String()
		body = drawing.ReplaceAllString(answer.ReplaceAllString(body, ""), "")
		return regexp.MustCompile(`drawn=\d+`).ReplaceAllString(body, "")
	}
	whole := func(drawn int) string {
		return ask(t, s, "GET", "/rig/crate/lesson?way=guided&at=5&drawn="+strconv.Itoa(drawn), nil).Body.String()
	}
	if whole(2) == whole(3) {
		t.Fatal("two drawings are alike: nothing is compared")
	}
	if question(2) != question(3) {
		t.Error("the question differs with what is drawn")
	}
}

// Answers go with the page and come back at the end; what is not an answer does
// not.
func TestLesson_Unaided(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	first := ask(t, s, "GET", "/rig/crate/lesson?way=unaided", nil).Body.String()
	version := regexp.MustCompile(`name="version" value="(\w+)"`).FindStringSubmatch(first)
	if version == nil {
		t.Fatal("the screen says no version")
	}
	for _, word := range []string{"Wrong:", "As it should be:", "Computed"} {
		if strings.Contains(first, word) {
			t.Errorf("an unaided screen says %q", word)
		}
	}
	form := url.Values{"version": {version[1]}, "drawn": {"1"}, "at": {"1"}, "do": {"on"}, "call.1.1": {"wrong"}, "said.1.1": {`a "bent" <hook>`}, "call.1.2": {"perhaps"}}
	second := ask(t, s, "POST", "/rig/crate/lesson", form).Body.String()
	if !strings.Contains(second, "Unaided: 2 of ") || !strings.Contains(second, `name="said.1.1" value="a &#34;bent&#34; &lt;hook&gt;"`) {
		t.Error("the second screen does not carry the first answer")
	}
	if strings.Contains(second, "perhaps") {
		t.Error("a call that there is not is carried on")
	}
	form.Set("do", "end")
	end := ask(t, s, "POST", "/rig/crate/lesson", form).Body.String()
	for _, want := range []string{"You: something is wrong, “a &#34;bent&#34; &lt;hook&gt;”.", "You: no answer.", "Nothing is counted", "Not a clearance to lift"} {
		if !strings.Contains(end, want) {
			t.Errorf("the end lacks %s", want)
		}
	}
	form.Set("said.1.1", strings.Repeat("ä", 1000))
	form.Set("do", "on")
	if long := ask(t, s, "POST", "/rig/crate/lesson", form).Body.String(); strings.Contains(long, strings.Repeat("ä", mostSaid/2+1)) || !strings.Contains(long, strings.Repeat("ä", mostSaid/2)) {
		t.Error("a long answer is not cut")
	}
	form.Set("version", "other")
	if w := ask(t, s, "POST", "/rig/crate/lesson", form); w.Code != http.StatusConflict {
		t.Errorf("another version: %d", w.Code)
	}
}

// The papers: the handout, and a quiz with its key.
func TestLesson_Papers(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	first := ask(t, s, "GET", "/rig/crate/lesson", nil).Body.String()
	version := regexp.MustCompile(`name="version" value="(\w+)"`).FindStringSubmatch(first)[1]
	quiz := func(change ...string) url.Values {
		form := url.Values{"version": {version}, "questions": {"6"}, "seed": {"Monday"}, "good": {"40"}, "paper": {"quiz"}}
		for i := 0; i+1 < len(change); i += 2 {
			form.Set(change[i], change[i+1])
		}
		return form
	}
	for name, x := range map[string]struct {
		path string
		form url.Values
		code int
		says string
	}{
		"handout":         {"handout", url.Values{"version": {version}}, http.StatusOK, "%PDF-"},
		"projector":       {"handout", url.Values{"version": {version}, "paper": {"projector"}}, http.StatusOK, "%PDF-"},
		"quiz":            {"quiz", quiz(), http.StatusOK, "%PDF-"},
		"pairs":           {"quiz", quiz("pairs", "yes"), http.StatusOK, "%PDF-"},
		"key":             {"quiz", quiz("paper", "key"), http.StatusOK, "%PDF-"},
		"no seed":         {"quiz", quiz("seed", " "), http.StatusBadRequest, "needs a seed"},
		"no number":       {"quiz", quiz("questions", "ten"), http.StatusBadRequest, "no whole number"},
		"too many":        {"quiz", quiz("questions", "61"), http.StatusBadRequest, "from 1 to 60"},
		"good share":      {"quiz", quiz("good", "101"), http.StatusBadRequest, "from 0 to 100"},
		"neither":         {"quiz", quiz("paper", "both"), http.StatusBadRequest, "the quiz or its key"},
		"another version": {"quiz", quiz("version", "other"), http.StatusConflict, "was changed"},
		"an old handout":  {"handout", url.Values{"version": {"other"}}, http.StatusConflict, "was changed"},
	} {
		w := ask(t, s, "POST", "/rig/crate/lesson/"+x.path, x.form)
		if w.Code != x.code || !strings.Contains(w.Body.String(), x.says) {
			t.Errorf("%s: %d, %.200s", name, w.Code, w.Body.String())
		}
	}
	name := func(paper string) string {
		return ask(t, s, "POST", "/rig/crate/lesson/quiz", quiz("paper", paper)).Header().Get("Content-Disposition")
	}
	if q, k := name("quiz"), name("key"); strings.TrimSuffix(q, ".pdf")+"-key.pdf" != k {
		t.Errorf("quiz and key are called %s and %s", q, k)
	}
}

func TestLesson_NeedsARigThatHangs(t *testing.T) {
	s, _ := serving(t, map[string]string{"open": strings.Replace(crate, "count: 10,", "count: open,", 1), "torn": "format: hangtrue.rig/1\nlegs: 3\n"})
	for _, name := range []string{"open", "torn"} {
		w := ask(t, s, "GET", "/rig/"+name+"/lesson", nil)
		if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "To the rig and its text") {
			t.Errorf("%s: %d", name, w.Code)
		}
		if w := ask(t, s, "POST", "/rig/"+name+"/lesson/handout", url.Values{"version": {"x"}}); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s, handout: %d", name, w.Code)
		}
	}
}
