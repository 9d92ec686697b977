package web

import (
	"fmt"
	"math"
	mrand "math/rand/v2"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

var expected = regexp.MustCompile(`Expected difficulty: ((?:&#43;|-)[0-9.]+) logits\.`)

// From runs of an earlier class follow difficulties, and from these what is
// planted: within the band that was asked for, easy or hard. As long as there are
// no results difficulties are unknown, and kinds are balanced.
func TestPlant_ByTheDifficultyThatEarlierRunsGive(t *testing.T) {
	x := teaching(t)
	ina := someone(t, x.s, "ina")
	// A lane of its own for each planting, so that nothing was planted on it before.
	lane := func(title string, count int) {
		form := laneFields()
		for k, v := range map[string]string{"title": title, "load": title, "tag": title, "count": fmt.Sprint(count), "found": "1", "false": "99"} {
			form.Set(k, v)
		}
		x.lane = lanePath.FindStringSubmatch(x.instructor.to("/classes/"+x.class+"/lanes", form))[1]
	}
	band := func(from, to float64, versions int) url.Values {
		return url.Values{"do": {"plant"}, "versions": {fmt.Sprint(versions)}, "from": {fmt.Sprint(from)}, "to": {fmt.Sprint(to)}, "used": {"yes"}}
	}
	version := func(id string) string { return x.instructor.page("/versions/" + id) }

	lane("Early", 3)
	page := version(x.plant(band(-.5, .5, 1)))
	if !strings.Contains(page, "Difficulty: unknown, there are no results yet; chosen to be balanced by kind") {
		t.Errorf("without results the version says %s", mainOf(page))
	}

	// Sixty students of another class in a lane of eight, of difficulties from −1.8
	// to 1.7 logits, by the Rasch model from a fixed seed.
	rows := "name,group\n"
	const students = 60
	for i := range students {
		rows += fmt.Sprintf("Earlier %02d,1\n", i)
	}
	here := x.class
	x.class = classPath.FindStringSubmatch(x.instructor.to("/classes", url.Values{"name": {"Earlier class"}}))[1]
	if w := x.instructor.ask("POST", "/classes/"+x.class+"/roster", url.Values{"roster": {rows}, "do": {"take"}}); w.Code != http.StatusOK {
		t.Fatal(mainOf(w.Body.String()))
	}
	room, err := x.s.School.ClassRoom(t.Context(), ina, x.class)
	if err != nil || len(room.Students) != students {
		t.Fatal(len(room.Students), err)
	}
	lane("Old", 8)
	old := x.plant(url.Values{"do": {"plant"}, "versions": {"1"}, "used": {"yes"}})
	ids := x.planted(old)
	r := mrand.New(mrand.NewPCG(8, 5))
	found := map[string]int{}
	for k := range students {
		ability := -1.2 + 2.4*float64(k)/(students-1)
		run := made("run", k)
		events := []teach.RunEvent{entry(run, 1, teach.RunStart, 0, teach.RunBody{Version: old, Student: room.Students[k].Person.ID})}
		for j, id := range ids {
			if b := -1.8 + .5*float64(j); r.Float64() < 1/(1+math.Exp(b-ability)) {
				found[kindOf(x, ina, id)]++
				events = append(events, entry(run, len(events)+1, teach.CallFound, time.Duration(10*j+5)*time.Second, teach.RunBody{Deficiency: id}))
			}
		}
		events = append(events, entry(run, len(events)+1, teach.RunEnd, 5*time.Minute, teach.RunBody{}))
		out, err := x.s.School.DeliverRuns(t.Context(), ina, events)
		if err != nil || out[len(out)-1].Refused != nil {
			t.Fatal(out, err)
		}
	}

	x.class = here
	mean := map[string]float64{} // of how often what was planted had been found
	for _, c := range []struct {
		title    string
		from, to float64
	}{{"Easy", -2, -.6}, {"Hard", .4, 1.8}} {
		lane(c.title, 2)
		x.plant(band(c.from, c.to, 2))
		for _, m := range versionLink.FindAllStringSubmatch(x.instructor.page("/lanes/"+x.lane), -1) {
			page := version(m[1])
			d := expected.FindStringSubmatch(page)
			if d == nil {
				t.Fatalf("%s: the version says %s", c.title, mainOf(page))
			}
			if got, err := strconv.ParseFloat(strings.TrimPrefix(d[1], "&#43;"), 64); err != nil || got < c.from-.005 || got > c.to+.005 {
				t.Errorf("%s: %s logits, asked for %g to %g", c.title, d[1], c.from, c.to)
			}
			if !strings.Contains(page, "their mean difficulties differ by at most") {
				t.Errorf("%s: how equal the versions are is not said: %s", c.title, mainOf(page))
			}
			for _, id := range x.planted(m[1]) {
				n, ok := found[kindOf(x, ina, id)]
				if !ok {
					t.Errorf("%s: %s has no known difficulty", c.title, id)
				}
				mean[c.title] += float64(n) / students / 4
			}
		}
	}
	if mean["Easy"] < .6 || mean["Hard"] > .45 {
		t.Errorf("what is easy was found by %.0f %%, what is hard by %.0f %%", 100*mean["Easy"], 100*mean["Hard"])
	}
	// A band that nothing is in is refused, and says so.
	lane("None", 2)
	w := x.instructor.ask("POST", "/lanes/"+x.lane, band(6, 7, 1))
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "no choice was found whose mean difficulty is from 6 to 7 logits") && !strings.Contains(w.Body.String(), "o choice was found whose mean difficulty is from 6 to 7 logits") {
		t.Errorf("%d %s", w.Code, mainOf(w.Body.String()))
	}
}

// kindOf is what a deficiency has a difficulty by: its kind of part, attribute
// and state.
func kindOf(x *taught, by *people.Person, id string) string {
	x.Helper()
	d, err := x.desk(by)
	if err != nil {
		x.Fatal(err)
	}
	y := d.Deficiency(id)
	if y == nil {
		x.Fatalf("no deficiency %s", id)
	}
	return y.Part.Kind.ID + "/" + y.Attribute.ID + "/" + y.State.ID
}

// desk is the lane of a school, opened once.
func (x *taught) desk(by *people.Person) (*app.LaneDesk, error) {
	if x.opened == nil {
		d, err := x.s.School.LaneDesk(x.Context(), by, x.lane)
		if err != nil {
			return nil, err
		}
		x.opened = d
	}
	return x.opened, nil
}
