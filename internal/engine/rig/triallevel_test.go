package rig_test

import (
	"math"
	"testing"

	"hangtrue/internal/engine/rig"
)

// A tank part-filled and hung off its middle, on two pairs of legs.
const tank = `format: hangtrue.rig/1
leg-tolerance: 4 mm
bodies:
  - id: tank
    shape: {box: [2 m, 1 m, 1 m]}
    holds: {liquid: fresh water, volume: 600 L, at: 20 degC}
    tare: 150 kg
    cg: [0.1 m, 0.02 m, 0.5 m]
    points: {FL: [1 m, 0.5 m, 1 m], FR: [1 m, -0.5 m, 1 m], RL: [-1 m, 0.5 m, 1 m], RR: [-1 m, -0.5 m, 1 m]}
legs:
  - {id: FL, to: tank.FL, rope: {length: 3 m, stretch: 8 % at 20 kN}, chain: {links: 80, pitch: 28 mm, stretch: 0.5 % at 20 kN}, count: 20, rated: 10 kN}
  - {id: FR, to: tank.FR, rope: {length: 3 m, stretch: 8 % at 20 kN}, chain: {links: 80, pitch: 28 mm, stretch: 0.5 % at 20 kN}, count: 20, rated: 10 kN}
  - {id: RL, to: tank.RL, rope: {length: 3 m, stretch: 8 % at 20 kN}, chain: {links: 80, pitch: 28 mm, stretch: 0.5 % at 20 kN}, count: 14, rated: 10 kN}
  - {id: RR, to: tank.RR, rope: {length: 3 m, stretch: 8 % at 20 kN}, chain: {links: 80, pitch: 28 mm, stretch: 0.5 % at 20 kN}, count: 14, rated: 10 kN}
`

// A trial of other counts gives what hanging that rig gives, its liquid run to
// where it rests, and holds nothing over from the trial before.
func TestTrial_LiquidRunsAsInHang(t *testing.T) {
	r := hung(t, tank).Rig
	trial, err := rig.NewTrial(r)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, counts := range [][4]int{{20, 20, 14, 14}, {5, 5, 30, 30}, {30, 28, 5, 5}, {20, 20, 14, 14}} {
		got := trial.Try(rig.Change{Counts: counts[:]})
		pitch, roll, worst := got.Pitch, got.Roll, append([]float64{}, got.Worst...)
		changed, err := r.WithCounts(map[string]int{"FL": counts[0], "FR": counts[1], "RL": counts[2], "RR": counts[3]})
		if err != nil {
			t.Fatal(err)
		}
		a, err := rig.Hang(changed)
		if err != nil {
			t.Fatal(err)
		}
		// The trial stops at 0.01 mm of a CG some 2 m beneath the hook.
		if !got.Settled || math.Abs(pitch-a.Bodies[0].Pitch) > 5e-5 || math.Abs(roll-a.Bodies[0].Roll) > 5e-5 {
			t.Errorf("counts %v: pitch %g, roll %g; hung %g, %g", counts, pitch, roll, a.Bodies[0].Pitch, a.Bodies[0].Roll)
		}
		for i := range a.Legs {
			if math.Abs(worst[i]-a.Legs[i].Worst) > 1e-3*a.Legs[i].Worst+1 {
				t.Errorf("counts %v: worst pull %g on %s, hung %g", counts, worst[i], a.Legs[i].ID, a.Legs[i].Worst)
			}
		}
		// With the liquid held level the pitch would be well off.
		level := a.Rig.Bodies()[0].Centre()
		if now := a.Rig.Bodies()[0].CentreTilted(rig.UpIn(a.Bodies[0].Turn)); math.Abs(now[0]-level[0]) > 1e-3 {
			n++
		}
	}
	if n < 2 {
		t.Errorf("only %d of the cases tilt enough to move the liquid", n)
	}
}
