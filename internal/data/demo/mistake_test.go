package demo

import (
	"fmt"
	"strings"
	"testing"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// mistake is one thing done otherwise than the rig file says.
type mistake struct {
	rig    string
	leg    string // the one done wrong
	done   func(*rig.Leg) string
	bites  *bite // instead of done
	result rig.Result
	slack  string // the legs that hang slack, joined by commas
	why    string // what to see in it, for a reader; no numbers
}

// bite moves the point that a leg is attached to along its body.
type bite struct{ x float64 }

func held(count int) func(*rig.Leg) string {
	return func(l *rig.Leg) string {
		was := *l.Count
		l.Count = &count
		return fmt.Sprintf("leg %s held at link %d instead of %d", l.ID, count, was)
	}
}

// longer makes a plain leg longer by metres; said is how a person says that.
func longer(metres float64, said string) func(*rig.Leg) string {
	return func(l *rig.Leg) string {
		l.Rope.Length += metres
		return fmt.Sprintf("leg %s %s too long", l.ID, said)
	}
}

func ledTo(body, point string) func(*rig.Leg) string {
	return func(l *rig.Leg) string {
		was := l.To[0]
		l.To = []rig.Ref{{ID: body, Point: point}}
		return fmt.Sprintf("leg %s led to %s instead of %s", l.ID, l.To[0], was)
	}
}

// mistakes has one for each rig, in the order of the rigs.
var mistakes = []mistake{
	{
		rig: "beams-choked", leg: "F", bites: &bite{0.9}, result: rig.Over,
		why: "The two slings share the weight by how far each bites from the CG. A sling that bites nearer to it takes more, and the bundle dips towards it. Friction, which the computation leaves out, decides whether a choke stays where it was put.",
	},
	{
		rig: "cabin-long-line", leg: "FL", done: longer(0.1524, "6 in"), result: rig.Within, slack: "FL,RR",
		why: "One long leg lets two go slack: it and the one across from it. The other diagonal carries all. The result stays what it was, because these ratings leave room for two legs of four and the rule entered counts two. So read the slack legs too, not the result alone.",
	},
	{
		rig: "crate-off-centre", leg: "FL", done: held(12), result: rig.Over, slack: "RR",
		why: "The count is ten too low, so the leg is too long: its corner sinks, the leg across from it goes slack, and the other diagonal takes most of the weight. The highest use hardly shows it, because counting two legs of four governs there before and after.",
	},
	{
		rig: "drums-four-small", leg: "FLF", done: held(30), result: rig.Over,
		why: "Each drum is carried by two legs only, so none can go slack. A wrong count tilts its own drum and moves the others a little, through where they press.",
	},
	{
		rig: "drums-side-by-side", leg: "LF", done: held(21), result: rig.Over,
		why: "Two digits the wrong way round. The drum with the wrong count tilts; its neighbour hardly moves. The count also differs from the procedure's, and the status says so.",
	},
	{
		rig: "footbridge-two-hooks", leg: "RL", done: held(51), result: rig.Over, slack: "RR",
		why: "Two digits the wrong way round. The bridge rolls, a rear leg goes slack, and at each hook one of the two legs carries most or all of what that hook carries.",
	},
	{
		rig: "net-one-ring", leg: "FL", done: ledTo("net", "RL"), result: rig.Over, slack: "RR",
		why: "The free corner sinks, the strop across from it goes slack, and the net hangs by one diagonal. That is the least of it: a real net opens at the corner that nobody picked up, and spills. A net entered as one rigid body cannot show that, so the small number here is no comfort.",
	},
	{
		rig: "pipes-under-spreader", leg: "lowF", done: longer(0.4, "400 mm"), result: rig.Over,
		why: "The bar stays nearly level and the bundle does not: each is level only as far as its own two legs make it so. The lower slings stay plumb, and their pulls hardly change.",
	},
	{
		rig: "racks-shared-loops", leg: "L", done: held(15), result: rig.Over,
		why: "A loop shared by two racks has one count for both: the wrong one rolls both racks the same way.",
	},
	{
		rig: "tank-cg-above-points", leg: "FL", done: longer(1, "1 m"), result: rig.DoesNotStand, slack: "FL,RR",
		why: "With two legs slack the tank hangs from two points across from each other, and they are below its CG: it turns over about the line between them. A CG above the points is no fault as long as all legs pull, and leaves little room for one that does not. How it would come to lie against its legs is beyond the computation.",
	},
	{
		rig: "trailer-front-and-rear", leg: "RL", done: held(3), result: rig.Over, slack: "FR",
		why: "A digit lost on the way from the leaflet to the chain. The corner sinks, the leg across from it goes slack, and the other diagonal takes most of the weight. Differing from the leaflet, the rig no longer follows it.",
	},
}

// wrong returns the rig with the mistake made, and the mistake in words.
func (m *mistake) wrong(t *testing.T, planned *rig.Rig) (*rig.Rig, string) {
	t.Helper()
	s := planned.Spec()
	said := ""
	for i := range s.Legs {
		if s.Legs[i].ID != m.leg {
			continue
		}
		if m.done != nil {
			said = m.done(&s.Legs[i])
			continue
		}
		p := find(&s, s.Legs[i].To[0])
		said = fmt.Sprintf("leg %s biting %g m from the middle instead of %g m", m.leg, m.bites.x, p.At[0])
		p.At[0] = m.bites.x
	}
	if said == "" {
		t.Fatalf("%s has no leg %s", m.rig, m.leg)
	}
	r, problems := rig.New(s)
	if r == nil {
		t.Fatalf("%s with %s: %v", m.rig, said, problems)
	}
	return r, said
}

func find(s *rig.Spec, ref rig.Ref) *rig.Point {
	for b := range s.Bodies {
		for p := range s.Bodies[b].Points {
			if s.Bodies[b].ID == ref.ID && s.Bodies[b].Points[p].ID == ref.Point {
				return &s.Bodies[b].Points[p]
			}
		}
	}
	panic("demo: a rig leads a leg to no point")
}

func slack(a *rig.Answer) []string {
	var ids []string
	for _, l := range a.Legs {
		if l.Slack {
			ids = append(ids, l.ID)
		}
	}
	return ids
}

// TestMistakes_DoWhatTheirTextSays keeps the hand-written sentences honest
// where they name a result or slack legs.
func TestMistakes_DoWhatTheirTextSays(t *testing.T) {
	rigs := all(t)
	if len(mistakes) != len(rigs) {
		t.Fatalf("%d mistakes for %d rigs; each rig needs one", len(mistakes), len(rigs))
	}
	for i, m := range mistakes {
		if m.rig != rigs[i].Name {
			t.Errorf("mistake %d is for %s, want %s: keep them in the order of the rigs", i, m.rig, rigs[i].Name)
			continue
		}
		planned, problems := rigfile.Read(rigs[i].Data)
		if planned == nil {
			t.Fatalf("%s: %v", m.rig, problems)
		}
		wrong, said := m.wrong(t, planned)
		a := hung(t, m.rig, wrong)
		if a.Result != m.result {
			t.Errorf("%s with %s: %s, want %s", m.rig, said, a.Result.Words(), m.result.Words())
		}
		if got := strings.Join(slack(a), ","); got != m.slack {
			t.Errorf("%s with %s: slack legs %q, want %q", m.rig, said, got, m.slack)
		}
	}
}
