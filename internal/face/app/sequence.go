package app

import (
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
)

// SequenceDocument is an inspection sequence on one rig, with how far it goes,
// as data.
type SequenceDocument struct {
	Format       string             `json:"format"`
	Rig          string             `json:"rig_sha256"`
	Invented     bool               `json:"invented"`
	Status       string             `json:"status"`
	Caution      string             `json:"caution"`
	Title        string             `json:"title"`
	Source       string             `json:"source"`
	Made         bool               `json:"made"` // suggested from the rig, not a school's own
	Before       string             `json:"before"`
	Stations     []SequenceStation  `json:"stations"`
	AnythingElse string             `json:"anything_else"`
	Claim        string             `json:"claim"`
	Deficiencies int                `json:"deficiencies"`
	Uncovered    []ListedDeficiency `json:"uncovered"`
	Blind        []string           `json:"blind"` // checkpoints that can see nothing on this rig
	Idle         []SequenceIdle     `json:"idle"`
}

// SequenceStation is a numbered place of the walk.
type SequenceStation struct {
	Number      int                  `json:"number"`
	Place       string               `json:"place"`
	At          [2]float64           `json:"ground_m"`
	Checkpoints []SequenceCheckpoint `json:"checkpoints"`
}

// SequenceCheckpoint is one checkpoint and what it asks on this rig.
type SequenceCheckpoint struct {
	ID        string         `json:"id"`
	Title     string         `json:"title"`
	Note      string         `json:"note"`
	Reference string         `json:"reference"`
	Tasks     []SequenceTask `json:"tasks"`
}

// SequenceTask is one question.
type SequenceTask struct {
	Part      string   `json:"part"`
	Name      string   `json:"part_name"`
	Attribute string   `json:"attribute"`
	Ask       string   `json:"ask"`
	Do        []string `json:"do"`
	Planned   string   `json:"planned"`
}

// SequenceIdle is a look that finds nothing on this rig.
type SequenceIdle struct {
	Checkpoint string `json:"checkpoint"`
	Text       string `json:"text"`
	Hint       string `json:"hint"`
}

// ListedDeficiency is a deficiency that a rig can have.
type ListedDeficiency struct {
	ID     string `json:"id"` // part/attribute/state
	Text   string `json:"text"`
	Act    string `json:"act"`
	Source string `json:"source"`
}

// Sequence lays a sequence on a surveyed rig; none is the one suggested from
// the rig.
func Sequence(s *Solved, v *inspect.Survey, q *inspect.Sequence) SequenceDocument {
	if q == nil {
		q = inspect.Suggest(v)
	}
	c := inspect.Cover(v, q)
	d := SequenceDocument{
		Format: "hangtrue.coverage/1", Rig: s.Version, Invented: s.Rig.Invented(), Status: s.Rig.Status().String(), Caution: rig.Caution,
		Title: q.Title, Source: q.Source, Made: q.Made, Before: inspect.BeforeTheWalk, AnythingElse: inspect.AnythingElse,
		Claim: c.Claim(), Deficiencies: c.Total,
		Stations: []SequenceStation{}, Uncovered: []ListedDeficiency{}, Blind: []string{}, Idle: []SequenceIdle{},
	}
	for _, x := range v.Stations(q) {
		station := SequenceStation{Number: x.Number, Place: x.Text, At: x.At}
		for _, i := range x.Checkpoints {
			station.Checkpoints = append(station.Checkpoints, checkpointOf(v, &q.Checkpoints[i]))
		}
		d.Stations = append(d.Stations, station)
	}
	for _, x := range c.Uncovered {
		d.Uncovered = append(d.Uncovered, listed(x))
	}
	for _, i := range c.Blind {
		d.Blind = append(d.Blind, q.Checkpoints[i].ID)
	}
	for _, x := range c.Idle {
		d.Idle = append(d.Idle, SequenceIdle{q.Checkpoints[x.Checkpoint].ID, x.Text, x.Hint})
	}
	return d
}

func checkpointOf(v *inspect.Survey, c *inspect.Checkpoint) SequenceCheckpoint {
	out := SequenceCheckpoint{ID: c.ID, Title: c.Title, Note: c.Note, Reference: c.Reference, Tasks: []SequenceTask{}}
	for _, t := range v.Tasks(c) {
		task := SequenceTask{Part: t.Part.ID, Name: t.Part.Name, Attribute: t.Attribute.ID, Ask: t.Attribute.Ask, Do: []string{}, Planned: t.Planned}
		for _, see := range t.Do {
			task.Do = append(task.Do, string(see))
		}
		out.Tasks = append(out.Tasks, task)
	}
	return out
}

func listed(d *inspect.Deficiency) ListedDeficiency {
	return ListedDeficiency{ID: d.ID(), Text: d.Text(), Act: string(d.State.Act), Source: d.Source()}
}
