package web

import "hangtrue/internal/engine/brief"

// briefSections are the form over a brief file, in the order in which a person
// asks: what flies, what the load needs, who works under it, what may go wrong.
// Those of lists stand before the object that they lie in.
func briefSections(aircraft []string) []formSection {
	end := func(key, title string) formSection {
		fields := []formField{
			{Key: "place", Label: "Place", Wide: true},
			{Key: "elevation", Label: "Elevation", Example: "3200 ft"},
			{Key: "qnh", Label: "QNH there", Example: "1013 hPa"},
			{Key: "pressure-altitude", Label: "or pressure altitude", Example: "3200 ft"},
			{Key: "temperature", Label: "Temperature", Example: "14 degC"},
			{Key: "fuel", Label: "Fuel aboard", Example: "600 kg"},
			{Key: "in-ground-effect", Label: "Hover in ground effect", Choices: []string{"yes", "no"}},
		}
		return formSection{Key: key, Title: title, Field: fields}
	}
	record := func(key, title, help string) formSection {
		return formSection{Key: key, Title: title, Help: help, Field: []formField{
			{Key: "on", Label: "Day", Example: "2026-05-31"},
			{Key: "by", Label: "Made by"},
			{Key: "place", Label: "Place"},
			{Key: "record", Label: "Its number, or what was seen", Wide: true},
		}}
	}
	text := func(key, label string) formField {
		return formField{Key: key, Label: label, Kind: fieldLines, Wide: true}
	}
	var emergencies []formField
	for _, e := range brief.Emergencies() {
		emergencies = append(emergencies, text(string(e), e.Words()))
	}
	return []formSection{
		{Title: "The load", Field: []formField{
			{Key: "title", Label: "Heading of the papers; by default the rig’s title", Wide: true},
			{Key: "aircraft", Label: "Aircraft", Choices: aircraft},
			{Key: "invented", Label: "Invented, for practice", Choices: []string{"yes", "no"}},
		}},
		{Key: "weighed", Title: "Who says what it weighs", Help: "The weight itself, how it is known and its tolerance stand in the rig file.", Field: []formField{
			{Key: "by", Label: "Weighed or estimated by"}, {Key: "on", Label: "Day", Example: "2026-05-31"},
		}},
		{Key: "hooks", Title: "Which hook each apex hangs on", Help: "Not needed where there is one of each.", List: true, Entry: "hook", Field: []formField{
			{Key: "apex", Label: "Apex of the rig"}, {Key: "hook", Label: "Hook of the aircraft"},
		}},
		{Key: "fitting", Title: "Apex fitting on the hook", Field: []formField{
			{Key: "kind", Label: "Kind, as the aircraft’s spacer rules name it", Example: "apex-large"},
			{Key: "inside", Label: "Clear width inside", Example: "60 mm"},
			{Key: "stock", Label: "Thickness", Example: "22 mm"},
			{Key: "spacer", Label: "Spacer", Choices: []string{brief.SpacerFitted, brief.SpacerLeftOff}},
		}},
		end("pick-up", "Pick-up, and the air there"),
		end("drop-off", "Drop-off, and the air there"),
		{Title: "Between them", Field: []formField{
			{Key: "flight", Label: "Flight to drop-off; the fuel left follows from it", Example: "12 min"},
			{Key: "home", Label: "Flight from there to fuel", Example: "8 min"},
			{Key: "cannot-be-jettisoned", Label: "The load cannot be jettisoned", Choices: []string{"yes", "no"}},
			text("jettison-area", "Jettison area"),
		}},
		{Key: "airspeed", Title: "Published airspeed for this load", Help: "As published, with where. None is ever worked out.", Field: []formField{
			{Key: "limit", Label: "Limit", Example: "60 kt"}, {Key: "source", Label: "Where it is published", Wide: true},
		}},
		{Key: "goods", Title: "Dangerous goods", Help: "Where somebody looked and there are none, enter the class none.", List: true, Entry: "goods", Field: []formField{
			{Key: "class", Label: "Class", Example: "3"}, {Key: "un", Label: "UN number", Example: "UN 1202"}, {Key: "name", Label: "Name"}, {Key: "amount", Label: "How much"},
		}},
		{Key: "authority", Title: "Authority", Help: "For a load that no approved procedure in force covers. It holds for one version of the rig.", Field: []formField{
			{Key: "name", Label: "Named authority"}, {Key: "reference", Label: "Its reference"}, {Key: "rig", Label: "Version of the rig that it allows"},
		}},
		record("test-lift", "Static test lift", "Clear of people, before any flight."),
		record("hover-check", "Hover check by the operator", ""),
		{Key: "team.roles", Title: "Who does what", List: true, Entry: "role", Field: []formField{
			{Key: "role", Label: "Role", Example: "signaller"}, {Key: "who", Label: "Person"}, text("does", "What the person does"),
		}},
		{Key: "team.signals", Title: "Signals", List: true, Entry: "signal", Field: []formField{
			{Key: "signal", Label: "Signal, as it looks"}, {Key: "means", Label: "What it means", Wide: true},
		}},
		{Key: "team", Title: "The team and its place", Field: []formField{
			text("equipment", "Protective equipment"), text("wand", "Wand and earth check"), text("discharge", "How the hook is discharged here"),
			text("approach", "Side from which the aircraft comes"), text("exit", "Side to which team and aircraft leave"), text("wind", "Wind"),
			text("obstacles", "Obstacles"), text("rally", "Rally point"), text("night", "Night marking"), text("radio", "Radio"),
			text("lost-communications", "Lost communications"),
		}},
		{Key: "emergencies", Title: "Emergencies", Help: "In the school’s own words. What is left blank prints NOT BRIEFED.", Field: emergencies},
		{Title: "For the office", Field: []formField{text("notes", "Notes; not printed")}},
	}
}

// briefSpare is how many empty entries a list of the form has.
const briefSpare = 3
