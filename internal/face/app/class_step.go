package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// GradeStep makes one event of a run here, by the server's clock, for a grader
// whose browser runs no script. run is "" for a start, and the run's id comes
// back.
func (s *School) GradeStep(ctx context.Context, by *people.Person, version, run string, kind teach.CallKind, b teach.RunBody) (string, error) {
	if err := need(by, people.Grade); err != nil {
		return "", err
	}
	now := s.now()
	e := teach.RunEvent{ID: NewID(s.random), Run: run, Device: "server" + by.ID, N: 1, Kind: kind, At: now}
	if len(e.Device) < 20 {
		e.Device += "00000000000000000000"
	}
	if kind == teach.RunStart {
		e.Run, b.Version = NewID(s.random), version
	} else {
		events, err := s.keeper.RunEvents(ctx, run)
		if err != nil {
			return "", err
		}
		state, err := teach.FoldRun(events)
		if err != nil {
			return "", err
		}
		if state.Version != version {
			return "", &Wrong{"run", "that run is of another version"}
		}
		e.N = state.Last[e.Device] + 1
		b.After = state.Clock(now).Milliseconds()
		if state.Ended != nil {
			b.After = state.Ended.Milliseconds() // only what was found unplanted is settled then
		}
		if kind == teach.CallUndone && b.Undoes == "" {
			if b.Undoes = lastCall(state); b.Undoes == "" {
				return "", &Wrong{"undo", "there is nothing to take back"}
			}
		}
	}
	var err error
	if e.Body, err = json.Marshal(b); err != nil {
		return "", fmt.Errorf("app: %w", err)
	}
	out, err := s.DeliverRuns(ctx, by, []teach.RunEvent{e})
	switch {
	case err != nil:
		return "", err
	case errors.Is(out[0].Refused, fs.ErrNotExist):
		return "", out[0].Refused
	case out[0].Refused != nil:
		return "", &Wrong{"run", plainEngine(out[0].Refused)}
	}
	return e.Run, nil
}

// lastCall is the newest call that was not taken back.
func lastCall(s *teach.RunState) string {
	undone := map[string]bool{}
	for i := len(s.Calls) - 1; i >= 0; i-- {
		c := s.Calls[i]
		switch {
		case c.Kind == teach.CallUndone:
			undone[c.Undoes] = true
		case !undone[c.ID]:
			return c.ID
		}
	}
	return ""
}
