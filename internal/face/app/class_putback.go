package app

import (
	"context"
	"slices"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
)

// VersionDesk is one version of a lane as those who set it up, put it back and
// grade it see it.
type VersionDesk struct {
	*LaneDesk
	Version teach.LaneVersion
	Backs   []teach.PutBack
	Put     teach.Standing
	Voided  []string
}

// RedTag is the number of the tag that the load wears because of this version;
// "" for pictures and once two people have confirmed everything put back.
func (d *VersionDesk) RedTag() string {
	if !d.Version.Real || d.Put.Restored {
		return ""
	}
	return d.Lane.Setup.Tag
}

// VersionDesk opens a version for somebody with a right, who may not be a
// student of the class. Whoever sees records may confirm what was put back.
func (s *School) VersionDesk(ctx context.Context, by *people.Person, id string, right people.Right) (*VersionDesk, error) {
	if err := need(by, right); err != nil {
		return nil, err
	}
	v, err := s.keeper.LaneVersion(ctx, id)
	if err != nil {
		return nil, err
	}
	d := &VersionDesk{Version: v}
	if d.LaneDesk, err = s.laneDesk(ctx, v.Lane); err != nil {
		return nil, err
	}
	if err := s.MaySeeKeys(ctx, by, d.Lane.Class, right); err != nil {
		return nil, err
	}
	if d.Backs, err = s.keeper.PutBacks(ctx, id); err != nil {
		return nil, err
	}
	d.Put = teach.PutBackOf(&v, d.Backs)
	entries, err := s.keeper.Entries(ctx, d.Lane.Class, "")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		if e.Kind == teach.EntryVoid && e.Version == id {
			d.Voided = append(d.Voided, e.Deficiency)
		}
	}
	return d, nil
}

// ConfirmPutBack notes that a person has seen deficiencies of a real load put
// right, each on its own. It takes two different people for each; whoever could
// sign or run lanes may be one of them.
func (s *School) ConfirmPutBack(ctx context.Context, by *people.Person, version string, deficiencies []string) error {
	d, err := s.VersionDesk(ctx, by, version, people.SeeRecords)
	if err != nil {
		return err
	}
	if !d.Version.Real {
		return &Wrong{"putback", "nothing was set on a real load"}
	}
	if len(deficiencies) == 0 {
		return &Wrong{"putback", "mark each one that you have seen put right yourself"}
	}
	for _, id := range deficiencies {
		if !slices.Contains(d.Version.Key.Planted, id) {
			return &Wrong{"putback", "that is not planted in this version"}
		}
	}
	return s.keeper.AddPutBacks(ctx, version, deficiencies, by.ID)
}

// ShowKey notes that a version's key was shown. It fails while a run of it has
// not ended, and while nobody has run it.
func (s *School) ShowKey(ctx context.Context, by *people.Person, version string) error {
	d, err := s.VersionDesk(ctx, by, version, people.Teach)
	if err != nil {
		return err
	}
	runs, err := s.runsNow(ctx, "", "", version)
	if err != nil {
		return err
	}
	if len(runs) == 0 {
		return &Wrong{"key", "nobody was tested with this version yet"}
	}
	for _, r := range runs {
		if !r.Ended {
			return &Wrong{"key", "a run of this version has not ended"}
		}
	}
	if err := d.Version.Commitment.Open(d.Version.Secret, d.Version.Key); err != nil {
		return err
	}
	return s.keeper.OpenKey(ctx, version)
}

// Tagged is a load with planted faults that are not confirmed put back.
type Tagged struct {
	Load, Rig, Tag, Lane, LaneTitle, Version string
	Number                                   int // the version's
	Put                                      teach.Standing
	Others                                   []Declared
}

// Tagged lists the loads that carry a red tag now: none of them may fly or be
// signed for.
func (s *School) Tagged(ctx context.Context, by *people.Person) ([]Tagged, error) {
	if err := need(by, people.SeeRecords); err != nil {
		return nil, err
	}
	versions, err := s.keeper.RealVersions(ctx, "")
	if err != nil {
		return nil, err
	}
	var out []Tagged
	for i := range versions {
		v := &versions[i]
		seen, err := s.keeper.PutBacks(ctx, v.ID)
		if err != nil {
			return nil, err
		}
		put := teach.PutBackOf(v, seen)
		if put.Restored {
			continue
		}
		l, err := s.keeper.Lane(ctx, v.Lane)
		if err != nil {
			return nil, err
		}
		others, err := s.declared(ctx, l.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, Tagged{Load: v.Load, Rig: v.Rig, Tag: l.Setup.Tag, Lane: l.ID, LaneTitle: l.Setup.Title, Version: v.ID, Number: v.Number, Put: put, Others: others})
	}
	return out, nil
}
