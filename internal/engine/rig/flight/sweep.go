package flight

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// Span says which speeds are swept and what is looked for.
type Span struct {
	Fastest  float64 // m/s; the slowest is rest
	Steps    int     // from rest to the fastest
	Trail    float64 // rad; the trail whose speed is looked for, 0 for none
	Progress func(done, total int)
}

// What may come first at a speed.
const (
	FirstSlack    = "slack"    // a leg goes slack
	FirstOver     = "over"     // a limit of pull or angle is passed
	FirstOutside  = "attitude" // a band of pitch or roll is left
	FirstTrail    = "trail"    // the trail reaches the angle set
	FirstUnsettle = "settle"   // a body tips, or no steady position is found
)

// First is the lowest speed at which something is found, to 0.1 kt. It is
// looked for between neighbouring speeds of the sweep, so that something that
// comes and goes between two of them is missed.
type First struct {
	Kind  string
	Found bool
	Rest  bool    // it is so at rest already, and Speed is 0
	Speed float64 // m/s
	What  string  // which leg, limit or band; or why nothing was found
}

// fine is how closely the speed of a [First] is looked for, m/s.
const fine = 0.1 * quantity.Knot

// Sweep is a rig over a span of airspeeds.
type Sweep struct {
	Conditions Conditions
	Points     []*Point // slowest first, the first at rest
	Firsts     []First  // in the order of the kinds
	Notes      []string
}

// Sweep hangs the rig at each speed of the span, each going on from the one
// before, and looks for what comes first. Where ctx is done it returns what it
// has by then, without firsts, and the context's error.
func (s *Study) Sweep(ctx context.Context, span Span) (*Sweep, error) {
	if !(span.Fastest > 0) || math.IsInf(span.Fastest, 0) || span.Steps < 1 {
		return nil, fmt.Errorf("flight: sweep to %g m/s in %d steps: want a speed above zero and at least one step", span.Fastest, span.Steps)
	}
	out := &Sweep{Conditions: s.c, Notes: s.Notes()}
	from := s.rest
	for i := 0; i <= span.Steps; i++ {
		if err := ctx.Err(); err != nil {
			return out, err
		}
		p, err := s.at(span.Fastest*float64(i)/float64(span.Steps), from)
		if err != nil {
			return out, err
		}
		out.Points = append(out.Points, p)
		from = p.Answer
		if span.Progress != nil {
			span.Progress(i+1, span.Steps+1)
		}
	}
	for _, look := range s.looks(span) {
		f, err := s.first(ctx, out.Points, look)
		if err != nil {
			return out, err
		}
		out.Firsts = append(out.Firsts, f)
	}
	return out, nil
}

// look is something to look for.
type look struct {
	kind string
	hit  func(*Point) (what string, yes bool)
	none string // what is said where it is not found
}

func (s *Study) looks(span Span) []look {
	var slack []string
	for i := range s.rest.Legs {
		if s.rest.Legs[i].Slack {
			slack = append(slack, s.rest.Legs[i].ID)
		}
	}
	noSlack := "no leg goes slack"
	if len(slack) > 0 {
		noSlack = "no further leg goes slack; slack at rest: " + strings.Join(slack, ", ")
	}
	list := []look{
		{FirstSlack, func(p *Point) (string, bool) {
			var more []string
			for _, id := range p.Slack {
				if !slices.Contains(slack, id) {
					more = append(more, id)
				}
			}
			return strings.Join(more, ", "), len(more) > 0
		}, noSlack},
		{FirstOver, func(p *Point) (string, bool) { return strings.Join(p.Over, "; "), len(p.Over) > 0 }, "no limit entered is passed"},
		{FirstOutside, func(p *Point) (string, bool) { return strings.Join(p.Outside, "; "), len(p.Outside) > 0 }, "no band of attitude entered is left"},
	}
	if span.Trail > 0 {
		list = append(list, look{FirstTrail, func(p *Point) (string, bool) {
			return s.r.Show().Angle(span.Trail), p.Trail >= span.Trail
		}, "the trail stays under " + s.r.Show().Angle(span.Trail)})
	}
	return append(list, look{FirstUnsettle, func(p *Point) (string, bool) {
		a := p.Answer
		switch {
		case p.Result == rig.DoesNotStand:
			return p.Reason, true
		case !a.Converged || !a.Stable:
			return "no steady position found", true
		case !p.Agrees:
			return "attitude and drag do not come to agree", true
		}
		return "", false
	}, "it settles at every speed tried"})
}

// first finds the lowest speed of a look, between the last point without it
// and the first with it.
func (s *Study) first(ctx context.Context, points []*Point, l look) (First, error) {
	f := First{Kind: l.kind, What: l.none}
	i := slices.IndexFunc(points, func(p *Point) bool { _, yes := l.hit(p); return yes })
	if i < 0 {
		return f, nil
	}
	f.Found = true
	f.What, _ = l.hit(points[i])
	f.Speed = points[i].Speed
	if i == 0 {
		f.Rest = true
		return f, nil
	}
	low := points[i-1]
	for f.Speed-low.Speed > fine {
		if err := ctx.Err(); err != nil {
			return f, err
		}
		p, err := s.at((low.Speed+f.Speed)/2, low.Answer)
		if err != nil {
			return f, err
		}
		if what, yes := l.hit(p); yes {
			f.Speed, f.What = p.Speed, what
		} else {
			low = p
		}
	}
	return f, nil
}
