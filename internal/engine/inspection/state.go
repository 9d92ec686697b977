package inspection

import (
	"fmt"
	"slices"
	"time"

	"hangtrue/internal/engine/spelling"
)

// Phase is how far an inspection is.
type Phase string

// The phases. Signed is the server's to say: it has sealed a record.
const (
	Open     Phase = "open"
	Paused   Phase = "paused"
	Finished Phase = "finished"
	Signed   Phase = "signed"
)

// Given is an answer as it was given.
type Given struct {
	Reply
	At, Received time.Time
	Device       string
	Seq          int64
	// Over tells that it no longer counts: it was answered again, or had to be.
	Over bool
}

// Said is a remark as it was made.
type Said struct {
	Remark
	At  time.Time
	Seq int64
}

// State is an inspection as its events tell.
type State struct {
	ID       string
	By       string
	Begin    Begin
	Phase    Phase
	Started  time.Time // by the device's clock
	Finished time.Time // by the device's clock; zero until then
	Received time.Time // when the server took the last event
	Seq      int64     // of the last event
	Answers  []Given   // all, in order
	Remarks  []Said
	Paused   int           // how many times
	Clock    time.Duration // the largest difference between a device's clock and the server's, as events came in; an offline device's waiting is in it
}

// Fold reads an inspection's events in the server's order.
func Fold(events []Event) (*State, error) {
	s := &State{}
	for i := range events {
		if err := s.take(&events[i]); err != nil {
			return nil, err
		}
	}
	if s.ID == "" {
		return nil, fmt.Errorf("inspection: it has no start")
	}
	return s, nil
}

// Takes reports why an event of this kind by this person cannot follow; nil
// where it can.
func (s *State) Takes(kind Kind, by string) error {
	if (s.ID == "") != (kind == Start) {
		if kind == Start {
			return fmt.Errorf("inspection: it has a start already: %w", ErrConflict)
		}
		return fmt.Errorf("inspection: its start has not arrived: %w", ErrGap)
	}
	if kind == Start {
		return nil
	}
	if by != s.By {
		return ErrOther
	}
	switch {
	case s.Phase == Signed:
		return fmt.Errorf("%w: it is signed; a correction is a new record", ErrEnded)
	case s.Phase == Finished && kind != Reopen:
		return fmt.Errorf("%w: it is finished; reopen it first", ErrEnded)
	case s.Phase != Finished && kind == Reopen:
		return fmt.Errorf("%w: it is open", ErrEnded)
	}
	return nil
}

func (s *State) take(e *Event) error {
	if err := s.Takes(e.Kind, e.By); err != nil {
		return err
	}
	body, err := e.read()
	if err != nil {
		return err
	}
	switch b := body.(type) {
	case *Begin:
		*s = State{ID: e.Inspection, By: e.By, Begin: *b, Phase: Open, Started: e.At}
	case *Reply:
		s.over(b.Task)
		s.Answers = append(s.Answers, Given{Reply: *b, At: e.At, Received: e.Received, Device: e.Device, Seq: e.Seq})
	case *Remark:
		s.Remarks = append(s.Remarks, Said{*b, e.At, e.Seq})
	case *Again:
		for _, t := range b.Tasks {
			s.over(t)
		}
	}
	switch e.Kind {
	case Pause:
		s.Paused++
	case Finish:
		s.Finished = e.At
	case Reopen:
		s.Finished = time.Time{}
	}
	s.Phase = e.Kind.After(s.Phase)
	s.Received, s.Seq = e.Received, e.Seq
	if d := e.Received.Sub(e.At).Abs(); !e.Received.IsZero() && d > s.Clock {
		s.Clock = d
	}
	return nil
}

// After is the phase that follows an event of this kind, where it is taken.
func (k Kind) After(p Phase) Phase {
	switch k {
	case Pause:
		return Paused
	case Finish:
		return Finished
	case Start, Answer, Note, Redo, Resume, Reopen:
		return Open // going on is as good as saying so
	}
	return p
}

func (s *State) over(t Task) {
	for i := range s.Answers {
		if s.Answers[i].Task == t {
			s.Answers[i].Over = true
		}
	}
}

// Current returns the answer that counts for a question.
func (s *State) Current(t Task) (Given, bool) {
	for i := len(s.Answers) - 1; i >= 0; i-- {
		if g := s.Answers[i]; g.Task == t && !g.Over {
			return g, true
		}
	}
	return Given{}, false
}

// Unanswered lists the questions with no answer that counts, in the walk's order.
func (s *State) Unanswered() []Task {
	answered := map[Task]bool{}
	for _, g := range s.Answers {
		if !g.Over {
			answered[g.Task] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(s.Begin.Tasks), func(t Task) bool { return answered[t] })
}

// With lists the answers that count and say this, in the order given.
func (s *State) With(w Word) []Given {
	var out []Given
	for _, g := range s.Answers {
		if !g.Over && g.Answer == w {
			out = append(out, g)
		}
	}
	return out
}

// Photos lists the photos that the inspection refers to, each once.
func (s *State) Photos() []string {
	var out []string
	for _, g := range s.Answers {
		out = append(out, g.Photos...)
	}
	for _, r := range s.Remarks {
		out = append(out, r.Photos...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Result says in words what was found.
func (s *State) Result() string {
	wrong, unsure, left := len(s.With(Wrong)), len(s.With(CannotTell)), len(s.Unanswered())
	text := "no deficiency found open"
	if wrong > 0 {
		text = spelling.Count(wrong, "deficiency", "deficiencies") + " left open"
	}
	if unsure > 0 {
		text += "; " + spelling.Count(unsure, "question", "questions") + " could not be told"
	}
	if left > 0 {
		text += "; " + spelling.Count(left, "question", "questions") + " not answered"
	}
	return text
}

// Difference is a question that two people answered differently. An answer is
// "" where a person has given none.
type Difference struct {
	Task
	First, Second           Word
	FirstCount, SecondCount *int
}

// Compare lists where two inspections of one load differ, in the order of the
// first, then what only the second was asked.
func Compare(a, b *State) []Difference {
	var out []Difference
	asked := map[Task]bool{}
	for _, t := range append(slices.Clone(a.Begin.Tasks), b.Begin.Tasks...) {
		if asked[t] {
			continue
		}
		asked[t] = true
		x, _ := a.Current(t)
		y, _ := b.Current(t)
		counts := x.Count != nil && y.Count != nil && *x.Count != *y.Count
		if x.Answer != y.Answer || counts {
			out = append(out, Difference{t, x.Answer, y.Answer, x.Count, y.Count})
		}
	}
	return out
}

// Summary is an inspection as lists show it.
type Summary struct {
	ID         string
	By         string // who inspects: a person's id
	Rigger     string
	Load       string
	Rig        string
	RigVersion string
	Aircraft   string
	Training   bool
	Sets       []string
	Phase      Phase
	Started    time.Time // device's clock
	Received   time.Time // when the server took the last event
	Seq        int64     // of the last event
	Entry      int64     // number of its record in the log; −1 until it is signed
	SignedAt   time.Time // server's clock
	Lapsed     string    // why the signature no longer counts; "" while none was recorded
	LapsedAt   time.Time
}

// Outcome is what became of one event that was delivered: taken, now or
// earlier, or refused.
type Outcome struct {
	ID       string
	Seq      int64
	Received time.Time
	Refused  error
}
