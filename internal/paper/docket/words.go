package docket

import (
	"fmt"
	"slices"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/spelling"
)

// Words say an answer to people.
func Words(w inspection.Word) string {
	if w == inspection.CannotTell {
		return "can't tell"
	}
	return string(w)
}

func (r *Record) zone() *time.Location {
	if r.Zone == nil {
		return time.UTC
	}
	return r.Zone
}

func (r *Record) local(t time.Time) string {
	return t.In(r.zone()).Format("2006-01-02 15:04 -07:00")
}

// when prints a time of the record in the school's zone.
func (r *Record) when(text string) string {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return text
	}
	return r.local(t)
}

// clock prints the time of day alone, for times of the walk.
func (r *Record) clock(text string) string {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return text
	}
	return t.In(r.zone()).Format("15:04:05")
}

// LoadFacts are what the record is about: label and text.
func (r *Record) LoadFacts() [][2]string {
	sequence := "suggested from the rig"
	if r.Begin.Sequence != "" || r.Begin.SequenceVersion != "" {
		sequence = spelling.Joined(", version SHA-256 ", orNone(r.Begin.Sequence), r.Begin.SequenceVersion)
	}
	// What was entered at the start and what the rig says are often the same.
	procedure := spelling.Joined("; ", r.Begin.Procedure, r.Procedure)
	if r.Begin.Procedure == r.Procedure {
		procedure = r.Procedure
	}
	return [][2]string{
		{"Load", r.Begin.Load},
		{"Description", spelling.Joined("\n", append([]string{r.Title}, r.Bodies...)...)},
		{"Weight", orNone(r.Weight) + "; how known: " + orNone(r.Known)},
		{"Aircraft", orNone(r.Begin.Aircraft)},
		{"Procedure", orNone(procedure) + "\nstatus: " + r.Status},
		{"Rig", fmt.Sprintf("%s, version SHA-256 %s", r.Begin.Rig, r.Begin.RigVersion)},
		{"Sequence", sequence},
	}
}

// PeopleFacts are who stands for the record and when it was made: label and
// text.
func (r *Record) PeopleFacts() [][2]string {
	i := r.Inspector
	until, appointed := "", ""
	if i.Until != "" {
		until = "counts through " + string(i.Until)
	}
	if i.Authority != "" {
		appointed = "appointed by " + i.Authority
	}
	counts := "with the planned figures in view"
	if r.Begin.Blind {
		counts = "without the planned figures in view"
	}
	return [][2]string{
		{"Rigged by", spelling.Joined(", ", r.Rigger.Name, r.Begin.Unit)},
		{"Inspected by", spelling.Joined(", ", i.Name, i.Qualification, i.Scope, appointed, until)},
		{"Walked", fmt.Sprintf("%s to %s, by the tablet's clock; paused %s", r.when(r.Started), r.when(r.Finished), times(r.Pauses))},
		{"Signed", fmt.Sprintf("%s, by the server's clock; the two stood up to %s apart, waiting off the network included", r.when(r.SignedAt), time.Duration(r.ClockOff)*time.Second)},
		{"Counts", counts},
		{"Sealed", fmt.Sprintf("as record %d of the log %s, hash %s", r.N, r.Log, r.Leaf)},
	}
}

// Said is an answer in words.
type Said struct {
	Checkpoint, Part, Question string
	Answer                     string
	At                         string // time of day, in the record's zone
	Text                       string
	After                      string // what came of it, for what was wrong
	Photos                     []string
}

func (r *Record) worded(t inspection.Task, a *inspection.SealedReply) Said {
	q := r.asked(t)
	x := Said{Checkpoint: q.Checkpoint, Part: q.Part, Question: q.Question, Answer: "not answered"}
	if a != nil {
		x.Answer, x.At, x.Text, x.Photos = Words(a.Answer), r.clock(a.At), r.said(a), a.Photos
	}
	return x
}

// Wrong lists all answers that were not "right", also those that were put right,
// in the order of the walk.
func (r *Record) Wrong() []Said {
	var out []Said
	all := r.answered()
	for _, t := range r.tasks() {
		answers := all[t]
		for i := range answers {
			a := &answers[i]
			if a.Answer == inspection.Right {
				continue
			}
			x := r.worded(t, a)
			x.After = "It stands so."
			if i+1 < len(answers) {
				b := &answers[i+1]
				x.After = spelling.Joined(": ", "Looked at again at "+r.clock(b.At)+": "+Words(b.Answer), r.said(b)) + "."
			} else if a.Over {
				x.After = "It was to be asked again, and was not."
			}
			out = append(out, x)
		}
	}
	return out
}

// All lists every question with the answer that counts, in the order of the
// walk.
func (r *Record) All() []Said {
	var out []Said
	all := r.answered()
	for _, t := range r.tasks() {
		answers := all[t]
		if len(answers) == 0 {
			out = append(out, r.worded(t, nil))
			continue
		}
		a := &answers[len(answers)-1]
		x := r.worded(t, a)
		if a.Over {
			x.Answer = "not answered again"
		}
		if len(answers) > 1 {
			x.Text = spelling.Joined("; ", x.Text, "asked "+times(len(answers)))
		}
		out = append(out, x)
	}
	return out
}

// tasks are the questions in the walk's order, and behind them what was answered
// without being asked, which no record should have.
func (r *Record) tasks() []inspection.Task {
	out := slices.Clone(r.Begin.Tasks)
	there := map[inspection.Task]bool{}
	for _, t := range out {
		there[t] = true
	}
	for _, a := range r.Answers {
		if !there[a.Task] {
			there[a.Task] = true
			out = append(out, a.Task)
		}
	}
	return out
}

// asked are the words of a question, with ids for what has none.
func (r *Record) asked(t inspection.Task) Asked {
	a := r.Asked[t]
	if a.Checkpoint == "" {
		a.Checkpoint = t.Checkpoint
	}
	if a.Part == "" {
		a.Part = t.Part
	}
	if a.Question == "" {
		a.Question = t.Attribute
	}
	return a
}

// answered are the answers to each question, in the order given.
func (r *Record) answered() map[inspection.Task][]inspection.SealedReply {
	out := map[inspection.Task][]inspection.SealedReply{}
	for _, a := range r.Answers {
		out[a.Task] = append(out[a.Task], a)
	}
	return out
}

// said is what stands beside an answer.
func (r *Record) said(a *inspection.SealedReply) string {
	count := ""
	if a.Count != nil {
		count = fmt.Sprintf("link %d held", *a.Count)
	}
	state := a.State
	if words := r.asked(a.Task).States[a.State]; words != "" {
		state = words
	}
	do := ""
	switch a.Do {
	case "":
	case "stop":
		do = "stop"
	default:
		do = "to be put right and looked at again"
	}
	return spelling.Joined("; ", state, count, a.Text, do, r.photoNumbers(a.Photos))
}

func (r *Record) photoNumbers(hashes []string) string {
	text := ""
	for _, h := range hashes {
		text = spelling.Joined(", ", text, fmt.Sprintf("photo %d", slices.Index(r.Photos, h)+1))
	}
	return text
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func orNone(s string) string {
	if s == "" {
		return "not entered"
	}
	return s
}
