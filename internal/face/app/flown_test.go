package app

import (
	"io/fs"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flown"
)

// oneText is a shelf with at most one document.
type oneText struct {
	Keeper
	text []byte
}

func (k *oneText) Current(string) ([]byte, error) {
	if k.text == nil {
		return nil, fs.ErrNotExist
	}
	return k.text, nil
}

func (k *oneText) Save(_, on string, data []byte) (string, bool, error) {
	if have := k.text; have == nil && on == "" || have != nil && on == Version(have) {
		k.text = data
		return Version(data), true, nil
	}
	return Version(k.text), false, nil
}

func TestFlown_KeptComparedAndWritten(t *testing.T) {
	var data []byte
	for _, d := range demo.Rigs() {
		if d.Name == "crate-off-centre" {
			data = d.Data
		}
	}
	s := Solve(data)
	weight := quantity.New(1000, "kg", quantity.Force)
	pitch := quantity.New(-1, "deg", quantity.Angle)
	shelf := &oneText{}
	log, err := FlownOf(shelf, "crate")
	if err != nil || log.Version != "" {
		t.Fatal(err, log)
	}
	lift := flown.Lift{Date: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC), Who: "=A1", Version: s.Version, Weighed: &weight, Hover: flown.Attitude{Pitch: &pitch}}
	gone := lift
	gone.Version = strings.Repeat("0", 64)
	if saved, err := log.Save(shelf, []flown.Lift{lift, gone}); !saved || err != nil {
		t.Fatal(saved, err)
	}
	// Somebody who read before that does not overwrite it.
	if saved, err := log.Save(shelf, nil); saved || err != nil {
		t.Errorf("saved over another's entry: %v, %v", saved, err)
	}
	log, _ = FlownOf(shelf, "crate")
	rows := log.Rows(func(version string) *rig.Rig {
		if version == s.Version {
			return s.Rig
		}
		return nil
	})
	if len(rows) != 2 || len(rows[0].Compared) != 2 || !rows[0].Invented || rows[1].Missing == "" {
		t.Fatalf("%+v", rows)
	}
	if got := FlownAgreement(rows, true); len(got) != 2 || got[0].Cases != 1 || len(FlownAgreement(rows, false)) != 0 {
		t.Errorf("%+v", got)
	}
	text, err := FlownCSV(rows)
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	if err != nil || len(lines) != 3 || !strings.Contains(lines[1], ",'=A1,") || strings.Count(lines[0], ",") != strings.Count(lines[2], ",") {
		t.Errorf("%v\n%s", err, text)
	}
	if left, ok := log.Without(1); !ok || len(left) != 1 || len(log.Lifts) != 2 {
		t.Error("taking one out")
	}
	if _, ok := log.Without(2); ok {
		t.Error("taking out one that is not there")
	}
}
