package teach_test

import (
	"encoding/binary"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/teach"
)

// candidatesOf are what could be planted on a demo rig; hard gives difficulties
// by position, or none.
func candidatesOf(t testing.TB, name string, hard func(i int) (float64, bool)) []teach.Candidate {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name != name {
			continue
		}
		r, problems := rigfile.Read(d.Data)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		v, wrong := inspect.Of(r, catalog.Shipped())
		if len(wrong) > 0 {
			t.Fatal(wrong)
		}
		list := teach.Candidates(v, inspect.Suggest(v), nil)
		if len(list) != len(v.Deficiencies) {
			t.Fatalf("%d of %d deficiencies can be asked for", len(list), len(v.Deficiencies))
		}
		for i := range list {
			if hard == nil {
				break
			}
			if x, ok := hard(i); ok {
				list[i].Difficulty = &x
			}
		}
		return list
	}
	t.Fatalf("no demo rig %s", name)
	return nil
}

func seedOf(n int) teach.Seed {
	var s teach.Seed
	binary.BigEndian.PutUint64(s[8:], uint64(n))
	return s
}

// Ten thousand seeds over several rigs: what must be kept is kept in every one.
func TestPlant_KeepsItsConstraints(t *testing.T) {
	seeds := 10_000
	if testing.Short() {
		seeds = 400
	}
	rigs := []string{"crate-off-centre", "drums-side-by-side", "trailer-front-and-rear", "net-one-ring"}
	pools := map[string][]teach.Candidate{}
	for _, name := range rigs {
		pools[name] = candidatesOf(t, name, func(i int) (float64, bool) { return float64(i%9)/2 - 2, i%4 != 0 })
	}
	planted, worst := map[string]bool{}, 0.0
	for n := range seeds {
		pool := pools[rigs[n%len(rigs)]]
		recent := []string{pool[n%len(pool)].ID, pool[(n*7)%len(pool)].ID}
		a := teach.Ask{Candidates: pool, Count: 3 + n%6, Versions: 1 + n%3, Real: n%2 == 0, Spoiled: n%4 == 0, Recent: recent, Seed: seedOf(n)}
		if n%5 == 0 {
			a.Band = &[2]float64{-.6, .6}
		}
		p, err := teach.Plant(a)
		if err != nil {
			t.Fatalf("seed %d: %v", n, err)
		}
		if len(p.Versions) != a.Versions {
			t.Fatalf("seed %d: %d versions, want %d", n, len(p.Versions), a.Versions)
		}
		for _, v := range p.Versions {
			if len(v.Planted) != a.Count {
				t.Fatalf("seed %d: %d planted, want %d", n, len(v.Planted), a.Count)
			}
			if a.Band != nil && !math.IsNaN(v.Difficulty) && (v.Difficulty < a.Band[0] || v.Difficulty > a.Band[1]) {
				t.Errorf("seed %d: difficulty %g", n, v.Difficulty)
			}
			for i := range v.Planted {
				c := &v.Planted[i]
				planted[c.ID] = true
				if slices.Contains(recent, c.ID) {
					t.Errorf("seed %d: %s was used lately", n, c.ID)
				}
				if a.Real && (c.Plant == part.PictureOnly || c.Plant == part.SpoiledPart && !a.Spoiled) {
					t.Errorf("seed %d: %s on a real load, by %s", n, c.ID, c.Plant)
				}
				for j := range i {
					if why := teach.Conflict(&v.Planted[j], c); why != "" || v.Planted[j].Part == c.Part {
						t.Errorf("seed %d: %s and %s: %s", n, v.Planted[j].ID, c.ID, why)
					}
				}
			}
		}
		if !math.IsNaN(p.Spread) {
			worst = max(worst, p.Spread)
		}
	}
	// A choice that always takes the same few would keep every constraint too.
	if len(planted) < 150 && !testing.Short() {
		t.Errorf("only %d different deficiencies were ever planted", len(planted))
	}
	t.Logf("%d seeds: %d different deficiencies planted; largest spread of mean difficulty %.2f logits", seeds, len(planted), worst)
}

func TestPlant_SameSeedSameChoice(t *testing.T) {
	a := teach.Ask{Candidates: candidatesOf(t, "crate-off-centre", nil), Count: 6, Versions: 3, Seed: seedOf(4)}
	ids := func(a teach.Ask) string {
		p, err := teach.Plant(a)
		if err != nil {
			t.Fatal(err)
		}
		var all []string
		for _, v := range p.Versions {
			for _, c := range v.Planted {
				all = append(all, c.ID)
			}
		}
		return strings.Join(all, " ")
	}
	first := ids(a)
	if again := ids(a); again != first {
		t.Errorf("the same seed gave %s and %s", first, again)
	}
	a.Seed = seedOf(5)
	if ids(a) == first {
		t.Error("another seed gave the same choice")
	}
}

func TestPlant_SaysWhatStandsInTheWay(t *testing.T) {
	pool := candidatesOf(t, "net-one-ring", nil)
	for _, c := range []struct {
		name string
		a    teach.Ask
		want string
	}{
		{"too many", teach.Ask{Candidates: pool, Count: 500}, "only"},
		{"none", teach.Ask{Candidates: pool}, "at least 1"},
		{"nothing to choose from", teach.Ask{Count: 2}, "only 0 parts"},
		{"a band that nothing has", teach.Ask{Candidates: candidatesOf(t, "net-one-ring", func(int) (float64, bool) { return 0, true }), Count: 4, Band: &[2]float64{3, 4}}, "mean difficulty is from 3 to 4"},
	} {
		if _, err := teach.Plant(c.a); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	p, err := teach.Plant(teach.Ask{Candidates: pool, Count: 5, Versions: 2, Seed: seedOf(1)})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(p.Notes, "; "), "unknown") || !strings.Contains(p.Words(), "unknown until there are results") {
		t.Errorf("%v, %s", p.Notes, p.Words())
	}
	if p.Versions[0].Unknown != 5 || p.Shared > 1 {
		t.Errorf("%d unknown, %d shared", p.Versions[0].Unknown, p.Shared)
	}
}

func ptr[T any](x T) *T { return &x }

func TestGradeRun(t *testing.T) {
	full := teach.Rule{Found: ptr(2), Within: ptr(10 * time.Minute), False: ptr(1), FigureRight: ptr(true)}
	planted := []string{"a", "b", "c"}
	minute := func(n int) time.Duration { return time.Duration(n) * time.Minute }
	find := func(id, what string, at int) teach.Call {
		return teach.Call{ID: id, Kind: teach.CallFound, Deficiency: what, After: minute(at)}
	}
	call := func(id string, kind teach.CallKind) teach.Call {
		return teach.Call{ID: id, Kind: kind, After: minute(2)}
	}
	ended := ptr(minute(9))
	for _, c := range []struct {
		name  string
		rule  teach.Rule
		calls []teach.Call
		ended *time.Duration
		want  teach.Outcome
		found int
	}{
		{"enough", full, []teach.Call{find("1", "a", 1), find("2", "b", 3)}, ended, teach.Met, 2},
		{"too few", full, []teach.Call{find("1", "a", 1)}, ended, teach.NotMet, 1},
		{"the same call delivered twice", full, []teach.Call{find("1", "a", 1), find("1", "a", 1)}, ended, teach.NotMet, 1},
		{"the same one called twice", full, []teach.Call{find("1", "a", 1), find("2", "a", 2)}, ended, teach.NotMet, 1},
		{"too late", full, []teach.Call{find("1", "a", 1), find("2", "b", 11)}, ptr(minute(12)), teach.NotMet, 1},
		{"not of this version", full, []teach.Call{find("1", "a", 1), find("2", "z", 2)}, ended, teach.NotMet, 1},
		{"a wrong figure", full, []teach.Call{find("1", "a", 1), {ID: "2", Kind: teach.CallFound, Deficiency: "b", WrongCount: true}}, ended, teach.NotMet, 1},
		{"one false call", full, []teach.Call{find("1", "a", 1), find("2", "b", 2), call("3", teach.CallFalse)}, ended, teach.Met, 2},
		{"two false calls", full, []teach.Call{find("1", "a", 1), find("2", "b", 2), call("3", teach.CallFalse), call("4", teach.CallFalse)}, ended, teach.NotMet, 2},
		{"one of them undone", full, []teach.Call{find("1", "a", 1), find("2", "b", 2), call("3", teach.CallFalse), call("4", teach.CallFalse), {ID: "5", Kind: teach.CallUndone, Undoes: "4"}}, ended, teach.Met, 2},
		{"unsafe", full, []teach.Call{find("1", "a", 1), find("2", "b", 2), call("3", teach.CallUnsafe)}, ended, teach.Unsafe, 2},
		{"true and not planted", full, []teach.Call{find("1", "a", 1), find("2", "b", 2), call("3", teach.CallTrue)}, ended, teach.Stopped, 2},
		{"and settled", full, []teach.Call{find("1", "a", 1), find("2", "b", 2), call("3", teach.CallTrue), call("4", teach.CallPut)}, ended, teach.Met, 2},
		{"not ended", full, nil, nil, teach.Running, 0},
		{"no rule", teach.Rule{}, []teach.Call{find("1", "a", 1)}, ended, teach.Ungraded, 1},
		{"order", teach.Rule{Found: ptr(0), Within: full.Within, False: full.False, FigureRight: full.FigureRight, Ordered: true, WrongOrder: ptr(0)}, []teach.Call{call("1", teach.CallOrder)}, ended, teach.NotMet, 0},
	} {
		g := teach.GradeRun(c.rule, teach.Run{Planted: planted, Calls: c.calls, Ended: c.ended})
		if g.Outcome != c.want || len(g.Found) != c.found || len(g.Found)+len(g.Missed) != len(planted) {
			t.Errorf("%s: %s, found %v, missed %v, %v; want %s with %d", c.name, g.Outcome, g.Found, g.Missed, g.Reasons, c.want, c.found)
		}
		if g.Outcome.Words() == "" || strings.Contains(g.Outcome.Words(), "pass") {
			t.Errorf("%s: worded %q", c.name, g.Outcome.Words())
		}
	}
	if len(teach.Rule{Ordered: true}.Missing()) != 5 || len(full.Missing()) != 0 {
		t.Errorf("missing: %v", teach.Rule{Ordered: true}.Missing())
	}
	if err := full.Check(1); err == nil {
		t.Error("two of one planted can be asked for")
	}
}

func TestCommit(t *testing.T) {
	k := teach.Key{Lane: "lane-1", Version: 2, Rig: "ab", Planted: []string{"b", "a"}, Seed: "00"}
	const canonical = `{"format":"hangtrue.key/1","lane":"lane-1","version":2,"rig_sha256":"ab","planted":["a","b"],"seed":"00"}`
	if got := string(k.Canonical()); got != canonical {
		t.Errorf("canonical %s", got)
	}
	if k.Planted[0] != "b" {
		t.Error("the key was changed")
	}
	secret := [32]byte{1, 2, 3}
	c := teach.Commit(secret, k)
	if err := c.Open(secret, k); err != nil {
		t.Error(err)
	}
	other := k
	other.Planted = []string{"a", "c"}
	if c.Open(secret, other) == nil || c.Open([32]byte{}, k) == nil {
		t.Error("another key or secret opens it")
	}
	// printf '\001\002\003' and 29 zero bytes, then the canonical bytes, through sha256sum
	if want := teach.Commitment("b6e71fbc23da5a19ca4b87de8167c45e304527cd457b75c870a0ea1fb0bb98dd"); c != want {
		t.Errorf("commitment %s", c)
	}
}

func checkSlots(t *testing.T, name string, x *teach.Rotation, groups []string, lanes []teach.Lane) {
	t.Helper()
	of := map[string]teach.Lane{}
	loads := map[string]bool{}
	for _, l := range lanes {
		of[l.ID] = l
		loads[l.Load] = true
	}
	been := map[string]int{}
	for i, s := range x.Slots {
		l := of[s.Lane]
		been[s.Group+"/"+l.Load]++
		if s.To-s.From != l.Takes {
			t.Errorf("%s: %+v does not take %v", name, s, l.Takes)
		}
		for _, o := range x.Slots[:i] {
			m := of[o.Lane]
			over := s.From < o.To && o.From < s.To
			if over && (s.Group == o.Group || l.Grader != "" && l.Grader == m.Grader) {
				t.Errorf("%s: %+v and %+v at once", name, s, o)
			}
			if s.Lane == o.Lane && s.From < o.To+l.Reset && o.From < s.To+l.Reset {
				t.Errorf("%s: %+v before the lane of %+v is put back", name, s, o)
			}
		}
	}
	if len(x.Slots) != len(groups)*len(loads) || len(been) != len(x.Slots) {
		t.Errorf("%s: %d slots for %d groups on %d loads", name, len(x.Slots), len(groups), len(loads))
	}
	if x.Ends < x.Bound {
		t.Errorf("%s: ends at %v before the bound %v", name, x.Ends, x.Bound)
	}
}

func TestSeed_SomeLieWithinMore(t *testing.T) {
	seed := teach.Seed{7}
	always := func(i int) bool { return i%17 == 3 } // 6 of 100
	last := []int{}
	for _, n := range []int{6, 20, 60, 99} {
		got := seed.Some(n, 100, always)
		if len(got) != n || !slices.IsSorted(got) {
			t.Errorf("%d of 100: %v", n, got)
		}
		for i := range 100 {
			if (always(i) || slices.Contains(last, i)) && !slices.Contains(got, i) {
				t.Errorf("%d of 100 lack %d", n, i)
			}
		}
		last = got
	}
	for _, n := range []int{0, 100, 200} {
		if got := seed.Some(n, 100, always); len(got) != 100 {
			t.Errorf("%d of 100: %d", n, len(got))
		}
	}
	if slices.Equal(seed.Some(20, 100, always), teach.Seed{8}.Some(20, 100, always)) {
		t.Error("another seed chooses the same")
	}
}

func TestRotate(t *testing.T) {
	m := time.Minute
	for _, c := range []struct {
		name   string
		groups []string
		lanes  []teach.Lane
		ends   time.Duration // 0: not known
	}{
		// As many groups as lanes, all alike: in turn, nobody waits.
		{"square", []string{"A", "B", "C"}, []teach.Lane{{"1", "x", "", 20 * m, 0}, {"2", "y", "", 20 * m, 0}, {"3", "z", "", 20 * m, 0}}, 60 * m},
		{"more groups", []string{"A", "B", "C", "D"}, []teach.Lane{{"1", "x", "", 20 * m, 0}, {"2", "y", "", 20 * m, 0}}, 80 * m},
		// Two machines: an open shop's shortest end is the larger of each
		// machine's and each job's work (Gonzalez and Sahni 1976).
		{"two lanes", []string{"A", "B", "C"}, []teach.Lane{{"1", "x", "", 10 * m, 0}, {"2", "y", "", 25 * m, 0}}, 75 * m},
		{"one grader for all", []string{"A", "B"}, []teach.Lane{{"1", "x", "G", 10 * m, 0}, {"2", "y", "G", 10 * m, 0}}, 40 * m},
		{"two lanes on one load", []string{"A", "B", "C", "D"}, []teach.Lane{{"1", "x", "G", 10 * m, 0}, {"2", "x", "H", 10 * m, 0}}, 20 * m},
		{"putting back", []string{"A", "B"}, []teach.Lane{{"1", "x", "", 10 * m, 5 * m}}, 25 * m},
	} {
		x, err := teach.Rotate(c.groups, c.lanes, seedOf(3))
		if err != nil {
			t.Fatal(c.name, err)
		}
		checkSlots(t, c.name, x, c.groups, c.lanes)
		if c.ends != 0 && x.Ends != c.ends {
			t.Errorf("%s: ends at %v, want %v", c.name, x.Ends, c.ends)
		}
		again, err := teach.Rotate(c.groups, c.lanes, seedOf(3))
		if err != nil || !slices.Equal(again.Slots, x.Slots) {
			t.Errorf("%s: the same seed gave another rotation", c.name)
		}
	}
	if _, err := teach.Rotate([]string{"A", "A"}, []teach.Lane{{"1", "x", "", m, 0}}, seedOf(1)); err == nil {
		t.Error("a group twice")
	}
}

func TestPractise(t *testing.T) {
	day := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	b := teach.Box{}
	for i, want := range []int{1, 2, 4, 8, 16, 16} {
		b = b.Next(true, day)
		if got := int(b.Due.Sub(day).Hours() / 24); got != want {
			t.Errorf("found %d times: back after %d days, want %d", i+1, got, want)
		}
	}
	if b = b.Next(false, day); b.Number != 1 {
		t.Errorf("missed: box %d", b.Number)
	}
	boxes := map[string]teach.Box{
		"due": {2, day.AddDate(0, 0, -1)}, "long due": {1, day.AddDate(0, 0, -5)}, "later": {3, day.AddDate(0, 0, 3)},
	}
	got := teach.Practise([]string{"later", "new", "due", "long due"}, boxes, day, 3)
	if want := []string{"long due", "due", "new"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
