package web

import (
	"bytes"
	"encoding/json"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"testing"

	"hangtrue/internal/engine/inspection"
)

// upload sends a file as a form does.
func (b *as) upload(target, name string, data []byte) *httptest.ResponseRecorder {
	b.t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	part, err := m.CreateFormFile("file", name)
	if err != nil {
		b.t.Fatal(err)
	}
	part.Write(data)
	m.Close()
	r := httptest.NewRequest("POST", target, &body)
	r.Host = "127.0.0.1:8086"
	r.Header.Set("Content-Type", m.FormDataContentType())
	for name, value := range b.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	w := httptest.NewRecorder()
	b.s.Handler().ServeHTTP(w, r)
	return w
}

// Whatever a tablet sends as entries of an inspection is taken or refused with
// words; what is taken can be read back, and what is kept still makes an
// inspection.
func FuzzDelivery(f *testing.F) {
	k := walkersHere(f)
	id := k.begun(k.ivo, "frame")
	d := k.tablet(k.ivo, id)
	seed := func(e inspection.Event) { f.Add(string(e.Kind), []byte(e.Body), false) }
	seed(d.event(inspection.Pause, nil))
	seed(d.event(inspection.Note, inspection.Remark{About: "anything-else", Text: "rope frayed"}))
	seed(d.event(inspection.Answer, inspection.Reply{Answer: inspection.Right}))
	f.Add("", []byte(`{"by":"`+k.id[k.ivo]+`","events":[{"id":"x"}]}`), true)
	f.Fuzz(func(t *testing.T, kind string, body []byte, raw bool) {
		sent, mine := body, ""
		if !raw {
			if !json.Valid(body) {
				return
			}
			mine = drawnID("e")
			one := inspection.Event{ID: mine, Inspection: id, Device: drawnID("d"), N: 1, Kind: inspection.Kind(kind), At: schoolClock, Body: body}
			var err error
			if sent, err = json.Marshal(delivery{By: k.id[k.ivo], Events: []inspection.Event{one}}); err != nil {
				return
			}
		}
		ivo := &as{t, k.s, k.ivo.cookies}
		w := ivo.post("/inspect/"+id+"/events", sent)
		if w.Code >= 500 {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		_, state, err := k.all.Inspection(t.Context(), person(k.id[k.ivo]), id)
		if err != nil || state.Result() == "" {
			t.Fatalf("the inspection can no longer be read: %v", err)
		}
		if mine == "" || w.Code != http.StatusOK {
			return
		}
		var out taken
		if err := json.Unmarshal(w.Body.Bytes(), &out); err != nil || len(out.Outcomes) != 1 {
			t.Fatalf("%v: %s", err, w.Body)
		}
		if got := ivo.ask("GET", "/inspect/"+id+"/events", nil, "Accept", "application/json").Body.String(); (out.Outcomes[0].Refused == "") != bytes.Contains([]byte(got), []byte(mine)) {
			t.Errorf("%s answered with %+v", sent, out.Outcomes[0])
		}
	})
}

// uploadTo is a place that takes a file, or raw bytes where it has no name.
type uploadTo struct {
	to, name string
	seed     []byte
}

func (x uploadTo) send(by *as, data []byte) *httptest.ResponseRecorder {
	if x.name == "" {
		return by.post(x.to, data)
	}
	return by.upload(x.to, x.name, data)
}

// Whatever is uploaded where a file is asked for, by whoever may, is taken or
// refused with words.
func FuzzUploads(f *testing.F) {
	k := walkersHere(f)
	id := k.begun(k.ivo, "frame")
	targets := []uploadTo{
		{"/rigs", "uploaded.yaml", []byte(frameRig)},
		{"/aircraft", "uploaded.yaml", []byte("format: hangtrue.aircraft/1\ntitle: a\n")},
		{"/days", "uploaded.yaml", []byte("format: hangtrue.day/1\ntitle: a\n")},
		{"/rig/frame/walk/order", "uploaded.yaml", []byte("format: hangtrue.sequence/1\ncheckpoints: []\n")},
		{"/equipment/import", "uploaded.csv", []byte("number,kind,rated\nA1,sling,1000 kg\n")},
		{"/inspect/import", "uploaded.json", []byte(`{"format":"` + unsentFormat + `","events":[],"photos":[]}`)},
		{"/inspect/" + id + "/photo", "", photograph(f)},
		{"/grade/none/events", "", []byte(`{"events":[{"id":"a","run":"b","device":"c","n":1,"kind":"start"}]}`)},
	}
	for i, x := range targets {
		f.Add(uint8(i), x.seed)
		if w := x.send(k.chief, x.seed); w.Code >= 500 || w.Code == http.StatusForbidden || w.Code == http.StatusNotFound && x.to != "/grade/none/events" {
			f.Fatalf("%s: %d", x.to, w.Code)
		}
	}
	f.Fuzz(func(t *testing.T, which uint8, data []byte) {
		x := targets[int(which)%len(targets)]
		if w := x.send(&as{t, k.s, k.chief.cookies}, data); w.Code >= 500 {
			t.Fatalf("%s: %d %s", x.to, w.Code, w.Body)
		}
	})
}
