// Package weighingfile reads weighings, format hangtrue.weighing/1: what axles
// or scales showed under a load, a tilted reading, and what came on since.
//
// # The format
//
// A strict subset of YAML (see package document). A reader that sees another
// name or number stops.
//
//	format: hangtrue.weighing/1
//	title: Compressor trailer
//	by: weighbridge of the valley works
//	on: 2026-05-04
//	readings:
//	  - {id: front, at: [1.1 m, 0 m, 0.3 m], shows: 1040 kg, give-or-take: 5 kg}
//	  - {id: rear, at: [-1.1 m, 0 m, 0.3 m], shows: 860 kg, give-or-take: 5 kg}
//	tilted: {raised: [front], shows: 968 kg, give-or-take: 5 kg, by: 12 deg}
//	since:
//	  - {what: snow, mass: 40 kg, known: estimated, give-or-take: 20 kg, at: [0 m, 0 m, 1.4 m]}
//
// Places are in the load's own frame, x forward, y left, z up, as bodies of a
// rig file have it. Keys may be added to weighing/1 until release 1.0;
// afterwards a new key means weighing/2.
package weighingfile

import (
	"math"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	q "hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.weighing/1"

var (
	position = document.Tuple(document.Quantity(q.Length), 3)
	mass     = document.Quantity(q.Mass)
)

var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "what was weighed"),
	document.Optional("invented", document.YesNo(), "yes for demo data: marked INVENTED everywhere"),
	document.Optional("show", document.Choice("metric", "us"), "units of the output; by default those that the file mostly uses"),
	document.Optional("by", document.Text(120), "who weighed it"),
	document.Optional("on", document.Date(), "the day, 2026-05-04"),
	document.Required("readings", document.List(document.Object(
		document.Required("id", document.ID(), "name of the axle or scale"),
		document.Required("at", position, "where it bears, in the load's frame; z is the height of its pivot, such as the wheel's axle, and counts for the tilted reading"),
		document.Required("shows", mass.NotNegative(), "what it shows with the load level"),
		document.Optional("give-or-take", mass.NotNegative(), "how far the scale may be off"),
	), 2, 24), "what each axle or scale shows, the load level"),
	document.Optional("tilted", document.Object(
		document.Required("raised", document.List(document.ID(), 1, 12), "the readings of the end that is raised"),
		document.Required("shows", mass.NotNegative(), "what they show then, together"),
		document.Optional("give-or-take", mass.NotNegative(), "how far that may be off"),
		document.Optional("by", document.Quantity(q.Angle).Positive(), "how far the line between the ends leans"),
		document.Optional("rise", document.Quantity(q.Length).Positive(), "instead of by: how far the raised end stands above the other"),
		document.Optional("angle-give-or-take", document.Quantity(q.Angle).NotNegative(), "how far the angle may be off"),
	).ExactlyOne("by", "rise"), "a second reading with one end raised, for the height of the CG; supports free to roll, springs blocked"),
	document.Optional("height", document.Quantity(q.Length), "instead of tilted: height of the CG, where it is known from elsewhere"),
	document.Optional("since", document.List(document.Object(
		document.Required("what", document.Text(120), "what came on or was taken off: fuel, water, snow, wet cargo"),
		document.Required("mass", mass, "what it weighs; negative for what was taken off"),
		document.Required("known", document.Choice("weighed", "plate", "estimated"), "how its weight is known"),
		document.Optional("give-or-take", mass.NotNegative(), "how far that may be off; an estimate needs it"),
		document.Required("at", position, "where it lies, in the load's frame"),
	), 0, 40), "what was added since the weighing"),
)

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{Title: Format, Description: "What axles or scales showed under a load, and what came on since."})
}

// Read works out a weighing from its file, or returns everything that is wrong
// with it in the order of its lines. It never returns both.
func Read(data []byte) (*lift.WeighedLoad, []document.Problem) {
	v, problems := document.Read(data, shape)
	if v == nil || len(problems) > 0 {
		return nil, problems
	}
	w := &lift.Weighing{
		Title: v.Get("title").Text(), Invented: v.Get("invented").Yes(), Show: q.Count(v.Units()),
		By: v.Get("by").Text(), On: v.Get("on").Date(), Height: optional(v.Get("height")),
	}
	switch v.Get("show").Text() {
	case "metric":
		w.Show = q.Metric
	case "us":
		w.Show = q.US
	}
	for _, r := range v.Get("readings").Items() {
		w.Scales = append(w.Scales, lift.Scale{ID: r.Get("id").Text(), At: r.Get("at").Vector(), Shows: r.Get("shows").SI(), Band: r.Get("give-or-take").SI()})
	}
	for _, a := range v.Get("since").Items() {
		at := lift.Vec(a.Get("at").Vector())
		w.Since = append(w.Since, lift.Added{What: a.Get("what").Text(), At: &at, Weight: lift.Weight{
			Mass: a.Get("mass").SI(), Known: lift.Known(a.Get("known").Text()), Band: a.Get("give-or-take").SI(),
		}})
	}
	if t := v.Get("tilted"); t.Given() {
		x := &lift.Tilted{Shows: t.Get("shows").SI(), Band: t.Get("give-or-take").SI(), Tilt: t.Get("by").SI(), TiltBand: t.Get("angle-give-or-take").SI()}
		for _, id := range t.Get("raised").Items() {
			x.Raised = append(x.Raised, id.Text())
		}
		if rise := t.Get("rise"); rise.Given() {
			apart := distance(w.Scales, x.Raised)
			if !(rise.SI() < apart) {
				return nil, []document.Problem{rise.Problem("the rise is no less than the supports stand apart", "how far the raised end stands above the other")}
			}
			x.Tilt = math.Asin(rise.SI() / apart)
		}
		w.Tilted = x
	}
	out, wrong := lift.Weigh(w)
	for _, p := range wrong {
		problems = append(problems, v.ProblemAt(p.Path, p.Text, p.Hint))
	}
	document.Sort(problems)
	return out, problems
}

// distance is how far the raised supports stand from the others, m; infinite
// where either is missing, which the weighing itself refuses.
func distance(scales []lift.Scale, raised []string) float64 {
	up, rest := math.NaN(), math.NaN()
	for _, s := range scales {
		at := &rest
		for _, id := range raised {
			if id == s.ID {
				at = &up
			}
		}
		*at = s.At[0]
	}
	if d := math.Abs(up - rest); d > 0 {
		return d
	}
	return math.Inf(1)
}

func optional(v *document.Value) *float64 {
	if !v.Valid() {
		return nil
	}
	x := v.SI()
	return &x
}
