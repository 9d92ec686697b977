package app

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/dayfile"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lifting"
)

// Day is what became of a day's file: problems, or a plan.
type Day struct {
	Version  string // SHA-256 of the exact bytes
	File     *dayfile.File
	Aircraft *Aircraft
	Day      *lift.Day
	Plan     *lift.Plan
	Problems []document.Problem
}

// ReadDay reads a day's file; its aircraft is still to be found.
func ReadDay(data []byte) *Day {
	d := &Day{Version: Version(data)}
	d.File, d.Problems = dayfile.Read(data)
	return d
}

// PlanWith plans the day with its aircraft. It leaves problems where the day
// does not go with it.
func (d *Day) PlanWith(a *Aircraft) {
	d.Aircraft = a
	if d.Day, d.Problems = d.File.With(a.Aircraft); d.Day == nil {
		return
	}
	plan, wrong := lift.PlanDay(d.Day)
	if len(wrong) > 0 {
		// With has checked the day already.
		panic("app: a checked day is refused: " + wrong[0].Error())
	}
	d.Plan = plan
}

// Invented reports whether anything that went into the plan is invented.
func (d *Day) Invented() bool { return d.File.Invented || d.Aircraft.Aircraft.Spec().Invented }

// Show returns the units in which the plan is shown: the aircraft's.
func (d *Day) Show() quantity.System { return d.Aircraft.Aircraft.Spec().Show }

// Exit returns the exit status: 0 where every lift is planned and nothing of the
// equipment's way home is missing, 1 where a lift is left over, 3 where
// something cannot be told.
func (d *Day) Exit() int {
	status := ExitWithin
	for _, f := range d.findings() {
		if f.Level == rig.Unknown {
			status = ExitCannotTell
		}
	}
	for _, l := range d.Plan.Left {
		if l.Result != rig.CannotTell {
			return ExitOver
		}
		status = ExitCannotTell
	}
	return status
}

// findings are those of the plan, and those of several loads on one aircraft.
func (d *Day) findings() []rig.Finding {
	out := append([]rig.Finding{}, d.Plan.Findings...)
	for i, list := range d.Plan.Hangings {
		for _, h := range list {
			for _, f := range h.Findings {
				if f.Level > rig.Note && len(list) > 2 {
					f.About = "lift " + d.Plan.Trips[i].Lift + ", " + after(h) + ": " + f.About
					out = append(out, f)
				}
			}
		}
	}
	return out
}

func after(h lift.Hanging) string {
	if h.After == "" {
		return "after hook-up"
	}
	return "after " + h.After + " is set down"
}

// Clock writes s from the day's start as a time of day.
func (d *Day) Clock(seconds float64) string {
	m := int(math.Round((d.File.Begins + seconds) / quantity.Minute))
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}

// Picture draws the day's timeline.
func (d *Day) Picture() *draw.Picture {
	return lifting.Day(lifting.DaySheet{
		Title: d.File.Title, Aircraft: d.Aircraft.Aircraft.Spec().Title, Invented: d.Invented(), Show: d.Show(),
		Begins: d.File.Begins, Plan: d.Plan, Fuel: d.Day.Fuel, Reserve: *d.Aircraft.Aircraft.Spec().Fuel.Reserve, Version: d.Version, Findings: d.findings(),
	})
}

// CSV writes the plan's timeline, a line for each stage, and then a line for
// each lift that is left over. Every line says what it is.
func (d *Day) CSV() ([]byte, error) {
	rows := [][]string{{"lift", "what", "load", "from", "to", "begin", "end", "fuel at end kg", "to spare kg", "governs", "note"}}
	note := "a plan, not a clearance to lift"
	if d.Invented() {
		note = "INVENTED; " + note
	}
	for _, t := range d.Plan.Trips {
		for _, s := range t.Stages {
			rows = append(rows, []string{t.Lift, s.What, s.Load, s.From, s.To, d.Clock(s.Begin), d.Clock(s.End), decimals(s.FuelEnd, 0), decimals(s.Margin, 0), s.Governs, note})
		}
	}
	for _, l := range d.Plan.Left {
		rows = append(rows, []string{l.Lift, "left over", "", "", "", "", "", "", "", l.Why, note})
	}
	for _, row := range rows {
		for _, k := range []int{0, 1, 2, 3, 4, 9, 10} { // the cells of words
			row[k] = plainCell(row[k])
		}
	}
	var out bytes.Buffer
	if err := csv.NewWriter(&out).WriteAll(rows); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// DayDocument is a day's plan as data. Times are seconds from the beginning of
// the day's work.
type DayDocument struct {
	Format    string         `json:"format"`
	Day       string         `json:"day_sha256"`
	Aircraft  string         `json:"aircraft_sha256"`
	Title     string         `json:"title"`
	Invented  bool           `json:"invented"`
	Caution   string         `json:"caution"`
	Begins    float64        `json:"begins_s_from_midnight"`
	Finished  float64        `json:"finished_s"`
	Proved    bool           `json:"proved_best"`
	Trips     []DayTrip      `json:"trips"`
	Left      []DayLeft      `json:"left_over"`
	Equipment []DayEquipment `json:"equipment"`
	Findings  []FindingItem  `json:"findings"`
}

// DayTrip is one lift flown.
type DayTrip struct {
	Lift     string       `json:"lift"`
	Stages   []DayStage   `json:"stages"`
	Hangings []DayHanging `json:"after_hook_up_and_each_set_down"`
}

// DayStage is one piece of the timeline.
type DayStage struct {
	What    string   `json:"what"`
	Load    string   `json:"load"`
	From    string   `json:"from"`
	To      string   `json:"to"`
	BeginS  float64  `json:"begin_s"`
	EndS    float64  `json:"end_s"`
	FuelKg  float64  `json:"fuel_at_end_kg"`
	SpareKg *float64 `json:"to_spare_kg"`
	Governs string   `json:"governs"`
}

// DayHanging is the aircraft with what then hangs on it.
type DayHanging struct {
	After   string             `json:"after"` // what was set down last; empty after hook-up
	GrossKg float64            `json:"gross_kg"`
	Hooks   map[string]float64 `json:"hook_loads_n"`
	CGM     *[3]float64        `json:"aircraft_cg_m"` // null where a place is not entered
}

// DayLeft is a lift that is left over.
type DayLeft struct {
	Lift   string `json:"lift"`
	Result string `json:"result"`
	Why    string `json:"why"`
}

// DayEquipment is a piece of equipment and how it comes home.
type DayEquipment struct {
	Lift     string  `json:"lift"`
	Load     string  `json:"load"`
	What     string  `json:"what"`
	MassKg   float64 `json:"mass_kg"`
	Place    string  `json:"place"`
	Home     string  `json:"home"` // stays | inside | on hook; empty where not entered
	Swivel   bool    `json:"swivel"`
	Weighted float64 `json:"weighted_kg"`
}

// Document is the plan as data.
func (d *Day) Document() DayDocument {
	p := d.Plan
	x := DayDocument{
		Format: "hangtrue.dayplan/1", Day: d.Version, Aircraft: d.Aircraft.Version, Title: d.File.Title, Invented: d.Invented(), Caution: rig.Caution,
		Begins: d.File.Begins, Finished: p.Finished, Proved: p.Proved, Trips: []DayTrip{}, Left: []DayLeft{}, Equipment: []DayEquipment{}, Findings: findingItems(d.findings()),
	}
	for i, t := range p.Trips {
		trip := DayTrip{Lift: t.Lift, Stages: []DayStage{}, Hangings: []DayHanging{}}
		for _, s := range t.Stages {
			trip.Stages = append(trip.Stages, DayStage{s.What, s.Load, s.From, s.To, s.Begin, s.End, s.FuelEnd, finite(s.Margin), s.Governs})
		}
		for _, h := range p.Hangings[i] {
			trip.Hangings = append(trip.Hangings, DayHanging{h.After, h.Gross, h.Loads, h.CG})
		}
		x.Trips = append(x.Trips, trip)
	}
	for _, l := range p.Left {
		x.Left = append(x.Left, DayLeft{l.Lift, l.Result.String(), l.Why})
	}
	for _, e := range p.Equipment {
		x.Equipment = append(x.Equipment, DayEquipment{e.Lift, e.Load, e.Equipment.What, e.Equipment.Mass, e.Place, string(e.Equipment.Home), e.Equipment.Swivel, e.Equipment.Weighted})
	}
	return x
}
