package app

import (
	"crypto/sha1"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
)

// The statements for a learning record store follow IEEE 9274.1.1 (xAPI 2.0),
// from memory. A run is one statement "completed" with its score, and each
// planted deficiency one statement "answered". No verb says that anybody has
// passed: what the school's rule came to is in result.success.
const (
	xapiVersion   = "2.0.0"
	verbCompleted = "http://adlnet.gov/expapi/verbs/completed"
	verbAnswered  = "http://adlnet.gov/expapi/verbs/answered"
	typeTest      = "http://adlnet.gov/expapi/activities/assessment"
	typeQuestion  = "http://adlnet.gov/expapi/activities/question"
	typeCourse    = "http://adlnet.gov/expapi/activities/course"
)

// XAPIAsk says how statements name things.
type XAPIAsk struct {
	Origin string // scheme, name and port of the school's server; activities and accounts are named under it
	Names  bool   // with people's names; accounts alone otherwise
}

type xapiLanguage map[string]string

type xapiAgent struct {
	Type    string       `json:"objectType"`
	Name    string       `json:"name,omitempty"`
	Account *xapiAccount `json:"account"`
}

type xapiAccount struct {
	HomePage string `json:"homePage"`
	Name     string `json:"name"`
}

type xapiVerb struct {
	ID      string       `json:"id"`
	Display xapiLanguage `json:"display"`
}

type xapiActivity struct {
	Type       string          `json:"objectType"`
	ID         string          `json:"id"`
	Definition *xapiDefinition `json:"definition,omitempty"`
}

type xapiDefinition struct {
	Name xapiLanguage `json:"name"`
	Type string       `json:"type"`
}

type xapiScore struct {
	Scaled float64 `json:"scaled"`
	Raw    int     `json:"raw"`
	Min    int     `json:"min"`
	Max    int     `json:"max"`
}

type xapiResult struct {
	Score      *xapiScore      `json:"score,omitempty"`
	Success    *bool           `json:"success,omitempty"`
	Completion *bool           `json:"completion,omitempty"`
	Duration   string          `json:"duration,omitempty"`
	Extensions json.RawMessage `json:"extensions,omitempty"`
}

type xapiContext struct {
	Registration string                    `json:"registration"`
	Instructor   *xapiAgent                `json:"instructor,omitempty"`
	Platform     string                    `json:"platform"`
	Language     string                    `json:"language"`
	Activities   map[string][]xapiActivity `json:"contextActivities"`
}

// xapiStatement is one statement. What many statements share is encoded once.
type xapiStatement struct {
	ID        string          `json:"id"`
	Actor     json.RawMessage `json:"actor"`
	Verb      json.RawMessage `json:"verb"`
	Object    json.RawMessage `json:"object"`
	Result    xapiResult      `json:"result"`
	Context   json.RawMessage `json:"context"`
	Timestamp string          `json:"timestamp"`
	Version   string          `json:"version"`
}

// raw encodes a part of a statement.
func raw(v any) json.RawMessage {
	data, err := json.Marshal(v)
	if err != nil {
		panic("app: a statement is no JSON: " + err.Error()) // strings and numbers only
	}
	return data
}

// xapiSpace is the namespace of our ids, itself the name-based UUID of a name.
var xapiSpace = [16]byte{0x6b, 0xa7, 0xb8, 0x11, 0x9d, 0xad, 0x11, 0xd1, 0x80, 0xb4, 0x00, 0xc0, 0x4f, 0xd4, 0x30, 0xc8} // URL, RFC 9562

// uuid is the name-based UUID of a name (version 5, RFC 9562, section 5.5): the
// same run gives the same statement, so that one sent twice is one.
func uuid(name string) string {
	h := sha1.New()
	h.Write(xapiSpace[:])
	io.WriteString(h, name)
	b := h.Sum(nil)[:16]
	b[6] = b[6]&0x0f | 0x50
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// WriteXAPI writes the results as an array of statements, a run after the
// other. Runs that have not ended, and those that no rule has graded, are left
// out.
func (d *ResultDesk) WriteXAPI(w io.Writer, a XAPIAsk) error {
	if _, err := io.WriteString(w, "["); err != nil {
		return err
	}
	first := true
	put := func(s *xapiStatement) error {
		data, err := json.Marshal(s)
		if err != nil {
			return err
		}
		before := ",\n"
		if first {
			before, first = "\n", false
		}
		_, err = io.WriteString(w, before+string(data))
		return err
	}
	items := make([]json.RawMessage, len(d.Set.Items))
	for i := range items {
		items[i] = raw(activity(a, "deficiency", d.Set.Items[i].Key, d.marked(d.Set.Items[i].Text), typeQuestion))
	}
	places := make([]json.RawMessage, len(d.Set.Places))
	for i := range places {
		places[i] = raw(map[string]string{a.Origin + "/xapi/part": d.Set.Places[i].Part, a.Origin + "/xapi/checkpoint": d.Set.Places[i].Checkpoint})
	}
	answered := raw(xapiVerb{verbAnswered, xapiLanguage{"en": "answered"}})
	for i := range d.Set.Sittings {
		x := &d.Set.Sittings[i]
		if !finished(x.Outcome) {
			continue
		}
		run, context := d.runStatement(x, a)
		if err := put(run); err != nil {
			return err
		}
		context.Activities = map[string][]xapiActivity{"parent": {d.versionActivity(x, a)}, "grouping": context.Activities["grouping"]}
		s := *run
		s.Verb, s.Context = answered, raw(context)
		for k := range x.Answers {
			y := &x.Answers[k]
			s.ID = uuid(a.Origin + "/run/" + x.Run + "/" + d.Set.Places[y.Place].Part + "/" + d.Set.Items[y.Item].Key)
			s.Object = items[y.Item]
			s.Result = xapiResult{Success: &y.Found, Extensions: places[y.Place]}
			if y.Found {
				s.Result.Duration = isoDuration(y.After)
			}
			if err := put(&s); err != nil {
				return err
			}
		}
	}
	_, err := io.WriteString(w, "\n]\n")
	return err
}

func (d *ResultDesk) agent(id string, a XAPIAsk) xapiAgent {
	x := xapiAgent{Type: "Agent", Account: &xapiAccount{a.Origin, id}}
	if a.Names {
		x.Name = d.Name(id)
	}
	return x
}

func activity(a XAPIAsk, kind, id, name, of string) xapiActivity {
	x := xapiActivity{Type: "Activity", ID: a.Origin + "/xapi/" + kind + "/" + strings.ReplaceAll(id, " ", "-")}
	if name != "" {
		x.Definition = &xapiDefinition{xapiLanguage{"en": name}, of}
	}
	return x
}

func (d *ResultDesk) marked(name string) string {
	if d.Invented {
		return "INVENTED: " + name
	}
	return name
}

func (d *ResultDesk) versionActivity(x *report.Sitting, a XAPIAsk) xapiActivity {
	return activity(a, "version", x.Version, d.marked(d.VersionTitle(x.Version)), typeTest)
}

// runStatement is the statement of a run, and its context for those of its
// answers.
func (d *ResultDesk) runStatement(x *report.Sitting, a XAPIAsk) (*xapiStatement, xapiContext) {
	found := 0
	for _, y := range x.Answers {
		if y.Found {
			found++
		}
	}
	met, done, grader := x.Outcome == teach.Met, true, d.agent(x.Grader, a)
	context := xapiContext{
		Registration: uuid(a.Origin + "/registration/" + x.Run), Instructor: &grader, Platform: "Hangtrue", Language: "en",
		Activities: map[string][]xapiActivity{
			"parent":   {activity(a, "lane", x.Lane, d.marked(d.LaneTitle(x.Lane)), typeTest)},
			"grouping": {activity(a, "class", x.Class, d.marked(d.ClassName(x.Class)), typeCourse)},
		},
	}
	s := &xapiStatement{
		ID: uuid(a.Origin + "/run/" + x.Run), Actor: raw(d.agent(x.Student, a)), Verb: raw(xapiVerb{verbCompleted, xapiLanguage{"en": "completed"}}),
		Object: raw(d.versionActivity(x, a)), Context: raw(context),
		Result: xapiResult{
			Success: &met, Completion: &done, Duration: isoDuration(x.Took),
			Extensions: raw(map[string]any{
				a.Origin + "/xapi/outcome": x.Outcome.Words(), a.Origin + "/xapi/false-calls": x.False, a.Origin + "/xapi/out-of-order": x.Order, a.Origin + "/xapi/attempt": x.Attempt,
			}),
		},
		Timestamp: x.At.UTC().Format("2006-01-02T15:04:05.000Z"), Version: xapiVersion,
	}
	if n := len(x.Answers); n > 0 {
		s.Result.Score = &xapiScore{Scaled: float64(found) / float64(n), Raw: found, Max: n}
	}
	return s, context
}

// isoDuration writes a time as ISO 8601 does, to hundredths of a second.
func isoDuration(d time.Duration) string { return fmt.Sprintf("PT%.2fS", d.Seconds()) }
