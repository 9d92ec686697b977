package hangs

import (
	"math"

	"hangtrue/internal/engine/statics"
)

// textbooks are exercises whose answers are printed, or whose data are.
func textbooks() []Problem {
	return append([]Problem{beerJohnston(), hibbeler(), caseChilverRoss(), serway(), giancoli(), kibbleBerkshire()}, openStax()...)
}

// hungAt is a weight hung by one of its points from lines to fixed points given
// from there, each line of its natural length.
func hungAt(weight float64, to ...statics.Vec) *statics.Model {
	m := &statics.Model{Gravity: gravity, Bodies: []statics.Body{upright(weight, statics.Vec{0, 0, -.5})}}
	for i, v := range to {
		m.Fixed = append(m.Fixed, v)
		m.Lines = append(m.Lines, stiff(fixed(i), on(0, statics.Vec{}), statics.Norm(v), weight))
	}
	return m
}

// The book's y axis points up and its z axis to the viewer; here z is up.
func beerJohnston() Problem {
	const weight = 8.41
	of := func(line int) func(*Hung) float64 {
		return func(h *Hung) float64 { return 3 * h.Lines[line].Tension / h.Lines[0].Tension }
	}
	return Problem{
		ID: "beer-johnston-2-105", Topic: "container on three cables; the pull in AB is 3 kN",
		Formula: "balance of forces along x, y, z", Flag: Seen,
		Source: "Beer & Johnston, Vector Mechanics for Engineers: Statics, problem 2.105",
		Model:  hungAt(weight, statics.Vec{-.72, .54, 1.2}, statics.Vec{0, -.64, 1.2}, statics.Vec{.8, .54, 1.2}),
		Values: []Value{
			{"pull in AC", "kN", 4.3605, within(4.3605, 4), printed, of(1)},
			{"pull in AD", "kN", 2.7720, within(2.7720, 4), printed, of(2)},
			{"weight", "kN", 8.41, within(8.41, 2), printed, func(h *Hung) float64 { return 3 * weight / h.Lines[0].Tension }},
		},
	}
}

func hibbeler() Problem {
	p := Problem{
		ID: "hibbeler-f3-11", Topic: "crate of 150 lb on three cables", Flag: Derived,
		Formula: "balance of forces along x, y, z; A (6, 0, 0), B (0, 3, 2), C (0, −2, 3), D out along x",
		Source:  "Hibbeler, Engineering Mechanics: Statics, fundamental problem F3-11: the data; the answer worked out",
		// from A; D at 2 ft beyond it
		Model: hungAt(150, statics.Vec{-6, 3, 2}, statics.Vec{-6, -2, 3}, statics.Vec{2, 0, 0}),
	}
	// The cables are so flat that even a millionth of stretch shows: A sags,
	// and AD takes a little of the weight.
	for i := range p.Model.Lines {
		p.Model.Lines[i].Stiffness *= 100
	}
	for i, want := range []float64{161.54, 242.31, 346.15} {
		p.Values = append(p.Values, Value{
			"pull in A" + []string{"B", "C", "D"}[i], "lb", want, within(want, 2),
			printed, tension(i),
		})
	}
	return p
}

func caseChilverRoss() Problem {
	m := &statics.Model{Gravity: gravity, Bodies: []statics.Body{upright(12, statics.Vec{1, 0, 0})}}
	p := Problem{
		ID: "beam-on-three-wires", Topic: "rigid beam on three equal wires at 0, 2 and 4, load at 1",
		Formula: "the wires' stretches lie on a line: 7W/12, 4W/12, W/12", Flag: Seen,
		Source: "Case, Chilver & Ross, Strength of Materials and Structures",
		Model:  m,
	}
	for i, twelfths := range []float64{7, 4, 1} {
		at := statics.Vec{2 * float64(i), 0, 0}
		m.Fixed = append(m.Fixed, at)
		m.Lines = append(m.Lines, stiff(fixed(i), on(0, at), 3, 12))
		p.Values = append(p.Values, Value{
			[]string{"pull in the first wire", "pull in the second wire", "pull in the third wire"}[i], "W/12",
			twelfths, 2e-5, "2e-5: the wires of the model stretch by 1e-6 of their length and lean as the beam tilts", tension(i),
		})
	}
	return p
}

// slant is a line of unit length that leaves at an angle from the horizontal, in
// degrees, forward for 1 and back for -1.
func slant(degrees, way float64) statics.Vec {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return statics.Vec{way * cos, 0, sin}
}

// openStax is an example of which the ratio of the pulls was seen, and the pulls
// themselves are recalled.
func openStax() []Problem {
	const (
		topic   = "traffic light of 15.0 kg on two wires at 30° and 45° from the horizontal"
		formula = "T₁·cos 30° = T₂·cos 45°, and the vertical parts make the weight; g = 9.80 m/s²"
		source  = "OpenStax, University Physics 1, example 6.1"
	)
	m := hungAt(15*9.80, slant(30, -1), slant(45, 1))
	return []Problem{
		{
			ID: "openstax-6-1", Topic: topic, Formula: formula, Source: source, Flag: Seen, Model: m,
			Values: []Value{{"pull in the second wire over that in the first", "", 1.225, within(1.225, 3), printed, func(h *Hung) float64 { return h.Lines[1].Tension / h.Lines[0].Tension }}},
		},
		{
			ID: "openstax-6-1-pulls", Topic: topic, Formula: formula, Source: source, Flag: Memory, Model: m,
			Values: []Value{
				{"pull in the first wire", "N", 108, within(108, 0), printed, tension(0)},
				{"pull in the second wire", "N", 132, within(132, 0), printed, tension(1)},
			},
		},
	}
}

func serway() Problem {
	return Problem{
		ID: "serway-5-4", Topic: "traffic light of 122 N on two cables at 37° and 53° from the horizontal",
		Formula: "T₁·cos 37° = T₂·cos 53°, and the vertical parts make the weight", Flag: Seen,
		Source: "Serway & Jewett, Physics for Scientists and Engineers, example of the traffic light at rest: data and answers seen in a page that reproduces it, its number from memory (5.4)",
		Model:  hungAt(122, slant(37, -1), slant(53, 1)),
		Values: []Value{
			{"pull in the first cable", "N", 73.4, within(73.4, 1), printed, tension(0)},
			{"pull in the second cable", "N", 97.4, within(97.4, 1), printed, tension(1)},
		},
	}
}

func giancoli() Problem {
	run := math.Sqrt(18*18 - 2.1*2.1)
	p := Problem{
		ID: "giancoli-9-75", Topic: "wire of 36 m that sags by 2.1 m under 60.0 kg in its middle",
		Formula: "2·T·(2.1/18) = m·g; g = 9.8 m/s²", Flag: Seen,
		Source: "Giancoli, Physics: Principles with Applications, 7th edition, chapter 9, problem 75",
		Model:  hungAt(60*9.8, statics.Vec{-run, 0, 2.1}, statics.Vec{run, 0, 2.1}),
		Values: []Value{{"pull in the wire", "N", 2500, 50, "the answer has two digits", tension(0)}},
	}
	// Flat wires: a millionth of stretch shows.
	for i := range p.Model.Lines {
		p.Model.Lines[i].Stiffness *= 100
	}
	return p
}

// The book gives the equation; its roots for masses and lengths of our own are
// worked out.
func kibbleBerkshire() Problem {
	const upper, lower, long, short = 300.0, 900.0, 8.0, 3.0
	m := &statics.Model{Gravity: gravity, Fixed: []statics.Vec{{}}, Bodies: []statics.Body{kilograms(upper, statics.Vec{}), kilograms(lower, statics.Vec{})}}
	m.Bodies[1].Ground.Origin = statics.Vec{0, 0, -short}
	m.Lines = []statics.Line{
		stiff(fixed(0), on(0, statics.Vec{}), long, (upper+lower)*gravity),
		stiff(on(0, statics.Vec{}), on(1, statics.Vec{}), short, (upper+lower)*gravity),
	}
	root := func(sign float64) float64 {
		b := (upper + lower) / upper * (gravity/long + gravity/short)
		c := (upper + lower) / upper * gravity * gravity / (long * short)
		return math.Sqrt((b + sign*math.Sqrt(b*b-4*c)) / 2)
	}
	slow, fast := root(-1), root(1)
	const why = "5e-6 of the value, for the stretch of stiff lines"
	return Problem{
		ID: "kibble-berkshire-11-21", Topic: "300 kg on 8 m, 900 kg on 3 m under it, swinging",
		Formula: "ω⁴ − (M + m)/M·(g/L + g/l)·ω² + (M + m)/M·g²/(L·l) = 0", Flag: Derived,
		Source: "Kibble & Berkshire, Classical Mechanics, example of the double pendulum, equation 11.21: the equation seen, its roots worked out",
		Model:  m,
		Values: []Value{
			{"circular frequency, slow", "rad/s", slow, 5e-6 * slow, why, func(h *Hung) float64 { return omega(h, 0) }},
			{"circular frequency, fast", "rad/s", fast, 5e-6 * fast, why, func(h *Hung) float64 { return omega(h, 2) }},
		},
	}
}
