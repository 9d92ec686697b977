package app

import (
	"slices"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lifting"
)

// Carried is whether an aircraft can carry a rig: problems of the question, or
// an answer. It is never a clearance.
type Carried struct {
	Rig        *Solved
	Aircraft   *Aircraft
	Conditions *lift.Conditions
	Problems   []lift.Problem // of the conditions
	Ask        lift.Ask
	Answer     *lift.Answer
	Parts      []lift.Part // how the load's weight is made up
	Fits       []lift.Fit
	Edges      [2]lift.Edge
}

// reachSteps is how finely the line of temperature against altitude is drawn
// between two temperatures of a table.
const reachSteps = 5

// Carry asks whether an aircraft can carry a rig that was hung, under these
// conditions.
func Carry(s *Solved, a *Aircraft, c *lift.Conditions) *Carried {
	x := &Carried{Rig: s, Aircraft: a, Conditions: c}
	x.Ask, x.Problems = c.Ask(a.Aircraft, s.Answer)
	if len(x.Problems) > 0 {
		return x
	}
	x.Answer, x.Problems = lift.Carry(x.Ask)
	if x.Answer == nil {
		return x
	}
	_, x.Parts = lift.WeightOf(s.Rig)
	x.Fits = c.Fits(a.Aircraft, s.Rig)
	x.Edges = lift.Edges(x.Ask, reachSteps)
	return x
}

// Invented reports whether anything that went into the answer is invented.
func (x *Carried) Invented() bool {
	return x.Rig.Rig.Invented() || x.Aircraft.Aircraft.Spec().Invented || x.Conditions.Invented
}

// Show returns the units in which the answer is shown: the aircraft's.
func (x *Carried) Show() quantity.System { return x.Aircraft.Aircraft.Spec().Show }

// Exit returns the exit status that the answer stands for.
func (x *Carried) Exit() int {
	if x.Answer == nil {
		return ExitBadInput
	}
	return exitOf(x.Answer.Result)
}

// Picture draws the limits as bars, and temperature against altitude with the
// load's line.
func (x *Carried) Picture() *draw.Picture {
	return lifting.Carry(lifting.CarrySheet{
		Title: x.Rig.Rig.Title(), Aircraft: x.Aircraft.Aircraft.Spec().Title, Invented: x.Invented(), Status: x.Rig.Rig.Status().String(),
		Show: x.Show(), Load: x.Ask.Load, Answer: x.Answer, Edges: x.Edges, Version: x.Rig.Version,
	})
}

// CarryDocument is the answer as data.
type CarryDocument struct {
	Format    string          `json:"format"`
	Rig       string          `json:"rig_sha256"`
	Aircraft  string          `json:"aircraft_sha256"`
	Title     string          `json:"aircraft"`
	Invented  bool            `json:"invented"`
	Status    string          `json:"status"`
	Caution   string          `json:"caution"`
	Result    string          `json:"result"`
	Reason    string          `json:"reason"`
	Load      WeightDocument  `json:"load"`
	Parts     []WeightPart    `json:"weight_make_up"`
	Hooks     []CarryHook     `json:"hooks"`
	Allowed   []AllowedItem   `json:"limits"`
	Governing *int            `json:"governing"` // index in limits; null where no limit is known
	MarginKg  *float64        `json:"margin_kg"`
	TakeOffKg float64         `json:"take_off_kg"`
	Ends      []CarryEnd      `json:"ends"`
	Airspeeds []CarryAirspeed `json:"airspeed_limits"` // as entered in the aircraft file
	Findings  []FindingItem   `json:"findings"`
}

// WeightPart is one body of the load.
type WeightPart struct {
	Body string `json:"body"`
	WeightDocument
}

// CarryHook is a hook that the load hangs on.
type CarryHook struct {
	Apex    string   `json:"apex"`
	Hook    string   `json:"hook"`
	ForceN  *float64 `json:"force_n"` // null where one hook carries all
	Fitting string   `json:"fitting"`
	Spacer  string   `json:"spacer"` // required | forbidden | not stated; empty where the kind of fitting is not entered
	Fit     string   `json:"fit"`    // within | over | cannot-tell
	Text    string   `json:"text"`
}

// AllowedItem is one limit as the load that it allows.
type AllowedItem struct {
	End    string   `json:"end"`
	What   string   `json:"what"`
	LoadKg *float64 `json:"load_kg"` // null: cannot tell
	Text   string   `json:"text"`
	Source string   `json:"source"`
}

// CarryEnd is one end of the flight.
type CarryEnd struct {
	Place            string      `json:"place"`
	PressureAltitude float64     `json:"pressure_altitude_m"`
	Temperature      float64     `json:"temperature_k"`
	FuelKg           float64     `json:"fuel_kg"`
	InGround         bool        `json:"in_ground_effect"`
	OperatingKg      float64     `json:"operating_kg"`
	GrossKg          float64     `json:"gross_kg"`
	HoverKg          *float64    `json:"hover_kg"`
	CGM              *[3]float64 `json:"aircraft_cg_m"`
	HottestK         *float64    `json:"hottest_k"` // at this altitude
	HighestM         *float64    `json:"highest_m"` // at this temperature
	HottestWords     string      `json:"hottest"`
	HighestWords     string      `json:"highest"`
	Line             []ReachItem `json:"highest_by_temperature"`
}

// ReachItem is how high the load goes at a temperature.
type ReachItem struct {
	Temperature float64  `json:"temperature_k"`
	AltitudeM   *float64 `json:"pressure_altitude_m"`
	State       string   `json:"state"` // crossing | top-of-table | never | gap
}

// CarryAirspeed is a limit of airspeed with an external load.
type CarryAirspeed struct {
	What    string  `json:"what"`
	LimitMS float64 `json:"limit_m_per_s"`
	Source  string  `json:"source"`
}

// Document is the answer as data; the answer must be there.
func (x *Carried) Document() CarryDocument {
	a := x.Answer
	d := CarryDocument{
		Format: "hangtrue.carry/1", Rig: x.Rig.Version, Aircraft: x.Aircraft.Version, Title: x.Aircraft.Aircraft.Spec().Title,
		Invented: x.Invented(), Status: x.Rig.Rig.Status().String(), Caution: rig.Caution, Result: a.Result.String(), Reason: a.Reason,
		Load: weightDocument(x.Ask.Load), Parts: []WeightPart{}, Hooks: []CarryHook{}, Allowed: []AllowedItem{}, MarginKg: finite(a.Margin),
		TakeOffKg: a.TakeOff, Airspeeds: []CarryAirspeed{}, Findings: findingItems(a.Findings),
	}
	if a.Governing >= 0 {
		d.Governing = &a.Governing
	}
	for _, p := range x.Parts {
		d.Parts = append(d.Parts, WeightPart{p.What, weightDocument(p.Weight)})
	}
	for _, f := range x.Fits {
		h := CarryHook{Apex: f.Apex, Hook: f.Hook, Fitting: f.Kind, Spacer: f.Spacer, Fit: f.Fit.String(), Text: f.Text}
		if i := slices.IndexFunc(x.Ask.Shares, func(s lift.Share) bool { return s.Hook == f.Hook }); i >= 0 {
			h.ForceN = &x.Ask.Shares[i].Force
		}
		d.Hooks = append(d.Hooks, h)
	}
	for _, l := range a.Allowed {
		d.Allowed = append(d.Allowed, AllowedItem{l.End, l.What, finite(l.Load), l.Text, l.Source})
	}
	for i := range a.Ends {
		d.Ends = append(d.Ends, x.end(i))
	}
	for _, s := range x.Aircraft.Aircraft.Spec().Airspeeds {
		d.Airspeeds = append(d.Airspeeds, CarryAirspeed{s.What, s.Limit, s.Source})
	}
	return d
}

func (x *Carried) end(i int) CarryEnd {
	e, edge := x.Answer.Ends[i], &x.Edges[i]
	d := CarryEnd{
		Place: e.End.Place, PressureAltitude: e.End.PressureAltitude, Temperature: e.End.Temperature, FuelKg: e.End.Fuel, InGround: e.End.InGround,
		OperatingKg: e.Operating, GrossKg: e.Gross, HoverKg: finite(e.Hover), CGM: e.CG, Line: []ReachItem{},
	}
	d.HottestWords, d.HighestWords = edge.Words(x.Show())
	if edge.Err == nil {
		d.HottestK, d.HighestM = known(edge.Hottest, edge.Hot), known(edge.Highest, edge.High)
	}
	for _, h := range edge.Line {
		d.Line = append(d.Line, ReachItem{h.Temperature, finite(h.Altitude), [...]string{
			lift.Crossing: "crossing", lift.Beyond: "top-of-table", lift.Never: "never", lift.Gap: "gap",
		}[h.State]})
	}
	return d
}

func known(x float64, state lift.HighestState) *float64 {
	if state == lift.Never || state == lift.Gap {
		return nil
	}
	return finite(x)
}
