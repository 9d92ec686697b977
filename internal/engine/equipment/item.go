package equipment

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"hangtrue/internal/engine/calendar"
)

// Kind is a sort of item.
type Kind string

// The kinds.
const (
	Set     Kind = "sling set"
	Leg     Kind = "leg"
	Pendant Kind = "pendant"
	Apex    Kind = "apex fitting"
	Net     Kind = "net"
	Drum    Kind = "drum"
	Clevis  Kind = "clevis"
	Other   Kind = "other"
)

// Kinds lists the kinds in the order in which they are shown.
var Kinds = []Kind{Set, Leg, Pendant, Apex, Net, Drum, Clevis, Other}

// Interval is an inspection that comes round.
type Interval struct {
	What   string `json:"what"` // "yearly inspection"
	Months int    `json:"months,omitempty"`
	Days   int    `json:"days,omitempty"`
	Source string `json:"source,omitempty"` // who says so
}

// Item is one item as it is marked and entered.
type Item struct {
	ID        string       `json:"id"` // random
	Serial    string       `json:"serial"`
	Kind      Kind         `json:"kind"`
	Name      string       `json:"name,omitempty"`
	Maker     string       `json:"maker,omitempty"`
	Rating    string       `json:"rating,omitempty"` // as the plate has it
	InService calendar.Day `json:"in_service,omitempty"`
	Set       string       `json:"set,omitempty"` // id of the set that it belongs to
	Intervals []Interval   `json:"intervals,omitempty"`
	Spoiled   bool         `json:"spoiled,omitempty"` // made wrong for training: never for flight
	Note      string       `json:"note,omitempty"`
}

// Limits on what is taken.
const (
	mostText      = 500
	mostIntervals = 20
)

// Problem is something wrong with what was entered. Field names it.
type Problem struct{ Field, Text string }

func (p *Problem) Error() string { return p.Text }

// Check refuses an item that is wrong in itself.
func (i *Item) Check() error {
	var errs []error
	wrong := func(field, format string, args ...any) {
		errs = append(errs, &Problem{field, fmt.Sprintf(format, args...)})
	}
	if i.Serial == "" {
		wrong("serial", "the serial number is not entered")
	}
	if !knownKind(i.Kind) {
		wrong("kind", "%q is no kind of equipment; known are %s", string(i.Kind), kindList())
	}
	for field, text := range map[string]string{"serial": i.Serial, "name": i.Name, "maker": i.Maker, "rating": i.Rating, "note": i.Note} {
		if utf8.RuneCountInString(text) > mostText || !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl) {
			wrong(field, "the %s has more than %d letters, or signs that cannot be printed", field, mostText)
		}
	}
	if i.InService != "" {
		if _, err := calendar.Parse(string(i.InService)); err != nil {
			wrong("in_service", "in service since %q is no day; a day is written 2026-05-31", string(i.InService))
		}
	}
	if len(i.Intervals) > mostIntervals {
		wrong("intervals", "%d intervals; at most %d are taken", len(i.Intervals), mostIntervals)
	}
	seen := map[string]bool{}
	for _, v := range i.Intervals {
		switch {
		case v.What == "" || seen[v.What] || strings.ContainsAny(v.What, ":;\n"):
			wrong("intervals", "an interval needs a name of its own, without : and ;, not %q", v.What)
		case v.Months < 0 || v.Days < 0 || v.Months > 600 || v.Days > 20000 || (v.Months == 0) == (v.Days == 0):
			wrong("intervals", "%s: an interval is a number of months or of days", v.What)
		}
		seen[v.What] = true
	}
	if len(i.Intervals) > 0 && i.InService == "" {
		wrong("in_service", "without the day it went into service, what falls due cannot be told")
	}
	return errors.Join(errs...)
}

func knownKind(k Kind) bool {
	for _, x := range Kinds {
		if x == k {
			return true
		}
	}
	return false
}

func kindList() string {
	var names []string
	for _, k := range Kinds {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}

// What a keeper of equipment refuses; errors.Is tells them apart.
var (
	ErrSerial  = errors.New("there is an item of that kind with that serial number already")
	ErrSpoiled = errors.New("a training part stays one: it never goes back to flight")
	ErrMoved   = errors.New("something was added meanwhile; look again")
)
