package aircraftfile

import (
	"hangtrue/internal/engine/document"
	q "hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.aircraft/1"

var (
	position = document.Tuple(document.Quantity(q.Length), 3)
	mass     = document.Quantity(q.Mass)
	rating   = document.Quantity(q.Force).Positive()
	source   = document.Text(200)
)

var item = document.Object(
	document.Required("what", document.Text(120), "the person or thing"),
	document.Required("mass", mass.NotNegative(), "what it weighs"),
	document.Optional("at", position, "where its CG is; needed for the aircraft's CG only"),
)

var table = document.Object(
	document.Required("altitudes", document.List(document.Quantity(q.Length), 2, 60), "pressure altitudes, from low to high"),
	document.Required("temperatures", document.List(document.Quantity(q.Temperature), 2, 60), "from cold to hot"),
	document.Required("gross", document.List(document.List(document.OneOf(mass.Positive(), document.Choice("none")), 2, 60), 2, 60),
		"one row for each altitude, in it the highest gross mass for each temperature; none where the manual has none"),
	document.Optional("source", source, "page or figure of the manual"),
)

var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Required("title", document.Text(120), "type, or what the school calls it"),
	document.Optional("invented", document.YesNo(), "yes for an aircraft that does not exist: marked INVENTED on everything"),
	document.Optional("notes", document.Lines(4000), "anything a person should know"),
	document.Optional("show", document.Choice("metric", "us"), "units of the output; by default those that the file mostly uses"),
	document.Optional("source", document.Object(
		document.Required("publication", source, "the flight manual"),
		document.Optional("edition", document.Text(80), "its edition"),
		document.Optional("change", document.Text(80), "its change or amendment"),
	), "where the figures were copied from; needed unless invented"),
	document.Required("empty", document.Object(
		document.Required("mass", mass.Positive(), "as weighed"),
		document.Optional("at", position, "its CG"),
	), "the aircraft as it was weighed, empty"),
	document.Optional("crew", document.List(item, 0, 20), "who flies in it, equipped"),
	document.Optional("kit", document.List(item, 0, 100), "what is aboard for the work"),
	document.Required("fuel", document.Object(
		document.Required("capacity", document.Quantity(q.Mass, q.Volume).Positive(), "usable fuel"),
		document.Required("burn", document.Quantity(q.MassFlow, q.VolumeFlow).Positive(), "in an hour"),
		document.Optional("density", document.Quantity(q.Density).Positive(), "that litres are counted with").Example("density: 800 kg/m3"),
		document.Optional("reserve", document.Quantity(q.Mass, q.Duration).NotNegative(), "what must be left on landing: a mass, or a time at the burn"),
		document.Optional("at", position, "CG of the fuel"),
	), "what it burns"),
	document.Optional("limits", document.Object(
		document.Optional("gross", mass.Positive(), "highest gross weight without an external load"),
		document.Optional("external-gross", mass.Positive(), "highest gross weight with one, load included"),
		document.Optional("cg", document.Tuple(document.Quantity(q.Length), 2), "between which x of its CG, loads at their hooks: rear and front"),
	), "the manual's limits of weight and balance"),
	document.Required("hooks", document.List(document.Object(
		document.Required("id", document.ID(), "name of the hook"),
		document.Optional("at", position, "where it pulls"),
		document.Optional("rated", rating, "what it may carry by itself"),
		document.Optional("section", document.Quantity(q.Length).Positive(), "thickness of its load beam: a ring must be wider inside"),
		document.Optional("inside", document.Quantity(q.Length).Positive(), "its clear opening: a ring's stock must be thinner"),
	), 1, 8), "its cargo hooks"),
	document.Optional("hooks-together", document.List(document.Object(
		document.Required("hooks", document.List(document.ID(), 2, 8), "the hooks"),
		document.Required("rated", rating, "what they may carry together"),
	), 0, 20), "what several hooks may carry at the same time"),
	document.Optional("hover", document.Object(
		document.Optional("oge", table, "out of ground effect"),
		document.Optional("ige", table, "in ground effect"),
	), "hover tables"),
	document.Optional("rotors", document.Object(
		document.Required("count", document.Integer(1, 4), "how many lifting rotors"),
		document.Required("diameter", document.Quantity(q.Length).Positive(), "of each"),
		document.Optional("speed", document.Quantity(q.RotationRate).Positive(), "at which they turn"),
		document.Optional("blades", document.Integer(2, 8), "of each"),
	), "its lifting rotors"),
	document.Optional("spacers", document.List(document.Object(
		document.Required("apex", document.ID(), "kind of apex fitting"),
		document.Required("hook", document.ID(), "the hook that it hangs on"),
		document.Required("spacer", document.Choice("required", "forbidden"), "whether it takes its spacer there"),
		document.Optional("source", source, "where this is written"),
	), 0, 40), "spacer rules; a pair that is not listed is not stated"),
	document.Optional("airspeeds", document.List(document.Object(
		document.Required("what", document.Text(120), "for which load or state"),
		document.Required("limit", document.Quantity(q.Speed).Positive(), "the limit"),
		document.Optional("source", source, "where this is written"),
	), 0, 40), "limits of airspeed with an external load"),
	document.Optional("reductions", document.List(document.Object(
		document.Required("what", document.Text(120), "what it is for"),
		document.Required("mass", mass.Positive(), "by how much the table's gross mass is lowered"),
		document.Required("for", document.Choice("every load", "loads that cannot be jettisoned"), "when it holds"),
	), 0, 20), "fixed reductions of the hover weight"),
)

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{
		Title:       Format,
		Description: "What an aircraft weighs, burns, may carry on its hooks and can hover with.",
	})
}
