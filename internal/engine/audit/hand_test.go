package audit

import (
	"math"
	"testing"
)

// A mass of 100 kg on one leg, by hand: EA = 20 kN / 1 % = 2 MN, 4 m of it are
// 0.5 MN/m, 100 kg · 9.80665 m/s² = 980.665 N stretch it by 1.96133 mm.
func TestForces_ByHandOnOneLeg(t *testing.T) {
	r, err := readLoad([]byte(`format: hangtrue.rig/1
bodies:
  - {id: b, mass: 100 kg, cg: [0 m, 0 m, 0 m], points: {p: [0 m, 0 m, 1 m]}}
legs:
  - {id: l, to: b.p, length: 4 m, stretch: 1 % at 20 kN}
`))
	if err != nil {
		t.Fatal(err)
	}
	s := &state{load: r, cg: []vec{{0, 0, -5.00196133}}, turn: []matrix{fromQuaternion([4]float64{1, 0, 0, 0})}}
	s.lay()
	s.loosen()
	f, _ := s.forces(1)
	// Rounding of the length of 4 m times the stiffness: 4.4e-16 · 5e5.
	if w := worst(f); w > 1e-8 {
		t.Errorf("left over are %g N, want 0", w)
	}
	if got, want := found(s)[0].tension, 980.665; math.Abs(got-want) > 1e-8 {
		t.Errorf("tension %.9f N, want %.9f N", got, want)
	}
	// A millimetre lower the leg pulls 500 N more.
	d := make([]float64, 6)
	d[2] = -0.001
	f, _ = s.moved(d).forces(1)
	if got := f[2]; math.Abs(got-500) > 1e-6 {
		t.Errorf("a millimetre lower %.9f N are left over, want 500 N", got)
	}
}

// Two round drums side by side that overlap by 10 mm press with k·10 mm =
// 2000 N, by the definition of the format; a sphere on a box likewise.
func TestContactForce_OfTheDefinition(t *testing.T) {
	upright := fromQuaternion([4]float64{1, 0, 0, 0})
	for _, c := range []struct {
		name, shapes string
		apart        vec
	}{
		{"two drums along x", "drum: {length: 2 m, diameter: 1 m}; drum: {length: 2 m, diameter: 1 m}", vec{0, 0.99, 0}},
		{"two standing drums", "drum: {length: 2 m, diameter: 1 m, axis: z}; drum: {length: 2 m, diameter: 1 m, axis: z}", vec{0.99, 0, 0}},
		{"two spheres", "drum: {length: 1 m, diameter: 1 m}; drum: {length: 1 m, diameter: 1 m}", vec{0.594, 0.792, 0}},
		{"a drum on a box", "drum: {length: 2 m, diameter: 1 m}; box: [4 m, 1 m, 1 m]", vec{0, -0.99, 0}},
		{"a box on a drum", "box: [4 m, 1 m, 1 m]; drum: {length: 2 m, diameter: 1 m}", vec{0, 0.99, 0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, b, _ := cut(c.shapes)
			r, err := readLoad([]byte("format: hangtrue.rig/1\nbodies:\n" +
				"  - {id: a, mass: 1 kg, shape: {" + a + "}}\n  - {id: b, mass: 1 kg, shape: {" + b + "}}\n"))
			if err != nil {
				t.Fatal(err)
			}
			s := &state{load: r, off: make([]bool, 2), turn: []matrix{upright, upright}, cg: []vec{{}, c.apart}}
			if got := s.contactForce(0, 1, samples); math.Abs(got-2000) > 1e-6 {
				t.Errorf("%.9f N, want 2000 N", got)
			}
		})
	}
}

func cut(s string) (string, string, bool) {
	for i := range s {
		if s[i] == ';' {
			return s[:i], s[i+2:], true
		}
	}
	return s, "", false
}

// The two routes to a rotation must agree, at an angle without symmetry.
func TestTurnedBy_AgreesWithAQuaternion(t *testing.T) {
	axis, angle := vec{1, 2, -2}.times(1.0/3), 0.7
	sin, cos := math.Sincos(angle / 2)
	a := fromQuaternion([4]float64{cos, sin * axis[0], sin * axis[1], sin * axis[2]})
	b := fromQuaternion([4]float64{1, 0, 0, 0}).turnedBy(axis.times(angle))
	for i := range 3 {
		if d := a[i].minus(b[i]).largest(); d > 1e-15 {
			t.Errorf("row %d differs by %g", i, d)
		}
	}
	if d := a.back(a.turn(vec{1, 2, 3})).minus(vec{1, 2, 3}).largest(); d > 1e-14 {
		t.Errorf("there and back differs by %g", d)
	}
}
