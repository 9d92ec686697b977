package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// person is a person of an id with the rights of a chief instructor, for asking
// the use cases what is there.
func person(id string) *people.Person {
	return &people.Person{ID: id, Roles: []people.Role{people.Chief, people.Inspector}}
}

// seqOf is the last entry of an inspection.
func (k *walkSchool) seqOf(id string) string {
	k.t.Helper()
	x, _, err := k.all.Inspection(k.t.Context(), person("x"), id)
	if err != nil {
		k.t.Fatal(err)
	}
	return strconv.FormatInt(x.Seq, 10)
}

func TestSign_FromWalkToLapse(t *testing.T) {
	k := walkersHere(t)
	id := k.begun(k.ivo, "frame")
	at := "/inspect/" + id
	page := k.ivo.ask("GET", at+"/sign", nil).Body.String()
	goodPage(t, "sign", page)
	if !strings.Contains(page, "finish the walk first") || strings.Contains(page, `id="sign-form"`) {
		t.Error("an open walk can be signed")
	}
	d := k.tablet(k.ivo, id)
	b, _ := k.bundle(k.ivo, id)
	task := inspection.Task{Checkpoint: b.Checkpoints[0].ID, Part: b.Tasks[0].Part, Attribute: b.Tasks[0].Attribute}
	d.send(d.event(inspection.Answer, inspection.Reply{Task: task, Answer: inspection.Wrong, State: b.Tasks[0].States[0].ID, Do: "put-right", Text: "seen & noted"}))
	d.send(d.event(inspection.Redo, inspection.Again{Why: "put-right", Tasks: []inspection.Task{task}}))
	d.walked()
	page = k.ivo.ask("GET", at+"/sign", nil).Body.String()
	goodPage(t, "sign", page)
	for _, want := range []string{"No deficiency found open", "Wrong, then asked again", "seen &amp; noted", "No approved procedure entered", "1400 kg", "weighed", "Person rita", `id="sign-form"`, "not a clearance"} {
		if !strings.Contains(strings.ToLower(page), strings.ToLower(want)) {
			t.Errorf("the page does not say %q", want)
		}
	}
	// Looked at by others it cannot be signed by them.
	if page := k.eva.ask("GET", at+"/sign", nil).Body.String(); strings.Contains(page, `id="sign-form"`) {
		t.Error("another inspector is offered to sign")
	}
	if w := k.eva.ask("POST", at+"/sign", url.Values{"seq": {k.seqOf(id)}}); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "Not signed") {
		t.Errorf("another inspector signs: %d", w.Code)
	}
	if w := k.rigger.ask("POST", at+"/sign", url.Values{"seq": {k.seqOf(id)}}); w.Code != http.StatusForbidden {
		t.Errorf("a rigger signs: %d", w.Code)
	}
	if w := k.ivo.ask("POST", at+"/sign", url.Values{"seq": {"1"}}); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "something was added since you looked") {
		t.Errorf("signed unseen: %d", w.Code)
	}
	if w := k.ivo.ask("POST", at+"/lapse", url.Values{"why": {"moved"}}); w.Code != http.StatusConflict {
		t.Errorf("a signature lapses that there is not: %d", w.Code)
	}
	if w := k.ivo.ask("POST", at+"/sign", url.Values{"seq": {k.seqOf(id)}}); w.Code != http.StatusSeeOther {
		t.Fatalf("not signed: %d %s", w.Code, w.Body)
	}
	page = k.ivo.ask("GET", at+"/sign?signed", nil).Body.String()
	goodPage(t, "signed", page)
	for _, want := range []string{"The signature stands", `href="/records/0"`, "the load was moved", "A pilot refuses the load"} {
		if !strings.Contains(page, want) {
			t.Errorf("the signed page does not say %q", want)
		}
	}
	if page := k.ivo.ask("GET", "/loads", nil).Body.String(); !strings.Contains(page, "signature stands") || !strings.Contains(page, "Frame 1") {
		t.Error("it is not among the signed")
	}
	if w := k.ivo.ask("GET", at, nil); w.Code != http.StatusSeeOther {
		t.Errorf("a signed walk goes on: %d", w.Code)
	}
	if w := k.ivo.ask("POST", at+"/lapse", url.Values{"why": {"something-else"}, "text": {""}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "Say what ended") {
		t.Errorf("lapsed without a word: %d", w.Code)
	}
	if w := k.rigger.ask("POST", at+"/lapse", url.Values{"why": {"moved"}, "text": {"to the other pad"}}); w.Code != http.StatusSeeOther {
		t.Errorf("lapse: %d", w.Code)
	}
	page = k.ivo.ask("GET", at+"/sign", nil).Body.String()
	if !strings.Contains(page, "no longer counts") || !strings.Contains(page, "to the other pad") || strings.Contains(page, "What happened") {
		t.Error("the lapse is not told")
	}
	if page := k.ivo.ask("GET", "/loads", nil).Body.String(); !strings.Contains(page, "it lapsed: the load was moved") {
		t.Error("the page of loads does not say why")
	}
}

func TestSign_WhatStandsAgainst(t *testing.T) {
	k := walkersHere(t)
	// Who rigged inspects.
	form := k.form(k.ivo, "frame")
	form.Set("rigger", k.id[k.ivo])
	if w := k.ivo.ask("POST", "/loads/frame", form); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	own := form.Get("inspection")
	k.tablet(k.ivo, own).walked()
	if page := k.ivo.ask("GET", "/inspect/"+own+"/sign", nil).Body.String(); !strings.Contains(page, "must be two people") || strings.Contains(page, `id="sign-form"`) {
		t.Error("who rigged may sign")
	}
	// The rig is changed after the walk.
	id := k.begun(k.ivo, "frame")
	k.tablet(k.ivo, id).walked()
	if _, saved, err := k.s.Keeper.Save("frame", app.Version([]byte(frameRig)), []byte(strings.Replace(frameRig, "count: 10", "count: 11", 1))); err != nil || !saved {
		t.Fatal(saved, err)
	}
	page := k.ivo.ask("GET", "/inspect/"+id+"/sign", nil).Body.String()
	goodPage(t, "changed", page)
	if !strings.Contains(page, "changed after the inspection") {
		t.Error("a changed rig may be signed for")
	}
	if w := k.ivo.ask("POST", "/inspect/"+id+"/sign", url.Values{"seq": {k.seqOf(id)}}); w.Code != http.StatusConflict {
		t.Errorf("signed: %d", w.Code)
	}
}

func TestSign_Refusal(t *testing.T) {
	k := walkersHere(t)
	id := k.begun(k.ivo, "frame")
	k.tablet(k.ivo, id).walked()
	if w := k.ivo.ask("POST", "/inspect/"+id+"/sign", url.Values{"seq": {k.seqOf(id)}}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	// Without a reason and without a name.
	if w := k.ivo.ask("POST", "/inspect/"+id+"/refuse", url.Values{"who": {""}}); w.Code != http.StatusSeeOther {
		t.Fatalf("refused: %d %s", w.Code, w.Body)
	}
	if page := k.ivo.ask("GET", "/inspect/"+id+"/sign", nil).Body.String(); !strings.Contains(page, "record 1 is a refusal of it") {
		t.Error("the refusal is not told")
	}
	training := k.begun(k.sam, "frame")
	if w := k.ivo.ask("POST", "/inspect/"+training+"/refuse", url.Values{"who": {""}}); w.Code != http.StatusConflict {
		t.Errorf("a training load is refused: %d", w.Code)
	}
}

func TestCompare(t *testing.T) {
	k := walkersHere(t)
	a, c := k.begun(k.ivo, "frame"), k.begun(k.eva, "frame")
	k.tablet(k.ivo, a).walked()
	d := k.tablet(k.eva, c)
	b, _ := k.bundle(k.eva, c)
	n := 9
	for _, q := range b.Tasks {
		reply := inspection.Reply{Task: inspection.Task{Checkpoint: b.Checkpoints[q.Checkpoint].ID, Part: q.Part, Attribute: q.Attribute}, Answer: inspection.Right}
		if q.Part == "leg.FL.grab-hook" && q.Attribute == "count" {
			reply.Answer, reply.Count, reply.State = inspection.Wrong, &n, "one-less"
		}
		d.send(d.event(inspection.Answer, reply))
	}
	page := k.ivo.ask("GET", "/inspect/"+a+"/compare/"+c, nil).Body.String()
	goodPage(t, "compare", page)
	for _, want := range []string{"Where they differ: 1", "counted 9, planned: link 10", "the count is one fewer than planned", "never put together"} {
		if !strings.Contains(page, want) {
			t.Errorf("the comparison does not say %q", want)
		}
	}
	if page := k.ivo.ask("GET", "/loads", nil).Body.String(); !strings.Contains(page, compareURL(c, a)) && !strings.Contains(page, compareURL(a, c)) {
		t.Error("no way to the comparison")
	}
	other := k.begun(k.ivo, "crate")
	if w := k.ivo.ask("GET", "/inspect/"+a+"/compare/"+other, nil); w.Code != http.StatusConflict {
		t.Errorf("two loads: %d", w.Code)
	}
	if w := k.sam.ask("GET", "/inspect/"+a+"/compare/"+c, nil); w.Code != http.StatusForbidden {
		t.Errorf("a student: %d", w.Code)
	}
}
