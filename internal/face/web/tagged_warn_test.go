package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/engine/people"
)

// beginForm is the form with which somebody begins an inspection of a rig, filled
// in but for what has to be confirmed.
func (x *taught) beginForm(b *as, rig, load string) (form url.Values, page string) {
	x.Helper()
	page = b.page("/loads/" + rig + "?load=" + url.QueryEscape(load))
	form = url.Values{"load": {load}, "rigger": {someone(x.T, x.s, "ivo").ID}, "sequence": {"suggested"}}
	for _, m := range hiddenField.FindAllStringSubmatch(page, -1) {
		form.Set(m[1], m[2])
	}
	return form, page
}

// Nobody asks two hundred questions of a load that wears a red tag without having
// been told that it cannot be signed: not on the list, not at the beginning, not
// on the walk.
func TestTag_SaidBeforeTheWalk(t *testing.T) {
	x := teaching(t)
	if _, saved, err := x.s.Keeper.Save("frame", "", []byte(frameRig)); err != nil || !saved {
		t.Fatal(saved, err)
	}
	x.student = member(t, x.chief, "stu", people.Student)
	if page := x.ivo.page("/loads"); strings.Contains(page, "ed tag") {
		t.Errorf("before anything is planted: %s", mainOf(page))
	}
	before, page := x.beginForm(x.ivo, "frame", "Frame 3")
	if strings.Contains(page, "RED TAG") || strings.Contains(page, `name="tagged"`) {
		t.Errorf("before anything is planted: %s", mainOf(page))
	}
	begun := x.ivo.to("/loads/frame", before)
	v := x.plant(one()) // on Crate 7, whose rig has the shape of the frame

	for _, b := range []*as{x.ivo, x.student} {
		page := b.page("/loads")
		for _, want := range []string{"Crate 7: red tag 12", "red tag 12 on Crate 7"} {
			if !strings.Contains(page, want) {
				t.Errorf("the list does not say %q: %s", want, mainOf(page))
			}
		}
		for _, id := range append(x.planted(v), "of 4") {
			if strings.Contains(page, id) {
				t.Errorf("the list tells %s", id)
			}
		}
	}
	if page := x.ivo.page("/loads"); !strings.Contains(page, "Red tag 12: faults were planted for training on Crate 7") {
		t.Errorf("the walk under way says nothing on the list: %s", mainOf(page))
	}
	if page := x.ivo.page(begun); !strings.Contains(page, "RED TAG 12: this walk cannot be signed") {
		t.Errorf("the walk under way says %s", mainOf(page))
	}
	if page := x.ivo.page(begun + "/sign"); !strings.Contains(page, "RED TAG 12: no signature counts") {
		t.Errorf("what was found is headed %s", mainOf(page))
	}
	for _, c := range []struct {
		load, tagged, training string
		code                   int
	}{
		{"Frame 3", "", "", http.StatusUnprocessableEntity},
		{"Crate 7", "", "", http.StatusUnprocessableEntity},
		{"Crate 7", "11", "", http.StatusUnprocessableEntity}, // another tag was confirmed
		{"Crate 7", "", "yes", http.StatusSeeOther},
		{"Crate 7", "12", "", http.StatusSeeOther},
	} {
		form, page := x.beginForm(x.ivo, "frame", c.load)
		if !strings.Contains(page, "RED TAG 12") || !strings.Contains(page, `name="tagged" value="12"`) || !strings.Contains(page, "never be signed") {
			t.Errorf("%+v: the form says %s", c, mainOf(page))
		}
		form.Set("tagged", c.tagged)
		if c.training != "" {
			form.Set("training", c.training)
		}
		w := x.ivo.ask("POST", "/loads/frame", form)
		if w.Code != c.code {
			t.Errorf("%+v: %d %s", c, w.Code, mainOf(w.Body.String()))
		}
		if w.Code == http.StatusUnprocessableEntity && !strings.Contains(w.Body.String(), "Confirm that you know of the red tag") {
			t.Errorf("%+v: %s", c, mainOf(w.Body.String()))
		}
		if w.Code == http.StatusSeeOther {
			if page := x.ivo.page(w.Header().Get("Location")); !strings.Contains(page, "RED TAG 12: this walk cannot be signed") {
				t.Errorf("%+v: the walk says %s", c, mainOf(page))
			}
		}
	}
	for b, want := range map[*as]bool{x.ivo: true, x.instructor: true, x.student: false} {
		if page := b.page("/today"); strings.Contains(page, "Crate 7: red tag 12") != want || strings.Contains(page, "Crate lane, version 1") != want {
			t.Errorf("today says %s", mainOf(page))
		}
	}
	// What was begun under the tag says so after the put-back too.
	for _, b := range []*as{x.instructor, x.ivo} {
		b.askMany("/versions/"+v+"/put-back", url.Values{}, "item", x.planted(v))
	}
	if page := x.ivo.page(begun); !strings.Contains(page, "Begun before the red tag came off: this walk cannot be signed") {
		t.Errorf("after the put-back the walk says %s", mainOf(page))
	}
	if page := x.ivo.page("/loads"); strings.Contains(page, "carries red tag") {
		t.Errorf("after the put-back the list says %s", mainOf(page))
	}
}

// The largest line of a page about a load with planted faults is its red tag, and
// not the status of a plan that it is not rigged by; the list of red tags and
// pages of pictures have none.
func TestTag_HeadsThePagesOfAPlantedLoad(t *testing.T) {
	x := teaching(t)
	v := x.plant(one())
	head := regexp.MustCompile(`(?s)<p class="status loud[^"]*">(.*?)</p>\s*<p class="status red-under">(.*?)</p>`)
	pages := []string{"/versions/" + v, "/versions/" + v + "/put-back", "/grade/" + v}
	for _, at := range pages {
		page := x.instructor.page(at)
		m := head.FindStringSubmatch(page)
		if m == nil || m[1] != "RED TAG 12: faults are planted on this load" || m[2] != "Its plan has no approved procedure entered" {
			t.Errorf("%s is headed %q", at, m)
		}
	}
	ids := x.planted(v)
	for _, b := range []*as{x.instructor, x.ivo} {
		b.askMany(pages[1], url.Values{}, "item", ids)
	}
	for _, at := range pages {
		if page := x.instructor.page(at); strings.Contains(page, "RED TAG") || !strings.Contains(page, `<p class="status loud">No approved procedure entered</p>`) {
			t.Errorf("%s after the put-back: %s", at, mainOf(page))
		}
	}
}

// Two loads do not wear one number, and the list tells versions apart.
func TestTag_ANumberIsOnOneLoad(t *testing.T) {
	x := teaching(t)
	add := func(title, load, tag string) (int, string) {
		form := laneFields()
		form.Set("title", title)
		form.Set("load", load)
		form.Set("tag", tag)
		w := x.instructor.ask("POST", "/classes/"+x.class+"/lanes", form)
		return w.Code, mainOf(w.Body.String()) + w.Header().Get("Location")
	}
	if code, said := add("Second", "Net 4", "12"); code != http.StatusUnprocessableEntity || !strings.Contains(said, "ed tag 12 is for Crate 7, lane “Crate lane”") {
		t.Errorf("a number that another lane is to use: %d %s", code, said)
	}
	x.plant(one())
	x.plant(one())
	if code, said := add("Second", "Net 4", " 12 "); code != http.StatusUnprocessableEntity || !strings.Contains(said, "ed tag 12 is on Crate 7, lane “Crate lane”, version ") {
		t.Errorf("a number that is worn: %d %s", code, said)
	}
	if code, said := add("Same load", "crate 7", "12"); code != http.StatusSeeOther {
		t.Errorf("another lane on the same load: %d %s", code, said)
	}
	if code, said := add("Second", "Net 4", "13"); code != http.StatusSeeOther {
		t.Errorf("another number: %d %s", code, said)
	}
	page := x.ivo.page("/tagged")
	for _, want := range []string{"Crate lane, version 1", "Crate lane, version 2"} {
		if !strings.Contains(page, want) {
			t.Errorf("the list does not say %q: %s", want, mainOf(page))
		}
	}
}

// A lane in pictures has nothing that is set on a load.
func TestPictures_NoSetUpCard(t *testing.T) {
	x := teaching(t)
	x.pictureLane(func(form url.Values) { form.Set("tag", "") })
	at := x.instructor.to("/lanes/"+x.lane, one())
	page := x.instructor.page(at)
	v := versionLink.FindStringSubmatch(page)
	if v == nil {
		t.Fatalf("no version in %s", mainOf(page))
	}
	for _, where := range []string{at, "/versions/" + v[1]} {
		page := x.instructor.page(where)
		for _, not := range []string{"et-up card", "ut-back list", "spoiled training part is off", "/paper/card"} {
			if strings.Contains(page, not) {
				t.Errorf("%s speaks of %q: %s", where, not, mainOf(page))
			}
		}
	}
	for _, paper := range []string{"card", "put-back"} {
		if w := x.instructor.ask("GET", "/versions/"+v[1]+"/paper/"+paper, nil); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", paper, w.Code)
		}
	}
}

// What stands signed on the page of the day stands there with how its rig stands
// to a procedure, above it.
func TestToday_TheStatusStandsWithTheSignature(t *testing.T) {
	k := walkersHere(t)
	k.signed(k.ivo, k.form(k.ivo, "frame"))
	page := k.page(k.ivo, "/today")
	status, stands := strings.Index(page, `<p class="rec-status">No approved procedure entered</p>`), strings.Index(page, "The signature stands")
	if status < 0 || stands < status {
		t.Errorf("status at %d, signature at %d: %s", status, stands, mainOf(page))
	}
}
