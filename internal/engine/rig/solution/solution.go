// Package solution writes answers in the published format
// hangtrue.solution/1.
//
// All lengths are metres, forces newtons, angles degrees, in the hook frame
// (x forward, y left, z up). A quaternion turns body to world and has w ≥ 0.
// Keys may be added; none changes its meaning. A number that does not exist
// (the angle of a slack leg, the use of a leg without a rating) is null, never
// NaN. Keys beyond the core of the format stand after it in each object.
package solution

import (
	"bytes"
	"encoding/json"
	"math"

	"hangtrue/internal/engine/rig"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.solution/1"

// Solution is the whole document.
type Solution struct {
	Format    string    `json:"format"`
	Converged bool      `json:"converged"`
	Stable    bool      `json:"stable"`
	ResidualN float64   `json:"residual_n"`
	Apexes    []Apex    `json:"apexes"`
	Bodies    []Body    `json:"bodies"`
	Nodes     []Node    `json:"nodes"`
	Legs      []Leg     `json:"legs"`
	Modes     []Mode    `json:"modes"`
	Findings  []Finding `json:"findings"`
	Result    string    `json:"result"`
	Reason    string    `json:"reason"`

	Title           string    `json:"title"`
	Invented        bool      `json:"invented"`
	Status          string    `json:"status"`
	Draft           string    `json:"draft,omitempty"`
	Caution         string    `json:"caution"`
	LowestStiffness *float64  `json:"lowest_stiffness_n_per_m"`
	WeightN         float64   `json:"weight_n"`
	Sets            []Set     `json:"sets"`
	Contacts        []Contact `json:"contacts"`
	Checks          []Check   `json:"checks"`
	NotEntered      []string  `json:"not_entered"`
	Rig             string    `json:"rig_sha256,omitempty"`
	Tool            string    `json:"tool,omitempty"`
}

// Apex is where an apex hangs and what the rig does to the aircraft there.
type Apex struct {
	ID        string     `json:"id"`
	PositionM [3]float64 `json:"position_m"`
	ForceN    [3]float64 `json:"force_n"`
	HookM     [3]float64 `json:"hook_m"`
}

// Body is how a body hangs.
type Body struct {
	ID         string     `json:"id"`
	OriginM    [3]float64 `json:"origin_m"`
	Quaternion [4]float64 `json:"quaternion_wxyz"`
	CGM        [3]float64 `json:"cg_m"`
	PitchDeg   float64    `json:"pitch_deg"`
	RollDeg    float64    `json:"roll_deg"`
	TiltDeg    float64    `json:"tilt_deg"`
	MassKg     float64    `json:"mass_kg"`
	Joined     bool       `json:"joined"`
}

// Node is a free node: the grab hook of a loop through several points.
type Node struct {
	ID        string     `json:"id"`
	PositionM [3]float64 `json:"position_m"`
}

// Leg is what a leg carries.
type Leg struct {
	ID            string    `json:"id"`
	TensionN      float64   `json:"tension_n"`
	UnstretchedM  float64   `json:"unstretched_m"`
	LengthM       float64   `json:"length_m"`
	AngleDeg      *float64  `json:"angle_from_vertical_deg"`
	Slack         bool      `json:"slack"`
	RunTensionsN  []float64 `json:"run_tensions_n"`
	RatedN        *float64  `json:"rated_n"`
	Use           *float64  `json:"use"`
	WorstTensionN float64   `json:"worst_tension_n"`
	WorstUse      *float64  `json:"worst_use"`
	WorstCase     string    `json:"worst_case"`
	Redundant     bool      `json:"redundant"`
	CountedN      *float64  `json:"counted_n"`
	Count         *int      `json:"count"`
}

// Mode is one small motion.
type Mode struct {
	FrequencyHz float64 `json:"frequency_hz"`
	PeriodS     float64 `json:"period_s"`
	Shape       string  `json:"shape"`
}

// Finding is something that the answer says about a part of the rig.
type Finding struct {
	Level string `json:"level"`
	About string `json:"about"`
	Text  string `json:"text"`
	Code  string `json:"code"`
}

// Set is what a set of legs carries.
type Set struct {
	ID     string   `json:"id"`
	LoadN  float64  `json:"load_n"`
	RatedN *float64 `json:"rated_n"`
	Use    *float64 `json:"use"`
}

// Contact is a pair of bodies that press on each other.
type Contact struct {
	A      string  `json:"a"`
	B      string  `json:"b"`
	ForceN float64 `json:"force_n"`
}

// Check is one limit held against one demand, in N or degrees.
type Check struct {
	About  string  `json:"about"`
	What   string  `json:"what"`
	Demand float64 `json:"demand"`
	Limit  float64 `json:"limit"`
	Unit   string  `json:"unit"`
	Over   bool    `json:"over"`
	Source string  `json:"source,omitempty"`
	Case   string  `json:"case,omitempty"`
	// Of a band of pitch or roll; Limit is then the end that is nearer.
	Low  *float64 `json:"low,omitempty"`
	High *float64 `json:"high,omitempty"`
}

// Of makes the document of an answer.
func Of(a *rig.Answer) Solution {
	s := Solution{
		Format: Format, Converged: a.Converged, Stable: a.Stable, ResidualN: a.Residual,
		Apexes: []Apex{}, Bodies: []Body{}, Nodes: []Node{}, Legs: []Leg{}, Modes: []Mode{}, Findings: []Finding{},
		Result: a.Result.String(), Reason: a.Reason,
		Title: a.Rig.Title(), Invented: a.Rig.Invented(),
		Status: a.Status.String(), Draft: a.Status.Draft(), Caution: rig.Caution,
		LowestStiffness: number(a.Lowest), WeightN: a.Rig.Weight(),
		Sets: []Set{}, Contacts: []Contact{}, Checks: []Check{}, NotEntered: append([]string{}, a.Missing...),
	}
	for _, x := range a.Apexes {
		s.Apexes = append(s.Apexes, Apex{x.ID, clean(x.Position), clean(x.Force), clean(x.Hook)})
	}
	for i, x := range a.Bodies {
		s.Bodies = append(s.Bodies, Body{
			x.ID, clean(x.Origin), x.Turn, clean(x.CG), degrees(x.Pitch), degrees(x.Roll), degrees(x.Tilt),
			a.Rig.Bodies()[i].TotalMass(), x.Joined,
		})
	}
	for _, x := range a.Nodes {
		s.Nodes = append(s.Nodes, Node{x.ID, clean(x.Position)})
	}
	for i, x := range a.Legs {
		s.Legs = append(s.Legs, leg(&x, a.Rig.Legs()[i].Count))
	}
	for _, x := range a.Modes {
		s.Modes = append(s.Modes, Mode{x.Frequency, 1 / x.Frequency, x.Shape})
	}
	for _, x := range a.Findings {
		s.Findings = append(s.Findings, Finding{x.Level.String(), x.About, x.Text, x.Code})
	}
	for _, x := range a.Sets {
		set := Set{ID: x.ID, LoadN: x.Load}
		if x.Rated > 0 {
			set.RatedN, set.Use = number(x.Rated), number(x.Load/x.Rated)
		}
		s.Sets = append(s.Sets, set)
	}
	for _, x := range a.Touches {
		s.Contacts = append(s.Contacts, Contact{x.A, x.B, x.Force})
	}
	for _, x := range a.Checks {
		c := Check{About: x.About, What: x.What, Demand: x.Demand, Limit: x.Limit, Unit: "N", Over: x.Passed(), Source: x.Source, Case: x.Case}
		if !x.Force {
			c.Demand, c.Limit, c.Unit = degrees(x.Demand), degrees(x.Limit), "deg"
		}
		if x.Band != nil {
			c.Low, c.High = number(degrees(x.Band[0])), number(degrees(x.Band[1]))
		}
		s.Checks = append(s.Checks, c)
	}
	return s
}

func leg(x *rig.LegAnswer, count *int) Leg {
	l := Leg{
		ID: x.ID, TensionN: x.Tension, UnstretchedM: x.Unstretched, LengthM: x.Length, Slack: x.Slack,
		RunTensionsN: append([]float64{}, x.Runs...), Use: number(x.Use),
		WorstTensionN: x.Worst, WorstUse: number(x.WorstUse()), WorstCase: x.WorstCase, Redundant: x.Redundant, Count: count,
	}
	if !x.Slack {
		l.AngleDeg = number(degrees(x.Angle))
	}
	if x.Allowed > 0 {
		l.RatedN = number(x.Allowed)
	}
	if x.Counted > 0 {
		l.CountedN = number(x.Counted)
	}
	return l
}

// Encode writes the document as indented JSON.
func (s Solution) Encode() ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(s); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func degrees(x float64) float64 { return x*180/math.Pi + 0 }

// clean turns −0 into 0.
func clean(v rig.Vec) [3]float64 { return [3]float64{v[0] + 0, v[1] + 0, v[2] + 0} }
