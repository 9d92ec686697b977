package app

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
)

// drills writes the statements of the drills that are over. They are the same
// whether a class's or the school's are written, so no class stands in them.
func (x *xapiWriter) drills(ctx context.Context) error {
	s := x.d.school
	heads, err := s.overDrills(ctx, x.d, math.MaxInt32)
	if err != nil {
		return err
	}
	if x.d.Class == nil {
		members, err := s.keeper.Members(ctx, "")
		if err != nil {
			return err
		}
		in := map[string]bool{}
		for _, m := range members {
			if m.Left.IsZero() && !x.d.left[m.Class] {
				in[m.Person] = true
			}
		}
		heads = slices.DeleteFunc(heads, func(h DrillHead) bool { return !in[h.Person] })
	}
	return s.eachDrill(ctx, heads, nil, x.drill)
}

// drill writes the statements of one drill.
func (x *xapiWriter) drill(drill *teach.Drill, answers []teach.DrillAnswer) error {
	looks := looksOf(drill, answers)
	if len(looks) == 0 {
		return nil
	}
	p, err := x.d.plantedOn(VersionRig{Rig: drill.Rig, RigVersion: drill.RigVersion, Sequence: drill.Sequence})
	if err != nil {
		return err
	}
	right := 0
	for _, l := range looks {
		if l.Called == l.Faulty {
			right++
		}
	}
	last := &answers[len(answers)-1]
	all := len(answers) >= len(drill.Pictures)
	verb := xapiVerb{verbCompleted, xapiLanguage{"en": "completed"}}
	if !all {
		verb = xapiVerb{verbAttempted, xapiLanguage{"en": "attempted"}}
	}
	name := x.a.Origin + "/drill/" + drill.ID
	on := activity(x.a, "drill", drill.Rig, marked("Drill on the load "+drill.Rig, p.invented), typeDrill)
	context := xapiContext{Registration: uuid(x.a.Origin + "/registration/drill/" + drill.ID), Platform: "Hangtrue", Language: "en"}
	s := &xapiStatement{
		ID: uuid(name), Actor: raw(x.d.agent(drill.Person, x.a)), Verb: raw(verb), Object: raw(on), Context: raw(context),
		Result: xapiResult{
			Score: &xapiScore{Scaled: float64(right) / float64(len(looks)), Raw: right, Max: len(looks)}, Completion: &all, Duration: isoDuration(last.After),
			Extensions: raw(map[string]any{x.a.Origin + "/xapi/pictures": len(drill.Pictures), x.a.Origin + "/xapi/answered-in-time": len(looks)}),
		},
		Timestamp: xapiTime(last.At),
	}
	if err := x.put(s); err != nil {
		return err
	}
	context.Activities = map[string][]xapiActivity{"parent": {on}}
	s.Verb, s.Context = x.answered, raw(context)
	k := 0
	for i := range answers {
		a := &answers[i]
		if a.Late || a.N >= len(drill.Pictures) {
			continue
		}
		l, picture := &looks[k], &drill.Pictures[a.N]
		k++
		s.ID = uuid(name + "/" + picture.Name)
		s.Object = x.pictured(picture, p)
		success := l.Called == l.Faulty
		s.Result = xapiResult{Success: &success, Response: response(a, picture), Duration: isoDuration(l.After), Extensions: x.shown(drill, picture, l)}
		s.Timestamp = xapiTime(a.At)
		if err := x.put(s); err != nil {
			return err
		}
	}
	return nil
}

// pictured is what a picture asks about: a deficiency where it shows one, as on
// lanes, and otherwise that the part is as it should be.
func (x *xapiWriter) pictured(p *teach.DrillPicture, on *planted) json.RawMessage {
	if p.Faulty() {
		text := keyWords(x.d.catalog.Catalog, p.Key)
		if item, ok := on.items[p.Deficiency]; ok {
			text = item.Text
		}
		return x.question("deficiency", p.Key, text, on.invented)
	}
	key, text := attributeOf(p.Key), p.Key
	if k, ok := x.d.catalog.Kind(partKindOf(p.Key)); ok {
		_, attribute, _ := strings.Cut(key, "/")
		text = k.Name + ", " + attribute + ": as it should be"
	}
	return x.question("as-it-should-be", key, text, on.invented)
}

// response is what was said, in words.
func response(a *teach.DrillAnswer, p *teach.DrillPicture) string {
	if !a.Wrong {
		return "as it should be"
	}
	for _, c := range p.Choices {
		if c.State == a.Choice {
			return "wrong: " + c.Text
		}
	}
	return "wrong: something else"
}

func (x *xapiWriter) shown(d *teach.Drill, p *teach.DrillPicture, l *report.Look) json.RawMessage {
	ext := map[string]any{
		x.a.Origin + "/xapi/part": d.Rig + "/" + p.Part, x.a.Origin + "/xapi/checkpoint": l.Checkpoint, x.a.Origin + "/xapi/shown-wrong": l.Faulty,
	}
	if l.Faulty {
		ext[x.a.Origin+"/xapi/named-rightly"] = l.Which
	}
	return raw(ext)
}

// attributeOf is kind/attribute of kind/attribute/state.
func attributeOf(key string) string {
	if i := strings.LastIndexByte(key, '/'); i >= 0 {
		return key[:i]
	}
	return key
}

// partKindOf is the kind of kind/attribute/state.
func partKindOf(key string) string {
	kind, _, _ := strings.Cut(key, "/")
	return kind
}
