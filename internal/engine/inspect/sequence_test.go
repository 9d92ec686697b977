package inspect_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
)

func TestSuggest_CoversEverythingAndSeesSomethingEverywhere(t *testing.T) {
	for _, s := range all(t) {
		v := survey(t, s.rig)
		q := inspect.Suggest(v)
		c := inspect.Cover(v, q)
		for _, d := range c.Uncovered {
			t.Errorf("%s: no checkpoint asks about %s", s.name, d.ID())
		}
		for _, i := range c.Blind {
			t.Errorf("%s: checkpoint %s (%s) can see nothing", s.name, q.Checkpoints[i].ID, q.Checkpoints[i].Title)
		}
		for _, u := range c.Idle {
			t.Errorf("%s: checkpoint %s: %s", s.name, q.Checkpoints[u.Checkpoint].ID, u.Text)
		}
		if len(q.Checkpoints) < 5 || !q.Made || c.Total != len(v.Deficiencies) || !c.Complete() {
			t.Errorf("%s: %d checkpoints, made %v, %d of %d deficiencies", s.name, len(q.Checkpoints), q.Made, c.Total, len(v.Deficiencies))
		}
		tasks := 0
		for i := range q.Checkpoints {
			tasks += len(v.Tasks(&q.Checkpoints[i]))
		}
		asked := 0
		for _, p := range v.Parts {
			asked += len(p.Kind.Attributes)
		}
		if tasks == 0 || tasks > asked {
			t.Errorf("%s: %d questions of %d attributes: one is asked twice", s.name, tasks, asked)
		}
	}
}

// The walk never goes where a load could come down or an aircraft is: every
// station is outside the load's outline, on the ground.
func TestStations_AreBesideTheLoad(t *testing.T) {
	n := 0
	for _, s := range all(t) {
		v := survey(t, s.rig)
		q := inspect.Suggest(v)
		low, high := inspect.SceneOf(s.rig, nil).Footprint()
		stations := v.Stations(q)
		walked := 0
		for i, st := range stations {
			n++
			if st.Number != i+1 {
				t.Errorf("%s: station %d is numbered %d", s.name, i+1, st.Number)
			}
			out := math.Max(math.Max(low[0]-st.At[0], st.At[0]-high[0]), math.Max(low[1]-st.At[1], st.At[1]-high[1]))
			if out < 0.5 {
				t.Errorf("%s: station %d at %.2f is %.2f m outside the load", s.name, st.Number, st.At, out)
			}
			if st.Text == "" {
				t.Errorf("%s: station %d does not say where it is", s.name, st.Number)
			}
			for _, k := range st.Checkpoints {
				if k != walked {
					t.Errorf("%s: checkpoint %d comes at station %d after %d", s.name, k, st.Number, walked-1)
				}
				walked++
			}
		}
		if walked != len(q.Checkpoints) {
			t.Errorf("%s: the stations hold %d of %d checkpoints", s.name, walked, len(q.Checkpoints))
		}
	}
	if n < 100 {
		t.Errorf("looked at only %d stations", n)
	}
	for _, s := range inspect.Stands {
		if s.Words() == "" {
			t.Errorf("stand %s has no words", s)
		}
	}
}

func TestSuggest_ComparesThenLapsThenApexThenTraces(t *testing.T) {
	v := survey(t, our(t, "crate"))
	q := inspect.Suggest(v)
	var titles []string
	for _, c := range q.Checkpoints {
		titles = append(titles, c.Title)
	}
	want := []string{
		"Before the walk: the place around the load",
		"Compare legs FL and FR, left and right", "Compare legs RL and RR, left and right",
		"Body crate, all round",
		"Lower end of leg FL", "Lower end of leg RL", "Lower end of leg RR", "Lower end of leg FR",
		"The apex as it lies", "Upper ends of the legs of the apex",
		"Set A", "Set B", "The hook for the apex",
		"Trace leg FL", "Trace leg FR", "Trace leg RL", "Trace leg RR",
	}
	if !slices.Equal(titles, want) {
		t.Errorf("the walk is\n%s\nwant\n%s", strings.Join(titles, "\n"), strings.Join(want, "\n"))
	}
}

// without returns the sequence with one checkpoint taken out.
func without(q *inspect.Sequence, i int) *inspect.Sequence {
	out := *q
	out.Checkpoints = slices.Delete(slices.Clone(q.Checkpoints), i, i+1)
	return &out
}

func uncovered(c *inspect.Coverage) []string {
	var out []string
	for _, d := range c.Uncovered {
		out = append(out, d.ID())
	}
	return out
}

// sameLoss checks that taking a checkpoint out uncovers exactly what it alone
// saw.
func sameLoss(t interface{ Errorf(string, ...any) }, v *inspect.Survey, q *inspect.Sequence, i int) {
	whole := inspect.Cover(v, q)
	after := uncovered(inspect.Cover(v, without(q, i)))
	want := uncovered(whole)
	for _, d := range whole.OnlyBy(v, i) {
		want = append(want, d.ID())
	}
	slices.Sort(after)
	slices.Sort(want)
	if !slices.Equal(after, want) {
		t.Errorf("without checkpoint %s %d are uncovered, want %d", q.Checkpoints[i].ID, len(after), len(want))
	}
}

func TestCover_TakingOutACheckpointUncoversWhatItAloneSaw(t *testing.T) {
	n := 0
	for _, s := range all(t) {
		v := survey(t, s.rig)
		q := inspect.Suggest(v)
		for i := range q.Checkpoints {
			sameLoss(t, v, q, i)
			if len(inspect.Cover(v, q).OnlyBy(v, i)) == 0 {
				t.Errorf("%s: nothing is lost without checkpoint %s", s.name, q.Checkpoints[i].ID)
			}
			n++
		}
	}
	if n < 150 {
		t.Errorf("took out only %d checkpoints", n)
	}
}

// The same for sequences that overlap, look by pattern, and do less than they
// might.
func TestCover_TakingOutACheckpointOfAnySequence(t *testing.T) {
	v := survey(t, our(t, "crate"))
	made := inspect.Suggest(v)
	rapid.Check(t, func(t *rapid.T) {
		q := &inspect.Sequence{}
		for i := range rapid.IntRange(1, 12).Draw(t, "checkpoints") {
			c := made.Checkpoints[rapid.IntRange(0, len(made.Checkpoints)-1).Draw(t, "like")]
			c.ID = "x" + string(rune('a'+i))
			c.Looks = slices.Clone(c.Looks)
			for range rapid.IntRange(0, 3).Draw(t, "more") {
				p := v.Parts[rapid.IntRange(0, len(v.Parts)-1).Draw(t, "part")]
				id := p.ID
				if rapid.Bool().Draw(t, "pattern") {
					id = strings.Replace(id, "FL", "*", 1)
				}
				c.Looks = append(c.Looks, inspect.Look{Part: id})
			}
			c.Do = rapid.SliceOfDistinct(rapid.SampledFrom(part.Sees), rapid.ID[part.See]).Draw(t, "do")
			q.Checkpoints = append(q.Checkpoints, c)
		}
		sameLoss(t, v, q, rapid.IntRange(0, len(q.Checkpoints)-1).Draw(t, "out"))
	})
}

func TestCover_SaysWhatIsNotAsked(t *testing.T) {
	v := survey(t, our(t, "crate"))
	q := &inspect.Sequence{Checkpoints: []inspect.Checkpoint{
		{ID: "a", Looks: []inspect.Look{inspect.ParseLook("leg.*.keeper")}},
		{ID: "b", Looks: []inspect.Look{inspect.ParseLook("leg.FL.grab-hook/count")}, Do: []part.See{part.Look}},
		{ID: "c", Looks: []inspect.Look{inspect.ParseLook("leg.FL.chian"), inspect.ParseLook("leg.FL.chain/waer")}},
	}}
	c := inspect.Cover(v, q)
	if c.Complete() || len(c.Uncovered)+16 != c.Total {
		t.Errorf("%d of %d uncovered, want all but the 4 keepers' 4 deficiencies each", len(c.Uncovered), c.Total)
	}
	if !slices.Equal(c.Blind, []int{1, 2}) {
		t.Errorf("blind %v: a count cannot be seen by looking, and c looks at nothing", c.Blind)
	}
	if len(c.Idle) != 2 || !strings.Contains(c.Idle[0].Hint, "leg.FL.chain?") || !strings.Contains(c.Idle[1].Hint, "wear?") {
		t.Errorf("idle %v", c.Idle)
	}
	want := "At least one checkpoint asks about 16 of the 372 deficiencies of the catalogue that this rig can have. " +
		"Faults that are not in the catalogue, and faults looked at but not seen, are not covered."
	if got := c.Claim(); got != strings.Replace(want, "372", strconv.Itoa(c.Total), 1) {
		t.Errorf("the claim is %q", got)
	}
}

func TestLook_Patterns(t *testing.T) {
	cases := []struct {
		look, part, attribute string
		want                  bool
	}{
		{"leg.FL.chain", "leg.FL.chain", "wear", true},
		{"leg.FL.chain/wear", "leg.FL.chain", "wear", true},
		{"leg.FL.chain/wear", "leg.FL.chain", "twist", false},
		{"leg.*.chain", "leg.FL.chain", "wear", true},
		{"leg.*.chain", "leg.FL.excess-chain", "held", false},
		{"leg.*chain", "leg.FL.excess-chain", "held", true},
		{"*", "rig.area", "obstructions", true},
		{"*/count*", "legs.FL+FR.mirrored-legs", "counts", true},
		{"leg.F", "leg.FL.chain", "wear", false},
		{"", "leg.FL.chain", "wear", false},
	}
	for _, c := range cases {
		if got := inspect.ParseLook(c.look).Sees(c.part, c.attribute); got != c.want {
			t.Errorf("%s sees %s/%s: %v, want %v", c.look, c.part, c.attribute, got, c.want)
		}
	}
}
