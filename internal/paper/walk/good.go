package walk

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/paper/closeup"
	"hangtrue/internal/paper/draw"
)

// good draws a part close up as it should be in one attribute. key tells
// drawings apart: two attributes that one drawing shows have the same. ok is
// false where there is no such drawing, and where it would show a plan that is
// not this rig's.
func good(v *inspect.Survey, p *inspect.Part, a *part.Attribute) (drawn *draw.Picture, key string, ok bool) {
	state, ok := a.State(goodState(v, p, a))
	if !ok {
		return nil, "", false
	}
	figure, ok := v.Figure(p, a, state)
	if !ok {
		return nil, "", false
	}
	f, ok := closeup.Find(figure.Name)
	if !ok {
		return nil, "", false
	}
	i := slices.IndexFunc(f.Views, func(w closeup.View) bool {
		return slices.ContainsFunc(w.Attributes, func(x closeup.Attribute) bool { return figure.Params[x.ID] != "" && x.ID == a.ID })
	})
	if i < 0 {
		return nil, "", false
	}
	params := map[string]string{}
	for _, x := range f.Views[i].Attributes {
		if s, given := figure.Params[x.ID]; given && slices.Contains(x.States, s) {
			params[x.ID] = s
		}
	}
	for _, n := range f.Views[i].Numbers {
		k, known := planned(v, p, n.ID)
		if !known || k < n.Least || k > n.Most {
			return nil, "", false
		}
		params[n.ID] = fmt.Sprint(k)
	}
	drawn, err := closeup.Draw(figure.Name, params, closeup.Options{Staff: true})
	if err != nil || len(f.Views[i].Numbers) == 0 && foreignPlan(drawn.Items) {
		return nil, "", false
	}
	return drawn, fmt.Sprintf("%s %d", figure.Name, i), true
}

// goodState is the state that the plan calls for.
func goodState(v *inspect.Survey, p *inspect.Part, a *part.Attribute) string {
	if a.Plan != part.PlanSpacer {
		return a.Good
	}
	switch need, _ := v.Spacer(p); need {
	case part.Required:
		return part.SpacerOn
	case part.Forbidden:
		return part.SpacerOff
	}
	return ""
}

// planned is the number that the plan has for what a drawing counts.
func planned(v *inspect.Survey, p *inspect.Part, number string) (int, bool) {
	count := func(id string) (int, bool) {
		l, ok := v.Rig.Leg(id)
		if !ok || l.Count == nil {
			return 0, false
		}
		return *l.Count, true
	}
	switch number {
	case "planned-count":
		return count(p.On.Leg)
	case "left", "right":
		if len(p.Legs) != 2 {
			return 0, false
		}
		scene := inspect.SceneOf(v.Rig, nil)
		a, b := scene.Ground(inspect.Place{Leg: p.Legs[0], Along: 1}), scene.Ground(inspect.Place{Leg: p.Legs[1], Along: 1})
		if (a[1] > b[1]) == (number == "left") {
			return count(p.Legs[0])
		}
		return count(p.Legs[1])
	}
	return 0, false
}

// foreignPlan reports whether a drawing carries the words of a plan: those of a
// likeness, which are not this rig's.
func foreignPlan(items []draw.Item) bool {
	for _, it := range items {
		switch x := it.(type) {
		case draw.Text:
			if strings.Contains(x.S, ":") {
				return true
			}
		case *draw.Group:
			if foreignPlan(x.Items) {
				return true
			}
		}
	}
	return false
}
