package brieffile

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"strings"
	"time"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
)

// DoneAt is how day and time of a daily entry are written.
const DoneAt = "2006-01-02 15:04"

var version = regexp.MustCompile(`^[0-9a-fA-F]{8,64}$`)

// Read makes what a school entered of a brief file, or returns everything that
// is wrong with it in the order of its lines. It never returns both.
func Read(data []byte) (*brief.Entered, []document.Problem) {
	value, problems := document.Read(data, shape)
	if value == nil || len(problems) > 0 {
		return nil, problems
	}
	b := builder{value: value}
	b.short(value)
	e := b.entered()
	if len(b.problems) > 0 {
		document.Sort(b.problems)
		return nil, b.problems
	}
	return e, nil
}

type builder struct {
	value    *document.Value
	problems []document.Problem
}

func (b *builder) refuse(at *document.Value, text, hint string) {
	b.problems = append(b.problems, at.Problem(text, hint))
}

func (b *builder) entered() *brief.Entered {
	v := b.value
	e := &brief.Entered{
		Title: v.Get("title").Text(), Invented: v.Get("invented").Yes(), Notes: v.Get("notes").Text(),
		Aircraft: v.Get("aircraft").Text(), PickUp: v.Get("pick-up").Get("place").Text(), DropOff: v.Get("drop-off").Get("place").Text(),
		WeighedBy: v.Get("weighed").Get("by").Text(), WeighedOn: v.Get("weighed").Get("on").Date(),
		Authority: brief.Authority{Name: v.Get("authority").Get("name").Text(), Reference: v.Get("authority").Get("reference").Text(), Rig: v.Get("authority").Get("rig").Text()},
		TestLift:  recordOf(v.Get("test-lift")), HoverCheck: recordOf(v.Get("hover-check")),
		JettisonArea: tidy(v.Get("jettison-area").Text()),
	}
	for _, x := range v.Get("hooks").Items() {
		if e.Hooks == nil {
			e.Hooks = map[string]string{}
		}
		apex := x.Get("apex").Text()
		if _, twice := e.Hooks[apex]; twice {
			b.refuse(x.Get("apex"), "apex "+apex+" hangs on two hooks", "name each apex once")
		}
		e.Hooks[apex] = x.Get("hook").Text()
	}
	if x := v.Get("authority").Get("rig"); x.Given() && !version.MatchString(x.Text()) {
		b.refuse(x, x.Text()+" is no version of a rig", "8 to 64 digits of its SHA-256, as the papers and the rig's page show it")
	}
	f := v.Get("fitting")
	e.Fitting = brief.Fitting{
		Kind: f.Get("kind").Text(), Spacer: f.Get("spacer").Text(),
		Ring: lift.Ring{Inside: optional(f.Get("inside")), Stock: optional(f.Get("stock"))},
	}
	if a := v.Get("airspeed"); a.Given() {
		e.Airspeed = &brief.Airspeed{Limit: a.Get("limit").SI(), Source: a.Get("source").Text()}
	}
	for _, g := range v.Get("goods").Items() {
		e.Goods = append(e.Goods, brief.Goods{Class: g.Get("class").Text(), UN: g.Get("un").Text(), Name: g.Get("name").Text(), Amount: g.Get("amount").Text()})
	}
	e.Team = teamOf(v.Get("team"))
	for _, x := range brief.Emergencies() {
		if text := v.Get("emergencies").Get(string(x)).Text(); text != "" {
			if e.Emergencies == nil {
				e.Emergencies = map[brief.Emergency]string{}
			}
			e.Emergencies[x] = tidy(text)
		}
	}
	for _, x := range v.Get("done").Items() {
		at, err := time.Parse(DoneAt, x.Get("at").Text())
		if err != nil {
			b.refuse(x.Get("at"), x.Get("at").Text()+" is not a day and a time", "as 2026-05-31 08:10")
			continue
		}
		e.Done = append(e.Done, brief.Done{What: brief.Daily(x.Get("what").Text()), By: x.Get("by").Text(), At: at})
	}
	b.conditions(e)
	return e
}

// mostLines is how many lines a text on a paper may have: more would not be read
// there, and would push what matters off the page.
const mostLines = 12

func (b *builder) short(v *document.Value) {
	for _, key := range v.Keys() {
		if x := v.Get(key); x.Path() != "notes" {
			b.short(x)
		}
	}
	for _, x := range v.Items() {
		b.short(x)
	}
	if n := strings.Count(tidy(v.Text()), "\n") + 1; n > mostLines {
		b.refuse(v, fmt.Sprintf("the text has %d lines", n), fmt.Sprintf("at most %d fit here", mostLines))
	}
}

// conditions are there where both ends' air and fuel are entered; otherwise
// what they lack is named.
func (b *builder) conditions(e *brief.Entered) {
	v := b.value
	c := &lift.Conditions{Invented: e.Invented, NotJettisoned: v.Get("cannot-be-jettisoned").Yes(), Home: v.Get("home").SI()}
	if flight := v.Get("flight"); flight.Given() {
		c.Flight = optional(flight)
		if fuel := v.Get("drop-off").Get("fuel"); fuel.Given() {
			b.refuse(fuel, "the fuel at drop-off is entered, and the flight from which it follows too", "leave one of them out")
		}
	}
	any := false
	for i, name := range []string{"pick-up", "drop-off"} {
		x := v.Get(name)
		end := lift.End{Place: x.Get("place").Text(), Temperature: x.Get("temperature").SI(), Fuel: x.Get("fuel").SI(), InGround: x.Get("in-ground-effect").Yes()}
		lacks := func(key, words string) {
			if !x.Has(key) {
				e.Incomplete = append(e.Incomplete, words+" at "+name)
			} else {
				any = true
			}
		}
		switch {
		case x.Has("pressure-altitude"):
			end.PressureAltitude = x.Get("pressure-altitude").SI()
		case x.Has("elevation") && x.Has("qnh"):
			h, err := air.PressureAltitude(x.Get("elevation").SI(), x.Get("qnh").SI())
			var p *air.Problem
			if errors.As(err, &p) {
				b.refuse(x.Get("qnh"), p.Text, p.Hint)
			} else if err != nil {
				b.refuse(x.Get("qnh"), err.Error(), "")
			}
			end.PressureAltitude = h
		case x.Has("elevation"):
			lacks("qnh", "the QNH")
		default:
			lacks("elevation", "elevation with QNH, or pressure altitude,")
		}
		lacks("temperature", "the temperature")
		if i == 0 || c.Flight == nil {
			lacks("fuel", "the fuel")
		}
		if i == 0 {
			c.PickUp = end
		} else {
			c.DropOff = end
		}
	}
	switch {
	case len(e.Incomplete) == 0:
		e.Conditions = c
	case !any:
		e.Incomplete = []string{"air and fuel at pick-up and drop-off"}
	}
	for i := range e.Incomplete {
		e.Incomplete[i] = "not entered: " + e.Incomplete[i]
	}
}

func recordOf(v *document.Value) brief.Record {
	return brief.Record{On: v.Get("on").Date(), By: v.Get("by").Text(), Place: v.Get("place").Text(), Record: v.Get("record").Text()}
}

func teamOf(v *document.Value) brief.Team {
	text := func(key string) string { return tidy(v.Get(key).Text()) }
	t := brief.Team{
		Equipment: text("equipment"), Wand: text("wand"), Discharge: text("discharge"), Approach: text("approach"), Exit: text("exit"),
		Wind: text("wind"), Obstacles: text("obstacles"), Rally: text("rally"), Night: text("night"), Radio: text("radio"), LostComms: text("lost-communications"),
	}
	for _, x := range v.Get("roles").Items() {
		t.Roles = append(t.Roles, brief.Role{Role: x.Get("role").Text(), Who: x.Get("who").Text(), Does: tidy(x.Get("does").Text())})
	}
	for _, x := range v.Get("signals").Items() {
		t.Signals = append(t.Signals, brief.Signal{Signal: x.Get("signal").Text(), Means: x.Get("means").Text()})
	}
	return t
}

// tidy takes off the line end that a block of text has in YAML.
func tidy(text string) string { return strings.TrimRight(text, "\n ") }

func optional(v *document.Value) *float64 {
	if !v.Valid() {
		return nil
	}
	x := v.SI()
	return &x
}

// Typed returns every value of a brief file as it was typed, by its path, such
// as airspeed.limit or team.roles[0].who; those that could not be read are left
// out. A file that is no brief at all gives none.
func Typed(data []byte) map[string]string {
	value, _ := document.Read(data, shape)
	out := map[string]string{}
	var walk func(v *document.Value)
	walk = func(v *document.Value) {
		for _, key := range v.Keys() {
			walk(v.Get(key))
		}
		for _, x := range v.Items() {
			walk(x)
		}
		if text := tidy(v.Text()); text != "" {
			out[v.Path()] = text
		}
	}
	walk(value)
	return out
}

// SamePlan reports whether two brief files say the same but for what was done
// on a day: such an entry makes no printed paper void.
func SamePlan(a, b []byte) bool {
	plan := func(data []byte) map[string]string {
		out := Typed(data)
		maps.DeleteFunc(out, func(path, _ string) bool { return strings.HasPrefix(path, "done[") })
		return out
	}
	return maps.Equal(plan(a), plan(b))
}
