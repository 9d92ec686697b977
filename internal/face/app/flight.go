package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
)

// FlightDocument is a study of flight as data.
type FlightDocument struct {
	Format     string            `json:"format"`
	Rig        string            `json:"rig_sha256"`
	Invented   bool              `json:"invented"`
	Status     string            `json:"status"`
	Caution    string            `json:"caution"`
	Study      string            `json:"study"` // always flight.Caution
	Published  string            `json:"published_airspeed"`
	Density    float64           `json:"density_kg_per_m3"`
	LoadFactor float64           `json:"load_factor"`
	FromDeg    float64           `json:"air_from_deg"` // from ahead towards the left
	Stopped    bool              `json:"stopped"`
	Drags      []FlightDrag      `json:"drag_areas"`
	Points     []FlightPoint     `json:"points"` // slowest first, the first at rest
	Firsts     []FlightFirst     `json:"firsts"`
	RotorOf    string            `json:"rotor_of"` // the aircraft whose rotor was taken; empty where it was given in numbers
	Rotor      []FlightBeat      `json:"rotor"`    // empty where no rotor was given
	Limit      []FlightLimitLoad `json:"limit_loads"`
	Notes      []string          `json:"notes"`
}

// FlightDrag is the drag that a body is studied with.
type FlightDrag struct {
	Body   string     `json:"body"`
	AreaM2 [3]float64 `json:"area_m2"` // air along its x, y and z axis
	Source string     `json:"source"`
}

// FlightPoint is the rig at one steady airspeed.
type FlightPoint struct {
	SpeedMS  float64      `json:"airspeed_m_per_s"`
	Agrees   bool         `json:"agrees"` // attitude and drag agree; nothing else is to be read where not
	DragN    *float64     `json:"drag_n"`
	TrailDeg *float64     `json:"trail_deg"`
	Turning  *float64     `json:"turning_nm"`
	AheadM   *float64     `json:"drag_ahead_m"`
	Bodies   []FlightBody `json:"bodies"`
	Legs     []FlightLeg  `json:"legs"`
	Hooks    []FlightHook `json:"hooks"`
	LegUse   *float64     `json:"highest_leg_use"`
	Leg      string       `json:"most_used_leg"`
	Slack    []string     `json:"slack_legs"`
	Over     []string     `json:"over"`
	Outside  []string     `json:"outside"`
	Modes    []FlightMode `json:"modes"`
	Result   string       `json:"result"`
	Reason   string       `json:"reason"`
}

// FlightBody is a body at an airspeed.
type FlightBody struct {
	ID       string   `json:"id"`
	PitchDeg *float64 `json:"pitch_deg"`
	RollDeg  *float64 `json:"roll_deg"`
	AreaM2   *float64 `json:"drag_area_m2"`
	DragN    *float64 `json:"drag_n"`
}

// FlightLeg is a leg at an airspeed.
type FlightLeg struct {
	ID       string   `json:"id"`
	TensionN *float64 `json:"tension_n"`
	WorstN   *float64 `json:"worst_n"`
	Use      *float64 `json:"use"`
	Slack    bool     `json:"slack"`
}

// FlightHook is what a hook carries.
type FlightHook struct {
	ID     string     `json:"id"`
	ForceN [3]float64 `json:"force_n"`
}

// FlightMode is a small motion, the hook held still.
type FlightMode struct {
	Shape string   `json:"shape"`
	Hz    *float64 `json:"frequency_hz"`
}

// FlightFirst is what comes first at a speed, or that it does not come.
type FlightFirst struct {
	Kind    string   `json:"kind"`
	Found   bool     `json:"found"`
	AtRest  bool     `json:"at_rest"`
	SpeedMS *float64 `json:"airspeed_m_per_s"`
	What    string   `json:"what"`
}

// FlightBeat is a bounce beside a frequency of the rotor.
type FlightBeat struct {
	Of       string  `json:"of"`
	RotorHz  float64 `json:"rotor_hz"`
	BounceHz float64 `json:"bounce_hz"`
	Mode     string  `json:"mode"`
	Near     bool    `json:"near"`
}

// FlightLimitLoad is the rig pulling one way with the limit load.
type FlightLimitLoad struct {
	Direction string       `json:"direction"`
	DownN     float64      `json:"down_n"`
	AsideN    float64      `json:"aside_n"`
	Hooks     []FlightHook `json:"hooks"`
	PullN     float64      `json:"highest_leg_pull_n"`
	Leg       string       `json:"leg"`
}

// Flight is a rig's study of flight with the rig.
type Flight struct {
	Rig     *rig.Rig
	Version string
	Sweep   *flight.Sweep
	Drags   []flight.BodyDrag
	Beats   []flight.Beat // at rest; none without a rotor, or without a bounce
	Rotor   *flight.Rotor
	RotorOf string      // the aircraft that the rotor is of; "" where it was given in numbers
	Plan    *rig.Answer // at rest, with no load factor
	Limit   []flight.LimitLoad
	Stopped bool // interrupted: what it had by then, without firsts
}

// RunFlight studies a solved rig over a span of airspeeds. rotor may be nil.
// Where ctx is cancelled it returns what it has by then.
func RunFlight(ctx context.Context, s *Solved, c flight.Conditions, span flight.Span, rotor *flight.Rotor) (*Flight, error) {
	f := &Flight{Rig: s.Rig, Version: s.Version, Plan: s.Answer, Rotor: rotor}
	study, err := flight.New(s.Rig, c)
	if err != nil {
		return nil, err
	}
	f.Drags = study.Drags()
	if rotor != nil {
		if f.Beats, err = flight.Beats(study.Rest().Modes, *rotor); err != nil {
			return nil, err
		}
	}
	if f.Limit, err = flight.LimitLoads(s.Rig); err != nil {
		return nil, err
	}
	f.Sweep, err = study.Sweep(ctx, span)
	if errors.Is(err, context.Canceled) && f.Sweep != nil {
		f.Stopped, err = true, nil
	}
	if err != nil {
		return nil, err
	}
	return f, nil
}

// Published returns the airspeed that the rig's procedure gives, as entered;
// "" for none.
func (f *Flight) Published() string {
	if p := f.Rig.Procedure(); p != nil {
		return p.Airspeed
	}
	return ""
}

// Exit returns the exit status that the study stands for: the worst of its
// speeds.
func (f *Flight) Exit() int {
	status := ExitWithin
	if f.Stopped {
		status = ExitCannotTell
	}
	for _, p := range f.Sweep.Points {
		switch {
		case p.Agrees && (p.Result == rig.Over || p.Result == rig.DoesNotStand):
			return ExitOver
		case !p.Agrees || p.Result == rig.CannotTell:
			status = ExitCannotTell
		}
	}
	return status
}

// Document is the study as data.
func (f *Flight) Document() FlightDocument {
	c := f.Sweep.Conditions
	d := FlightDocument{
		Format: "hangtrue.flight/1", Rig: f.Version, Invented: f.Rig.Invented(), Status: f.Rig.Status().String(), Caution: rig.Caution,
		Study: flight.Caution, Published: f.Published(), Density: c.Density, LoadFactor: c.LoadFactor, FromDeg: c.From / quantity.Degree, Stopped: f.Stopped,
		Drags: []FlightDrag{}, Points: []FlightPoint{}, Firsts: []FlightFirst{}, RotorOf: f.RotorOf, Rotor: []FlightBeat{}, Limit: []FlightLimitLoad{},
		Notes: append([]string{}, f.Sweep.Notes...),
	}
	for _, x := range f.Drags {
		d.Drags = append(d.Drags, FlightDrag{x.Body, x.Areas, x.Source})
	}
	for _, p := range f.Sweep.Points {
		d.Points = append(d.Points, flightPoint(p))
	}
	for _, x := range f.Sweep.Firsts {
		first := FlightFirst{Kind: x.Kind, Found: x.Found, AtRest: x.Rest, What: x.What}
		if x.Found {
			first.SpeedMS = finite(x.Speed)
		}
		d.Firsts = append(d.Firsts, first)
	}
	for _, x := range f.Beats {
		d.Rotor = append(d.Rotor, FlightBeat{x.Of, x.Rotor, x.Bounce, x.Mode, x.Near})
	}
	for _, x := range f.Limit {
		d.Limit = append(d.Limit, FlightLimitLoad{x.Direction, x.Down, x.Aside, flightHooks(x.Hooks), x.Pull, x.Leg})
	}
	return d
}

func flightPoint(p *flight.Point) FlightPoint {
	x := FlightPoint{
		SpeedMS: p.Speed, Agrees: p.Agrees, DragN: finite(p.Drag), TrailDeg: finite(p.Trail / quantity.Degree), Turning: finite(p.Turning),
		AheadM: finite(p.Ahead), Bodies: []FlightBody{}, Legs: []FlightLeg{}, Hooks: flightHooks(p.Hooks), LegUse: useOf(p.Use, p.Rated),
		Leg: p.Leg, Slack: append([]string{}, p.Slack...), Over: append([]string{}, p.Over...), Outside: append([]string{}, p.Outside...),
		Modes: []FlightMode{}, Result: p.Result.String(), Reason: p.Reason,
	}
	for _, b := range p.Bodies {
		x.Bodies = append(x.Bodies, FlightBody{b.ID, finite(b.Pitch / quantity.Degree), finite(b.Roll / quantity.Degree), finite(b.Area), finite(b.Drag)})
	}
	for _, l := range p.Legs {
		x.Legs = append(x.Legs, FlightLeg{l.ID, finite(l.Tension), finite(l.Worst), useOf(l.Use, l.Rated), l.Slack})
	}
	for _, m := range p.Modes {
		x.Modes = append(x.Modes, FlightMode{m.Shape, finite(m.Frequency)})
	}
	return x
}

func flightHooks(list []flight.HookPoint) []FlightHook {
	out := []FlightHook{}
	for _, h := range list {
		out = append(out, FlightHook{h.ID, h.Force})
	}
	return out
}

// CSV writes the study, a line for each speed. Every line says what it is, so
// that none is read without it. Where no steady position is found the numbers
// are left out.
func (f *Flight) CSV() ([]byte, error) {
	standing := f.Rig.Status().String()
	if f.Rig.Invented() {
		standing += "; INVENTED"
	}
	heads := []string{"airspeed kt", "steady position", "drag N", "trail deg", "turning N·m"}
	for _, b := range f.Rig.Bodies() {
		heads = append(heads, "pitch deg "+b.ID, "roll deg "+b.ID)
	}
	for _, l := range f.Rig.Legs() {
		heads = append(heads, "pull N "+l.ID, "worst pull N "+l.ID)
	}
	heads = append(heads, "highest leg use %", "most used leg", "slack legs", "result", "reason", "status", "study")
	rows := [][]string{heads}
	for _, p := range f.Sweep.Points {
		number := func(x float64, n int) string {
			if !p.Agrees {
				return ""
			}
			return decimals(x, n)
		}
		row := []string{
			decimals(p.Speed/quantity.Knot, 1), yesNo(p.Agrees), number(p.Drag, 0), number(p.Trail/quantity.Degree, 2), number(p.Turning, 1),
		}
		for _, b := range p.Bodies {
			row = append(row, number(b.Pitch/quantity.Degree, 2), number(b.Roll/quantity.Degree, 2))
		}
		for _, l := range p.Legs {
			row = append(row, number(l.Tension, 0), number(l.Worst, 0))
		}
		use, leg, slack := "", "", ""
		if p.Agrees {
			slack = strings.Join(p.Slack, " ")
			if p.Rated {
				use, leg = decimals(100*p.Use, 1), p.Leg
			}
		}
		rows = append(rows, append(row, use, leg, slack, p.Result.Words(), p.Reason, standing, flight.Caution))
	}
	var out bytes.Buffer
	if err := csv.NewWriter(&out).WriteAll(rows); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
