package rigfile

import (
	"hangtrue/internal/engine/document"
	q "hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.rig/1"

// shape is the one declaration that the reader, the schema and the tables of
// the documentation follow.
var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "what the load is"),
	document.Optional("invented", document.YesNo(), "yes for demo data: marked INVENTED everywhere, cannot be signed"),
	document.Optional("notes", document.Lines(4000), "anything a person should know"),
	document.Optional("show", document.Choice("metric", "us"), "units of the output; by default those that the file mostly uses"),
	document.Optional("apex", document.List(apex, 1, 4), "where the legs come together; by default one apex at the origin"),
	document.Required("bodies", document.List(body, 1, 24), "the rigid things that hang"),
	document.Optional("legs", document.List(leg, 0, 96), "the sling legs"),
	document.Optional("sets", document.List(set, 0, 24), "what is marked on the plate of each set of legs"),
	document.Optional("limits", limits, "the rig's own limits of attitude and leg angle"),
	document.Optional("leg-tolerance", document.Quantity(q.Length).NotNegative(), "how much longer or shorter a leg may be than entered, where statics leaves the tensions open; by default half a link").Example("leg-tolerance: 12 mm"),
	document.Optional("legs-counted", document.OneOf(document.Integer(2, 3), document.Choice("all")), "how many legs of such a set the user's rule counts"),
	document.Optional("lowest-count", document.Integer(1, 1000), "the lowest count that practice allows; by default 3 (common practice, no source)"),
	document.Optional("procedure", procedure, "the approved rigging procedure that the rig follows"),
	document.Optional("parts", document.List(part, 0, 400), "parts to look at that do not follow from legs, points and bodies"),
)

var position = document.Tuple(document.Quantity(q.Length), 3)

var rating = document.Quantity(q.Force).Positive()

var apex = document.Object(
	document.Optional("id", document.ID(), "name of the apex; apex by default"),
	document.Optional("at", position, "the hook, in the hook frame: x forward, y left, z up"),
	document.Optional("pendant", document.Object(
		document.Required("length", document.Quantity(q.Length).Positive(), "unstretched length"),
		document.Required("stretch", document.Stretch(), "how far it stretches at a pull"),
		document.Optional("rated", rating, "the pull that its rating allows"),
	), "a single line from the hook down to the apex, which then hangs free"),
	document.Optional("rated", rating, "rating of the apex fitting"),
	document.Optional("hook", rating, "what the hook may carry"),
)

var point = document.OneOf(
	position,
	document.Object(
		document.Required("at", position, "in the body's frame"),
		document.Optional("rated", rating, "the pull that the lift point's rating allows"),
		document.Optional("pull", document.Tuple(document.Number(-1e6, 1e6), 3), "the direction it is made to be pulled in, in the body's frame"),
		document.Optional("within", document.Quantity(q.Angle).Positive(), "how far from that direction; 45 deg if not entered (common practice, no source)"),
	),
)

var body = document.Object(
	document.Required("id", document.ID(), "name of the body"),
	document.Optional("shape", document.OneOf(
		document.Object(document.Required("box", document.Tuple(document.Quantity(q.Length).Positive(), 3), "its sides along x, y and z")),
		document.Object(document.Required("drum", document.Object(
			document.Required("length", document.Quantity(q.Length).Positive(), "along its axis"),
			document.Required("diameter", document.Quantity(q.Length).Positive(), "across its axis"),
			document.Optional("axis", document.Choice("x", "y", "z"), "which way it lies; x by default"),
		), "a drum, lying or standing")),
	), "its outline; without one it is only a mass with points"),
	document.Optional("mass", document.Quantity(q.Mass).Positive(), "what it weighs"),
	document.Optional("items", document.List(document.Object(
		document.Optional("what", document.Text(120), "the thing's name"),
		document.Required("mass", document.Quantity(q.Mass).NotNegative(), "its mass"),
		document.Required("at", position, "its CG in the body's frame"),
	), 1, 200), "instead of mass and cg: the things it is made of"),
	document.Optional("contents", document.Object(
		document.Optional("what", document.Text(120), "the liquid or goods"),
		document.Optional("mass", document.Quantity(q.Mass).NotNegative(), "what they weigh"),
		document.Optional("volume", document.Quantity(q.Volume).NotNegative(), "how much of them there is"),
		document.Optional("density", document.Quantity(q.Density).Positive(), "with volume: how dense they are"),
		document.Optional("at", position, "their CG; the middle of the shape by default"),
	).ExactlyOne("mass", "volume"), "instead of mass: what it holds, on top of its tare"),
	document.Optional("holds", holds, "instead of mass: the liquid in it, on top of its tare; its weight follows from its temperature, and its CG from how the body tilts"),
	document.Optional("tare", document.Quantity(q.Mass).NotNegative(), "with contents or holds: what it weighs empty, its CG at cg"),
	document.Optional("cg", position, "centre of gravity from the centre of the base; the middle of the shape by default"),
	document.Optional("gyration", document.Tuple(document.Quantity(q.Length).Positive(), 3), "radii of gyration about the CG along x, y and z; by default the shape filled evenly"),
	document.Optional("drag", document.Tuple(document.Quantity(q.Area).NotNegative(), 3), "drag areas (drag coefficient times area) of air along x, y and z, for the study of flight; by default from its shape; a body without shape has none").Example("drag: [3.1 m2, 4.4 m2, 5.0 m2]"),
	document.Optional("points", document.Map(point, 0, 64), "places that legs are attached to"),
	document.Optional("at", position, "where the centre of its base stands on the ground"),
	document.Optional("heading", document.Quantity(q.Angle), "from x towards y"),
	document.Optional("known", document.Choice("weighed", "plate", "estimated"), "how the weight is known"),
	document.Optional("known-by", document.Text(120), "who weighed or estimated it"),
	document.Optional("known-on", document.Date(), "the day, 2026-05-04"),
	document.Optional("give-or-take", document.Quantity(q.Mass).NotNegative(), "how far an estimated weight may be off"),
).ExactlyOne("mass", "items", "contents", "holds")

var rope = document.Object(
	document.Required("length", document.Quantity(q.Length).Positive(), "unstretched length"),
	document.Required("stretch", document.Stretch(), "how far it stretches at a pull"),
)

var chain = document.Object(
	document.Required("links", document.Integer(2, 2000), "number of links"),
	document.Required("pitch", document.Quantity(q.Length).Positive(), "length that one link adds"),
	document.Required("stretch", document.Stretch(), "how far one strand stretches at a pull"),
)

var leg = document.Object(
	document.Required("id", document.ID(), "name of the leg"),
	document.Optional("from", document.Reference(), "an apex, or body.point; may be left out where there is one apex"),
	document.Required("to", document.OneOf(document.Reference(), document.List(document.Reference(), 1, 12)), "body.point, or the points its chain goes through in order"),
	document.Optional("length", document.Quantity(q.Length).Positive(), "of a plain leg, unstretched"),
	document.Optional("stretch", document.Stretch(), "of a plain leg"),
	document.Optional("rope", rope, "the upper part of a leg with a chain"),
	document.Optional("chain", chain, "the lower part: looped through the point and back to the grab hook"),
	document.Optional("fittings", document.Quantity(q.Length).NotNegative(), "hook, eye, spool: adds length and does not stretch"),
	document.Optional("count", document.OneOf(document.Integer(1, 2000), document.Choice("find")), "the link held by the grab hook, from the chain's free end, the last being 1; find leaves it open"),
	document.Optional("group", document.ID(), "legs of one group keep the same count; other counts are an error"),
	document.Optional("seat", document.Integer(1, 100), "place on the apex pin, from the left, facing the load's front"),
	document.Optional("rated", rating, "the pull along this leg that its rating allows"),
	document.Optional("clevis", document.OneOf(rating, document.Choice("none")), "rating of the clevis at its lower end"),
	document.Optional("hitch", document.OneOf(
		document.Choice("direct", "choke", "basket"),
		document.Object(
			document.Required("kind", document.Choice("direct", "choke", "basket"), "how the leg holds the load"),
			document.Optional("factor", document.Number(0.01, 10), "what its rating is multiplied by"),
			document.Optional("source", document.Text(200), "where the factor comes from"),
		),
	), "how the leg holds the load; direct by default"),
).AtMostOne("length", "rope").AtMostOne("length", "chain")

var set = document.Object(
	document.Required("id", document.ID(), "name of the set"),
	document.Required("legs", document.List(document.ID(), 1, 96), "the legs that belong to it"),
	document.Optional("rated", rating, "the load that the whole set may carry"),
	document.Optional("up-to", document.Quantity(q.Angle).Positive(), "within which angle from the vertical"),
	document.Optional("source", document.Text(200), "where this is written"),
)

var limits = document.Object(
	document.Optional("pitch", document.Tuple(document.Quantity(q.Angle), 2), "lowest and highest pitch, positive nose up"),
	document.Optional("roll", document.Tuple(document.Quantity(q.Angle), 2), "lowest and highest roll, positive right side down"),
	document.Optional("leg-angle", document.Quantity(q.Angle).Positive(), "from the vertical, for legs whose set states none"),
)

var procedure = document.Object(
	document.Required("publication", document.Text(200), "what it is called"),
	document.Optional("edition", document.Text(80), "its edition"),
	document.Optional("change", document.Text(80), "its change or amendment"),
	document.Optional("paragraph", document.Text(80), "where in it"),
	document.Optional("covers", document.Object(
		document.Optional("weight", document.Tuple(document.Quantity(q.Force), 2), "lowest and highest weight of the load"),
		document.Optional("aircraft", document.OneOf(document.Text(120), document.List(document.Text(120), 1, 40)), "the aircraft"),
		document.Optional("set", document.Text(120), "the sling set"),
		document.Optional("airspeed", document.Text(120), "the published airspeed, as written there"),
	), "what it covers"),
	document.Optional("counts", document.Map(document.Integer(1, 2000), 0, 96), "the counts that it gives, by leg"),
)

var part = document.Object(
	document.Required("id", document.ID(), "name of the part"),
	document.Required("kind", document.ID(), "its kind in the catalogue"),
	document.Required("on", document.Reference(), "the leg, body, body.point or apex that it belongs to"),
	document.Optional("at", position, "where it is, in the body's frame"),
)

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{
		Title:       Format,
		Description: "A load as it hangs under a hook: bodies, legs, apexes and the limits they are judged by.",
	})
}
