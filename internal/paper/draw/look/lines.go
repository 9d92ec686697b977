package look

import "hangtrue/internal/paper/draw"

// Line weights in mm: the ISO 128 series (0.13, 0.18, 0.25, 0.35, 0.5, 0.7 …,
// each √2 times the last).
const (
	Hair    = 0.13
	Thin    = 0.18
	Light   = 0.25
	Regular = 0.35
	Heavy   = 0.5
	Bold    = 0.7
	Extra   = 1.0
)

func round(p draw.Paint, w float64, dash ...float64) draw.Stroke {
	return draw.Stroke{Paint: p, Width: w, Dash: dash, Cap: draw.CapRound, Join: draw.JoinRound}
}

func butt(p draw.Paint, w float64, dash ...float64) draw.Stroke {
	return draw.Stroke{Paint: p, Width: w, Dash: dash}
}

// The strokes of a drawing.
var (
	Outline   = round(Ink, Regular)                 // visible edges
	Detail    = round(Ink, Thin)                    // edges inside an outline
	Hidden    = butt(Faint, Thin, 1.6, 0.8)         // edges behind something
	Center    = butt(Faint, Hair, 4, 0.8, 0.6, 0.8) // centre and plumb lines
	Ground    = round(Ink, Heavy)                   // the ground, the cut edge
	Leader    = butt(Note, Thin)                    // from a note to what it names
	Measure   = butt(Faint, Hair)                   // dimension and extension lines
	HatchLine = butt(Faint, Hair)                   // hatching
	GridLine  = butt(Grid, Hair)                    // chart grid
	Axis      = butt(Ink, Light)                    // chart axes
	Rule      = butt(Ink, Thin)                     // table rules
	Limit     = butt(Over, Heavy, 3, 1)             // a limit entered
	Force     = round(Accent, Heavy)                // force arrows
)

// A Band is a range of the share of its rating that a leg uses.
type Band uint8

// The bands, from little to too much.
const (
	BandSlack   Band = iota // carries nothing
	BandLow                 // up to half
	BandMid                 // up to eight tenths
	BandHigh                // up to the rating
	BandOver                // beyond the rating
	BandUnknown             // no rating entered: the share cannot be told
)

// Upper ends of the low and middle bands, as shares of the rating. They only
// choose a line style and are no limits; the steps are our own choice.
const (
	LowUpTo = 0.5
	MidUpTo = 0.8
)

// BandOf is the band of a share of rating. A slack leg has a share of 0; where
// no rating was entered pass a negative share.
func BandOf(share float64, slack bool) Band {
	switch {
	case slack:
		return BandSlack
	case !(share >= 0):
		return BandUnknown
	case share <= LowUpTo:
		return BandLow
	case share <= MidUpTo:
		return BandMid
	case share <= 1:
		return BandHigh
	}
	return BandOver
}

// Bands is every band in order, for legends and tests.
func Bands() []Band {
	return []Band{BandSlack, BandLow, BandMid, BandHigh, BandOver, BandUnknown}
}

// Leg is the line of a leg in a band. The bands grow in weight and differ in
// dash, so that they also read in grey.
func (b Band) Leg() draw.Stroke {
	switch b {
	case BandSlack:
		return butt(LegSlack, Light, 0.5, 0.9)
	case BandLow:
		return round(LegLow, Regular)
	case BandMid:
		return round(LegMid, Bold)
	case BandHigh:
		return round(LegHigh, 1.1)
	case BandOver:
		return butt(Over, 1.5, 2.6, 0.7)
	}
	return butt(Ink, Regular, 2.2, 0.7, 0.4, 0.7)
}

// Words is the band in words, for legends.
func (b Band) Words() string {
	switch b {
	case BandSlack:
		return "slack"
	case BandLow:
		return "up to 50 % of rating"
	case BandMid:
		return "50 to 80 % of rating"
	case BandHigh:
		return "80 to 100 % of rating"
	case BandOver:
		return "over rating"
	}
	return "no rating entered"
}

// Series is the line of the i-th series of a chart, counted from 0; they repeat
// after six. Neighbours differ in dash as well as in colour.
func Series(i int) draw.Stroke {
	lines := [...]draw.Stroke{
		round(Series1, Heavy),
		butt(Series2, Heavy, 3, 1),
		butt(Series3, Heavy, 1, 0.8),
		butt(Series4, Heavy, 4, 0.8, 0.8, 0.8),
		butt(Series5, Heavy, 6, 1.2),
		butt(Series6, Heavy, 2, 0.8, 0.6, 0.8, 0.6, 0.8),
	}
	return lines[i%len(lines)]
}
