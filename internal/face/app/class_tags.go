package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/teach"
)

// longestWalk is how long before an inspection's times a planting that was put
// back is looked for: much longer than any walk takes. The walk's first event
// decides.
const longestWalk = 400 * 24 * time.Hour

// rigNames are the title and the shape of a version of a rig, "" where it cannot
// be read.
type rigNames struct{ title, shape string }

// rigNames reads a version of a rig once: its bytes never change.
func (s *School) rigNames(data []byte) rigNames {
	version := Version(data)
	if known, ok := s.titles.Load(version); ok {
		return known.(rigNames)
	}
	var x rigNames
	if r, _ := rigfile.Read(data); r != nil {
		x = rigNames{r.Title(), teach.RigShape(r)}
	}
	s.titles.Store(version, x)
	return x
}

// rigKnown gathers by what a rig may be known: its name, its title and shape now
// and in a version, and the hashes of all its versions.
func (s *School) rigKnown(name, version string) (*teach.RigKnown, error) {
	k := &teach.RigKnown{Name: name}
	if name == "" {
		return k, nil
	}
	list, err := s.Rigs.Versions(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, v := range list {
		k.Hashes = append(k.Hashes, v.Version)
	}
	for _, read := range []func() ([]byte, error){
		func() ([]byte, error) { return s.Rigs.Current(name) },
		func() ([]byte, error) { return s.Rigs.Version(name, version) },
	} {
		data, err := read()
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		x := s.rigNames(data)
		if x.shape == "" {
			continue
		}
		if !slices.Contains(k.Titles, x.title) {
			k.Titles = append(k.Titles, x.title)
		}
		if !slices.Contains(k.Shapes, x.shape) {
			k.Shapes = append(k.Shapes, x.shape)
		}
	}
	return k, nil
}

// tie says how a load is tied to a tagged one; a load of the same rig that two
// people have declared to be another one is not.
func (s *School) tie(ctx context.Context, t *teach.RedTag, load string, rig *teach.RigKnown) (teach.Tie, error) {
	tagged, err := s.rigKnown(t.Rig, t.RigHash)
	if err != nil {
		return teach.TieNone, err
	}
	tie := teach.TieOf(t, tagged, load, rig)
	if tie != teach.TieRig {
		return tie, nil
	}
	list, err := s.keeper.OtherLoads(ctx, t.Lane)
	if err != nil {
		return tie, err
	}
	if another, _ := teach.Another(list, load); another {
		return teach.TieNone, nil
	}
	return tie, nil
}

// planted says what stands against a load because faults were planted on it, or
// on one that it cannot be told from: as long as they are not confirmed put back,
// and for an inspection that was begun before they were. It never says what is
// planted, or how many, and reads no key.
func (s *School) planted(ctx context.Context, x inspection.Summary) ([]string, error) {
	since := x.Started
	if x.Received.Before(since) {
		since = x.Received
	}
	tags, err := s.keeper.RedTags(ctx, since.Add(-longestWalk))
	if err != nil || len(tags) == 0 {
		return nil, err
	}
	rig, err := s.rigKnown(x.Rig, x.RigVersion)
	if err != nil {
		return nil, err
	}
	var out []string
	var last *teach.RedTag
	for i := range tags {
		t := &tags[i]
		tie, err := s.tie(ctx, t, x.Load, rig)
		if err != nil {
			return nil, err
		}
		switch {
		case tie == teach.TieNone:
			continue
		case !t.Restored.IsZero():
			if last == nil || t.Restored.After(last.Restored) {
				last = t
			}
			continue
		}
		if text := tagWords(t, tie, x.Load); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	if last == nil {
		return out, nil
	}
	events, err := s.keeper.Events(ctx, x.ID)
	if err != nil {
		return nil, err
	}
	if !events[0].Received.After(last.Restored) {
		on := "this load"
		if !teach.SameLoad(last.Load, x.Load) {
			on = last.Load + ", which this load cannot be told from,"
		}
		out = append(out, "faults were planted on "+on+" for training and put back after this inspection was begun; it takes a full inspection begun since")
	}
	return out, nil
}

// tagWords says what a red tag that is on has against a load that is tied to it.
func tagWords(t *teach.RedTag, tie teach.Tie, load string) string {
	if tie == teach.TieNamed {
		return fmt.Sprintf("the load carries red tag %s: faults were planted on it for training, and two people have not confirmed item by item that they are put back", t.Tag)
	}
	return fmt.Sprintf("red tag %s: faults were planted for training on %s, which is rigged from the same rig. Two people have to say, on the page of red tags, that %s is another load; or the tag has to come off", t.Tag, t.Load, load)
}

// Barred says for each load of a sortie plan why it may not be planned now; one
// against which nothing of a lane stands is not in the answer. A plan knows its
// loads by name only: the name may be the tagged load's, or that of a rig from
// which it is rigged; and a load that is called like no rig of the school cannot
// be told from a tagged one. It is for everybody and says nothing of what is
// planted.
func (s *School) Barred(ctx context.Context, loads []string) (map[string]string, error) {
	tags, err := s.keeper.RedTags(ctx, s.now())
	if err != nil || len(tags) == 0 {
		return nil, err
	}
	names, err := s.Rigs.Names()
	if err != nil {
		return nil, err
	}
	all := make([]*teach.RigKnown, 0, len(names))
	for _, name := range names {
		k, err := s.rigKnown(name, "")
		if err != nil {
			return nil, err
		}
		all = append(all, k)
	}
	out := map[string]string{}
	for _, load := range loads {
		why, err := s.barred(ctx, tags, all, load)
		if err != nil {
			return nil, err
		}
		if why != "" {
			out[load] = why
		}
	}
	return out, nil
}

func (s *School) barred(ctx context.Context, tags []teach.RedTag, all []*teach.RigKnown, load string) (string, error) {
	var rigs []*teach.RigKnown
	for _, k := range all {
		if teach.SameLoad(k.Name, load) || slices.ContainsFunc(k.Titles, func(t string) bool { return teach.SameLoad(t, load) }) {
			rigs = append(rigs, k)
		}
	}
	unknown := len(rigs) == 0
	rigs = append(rigs, &teach.RigKnown{}) // by the name alone
	for i := range tags {
		t := &tags[i]
		if !t.Restored.IsZero() {
			continue
		}
		closest := teach.TieNone
		for _, k := range rigs {
			tie, err := s.tie(ctx, t, load, k)
			if err != nil {
				return "", err
			}
			closest = max(closest, tie)
		}
		switch {
		case closest == teach.TieNamed:
			return fmt.Sprintf("carries red tag %s: faults were planted on it for training, and it is barred from sorties until two people have confirmed them put back", t.Tag), nil
		case closest == teach.TieRig:
			return fmt.Sprintf("is rigged from the same rig as %s, which carries red tag %s because faults were planted on it for training. It is barred until two people have said, on the page of red tags, that it is another load", t.Load, t.Tag), nil
		case unknown:
			list, err := s.keeper.OtherLoads(ctx, t.Lane)
			if err != nil {
				return "", err
			}
			if another, _ := teach.Another(list, load); !another {
				return fmt.Sprintf("is called like no rig of the school, so it cannot be told whether it is %s, which carries red tag %s because faults were planted on it for training. Call it as its rig is called, or let two people say, on the page of red tags, that it is another load", t.Load, t.Tag), nil
			}
		}
	}
	return "", nil
}

// DeclareOther records a person's word that a load is not the tagged one of a
// lane, which they have both looked at. It counts when two people have said so,
// and never for the name of the tagged load itself.
func (s *School) DeclareOther(ctx context.Context, by *people.Person, lane, load string) error {
	if err := need(by, people.SeeRecords); err != nil {
		return err
	}
	load, err := checkedText("other", "what the other load is called", load, 1, mostClass)
	if err != nil {
		return err
	}
	l, err := s.keeper.Lane(ctx, lane)
	if err != nil {
		return err
	}
	switch {
	case teach.LoadKey(load) == "":
		return &Wrong{"other", "what the other load is called needs a letter or a digit"}
	case !l.Setup.Real:
		return &Wrong{"other", "nothing is planted on a real load there"}
	case teach.SameLoad(load, l.Setup.Load):
		return &Wrong{"other", fmt.Sprintf("that is what the load with red tag %s is called itself", l.Setup.Tag)}
	}
	list, err := s.keeper.OtherLoads(ctx, lane)
	if err != nil {
		return err
	}
	if _, said := teach.Another(list, load); slices.Contains(said, by.ID) {
		return &Wrong{"other", "you have said so already; it takes a second person"}
	}
	return s.keeper.AddEntry(ctx, teach.Entry{ID: NewID(s.random), Class: l.Class, Lane: lane, Kind: teach.EntryOtherLoad, Text: load, By: by.ID})
}

// Declared is a load that was said to be another one than a tagged one.
type Declared struct {
	Load   string
	By     []string // people's ids
	Counts bool
}

// declared lists what was declared about a lane's load, by load.
func (s *School) declared(ctx context.Context, lane string) ([]Declared, error) {
	list, err := s.keeper.OtherLoads(ctx, lane)
	if err != nil {
		return nil, err
	}
	var out []Declared
	for _, x := range list {
		if slices.ContainsFunc(out, func(d Declared) bool { return teach.SameLoad(d.Load, x.Load) }) {
			continue
		}
		d := Declared{Load: strings.TrimSpace(x.Load)}
		d.Counts, d.By = teach.Another(list, x.Load)
		out = append(out, d)
	}
	return out, nil
}
