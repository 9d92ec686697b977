package web

// aircraftForm are the sections of an aircraft file but its hover tables, in
// the order of the file.
var aircraftForm = []formSection{
	{
		Title: "What it is",
		Field: []formField{
			{Key: "title", Label: "Name", Example: "School helicopter", Wide: true},
			{Key: "invented", Label: "Invented", Choices: []string{"yes", "no"}},
			{Key: "show", Label: "Units shown", Choices: []string{"metric", "us"}},
			{Key: "notes", Label: "Notes", Kind: fieldLines, Wide: true},
		},
	},
	{
		Key: "source", Title: "Where the figures come from", Help: "The aircraft’s own flight manual. Needed for an aircraft that is not invented.",
		Field: []formField{
			{Key: "publication", Label: "Publication", Wide: true},
			{Key: "edition", Label: "Edition"},
			{Key: "change", Label: "Change"},
		},
	},
	{
		Key: "empty", Title: "Empty, as weighed",
		Field: []formField{{Key: "mass", Label: "Mass", Example: "1350 kg"}, placeField("CG")},
	},
	{Key: "crew", Title: "Crew", List: true, Entry: "person", Field: itemFields("pilot with equipment", "90 kg")},
	{Key: "kit", Title: "Kit aboard", List: true, Entry: "thing", Field: itemFields("survival kit", "20 kg")},
	{
		Key: "fuel", Title: "Fuel", Help: "Litres need the density that they are counted with. The reserve is a mass, or a time at the burn.",
		Field: []formField{
			{Key: "capacity", Label: "Usable fuel", Example: "540 L"},
			{Key: "density", Label: "Density", Example: "800 kg/m3"},
			{Key: "burn", Label: "Burn in an hour", Example: "190 L/h"},
			{Key: "reserve", Label: "Reserve", Example: "20 min"},
			placeField("CG of the fuel"),
		},
	},
	{
		Key: "limits", Title: "Limits of weight and balance",
		Field: []formField{
			{Key: "gross", Label: "Gross, no external load", Example: "2250 kg"},
			{Key: "external-gross", Label: "Gross with external load", Example: "2500 kg"},
			{Key: "cg", Label: "CG, rear and front x", Example: "-0.15 m, 0.25 m", Kind: fieldList},
		},
	},
	{
		Key: "hooks", Title: "Hooks", Help: "Section: thickness of the load beam, which a ring goes over. Opening: its clear width, which the ring’s stock goes through.",
		List: true, Entry: "hook",
		Field: []formField{
			{Key: "id", Label: "Name", Example: "belly"},
			{Key: "rated", Label: "Rating", Example: "1000 kg"},
			{Key: "section", Label: "Section", Example: "22 mm"},
			{Key: "inside", Label: "Opening", Example: "48 mm"},
			placeField("Where it pulls"),
		},
	},
	{
		Key: "hooks-together", Title: "Hooks together", Help: "What several hooks may carry at the same time.", List: true, Entry: "rule",
		Field: []formField{
			{Key: "hooks", Label: "Hooks", Example: "front, rear", Kind: fieldList}, {Key: "rated", Label: "Rating", Example: "3000 kg"},
		},
	},
	{
		Key: "rotors", Title: "Lifting rotors", Help: "All alike. Without them there is no rotor wash to show.",
		Field: []formField{
			{Key: "count", Label: "How many", Example: "1"},
			{Key: "diameter", Label: "Diameter", Example: "10.6 m"},
			{Key: "speed", Label: "Speed", Example: "394 rpm"},
			{Key: "blades", Label: "Blades of each", Example: "3"},
		},
	},
	{
		Key: "spacers", Title: "Spacer rules", Help: "Whether an apex fitting takes its spacer on a hook. A pair that is not listed is not stated.", List: true, Entry: "rule",
		Field: []formField{
			{Key: "apex", Label: "Kind of apex fitting", Example: "apex-large"},
			{Key: "hook", Label: "Hook", Example: "belly"},
			{Key: "spacer", Label: "Spacer", Choices: []string{"required", "forbidden"}},
			{Key: "source", Label: "Where it is written"},
		},
	},
	{
		Key: "airspeeds", Title: "Airspeed limits with an external load", List: true, Entry: "limit",
		Field: []formField{
			{Key: "what", Label: "For what", Example: "with any external load"}, {Key: "limit", Label: "Limit", Example: "80 kt"}, {Key: "source", Label: "Where it is written"},
		},
	},
	{
		Key: "reductions", Title: "Fixed reductions of the hover weight", List: true, Entry: "reduction",
		Field: []formField{
			{Key: "what", Label: "What for", Example: "sand filter"},
			{Key: "mass", Label: "By how much", Example: "80 kg"},
			{Key: "for", Label: "When it holds", Choices: []string{"every load", "loads that cannot be jettisoned"}},
		},
	},
}

func itemFields(what, mass string) []formField {
	return []formField{{Key: "what", Label: "What", Example: what}, {Key: "mass", Label: "Mass", Example: mass}, placeField("CG")}
}

// placeField is a place in the aircraft's frame.
func placeField(label string) formField {
	return formField{Key: "at", Label: label + ": x, y, z", Example: "1.6 m, -0.4 m, 1 m", Kind: fieldList}
}
