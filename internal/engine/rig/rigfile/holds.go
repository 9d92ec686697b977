package rigfile

import (
	"errors"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/liquid"
	q "hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// holds is the shape of a fill of liquid.
var holds = document.Object(
	document.Required("liquid", document.OneOf(
		document.Choice(liquid.Names()...),
		document.Object(
			document.Required("name", document.Text(60), "what it is called; that of a known product brings its flash point"),
			document.Optional("density-15", document.Quantity(q.Density).Positive(), "its density at 15 degC, of a petroleum product"),
			document.Optional("api", document.Number(-10, 100), "its API gravity, of a petroleum product"),
			document.Optional("salinity", document.Number(0, 42), "its practical salinity, of sea water"),
		).ExactlyOne("density-15", "api", "salinity"),
	), "which liquid; a product known by name only weighs give or take half its specification").Example("liquid: jet fuel"),
	document.Optional("volume", document.Quantity(q.Volume).NotNegative(), "how much of it there is at the temperature at"),
	document.Optional("mass", document.Quantity(q.Mass).NotNegative(), "what it weighs, instead of volume"),
	document.Required("at", document.Quantity(q.Temperature), "its temperature when it was filled").Example("at: 15 degC"),
	document.Optional("hottest", document.Quantity(q.Temperature), "the hottest it may get before it is emptied: the room for expansion is checked against it").Example("hottest: 40 degC"),
	document.Optional("capacity", document.Quantity(q.Volume).Positive(), "what the tank holds when brim-full; by default its outline"),
	document.Optional("collapsible", document.YesNo(), "yes for a tank of fabric, which takes the form that its fill gives it"),
	document.Optional("fill-bounds", document.Tuple(document.Quantity(q.Volume).NotNegative(), 2), "the fills between which the maker of a fabric tank allows it to be lifted, least and most"),
).ExactlyOne("volume", "mass")

// holds makes items of a body's tare and of the liquid in it.
func (b *builder) holds(v *document.Value, x *rig.Body) {
	h := v.Get("holds")
	tare(v, x)
	x.CG = nil
	f, ok := b.fill(h, x.Shape)
	if !ok {
		// What is wrong with it is said; the item keeps other checks quiet.
		x.Items = append(x.Items, rig.Item{What: "liquid", Mass: 1, At: x.Shape.Middle()})
		return
	}
	x.Fill, x.FillItem = &f, len(x.Items)
	x.Items = append(x.Items, rig.Item{What: f.Liquid.Name, Mass: f.Mass, At: f.CG([3]float64{0, 0, 1})})
	if f.Band > 0 && x.MassBand == nil && x.Known == "" {
		x.Known, x.MassBand = "estimated", &f.Band
	}
}

// fill reads a fill of liquid in a tank of this shape; ok is false where
// something is wrong with it, which is then said.
func (b *builder) fill(h *document.Value, shape rig.Shape) (liquid.Fill, bool) {
	e := liquid.Entry{
		Volume: optional(h.Get("volume")), Mass: optional(h.Get("mass")), At: h.Get("at").SI(), Hottest: optional(h.Get("hottest")),
		Tank: liquid.Tank{
			Size: shape.Size, Length: shape.Length, Diameter: shape.Diameter, Axis: shape.Axis,
			Capacity: h.Get("capacity").SI(), Collapsible: h.Get("collapsible").Yes(),
		},
	}
	switch shape.Kind {
	case rig.BoxShape:
		e.Tank.Kind = liquid.Box
	case rig.DrumShape:
		e.Tank.Kind = liquid.Drum
	}
	if bounds := bandOf(h.Get("fill-bounds")); bounds != nil {
		e.Tank.Least, e.Tank.Most = bounds[0], bounds[1]
		if !e.Tank.Collapsible {
			b.problems = append(b.problems, h.Get("fill-bounds").Problem("fill bounds are only for a tank of fabric", "add collapsible: yes, or leave them out"))
		}
	}
	if !h.AllValid() {
		return liquid.Fill{}, false
	}
	named, err := liquidOf(h.Get("liquid"))
	if err != nil {
		b.refuse(h, h.Get("liquid"), err)
		return liquid.Fill{}, false
	}
	e.Liquid = named
	f, problems := liquid.New(e)
	for _, p := range problems {
		b.refuse(h, nil, p)
	}
	return f, len(problems) == 0
}

// refuse reports a problem of a liquid at the key that it names.
func (b *builder) refuse(h, within *document.Value, err error) {
	var p *liquid.Problem
	if !errors.As(err, &p) {
		p = &liquid.Problem{Text: err.Error()}
	}
	at := h
	for _, candidate := range []*document.Value{within, within.Get(p.Key), h.Get(p.Key)} {
		if candidate.Given() {
			at = candidate
		}
	}
	b.problems = append(b.problems, at.Problem(p.Text, p.Hint))
}

func liquidOf(v *document.Value) (liquid.Liquid, error) {
	if v.Form() == document.FormChoice {
		return liquid.Named(v.Text())
	}
	name := v.Get("name").Text()
	switch {
	case v.Has("salinity"):
		l, err := liquid.SeaWater(v.Get("salinity").Number())
		l.Name = name
		return l, err
	case v.Has("api"):
		return liquid.OfAPI(name, v.Get("api").Number())
	}
	return liquid.OfDensity(name, v.Get("density-15").SI())
}
