package inspection

import (
	"encoding/json"
	"fmt"
	"time"

	"hangtrue/internal/engine/calendar"
)

// Signer is a person as a signed record names them for good.
type Signer struct {
	ID            string       `json:"id"`
	Name          string       `json:"name"`
	Qualification string       `json:"qualification,omitempty"`
	Scope         string       `json:"scope,omitempty"`
	Authority     string       `json:"appointed_by,omitempty"`
	Until         calendar.Day `json:"until,omitempty"`
}

// Set is a set of equipment as a signed record names it.
type Set struct {
	ID     string       `json:"id"`
	Kind   string       `json:"kind"`
	Serial string       `json:"serial"`
	Due    calendar.Day `json:"next_due,omitempty"`
}

// Sealed is the body of a signed inspection's entry in the log, format
// hangtrue.inspection/1. It has all that the record printed from it shows.
type Sealed struct {
	Format     string        `json:"format"`
	Inspection string        `json:"inspection"`
	Begin      Begin         `json:"of"`
	Status     string        `json:"procedure_status"` // of the rig, in words
	Weight     string        `json:"weight,omitempty"`
	Known      string        `json:"weight_known_by,omitempty"`
	Rigger     Signer        `json:"rigger"`
	Inspector  Signer        `json:"inspector"`
	Sets       []Set         `json:"equipment"`
	Started    string        `json:"started"` // device's clock, UTC
	Finished   string        `json:"finished"`
	SignedAt   string        `json:"signed"` // server's clock, UTC
	ClockOff   int64         `json:"clock_apart_s"`
	Pauses     int           `json:"pauses"`
	Result     string        `json:"result"`
	Answers    []SealedReply `json:"answers"`
	Remarks    []Remark      `json:"remarks"`
	Photos     []string      `json:"photos_sha256"`
	Caution    string        `json:"caution"`
}

// SealedReply is an answer in a record. Over tells that another took its place: a
// record keeps what was found wrong before it was put right.
type SealedReply struct {
	Reply
	At   string `json:"at"`
	Over bool   `json:"over,omitempty"`
}

// Format is what a record's body calls itself.
const Format = "hangtrue.inspection/1"

// Seal makes the body of a finished inspection's entry. What the events do not
// know (names, weight, status, equipment) is filled in from given.
func (s *State) Seal(given Sealed, now time.Time) (json.RawMessage, error) {
	if s.Phase != Finished {
		return nil, fmt.Errorf("inspection: it is %s, and only a finished one is signed", s.Phase)
	}
	b := given
	b.Format, b.Inspection, b.Begin = Format, s.ID, s.Begin
	b.Started, b.Finished, b.SignedAt = utc(s.Started), utc(s.Finished), utc(now)
	b.ClockOff, b.Pauses, b.Result = int64(s.Clock/time.Second), s.Paused, s.Result()
	b.Answers, b.Remarks, b.Photos = []SealedReply{}, []Remark{}, s.Photos()
	if b.Photos == nil {
		b.Photos = []string{}
	}
	if b.Sets == nil {
		b.Sets = []Set{}
	}
	for _, g := range s.Answers {
		b.Answers = append(b.Answers, SealedReply{g.Reply, utc(g.At), g.Over})
	}
	for _, r := range s.Remarks {
		b.Remarks = append(b.Remarks, r.Remark)
	}
	return json.Marshal(b)
}

func utc(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}

// ReadSealed reads the body of a signed inspection's entry.
func ReadSealed(body json.RawMessage) (Sealed, error) {
	var b Sealed
	if err := json.Unmarshal(body, &b); err != nil {
		return b, fmt.Errorf("inspection: a record's body: %w", err)
	}
	if b.Format != Format {
		return b, fmt.Errorf("inspection: a record of format %.40q; this program reads %s", b.Format, Format)
	}
	return b, nil
}
