package app

import (
	"cmp"
	"context"
	"fmt"
	"hash/fnv"
	"maps"
	"slices"
	"sync"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
)

// resultMemory remembers from one request to the next what was gathered of the
// whole school's results, and the answers of drills that are over. Neither is
// ever changed, only added to; what is remembered goes with the server.
type resultMemory struct {
	sync.Mutex
	stamp string
	set   *report.Set
	fit   func() *report.Model
	looks map[string][]report.Look // by drill
	texts map[string]string        // one copy of what comes again and again in them
}

// wholeSet gives the desk the set of the whole school.
func (s *School) wholeSet(ctx context.Context, d *ResultDesk) error {
	m := &s.remembered
	m.Lock()
	defer m.Unlock()
	count, err := s.keeper.ResultCount(ctx)
	if err != nil {
		return err
	}
	names := fnv.New128a()
	for _, id := range slices.Sorted(maps.Keys(d.Versions)) {
		v := d.Versions[id]
		fmt.Fprintf(names, "%s %q %s %s\n", id, v.Rig, v.RigVersion, v.Sequence)
	}
	stamp := fmt.Sprintf("%d %s %x", count, d.catalog.Version, names.Sum(nil))
	if m.set == nil || m.stamp != stamp {
		results, err := s.keeper.SchoolResults(ctx)
		if err != nil {
			return err
		}
		set, err := d.gather(results)
		if err != nil {
			return err
		}
		m.stamp, m.set, m.fit = stamp, set, sync.OnceValue(set.Fit)
	}
	d.Set, d.fit = m.set, m.fit
	return nil
}

// MostLooked is how many drills of a school or a class, the newest, tell how well
// wrong is told from right.
const MostLooked = 1_000

// looks are the answers of drills that are over: of a class's students, or of
// everybody; those of the oldest drill first.
func (s *School) looks(ctx context.Context, d *ResultDesk) ([]report.Look, error) {
	heads, err := s.overDrills(ctx, d, MostLooked)
	if err != nil {
		return nil, err
	}
	m := &s.remembered
	m.Lock()
	defer m.Unlock()
	if len(m.looks) > 2*MostLooked {
		m.looks, m.texts = nil, nil // of classes long past
	}
	if m.looks == nil {
		m.looks, m.texts = map[string][]report.Look{}, map[string]string{}
	}
	err = s.eachDrill(ctx, heads, func(id string) bool { _, known := m.looks[id]; return !known }, func(x *teach.Drill, answers []teach.DrillAnswer) error {
		list := looksOf(x, answers)
		for i := range list {
			for _, text := range []*string{&list[i].Student, &list[i].Key, &list[i].Checkpoint, &list[i].Title} {
				kept, ok := m.texts[*text]
				if !ok {
					kept = *text
					m.texts[kept] = kept
				}
				*text = kept
			}
		}
		m.looks[x.ID] = list
		return nil
	})
	if err != nil {
		return nil, err
	}
	var out []report.Look
	for _, h := range heads {
		out = append(out, m.looks[h.ID]...)
	}
	return out, nil
}

// overDrills are the drills of the desk whose answers count and which are over,
// the oldest first; of all there are, the newest so many.
func (s *School) overDrills(ctx context.Context, d *ResultDesk, most int) ([]DrillHead, error) {
	class := ""
	if d.Class != nil {
		class = d.Class.ID
	}
	heads, err := s.keeper.DrillHeads(ctx, class, most)
	if err != nil {
		return nil, err
	}
	d.Newest = len(heads) == most
	open := s.now().Add(-drillKeptOpen)
	heads = slices.DeleteFunc(heads, func(h DrillHead) bool { return !h.Ended && h.Made.After(open) || h.Made.Before(d.from) })
	slices.SortFunc(heads, func(a, b DrillHead) int { return cmp.Or(a.Made.Compare(b.Made), cmp.Compare(a.ID, b.ID)) })
	return heads, nil
}

// atOnce is how many runs or drills are read together.
const atOnce = 100

// eachDrill reads drills and calls f with those that wanted wants, in order.
func (s *School) eachDrill(ctx context.Context, heads []DrillHead, wanted func(id string) bool, f func(*teach.Drill, []teach.DrillAnswer) error) error {
	var ids []string
	for _, h := range heads {
		if wanted == nil || wanted(h.ID) {
			ids = append(ids, h.ID)
		}
	}
	for some := range slices.Chunk(ids, atOnce) {
		drills, answers, err := s.keeper.DrillsOf(ctx, some)
		if err != nil {
			return err
		}
		for _, id := range some {
			if x, ok := drills[id]; ok {
				if err := f(&x, answers[id]); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
