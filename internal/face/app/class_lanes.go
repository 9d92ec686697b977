package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/lesson"
)

// recentDays is for how long what was planted in another class counts as used
// just now. Common practice, no source.
const recentDays = 30

// mostVersions is how many plantings are looked back at, and made at once.
const mostLookedBack, mostVersions = 200, 12

// MaySeeKeys refuses those who may not see what is planted in a class: who does
// not teach, and who is a student of that very class.
func (s *School) MaySeeKeys(ctx context.Context, by *people.Person, class string, right people.Right) error {
	if err := need(by, right); err != nil {
		return err
	}
	members, err := s.keeper.Members(ctx, class)
	if err != nil {
		return err
	}
	if slices.ContainsFunc(members, func(m teach.Member) bool { return m.Person == by.ID && m.Left.IsZero() }) {
		return &NotAllowed{right}
	}
	return nil
}

// AddLane adds a lane to a class, on the current version of a rig and the
// sequence that its walk follows now, and returns its id.
func (s *School) AddLane(ctx context.Context, by *people.Person, class string, setup teach.LaneSetup) (string, error) {
	if err := need(by, people.Teach); err != nil {
		return "", err
	}
	if _, err := s.keeper.Class(ctx, class); err != nil {
		return "", err
	}
	data, err := s.Rigs.Current(setup.Rig)
	if errors.Is(err, fs.ErrNotExist) {
		return "", &Wrong{"rig", "there is no such rig"}
	}
	if err != nil {
		return "", err
	}
	solved := Solve(data)
	if solved.Rig == nil || len(solved.Open) > 0 {
		return "", &Wrong{"rig", "a lane needs a rig whose text has no errors and whose counts are all entered"}
	}
	setup.RigHash, setup.Invented = solved.Version, solved.Rig.Invented()
	shelf, err := s.Shelves.Shelf(Sequences)
	if err != nil {
		return "", err
	}
	own, err := OrderOf(shelf, setup.Rig)
	if err != nil {
		return "", err
	}
	if own != nil && own.Sequence != nil {
		setup.Sequence = own.Version
	}
	if err := checkedSetup(&setup); err != nil {
		return "", err
	}
	if err := s.tagFree(ctx, "", class, &setup); err != nil {
		return "", err
	}
	l := teach.TestLane{ID: NewID(s.random), Class: class, Setup: setup, By: by.ID}
	return l.ID, s.keeper.AddLane(ctx, l)
}

func checkedSetup(x *teach.LaneSetup) error {
	var e [12]error // all of them are said at once
	x.Title, e[0] = checkedText("title", "the lane's name", x.Title, 1, mostClass)
	x.Load, e[1] = checkedText("load", "what the load is called", x.Load, 1, mostClass)
	x.Tag, e[2] = checkedText("tag", "the red tag's number", x.Tag, 0, 20)
	x.CallIs, e[3] = checkedText("call_is", "what counts as a call", x.CallIs, 0, mostText)
	x.Aids, e[4] = checkedText("aids", "the aids", x.Aids, 0, mostText)
	if x.Count < 1 || x.Count > 40 {
		e[5] = &Wrong{"count", "deficiencies in each version: 1 to 40 are planted"}
	}
	if e[1] == nil && teach.LoadKey(x.Load) == "" {
		e[1] = &Wrong{"load", "what the load is called needs a letter or a digit"}
	}
	if x.Real && x.Tag == "" && e[2] == nil {
		e[2] = &Wrong{"tag", "a real load with planted faults carries a red tag; enter its number"}
	}
	if x.Takes < 0 || x.Takes > 24*60 || x.Reset < 0 || x.Reset > 24*60 {
		e[6] = &Wrong{"takes", "the minutes that a group is there, and those to put it back, are up to 1440"}
	}
	if x.Change < 0 || x.Change > 60 {
		e[7] = &Wrong{"change", "from one student to the next it takes up to 60 minutes"}
	}
	if n := x.Pictures; n != 0 && (n < x.Count || n > teach.MostLanePictures) {
		e[8] = &Wrong{"pictures", fmt.Sprintf("a walk shows at least the %d that are planted and at most %d pictures; blank for all that can be drawn", x.Count, teach.MostLanePictures)}
	}
	if x.Attempts != nil && (*x.Attempts < 1 || *x.Attempts > 20) {
		e[9] = &Wrong{"attempts", "attempts, at most: 1 to 20, or blank"}
	}
	if err := x.Rule.Check(x.Count); err != nil && e[5] == nil {
		e[10] = &Wrong{"rule", "the rule: " + plainEngine(err)}
	}
	return errors.Join(e[:]...)
}

// CheckLane says all that is wrong with how a lane is set up.
func CheckLane(x teach.LaneSetup) error { return checkedSetup(&x) }

// plainEngine is an error of the engine as people read it.
func plainEngine(err error) string {
	text := err.Error()
	if len(text) > 7 && text[:7] == "teach: " {
		text = text[7:]
	}
	return strings.ReplaceAll(text, "\nteach: ", "; ")
}

// SetLane changes how a lane is set up. Once it was run, its rule, its load and
// the number planted stay; the rig's version and the sequence always do.
func (s *School) SetLane(ctx context.Context, by *people.Person, id string, setup teach.LaneSetup) error {
	if err := errors.Join(need(by, people.Teach), checkedSetup(&setup)); err != nil {
		return err
	}
	l, err := s.keeper.Lane(ctx, id)
	if err != nil {
		return err
	}
	setup.Rig, setup.RigHash, setup.Invented, setup.Sequence, setup.Open = l.Setup.Rig, l.Setup.RigHash, l.Setup.Invented, l.Setup.Sequence, l.Setup.Open
	runs, err := s.keeper.Runs(ctx, "", id, "", "")
	if err != nil {
		return err
	}
	versions, err := s.keeper.Versions(ctx, id)
	if err != nil {
		return err
	}
	if len(versions) > 0 && (setup.Count != l.Setup.Count || setup.Real != l.Setup.Real || setup.Load != l.Setup.Load || setup.Tag != l.Setup.Tag) {
		return &Wrong{"load", "something is planted already: the load, its tag and the number planted stay as they are; make another lane"}
	}
	if len(versions) == 0 {
		if err := s.tagFree(ctx, id, l.Class, &setup); err != nil {
			return err
		}
	}
	if len(runs) > 0 && !sameRule(setup.Rule, l.Setup.Rule) {
		return &Wrong{"rule", "somebody was tested by this rule already, so it stays; make another lane"}
	}
	if len(runs) > 0 && setup.Pictures != l.Setup.Pictures {
		return &Wrong{"pictures", "somebody was tested on so many pictures already, so the number stays; make another lane"}
	}
	return s.keeper.SetLane(ctx, id, setup)
}

func sameRule(a, b teach.Rule) bool {
	return same(a.Found, b.Found) && same(a.Within, b.Within) && same(a.False, b.False) && same(a.FigureRight, b.FigureRight) &&
		a.Ordered == b.Ordered && same(a.WrongOrder, b.WrongOrder)
}

func same[T comparable](a, b *T) bool { return a == b || a != nil && b != nil && *a == *b }

// Lanes lists a class's lanes.
func (s *School) Lanes(ctx context.Context, by *people.Person, class string) ([]teach.TestLane, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	return s.keeper.Lanes(ctx, class)
}

// LaneDesk is a lane with its rig, its sequence and what could be planted.
type LaneDesk struct {
	Lane       teach.TestLane
	Solved     Solved
	Survey     *inspect.Survey
	Sequence   *inspect.Sequence
	Candidates []teach.Candidate

	lesson *lesson.Lesson // its walk as it can be drawn, once it was asked for
}

// Deficiency finds a deficiency by id; nil where the catalogue no longer has it.
func (d *LaneDesk) Deficiency(id string) *inspect.Deficiency {
	for i := range d.Survey.Deficiencies {
		if x := &d.Survey.Deficiencies[i]; x.ID() == id {
			return x
		}
	}
	return nil
}

// Text says what a deficiency is; its id where the catalogue no longer has it.
func (d *LaneDesk) Text(id string) string {
	if x := d.Deficiency(id); x != nil {
		return x.Text()
	}
	return id
}

// Candidate returns what could be planted, by id.
func (d *LaneDesk) Candidate(id string) (teach.Candidate, bool) {
	i := slices.IndexFunc(d.Candidates, func(c teach.Candidate) bool { return c.ID == id })
	if i < 0 {
		return teach.Candidate{}, false
	}
	return d.Candidates[i], true
}

// LaneDesk opens a lane for those who run it.
func (s *School) LaneDesk(ctx context.Context, by *people.Person, id string) (*LaneDesk, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	return s.laneDesk(ctx, id)
}

func (s *School) laneDesk(ctx context.Context, id string) (*LaneDesk, error) {
	l, err := s.keeper.Lane(ctx, id)
	if err != nil {
		return nil, err
	}
	data, err := s.Rigs.Version(l.Setup.Rig, l.Setup.RigHash)
	if err != nil {
		return nil, err
	}
	d := &LaneDesk{Lane: l, Solved: Solve(data)}
	if d.Solved.Rig == nil {
		return nil, fmt.Errorf("app: lane %s: its rig can no longer be read", id)
	}
	shelf, err := s.Shelves.Shelf(Catalogues)
	if err != nil {
		return nil, err
	}
	catalog, err := SchoolCatalogOf(shelf)
	if err != nil {
		return nil, err
	}
	d.Survey, _ = inspect.Of(d.Solved.Rig, catalog.Catalog)
	d.Sequence = inspect.Suggest(d.Survey)
	if l.Setup.Sequence != "" {
		orders, err := s.Shelves.Shelf(Sequences)
		if err != nil {
			return nil, err
		}
		text, err := orders.Version(l.Setup.Rig, l.Setup.Sequence)
		if err != nil {
			return nil, err
		}
		if o := ReadOrder(text); o.Sequence != nil {
			d.Sequence = o.Sequence
		}
	}
	d.Candidates = teach.Candidates(d.Survey, d.Sequence, nil)
	return d, nil
}

// PlantAsk is what somebody wants planted.
type PlantAsk struct {
	For      string // a group; "" for any
	Versions int
	Band     *[2]float64
	Used     bool     // also what was used lately
	Hand     []string // chosen by hand, for one version
}

// Plant chooses what is planted in versions of a lane, or takes what was chosen
// by hand, and seals a commitment for each in the log.
func (s *School) Plant(ctx context.Context, by *people.Person, lane string, a PlantAsk) ([]teach.LaneVersion, error) {
	d, err := s.LaneDesk(ctx, by, lane)
	if err != nil {
		return nil, err
	}
	if err := s.MaySeeKeys(ctx, by, d.Lane.Class, people.Teach); err != nil {
		return nil, err
	}
	group, err := checkedText("for", "the group", a.For, 0, 20)
	if err != nil {
		return nil, err
	}
	x := d.Lane.Setup
	if err := s.tagFree(ctx, d.Lane.ID, d.Lane.Class, &x); err != nil {
		return nil, err
	}
	fresh := func(ids []string, seed string) teach.LaneVersion {
		v := teach.LaneVersion{ID: NewID(s.random), For: group, Real: x.Real, Load: x.Load, Rig: x.Rig, By: by.ID}
		v.Key = teach.Key{Format: teach.KeyFormat, Rig: x.RigHash, Planted: ids, Seed: seed}
		if _, err := io.ReadFull(s.random, v.Secret[:]); err != nil {
			panic("app: no random bytes: " + err.Error()) // a key must not be committed to then
		}
		return v
	}
	known, err := s.knownDifficulties(ctx)
	if err != nil {
		return nil, err
	}
	d.Candidates = teach.Candidates(d.Survey, d.Sequence, known)
	var made []teach.LaneVersion
	if len(a.Hand) > 0 {
		chosen, err := d.handPlanted(a.Hand)
		if err != nil {
			return nil, err
		}
		v, hard := fresh(a.Hand, ""), teach.VersionOf(chosen)
		v.Equal, v.Notes = "set by hand", []string{hard.Words()}
		made = append(made, v)
	} else {
		if a.Versions < 1 || a.Versions > mostVersions {
			return nil, &Wrong{"versions", fmt.Sprintf("1 to %d versions are made at once", mostVersions)}
		}
		list := d.Candidates
		if !x.Real {
			list = d.MayPlant()
		}
		ask := teach.Ask{Candidates: list, Count: x.Count, Versions: a.Versions, Real: x.Real, Spoiled: x.Spoiled, Band: a.Band}
		if !a.Used {
			if ask.Recent, err = s.recent(ctx, &d.Lane, group); err != nil {
				return nil, err
			}
		}
		if _, err := io.ReadFull(s.random, ask.Seed[:]); err != nil {
			return nil, fmt.Errorf("app: no random bytes: %w", err)
		}
		p, err := teach.Plant(ask)
		if err != nil {
			return nil, &Wrong{"plant", plainEngine(err)}
		}
		for i := range p.Versions {
			var ids []string
			for _, c := range p.Versions[i].Planted {
				ids = append(ids, c.ID)
			}
			v := fresh(ids, fmt.Sprintf("%x", ask.Seed[:]))
			v.Notes, v.Equal = p.Notes, p.Words()
			if y := &p.Versions[i]; y.Unknown < len(y.Planted) {
				v.Notes = append([]string{y.Words()}, p.Notes...)
			}
			made = append(made, v)
		}
	}
	return s.keeper.AddVersions(ctx, lane, made)
}

// handPlanted is what was chosen by hand; it refuses what cannot be planted
// together in this lane.
func (d *LaneDesk) handPlanted(ids []string) (chosen []teach.Candidate, err error) {
	x := d.Lane.Setup
	if len(ids) != x.Count {
		return nil, &Wrong{"plant", fmt.Sprintf("%d are chosen, and the lane has %d", len(ids), x.Count)}
	}
	list := d.MayPlant()
	may := func(id string) bool {
		return slices.ContainsFunc(list, func(c teach.Candidate) bool { return c.ID == id })
	}
	for i, id := range ids {
		c, ok := d.Candidate(id)
		switch {
		case !ok:
			return nil, &Wrong{"plant", "the sequence asks about no such deficiency: " + id}
		case slices.Contains(ids[:i], id):
			return nil, &Wrong{"plant", "chosen twice: " + c.Text}
		case !may(id) && x.Real:
			return nil, &Wrong{"plant", "cannot be planted on a real load: " + c.Text}
		case !may(id):
			return nil, &Wrong{"plant", "cannot be drawn both right and wrong: " + c.Text}
		}
		for k := range chosen {
			if why := teach.Conflict(&chosen[k], &c); why != "" {
				return nil, &Wrong{"plant", fmt.Sprintf("%s, and %s: %s", chosen[k].Text, c.Text, why)}
			}
		}
		chosen = append(chosen, c)
	}
	return chosen, nil
}

// recent lists what was planted on this rig for the group and its neighbours, for
// no group in particular, and lately in other classes.
func (s *School) recent(ctx context.Context, l *teach.TestLane, group string) ([]string, error) {
	room, err := s.room(ctx, l.Class)
	if err != nil {
		return nil, err
	}
	groups := room.Groups()
	near := func(other string) bool {
		a, b := slices.Index(groups, group), slices.Index(groups, other)
		return group == "" || other == "" || a < 0 || b < 0 || a-b <= 1 && b-a <= 1
	}
	lanes, err := s.keeper.Lanes(ctx, l.Class)
	if err != nil {
		return nil, err
	}
	own := map[string]bool{}
	for _, x := range lanes {
		own[x.ID] = true
	}
	versions, err := s.keeper.RigVersions(ctx, l.Setup.Rig, mostLookedBack)
	if err != nil {
		return nil, err
	}
	since := s.now().Add(-recentDays * 24 * time.Hour)
	var out []string
	for _, v := range versions {
		if own[v.Lane] && near(v.For) || !own[v.Lane] && v.Made.After(since) {
			out = append(out, v.Key.Planted...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out), nil
}

// Versions lists a lane's versions, for those who may see what is planted.
func (s *School) Versions(ctx context.Context, by *people.Person, lane string) ([]teach.LaneVersion, error) {
	l, err := s.keeper.Lane(ctx, lane)
	if err != nil {
		return nil, err
	}
	if err := s.MaySeeKeys(ctx, by, l.Class, people.Teach); err != nil {
		return nil, err
	}
	return s.keeper.Versions(ctx, lane)
}
