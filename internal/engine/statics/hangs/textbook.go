package hangs

import "hangtrue/internal/engine/statics"

// textbooks are exercises whose answers are printed, or whose data are.
func textbooks() []Problem {
	return []Problem{beerJohnston(), hibbeler(), caseChilverRoss()}
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
