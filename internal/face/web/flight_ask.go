package web

import (
	"fmt"
	"math"
	"net/url"
	"strconv"
	"strings"

	"hangtrue/internal/engine/quantity"
	steady "hangtrue/internal/engine/rig/flight"
)

// mostFlightSteps is the finest that a sweep of the page may be.
const mostFlightSteps = 120

// flightAsk is what a study was asked for, as typed.
type flightAsk struct {
	Fields []flightField
	Wrong  int

	conditions steady.Conditions
	span       steady.Span
	rotor      *steady.Rotor
	aircraft   string
}

// flightField is one field of the form.
type flightField struct {
	Name, Label, Value, Hint, Error string
	kind                            quantity.Kind
	plain, optional                 bool // a plain number; may be left empty
}

// flightFields are the fields with what they start with.
func flightFields() []flightField {
	return []flightField{
		{Name: "to", Label: "Fastest airspeed", Value: "80 kt", Hint: "says nothing about your load", kind: quantity.Speed},
		{Name: "step", Label: "Longest step", Value: "5 kt", Hint: "between airspeeds", kind: quantity.Speed},
		{Name: "density", Label: "Density of the air", Value: "1.225 kg/m3", Hint: "standard atmosphere at sea level", kind: quantity.Density},
		{Name: "factor", Label: "Load factor", Value: "1", Hint: "apparent weight over weight", plain: true},
		{Name: "from", Label: "Air from", Value: "0 deg", Hint: "0 deg ahead, 90 deg the load’s left, -90 deg its right", kind: quantity.Angle},
		{Name: "trail", Label: "Look for a trail of", Value: "10 deg", Hint: "may be left empty", kind: quantity.Angle, optional: true},
		{Name: "rotor", Label: "Rotor speed", Hint: "for example 390 rpm; may be left empty", kind: quantity.RotationRate, optional: true},
		{Name: "blades", Label: "Blades", Hint: "of that rotor", plain: true, optional: true},
	}
}

// askFlight reads a study's fields; what is wrong stands beside its field, and
// the study is then not to be made.
func askFlight(q url.Values, rotorOf func(aircraft string) (*steady.Rotor, error)) *flightAsk {
	a := &flightAsk{Fields: flightFields(), aircraft: strings.TrimSpace(q.Get("aircraft"))}
	got := map[string]float64{}
	for i := range a.Fields {
		f := &a.Fields[i]
		if q.Has(f.Name) {
			f.Value = strings.TrimSpace(q.Get(f.Name))
		}
		switch {
		case f.Value == "" && f.optional:
		case f.plain:
			x, err := strconv.ParseFloat(f.Value, 64)
			if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
				f.Error = "A plain number is needed, for example " + map[string]string{"factor": "1.5", "blades": "4"}[f.Name] + "."
				continue
			}
			got[f.Name] = x
		default:
			x, err := quantity.Parse(f.Value, f.kind)
			if err != nil {
				f.Error = capital(err.Error()) + "."
				continue
			}
			got[f.Name] = x.Value
		}
	}
	wrong := func(name, text string) {
		if f := a.field(name); f.Error == "" {
			f.Error = text
		}
	}
	for _, name := range []string{"to", "step", "density", "factor", "trail", "rotor"} {
		if x, ok := got[name]; ok && !(x > 0) {
			wrong(name, "More than zero is needed.")
		}
	}
	if got["factor"] > 10 {
		wrong("factor", "10 at most can be studied.")
	}
	if got["to"] > 400*quantity.Knot {
		wrong("to", "400 kt at most can be studied.")
	}
	if got["trail"] >= 90*quantity.Degree {
		wrong("trail", "Less than 90 deg is needed.")
	}
	if math.Abs(got["from"]) > math.Pi+1e-9 {
		wrong("from", "From -180 deg to 180 deg.")
	}
	a.conditions = steady.Conditions{Density: got["density"], LoadFactor: got["factor"], From: got["from"]}
	a.span = steady.Span{Fastest: got["to"], Trail: got["trail"]}
	if step := got["step"]; step > 0 {
		steps := math.Ceil(got["to"]/step - 1e-9)
		if steps > mostFlightSteps {
			wrong("step", fmt.Sprintf("That is more than %d steps; take longer ones.", mostFlightSteps))
		}
		a.span.Steps = max(1, int(math.Min(steps, mostFlightSteps)))
	}
	a.readRotor(got, wrong, rotorOf)
	for _, f := range a.Fields {
		if f.Error != "" {
			a.Wrong++
		}
	}
	return a
}

// readRotor takes the rotor from the aircraft chosen, or from the numbers typed.
func (a *flightAsk) readRotor(got map[string]float64, wrong func(name, text string), rotorOf func(string) (*steady.Rotor, error)) {
	speed, hasSpeed := got["rotor"]
	blades, hasBlades := got["blades"]
	if a.aircraft != "" {
		rotor, err := rotorOf(a.aircraft)
		switch {
		case err != nil:
			wrong("rotor", "Not from the aircraft: "+err.Error()+".")
		case hasSpeed || hasBlades:
			wrong("rotor", "The aircraft gives the rotor; leave this and the blades empty, or choose no aircraft.")
		default:
			a.rotor = rotor
		}
		return
	}
	if hasSpeed != hasBlades && a.field("rotor").Error == "" && a.field("blades").Error == "" {
		name := "blades"
		if hasBlades {
			name = "rotor"
		}
		wrong(name, "Speed and blades belong together; give both or none.")
		return
	}
	if !hasSpeed {
		return
	}
	if blades < 1 || blades > 20 || blades != math.Trunc(blades) {
		wrong("blades", "A whole number from 1 to 20 is needed.")
		return
	}
	a.rotor = &steady.Rotor{Speed: speed, Blades: int(blades)}
}

func (a *flightAsk) field(name string) *flightField {
	for i := range a.Fields {
		if a.Fields[i].Name == name {
			return &a.Fields[i]
		}
	}
	panic("web: there is no field " + name)
}

// query is the study's part of an address.
func (a *flightAsk) query() url.Values {
	q := url.Values{}
	for _, f := range a.Fields {
		if f.Value != "" || f.optional {
			q.Set(f.Name, f.Value)
		}
	}
	if a.aircraft != "" {
		q.Set("aircraft", a.aircraft)
	}
	return q
}
