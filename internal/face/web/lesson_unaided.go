package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"unicode/utf8"

	"hangtrue/internal/paper/lesson"
)

// picturesAtOnce is how many pictures an unaided screen has at most.
const picturesAtOnce = 3

// mostSaid is how long what a person writes of one picture may be, in bytes.
const mostSaid = 300

// The calls that a person can make of a picture.
const (
	callRight  = "right"
	callWrong  = "wrong"
	callUnsure = "unsure"
)

var callWords = map[string]string{callRight: "as it should be", callWrong: "something is wrong", callUnsure: "cannot tell", "": "no answer"}

// lessonTry is how far a person is with a lesson on their own. All of it goes
// to and fro in the page; nothing is kept here.
type lessonTry struct {
	drawn, at int
	said      map[string]string // the fields of the answers by name
	end       bool
}

// unaidedStop is a checkpoint with pictures.
type unaidedStop struct {
	stop  *lesson.Stop
	items []lesson.Exercise
}

// unaidedScreen is one screen of an unaided lesson.
type unaidedScreen struct {
	rigHead
	Contents           string
	At, Count, Drawn   int
	Station            int
	Place, ID, Heading string
	Do                 string
	Items              []unaidedItem
	Kept               []keptField // answers of the other screens
	Stops              []unaidedReview
	Redraw             string
}

type keptField struct{ Name, Value string }

type unaidedItem struct {
	Number          int
	Call, Text      string // names of its fields
	Called, Said    string
	CalledWords     string
	Names           string
	Plan            string
	Ask             string
	Picture         template.HTML
	Drawing         string // the review's
	Answer          lessonAnswer
	Agrees, Decided bool
	Calls           []option
}

// unaidedReview is what was right at one checkpoint.
type unaidedReview struct {
	ID, Title, Address string
	Items              []unaidedItem
}

// answerLesson takes the answers of one screen and shows the next, the one
// before, or what was right.
func (s *Server) answerLesson(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	d, err := s.lessonDesk(r)
	if err != nil {
		return err
	}
	if d.lesson == nil {
		return s.unready(w, d.head)
	}
	if v := r.PostFormValue("version"); v != d.solved.Version {
		return refusal{http.StatusConflict, "The rig was changed", "The rig was changed since this lesson was begun, so its pictures are others now. Begin the lesson again."}
	}
	try := lessonTry{drawn: min(max(1, number(r.PostFormValue("drawn"))), mostDrawn), at: number(r.PostFormValue("at")), said: map[string]string{}}
	for name := range r.PostForm {
		if strings.HasPrefix(name, "call.") || strings.HasPrefix(name, "said.") {
			try.said[name] = cutText(strings.TrimSpace(r.PostFormValue(name)), mostSaid)
		}
	}
	switch r.PostFormValue("do") {
	case "back":
		try.at--
	case "end":
		try.end = true
	default:
		try.at++
	}
	return s.unaided(w, d, try)
}

// cutText cuts a text to at most n bytes, between letters.
func cutText(text string, n int) string {
	if len(text) <= n {
		return text
	}
	for n > 0 && !utf8.RuneStart(text[n]) {
		n--
	}
	return text[:n]
}

// unaided writes a screen of an unaided lesson, or its end.
func (s *Server) unaided(w http.ResponseWriter, d *lessonDesk, try lessonTry) error {
	var stops []unaidedStop
	for i := range d.lesson.Stops {
		x := &d.lesson.Stops[i]
		if items := x.Exercises(lessonSeed(d, try.drawn), picturesAtOnce); len(items) > 0 {
			stops = append(stops, unaidedStop{x, items})
		}
	}
	p := &unaidedScreen{rigHead: d.head, Contents: lessonURL(d.head.Name, "", 0, 0), Count: len(stops), Drawn: try.drawn, Redraw: lessonURL(d.head.Name, lessonUnaided, 1, try.drawn+1)}
	p.Title, p.Script = "Unaided – "+p.RigTitle, "lesson.js"
	if try.at > len(stops) {
		try.end = true
	}
	p.At = min(max(1, try.at), max(1, len(stops)))
	for i := range stops {
		number := 0
		review := unaidedReview{ID: stops[i].stop.Checkpoint.ID, Title: stops[i].stop.Checkpoint.Title}
		for k := range d.lesson.Stops {
			if &d.lesson.Stops[k] == stops[i].stop {
				review.Address = lessonURL(d.head.Name, lessonShown, k+1, 1)
			}
		}
		for k := range stops[i].items {
			number++
			e := &stops[i].items[k]
			q := &stops[i].stop.Questions[e.Question]
			item := unaidedItem{Number: number, Call: fmt.Sprintf("call.%d.%d", i+1, k+1), Text: fmt.Sprintf("said.%d.%d", i+1, k+1), Names: capital(lesson.Names(q.Parts)), Ask: q.Attribute.Ask}
			item.Called, item.Said = try.said[item.Call], try.said[item.Text]
			if _, ok := callWords[item.Called]; !ok {
				item.Called = ""
			}
			item.CalledWords = callWords[item.Called]
			if q.Attribute.Plan != "" {
				item.Plan = q.Plans[0].Text
			}
			switch {
			case try.end:
				item.Drawing = drawingURL(e.Shown.Drawing)
				item.Answer = lessonAnswerOf(d, &e.Shown, q.Parts[0])
				item.Decided = item.Called == callRight || item.Called == callWrong
				item.Agrees = item.Called == callRight && e.Shown.Wrong == nil || item.Called == callWrong && e.Shown.Wrong != nil
				review.Items = append(review.Items, item)
			case i+1 == p.At:
				var err error
				if item.Picture, err = lessonPicture(&e.Shown); err != nil {
					return err
				}
				for _, c := range []string{callRight, callWrong, callUnsure} {
					item.Calls = append(item.Calls, option{c, capital(callWords[c]), c == item.Called})
				}
				p.Items = append(p.Items, item)
			default:
				for _, f := range []keptField{{item.Call, item.Called}, {item.Text, item.Said}} {
					if f.Value != "" {
						p.Kept = append(p.Kept, f)
					}
				}
			}
		}
		if try.end {
			p.Stops = append(p.Stops, review)
		}
	}
	if try.end || len(stops) == 0 {
		return s.pages.write(w, http.StatusOK, "lesson-end", p)
	}
	x := stops[p.At-1].stop
	p.Station, p.Place, p.ID, p.Heading, p.Do = x.Station, x.Place, x.Checkpoint.ID, x.Checkpoint.Title, lesson.Do(x.Do)
	return s.pages.write(w, http.StatusOK, "lesson-unaided", p)
}
