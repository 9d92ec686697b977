package brieffile

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
)

// key is a key of the format in the order in which it is written.
type key struct {
	name string
	keys []key // of an object, or of each entry of a list
	list bool
	bare bool // yes, no and days stand without quotes
}

func leaves(names ...string) []key {
	var out []key
	for _, n := range names {
		out = append(out, key{name: n, bare: n == "on" || n == "in-ground-effect"})
	}
	return out
}

var order = []key{
	{name: "title"},
	{name: "invented", bare: true},
	{name: "notes"},
	{name: "aircraft"},
	{name: "hooks", list: true, keys: leaves("apex", "hook")},
	{name: "fitting", keys: leaves("kind", "inside", "stock", "spacer")},
	{name: "weighed", keys: leaves("by", "on")},
	{name: "pick-up", keys: leaves("place", "elevation", "qnh", "pressure-altitude", "temperature", "fuel", "in-ground-effect")},
	{name: "drop-off", keys: leaves("place", "elevation", "qnh", "pressure-altitude", "temperature", "fuel", "in-ground-effect")},
	{name: "flight"},
	{name: "home"},
	{name: "cannot-be-jettisoned", bare: true},
	{name: "jettison-area"},
	{name: "airspeed", keys: leaves("limit", "source")},
	{name: "goods", list: true, keys: leaves("class", "un", "name", "amount")},
	{name: "authority", keys: leaves("name", "reference", "rig")},
	{name: "test-lift", keys: leaves("on", "by", "place", "record")},
	{name: "hover-check", keys: leaves("on", "by", "place", "record")},
	{name: "team", keys: append(append([]key{{name: "roles", list: true, keys: leaves("role", "who", "does")}},
		leaves("equipment", "wand", "discharge", "approach", "exit", "wind", "obstacles", "rally", "night", "radio", "lost-communications")...),
		key{name: "signals", list: true, keys: leaves("signal", "means")})},
	{name: "emergencies", keys: leaves("power-loss", "fouled-leg", "hook-will-not-release", "inadvertent-release", "oscillation", "jettison", "injury")},
	{name: "done", list: true, keys: leaves("what", "by", "at")},
}

// Write makes a brief file of values by their path, as [Typed] gives them, and
// returns the paths that they have in it: entries of a list of which nothing is
// typed are left out and the rest moves up. It does not check anything: what it
// writes is read by [Read], which names what is wrong by the same paths.
func Write(typed map[string]string) (data []byte, at map[string]string) {
	w := writer{typed: typed, at: map[string]string{}}
	w.b.WriteString("format: " + Format + "\n")
	w.object(order, "", "", "")
	return []byte(w.b.String()), w.at
}

type writer struct {
	b     strings.Builder
	typed map[string]string
	at    map[string]string
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// any reports whether anything is typed beneath a path.
func (w *writer) any(path string) bool {
	for p, text := range w.typed {
		if strings.TrimSpace(text) != "" && (p == path || strings.HasPrefix(p, path+".") || strings.HasPrefix(p, path+"[")) {
			return true
		}
	}
	return false
}

// object writes an object's keys: from is where its values are typed, to where
// they come to stand.
func (w *writer) object(keys []key, from, to, indent string) {
	first := strings.HasSuffix(indent, "- ")
	for _, k := range keys {
		f, t := join(from, k.name), join(to, k.name)
		if !w.any(f) {
			continue
		}
		lead := indent
		if first {
			first = false
			indent = strings.Repeat(" ", len(indent))
		}
		w.b.WriteString(lead + k.name + ":")
		switch {
		case k.list:
			w.b.WriteString("\n")
			w.entries(k, f, t, indent)
		case k.keys != nil:
			w.b.WriteString("\n")
			w.object(k.keys, f, t, indent+"  ")
		default:
			text := strings.TrimSpace(strings.ReplaceAll(w.typed[f], "\r\n", "\n"))
			w.at[t] = text
			w.scalar(text, k.bare, indent)
		}
	}
}

// mostEntries bounds the entries of a list that are looked for.
const mostEntries = 1000

func (w *writer) entries(k key, from, to, indent string) {
	n := 0
	for i := range mostEntries {
		f := fmt.Sprintf("%s[%d]", from, i)
		if !w.any(f) {
			continue
		}
		w.object(k.keys, f, fmt.Sprintf("%s[%d]", to, n), indent+"  - ")
		n++
	}
}

// plain is text that YAML reads as it stands.
var plain = regexp.MustCompile(`^[A-Za-z0-9](?:[A-Za-z0-9 ,.;/+_()%-]*[A-Za-z0-9.)%])?$`)

var wordsOfYAML = regexp.MustCompile(`^(?i:null|true|false|yes|no|on|off|y|n)$`)

func (w *writer) scalar(text string, bare bool, indent string) {
	switch {
	case bare && plain.MatchString(text), plain.MatchString(text) && !wordsOfYAML.MatchString(text):
		w.b.WriteString(" " + text + "\n")
	case block(text):
		w.b.WriteString(" |\n")
		for line := range strings.SplitSeq(text, "\n") {
			if line != "" {
				w.b.WriteString(indent + "  " + line)
			}
			w.b.WriteString("\n")
		}
	default:
		out, err := json.Marshal(text)
		if err != nil {
			panic("brieffile: a text that JSON cannot hold: " + err.Error())
		}
		w.b.WriteString(" " + string(out) + "\n")
	}
}

// block reports whether text of several lines may stand as a block.
func block(text string) bool {
	if !strings.Contains(text, "\n") {
		return false
	}
	for _, r := range text {
		if r != '\n' && (r < ' ' || r == 0x7f || r == 0x85 || r == 0xfeff || r == 0x2028 || r == 0x2029) {
			return false
		}
	}
	return true
}
