// Package conditionsfile reads the conditions of a flight with a load, format
// hangtrue.conditions/1: air and fuel at pick-up and drop-off, which hook the
// load hangs on, and what goes into the hook.
//
// # The format
//
// A strict subset of YAML (see package document). A reader that sees another
// name or number stops.
//
//	format: hangtrue.conditions/1
//	pick-up: {place: valley, elevation: 620 m, qnh: 1016 hPa, temperature: 14 degC, fuel: 700 kg}
//	drop-off: {place: hut, elevation: 1840 m, qnh: 1016 hPa, temperature: 8 degC}
//	flight: 7 min
//	home: 6 min
//	fitting: {kind: apex-large, inside: 60 mm, stock: 25 mm}
//
// With flight the fuel at drop-off follows from the burn; without it, it is
// entered. Keys may be added to conditions/1 until release 1.0; afterwards a
// new key means conditions/2.
package conditionsfile

import (
	"errors"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	q "hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.conditions/1"

var end = func(fuel document.Field) document.Shape {
	return document.Object(
		document.Optional("place", document.Text(60), "what the place is called"),
		document.Optional("elevation", document.Quantity(q.Length), "its height above the sea, with qnh"),
		document.Optional("qnh", document.Quantity(q.Pressure).Positive(), "the altimeter setting that shows the elevation there").Example("qnh: 1013 hPa"),
		document.Optional("pressure-altitude", document.Quantity(q.Length), "instead of elevation and qnh"),
		document.Required("temperature", document.Quantity(q.Temperature), "of the air there"),
		fuel,
		document.Optional("in-ground-effect", document.YesNo(), "yes where the aircraft hovers in ground effect: the table for that holds"),
	).ExactlyOne("elevation", "pressure-altitude").AtMostOne("qnh", "pressure-altitude")
}

var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "which flight"),
	document.Optional("invented", document.YesNo(), "yes for demo data: marked INVENTED everywhere"),
	document.Required("pick-up", end(document.Required("fuel", document.Quantity(q.Mass).NotNegative(), "fuel aboard as it hovers over the load")), "where the load is taken up"),
	document.Required("drop-off", end(document.Optional("fuel", document.Quantity(q.Mass).NotNegative(), "fuel aboard as it hovers there; or flight")), "where it is set down"),
	document.Optional("flight", document.Quantity(q.Duration).NotNegative(), "how long it flies from pick-up to drop-off, instead of the fuel there"),
	document.Optional("home", document.Quantity(q.Duration).NotNegative(), "how long it then flies to where fuel is"),
	document.Optional("hooks", document.Map(document.ID(), 0, 4), "for each apex of the rig the aircraft's hook; not needed where their names are alike, or there is one of each"),
	document.Optional("fitting", document.Object(
		document.Optional("kind", document.ID(), "kind of the apex fitting, as the aircraft's spacer rules name it"),
		document.Optional("inside", document.Quantity(q.Length).Positive(), "its smallest clear width inside: it must go over the hook's load beam"),
		document.Optional("stock", document.Quantity(q.Length).Positive(), "how thick its material is: it must go through the hook's opening"),
	), "what goes into the hook"),
	document.Optional("jettisonable", document.YesNo(), "no for a load that cannot be jettisoned"),
	document.Optional("aboard", document.List(document.Object(
		document.Required("what", document.Text(120), "the person or thing"),
		document.Required("mass", document.Quantity(q.Mass).NotNegative(), "what it weighs"),
		document.Optional("at", document.Tuple(document.Quantity(q.Length), 3), "where its CG is, in the aircraft's frame"),
	), 0, 40), "aboard today, besides the crew and kit of the aircraft file"),
	document.Optional("rigging", document.List(document.Object(
		document.Required("what", document.Text(120), "net, bag, line"),
		document.Optional("rated", document.Quantity(q.Force).Positive(), "the load that it may carry"),
		document.Optional("source", document.Text(200), "where this is written"),
	), 0, 20), "of the load path, besides what the rig file has"),
)

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{Title: Format, Description: "Air and fuel at pick-up and drop-off, and what goes into the hook."})
}

// Read makes conditions of their file, or returns everything that is wrong with
// it in the order of its lines. It never returns both.
func Read(data []byte) (*lift.Conditions, []document.Problem) {
	v, problems := document.Read(data, shape)
	if v == nil || len(problems) > 0 {
		return nil, problems
	}
	c := &lift.Conditions{
		Title: v.Get("title").Text(), Invented: v.Get("invented").Yes(), Home: v.Get("home").SI(), Hooks: map[string]string{},
		Fitting: lift.Fitting{Kind: v.Get("fitting").Get("kind").Text(), Ring: lift.Ring{
			Inside: optional(v.Get("fitting").Get("inside")), Stock: optional(v.Get("fitting").Get("stock")),
		}},
		NotJettisoned: v.Has("jettisonable") && !v.Get("jettisonable").Yes(),
		Flight:        optional(v.Get("flight")),
	}
	for _, apex := range v.Get("hooks").Keys() {
		c.Hooks[apex] = v.Get("hooks").Get(apex).Text()
	}
	for _, x := range v.Get("aboard").Items() {
		item := lift.Item{What: x.Get("what").Text(), Mass: x.Get("mass").SI()}
		if at := x.Get("at"); at.Given() {
			place := lift.Vec(at.Vector())
			item.At = &place
		}
		c.Extra = append(c.Extra, item)
	}
	for _, x := range v.Get("rigging").Items() {
		c.Rigging = append(c.Rigging, lift.Limit{What: x.Get("what").Text(), Rated: optional(x.Get("rated")), Source: x.Get("source").Text()})
	}
	switch down := v.Get("drop-off"); {
	case down.Has("fuel") && v.Has("flight"):
		problems = append(problems, v.Get("flight").Problem("the fuel at drop-off is entered, and the flight there too", "leave out one of the two"))
	case !down.Has("fuel") && !v.Has("flight"):
		problems = append(problems, down.Problem("the fuel at drop-off is not known", "add fuel: here, or flight: with the time it flies there"))
	}
	for name, to := range map[string]*lift.End{"pick-up": &c.PickUp, "drop-off": &c.DropOff} {
		var p *document.Problem
		if *to, p = endOf(v.Get(name)); p != nil {
			problems = append(problems, *p)
		}
	}
	if len(problems) > 0 {
		document.Sort(problems)
		return nil, problems
	}
	return c, nil
}

func endOf(v *document.Value) (lift.End, *document.Problem) {
	e := lift.End{
		Place: v.Get("place").Text(), PressureAltitude: v.Get("pressure-altitude").SI(), Temperature: v.Get("temperature").SI(),
		Fuel: v.Get("fuel").SI(), InGround: v.Get("in-ground-effect").Yes(),
	}
	if !v.Has("elevation") {
		return e, nil
	}
	if !v.Has("qnh") {
		p := v.Problem("an elevation without a QNH gives no pressure altitude", "add qnh:, for example qnh: 1013 hPa, or enter pressure-altitude:")
		return e, &p
	}
	h, err := air.PressureAltitude(v.Get("elevation").SI(), v.Get("qnh").SI())
	var wrong *air.Problem
	if errors.As(err, &wrong) {
		at := v
		if v.Has(wrong.Key) {
			at = v.Get(wrong.Key)
		}
		p := at.Problem(wrong.Text, wrong.Hint)
		return e, &p
	}
	e.PressureAltitude = h
	return e, nil
}

func optional(v *document.Value) *float64 {
	if !v.Valid() {
		return nil
	}
	x := v.SI()
	return &x
}
