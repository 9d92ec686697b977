package brief

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
)

// conditions are those entered, or only what is known of hooks and fitting.
func conditions(e *Entered) *lift.Conditions {
	c := lift.Conditions{}
	if e.Conditions != nil {
		c = *e.Conditions
	}
	c.Hooks = e.Hooks
	c.Fitting = lift.Fitting{Kind: e.Fitting.Kind, Ring: e.Fitting.Ring}
	return &c
}

func fits(in *Input) []lift.Fit {
	if in.Aircraft == nil {
		return nil
	}
	return conditions(&in.Entered).Fits(in.Aircraft, in.Rig.Rig)
}

// known is a row with what is entered, or with the words for what is not.
func known(label, text string) Row { return Row{Label: label, Text: text, Missing: NotEntered} }

func (b *Brief) placard(in *Input) {
	rows := []Row{known("Aircraft", b.Aircraft), known("Weight", b.Weight), known("Procedure", b.Procedure)}
	if b.Authority != "" {
		rows = append(rows, known("Under the authority of", b.Authority))
	}
	b.Placard = []Section{{"", rows}}
}

func (b *Brief) aircrew(in *Input) {
	r := in.Rig.Rig
	var counts []string
	for _, c := range b.Counts {
		counts = append(counts, c.Leg+" "+c.Count)
	}
	load := append([]Row{known("Weight", b.Weight)}, weightParts(r)...)
	if e := &in.Entered; b.knownHow == "" && (e.WeighedBy != "" || !e.WeighedOn.IsZero()) {
		load = append(load, known("Weight told by", recordWords(Record{By: e.WeighedBy, On: e.WeighedOn})))
	}
	hanging := []Row{}
	for i := range in.Rig.Bodies {
		label := "Expected attitude"
		if len(in.Rig.Bodies) > 1 {
			label += " of " + in.Rig.Bodies[i].ID
		}
		hanging = append(hanging, known(label, attitude(r, &in.Rig.Bodies[i])+", at rest"))
	}
	hanging = append(hanging, known(strings.TrimSuffix(b.CountsHead(), ": computed or entered, not approved"), strings.Join(counts, ", ")+b.countsRemark()))
	b.Aircrew = []Section{
		{"The load", load},
		{"Aircraft, hook and apex fitting", b.hookRows(in)},
		{"How it hangs", hanging},
		{"Published airspeed", airspeedRows(in)},
		{"Limits that govern", b.limitRows(in)},
		{"Dangerous goods", goodsRows(in.Entered.Goods)},
		{"Places", []Row{
			known("Pick-up", in.Entered.PickUp), known("Drop-off", in.Entered.DropOff), known("Jettison area", in.Entered.JettisonArea),
		}},
		{"Authority", authorityRows(in)},
	}
}

func (b *Brief) countsRemark() string {
	if b.Approved {
		return ""
	}
	return ". Computed or entered, not approved"
}

func (b *Brief) hookRows(in *Input) []Row {
	r, e := in.Rig.Rig, &in.Entered
	rows := []Row{known("Aircraft", b.Aircraft)}
	if in.Aircraft != nil {
		source := in.Aircraft.Spec().Source.String()
		if source == "" && in.Aircraft.Spec().Invented {
			source = "INVENTED"
		}
		rows = append(rows, known("Figures from", source))
	}
	for _, apex := range in.Rig.Apexes {
		label, text := "Hook", ""
		if len(in.Rig.Apexes) > 1 {
			label += " for " + apex.ID
		}
		if in.Aircraft != nil {
			if id, ok := conditions(e).HookOf(in.Aircraft, r, apex.ID); ok {
				text = id + ", carries " + r.Show().Force(rig.Norm(apex.Force))
				if h, known := in.Aircraft.Hook(id); known && h.Rated != nil {
					text += " of " + r.Show().Force(*h.Rated)
				}
			}
		}
		rows = append(rows, known(label, text))
	}
	rows = append(rows, known("Apex fitting", e.Fitting.Kind))
	list := fits(in)
	if len(list) == 0 {
		rows = append(rows, known("Spacer", ""))
	}
	for _, f := range list {
		of := ""
		if len(list) > 1 {
			of = " of " + f.Apex
		}
		text := ""
		if f.Spacer != "" {
			text = f.Spacer + " on hook " + f.Hook
			if f.Source != "" {
				text += " (" + f.Source + ")"
			}
			switch e.Fitting.Spacer {
			case SpacerFitted:
				text += "; it is fitted"
			case SpacerLeftOff:
				text += "; it is left off"
			default:
				text += "; whether it is fitted is not entered"
			}
		}
		fit := f.Text
		switch f.Fit {
		case rig.Over:
			fit = "does not fit: " + fit
		case rig.CannotTell:
			fit = "cannot tell: " + fit
		}
		rows = append(rows, known("Spacer"+of, text), known("Fitting on the hook"+of, fit))
	}
	return rows
}

// airspeedRows are the airspeeds that somebody published and somebody entered.
// None is ever worked out.
func airspeedRows(in *Input) []Row {
	speed := in.Rig.Rig.Show().Airspeed
	var rows []Row
	if a := in.Entered.Airspeed; a != nil {
		rows = append(rows, known("For this load", speed(a.Limit)+" – "+a.Source))
	}
	if p := in.Rig.Rig.Procedure(); p != nil && p.Airspeed != "" {
		rows = append(rows, known("Procedure", p.Airspeed+" – "+ProcedureWords(p)))
	}
	if in.Aircraft != nil {
		for _, a := range in.Aircraft.Spec().Airspeeds {
			source := a.Source
			if source == "" {
				source = in.Aircraft.Spec().Source.String()
			}
			if source == "" {
				source = "source not entered"
			}
			rows = append(rows, known("Aircraft, "+a.What, speed(a.Limit)+" – "+source))
		}
	}
	if len(rows) == 0 {
		rows = append(rows, known("Published airspeed", ""))
	}
	return rows
}

func (b *Brief) limitRows(in *Input) []Row {
	show := in.Rig.Rig.Show()
	rows := []Row{known("The rig", spelling.Capital(in.Rig.Result.Words())+": "+in.Rig.Reason)}
	// Within the limits the reason names the nearest itself.
	if c, ok := in.Rig.Governing(); ok && in.Rig.Result != rig.Within {
		word := show.Angle
		if c.Force {
			word = show.Force
		}
		rows = append(rows, known("Nearest limit of the rig", fmt.Sprintf("%s, %s: %s of %s", c.About, c.What, word(c.Demand), word(c.Limit))))
	}
	a := in.Lift
	if a == nil {
		why := strings.Join(in.NoLift, "; ")
		if why != "" {
			why = "not worked out: " + why
		}
		return append(rows, Row{Label: "What the aircraft can carry", Missing: firstOf(why, NotEntered)})
	}
	rows = append(rows, known("The aircraft", spelling.Capital(a.Result.Words())+": "+a.Reason))
	if a.Governing >= 0 {
		g := a.Allowed[a.Governing]
		show := in.Aircraft.Spec().Show
		rows = append(rows, known("Governs for the aircraft", fmt.Sprintf("%s, %s: allows %s; %s", g.What, g.End, show.Mass(max(0, g.Load)), g.Text)))
	}
	for i, x := range a.Ends {
		name, end, show := [...]string{"pick-up", "drop-off"}[i], x.End, in.Aircraft.Spec().Show
		rows = append(rows, known("Worked out for "+name, fmt.Sprintf("pressure altitude %s, %s, %s of fuel; %s with the load",
			lift.Altitude(show, end.PressureAltitude), show.Temperature(end.Temperature), show.Mass(end.Fuel), show.Mass(x.Gross))))
	}
	return rows
}

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

func goodsRows(list []Goods) []Row {
	if len(list) == 0 {
		return []Row{known("Class", "")}
	}
	var rows []Row
	for _, g := range list {
		if strings.EqualFold(g.Class, NoGoods) {
			rows = append(rows, known("Class", strings.Join(filled("none, as entered", g.Name), ": ")))
			continue
		}
		rows = append(rows, known("Class "+g.Class, strings.Join(filled(g.UN, g.Name, g.Amount), ", ")))
	}
	return rows
}

func filled(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, t)
		}
	}
	return out
}

func authorityRows(in *Input) []Row {
	e := &in.Entered
	if in.Rig.Status == rig.FollowsProcedure && e.Authority == (Authority{}) && e.TestLift == (Record{}) && e.HoverCheck == (Record{}) && in.Review == "" {
		return []Row{known("Authority", "the procedure: "+ProcedureWords(in.Rig.Rig.Procedure()))}
	}
	return []Row{
		known("Named authority", strings.Join(filled(e.Authority.Name, e.Authority.Reference, forVersion(e.Authority.Rig)), ", ")),
		known("Static test lift", recordWords(e.TestLift)),
		known("Hover check", recordWords(e.HoverCheck)),
	}
}

func forVersion(rig string) string {
	if rig == "" {
		return ""
	}
	return fmt.Sprintf("for version %.8s of the rig", rig)
}

func recordWords(r Record) string {
	on, by := "", ""
	if !r.On.IsZero() {
		on = r.On.Format("2006-01-02")
	}
	if r.By != "" {
		by = "by " + r.By
	}
	return strings.Join(filled(on, by, r.Place, r.Record), ", ")
}
