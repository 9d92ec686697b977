package closeup

var slingFigures = []Figure{
	{ID: "wire-rope", Views: []View{
		{
			Title: "wire rope", scale: 0.85, bar: 20,
			Attributes: []Attribute{
				attr("wires", "few", "spread", "strand"),
				attr("wear", "full", "flat"),
				attr("shape", "even", "kinked", "caged", "crushed"),
				attr("heat", "none", "burnt"),
				attr("rust", "clean", "pitted"),
			},
			draw: drawWireRope,
		},
		{
			Title: "end of a wire rope with its sleeve and thimble", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("ends", "whole", "slipped", "cracked")},
			draw:       drawFerrule,
		},
	}},
	{ID: "webbing-sling", Views: []View{
		{
			Title: "webbing of a flat sling", scale: 0.55, bar: 50,
			Attributes: []Attribute{
				attr("cut", "whole", "edge", "hole"),
				attr("burn", "none", "melted"),
				attr("chemical", "none", "burnt", "bleached"),
				attr("chafe", "none", "worn"),
				attr("lie", "flat", "twisted"),
			},
			draw: drawWebbing,
		},
		{
			Title: "sewn eye of a flat sling with its fitting", scale: 0.38, bar: 50,
			Attributes: []Attribute{attr("stitches", "whole", "broken"), attr("fitting", "whole", "bent")},
			draw:       drawSewnEye,
		},
	}},
	{ID: "round-sling", Views: []View{{
		Title: "round sling", scale: 0.4, bar: 50,
		Attributes: []Attribute{
			attr("cover", "closed", "torn", "hard"),
			attr("burn", "none", "melted"),
			attr("chemical", "none", "stained"),
			attr("lie", "free", "knotted"),
		},
		draw: drawRoundSling,
	}}},
	{ID: "plain-leg", Views: []View{
		{
			Title: "sling leg along its length", scale: 0.6, bar: 50,
			Attributes: []Attribute{attr("sound", "whole", "damaged", "doubtful")},
			draw:       drawPlainSound,
		},
		{
			Title: "hook at the end of a sling leg", scale: 0.36, bar: 50,
			Attributes: []Attribute{attr("fittings", "whole", "open", "bent")},
			draw:       drawPlainEnd,
		},
		{
			Title: "sling leg and its tag", scale: 0.5, bar: 50,
			Attributes: []Attribute{attr("length", "planned", "other")},
			draw:       drawPlainLength,
		},
		{
			Title: "sling legs on the load before the lift", scale: 0.026, bar: 1000,
			Attributes: []Attribute{attr("free-end", "held", "behind")},
			draw:       drawFreeEnd,
		},
	}},
	{ID: "choke-hitch", Views: []View{{
		Title: "choke hitch round a bundle", scale: 0.11, bar: 200,
		Attributes: []Attribute{attr("lie", "tight", "loose", "over-eye"), attr("place", "planned", "moved"), attr("turns", "planned", "single")},
		draw:       drawChoke,
	}}},
	{ID: "basket-hitch", Views: []View{{
		Title: "basket hitch under a beam", scale: 0.032, bar: 500,
		Attributes: []Attribute{attr("balanced", "balanced", "shifted"), attr("eyes", "both", "one")},
		draw:       drawBasket,
	}}},
}
