package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/teach"
)

// TagsOn are the red tags that are on now, to be asked about many loads. They are
// for everybody, students too: a tag is seen on the load itself, and nothing here
// says what is planted, or how many.
type TagsOn struct {
	school *School
	on     []teach.RedTag
	known  map[[2]string]*teach.RigKnown
}

// TagOn is a red tag because of which a load cannot be signed for.
type TagOn struct {
	Tag, Load string // its number, and the load that wears it
	Named     bool   // that is this load; otherwise one that it cannot be told from
	Text      string
}

// TagsOn reads the red tags that are on.
func (s *School) TagsOn(ctx context.Context) (*TagsOn, error) {
	all, err := s.keeper.RedTags(ctx, s.now())
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(t teach.RedTag) bool { return !t.Restored.IsZero() })
	return &TagsOn{school: s, on: all, known: map[[2]string]*teach.RigKnown{}}, nil
}

// All lists the tags, each version that is planted by itself, the latest first.
func (t *TagsOn) All() []teach.RedTag { return t.on }

// Of lists the tags because of which a load of a version of a rig cannot be
// signed for, each once.
func (t *TagsOn) Of(ctx context.Context, load, rig, version string) ([]TagOn, error) {
	if len(t.on) == 0 {
		return nil, nil
	}
	k := t.known[[2]string{rig, version}]
	if k == nil {
		var err error
		if k, err = t.school.rigKnown(rig, version); err != nil {
			return nil, err
		}
		t.known[[2]string{rig, version}] = k
	}
	var out []TagOn
	for i := range t.on {
		tie, err := t.school.tie(ctx, &t.on[i], load, k)
		if err != nil {
			return nil, err
		}
		if tie == teach.TieNone {
			continue
		}
		x := TagOn{Tag: t.on[i].Tag, Load: t.on[i].Load, Named: tie == teach.TieNamed, Text: tagWords(&t.on[i], tie, load)}
		if !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	return out, nil
}

// HeldBack says why an inspection cannot be signed because faults were planted on
// its load, or on one that it cannot be told from: a red tag, or that it was begun
// before they were put back. It says nothing of what was planted.
func (s *School) HeldBack(ctx context.Context, x inspection.Summary) ([]string, error) {
	return s.planted(ctx, x)
}

// tagFree refuses the number of a red tag that another load wears, or is to wear
// by a lane of the same class: a number that is on two loads tells neither.
func (s *School) tagFree(ctx context.Context, lane, class string, x *teach.LaneSetup) error {
	if !x.Real {
		return nil
	}
	same := func(tag, load string) bool {
		return strings.EqualFold(strings.TrimSpace(tag), strings.TrimSpace(x.Tag)) && !teach.SameLoad(load, x.Load)
	}
	on, err := s.TagsOn(ctx)
	if err != nil {
		return err
	}
	for _, t := range on.on {
		if t.Lane != lane && same(t.Tag, t.Load) {
			return &Wrong{"tag", fmt.Sprintf("red tag %s is on %s, lane “%s”, version %d; take another number, or have that load put back first", t.Tag, t.Load, t.Title, t.Number)}
		}
	}
	lanes, err := s.keeper.Lanes(ctx, class)
	if err != nil {
		return err
	}
	for i := range lanes {
		l := &lanes[i]
		if l.ID == lane || !l.Setup.Real || !same(l.Setup.Tag, l.Setup.Load) {
			continue
		}
		versions, err := s.keeper.Versions(ctx, l.ID)
		if err != nil {
			return err
		}
		if len(versions) == 0 { // what was planted and is not worn is put back
			return &Wrong{"tag", fmt.Sprintf("red tag %s is for %s, lane “%s”, where nothing is planted yet; take another number", l.Setup.Tag, l.Setup.Load, l.Setup.Title)}
		}
	}
	return nil
}
