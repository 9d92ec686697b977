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
	Score      *xapiScore     `json:"score,omitempty"`
	Success    *bool          `json:"success,omitempty"`
	Completion *bool          `json:"completion,omitempty"`
	Duration   string         `json:"duration,omitempty"`
	Extensions map[string]any `json:"extensions,omitempty"`
}

type xapiContext struct {
	Registration string                    `json:"registration"`
	Instructor   *xapiAgent                `json:"instructor,omitempty"`
	Platform     string                    `json:"platform"`
	Language     string                    `json:"language"`
	Activities   map[string][]xapiActivity `json:"contextActivities"`
}

type xapiStatement struct {
	ID        string       `json:"id"`
	Actor     xapiAgent    `json:"actor"`
	Verb      xapiVerb     `json:"verb"`
	Object    xapiActivity `json:"object"`
	Result    xapiResult   `json:"result"`
	Context   xapiContext  `json:"context"`
	Timestamp string       `json:"timestamp"`
	Version   string       `json:"version"`
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
	for i := range d.Set.Sittings {
		x := &d.Set.Sittings[i]
		if !finished(x.Outcome) {
			continue
		}
		run := d.runStatement(x, a)
		if err := put(run); err != nil {
			return err
		}
		for k := range x.Answers {
			if err := put(d.answerStatement(x, &x.Answers[k], run, a)); err != nil {
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

func (d *ResultDesk) runStatement(x *report.Sitting, a XAPIAsk) *xapiStatement {
	found := 0
	for _, y := range x.Answers {
		if y.Found {
			found++
		}
	}
	met, done := x.Outcome == teach.Met, true
	s := &xapiStatement{
		ID: uuid(a.Origin + "/run/" + x.Run), Actor: d.agent(x.Student, a), Verb: xapiVerb{verbCompleted, xapiLanguage{"en": "completed"}},
		Object: activity(a, "version", x.Version, d.marked(d.VersionTitle(x.Version)), typeTest),
		Result: xapiResult{
			Success: &met, Completion: &done, Duration: isoDuration(x.Took),
			Extensions: map[string]any{
				a.Origin + "/xapi/outcome": x.Outcome.Words(), a.Origin + "/xapi/false-calls": x.False, a.Origin + "/xapi/out-of-order": x.Order, a.Origin + "/xapi/attempt": x.Attempt,
			},
		},
		Context: xapiContext{
			Registration: uuid(a.Origin + "/registration/" + x.Run), Platform: "Hangtrue", Language: "en",
			Activities: map[string][]xapiActivity{
				"parent":   {activity(a, "lane", x.Lane, d.marked(d.LaneTitle(x.Lane)), typeTest)},
				"grouping": {activity(a, "class", x.Class, d.marked(d.ClassName(x.Class)), typeCourse)},
			},
		},
		Timestamp: x.At.UTC().Format("2006-01-02T15:04:05.000Z"), Version: xapiVersion,
	}
	if n := len(x.Answers); n > 0 {
		s.Result.Score = &xapiScore{Scaled: float64(found) / float64(n), Raw: found, Max: n}
	}
	grader := d.agent(x.Grader, a)
	s.Context.Instructor = &grader
	return s
}

func (d *ResultDesk) answerStatement(x *report.Sitting, y *report.Answer, run *xapiStatement, a XAPIAsk) *xapiStatement {
	item, place := &d.Set.Items[y.Item], &d.Set.Places[y.Place]
	s := *run
	s.ID = uuid(a.Origin + "/run/" + x.Run + "/" + place.Part + "/" + item.Key)
	s.Verb = xapiVerb{verbAnswered, xapiLanguage{"en": "answered"}}
	s.Object = activity(a, "deficiency", item.Key, d.marked(item.Text), typeQuestion)
	found := y.Found
	s.Result = xapiResult{Success: &found, Extensions: map[string]any{a.Origin + "/xapi/part": place.Part, a.Origin + "/xapi/checkpoint": place.Checkpoint}}
	if y.Found {
		s.Result.Duration = isoDuration(y.After)
	}
	s.Context.Activities = map[string][]xapiActivity{"parent": {run.Object}, "grouping": run.Context.Activities["grouping"]}
	return &s
}

// isoDuration writes a time as ISO 8601 does, to hundredths of a second.
func isoDuration(d time.Duration) string { return fmt.Sprintf("PT%.2fS", d.Seconds()) }
