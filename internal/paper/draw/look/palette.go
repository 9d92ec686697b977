package look

import "hangtrue/internal/paper/draw"

func paint(role string, r, g, b uint8) draw.Paint {
	return draw.Paint{Role: role, Color: draw.Color{R: r, G: g, B: b}}
}

// The paints by role. What each is for stands beside it; use them for nothing else.
var (
	Ink    = paint("ink", 20, 20, 20)       // outlines and text
	Faint  = paint("faint", 105, 105, 105)  // hidden edges, secondary text, leaders, dimensions
	Grid   = paint("grid", 205, 205, 205)   // chart grids, table rules
	Paper  = paint("paper", 255, 255, 255)  // the sheet, halos, the face of what is solid
	Shade  = paint("shade", 238, 238, 238)  // grounds, table heads, unused areas
	Load   = paint("load", 224, 229, 233)   // faces of bodies that hang
	LoadB  = paint("load-b", 203, 211, 217) // faces turned away, so that a body reads as solid
	Metal  = paint("metal", 178, 184, 189)  // hooks, chain links, fittings in close-ups
	Rope   = paint("rope", 226, 212, 180)   // textile parts in close-ups
	Accent = paint("accent", 0, 114, 178)   // the one thing the drawing is about (Okabe–Ito blue)
	Note   = paint("note", 0, 114, 178)     // callouts and their leaders
	Over   = paint("over", 188, 76, 0)      // a limit and what passes it (vermillion, darkened so that words in it can be read)

	LegLow   = paint("leg-low", 86, 105, 116) // a leg that uses little of its rating
	LegMid   = paint("leg-mid", 0, 114, 178)  // a middling share
	LegHigh  = paint("leg-high", 20, 20, 20)  // close to its rating
	LegSlack = paint("leg-slack", 105, 105, 105)

	Series1 = paint("series-1", 20, 20, 20)     // chart series, told apart by dash and marker too
	Series2 = paint("series-2", 0, 114, 178)    // blue
	Series3 = paint("series-3", 213, 94, 0)     // vermillion
	Series4 = paint("series-4", 150, 70, 120)   // reddish purple, darkened to hold as a line
	Series5 = paint("series-5", 150, 104, 0)    // orange, darkened likewise
	Series6 = paint("series-6", 45, 125, 175)   // sky blue, darkened likewise
	Wash    = paint("wash", 217, 234, 243)      // pale area of the accent
	OverFog = paint("over-wash", 248, 226, 210) // pale area beyond a limit
)

// Paints is every paint above, in a fixed order: what a stylesheet must know.
func Paints() []draw.Paint {
	return []draw.Paint{
		Ink, Faint, Grid, Paper, Shade, Load, LoadB, Metal, Rope, Accent, Note, Over,
		LegLow, LegMid, LegHigh, LegSlack,
		Series1, Series2, Series3, Series4, Series5, Series6, Wash, OverFog,
	}
}
