package dayfile

import (
	"hangtrue/internal/engine/document"
	q "hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.day/1"

var (
	mass   = document.Quantity(q.Mass)
	length = document.Quantity(q.Length)
)

var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "which day's work"),
	document.Optional("invented", document.YesNo(), "yes for demo data: marked INVENTED everywhere"),
	document.Optional("notes", document.Lines(4000), "anything a person should know"),
	document.Required("aircraft", document.Text(200), "an aircraft file beside this one, or the name of a shipped aircraft"),
	document.Required("begins", document.Text(5), "time of day, 07:30"),
	document.Optional("until", document.Text(5), "time of day by which the last load must be down, 16:00"),
	document.Required("start", document.ID(), "the place where the aircraft stands"),
	document.Required("fuel", mass.NotNegative(), "fuel aboard at the start"),
	document.Optional("fills", document.List(mass.Positive(), 0, 4), "fuel aboard after refuelling, to choose from: less fuel lifts more; without, no fuel is taken"),
	document.Required("speed", document.Object(
		document.Required("empty", document.Quantity(q.Speed).Positive(), "over ground, without a load"),
		document.Required("loaded", document.Quantity(q.Speed).Positive(), "over ground, with one"),
	), "as entered; no speed is computed"),
	document.Required("times", document.Object(
		document.Required("hook-up", document.Quantity(q.Duration).NotNegative(), "for each lift"),
		document.Required("set-down", document.Quantity(q.Duration).NotNegative(), "for each load"),
		document.Required("refuel", document.Quantity(q.Duration).NotNegative(), "each time"),
	), "how long things take"),
	document.Required("places", document.List(document.Object(
		document.Required("id", document.ID(), "name of the place"),
		document.Optional("fuel", document.YesNo(), "yes where fuel can be taken"),
		document.Optional("elevation", length, "height above the sea, for air given with a QNH"),
		document.Required("air", document.List(document.Object(
			document.Optional("from", document.Text(5), "time of day from which it holds; the first holds from the beginning"),
			document.Optional("qnh", document.Quantity(q.Pressure).Positive(), "with the place's elevation"),
			document.Optional("pressure-altitude", length, "instead of a QNH"),
			document.Required("temperature", document.Quantity(q.Temperature), "of the air"),
		).ExactlyOne("qnh", "pressure-altitude"), 1, 48), "the air there, hour by hour"),
	), 1, 20), "where loads wait, where they go, and where fuel is"),
	document.Optional("distances", document.List(document.Object(
		document.Required("between", document.List(document.ID(), 2, 2), "two places"),
		document.Required("distance", length.Positive(), "as flown"),
	), 0, 190), "between every two places"),
	document.Required("lifts", document.List(waiting, 1, 40), "what waits: one load, or several on several hooks, set down in their order"),
)

var waiting = document.Object(
	document.Required("id", document.ID(), "name of the lift"),
	document.Required("from", document.ID(), "the place where it waits"),
	document.Required("loads", document.List(document.Object(
		document.Required("id", document.ID(), "name of the load"),
		document.Required("mass", mass.Positive(), "what it weighs, with its rigging"),
		document.Required("known", document.Choice("weighed", "plate", "estimated"), "how the weight is known"),
		document.Optional("give-or-take", mass.NotNegative(), "how far it may be off; an estimate needs it"),
		document.Required("to", document.ID(), "the place that it goes to"),
		document.Required("hook", document.ID(), "the hook that it hangs on"),
		document.Optional("rigging", document.List(document.Object(
			document.Required("what", document.Text(120), "sling set, net, bag, line"),
			document.Optional("rated", document.Quantity(q.Force).Positive(), "the load that it may carry"),
			document.Optional("source", document.Text(200), "where this is written"),
		), 0, 20), "what the load hangs on beneath the hook"),
		document.Optional("equipment", document.List(document.Object(
			document.Required("what", document.Text(120), "net, line, sling set"),
			document.Required("mass", mass.NotNegative(), "what it weighs, part of the load"),
			document.Optional("home", document.Choice("stays", "inside", "on hook"), "how it comes home"),
			document.Optional("swivel", document.YesNo(), "yes where it has a swivel above it on the way home"),
			document.Optional("weighted", mass.NotNegative(), "what is hung beneath it on the way home"),
		), 0, 20), "what goes out with it and has to come home"),
	), 1, 4), "the loads, in the order in which they are set down"),
)

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{Title: Format, Description: "A day's work for one aircraft: loads that wait, places, air hour by hour, fuel."})
}
