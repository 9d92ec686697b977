package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
)

// VersionRig says on which rig a version of a lane was planted. It is a plain
// struct, so that a keeper need not know this package.
type VersionRig = struct {
	Version, Lane string
	Number        int
	Rig           string // its name
	RigVersion    string
	Sequence      string // of the order that the lane follows; "" for the one suggested from the rig
	Opened        bool   // its key has been shown
}

// CountedRun is one run in the order of results. It is a plain struct, so that a
// keeper need not know this package.
type CountedRun = struct {
	Run, Class, Lane, Student string
	Second                    bool
	At                        time.Time // when it was graded first
	Odd                       string    // what was not as the rules for starting say; "" for nothing
}

// DrillHead is a drill without its pictures, a plain struct too.
type DrillHead = struct {
	ID, Person string
	Made       time.Time
	Ended      bool
}

// ResultKeeper keeps what statistics need, and drills.
type ResultKeeper interface {
	ResultCount(ctx context.Context) (int, error)
	SchoolResults(ctx context.Context) ([]teach.Result, error)
	GradedRuns(ctx context.Context, class string) ([]CountedRun, error)
	RunResults(ctx context.Context, runs []string) ([]teach.Result, error)
	VersionRigs(ctx context.Context, class string) ([]VersionRig, error)
	DrillHeads(ctx context.Context, class string, most int) ([]DrillHead, error)
	PeopleOf(ctx context.Context, ids []string) ([]people.Person, error)
	DrillsOf(ctx context.Context, ids []string) (map[string]teach.Drill, map[string][]teach.DrillAnswer, error)

	AddDrill(ctx context.Context, d teach.Drill) error
	Drill(ctx context.Context, id string) (teach.Drill, []teach.DrillAnswer, error)
	RunDrill(ctx context.Context, run string) (teach.Drill, []teach.DrillAnswer, error)
	AnswerDrill(ctx context.Context, id string, answers []teach.DrillAnswer, boxes map[string]teach.Box) (taken bool, err error)
	EndDrill(ctx context.Context, id string) error
	Drills(ctx context.Context, person string, most int) ([]teach.Drill, map[string][]teach.DrillAnswer, error)
	Boxes(ctx context.Context, person string) (map[string]teach.Box, error)
}

// ResultDesk is the results of a class or of the whole school.
type ResultDesk struct {
	Class    *ClassRoom  // nil for the whole school
	Set      *report.Set // nil where the results are only written out
	Classes  map[string]teach.Class
	Lanes    map[string]teach.TestLane
	Versions map[string]VersionRig
	Rigs     []string      // names of the rigs planted on, in order
	Invented bool          // one of them is
	Looks    []report.Look // of the drills of the class's students, or of everybody
	Newest   bool          // there are more drills than these, and older
	Left     int           // classes left out, as who asks is a student there
	from     time.Time     // what was graded before does not count; zero for all
	left     map[string]bool
	school   *School
	catalog  *SchoolCatalog
	known    map[string]*planted      // by rig, its version and its order
	mates    map[string]string        // names of the class's students, by id
	names    func() map[string]string // of everybody, or of the class's graders; asked for only where somebody else is named
	fit      func() *report.Model     // of the set
}

// mostDrills is how many drills of one person are looked back at.
const mostDrills = 20_000

// ClassReport is the results of a class, for who may see what was planted in
// it.
func (s *School) ClassReport(ctx context.Context, by *people.Person, class string) (*ResultDesk, error) {
	d, err := s.ClassExport(ctx, by, class)
	if err != nil {
		return nil, err
	}
	results, err := s.keeper.Results(ctx, class, "", "")
	if err != nil {
		return nil, err
	}
	if d.Set, err = d.gather(results); err != nil {
		return nil, err
	}
	d.fit = sync.OnceValue(d.Set.Fit)
	d.planting()
	d.Looks, err = s.looks(ctx, d)
	return d, err
}

// SchoolReport is the results of all classes but those in which who asks is a
// student. from is the first day that counts, the zero time for all.
func (s *School) SchoolReport(ctx context.Context, by *people.Person, from time.Time) (*ResultDesk, error) {
	d, err := s.SchoolExport(ctx, by, from)
	if err != nil {
		return nil, err
	}
	if err := s.wholeSet(ctx, d); err != nil {
		return nil, err
	}
	if len(d.left) > 0 || !from.IsZero() {
		// Which attempt a run was follows from all of them, so the set is cut after.
		d.Set = d.Set.Only(func(x *report.Sitting) bool { return d.counts(x.Class, x.At) })
		d.fit = sync.OnceValue(d.Set.Fit)
	}
	d.planting()
	d.Looks, err = s.looks(ctx, d)
	return d, err
}

// ClassExport is a class's results to be written out, for who may see what was
// planted in it.
func (s *School) ClassExport(ctx context.Context, by *people.Person, class string) (*ResultDesk, error) {
	if err := s.MaySeeKeys(ctx, by, class, people.Teach); err != nil {
		return nil, err
	}
	room, err := s.room(ctx, class)
	if err != nil {
		return nil, err
	}
	return s.resultDesk(ctx, room)
}

// SchoolExport is the results of all classes but those in which who asks is a
// student, to be written out.
func (s *School) SchoolExport(ctx context.Context, by *people.Person, from time.Time) (*ResultDesk, error) {
	if err := need(by, people.Teach); err != nil {
		return nil, err
	}
	mine, err := s.keeper.MemberOf(ctx, by.ID)
	if err != nil {
		return nil, err
	}
	d, err := s.resultDesk(ctx, nil)
	if err != nil {
		return nil, err
	}
	d.from = from
	for _, m := range mine {
		if m.Left.IsZero() {
			d.left[m.Class] = true
		}
	}
	d.Left = len(d.left)
	return d, nil
}

// AllResults is the results of one class, found by its name or id, or for "" of
// the whole school, for who holds the school's database and so needs no right.
// With set they are counted too.
func (s *School) AllResults(ctx context.Context, class string, from time.Time, set bool) (*ResultDesk, error) {
	holder := &people.Person{Roles: []people.Role{people.Instructor}}
	if class == "" {
		if set {
			return s.SchoolReport(ctx, holder, from)
		}
		return s.SchoolExport(ctx, holder, from)
	}
	list, err := s.keeper.Classes(ctx)
	if err != nil {
		return nil, err
	}
	var ids, names []string
	for _, c := range list {
		if c.Name == class || c.ID == class {
			ids = append(ids, c.ID)
		}
		names = append(names, strconv.Quote(c.Name))
	}
	switch {
	case len(ids) == 1 && set:
		return s.ClassReport(ctx, holder, ids[0])
	case len(ids) == 1:
		return s.ClassExport(ctx, holder, ids[0])
	case len(ids) > 1:
		return nil, fmt.Errorf("%d classes are called %q; name one by its id: %s", len(ids), class, strings.Join(ids, ", "))
	case len(names) == 0:
		return nil, errors.New("the school has no class yet")
	}
	return nil, fmt.Errorf("there is no class %q; the newest are %s", class, strings.Join(names[:min(5, len(names))], ", "))
}

// counts reports whether a run of a class that was graded at some time counts.
func (d *ResultDesk) counts(class string, at time.Time) bool {
	return !d.left[class] && !at.Before(d.from)
}

// resultDesk knows what everything is called, and no results yet.
func (s *School) resultDesk(ctx context.Context, room *ClassRoom) (*ResultDesk, error) {
	d := &ResultDesk{
		Class: room, Classes: map[string]teach.Class{}, Lanes: map[string]teach.TestLane{}, Versions: map[string]VersionRig{},
		school: s, left: map[string]bool{}, known: map[string]*planted{}, mates: map[string]string{},
	}
	class := ""
	if room != nil {
		class = room.ID
	}
	versions, err := s.keeper.VersionRigs(ctx, class)
	if err != nil {
		return nil, err
	}
	for _, v := range versions {
		d.Versions[v.Version] = v
	}
	lanes, err := s.keeper.Lanes(ctx, class)
	if err != nil {
		return nil, err
	}
	for _, l := range lanes {
		d.Lanes[l.ID] = l
		d.Invented = d.Invented || l.Setup.Invented
	}
	classes, err := s.keeper.Classes(ctx)
	if err != nil {
		return nil, err
	}
	for _, c := range classes {
		d.Classes[c.ID] = c
	}
	if room != nil {
		for _, m := range room.Students {
			d.mates[m.Person.ID] = m.Person.Shown()
		}
	}
	d.names = sync.OnceValue(func() map[string]string { return s.everybodysNames(ctx) })
	if room != nil {
		d.names = sync.OnceValue(func() map[string]string { return s.gradersNames(ctx, room.ID) })
	}
	shelf, err := s.Shelves.Shelf(Catalogues)
	if err != nil {
		return nil, err
	}
	d.catalog, err = SchoolCatalogOf(shelf)
	return d, err
}

// everybodysNames and gradersNames are what people are called; those who cannot be
// read are called by their ids.
func (s *School) everybodysNames(ctx context.Context) map[string]string {
	all, err := s.keeper.People(ctx)
	if err != nil {
		return nil
	}
	return shownNames(all)
}

func (s *School) gradersNames(ctx context.Context, class string) map[string]string {
	runs, err := s.keeper.Runs(ctx, class, "", "", "")
	if err != nil {
		return nil
	}
	graders := map[string]bool{}
	for i := range runs {
		graders[runs[i].Grader] = true
	}
	all, err := s.keeper.PeopleOf(ctx, slices.Collect(maps.Keys(graders)))
	if err != nil {
		return nil
	}
	return shownNames(all)
}

func shownNames(all []people.Person) map[string]string {
	names := map[string]string{}
	for i := range all {
		names[all[i].ID] = all[i].Shown()
	}
	return names
}

// Fit is the Rasch model of the set.
func (d *ResultDesk) Fit() *report.Model { return d.fit() }

// gather makes a set of results.
func (d *ResultDesk) gather(results []teach.Result) (*report.Set, error) {
	var failed error
	set := report.Gather(results, d.namer(&failed))
	return set, failed
}

// namer says what a deficiency of a version is; what fails is noted.
func (d *ResultDesk) namer(failed *error) report.Namer {
	return func(version, id string) (report.Item, bool) {
		v, ok := d.Versions[version]
		if !ok {
			return report.Item{}, false
		}
		p, err := d.plantedOn(v)
		if err != nil {
			*failed = errors.Join(*failed, err)
			return report.Item{}, false
		}
		x, ok := p.items[id]
		return x, ok
	}
}

// plantedOn names what can be wrong on the rig of a version.
func (d *ResultDesk) plantedOn(v VersionRig) (*planted, error) {
	key := v.Rig + "\x00" + v.RigVersion + "\x00" + v.Sequence
	if p := d.known[key]; p != nil {
		return p, nil
	}
	p, err := d.school.plantedOn(v, d.catalog)
	if err == nil {
		d.known[key] = p
	}
	return p, err
}

// planting notes on which rigs the set's runs were.
func (d *ResultDesk) planting() {
	d.Invented = false
	seen := map[string]bool{}
	for i := range d.Set.Sittings {
		x := &d.Set.Sittings[i]
		if seen[x.Version] || len(x.Answers) == 0 {
			continue
		}
		seen[x.Version] = true
		d.Invented = d.Invented || d.Lanes[x.Lane].Setup.Invented
		if name := d.Versions[x.Version].Rig; !slices.Contains(d.Rigs, name) {
			d.Rigs = append(d.Rigs, name)
		}
	}
	slices.Sort(d.Rigs)
}

// planted names the deficiencies of one version of a rig.
type planted struct {
	items    map[string]report.Item
	invented bool
}

// plantedNames remembers names: they follow from the bytes of the rig, of its
// order and of the catalogues and from nothing else, so one memory serves all.
var plantedNames struct {
	sync.Mutex
	known map[string]*planted
}

// mostNamed is how many rigs' names are remembered.
const mostNamed = 256

// plantedOn names what can be wrong on the rig of a version. Of a rig, or an
// order, that is not kept or can no longer be read it knows nothing.
func (s *School) plantedOn(v VersionRig, catalog *SchoolCatalog) (*planted, error) {
	key := v.Rig + "\x00" + v.RigVersion + "\x00" + v.Sequence + "\x00" + catalog.Version
	plantedNames.Lock()
	p := plantedNames.known[key]
	plantedNames.Unlock()
	if p != nil {
		return p, nil
	}
	survey, q, err := s.surveyOf(v, catalog)
	if err != nil {
		return nil, err
	}
	p = &planted{items: map[string]report.Item{}}
	if survey != nil {
		p.invented = survey.Rig.Invented()
		cover := inspect.Cover(survey, q)
		for i := range survey.Deficiencies {
			x := &survey.Deficiencies[i]
			item := report.Item{Key: keyOf(x), Kind: x.Part.Kind.Name, Text: x.Part.Kind.Name + ": " + x.State.Text, Part: v.Rig + "/" + x.Part.ID}
			if by := cover.By[i]; len(by) > 0 {
				c := &q.Checkpoints[by[0]]
				item.Checkpoint, item.Title = v.Rig+"/"+c.ID, c.Title
			}
			p.items[x.ID()] = item
		}
	}
	plantedNames.Lock()
	defer plantedNames.Unlock()
	if plantedNames.known == nil || len(plantedNames.known) >= mostNamed {
		plantedNames.known = map[string]*planted{}
	}
	plantedNames.known[key] = p
	return p, nil
}

// surveyOf surveys the rig of a version with its order; the survey is nil where
// one of them is not kept or can no longer be read.
func (s *School) surveyOf(v VersionRig, catalog *SchoolCatalog) (*inspect.Survey, *inspect.Sequence, error) {
	data, err := s.Rigs.Version(v.Rig, v.RigVersion)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	solved := Solve(data)
	if solved.Rig == nil {
		return nil, nil, nil
	}
	survey, _ := inspect.Of(solved.Rig, catalog.Catalog)
	if v.Sequence == "" {
		return survey, inspect.Suggest(survey), nil
	}
	orders, err := s.Shelves.Shelf(Sequences)
	if err != nil {
		return nil, nil, err
	}
	text, err := orders.Version(v.Rig, v.Sequence)
	if errors.Is(err, fs.ErrNotExist) {
		return survey, inspect.Suggest(survey), nil
	}
	if err != nil {
		return nil, nil, err
	}
	if o := ReadOrder(text); o.Sequence != nil {
		return survey, o.Sequence, nil
	}
	return survey, inspect.Suggest(survey), nil
}

// keyOf is by what results count a deficiency: its kind of part, attribute and
// state.
func keyOf(d *inspect.Deficiency) string {
	return d.Part.Kind.ID + "/" + d.Attribute.ID + "/" + d.State.ID
}

// Title is what the desk's results are of.
func (d *ResultDesk) Title() string {
	if d.Class != nil {
		return d.Class.Name
	}
	return "the whole school"
}

// LaneTitle is what a lane is called.
func (d *ResultDesk) LaneTitle(id string) string {
	if l, ok := d.Lanes[id]; ok && l.Setup.Title != "" {
		return l.Setup.Title
	}
	return "lane " + id[:min(8, len(id))]
}

// VersionTitle is what a version is called.
func (d *ResultDesk) VersionTitle(id string) string {
	v, ok := d.Versions[id]
	if !ok {
		return "version " + id[:min(8, len(id))]
	}
	return d.LaneTitle(v.Lane) + ", version " + strconv.Itoa(v.Number)
}

// Name is what a person is called.
func (d *ResultDesk) Name(id string) string {
	if n, ok := d.mates[id]; ok {
		return n
	}
	if n, ok := d.names()[id]; ok {
		return n
	}
	return "person " + id[:min(8, len(id))]
}

// knownDifficulties looks up the difficulties in logits that are known well
// enough to plant by, from all results of the school.
func (s *School) knownDifficulties(ctx context.Context) (func(*inspect.Deficiency) (float64, bool), error) {
	d, err := s.resultDesk(ctx, nil)
	if err != nil {
		return nil, err
	}
	if err := s.wholeSet(ctx, d); err != nil {
		return nil, err
	}
	known := d.Fit().Known()
	return func(x *inspect.Deficiency) (float64, bool) {
		b, ok := known[keyOf(x)]
		return b, ok
	}, nil
}

// HeatRig is one rig with what was missed on it, part by part.
type HeatRig struct {
	Name   string
	Solved Solved
	Survey *inspect.Survey
	Lines  report.Lines // by the parts' ids
}

// Heat are the rigs on which something was missed, at most most of them, those on
// which the most was missed first.
func (d *ResultDesk) Heat(most int) ([]HeatRig, error) {
	lines := d.Set.ByPart()
	var out []HeatRig
	missed := map[string]int{}
	for _, name := range d.Rigs {
		x := HeatRig{Name: name}
		for _, l := range lines {
			if id, ok := strings.CutPrefix(l.Key, name+"/"); ok {
				l.Key, l.Text = id, id
				x.Lines = append(x.Lines, l)
				missed[name] += l.Found.Of - l.Found.Count
			}
		}
		if missed[name] > 0 {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b HeatRig) int { return missed[b.Name] - missed[a.Name] })
	out = out[:min(most, len(out))]
	var drawn []HeatRig
	for _, x := range out {
		newest := ""
		var at time.Time
		for i := range d.Set.Sittings {
			v := d.Versions[d.Set.Sittings[i].Version]
			if v.Rig == x.Name && !d.Set.Sittings[i].At.Before(at) {
				newest, at = v.RigVersion, d.Set.Sittings[i].At
			}
		}
		data, err := d.school.Rigs.Version(x.Name, newest)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if x.Solved = Solve(data); x.Solved.Rig == nil {
			continue
		}
		x.Survey, _ = inspect.Of(x.Solved.Rig, d.catalog.Catalog)
		drawn = append(drawn, x)
	}
	return drawn, nil
}
