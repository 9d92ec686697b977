package catalogfile

import (
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/part"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.catalog/1"

// shape is the one declaration that the reader and the schema follow.
var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "what this catalogue is"),
	document.Optional("criteria", document.Map(criterion, 0, 400), "published criteria that the kinds answer to"),
	document.Optional("spacers", document.List(spacer, 0, 400), "where a spacer belongs on an apex fitting and where not"),
	document.Optional("kinds", document.Map(kind, 0, 400), "the kinds of parts, by id"),
)

// sentence is as long as a hazard or a question may be and still be read.
var sentence = document.Text(300)

var source = document.Text(300)

var criterion = document.Object(
	document.Required("where", document.Text(160), "publication and paragraph, and whether it was read or recalled"),
	document.Required("text", sentence, "what it says, in general words"),
	document.Optional("gap", sentence, "why no kind covers it"),
)

var spacer = document.Object(
	document.Required("fitting", document.ID(), "kind of the apex fitting"),
	document.Required("on", document.ID(), "kind of the hook or pendant that it hangs on"),
	document.Required("spacer", document.Choice(words([]part.SpacerNeed{part.Required, part.Forbidden, part.NotStated})...), "whether a spacer belongs there"),
	document.Required("source", source, "where this is written"),
)

var kind = document.Object(
	document.Required("name", document.Text(80), "what people call it"),
	document.Optional("each", document.Choice(words(part.Eaches)...), "on what of every rig it is found; left out where a rig file names it"),
	document.Optional("instead-of", document.List(document.ID(), 1, 20), "kinds that such a part takes the place of"),
	document.Optional("duty", document.Choice(words(part.Duties)...), "what a tie is for"),
	document.Optional("place", document.Choice(words(part.Spots)...), "where on the leg or body it sits; in the middle by default"),
	document.Optional("figure", document.ID(), "the figure that shows it in each of its states"),
	document.Optional("real", sentence, "what a person should know of its real size"),
	document.Required("source", source, "where the entry comes from, or: common practice, no source").Example("common practice, no source"),
	document.Required("attributes", document.Map(attribute, 1, 40), "what can be asked of it"),
)

var ends = document.List(document.Choice(words(part.Ends)...), 1, len(part.Ends))

var attribute = document.Object(
	document.Required("ask", sentence, "the question, as a checkpoint asks it"),
	document.Required("see", document.List(document.Choice(words(part.Sees)...), 1, len(part.Sees)), "how a person finds out; any one of these shows it"),
	document.Optional("from", document.Choice(words(part.Froms)...), "where the person has to be; near by default"),
	document.Optional("good", document.ID(), "which state is the good one"),
	document.Optional("plan", document.Choice(words(part.Plans)...), "what of the rig says what the good state is"),
	document.Optional("when", document.Object(
		document.Optional("tail", document.Integer(1, 1000), "only with at least so many free links of chain"),
		document.Optional("seats", document.YesNo(), "only where the leg's seat is entered"),
		document.Optional("points", document.Integer(2, 12), "only where the leg holds at least so many points"),
		document.Optional("sets", document.Integer(2, 24), "only where the rig has at least so many sets"),
		document.Optional("pendant", document.YesNo(), "only where the apex hangs on a pendant"),
	), "on which parts it makes sense; on all by default"),
	document.Optional("ends", ends, "what a bad state may end in"),
	document.Optional("act", document.Choice(words(part.Acts)...), "whether a bad state stops the lift or is put right on the spot"),
	document.Optional("plant", document.Choice(words(part.Plants)...), "how a bad state can be made for training"),
	document.Optional("hazard", sentence, "what a bad state may lead to"),
	document.Optional("source", source, "where it comes from, if not as its kind"),
	document.Optional("meets", document.List(document.ID(), 1, 20), "published criteria that it covers"),
	document.Required("states", document.Map(state, 2, 40), "the answers there are"),
)

var state = document.OneOf(
	sentence,
	document.Object(
		document.Required("text", sentence, "what a person finds"),
		document.Optional("put-back", sentence, "how a person sees that it is undone, where the good state's text does not say it of this one"),
		document.Optional("hazard", sentence, "what it may lead to"),
		document.Optional("ends", ends, "what it may end in"),
		document.Optional("act", document.Choice(words(part.Acts)...), "whether it stops the lift or is put right on the spot"),
		document.Optional("plant", document.Choice(words(part.Plants)...), "how it can be made for training"),
		document.Optional("effect", document.OneOf(
			document.Choice(words(part.Meanings)...),
			document.Object(document.Required("count", document.Integer(-50, 50), "links more, or fewer with a minus sign, than planned")),
		), "what it means to the mechanics of the load"),
		document.Optional("source", source, "where it comes from, if not as its attribute"),
		document.Optional("draw", document.Map(document.Text(80), 1, 20), "parameters of the figure in this state"),
	),
)

func words[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{
		Title:       Format,
		Description: "Kinds of parts that a person looks at on a rig, with their states and what these lead to.",
	})
}
