package lift

import (
	"fmt"
	"time"

	"hangtrue/internal/engine/rig"
)

// Part is one line of how a load's weight is made up.
type Part struct {
	What   string
	Weight Weight
}

// WeightOf returns what a rig's load weighs, its bodies together, and how the
// weight is made up. The whole is known as its least known part: one estimate
// makes an estimate of it, and one part of which nobody said how it is known
// leaves that open. Tolerances are added up: they may all lie on one side.
func WeightOf(r *rig.Rig) (Weight, []Part) {
	whole := Weight{Known: Weighed}
	order := map[Known]int{Weighed: 0, Plate: 1, "": 2, Estimated: 3}
	var parts []Part
	for i := range r.Bodies() {
		b := &r.Bodies()[i]
		w := Weight{Mass: b.TotalMass(), Known: Known(b.Known), By: b.KnownBy, On: b.KnownOn}
		if b.MassBand != nil {
			w.Band = *b.MassBand
		}
		parts = append(parts, Part{b.ID, w})
		whole.Mass += w.Mass
		whole.Band += w.Band
		if order[w.Known] > order[whole.Known] {
			whole.Known = w.Known
		}
	}
	// Who and when are said of the whole only where they are the same throughout.
	whole.By, whole.On = parts[0].Weight.By, parts[0].Weight.On
	for _, p := range parts {
		if p.Weight.By != whole.By {
			whole.By = ""
		}
		if !p.Weight.On.Equal(whole.On) {
			whole.On = time.Time{}
		}
	}
	return whole, parts
}

// RiggingOf returns what the parts of the load path beneath the hook allow:
// each limit of force of the rig as the weight of the whole load at which it
// would be reached if its pull grew with the weight. The hook is left out: its
// rating is the aircraft's. Of the legs, clevises and lift points only the
// nearest to its limit is named.
func RiggingOf(a *rig.Answer) []Limit {
	var out []Limit
	nearest := -1
	for i, c := range a.Checks {
		if !c.Force || !(c.Demand > 0) {
			continue
		}
		switch kind(c.About) {
		case "hook":
			continue
		case "set", "apex", "pendant":
			out = append(out, ratedAt(c, a.Rig))
		default:
			if nearest < 0 || c.Use() > a.Checks[nearest].Use() {
				nearest = i
			}
		}
	}
	if nearest >= 0 {
		out = append(out, ratedAt(a.Checks[nearest], a.Rig))
	}
	return out
}

func ratedAt(c rig.Check, r *rig.Rig) Limit {
	rated := r.Weight() * c.Limit / c.Demand
	show := r.Show()
	return Limit{
		What: c.About + ", " + c.What, Rated: &rated, Source: c.Source,
		Text: fmt.Sprintf("limit %s, and this load pulls with %s: reached if the pull grows with the weight", show.Force(c.Limit), show.Force(c.Demand)),
	}
}

// kind is the first word of what a check is about.
func kind(about string) string {
	for i, r := range about {
		if r == ' ' {
			return about[:i]
		}
	}
	return about
}
