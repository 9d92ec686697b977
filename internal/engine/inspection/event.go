package inspection

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// Kind is what happened.
type Kind string

// The kinds of event. Their bodies are Begin, Reply, Remark, Again, or nothing.
const (
	Start  Kind = "start"
	Answer Kind = "answer"
	Note   Kind = "note" // a remark that belongs to no question, or to "anything else?"
	Pause  Kind = "pause"
	Resume Kind = "resume"
	Redo   Kind = "again" // some questions must be asked anew
	Finish Kind = "finish"
	Reopen Kind = "reopen" // finished too soon; only before it is signed
)

// Event is one event. Received and Seq are the server's.
type Event struct {
	ID         string          `json:"id"`
	Inspection string          `json:"inspection"`
	Device     string          `json:"device"`
	N          int64           `json:"n"` // from 1, on this device in this inspection
	Kind       Kind            `json:"kind"`
	At         time.Time       `json:"at"` // the device's clock
	Body       json.RawMessage `json:"body,omitempty"`

	By       string    `json:"by,omitempty"` // a person's id, as signed in
	Received time.Time `json:"received,omitzero"`
	Seq      int64     `json:"seq,omitempty"`
}

// Begin is what an inspection is of. What it names is fixed with it: the
// versions are hashes.
type Begin struct {
	Load            string   `json:"load"`
	Rig             string   `json:"rig"`
	RigVersion      string   `json:"rig_sha256"`
	Sequence        string   `json:"sequence,omitempty"` // "" for the one suggested from the rig
	SequenceVersion string   `json:"sequence_sha256,omitempty"`
	Aircraft        string   `json:"aircraft,omitempty"`
	Procedure       string   `json:"procedure,omitempty"`
	Rigger          string   `json:"rigger"` // a person's id
	Unit            string   `json:"rigging_unit,omitempty"`
	Sets            []string `json:"sets,omitempty"` // ids of equipment used
	Blind           bool     `json:"blind,omitempty"`
	Training        bool     `json:"training,omitempty"` // never signed
	Tasks           []Task   `json:"tasks"`
}

// Task is one question.
type Task struct {
	Checkpoint string `json:"checkpoint"`
	Part       string `json:"part"`
	Attribute  string `json:"attribute"`
}

// Word is an answer.
type Word string

// The answers.
const (
	Right      Word = "right"
	Wrong      Word = "wrong"
	CannotTell Word = "cannot-tell"
)

// Reply is an answer to a question.
type Reply struct {
	Task
	Answer Word     `json:"answer"`
	State  string   `json:"state,omitempty"` // the deficiency's state, where it was named
	Count  *int     `json:"count,omitempty"` // links, as counted
	Do     string   `json:"do,omitempty"`    // stop, or put right and look again
	Text   string   `json:"text,omitempty"`
	Photos []string `json:"photos,omitempty"` // SHA-256 in hexadecimal
}

// Remark is text and photos beside the questions.
type Remark struct {
	About  string   `json:"about,omitempty"` // a checkpoint or part; "anything-else"
	Text   string   `json:"text,omitempty"`
	Photos []string `json:"photos,omitempty"`
}

// Again names questions whose answers no longer count.
type Again struct {
	Why   string `json:"why"` // pause, reload, hand-over, put-right, chosen
	Tasks []Task `json:"tasks"`
}

// Limits on what is taken.
const (
	MostBody   = 256 << 10 // bytes of one event's body
	mostText   = 4000
	mostTasks  = 5000
	mostPhotos = 20
	mostSets   = 100
)

// What is refused of events; errors.Is tells them apart.
var (
	// ErrConflict: an id or number that is there already, with another content.
	ErrConflict = errors.New("an event with that id or number is there with other content")
	// ErrGap: events before this one on the device have not arrived.
	ErrGap = errors.New("events before this one have not arrived; send them first")
	// ErrEnded: the inspection takes no such event any more.
	ErrEnded = errors.New("the inspection has ended")
	// ErrOther: the inspection is another person's.
	ErrOther = errors.New("this is another person's inspection; make one of your own")
	// ErrMoved: something arrived since the caller looked.
	ErrMoved = errors.New("something was added meanwhile; look again")
)

// IDForm says in words what an id is.
const IDForm = "20 to 64 small letters and digits, chosen at random"

// ValidID reports whether a text can be an id that a device made.
func ValidID(id string) bool {
	return len(id) >= 20 && len(id) <= 64 && strings.Trim(id, "0123456789abcdefghijklmnopqrstuvwxyz") == ""
}

// isHash reports whether a text is a SHA-256 in hexadecimal.
func isHash(text string) bool {
	return len(text) == 64 && strings.Trim(text, "0123456789abcdef") == ""
}

// Check refuses an event that is wrong in itself.
func (e *Event) Check() error {
	switch {
	case !ValidID(e.ID) || !ValidID(e.Inspection) || !ValidID(e.Device):
		return fmt.Errorf("inspection: ids of event, inspection and device are %s", IDForm)
	case e.N < 1:
		return fmt.Errorf("inspection: an event's number is %d; they count from 1", e.N)
	case e.At.Year() < 2000 || e.At.Year() > 2200:
		return fmt.Errorf("inspection: the device's clock shows %s", e.At.Format(time.DateOnly))
	case len(e.Body) > MostBody:
		return fmt.Errorf("inspection: an event's body has %d bytes; at most %d are taken", len(e.Body), MostBody)
	}
	_, err := e.read()
	return err
}

// read decodes and checks the body: *Begin, *Reply, *Remark, *Again or nil.
func (e *Event) read() (any, error) {
	var err error
	switch e.Kind {
	case Start:
		b := &Begin{}
		if err = decode(e.Body, b); err == nil {
			err = b.check()
		}
		return b, err
	case Answer:
		b := &Reply{}
		if err = decode(e.Body, b); err == nil {
			err = b.check()
		}
		return b, err
	case Note:
		b := &Remark{}
		if err = decode(e.Body, b); err == nil {
			err = errors.Join(texts(b.About, b.Text), photos(b.Photos))
		}
		return b, err
	case Redo:
		b := &Again{}
		if err = decode(e.Body, b); err == nil {
			err = errors.Join(texts(b.Why), tasks(b.Tasks))
		}
		return b, err
	case Pause, Resume, Finish, Reopen:
		if len(e.Body) > 0 && string(e.Body) != "{}" && string(e.Body) != "null" {
			return nil, fmt.Errorf("inspection: an event %s has no body", e.Kind)
		}
		return nil, nil
	}
	return nil, fmt.Errorf("inspection: %.40q is no kind of event", string(e.Kind))
}

func decode(body json.RawMessage, to any) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(to); err != nil {
		return fmt.Errorf("inspection: an event's body: %w", err)
	}
	if d.More() {
		return fmt.Errorf("inspection: an event's body is followed by more")
	}
	return nil
}

func (b *Begin) check() error {
	switch {
	case b.Load == "" || b.Rig == "":
		return fmt.Errorf("inspection: the start names no load or no rig")
	case !isHash(b.RigVersion) || b.SequenceVersion != "" && !isHash(b.SequenceVersion):
		return fmt.Errorf("inspection: a version is a SHA-256 in hexadecimal")
	case b.Rigger == "":
		return fmt.Errorf("inspection: the start does not say who rigged")
	case len(b.Sets) > mostSets:
		return fmt.Errorf("inspection: %d sets; at most %d are taken", len(b.Sets), mostSets)
	case len(b.Tasks) == 0:
		return fmt.Errorf("inspection: there is nothing to ask")
	}
	seen := map[Task]bool{}
	for _, t := range b.Tasks {
		if seen[t] {
			return fmt.Errorf("inspection: checkpoint %.60s asks about %.60s/%.60s twice", t.Checkpoint, t.Part, t.Attribute)
		}
		seen[t] = true
	}
	return errors.Join(texts(b.Load, b.Rig, b.Sequence, b.Aircraft, b.Procedure, b.Rigger, b.Unit), texts(b.Sets...), tasks(b.Tasks))
}

func (r *Reply) check() error {
	if r.Answer != Right && r.Answer != Wrong && r.Answer != CannotTell {
		return fmt.Errorf("inspection: an answer is %s, %s or %s, not %.20q", Right, Wrong, CannotTell, string(r.Answer))
	}
	if r.Count != nil && (*r.Count < 0 || *r.Count > 100000) {
		return fmt.Errorf("inspection: a count of %d links", *r.Count)
	}
	return errors.Join(tasks([]Task{r.Task}), texts(r.State, r.Do, r.Text), photos(r.Photos))
}

func texts(all ...string) error {
	for _, s := range all {
		if len(s) > mostText || !utf8.ValidString(s) || bytes.IndexByte([]byte(s), 0) >= 0 {
			return fmt.Errorf("inspection: a text has more than %d bytes, or signs that cannot be read", mostText)
		}
	}
	return nil
}

func tasks(all []Task) error {
	if len(all) > mostTasks {
		return fmt.Errorf("inspection: %d questions; at most %d are taken", len(all), mostTasks)
	}
	for _, t := range all {
		if t.Checkpoint == "" || t.Part == "" || t.Attribute == "" {
			return fmt.Errorf("inspection: a question names a checkpoint, a part and an attribute")
		}
		if err := texts(t.Checkpoint, t.Part, t.Attribute); err != nil {
			return err
		}
	}
	return nil
}

func photos(all []string) error {
	if len(all) > mostPhotos {
		return fmt.Errorf("inspection: %d photos; at most %d are taken", len(all), mostPhotos)
	}
	for _, p := range all {
		if !isHash(p) {
			return fmt.Errorf("inspection: a photo goes by its SHA-256 in hexadecimal")
		}
	}
	return nil
}
