package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/face/app"
)

// delivery is what a tablet sends: entries in the order in which it made them.
type delivery struct {
	// By is the person who made them, so that a tablet on which somebody else has
	// signed in does not send them as that person's.
	By     string             `json:"by"`
	Events []inspection.Event `json:"events"`
}

// taken is the answer: what became of each entry.
type taken struct {
	Now      time.Time      `json:"now"` // by the server's clock
	Phase    string         `json:"phase"`
	Seq      int64          `json:"seq"` // of the inspection's last entry
	Outcomes []takenOutcome `json:"outcomes"`
}

type takenOutcome struct {
	ID      string `json:"id"`
	Seq     int64  `json:"seq,omitempty"`
	Refused string `json:"refused,omitempty"` // gap, conflict, ended, other or wrong
	Words   string `json:"words,omitempty"`
}

var notUnderstood = refusal{http.StatusBadRequest, "Not understood", "What was sent is not what a tablet sends."}

// readAll reads a body, as much as is taken.
func readAll(r *http.Request) ([]byte, error) {
	data, err := io.ReadAll(r.Body)
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return nil, tooLarge
	}
	if err != nil {
		return nil, notUnderstood // the line broke
	}
	return data, nil
}

// compacted puts bodies into the one form in which they are kept, so that an
// entry that comes again by another way is the same entry.
func compacted(events []inspection.Event) error {
	for i := range events {
		e := &events[i]
		if len(e.Body) == 0 {
			continue
		}
		var b bytes.Buffer
		if err := json.Compact(&b, e.Body); err != nil {
			return err
		}
		e.Body = b.Bytes()
	}
	return nil
}

// checkDelivered refuses what no tablet of ours sends. An inspection begins on the
// page of loads and nowhere else: what is asked in it is not a tablet's to choose.
func checkDelivered(events []inspection.Event) error {
	if len(events) > app.MostEvents {
		return notUnderstood
	}
	for i := range events {
		if events[i].Kind == inspection.Start {
			return refusal{http.StatusForbidden, "Not taken", "An inspection begins on the page of loads."}
		}
	}
	return nil
}

// takeEvents keeps what a tablet delivers. An answer without a refusal means that
// the entry is on the disk.
func (s *Server) takeEvents(w http.ResponseWriter, r *http.Request) error {
	data, err := readAll(r)
	if err != nil {
		return err
	}
	var in delivery
	if err := json.Unmarshal(data, &in); err != nil || len(in.Events) == 0 || compacted(in.Events) != nil {
		return notUnderstood
	}
	me, id := personOf(r), r.PathValue("id")
	if in.By != me.ID {
		return refusal{http.StatusConflict, "Not taken", "These entries are another person’s. They are sent when that person signs in on this tablet."}
	}
	for i := range in.Events {
		if in.Events[i].Inspection != id {
			return notUnderstood
		}
	}
	if err := checkDelivered(in.Events); err != nil {
		return err
	}
	out, err := s.School.Deliver(r.Context(), me, in.Events)
	if err != nil {
		return told(err)
	}
	answer := taken{Now: s.Now(), Outcomes: outcomes(out)}
	// Where the entries were refused there may be no such inspection.
	if x, _, err := s.School.Inspection(r.Context(), me, id); err == nil {
		answer.Phase, answer.Seq = string(x.Phase), x.Seq
	}
	writeJSON(w, http.StatusOK, answer)
	return nil
}

func outcomes(out []inspection.Outcome) []takenOutcome {
	all := make([]takenOutcome, 0, len(out))
	for _, o := range out {
		t := takenOutcome{ID: o.ID, Seq: o.Seq}
		if why := o.Refused; why != nil {
			t.Seq, t.Refused, t.Words = 0, "wrong", capital(strings.TrimPrefix(why.Error(), "inspection: "))+"."
			for word, is := range map[string]error{
				"gap": inspection.ErrGap, "conflict": inspection.ErrConflict, "ended": inspection.ErrEnded, "other": inspection.ErrOther,
			} {
				if errors.Is(why, is) {
					t.Refused = word
				}
			}
		}
		all = append(all, t)
	}
	return all
}

// inspectEvents sends what the server has, for a tablet that opens the walk.
func (s *Server) inspectEvents(w http.ResponseWriter, r *http.Request) error {
	me, id := personOf(r), r.PathValue("id")
	x, _, err := s.School.Inspection(r.Context(), me, id)
	if err != nil {
		return told(err)
	}
	events, err := s.School.Events(r.Context(), me, id)
	if err != nil {
		return told(err)
	}
	writeJSON(w, http.StatusOK, map[string]any{"now": s.Now(), "phase": x.Phase, "events": events})
	return nil
}
