package flown

import (
	"fmt"
	"strings"
	"time"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.flown/1"

// Most lifts of one rig, and the most characters of a name and of remarks.
const (
	MostLifts   = 2000
	MostName    = 80
	MostRemarks = 500
)

// Lift is what was entered of one lift. Quantities are as typed, nil where
// nothing was entered.
type Lift struct {
	Date    time.Time // a day
	Who     string
	Version string // SHA-256 of the rig file, in hexadecimal
	Weighed *quantity.Quantity
	Hover   Attitude
	Flight  Attitude
	// Airspeed and Trail belong to Flight.
	Airspeed, Trail *quantity.Quantity
	Remarks         string
}

// Attitude is how the first body was seen to hang.
type Attitude struct{ Pitch, Roll *quantity.Quantity }

func (a Attitude) seen() bool { return a.Pitch != nil || a.Roll != nil }

// Problem says what is the matter with a lift beyond its single values: it
// names what would be right. "" where nothing is.
func (l *Lift) Problem() string {
	switch {
	case l.Weighed == nil && !l.Hover.seen() && l.Airspeed == nil && !l.Flight.seen() && l.Trail == nil:
		return "nothing was weighed or seen: enter a weight, an attitude or an airspeed"
	case l.Airspeed == nil && (l.Flight.seen() || l.Trail != nil):
		return "an attitude or a trail in flight needs the airspeed flown"
	case !isVersion(l.Version):
		return "a version is the 64 hexadecimal digits of a rig file's SHA-256"
	}
	return ""
}

func isVersion(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}

var (
	angle    = document.Quantity(quantity.Angle)
	airspeed = document.Quantity(quantity.Speed).Positive()
)

// Shape is the shape of the file.
var Shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Required("lifts", document.List(document.Object(
		document.Required("date", document.Date(), "the day, 2026-11-20"),
		document.Required("who", document.Text(MostName), "who entered it"),
		document.Required("version", document.Text(64), "SHA-256 of the rig file that it was rigged from"),
		document.Optional("weighed", document.Quantity(quantity.Force).Positive(), "what the load cell showed at rest"),
		document.Optional("hover", document.Object(
			document.Optional("pitch", angle, "seen in the hover, positive nose up"),
			document.Optional("roll", angle, "likewise, positive right side down"),
		), "the attitude seen in the hover"),
		document.Optional("flight", document.Object(
			document.Required("airspeed", airspeed, "the airspeed flown"),
			document.Optional("pitch", angle, "seen at it, positive nose up"),
			document.Optional("roll", angle, "likewise, positive right side down"),
			document.Optional("trail", angle, "of the load behind the vertical"),
		), "what was seen in flight"),
		document.Optional("remarks", document.Text(MostRemarks), "anything else"),
	), 0, MostLifts), "in the order in which they were entered"),
)

// Read returns the lifts of a file, or everything that is wrong with it in the
// order of its lines.
func Read(data []byte) ([]Lift, []document.Problem) {
	value, problems := document.Read(data, Shape)
	if value == nil || len(problems) > 0 {
		return nil, problems
	}
	var lifts []Lift
	for _, v := range value.Get("lifts").Items() {
		h, f := v.Get("hover"), v.Get("flight")
		l := Lift{
			Date: v.Get("date").Date(), Who: v.Get("who").Text(), Version: v.Get("version").Text(), Weighed: given(v.Get("weighed")),
			Hover: Attitude{given(h.Get("pitch")), given(h.Get("roll"))}, Flight: Attitude{given(f.Get("pitch")), given(f.Get("roll"))},
			Airspeed: given(f.Get("airspeed")), Trail: given(f.Get("trail")), Remarks: v.Get("remarks").Text(),
		}
		if text := l.Problem(); text != "" {
			problems = append(problems, v.Problem(text, ""))
		}
		lifts = append(lifts, l)
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return lifts, nil
}

func given(v *document.Value) *quantity.Quantity {
	if !v.Given() {
		return nil
	}
	q := v.Quantity()
	return &q
}

// Write writes the file of some lifts; [Read] gives them back.
func Write(lifts []Lift) []byte {
	var b strings.Builder
	b.WriteString("format: " + Format + "\n")
	if len(lifts) == 0 {
		b.WriteString("lifts: []\n")
		return []byte(b.String())
	}
	b.WriteString("lifts:\n")
	for i := range lifts {
		l := &lifts[i]
		fmt.Fprintf(&b, "  - date: %s\n    who: %s\n    version: %s\n", l.Date.Format(time.DateOnly), quoted(l.Who), l.Version)
		if l.Weighed != nil {
			fmt.Fprintf(&b, "    weighed: %s\n", l.Weighed)
		}
		object(&b, "hover", part{"pitch", l.Hover.Pitch}, part{"roll", l.Hover.Roll})
		object(&b, "flight", part{"airspeed", l.Airspeed}, part{"pitch", l.Flight.Pitch}, part{"roll", l.Flight.Roll}, part{"trail", l.Trail})
		if l.Remarks != "" {
			fmt.Fprintf(&b, "    remarks: %s\n", quoted(l.Remarks))
		}
	}
	return []byte(b.String())
}

type part struct {
	key string
	q   *quantity.Quantity
}

func object(b *strings.Builder, key string, parts ...part) {
	var list []string
	for _, p := range parts {
		if p.q != nil {
			list = append(list, p.key+": "+p.q.String())
		}
	}
	if len(list) > 0 {
		fmt.Fprintf(b, "    %s: {%s}\n", key, strings.Join(list, ", "))
	}
}

// quoted writes text in the single quotes of YAML, in which only the quote
// itself is special.
func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }
