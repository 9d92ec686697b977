package web

import (
	"fmt"
	"net/http"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// The forms that a tank may have, as the page calls them.
const (
	drumLying    = "drum lying on its side"
	drumStanding = "drum standing"
	boxTank      = "box"
)

var liquidForm = []formSection{
	{Key: "fill", Title: "The liquid", Help: "By name alone a fuel has a tolerance: its specification’s width. A density at 15 °C or an API gravity from the delivery note takes its place.", Field: []formField{
		{Key: "liquid", Label: "Liquid", Choices: liquid.Names()},
		{Key: "density-15", Label: "Density at 15 °C", Example: "804 kg/m3"},
		{Key: "api", Label: "or API gravity", Example: "44.3"},
		{Key: "salinity", Label: "Salinity of sea water", Example: "35"},
		{Key: "volume", Label: "Volume", Example: "900 L"},
		{Key: "mass", Label: "or mass", Example: "700 kg"},
		{Key: "at", Label: "Temperature when filled", Example: "12 degC"},
		{Key: "hottest", Label: "Hottest it may get", Example: "40 degC"},
	}},
	{Key: "tank", Title: "The tank", Help: "Without a tank only density and mass are worked out. A tank of fabric takes the fills between which its maker allows it to be lifted.", Field: []formField{
		{Key: "form", Label: "Form", Choices: []string{drumLying, drumStanding, boxTank}},
		{Key: "length", Label: "Drum: length", Example: "1.5 m"},
		{Key: "diameter", Label: "Drum: diameter", Example: "0.9 m"},
		{Key: "size", Label: "Box: x, y, z", Example: "1 m, 1 m, 1 m"},
		{Key: "capacity", Label: "Holds, brim-full", Example: "920 L"},
		{Key: "collapsible", Label: "Of fabric", Choices: []string{"yes", "no"}},
		{Key: "fill-bounds", Label: "Fabric: least, most", Example: "300 L, 900 L"},
	}},
}

// liquidPage works out what a fill weighs and how much room it has.
func (s *Server) liquidPage(w http.ResponseWriter, r *http.Request) error {
	form := r.URL.Query()
	p := &askedView{
		frame: frame{Title: "Liquid"}, Address: "/weigh/liquid", Links: weighPages("/weigh/liquid"), Asked: len(form) > 0,
		Intro: "What a fill of liquid weighs at its temperature, where its CG lies, and how much room is left for it to expand.",
		Units: "900 L, 240 USgal, 700 kg, 12 degC, 54 degF, 804 kg/m3",
	}
	a := askingOf(form)
	entry, tank := a.fillEntry()
	var filled *app.Filled
	if len(a.problems) == 0 {
		var wrong []*liquid.Problem
		filled, wrong = app.Fill(entry, tank, a.show())
		for _, x := range wrong {
			a.problems = append(a.problems, document.Problem{Path: liquidPath(x.Key), Text: x.Text, Hint: x.Hint})
		}
	}
	p.fill(liquidForm, a.t, a.problems)
	if filled != nil && p.Asked {
		p.filled(filled)
	}
	return s.answerAsked(w, r, p)
}

func liquidPath(key string) string {
	for _, f := range liquidForm[1].Field {
		if f.Key == key {
			return "tank." + key
		}
	}
	return "fill." + key
}

func (a *asking) fillEntry() (e liquid.Entry, tank bool) {
	e.Liquid = a.liquid()
	if at := a.si("fill.at", quantity.Temperature); at != nil {
		e.At = *at
	} else if a.text("fill.at") == "" {
		a.need("fill.at")
	}
	e.Volume, e.Mass = a.si("fill.volume", quantity.Volume), a.si("fill.mass", quantity.Mass)
	e.Hottest = a.si("fill.hottest", quantity.Temperature)
	switch {
	case a.text("fill.volume") != "" && a.text("fill.mass") != "":
		a.refuse("fill.mass", "volume and mass are both entered", "leave out one of the two")
	case a.text("fill.volume") == "" && a.text("fill.mass") == "":
		a.need("fill.volume")
	}
	return e, a.tank(&e.Tank)
}

func (a *asking) liquid() liquid.Liquid {
	name := a.text("fill.liquid")
	if name == "" {
		a.need("fill.liquid")
		return liquid.Liquid{}
	}
	density, api, salinity := a.si("fill.density-15", quantity.Density), a.number("fill.api"), a.number("fill.salinity")
	var l liquid.Liquid
	var err error
	path := "fill.liquid"
	switch {
	case density != nil && api != nil:
		a.refuse("fill.api", "a density and an API gravity are both entered", "leave out one of the two")
		return l
	case density != nil:
		path = "fill.density-15"
		l, err = liquid.OfDensity(name, *density)
	case api != nil:
		path = "fill.api"
		l, err = liquid.OfAPI(name, *api)
	case salinity != nil:
		path = "fill.salinity"
		l, err = liquid.SeaWater(*salinity)
	default:
		l, err = liquid.Named(name)
	}
	if err != nil {
		p := err.(*liquid.Problem) // always, says each of them
		a.refuse(path, p.Text, p.Hint)
	}
	return l
}

// tank reads the tank; ok is false where none is entered.
func (a *asking) tank(t *liquid.Tank) (ok bool) {
	form := a.text("tank.form")
	switch form {
	case "":
		for _, f := range liquidForm[1].Field {
			if a.text("tank."+f.Key) != "" {
				a.need("tank.form")
				break
			}
		}
		return false
	case boxTank:
		t.Kind = liquid.Box
		size := a.list("tank.size", quantity.Length, 3, "three lengths")
		if a.text("tank.size") == "" {
			a.need("tank.size")
		}
		copy(t.Size[:], size)
		a.positive("tank.size", size...)
	default:
		t.Kind = liquid.Drum
		if form == drumStanding {
			t.Axis = 2
		}
		for key, to := range map[string]*float64{"length": &t.Length, "diameter": &t.Diameter} {
			path := "tank." + key
			if a.text(path) == "" {
				a.need(path)
			} else if x := a.si(path, quantity.Length); x != nil {
				*to = *x
				a.positive(path, *x)
			}
		}
	}
	if x := a.si("tank.capacity", quantity.Volume); x != nil {
		t.Capacity = *x
		a.positive("tank.capacity", *x)
	}
	t.Collapsible = a.text("tank.collapsible") == "yes"
	if bounds := a.list("tank.fill-bounds", quantity.Volume, 2, "two volumes, least and most"); bounds != nil {
		t.Least, t.Most = bounds[0], bounds[1]
		switch {
		case !t.Collapsible:
			a.refuse("tank.fill-bounds", "fill bounds are only for a tank of fabric", "")
		case t.Most < t.Least:
			a.refuse("tank.fill-bounds", "the least fill is more than the most", "the least first")
		}
	}
	return true
}

// filled words a fill.
func (p *askedView) filled(x *app.Filled) {
	f, show := x.Fill, x.Show
	p.Answered, p.paper = true, x.Sheet
	p.Kind, p.Words, p.Cause = x.Result.String(), capital(x.Result.Words()), capital(x.Reason)
	mass := show.Mass(f.Mass)
	note := ""
	if f.Band > 0 {
		mass += " ± " + show.Mass(f.Band)
		note = "the tolerance is that of the specification, since no density is entered"
	}
	p.Numbers = []numberView{
		{"It weighs", mass, note},
		{"Density at " + show.Temperature(f.At), show.Density(f.Density), f.Liquid.Source},
		{"Volume at " + show.Temperature(f.At), show.Volume(f.Volume), ""},
	}
	if x.Tank {
		p.Numbers = append(p.Numbers, numberView{"The tank holds", show.Volume(f.Tank.Holds()), "brim-full"})
		if room, ok := f.Room(); ok {
			n := numberView{"Room left at " + show.Temperature(*f.Hottest), show.Volume(room), ""}
			if room < 0 {
				n.Value, n.Note = "none", "it would overflow by "+show.Volume(-room)
			}
			p.Numbers = append(p.Numbers, n)
		}
		if most, ok := f.Fullest(); ok {
			p.Numbers = append(p.Numbers, numberView{"Largest fill at " + show.Temperature(f.At), show.Volume(most), "that still fits at the hottest"})
		}
		cg := f.CG([3]float64{0, 0, 1})
		p.Numbers = append(p.Numbers, numberView{"CG of the liquid, level", fmt.Sprintf("%s, %s, %s", show.Length(cg[0]), show.Length(cg[1]), show.Length(cg[2])), "x, y, z from the middle of the tank’s base"})
	}
	p.Levels = levelViews(x.Findings)
	if x.Result == rig.CannotTell && !x.Tank {
		p.Cause += "."
	}
}
