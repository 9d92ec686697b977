package web

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// beginView is the form with which an inspection begins.
type beginView struct {
	rigHead
	Action    string
	ID, Event string // of what is begun, so that sending twice begins once
	Device    string
	Load      string
	Unit      string
	Riggers   []option
	Aircraft  []option
	Sets      []setBox
	Own       bool   // the school has an order of its own
	Suggested bool   // and the suggested one is chosen
	Stale     string // the own order cannot be read
	Training  bool
	Only      string   // why it can only be training; "" where it need not
	Tags      []string // red tags because of which it could not be signed for
	Numbers   string   // of these tags
	Knows     bool     // confirmed
	Blind     bool
	Asked     int
	Fields    map[string]string
}

type setBox struct {
	ID, Words, Why string
	Chosen         bool
}

// beginDesk is what an inspection of a rig begins with.
type beginDesk struct {
	*walkDesk
	own      *app.Order // nil where none can be used
	settings app.Settings
}

func (s *Server) beginDesk(r *http.Request) (*beginDesk, error) {
	d, err := s.walkDesk(r, "walk", "Begin an inspection")
	if err != nil {
		return nil, err
	}
	out := &beginDesk{walkDesk: d}
	if d.survey == nil {
		return out, nil
	}
	if out.settings, _, err = s.School.Settings(); err != nil {
		return nil, err
	}
	shelf, err := s.Shelves.Shelf(app.Sequences)
	if err != nil {
		return nil, err
	}
	out.own, err = app.OrderOf(shelf, d.head.Name)
	return out, err
}

// sequence is the order that is walked, and its version; "" for the suggested.
func (d *beginDesk) sequence(suggested bool) (q *inspect.Sequence, version string) {
	if d.own != nil && d.own.Sequence != nil && !suggested {
		return d.own.Sequence, d.own.Version
	}
	return inspect.Suggest(d.survey), ""
}

// tasksOf are the questions of a walk, in its order. In a blind count nobody is
// asked whether two counts are as planned: both are counted, and that tells.
func tasksOf(v *inspect.Survey, q *inspect.Sequence, blind bool) []inspection.Task {
	var out []inspection.Task
	seen := map[inspection.Task]bool{}
	for i := range q.Checkpoints {
		c := &q.Checkpoints[i]
		for _, t := range v.Tasks(c) {
			one := inspection.Task{Checkpoint: c.ID, Part: t.Part.ID, Attribute: t.Attribute.ID}
			if seen[one] || blind && t.Attribute.Plan == part.PlanMatched {
				continue
			}
			seen[one] = true
			out = append(out, one)
		}
	}
	return out
}

// onlyTraining says why a person's inspection of a rig can only be training.
func onlyTraining(me *people.Person, d *walkDesk) string {
	switch {
	case d.solved.Rig.Invented():
		return "The load is INVENTED: it can be walked as training and never be signed for."
	case !me.May(people.Sign):
		return "You do not have the role of an inspector: your walk is training and is never signed."
	}
	return ""
}

func (s *Server) beginPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.beginDesk(r)
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	v := &beginView{
		ID: app.NewID(rand.Reader), Event: app.NewID(rand.Reader), Device: app.NewID(rand.Reader), Load: orSay(oneLine(r.URL.Query().Get("load")), d.head.RigTitle),
		Training: onlyTraining(personOf(r), d.walkDesk) != "",
	}
	// A load's tag names the load.
	if load := oneLine(r.URL.Query().Get("load")); load != "" {
		v.Load = load
	}
	return s.writeBegin(w, r, http.StatusOK, d, v, inspection.Begin{})
}

// tagsOf lists the red tags because of which a load of the rig of this page could
// not be signed for now.
func (s *Server) tagsOf(r *http.Request, d *beginDesk, load string) ([]app.TagOn, error) {
	on, err := s.School.TagsOn(r.Context())
	if err != nil {
		return nil, err
	}
	return on.Of(r.Context(), load, d.head.Name, d.solved.Version)
}

func (s *Server) writeBegin(w http.ResponseWriter, r *http.Request, status int, d *beginDesk, v *beginView, b inspection.Begin) error {
	me := personOf(r)
	v.rigHead, v.Action = d.head, "/loads/"+strings.TrimPrefix(rigURL(d.head.Name), "/rig/")
	v.Only, v.Blind = onlyTraining(me, d.walkDesk), d.settings.BlindCounts
	if d.own != nil {
		if v.Own = d.own.Sequence != nil; !v.Own {
			v.Stale = "The school’s own order of this rig cannot be read: its text has errors. The suggested one is walked."
		}
	}
	tags, err := s.tagsOf(r, d, v.Load)
	if err != nil {
		return err
	}
	v.Numbers = tagNumbers(tags)
	for _, t := range tags {
		v.Tags = append(v.Tags, capital(t.Text)+".")
	}
	q, _ := d.sequence(v.Suggested)
	v.Asked = len(tasksOf(d.survey, q, v.Blind))
	riggers, err := s.School.Riggers(r.Context(), me)
	if err != nil {
		return told(err)
	}
	for _, p := range riggers {
		words := p.Shown()
		if p.ID == me.ID {
			words += " (you)"
		}
		v.Riggers = append(v.Riggers, option{p.ID, words, p.ID == b.Rigger})
	}
	names, err := s.aircraftNames()
	if err != nil {
		return err
	}
	for _, name := range names {
		v.Aircraft = append(v.Aircraft, option{name, name, name == b.Aircraft})
	}
	if v.Sets, err = s.setBoxes(r, b.Sets); err != nil {
		return err
	}
	return s.pages.write(w, status, "loads-begin", v)
}

// setBoxes are the sets of equipment that may be used, each with what stands
// against it today.
func (s *Server) setBoxes(r *http.Request, chosen []string) ([]setBox, error) {
	me := personOf(r)
	if !me.May(people.SeeEquipment) {
		return nil, nil
	}
	v, err := s.School.Equipment(r.Context(), me)
	if err != nil {
		return nil, told(err)
	}
	today, err := s.School.Today()
	if err != nil {
		return nil, err
	}
	var out []setBox
	for _, x := range v.All {
		if x.Set != "" || x.Standing == equipment.IsRetired {
			continue // a part goes with its set
		}
		words := x.Called()
		if x.Name != "" {
			words += ", " + x.Name
		}
		out = append(out, setBox{x.ID, words, strings.Join(v.Blocks([]string{x.ID}, today), "; "), slices.Contains(chosen, x.ID)})
	}
	return out, nil
}

// begin makes the first event of an inspection. The form brings the ids, so that
// a form that is sent twice begins one inspection.
func (s *Server) begin(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	d, err := s.beginDesk(r)
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	v := &beginView{
		ID: r.PostFormValue("inspection"), Event: r.PostFormValue("event"), Device: r.PostFormValue("device"),
		Load: oneLine(r.PostFormValue("load")), Unit: oneLine(r.PostFormValue("unit")), Suggested: r.PostFormValue("sequence") == "suggested",
		Training: r.PostFormValue("training") != "", Fields: map[string]string{},
	}
	if onlyTraining(personOf(r), d.walkDesk) != "" {
		v.Training = true
	}
	q, version := d.sequence(v.Suggested)
	b := inspection.Begin{
		Load: v.Load, Rig: d.head.Name, RigVersion: d.solved.Version, SequenceVersion: version, Aircraft: r.PostFormValue("aircraft"),
		Procedure: d.head.Procedure, Rigger: r.PostFormValue("rigger"), Unit: v.Unit, Sets: r.PostForm["set"],
		Blind: d.settings.BlindCounts, Training: v.Training, Tasks: tasksOf(d.survey, q, d.settings.BlindCounts),
	}
	if version != "" {
		b.Sequence = d.head.Name
	}
	tags, err := s.tagsOf(r, d, v.Load)
	if err != nil {
		return err
	}
	if v.Knows = tagNumbers(tags) == r.PostFormValue("tagged"); len(tags) > 0 && !v.Knows && !v.Training {
		v.Fields["tagged"] = "Confirm that you know of the red tag, or begin it as training."
	}
	if !s.checkBegin(r, v, &b) {
		return s.writeBegin(w, r, http.StatusUnprocessableEntity, d, v, b)
	}
	body, err := json.Marshal(b)
	if err != nil {
		return err
	}
	out, err := s.School.Deliver(r.Context(), personOf(r), []inspection.Event{{
		ID: v.Event, Inspection: v.ID, Device: v.Device, N: 1, Kind: inspection.Start, At: s.Now().Truncate(time.Millisecond), Body: body,
	}})
	if err != nil {
		return told(err)
	}
	if why := out[0].Refused; why != nil {
		// Sent twice: it is there, and it is one's own.
		if x, _, err := s.School.Inspection(r.Context(), personOf(r), v.ID); err != nil || x.By != personOf(r).ID {
			return refusal{http.StatusConflict, "Not begun", capital(strings.TrimPrefix(why.Error(), "inspection: ")) + "."}
		}
	}
	http.Redirect(w, r, inspectURL(v.ID), http.StatusSeeOther)
	return nil
}

// checkBegin notes what is wrong with what was entered, by field.
func (s *Server) checkBegin(r *http.Request, v *beginView, b *inspection.Begin) bool {
	if !inspection.ValidID(v.ID) || !inspection.ValidID(v.Event) || !inspection.ValidID(v.Device) {
		v.ID, v.Event, v.Device = app.NewID(rand.Reader), app.NewID(rand.Reader), app.NewID(rand.Reader)
		v.Fields["load"] = "The form was not whole. Look at it and send it again."
	}
	if n := len([]rune(v.Load)); n == 0 || n > 120 {
		v.Fields["load"] = "A load’s name has 1 to 120 letters."
	}
	if len([]rune(v.Unit)) > 120 {
		v.Fields["unit"] = "The rigging unit has at most 120 letters."
	}
	if len(b.Tasks) == 0 {
		v.Fields["sequence"] = "This order asks about nothing on this rig."
	}
	riggers, err := s.School.Riggers(r.Context(), personOf(r))
	if err != nil || !slices.ContainsFunc(riggers, func(p people.Person) bool { return p.ID == b.Rigger }) {
		v.Fields["rigger"] = "Choose who rigged the load."
	}
	if b.Aircraft != "" {
		if _, err := s.aircraftData(b.Aircraft); errors.Is(err, fs.ErrNotExist) {
			v.Fields["aircraft"] = "There is no such aircraft."
		}
	}
	boxes, err := s.setBoxes(r, nil)
	for _, id := range b.Sets {
		if err != nil || !slices.ContainsFunc(boxes, func(x setBox) bool { return x.ID == id }) {
			v.Fields["set"] = "One of the sets is not there any more."
		}
	}
	return len(v.Fields) == 0
}
