// Package dayfile reads a day's work for one aircraft, format hangtrue.day/1:
// loads that wait, places with their air hour by hour, distances, speeds, times
// and fuel.
//
// # The format
//
// A strict subset of YAML (see package document). A reader that sees another
// name or number stops.
//
//	format: hangtrue.day/1
//	title: Huts before the snow
//	aircraft: single
//	begins: 07:30
//	start: valley
//	fuel: 250 kg
//	fills: [250 kg, 350 kg]
//	speed: {empty: 90 kt, loaded: 60 kt}
//	times: {hook-up: 3 min, set-down: 2 min, refuel: 8 min}
//	places:
//	  - {id: valley, fuel: yes, elevation: 640 m, air: [{qnh: 1018 hPa, temperature: 9 degC}]}
//	  - id: hut
//	    elevation: 1870 m
//	    air:
//	      - {qnh: 1018 hPa, temperature: 3 degC}
//	      - {from: 11:00, qnh: 1016 hPa, temperature: 11 degC}
//	distances:
//	  - {between: [valley, hut], distance: 7.4 km}
//	lifts:
//	  - id: gas
//	    from: valley
//	    loads:
//	      - {id: gas, mass: 520 kg, known: weighed, to: hut, hook: belly,
//	         rigging: [{what: net, rated: 1000 kg}]}
//
// Times of day are hours and minutes. Keys may be added to day/1 until release
// 1.0; afterwards a new key means day/2.
package dayfile

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	q "hangtrue/internal/engine/quantity"
)

// File is a day as entered, but for its aircraft, which lies in a file of its
// own.
type File struct {
	Title    string
	Notes    string
	Invented bool
	Aircraft string  // a file beside this one, or the name of a shipped aircraft
	Begins   float64 // s from midnight

	value *document.Value
	day   lift.Day
}

// Read reads a day's file, or returns everything that is wrong with it in the
// order of its lines. It never returns both.
func Read(data []byte) (*File, []document.Problem) {
	v, problems := document.Read(data, shape)
	if v == nil || len(problems) > 0 {
		return nil, problems
	}
	b := builder{v: v, places: map[string]int{}}
	f := &File{
		Title: v.Get("title").Text(), Notes: v.Get("notes").Text(), Invented: v.Get("invented").Yes(),
		Aircraft: v.Get("aircraft").Text(), Begins: b.clock(v.Get("begins")), value: v,
	}
	d := &f.day
	b.begins = f.Begins
	if until := v.Get("until"); until.Given() {
		if d.Until = b.clock(until) - f.Begins; d.Until <= 0 {
			b.refuse(until, "the day ends before it begins", "a later time of the same day")
		}
	}
	b.readPlaces(d)
	d.Start, d.Fuel = b.place(v.Get("start")), v.Get("fuel").SI()
	for _, x := range v.Get("fills").Items() {
		d.FuelTo = append(d.FuelTo, x.SI())
	}
	d.Empty, d.Loaded = v.Get("speed").Get("empty").SI(), v.Get("speed").Get("loaded").SI()
	times := v.Get("times")
	d.HookUp, d.SetDown, d.Refuel = times.Get("hook-up").SI(), times.Get("set-down").SI(), times.Get("refuel").SI()
	b.readDistances(d)
	for _, x := range v.Get("lifts").Items() {
		d.Lifts = append(d.Lifts, b.waiting(x))
	}
	if len(b.problems) > 0 {
		document.Sort(b.problems)
		return nil, b.problems
	}
	return f, nil
}

// With makes the day of this aircraft, or returns what is wrong with it.
func (f *File) With(a *lift.Aircraft) (*lift.Day, []document.Problem) {
	d := f.day
	d.Aircraft = a
	var problems []document.Problem
	for _, p := range d.Check() {
		problems = append(problems, f.value.ProblemAt(p.Path, p.Text, p.Hint))
	}
	if len(problems) > 0 {
		document.Sort(problems)
		return nil, problems
	}
	return &d, nil
}

// NoAircraft is the problem that the aircraft of the file cannot be read.
func (f *File) NoAircraft(text, hint string) document.Problem {
	return f.value.Get("aircraft").Problem(text, hint)
}

type builder struct {
	v        *document.Value
	begins   float64
	places   map[string]int
	problems []document.Problem
}

func (b *builder) refuse(at *document.Value, text, hint string) {
	b.problems = append(b.problems, at.Problem(text, hint))
}

// clock reads a time of day, s from midnight.
func (b *builder) clock(v *document.Value) float64 {
	var h, m int
	var rest string
	text := v.Text()
	n, _ := fmt.Sscanf(text, "%d:%d%s", &h, &m, &rest)
	_, minutes, _ := strings.Cut(text, ":")
	if n != 2 || h < 0 || h > 24 || m < 0 || m > 59 || len(minutes) != 2 {
		b.refuse(v, fmt.Sprintf("%q is no time of day", text), "hours and minutes, such as 07:30")
		return 0
	}
	return float64(h)*q.Hour + float64(m)*q.Minute
}

func (b *builder) place(v *document.Value) int {
	i, ok := b.places[v.Text()]
	if !ok {
		var ids []string
		for _, p := range b.v.Get("places").Items() {
			ids = append(ids, p.Get("id").Text())
		}
		b.refuse(v, fmt.Sprintf("there is no place %q", v.Text()), "one of "+strings.Join(ids, ", "))
	}
	return i
}

func (b *builder) readPlaces(d *lift.Day) {
	for i, p := range b.v.Get("places").Items() {
		id := p.Get("id").Text()
		if _, twice := b.places[id]; twice {
			b.refuse(p.Get("id"), fmt.Sprintf("there are two places %q", id), "give each place an id of its own")
		}
		b.places[id] = i
		x := lift.Place{ID: id, Fuel: p.Get("fuel").Yes()}
		for k, a := range p.Get("air").Items() {
			h := lift.Hour{PressureAltitude: a.Get("pressure-altitude").SI(), Temperature: a.Get("temperature").SI()}
			switch from := a.Get("from"); {
			case from.Given():
				h.From = math.Max(0, b.clock(from)-b.begins)
			case k > 0:
				b.refuse(a, "from when on this air holds is not entered", "add from:, such as from: 11:00")
			}
			if a.Has("qnh") {
				h.PressureAltitude = b.altitude(p, a.Get("qnh"))
			}
			x.Hours = append(x.Hours, h)
		}
		d.Places = append(d.Places, x)
	}
}

func (b *builder) altitude(place, qnh *document.Value) float64 {
	if !place.Has("elevation") {
		b.refuse(qnh, "a QNH without the place's elevation gives no pressure altitude", "add elevation: to the place, or enter pressure-altitude:")
		return 0
	}
	h, err := air.PressureAltitude(place.Get("elevation").SI(), qnh.SI())
	var wrong *air.Problem
	if errors.As(err, &wrong) {
		at := qnh
		if wrong.Key == "elevation" {
			at = place.Get("elevation")
		}
		b.refuse(at, wrong.Text, wrong.Hint)
	}
	return h
}

func (b *builder) readDistances(d *lift.Day) {
	n := len(d.Places)
	d.Distance = make([][]float64, n)
	for i := range d.Distance {
		d.Distance[i] = make([]float64, n)
	}
	for _, x := range b.v.Get("distances").Items() {
		ends := x.Get("between").Items()
		i, k := b.place(ends[0]), b.place(ends[1])
		switch {
		case ends[0].Text() == ends[1].Text():
			b.refuse(x, "a distance from a place to itself", "two places")
		case d.Distance[i][k] > 0:
			b.refuse(x, fmt.Sprintf("the distance between %s and %s is entered twice", ends[0].Text(), ends[1].Text()), "once for each two places")
		}
		d.Distance[i][k], d.Distance[k][i] = x.Get("distance").SI(), x.Get("distance").SI()
	}
	var missing []string
	for i := range n {
		for k := range i {
			if d.Distance[i][k] == 0 {
				missing = append(missing, d.Places[k].ID+" and "+d.Places[i].ID)
			}
		}
	}
	if len(missing) > 0 && len(b.problems) == 0 {
		at := b.v
		if b.v.Has("distances") {
			at = b.v.Get("distances")
		}
		b.refuse(at, "the distance between "+strings.Join(missing, ", between ")+" is not entered", "add {between: [A, B], distance: 7.4 km}")
	}
}

func (b *builder) waiting(v *document.Value) lift.Waiting {
	w := lift.Waiting{ID: v.Get("id").Text(), From: b.place(v.Get("from"))}
	for _, x := range v.Get("loads").Items() {
		l := lift.Load{ID: x.Get("id").Text(), To: b.place(x.Get("to")), Hook: x.Get("hook").Text(), Weight: lift.Weight{
			Mass: x.Get("mass").SI(), Known: lift.Known(x.Get("known").Text()), Band: x.Get("give-or-take").SI(),
		}}
		for _, r := range x.Get("rigging").Items() {
			limit := lift.Limit{What: r.Get("what").Text(), Source: r.Get("source").Text()}
			if r.Has("rated") {
				rated := r.Get("rated").SI()
				limit.Rated = &rated
			}
			l.Rigging = append(l.Rigging, limit)
		}
		for _, e := range x.Get("equipment").Items() {
			l.Equipment = append(l.Equipment, lift.Equipment{
				What: e.Get("what").Text(), Mass: e.Get("mass").SI(), Home: lift.Way(e.Get("home").Text()),
				Swivel: e.Get("swivel").Yes(), Weighted: e.Get("weighted").SI(),
			})
		}
		w.Loads = append(w.Loads, l)
	}
	return w
}
