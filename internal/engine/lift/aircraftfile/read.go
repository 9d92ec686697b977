package aircraftfile

import (
	"math"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	q "hangtrue/internal/engine/quantity"
)

// Read makes an aircraft of an aircraft file, or returns everything that is
// wrong with it in the order of its lines. It never returns both.
func Read(data []byte) (*lift.Aircraft, []document.Problem) {
	value, problems := document.Read(data, shape)
	if value == nil || len(problems) > 0 {
		return nil, problems
	}
	b := builder{value: value}
	spec := b.spec()
	if len(b.problems) == 0 {
		a, wrong := lift.New(spec)
		if len(wrong) == 0 {
			return a, nil
		}
		for _, p := range wrong {
			b.problems = append(b.problems, value.ProblemAt(p.Path, p.Text, p.Hint))
		}
	}
	document.Sort(b.problems)
	return nil, b.problems
}

type builder struct {
	value    *document.Value
	problems []document.Problem
}

func (b *builder) refuse(at *document.Value, text, hint string) {
	b.problems = append(b.problems, at.Problem(text, hint))
}

func (b *builder) spec() lift.Spec {
	v := b.value
	s := lift.Spec{
		Title: v.Get("title").Text(), Invented: v.Get("invented").Yes(), Notes: v.Get("notes").Text(),
		Show:  q.Count(v.Units()),
		Empty: lift.Item{What: "empty", Mass: v.Get("empty").Get("mass").SI(), At: place(v.Get("empty").Get("at"))},
		Crew:  items(v.Get("crew")), Kit: items(v.Get("kit")),
	}
	switch v.Get("show").Text() {
	case "metric":
		s.Show = q.Metric
	case "us":
		s.Show = q.US
	}
	src := v.Get("source")
	s.Source = lift.Source{Publication: src.Get("publication").Text(), Edition: src.Get("edition").Text(), Change: src.Get("change").Text()}
	if !s.Invented && !src.Given() {
		b.refuse(v, "the file does not say where its figures come from", "add source: with the flight manual, its edition and change, or invented: yes")
	}
	s.Fuel = b.fuel(v.Get("fuel"))
	limits := v.Get("limits")
	s.Gross, s.External = optional(limits.Get("gross")), optional(limits.Get("external-gross"))
	if cg := limits.Get("cg").Items(); len(cg) == 2 {
		s.Balance = &[2]float64{cg[0].SI(), cg[1].SI()}
	}
	for _, h := range v.Get("hooks").Items() {
		s.Hooks = append(s.Hooks, lift.Hook{
			ID: h.Get("id").Text(), At: place(h.Get("at")), Rated: optional(h.Get("rated")),
			Section: optional(h.Get("section")), Inside: optional(h.Get("inside")),
		})
	}
	for _, t := range v.Get("hooks-together").Items() {
		together := lift.Together{Rated: t.Get("rated").SI()}
		for _, id := range t.Get("hooks").Items() {
			together.Hooks = append(together.Hooks, id.Text())
		}
		s.Together = append(s.Together, together)
	}
	s.OGE, s.IGE = tableOf(v.Get("hover").Get("oge")), tableOf(v.Get("hover").Get("ige"))
	if r := v.Get("rotors"); r.Given() {
		s.Rotors = &lift.Rotors{Count: r.Get("count").Integer(), Diameter: r.Get("diameter").SI(), Rate: optional(r.Get("speed")), Blades: r.Get("blades").Integer()}
	}
	for _, r := range v.Get("spacers").Items() {
		s.Spacers = append(s.Spacers, lift.SpacerRule{
			Apex: r.Get("apex").Text(), Hook: r.Get("hook").Text(), Required: r.Get("spacer").Text() == "required", Source: r.Get("source").Text(),
		})
	}
	for _, x := range v.Get("airspeeds").Items() {
		s.Airspeeds = append(s.Airspeeds, lift.Airspeed{What: x.Get("what").Text(), Limit: x.Get("limit").SI(), Source: x.Get("source").Text()})
	}
	for _, x := range v.Get("reductions").Items() {
		s.Reductions = append(s.Reductions, lift.Reduction{What: x.Get("what").Text(), Mass: x.Get("mass").SI(), NotJettisoned: x.Get("for").Text() != "every load"})
	}
	return s
}

// fuel turns litres into kilograms and a time of reserve into a mass.
func (b *builder) fuel(v *document.Value) lift.Fuel {
	density := v.Get("density")
	kilograms := func(x *document.Value) float64 {
		k := x.Quantity().Kind
		if k != q.Volume && k != q.VolumeFlow {
			return x.SI()
		}
		if !density.Given() {
			b.refuse(x, "litres of fuel without a density have no mass", "add density:, for example density: 800 kg/m3")
			return 1
		}
		return x.SI() * density.SI()
	}
	f := lift.Fuel{Capacity: kilograms(v.Get("capacity")), Burn: kilograms(v.Get("burn")), At: place(v.Get("at"))}
	if r := v.Get("reserve"); r.Given() {
		kept := r.SI()
		if r.Quantity().Kind == q.Duration {
			kept *= f.Burn
		}
		f.Reserve = &kept
	}
	return f
}

func tableOf(v *document.Value) *lift.Table {
	if !v.Given() {
		return nil
	}
	t := &lift.Table{Source: v.Get("source").Text()}
	for _, x := range v.Get("altitudes").Items() {
		t.Altitudes = append(t.Altitudes, x.SI())
	}
	for _, x := range v.Get("temperatures").Items() {
		t.Temperatures = append(t.Temperatures, x.SI())
	}
	for _, row := range v.Get("gross").Items() {
		var masses []float64
		for _, x := range row.Items() {
			if x.Form() == document.FormChoice {
				masses = append(masses, math.NaN())
				continue
			}
			masses = append(masses, x.SI())
		}
		t.Gross = append(t.Gross, masses)
	}
	return t
}

func items(v *document.Value) []lift.Item {
	var out []lift.Item
	for _, x := range v.Items() {
		out = append(out, lift.Item{What: x.Get("what").Text(), Mass: x.Get("mass").SI(), At: place(x.Get("at"))})
	}
	return out
}

func place(v *document.Value) *lift.Vec {
	if !v.Given() {
		return nil
	}
	at := lift.Vec(v.Vector())
	return &at
}

func optional(v *document.Value) *float64 {
	if !v.Valid() {
		return nil
	}
	x := v.SI()
	return &x
}
