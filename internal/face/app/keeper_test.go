package app

import (
	"slices"
	"strings"
	"testing"
)

const text = `format: hangtrue.rig/1
title: Frame
bodies:
  - {id: frame, mass: 300 kg, cg: [0 m, 0 m, 0.5 m], points: {A: [1 m, 0 m, 1 m], B: [-1 m, 0 m, 1 m], C: [0 m, 1 m, 1 m]}}
legs:
  - {id: A, to: frame.A, group: ends, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10}
  - {id: B, to: frame.B, group: ends, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10}
  - {id: C, to: frame.C, length: 4 m, stretch: 1 % at 20 kN}
`

func TestGroup(t *testing.T) {
	s := Solve([]byte(text))
	if s.Rig == nil {
		t.Fatal(s.Problems)
	}
	for leg, want := range map[string][]string{"A": {"A", "B"}, "B": {"A", "B"}, "C": {"C"}, "none": {"none"}} {
		if got := s.Group(leg); !slices.Equal(got, want) {
			t.Errorf("%s goes with %v, want %v", leg, got, want)
		}
	}
	if got := (&Solved{}).Group("A"); !slices.Equal(got, []string{"A"}) {
		t.Errorf("without a rig: %v", got)
	}
}

func TestSetCounts(t *testing.T) {
	uneven := strings.Replace(text, "count: 10}\n  - {id: C", "count: 12}\n  - {id: C", 1)
	data, changes, err := SetCounts([]byte(uneven), []string{"A", "B"}, 12)
	if err != nil {
		t.Fatal(err)
	}
	// B has that count already, so taking the step back must not touch it.
	if want := []CountChange{{"A", 10, 12}}; !slices.Equal(changes, want) {
		t.Errorf("changes %v, want %v", changes, want)
	}
	if want := strings.ReplaceAll(text, "count: 10", "count: 12"); string(data) != want {
		t.Errorf("text\n%s", data)
	}
	if _, _, err := SetCounts([]byte(text), []string{"A", "C"}, 5); err == nil {
		t.Error("a leg without a chain got a count")
	}
}

func TestShortVersion(t *testing.T) {
	v := Version([]byte(text))
	if len(v) != 64 || ShortVersion(v) != v[:8] || ShortVersion("ab") != "ab" {
		t.Errorf("%s: %s", v, ShortVersion(v))
	}
}
