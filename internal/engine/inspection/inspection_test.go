package inspection

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/record"
)

var noon = time.Date(2026, 5, 31, 12, 0, 0, 0, time.UTC)

// script makes events of one device in order.
type script struct {
	events []Event
	by     string
}

func begin(by string, tasks int) *script {
	b := Begin{Load: "Crate", Rig: "crate", RigVersion: strings.Repeat("a", 64), Rigger: "rita"}
	for i := range tasks {
		b.Tasks = append(b.Tasks, task(i))
	}
	s := &script{by: by}
	return s.add(Start, b)
}

func task(i int) Task { return Task{"c", fmt.Sprint("leg", i), "count"} }

func (s *script) add(kind Kind, body any) *script {
	n := len(s.events) + 1
	e := Event{
		ID: fmt.Sprintf("e%020d", n), Inspection: strings.Repeat("i", 20), Device: strings.Repeat("d", 20), N: int64(n), Kind: kind,
		At: noon.Add(time.Duration(n) * time.Minute), By: s.by, Received: noon.Add(time.Duration(n)*time.Minute + 3*time.Second), Seq: int64(n),
	}
	if body != nil {
		text, err := json.Marshal(body)
		if err != nil {
			panic(err)
		}
		e.Body = text
	}
	s.events = append(s.events, e)
	return s
}

func (s *script) answer(i int, w Word) *script { return s.add(Answer, Reply{Task: task(i), Answer: w}) }

func fold(t *testing.T, s *script) *State {
	t.Helper()
	for i := range s.events {
		if err := s.events[i].Check(); err != nil {
			t.Fatal(err)
		}
	}
	state, err := Fold(s.events)
	if err != nil {
		t.Fatal(err)
	}
	return state
}

func TestFold_WhatCountsAndWhatIsLeft(t *testing.T) {
	s := fold(t, begin("ivo", 4).
		answer(0, Right).answer(1, Wrong).answer(2, CannotTell).
		add(Pause, nil).add(Resume, nil).
		add(Redo, Again{Why: "pause", Tasks: []Task{task(0)}}).
		answer(1, Right)) // put right and looked at again
	if s.Phase != Open || s.Paused != 1 || s.Clock != 3*time.Second {
		t.Errorf("got %+v", s)
	}
	if got := s.Unanswered(); !slices.Equal(got, []Task{task(0), task(3)}) {
		t.Errorf("left are %v", got)
	}
	if g, ok := s.Current(task(1)); !ok || g.Answer != Right {
		t.Errorf("got %+v", g)
	}
	if len(s.Answers) != 4 || !s.Answers[1].Over || s.Answers[1].Answer != Wrong {
		t.Error("what was wrong before it was put right is forgotten")
	}
	if got := s.Result(); got != "no deficiency found open; 1 question could not be told; 2 questions not answered" {
		t.Errorf("got %q", got)
	}
	wrong := fold(t, begin("ivo", 2).answer(0, Wrong).answer(1, Wrong))
	if got := wrong.Result(); got != "2 deficiencies left open" {
		t.Errorf("got %q", got)
	}
}

func TestFold_Phases(t *testing.T) {
	s := begin("ivo", 1)
	for i, step := range []struct {
		kind Kind
		want Phase
	}{{Pause, Paused}, {Resume, Open}, {Pause, Paused}, {Note, Open}, {Finish, Finished}, {Reopen, Open}, {Finish, Finished}} {
		var body any
		if step.kind == Note {
			body = Remark{Text: "mud on the hook"}
		}
		if got := fold(t, s.add(step.kind, body)); got.Phase != step.want {
			t.Errorf("after step %d, %s, it is %s", i, step.kind, got.Phase)
		}
	}
}

func TestTakes_WhatCannotFollow(t *testing.T) {
	open, finished, signed := fold(t, begin("ivo", 1)), fold(t, begin("ivo", 1).add(Finish, nil)), fold(t, begin("ivo", 1).add(Finish, nil))
	signed.Phase = Signed
	for _, c := range []struct {
		name string
		s    *State
		kind Kind
		by   string
		want error
	}{
		{"no start", &State{}, Answer, "ivo", ErrGap},
		{"two starts", open, Start, "ivo", ErrConflict},
		{"another person", open, Answer, "eva", ErrOther},
		{"another person finishes", open, Finish, "eva", ErrOther},
		{"after the end", finished, Answer, "ivo", ErrEnded},
		{"finished twice", finished, Finish, "ivo", ErrEnded},
		{"reopened while open", open, Reopen, "ivo", ErrEnded},
		{"reopened when signed", signed, Reopen, "ivo", ErrEnded},
		{"answered when signed", signed, Answer, "ivo", ErrEnded},
	} {
		if err := c.s.Takes(c.kind, c.by); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := Fold(nil); err == nil {
		t.Error("nothing was taken as an inspection")
	}
}

func TestCheck_Refuses(t *testing.T) {
	good := begin("ivo", 1).answer(0, Right).events
	bodies := map[string]string{
		"unknown key":   `{"checkpoint":"c","part":"p","attribute":"a","answer":"right","score":1}`,
		"no answer":     `{"checkpoint":"c","part":"p","attribute":"a"}`,
		"passed":        `{"checkpoint":"c","part":"p","attribute":"a","answer":"passed"}`,
		"no part":       `{"checkpoint":"c","attribute":"a","answer":"right"}`,
		"negative":      `{"checkpoint":"c","part":"p","attribute":"a","answer":"right","count":-1}`,
		"photo":         `{"checkpoint":"c","part":"p","attribute":"a","answer":"right","photos":["../x"]}`,
		"long":          `{"checkpoint":"c","part":"p","attribute":"a","answer":"right","text":"` + strings.Repeat("x", 5000) + `"}`,
		"two documents": `{"checkpoint":"c","part":"p","attribute":"a","answer":"right"} {}`,
		"nul":           `{"checkpoint":"c","part":"p","attribute":"a","answer":"right","text":"\u0000"}`,
		"none":          ``,
	}
	refused := 0
	for name, body := range bodies {
		e := good[1]
		e.Body = json.RawMessage(body)
		if err := e.Check(); err == nil {
			t.Errorf("%s was taken", name)
		} else {
			refused++
		}
	}
	for name, change := range map[string]func(*Event){
		"id":        func(e *Event) { e.ID = "SHORT" },
		"device":    func(e *Event) { e.Device = "../../../../../../../etc" },
		"number":    func(e *Event) { e.N = 0 },
		"clock":     func(e *Event) { e.At = time.Time{} },
		"kind":      func(e *Event) { e.Kind = "sign" },
		"body":      func(e *Event) { e.Body = json.RawMessage(`{"x":"` + strings.Repeat("x", MostBody) + `"}`) },
		"own start": func(e *Event) { e.Kind, e.Body = Start, json.RawMessage(`{"load":"x","rig":"x"}`) },
		"finish":    func(e *Event) { e.Kind, e.Body = Finish, json.RawMessage(`{"result":"x"}`) },
	} {
		e := good[1]
		change(&e)
		if err := e.Check(); err == nil {
			t.Errorf("%s was taken", name)
		} else {
			refused++
		}
	}
	if refused != len(bodies)+8 {
		t.Errorf("%d refused", refused)
	}
}

func TestCompare_TwoWalksOfOneLoad(t *testing.T) {
	ten, eleven := 10, 11
	a := fold(t, begin("ivo", 4).answer(0, Right).answer(1, Wrong).add(Answer, Reply{Task: task(2), Answer: Right, Count: &ten}))
	b := fold(t, begin("eva", 4).answer(0, Right).answer(1, Right).add(Answer, Reply{Task: task(2), Answer: Right, Count: &eleven}).answer(3, Right))
	got := Compare(a, b)
	if len(got) != 3 || got[0].Task != task(1) || got[0].First != Wrong || got[0].Second != Right ||
		got[1].Task != task(2) || *got[1].FirstCount != 10 || got[2].Task != task(3) || got[2].First != "" {
		t.Errorf("got %+v", got)
	}
	if got := Compare(a, a); len(got) != 0 {
		t.Errorf("it differs from itself: %+v", got)
	}
}

// What is sealed is canonical JSON, keeps what was wrong before, and reads back.
func TestSeal_ReadsBack(t *testing.T) {
	photo := strings.Repeat("b", 64)
	s := fold(t, begin("ivo", 1).answer(0, Wrong).add(Answer, Reply{Task: task(0), Answer: Right, Photos: []string{photo}}).
		add(Note, Remark{About: "anything-else", Text: "tie frayed"}).add(Finish, nil))
	body, err := s.Seal(Sealed{Rigger: Signer{ID: "rita", Name: "Rita"}, Inspector: Signer{ID: "ivo", Name: "Ivo"}, Caution: "c"}, noon.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	line, err := record.Entry{At: noon, Kind: "inspection", Body: body}.Encode()
	if err != nil {
		t.Fatal(err)
	}
	e, err := record.Decode(line)
	if err != nil {
		t.Fatal(err)
	}
	got, err := ReadSealed(e.Body)
	if err != nil || got.Result != "no deficiency found open" || len(got.Answers) != 2 || !got.Answers[0].Over || got.Answers[0].Answer != Wrong ||
		got.SignedAt != "2026-05-31T13:00:00Z" || got.Finished != "2026-05-31T12:05:00Z" || got.Rigger.Name != "Rita" ||
		!slices.Equal(got.Photos, []string{photo}) || len(got.Remarks) != 1 || got.ClockOff != 3 {
		t.Errorf("got %+v, %v", got, err)
	}
	if _, err := fold(t, begin("ivo", 1)).Seal(Sealed{}, noon); err == nil {
		t.Error("an open inspection was sealed")
	}
	if _, err := ReadSealed(json.RawMessage(`{"format":"other/1"}`)); err == nil {
		t.Error("another format was read")
	}
}

// Whatever a device sends is taken or refused, and what is taken folds.
func FuzzEvents(f *testing.F) {
	for _, e := range begin("ivo", 2).answer(0, Wrong).add(Redo, Again{Why: "pause", Tasks: []Task{task(0)}}).add(Finish, nil).events {
		f.Add(string(e.Kind), []byte(e.Body))
	}
	f.Fuzz(func(t *testing.T, kind string, body []byte) {
		s := begin("ivo", 2)
		e := s.events[0]
		e.ID, e.N, e.Seq, e.Kind, e.Body = strings.Repeat("z", 20), 2, 2, Kind(kind), body
		if e.Check() != nil {
			return
		}
		state, err := Fold(append(s.events, e))
		if (err == nil) == (e.Kind == Start || e.Kind == Reopen) {
			t.Errorf("%s %s: %v", kind, body, err)
		}
		if err == nil && (state.Result() == "" || len(state.Unanswered()) > 2) {
			t.Errorf("%+v", state)
		}
	})
}
