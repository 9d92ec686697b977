package lift

import (
	"fmt"
	"math"
	"slices"
	"time"

	"hangtrue/internal/engine/quantity"
)

// Scale is what one axle or scale shows while the load stands level.
type Scale struct {
	ID    string
	At    Vec // where it bears, in the load's frame; z is the height of the pivot, for the tilted reading
	Shows float64
	Band  float64 // kg either way; 0: not entered
}

// Tilted is a second reading with some supports raised.
type Tilted struct {
	Raised   []string // ids of the supports that are raised and read
	Shows    float64  // kg, all of them together
	Band     float64  // kg either way; 0: not entered
	Tilt     float64  // rad, by which the line between the supports leans
	TiltBand float64  // rad either way; 0: not entered
}

// Added is something that came on since the weighing, or was taken off
// (negative).
type Added struct {
	What   string
	Weight Weight // its mass may be negative
	At     *Vec
}

// Weighing is a load on axles or scales, with what was added since.
type Weighing struct {
	Title    string
	Invented bool
	Show     quantity.System
	By       string
	On       time.Time
	Scales   []Scale
	Tilted   *Tilted
	Height   *float64 // m, of the CG, where it is known from elsewhere and not from a tilted reading
	Since    []Added
}

// WeighedLoad is what a weighing comes to.
type WeighedLoad struct {
	Weighing *Weighing
	Shown    Weight // what the scales showed
	Weight   Weight // with all that was added since
	CG       Vec    // in the load's frame, m; z is NaN where the height is not known
	Band     Vec    // m either way; 0 where no tolerance is entered, NaN where the place is not known
	ByTilt   bool   // the height comes from the tilted reading
	Tolerant bool   // every scale's tolerance is entered
	Across   bool   // all scales stand on one line, so that the CG across it is the line's and not measured
}

// Weigh works out mass and CG. It returns every problem it finds. Tolerances
// are carried through by how much each reading moves the result, added up: the
// errors may all lie on one side.
func Weigh(w *Weighing) (*WeighedLoad, []Problem) {
	if problems := w.check(); len(problems) > 0 {
		return nil, problems
	}
	in, bands := w.inputs()
	mass, cg, err := w.result(in)
	if err != nil {
		p := asProblem(err)
		if p.Path == "tilt" {
			p.Path = "tilted.by"
		}
		return nil, []Problem{p}
	}
	out := &WeighedLoad{Weighing: w, CG: cg, ByTilt: w.Tilted != nil, Tolerant: true, Across: w.oneLine()}
	massBand := 0.0
	for i, b := range bands {
		if b == 0 {
			continue
		}
		high, low := slices.Clone(in), slices.Clone(in)
		high[i] += b
		low[i] -= b
		m1, c1, err1 := w.result(high)
		m2, c2, err2 := w.result(low)
		if err1 != nil || err2 != nil {
			return nil, []Problem{{"", "with its tolerances the weighing gives no CG", "smaller tolerances, or more tilt"}}
		}
		massBand += math.Abs(m1-m2) / 2
		for k := range out.Band {
			out.Band[k] += math.Abs(c1[k]-c2[k]) / 2
		}
	}
	for _, s := range w.Scales {
		out.Shown.Mass += s.Shows
		out.Shown.Band += s.Band
		out.Tolerant = out.Tolerant && s.Band > 0
	}
	out.Shown.Known, out.Shown.By, out.Shown.On = Weighed, w.By, w.On
	out.Weight = Weight{Mass: mass, Band: massBand, Known: Weighed, By: w.By, On: w.On}
	for _, a := range w.Since {
		if a.Weight.Known == Estimated {
			// Whoever weighed it did not estimate what came on since.
			out.Weight.Known, out.Weight.By, out.Weight.On = Estimated, "", time.Time{}
		}
	}
	return out, nil
}

// asProblem is an error of this package as the problem that it is.
func asProblem(err error) Problem {
	if p, ok := err.(Problem); ok {
		return p
	}
	return Problem{Text: err.Error()}
}

// inputs lists every number that has a tolerance: the scales, the tilted
// reading and its tilt, and what was added.
func (w *Weighing) inputs() (in, bands []float64) {
	for _, s := range w.Scales {
		in, bands = append(in, s.Shows), append(bands, s.Band)
	}
	if t := w.Tilted; t != nil {
		in, bands = append(in, t.Shows, t.Tilt), append(bands, t.Band, t.TiltBand)
	}
	for _, a := range w.Since {
		in, bands = append(in, a.Weight.Mass), append(bands, a.Weight.Band)
	}
	return in, bands
}

// result computes mass and CG from numbers in the order of inputs.
func (w *Weighing) result(in []float64) (float64, Vec, error) {
	var list []Reading
	for i, s := range w.Scales {
		list = append(list, Reading{s.At, in[i]})
	}
	in = in[len(w.Scales):]
	mass, cg, err := FromReadings(list)
	if err != nil {
		return 0, cg, err
	}
	cg[2] = math.NaN()
	if w.Height != nil {
		cg[2] = *w.Height
	}
	if t := w.Tilted; t != nil {
		raised, rest, level := w.supports(list)
		z, err := CGHeight(mass, math.Abs(raised[0]-rest[0]), level, in[0], in[1])
		if err != nil {
			return 0, cg, err
		}
		cg[2] = z + raised[2] // above the pivots, which stand at one height
		in = in[2:]
	}
	var added []Item
	for i, a := range w.Since {
		added = append(added, Item{a.What, in[i], a.At})
	}
	return Since(mass, cg, added)
}

// supports returns where the raised supports bear, where the others do, and
// what the raised ones show level.
func (w *Weighing) supports(list []Reading) (raised, rest Vec, level float64) {
	for i, s := range w.Scales {
		if slices.Contains(w.Tilted.Raised, s.ID) {
			raised, level = s.At, level+list[i].Mass
		} else {
			rest = s.At
		}
	}
	return raised, rest, level
}

// oneLine reports whether every scale stands at the same y: axles.
func (w *Weighing) oneLine() bool {
	for _, s := range w.Scales {
		if s.At[1] != w.Scales[0].At[1] {
			return false
		}
	}
	return true
}

func (w *Weighing) check() []Problem {
	var out []Problem
	add := func(path, hint, format string, args ...any) {
		out = append(out, Problem{path, fmt.Sprintf(format, args...), hint})
	}
	ids := map[string]bool{}
	for i, s := range w.Scales {
		at := fmt.Sprintf("readings[%d]", i)
		if ids[s.ID] {
			add(at+".id", "give each reading an id of its own", "there are two readings %q", s.ID)
		}
		ids[s.ID] = true
		if s.Shows < 0 {
			add(at+".shows", "mind the tare", "a scale cannot show less than nothing")
		}
		if s.Band < 0 || s.Band >= s.Shows && s.Shows > 0 {
			add(at+".give-or-take", "", "the tolerance must be less than what the scale shows")
		}
	}
	if len(w.Scales) < 2 {
		add("readings", "two axles, or three scales or more", "one reading says nothing about the CG")
	}
	if t := w.Tilted; t != nil {
		w.checkTilted(ids, add)
		if w.Height != nil {
			add("height", "leave out one of the two", "the height is entered, and a tilted reading too")
		}
	}
	for i, a := range w.Since {
		at := fmt.Sprintf("since[%d]", i)
		if a.At == nil {
			add(at+".at", "its place in the load's frame", "where %s lies is not entered", a.What)
		}
		if a.Weight.Band < 0 || a.Weight.Band >= math.Abs(a.Weight.Mass) && a.Weight.Mass != 0 {
			add(at+".give-or-take", "", "the tolerance must be less than the weight and not negative")
		}
		if a.Weight.Known == Estimated && a.Weight.Band == 0 {
			add(at+".give-or-take", "add give-or-take:, for example 20 kg", "an estimate needs its tolerance")
		}
	}
	return sorted(out)
}

func (w *Weighing) checkTilted(ids map[string]bool, add func(path, hint, format string, args ...any)) {
	t := w.Tilted
	for i, id := range t.Raised {
		if !ids[id] {
			add(fmt.Sprintf("tilted.raised[%d]", i), "the id of a reading", "there is no reading %q", id)
			return
		}
	}
	var ends [2][]Scale // raised, and the others
	level := 0.0
	for _, s := range w.Scales {
		if slices.Contains(t.Raised, s.ID) {
			ends[0] = append(ends[0], s)
			level += s.Shows
		} else {
			ends[1] = append(ends[1], s)
		}
	}
	if len(ends[0]) == 0 || len(ends[1]) == 0 {
		add("tilted.raised", "one end is raised, front or rear, and the other stays", "all supports are raised, or none")
		return
	}
	for _, end := range ends {
		for _, s := range end {
			if math.Abs(s.At[0]-end[0].At[0]) > 1e-6 {
				add("tilted", "raise the front or the rear: all supports of one end at one x", "the supports of one end do not stand on one line across the load")
				return
			}
			if math.Abs(s.At[2]-w.Scales[0].At[2]) > 1e-6 {
				add("tilted", "z of each reading is the height of its pivot, such as the wheel's axle; all must be the same", "the supports do not stand at one height")
				return
			}
		}
	}
	if ends[0][0].At[0] == ends[1][0].At[0] {
		add("tilted", "raise the front or the rear", "the raised supports and the others stand at the same x")
	}
}
