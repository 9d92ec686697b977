package rig_test

import (
	"context"
	"errors"
	"testing"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

const hungWithin = `format: hangtrue.rig/1
bodies:
  - id: crate
    shape: {box: [2 m, 1 m, 1 m]}
    mass: 1000 kg
    points: {F: [1 m, 0 m, 1 m], R: [-1 m, 0 m, 1 m]}
legs:
  - {id: F, to: crate.F, length: 3 m, stretch: 1 % at 20 kN}
  - {id: R, to: crate.R, length: 3.1 m, stretch: 1 % at 20 kN}
`

func TestHangWithin(t *testing.T) {
	r, problems := rigfile.Read([]byte(hungWithin))
	if r == nil {
		t.Fatal(problems)
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if a, err := rig.HangWithin(ended, r); a != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("after its end: %v, %v", a, err)
	}
	got, err := rig.HangWithin(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	want, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Legs) != 2 || got.Legs[0].Tension != want.Legs[0].Tension || got.Steps != want.Steps || !got.Converged {
		t.Errorf("within a context the answer is another: %v, %v", got.Legs, want.Legs)
	}
}
