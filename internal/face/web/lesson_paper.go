package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/lesson"
	"hangtrue/internal/paper/sheet"
)

// lessonToPrint opens the lesson that a form asks to be printed, of the version
// that the form was opened for.
func (s *Server) lessonToPrint(r *http.Request) (*lessonDesk, sheet.Stamp, error) {
	if err := parseForm(r); err != nil {
		return nil, sheet.Stamp{}, err
	}
	d, err := s.lessonDesk(r)
	if err != nil {
		return nil, sheet.Stamp{}, err
	}
	if d.lesson == nil {
		return nil, sheet.Stamp{}, refusal{http.StatusUnprocessableEntity, "Nothing to print", "A lesson needs a rig that hangs: its text has errors or open counts."}
	}
	if r.PostFormValue("version") != d.solved.Version {
		return nil, sheet.Stamp{}, refusal{http.StatusConflict, "Not printed", "The rig was changed since this page was opened. Open the lesson again and print it from there."}
	}
	return d, sheet.Stamp{Date: s.Now().Format("2006-01-02 15:04"), File: d.head.Name + ".yaml", Tool: s.Tool}, nil
}

// printHandout sends a lesson's handout or its pages for a projector, and notes
// that it was printed.
func (s *Server) printHandout(w http.ResponseWriter, r *http.Request) error {
	d, stamp, err := s.lessonToPrint(r)
	if err != nil {
		return err
	}
	paper, what := app.LessonHandout, "handout"
	if r.PostFormValue("paper") == "projector" {
		paper, what = app.LessonScreens, "projector"
	}
	data, err := paper(d.solved, d.lesson, stamp)
	if err != nil {
		return err
	}
	if err := s.noteSheet(d.head.Name, d.solved.Version, d.own); err != nil {
		return err
	}
	return sendPDF(w, d.head.Name+"-"+what+"-"+app.ShortVersion(d.solved.Version)+".pdf", data)
}

// printQuiz sends a picture quiz or its key.
func (s *Server) printQuiz(w http.ResponseWriter, r *http.Request) error {
	d, stamp, err := s.lessonToPrint(r)
	if err != nil {
		return err
	}
	questions, err := strconv.Atoi(strings.TrimSpace(r.PostFormValue("questions")))
	if err != nil {
		return refusal{http.StatusBadRequest, "No quiz", "The number of questions is no whole number."}
	}
	good, err := strconv.Atoi(strings.TrimSpace(r.PostFormValue("good")))
	if err != nil || good < 0 || good > 100 {
		return refusal{http.StatusBadRequest, "No quiz", "How many pictures of a hundred show a part as it should be: a whole number from 0 to 100."}
	}
	z, err := lesson.NewQuiz(d.survey, d.order, lesson.QuizAsk{
		Questions: questions, Seed: strings.TrimSpace(cutText(r.PostFormValue("seed"), 200)), Good: float64(good) / 100, Pairs: r.PostFormValue("pairs") == "yes",
	})
	if err != nil {
		return refusal{http.StatusBadRequest, "No quiz", capital(strings.TrimPrefix(err.Error(), "lesson: ")) + "."}
	}
	switch r.PostFormValue("paper") {
	case "quiz":
		data, err := app.QuizPaper(d.solved, z, stamp)
		if err != nil {
			return err
		}
		return sendPDF(w, d.head.Name+"-quiz-"+z.Mark+".pdf", data)
	case "key":
		data, err := app.QuizKey(d.solved, z, stamp, d.effects)
		if err != nil {
			return err
		}
		return sendPDF(w, d.head.Name+"-quiz-"+z.Mark+"-key.pdf", data)
	}
	return refusal{http.StatusBadRequest, "Not understood", "The page did not say whether to print the quiz or its key."}
}

func sendPDF(w http.ResponseWriter, file string, data []byte) error {
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(file))
	_, err := w.Write(data)
	return err
}
