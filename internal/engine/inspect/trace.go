package inspect

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/rig"
)

// Found is how one leg is found to run by a person who traces it from its seat
// to its points.
type Found struct {
	Leg  string
	Seat int // 0: the pin has no numbered seats
	To   []rig.Ref
	Over []string // legs that it lies over on its way
}

// AsRigged is what is found when a rig is as it is entered.
func AsRigged(r *rig.Rig) []Found {
	var out []Found
	for _, l := range r.Legs() {
		f := Found{Leg: l.ID, To: l.To}
		if l.Seat != nil {
			f.Seat = *l.Seat
		}
		out = append(out, f)
	}
	return out
}

// Strand is one leg traced: where it should start and end, and where it does.
// Seats count from the load's left.
type Strand struct {
	Leg        string
	From       rig.Ref
	Seat       int // found; 0 where not numbered
	Planned    int
	To         []rig.Ref
	PlannedTo  []rig.Ref
	Ahead      float64 // how far ahead of the middle of its apex's feet its own is, as found, m
	Left       float64 // how far left of it, m
	Missing    bool    // it was not found at all
	WrongSeat  bool
	WrongPoint bool
}

// Knot says what two legs do to each other.
type Knot string

// What two legs may do to each other.
const (
	// Crossed legs swap sides between the pin and their points.
	Crossed Knot = "crossed"
	// CrossedAsPlanned is the same where the plan itself has it so.
	CrossedAsPlanned Knot = "crossed as planned"
	// WrappedOver legs keep their sides at both ends, yet one lies over the other.
	WrappedOver Knot = "wrapped over"
)

// Pair is two legs that cross or wrap.
type Pair struct {
	A, B string
	Knot Knot
}

// Traced is what tracing every leg of a rig shows.
type Traced struct {
	Strands []Strand
	Pairs   []Pair
	// Twisted are apexes whose whole fitting is turned half round: every leg
	// leads to its own point, and the seats have changed from left to right.
	Twisted []string
}

// sameWay is how far two legs may turn from one direction, as a sine, before
// one of them leads to the other's side: about one degree.
const sameWay = 0.02

// Trace holds what is found against the plan. Wrong seat, wrong point, crossed,
// wrapped over and twisted are told apart by where each leg starts and ends:
// two legs cross where their lines, seen from above, do. What lies over another
// without that is wrapped over it.
func Trace(plan *rig.Rig, found []Found) Traced {
	var t Traced
	legs := plan.Legs()
	by := map[string]Found{}
	for _, f := range found {
		by[f.Leg] = f
	}
	mid := map[rig.Ref][2]float64{}
	for i := range legs {
		l := &legs[i]
		if _, ok := mid[*l.From]; !ok {
			mid[*l.From] = middleOfFeet(plan, *l.From)
		}
		s := Strand{Leg: l.ID, From: *l.From, PlannedTo: l.To}
		if l.Seat != nil {
			s.Planned = *l.Seat
		}
		f, ok := by[l.ID]
		if !ok {
			s.Missing, s.Seat, s.To = true, s.Planned, l.To
		} else {
			s.Seat, s.To = f.Seat, f.To
			s.WrongSeat = s.Planned != 0 && s.Seat != 0 && s.Seat != s.Planned
			s.WrongPoint = !slices.Equal(s.To, s.PlannedTo)
		}
		s.Ahead, s.Left = foot(plan, s.To, mid[*l.From])
		t.Strands = append(t.Strands, s)
	}
	for _, a := range plan.Apexes() {
		if t.turnedRound(a.ID) {
			t.Twisted = append(t.Twisted, a.ID)
			for i := range t.Strands {
				if t.Strands[i].From.ID == a.ID && t.Strands[i].From.Point == "" {
					t.Strands[i].WrongSeat = false
				}
			}
		}
	}
	t.pairs(plan, by, mid)
	return t
}

// middleOfFeet returns where the middle of the feet of an apex's legs is, ahead
// and to the left: the apex hangs about above it.
func middleOfFeet(r *rig.Rig, from rig.Ref) [2]float64 {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, l := range r.Legs() {
		if *l.From != from {
			continue
		}
		at := footOf(r, &l)
		for k := range 2 {
			low[k], high[k] = math.Min(low[k], at[k]), math.Max(high[k], at[k])
		}
	}
	if low[0] > high[0] {
		return [2]float64{}
	}
	return [2]float64{(low[0] + high[0]) / 2, (low[1] + high[1]) / 2}
}

func foot(r *rig.Rig, to []rig.Ref, mid [2]float64) (ahead, left float64) {
	if len(to) == 0 {
		return 0, 0
	}
	at := footOf(r, &rig.Leg{To: to})
	return at[0] - mid[0], at[1] - mid[1]
}

// turnedRound reports whether the seats of an apex are the mirror image of the
// plan's, with every leg to its own points. It takes legs left and right.
func (t *Traced) turnedRound(apex string) bool {
	var seats []int
	for _, s := range t.Strands {
		if s.From.ID == apex && s.From.Point == "" {
			if s.Planned == 0 || s.Seat == 0 || s.Missing || s.WrongPoint {
				return false
			}
			seats = append(seats, s.Planned)
		}
	}
	if len(seats) < 2 {
		return false
	}
	low, high := slices.Min(seats), slices.Max(seats)
	sides := map[bool]bool{}
	for _, s := range t.Strands {
		if s.From.ID != apex || s.From.Point != "" {
			continue
		}
		if s.Seat != low+high-s.Planned {
			return false
		}
		if math.Abs(s.Left) > alike/2 {
			sides[s.Left > 0] = true
		}
	}
	// Two legs in each other's seats are just that, and cross: a turned fitting
	// is told by three or more.
	return low < high && len(sides) == 2 && len(seats) > 2
}

// pairs finds which legs of one apex cross or wrap.
func (t *Traced) pairs(plan *rig.Rig, by map[string]Found, middles map[rig.Ref][2]float64) {
	for i := range t.Strands {
		for k := i + 1; k < len(t.Strands); k++ {
			a, b := &t.Strands[i], &t.Strands[k]
			if a.From != b.From || a.Missing || b.Missing || slices.Contains(t.Twisted, a.From.ID) {
				continue
			}
			over := slices.Contains(by[a.Leg].Over, b.Leg) || slices.Contains(by[b.Leg].Over, a.Leg)
			now := crosses(a.Seat, b.Seat, [2]float64{a.Ahead, a.Left}, [2]float64{b.Ahead, b.Left})
			var wasA, wasB [2]float64
			mid := middles[a.From]
			wasA[0], wasA[1] = foot(plan, a.PlannedTo, mid)
			wasB[0], wasB[1] = foot(plan, b.PlannedTo, mid)
			then := crosses(a.Planned, b.Planned, wasA, wasB)
			switch {
			case now && then:
				t.Pairs = append(t.Pairs, Pair{a.Leg, b.Leg, CrossedAsPlanned})
			case now:
				t.Pairs = append(t.Pairs, Pair{a.Leg, b.Leg, Crossed})
			case over:
				t.Pairs = append(t.Pairs, Pair{a.Leg, b.Leg, WrappedOver})
			}
		}
	}
}

// crosses reports whether two legs cross as seen from above. They leave a pin
// that lies across the load, so close together that only directions count: of
// two legs that both lead forward, or both back, the one further left on the
// pin has to lead further left. One that leads forward and one that leads back
// do not meet. Legs straight to the side, or to one line across, go by how far
// to the left they lead.
func crosses(seatA, seatB int, a, b [2]float64) bool {
	if seatA == 0 || seatB == 0 || seatA == seatB {
		return false
	}
	if seatA > seatB {
		a, b = b, a // a starts further left
	}
	aside := math.Abs(a[0]) < alike || math.Abs(b[0]) < alike
	switch {
	case aside:
		return b[1]-a[1] > alike
	case (a[0] > 0) != (b[0] > 0):
		return false
	}
	// Forward, b leads further left than a where it is the turn to the left from
	// a to b; back, where it is the turn to the right.
	turn := a[0]*b[1] - a[1]*b[0]
	if a[0] < 0 {
		turn = -turn
	}
	size := math.Hypot(a[0], a[1]) * math.Hypot(b[0], b[1])
	return turn > sameWay*size
}

// Faulty reports whether anything is not as planned.
func (t *Traced) Faulty() bool { return t.Words() != "" }

// Words says what is not as planned; "" where everything is. A leg that was
// not found is said by whoever knows that it is gone.
func (t *Traced) Words() string {
	var out []string
	for _, id := range t.Twisted {
		out = append(out, fmt.Sprintf("apex %s is turned half round, all its legs twisted", id))
	}
	for _, s := range t.Strands {
		if s.WrongSeat {
			out = append(out, fmt.Sprintf("leg %s in seat %d instead of %d", s.Leg, s.Seat, s.Planned))
		}
		if s.WrongPoint && len(s.To) > 0 {
			out = append(out, fmt.Sprintf("leg %s to %s instead of %s", s.Leg, refs(s.To), refs(s.PlannedTo)))
		}
	}
	for _, p := range t.Pairs {
		if p.Knot != CrossedAsPlanned {
			out = append(out, fmt.Sprintf("legs %s and %s %s", p.A, p.B, p.Knot))
		}
	}
	return strings.Join(out, "; ")
}

// BySeat returns the strands of one apex in the order of their seats, from the
// load's left; those without a seat come by where their points are.
func (t *Traced) BySeat(apex string) []Strand {
	var out []Strand
	for _, s := range t.Strands {
		if s.From.ID == apex && s.From.Point == "" {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b Strand) int {
		return cmp.Or(cmp.Compare(a.Seat, b.Seat), cmp.Compare(rounded(b.Left), rounded(a.Left)))
	})
	return out
}
