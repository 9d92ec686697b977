package web

import "hangtrue/internal/engine/people"

// resultRoutes are the pages of what results say, and drills. What was planted
// stands on the former, so no student opens them; a drill belongs to one person.
func resultRoutes() []route {
	teach, drill := schoolFor(people.Teach), schoolFor(people.Drill)
	return []route{
		{"GET", "/statistics", "what the results of the school say", teach, (*Server).resultsPage},
		{"GET", "/statistics/models", "difficulties, abilities and detection of the school", teach, (*Server).modelsPage},
		{"GET", "/statistics/report.pdf", "the report of the school", teach, (*Server).reportPaper},
		{"GET", "/statistics/results.csv", "the school's results as a table", teach, (*Server).resultsTable},
		{"GET", "/statistics/statements.json", "the school's results for a learning record store", teach, (*Server).statements},
		{"GET", "/classes/{class}/statistics", "what the results of a class say", teach, (*Server).resultsPage},
		{"GET", "/classes/{class}/statistics/models", "difficulties, abilities and detection of a class", teach, (*Server).modelsPage},
		{"GET", "/classes/{class}/statistics/report.pdf", "the report of a class", teach, (*Server).reportPaper},
		{"GET", "/classes/{class}/statistics/results.csv", "a class's results as a table", teach, (*Server).resultsTable},
		{"GET", "/classes/{class}/statistics/statements.json", "a class's results for a learning record store", teach, (*Server).statements},
		{"GET", "/drill", "begin a drill", drill, (*Server).drillsPage},
		{"POST", "/drill", "begin a drill", drill, (*Server).startDrill},
		{"GET", "/drill/{drill}", "stand at a station of a drill", drill, (*Server).drillPage},
		{"POST", "/drill/{drill}", "answer at a station of a drill", drill, (*Server).answerDrill},
		{"GET", "/drill/{drill}/picture/{picture}", "a picture of the station stood at", drill, (*Server).drillPicture},
	}
}
