package web

import (
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/lesson"
)

// The ways in which a lesson is gone through.
const (
	lessonShown   = "shown"   // everything
	lessonGuided  = "guided"  // the question first, the answer on a press
	lessonUnaided = "unaided" // the question only; what was right comes at the end
)

// lessonWays are the ways, in the order in which a class goes through them.
var lessonWays = []struct{ way, words, what string }{
	{lessonShown, "Shown", "Everything: how right looks, how each wrong state looks, why it matters and what it would do."},
	{lessonGuided, "Guided", "The question first. What the class says comes before the answer, which is there on a press."},
	{lessonUnaided, "Unaided", "Pictures only. Each says what is wrong, if anything; what was right comes at the end. No marks are given and nothing is kept."},
}

// lessonDesk is what a page of a lesson works with.
type lessonDesk struct {
	*walkDesk
	order   *inspect.Sequence
	own     *app.Order
	effects *app.EffectsDocument
	lesson  *lesson.Lesson
}

// lessonDesk opens the lesson of a rig. The lesson is nil where the rig's text
// has errors or counts are open.
func (s *Server) lessonDesk(r *http.Request) (*lessonDesk, error) {
	w, err := s.walkDesk(r, "lesson", "Lesson")
	if err != nil {
		return nil, err
	}
	d := &lessonDesk{walkDesk: w}
	if w.survey == nil || w.solved.Answer == nil {
		return d, nil
	}
	if d.order, d.own, err = s.order(w); err != nil {
		return nil, err
	}
	if d.effects, err = effectTables.of(w); err != nil {
		return nil, err
	}
	d.lesson = app.Lesson(w.survey, d.order, d.effects)
	return d, nil
}

// lessonURL is the address of a screen of a lesson; stop counts from 1, 0 is the
// beginning. drawn is which pictures are drawn, from 1.
func lessonURL(name, way string, stop, drawn int) string {
	q := url.Values{}
	if way != "" {
		q.Set("way", way)
		if stop > 0 {
			q.Set("at", strconv.Itoa(stop))
		}
		if drawn > 1 {
			q.Set("drawn", strconv.Itoa(drawn))
		}
	}
	address := rigURL(name) + "/lesson"
	if len(q) > 0 {
		address += "?" + q.Encode()
	}
	return address
}

// lessonView is the first page of a lesson.
type lessonView struct {
	rigHead
	Troubles []trouble
	Whose    string
	Before   string
	Ways     []lessonWay
	Stops    []lessonStop
	Else     string
	Claim    string
	MostQuiz int
	Quiz     bool // may print one
}

type lessonWay struct{ Address, Words, What string }

type lessonStop struct {
	Address, ID, Title, Place string
	Station, Questions        int
}

// lessonScreen is one checkpoint on a screen of its own.
type lessonScreen struct {
	rigHead
	Way, WayWords      string
	Contents           string
	Other              []pageLink // the same checkpoint in the other ways
	At, Count          int
	Station            int
	Place, ID, Heading string
	Note, Reference    string
	Do                 string
	Questions          []lessonQuestion
	Again              []lessonQuestion // what an earlier checkpoint asked
	Previous, Next     string
	Redraw             string // guided: other pictures
	PreviousStop       *lessonStop
	NextStop           *lessonStop
}

type lessonQuestion struct {
	Ask, Names, Do string
	Plans          []string
	Stated         bool   // the plan says which state is right
	Good, GoodIs   string // address of the picture, and what it shows
	Wrong          []lessonWrong
	As             string        // the checkpoint that asked it before
	Picture        template.HTML // guided: the picture to be told right or wrong
	Answer         lessonAnswer

	Number, Of    int // among those asked here for the first time; Of is 0 for a single one
	Before, After int // the numbers beside it, 0 for none
}

type lessonWrong struct {
	Picture, Found, Why string
	Computed            []string
}

// lessonAnswer is what a picture showed.
type lessonAnswer struct{ Found, Why, Computed string }

// lessonPage is the first page of a lesson, or one of its screens.
func (s *Server) lessonPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.lessonDesk(r)
	if err != nil {
		return err
	}
	if d.lesson == nil {
		return s.unready(w, d.head)
	}
	q := r.URL.Query()
	drawn := min(max(1, number(q.Get("drawn"))), mostDrawn)
	switch way := q.Get("way"); way {
	case "":
		return s.pages.write(w, http.StatusOK, "lesson", s.newLessonView(r, d))
	case lessonShown, lessonGuided:
		at := number(q.Get("at"))
		if len(d.lesson.Stops) == 0 {
			return s.pages.write(w, http.StatusOK, "lesson", s.newLessonView(r, d))
		}
		page, err := newLessonScreen(d, way, min(max(1, at), len(d.lesson.Stops)), drawn)
		if err != nil {
			return err
		}
		return s.pages.write(w, http.StatusOK, "lesson-screen", page)
	case lessonUnaided:
		return s.unaided(w, d, lessonTry{drawn: drawn, at: max(1, number(q.Get("at")))})
	}
	return refusal{http.StatusNotFound, "Nothing here", "A lesson is shown, guided or unaided."}
}

// mostDrawn is how often pictures can be drawn anew.
const mostDrawn = 9999

// number reads a whole number; what is none is 0.
func number(text string) int {
	n, _ := strconv.Atoi(text)
	return n
}

func (s *Server) newLessonView(r *http.Request, d *lessonDesk) *lessonView {
	p := &lessonView{rigHead: d.head, Troubles: d.troubles, Before: inspect.BeforeTheWalk, Else: inspect.AnythingElse, MostQuiz: lesson.MostItems, Quiz: s.may(r, people.Teach)}
	p.Whose = "The order is suggested from the rig. A school’s own order stands before it."
	if d.own != nil && d.own.Sequence != nil {
		p.Whose = joined(": ", "The school’s own order", d.order.Title) + "."
	}
	for _, w := range lessonWays {
		p.Ways = append(p.Ways, lessonWay{lessonURL(d.head.Name, w.way, 1, 1), w.words, w.what})
	}
	for i := range d.lesson.Stops {
		p.Stops = append(p.Stops, lessonStopOf(d, i))
	}
	p.Claim = inspect.Cover(d.survey, d.order).Claim()
	return p
}

func lessonStopOf(d *lessonDesk, i int) lessonStop {
	x := &d.lesson.Stops[i]
	return lessonStop{
		Address: lessonURL(d.head.Name, lessonShown, i+1, 1), ID: x.Checkpoint.ID, Title: x.Checkpoint.Title, Place: x.Place,
		Station: x.Station, Questions: len(x.Questions),
	}
}

// lessonSeed is the seed of the pictures of a rig's exercises.
func lessonSeed(d *lessonDesk, drawn int) string {
	return fmt.Sprintf("%s %d", d.solved.Version, drawn)
}

func newLessonScreen(d *lessonDesk, way string, at, drawn int) (*lessonScreen, error) {
	x := &d.lesson.Stops[at-1]
	p := &lessonScreen{
		rigHead: d.head, Way: way, Contents: lessonURL(d.head.Name, "", 0, 0), At: at, Count: len(d.lesson.Stops),
		Station: x.Station, Place: x.Place, ID: x.Checkpoint.ID, Heading: x.Checkpoint.Title,
		Note: x.Checkpoint.Note, Reference: x.Checkpoint.Reference, Do: lesson.Do(x.Do),
	}
	p.Title, p.Script = fmt.Sprintf("%d of %d, %s – %s", at, p.Count, p.Heading, p.RigTitle), "lesson.js"
	for _, w := range lessonWays {
		if w.way == way {
			p.WayWords = w.words
		}
		p.Other = append(p.Other, pageLink{lessonURL(d.head.Name, w.way, at, 1), w.words, w.way == way})
	}
	if at > 1 {
		p.Previous = lessonURL(d.head.Name, way, at-1, drawn)
		before := lessonStopOf(d, at-2)
		p.PreviousStop = &before
	}
	if at < p.Count {
		p.Next = lessonURL(d.head.Name, way, at+1, drawn)
		next := lessonStopOf(d, at)
		p.NextStop = &next
	}
	shown := map[int]lesson.Shown{}
	if way == lessonGuided {
		p.Redraw = lessonURL(d.head.Name, way, at, drawn+1)
		for _, e := range x.Exercises(lessonSeed(d, drawn), len(x.Questions)) {
			shown[e.Question] = e.Shown
		}
	}
	for i := range x.Questions {
		q := lessonQuestionOf(d, &x.Questions[i])
		if q.As != "" {
			p.Again = append(p.Again, q)
			continue
		}
		if e, ok := shown[i]; ok {
			var err error
			if q.Picture, err = lessonPicture(&e); err != nil {
				return nil, err
			}
			q.Answer = lessonAnswerOf(d, &e, x.Questions[i].Parts[0])
		}
		p.Questions = append(p.Questions, q)
	}
	for i := range p.Questions {
		q := &p.Questions[i]
		if q.Number = i + 1; len(p.Questions) > 1 {
			q.Of, q.Before = len(p.Questions), i
		}
		if i+1 < len(p.Questions) {
			q.After = i + 2
		}
	}
	return p, nil
}

func lessonQuestionOf(d *lessonDesk, q *lesson.Question) lessonQuestion {
	out := lessonQuestion{Ask: q.Attribute.Ask, Names: capital(lesson.Names(q.Parts)), Do: lesson.Do(q.Do), Good: drawingURL(q.Good), Stated: q.Stated()}
	for _, x := range q.Plans {
		switch {
		case x.Text == "":
		case len(x.Parts) < len(q.Parts):
			out.Plans = append(out.Plans, capital(lesson.Names(x.Parts))+": "+x.Text)
		default:
			out.Plans = append(out.Plans, capital(x.Text))
		}
	}
	if out.GoodIs = "How right looks"; len(out.Plans) > 0 {
		out.GoodIs = out.Plans[0]
	}
	if q.Before >= 0 {
		out.As = d.lesson.Stops[q.Before].Checkpoint.ID
	}
	for i := range q.Wrong {
		x := &q.Wrong[i]
		v := lessonWrong{Picture: drawingURL(x.Drawing), Found: capital(x.Found()), Why: x.Why()}
		for k := range x.Cases {
			if words := x.Cases[k].Words(q.Parts); words != "" {
				v.Computed = append(v.Computed, words)
			}
		}
		out.Wrong = append(out.Wrong, v)
	}
	return out
}

// lessonAnswerOf says what a picture shows; good is a part of the question, for
// a picture that shows it as it should be.
func lessonAnswerOf(d *lessonDesk, x *lesson.Shown, good *inspect.Part) lessonAnswer {
	if x.Wrong != nil {
		good = x.Wrong.Part
	}
	found, why, computed := x.Answer(good, app.Outcomes(d.effects))
	return lessonAnswer{found, why, computed}
}

// lessonPicture draws a picture that is to be told right or wrong: without any
// word for staff, and within the page, so that no address names its state.
func lessonPicture(x *lesson.Shown) (template.HTML, error) {
	text, err := svg.String(x.Drawing.Picture(false))
	return template.HTML(text), err
}
