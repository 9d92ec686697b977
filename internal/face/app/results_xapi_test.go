package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// Every statement holds the rules of IEEE 9274.1.1 as they were remembered from
// its text: which properties there may be, and what each may hold.
func TestWriteXAPI_HoldsTheRulesOfStatements(t *testing.T) {
	for _, names := range []bool{false, true} {
		d := resultsOf(30)
		d.mates = map[string]string{"s-0": "Ada <Fell>"}
		var out bytes.Buffer
		if err := d.WriteXAPI(t.Context(), &out, XAPIAsk{Origin: "https://school.local", Names: names}); err != nil {
			t.Fatal(err)
		}
		if named := strings.Contains(out.String(), "Ada"); named != names {
			t.Errorf("names are there: %v, want %v", named, names)
		}
		var list []map[string]any
		if err := json.Unmarshal(out.Bytes(), &list); err != nil {
			t.Fatal(err)
		}
		// 30 runs with ten answers each; 3 drills of three pictures, two answered.
		if want := 30*11 + 3*3; len(list) != want {
			t.Fatalf("%d statements, want %d", len(list), want)
		}
		verbs, seen := map[string]int{}, map[string]bool{}
		for i, s := range list {
			x := &xapiRules{names: names}
			x.statement(s)
			for _, p := range x.problems {
				t.Errorf("statement %d: %s", i, p)
			}
			id := fmt.Sprint(s["id"])
			if seen[id] {
				t.Errorf("statement %d: its id comes twice", i)
			}
			seen[id] = true
			verbs[fmt.Sprint(s["verb"].(map[string]any)["id"])]++
		}
		if verbs[verbCompleted] != 30 || verbs[verbAttempted] != 3 || verbs[verbAnswered] != 306 || len(verbs) != 3 {
			t.Errorf("%v", verbs)
		}
		drill := list[330:333]
		if score := drill[0]["result"].(map[string]any)["score"].(map[string]any); score["raw"] != 1.0 || score["max"] != 2.0 {
			t.Errorf("a drill's score %v", score)
		}
		for k, want := range []string{"wrong: one link too high", "wrong: something else"} {
			r := drill[k+1]["result"].(map[string]any)
			if r["response"] != want || r["success"] != (k == 0) || r["duration"] != []string{"PT4.00S", "PT5.00S"}[k] {
				t.Errorf("answer %d of a drill: %v", k+1, r)
			}
		}
		if id := drill[1]["object"].(map[string]any)["id"]; id != "https://school.local/xapi/deficiency/chain/count/high" {
			t.Errorf("a deficiency in a drill is %v", id)
		}
	}
	var out bytes.Buffer
	if err := resultsOf(0).WriteXAPI(t.Context(), &out, XAPIAsk{Origin: "https://school.local"}); err != nil || out.String() != "[]\n" {
		t.Errorf("%q, %v", out.String(), err)
	}
}

// The rules tell a statement that breaks one.
func TestXAPIRules_TellWhatIsWrong(t *testing.T) {
	var out bytes.Buffer
	if err := resultsOf(1).WriteXAPI(t.Context(), &out, XAPIAsk{Origin: "https://school.local"}); err != nil {
		t.Fatal(err)
	}
	for _, change := range [][2]string{
		{`"id":"`, `"id":"x`},
		{`"version":"2.0.0"`, `"version":"1.0"`},
		{`"objectType":"Agent",`, `"objectType":"Agent","mbox":"mailto:a@example.com",`},
		{`"homePage":"https://school.local"`, `"homePage":"school"`},
		{`"scaled":`, `"scaled":7`},
		{`"PT300.00S"`, `"5 min"`},
		{`"platform"`, `"platfrom"`},
		{`"https://school.local/xapi/attempt"`, `"attempt"`},
		{`"timestamp":"2026-`, `"timestamp":"26-`},
		{`"en":`, `"English tongue":`},
		{`"success":true`, `"success":null`},
		{`"parent":[`, `"parents":[`},
	} {
		text := strings.Replace(out.String(), change[0], change[1], 1)
		var list []map[string]any
		if err := json.Unmarshal([]byte(text), &list); err != nil || text == out.String() {
			t.Fatal(change, err)
		}
		x := &xapiRules{}
		x.statement(list[0])
		if len(x.problems) == 0 {
			t.Errorf("%s: nothing is wrong", change[1])
		}
	}
}

// xapiRules checks one statement.
type xapiRules struct {
	names    bool
	problems []string
}

var (
	xapiUUID     = regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
	xapiTongue   = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$`)
	xapiDuration = regexp.MustCompile(`^PT\d+(\.\d{1,2})?S$`)
)

func (x *xapiRules) bad(format string, args ...any) {
	x.problems = append(x.problems, fmt.Sprintf(format, args...))
}

// object takes a value as an object with no properties but those allowed, all
// of those that end in ! being there; nothing may be null.
func (x *xapiRules) object(where string, v any, allowed ...string) map[string]any {
	o, ok := v.(map[string]any)
	if !ok {
		x.bad("%s is no object: %v", where, v)
		return map[string]any{}
	}
	var known []string
	for _, a := range allowed {
		name, must := strings.CutSuffix(a, "!")
		known = append(known, name)
		if _, there := o[name]; must && !there {
			x.bad("%s has no %s", where, name)
		}
	}
	for name, value := range o {
		if len(allowed) > 0 && !slices.Contains(known, name) {
			x.bad("%s has a %s", where, name)
		}
		if value == nil {
			x.bad("%s.%s is null", where, name)
		}
	}
	return o
}

func (x *xapiRules) iri(where string, v any) {
	text, _ := v.(string)
	u, err := url.Parse(text)
	if err != nil || u.Scheme == "" || u.Host == "" || strings.ContainsAny(text, " <>\"{}|\\^`") {
		x.bad("%s is no IRI: %v", where, v)
	}
}

func (x *xapiRules) languages(where string, v any) {
	o := x.object(where, v)
	for tag, text := range o {
		if s, ok := text.(string); !xapiTongue.MatchString(tag) || !ok || s == "" {
			x.bad("%s: %q: %v", where, tag, text)
		}
	}
	if len(o) == 0 {
		x.bad("%s is empty", where)
	}
}

func (x *xapiRules) agent(where string, v any) {
	allowed := []string{"objectType", "account!"} // one inverse functional identifier, and no other
	if x.names {
		allowed = append(allowed, "name")
	}
	o := x.object(where, v, allowed...)
	if o["objectType"] != "Agent" {
		x.bad("%s is a %v", where, o["objectType"])
	}
	account := x.object(where+".account", o["account"], "homePage!", "name!")
	x.iri(where+".account.homePage", account["homePage"])
	if name, _ := account["name"].(string); name == "" || strings.Contains(name, "@") {
		x.bad("%s.account.name is %v", where, account["name"])
	}
}

func (x *xapiRules) activity(where string, v any) {
	o := x.object(where, v, "objectType", "id!", "definition")
	if o["objectType"] != "Activity" {
		x.bad("%s is a %v", where, o["objectType"])
	}
	x.iri(where+".id", o["id"])
	d := x.object(where+".definition", o["definition"], "name", "description", "type", "moreInfo", "extensions")
	x.languages(where+".definition.name", d["name"])
	x.iri(where+".definition.type", d["type"])
}

func (x *xapiRules) extensions(where string, v any) {
	for key := range x.object(where, v) {
		x.iri(where+" "+key, key)
	}
}

func (x *xapiRules) statement(s map[string]any) {
	x.object("statement", s, "id!", "actor!", "verb!", "object!", "result", "context", "timestamp!", "version!")
	if id, _ := s["id"].(string); !xapiUUID.MatchString(id) {
		x.bad("id %v", s["id"])
	}
	if s["version"] != XAPIVersion || XAPIVersion != "2.0.0" {
		x.bad("version %v", s["version"])
	}
	if at, _ := s["timestamp"].(string); !strings.HasSuffix(at, "Z") {
		x.bad("timestamp %v is not UTC", at)
	} else if _, err := time.Parse(time.RFC3339, at); err != nil {
		x.bad("timestamp: %v", err)
	}
	x.agent("actor", s["actor"])
	verb := x.object("verb", s["verb"], "id!", "display")
	x.iri("verb.id", verb["id"])
	x.languages("verb.display", verb["display"])
	x.activity("object", s["object"])

	r := x.object("result", s["result"], "score", "success", "completion", "response", "duration", "extensions")
	if v, there := r["score"]; there {
		score := x.object("score", v, "scaled", "raw", "min", "max")
		scaled, raw, low, high := numberIn(score["scaled"]), numberIn(score["raw"]), numberIn(score["min"]), numberIn(score["max"])
		if scaled < -1 || scaled > 1 || low >= high || raw < low || raw > high {
			x.bad("score %v", score)
		}
	}
	if v, there := r["duration"]; there && !xapiDuration.MatchString(fmt.Sprint(v)) {
		x.bad("duration %v", v)
	}
	for _, name := range []string{"success", "completion"} {
		if _, ok := r[name].(bool); r[name] != nil && !ok {
			x.bad("%s %v", name, r[name])
		}
	}
	x.extensions("result.extensions", r["extensions"])

	c := x.object("context", s["context"], "registration", "instructor", "team", "contextActivities", "revision", "platform", "language", "statement", "extensions", "contextAgents", "contextGroups")
	if id, _ := c["registration"].(string); !xapiUUID.MatchString(id) {
		x.bad("registration %v", c["registration"])
	}
	if c["instructor"] != nil {
		x.agent("instructor", c["instructor"])
	}
	if tag, _ := c["language"].(string); !xapiTongue.MatchString(tag) {
		x.bad("language %v", c["language"])
	}
	if v, there := c["contextActivities"]; there {
		for name, list := range x.object("contextActivities", v, "parent", "grouping", "category", "other") {
			all, ok := list.([]any)
			if !ok || len(all) == 0 {
				x.bad("%s is no list: %v", name, list)
			}
			for _, a := range all {
				x.activity(name, a)
			}
		}
	}
}

func numberIn(v any) float64 {
	n, _ := v.(float64)
	return n
}
