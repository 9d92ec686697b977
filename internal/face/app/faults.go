package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
)

// FaultsDocument is a one-fault table as data.
type FaultsDocument struct {
	Format    string         `json:"format"`
	Rig       string         `json:"rig_sha256"`
	Invented  bool           `json:"invented"`
	Status    string         `json:"status"`
	Caution   string         `json:"caution"`
	Listed    int            `json:"listed"`
	Tried     int            `json:"tried"`
	Stopped   bool           `json:"stopped"`
	Plan      FaultRow       `json:"plan"`
	Faults    []FaultRow     `json:"faults"` // gravest first
	Omitted   []FaultOmitted `json:"omitted"`
	OverPitch []FaultPitch   `json:"load_share_over_pitch"` // empty for one hook
}

// FaultRow is what one fault does.
type FaultRow struct {
	ID       string         `json:"id,omitempty"`   // none for the plan
	Kind     string         `json:"kind,omitempty"` // none for the plan
	What     string         `json:"what"`
	Ends     []FaultEnd     `json:"ends"` // gravest first
	Counts   map[string]int `json:"counts"`
	Body     string         `json:"body"`
	PitchDeg *float64       `json:"pitch_deg"`
	RollDeg  *float64       `json:"roll_deg"`
	MovedDeg *float64       `json:"moved_deg"`
	LegUse   *float64       `json:"highest_leg_use"` // null where no leg has a rating
	Leg      string         `json:"most_used_leg"`
	Slack    []string       `json:"slack_legs"`
	Across   [][2]string    `json:"legs_across"`
	Hooks    []FaultHook    `json:"hooks"` // empty for one hook
	Ran      bool           `json:"worse_if_chain_runs"`
	Held     *FaultNumbers  `json:"chain_held"` // null without a loop through several points
	Runs     *FaultNumbers  `json:"chain_runs"` // null likewise, and where it settles nowhere so
	Result   string         `json:"result"`
	Reason   string         `json:"reason"`
	Note     string         `json:"note"`
}

// FaultNumbers are how the rig hangs with its chains held, or running freely.
type FaultNumbers struct {
	Body     string   `json:"body"`
	PitchDeg *float64 `json:"pitch_deg"`
	RollDeg  *float64 `json:"roll_deg"`
	MovedDeg *float64 `json:"moved_deg"`
	LegUse   *float64 `json:"highest_leg_use"`
	Leg      string   `json:"most_used_leg"`
	Slack    []string `json:"slack_legs"`
}

func faultNumbers(n *fault.Numbers) *FaultNumbers {
	if n == nil {
		return nil
	}
	return &FaultNumbers{
		n.Body, finite(n.Pitch / quantity.Degree), finite(n.Roll / quantity.Degree), finite(n.Moved / quantity.Degree),
		useOf(n.Use, n.Rated), n.Leg, append([]string{}, n.Slack...),
	}
}

// FaultEnd is what a fault may end in, and what shows it.
type FaultEnd struct {
	End string `json:"end"`
	Why string `json:"why"`
}

// FaultHook is what one of several hooks carries.
type FaultHook struct {
	Hook   string  `json:"hook"`
	ForceN float64 `json:"force_n"`
	Share  float64 `json:"share"`
}

// FaultOmitted is a fault that the rig cannot have.
type FaultOmitted struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// FaultPitch is how the hooks share the load at one pitch of the aircraft.
type FaultPitch struct {
	AircraftDeg float64     `json:"aircraft_pitch_deg"`
	Hooks       []FaultHook `json:"hooks"`
	LegUse      *float64    `json:"highest_leg_use"`
	Leg         string      `json:"most_used_leg"`
	Slack       []string    `json:"slack_legs"`
	Result      string      `json:"result"`
	Reason      string      `json:"reason"`
}

// Faults is a rig's one-fault table with the rig.
type Faults struct {
	Rig     *rig.Rig
	Version string
	Plan    *rig.Answer
	Table   *fault.Table
	Pitch   []fault.AtPitch // none for one hook
	Stopped bool            // interrupted: what it had by then
}

// RunFaults works out every single fault of a solved rig, and for a rig with
// several hooks how they share the load as the aircraft pitches. Where ctx is
// cancelled it returns what it has by then.
func RunFaults(ctx context.Context, s *Solved, o fault.Options) (*Faults, error) {
	f := &Faults{Rig: s.Rig, Version: s.Version, Plan: s.Answer}
	var err error
	f.Table, err = fault.Work(ctx, s.Rig, o)
	if err == nil {
		lowest, highest, steps := fault.UsualPitch()
		f.Pitch, err = fault.OverPitch(ctx, s.Rig, lowest, highest, steps)
	}
	switch {
	case errors.Is(err, fault.ErrOneHook):
		err = nil
	case errors.Is(err, context.Canceled) && f.Table != nil:
		f.Stopped, err = true, nil
	}
	if err != nil {
		return nil, err
	}
	return f, nil
}

// Document is the table as data.
func (f *Faults) Document() FaultsDocument {
	t := f.Table
	d := FaultsDocument{
		Format: "hangtrue.faults/1", Rig: f.Version, Invented: f.Rig.Invented(), Status: f.Rig.Status().String(), Caution: rig.Caution,
		Listed: t.Listed, Tried: t.Tried, Stopped: f.Stopped, Plan: faultRow(&t.Plan),
		Faults: []FaultRow{}, Omitted: []FaultOmitted{}, OverPitch: []FaultPitch{},
	}
	for i := range t.Rows {
		d.Faults = append(d.Faults, faultRow(&t.Rows[i]))
	}
	for _, x := range t.Omitted {
		d.Omitted = append(d.Omitted, FaultOmitted{x.What, x.Why})
	}
	for _, x := range f.Pitch {
		d.OverPitch = append(d.OverPitch, FaultPitch{
			AircraftDeg: x.Aircraft / quantity.Degree, Hooks: faultHooks(x.Share), LegUse: useOf(x.Use, x.Rated), Leg: x.Leg,
			Slack: append([]string{}, x.Slack...), Result: x.Result.String(), Reason: x.Reason,
		})
	}
	return d
}

func faultRow(w *fault.Row) FaultRow {
	r := FaultRow{
		Kind: string(w.Fault.Kind), What: w.What, Ends: []FaultEnd{}, Counts: map[string]int{}, Body: w.Body,
		PitchDeg: finite(w.Pitch / quantity.Degree), RollDeg: finite(w.Roll / quantity.Degree), MovedDeg: finite(w.Moved / quantity.Degree),
		LegUse: useOf(w.Use, w.Rated), Leg: w.Leg, Slack: append([]string{}, w.Slack...), Across: [][2]string{}, Hooks: faultHooks(w.Share),
		Ran: w.Ran, Held: faultNumbers(w.Held), Runs: faultNumbers(w.Runs), Result: w.Result.String(), Reason: w.Reason, Note: w.Note,
	}
	if w.Fault.Kind != "" {
		r.ID = w.Fault.ID()
	}
	for i, e := range w.Ends {
		r.Ends = append(r.Ends, FaultEnd{string(e), w.Why[i]})
	}
	for _, c := range w.Counts {
		r.Counts[c.Leg] = c.Count
	}
	for _, c := range w.Cross {
		r.Across = append(r.Across, [2]string{c.A, c.B})
	}
	return r
}

func faultHooks(shares []fault.HookShare) []FaultHook {
	out := []FaultHook{}
	for _, x := range shares {
		out = append(out, FaultHook{x.Hook, x.Force, x.Share})
	}
	return out
}

// finite is a number as data: nil, and so null, where it does not exist.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x += 0 // no minus zero
	return &x
}

// useOf is a share of rating as data: nil where there is no rating.
func useOf(use float64, rated bool) *float64 {
	if !rated {
		return nil
	}
	return finite(use)
}

// CSV writes the table, a line for the plan and one for each fault, gravest
// first; after them those that the rig cannot have. How the rig stands to a
// procedure is in every line.
func (f *Faults) CSV() ([]byte, error) {
	d := f.Document()
	standing := d.Status
	if d.Invented {
		standing += "; INVENTED"
	}
	rows := [][]string{{
		"place", "kind", "fault", "may end in", "what shows it", "counts", "body", "pitch deg", "roll deg", "lean from plan deg",
		"highest leg use %", "most used leg", "slack legs", "result", "reason", "note", "status", "id",
	}}
	line := func(place string, r *FaultRow, w *fault.Row) []string {
		var ends, why, counts []string
		for i, e := range w.Ends {
			ends, why = append(ends, e.Words()), append(why, r.Ends[i].Why)
		}
		for _, c := range w.Counts {
			counts = append(counts, fmt.Sprintf("%s %d", c.Leg, c.Count))
		}
		use := ""
		if r.LegUse != nil {
			use = decimals(100**r.LegUse, 1)
		}
		return []string{
			place, r.Kind, r.What, strings.Join(ends, "; "), strings.Join(why, "; "), strings.Join(counts, " "), r.Body,
			decimals(w.Pitch/quantity.Degree, 2), decimals(w.Roll/quantity.Degree, 2), decimals(w.Moved/quantity.Degree, 2),
			use, r.Leg, strings.Join(r.Slack, " "), w.Result.Words(), r.Reason, r.Note, standing, r.ID,
		}
	}
	rows = append(rows, line("plan", &d.Plan, &f.Table.Plan))
	for i := range d.Faults {
		rows = append(rows, line(strconv.Itoa(i+1), &d.Faults[i], &f.Table.Rows[i]))
	}
	for _, x := range f.Table.Omitted {
		rows = append(rows, []string{"left out", string(x.Fault.Kind), x.What, "", "", "", "", "", "", "", "", "", "", "", x.Why, "", standing, x.Fault.ID()})
	}
	var out bytes.Buffer
	if err := csv.NewWriter(&out).WriteAll(rows); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// decimals writes a number for a table; nothing for one that does not exist,
// and no minus sign before what rounds to zero.
func decimals(x float64, n int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	text := strconv.FormatFloat(x, 'f', n, 64)
	if !strings.ContainsAny(text, "123456789") {
		return strings.TrimPrefix(text, "-")
	}
	return text
}
