package flight

import (
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/statics"
)

// SeaLevel is the air density of the standard atmosphere at sea level, kg/m³
// (ICAO Doc 7488).
const SeaLevel = 1.225

// Conditions are what a study is made under.
type Conditions struct {
	Density    float64 // of the air, kg/m³; 0: [SeaLevel]
	From       float64 // where the air comes from, rad from ahead towards the left: 0 in forward flight
	LoadFactor float64 // apparent weight over weight; 0: 1. At more than 1 beside a working rating, what the rule-maker put into the rating for flight is counted twice
}

// wind is the direction in which the air moves, in the hook frame.
func (c Conditions) wind() rig.Vec {
	sin, cos := math.Sincos(c.From)
	return rig.Vec{-cos, -sin, 0}
}

// holding is how far behind the line on which it would turn freely the drag of
// a load under a single hook is made to act, times drag over weight, m: enough
// for a heading to settle in, too little to show in how the load swings. A rig
// of several joints may need more and then gets it. Our choice.
const holding = 1e-2

// drags is the drag of all bodies in one position.
type drags struct {
	loads   []rig.Load
	force   []float64 // of each body, N
	area    []float64 // of each body, m²
	total   float64   // N
	turning float64   // moment about the vertical through the single hook, N·m, positive from x towards y
	ahead   float64   // how far the drag acts ahead of the line from the single apex through the common CG, m
}

// dragAt works out the drag of every joined body in the position of an answer,
// as dynamic pressure q makes it. Under a single hook the load is first turned
// back to its heading on the ground; then the forces are moved together
// sideways until they turn the load no more, and along their own direction
// until they act behind the line from the apex through the common CG, by hold
// times weight over drag, so that the load stays headed as it is. The first
// stands for whatever holds the heading, the second changes no balance.
//
// Why that line: rigid under its apex, with its CG c aft of the apex and h
// beneath it and the drag D acting p aft and z beneath, the load resists turning
// by D·(p − c·z/h) for small angles; this is the determinant of its stiffness
// against roll and turn together, over that against roll.
func (s *Study) dragAt(a *rig.Answer, q, hold float64) drags {
	bodies := s.r.Bodies()
	d := drags{force: make([]float64, len(bodies)), area: make([]float64, len(bodies))}
	wind := s.c.wind()
	side := statics.Cross(rig.Vec{0, 0, 1}, wind)
	held, pivot := s.headed(a)
	var at rig.Vec // where the drag acts
	mass := 0.0
	middle := make([]rig.Vec, len(bodies))
	for i := range bodies {
		if !a.Bodies[i].Joined {
			continue
		}
		b := &bodies[i]
		mass += b.TotalMass()
		centre := b.Shape.Middle()
		if b.Shape.Kind == rig.NoShape {
			centre = b.Centre()
		}
		middle[i] = held[i].At(centre)
		turn := held[i].Turn.Matrix()
		d.area[i] = Area(s.areas[i], turn.TMul(wind))
		d.force[i] = q * d.area[i]
		d.total += d.force[i]
		at = statics.Add(at, statics.Scale(d.force[i], middle[i]))
	}
	if d.total == 0 {
		return d
	}
	at = statics.Scale(1/d.total, at)
	var shift rig.Vec
	if s.single {
		centre := statics.Sub(s.centre(a), pivot) // on the line about which it was turned back
		acts := statics.Sub(at, pivot)
		line := statics.Dot(centre, wind)
		if centre[2] < 0 {
			line *= acts[2] / centre[2]
		}
		d.ahead = line - statics.Dot(acts, wind)
		aside := statics.Dot(acts, side)
		d.turning = -aside * d.total // side × wind points straight down
		behind := math.Min(10, hold*mass*s.gravity/d.total)
		shift = statics.Add(statics.Scale(-aside, side), statics.Scale(d.ahead+behind, wind))
	}
	for i := range bodies {
		if d.force[i] == 0 {
			continue
		}
		turn := held[i].Turn.Matrix()
		d.loads = append(d.loads, rig.Load{
			Body: bodies[i].ID, Force: statics.Scale(d.force[i], wind),
			At: turn.TMul(statics.Sub(statics.Add(middle[i], shift), held[i].Origin)),
		})
	}
	return d
}

// headed returns the poses of an answer, and where its single apex is; under a
// single hook turned about the line from the apex through the common CG, about
// which it turns most easily, until the first joined body has its heading on the
// ground.
func (s *Study) headed(a *rig.Answer) (list []statics.Pose, pivot rig.Vec) {
	list = poses(a)
	if !s.single {
		return list, pivot
	}
	pivot = a.Apexes[s.apex].Position
	line := statics.Sub(pivot, s.centre(a))
	n := rig.Norm(line)
	if n == 0 || line[2] < 0.1*n {
		return list, pivot
	}
	for range 5 {
		off, ok := s.turned(a, list)
		if !ok || math.Abs(off) < 1e-12 {
			break
		}
		back := statics.Turn(statics.Scale(-off/n, line))
		for k := range list {
			list[k].Origin = statics.Add(pivot, back.Rotate(statics.Sub(list[k].Origin, pivot)))
			list[k].Turn = back.Times(list[k].Turn).Normalized()
		}
	}
	return list, pivot
}

func poses(a *rig.Answer) []statics.Pose {
	var list []statics.Pose
	for i := range a.Bodies {
		list = append(list, a.Bodies[i].Pose())
	}
	return list
}

// centre is the common CG of the joined bodies.
func (s *Study) centre(a *rig.Answer) rig.Vec {
	var sum rig.Vec
	mass := 0.0
	bodies := s.r.Bodies()
	for i := range bodies {
		if a.Bodies[i].Joined {
			m := bodies[i].TotalMass()
			sum = statics.Add(sum, statics.Scale(m, a.Bodies[i].CG))
			mass += m
		}
	}
	if mass == 0 {
		return sum
	}
	return statics.Scale(1/mass, sum)
}

// turned returns how far the first joined body has turned from its heading on
// the ground in these poses, rad; ok is false where it stands on its nose and
// has none.
func (s *Study) turned(a *rig.Answer, poses []statics.Pose) (off float64, ok bool) {
	for i := range a.Bodies {
		if !a.Bodies[i].Joined {
			continue
		}
		m := poses[i].Turn.Matrix()
		if math.Hypot(m[0][0], m[1][0]) < 0.05 {
			return 0, false
		}
		return math.Remainder(math.Atan2(m[1][0], m[0][0])-s.r.Bodies()[i].Heading, 2*math.Pi), true
	}
	return 0, false
}

// Pressure returns the dynamic pressure ½·ρ·V², Pa.
func (c Conditions) Pressure(speed float64) float64 { return 0.5 * c.Density * speed * speed }

func (c Conditions) filled() Conditions {
	if c.Density == 0 {
		c.Density = SeaLevel
	}
	if c.LoadFactor == 0 {
		c.LoadFactor = 1
	}
	return c
}

func (c Conditions) gravity() float64 { return c.LoadFactor * quantity.StandardGravity }
