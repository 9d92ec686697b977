package web

import "hangtrue/internal/engine/people"

// teachers are those who run lessons: a quiz and its key are theirs to print.
var teachers = access{right: people.Teach}

func lessonRoutes() []route {
	return []route{
		{"GET", "/rig/{name}/lesson", "the walk-round as a lesson", everybody, (*Server).lessonPage},
		{"POST", "/rig/{name}/lesson", "answer a lesson's pictures; nothing is kept", everybody, (*Server).answerLesson},
		{"POST", "/rig/{name}/lesson/handout", "print a lesson's handout", everybody, (*Server).printHandout},
		{"POST", "/rig/{name}/lesson/quiz", "print a picture quiz or its key", teachers, (*Server).printQuiz},
	}
}
