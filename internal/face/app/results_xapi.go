package app

import (
	"context"
	"crypto/sha1"
	"encoding/hex"
	"encoding/json"
	"io"
	"net/url"
	"strconv"
	"strings"
	"time"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/report"
)

// The statements for a learning record store follow IEEE 9274.1.1 (xAPI 2.0),
// from memory. A run is one statement "completed" with its score, and each
// planted deficiency one statement "answered". A drill is one statement
// "completed", or "attempted" where it was ended early, and each of its pictures
// one "answered". No verb says that anybody has passed: what the school's rule
// came to is in result.success.
const (
	XAPIVersion   = "2.0.0" // of the statements, and of the header with which they are sent
	verbCompleted = "http://adlnet.gov/expapi/verbs/completed"
	verbAttempted = "http://adlnet.gov/expapi/verbs/attempted"
	verbAnswered  = "http://adlnet.gov/expapi/verbs/answered"
	typeTest      = "http://adlnet.gov/expapi/activities/assessment"
	typeQuestion  = "http://adlnet.gov/expapi/activities/question"
	typeCourse    = "http://adlnet.gov/expapi/activities/course"
	typeDrill     = "http://adlnet.gov/expapi/activities/simulation"
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
	Score      *xapiScore
	Success    *bool
	Completion *bool
	Response   string
	Duration   string
	Extensions json.RawMessage
}

type xapiContext struct {
	Registration string                    `json:"registration"`
	Instructor   *xapiAgent                `json:"instructor,omitempty"`
	Platform     string                    `json:"platform"`
	Language     string                    `json:"language"`
	Activities   map[string][]xapiActivity `json:"contextActivities,omitempty"`
}

// xapiStatement is one statement. What many statements share is encoded once.
type xapiStatement struct {
	ID                           string
	Actor, Verb, Object, Context json.RawMessage
	Result                       xapiResult
	Timestamp                    string
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
	x := hex.EncodeToString(b)
	return x[:8] + "-" + x[8:12] + "-" + x[12:16] + "-" + x[16:20] + "-" + x[20:]
}

// WriteXAPI writes the results as an array of statements, a run after the other,
// and then the drills, which are read as they are written. Runs that have not
// ended, and those that no rule has graded, are left out; so are drills that are
// not over and those of whoever is in none of the desk's classes.
func (d *ResultDesk) WriteXAPI(ctx context.Context, w io.Writer, a XAPIAsk) error {
	x := &xapiWriter{d: d, a: a, out: w, before: "[\n", activities: map[xapiThing]json.RawMessage{}, places: map[report.Place]json.RawMessage{}}
	x.answered = raw(xapiVerb{verbAnswered, xapiLanguage{"en": "answered"}})
	if err := d.each(ctx, x.run); err != nil {
		return err
	}
	if err := x.drills(ctx); err != nil {
		return err
	}
	end := "\n]\n"
	if x.before == "[\n" {
		end = "[]\n"
	}
	_, err := io.WriteString(w, end)
	return err
}

// xapiThing is what statements are about, marked as invented or not.
type xapiThing struct {
	kind, key string
	invented  bool
}

// xapiWriter writes statements one by one. What comes again and again is encoded
// once: there are not more deficiencies and parts than the catalogue and the
// rigs have.
type xapiWriter struct {
	d          *ResultDesk
	a          XAPIAsk
	out        io.Writer
	before     string // what stands before the next statement
	answered   json.RawMessage
	activities map[xapiThing]json.RawMessage
	places     map[report.Place]json.RawMessage
	line       []byte
}

// put writes a statement. Its parts are encoded already, so they are only put
// together: encoding them anew would take most of the time.
func (x *xapiWriter) put(s *xapiStatement) error {
	b := append(x.line[:0], x.before...)
	b = append(append(append(b, `{"id":"`...), s.ID...), `","actor":`...)
	b = append(append(append(b, s.Actor...), `,"verb":`...), s.Verb...)
	b = append(append(append(b, `,"object":`...), s.Object...), `,"result":`...)
	b = s.Result.append(b)
	b = append(append(append(b, `,"context":`...), s.Context...), `,"timestamp":"`...)
	b = append(append(append(b, s.Timestamp...), `","version":"`...), XAPIVersion+`"}`...)
	x.line, x.before = b, ",\n"
	_, err := x.out.Write(b)
	return err
}

// append writes a result as JSON.
func (r *xapiResult) append(b []byte) []byte {
	b = append(b, '{')
	part := func(name string, value []byte) {
		if b[len(b)-1] != '{' {
			b = append(b, ',')
		}
		b = append(append(append(b, '"'), name...), `":`...)
		b = append(b, value...)
	}
	if r.Score != nil {
		part("score", raw(r.Score))
	}
	for _, x := range []struct {
		name string
		is   *bool
	}{{"success", r.Success}, {"completion", r.Completion}} {
		if x.is != nil {
			part(x.name, strconv.AppendBool(nil, *x.is))
		}
	}
	if r.Response != "" {
		part("response", raw(r.Response))
	}
	if r.Duration != "" {
		part("duration", []byte(`"`+r.Duration+`"`))
	}
	if len(r.Extensions) > 0 {
		part("extensions", r.Extensions)
	}
	return append(b, '}')
}

// question is a thing that is asked about.
func (x *xapiWriter) question(kind, key, name string, invented bool) json.RawMessage {
	t := xapiThing{kind, key, invented}
	if x.activities[t] == nil {
		x.activities[t] = raw(activity(x.a, kind, key, marked(name, invented), typeQuestion))
	}
	return x.activities[t]
}

// place is where something was planted, as extensions.
func (x *xapiWriter) place(p report.Place) json.RawMessage {
	if x.places[p] == nil {
		x.places[p] = raw(map[string]string{x.a.Origin + "/xapi/part": p.Part, x.a.Origin + "/xapi/checkpoint": p.Checkpoint})
	}
	return x.places[p]
}

// run writes the statements of one run.
func (x *xapiWriter) run(set *report.Reader, r *report.Sitting) error {
	if !finished(r.Outcome) {
		return nil
	}
	run, context := x.d.runStatement(r, x.a)
	if err := x.put(run); err != nil {
		return err
	}
	invented := x.d.Lanes[r.Lane].Setup.Invented
	context.Activities = map[string][]xapiActivity{"parent": {x.d.versionActivity(r, x.a)}, "grouping": context.Activities["grouping"]}
	s := *run
	s.Verb, s.Context = x.answered, raw(context)
	for k := range r.Answers {
		y := &r.Answers[k]
		item, place := &set.Items[y.Item], set.Places[y.Place]
		s.ID = uuid(x.a.Origin + "/run/" + r.Run + "/" + place.Part + "/" + item.Key)
		s.Object = x.question("deficiency", item.Key, item.Text, invented)
		s.Result = xapiResult{Success: &y.Found, Extensions: x.place(place)}
		if y.Found {
			s.Result.Duration = isoDuration(y.After)
		}
		if err := x.put(&s); err != nil {
			return err
		}
	}
	return nil
}

func (d *ResultDesk) agent(id string, a XAPIAsk) xapiAgent {
	x := xapiAgent{Type: "Agent", Account: &xapiAccount{a.Origin, id}}
	if a.Names {
		x.Name = d.Name(id)
	}
	return x
}

func activity(a XAPIAsk, kind, id, name, of string) xapiActivity {
	x := xapiActivity{Type: "Activity", ID: a.Origin + "/xapi/" + kind + "/" + strings.ReplaceAll(url.PathEscape(id), "%2F", "/")}
	if name != "" {
		x.Definition = &xapiDefinition{xapiLanguage{"en": name}, of}
	}
	return x
}

func marked(name string, invented bool) string {
	if invented {
		return "INVENTED: " + name
	}
	return name
}

func (d *ResultDesk) versionActivity(x *report.Sitting, a XAPIAsk) xapiActivity {
	return activity(a, "version", x.Version, marked(d.VersionTitle(x.Version), d.Lanes[x.Lane].Setup.Invented), typeTest)
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
	invented := d.Lanes[x.Lane].Setup.Invented
	context := xapiContext{
		Registration: uuid(a.Origin + "/registration/" + x.Run), Instructor: &grader, Platform: "Hangtrue", Language: "en",
		Activities: map[string][]xapiActivity{
			"parent":   {activity(a, "lane", x.Lane, marked(d.LaneTitle(x.Lane), invented), typeTest)},
			"grouping": {activity(a, "class", x.Class, marked(d.ClassName(x.Class), invented), typeCourse)},
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
		Timestamp: xapiTime(x.At),
	}
	if n := len(x.Answers); n > 0 {
		s.Result.Score = &xapiScore{Scaled: float64(found) / float64(n), Raw: found, Max: n}
	}
	return s, context
}

// xapiTime writes a time as RFC 3339 does, to milliseconds.
func xapiTime(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

// isoDuration writes a time as ISO 8601 does, to hundredths of a second.
func isoDuration(d time.Duration) string {
	return "PT" + strconv.FormatFloat(d.Seconds(), 'f', 2, 64) + "S"
}
