package inspect

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// Effect is what a deficiency would do: computed where it has a mechanical
// meaning, otherwise the catalogue's hazard.
type Effect struct {
	*Deficiency
	Hazard string
	Ends   []part.End // the catalogue's, and what the computation adds; gravest first

	// Answer is the rig hung with the deficiency; nil without a mechanical
	// meaning. Effects of one change share it.
	Answer *rig.Answer
	// Of Answer: the body that moves most, and how it hangs, rad.
	Body              string
	Pitch, Roll, Tilt float64
	Turned            float64  // rad; how far that body is turned from how it hangs as planned
	Use               float64  // the highest worst-case share of a leg's rating
	UseLeg            string   // "" where no leg has a rating
	Slack             []string // legs that carry nothing and did as planned
	Traced            Traced   // what a person who traces the legs finds
	Text              string   // all of this in a sentence
}

// Stands reports whether the rig still stands with the deficiency, as far as
// that was computed.
func (e *Effect) Stands() bool { return e.Answer == nil || e.Answer.Result != rig.DoesNotStand }

// Effects hangs the rig once as planned and once for every change that its
// deficiencies mean, and returns one table: ordered by the gravest thing each
// may end in, then by the numbers, what does not stand first and a higher use
// before a lower. It fails like [rig.Hang].
func (v *Survey) Effects() ([]Effect, *rig.Answer, error) {
	return v.EffectsWithin(context.Background())
}

// EffectsWithin is [Survey.Effects] that gives up once the context ends, with its
// error.
func (v *Survey) EffectsWithin(ctx context.Context) ([]Effect, *rig.Answer, error) {
	planned, err := rig.HangWithin(ctx, v.Rig)
	if err != nil {
		return nil, nil, err
	}
	hung := map[string]*rig.Answer{}
	out := make([]Effect, 0, len(v.Deficiencies))
	for i := range v.Deficiencies {
		d := &v.Deficiencies[i]
		e := Effect{Deficiency: d, Hazard: d.State.Hazard, Ends: d.State.Ends}
		if d.Change != "" {
			a := hung[d.Change]
			if a == nil {
				if a, err = rig.HangWithin(ctx, d.changed); err != nil {
					return nil, nil, fmt.Errorf("inspect: %s: %w", d.ID(), err)
				}
				hung[d.Change] = a
			}
			e.compare(planned, a)
		}
		e.Text = e.sentence(planned)
		out = append(out, e)
	}
	slices.SortStableFunc(out, func(a, b Effect) int {
		return cmp.Or(
			cmp.Compare(part.Gravity(a.Ends), part.Gravity(b.Ends)),
			cmp.Compare(a.weight(), b.weight()),
			cmp.Compare(rounded(b.Use), rounded(a.Use)),
			cmp.Compare(rounded(b.Turned), rounded(a.Turned)),
		)
	})
	return out, planned, nil
}

// weight orders effects of one gravity: what does not stand, what is over a
// limit, what was computed otherwise, what was not computed.
func (e *Effect) weight() int {
	switch {
	case e.Answer == nil:
		return 3
	case !e.Stands():
		return 0
	case e.Answer.Result == rig.Over:
		return 1
	}
	return 2
}

// rounded takes off the digits in which machines differ, so that the order of
// the table is the same on all of them.
func rounded(x float64) float64 { return math.Round(x*1e4) / 1e4 }

// compare fills in what the changed rig does beside the planned one.
func (e *Effect) compare(planned, a *rig.Answer) {
	e.Answer = a
	e.Use, e.UseLeg, _ = a.HighestUse()
	joined, fallen := 0, 0
	for i := range a.Bodies {
		b := &a.Bodies[i]
		if !b.Joined {
			fallen++
			continue
		}
		joined++
		if turned := between(planned.Bodies[i].Turn, b.Turn); e.Body == "" || turned > e.Turned+1e-9 {
			e.Body, e.Turned = b.ID, turned
			e.Pitch, e.Roll, e.Tilt = b.Pitch, b.Roll, b.Tilt
		}
	}
	for i := range a.Legs {
		if !a.Legs[i].Slack {
			continue
		}
		for k := range planned.Legs {
			if planned.Legs[k].ID == a.Legs[i].ID && !planned.Legs[k].Slack {
				e.Slack = append(e.Slack, a.Legs[i].ID)
			}
		}
	}
	e.Traced = Trace(planned.Rig, AsRigged(a.Rig))
	var more []part.End
	switch {
	case joined == 0:
		more = append(more, part.LoadLost)
	case fallen > 0:
		more = append(more, part.BodyLost)
	case a.Result == rig.DoesNotStand:
		more = append(more, part.BodyLost, part.Attitude)
	}
	if gained(planned, a, "limit-passed") {
		more = append(more, part.LegLost)
	}
	if gained(planned, a, "pitch-outside") || gained(planned, a, "roll-outside") {
		more = append(more, part.Attitude)
	}
	var ends []part.End
	for _, x := range part.Ends {
		if slices.Contains(e.Ends, x) || slices.Contains(more, x) {
			ends = append(ends, x)
		}
	}
	e.Ends = ends
}

// gained reports whether an answer has a finding of this sort about something
// that the planned one had none about.
func gained(planned, a *rig.Answer, code string) bool {
	about := map[string]bool{}
	for _, f := range planned.Findings {
		if f.Code == code {
			about[f.About] = true
		}
	}
	return slices.ContainsFunc(a.Findings, func(f rig.Finding) bool { return f.Code == code && !about[f.About] })
}

// between returns the angle between the verticals of two attitudes in the
// body's frame, rad. The heading is left out of account: a load under one hook
// may turn as it likes.
func between(a, b statics.Quat) float64 {
	ma, mb := a.Matrix(), b.Matrix()
	return math.Atan2(statics.Norm(statics.Cross(ma[2], mb[2])), statics.Dot(ma[2], mb[2]))
}

func (e *Effect) sentence(planned *rig.Answer) string {
	if e.Answer == nil {
		return e.Hazard
	}
	show := planned.Rig.Show()
	var s string
	switch joined := e.Body != ""; {
	case !joined:
		return "does not stand: nothing hangs on the hook any more"
	case !e.Stands():
		s = "does not stand"
		for i := range e.Answer.Bodies {
			if !e.Answer.Bodies[i].Joined {
				s += ": body " + e.Answer.Bodies[i].ID + " falls"
				break
			}
		}
		if e.Tilt > math.Pi/3 {
			s += fmt.Sprintf(": body %s tips to %s from upright", e.Body, show.Angle(e.Tilt))
		}
	default:
		s = fmt.Sprintf("body %s hangs at pitch %s, roll %s", e.Body, show.Angle(e.Pitch), show.Angle(e.Roll))
		if rounded(e.Turned) == 0 {
			s = "hangs as planned"
		}
	}
	if e.UseLeg != "" {
		was, _, _ := planned.HighestUse()
		s += fmt.Sprintf("; highest use %s on leg %s (as planned %s)", show.Percent(e.Use), e.UseLeg, show.Percent(was))
	}
	if len(e.Slack) > 0 {
		s += "; slack: "
		for i, id := range e.Slack {
			if i > 0 {
				s += ", "
			}
			s += id
		}
	}
	if t := e.Traced.Words(); t != "" {
		s += "; " + t
	}
	return s
}
