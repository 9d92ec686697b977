package fault

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/rig"
)

// finder collects what a fault may end in.
type finder struct {
	row  *Row
	why  map[part.End]string
	show func(rad float64) string
}

func (f *finder) add(end part.End, format string, args ...any) {
	if f.why[end] == "" {
		f.why[end] = fmt.Sprintf(format, args...)
	}
}

// store puts the ends into the row, gravest first, each with its reason.
func (f *finder) store() {
	f.row.Ends, f.row.Why = nil, nil
	for _, e := range part.Ends {
		if why := f.why[e]; why != "" {
			f.row.Ends, f.row.Why = append(f.row.Ends, e), append(f.row.Why, why)
		}
	}
}

// fallen reports bodies that hang on nothing or tip over and do not as
// planned. With all of them, or the only one, the load is lost.
func (f *finder) fallen(a, plan *rig.Answer) {
	var gone []string
	how := ""
	for i := range a.Bodies {
		b := &a.Bodies[i]
		switch {
		case !b.Joined && plan.Bodies[i].Joined:
			gone, how = append(gone, b.ID), "hangs on nothing"
		case rig.Tips(b.Tilt) && !rig.Tips(plan.Bodies[i].Tilt):
			gone, how = append(gone, b.ID), fmt.Sprintf("tips %s", f.show(b.Tilt))
		}
	}
	switch {
	case len(gone) == 0:
	case len(gone) == len(a.Bodies):
		f.add(part.LoadLost, "body %s %s", gone[0], how)
	default:
		f.add(part.BodyLost, "body %s %s", strings.Join(gone, ", "), how)
	}
}

// limits reports the limits that are passed and are not, or by less, as
// planned.
func (f *finder) limits(a, plan *rig.Answer) {
	before := map[[2]string]float64{}
	for _, c := range plan.Checks {
		before[[2]string{c.About, c.What}] = c.Use()
	}
	for _, c := range a.Checks {
		if c.Band != nil || !c.Passed() || before[[2]string{c.About, c.What}] >= c.Use()*0.999 {
			continue
		}
		switch about := c.About; {
		case !c.Force:
			f.add(part.Damage, "%s: %s over its limit", about, c.What)
		case strings.HasPrefix(about, "hook "), strings.HasPrefix(about, "apex "), strings.HasPrefix(about, "pendant "):
			f.add(part.LoadLost, "%s over its limit", about)
		default:
			f.add(part.LegLost, "%s over its limit", about)
		}
	}
}

// strays reports a band of attitude that is left and is kept as planned; where
// the rig has no band, a lean that has changed by more than [leans].
func (f *finder) strays(a, plan *rig.Answer) {
	was := map[string]bool{}
	for _, x := range plan.Findings {
		was[x.Code+x.About] = true
	}
	for _, x := range a.Findings {
		if (x.Code == "pitch-outside" || x.Code == "roll-outside") && !was[x.Code+x.About] {
			f.add(part.Attitude, "%s: %s", x.About, x.Text)
		}
		if x.Code == "boxes-overlap" && !was[x.Code+x.About] {
			f.add(part.Damage, "%s: their boxes overlap", x.About)
		}
	}
	lim := a.Rig.Limits()
	for i := range a.Bodies {
		by := lean(&a.Bodies[i], &plan.Bodies[i])
		if lim.Pitch == nil && lim.Roll == nil && by > leans {
			f.add(part.Attitude, "body %s leans %s from how it hangs as planned", a.Bodies[i].ID, f.show(by))
		}
	}
}

// fouls reports legs that cross or have gone slack and do not as planned.
func (f *finder) fouls(slack, planned []string, cross []Crossing) {
	for _, c := range cross {
		f.add(part.Foul, "%s", c)
	}
	for _, id := range slack {
		if !slices.Contains(planned, id) {
			f.add(part.Foul, "leg %s slack: it can catch, or slip off what holds it", id)
		}
	}
}

// done reports what the fault itself is.
func (f *finder) done(x Fault) {
	switch x.Kind {
	case LegLost:
		f.add(part.LegLost, "leg %s is the fault", x.Leg)
	case PointLost:
		f.add(part.LegLost, "what held point %s holds it no more", x.Point)
	case HookLost:
		f.add(part.LegLost, "all legs of hook %s are off", x.Hook)
	}
}
