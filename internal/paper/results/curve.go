package results

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/teach/stats"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/draw/look"
)

// Point is one point of a learning curve.
type Point struct {
	At    float64 // on the axis: days, or the number of the class
	Label string
	Found stats.Share
	Few   bool   // too few to compare
	Words string // the share as a person reads it
}

// Curve is one line of a learning curve.
type Curve struct {
	Name   string
	Points []Point
}

// Learning draws how large a share was found, point by point, with 95 %
// intervals as upright lines. Points with too few results are drawn hollow and
// joined to nothing. x says what the axis counts. Size in mm; it takes 120 by 70
// or more.
func Learning(title, x string, curves []Curve, invented bool, width, height float64) *draw.Picture {
	desc := title + "."
	for _, c := range curves {
		for _, p := range c.Points {
			desc += fmt.Sprintf(" %s, %s: %s.", c.Name, p.Label, p.Words)
		}
	}
	if invented {
		desc = "INVENTED. " + desc
	}
	p := draw.New(width, height, title, spelling.Short(desc, 4000))
	p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
	area := p.Frame().Inset(3)
	y := heading(&p.List, title, invented, area)
	low, high := math.Inf(1), math.Inf(-1)
	var plot chart.Plot
	for i, c := range curves {
		s := chart.Series{Name: c.Name, Kind: chart.Line, Stroke: look.Series(i)}
		for _, q := range c.Points {
			low, high = min(low, q.At), max(high, q.At)
			v := draw.Pt(q.At, 100*q.Found.Value())
			if q.Few {
				v.Y = math.NaN()
			}
			s.Points = append(s.Points, v)
		}
		plot.Series = append(plot.Series, s)
	}
	if low > high {
		p.TextBox(draw.Pt(area.X, area.Y+y+4), area.W, "No results yet.", look.Body)
		return p
	}
	// The whole share, so that a small change does not look like a large one.
	plot.Y = chart.Axis{Label: "found, of a hundred", Min: 0, Max: 100}
	plot.X = chart.Axis{Label: x, Min: low - .5, Max: high + .5, Ticks: ticks(curves)}
	view := plot.Draw(&p.List, draw.Rect{X: area.X, Y: area.Y + y, W: area.W, H: area.H - y})
	for i, c := range curves {
		stroke := look.Series(i).Solid()
		for _, q := range c.Points {
			if q.Found.Of == 0 {
				continue
			}
			at := view.Map(draw.Pt(q.At, 100*q.Found.Value()))
			at.X += 1.6 * float64(i) // so that intervals do not hide each other
			a, b := view.Map(draw.Pt(q.At, 100*q.Found.Low)), view.Map(draw.Pt(q.At, 100*q.Found.High))
			g := p.Group("", c.Name+", "+q.Label+": "+q.Words)
			edge := stroke.WithWidth(look.Light)
			if q.Few {
				edge = edge.WithDash(.8, .8)
			}
			g.Line(draw.Pt(at.X, a.Y), draw.Pt(at.X, b.Y), edge)
			fill := stroke.Paint
			if q.Few {
				fill = look.Paper
			}
			if i%2 == 0 {
				g.Circle(at, 1.2, stroke.WithWidth(look.Light), fill)
			} else {
				g.Rect(draw.Rect{X: at.X - 1.1, Y: at.Y - 1.1, W: 2.2, H: 2.2}, stroke.WithWidth(look.Light), fill)
			}
		}
	}
	return p
}

// mostTicks is how many places of a curve are named.
const mostTicks = 7

func ticks(curves []Curve) []chart.Tick {
	var all []chart.Tick
	seen := map[float64]bool{}
	for _, c := range curves {
		for _, p := range c.Points {
			if !seen[p.At] {
				seen[p.At] = true
				all = append(all, chart.Tick{At: p.At, Label: p.Label})
			}
		}
	}
	slices.SortFunc(all, func(a, b chart.Tick) int { return cmp.Compare(a.At, b.At) })
	every := (len(all) + mostTicks - 1) / mostTicks
	var out []chart.Tick
	for i, t := range all {
		if i%max(1, every) == 0 {
			out = append(out, t)
		}
	}
	return out
}
