package brieffile_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/brief/brieffile"
)

const whole = `format: hangtrue.brief/1
title: Generator trailer
invented: yes
notes: for the office
aircraft: twin
hooks: [{apex: apex, hook: front}]
fitting: {kind: apex-large, inside: 60 mm, stock: 22 mm, spacer: left-off}
weighed: {by: M. Egger, on: 2026-05-03}
pick-up: {place: valley, elevation: 3200 ft, qnh: 1013.25 hPa, temperature: 14 degC, fuel: 600 kg}
drop-off: {place: hut, pressure-altitude: 6900 ft, temperature: 7 degC, in-ground-effect: yes}
flight: 12 min
home: 5 min
cannot-be-jettisoned: yes
jettison-area: the gravel bank east of the track
airspeed: {limit: 60 kt, source: leaflet 7}
goods: [{class: "3", un: UN 1202, name: diesel, amount: 20 L}]
authority: {name: A. Person, reference: letter 12, rig: 0123abcd}
test-lift: {on: 2026-05-31, by: B. Person, place: yard, record: log 44}
hover-check: {on: 2026-05-31, by: C. Person, record: log 45}
team:
  roles: [{role: signaller, who: D. Person, does: stands in front}, {role: hook-up}]
  equipment: |
    helmet
    goggles
  wand: w
  discharge: d
  approach: a
  exit: e
  wind: wi
  obstacles: o
  rally: r
  night: n
  radio: ra
  lost-communications: l
  signals: [{signal: both arms up, means: climb}]
emergencies: {power-loss: p, fouled-leg: f, hook-will-not-release: h, inadvertent-release: i, oscillation: os, jettison: j, injury: in}
done: [{what: release, by: E. Person, at: 2026-05-31 08:10}]
`

func read(t *testing.T, text string) *brief.Entered {
	t.Helper()
	e, problems := brieffile.Read([]byte(text))
	if len(problems) > 0 {
		t.Fatal(problems[0].Format("brief"))
	}
	return e
}

func TestRead_Whole(t *testing.T) {
	e := read(t, whole)
	if e.Conditions == nil || len(e.Incomplete) != 0 {
		t.Fatalf("conditions are incomplete: %v", e.Incomplete)
	}
	// At the standard QNH pressure altitude and elevation are one.
	if c := e.Conditions; math.Abs(c.PickUp.PressureAltitude-975.36) > 0.01 || *c.Flight != 720 || c.Home != 300 || !c.NotJettisoned || !c.DropOff.InGround || c.PickUp.Fuel != 600 {
		t.Errorf("conditions %+v", c)
	}
	if e.Fitting.Spacer != brief.SpacerLeftOff || *e.Fitting.Ring.Stock != 0.022 || e.Hooks["apex"] != "front" || e.Airspeed.Source != "leaflet 7" ||
		e.Goods[0].Class != "3" || !e.TestLift.Complete() || e.Team.Equipment != "helmet\ngoggles" || len(e.Team.Roles) != 2 || len(e.Emergencies) != len(brief.Emergencies()) ||
		e.Done[0].At.Format("15:04") != "08:10" || e.WeighedOn.Day() != 3 {
		t.Errorf("%+v", e)
	}
	if e := read(t, "format: hangtrue.brief/1\n"); e.Conditions != nil || fmt.Sprint(e.Incomplete) != "[not entered: air and fuel at pick-up and drop-off]" {
		t.Errorf("an empty brief: %v", e.Incomplete)
	}
	if e := read(t, "format: hangtrue.brief/1\npick-up: {elevation: 10 m, temperature: 4 degC}\n"); len(e.Incomplete) != 5 || e.Incomplete[0] != "not entered: the QNH at pick-up" {
		t.Errorf("a brief with half its air: %q", e.Incomplete)
	}
}

func TestRead_NamesWhatIsWrong(t *testing.T) {
	for _, tt := range []struct{ name, from, to, path string }{
		{"a speed without its source", ", source: leaflet 7", "", "airspeed"},
		{"a speed without unit", "limit: 60 kt", "limit: 60", "airspeed.limit"},
		{"no such day", "on: 2026-05-03", "on: 2026-02-30", "weighed.on"},
		{"no such time", "08:10", "25:10", "done[0].at"},
		{"fuel twice", "7 degC, in", "7 degC, fuel: 480 kg, in", "drop-off.fuel"},
		{"altitude twice", "place: hut, ", "elevation: 2000 m, ", "drop-off"},
		{"QNH that is none", "1013.25 hPa", "13.25 hPa", "pick-up.qnh"},
		{"apex twice", "hook: front}]", "hook: front}, {apex: apex, hook: rear}]", "hooks[1].apex"},
		{"too many lines", "  wand: w", "  wand: \"" + strings.Repeat("a\\n", 12) + "a\"", "team.wand"},
		{"no version", "rig: 0123abcd", "rig: the old one", "authority.rig"},
		{"unknown key", "  rally: r", "  raly: r", "team.raly"},
		{"unknown emergency", "oscillation: os", "swinging: os", "emergencies.swinging"},
	} {
		text := strings.Replace(whole, tt.from, tt.to, 1)
		if text == whole {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		if _, problems := brieffile.Read([]byte(text)); len(problems) == 0 || problems[0].Path != tt.path {
			t.Errorf("%s: problems %+v, want one at %s", tt.name, problems, tt.path)
		}
	}
}

// What is typed goes into a file and comes out as it was, whatever it is.
func TestWrite_KeepsWhatIsTyped(t *testing.T) {
	typed := brieffile.Typed([]byte(whole))
	if len(typed) < 60 {
		t.Fatalf("%d values", len(typed))
	}
	data, at := brieffile.Write(typed)
	again := brieffile.Typed(data)
	delete(typed, "format")
	delete(again, "format")
	if !maps.Equal(again, typed) || !maps.Equal(at, typed) {
		t.Errorf("written as\n%s", data)
	}
	if !brieffile.SamePlan(data, []byte(whole)) {
		t.Error("another plan")
	}
	for _, nasty := range []string{"no", "null", "~", "- x", "a: b", "a #b", "\"q\"", "'", "a\nb: c\n  d", "  x", "[x", "{", "*a", "&a", "!t", "% 5", "@", "`", "0x10", "2026-01-01", "é – ±", "a\\n", "a\tb\nc", "|", ">", "?", ": ", "x:", "---", "...", "a\n\n b\n"} {
		data, _ := brieffile.Write(map[string]string{"team.obstacles": nasty, "team.signals[3].signal": nasty})
		got := brieffile.Typed(data)
		want := strings.TrimSpace(nasty)
		if strings.ContainsRune(want, '\t') {
			want = "" // refused: a control character
		}
		if got["team.obstacles"] != want {
			t.Errorf("%q comes back as %q from\n%s", nasty, got["team.obstacles"], data)
		}
		if !strings.ContainsAny(want, "\n") && got["team.signals[0].signal"] != want {
			t.Errorf("%q comes back as %q", nasty, got["team.signals[0].signal"])
		}
	}
}

func TestSamePlan(t *testing.T) {
	for _, tt := range []struct {
		from, to string
		want     bool
	}{
		{"08:10", "08:11", true},
		{"done: [{what: release, by: E. Person, at: 2026-05-31 08:10}]\n", "", true},
		{"title: Generator trailer", "title: Generator trailer # a remark", true},
		{"60 kt", "61 kt", false},
	} {
		if got := brieffile.SamePlan([]byte(whole), []byte(strings.Replace(whole, tt.from, tt.to, 1))); got != tt.want {
			t.Errorf("%s to %s: same plan is %v", tt.from, tt.to, got)
		}
	}
}

// Every key that the format knows is also written, so that a page loses none.
func TestWrite_KnowsEveryKey(t *testing.T) {
	var schema struct {
		Properties map[string]any
	}
	if err := json.Unmarshal(brieffile.Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	var paths []string
	var walk func(path string, s any)
	walk = func(path string, s any) {
		m := s.(map[string]any)
		switch {
		case m["properties"] != nil:
			for k, v := range m["properties"].(map[string]any) {
				walk(strings.TrimPrefix(path+"."+k, "."), v)
			}
		case m["items"] != nil:
			walk(path+"[0]", m["items"])
		default:
			paths = append(paths, path)
		}
	}
	walk("", map[string]any{"properties": schema.Properties})
	slices.Sort(paths)
	if len(paths) < 60 {
		t.Fatalf("%d paths: %v", len(paths), paths)
	}
	for _, p := range paths {
		if data, at := brieffile.Write(map[string]string{p: "x"}); p != "format" && at[p] != "x" {
			t.Errorf("%s is not written: %s", p, data)
		}
	}
}

// The page of the format names every key.
func TestPage_NamesEveryKey(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "docs", "formats", "brief-1.md"))
	if err != nil {
		t.Fatal(err)
	}
	var schema map[string]any
	if err := json.Unmarshal(brieffile.Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	n := 0
	var walk func(any)
	walk = func(s any) {
		switch x := s.(type) {
		case map[string]any:
			for name, inner := range x {
				if properties, ok := inner.(map[string]any); ok && name == "properties" {
					for key := range properties {
						if n++; !strings.Contains(string(page), "`"+key+"`") && !strings.Contains(string(page), "`"+key+"[") && !strings.Contains(string(page), "."+key+"[]`") {
							t.Errorf("the page does not name %s", key)
						}
					}
				}
				walk(inner)
			}
		case []any:
			for _, inner := range x {
				walk(inner)
			}
		}
	}
	walk(schema)
	if n < 60 {
		t.Errorf("%d keys", n)
	}
}
