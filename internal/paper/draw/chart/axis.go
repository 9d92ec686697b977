package chart

import (
	"math"
	"strconv"
	"strings"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// Axis is one axis of a plot. The zero value takes its range from the data.
type Axis struct {
	Label    string  // what is measured, with its unit
	Min, Max float64 // range; where Max is not greater than Min it is taken from the data, out to whole ticks
	Zero     bool    // a range from the data includes 0
	Ticks    []Tick  // instead of round numbers
}

// Tick is a mark on an axis.
type Tick struct {
	At    float64
	Label string
}

type span struct{ lo, hi float64 }

var empty = span{math.Inf(1), math.Inf(-1)}

func (s *span) take(v float64) { s.lo, s.hi = min(s.lo, v), max(s.hi, v) }

// size is the width of the span, 0 if nothing was taken.
func (s span) size() float64 { return max(0, s.hi-s.lo) }

// widen adds a share of the size on both sides, but not across zero.
func (s *span) widen(share float64) {
	d := share * s.size()
	lo, hi := s.lo-d, s.hi+d
	if s.lo >= 0 {
		lo = max(lo, 0)
	}
	if s.hi <= 0 {
		hi = min(hi, 0)
	}
	if d > 0 {
		s.lo, s.hi = lo, hi
	}
}

// scale is the range of an axis and its ticks, of which no more than most.
func (a Axis) scale(data span, most int) (span, []Tick) {
	r := span{a.Min, a.Max}
	fixed := a.Max > a.Min
	if !fixed {
		r = data
		if a.Zero {
			r.take(0)
		}
		if !(r.lo <= r.hi) {
			r = span{0, 1}
		}
		if r.lo == r.hi {
			d := max(math.Abs(r.lo)/10, 1e-9)
			r = span{r.lo - d, r.hi + d}
		}
	}
	if len(a.Ticks) > 0 {
		for _, t := range a.Ticks {
			if !fixed {
				r.take(t.At)
			}
		}
		return r, a.Ticks
	}
	step := Step125(r.hi-r.lo, most)
	first, last := math.Ceil(r.lo/step-1e-9), math.Floor(r.hi/step+1e-9)
	if !fixed {
		first, last = math.Floor(r.lo/step+1e-9), math.Ceil(r.hi/step-1e-9)
		r = span{first * step, last * step}
	}
	var ticks []Tick
	for k := first; k <= last && len(ticks) <= most+2; k++ {
		ticks = append(ticks, Tick{k * step, Figure(k*step, step)})
	}
	return r, ticks
}

// Step125 is the smallest of … 0.1, 0.2, 0.5, 1, 2, 5, 10 … that divides a
// range into no more than most parts. It is 1 for a range that is not positive.
func Step125(size float64, most int) float64 {
	if !(size > 0) || math.IsInf(size, 0) || most < 1 {
		return 1
	}
	least := size / float64(most)
	// A power of ten from its text is the nearest number to it; math.Pow may miss it.
	exp := int(math.Floor(math.Log10(least)))
	for ; ; exp++ {
		for _, m := range []int{1, 2, 5} {
			step, err := strconv.ParseFloat(strconv.Itoa(m)+"e"+strconv.Itoa(exp), 64)
			if err != nil {
				return least
			}
			if step >= least*(1-1e-9) {
				return step
			}
		}
	}
}

// Figure is v with as many decimals as ticks of that step need, with a true
// minus sign.
func Figure(v, step float64) string {
	decimals := 0
	if step > 0 && step < 1 {
		decimals = int(math.Ceil(-math.Log10(step) - 1e-9))
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "−", 1)
}

// Distances in mm between an axis and its words.
const (
	tickLength = 1.0
	tickGap    = 0.8
	yEvery     = 6  // at least so far apart are ticks of y
	xEvery     = 14 // and of x
)

// layout finds the area that the words around it leave.
func (p Plot) layout(frame draw.Rect, top float64) View {
	x, y := p.bounds()
	line := look.Small.LineHeight()
	if p.Y.Label != "" {
		top += look.Body.LineHeight()
	}
	top += line / 3 // the topmost figure reaches above the area
	bottom := frame.Y + frame.H - tickLength - tickGap - line
	if p.X.Label != "" {
		bottom -= look.Body.LineHeight()
	}
	h := max(1, bottom-top)
	yr, yt := p.Y.scale(y, atLeast2(h/yEvery))
	left := frame.X + widest(yt) + tickLength + tickGap
	w := max(1, frame.X+frame.W-left)
	xr, xt := p.X.scale(x, atLeast2(w/xEvery))
	if n := len(xt); n > 0 {
		// Half of the last figure reaches beyond the area.
		w = max(1, w-look.Small.Width(xt[n-1].Label)/2)
	}
	return View{Area: draw.Rect{X: left, Y: top, W: w, H: h}, x0: xr.lo, x1: xr.hi, y0: yr.lo, y1: yr.hi}
}

func atLeast2(v float64) int { return max(2, int(v)) }

func widest(ticks []Tick) float64 {
	w := 0.0
	for _, t := range ticks {
		w = max(w, look.Small.Width(t.Label))
	}
	return w
}

// axes draws grid, ticks, figures and labels.
func (p Plot) axes(l *draw.List, v View, frame draw.Rect, top float64) {
	x, y := p.bounds()
	_, xt := p.X.scale(x, atLeast2((frame.X+frame.W-v.Area.X)/xEvery))
	_, yt := p.Y.scale(y, atLeast2(v.Area.H/yEvery))
	a := v.Area
	style := look.Small.WithPaint(look.Ink)
	for _, t := range yt {
		at := v.Map(draw.Pt(v.x0, t.At))
		if !v.holds(draw.Pt(v.x0, t.At)) {
			continue
		}
		l.Line(at, draw.Pt(a.X+a.W, at.Y), look.GridLine)
		l.Line(at, at.Sub(draw.Pt(tickLength, 0)), look.Axis)
		l.Text(at.Sub(draw.Pt(tickLength+tickGap, 0)), t.Label, style.At(draw.End, draw.CapMiddle))
	}
	used := math.Inf(-1)
	for _, t := range xt {
		at := v.Map(draw.Pt(t.At, v.y0))
		if !v.holds(draw.Pt(t.At, v.y0)) {
			continue
		}
		l.Line(at, draw.Pt(at.X, a.Y), look.GridLine)
		l.Line(at, at.Add(draw.Pt(0, tickLength)), look.Axis)
		// A figure that would run into the one before is left out; its tick stays.
		if w := style.Width(t.Label) / 2; at.X-w > used {
			l.Text(at.Add(draw.Pt(0, tickLength+tickGap)), t.Label, style.At(draw.Middle, draw.CapTop))
			used = at.X + w + look.Unit
		}
	}
	l.Text(draw.Pt(frame.X, top), p.Y.Label, look.Body.At(draw.Start, draw.CapTop))
	l.Text(draw.Pt(a.X+a.W/2, frame.Y+frame.H-look.SizeBody*draw.Descent), p.X.Label, look.Body.At(draw.Middle, draw.Baseline))
}
