package teach

import (
	"encoding/json"
	"slices"
	"time"

	"hangtrue/internal/engine/calendar"
)

// Class is a course that a school runs.
type Class struct {
	ID          string
	Name        string
	From, Until calendar.Day // "" where it was not entered
	Made        time.Time
	By          string // a person's id
	Ended       time.Time
}

// Member is a student in a class. What else is known of them is the person's.
type Member struct {
	Class, Person string
	Group         string    // "" for none
	Left          time.Time // zero while they are in it
}

// Presence says whether a student was there on a day.
type Presence string

// What attendance knows.
const (
	Present Presence = "present"
	Absent  Presence = "absent"
	Excused Presence = "excused"
	Late    Presence = "late"
)

// Presences lists them in the order in which they are shown.
var Presences = []Presence{Present, Late, Excused, Absent}

// Known reports whether there is such a word.
func (p Presence) Known() bool { return slices.Contains(Presences, p) }

// Attendance is one student on one day.
type Attendance struct {
	Class, Person string
	Day           calendar.Day
	State         Presence
	By            string
	At            time.Time
}

// Note is what an instructor writes about a student. It goes with the name.
type Note struct {
	ID, Class, Person string
	By                string
	At                time.Time
	Text              string
}

// EntryKind is what was recorded about a test.
type EntryKind string

// What is recorded; it is only ever added to.
const (
	EntryRetraining EntryKind = "retraining" // of a student, before another attempt
	EntryAppeal     EntryKind = "appeal"     // against a run's result
	EntryDecision   EntryKind = "decision"   // on an appeal
	EntryVoid       EntryKind = "void"       // of one deficiency of a version: it no longer counts
	EntryReview     EntryKind = "review"     // of a run before a fault that nobody planted
	EntryOtherLoad  EntryKind = "other-load" // a load of the same rig is not the tagged one of a lane
)

// Known reports whether there is such an entry.
func (k EntryKind) Known() bool {
	return slices.Contains([]EntryKind{EntryRetraining, EntryAppeal, EntryDecision, EntryVoid, EntryReview, EntryOtherLoad}, k)
}

// Entry is one thing recorded about a test. What does not apply is "".
type Entry struct {
	Seq                int64
	ID                 string
	Class              string
	Person             string // the student
	Lane, Version, Run string
	Deficiency         string
	Kind               EntryKind
	Text               string
	By                 string
	At                 time.Time
}

// LaneSetup is a lane as a school has set it up: which load, what is looked at,
// in how long, and when it is met. Found, Within and the rest of the rule are
// blank until the school enters them.
type LaneSetup struct {
	Title    string `json:"title"`
	Rig      string `json:"rig"`
	RigHash  string `json:"rig_sha256"`
	Invented bool   `json:"invented,omitempty"`        // the rig is demo data
	Sequence string `json:"sequence_sha256,omitempty"` // "" for the one suggested from the rig
	Load     string `json:"load"`                      // what the load is called; lanes on one load are alternatives
	Tag      string `json:"tag,omitempty"`             // the number on the red tag
	Real     bool   `json:"real"`                      // a load that is touched; otherwise pictures
	Spoiled  bool   `json:"spoiled,omitempty"`         // spoiled training parts are at hand
	Rule     Rule   `json:"rule"`
	CallIs   string `json:"call_is,omitempty"` // what the school counts as a call, in its words
	Aids     string `json:"aids,omitempty"`    // what a student may use
	Attempts *int   `json:"attempts,omitempty"`
	Count    int    `json:"count"` // deficiencies in each version
	// Pictures is how many pictures a walk of a lane in pictures shows; 0 for all
	// that can be drawn. What is planted is always among them.
	Pictures int `json:"pictures,omitempty"`
	// Takes, Change and Reset are for the rotation, minutes: one group at the
	// lane at least, from one student to the next, and putting it back for the
	// next group.
	Takes  int `json:"takes_min,omitempty"`
	Change int `json:"change_min,omitempty"`
	Reset  int `json:"reset_min,omitempty"`
	// Grader is a person's id; "" for none yet.
	Grader string `json:"grader,omitempty"`
	// Open says that students may run a lane in pictures on their own screens.
	Open bool `json:"open,omitempty"`
}

// Slot is how long a group of so many students is at a lane, minutes. On a real
// load they walk one after the other, each with the whole time limit and a change
// to the next; in pictures all at once, each on a screen. It is never less than
// Takes; 0 where nothing says how long, and for a lane in pictures that has no
// minutes of its own, which students walk when they like.
func (x *LaneSetup) Slot(students int) int {
	if x.Rule.Within == nil || !x.Real && x.Takes == 0 {
		return x.Takes
	}
	if !x.Real {
		students = min(students, 1)
	}
	each := int((*x.Rule.Within + time.Minute - 1) / time.Minute)
	return max(x.Takes, students*(each+x.Change))
}

// TestLane is a lane of a class.
type TestLane struct {
	ID, Class string
	Setup     LaneSetup
	Made      time.Time
	By        string
}

// LaneVersion is one planting of a lane. The secret, the seed and what is
// planted stay from students until the key is opened.
type LaneVersion struct {
	ID, Lane   string
	Number     int    // from 1
	For        string // the group that it is for; "" for any
	Key        Key
	Notes      []string // what could not be had
	Equal      string   // how equal it is to the others made with it
	Secret     [32]byte
	Commitment Commitment
	Entry      int64 // the log entry of the commitment
	Real       bool
	Load       string
	Rig        string
	Made       time.Time
	By         string
	Opened     time.Time // when the key was shown; zero before
	Restored   time.Time // when the last item was confirmed put back by a second person; zero before
}

// Body is what the log says of a commitment: whose it is, never what is planted.
func (v *LaneVersion) Body() json.RawMessage {
	data, err := json.Marshal(struct {
		Format     string     `json:"format"`
		Lane       string     `json:"lane"`
		Version    int        `json:"version"`
		Rig        string     `json:"rig_sha256"`
		Commitment Commitment `json:"commitment"`
	}{"hangtrue.key-commitment/1", v.Lane, v.Number, v.Key.Rig, v.Commitment})
	if err != nil {
		panic("teach: a commitment is no JSON: " + err.Error()) // strings and numbers only
	}
	return data
}

// PutBack is a planted deficiency that a person has seen put right.
type PutBack struct {
	Version, Deficiency, Person string
	At                          time.Time
}

// Standing says how far a planted load has been put back. Each item needs two
// different people.
type Standing struct {
	Items    int
	Twice    int       // items that two people have confirmed
	Last     time.Time // of the confirmations that count
	Restored bool      // all are confirmed by two people
}

// PutBackOf says how far a version has been put back.
func PutBackOf(v *LaneVersion, seen []PutBack) Standing {
	who := map[string][]string{}
	x := Standing{Items: len(v.Key.Planted)}
	for _, p := range seen {
		if p.Version != v.ID || !slices.Contains(v.Key.Planted, p.Deficiency) || slices.Contains(who[p.Deficiency], p.Person) {
			continue
		}
		who[p.Deficiency] = append(who[p.Deficiency], p.Person)
		if len(who[p.Deficiency]) == 2 {
			x.Twice++
		}
		if p.At.After(x.Last) {
			x.Last = p.At
		}
	}
	x.Restored = x.Twice == x.Items
	return x
}

// SameLoad reports whether two names mean one load: letters and digits only,
// without case and without leading zeros of a number, so that "Crate 07" is
// "crate-7". It is meant to err towards yes.
func SameLoad(a, b string) bool { return LoadKey(a) != "" && LoadKey(a) == LoadKey(b) }

// LoadKey is what two names of one load share; "" for a name without a letter or
// digit.
func LoadKey(name string) string {
	var out []rune
	number := false
	for _, r := range name {
		switch {
		case r >= '0' && r <= '9':
			if r == '0' && !number {
				continue
			}
			number = true
		case r >= 'A' && r <= 'Z':
			r += 'a' - 'A'
			number = false
		case r >= 'a' && r <= 'z' || r > 127:
			number = false
		default:
			number = false
			continue
		}
		out = append(out, r)
	}
	return string(out)
}
