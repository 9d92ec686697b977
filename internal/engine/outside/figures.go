package outside

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flight"
)

// figures are published constants and table values that the program carries, and
// rules of counting that it follows, each read back through the program.
func figures() []Check {
	var list []Check
	add := func(group, topic, what, source, flag, unit string, want, tolerance float64, why string, got func() (float64, error)) {
		list = append(list, Check{
			ID: fmt.Sprintf("figures/%s/%d", group, len(list)+1), Topic: topic, What: what, Source: source, Flag: flag,
			Unit: unit, Want: want, Tolerance: tolerance, Why: why, Got: got,
		})
	}

	const exact = "exact by definition; rounding"
	for _, u := range []struct {
		text, source string
		kind         quantity.Kind
		want         float64
	}{
		{"1 lb", "yard and pound agreement, 1959", quantity.Mass, 0.45359237},
		{"1 lbf", "NIST SP 811, appendix B.8", quantity.Force, 4.4482216152605},
		{"1 kgf", "3rd CGPM, 1901: standard gravity", quantity.Force, 9.80665},
		{"1 USgal", "NIST SP 811, appendix B.8: 231 cubic inches", quantity.Volume, 3.785411784e-3},
	} {
		add("units", "units", u.text+" in SI", u.source, Seen, "", u.want, 1e-12*u.want, exact, func() (float64, error) {
			q, err := quantity.Parse(u.text, u.kind)
			return q.Value, err
		})
	}

	const dataBook = "Aeronautical Engineer's Data Book, drag coefficients"
	for _, d := range []struct {
		what string
		want float64
		got  float64
	}{
		{"cylinder end-on, l/d 1", 0.91, flight.EndOn(1)},
		{"cylinder end-on, l/d 2", 0.85, flight.EndOn(2)},
		{"cylinder across the flow, l/d 1", 0.63, flight.Across(1)},
		{"cylinder across the flow, l/d 2", 0.68, flight.Across(2)},
		{"cylinder across the flow, l/d 5", 0.74, flight.Across(5)},
		{"cylinder across the flow, endless", 1.20, flight.Across(1e9)},
		{"square plate across the flow", 1.17, flight.FaceOn(0)},
	} {
		add("drag", "drag coefficients", d.what, dataBook, Seen, "", d.want, 1e-6, "the value of the table; an endless cylinder is one of l/d 1e9", func() (float64, error) { return d.got, nil })
	}
	add("drag", "drag coefficients", "cube face-on", "Hoerner, Fluid-Dynamic Drag", Memory, "", 1.05, 1e-12, "the value itself", func() (float64, error) { return flight.FaceOn(1), nil })

	for _, f := range []struct {
		name, source     string
		low, high, flash float64
	}{
		{"jet fuel", "DEF STAN 91-091 and ASTM D1655, Jet A-1: 775 to 840 kg/m3, flash point 38 degC or more", 775, 840, 38},
		{"diesel", "EN 590: 820 to 845 kg/m3, flash point above 55 degC", 820, 845, 55},
	} {
		value := func(of func(liquid.Liquid) float64) func() (float64, error) {
			return func() (float64, error) {
				l, err := liquid.Named(f.name)
				return of(l), err
			}
		}
		add("liquids", f.name+" of which no density is entered", "least density at 15 degC", f.source, Seen, "kg/m3", f.low, 1e-9, "rounding", value(func(l liquid.Liquid) float64 { return l.Density15 - l.Band }))
		add("liquids", f.name+" of which no density is entered", "greatest density at 15 degC", f.source, Seen, "kg/m3", f.high, 1e-9, "rounding", value(func(l liquid.Liquid) float64 { return l.Density15 + l.Band }))
		add("liquids", f.name+" of which no density is entered", "flash point", f.source, Seen, "degC", f.flash, 1e-9, "rounding", value(func(l liquid.Liquid) float64 { return l.Flash - quantity.ZeroCelsius }))
	}

	const half = "half of the table's last digit, in pulls"
	add("legs", "four legs at 60° from the horizontal under 31,200 lb, three counted", "pull by the rule", "OSHA, Guidance on Safe Sling Use, grade 80 alloy chain 1/2 in, 3 or 4 legs: the rating of a leg", Seen, "lb", 12000, 50.0/31200*12000+1e-3, half,
		func() (float64, error) { return countedOf(3, 31200, 60) })
	add("legs", "four legs at 45° from the horizontal under 25,500 lb, three counted", "pull by the rule", "OSHA, Guidance on Safe Sling Use, grade 80 alloy chain 1/2 in, 3 or 4 legs: the rating of a leg", Seen, "lb", 12000, 50.0/25500*12000+1e-3, half,
		func() (float64, error) { return countedOf(3, 25500, 45) })
	add("legs", "four legs at 60° from the horizontal under 20,800 lb, two counted", "pull by the rule", "AS 3775 and NAVEDTRA 14081 count two of four legs; then OSHA's value for two legs of grade 80 alloy chain 1/2 in", Seen, "lb", 12000, 50.0/20800*12000+1e-3, half,
		func() (float64, error) { return countedOf(2, 20800, 60) })

	add("count", "chain of 8 ft and 112 links", "what one count changes", "half a pitch; the links of a 10,000 lb set from memory (110 to 115)", Derived, "in", 0.43, 0.005, "the figure has two decimals",
		func() (float64, error) { return oneCount(112, 8*quantity.Foot/112) })
	add("count", "chain of 8 ft and 87 links", "what one count changes", "half a pitch; the links of a 25,000 lb set from memory (86 to 88)", Derived, "in", 0.55, 0.005, "the figure has two decimals",
		func() (float64, error) { return oneCount(87, 8*quantity.Foot/87) })
	return list
}

// countedOf is the pull, lb, that a rule counting so many legs gives one of four
// legs at an angle from the horizontal, in degrees, under a load in lb.
func countedOf(legs int, load, angle float64) (float64, error) {
	s := rig.Spec{LegsCounted: legs, Bodies: []rig.Body{{ID: "load", Mass: load * quantity.Pound, CG: &rig.Vec{0, 0, -1}}}}
	cos := math.Cos(angle * quantity.Degree)
	for i, at := range []rig.Vec{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		id := fmt.Sprintf("P%d", i+1)
		s.Bodies[0].Points = append(s.Bodies[0].Points, rig.Point{ID: id, At: rig.Vec{at[0] * cos * 3 / math.Sqrt2, at[1] * cos * 3 / math.Sqrt2, 0}})
		s.Legs = append(s.Legs, stiffLeg(id, nil, rig.Ref{ID: "load", Point: id}, 3, load*quantity.PoundForce))
	}
	r, err := made(s)
	if err != nil {
		return 0, err
	}
	a, err := rig.Hang(r)
	if err != nil {
		return 0, err
	}
	return a.Legs[0].Counted / quantity.PoundForce, nil
}

// oneCount is by how much, in inches, a leg with so many links of a pitch in
// metres is longer at count 10 than at count 11.
func oneCount(links int, pitch float64) (float64, error) {
	at := func(count int) (float64, error) {
		leg := stiffLeg("leg", nil, rig.Ref{ID: "load", Point: "P"}, 3, 1000)
		leg.Chain = &rig.Chain{Links: links, Pitch: pitch, Stretch: leg.Rope.Stretch}
		leg.Count = &count
		r, err := made(rig.Spec{Bodies: []rig.Body{{ID: "load", Mass: 100, CG: &rig.Vec{}, Points: []rig.Point{{ID: "P"}}}}, Legs: []rig.Leg{leg}})
		if err != nil {
			return 0, err
		}
		a, err := rig.Hang(r)
		if err != nil {
			return 0, err
		}
		return a.Legs[0].Unstretched, nil
	}
	short, err := at(11)
	if err != nil {
		return 0, err
	}
	long, err := at(10)
	return (long - short) / quantity.Inch, err
}
