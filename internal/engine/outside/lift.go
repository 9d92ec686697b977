package outside

import (
	"fmt"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
)

// lifts are the arithmetic of load calculations, of the strength that the rules
// ask of hooks, and of weighing.
func lifts() []Check {
	var list []Check
	add := func(group, topic, what, source, flag, unit string, want, tolerance float64, why string, got func() (float64, error)) {
		list = append(list, Check{
			ID: fmt.Sprintf("lift/%s/%d", group, len(list)+1), Topic: topic, What: what, Source: source, Flag: flag,
			Unit: unit, Want: want, Tolerance: tolerance, Why: why, Got: got,
		})
	}
	const certified = "14 CFR 27.865 and 29.865: 2.5 times the load, up to 30 degrees from the vertical; the 2.5 from memory"
	vertical, across := lift.CertifiedPull(1)
	add("hook", "strength of the attaching means", "vertical part, times the load", certified, Derived, "", 2.165, 6e-4, "the figure has three decimals", func() (float64, error) { return vertical, nil })
	add("hook", "strength of the attaching means", "sideways part, times the load", certified, Derived, "", 1.25, 1e-12, "rounding", func() (float64, error) { return across, nil })
	for _, x := range []struct {
		what                               string
		people, fixed, jettisonable, drags bool
		class                              lift.LoadClass
	}{
		{"fixed to the aircraft, cannot be jettisoned (1: it is class A)", false, true, false, false, lift.ClassA},
		{"hangs free, jettisonable (1: it is class B)", false, false, true, false, lift.ClassB},
		{"jettisonable and drags on the ground (1: it is class C)", false, false, true, true, lift.ClassC},
		{"a person (1: it is class D)", true, false, false, false, lift.ClassD},
	} {
		add("class", "load classes", x.what, "14 CFR 133 and 1.1", Seen, "", 1, 0, "a class is one or another", func() (float64, error) {
			got, ok := lift.ClassOf(x.people, x.fixed, x.jettisonable, x.drags)
			if !ok || got != x.class {
				return 0, fmt.Errorf("class %q", string(got))
			}
			return 1, nil
		})
	}
	const form = "US interagency helicopter load calculation, layout of the form from memory: the lower of (chart − reduction) and the limit, less the operating weight"
	add("form", "chart 4,000, reduction 100, limit 3,950, operating 2,800 lb", "allowable payload", form, Memory, "lb", 1100, 1e-9, "whole pounds", func() (float64, error) {
		return lift.LoadForm(4000, 100, 3950, 2800, 0).Allowable, nil
	})
	add("form", "chart 4,200, reduction 100, limit 3,950, operating 2,800 lb", "allowable payload", form, Memory, "lb", 1150, 1e-9, "whole pounds", func() (float64, error) {
		return lift.LoadForm(4200, 100, 3950, 2800, 0).Allowable, nil
	})
	add("form", "the second end allows 800 lb", "allowable payload that governs", form+"; the worse end governs", Memory, "lb", 800, 1e-9, "whole pounds", func() (float64, error) {
		return lift.Worse(lift.LoadForm(4000, 100, 3950, 2800, 0), lift.LoadForm(3600, 100, 3950, 2700, 0)).Allowable, nil
	})
	const weighing = "moments about a support; the equation of ISO 10392, from memory"
	add("weighing", "1,000 kg on axles 3 m apart, 400 kg in front", "CG before the rear axle", "moments about the rear axle: 400·3/1000", Derived, "m", 1.2, 1e-12, "rounding", func() (float64, error) {
		_, cg, err := lift.FromReadings([]lift.Reading{{Mass: 600}, {At: lift.Vec{3}, Mass: 400}})
		return cg[0], err
	})
	add("weighing", "the same with the front raised until the line of the axles leans by 45 degrees, 300 kg in front", "CG above that line", weighing+": (400 − 300)·3/(1000·tan 45°)", Derived, "m", 0.3, 1e-12, "rounding", func() (float64, error) {
		return lift.CGHeight(1000, 3, 400, 300, 45*quantity.Degree)
	})
	add("weighing", "the first, with 100 kg of snow come on 0.2 m before the rear axle", "CG before the rear axle", "moments about the rear axle: (1000·1.2 + 100·0.2)/1100", Derived, "m", (1000*1.2+100*0.2)/1100, 1e-12, "rounding", func() (float64, error) {
		at := lift.Vec{0.2}
		_, cg, err := lift.Since(1000, lift.Vec{1.2}, []lift.Item{{What: "snow", Mass: 100, At: &at}})
		return cg[0], err
	})
	table := lift.Table{Altitudes: []float64{0, 1000}, Temperatures: []float64{280, 300}, Gross: [][]float64{{2500, 2300}, {2200, 1900}}}
	const straight = "straight between the figures of a table in both directions"
	add("table", "2,500 and 2,300 kg at sea level, 2,200 and 1,900 kg at 1,000 m", "gross mass at 400 m, halfway between the temperatures", straight+": 0.6·2400 + 0.4·2050", Derived, "kg", 0.6*2400+0.4*2050, 1e-9, "rounding", func() (float64, error) { return table.At(400, 290) })
	add("table", "the same", "altitude up to which 2,225 kg go, halfway between the temperatures", straight+": 1000·(2400 − 2225)/(2400 − 2050)", Derived, "m", 500, 1e-9, "rounding", func() (float64, error) {
		for _, h := range table.Highest(2225, 2) {
			if h.Temperature == 290 {
				return h.Altitude, nil
			}
		}
		return 0, fmt.Errorf("no such temperature")
	})
	return list
}
