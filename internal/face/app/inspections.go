package app

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/record"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
)

// InspectionKeeper keeps inspections as events, and the records made of them.
// What is not there is an error of fs.ErrNotExist.
type InspectionKeeper interface {
	AddEvents(ctx context.Context, events []inspection.Event, by string) ([]inspection.Outcome, error)
	Events(ctx context.Context, id string) ([]inspection.Event, error)
	Inspection(ctx context.Context, id string) (inspection.Summary, error)
	Inspections(ctx context.Context, rig, person string, most int) ([]inspection.Summary, error)
	AddPhoto(ctx context.Context, kind string, data []byte, by string) (hash string, err error)
	Photo(ctx context.Context, hash string) (kind string, data []byte, err error)
	MissingPhotos(ctx context.Context, hashes []string) ([]string, error)
	PhotoKeeper
	SealInspection(ctx context.Context, id string, seq int64, body json.RawMessage, items []string, on calendar.Day) (record.Appended, error)
	SealLapse(ctx context.Context, id, why string, body json.RawMessage) (record.Appended, error)
}

// SchoolKeeper is whoever keeps all that a school owns besides its documents.
type SchoolKeeper interface {
	PeopleKeeper
	InspectionKeeper
	RecordKeeper
	EquipmentKeeper
	ClassKeeper
	ResultKeeper
	UpkeepKeeper
}

// School is a school: its people, rigs, inspections, records and equipment.
type School struct {
	*People
	Rigs    Keeper
	Shelves Shelves
	// Stamp makes a keeper note who saves, where it can; nil where none can.
	Stamp  func(ctx context.Context, k Keeper, person string) Keeper
	keeper SchoolKeeper
	now    func() time.Time
	titles sync.Map // rigNames, by their versions' hashes

	remembered resultMemory
}

// RigsBy is the keeper of rigs for a person: what they save is noted as theirs,
// and only who may change rigs is given one to save with.
func (s *School) RigsBy(ctx context.Context, by *people.Person) (Keeper, error) {
	if err := need(by, people.ChangeRigs); err != nil {
		return nil, err
	}
	if s.Stamp == nil {
		return s.Rigs, nil
	}
	return s.Stamp(ctx, s.Rigs, by.ID), nil
}

// NewSchool makes the use cases of a school over what keeps it and the clock.
func NewSchool(k SchoolKeeper, rigs Keeper, shelves Shelves, now func() time.Time) *School {
	return &School{People: NewPeople(k, now), Rigs: rigs, Shelves: shelves, keeper: k, now: now}
}

const (
	// MostEvents is how many events one delivery may have.
	MostEvents = 1000
	// MostPhoto is the largest photo taken, in bytes.
	MostPhoto = 8 << 20
)

// Deliver takes events from a device, in order, for whoever is signed in on it.
// An outcome without a refusal means: it is on the disk.
func (s *School) Deliver(ctx context.Context, by *people.Person, events []inspection.Event) ([]inspection.Outcome, error) {
	if err := need(by, people.Inspect); err != nil {
		return nil, err
	}
	if len(events) > MostEvents {
		return nil, fmt.Errorf("app: %d events at once; at most %d are taken", len(events), MostEvents)
	}
	return s.keeper.AddEvents(ctx, events, by.ID)
}

// DeliverFile takes the queue that a tablet has written to a file because it
// could not reach the server. The events stay those of the person whom each
// names; who brings the file runs lessons or manages people, and still cannot
// sign for anybody.
func (s *School) DeliverFile(ctx context.Context, by *people.Person, events []inspection.Event) ([]inspection.Outcome, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	var out []inspection.Outcome
	for len(events) > 0 {
		n := 1
		for n < len(events) && n < MostEvents && events[n].By == events[0].By {
			n++
		}
		owner, err := s.keeper.Person(ctx, events[0].By)
		if err != nil {
			return out, err
		}
		got, err := s.Deliver(ctx, &owner, events[:n])
		if err != nil {
			return out, err
		}
		out = append(out, got...)
		events = events[n:]
	}
	return out, nil
}

// photoKinds are the media types of photos that are taken, by their first bytes.
func photoKind(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		return "image/jpeg"
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return "image/png"
	case len(data) > 12 && bytes.HasPrefix(data, []byte("RIFF")) && string(data[8:12]) == "WEBP":
		return "image/webp"
	}
	return ""
}

// AddPhoto keeps a photo and returns its SHA-256 in hexadecimal.
func (s *School) AddPhoto(ctx context.Context, by *people.Person, data []byte) (hash string, err error) {
	if err := need(by, people.Inspect); err != nil {
		return "", err
	}
	if len(data) > MostPhoto {
		return "", &Wrong{"photo", fmt.Sprintf("the photo has %d bytes; at most %d are taken", len(data), MostPhoto)}
	}
	kind := photoKind(data)
	if kind == "" {
		return "", &Wrong{"photo", "the photo is neither JPEG, PNG nor WebP"}
	}
	if err := errors.Join(checkPhoto(kind, data), s.roomForPhoto(ctx, by.ID, Version(data), len(data))); err != nil {
		return "", err
	}
	return s.keeper.AddPhoto(ctx, kind, data, by.ID)
}

// Photo returns a photo: to whoever sees records, and to others where one of
// their own inspections refers to it.
func (s *School) Photo(ctx context.Context, by *people.Person, inspectionID, hash string) (kind string, data []byte, err error) {
	_, state, err := s.Inspection(ctx, by, inspectionID)
	if err != nil {
		return "", nil, err
	}
	if !slices.Contains(state.Photos(), hash) {
		return "", nil, fmt.Errorf("app: the inspection has no photo %.64q: %w", hash, fs.ErrNotExist)
	}
	return s.keeper.Photo(ctx, hash)
}

// Inspections lists inspections, the last heard of first; of one rig, or of all
// for "". Who may not see records sees their own.
func (s *School) Inspections(ctx context.Context, by *people.Person, rig string, most int) ([]inspection.Summary, error) {
	if err := need(by, people.Inspect); err != nil {
		return nil, err
	}
	person := ""
	if !by.May(people.SeeRecords) {
		person = by.ID
	}
	return s.keeper.Inspections(ctx, rig, person, most)
}

// Inspection returns one inspection with all that was answered.
func (s *School) Inspection(ctx context.Context, by *people.Person, id string) (inspection.Summary, *inspection.State, error) {
	if err := need(by, people.Inspect); err != nil {
		return inspection.Summary{}, nil, err
	}
	x, err := s.keeper.Inspection(ctx, id)
	if err == nil && x.By != by.ID {
		err = need(by, people.SeeRecords)
	}
	if err != nil {
		return inspection.Summary{}, nil, err
	}
	events, err := s.keeper.Events(ctx, id)
	if err != nil {
		return inspection.Summary{}, nil, err
	}
	state, err := inspection.Fold(events)
	if err == nil && x.Phase == inspection.Signed {
		state.Phase = inspection.Signed
	}
	return x, state, err
}

// Events returns an inspection's events in the server's order, for a device
// that has lost its own or takes over.
func (s *School) Events(ctx context.Context, by *people.Person, id string) ([]inspection.Event, error) {
	if _, _, err := s.Inspection(ctx, by, id); err != nil {
		return nil, err
	}
	return s.keeper.Events(ctx, id)
}

// Signing is a finished inspection as its inspector may sign it: what the
// record will say, and what stands against signing.
type Signing struct {
	Summary inspection.Summary
	State   *inspection.State
	Solved  Solved // the rig's version that was inspected
	Against []string
	Record  inspection.Sealed
	Items   []string // all equipment on the load
	Today   calendar.Day
}

// Signing works out what signing an inspection takes.
func (s *School) Signing(ctx context.Context, by *people.Person, id string) (*Signing, error) {
	x, state, err := s.Inspection(ctx, by, id)
	if err != nil {
		return nil, err
	}
	settings, _, err := s.Settings()
	if err != nil {
		return nil, err
	}
	g := &Signing{Summary: x, State: state, Today: settings.Today(s.now())}
	against := func(format string, args ...any) { g.Against = append(g.Against, fmt.Sprintf(format, args...)) }
	switch {
	case x.Phase == inspection.Signed:
		against("it is signed already, as record %d", x.Entry)
	case x.Phase != inspection.Finished:
		against("it is %s; finish the walk first", x.Phase)
	}
	clock, err := s.Clock(ctx)
	if err != nil {
		return nil, err
	}
	if clock.Back {
		against("%s; set it right, or the chief instructor says on the page of settings that it is right", clock.Words(&settings))
	}
	if x.Training {
		against("it is a training inspection")
	}
	switch n := len(state.Unanswered()); {
	case n == 1:
		against("one question is not answered")
	case n > 1:
		against("%d questions are not answered", n)
	}
	if err := s.signers(ctx, by, g, against); err != nil {
		return nil, err
	}
	if err := s.signedRig(g, against); err != nil {
		return nil, err
	}
	if err := s.signedEquipment(ctx, g, against); err != nil {
		return nil, err
	}
	planted, err := s.planted(ctx, x)
	if err != nil {
		return nil, err
	}
	g.Against = append(g.Against, planted...)
	missing, err := s.keeper.MissingPhotos(ctx, state.Photos())
	if err != nil {
		return nil, err
	}
	switch n := len(missing); {
	case n == 1:
		against("one photo has not arrived; leave the tablet in reach until it has")
	case n > 1:
		against("%d photos have not arrived; leave the tablet in reach until they have", n)
	}
	return g, nil
}

// signers looks at who rigged and who inspects.
func (s *School) signers(ctx context.Context, by *people.Person, g *Signing, against func(string, ...any)) error {
	x := g.Summary
	if x.By != by.ID {
		against("only who walked it signs it")
	}
	if x.Rigger == x.By {
		against("who rigged and who inspected must be two people")
	}
	if !by.May(people.Sign) {
		against("you do not have the role of an inspector")
	}
	q, ok := by.Qualified(people.AsInspector, g.Today)
	if !ok {
		against("you have no qualification as inspector that counts on %s", g.Today)
	}
	rigger, err := s.keeper.Person(ctx, x.Rigger)
	if err != nil {
		return err
	}
	if !rigger.Is(people.Rigger) {
		against("%s, who rigged it, does not have the role of a rigger", rigger.Shown())
	}
	g.Record.Rigger = inspection.Signer{ID: rigger.ID, Name: rigger.Name}
	g.Record.Inspector = inspection.Signer{
		ID: by.ID, Name: by.Name, Qualification: string(q.Kind), Scope: q.Scope, Authority: q.Authority, Until: q.LastDay(),
	}
	return nil
}

// signedRig looks at the rig that was inspected.
func (s *School) signedRig(g *Signing, against func(string, ...any)) error {
	x := g.Summary
	data, err := s.Rigs.Version(x.Rig, x.RigVersion)
	if errors.Is(err, fs.ErrNotExist) {
		against("the rig %q has no version %s", x.Rig, ShortVersion(x.RigVersion))
		return nil
	}
	if err != nil {
		return err
	}
	now, err := s.Rigs.Current(x.Rig)
	if err != nil {
		return err
	}
	if v := Version(now); v != x.RigVersion {
		against("the rig was changed after the inspection: it is version %s now, and %s was inspected", ShortVersion(v), ShortVersion(x.RigVersion))
	}
	g.Solved = Solve(data)
	g.Record.Caution = rig.Caution
	if g.Solved.Rig == nil {
		against("the rig's file has errors")
		return nil
	}
	r := g.Solved.Rig
	if r.Invented() {
		against("the load is INVENTED, and cannot be signed for")
	}
	if len(g.Solved.Open) > 0 {
		against("link counts are still to be found")
	}
	g.Record.Status = r.Status().String()
	mass := 0.0
	var known []string
	for _, b := range r.Bodies() {
		mass += b.TotalMass()
		k := b.Known
		if k == "" {
			k = "not stated"
		}
		if !slices.Contains(known, k) {
			known = append(known, k)
		}
	}
	g.Record.Weight, g.Record.Known = r.Show().Mass(mass), strings.Join(known, ", ")
	return nil
}

// signedEquipment looks at the sets that the load hangs on.
func (s *School) signedEquipment(ctx context.Context, g *Signing, against func(string, ...any)) error {
	v, err := s.keeper.Equipment(ctx)
	if err != nil {
		return err
	}
	g.Items = v.Expand(g.Summary.Sets)
	for _, why := range v.Blocks(g.Summary.Sets, g.Today) {
		against("%s", why)
	}
	for _, id := range g.Summary.Sets {
		if i, ok := v.Item(id); ok {
			due := calendar.Day("")
			if len(i.Due) > 0 {
				due = i.Due[0].Day
			}
			g.Record.Sets = append(g.Record.Sets, inspection.Set{ID: i.ID, Kind: string(i.Kind), Serial: i.Serial, Due: due})
		}
	}
	if len(g.Summary.Sets) == 0 && len(v.All) > 0 {
		against("no set of equipment is named")
	}
	for _, id := range g.Items {
		uses, err := s.keeper.ItemUses(ctx, id)
		if err != nil {
			return err
		}
		for _, u := range uses {
			if u.Until == "" && u.Inspection != g.Summary.ID && u.Load != g.Summary.Load {
				i, _ := v.Item(id)
				against("%s is on another load, %s, since %s: bring it back by its derig list first", i.Called(), u.Load, u.From)
			}
		}
	}
	return nil
}

// NotSignable is what somebody is told who signs too soon.
type NotSignable struct{ Against []string }

func (e *NotSignable) Error() string { return "it cannot be signed: " + strings.Join(e.Against, "; ") }

// Sign signs an inspection: its record goes into the sealed log for good. seq is
// the last event that the inspector has seen; inspection.ErrMoved where more
// has come in since.
func (s *School) Sign(ctx context.Context, by *people.Person, id string, seq int64) (record.Appended, error) {
	g, err := s.Signing(ctx, by, id)
	if err != nil {
		return record.Appended{}, err
	}
	if len(g.Against) > 0 {
		return record.Appended{}, &NotSignable{g.Against}
	}
	body, err := g.State.Seal(g.Record, s.now())
	if err != nil {
		return record.Appended{}, err
	}
	if seq != g.State.Seq {
		return record.Appended{}, inspection.ErrMoved
	}
	return s.keeper.SealInspection(ctx, id, seq, body, g.Items, g.Today)
}

// Standing says whether an inspection's signature counts, and if not, why.
type Standing struct {
	Signed bool
	Counts bool
	Why    []string
}

// Standing looks at a signed inspection as things are now: what was recorded
// against it, a rig that was changed, the school's limits of time, equipment.
func (s *School) Standing(ctx context.Context, x inspection.Summary) (Standing, error) {
	if x.Phase != inspection.Signed {
		return Standing{Why: []string{"it is not signed"}}, nil
	}
	settings, _, err := s.Settings()
	if err != nil {
		return Standing{}, err
	}
	v, err := s.keeper.Equipment(ctx)
	if err != nil {
		return Standing{}, err
	}
	return s.standing(ctx, x, &settings, v)
}

func (s *School) standing(ctx context.Context, x inspection.Summary, settings *Settings, v *equipment.Inventory) (Standing, error) {
	st := Standing{Signed: true}
	now := s.now()
	if x.Lapsed != "" {
		st.Why = append(st.Why, "it lapsed: "+x.Lapsed)
	}
	data, err := s.Rigs.Current(x.Rig)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return st, err
	}
	if Version(data) != x.RigVersion {
		st.Why = append(st.Why, "the rig was changed after it was signed")
	}
	if x.SignedAt.Sub(now) > clockSlack {
		st.Why = append(st.Why, "it was signed at a time that is still to come: the clock was set back")
	}
	if settings.LapseOvernight && settings.Today(now) != settings.Today(x.SignedAt) {
		st.Why = append(st.Why, "a night has passed")
	}
	if h := time.Duration(settings.LapseHours) * time.Hour; h > 0 && now.Sub(x.SignedAt) > h {
		st.Why = append(st.Why, "more than "+spelling.Count(settings.LapseHours, "hour has passed", "hours have passed"))
	}
	st.Why = append(st.Why, v.Blocks(x.Sets, settings.Today(now))...)
	planted, err := s.planted(ctx, x)
	if err != nil {
		return st, err
	}
	st.Why = append(st.Why, planted...)
	about, err := s.keeper.LogAbout(ctx, x.Entry)
	if err != nil {
		return st, err
	}
	for _, a := range about {
		if a.Kind == EntryCorrection || a.Kind == EntryRefusal {
			st.Why = append(st.Why, fmt.Sprintf("record %d is a %s of it", a.N, a.Kind))
		}
	}
	st.Counts = len(st.Why) == 0
	return st, nil
}

// Lapse records that a signature no longer counts.
func (s *School) Lapse(ctx context.Context, by *people.Person, id string, why LapseReason, text string) (record.Appended, error) {
	text, err := checkedText("text", "the remark", text, 0, mostText)
	if err := errors.Join(need(by, people.Lapse), err); err != nil {
		return record.Appended{}, err
	}
	if why.Words() == "" || why == SomethingElse && text == "" {
		return record.Appended{}, &Wrong{"why", "say what ended the signature"}
	}
	x, err := s.keeper.Inspection(ctx, id)
	if err != nil {
		return record.Appended{}, err
	}
	words := why.Words()
	if text != "" {
		words += ": " + text
	}
	body, err := s.about(ctx, x.Entry, map[string]any{"inspection": id, "why": string(why), "text": text, "by": signerOf(by)})
	if err != nil {
		return record.Appended{}, err
	}
	return s.keeper.SealLapse(ctx, id, words, body)
}

func signerOf(p *people.Person) inspection.Signer { return inspection.Signer{ID: p.ID, Name: p.Name} }
