package web

import (
	"bytes"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// item adds an item of equipment and returns its address.
func (k *walkSchool) item(form url.Values) string {
	k.t.Helper()
	w := k.rigger.ask("POST", "/equipment", form)
	if w.Code != http.StatusSeeOther {
		k.t.Fatalf("not added: %d %s", w.Code, w.Body)
	}
	at, _, _ := strings.Cut(w.Header().Get("Location"), "?")
	return at
}

func TestEquipment_FromNewToQuarantineAndBack(t *testing.T) {
	k := walkersHere(t)
	says(t, "an empty list", k.page(k.ivo, "/equipment"), "No equipment is entered yet")
	k.page(k.rigger, "/equipment/new")
	for field, form := range map[string]url.Values{
		"serial":     {"kind": {"sling set"}},
		"kind":       {"serial": {"x"}, "kind": {"rope"}},
		"intervals":  {"serial": {"x"}, "kind": {"leg"}, "intervals": {"weekly"}},
		"in_service": {"serial": {"x"}, "kind": {"leg"}, "intervals": {"check: 30 days"}},
	} {
		w := k.rigger.ask("POST", "/equipment", form)
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `class="wrong"`) {
			t.Errorf("wrong %s: %d", field, w.Code)
		}
		goodPage(t, "a wrong "+field, w.Body.String())
	}
	set := k.item(url.Values{"serial": {"S-<1>"}, "kind": {"sling set"}, "name": {"Heavy"}, "rating": {"25000 lb"}, "in_service": {"2026-01-01"}, "intervals": {"yearly inspection: 12 months\ncheck: 330 days"}})
	leg := k.item(url.Values{"serial": {"L-1"}, "kind": {"leg"}, "set": {strings.TrimPrefix(set, "/equipment/")}})
	spoiled := k.item(url.Values{"serial": {"T-1"}, "kind": {"clevis"}, "spoiled": {"yes"}})
	if w := k.rigger.ask("POST", "/equipment", url.Values{"serial": {"l-1"}, "kind": {"leg"}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "that serial number already") {
		t.Errorf("the serial number twice: %d", w.Code)
	}
	page := k.page(k.ivo, set)
	says(t, "the set", page, "Sling set S-&lt;1&gt;", "25000 lb", "yearly inspection", "every 330 days", "2026-11-27", "in 2 days", "Nothing that is recorded here", "leg L-1")
	if strings.Contains(page, "Put it into quarantine") {
		t.Error("an inspector is offered what a rigger does")
	}
	says(t, "the training part", k.page(k.ivo, spoiled), "NEVER FOR FLIGHT", "Stands against its use")
	do := func(b *as, at, what string, more ...string) int {
		form := url.Values{"do": {what}}
		for i := 0; i+1 < len(more); i += 2 {
			form.Set(more[i], more[i+1])
		}
		return b.ask("POST", at, form).Code
	}
	for _, c := range []struct {
		b    *as
		what string
		more []string
		want int
	}{
		{k.ivo, "quarantined", []string{"what", "overloaded"}, 403},
		{k.rigger, "quarantined", []string{"what", "ugly"}, 422},
		{k.rigger, "quarantined", []string{"what", "shock-loaded", "text", "dropped 2 m"}, 303},
		{k.rigger, "released", []string{"name", "Me"}, 403},
		{k.ivo, "released", []string{"name", " "}, 422},
		{k.rigger, "defect", []string{"text", ""}, 422},
		{k.rigger, "inspected", []string{"what", "check", "on", "2026-12-24"}, 422},
		{k.rigger, "returned", nil, 400},
		{k.rigger, "sold", nil, 400},
	} {
		if got := do(c.b, leg, c.what, c.more...); got != c.want {
			t.Errorf("%s %v: %d, want %d", c.what, c.more, got, c.want)
		}
	}
	if got := do(k.rigger, "/equipment/none", "lost"); got != 404 {
		t.Errorf("an item that is not there: %d", got)
	}
	says(t, "the set of a quarantined leg", k.page(k.ivo, set), "Leg L-1 is quarantined: shock-loaded dropped 2 m")
	says(t, "the quarantined leg", k.page(k.ivo, leg), "Release it from quarantine")
	says(t, "the day", k.page(k.ivo, "/today"), "In quarantine", "shock-loaded dropped 2 m", "check, due on 2026-11-27")
	if got := do(k.ivo, leg, "released", "name", "C. Examiner, the maker's", "text", "pull test"); got != 303 {
		t.Errorf("released: %d", got)
	}
	says(t, "the released leg", k.page(k.ivo, leg), "released by C. Examiner, the maker&#39;s: pull test", "Nothing that is recorded here")
	if got := do(k.rigger, set, "inspected", "what", "check", "on", "2026-11-20", "text", "nothing found"); got != 303 {
		t.Errorf("inspected: %d", got)
	}
	says(t, "the inspected set", k.page(k.rigger, set+"?saved"), "It is noted", "2026-11-20", "2027-10-16")
	k.page(k.rigger, spoiled+"/edit")
	if w := k.rigger.ask("POST", spoiled+"/edit", url.Values{"serial": {"T-1"}, "kind": {"clevis"}, "name": {"bent"}}); w.Code != http.StatusSeeOther {
		t.Errorf("a changed training part: %d", w.Code)
	}
	says(t, "the training part still", k.page(k.ivo, spoiled), "NEVER FOR FLIGHT", "bent")
	for filter, want := range map[string]string{"kind=leg": "1 item of those", "standing=training": "T-1", "q=heavy": "S-&lt;1&gt;", "standing=blocked": "1 item of those", "standing=in-service": "2 items of those", "q=nothing": "0 items"} {
		says(t, filter, k.page(k.ivo, "/equipment?"+filter), want)
	}
	for target, begins := range map[string]string{
		"/equipment/labels": "%PDF-", "/equipment/labels?kind=leg&skip=3": "%PDF-", "/equipment/due?days=400": "%PDF-", "/equipment/calendar": "BEGIN:VCALENDAR", "/equipment/list": "serial,kind",
	} {
		w := k.ivo.ask("GET", target, nil)
		if w.Code != http.StatusOK || !bytes.HasPrefix(w.Body.Bytes(), []byte(begins)) || !strings.Contains(w.Header().Get("Content-Disposition"), "attachment") {
			t.Errorf("%s: %d %.40s", target, w.Code, w.Body)
		}
	}
	for target, want := range map[string]int{"/equipment/labels?q=nothing": 404, "/equipment/labels?skip=24": 400, "/equipment/due?days=0": 400, "/equipment?from=x": 400, "/equipment/none": 404, "/equipment/none/edit": 404} {
		b := k.rigger
		if w := b.ask("GET", target, nil); w.Code != want {
			t.Errorf("%s: %d, want %d", target, w.Code, want)
		}
	}
}

func TestEquipment_List(t *testing.T) {
	k := walkersHere(t)
	k.page(k.rigger, "/equipment/import")
	bad := "serial,kind,intervals\nA,leg,weekly\n,leg,\nB,rope,\n"
	w := k.rigger.ask("POST", "/equipment/import", url.Values{"do": {"look"}, "list": {bad}})
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a bad list: %d", w.Code)
	}
	says(t, "a bad list", w.Body.String(), "line 2", "line 3", "line 4", "nothing was taken in", "weekly")
	if strings.Contains(w.Body.String(), `value="take"`) {
		t.Error("a bad list can be taken in")
	}
	if w := k.rigger.ask("POST", "/equipment/import", url.Values{"do": {"take"}, "list": {bad}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a bad list was taken: %d", w.Code)
	}
	good := "serial,kind,set,intervals,in service,last inspected,training only\nS-1,sling set,,yearly: 12 months,2026-01-01,2026-02-03,\nL-1,leg,S-1,,,,\nT-1,leg,,,,,yes\n"
	w = k.rigger.ask("POST", "/equipment/import", url.Values{"do": {"look"}, "list": {good}})
	goodPage(t, "the preview", w.Body.String())
	says(t, "the preview", w.Body.String(), "3 new, 0 changed", "belongs to set S-1", "yearly: 12 months", "last inspected 2026-02-03", "TRAINING PART, NEVER FOR FLIGHT", `value="take"`)
	hidden := regexp.MustCompile(`(?s)name="list" value="([^"]*)"`).FindStringSubmatch(w.Body.String())
	if hidden == nil || hidden[1] != good {
		t.Fatalf("what is taken is not what was looked at: %q", hidden)
	}
	if all := k.page(k.rigger, "/equipment"); !strings.Contains(all, "No equipment is entered") {
		t.Error("looking at a list took it in")
	}
	w = k.rigger.ask("POST", "/equipment/import", url.Values{"do": {"take"}, "list": {good}})
	says(t, "taken", w.Body.String(), "3 new items, 0 changed")
	says(t, "the list", k.page(k.rigger, "/equipment"), "3 items", "next due 2027-02-03", "NEVER FOR FLIGHT")
	w = k.rigger.ask("POST", "/equipment/import", url.Values{"do": {"look"}, "list": {k.rigger.ask("GET", "/equipment/list", nil).Body.String()}})
	says(t, "its own export", w.Body.String(), "0 new, 0 changed", "3 as they are")
	if w := k.ivo.ask("POST", "/equipment/import", url.Values{"do": {"take"}, "list": {good}}); w.Code != http.StatusForbidden {
		t.Errorf("an inspector takes in a list: %d", w.Code)
	}
}

const truck = `format: hangtrue.rig/1
title: Hut truck
apex:
  - {id: apex, rated: 60 kN, hook: 60 kN}
bodies:
  - {id: truck, shape: {box: [4 m, 2 m, 2 m]}, mass: 2000 kg, known: weighed, cg: [0 m, 0 m, 0.8 m], points: {F: {at: [1.5 m, 0 m, 2 m], rated: 30 kN}, R: {at: [-1.5 m, 0 m, 2 m], rated: 30 kN}}}
legs:
  - {id: F, to: truck.F, length: 5 m, stretch: 2 % at 20 kN, rated: 25 kN, clevis: none}
  - {id: R, to: truck.R, length: 5 m, stretch: 2 % at 20 kN, rated: 25 kN, clevis: none}
parts:
  - {id: truck, kind: vehicle, on: truck}
`

func TestDerig(t *testing.T) {
	k := walkersHere(t)
	if _, saved, err := k.s.Keeper.Save("truck", "", []byte(truck)); err != nil || !saved {
		t.Fatal(saved, err)
	}
	set := strings.TrimPrefix(k.item(url.Values{"serial": {"S-1"}, "kind": {"sling set"}}), "/equipment/")
	leg := strings.TrimPrefix(k.item(url.Values{"serial": {"L-1"}, "kind": {"leg"}, "set": {set}}), "/equipment/")
	says(t, "nothing out", k.page(k.rigger, "/derig"), "Every part is back")
	form := k.form(k.ivo, "truck")
	form.Set("set", set)
	id := form.Get("inspection")
	if w := k.ivo.ask("POST", "/loads/truck", form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	at := "/derig/" + id
	says(t, "not signed yet", k.page(k.rigger, at), "No part is recorded")
	k.tablet(k.ivo, id).walked()
	if w := k.ivo.ask("POST", "/inspect/"+id+"/sign", url.Values{"seq": {k.seqOf(id)}}); w.Code != http.StatusSeeOther {
		t.Fatalf("not signed: %d %s", w.Code, w.Body)
	}
	says(t, "the loads out", k.page(k.rigger, "/derig"), "Frame 1", "sling set S-1, leg L-1", at)
	says(t, "the set", k.page(k.rigger, "/equipment/"+set), "still out", at)
	says(t, "the record", k.page(k.rigger, "/records/0"), at, "S-1")
	page := k.page(k.rigger, at)
	says(t, "the derig list", page, "sling set S-1", "leg L-1", "mirrors", "folded and tied", "shock-loaded: quarantined")
	undo := regexp.MustCompile(`name="(undone [^"]+)"`).FindAllStringSubmatch(page, -1)
	if len(undo) < 5 {
		t.Fatalf("only %d things to undo", len(undo))
	}
	back := url.Values{"on": {"2026-11-25"}, "as " + set: {"as-it-went"}, "as " + leg: {"shock-loaded"}, "text " + leg: {"snatched <hard>"}}
	for name, missing := range map[string]string{"a part": "as " + leg, "what is undone": undo[0][1], "a wrong day": "on"} {
		form := url.Values{}
		for key, v := range back {
			form[key] = v
		}
		for _, u := range undo {
			form.Set(u[1], "yes")
		}
		form.Del(missing)
		if missing == "on" {
			form.Set("on", "tomorrow")
		}
		w := k.rigger.ask("POST", at, form)
		goodPage(t, name, w.Body.String())
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "Not recorded") || !strings.Contains(w.Body.String(), "snatched &lt;hard&gt;") && missing != "as "+leg {
			t.Errorf("without %s: %d", name, w.Code)
		}
	}
	for _, u := range undo {
		back.Set(u[1], "yes")
	}
	if w := k.rigger.ask("POST", at, back); w.Code != http.StatusSeeOther {
		t.Fatalf("not recorded: %d %s", w.Code, w.Body)
	}
	says(t, "taken apart", k.page(k.rigger, at), "Taken apart on 2026-11-25", "Person rita", "mirrors")
	if w := k.rigger.ask("POST", at, back); w.Code != http.StatusConflict {
		t.Errorf("taken apart again: %d", w.Code)
	}
	says(t, "the leg", k.page(k.rigger, "/equipment/"+leg), "quarantined: shock-loaded snatched &lt;hard&gt;", "2026-11-25 to 2026-11-25")
	says(t, "nothing out again", k.page(k.rigger, "/derig"), "Every part is back")
	if w := k.rigger.ask("GET", "/derig/none", nil); w.Code != http.StatusNotFound {
		t.Errorf("an inspection that is not there: %d", w.Code)
	}
}
