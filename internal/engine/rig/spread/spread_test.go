package spread

import (
	"context"
	"math"
	"reflect"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

func serial(_ context.Context, n int, each func(worker, i int)) error {
	for i := range n {
		each(0, i)
	}
	return nil
}

// The Ishigami function f = sin x₁ + a sin² x₂ + b x₃⁴ sin x₁ with x in
// (−π, π)³, a = 7, b = 0.1, has the analytical total effects 0.5576, 0.4424,
// 0.2437. Source: T. Ishigami and T. Homma, "An importance quantification
// technique in uncertainty analysis for computer models", ISUMA 1990; the
// values follow from D = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2, D₁ = (1 + bπ⁴/5)²/2,
// D₂ = a²/8, D₁₃ = b²π⁸(1/18 − 1/50).
func TestTotalEffects_Ishigami(t *testing.T) {
	const a, b = 7.0, 0.1
	p4 := math.Pow(math.Pi, 4)
	d := a*a/8 + b*p4/5 + b*b*p4*p4/18 + 0.5
	d1 := 0.5 * (1 + b*p4/5) * (1 + b*p4/5)
	d13 := b * b * p4 * p4 * (1.0/18 - 1.0/50)
	want := []float64{(d1 + d13) / d, a * a / 8 / d, d13 / d}
	for i, printed := range []float64{0.5576, 0.4424, 0.2437} {
		if math.Abs(want[i]-printed) > 5e-5 {
			t.Fatalf("formula gives %.5f, printed is %.4f", want[i], printed)
		}
	}
	got, err := totalEffects(context.Background(), 3, [][]int{{0}, {1}, {2}}, 20000, 1, 1, serial, func(_ int, x, out []float64) {
		y := [3]float64{}
		for i := range y {
			y[i] = math.Pi * (2*x[i] - 1)
		}
		out[0] = math.Sin(y[0]) + a*math.Pow(math.Sin(y[1]), 2) + b*math.Pow(y[2], 4)*math.Sin(y[0])
	})
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		// 20,000 points of the sequence give about three digits
		if math.Abs(got[i][0]-want[i]) > 0.01 {
			t.Errorf("x%d: total effect %.4f, want %.4f", i+1, got[i][0], want[i])
		}
	}
}

// A sum of independent inputs c_i·u_i has total effects c_i²/Σc².
func TestTotalEffects_Linear(t *testing.T) {
	c := []float64{3, -2, 1, 0}
	got, err := totalEffects(context.Background(), 4, [][]int{{0}, {1}, {2, 3}}, 4000, 1, 7, serial, func(_ int, x, out []float64) {
		for i := range c {
			out[0] += c[i] * x[i]
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{9.0 / 14, 4.0 / 14, 1.0 / 14} {
		if math.Abs(got[i][0]-want) > 0.01 {
			t.Errorf("input %d: %.4f, want %.4f", i, got[i][0], want)
		}
	}
}

// Points of the sequence must fill each coordinate evenly: in every base b the
// first b² points hit each of b² equal intervals once.
func TestHalton_FillsEachCoordinate(t *testing.T) {
	const dims = 40
	h := newHalton(dims, 3)
	x := make([]float64, dims)
	for d, b := range h.base[:12] {
		hit := map[int]int{}
		for i := range b * b {
			h.at(i, x)
			hit[int(x[d]*float64(b*b)+1e-9)]++
		}
		if len(hit) != b*b {
			t.Errorf("base %d: %d of %d intervals hit", b, len(hit), b*b)
		}
	}
	// two dimensions far out must not run in step
	sum, n := 0.0, 2000
	for i := range n {
		h.at(i+1, x)
		sum += (x[38] - 0.5) * (x[39] - 0.5) * 12
	}
	if r := sum / float64(n); math.Abs(r) > 0.1 {
		t.Errorf("coordinates 39 and 40 are correlated by %.3f", r)
	}
}

func demoRig(t testing.TB, name string) *rig.Rig {
	for _, d := range demo.Rigs() {
		if d.Name == name {
			r, problems := rigfile.Read(d.Data)
			if r == nil {
				t.Fatal(problems)
			}
			return r
		}
	}
	t.Fatalf("no demo rig %s", name)
	return nil
}

func TestRun_SameForAnyNumberOfWorkers(t *testing.T) {
	r := demoRig(t, "crate-off-centre")
	run := func(workers int, seed uint64) *Spread {
		s, err := Run(context.Background(), r, Options{Tolerances: Defaults(), Cases: 600, Seed: seed, Workers: workers})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	one, three, other := run(1, 5), run(3, 5), run(2, 6)
	if !reflect.DeepEqual(one, three) {
		t.Error("one worker and three do not agree bit for bit")
	}
	if reflect.DeepEqual(one.Use, other.Use) {
		t.Error("another seed gave the same cases")
	}
	if one.Cases != 600 || len(one.Effects) < 6 {
		t.Errorf("%d cases, %d effects", one.Cases, len(one.Effects))
	}
	if !(one.Use.Least < one.Use.Planned && one.Use.Planned < one.Use.Most) {
		t.Errorf("planned %.3f is not between %.3f and %.3f", one.Use.Planned, one.Use.Least, one.Use.Most)
	}
	total := 0
	for _, n := range one.Use.Bins {
		total += n
	}
	if total != one.Cases-one.Unsettled {
		t.Errorf("%d of %d cases are in the bins", total, one.Cases)
	}
}

func TestRun_StoppedSaysWhatItHas(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	s, err := Run(ctx, demoRig(t, "crate-off-centre"), Options{Tolerances: Defaults(), Cases: 100000, Seed: 1, Progress: func(done, _ int) {
		if done >= 512 {
			stop()
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	if !s.Stopped || s.Cases < 512 || s.Cases >= 100000 || s.Use.Most == 0 {
		t.Errorf("stopped %v after %d cases", s.Stopped, s.Cases)
	}
}

// With only the mass free, on two legs under one hook, every share is
// proportional to the mass: the spread's ends are those of the mass.
func TestRun_MassAlone(t *testing.T) {
	data := `format: hangtrue.rig/1
title: bar
bodies:
  - {id: bar, mass: 1000 kg, cg: [0 m, 0 m, 0 m], points: {A: [-1 m, 0 m, 0.5 m], B: [1 m, 0 m, 0.5 m]}}
legs:
  - {id: A, to: bar.A, length: 2 m, stretch: 0.01 % at 10 kN, rated: 10 kN}
  - {id: B, to: bar.B, length: 2 m, stretch: 0.01 % at 10 kN, rated: 10 kN}
`
	r, problems := rigfile.Read([]byte(data))
	if r == nil {
		t.Fatal(problems)
	}
	s, err := Run(context.Background(), r, Options{Tolerances: Tolerances{Mass: 0.1}, Cases: 2000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	// T = W/2/cos 30° over 10 kN
	planned := 1000 * 9.80665 / 2 / math.Cos(math.Pi/6) / 10e3
	for _, c := range []struct{ got, want float64 }{
		{s.Use.Planned, planned}, {s.Use.Least, 0.9 * planned}, {s.Use.Most, 1.1 * planned}, {s.Use.At[2], planned}, {s.Use.At[3], 1.09 * planned},
	} {
		if math.Abs(c.got-c.want) > 0.002 {
			t.Errorf("share %.4f, want %.4f", c.got, c.want)
		}
	}
	if len(s.Effects) != 1 || math.Abs(s.Effects[0].Use-1) > 0.02 {
		t.Errorf("effects %+v", s.Effects)
	}
}
