package app

import (
	"errors"
	"io/fs"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig/rigfile"
)

// shelf is a keeper in memory that knows the current version of each document.
type shelf map[string][]byte

func (s shelf) Names() (names []string, _ error) {
	for name := range s {
		names = append(names, name)
	}
	slices.Sort(names)
	return names, nil
}

func (s shelf) Current(name string) ([]byte, error) {
	if s[name] == nil {
		return nil, fs.ErrNotExist
	}
	return s[name], nil
}

func (s shelf) Version(name, version string) ([]byte, error) {
	if s[name] == nil || Version(s[name]) != version {
		return nil, fs.ErrNotExist
	}
	return s[name], nil
}

func (s shelf) Versions(name string) ([]Kept, error) {
	if s[name] == nil {
		return nil, fs.ErrNotExist
	}
	return []Kept{{Version: Version(s[name]), At: time.Date(2026, 11, 20, 8, 0, 0, 0, time.UTC)}}, nil
}

func (s shelf) Save(name, on string, data []byte) (string, bool, error) {
	if now := s[name]; now != nil && Version(now) != on || now == nil && on != "" {
		return Version(now), false, nil
	}
	s[name] = data
	return Version(data), true, nil
}

func (s shelf) Print(string, string) error { return nil }

// surveyed is a demo rig with the shipped catalogue, or another.
func surveyed(t *testing.T, name string, c *part.Catalog) *inspect.Survey {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name != name {
			continue
		}
		if c == nil {
			c, _ = Catalog()
		}
		r, wrong := rigfile.Read(d.Data)
		if len(wrong) > 0 {
			t.Fatal(wrong)
		}
		v, problems := inspect.Of(r, c)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		return v
	}
	t.Fatalf("there is no demo rig %s", name)
	return nil
}

const paintKind = `format: hangtrue.catalog/1
kinds:
  chain-paint:
    name: chain
    each: chained-leg
    source: seen at the school
    attributes:
      paint:
        ask: Is the chain free of paint?
        see: [look]
        good: free
        ends: [damage]
        act: stop
        plant: by-hand
        hazard: paint hides cracks
        states: {free: it is bare, painted: it is painted over}
`

func TestSchoolCatalogOf_LoadsTheShelfOverTheShippedOne(t *testing.T) {
	shipped, _ := Catalog()
	c, err := SchoolCatalogOf(shelf{})
	if err != nil || len(c.Kinds) != len(shipped.Kinds) || c.Version != "" {
		t.Fatalf("an empty shelf: %d kinds, %v", len(c.Kinds), err)
	}
	bad := strings.Replace(paintKind, "act: stop", "act: go", 1)
	alone := strings.Replace(strings.Replace(paintKind, "chain-paint:", "chain-rust:", 1), "    each: chained-leg\n", "    instead-of: [no-such-kind]\n", 1)
	c, err = SchoolCatalogOf(shelf{"a-paint": []byte(paintKind), "b-bad": []byte(bad), "c-alone": []byte(alone)})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := c.Kind("chain-paint"); !ok || len(c.Kinds) != len(shipped.Kinds)+1 || !slices.Equal(c.Names, []string{"a-paint"}) {
		t.Errorf("files %v, %d kinds", c.Names, len(c.Kinds))
	}
	var files []string
	for _, p := range c.Problems {
		files = append(files, p.File)
		if p.Line < 2 {
			t.Errorf("%s has no line", p)
		}
	}
	if !slices.Equal(files, []string{"b-bad", "c-alone"}) {
		t.Errorf("problems %v", c.Problems)
	}
	before := surveyed(t, "crate-off-centre", nil)
	after := surveyed(t, "crate-off-centre", c.Catalog)
	if got := len(after.Deficiencies) - len(before.Deficiencies); got != 4 {
		t.Errorf("%d deficiencies more, want one for each of four chains", got)
	}
}

func TestOrderOf(t *testing.T) {
	if o, err := OrderOf(shelf{}, "x"); o != nil || err != nil {
		t.Errorf("no order is %v, %v", o, err)
	}
	v := surveyed(t, "crate-off-centre", nil)
	text := OrderText(Suggested(v))
	o, err := OrderOf(shelf{"x": text}, "x")
	if err != nil || o.Sequence == nil || o.Sequence.Made || o.Version != Version(text) || o.At.IsZero() {
		t.Fatalf("got %+v, %v", o, err)
	}
	if c := inspect.Cover(v, o.Sequence); !c.Complete() {
		t.Errorf("the suggestion taken over leaves out %d", len(c.Uncovered))
	}
	o, err = OrderOf(shelf{"x": []byte("format: hangtrue.sequence/1\ncheckpoints: []\n")}, "x")
	if err != nil || o.Sequence != nil || len(o.Problems) == 0 {
		t.Errorf("an order without a checkpoint: %+v, %v", o, err)
	}
}

func TestSuggested_FitsTheFormatOnEveryDemoRig(t *testing.T) {
	n := 0
	for _, d := range demo.Rigs() {
		v := surveyed(t, d.Name, nil)
		if o := ReadOrder(OrderText(Suggested(v))); o.Sequence == nil {
			t.Errorf("%s: %v", d.Name, o.Problems)
		}
		first, err := FirstOrder(v)
		if err != nil || len(first.Checkpoints) != 1 {
			t.Fatalf("%s: %v", d.Name, err)
		}
		if o := ReadOrder(OrderText(first)); o.Sequence == nil {
			t.Errorf("%s from nothing: %v", d.Name, o.Problems)
		}
		n++
	}
	if n < 10 {
		t.Errorf("only %d demo rigs", n)
	}
}

func ids(q *inspect.Sequence) string {
	var out []string
	for _, c := range q.Checkpoints {
		out = append(out, c.ID)
	}
	return strings.Join(out, " ")
}

func TestCheckpoints_MoveDeleteAddPut(t *testing.T) {
	v := surveyed(t, "crate-off-centre", nil)
	q := &inspect.Sequence{}
	for _, id := range []string{"a", "b", "c", "d"} {
		q.Checkpoints = append(q.Checkpoints, inspect.Checkpoint{ID: id, Looks: []inspect.Look{{Part: "rig.area"}}})
	}
	for _, c := range []struct {
		name string
		do   func() (*inspect.Sequence, error)
		want string // "" is refused
	}{
		{"down", func() (*inspect.Sequence, error) { return StepCheckpoint(q, "a", 1) }, "b a c d"},
		{"up", func() (*inspect.Sequence, error) { return StepCheckpoint(q, "d", -1) }, "a b d c"},
		{"up from the first place", func() (*inspect.Sequence, error) { return StepCheckpoint(q, "a", -1) }, "a b c d"},
		{"to a place", func() (*inspect.Sequence, error) { return MoveCheckpoint(q, "a", 2) }, "b c a d"},
		{"beyond the end", func() (*inspect.Sequence, error) { return MoveCheckpoint(q, "b", 99) }, "a c d b"},
		{"one that is not there", func() (*inspect.Sequence, error) { return MoveCheckpoint(q, "x", 1) }, ""},
		{"delete", func() (*inspect.Sequence, error) { return DeleteCheckpoint(q, "b") }, "a c d"},
		{"delete what is not there", func() (*inspect.Sequence, error) { return DeleteCheckpoint(q, "x") }, ""},
		{"delete the only one", func() (*inspect.Sequence, error) {
			return DeleteCheckpoint(&inspect.Sequence{Checkpoints: q.Checkpoints[:1]}, "a")
		}, ""},
		{"add after one", func() (*inspect.Sequence, error) { return AddCheckpoint(v, q, "b") }, "a b c05 c d"},
		{"add at the end", func() (*inspect.Sequence, error) { return AddCheckpoint(v, q, "") }, "a b c d c05"},
		{"add after what is not there", func() (*inspect.Sequence, error) { return AddCheckpoint(v, q, "x") }, ""},
		{"put", func() (*inspect.Sequence, error) {
			return PutCheckpoint(q, inspect.Checkpoint{ID: "c", Title: "Other"})
		}, "a b c d"},
		{"put what is not there", func() (*inspect.Sequence, error) { return PutCheckpoint(q, inspect.Checkpoint{ID: "x"}) }, ""},
	} {
		got, err := c.do()
		if c.want == "" {
			if err == nil {
				t.Errorf("%s: not refused", c.name)
			}
			continue
		}
		if err != nil || ids(got) != c.want {
			t.Errorf("%s: %v, want %s (%v)", c.name, got, c.want, err)
		}
		if ids(q) != "a b c d" || q.Checkpoints[2].Title != "" {
			t.Fatalf("%s changed the sequence handed in", c.name)
		}
	}
}

// A checkpoint added looks at something that nobody asks about yet, so adding
// goes on until all is asked about.
func TestAddCheckpoint_LooksAtWhatIsLeft(t *testing.T) {
	v := surveyed(t, "beams-choked", nil)
	q, err := FirstOrder(v)
	if err != nil {
		t.Fatal(err)
	}
	for range len(v.Parts) {
		if inspect.Cover(v, q).Complete() {
			return
		}
		if q, err = AddCheckpoint(v, q, ""); err != nil {
			t.Fatal(err)
		}
	}
	t.Errorf("%d checkpoints and %d parts, and something is left", len(q.Checkpoints), len(v.Parts))
}

func TestSightings(t *testing.T) {
	s := shelf{}
	x, err := SightingsOf(s, "crate")
	if err != nil || len(x.List) != 0 {
		t.Fatal(x, err)
	}
	day := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	for _, what := range []string{"paint on the \"chain\": much\nof it", "a nest # in the box"} {
		if err := x.Add(s, "crate", Sighting{Date: day, Part: "leg.FL.chain", What: what, By: "Ä. Rigger"}); err != nil {
			t.Fatal(err)
		}
	}
	if err := x.Enter(s, "crate", "s001", "seen-crate-s001"); err != nil {
		t.Fatal(err)
	}
	y, err := SightingsOf(s, "crate")
	want := []Sighting{
		{ID: "s001", Date: day, Part: "leg.FL.chain", What: "paint on the \"chain\": much\nof it", By: "Ä. Rigger", Entry: "seen-crate-s001"},
		{ID: "s002", Date: day, Part: "leg.FL.chain", What: "a nest # in the box", By: "Ä. Rigger"},
	}
	if err != nil || !reflect.DeepEqual(y.List, want) {
		t.Errorf("read back %+v, %v", y, err)
	}
	// Two who read the same do not overwrite each other.
	z, _ := SightingsOf(s, "crate")
	if err := y.Add(s, "crate", Sighting{Date: day, What: "one"}); err != nil {
		t.Fatal(err)
	}
	if err := z.Add(s, "crate", Sighting{Date: day, What: "two"}); !errors.Is(err, ErrConflict) {
		t.Errorf("got %v, want a conflict", err)
	}
	s["broken"] = []byte("format: hangtrue.seen/1\nseen:\n  - {id: s001, date: 2026-11-25}\n")
	b, err := SightingsOf(s, "broken")
	if err != nil || len(b.Problems) != 1 || b.Problems[0].Line != 3 {
		t.Errorf("problems %v, %v", b.Problems, err)
	}
	if err := b.Add(s, "broken", Sighting{Date: day, What: "more"}); err == nil {
		t.Error("written over a text with errors")
	}
}

// What was seen at any part of any rig makes an entry that the catalogue takes
// and that the rig then has a deficiency of.
func TestEntry_FeedsTheCatalogue(t *testing.T) {
	parts := 0
	kinds := map[string]bool{}
	for _, d := range demo.Rigs() {
		v := surveyed(t, d.Name, nil)
		for i := range v.Parts {
			p := &v.Parts[i]
			if kinds[p.Kind.ID] {
				continue
			}
			kinds[p.Kind.ID] = true
			parts++
			e := EntryFor(v, d.Name, Sighting{ID: "s001", Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Part: p.ID, What: "paint:\n\"thick\" # on it"})
			if got := e.Missing(); len(got) != 6 {
				t.Errorf("%s %s: still to say %q", d.Name, p.ID, got)
			}
			e.Ask, e.Good, e.Hazard = "Is it free of paint?", "it's bare: no paint", "paint hides cracks"
			e.Ends, e.Act, e.Plant = []part.End{part.Damage}, part.Stop, part.ByHand
			if got := e.Missing(); len(got) != 0 {
				t.Errorf("%s %s: still to say %q", d.Name, p.ID, got)
			}
			s := shelf{}
			name, problems, err := TakeIn(s, e.ID, e.Text())
			if err != nil || len(problems) > 0 || name != e.ID {
				t.Errorf("%s %s: kept as %q: %v %v in\n%s", d.Name, p.ID, name, problems, err, e.Text())
				continue
			}
			c, err := SchoolCatalogOf(s)
			if err != nil || len(c.Problems) > 0 {
				t.Fatal(c.Problems, err)
			}
			if after := surveyed(t, d.Name, c.Catalog); len(after.Deficiencies) <= len(v.Deficiencies) {
				t.Errorf("%s %s: no deficiency more", d.Name, p.ID)
			}
		}
	}
	if parts < 30 {
		t.Errorf("only %d parts tried", parts)
	}
}

func TestTakeIn_Refuses(t *testing.T) {
	s := shelf{"school": []byte(paintKind)}
	for name, c := range map[string]struct {
		text, has string
		line      int
	}{
		"what is not finished": {strings.Replace(paintKind, "        hazard: paint hides cracks\n", "", 1), "what it may lead to", 0},
		"a kind that there is": {paintKind, "a kind chain-paint already", 3},
		"what is no catalogue": {"kinds: 3\n", "", 1},
	} {
		kept, problems, err := TakeIn(s, "new", []byte(c.text))
		if err != nil || kept != "" || len(problems) == 0 || !strings.Contains(problems[0].String(), c.has) || c.line > 0 && problems[0].Line != c.line {
			t.Errorf("%s: kept as %q, %v, %v", name, kept, problems, err)
		}
	}
	if name, _, err := TakeIn(s, "school", []byte(strings.Replace(paintKind, "chain-paint:", "chain-rust:", 1))); name != "school-2" || err != nil {
		t.Errorf("a name that is taken: %q, %v", name, err)
	}
}
