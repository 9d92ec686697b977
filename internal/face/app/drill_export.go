package app

import (
	"context"
	"maps"
	"slices"
	"time"
)

// personDrill is a drill in what is kept of a person. What was shown is in it
// only once the drill has ended.
type personDrill struct {
	At      time.Time          `json:"at"`
	Rig     string             `json:"rig"`
	Version string             `json:"rig_sha256"`
	Ended   bool               `json:"ended"`
	Shared  bool               `json:"with_a_class"`
	Answers []personDrillReply `json:"answers"`
}

type personDrillReply struct {
	Checkpoint string  `json:"checkpoint"`
	Asked      string  `json:"asked"`
	Wrong      bool    `json:"called_wrong"`
	Choice     string  `json:"named,omitempty"`
	AfterS     float64 `json:"after_s"`
	Late       bool    `json:"late,omitempty"`
	Shown      string  `json:"shown,omitempty"`
}

// personPractice is where something that a person practises stands.
type personPractice struct {
	What string    `json:"what"`
	Box  int       `json:"box"`
	Due  time.Time `json:"due"`
}

func (s *School) personDrills(ctx context.Context, person string) ([]personDrill, []personPractice, error) {
	list, answers, err := s.keeper.Drills(ctx, person, mostDrills)
	if err != nil {
		return nil, nil, err
	}
	drills := []personDrill{}
	for i := range list {
		d := &list[i]
		x := personDrill{At: d.Made, Rig: d.Rig, Version: d.RigVersion, Ended: !d.Ended.IsZero(), Shared: d.Shared, Answers: []personDrillReply{}}
		for _, a := range answers[d.ID] {
			if a.N >= len(d.Pictures) {
				continue
			}
			p := &d.Pictures[a.N]
			y := personDrillReply{Checkpoint: p.Checkpoint, Asked: p.Parts + ": " + p.Ask, Wrong: a.Wrong, Choice: a.Choice, AfterS: a.After.Seconds(), Late: a.Late}
			if x.Ended {
				y.Shown = p.Found
			}
			x.Answers = append(x.Answers, y)
		}
		drills = append(drills, x)
	}
	boxes, err := s.keeper.Boxes(ctx, person)
	if err != nil {
		return nil, nil, err
	}
	practice := []personPractice{}
	for _, key := range slices.Sorted(maps.Keys(boxes)) {
		practice = append(practice, personPractice{key, boxes[key].Number, boxes[key].Due})
	}
	return drills, practice, nil
}
