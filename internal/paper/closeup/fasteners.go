package closeup

var fastenerFigures = []Figure{
	{ID: "clevis", Views: []View{
		{
			Title: "screw-pin clevis", scale: 0.47, bar: 50,
			Attributes: []Attribute{
				attr("size", "right", "small", "unmarked"),
				attr("pin", "home", "backed", "bolt", "missing"),
				attr("secured", "secured", "straight", "none"),
				attr("sound", "sound", "worn", "bent", "cracked"),
			},
			draw: drawClevis,
		},
		{
			Title: "clevis under the pull of its leg", scale: 0.34, bar: 50,
			Attributes: []Attribute{attr("lie", "in-line", "sideways")},
			draw:       drawClevisLie,
		},
	}},
	{ID: "ring", Views: []View{
		{
			Title: "gathering ring", scale: 0.4, bar: 50,
			Attributes: []Attribute{attr("sound", "sound", "bent", "cracked"), attr("closed", "closed", "open")},
			draw:       drawRing,
		},
		{
			Title: "gathering ring with what hangs on it", scale: 0.3, bar: 100,
			Attributes: []Attribute{attr("full", "all", "missing", "crowded")},
			draw:       drawRingFull,
		},
	}},
	{ID: "coupling-link", Views: []View{{
		Title: "coupling link", scale: 0.62, bar: 50,
		Attributes: []Attribute{attr("pin", "home", "proud", "bolt"), attr("sound", "sound", "worn", "cracked")},
		draw:       drawCoupling,
	}}},
	{ID: "swivel", Views: []View{{
		Title: "swivel", scale: 0.36, bar: 50,
		Attributes: []Attribute{attr("turns", "free", "stiff", "play"), attr("secured", "secured", "unpinned")},
		draw:       drawSwivel,
	}}},
	{ID: "lift-point", Views: []View{
		{
			Title: "lift point and what stands beside it", scale: 0.24, bar: 100,
			Attributes: []Attribute{attr("approved", "approved", "other")},
			draw:       drawApproved,
		},
		{
			Title: "lift point", scale: 0.4, bar: 50,
			Attributes: []Attribute{attr("sound", "sound", "cracked", "bent", "loose")},
			draw:       drawLiftPoint,
		},
		{
			Title: "how the leg bears on its lift point", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("bearing", "in-place", "side", "point-loaded")},
			draw:       drawBearing,
		},
	}},
}
