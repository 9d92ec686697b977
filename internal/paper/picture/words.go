package picture

import (
	"fmt"
	"math"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

func (s *scene) title() string {
	how := "as it hangs"
	if s.o.Ground {
		how = "on the ground"
	}
	name := s.o.View.Name
	if name == "" {
		name = fmt.Sprintf("seen from %.0f deg, %.0f deg up", s.o.View.Azimuth, s.o.View.Elevation)
	} else {
		name += " view"
	}
	return fmt.Sprintf("%s, %s, %s", s.r.Title(), name, how)
}

// describe says in words what the picture shows.
func (s *scene) describe() string {
	invented := ""
	if s.r.Invented() {
		invented = "INVENTED. "
	}
	if s.o.Ground {
		var list []string
		for i := range s.solids {
			list = append(list, s.solids[i].body.ID+" "+s.r.Show().Mass(s.solids[i].body.TotalMass()))
		}
		if len(list) == 1 {
			return invented + "On the ground: " + list[0] + "."
		}
		return invented + fmt.Sprintf("%d bodies on the ground: ", len(list)) + strings.Join(list, ", ") + "."
	}
	text := invented
	for i := range s.a.Bodies {
		b := &s.a.Bodies[i]
		how := AttitudeWords(s.r.Show(), b)
		if !b.Joined {
			how = "joined to no hook"
		}
		text += b.ID + ": " + how + ". "
	}
	for i := range s.a.Legs {
		text += "Leg " + s.a.Legs[i].ID + " " + share(&s.a.Legs[i]) + ". "
	}
	return text + "Result: " + s.a.Result.Words() + "."
}

// AttitudeWords says how a body hangs in words and numbers.
func AttitudeWords(show quantity.System, b *rig.BodyAnswer) string {
	const level = 0.05 * math.Pi / 180
	nose, side := "level fore and aft", "level sideways"
	switch {
	case b.Pitch > level:
		nose = "nose up " + show.Angle(b.Pitch)
	case b.Pitch < -level:
		nose = "nose down " + show.Angle(-b.Pitch)
	}
	switch {
	case b.Roll > level:
		side = "right side down " + show.Angle(b.Roll)
	case b.Roll < -level:
		side = "left side down " + show.Angle(-b.Roll)
	}
	return nose + ", " + side
}

// share is a leg's share of its rating in words.
func share(x *rig.LegAnswer) string {
	switch {
	case x.Slack:
		return "slack"
	case math.IsNaN(x.Use):
		return "not rated"
	}
	return fmt.Sprintf("%.0f %%", 100*x.Use)
}
