package teach

import (
	"fmt"
	"time"
)

// Drill is a walk round a drawn load, picture by picture, that one student does
// on a screen. What its pictures show stays with the server until it has ended;
// of a run of a lane, until the lane's key is shown.
type Drill struct {
	ID, Person string
	Run        string // the run of a lane in pictures that it is; "" for practice
	Rig        string // its name
	RigVersion string
	Sequence   string        // of the order that is walked; "" for the one suggested from the rig
	Shared     bool          // done with a class: it moves nobody's boxes
	Limit      time.Duration // for all pictures; 0 for no clock
	Pictures   []DrillPicture
	Made       time.Time
	Ended      time.Time
}

// DrillPicture is one picture with its key. Pictures stand in the order of the
// walk.
type DrillPicture struct {
	Name       string            `json:"name"` // random; its address says nothing
	Station    int               `json:"station"`
	Place      string            `json:"place"` // where to stand, in words
	At         [2]float64        `json:"at"`    // in the ground frame, m
	Checkpoint string            `json:"checkpoint"`
	Title      string            `json:"title"`
	Part       string            `json:"part"` // id
	Parts      string            `json:"parts"`
	Ask        string            `json:"ask"`
	Do         string            `json:"do,omitempty"`
	Plan       string            `json:"plan,omitempty"`
	Figure     string            `json:"figure"`
	Params     map[string]string `json:"params"`
	Choices    []DrillChoice     `json:"choices"` // what could be wrong, in the catalogue's order

	// The key.
	Key        string `json:"key"`                  // kind/attribute/state of what was practised, shown or not
	State      string `json:"state"`                // that is shown
	Deficiency string `json:"deficiency,omitempty"` // "" where it is as it should be
	Found      string `json:"found"`                // the answer in words
	Matters    string `json:"matters,omitempty"`
	Did        string `json:"did,omitempty"` // what it would have done, computed
}

// Faulty reports whether something is wrong in the picture.
func (p *DrillPicture) Faulty() bool { return p.Deficiency != "" }

// Choice says what a chosen state is; of "", that nothing was named.
func (p *DrillPicture) Choice(state string) string {
	for _, c := range p.Choices {
		if c.State == state && state != "" {
			return c.Text
		}
	}
	return "something is wrong"
}

// DrillChoice is one thing that could be wrong.
type DrillChoice struct {
	State string `json:"state"`
	Text  string `json:"text"`
}

// DrillAnswer is what a student said of a picture.
type DrillAnswer struct {
	Drill  string
	N      int           // of the picture, from 0
	Wrong  bool          // the student called it wrong
	Choice string        // and what is wrong: a state, "" for something else
	After  time.Duration // from the start of the drill
	At     time.Time
	Late   bool // after the time: it does not count
}

// Right reports whether the answer is right as a yes or no.
func (a *DrillAnswer) Right(p *DrillPicture) bool { return a.Wrong == p.Faulty() }

// Named reports whether the answer also says rightly what is wrong.
func (a *DrillAnswer) Named(p *DrillPicture) bool {
	return a.Wrong && p.Faulty() && a.Choice == p.State
}

// Station is the range of the pictures that the student stands before, who has
// answered the first so many; from is len(Pictures) at the end.
func (d *Drill) Station(answered int) (from, to int) {
	from = min(answered, len(d.Pictures))
	to = from
	most := drillAtOnce
	if d.Run != "" {
		most = laneAtOnce
	}
	for to < len(d.Pictures) && to-from < most && d.Pictures[to].Checkpoint == d.Pictures[from].Checkpoint && d.Pictures[to].Station == d.Pictures[from].Station {
		to++
	}
	return from, to
}

// drillAtOnce is how many pictures one screen of a drill has at most, and
// laneAtOnce one of a lane, where a picture needs no answer.
const drillAtOnce, laneAtOnce = 3, 6

// MostDrillPictures is how many pictures a drill has at most, and
// MostLanePictures how many a lane: it has one for each thing to look at.
const MostDrillPictures, MostLanePictures = 30, 600

// Check refuses a drill that cannot be done.
func (d *Drill) Check() error {
	most := MostDrillPictures
	if d.Run != "" {
		most = MostLanePictures
	}
	if len(d.Pictures) < 1 || len(d.Pictures) > most {
		return fmt.Errorf("teach: from 1 to %d pictures, not %d", most, len(d.Pictures))
	}
	seen := map[string]bool{}
	for i := range d.Pictures {
		p := &d.Pictures[i]
		if p.Name == "" || seen[p.Name] || p.Key == "" {
			return fmt.Errorf("teach: picture %d of a drill has no name of its own, or no key", i+1)
		}
		seen[p.Name] = true
	}
	return nil
}
