package brieffile

import (
	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/document"
	q "hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.brief/1"

var (
	word   = document.Text(160)
	lines  = document.Lines(600)
	size   = document.Quantity(q.Length).Positive()
	record = document.Object(
		document.Optional("on", document.Date(), "the day"),
		document.Optional("by", word, "who made it"),
		document.Optional("place", word, "where"),
		document.Optional("record", word, "its number, or what was seen"),
	)
)

func end(fuel string) document.ObjectShape {
	return document.Object(
		document.Optional("place", word, "its name"),
		document.Optional("elevation", document.Quantity(q.Length), "of the place; the QNH is needed with it"),
		document.Optional("qnh", document.Quantity(q.Pressure).Positive(), "at the place"),
		document.Optional("pressure-altitude", document.Quantity(q.Length), "in place of elevation and QNH"),
		document.Optional("temperature", document.Quantity(q.Temperature), "of the air"),
		document.Optional("fuel", document.Quantity(q.Mass).NotNegative(), fuel),
		document.Optional("in-ground-effect", document.YesNo(), "the hover there is in ground effect"),
	).AtMostOne("elevation", "pressure-altitude")
}

var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "what the papers are headed with; by default the rig's title"),
	document.Optional("invented", document.YesNo(), "yes for demo data: marked INVENTED on every paper, never signed"),
	document.Optional("notes", document.Lines(4000), "for the office; not printed"),
	document.Optional("aircraft", document.Text(120), "name of the aircraft's file, without its ending"),
	document.Optional("hooks", document.List(document.Object(
		document.Required("apex", document.ID(), "apex of the rig"),
		document.Required("hook", document.ID(), "hook of the aircraft"),
	), 0, 8), "which hook each apex hangs on; not needed where there is one of each"),
	document.Optional("fitting", document.Object(
		document.Optional("kind", document.ID(), "kind of apex fitting, as the aircraft's spacer rules name it"),
		document.Optional("inside", size, "smallest clear width inside its ring or eye"),
		document.Optional("stock", size, "thickness of its material"),
		document.Optional("spacer", document.Choice(brief.SpacerFitted, brief.SpacerLeftOff), "what is done with its spacer"),
	), "the apex fitting on the hook"),
	document.Optional("weighed", document.Object(
		document.Optional("by", word, "who weighed or estimated the load"),
		document.Optional("on", document.Date(), "the day"),
	), "who says what the load weighs"),
	document.Optional("pick-up", end("aboard at pick-up"), "where the load is taken, and the air there"),
	document.Optional("drop-off", end("left at drop-off; in place of flight"), "where it is set down, and the air there"),
	document.Optional("flight", document.Quantity(q.Duration).NotNegative(), "from pick-up to drop-off; the fuel left follows from the burn"),
	document.Optional("home", document.Quantity(q.Duration).NotNegative(), "from drop-off to where fuel is"),
	document.Optional("cannot-be-jettisoned", document.YesNo(), "the aircraft's fixed reductions for such loads hold"),
	document.Optional("jettison-area", lines, "where the load may be let go"),
	document.Optional("airspeed", document.Object(
		document.Required("limit", document.Quantity(q.Speed).Positive(), "the limit, as published"),
		document.Required("source", word, "where it is published"),
	), "published airspeed for this load"),
	document.Optional("goods", document.List(document.Object(
		document.Required("class", document.Text(40), "class of dangerous goods, or none"),
		document.Optional("un", document.Text(40), "UN number"),
		document.Optional("name", word, "name"),
		document.Optional("amount", document.Text(80), "how much"),
	), 0, 12), "dangerous goods aboard the load"),
	document.Optional("authority", document.Object(
		document.Optional("name", word, "the named authority"),
		document.Optional("reference", word, "its reference"),
		document.Optional("rig", document.Text(64), "version of the rig that it allows: its SHA-256, or the first 8 digits of it or more"),
	), "who answers for a load that no procedure covers"),
	document.Optional("test-lift", record, "record of the static test lift"),
	document.Optional("hover-check", record, "record of the operator's hover check"),
	document.Optional("team", document.Object(
		document.Optional("roles", document.List(document.Object(
			document.Required("role", document.Text(60), "signaller, static discharge, hook-up …"),
			document.Optional("who", document.Text(80), "the person"),
			document.Optional("does", document.Lines(300), "what the person does"),
		), 0, 12), "who does what"),
		document.Optional("equipment", lines, "protective equipment"),
		document.Optional("wand", lines, "how discharge wand and earth are checked"),
		document.Optional("discharge", lines, "how the hook is discharged here"),
		document.Optional("approach", lines, "the side from which the aircraft comes"),
		document.Optional("exit", lines, "the side to which the team and the aircraft leave"),
		document.Optional("wind", lines, "wind that is expected, and what ends the work"),
		document.Optional("obstacles", lines, "obstacles"),
		document.Optional("rally", lines, "rally point"),
		document.Optional("night", lines, "night marking"),
		document.Optional("radio", lines, "frequencies and call signs"),
		document.Optional("lost-communications", lines, "what is done without radio"),
		document.Optional("signals", document.List(document.Object(
			document.Required("signal", document.Text(120), "the signal as it looks"),
			document.Optional("means", word, "what it means"),
		), 0, 16), "the signals in use"),
	), "what the hook-up team is told"),
	document.Optional("emergencies", document.Object(
		document.Optional(string(brief.PowerLoss), lines, "power loss over the load"),
		document.Optional(string(brief.FouledLeg), lines, "fouled leg"),
		document.Optional(string(brief.HookStuck), lines, "hook that will not release"),
		document.Optional(string(brief.Inadvertent), lines, "inadvertent release"),
		document.Optional(string(brief.Oscillation), lines, "oscillation"),
		document.Optional(string(brief.JettisonLoad), lines, "jettison"),
		document.Optional(string(brief.InjuredPerson), lines, "injury"),
	), "what each does, in the school's own words"),
	document.Optional("done", document.List(document.Object(
		document.Required("what", document.Choice(string(brief.DailyBriefing), string(brief.ReleaseTest), string(brief.EmergencyRelease)), "what was done"),
		document.Required("by", document.Text(80), "who did it"),
		document.Required("at", document.Text(16), "day and time").Example("at: 2026-05-31 08:10"),
	), 0, 400), "daily briefing and hook-release tests"),
)

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{
		Title:       Format,
		Description: "What a school enters for one load beyond its rig: aircraft, air and fuel, authority, team, emergencies.",
	})
}
