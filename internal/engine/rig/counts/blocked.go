package counts

import (
	"context"
	"fmt"
	"math"

	"hangtrue/internal/engine/rig"
)

// Blocked says why no counts keep the limits, and what would help.
type Blocked struct {
	Nearest Choice
	Limits  []string // the limits that the nearest choice still breaks, in words
	Changes []Opening
}

// Opening is a change of the rig that makes counts possible.
type Opening struct {
	What   string
	Choice Choice // in the changed rig
}

// Explain is for a search that found nothing: it hangs the nearest choice, says
// which limits it breaks, and tries changes that a rigger could make (longer
// ropes, points further out or higher, a longer chain), each until it is large
// enough, on a coarse grid of counts.
func Explain(ctx context.Context, r *rig.Rig, f *Finding, o Options) (*Blocked, error) {
	if f.Nearest == nil {
		return nil, fmt.Errorf("counts: the search found counts, so there is nothing to explain")
	}
	b := &Blocked{Nearest: *f.Nearest}
	hung, err := r.WithCounts(f.Counts(*f.Nearest))
	if err != nil {
		return nil, err
	}
	a, err := rig.Hang(hung)
	if err != nil {
		return nil, err
	}
	for _, x := range a.Findings {
		if x.Level == rig.Exceeded {
			b.Limits = append(b.Limits, x.About+": "+x.Text)
		}
	}
	for _, change := range changes(hung, f.Groups) {
		for _, size := range change.sizes {
			if ctx.Err() != nil {
				return b, ctx.Err()
			}
			spec := hung.Spec()
			change.apply(&spec, size)
			other, problems := rig.New(spec)
			if len(problems) > 0 {
				continue
			}
			c, ok, err := coarse(ctx, other, o)
			if err != nil {
				return nil, err
			}
			if ok {
				b.Changes = append(b.Changes, Opening{change.words(r, size), c})
				break
			}
		}
	}
	return b, nil
}

// change is one way to alter a rig, in growing sizes.
type change struct {
	sizes []float64
	apply func(s *rig.Spec, size float64)
	words func(r *rig.Rig, size float64) string
}

func changes(r *rig.Rig, groups []Group) []change {
	var out []change
	rope := func(who string, legs []int) {
		out = append(out, change{
			sizes: []float64{0.3, 0.6, 1, 2, 4},
			apply: func(s *rig.Spec, size float64) {
				for _, i := range legs {
					if s.Legs[i].Rope != nil {
						s.Legs[i].Rope.Length += size
					}
				}
			},
			words: func(r *rig.Rig, size float64) string {
				return fmt.Sprintf("%s with ropes %s longer", who, r.Show().Length(size))
			},
		})
	}
	var all []int
	for i := range r.Legs() {
		all = append(all, i)
	}
	rope("a sling", all)
	for _, g := range groups {
		if len(groups) > 1 {
			rope("legs of "+g.Name, g.Legs)
		}
	}
	out = append(out, change{
		sizes: []float64{10, 20, 40, 80}, // where the user sets a highest count these open nothing
		apply: func(s *rig.Spec, size float64) {
			for i := range s.Legs {
				if c := s.Legs[i].Chain; c != nil {
					c.Links += int(size)
				}
			}
		},
		words: func(_ *rig.Rig, size float64) string { return fmt.Sprintf("chains %.0f links longer", size) },
	})
	move := func(what string, f func(b *rig.Body, p *rig.Point, size float64)) {
		out = append(out, change{
			sizes: []float64{0.1, 0.2, 0.4, 0.8},
			apply: func(s *rig.Spec, size float64) {
				for i := range s.Bodies {
					for k := range s.Bodies[i].Points {
						f(&s.Bodies[i], &s.Bodies[i].Points[k], size)
					}
				}
			},
			words: func(r *rig.Rig, size float64) string {
				return fmt.Sprintf("points %s %s", r.Show().Length(size), what)
			},
		})
	}
	move("higher on the load", func(_ *rig.Body, p *rig.Point, size float64) { p.At[2] += size })
	for k, what := range []string{"further out fore and aft", "further out sideways"} {
		move(what, func(b *rig.Body, p *rig.Point, size float64) {
			p.At[k] += math.Copysign(size, p.At[k]-b.Centre()[k])
		})
	}
	return out
}

// coarse looks for counts that keep the limits on a grid of at most about 20
// counts for each of two groups, and by the full search for more groups.
func coarse(ctx context.Context, r *rig.Rig, o Options) (Choice, bool, error) {
	groups, err := Groups(r, o.Each)
	if err != nil {
		return Choice{}, false, err
	}
	if len(groups) > 2 {
		f, err := Find(ctx, r, Options{Each: o.Each, Low: o.Low, High: o.High, Workers: o.Workers, Most: 1})
		if err != nil || len(f.Best) == 0 {
			return Choice{}, false, err
		}
		return f.Best[0], true, nil
	}
	if o.narrow(r, groups) != nil {
		return Choice{}, false, nil // the changed rig's chains allow none of the counts wanted
	}
	t, err := newTable(r, groups, o.Workers)
	if err != nil {
		return Choice{}, false, nil // the changed rig does not settle as planned
	}
	var list [][]int
	ranges := make([][]int, len(groups))
	for k, g := range groups {
		for n := g.Low; n <= g.High; n += max(1, (g.High-g.Low)/20) {
			ranges[k] = append(ranges[k], n)
		}
	}
	for _, a := range ranges[0] {
		if len(groups) == 1 {
			list = append(list, []int{a})
			continue
		}
		for _, b := range ranges[1] {
			list = append(list, []int{a, b})
		}
	}
	points, _, err := t.all(ctx, list, nil)
	if err != nil {
		return Choice{}, false, err
	}
	best := -1
	for i := range points {
		if points[i].Within() && (best < 0 || points[i].Load() < points[best].Load()) {
			best = i
		}
	}
	if best < 0 {
		return Choice{}, false, nil
	}
	return Choice{Counts: list[best], Point: points[best], Different: different(list[best])}, true, nil
}
