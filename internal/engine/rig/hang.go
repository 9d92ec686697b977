package rig

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/statics"
)

// tipped is the tilt from its ground attitude beyond which a body does not
// stand.
const tipped = 60 * math.Pi / 180

// Tips reports whether a body that leans so far from its ground attitude, rad,
// counts as tipped over.
func Tips(tilt float64) bool { return tilt > tipped }

// OpenCounts is returned by [Hang] for a rig with counts still to be found.
type OpenCounts struct{ Legs []string }

func (e *OpenCounts) Error() string {
	return "rig: counts still to be found: " + strings.Join(e.Legs, ", ")
}

// Hang finds how the rig hangs and judges that against its limits. It fails
// only with [*OpenCounts]; whatever the computation cannot settle is said in
// the answer.
func Hang(r *Rig) (*Answer, error) { return HangWith(r, Forces{}) }

// read turns a solution into the trade's words.
func (c *compiled) read(r *Rig, sol *statics.Solution) *Answer {
	a := &Answer{
		Rig: r, Converged: sol.Converged, Stable: sol.Stable, Residual: sol.Residual,
		Lowest: sol.LowestEigenvalue, Steps: sol.Steps,
	}
	for i, ap := range r.spec.Apexes {
		x := ApexAnswer{ID: ap.ID, Hook: ap.At, Position: ap.At, Force: sol.Pull[i]}
		if n := c.apexNode[i]; n >= 0 {
			x.Position = sol.Nodes[n]
			x.Pendant = sol.Lines[c.pendant[i]].Tension
		}
		a.Apexes = append(a.Apexes, x)
	}
	for i := range r.spec.Bodies {
		p := sol.Bodies[i]
		x := BodyAnswer{ID: r.spec.Bodies[i].ID, Origin: p.Origin, Turn: p.Turn, CG: sol.CG[i], Joined: true}
		x.Pitch, x.Roll, x.Tilt = Attitude(p.Turn)
		a.Bodies = append(a.Bodies, x)
	}
	for _, i := range sol.Unjoined {
		a.Bodies[i].Joined = false
	}
	for i := range r.spec.Legs {
		a.Legs = append(a.Legs, c.readLeg(r, i, sol))
		if n := c.legs[i].node; n >= 0 {
			a.Nodes = append(a.Nodes, NodeAnswer{c.nodeIDs[n], sol.Nodes[n]})
		}
	}
	return a
}

// Attitude returns the pitch, roll and tilt of a body turned by q, rad.
func Attitude(q statics.Quat) (pitch, roll, tilt float64) {
	m := q.Matrix()
	pitch = math.Asin(math.Max(-1, math.Min(1, m[2][0])))
	roll = math.Atan2(m[2][1], m[2][2])
	tilt = math.Acos(math.Max(-1, math.Min(1, m[2][2])))
	if m[2][2] > 0.9 {
		// acos loses digits near 1
		tilt = math.Asin(math.Min(1, math.Hypot(m[2][0], m[2][1])))
	}
	return pitch, roll, tilt
}

func (c *compiled) readLeg(r *Rig, i int, sol *statics.Solution) LegAnswer {
	l := &r.spec.Legs[i]
	x := LegAnswer{ID: l.ID, Use: math.NaN(), Slack: true}
	in := c.legs[i]
	if in.rope < 0 {
		return x
	}
	rope := sol.Lines[in.rope]
	x.Tension, x.Length, x.Slack = rope.Tension, rope.Length, rope.Slack
	x.Unstretched = c.model.Lines[in.rope].Length
	x.From, x.To = rope.From, rope.To
	x.Angle = fromVertical(sub(rope.From, rope.To))
	for k, run := range in.runs {
		if in.noRun {
			break
		}
		x.Runs = append(x.Runs, sol.Lines[run].Tension)
		if k == 0 {
			x.Path = append(x.Path, sol.Lines[run].From)
		}
		x.Path = append(x.Path, sol.Lines[run].To)
	}
	if allowed, ok := l.Allowed(); ok {
		x.Allowed = allowed
		x.Use = x.Tension / allowed
	}
	x.Worst = x.Tension
	return x
}

// AngleBetween returns the angle between two directions, rad.
func AngleBetween(a, b Vec) float64 {
	return math.Atan2(Norm(statics.Cross(a, b)), statics.Dot(a, b))
}

// fromVertical returns the angle of a vector from straight up, rad.
func fromVertical(v Vec) float64 { return math.Atan2(math.Hypot(v[0], v[1]), v[2]) }

// Tolerance returns how much longer or shorter than entered a leg is taken to
// be where statics leaves the tensions open, m, and where that comes from:
// as entered, or half a link of the leg's chain, or of the longest link in the
// rig; half of a 28 mm link where no leg has a chain.
func (r *Rig) Tolerance(leg string) (float64, string) {
	if t := r.spec.LegTolerance; t != nil {
		return *t, "as entered"
	}
	l, _ := r.Leg(leg)
	if l.Chain != nil {
		return l.Chain.Pitch / 2, "half a link: common practice, no source"
	}
	longest := 0.0
	for _, o := range r.spec.Legs {
		if o.Chain != nil {
			longest = math.Max(longest, o.Chain.Pitch)
		}
	}
	if longest > 0 {
		return longest / 2, "half a link of the rig's longest pitch: common practice, no source"
	}
	return 0.014, "half of a 28 mm link, no leg having a chain: common practice, no source"
}

// words joins a list as a person writes it.
func words(list []string) string {
	switch len(list) {
	case 0:
		return ""
	case 1:
		return list[0]
	}
	return fmt.Sprintf("%s and %s", strings.Join(list[:len(list)-1], ", "), list[len(list)-1])
}
