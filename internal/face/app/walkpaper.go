package app

import (
	"fmt"
	"maps"
	"slices"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/walk"
)

// WalkMap draws the walk of a sequence round its load.
func WalkMap(v *inspect.Survey, q *inspect.Sequence) *draw.Picture {
	return walk.Map(v, q, 210, 210)
}

// WalkCoverage draws what a sequence asks about, and lists what it does not.
func WalkCoverage(v *inspect.Survey, q *inspect.Sequence) *draw.Picture {
	return walk.Coverage(v, inspect.Cover(v, q), 297, 210)
}

// WalkSheet is an inspection sequence as a printed checklist, as PDF. A blind
// one leaves out the planned counts.
func WalkSheet(s *Solved, v *inspect.Survey, q *inspect.Sequence, stamp sheet.Stamp, blind bool) ([]byte, error) {
	stamp.Version = s.Version
	return paginated(walk.Sheet(v, q, stamp, walk.Options{Blind: blind}))
}

// TraceChanges says how legs were found to run, where that is not as planned.
type TraceChanges struct {
	Seats   map[string]int      // leg to the seat that it was found in
	Points  map[string][]string // leg to the points that it was found at, as body.point
	Over    map[string][]string // leg to the legs that it was found to lie over
	Missing []string            // legs that were not found
}

// Found is how all legs run: as planned, but for the changes. It returns an
// error that names the nearest leg or point for one that the rig does not have.
func Found(r *rig.Rig, c TraceChanges) ([]inspect.Found, error) {
	found := inspect.AsRigged(r)
	at := map[string]int{}
	var legs, points []string
	for i := range found {
		at[found[i].Leg] = i
		legs = append(legs, found[i].Leg)
	}
	for _, b := range r.Bodies() {
		for _, p := range b.Points {
			points = append(points, b.ID+"."+p.ID)
		}
	}
	leg := func(id string) (*inspect.Found, error) {
		i, ok := at[id]
		if !ok {
			return nil, fmt.Errorf("there is no leg %q%s", id, nearest(id, legs))
		}
		return &found[i], nil
	}
	for _, id := range slices.Sorted(maps.Keys(c.Seats)) {
		seat := c.Seats[id]
		f, err := leg(id)
		if err != nil {
			return nil, err
		}
		if l, _ := r.Leg(id); l.From.Point != "" {
			return nil, fmt.Errorf("leg %q hangs from %s, which has no seats", id, l.From)
		}
		if seat < 1 || seat > mostSeats {
			return nil, fmt.Errorf("leg %q in seat %d: seats count from 1 at the load's left, to %d at most", id, seat, mostSeats)
		}
		f.Seat = seat
	}
	for _, id := range slices.Sorted(maps.Keys(c.Points)) {
		f, err := leg(id)
		if err != nil {
			return nil, err
		}
		f.To = nil
		for _, name := range c.Points[id] {
			ref, ok := pointOf(r, name)
			if !ok {
				return nil, fmt.Errorf("leg %q at %q: the rig has no such point%s", id, name, nearest(name, points))
			}
			f.To = append(f.To, ref)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(c.Over)) {
		over := c.Over[id]
		f, err := leg(id)
		if err != nil {
			return nil, err
		}
		for _, other := range over {
			if _, err := leg(other); err != nil {
				return nil, err
			}
			if other == id {
				return nil, fmt.Errorf("leg %q cannot lie over itself; name the leg beneath", id)
			}
		}
		f.Over = over
	}
	gone := map[string]bool{}
	for _, id := range c.Missing {
		if _, err := leg(id); err != nil {
			return nil, err
		}
		gone[id] = true
	}
	var out []inspect.Found
	for _, f := range found {
		if !gone[f.Leg] {
			out = append(out, f)
		}
	}
	return out, nil
}

// mostSeats is the largest number of a seat that is taken: far more than a pin
// holds.
const mostSeats = 40

func nearest(word string, known []string) string {
	if near := spelling.Nearest(word, known); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	return ""
}

func pointOf(r *rig.Rig, name string) (rig.Ref, bool) {
	for _, b := range r.Bodies() {
		for _, p := range b.Points {
			if ref := (rig.Ref{ID: b.ID, Point: p.ID}); ref.String() == name {
				return ref, true
			}
		}
	}
	return rig.Ref{}, false
}

// TraceDocument is who hangs where, as data.
type TraceDocument struct {
	Format   string       `json:"format"`
	Rig      string       `json:"rig_sha256"`
	Invented bool         `json:"invented"`
	Status   string       `json:"status"`
	Caution  string       `json:"caution"`
	Planned  bool         `json:"as_planned"` // every leg found, and nothing said against it
	Words    string       `json:"words"`      // what is not as planned; "" where everything is
	Legs     []TracedLeg  `json:"legs"`
	Pairs    []TracedPair `json:"pairs"`
	Twisted  []string     `json:"twisted"` // apexes whose fitting is turned half round
	Unseated []string     `json:"no_seat"` // legs of one apex of which it cannot be told whether they cross, since no seat is entered
}

// TracedLeg is one leg, from the load's left on each pin.
type TracedLeg struct {
	ID          string   `json:"id"`
	From        string   `json:"from"`
	Seat        *int     `json:"seat"` // null where no seat is entered
	PlannedSeat *int     `json:"planned_seat"`
	To          []string `json:"to"`
	PlannedTo   []string `json:"planned_to"`
	Found       bool     `json:"found"`
	WrongSeat   bool     `json:"wrong_seat"`
	WrongPoint  bool     `json:"wrong_point"`
}

// TracedPair is two legs and what they do to each other.
type TracedPair struct {
	Legs [2]string `json:"legs"`
	Knot string    `json:"knot"`
}

// Traced is who hangs where on a rig, as found by whoever traced its legs.
func Traced(s *Solved, found []inspect.Found) (inspect.Traced, TraceDocument) {
	t := inspect.Trace(s.Rig, found)
	d := TraceDocument{
		Format: "hangtrue.trace/1", Rig: s.Version, Invented: s.Rig.Invented(), Status: s.Rig.Status().String(), Caution: rig.Caution,
		Planned: !t.Faulty(), Words: t.Words(), Legs: []TracedLeg{}, Pairs: []TracedPair{}, Twisted: []string{}, Unseated: []string{},
	}
	for _, x := range ordered(s.Rig, &t) {
		leg := TracedLeg{
			ID: x.Leg, From: x.From.String(), Seat: seat(x.Seat), PlannedSeat: seat(x.Planned), To: named(x.To), PlannedTo: named(x.PlannedTo),
			Found: !x.Missing, WrongSeat: x.WrongSeat, WrongPoint: x.WrongPoint,
		}
		if x.Missing {
			leg.Seat, leg.To = nil, []string{}
			d.Planned = false
		}
		d.Legs = append(d.Legs, leg)
	}
	for _, x := range t.Pairs {
		d.Pairs = append(d.Pairs, TracedPair{[2]string{x.A, x.B}, string(x.Knot)})
	}
	d.Twisted = append(d.Twisted, t.Twisted...)
	d.Unseated = append(d.Unseated, walk.Unseated(s.Rig, t)...)
	return t, d
}

// Exit returns the exit status that a trace stands for.
func (d *TraceDocument) Exit() int {
	switch {
	case !d.Planned:
		return ExitOver
	case len(d.Unseated) > 0:
		return ExitCannotTell
	}
	return ExitWithin
}

// TracePicture draws who hangs where.
func TracePicture(r *rig.Rig, t inspect.Traced) *draw.Picture {
	return walk.Trace(r, t, 190, 190)
}

// ordered lists the legs pin by pin in the order of their seats, and then those
// that hang from a body.
func ordered(r *rig.Rig, t *inspect.Traced) []inspect.Strand {
	var out []inspect.Strand
	for _, a := range r.Apexes() {
		out = append(out, t.BySeat(a.ID)...)
	}
	for _, s := range t.Strands {
		if s.From.Point != "" {
			out = append(out, s)
		}
	}
	return out
}

func seat(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

func named(list []rig.Ref) []string {
	out := []string{}
	for _, x := range list {
		out = append(out, x.String())
	}
	return out
}
