package web

import (
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode/utf8"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig/flown"
)

// flownForm is an entry as it is typed.
type flownForm struct {
	Date, Who, Version      string
	Weighed, Pitch, Roll    string
	Airspeed, FlightPitch   string
	FlightRoll, Trail       string
	Remarks                 string
	Wrong                   string
	MostName, MostRemarks   int
	Versions                []versionView
	WeightHint, PitchHint   string
	RollHint                string
	WeightUnit, AirspeedTip string
}

// readFlown reads the form that the page sends. What is wrong with it is in its
// Wrong.
func readFlown(r *http.Request) (flownForm, flown.Lift) {
	field := func(key string) string { return strings.Join(strings.Fields(r.PostFormValue(key)), " ") }
	f := flownForm{
		Date: field("date"), Who: field("who"), Version: field("version"), Weighed: field("weighed"), Pitch: field("pitch"), Roll: field("roll"),
		Airspeed: field("airspeed"), FlightPitch: field("flight-pitch"), FlightRoll: field("flight-roll"), Trail: field("trail"), Remarks: field("remarks"),
	}
	var wrong []string
	number := func(what, text string, kind quantity.Kind) *quantity.Quantity {
		if text == "" {
			return nil
		}
		q, err := quantity.Parse(text, kind)
		switch {
		case err != nil:
			wrong = append(wrong, what+": "+said(err))
			return nil
		case kind != quantity.Angle && q.Value <= 0:
			wrong = append(wrong, what+": more than zero is wanted.")
			return nil
		}
		return &q
	}
	l := flown.Lift{
		Who: f.Who, Version: f.Version, Remarks: f.Remarks,
		Weighed:  number("Load cell", f.Weighed, quantity.Force),
		Hover:    flown.Attitude{Pitch: number("Pitch in the hover", f.Pitch, quantity.Angle), Roll: number("Roll in the hover", f.Roll, quantity.Angle)},
		Airspeed: number("Airspeed", f.Airspeed, quantity.Speed),
		Flight:   flown.Attitude{Pitch: number("Pitch in flight", f.FlightPitch, quantity.Angle), Roll: number("Roll in flight", f.FlightRoll, quantity.Angle)},
		Trail:    number("Trail", f.Trail, quantity.Angle),
	}
	var err error
	if l.Date, err = time.Parse(time.DateOnly, f.Date); err != nil {
		wrong = append(wrong, "Date: a day such as 2026-11-20.")
	}
	if f.Who == "" {
		wrong = append(wrong, "Entered by: a name is wanted.")
	}
	if utf8.RuneCountInString(f.Who) > flown.MostName || utf8.RuneCountInString(f.Remarks) > flown.MostRemarks {
		wrong = append(wrong, fmt.Sprintf("A name has at most %d characters, remarks %d.", flown.MostName, flown.MostRemarks))
	}
	if len(wrong) == 0 {
		if text := l.Problem(); text != "" {
			wrong = append(wrong, capital(text)+".")
		} else if _, problems := flown.Read(flown.Write([]flown.Lift{l})); len(problems) > 0 {
			wrong = append(wrong, capital(problems[0].Text)+".")
		}
	}
	f.Wrong = strings.Join(wrong, " ")
	return f, l
}
